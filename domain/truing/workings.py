"""Setting true: how each figure was worked out."""

from __future__ import annotations

from collections.abc import Sequence

from domain.lengths import Unit, show, show_offset
from domain.truing.dial_readings import DialFit, DialReading
from domain.truing.types import Dial, Grip, JawMove, Surface
from domain.working import Working

DERIVED = "derived here; no published source"
_CIRCLE = "least squares circle, linearised for small offsets: ISO 12181, from memory, verify"


def advice_workings(
    readings: Sequence[DialReading],
    fit: DialFit,
    surface: Surface,
    grip: Grip,
    dial: Dial,
    moves: Sequence[JawMove],
    expected_tir_nm: int | None,
) -> tuple[Working, ...]:
    """One Working for each figure of the advice; called by advise() and tested through it."""
    unit = dial.unit
    found = [_swing(readings, fit, unit), *_circle(readings, fit, unit), _sign(surface, dial)]
    found += [_move(move, grip, unit) for move in moves]
    if fit.out_of_round_nm is not None:
        residuals = ", ".join(show_offset(round(left), unit) for left in fit.residuals_nm)
        found.append(
            Working(
                "out of round",
                "largest residual - smallest",
                residuals,
                show(fit.out_of_round_nm, unit),
                "peak to valley about the least squares circle: ISO 12181, from memory, verify",
            )
        )
    if moves and expected_tir_nm is not None:
        found.append(
            Working(
                "swing to expect",
                "out of round + 2 x half a division x sqrt(2), for half a division unseen on each pair; no more than now",
                f"{show(fit.out_of_round_nm or 0, unit)} + {show(dial.division_nm, unit)} x sqrt(2)",
                show(expected_tir_nm, unit),
                DERIVED,
            )
        )
    return tuple(found)


def _swing(readings: Sequence[DialReading], fit: DialFit, unit: Unit) -> Working:
    shown = [one.nm for one in readings]
    numbers = f"{show(max(shown), unit)} - {show(min(shown), unit)}"
    return Working(
        "swing of the dial (TIR)", "largest - smallest", numbers, show(fit.tir_nm, unit), "by definition"
    )


def _circle(readings: Sequence[DialReading], fit: DialFit, unit: Unit) -> tuple[Working, ...]:
    numbers = "; ".join(f"{one.angle_deg:g} degrees {show(one.nm, unit)}" for one in readings)
    a, b = (show_offset(round(part), unit) for part in (fit.a_nm, fit.b_nm))
    fitted = Working(
        "the circle in the readings",
        "R = R0 + a cos(angle) + b sin(angle), least squares; at the four jaws a = (R1 - R3)/2, b = (R2 - R4)/2",
        numbers,
        f"R0 {show(round(fit.mean_nm), unit)}, a {a}, b {b}{_errors(fit, unit)}",
        _CIRCLE,
    )
    off = Working(
        "eccentricity",
        "sqrt(a^2 + b^2)",
        f"sqrt({a}^2 + {b}^2)",
        show(round(fit.amplitude_nm), unit),
        "geometry",
    )
    return fitted, off


def _errors(fit: DialFit, unit: Unit) -> str:
    if fit.a_standard_error_nm is None or fit.b_standard_error_nm is None:
        return ""
    errors = (show(round(error), unit) for error in (fit.a_standard_error_nm, fit.b_standard_error_nm))
    return "; standard error of a {}, of b {}".format(*errors)


def _sign(surface: Surface, dial: Dial) -> Working:
    rule = {
        Surface.OUTSIDE: "outside surface: pushed in = the work lies towards that spot",
        Surface.INSIDE: "inside surface: pushed in = the work lies away from that spot",
    }[surface]
    counts = "rise" if dial.counts_up_when_pushed_in else "fall"
    towards = (surface is Surface.OUTSIDE) == dial.counts_up_when_pushed_in
    result = f"the work lies towards the {'highest' if towards else 'lowest'} figure"
    return Working(
        "which way it lies", rule, f"figures {counts} as the plunger is pushed in", result, DERIVED
    )


def _move(move: JawMove, grip: Grip, unit: Unit) -> Working:
    rule = {
        Grip.ON_OUTSIDE: "jaws closing on the outside push inwards: tighten the jaw the work lies towards",
        Grip.ON_INSIDE: "jaws opening inside press outwards: tighten the jaw the work lies away from",
    }[grip]
    low, high = sorted((move.slacken, move.tighten))
    return Working(
        f"jaws {low} and {high}",
        f"the dial at a jaw changes by the offset along it; {rule}",
        f"the dial at jaw {move.watch} to change by {show_offset(move.dial_change_nm, unit)}",
        f"slacken jaw {move.slacken}, tighten jaw {move.tighten} by {show(move.by_nm, unit)}",
        DERIVED,
    )
