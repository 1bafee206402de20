"""The sheet of a tyre: what is to be done now, what it comes to, and the figures behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from domain.lengths import show_small
from domain.route.stages import TYRE_ON, Stage
from domain.tyres import words as say
from domain.tyres.judge import TyreKind
from domain.tyres.ring import stood_interference_nm
from domain.working import Working
from webapp.drawing.band import Band, band_of
from webapp.facts.facts import facts_of
from webapp.facts.measured_views import HistoryLine, history_line
from webapp.facts.tyres import Tyres, TyreState
from webapp.records.views import BuildView, CastingView, Measured
from webapp.sheets.tyres.drawing import DrawnTyre, TyrePicture, tyre_picture
from webapp.typed.sizes import BY_KEY, TYRE_SIZES, SizeKind


@dataclass(frozen=True, slots=True)
class TyreSheet:
    """Everything the page shows; `do` is the one thing to do now: a size to log, "shrink", "on" or "scrapped"."""

    do: str
    state: TyreState
    said: tuple[str, ...]
    wanted: str
    # Of the interference; None until both sizes are known.
    band: Band | None
    kinds: tuple[SizeKind, ...]
    step: str
    picture: TyrePicture
    workings: tuple[Working, ...]
    history: tuple[tuple[Measured, HistoryLine], ...]


def tyre_sheet(
    build: BuildView, casting: CastingView, history: Sequence[Measured], now: datetime
) -> TyreSheet | None:
    """The sheet of one wheel, None where its pattern has no tyres; `now` is a time in the shop's zone."""
    own = build.of(casting)
    tyres = facts_of(own).tyres
    if not tyres.there:
        return None
    state = tyres.of(casting)
    kept = [line for line in reversed(history) if line.kind in TYRE_SIZES]
    found = state.finding
    return TyreSheet(
        do=_do(casting, state),
        state=state,
        said=tuple(_said(own, state, now)),
        wanted=_wanted(own, casting, tyres),
        band=_band(build, state),
        kinds=tuple(BY_KEY[key] for key in TYRE_SIZES),
        step=TYRE_ON,
        picture=_picture(own, casting, tyres, state),
        workings=tuple(say.workings(found, build.unit)) if found is not None else (),
        history=tuple((line, history_line(build, line)) for line in kept),
    )


def _do(casting: CastingView, state: TyreState) -> str:
    if casting.state == "scrapped":
        return "scrapped"
    if state.on is not None:
        return "on"
    lacking = [key for key in TYRE_SIZES if key not in casting.sizes]
    return lacking[0] if lacking else "shrink"


def _said(build: BuildView, state: TyreState, now: datetime) -> Iterator[str]:
    found, unit = state.finding, build.unit
    if state.on is not None:
        at = state.on.since.astimezone()
        yield say.on_words(at, now, state.on.who, turned=state.casting.has(Stage.TREAD_TURNED))
    if found is None:
        return
    yield say.reason(found, unit)
    if found.case.interference_nm <= 0:
        return
    if state.on is None:
        yield say.heat_words(found, unit)
    if found.kind not in (TyreKind.YIELDS, TyreKind.STRAINED):
        yield say.strain_words(found)
    yield say.turned_words(found, unit)


def _wanted(build: BuildView, casting: CastingView, tyres: Tyres) -> str:
    """What to cut to, and whose interference that is."""
    try:
        stood = stood_interference_nm(tyres.tyre(casting), tyres.strength)
    except ValueError as error:
        return str(error)
    inside, centre = (casting.sizes.get(key) for key in TYRE_SIZES)
    least, most = (show_small(nm, build.unit) for nm in tyres.wanted_nm)
    wanted = f"Wanted: {least} to {most}, by {say.RULE if tyres.by_rule else 'the drawing'}."
    if inside is not None and centre is not None:
        return wanted
    words = say.target_words(
        inside.nm if inside else None,
        centre.nm if centre else None,
        tyres.wanted_nm,
        stood,
        build.nm("tyre_inside"),
        build.unit,
    )
    return f"{words} {wanted}"


def _band(build: BuildView, state: TyreState) -> Band | None:
    if state.finding is None:
        return None
    case, words = state.finding.case, f"Interference of the tyre: {state.words}"
    at, look = (case.interference_nm, case.uncertainty_nm), state.finding.answer.look
    return band_of(*case.wanted_nm, build.unit, words, at, look)


def _picture(build: BuildView, casting: CastingView, tyres: Tyres, state: TyreState) -> TyrePicture:
    return tyre_picture(
        DrawnTyre(
            tread_nm=build.nm("tread_diameter"),
            rough_nm=build.nm("tread_diameter") + 2 * build.nm("flange_depth"),
            inside_nm=build.nm("tyre_inside"),
            hole_nm=build.nm("rim_inside"),
            tyre_nm=build.nm("tyre_width"),
            flange_width_nm=build.nm("flange_width"),
            flange_depth_nm=build.nm("flange_depth"),
            cone=tyres.cone,
            on=state.on is not None,
            turned=casting.has(Stage.TREAD_TURNED),
        )
    )
