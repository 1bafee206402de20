"""Which casting should go on which seat of a build."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import blake2b

from domain.answer import Answer
from domain.pairing.best import PairCasting, Pairing, PairSeat, pair_castings
from domain.route.stages import Stage
from webapp.facts.facts import facts_of
from webapp.facts.joints import seat_words
from webapp.facts.places import Move, Place, place_of
from webapp.facts.unfit import unfit
from webapp.facts.ways_out import SizeOf, grade_by
from webapp.facts.wheel_joint import WheelJoint
from webapp.records.views import SIDES, AxleView, BuildView, CastingView, PatternView

Judge = Callable[[str, str], WheelJoint]
"""What is said of a casting on a seat, both by their keys."""
_KEPT = "; where that would leave fewer in all, wheels that serve, with care or not, keep their places"


@dataclass(frozen=True, slots=True)
class PairingGroup:
    """The wheels of a pattern, how they are best paired, and what was said of those that count."""

    pattern: PatternView
    pairing: Pairing
    best: tuple[WheelJoint, ...]
    today: tuple[WheelJoint, ...]


@dataclass(frozen=True, slots=True)
class PairingProposal:
    """The best pairing of a whole build; the digest changes with anything that the page shows of it."""

    groups: tuple[PairingGroup, ...]
    moves: tuple[Move, ...]
    digest: str


def bore_size(casting: CastingView) -> int | None:
    """The bore a casting is paired by; plug gauges only say what it lies between, which is no size."""
    return None if casting.bore is None or casting.bore.by_plug else casting.bore.mean_nm


def pairs_by(build: BuildView, casting: CastingView) -> int | None:
    """The bore that counts in a pairing; none of a casting that does not clean up, which is put on no seat."""
    return None if unfit(build, casting) else bore_size(casting)


def propose(build: BuildView) -> PairingProposal:
    """Find the best pairing of the wheels of each pattern, among themselves."""
    groups = tuple(_group(build.of(one), one) for one in build.patterns if build.of(one).axles)
    moves = tuple(move for group in groups for move in _moves(build, group.pairing))
    return PairingProposal(groups, moves, _digest(build, groups))


def _group(build: BuildView, pattern: PatternView) -> PairingGroup:
    axles, joints = build.axles, facts_of(build).joints
    places = {seat_key(axle, side): (axle.id, side) for axle in axles for side in SIDES}
    holders = {
        seat_key(axle, side): casting
        for axle in axles
        for side in SIDES
        if (casting := axle.at(side)) is not None
    }
    castings = {
        casting_key(one): one
        for one in (*holders.values(), *build.spares)
        if pairs_by(build, one) is not None
    }

    def judged(casting: str, seat: str) -> WheelJoint:
        found = joints.on(castings[casting], places[seat])
        assert found is not None  # it has a bore
        return found

    pairing = _pair(build, axles, castings, holders, judged)
    free = {key: one for key, one in holders.items() if casting_key(one) in castings and not _pressed(one)}
    return PairingGroup(
        pattern,
        pairing,
        tuple(judged(pair.casting.key, pair.seat.key) for pair in pairing.pairs if not pair.pressed),
        tuple(judged(casting_key(one), key) for key, one in free.items()),
    )


def _pair(
    build: BuildView,
    axles: Iterable[AxleView],
    castings: Mapping[str, CastingView],
    holders: Mapping[str, CastingView],
    judged: Judge,
) -> Pairing:
    pair_of = [
        PairCasting(key, one.mark, SizeOf.of(bore, key))
        for key, one in castings.items()
        if (bore := bore_size(one)) is not None
    ]
    seats = [
        PairSeat(key, seat_words(axle, side), SizeOf.of(build.seat_nm(axle, side), key))
        for axle in axles
        for side in SIDES
        for key in [seat_key(axle, side)]
    ]
    today = _keys(holders)
    pressed = _keys({key: one for key, one in holders.items() if _pressed(one)})
    middle = facts_of(build).joints.wanted.middle_nm

    def pair(answer: Callable[[str, str], Answer]) -> Pairing:
        return pair_castings(pair_of, seats, today, middle, grade_by(answer), build.unit, pressed)

    best = pair(lambda casting, seat: judged(casting, seat).answer)
    if not best.best.fails:
        return best
    kept = pair(_keeping(judged, {seat: casting for seat, casting in today.items() if casting in castings}))
    if best.best.serves + best.best.caution >= kept.best.serves + kept.best.caution:
        return best
    # More would serve without care, but fewer in all: the whole must not come down for that.
    return replace(kept, working=replace(kept.working, formula=kept.working.formula + _KEPT))


def _keeping(judged: Judge, today: Mapping[str, str]) -> Callable[[str, str], Answer]:
    """The same answers, but a wheel that is good enough today is good on its own seat only, and that for it only."""
    good = {
        (casting, seat) for seat, casting in today.items() if judged(casting, seat).answer is not Answer.NOT
    }
    wheels, seats = {casting for casting, _ in good}, {seat for _, seat in good}

    def answer(casting: str, seat: str) -> Answer:
        free = casting not in wheels and seat not in seats
        return judged(casting, seat).answer if free or (casting, seat) in good else Answer.NOT

    return answer


def _pressed(casting: CastingView) -> bool:
    return casting.has(Stage.PRESSED)


def _keys(holders: Mapping[str, CastingView]) -> dict[str, str]:
    return {key: casting_key(casting) for key, casting in holders.items()}


def seat_key(axle: AxleView, side: str) -> str:
    """A seat's key in the pairing; keys are in the order of the axles."""
    return f"{axle.number:06} {side}"


def casting_key(casting: CastingView) -> str:
    """A casting's key in the pairing; keys are in the order of the castings."""
    return f"{casting.id:020}"


def _moves(build: BuildView, pairing: Pairing) -> Iterable[Move]:
    castings = {casting_key(casting): casting for casting in build.castings}
    places: dict[str, Place] = {
        seat_key(axle, side): (axle.id, side) for axle in build.axles for side in SIDES
    }
    for pair in pairing.moves:
        casting = castings[pair.casting.key]
        yield Move(casting, place_of(casting), places[pair.seat.key])
    for spare in pairing.spares:
        casting = castings[spare.key]
        if casting.axle_id is not None:
            yield Move(casting, place_of(casting), None)


def _digest(build: BuildView, groups: Sequence[PairingGroup]) -> str:
    """A sum over today's places and sizes, and over what is proposed."""
    today = [
        [
            axle.id,
            side,
            build.of(axle).seat_nm(axle, side),
            holder and [holder.id, holder.has(Stage.PRESSED), bore_size(holder)],
        ]
        for axle in build.axles
        for side in SIDES
        for holder in [axle.at(side)]
    ]
    proposed = [
        [
            [
                [pair.seat.key, pair.casting.key, pair.clearance_nm, pair.answer, pair.moves]
                for pair in g.pairing.pairs
            ],
            [one.word for one in (*g.best, *g.today)],
            [[spare.key, spare.bore_nm] for spare in g.pairing.spares],
        ]
        for g in groups
    ]
    return blake2b(json.dumps([today, proposed]).encode(), digest_size=16).hexdigest()
