"""Wobble: how a face leans, where to tap it, and what it takes off the metal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from domain.lengths import NM_PER_MM, Unit, show, show_offset
from domain.truing.dial_readings import DialFit, DialReading, fit_readings, spot_words
from domain.truing.types import Dial
from domain.working import Working

_LARGEST_RADIUS_NM = 1_000 * NM_PER_MM
_GEOMETRY = "geometry of a plane; derived here, no published source"


class WobbleError(ValueError):
    """A wobble that cannot be worked out; its text is one sentence for the page, `field` says which box it is for."""

    def __init__(self, sentence: str, field: str) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True)
class Wobble:
    """How a face leans: half its swing due to leaning, at the radius read; where it stands proud; what it steals.

    `tap_deg` is the spot that stands out most towards the tailstock, to be tapped towards the chuck. `steals_nm` is the
    metal the leaning takes from each face at the radius asked for. `out_of_flat_nm` is None with three readings.
    """

    amplitude_nm: int
    swing_nm: int
    tilt_deg: float
    tap: bool
    tap_deg: float
    tap_by_nm: int
    steals_nm: int
    out_of_flat_nm: int | None
    words: tuple[str, ...]
    workings: tuple[Working, ...]


class WobbleTooLargeError(WobbleError):
    """The wobble takes more metal than there is to come off; `wobble` still says where to tap."""

    def __init__(self, sentence: str, wobble: Wobble) -> None:
        super().__init__(sentence, "stock")
        self.wobble = wobble


def find_wobble(
    readings: Sequence[DialReading],
    radius_nm: int,
    dial: Dial,
    stock_nm: int | None = None,
    steals_at_nm: int | None = None,
) -> Wobble:
    """Find how a face leans from dial readings on it.

    Formula: height h(phi) = h0 + a cos phi + b sin phi by least squares, pushed in counting as proud; amplitude =
    sqrt(a^2 + b^2); tilt = atan(amplitude / radius); it steals amplitude x (radius asked for / radius read) from each face.
    Parameters: `readings`, nm as the dial shows them with its plunger on the face, along the lathe; `radius_nm`, where it
    rides, above 0 to 1 m; `dial`; `stock_nm`, metal to come off this face, 0 or more, or None; `steals_at_nm`, radius at
    which the metal is asked for, or None for the radius read.
    Returns: Wobble, nm and degrees.
    Raises: DialReadingError for the readings; WobbleError for a radius or stock that cannot be; WobbleTooLargeError
    where the wobble takes more than the stock.
    Source: geometry of a plane; derived here, no published source.

    >>> from domain.truing.dial_readings import from_jaws
    >>> wobble = find_wobble(from_jaws({1: 0, 2: 300_000, 3: 0, 4: -300_000}), 50_000_000, Dial(10_000, Unit.MM))
    >>> wobble.amplitude_nm, wobble.tap_deg, round(wobble.tilt_deg, 4)
    (300000, 90.0, 0.3438)
    """
    unit = dial.unit
    at = radius_nm if steals_at_nm is None else steals_at_nm
    _check(radius_nm, "radius", unit)
    _check(at, "steals_at", unit)
    if stock_nm is not None and stock_nm < 0:
        raise WobbleError("The metal to come off cannot be below nothing: type 0 if there is none.", "stock")
    fit = fit_readings(readings, unit)
    wobble = _wobble(fit, radius_nm, at, dial)
    wobble = replace(
        wobble, words=_words(wobble, at, dial), workings=_workings(wobble, fit, radius_nm, at, dial)
    )
    if stock_nm is not None and wobble.steals_nm > stock_nm:
        raise WobbleTooLargeError(_too_large(wobble, stock_nm, unit), wobble)
    return wobble


def _check(radius_nm: int, field: str, unit: Unit) -> None:
    if not 0 < radius_nm <= _LARGEST_RADIUS_NM:
        raise WobbleError(
            f"The plunger cannot ride {show(radius_nm, unit)} from the middle: type the radius, such as"
            f" {show(50 * NM_PER_MM, unit)}.",
            field,
        )


def _wobble(fit: DialFit, radius_nm: int, at_nm: int, dial: Dial) -> Wobble:
    amplitude = fit.amplitude_nm
    proud = fit.high_deg if dial.counts_up_when_pushed_in else (fit.high_deg + 180) % 360
    return Wobble(
        amplitude_nm=round(amplitude),
        swing_nm=fit.tir_nm,
        tilt_deg=math.degrees(math.atan2(amplitude, radius_nm)),
        # Under half a division nobody can see the tap on the dial.
        tap=amplitude >= dial.division_nm / 2,
        tap_deg=proud if round(amplitude) else 0.0,
        tap_by_nm=round(amplitude),
        steals_nm=round(amplitude * at_nm / radius_nm),
        out_of_flat_nm=fit.out_of_round_nm,
        words=(),
        workings=(),
    )


def _words(wobble: Wobble, at_nm: int, dial: Dial) -> tuple[str, ...]:
    unit = dial.unit
    if not wobble.tap:
        first = "The face runs true as far as this dial can show: leave it."
    else:
        way = "down" if dial.counts_up_when_pushed_in else "up"
        first = (
            f"The face stands out most at {spot_words(wobble.tap_deg)}: turn that spot under the plunger and tap it"
            f" towards the chuck until the dial has gone {way} by {show(wobble.tap_by_nm, unit)}, then read again."
        )
    steals = (
        f"Left as it is, the wobble takes {show(wobble.steals_nm, unit)} from the metal on each face,"
        f" {show(at_nm, unit)} from the middle."
    )
    if wobble.out_of_flat_nm is None:
        flat = "Three readings always lie in some plane: whether the face is flat cannot be told without a fourth spot."
    else:
        flat = f"Tapping cannot cure the rest: the face itself is out of flat by {show(wobble.out_of_flat_nm, unit)}."
    return first, steals, flat


def _too_large(wobble: Wobble, stock_nm: int, unit: Unit) -> str:
    return (
        f"The wobble takes {show(wobble.steals_nm, unit)} and only {show(stock_nm, unit)} is there to come off: do not cut,"
        f" but tap the spot at {spot_words(wobble.tap_deg)} towards the chuck and read again."
    )


def _workings(wobble: Wobble, fit: DialFit, radius_nm: int, at_nm: int, dial: Dial) -> tuple[Working, ...]:
    unit = dial.unit
    a, b = (show_offset(round(part), unit) for part in (fit.a_nm, fit.b_nm))
    amplitude, radius = show(wobble.amplitude_nm, unit), show(radius_nm, unit)
    counts = "rise" if dial.counts_up_when_pushed_in else "fall"
    found = [
        Working(
            "wobble, half its swing",
            "h = h0 + a cos(angle) + b sin(angle), least squares; amplitude = sqrt(a^2 + b^2)",
            f"a {a}, b {b}",
            amplitude,
            _GEOMETRY,
        ),
        Working(
            "lean",
            "atan(amplitude / radius)",
            f"{amplitude} / {radius}",
            f"{wobble.tilt_deg:.3f} degrees",
            _GEOMETRY,
        ),
        Working(
            "where to tap",
            "where the face pushes the plunger in most",
            f"atan2(b, a), figures {counts} as the plunger is pushed in",
            f"{wobble.tap_deg:.0f} degrees clockwise from jaw 1",
            _GEOMETRY,
        ),
        Working(
            "metal it takes from each face",
            "amplitude x radius asked for / radius read",
            f"{amplitude} x {show(at_nm, unit)} / {radius}",
            show(wobble.steals_nm, unit),
            _GEOMETRY,
        ),
    ]
    if wobble.out_of_flat_nm is not None:
        residuals = ", ".join(show_offset(round(left), unit) for left in fit.residuals_nm)
        flat = show(wobble.out_of_flat_nm, unit)
        found.append(Working("out of flat", "largest residual - smallest", residuals, flat, _GEOMETRY))
    return tuple(found)
