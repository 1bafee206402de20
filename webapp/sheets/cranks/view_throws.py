"""The throws as the crankpins' sheet shows them, and which wheels to pair so that each side's throws match best."""

from __future__ import annotations

from dataclasses import dataclass

from domain.cranks.cylinders import Side
from domain.cranks.words import side_working
from domain.lengths import show, show_offset
from domain.pairing.throws import (
    ThrowPairing,
    ThrowPairingError,
    ThrowPlace,
    ThrowWheel,
    exchange_words,
    pair_throws,
)
from domain.route.stages import Stage
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.places import place_of, place_words
from webapp.facts.unfit import usable_spares
from webapp.records.views import SIDES, BuildView, CastingView


@dataclass(frozen=True, slots=True)
class ThrowRow:
    """One wheel with its throw, or what to do to get one."""

    casting: CastingView
    place: str
    throw: str
    off: str
    sure: str
    pressed: bool
    bored: bool


@dataclass(frozen=True, slots=True)
class ThrowMove:
    """A wheel that changes places: where it is, where it goes, and who is in its way there."""

    casting: CastingView
    start: str
    end: str
    axle_id: int
    holder: CastingView | None


@dataclass(frozen=True, slots=True)
class ThrowsSheet:
    """The throws of the coupled wheels, what they are worth together, and the best pairing.

    words: empty while none is logged. trouble: why they cannot be paired yet. if_free: what more could be had if the
    wheels on their axles came off again.
    """

    rows: tuple[ThrowRow, ...]
    look: str
    words: str
    pairing: ThrowPairing | None
    moves: tuple[ThrowMove, ...]
    spares: tuple[str, ...]
    trouble: str
    if_free: str
    workings: tuple[Working, ...]


def throws_sheet(build: BuildView) -> ThrowsSheet:
    """The throws logged, what they are worth and the best pairing."""
    throws, wheels = facts_of(build).throws, _wheels(build)
    logged = [one for one in wheels if one.throw is not None]
    pairing, trouble = _paired(build, logged, held=True)
    if_free = ""
    if pairing and any(pair.fixed for pair in pairing.pairs):
        free, _ = _paired(build, logged, held=False)
        if_free = exchange_words(pairing, free, build.unit) if free else ""
    workings = [side_working(side, build.unit) for side in throws.finding.sides]
    return ThrowsSheet(
        rows=tuple(_row(build, one) for one in wheels),
        look=throws.finding.answer.look,
        words=throws.words,
        pairing=pairing,
        moves=_moves(build, pairing) if pairing else (),
        spares=tuple(one.mark for one in pairing.spares) if pairing else (),
        trouble=trouble,
        if_free=if_free,
        workings=(*workings, pairing.working) if pairing else tuple(workings),
    )


def _wheels(build: BuildView) -> list[CastingView]:
    """Coupled wheels in their order, then spares with a throw: a spare without one has no crankpin hole yet."""
    on = [wheel for axle in build.axles if axle.coupled for wheel in axle.wheels]
    return on + [one for one in usable_spares(build) if one.throw is not None and build.order_of(one).coupled]


def _row(build: BuildView, casting: CastingView) -> ThrowRow:
    throw = casting.throw
    place = build.where(casting)
    pressed, bored = casting.has(Stage.PRESSED), casting.has(Stage.BORED)
    if throw is None:
        return ThrowRow(casting=casting, place=place, throw="", off="", sure="", pressed=pressed, bored=bored)
    sure = "not known" if throw.expanded_nm is None else show(throw.expanded_nm, build.unit)
    off = show_offset(throw.mean_nm - build.of(casting).nm("throw"), build.unit)
    return ThrowRow(
        casting=casting,
        place=place,
        throw=show(throw.mean_nm, build.unit),
        off=off,
        sure=sure,
        pressed=pressed,
        bored=bored,
    )


def _key(axle_id: int, side: str) -> str:
    return f"{axle_id} {side}"


def _paired(build: BuildView, logged: list[CastingView], *, held: bool) -> tuple[ThrowPairing | None, str]:
    """The best pairing; `held` leaves the wheels on their axles where they are."""
    coupled = [axle for axle in build.axles if axle.coupled]
    if not coupled:
        return None, "No axle of this build is coupled, so there are no crankpins."
    if not logged:
        return None, "No throw is logged yet: log one on the sheet of each wheel."
    places = [
        ThrowPlace(_key(axle.id, side), axle.place_words(side), Side(side))
        for axle in coupled
        for side in SIDES
    ]
    holders = {
        _key(axle.id, side): one for axle in coupled for side in SIDES if (one := axle.at(side)) is not None
    }
    fixed = {key: str(one.id) for key, one in holders.items() if held and one.has(Stage.PRESSED)}
    today = {key: str(one.id) for key, one in holders.items() if one.throw is not None}
    wheels = [ThrowWheel(str(one.id), one.mark, one.throw.mean_nm) for one in logged if one.throw]
    unsure = max((one.throw.expanded_nm or 0 for one in logged if one.throw), default=0)
    try:
        return pair_throws(
            wheels=wheels, places=places, today=today, unit=build.unit, fixed=fixed, expanded_nm=unsure
        ), ""
    except ThrowPairingError as error:
        return None, str(error)


def _moves(build: BuildView, pairing: ThrowPairing) -> tuple[ThrowMove, ...]:
    axle_of = {_key(axle.id, side): (axle, side) for axle in build.axles for side in SIDES}
    found = []
    for pair in pairing.moves:
        axle, side = axle_of[pair.place.key]
        casting = build.casting(int(pair.wheel.key))
        assert casting is not None  # the keys are this build's own
        start = place_words(build, place_of(casting))
        found.append(ThrowMove(casting, start, pair.place.label, axle.id, axle.at(side)))
    return tuple(found)
