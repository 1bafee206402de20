"""The figures of the rods: axle centres, rod centres, the bushes' clearance and the slack of the boxes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from domain.lengths import Length
from domain.rods.engine import RodSide, RodSpan

SIDES = ("left", "right")
# How sure the figures are: one for all centres and rods, and one for all clearances, both bushes of a rod added.
WITHIN, WITHIN_CLEARANCE = "within", "within_clearance"
WITHINS = (WITHIN, WITHIN_CLEARANCE)

# By the axle in front, the side and the key.
RodFigures = Mapping[tuple[int, str, str], Length]


@dataclass(frozen=True)
class RodField:
    """One figure of one rod; a length that must be more than nothing, or a play that may be nothing."""

    key: str
    words: str
    hint: str
    is_play: bool = False


_BUSH = "As bored: its pin is taken off. Or how much larger than its pin."

FIELDS = (
    RodField("centre", "axle centres", "From the middle of one axle to the middle of the next."),
    RodField("rod", "rod centres", "From bush centre to bush centre."),
    RodField(
        "clearance",
        "clearance, both bushes added",
        "How much larger than their pins the two bushes are bored. Empty while it is not decided.",
        is_play=True,
    ),
    RodField("bush_front", "front bush alone", _BUSH, is_play=True),
    RodField("bush_rear", "rear bush alone", _BUSH, is_play=True),
    RodField(
        "slack",
        "slack of the axle boxes",
        "How far the boxes in their horns let the centres go longer, or shorter, both boxes together.",
        is_play=True,
    ),
)
BY_KEY = {one.key: one for one in FIELDS}
BUSHES = ("bush_front", "bush_rear")


@dataclass(frozen=True)
class RodPair:
    """Two neighbouring coupled axles: the id of the one in front, which its rods are kept under, and both numbers."""

    axle_id: int
    front: int
    rear: int


def name_of(axle_id: int, side: str, key: str) -> str:
    """What a figure's field is called on the form."""
    return f"{key}-{side}-{axle_id}"


def figure_of(figures: RodFigures, axle_id: int, side: str, key: str) -> Length | None:
    """A figure of one side; one left empty is taken from the other side."""
    return figures.get((axle_id, side, key)) or figures.get((axle_id, other_side(side), key))


def clearance_of(figures: RodFigures, axle_id: int, side: str) -> int | None:
    """Both bushes of a rod added, nm: as typed, or the two typed one by one, or as on the other side."""
    own = _own_clearance(figures, axle_id, side)
    return _own_clearance(figures, axle_id, other_side(side)) if own is None else own


def _own_clearance(figures: RodFigures, axle_id: int, side: str) -> int | None:
    added = figures.get((axle_id, side, "clearance"))
    if added is not None:
        return added.nm
    bushes = [figures.get((axle_id, side, key)) for key in BUSHES]
    known = [bush.nm for bush in bushes if bush is not None]
    return sum(known) if len(known) == len(BUSHES) else None


def borrowed(figures: RodFigures, axle_id: int, side: str) -> tuple[str, ...]:
    """The keys of what nobody gave for this side, so that the other side's stands in for it."""
    other = other_side(side)
    found = [
        key
        for key in ("centre", "rod", "slack")
        if (axle_id, side, key) not in figures and (axle_id, other, key) in figures
    ]
    if _own_clearance(figures, axle_id, side) is None and clearance_of(figures, axle_id, side) is not None:
        found.append("clearance")
    return tuple(found)


def within_of(figures: RodFigures, key: str = WITHIN) -> Length | None:
    """How sure centres and rods are measured, or how sure the clearances are: one figure for all."""
    return next((figures[at] for at in sorted(figures) if at[2] == key), None)


def side_of(figures: RodFigures, axle_id: int, side: str) -> RodSide | None:
    """A rod and what it couples; a centre or rod not typed is taken as the other. None with neither."""
    centre, rod = (figure_of(figures, axle_id, side, key) for key in ("centre", "rod"))
    one = centre or rod
    if one is None:
        return None
    slack = figure_of(figures, axle_id, side, "slack")
    sure, sure_clearance = (
        within.nm if within else 0 for within in (within_of(figures, key) for key in WITHINS)
    )
    return RodSide(
        centre_nm=(centre or one).nm,
        rod_nm=(rod or one).nm,
        clearance_nm=clearance_of(figures, axle_id, side),
        slack_nm=slack.nm if slack else 0,
        centre_u_nm=sure,
        rod_u_nm=sure,
        clearance_u_nm=sure_clearance,
    )


def span_of(figures: RodFigures, axle_id: int) -> RodSpan | None:
    """The two rods behind an axle; None while nothing of their length was typed."""
    left, right = (side_of(figures, axle_id, side) for side in SIDES)
    return None if left is None or right is None else RodSpan(left, right)


def other_side(side: str) -> str:
    """The side across."""
    return "right" if side == "left" else "left"
