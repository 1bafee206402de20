"""The dial and what it shows: spots on the work in the chuck, readings at them, and the circle in those.

One convention everywhere. Stand at the tailstock and face the chuck, jaw 1 at the top: jaws 2, 3 and 4 follow
clockwise, and angles count clockwise from jaw 1. An angle belongs to a spot on the work, not to a place in
the air: the dial stays where it is, and the chuck is turned until that spot is under the plunger.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from domain.errors import TradeError
from domain.lengths import NM_PER_MM, Unit, show, show_offset
from domain.truing.linear_solve import SingularError, inverse, normal_matrix, times
from domain.working import Working

JAWS: Mapping[int, float] = {1: 0.0, 2: 90.0, 3: 180.0, 4: 270.0}
# The four quarters of a casting that is not in a chuck, numbered like a clock.
HOURS = (12, 3, 6, 9)
LARGEST_NM = 25 * NM_PER_MM
SAME_SPOT_DEG = 1.0

_HALF_TURN = 180.0
# How many times the middle found may be out of what one reading is out; three evenly spread spots give 1.2.
_LARGEST_GAIN = 3.0
_NOISE_FROM = 7


class TruingError(TradeError):
    """Something typed that cannot be; where it is one of several, `place` is the jaw's number or its place from 1.

    `box` names what it is: "jaw", "angle", "reading" with a place, "readings" for all together, or a box that is alone.
    """

    def __init__(self, sentence: str, box: str = "readings", place: int | None = None) -> None:
        super().__init__(sentence, box if place is None else f"{box}_{place}")
        self.box, self.place = box, place


@dataclass(frozen=True)
class Dial:
    """The dial in use: one division, nm; the system it is marked in; whether its figures rise as the plunger goes in."""

    division_nm: int
    unit: Unit
    counts_up_when_pushed_in: bool = True

    def __post_init__(self) -> None:
        if not 0 < self.division_nm <= NM_PER_MM:
            raise TruingError(
                f"A dial division of {show(self.division_nm, self.unit)} cannot be: type what is printed on its face,"
                " such as 0.01 mm or 0.001 in.",
                "division",
            )

    @property
    def pushed_in_sign(self) -> int:
        """+1 where pushing the plunger in makes the figure rise, -1 where it makes it fall."""
        return 1 if self.counts_up_when_pushed_in else -1


@dataclass(frozen=True)
class DialReading:
    """What the dial shows, nm, with the spot at this angle under the plunger; degrees clockwise from jaw 1."""

    angle_deg: float
    nm: int


@dataclass(frozen=True)
class DialFit:
    """The circle in the readings: R = mean + a cos phi + b sin phi, nm as the dial shows them.

    `tir_nm` is the largest reading less the smallest; `residuals_nm` follow the order of the readings. With three
    readings nothing is left over, so out-of-round and the standard errors are None; the last one, with the oval part
    taken out first, needs seven.
    """

    mean_nm: float
    a_nm: float
    b_nm: float
    residuals_nm: tuple[float, ...]
    tir_nm: int
    out_of_round_nm: int | None = None
    a_standard_error_nm: float | None = None
    b_standard_error_nm: float | None = None
    rough_standard_error_nm: float | None = None

    @property
    def amplitude_nm(self) -> float:
        """Half the swing that is due to the circle's place, nm."""
        return math.hypot(self.a_nm, self.b_nm)

    @property
    def swing_nm(self) -> int:
        """The swing of the dial in a whole turn, nm: total indicator reading.

        The spots read may all miss the highest and the lowest: two jaws off by a like amount show only 0.7 of it.

        Formula: the larger of 2 sqrt(a^2 + b^2), twice the eccentricity, and of largest - smallest reading.
        Source: total indicator reading is twice the eccentricity, by definition.
        """
        return max(self.tir_nm, round(2 * self.amplitude_nm))

    @property
    def high_deg(self) -> float:
        """Where the circle's reading is highest, degrees 0 to 360 clockwise from jaw 1; 0 where there is no swing."""
        return math.degrees(math.atan2(self.b_nm, self.a_nm)) % 360

    def at(self, angle_deg: float) -> float:
        """The part of a reading at an angle that is due to the circle's place: a cos phi + b sin phi, nm."""
        cos, sin = direction(angle_deg)
        return self.a_nm * cos + self.b_nm * sin


def direction(angle_deg: float) -> tuple[float, float]:
    """Cosine and sine of an angle, exact at the four jaws.

    How far along jaw 1, and along jaw 2.

    >>> direction(450.0)
    (0.0, 1.0)
    """
    # A cosine of 90 degrees that is 6e-17 would ask for a hair's move on jaws that are right.
    square = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    turned = angle_deg % 360
    return square.get(turned) or (math.cos(math.radians(turned)), math.sin(math.radians(turned)))


