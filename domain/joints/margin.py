"""What the sizes that are advised keep clear of, so that the one judge does not call them unsafe afterwards."""

from dataclasses import dataclass, replace

from domain.joints.fit import Margin, safe_window
from domain.joints.held import gripping_interference_nm
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
