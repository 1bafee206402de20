"""What the sizes that are advised keep clear of, so that the one judge calls them good afterwards."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from domain.joints.fit import Margin, safe_window
from domain.joints.held import careful_factor, gripping_interference_nm
from domain.joints.judge import Load
from domain.joints.kinds import FitKind
from domain.joints.terms import ForcedJoint, HeldBy, Joint

_NEAR_NM = 100_000  # a seat that is turned to suit is this near to the one it is worked for


def margins(holding: HeldBy, load: Load | None, unsure_nm: int) -> tuple[Margin, ...]:
    """The margins to try, the best first: with the whole reserve in hand, then holding at all.

    Formula: as gripping_interference_nm, on the seats a tenth of a millimetre either side, for the seat is not cut yet.
    holding: what is to hold. load: what is asked; None, or with a placeholder in it, only a grip at all is asked, for no
    invented figure condemns a size. unsure_nm: expanded uncertainty of bore less seat, nm, 0 or more.
    Returns: margins, nm; the last asks least.
    Raises: ValueError on a figure outside its limits.
    """
    if not isinstance(holding, ForcedJoint):
        return (Margin(unsure_nm),)
    torques = [0.0]
    if load is not None and not load.invented:
        torques = [load.demand.torque_nm * load.factor_wanted, load.demand.torque_nm]
    near = max(_NEAR_NM, holding.wanted_nm[1] if holding.wanted_nm else 0)
    seats = {
        max(holding.axle_bore_nm + 1, holding.seat_nm - near),
        min(holding.boss_nm - 1, holding.seat_nm + near),
    }
    joints = [replace(holding, seat_nm=seat) for seat in seats]
    return tuple(
        Margin(unsure_nm, max(gripping_interference_nm(one, torque) for one in joints)) for torque in torques
    )


class Short(StrEnum):
    """What the best size there is falls short of, so that it is good with care only."""

    NOTHING = "nothing"
    STRAINED = "strained"
    RESERVE = "reserve"
    RANGE = "range"


@dataclass(frozen=True)
class Aim:
    """The sizes to aim between, nm, the margin that they keep, and what even they fall short of."""

    window: tuple[int, int]
    margin: Margin
    short: Short


Window = Callable[[Margin], tuple[int, int] | None]


def best_aim(known: Sequence[Margin], window: Window, least_wide_nm: int) -> Aim | None:
    """The sizes that the judge calls good once they are met; where there are none, the best that are safe.

    Formula: the first of these that some size keeps: all that is asked, without strain where that leaves least_wide_nm or
    all there is; with less in hand than the reserve; past the range that is wanted, to what the boss stands.
    known: as margins() has them, the best first, with the readings of the bore that is there. window: the sizes that keep
    a margin, such as bore_window of one joint and one seat. least_wide_nm: above 0.
    Returns: the aim; None where no size is safe.
    Source: common practice, no source.
    """
    first = window(known[0])
    if first is not None:
        eased = replace(known[0], factor=careful_factor())
        good = window(eased)
        if good is not None and (good == first or good[1] - good[0] >= least_wide_nm):
            return Aim(good, eased, Short.NOTHING)
        return Aim(first, known[0], Short.STRAINED)
    for margin, short in _eased(known):
        found = window(margin)
        if found is not None:
            return Aim(found, margin, short)
    return None


def _eased(known: Sequence[Margin]) -> Iterator[tuple[Margin, Short]]:
    """The margins that ask less than the best one, the most careful first."""
    yield from ((one, Short.RESERVE) for one in known[1:])
    yield from ((replace(one, with_care=True), Short.RANGE) for one in known)


@dataclass(frozen=True)
class TooNarrow:
    """A safe window of interference that cannot be worked to.

    width_nm: of the window, nm. bores_nm: what the builder's bores spread, where that is more; None where it is not.
    unsure_nm: the expanded uncertainty of bore less seat, where twice that is more; None where it is not.
    """

    kind: FitKind
    width_nm: int
    bores_nm: int | None
    unsure_nm: int | None


def too_narrow(joint: Joint, seat_nm: int, margin: Margin, bores_nm: int | None) -> TooNarrow | None:
    """Whether the safe window of a press or shrink fit is narrower than can be bored, or than the instrument tells.

    Formula: safe_window is narrower than the bores spread, or than twice the uncertainty, one at each end.
    joint: a fit; a bond is never too narrow here. bores_nm: what the bores spread, nm; None where it is not known.
    Returns: the finding; None where there is room, or no window at all.
    Raises: FitError for sizes out of order or an unknown iron.
    Source: common practice, no source.

    >>> joint = Joint(FitKind.PRESS, 15_000_000, 15_000_000, 32_000_000, 14_000_000, 18_000, 30_000, "en-gjl-250")
    >>> too_narrow(joint, 15_000_000, Margin(3_000), 5_000)
    TooNarrow(kind=<FitKind.PRESS: 'press'>, width_nm=4529, bores_nm=5000, unsure_nm=3000)
    """
    if joint.kind is FitKind.BOND:
        return None
    least, most = safe_window(joint, seat_nm, margin)
    width = most - least
    if width < 0:
        return None
    bores = bores_nm if bores_nm is not None and bores_nm > width else None
    unsure = margin.unsure_nm if 2 * margin.unsure_nm > width else None
    return TooNarrow(joint.kind, width, bores, unsure) if bores or unsure else None
