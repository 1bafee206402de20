"""Setting true: the jaws to move, and the signs that decide which."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from domain.lengths import NM_PER_MM
from domain.truing.dial_readings import JAWS, DialFit, DialReading
from domain.truing.types import Dial, Grip, JawMove, Surface

# Moving one pair by e slides the arc under the plunger at the other pair, which changes its figure by e^2 / 2r: on a
# small wheel of this radius a long first move makes the second pair's figure to wind to worthless.
_SMALL_RADIUS_NM = 40 * NM_PER_MM


def displacement_sign(surface: Surface, dial: Dial) -> int:
    """+1 where a higher figure means that the work lies towards that spot.

    From outside, work that lies towards the plunger pushes it in. From inside, the edge that has gone away from the axis
    has gone away from the plunger's body too, and lets it out.

    Formula: (+1 outside, -1 inside) x (+1 counts up as the plunger is pushed in, -1 counts down).
    Parameters: `surface`, where the plunger rides; `dial`.
    Returns: +1 or -1.
    Source: derived here; no published source.

    >>> from domain.lengths import Unit
    >>> displacement_sign(Surface.INSIDE, Dial(10_000, Unit.MM))
    -1
    """
    return dial.pushed_in_sign * (1 if surface is Surface.OUTSIDE else -1)


def jaw_moves(
    readings: Sequence[DialReading],
    fit: DialFit,
    sign: int,
    grip: Grip,
    dial: Dial,
    pitch_nm: int | None,
) -> tuple[JawMove, ...]:
    """The moves that bring the work to the middle, the larger first.

    Formula: on jaws 1-3 the work goes back by a, on 2-4 by b; closing jaws push it from the tightened jaw's side to the
    slackened one's, opening jaws draw it towards the tightened one; a pair under half a division is left.
    Parameters: `readings` and their `fit`, nm; `sign` from displacement_sign(); `grip`; `dial`; `pitch_nm`, travel of a
    jaw for one turn of the key, or None. At least one pair must be off by half a division.
    Returns: one or two moves, nm.
    Raises: ValueError where no pair is off by half a division.
    Source: derived here; no published source.

    >>> from domain.truing.dial_readings import fit_readings, from_jaws
    >>> from domain.lengths import Unit
    >>> readings = from_jaws({1: 0, 2: 0, 3: 0, 4: 80_000})
    >>> moves = jaw_moves(readings, fit_readings(readings), 1, Grip.ON_INSIDE, Dial(10_000, Unit.MM), None)
    >>> [(move.slacken, move.tighten, move.by_nm) for move in moves]
    [(4, 2, 40000)]
    """
    moves = [
        _move(jaw, part, readings, fit, sign, grip, dial, pitch_nm)
        for jaw, part in ((1, fit.a_nm), (2, fit.b_nm))
        if not too_small(part, dial)
    ]
    if not moves:
        raise ValueError("no pair of jaws is off by as much as the dial can show")
    # The larger first: it disturbs the reading of the other pair, and is best out of the way.
    first, *others = sorted(moves, key=lambda move: -move.by_nm)
    slid_nm = first.by_nm**2 / (2 * _SMALL_RADIUS_NM)
    if slid_nm > dial.division_nm / 2:
        others = [replace(other, target_nm=None) for other in others]
    return (first, *others)


def _move(
    jaw: int,
    part_nm: float,
    readings: Sequence[DialReading],
    fit: DialFit,
    sign: int,
    grip: Grip,
    dial: Dial,
    pitch_nm: int | None,
) -> JawMove:
    lies_towards = jaw if sign * part_nm > 0 else jaw + 2
    lies_away = 4 - lies_towards if lies_towards in (1, 3) else 6 - lies_towards
    tighten, slacken = (lies_towards, lies_away) if grip is Grip.ON_OUTSIDE else (lies_away, lies_towards)
    shown = {one.angle_deg % 360: one.nm for one in readings}
    # The jaw being tightened is watched, unless only the other one was read and has a figure to wind to.
    watch = slacken if JAWS[tighten] not in shown and JAWS[slacken] in shown else tighten
    change = round(-fit.at(JAWS[watch]))
    at_watch = shown.get(JAWS[watch])
    by = abs(change)
    return JawMove(
        slacken=slacken,
        tighten=tighten,
        by_nm=by,
        dial_divisions=by / dial.division_nm,
        key_turns=None if pitch_nm is None else by / pitch_nm,
        watch=watch,
        dial_change_nm=change,
        target_nm=None if at_watch is None else at_watch + change,
    )


def too_small(part_nm: float, dial: Dial) -> bool:
    """Whether an offset on a pair of jaws is less than the dial can show.

    Formula: |offset| < division / 2.
    Parameters: `part_nm`, the offset, nm; `dial`.
    Returns: True or False.
    Source: our own choice: a figure is read to the nearest division.

    >>> from domain.lengths import Unit
    >>> too_small(-4_999, Dial(10_000, Unit.MM)), too_small(5_000, Dial(10_000, Unit.MM))
    (True, False)
    """
    return abs(part_nm) < dial.division_nm / 2


def arrow(moves: Sequence[JawMove], fit: DialFit, sign: int) -> float:
    """The way the work goes when these moves are made; a pair that is left alone has no part in it.

    Formula: atan2 of -s b and -s a, over the pairs that move.
    Parameters: `moves`, one or more; `fit` of the readings; `sign` from displacement_sign().
    Returns: degrees 0 to 360, clockwise from jaw 1 facing the chuck.
    Source: derived here; no published source.

    >>> from domain.truing.dial_readings import fit_readings, from_jaws
    >>> fit = fit_readings(from_jaws({1: 0, 2: 0, 3: 0, 4: 80_000}))
    >>> arrow([JawMove(4, 2, 40_000, 4.0, None, 2, 40_000, 40_000)], fit, 1)
    90.0
    """
    moved = {min(move.slacken, move.tighten) for move in moves}
    along = -sign * fit.a_nm if 1 in moved else 0.0
    across = -sign * fit.b_nm if 2 in moved else 0.0
    return math.degrees(math.atan2(across, along)) % 360