def from_jaws(at_jaws: Mapping[int, int], unit: Unit = Unit.MM) -> tuple[DialReading, ...]:
    """The readings at the four jaws as readings at angles.

    Formula: jaw 1 at 0, 2 at 90, 3 at 180, 4 at 270 degrees, clockwise facing the chuck.
    Parameters: `at_jaws`, reading in nm for each jaw number 1 to 4.
    Raises: TruingError for a jaw that does not exist, one without a reading, or a reading no dial shows.
    Source: by definition, the convention at the head of this file.

    >>> from_jaws({1: 0, 2: 10_000, 3: 40_000, 4: 20_000})[2]
    DialReading(angle_deg=180.0, nm=40000)
    """
    for jaw in at_jaws:
        if jaw not in JAWS:
            raise TruingError(
                f"There is no jaw {jaw}: number the jaws 1 to 4, clockwise as you face the chuck.",
                "jaw",
                jaw,
            )
    for jaw in JAWS:
        if jaw not in at_jaws:
            raise TruingError(
                f"Jaw {jaw} has no reading: turn it under the plunger and type what the dial shows.",
                "jaw",
                jaw,
            )
        _check_size(at_jaws[jaw], "jaw", jaw, unit)
    return tuple(DialReading(angle, at_jaws[jaw]) for jaw, angle in JAWS.items())


def check_readings(readings: Sequence[DialReading], unit: Unit = Unit.MM) -> None:
    """Refuse readings in which no circle can be found.

    Formula: three or more; spots at least 1 degree apart; the largest gap between neighbours under 180 degrees;
    sqrt(var a + var b) at most 3 for readings of variance 1.
    Raises: TruingError.
    Source: the limits are our own choice; three evenly spread spots give 1.15, four give 1.

    >>> check_readings([DialReading(0, 0), DialReading(90, 0), DialReading(170, 0)])  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    ...
    domain.truing.dial.TruingError: All the readings lie in one half of the circle: ...
    """
    for place, one in enumerate(readings, 1):
        if not math.isfinite(one.angle_deg):
            raise TruingError(
                "This is no angle: type degrees clockwise from jaw 1, such as 45.", "angle", place
            )
        _check_size(one.nm, "reading", place, unit)
    if len(readings) < 3:
        raise TruingError(
            f"{len(readings)} of at least three readings: read more spots, best all four jaws, spread round the work."
        )
    _check_apart(readings)
    _check_all_round(readings)
    cov = _covariance(readings, 1)
    if cov is None or math.sqrt(cov[1][1] + cov[2][2]) > _LARGEST_GAIN:
        raise TruingError(
            "The spots are bunched, which cannot fix the middle: spread them evenly round the work."
        )


def fit_readings(readings: Sequence[DialReading], unit: Unit = Unit.MM) -> DialFit:
    """Find the circle in dial readings, and what is left over.

    Formula: R(phi) = R0 + a cos phi + b sin phi by least squares, equal weights; residual = R - fit; standard error
    of a = s sqrt((A^T A)^-1_aa), s^2 = sum residual^2 / (n - 3); out-of-round = largest residual - smallest.
    The rough standard error takes cos 2 phi and sin 2 phi (an oval) out first, s^2 = sum / (n - 5), for n of 7 or more.
    With the four jaws a = (R1 - R3) / 2 and b = (R2 - R4) / 2. A shift e of a circle of radius r leaves a further
    e^2 / (2 r) at most, which the next round takes out.
    Parameters: `readings`, three or more.
    Raises: TruingError as check_readings does.
    Source: the linearised least squares circle (limacon) of ISO 12181 practice, from memory, verify; linear least
    squares from any textbook.

    >>> fit = fit_readings(from_jaws({1: 300_000, 2: 100_000, 3: 100_000, 4: 100_000}))
    >>> round(fit.a_nm), round(fit.b_nm), fit.tir_nm, fit.out_of_round_nm
    (100000, 0, 200000, 100000)
    """
    check_readings(readings, unit)
    (mean, a, b), left = _solve(readings, 1)
    shown = [one.nm for one in readings]
    tir = max(shown) - min(shown)
    if len(readings) == 3:
        return DialFit(mean, a, b, left, tir)
    cov = _covariance(readings, 1)
    assert cov is not None  # check_readings has solved it
    s = math.sqrt(sum(one * one for one in left) / (len(left) - 3))
    return DialFit(
        mean,
        a,
        b,
        left,
        tir,
        out_of_round_nm=round(max(left) - min(left)),
        a_standard_error_nm=s * math.sqrt(cov[1][1]),
        b_standard_error_nm=s * math.sqrt(cov[2][2]),
        rough_standard_error_nm=_rough(readings, math.sqrt((cov[1][1] + cov[2][2]) / 2)),
    )


