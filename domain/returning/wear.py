"""What service took off a tyre, what must come off it so that its profile is whole again, and what that leaves."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from domain.answer import Answer
from domain.lengths import NM_PER_INCH, Unit, show
from domain.lengths.fine import fine
from domain.measuring.decision import Conformity, Decision, decide
from domain.treads.flange import DrawnFlange, FlangePlace, drawn_flange
from domain.treads.group import FULL_SIZE_GAUGE_NM, RemainingCut
from domain.treads.judging import MeasuredSize
from domain.treads.profile import Profile
from domain.treads.wheel_standard import TreadError
from domain.working import Working

_DERIVED = "derived here from the drawn profile; no published source"
# 49 CFR 230.113 (g) to (j): at these a full-size wheel is taken out of service.
_FLANGE_NM, _FLANGE_AT_NM = 15 * NM_PER_INCH // 16, 3 * NM_PER_INCH // 8
_HOLLOW_NM, _LOW_NM, _HIGH_NM, _RIM_NM = 5 * NM_PER_INCH // 16, NM_PER_INCH, 3 * NM_PER_INCH // 2, NM_PER_INCH


@dataclass(frozen=True)
class Wear:
    """What was measured of a worn tyre.

    tread: its diameter as a flat anvil finds it, over the edges of a hollow; flange: its thickness `above_nm` above the
    tread as it is now; hollow: from a straight-edge across the tread down to the deepest place, nothing where it is flat.
    """

    tread: MeasuredSize
    flange: MeasuredSize
    above_nm: int
    height: MeasuredSize
    hollow: MeasuredSize


class WornBy(StrEnum):
    """What asks for the deepest cut; the value is how a page names it."""

    THICKNESS = "flange thickness"
    HEIGHT = "flange height"
    HOLLOW = "hollow tread"
    NOTHING = "nothing"


@dataclass(frozen=True)
class ToTurn:
    """What must come off a tyre on the radius, nm, how sure that is, and the largest tread that leaves."""

    by: WornBy
    off_nm: int
    expanded_nm: int
    largest_nm: int
    workings: tuple[Working, ...]


def to_turn(profile: Profile, wear: Wear, unit: Unit) -> ToTurn:
    """How far a tread must come down so that the drawn profile lies in metal again all along.

    Formula: the most of lack / tan(lean) for the flange's thickness, but never more than its whole height, for then it
    is cut from new metal; drawn height - height for its height; and the hollow. lack = drawn thickness at the tread's
    level - above tan(lean) - measured; largest tread = worn tread - 2 off.
    Parameters: `profile`, drawn; `wear`, nm; `unit`, shown first in the workings.
    Raises: TreadError, field `worn_tread`, `worn_flange`, `worn_at`, `worn_height` or `worn_hollow`.
    Source: geometry, taking the flange's face as worn evenly; no published source.

    >>> from domain.treads.profile import ProfileFigures, profile
    >>> drawn = profile(ProfileFigures(127_000_000, 12_827_000, 3_175_000, 3_556_000, 1_841_500))
    >>> at = drawn_flange(drawn).usual_nm(Unit.MM)
    >>> thin = MeasuredSize(3_175_000 - drawn_flange(drawn).less_nm(at) - 100_000, 0)
    >>> found = to_turn(drawn, Wear(MeasuredSize(126_000_000, 0), thin, at, MeasuredSize(4_056_000, 0),
    ...     MeasuredSize(50_000, 0)), Unit.MM)
    >>> found.by.value, found.off_nm
    ('flange thickness', 567129)
    """
    _check(wear)
    figures, flange = profile.figures, drawn_flange(profile)
    place = FlangePlace(flange, wear.above_nm)
    if place.lack:
        raise TreadError(
            "That is on the root or the tip of the drawn flange: measure it on the straight of its face.",
            field="worn_at",
        )
    drawn = figures.flange_width_nm - place.less_nm
    lack = drawn - wear.flange.nm
    slope = math.tan(math.radians(flange.lean_deg))
    whole = figures.flange_depth_nm
    thin, thin_u = 0, 0
    if lack > 0:
        # A face square to the axle gets no thicker further up: then only new metal helps.
        steep = slope * whole <= lack
        thin = whole if steep else math.ceil(lack / slope)
        thin_u = 0 if steep else math.ceil(wear.flange.expanded_nm / slope)
    low = max(0, whole - wear.height.nm)
    asked = (
        (thin, WornBy.THICKNESS, thin_u),
        (low, WornBy.HEIGHT, wear.height.expanded_nm),
        (wear.hollow.nm, WornBy.HOLLOW, wear.hollow.expanded_nm),
    )
    off, by, expanded = max(asked, key=lambda one: one[0])
    if not off:
        by, expanded = WornBy.NOTHING, 0
    largest = wear.tread.nm - 2 * off
    workings = (
        Working(
            "off the radius for the flange's thickness",
            "(drawn - measured) / tan(lean), at most its whole height",
            f"({fine(drawn, unit)} - {fine(wear.flange.nm, unit)}) / tan({flange.lean_deg:g})",
            show(thin, unit),
            _DERIVED,
        ),
        Working(
            "off the radius for the flange's height",
            "drawn - measured",
            f"{show(whole, unit)} - {show(wear.height.nm, unit)}",
            show(low, unit),
            _DERIVED,
        ),
        Working(
            "off the radius for the hollow",
            "the hollow",
            show(wear.hollow.nm, unit),
            show(wear.hollow.nm, unit),
            _DERIVED,
        ),
        Working(
            "largest tread",
            "worn tread - 2 * the most of these",
            f"{show(wear.tread.nm, unit)} - 2 * {show(off, unit)}",
            show(largest, unit),
            _DERIVED,
        ),
    )
    return ToTurn(by, off, expanded, largest, workings)


def thicker_by_nm(
    flange: DrawnFlange,
    made_at_tread: MeasuredSize,
    made_tread_nm: int,
    worn: MeasuredSize,
    above_nm: int,
    tread_nm: int,
) -> int:
    """How much thicker a worn flange was read than it was when new, beyond what the instruments tell; 0 where it was not.

    Formula: as the tread came down by w = (made - worn tread) / 2, what was measured `above_nm` above it stood above - w
    above the new one: new thickness there = made at the tread's level - (above - w) tan(lean); U = sqrt(U1^2 + U2^2).
    Where that place was on the new root or tip nothing can be said.
    Source: geometry.

    >>> from domain.treads.flange import DrawnFlange
    >>> face = DrawnFlange(1_100_000, 2_000_000, 10.0)
    >>> thicker_by_nm(face, MeasuredSize(3_000_000, 0), 100_000_000, MeasuredSize(2_900_000, 0), 1_500_000, 100_000_000)
    164490
    """
    place = above_nm - (made_tread_nm - tread_nm) // 2
    if not flange.tells_at(place):
        return 0
    over = worn.nm - (made_at_tread.nm - flange.less_nm(place))
    sure = math.ceil(math.hypot(worn.expanded_nm, made_at_tread.expanded_nm))
    return over if over > sure else 0


@dataclass(frozen=True)
class Common:
    """The diameter that worn wheels of one group can all be turned to, nm, and whether their rims allow it.

    decided_by: the wheels that can reach no more; left_nm: what the rim then has above the smallest allowed, on the
    radius, None where nobody said how small; lost: the wheels that alone come out below it; without_nm: what the others
    come to, None where there are none.
    """

    diameter_nm: int
    expanded_nm: int
    decided_by: tuple[str, ...]
    cuts: tuple[RemainingCut, ...]
    least_nm: int | None
    left_nm: int | None
    answer: Answer
    decision: Decision | None
    lost: tuple[str, ...]
    without_nm: int | None
    working: Working


_ANSWERS = {
    Conformity.INSIDE: Answer.SERVES,
    Conformity.OUTSIDE: Answer.NOT,
    Conformity.CANNOT_TELL: Answer.CANNOT_TELL,
}


def common_diameter(wheels: Mapping[str, tuple[Wear, ToTurn]], least_nm: int | None, unit: Unit) -> Common:
    """The largest diameter at which every worn wheel of a group is whole again, and whether it is allowed.

    Formula: D = the least of what each can reach; left = (D - smallest allowed) / 2; cut = (worn tread - D) / 2. U of D
    is that of the wheel that decides: sqrt(U_tread^2 + (2 U_off)^2).
    Parameters: `wheels` by their marks; `least_nm`, the smallest tread allowed, None where nobody said; `unit`.
    Raises: TreadError, field `wheels`, without a wheel.
    Source: coupled wheels have to match; ISO 14253-1:2017 for whether it is allowed; no published source for the rest.

    >>> sure = MeasuredSize(126_000_000, 0)
    >>> wear = Wear(sure, MeasuredSize(3_000_000, 0), 1_500_000, MeasuredSize(4_000_000, 0), MeasuredSize(0, 0))
    >>> found = common_diameter({"A": (wear, ToTurn(WornBy.HOLLOW, 200_000, 0, 125_600_000, ())),
    ...     "B": (wear, ToTurn(WornBy.NOTHING, 0, 0, 126_000_000, ()))}, 125_000_000, Unit.MM)
    >>> found.diameter_nm, found.decided_by, found.left_nm, found.answer.words
    (125600000, ('A',), 300000, 'good')
    """
    if not wheels:
        raise TreadError("No wheel's wear is logged yet: log one first.", field="wheels")
    reach = {mark: off.largest_nm for mark, (_, off) in wheels.items()}
    diameter = min(reach.values())
    deciders = tuple(mark for mark, nm in reach.items() if nm == diameter)
    expanded = max(
        math.ceil(math.hypot(wheels[mark][0].tread.expanded_nm, 2 * wheels[mark][1].expanded_nm))
        for mark in deciders
    )
    cuts = tuple(
        RemainingCut(mark, (wear.tread.nm - diameter) // 2, mark in deciders)
        for mark, (wear, _) in wheels.items()
    )
    decision: Decision | None = None
    answer, left, lost = (
        Answer.CANNOT_TELL,
        None,
        tuple(mark for mark, nm in reach.items() if nm < (least_nm or 1)),
    )
    if diameter <= 0:
        answer = Answer.NOT
    elif least_nm is not None:
        decision = decide(diameter, expanded, least_nm, None, unit, "new tread")
        answer, left = _ANSWERS[decision.answer], (diameter - least_nm) // 2
    others = [nm for mark, nm in reach.items() if mark not in lost]
    working = Working(
        "common diameter",
        "the least of what each worn wheel can reach",
        ", ".join(f"{mark} {show(nm, unit)}" for mark, nm in reach.items()),
        show(diameter, unit),
        "coupled wheels have to match; no published source",
    )
    without = min(others) if lost and others else None
    return Common(
        diameter, expanded, deciders, cuts, least_nm, left, answer, decision, lost, without, working
    )


def short_at(wheels: Mapping[str, tuple[Wear, ToTurn]], diameter_nm: int) -> dict[str, int]:
    """The wheels whose profile is not whole at a diameter, each with how much further its radius would have to come down.

    Formula: (diameter - what it can reach) / 2, rounded up. Source: geometry.

    >>> sure = MeasuredSize(126_000_000, 0)
    >>> wear = Wear(sure, MeasuredSize(3_000_000, 0), 1_500_000, MeasuredSize(4_000_000, 0), MeasuredSize(0, 0))
    >>> short_at({"A": (wear, ToTurn(WornBy.HOLLOW, 200_000, 0, 125_600_000, ()))}, 125_700_000)
    {'A': 50000}
    """
    over = {mark: diameter_nm - off.largest_nm for mark, (_, off) in wheels.items()}
    return {mark: -(-nm // 2) for mark, nm in over.items() if nm > 0}


@dataclass(frozen=True)
class FullSize:
    """What takes a full-size wheel out of service, scaled to a track gauge, nm: a hint, and no rule for models."""

    flange_nm: int
    above_nm: int
    hollow_nm: int
    low_nm: int
    high_nm: int
    rim_nm: int


def full_size(gauge_nm: int) -> FullSize:
    """Full-size wear limits by gauge: flange 15/16 in or less at 3/8 in, hollow 5/16 in, height 1 to 1 1/2 in, rim 1 in.

    Formula: limit * gauge / 56.5 in.
    Source: 49 CFR 230.113 (g) to (j); that they scale by gauge is derived here, a hint and no rule for models.

    >>> full_size(FULL_SIZE_GAUGE_NM).flange_nm
    23812500
    """
    if gauge_nm <= 0:
        raise TreadError("The track gauge must be more than nothing: type it, such as 5 in.", field="gauge")
    limits = (_FLANGE_NM, _FLANGE_AT_NM, _HOLLOW_NM, _LOW_NM, _HIGH_NM, _RIM_NM)
    return FullSize(*(nm * gauge_nm // FULL_SIZE_GAUGE_NM for nm in limits))


def _check(wear: Wear) -> None:
    for field, nm in (
        ("worn_tread", wear.tread.nm),
        ("worn_flange", wear.flange.nm),
        ("worn_at", wear.above_nm),
        ("worn_height", wear.height.nm),
    ):
        if nm <= 0:
            raise TreadError("A size of a tyre is more than nothing: measure it again.", field=field)
    if wear.hollow.nm < 0:
        raise TreadError("A hollow is nothing or more: measure it again.", field="worn_hollow")
