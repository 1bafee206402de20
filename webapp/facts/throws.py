"""The throws logged over a build, and which wheels to pair so that each side's throws match best."""

from __future__ import annotations

from dataclasses import dataclass

from domain.cranks.cylinders import Side
from domain.cranks.throws import MarkedThrow, ThrowsAlike, judge_alike, odd_throws, unlike
from domain.cranks.words import ALIKE_HEADLINES, alike_working, odd_words
from domain.lengths import show, show_offset
from domain.pairing.throws import (
    ThrowPairing,
    ThrowPairingError,
    ThrowPlace,
    ThrowSpread,
    ThrowWheel,
    exchange_words,
    pair_throws,
    throw_spread,
)
from domain.route.stages import Stage
from domain.working import Working
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
class Throws:
    """The throws of the coupled wheels; `trouble` is why they cannot be paired yet."""

    rows: tuple[ThrowRow, ...]
    spread: ThrowSpread | None
    pairing: ThrowPairing | None
    moves: tuple[ThrowMove, ...]
    spares: tuple[str, ...]
    trouble: str
    # What more could be had if the wheels on their axles came off again.
    if_free: str = ""
    # Whether they are alike, and which wheels are odd; None with fewer than two.
    alike: ThrowsAlike | None = None
    # What that is worth, serves, caution or not: two sides that differ only from each other do no harm.
    alike_answer: str = ""
    alike_words: str = ""
    workings: tuple[Working, ...] = ()


def throws_of(build: BuildView) -> Throws:
    """The throws logged, their spread and the best pairing."""
    wheels = _wheels(build)
    logged = [one for one in wheels if one.throw is not None]
    of_places = [one.throw.mean_nm for one in logged if one.throw and one.state == "in_work"]
    spread = throw_spread(of_places, build.nm("throw"), build.unit) if of_places else None
    pairing, trouble = _paired(build, logged, held=True)
    if_free = ""
    if pairing and any(pair.fixed for pair in pairing.pairs):
        free, _ = _paired(build, logged, held=False)
        if_free = exchange_words(pairing, free, build.unit) if free else ""
    marked = [
        MarkedThrow(one.mark, one.throw.mean_nm) for one in logged if one.throw and one.state == "in_work"
    ]
    alike = judge_alike(marked) if len(marked) > 1 else None
    answer, alike_words = _alike(build, alike) if alike else ("", "")
    workings = (
        spread.working if spread else None,
        alike_working(alike, build.unit) if alike else None,
        pairing.working if pairing else None,
    )
    return Throws(
        rows=tuple(_row(build, one) for one in wheels),
        spread=spread,
        pairing=pairing,
        moves=_moves(build, pairing) if pairing else (),
        spares=tuple(one.mark for one in pairing.spares) if pairing else (),
        trouble=trouble,
        if_free=if_free,
        alike=alike,
        alike_answer=answer,
        alike_words=alike_words,
        workings=tuple(one for one in workings if one is not None),
    )


def _alike(build: BuildView, alike: ThrowsAlike) -> tuple[str, str]:
    """What the throws are worth together, and in words; a rod joins the wheels of one side only."""
    headline = ALIKE_HEADLINES[alike.answer]
    if not unlike(alike.spread_nm):
        return alike.answer.value, f"{headline}."
    odd = f"{odd_words(alike.odd, build.unit)}."
    if not unlike_sides(build):
        return (
            "caution",
            f"The sides differ, but each is alike in itself, which is what the rods ask for. {odd}",
        )
    return alike.answer.value, f"{headline}. {odd}"


def side_throws(build: BuildView, side: str) -> tuple[MarkedThrow, ...]:
    """The throws logged on one side of the coupled axles."""
    wheels = [one for axle in build.axles if axle.coupled and (one := axle.at(side)) is not None]
    return tuple(MarkedThrow(one.mark, one.throw.mean_nm) for one in wheels if one.throw)


def unlike_sides(build: BuildView) -> tuple[str, ...]:
    """The sides whose throws differ more than alike throws may: a rod joins those of one side."""
    found = {side: [one.nm for one in side_throws(build, side)] for side in SIDES}
    return tuple(side for side, nm in found.items() if nm and unlike(max(nm) - min(nm)))


def odd_wheels(build: BuildView, marks: frozenset[str], least_nm: int) -> str:
    """Which of these wheels stand out from the middle throw of the whole set, in words."""
    throws = [one for side in SIDES for one in side_throws(build, side)]
    return odd_words([one for one in odd_throws(throws, least_nm) if one.mark in marks], build.unit)


def throws_first(build: BuildView) -> str:
    """That the throws come before the quartering; empty while they are alike."""
    if not unlike_sides(build):
        return ""
    job = "breaking a bond" if build.fit == "bond" else "setting an axle again"
    return f"The throws differ more than the rods forgive: see to them first; {job} will not free the rods."


def _wheels(build: BuildView) -> list[CastingView]:
    """Coupled wheels in their order, then spares with a throw: a spare without one has no crankpin hole yet."""
    on = [wheel for axle in build.axles if axle.coupled for wheel in axle.wheels]
    return on + [one for one in usable_spares(build) if one.throw is not None and build.order_of(one).coupled]


def _row(build: BuildView, casting: CastingView) -> ThrowRow:
    throw = casting.throw
    place = place_words(build, place_of(casting)) if casting.axle_id else "spare"
    pressed, bored = casting.has(Stage.PRESSED), casting.has(Stage.BORED)
    if throw is None:
        return ThrowRow(casting=casting, place=place, throw="", off="", sure="", pressed=pressed, bored=bored)
    sure = "not known" if throw.expanded_nm is None else show(throw.expanded_nm, build.unit)
    off = show_offset(throw.mean_nm - build.nm("throw"), build.unit)
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
        ThrowPlace(_key(axle.id, side), f"axle {axle.number}, {side}", Side(side))
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
