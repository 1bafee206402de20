"""How many castings to buy: before a build is started, and with a build's own record."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.ordering.chances import OrderingError
from webapp import render
from webapp.facts.running_out import counts_of, risk_with
from webapp.records.views import BuildView
from webapp.sheets.ordering.form import FIGURES, asked, read_order, start_texts
from webapp.sheets.ordering.view import counts_words, order_sheet, risk_lines
from webapp.web.common import UNPROCESSABLE
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_pattern

router = APIRouter()
_EXAMPLE_WHEELS = 6


@router.get("/ordering")
def ordering(request: Request) -> Response:
    """For a person who has bought nothing yet."""
    return _page(request, None)


@router.get("/builds/{build_id}/ordering")
def build_ordering(request: Request, build_id: Id, db: DbDep) -> Response:
    """With the places, the record and the figures of a build; others may be tried, and are not stored."""
    return _page(request, get_pattern(request, db, build_id))


def _page(request: Request, build: BuildView | None) -> Response:
    counts = counts_of(build) if build else None
    # With every wheel finished the form still answers, for one wheel more.
    needed = max(1, counts.unfilled) if counts else _EXAMPLE_WHEELS
    start = start_texts(needed, build.work_texts if build else {})
    typed = asked(request.query_params.multi_items(), start)
    figures, errors = read_order(typed)
    sheet = risk = None
    if figures is not None:
        try:
            sheet = order_sheet(figures, counts, asked=typed.fields != start.fields)
        except OrderingError as error:
            errors[error.field] = str(error)
        risk = risk_with(build, figures.prior, figures.confidence) if build else None
    return render.page(
        request,
        "sheets/ordering/ordering.html",
        UNPROCESSABLE if errors else 200,
        build=build,
        counts=counts,
        counts_words=counts_words(build, counts) if build and counts else "",
        typed=typed,
        tried=typed.fields != start.fields,
        errors=errors,
        fields=FIGURES,
        sheet=sheet,
        risk=risk,
        risk_lines=risk_lines(risk) if risk else (),
        title_block={"build": build.name if build else "none", "sheet": "How many to buy", "number": "O"},
    )
