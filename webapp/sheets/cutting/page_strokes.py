"""A boss faced by hand strokes: planning it, and a counter that keeps its total through sleep and lost network."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from domain.cutting.words import STROKES_CAUTIONS
from webapp import render
from webapp.db import Db
from webapp.errors import NotFound, NotTaken
from webapp.facts.work_figures import work_figures
from webapp.records.outcome import NotThere
from webapp.records.views import BuildView
from webapp.sheets.cutting import change_strokes as service
from webapp.sheets.cutting.form_strokes import FIELDS, asked, read_strokes, read_tally
from webapp.sheets.cutting.view_strokes import (
    count_of,
    counter_sheet,
    counts_on,
    just_faced,
    plan_view,
    start_texts,
    width_hint,
)
from webapp.typed.fields import read_figure
from webapp.typed.quantities import QuantityError
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    CONFLICT,
    UNPROCESSABLE,
    TypedDep,
    actor_of,
    ask_who,
    fresh_token,
    need_actor,
    page_of,
    see,
    tell,
    token_of,
    trouble_from,
)
from webapp.web.deps import DbDep, Id
from webapp.web.load import get_casting

router = APIRouter()
_GONE = "There is no such count of strokes."
_FINISHED = "This count is finished: no stroke can be added to it. Open hand strokes to begin another."


@router.get("/castings/{casting_id}/strokes")
def strokes(request: Request, casting_id: Id, db: DbDep) -> Response:
    """Plan a facing; the figures stand in the address, and nothing is stored until the counting starts."""
    build, _ = get_casting(db, casting_id)
    typed = asked(request.query_params.multi_items(), start_texts(build))
    return _page(request, db, casting_id, typed, Errors(), 200)


def _page(request: Request, db: Db, casting_id: int, typed: Typed, errors: Errors, status: int) -> Response:
    build, casting = get_casting(db, casting_id)
    with db.read() as session:
        counts = counts_on(session, casting_id)
    wish = None
    # With no depth yet there is nothing to plan, and nothing wrong either.
    if typed.get("depth").strip() or request.method == "POST" or "depth" in request.query_params:
        wish, wrong = read_strokes(typed, build.unit, work_figures(build).nm("stroke_cut"))
        errors = Errors(errors | wrong)
    return render.page(
        request,
        "sheets/cutting/strokes.html",
        UNPROCESSABLE if errors and status == 200 else status,
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        counts=counts,
        open_count=next((count for count in counts if not count.closed), None),
        faced=just_faced(build, casting, counts),
        fields=FIELDS,
        width_hint=width_hint(build),
        plan=plan_view(wish) if wish else None,
        cautions=STROKES_CAUTIONS,
        typed=typed,
        errors=errors,
        page_id=page_of(typed),
        token=token_of(typed, errors),
        title_block={"build": build.name, "sheet": f"Hand strokes, {casting.mark}", "number": casting.mark},
    )


@router.post("/castings/{casting_id}/strokes")
def begin(request: Request, casting_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Start counting."""
    build, _ = get_casting(db, casting_id)
    wish, errors = read_strokes(typed, build.unit, work_figures(build).nm("stroke_cut"))
    actor = need_actor(request, typed, errors)
    if wish is None or actor is None:
        return _page(request, db, casting_id, typed, errors, UNPROCESSABLE)
    begun: list[int] = []
    trouble = trouble_from(
        lambda: begun.append(service.begin(db, casting_id, wish, typed.version(), typed.sent, actor)),
        "",
    )
    if trouble is None:
        where = f"/castings/{casting_id}/strokes/{begun[0]}?rhythm={wish.rhythm:g}"
        return see(request, where, typed, actor)
    tell(errors, trouble)
    return _page(request, db, casting_id, typed, errors, trouble.status)


def _rhythm(build: BuildView, text: str) -> float:
    """The rhythm chosen when the counting started; an address that was meddled with means the build's own."""
    usual = work_figures(build).number("rhythm")
    try:
        found = read_figure(FIELDS["rhythm"], text, build.unit) if text else usual
    except QuantityError:
        return usual
    return found if isinstance(found, int | float) else usual


@router.get("/castings/{casting_id}/strokes/{count_id}")
def counter(request: Request, casting_id: Id, count_id: Id, db: DbDep, rhythm: str = "") -> Response:
    """The counter."""
    build, casting = get_casting(db, casting_id)
    with db.read() as session:
        count = count_of(counts_on(session, casting_id), count_id)
    if count is None:
        raise NotFound(_GONE)
    return render.page(
        request,
        "sheets/cutting/stroke_counter.html",
        build=build,
        casting=casting,
        axle=build.axle(casting.axle_id),
        sheet=counter_sheet(build, casting, count, _rhythm(build, rhythm)),
        cautions=STROKES_CAUTIONS,
        typed=Typed(),
        page_id=page_of(Typed()),
        token=fresh_token(),
        title_block={"build": build.name, "sheet": f"Hand strokes, {casting.mark}", "number": casting.mark},
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
    try:
        kept = service.keep(db, casting_id, count_id, tally)
    except NotThere:
        raise NotFound(_GONE) from None
    if by_script:
        told = {"done": kept.done, "words": _FINISHED if kept.closed else ""}
        return JSONResponse(told, CONFLICT if kept.closed else 200)
    if kept.closed:
        raise NotTaken(_FINISHED)
    build, _ = get_casting(db, casting_id)
    rhythm = _rhythm(build, typed.get("rhythm"))
    return see(request, f"/castings/{casting_id}/strokes/{count_id}?rhythm={rhythm:g}", typed)


@router.post("/castings/{casting_id}/strokes/{count_id}/finish")
def finish(request: Request, casting_id: Id, count_id: Id, db: DbDep, typed: TypedDep) -> Response:
    """Finish a count with its last total."""
    tally, errors = read_tally(typed)
    if tally is None:
        raise NotTaken(next(iter(errors.values())))
    actor = actor_of(request, typed)
    if actor is None:
        return ask_who(request, typed, "who" in typed.fields)
    try:
        service.finish(db, casting_id, count_id, tally, actor)
    except NotThere:
        raise NotFound(_GONE) from None
    return see(request, f"/castings/{casting_id}/strokes#counts", typed, actor)
