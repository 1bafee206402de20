"""Setting true: how each figure was worked out."""

from __future__ import annotations

from domain.lengths import Unit, show, show_offset
from domain.truing.dial import Dial, DialFit
from domain.truing.setting import Advice, Grip, JawMove, Surface
from domain.truing.wobble import Wobble
from domain.working import Working

_DERIVED = "derived here; no published source"
_CIRCLE = "least squares circle, linearised for small offsets: ISO 12181, from memory, verify"
_PLANE = "geometry of a plane; derived here, no published source"


def advice_workings(advice: Advice) -> tuple[Working, ...]:
    """How each figure of a round on the edge was worked out."""
    dial, fit = advice.dial, advice.fit
    unit = dial.unit
    found = [_swing(advice), *_circle(advice), _sign(advice.surface, dial)]
    found += [_move(move, advice.grip, unit) for move in advice.moves]
    if fit.out_of_round_nm is not None:
        source = "peak to valley about the least squares circle: ISO 12181, from memory, verify"
        found.append(_left_over("out of round", fit, fit.out_of_round_nm, unit, source))
    if advice.moves and advice.expected_tir_nm is not None:
        found.append(
            Working(
                "swing to expect",
                "out of round + 2 x half a division x sqrt(2), for half a division unseen on each pair; no more than now",
                f"{show(fit.out_of_round_nm or 0, unit)} + {show(dial.division_nm, unit)} x sqrt(2)",
                show(advice.expected_tir_nm, unit),
                _DERIVED,
            )
        )
    return tuple(found)


def wobble_workings(wobble: Wobble) -> tuple[Working, ...]:
    """How each figure of a round on the face was worked out."""
    unit, fit = wobble.dial.unit, wobble.fit
    a, b = _parts(fit, unit)
    amplitude, radius = show(wobble.amplitude_nm, unit), show(wobble.radius_nm, unit)
    counts = "rise" if wobble.dial.counts_up_when_pushed_in else "fall"
    rows = [
        (
            "wobble, half its swing",
            "h = h0 + a cos(angle) + b sin(angle), least squares; amplitude = sqrt(a^2 + b^2)",
            f"a {a}, b {b}",
            amplitude,
        ),
        ("lean", "atan(amplitude / radius)", f"{amplitude} / {radius}", f"{wobble.tilt_deg:.3f} degrees"),
        (
            "where to tap",
            "where the face pushes the plunger in most",
            f"atan2(b, a), figures {counts} as the plunger is pushed in",
            f"{wobble.tap_deg:.0f} degrees clockwise from jaw 1",
        ),
        (
            "metal it takes from each face",
            "amplitude x radius asked for / radius read",
            f"{amplitude} x {show(wobble.steals_at_nm, unit)} / {radius}",
            show(wobble.steals_nm, unit),
        ),
    ]
    found = [Working(*row, _PLANE) for row in rows]
    if wobble.out_of_flat_nm is not None:
        found.append(_left_over("out of flat", fit, wobble.out_of_flat_nm, unit, _PLANE))
    return tuple(found)


def _left_over(name: str, fit: DialFit, nm: int, unit: Unit, source: str) -> Working:
    residuals = ", ".join(show_offset(round(left), unit) for left in fit.residuals_nm)
    return Working(name, "largest residual - smallest", residuals, show(nm, unit), source)


def _swing(advice: Advice) -> Working:
    unit, shown = advice.dial.unit, [one.nm for one in advice.readings]
    off = show(advice.eccentricity_nm, unit)
    return Working(
        "swing of the dial in a whole turn (TIR)",
        "the larger of largest - smallest, and of 2 x eccentricity, for the spots read may miss the highest",
        f"{show(max(shown), unit)} - {show(min(shown), unit)}; 2 x {off}",
        show(advice.tir_nm, unit),
        "by definition",
    )


def _parts(fit: DialFit, unit: Unit) -> tuple[str, str]:
    return show_offset(round(fit.a_nm), unit), show_offset(round(fit.b_nm), unit)


def _circle(advice: Advice) -> tuple[Working, ...]:
    fit, unit = advice.fit, advice.dial.unit
    numbers = "; ".join(f"{one.angle_deg:g} degrees {show(one.nm, unit)}" for one in advice.readings)
    a, b = _parts(fit, unit)
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
        show(advice.eccentricity_nm, unit),
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
        "which way it lies", rule, f"figures {counts} as the plunger is pushed in", result, _DERIVED
    )


def _move(move: JawMove, grip: Grip, unit: Unit) -> Working:
    rule = {
        Grip.ON_OUTSIDE: "jaws closing on the outside push inwards: tighten the jaw the work lies towards",
        Grip.ON_INSIDE: "jaws opening inside press outwards: tighten the jaw the work lies away from",
    }[grip]
    low, high = move.pair
    return Working(
        f"jaws {low} and {high}",
        f"the dial at a jaw changes by the offset along it; {rule}",
        f"the dial at jaw {move.watch} to change by {show_offset(move.dial_change_nm, unit)}",
        f"slacken jaw {move.slacken}, tighten jaw {move.tighten} by {show(move.by_nm, unit)}",
        _DERIVED,
    )
