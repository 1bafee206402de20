"""How thick a drawn flange is at a height above its tread: above its root radius, where a gauge can tell."""

import math
from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import NM_PER_MM, Unit
from domain.treads.profile import Profile
from domain.treads.wheel_standard import TreadError

# Steps a gauge or a rule can be set to.
_STEPS = {Unit.MM: (500_000, 100_000, 10_000), Unit.INCH: (254_000, 127_000, 25_400)}
# So far past the straight part a root or tip of half a millimetre or more leaves its line by less than 0.003 mm:
# d^2 / 2R.
_LEEWAY_NM = 50_000


@dataclass(frozen=True)
class DrawnFlange:
    """The straight part of a drawn flange's face: from where to where above the tread, nm, and its lean from square.

    The tread's level is that of its diameter, half way along.
    """

    low_nm: int
    high_nm: int
    lean_deg: float

    def less_nm(self, above_nm: int) -> int:
        """How much thinner the flange is at that height than at the tread's level, nm.

        Formula: height tan(lean). Source: geometry.

        >>> DrawnFlange(1_100_000, 1_300_000, 10.0).less_nm(1_200_000)
        211592
        """
        return round(above_nm * math.tan(math.radians(self.lean_deg)))

    def tells_at(self, above_nm: int) -> bool:
        """Whether the face is straight at that height, so that a thickness measured there tells of the whole flange."""
        return self.low_nm - _LEEWAY_NM <= above_nm <= self.high_nm + _LEEWAY_NM

    def usual_nm(self, unit: Unit) -> int:
        """A height to measure at, nm: half way up the straight part, in the largest step that stays on it.

        Source: common practice, no source; full size is measured 3/8 in above the tread (from memory, verify).

        >>> DrawnFlange(1_100_000, 1_300_000, 10.0).usual_nm(Unit.MM)
        1200000
        """
        middle = (self.low_nm + self.high_nm) // 2
        rounded = (round(middle / step) * step for step in _STEPS[unit])
        return next((nm for nm in rounded if self.low_nm <= nm <= self.high_nm), middle)


def drawn_flange(profile: Profile) -> DrawnFlange:
    """The straight part of a profile's flange face: above the root radius, below the rounded tip.

    Source: geometry; that a flange is measured above its root radius is the full-size way, from memory, verify.
    """
    level = profile.gauge_point.radius_mm
    ends = {one.name: one for one in profile.segments}
    root, tip = ends["root radius"].start, ends.get("front of flange tip")
    top = tip.end.radius_mm - level if tip else profile.figures.flange_depth_nm / NM_PER_MM
    low = round((root.radius_mm - level) * NM_PER_MM)
    return DrawnFlange(low, max(low, round(top * NM_PER_MM)), profile.figures.flange_face_deg)


class FlangeLack(StrEnum):
    """Why a flange's thickness, as it was measured, tells nothing of the flange."""

    NO_PROFILE = "the drawing's profile cannot be turned"
    NO_HEIGHT = "nobody said how far above the tread"
    OFF_THE_FACE = "on the root or the tip"


@dataclass(frozen=True)
class FlangePlace:
    """Where a flange's thickness was measured: on which drawn flange, and how far above the tread, nm.

    drawn None: the drawing's profile cannot be turned; above_nm None: nobody said.
    """

    drawn: DrawnFlange | None
    above_nm: int | None

    @property
    def lack(self) -> FlangeLack | None:
        """Why a thickness measured there tells nothing of the flange; None where it tells."""
        if self.drawn is None:
            return FlangeLack.NO_PROFILE
        if self.above_nm is None:
            return FlangeLack.NO_HEIGHT
        return None if self.drawn.tells_at(self.above_nm) else FlangeLack.OFF_THE_FACE

    @property
    def less_nm(self) -> int:
        """How much thinner the flange is there than at the tread's level, nm.

        Raises: TreadError, field `flange_at`, where that cannot be said.
        """
        if self.drawn is None or self.above_nm is None or self.lack:
            raise TreadError("Say how far above the tread the flange was measured.", field="flange_at")
        return self.drawn.less_nm(self.above_nm)
