"""A boss faced by hand strokes: planning it, and a counter that keeps its total through sleep and lost network."""

from __future__ import annotations

from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from domain.cutting.words import STROKES_CAUTIONS, STROKES_FIRST, facing_ways
from webapp import render
from webapp.db import Db
from webapp.errors import NotFound, NotTaken
from webapp.facts.work_figures import work_figures
from webapp.records.change import Asked
from webapp.records.outcome import NOBODY
from webapp.records.views import BuildView
from webapp.sheets.cutting import change_strokes as service
from webapp.sheets.cutting.form_strokes import FIELDS, StrokeWish, asked, read_strokes, read_tally
from webapp.sheets.cutting.view_strokes import (
    CountView,
    count_of,
    counter_sheet,
    counts_on,
    just_faced,
    plan_view,
    start_texts,
    strokes_box,
    width_hint,
)
from webapp.typed.fields import read_figure
from webapp.typed.quantities import QuantityError
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    CONFLICT,
    UNPROCESSABLE,
    TypedDep,
    see,
    stands_in_the_way,
    trouble_from,
)
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, press, take
from webapp.web.load import get_casting

router = APIRouter()


@router.get("/castings/{casting_id}/strokes")
def strokes(request: Request, casting_id: Id, db: DbDep) -> Response:
    """Plan a facing; the figures stand in the address, and nothing is stored until the counting starts."""
    build, _ = get_casting(db, casting_id)
    form = Form(asked(request.query_params.multi_items(), start_texts(build)))
    # With no depth yet there is nothing to plan, and nothing wrong either.
    if form.typed.get("depth").strip() or "depth" in request.query_params:
        _, errors = _read(build, form.typed)
        form = Form(form.typed, errors, UNPROCESSABLE if errors else 200)
    return _page(request, db, casting_id, form)


def _read(build: BuildView, typed: Typed) -> tuple[StrokeWish | None, Errors]:
    return read_strokes(typed, build.unit, work_figures(build).nm("stroke_cut"))


def _page(request: Request, db: Db, casting_id: int, form: Form) -> Response:
    build, casting = get_casting(db, casting_id)
    with db.read() as session:
        counts = counts_on(session, casting_id)
    wish, _ = _read(build, form.typed)
    return render.page(
        request,
        "sheets/cutting/strokes.html",
        form.status,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        counts=counts,
        open_count=next((count for count in counts if not count.closed), None),
        faced=just_faced(build, casting, counts),
        fields=FIELDS,
        width_hint=width_hint(build),
        plan=plan_view(wish) if wish else None,
        box=strokes_box(build, casting, wish),
        first=STROKES_FIRST,
        ways=facing_ways(work_figures(build).nm("stroke_feed"), build.unit),
        cautions=STROKES_CAUTIONS,
        title_block={"build": build.name, "sheet": f"Hand strokes, {casting.mark}", "number": casting.mark},
        **form.context,
    )


@router.post("/castings/{casting_id}/strokes")
def begin(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Start counting."""
    build, _ = get_casting(db, casting_id)
    rhythm = _rhythm(build, typed.get("rhythm"))
    return take(
        request,
        typed,
        read=lambda: _read(build, typed),
        act=lambda wish, asked: service.begin(db, casting_id, asked, wish),
        then=lambda count_id: f"/castings/{casting_id}/strokes/{count_id}?rhythm={rhythm:g}",
        show=partial(_page, request, db, casting_id),
    )


def _rhythm(build: BuildView, text: str) -> float:
    """The rhythm chosen when the counting started; an address that was meddled with means the build's own."""
    usual = work_figures(build).number("rhythm")
    try:
        found = read_figure(FIELDS["rhythm"], text, build.unit) if text else usual
    except QuantityError:
        return usual
    return found if isinstance(found, int | float) else usual


def _count(db: Db, casting_id: int, count_id: int) -> CountView:
    with db.read() as session:
        count = count_of(counts_on(session, casting_id), count_id)
    if count is None:
        raise NotFound("There is no such count of strokes.")
    return count


@router.get("/castings/{casting_id}/strokes/{count_id}")
def counter(request: Request, casting_id: Id, count_id: Id, db: DbDep, rhythm: str = "") -> Response:
    """The counter."""
    build, casting = get_casting(db, casting_id)
    count = _count(db, casting_id, count_id)
    return render.page(
        request,
        "sheets/cutting/stroke_counter.html",
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        sheet=counter_sheet(build, count, _rhythm(build, rhythm)),
        cautions=STROKES_CAUTIONS,
        title_block={"build": build.name, "sheet": f"Hand strokes, {casting.mark}", "number": casting.mark},
        **Form().context,
    )


@router.post("/castings/{casting_id}/strokes/{count_id}")
def keep(request: Request, casting_id: Id, count_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Keep a total: a script is answered with the one that stands, a plain form with the counter's page."""
    tally, errors = read_tally(typed)
    by_script = request.headers.get("accept") == "application/json"
    if tally is None:
        words = next(iter(errors.values()))
        if by_script:
            return JSONResponse({"words": words}, UNPROCESSABLE)
        raise NotTaken(words)
    trouble = trouble_from(lambda: service.keep(db, casting_id, Asked(NOBODY), count_id, tally), "")
    if by_script:
        told = {"done": _count(db, casting_id, count_id).done, "words": trouble.words if trouble else ""}
        return JSONResponse(told, CONFLICT if trouble else 200)
    if trouble is not None:
        raise stands_in_the_way(trouble)
    build, _ = get_casting(db, casting_id)
    rhythm = _rhythm(build, typed.get("rhythm"))
    return see(request, f"/castings/{casting_id}/strokes/{count_id}?rhythm={rhythm:g}")


@router.post("/castings/{casting_id}/strokes/{count_id}/finish")
def finish(request: Request, casting_id: Id, count_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Finish a count with its last total."""
    tally, errors = read_tally(typed)
    if tally is None:
        raise NotTaken(next(iter(errors.values())))
    _count(db, casting_id, count_id)
    # Of no version: a count may be finished whatever else was done to the casting meanwhile.
    return press(
        request,
        typed,
        act=lambda asked: service.finish(db, casting_id, Asked(asked.actor), count_id, tally),
        then=f"/castings/{casting_id}/strokes?open=counts#fold-counts",
    )
