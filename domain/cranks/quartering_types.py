"""What goes into the quartering work sheet and what comes out. Directions are those of domain/cylinders.py."""

import math
from dataclasses import dataclass
from enum import StrEnum

from domain.cranks.cylinders import Side
from domain.measuring.decision_types import Conformity
from domain.working import Working

STEEPEST_DEG = (
    75.0  # nearer to the top or the bottom a height tells next to nothing: common practice, no source
)


class QuarteringError(ValueError):
    """Heights no angle can be worked out from; its text is one sentence for the page, beside `field` where one is named.

    field: the side whose height is at fault, "branches" where the branches are, empty where it is none of them alone.
    """

    def __init__(self, words: str, field: str = "") -> None:
        super().__init__(words)
        self.field = field


class Branch(StrEnum):
    """On which side of the axle a pin stands: towards the leading end of the engine, or away from it."""

    FRONT = "front"
    REAR = "rear"


@dataclass(frozen=True)
class Measured:
    """A length with its expanded uncertainty U (k = 2), both nm."""

    nm: int
    expanded_nm: int = 0


@dataclass(frozen=True)
class CentreHeight:
    """The height of a centre above the surface plate, with the working."""

    height: Measured
    working: Working


@dataclass(frozen=True)
class Pin:
    """One crankpin as the axle lies in its vee blocks: its side, its branch, its centre's height and its throw."""

    side: Side
    branch: Branch
    height: Measured
    throw: Measured


@dataclass(frozen=True)
class PinAngle:
    """Where a pin points, degrees.

    elevation_deg: up from level, 0 towards the leading end, 180 towards the trailing end.
    from_level_deg: up from the nearer level, below 0 when the pin is under the axle.
    expanded_deg: its own U, the axle's height included.
    """

    side: Side
    elevation_deg: float
    from_level_deg: float
    expanded_deg: float
    working: Working


@dataclass(frozen=True)
class QuarterAngle:
    """The angle between two cranks against the drawing, degrees.

    ahead, behind: the crank the drawing wants ahead, and the one behind it.
    angle_deg: how far it is ahead, 0 up to 360; past 180 it is the other that is ahead.
    departure_deg: angle less wanted, above -180 and up to 180. expanded_deg: U (k = 2) of the angle.
    settles_deg: the largest U with which this angle would get an answer.
    lead_right: whether the crank that should be ahead is ahead.
    """

    ahead: Side
    behind: Side
    angle_deg: float
    wanted_deg: float
    departure_deg: float
    expanded_deg: float
    tolerance_deg: float
    settles_deg: float
    lead_right: bool
    answer: Conformity
    words: str
    workings: tuple[Working, ...]


@dataclass(frozen=True)
class AxleSheet:
    """One axle as measured: where each pin points and the angle of each two cranks; `quarter` is the outside two's."""

    pins: tuple[PinAngle, ...]
    angles: tuple[QuarterAngle, ...]

    @property
    def quarter(self) -> QuarterAngle:
        return self.angles[0]


@dataclass(frozen=True)
class SetUp:
    """One way to lay the axle: where each pin stands, how high its centre is, and the largest U that comes of it."""

    pins: tuple[tuple[Side, Branch, int], ...]
    from_level_deg: tuple[float, ...]
    expanded_deg: float
    words: str


def elevation_deg(height_nm: int, centre_nm: int, throw_nm: int, branch: Branch) -> float:
    """Which way a pin points, from its height.

    Formula: phi = asin((h - hc) / r); elevation = phi in front of the axle, 180 - phi behind it.
    Parameters: `height_nm`, `centre_nm`, heights of pin and axle, nm; `throw_nm` > 0; |h - hc| <= r; `branch`.
    Returns: degrees, -90 to 270.
    Raises: ValueError when |h - hc| is more than the throw.
    Source: geometry.

    >>> round(elevation_deg(75_620_000, 60_000_000, 22_225_000, Branch.REAR), 4)
    135.3469
    """
    phi = math.degrees(math.asin((height_nm - centre_nm) / throw_nm))
    return phi if branch is Branch.FRONT else 180.0 - phi