def _check_apart(readings: Sequence[DialReading]) -> None:
    order = sorted(range(len(readings)), key=lambda i: readings[i].angle_deg % 360)
    for i, j in zip(order, [*order[1:], order[0]], strict=True):
        apart = (readings[j].angle_deg - readings[i].angle_deg) % 360
        # The rounding of % can leave two like angles all but a whole turn apart.
        if min(apart, 360 - apart) < SAME_SPOT_DEG - 1e-9:
            later = max(i, j)
            raise TruingError(
                f"Two readings at one spot, {readings[later].angle_deg:g} degrees: keep one,"
                " or change the angle of the other.",
                "angle",
                later + 1,
            )


def _check_all_round(readings: Sequence[DialReading]) -> None:
    angles = sorted(one.angle_deg % 360 for one in readings)
    gaps = [
        (after - before, before) for before, after in zip(angles, [*angles[1:], angles[0] + 360], strict=True)
    ]
    gap, before = max(gaps)
    if gap >= _HALF_TURN - 1e-9:
        raise TruingError(
            "All the readings lie in one half of the circle:"
            f" read a spot near {round(before + gap / 2) % 360} degrees too."
        )


def _design(readings: Sequence[DialReading], harmonics: int) -> list[tuple[float, ...]]:
    return [
        (1.0, *(part for k in range(1, harmonics + 1) for part in direction(k * one.angle_deg)))
        for one in readings
    ]


def _covariance(readings: Sequence[DialReading], harmonics: int) -> list[list[float]] | None:
    try:
        return inverse(normal_matrix(_design(readings, harmonics)))
    except SingularError:
        return None


def _solve(readings: Sequence[DialReading], harmonics: int) -> tuple[list[float], tuple[float, ...]]:
    """The coefficients and what is left over at each reading."""
    design = _design(readings, harmonics)
    # Taken off first so that large like readings lose no figures.
    middle = sum(one.nm for one in readings) / len(readings)
    values = [one.nm - middle for one in readings]
    found = times(inverse(normal_matrix(design)), times(list(zip(*design, strict=True)), values))
    left = tuple(value - fitted for value, fitted in zip(values, times(design, found), strict=True))
    found[0] += middle
    return found, left


def _rough(readings: Sequence[DialReading], gain: float) -> float | None:
    if len(readings) < _NOISE_FROM or _covariance(readings, 2) is None:
        return None
    left = _solve(readings, 2)[1]
    return gain * math.sqrt(sum(one * one for one in left) / (len(left) - 5))


def _check_size(nm: int, box: str, place: int, unit: Unit) -> None:
    """Refuse a reading that no dial shows."""
    if abs(nm) > LARGEST_NM:
        raise TruingError(
            f"No dial shows {show(nm, unit)}: type what it shows, at most {show(LARGEST_NM, unit)}.",
            box,
            place,
        )


@dataclass(frozen=True)
class FourSpots:
    """Half the swing that is due to the place of the surface, nm: on an edge its eccentricity, on a face its wobble."""

    amplitude_nm: int
    working: Working


def four_spots(readings_nm: Sequence[int], name: str, unit: Unit = Unit.MM) -> FourSpots:
    """How far a surface is out, from readings at 12, 3, 6 and 9 o'clock.

    Formula: sqrt(((R12 - R6) / 2)^2 + ((R3 - R9) / 2)^2), which the least squares circle comes to at four even spots
    Parameters: `readings_nm`, four, nm: a dial on the surface while the other one runs true, or the thickness between
    the two; which way they count does not matter; `name`, of the figure for its working.
    Raises: TruingError, with the place of the reading, for a reading that no dial shows; ValueError unless
    there are four.
    Source: geometry of two circles; the fit is fit_readings.

    >>> four_spots([400_000, 300_000, 0, 0], "out").amplitude_nm
    250000
    """
    if len(readings_nm) != len(HOURS):
        raise ValueError("four readings are wanted")
    # Only the differences count, and callipers read the whole height: no dial would show that.
    least = min(readings_nm)
    spots = [DialReading(90.0 * place, nm - least) for place, nm in enumerate(readings_nm)]
    amplitude = round(fit_readings(spots, unit).amplitude_nm)
    twelve, three, six, nine = (show_offset(nm, unit) for nm in readings_nm)
    working = Working(
        name,
        "square root of ((R12 - R6) / 2)^2 + ((R3 - R9) / 2)^2",
        f"12 o'clock {twelve}, 3 o'clock {three}, 6 o'clock {six}, 9 o'clock {nine}",
        show(amplitude, unit),
        "a circle fitted by least squares to four even spots; geometry",
    )
    return FourSpots(amplitude, working)
