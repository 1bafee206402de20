"""Writing the figures of the rods down."""

from __future__ import annotations

from sqlmodel import col, delete

from domain.lengths import Length, show_small
from webapp.facts.rods import pairs_of
from webapp.models import RodFigure
from webapp.records.change import Change, change_build
from webapp.records.outcome import OutOfDate
from webapp.records.views import BuildView
from webapp.typed.rods import BY_KEY, FIELDS, WITHIN, WITHIN_CLEARANCE, WITHINS, RodFigures, RodPair

_KEYS = (*(one.key for one in FIELDS), *WITHINS)
_WITHIN_WORDS = {
    WITHIN: "centres and rods measured to within",
    WITHIN_CLEARANCE: "clearances known to within",
}


@change_build("rods")
def save_rods(it: Change, figures: RodFigures) -> None:
    """Store every figure of the rods as typed; one that is not given any more is taken away."""
    build, pairs = it.build, pairs_of(it.build)
    fronts = {pair.axle_id for pair in pairs}
    if not {axle_id for axle_id, _, _ in figures} <= fronts:
        # The coupled axles are others now than those the form was read for.
        raise OutOfDate("", "", None)
    was = {at: one for at, one in build.rods.items() if at[0] in fronts}
    told = _told(build, pairs, was, figures)
    if not told:
        return
    of_rods = col(RodFigure.axle_id).in_(fronts)
    it.session.exec(delete(RodFigure).where(of_rods, col(RodFigure.build_id) == build.id))
    for (axle_id, side, key), one in figures.items():
        it.session.add(
            RodFigure(build_id=build.id, axle_id=axle_id, side=side, key=key, nm=one.nm, text=one.text)
        )
    it.tell("rods", f"Rods: {'; '.join(told)}.")


def _told(build: BuildView, pairs: tuple[RodPair, ...], was: RodFigures, now: RodFigures) -> list[str]:
    """What is changed, rod by rod."""
    told = []
    for pair in pairs:
        for side in ("left", "right"):
            for key in _KEYS:
                at = (pair.axle_id, side, key)
                if was.get(at) == now.get(at):
                    continue
                told.append(f"{_named(pair, side, key)} {_value(build, now.get(at))}")
    return told


def _named(pair: RodPair, side: str, key: str) -> str:
    if key in _WITHIN_WORDS:
        return _WITHIN_WORDS[key]
    return f"axles {pair.front} and {pair.rear}, {side}, {BY_KEY[key].words}"


def _value(build: BuildView, one: Length | None) -> str:
    return "not given any more" if one is None else show_small(one.nm, build.unit)
