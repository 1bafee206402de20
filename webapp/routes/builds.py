"""The form for a build, and the build sheet."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from domain import drawing
from domain.joints.materials import irons
from domain.lengths import plain
from domain.treads.starting_figures import notice
from domain.treads.wheel_standard import preset, presets
from webapp import render
from webapp.errors import NotFound
from webapp.facts.batches import running_batch
from webapp.facts.rods import rods_line
from webapp.facts.set_made import made_trouble, set_made
from webapp.forms.build import DEFAULT_STANDARD, USUAL, lender_of, read_build, standard_keys, starting_text
from webapp.queries.ordering import risk_of
from webapp.queries.sheets import build_sheet
from webapp.records.builds import load_build
from webapp.records.heights import heights_of, rod_figures
from webapp.records.history import build_journal
from webapp.records.views import BuildView
from webapp.routes.sheets import get_build
from webapp.services import builds, castings
from webapp.typed.marks import read_marks
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    CONFLICT,
    UNPROCESSABLE,
    Trouble,
    TypedDep,
    fresh_token,
    need_actor,
    page_of,
    see,
    tell,
    token_of,
    trouble_from,
)
from webapp.web.deps import DbDep, Id

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
    "iron": "Iron of the castings",
    "fit_least": "Least gap or interference",
    "fit_most": "Most gap or interference",
    "castings": "How many were bought",
    "marks": "Their marks",
    "who": "Your initials",
}


def _form(
    request: Request,
    typed: Typed,
    errors: Errors,
    status: int,
    build: BuildView | None,
    trouble: Trouble | None,
) -> Response:
    key = typed.get("standard")
    standard = preset(key if key in standard_keys() else DEFAULT_STANDARD)
    context: dict[str, Any] = {
        "typed": typed,
        "errors": errors,
        "build": build,
        "standard": standard,
        "lender": lender_of(standard.key),
        "standards": presets(),
        "labels": _LABELS,
        "standard_names": [(row.key, row.name) for row in presets()],
        "irons": irons(),
        "figures": drawing.FIGURES,
        "notice": notice(),
        "trouble": trouble,
        "page_id": page_of(typed),
        "token": token_of(typed, errors),
        "title_block": {"build": build.name if build else "new", "sheet": "Drawing", "number": "D"},
    }
    return render.page(request, "build_form.html", status, **context)


@router.get("/builds/new")
def new(request: Request, standard: str = DEFAULT_STANDARD, name: str = "") -> Response:
    """The form for a new build, with the figures of the chosen gauge filled in."""
    if standard not in standard_keys():
        raise NotFound("There is no such gauge in the list.")
    return _form(request, starting_text(standard, name), Errors(), 200, None, None)


@router.post("/builds")
def create(request: Request, db: DbDep, typed: TypedDep) -> Response:
    """Store a new build."""
    draft, errors = read_build(typed, with_marks=True)
    actor = need_actor(request, typed, errors)
    if draft is None or actor is None:
        return _form(request, typed, errors, UNPROCESSABLE, None, None)
    started: list[int] = []
    trouble = trouble_from(lambda: started.append(builds.start_build(db, draft, typed.sent, actor)), "")
    if trouble is None:
        return see(request, f"/builds/{started[0]}", typed, actor)
    tell(errors, trouble)
    return _form(request, typed, errors, trouble.status, None, None)


def _sheet(request: Request, db: DbDep, build_id: int, typed: Typed, errors: Errors, status: int) -> Response:
    with db.read() as session:
        build = load_build(session, build_id)
        journal = build_journal(session, build_id)
        running = running_batch(session, build) if build else None
        heights, rods = heights_of(session, build_id), rod_figures(session, build_id)
    if build is None:
        raise NotFound("There is no such build.")
    return render.page(
        request,
        "build.html",
        status,
        sheet=build_sheet(build, running),
        risk=risk_of(build),
        made=set_made(build, heights),
        made_trouble=made_trouble(build, heights),
        # Only once rods are there to be judged: until then the sheet itself is a button away.
        rods_line=rods_line(build, heights, rods) if rods else None,
        build=build,
        journal=journal,
        typed=typed,
        errors=errors,
        figures=drawing.FIGURES,
        page_id=page_of(typed),
        token=fresh_token(),
        title_block={"build": build.name, "sheet": "Build", "number": "B"},
    )


@router.get("/builds/{build_id}")
def sheet(request: Request, build_id: Id, db: DbDep) -> Response:
    """The engine's wheels side by side."""
    return _sheet(request, db, build_id, Typed(), Errors(), 200)


@router.post("/builds/{build_id}/castings")
def add_castings(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Write down castings that have come."""
    get_build(db, build_id)
    errors = Errors()
    marks = read_marks(typed, "marks", errors)
    actor, status = need_actor(request, typed, errors), UNPROCESSABLE
    if not errors and actor is not None:
        trouble = trouble_from(lambda: castings.add_castings(db, build_id, marks, typed.sent, actor), "marks")
        if trouble is None:
            return see(request, f"/builds/{build_id}", typed, actor)
        tell(errors, trouble)
        status = trouble.status
    return _sheet(request, db, build_id, typed, errors, status)


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
        "iron": build.iron,
    }
    # Left empty, so that choosing another fit brings that fit's usual range.
    texts = {key: "" if text == USUAL else text for key, text in texts.items()}
    return Typed({key: [text] for key, text in texts.items()})


@router.get("/builds/{build_id}/edit")
def edit(request: Request, build_id: Id, db: DbDep) -> Response:
    """The form with the build's own figures."""
    build = get_build(db, build_id)
    return _form(request, _text_of(build), Errors(), 200, build, None)


@router.post("/builds/{build_id}/edit")
def change(request: Request, build_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Change a build; what that affects is said before it is saved."""
    build = get_build(db, build_id)
    draft, errors = read_build(typed, with_marks=False)
    actor = need_actor(request, typed, errors)
    if draft is None or actor is None:
        return _form(request, typed, errors, UNPROCESSABLE, build, None)
    trouble = trouble_from(
        lambda: builds.change_build(db, build_id, draft, typed.version(), typed.yes("confirmed"), actor), ""
    )
    if trouble is None:
        return see(request, f"/builds/{build_id}", typed, actor)
    if trouble.kind != "confirm":
        tell(errors, trouble)
        return _form(request, typed, errors, trouble.status, build, None)
    return _form(request, typed, errors, CONFLICT, build, trouble)
