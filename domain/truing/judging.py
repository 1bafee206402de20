"""Setting a casting true in the independent four-jaw chuck: which jaw to slacken, which to tighten, how far."""

from __future__ import annotations

import math
from collections.abc import Sequence

from domain.lengths import NM_PER_MM, show
from domain.truing.dial_readings import JAWS, DialFit, DialReading, fit_readings
from domain.truing.moves import arrow, displacement_sign, jaw_moves, too_small
from domain.truing.types import (
    Advice,
    ClockFace,
    ClockJaw,
    ClockPoint,
    Dial,
    Grip,
    JawLabel,
    JawMove,
    SettingTrueError,
    Stop,
    Surface,
)
from domain.truing.words import CAUTIONS, advice_words
from domain.truing.workings import advice_workings

_LARGEST_PITCH_NM = 25 * NM_PER_MM
_DOUBT = 0.05


def advise(
    readings: Sequence[DialReading],
    surface: Surface,
    grip: Grip,
    dial: Dial,
    tolerance_nm: int,
    jaw_screw_pitch_nm: int | None = None,
) -> Advice:
    """Say how a casting lies in the four-jaw chuck and which jaws to move.

    Formula: R = R0 + a cos phi + b sin phi by least squares; the work's middle lies s (a, b) off the lathe's axis along
    jaw 1 and jaw 2, with s = +1 on an outside surface and -1 on an inside one, the other way about for a dial that
    counts down as its plunger goes in. On each pair of jaws the work moves back by its offset. Jaws that close on the
    outside push the work inwards: tighten the jaw it lies towards. Jaws that open inside the rim pull it outwards:
    tighten the jaw it lies away from.
    Parameters: `readings`, nm as the dial shows them, three or more spread round the work; `surface`, where the plunger
    rides; `grip`, which way the jaws hold; `dial`; `tolerance_nm`, the swing of the dial that is good enough, above 0;
    `jaw_screw_pitch_nm`, travel of a jaw for one turn of the key, to tell turns as well, or None.
    Returns: Advice, lengths in nm, angles in degrees clockwise from jaw 1 facing the chuck.
    Raises: DialReadingError for the readings; SettingTrueError for a tolerance or pitch that cannot be.
    Source: derived here from the geometry of jaw, work and plunger; no published source.

    >>> from domain.truing.dial_readings import from_jaws
    >>> from domain.lengths import Unit
    >>> at_jaws = from_jaws({1: 470_000, 2: 350_000, 3: 230_000, 4: 350_000})
    >>> move = advise(at_jaws, Surface.OUTSIDE, Grip.ON_OUTSIDE, Dial(10_000, Unit.MM), 20_000).moves[0]
    >>> move.slacken, move.tighten, move.by_nm, move.watch, move.target_nm
    (3, 1, 120000, 1, 350000)
    """
    _check(tolerance_nm, jaw_screw_pitch_nm, dial)
    fit = fit_readings(readings, dial.unit)
    sign = displacement_sign(surface, dial)
    eccentricity = round(fit.amplitude_nm)
    reason = _stop(fit, len(readings), dial, tolerance_nm)
    moves = () if reason else jaw_moves(readings, fit, sign, grip, dial, jaw_screw_pitch_nm)
    heading = (fit.high_deg if sign > 0 else fit.high_deg + 180) % 360 if eccentricity else 0.0
    expected, expected_tir = _expected(fit, eccentricity, bool(moves), dial)
    return Advice(
        eccentricity_nm=eccentricity,
        direction_deg=heading,
        along_nm=(round(sign * fit.a_nm), round(sign * fit.b_nm)),
        tir_nm=fit.tir_nm,
        moves=moves,
        expected_eccentricity_nm=expected,
        expected_tir_nm=expected_tir,
        out_of_round_nm=fit.out_of_round_nm,
        stop=reason is not None,
        stop_reason=reason,
        words=advice_words(fit, heading, moves, grip, reason, expected_tir, len(readings), dial),
        cautions=CAUTIONS,
        picture=_picture(readings, fit, surface, dial, moves),
        workings=advice_workings(readings, fit, surface, grip, dial, moves, expected_tir),
        division_nm=dial.division_nm,
        unit=dial.unit,
    )


def _check(tolerance_nm: int, pitch_nm: int | None, dial: Dial) -> None:
    if tolerance_nm <= 0:
        raise SettingTrueError(
            "No casting runs without any swing at all: type the swing that is good enough, such as 0.1 mm.",
            "tolerance",
        )
    if pitch_nm is not None and not 0 < pitch_nm <= _LARGEST_PITCH_NM:
        raise SettingTrueError(
            f"A jaw screw cannot move its jaw {show(pitch_nm, dial.unit)} a turn: measure it, or leave it empty.",
            "pitch",
        )


def _stop(fit: DialFit, count: int, dial: Dial, tolerance_nm: int) -> Stop | None:
    swing = 2 * fit.amplitude_nm
    if swing <= tolerance_nm:
        return Stop.TRUE if fit.tir_nm <= tolerance_nm else Stop.SHAPE
    if fit.rough_standard_error_nm is not None:
        dof = count - 5
        # sqrt(2 F(2, dof)) at 5 %, which has a closed form: a truly set casting shows less 19 times in 20.
        doubt = math.sqrt(dof * (_DOUBT ** (-2 / dof) - 1)) * fit.rough_standard_error_nm
        # Below a division the scatter is the dial's own, not the casting's.
        if fit.amplitude_nm <= doubt and fit.rough_standard_error_nm > dial.division_nm / 2:
            return Stop.ROUGHNESS
    if all(too_small(part, dial) for part in (fit.a_nm, fit.b_nm)):
        return Stop.DIAL
    return None


def _expected(fit: DialFit, eccentricity_nm: int, moving: bool, dial: Dial) -> tuple[int, int | None]:
    """Eccentricity and swing after the moves: the casting's own shape, and half a division unseen on each pair."""
    if not moving:
        return eccentricity_nm, fit.tir_nm
    expected = min(eccentricity_nm, round(math.hypot(dial.division_nm / 2, dial.division_nm / 2)))
    if fit.out_of_round_nm is None:
        return expected, None
    return expected, min(fit.tir_nm, fit.out_of_round_nm + 2 * expected)


def _picture(
    readings: Sequence[DialReading],
    fit: DialFit,
    surface: Surface,
    dial: Dial,
    moves: Sequence[JawMove],
) -> ClockFace:
    labels = {move.slacken: JawLabel.SLACK for move in moves} | {
        move.tighten: JawLabel.TIGHT for move in moves
    }
    sign = displacement_sign(surface, dial)
    points = tuple(
        ClockPoint(one.angle_deg % 360, one.nm, round(sign * (one.nm - fit.mean_nm)), round(sign * left))
        for one, left in zip(readings, fit.residuals_nm, strict=True)
    )
    jaws = tuple(
        ClockJaw(number, angle, labels.get(number, JawLabel.LEAVE)) for number, angle in JAWS.items()
    )
    return ClockFace(jaws, arrow(moves, fit, sign) if moves else None, points)
