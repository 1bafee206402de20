"""Which casting should go on which seat of a build."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from hashlib import blake2b

from domain.fit import Answer, FitKind, Joint, judge_fit
from domain.length import Unit
from domain.pairing import PairCasting, Pairing, PairSeat, pair_castings
from domain.stages import Stage
from webapp.queries.fits import joint_of, seat_words
from webapp.queries.places import Move, Place, place_of
from webapp.queries.views import SIDES, AxleView, BuildView, CastingView


@dataclass(frozen=True, slots=True)
class Group:
    """Wheels that may take each other's places, and how they are best paired."""

    coupled: bool
    pairing: Pairing


@dataclass(frozen=True, slots=True)
class Proposal:
    """The best pairing of a whole build; the digest changes with anything that the page shows of it."""

    groups: tuple[Group, ...]
    moves: tuple[Move, ...]
    digest: str


# Every bore is tried on every seat, each time the sheet is drawn.
@lru_cache(maxsize=8192)
def _grade(joint: Joint, unit: Unit, bore_nm: int, seat_nm: int) -> Answer:
    return judge_fit(joint, bore_nm, seat_nm, unit).answer


def middle_of(joint: Joint) -> int:
    """The clearance in the middle of the wanted fit; below zero for an interference."""
    middle = (joint.least_nm + joint.most_nm) // 2
    return middle if joint.kind is FitKind.BOND else -middle


def bore_size(casting: CastingView) -> int | None:
    """The bore a casting is paired by; plug gauges only say what it lies between, which is no size."""
    return None if casting.bore is None or casting.bore.by_plug else casting.bore.mean_nm


def propose(build: BuildView) -> Proposal:
    """Find the best pairing of coupled and of carrying wheels, each among themselves."""
    kinds = [kind for kind in (True, False) if any(axle.coupled is kind for axle in build.axles)]
    groups = tuple(Group(kind, _pair(build, kind)) for kind in kinds)
    moves = tuple(move for group in groups for move in _moves(build, group.pairing))
    return Proposal(groups, moves, _digest(build, groups))


def _pair(build: BuildView, coupled: bool) -> Pairing:
    axles = [axle for axle in build.axles if axle.coupled is coupled]
    at = {seat_key(axle, side): axle.at(side) for axle in axles for side in SIDES}
    holders = {key: casting for key, casting in at.items() if casting is not None}
    # A spare is taken to be for a coupled axle if the build has one, as everywhere.
    spares = [casting for casting in build.spares if build.order_of(casting).coupled is coupled]
    joint, unit = joint_of(build), build.unit
    return pair_castings(
        [
            PairCasting(casting_key(casting), casting.mark, bore)
            for casting in (*holders.values(), *spares)
            if (bore := bore_size(casting)) is not None
        ],
        [
            PairSeat(seat_key(axle, side), seat_words(axle, side), build.seat_nm(axle, side))
            for axle in axles
            for side in SIDES
        ],
        _keys(holders),
        middle_of(joint),
        lambda bore_nm, seat_nm: _grade(joint, unit, bore_nm, seat_nm),
        unit,
        _keys({key: casting for key, casting in holders.items() if casting.has(Stage.PRESSED)}),
    )


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


def _digest(build: BuildView, groups: Sequence[Group]) -> str:
    """A sum over today's places and sizes, and over what is proposed."""
    today = [
        [
            axle.id,
            side,
            build.seat_nm(axle, side),
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
            [[spare.key, spare.bore_nm] for spare in g.pairing.spares],
        ]
        for g in groups
    ]
    return blake2b(json.dumps([today, proposed]).encode(), digest_size=16).hexdigest()
