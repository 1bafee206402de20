"""The form for a build, and the build sheet."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain import drawing
from domain.joints.materials import irons
from domain.lengths import plain
from domain.treads.gauges import contradictions
from domain.treads.starting_figures import notice
from domain.treads.wheel_standard import preset, presets
from domain.treads.words import contradiction_words
from webapp import render
from webapp.errors import NotFound
from webapp.facts.batches import running_batch
from webapp.records.diary import last_done
from webapp.records.views import BuildView
from webapp.sheets.build import change as builds
from webapp.sheets.build.form import (
    DEFAULT_STANDARD,
    PAINT_FIRST,
    PAINT_LAST,
    USUAL,
    Followed,
    as_chosen,
    borrowed,
    lender_of,
    read_build,
    read_more_marks,
    standard_keys,
    starting_text,
    touched_keys,
)
from webapp.sheets.build.view import build_sheet
from webapp.typed.texts import Typed
from webapp.web.common import TypedDep
from webapp.web.deps import DbDep, Id
from webapp.web.form import Form, take
from webapp.web.load import get_build

router = APIRouter()

_LABELS = {figure.key: figure.words for figure in drawing.FIGURES} | {
    "name": "Name of the build",
    "standard": "Wheel standard",
    "unit": "A number alone is in",
    "axles": "How many axles",
    "coupled": "Which are coupled",
    "quarter_angle": "Quarter angle",
    "lead": "Which side leads",
    "fit": "How a wheel is held on its axle",
    "route": "Route",
    "paint": "When it is painted",
    "iron": "Iron of the castings",
    "fit_least": "Least gap or interference",
    "fit_most": "Most gap or interference",
    "castings": "How many were bought",
    "marks": "Their marks",
    "who": "Your initials",
}

# The work sheets of a build, as the wheels are made: where each is, and its name on the button.
_WORK_SHEETS = (
    ("receiving", "Castings as they came"),
    ("figures", "Cuts and allowances"),
    ("speeds", "Speeds and feeds"),
    ("reaming", "Reamer or boring bar"),
    ("fits", "Fits and pairing"),
    ("joints", "What the joints carry"),
    ("crankpins", "Crankpins"),
    ("quartering", "Quartering"),
    ("treads", "Treads and gauges"),
    ("rods", "Will the rods go round?"),
    ("balance", "Balance"),
    ("made", "The set as made"),
    ("hand", "Your own hand"),
    ("labels", "Labels"),
)


def _drawing(
    request: Request, build: BuildView | None, form: Form, followed: Followed | None = None
) -> Response:
    key = form.typed.get("standard")
    standard = preset(key if key in standard_keys() else DEFAULT_STANDARD)
    return render.page(
        request,
        "sheets/build/build_form.html",
        form.status,
        build=build,
        standard=standard,
        followed=followed,
        touched=touched_keys(form.typed) if followed else frozenset(),
        contradicted=[contradiction_words(one, standard.unit) for one in contradictions(standard)],
        lender=lender_of(standard.key),
        borrowed=borrowed(standard),
        standards=presets(),
        labels=_LABELS,
        standard_names=[(row.key, row.name) for row in presets()],
        irons=irons(),
        figures=drawing.FIGURES,
        notice=notice(),
        trouble=form.trouble if form.trouble and form.trouble.kind == "confirm" else None,
        title_block={"build": build.name if build else "new", "sheet": "Drawing", "number": "D"},
        **form.context,
    )


@router.get("/builds/new")
def new(
    request: Request,
    standard: str = DEFAULT_STANDARD,
    name: str = "",
    who: str = "",
    filled_in: str = "",
    fill: str = "",
) -> Response:
    """The form for a new build, by the chosen standard; one that is filled in already keeps what was typed."""
    if standard not in standard_keys():
        raise NotFound("There is no such gauge in the list.")
    if filled_in not in standard_keys():
        return _drawing(request, None, Form(starting_text(standard, name, who)))
    followed = as_chosen(Typed.of_query(request.query_params.multi_items()), fill=fill == "yes")
    return _drawing(request, None, Form(followed.typed), followed)


@router.post("/builds")
def create(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Store a new build."""
    typed = as_chosen(typed).typed
    return take(
        request,
        typed,
        read=lambda: read_build(typed, with_marks=True),
        act=lambda draft, asked: builds.start_build(db, asked.sent, draft, asked.actor, meant=typed.meant),
        then=lambda build_id: f"/builds/{build_id}",
        show=partial(_drawing, request, None),
    )


def _sheet(request: Request, db: DbDep, build_id: int, form: Form) -> Response:
    build = get_build(db, build_id)
    with db.read() as session:
        last = last_done(session, build_id)
        running = running_batch(session, build)
    return render.page(
        request,
        "sheets/build/build.html",
        form.status,
        sheet=build_sheet(build, running),
        build=build,
        last=last,
        work_sheets=_WORK_SHEETS,
        pattern_names=[(str(one.id), one.name) for one in build.patterns],
        copies=request.app.state.copies,
        figures=(*drawing.FIGURES, *drawing.TYRE_FIGURES),
        title_block={"build": build.name, "sheet": "Build", "number": "B"},
        **form.context,
    )


@router.get("/builds/{build_id}")
def sheet(request: Request, build_id: Id, db: DbDep) -> Response:
    """The engine's wheels side by side."""
    return _sheet(request, db, build_id, Form())


@router.post("/builds/{build_id}/castings")
def add_castings(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write down castings that have come."""
    return take(
        request,
        typed,
        read=lambda: read_more_marks(typed, [one.id for one in get_build(db, build_id).patterns]),
        act=lambda bought, asked: builds.add_castings(db, build_id, replace(asked, seen=None), *bought),
        then=f"/builds/{build_id}",
        show=partial(_sheet, request, db, build_id),
    )


def _text_of(build: BuildView) -> Typed:
    texts = {key: length.text or plain(length.nm, build.unit) for key, length in build.dimensions.items()}
    texts |= {
        "name": build.name,
        "standard": build.standard,
        "unit": build.unit.value,
        "axles": str(len(build.axles)),
        "coupled": " ".join(str(axle.number) for axle in build.axles if axle.coupled),
        "quarter_angle": build.quarter_angle,
        "lead": build.lead,
        "fit": build.fit,
        "route": build.route.value,
        "paint": PAINT_FIRST if build.paint_first else PAINT_LAST,
        "iron": build.iron,
    }
    texts["coupled_proposed"] = texts["coupled"]
    # Left empty, so that choosing another fit brings that fit's usual range.
    texts = {key: "" if text == USUAL else text for key, text in texts.items()}
    return Typed({key: [text] for key, text in texts.items()})


@router.get("/builds/{build_id}/edit")
def edit(request: Request, build_id: Id, db: DbDep) -> Response:
    """The form with the build's own figures."""
    build = get_build(db, build_id)
    return _drawing(request, build, Form(_text_of(build)))


@router.post("/builds/{build_id}/edit")
def change(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a build; what that affects is said before it is saved."""
    build = get_build(db, build_id)
    return take(
        request,
        typed,
        read=lambda: read_build(typed, with_marks=False, several=len(build.patterns) > 1),
        act=lambda draft, asked: builds.redraw(
            db, build_id, asked, draft, typed.yes("confirmed"), typed.meant
        ),
        then=f"/builds/{build_id}",
        show=partial(_drawing, request, build),
    )
