"""Dial readings taken round a piece of work in the chuck, and the circle in them.

Angles count clockwise from jaw 1 as one faces the chuck: dial_spots has the convention.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from domain.lengths import Unit
from domain.truing.dial_spots import (
    JAWS,
    LARGEST_NM,
    DialReading,
    DialReadingError,
    check_size,
    direction,
    from_jaws,
    spot_words,
)
from domain.truing.linear_solve import SingularError, inverse, normal_matrix, times

__all__ = [
    "JAWS",
    "LARGEST_NM",
    "SAME_SPOT_DEG",
    "DialFit",
    "DialReading",
    "DialReadingError",
    "check_readings",
    "direction",
    "fit_readings",
    "from_jaws",
    "spot_words",
]

SAME_SPOT_DEG = 1.0

_HALF_TURN = 180.0
# How many times the middle found may be out of what one reading is out; three evenly spread spots give 1.2.
_LARGEST_GAIN = 3.0
_NOISE_FROM = 7


@dataclass(frozen=True)
class DialFit:
    """The circle in the readings: R = mean + a cos phi + b sin phi, nm as the dial shows them.

    `residuals_nm` follow the order of the readings. With three readings nothing is left over, so out-of-round and the
    standard errors are None; the last one, with the oval part taken out first, needs seven.
    """

    mean_nm: float
    a_nm: float
    b_nm: float
    residuals_nm: tuple[float, ...]
    tir_nm: int
    out_of_round_nm: int | None
    a_standard_error_nm: float | None
    b_standard_error_nm: float | None
    rough_standard_error_nm: float | None

    @property
    def amplitude_nm(self) -> float:
        """Half the swing that is due to the circle's place, nm."""
        return math.hypot(self.a_nm, self.b_nm)

    @property
    def high_deg(self) -> float:
        """Where the circle's reading is highest, degrees 0 to 360 clockwise from jaw 1; 0 where there is no swing."""
        return math.degrees(math.atan2(self.b_nm, self.a_nm)) % 360

    def at(self, angle_deg: float) -> float:
        """The part of a reading at an angle that is due to the circle's place: a cos phi + b sin phi, nm."""
        cos, sin = direction(angle_deg)
        return self.a_nm * cos + self.b_nm * sin


def check_readings(readings: Sequence[DialReading], unit: Unit = Unit.MM) -> None:
    """Refuse readings in which no circle can be found.

    Formula: three or more; spots at least 1 degree apart; the largest gap between neighbours under 180 degrees;
    sqrt(var a + var b) at most 3 for readings of variance 1.
    Parameters: `readings`, any order; `unit`, for the sentences.
    Raises: DialReadingError with the sentence and its field.
    Source: the limits are our own choice; three evenly spread spots give 1.15, four give 1.

    >>> check_readings([DialReading(0, 0), DialReading(90, 0), DialReading(170, 0)])  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    ...
    domain.truing.dial_spots.DialReadingError: All the readings lie in one half of the circle: ...
    """
    for place, one in enumerate(readings, 1):
        if not math.isfinite(one.angle_deg):
            raise DialReadingError(
                "This is no angle: type degrees clockwise from jaw 1, such as 45.", f"angle_{place}"
            )
        check_size(one.nm, f"reading_{place}", unit)
    if len(readings) < 3:
        raise DialReadingError(
            f"{len(readings)} of at least three readings: read more spots, best all four jaws, spread round the work."
        )
    _check_apart(readings)
    _check_all_round(readings)
    cov = _covariance(readings, 1)
    if cov is None or math.sqrt(cov[1][1] + cov[2][2]) > _LARGEST_GAIN:
        raise DialReadingError(
            "The spots are bunched, which cannot fix the middle: spread them evenly round the work."
        )


def fit_readings(readings: Sequence[DialReading], unit: Unit = Unit.MM) -> DialFit:
    """Find the circle in dial readings, and what is left over.

    Formula: R(phi) = R0 + a cos phi + b sin phi by least squares, equal weights; residual = R - fit; standard error
    of a = s sqrt((A^T A)^-1_aa), s^2 = sum residual^2 / (n - 3); out-of-round = largest residual - smallest.
    The rough standard error takes cos 2 phi and sin 2 phi (an oval) out first, s^2 = sum / (n - 5), for n of 7 or more.
    With the four jaws a = (R1 - R3) / 2 and b = (R2 - R4) / 2. A shift e of a circle of radius r leaves a further
    e^2 / (2 r) at most, which the next round takes out.
    Parameters: `readings`, three or more, nm as the dial shows them; `unit`, for the sentences.
    Returns: the fit, nm.
    Raises: DialReadingError as check_readings does.
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
        return DialFit(mean, a, b, left, tir, None, None, None, None)
    cov = _covariance(readings, 1)
    assert cov is not None  # check_readings has solved it
    s = math.sqrt(sum(one * one for one in left) / (len(left) - 3))
    errors = s * math.sqrt(cov[1][1]), s * math.sqrt(cov[2][2])
    rough = _rough(readings, math.sqrt((cov[1][1] + cov[2][2]) / 2))
    return DialFit(mean, a, b, left, tir, round(max(left) - min(left)), *errors, rough)


def _check_apart(readings: Sequence[DialReading]) -> None:
    order = sorted(range(len(readings)), key=lambda i: readings[i].angle_deg % 360)
    for i, j in zip(order, [*order[1:], order[0]], strict=True):
        apart = (readings[j].angle_deg - readings[i].angle_deg) % 360
        # The rounding of % can leave two like angles all but a whole turn apart.
        if min(apart, 360 - apart) < SAME_SPOT_DEG - 1e-9:
            later = max(i, j)
            raise DialReadingError(
                f"Two readings at one spot, {readings[later].angle_deg:g} degrees: keep one,"
                " or change the angle of the other.",
                f"angle_{later + 1}",
            )


def _check_all_round(readings: Sequence[DialReading]) -> None:
    angles = sorted(one.angle_deg % 360 for one in readings)
    gaps = [
        (after - before, before) for before, after in zip(angles, [*angles[1:], angles[0] + 360], strict=True)
    ]
    gap, before = max(gaps)
    if gap >= _HALF_TURN - 1e-9:
        raise DialReadingError(
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
