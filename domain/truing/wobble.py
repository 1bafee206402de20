"""Wobble: how a face leans, where to tap it, and what it takes off the metal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from domain.lengths import NM_PER_MM, Unit, show
from domain.truing.dial import Dial, DialFit, DialReading, TruingError, fit_readings

_LARGEST_RADIUS_NM = 1_000 * NM_PER_MM


@dataclass(frozen=True)
class Wobble:
    """How a face leans: half its swing due to leaning, at the radius read; where it stands proud; what it steals.

    `tap_deg` is the spot that stands out most towards the tailstock, to be tapped towards the chuck until the dial has
    gone by the amplitude. `tap` is false where it swings no more than `tolerance_nm`, what is allowed (None: nothing),
    unless it takes more metal than there is. `steals_nm` is the metal the leaning takes from each face at the radius
    asked for, and `stock_nm` what there is, None where that is not known.
    """

    dial: Dial
    fit: DialFit
    radius_nm: int
    steals_at_nm: int
    tilt_deg: float
    tap: bool
    tap_deg: float
    steals_nm: int
    stock_nm: int | None
    tolerance_nm: int | None = None

    @property
    def amplitude_nm(self) -> int:
        """Half the swing that is due to leaning."""
        return round(self.fit.amplitude_nm)

    @property
    def swing_nm(self) -> int:
        """The swing of the dial in a whole turn, total indicator reading."""
        return self.fit.swing_nm

    @property
    def out_of_flat_nm(self) -> int | None:
        """What tapping cannot cure; None with three readings."""
        return self.fit.out_of_round_nm

    @property
    def too_large(self) -> bool:
        """Whether it takes more metal than there is to come off."""
        return self.stock_nm is not None and self.steals_nm > self.stock_nm


def find_wobble(
    readings: Sequence[DialReading],
    radius_nm: int,
    dial: Dial,
    stock_nm: int | None = None,
    steals_at_nm: int | None = None,
    tolerance_nm: int | None = None,
) -> Wobble:
    """Find how a face leans from dial readings on it.

    Formula: height h(phi) = h0 + a cos phi + b sin phi by least squares, pushed in counting as proud; amplitude =
    sqrt(a^2 + b^2); tilt = atan(amplitude / radius); it steals amplitude x (radius asked for / radius read) from each face.
    Parameters: `readings`, with the plunger on the face, along the lathe; `radius_nm`, where it
    rides, above 0 to 1 m; `stock_nm`, metal to come off this face, 0 or more, or None; `steals_at_nm`, radius at
    which the metal is asked for, or None for the radius read; `tolerance_nm`, the swing of the dial that is good enough,
    or None where only the dial decides.
    Raises: TruingError for readings, a radius or stock that cannot be.
    Source: geometry of a plane; derived here, no published source.

    >>> from domain.truing.dial import from_jaws
    >>> wobble = find_wobble(from_jaws({1: 0, 2: 300_000, 3: 0, 4: -300_000}), 50_000_000, Dial(10_000, Unit.MM))
    >>> wobble.amplitude_nm, wobble.tap_deg, round(wobble.tilt_deg, 4)
    (300000, 90.0, 0.3438)
    """
    at = radius_nm if steals_at_nm is None else steals_at_nm
    _check(radius_nm, "radius", dial.unit)
    _check(at, "steals_at", dial.unit)
    if stock_nm is not None and stock_nm < 0:
        raise TruingError("The metal to come off cannot be below nothing: type 0 if there is none.", "stock")
    fit = fit_readings(readings, dial.unit)
    amplitude = fit.amplitude_nm
    steals = round(amplitude * at / radius_nm)
    enough = tolerance_nm is not None and 2 * amplitude <= tolerance_nm
    proud = fit.high_deg if dial.counts_up_when_pushed_in else (fit.high_deg + 180) % 360
    return Wobble(
        dial,
        fit,
        radius_nm,
        at,
        tilt_deg=math.degrees(math.atan2(amplitude, radius_nm)),
        # Under half a division nobody can see the tap on the dial.
        tap=amplitude >= dial.division_nm / 2
        and (not enough or (stock_nm is not None and steals > stock_nm)),
        tap_deg=proud if round(amplitude) else 0.0,
        steals_nm=steals,
        stock_nm=stock_nm,
        tolerance_nm=tolerance_nm,
    )


def _check(radius_nm: int, box: str, unit: Unit) -> None:
    if not 0 < radius_nm <= _LARGEST_RADIUS_NM:
        raise TruingError(
            f"The plunger cannot ride {show(radius_nm, unit)} from the middle: type the radius, such as"
            f" {show(50 * NM_PER_MM, unit)}.",
            box,
        )
