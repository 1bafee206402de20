"""The patterns of wheel of a build: another one begun, one changed, one taken out."""

from __future__ import annotations

from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain.drawing import TYRE_FIGURES, WheelKind
from domain.tyres.words import RULE
from webapp import render
from webapp.errors import NotFound
from webapp.records.views import BuildView, PatternView
from webapp.sheets.build.change_patterns import redraw_pattern, start_pattern, take_out_pattern
from webapp.sheets.build.form_patterns import KINDS, read_pattern, text_of_figures
from webapp.sheets.build.view_patterns import beside, why_it_stays
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, press, take
from webapp.web.load import get_build

router = APIRouter()


def _page(request: Request, build: BuildView, own: PatternView | None, form: Form) -> Response:
    return render.page(
        request,
        "sheets/build/pattern_form.html",
        form.status,
        build=build,
        own=own,
        kinds=KINDS,
        # Those of the crank are there for every kind, as the kind is chosen on the same page.
        figures=WheelKind.DRIVING.figures,
        tyres=TYRE_FIGURES,
        tyre_rule=RULE,
        stays=why_it_stays(build, own) if own else "",
        trouble=form.trouble if form.trouble and form.trouble.kind == "confirm" else None,
        next_axle=len(build.axles) + 1,
        title_block={"build": build.name, "sheet": own.name if own else "New pattern", "number": "D"},
        **form.context,
    )


def _begun(build: BuildView) -> Typed:
    """The form for another pattern, with the figures of the first: most of a drawing's are like it."""
    first = build.patterns[0]
    taken = {one.name for one in build.patterns}
    kinds = [WheelKind.TENDER, *(kind for kind in WheelKind if not kind.cranked)]
    kind = next((one for one in kinds if one.usual_name not in taken), WheelKind.TENDER)
    texts = text_of_figures(first.figures) | {"kind": kind.value}
    return Typed({key: [text] for key, text in texts.items()})


def _as_stored(build: BuildView, own: PatternView) -> Typed:
    numbers = " ".join(str(axle.number) for axle in build.axles if axle.pattern_id == own.id)
    texts = text_of_figures(own.figures) | {"name": own.name, "kind": own.kind.value, "axles": numbers}
    return Typed({key: [text] for key, text in texts.items()})


def _pattern(build: BuildView, pattern_id: int) -> PatternView:
    found = build.find_pattern(pattern_id)
    if found is None:
        raise NotFound("There is no such pattern of wheel in this build.")
    return found


@router.get("/builds/{build_id}/patterns/new")
def new(request: Request, build_id: Id, db: DbDep) -> Response:
    """The form for another pattern."""
    build = get_build(db, build_id)
    return _page(request, build, None, Form(_begun(build)))


@router.post("/builds/{build_id}/patterns")
def create(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Store another pattern with its axles and castings."""
    build = get_build(db, build_id)
    return take(
        request,
        typed,
        read=lambda: read_pattern(typed, beside(build, None), new=True),
        act=lambda draft, asked: start_pattern(
            db, build_id, asked, draft, typed.yes("confirmed"), typed.meant
        ),
        then=f"/builds/{build_id}",
        show=partial(_page, request, build, None),
    )


@router.get("/builds/{build_id}/patterns/{pattern_id}")
def edit(request: Request, build_id: Id, pattern_id: Id, db: DbDep) -> Response:
    """The form with the pattern's own figures."""
    build = get_build(db, build_id)
    own = _pattern(build, pattern_id)
    return _page(request, build, own, Form(_as_stored(build, own)))


@router.post("/builds/{build_id}/patterns/{pattern_id}")
def change(request: Request, build_id: Id, pattern_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a pattern; what that affects is said before it is saved."""
    build = get_build(db, build_id)
    own = _pattern(build, pattern_id)
    return take(
        request,
        typed,
        read=lambda: read_pattern(typed, beside(build, own), new=False),
        act=lambda draft, asked: redraw_pattern(
            db, build_id, asked, own.id, draft, typed.yes("confirmed"), typed.meant
        ),
        then=f"/builds/{build_id}",
        show=partial(_page, request, build, own),
    )


@router.post("/builds/{build_id}/patterns/{pattern_id}/out")
def take_out(request: Request, build_id: Id, pattern_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Take a pattern out that nothing is of."""
    own = _pattern(get_build(db, build_id), pattern_id)
    return press(
        request,
        typed,
        act=lambda asked: take_out_pattern(db, build_id, asked, own.id),
        then=f"/builds/{build_id}",
    )