def height_nm(elevation: float, centre_nm: int, throw_nm: int) -> int:
    """How high a pin's centre is that points this way.

    Formula: h = hc + r sin(elevation), rounded to whole nanometres.
    Parameters: `elevation`, degrees; `centre_nm`, the axle's height, `throw_nm`, nm.
    Returns: nm.
    Source: geometry.

    >>> height_nm(90.0, 60_000_000, 22_225_000)
    82225000
    """
    return centre_nm + round(throw_nm * math.sin(math.radians(elevation)))


def angle_u_deg(ahead: Pin, behind: Pin, elevations: tuple[float, float], centre: Measured) -> float:
    """The expanded uncertainty of the angle between two cranks.

    Formula: de/dh = 1/(r cos e), de/dhc = -1/(r cos e), de/dr = -tan e / r; the axle's height is in both pins, so that
    part is |1/(r1 cos e1) - 1/(r2 cos e2)| U_hc; all parts added as squares.
    Parameters: `ahead`, `behind`, the pins, their U in nm; `elevations`, theirs, degrees, not 90 or 270; `centre`.
    Returns: U (k = 2), degrees.
    Source: JCGM 100:2008 (GUM) 5.1.2, inputs independent; the sensitivities are derived here.

    >>> pin = Pin(Side.RIGHT, Branch.FRONT, Measured(75_800_000, 10_000), Measured(22_225_000))
    >>> still = Pin(Side.LEFT, Branch.REAR, Measured(75_620_000), Measured(22_225_000))
    >>> round(angle_u_deg(pin, still, (45.309, 135.347), Measured(60_000_000)), 4)
    0.0367
    """
    slopes = [_slope(pin, at) for pin, at in zip((ahead, behind), elevations, strict=True)]
    parts = [(slopes[0] - slopes[1]) * centre.expanded_nm]
    for pin, at, slope in zip((ahead, behind), elevations, slopes, strict=True):
        parts.append(slope * pin.height.expanded_nm)
        parts.append(math.tan(math.radians(at)) / pin.throw.nm * pin.throw.expanded_nm)
    return math.degrees(math.hypot(*parts))


def pin_u_deg(pin: Pin, elevation: float, centre: Measured) -> float:
    """The expanded uncertainty of where one pin points.

    Formula: as angle_u_deg(), with the axle's height as one more independent part.
    Parameters: `pin`, its U in nm; `elevation`, degrees, not 90 or 270; `centre`, the axle's height.
    Returns: U (k = 2), degrees.
    Source: JCGM 100:2008 (GUM) 5.1.2; the sensitivities are derived here.

    >>> pin = Pin(Side.RIGHT, Branch.FRONT, Measured(60_000_000, 3_000), Measured(20_000_000))
    >>> round(math.radians(pin_u_deg(pin, 0.0, Measured(60_000_000, 4_000))) * 20_000_000)
    5000
    """
    slope = _slope(pin, elevation)
    throw = math.tan(math.radians(elevation)) / pin.throw.nm * pin.throw.expanded_nm
    return math.degrees(math.hypot(slope * pin.height.expanded_nm, slope * centre.expanded_nm, throw))


def _slope(pin: Pin, elevation: float) -> float:
    """How much the elevation changes with the pin's height, radians per nm; below 0 behind the axle."""
    return 1.0 / (pin.throw.nm * math.cos(math.radians(elevation)))


def wrapped_deg(angle: float) -> float:
    """An angle brought above -180 and up to 180 degrees.

    Formula: angle + n 360.
    Parameters: `angle`, degrees.
    Returns: degrees.
    Source: by definition.

    >>> wrapped_deg(270.0), wrapped_deg(-180.0)
    (-90.0, 180.0)
    """
    turned = math.fmod(angle, 360.0)
    if turned > 180.0:
        return turned - 360.0
    return turned + 360.0 if turned <= -180.0 else turned
