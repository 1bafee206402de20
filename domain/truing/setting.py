"""Setting a casting true in the independent four-jaw chuck: which jaw to slacken, which to tighten, how far."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from domain.lengths import NM_PER_MM, show
from domain.truing.dial import JAWS, Dial, DialFit, DialReading, TruingError, fit_readings

_LARGEST_PITCH_NM = 25 * NM_PER_MM
_DOUBT = 0.05
# Moving one pair by e slides the arc under the plunger at the other pair, which changes its figure by e^2 / 2r: on a
# small wheel of this radius a long first move makes the second pair's figure to wind to worthless.
_SMALL_RADIUS_NM = 40 * NM_PER_MM


class Surface(StrEnum):
    """Which surface the plunger rides on: the inside edge of the rim, or an outside."""

    INSIDE = "inside"
    OUTSIDE = "outside"


class Grip(StrEnum):
    """Which way the jaws hold: closed inwards on the outside of the work, or opened outwards inside its rim."""

    ON_OUTSIDE = "on_outside"
    ON_INSIDE = "on_inside"


class Stop(StrEnum):
    """Why there is nothing more to move."""

    TRUE = "true"  # within the tolerance
    SHAPE = "shape"  # the middle is right; what is left is the casting's own shape
    ROUGHNESS = "roughness"  # what is left of eccentricity cannot be told from the roughness
    DIAL = "dial"  # the dial cannot show a smaller move


class JawLabel(StrEnum):
    """What to do at one jaw."""

    SLACK = "slack"
    TIGHT = "tight"
    LEAVE = "leave"


@dataclass(frozen=True)
class JawMove:
    """One pair of jaws to move: which to slacken, which to tighten, and what the dial does meanwhile.

    `watch` is the jaw to have under the plunger; `dial_change_nm` is what its figure does, with its sign; `target_nm`
    is what it shows at the end, None where that jaw was not read or where the first move is so long that it shifts the
    figure. `key_turns` is None without a screw pitch.
    """

    slacken: int
    tighten: int
    by_nm: int
    dial_divisions: float
    key_turns: float | None
    watch: int
    dial_change_nm: int
    target_nm: int | None

    @property
    def pair(self) -> tuple[int, int]:
        """Both jaws, the lower number first."""
        return min(self.slacken, self.tighten), max(self.slacken, self.tighten)


@dataclass(frozen=True)
class ClockPoint:
    """One reading on the clock face: `out_nm` is how far the surface lies outside its mean circle round the lathe's axis."""

    angle_deg: float
    out_nm: int
    residual_nm: int


@dataclass(frozen=True)
class ClockFace:
    """What the picture shows; `arrow_deg` is the way the work must go, None where it stays."""

    labels: tuple[tuple[int, JawLabel], ...]
    arrow_deg: float | None
    points: tuple[ClockPoint, ...]


@dataclass(frozen=True)
class Advice:
    """How the work lies, and what to do about it.

    `along_nm` is how far the work's middle lies off the lathe's axis towards jaw 1 and towards jaw 2; `direction_deg` is
    the same as an angle (0 where the eccentricity is 0). `expected_tir_nm` is None with three readings, which cannot
    tell it. `stop` is None while there is something to move.
    """

    readings: tuple[DialReading, ...]
    surface: Surface
    grip: Grip
    dial: Dial
    fit: DialFit
    direction_deg: float
    along_nm: tuple[int, int]
    moves: tuple[JawMove, ...]
    expected_eccentricity_nm: int
    expected_tir_nm: int | None
    stop: Stop | None
    picture: ClockFace

    def shown_at(self, jaw: int) -> int | None:
        """What the dial showed at a jaw; None where it was not read there."""
        return next((one.nm for one in self.readings if one.angle_deg % 360 == JAWS[jaw]), None)

    @property
    def eccentricity_nm(self) -> int:
        """How far the work's middle lies off the lathe's axis."""
        return round(self.fit.amplitude_nm)

    @property
    def tir_nm(self) -> int:
        """The swing of the dial in a whole turn, total indicator reading."""
        return self.fit.swing_nm

    @property
    def out_of_round_nm(self) -> int | None:
        """The casting's own shape; None with three readings."""
        return self.fit.out_of_round_nm


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
    Parameters: `readings`, three or more spread round the work; `tolerance_nm`, the swing of the dial that is good
    enough, above 0; `jaw_screw_pitch_nm`, travel of a jaw for one turn of the key, to tell turns as well, or None.
    Raises: TruingError for readings, a tolerance or a pitch that cannot be.
    Source: derived here from the geometry of jaw, work and plunger; no published source.

    >>> from domain.lengths import Unit
    >>> from domain.truing.dial import from_jaws
    >>> at_jaws = from_jaws({1: 470_000, 2: 350_000, 3: 230_000, 4: 350_000})
    >>> move = advise(at_jaws, Surface.OUTSIDE, Grip.ON_OUTSIDE, Dial(10_000, Unit.MM), 20_000).moves[0]
    >>> move.slacken, move.tighten, move.by_nm, move.watch, move.target_nm
    (3, 1, 120000, 1, 350000)
    """
    _check(tolerance_nm, jaw_screw_pitch_nm, dial)
    fit = fit_readings(readings, dial.unit)
    sign = displacement_sign(surface, dial)
    stop = _stop(fit, len(readings), dial, tolerance_nm)
    moves = () if stop else _moves(readings, fit, sign, grip=grip, dial=dial, pitch_nm=jaw_screw_pitch_nm)
    eccentricity = round(fit.amplitude_nm)
    expected, expected_tir = _expected(fit, eccentricity, bool(moves), dial)
    labels = {one.slacken: JawLabel.SLACK for one in moves} | {one.tighten: JawLabel.TIGHT for one in moves}
    return Advice(
        readings=tuple(readings),
        surface=surface,
        grip=grip,
        dial=dial,
        fit=fit,
        direction_deg=(fit.high_deg if sign > 0 else fit.high_deg + 180) % 360 if eccentricity else 0.0,
        along_nm=(round(sign * fit.a_nm), round(sign * fit.b_nm)),
        moves=moves,
        expected_eccentricity_nm=expected,
        expected_tir_nm=expected_tir,
        stop=stop,
        picture=ClockFace(
            tuple((jaw, labels.get(jaw, JawLabel.LEAVE)) for jaw in JAWS),
            _arrow(moves, fit, sign) if moves else None,
            clock_points(readings, fit, sign),
        ),
    )


def slackened_and_tightened(towards: int, grip: Grip) -> tuple[int, int]:
    """The jaw to slacken and the jaw to tighten, where the work lies towards this jaw.

    >>> slackened_and_tightened(1, Grip.ON_OUTSIDE), slackened_and_tightened(1, Grip.ON_INSIDE)
    ((3, 1), (1, 3))
    """
    opposite = (towards + 1) % len(JAWS) + 1
    return (opposite, towards) if grip is Grip.ON_OUTSIDE else (towards, opposite)


def displacement_sign(surface: Surface, dial: Dial) -> int:
    """+1 where a higher figure means that the work lies towards that spot, -1 where it lies away from it.

    From outside, work that lies towards the plunger pushes it in. From inside, the edge that has gone away from the axis
    has gone away from the plunger's body too, and lets it out.

    Formula: (+1 outside, -1 inside) x (+1 counts up as the plunger is pushed in, -1 counts down).
    Source: derived here; no published source.

    >>> from domain.lengths import Unit
    >>> displacement_sign(Surface.INSIDE, Dial(10_000, Unit.MM))
    -1
    """
    return dial.pushed_in_sign * (1 if surface is Surface.OUTSIDE else -1)


def clock_points(readings: Iterable[DialReading], fit: DialFit, sign: int) -> tuple[ClockPoint, ...]:
    """Where the surface lies at each spot, for its picture; a figure counts outwards where the sign is +1."""
    return tuple(
        ClockPoint(one.angle_deg % 360, round(sign * (one.nm - fit.mean_nm)), round(sign * left))
        for one, left in zip(readings, fit.residuals_nm, strict=True)
    )


def _check(tolerance_nm: int, pitch_nm: int | None, dial: Dial) -> None:
    if tolerance_nm <= 0:
        raise TruingError(
            "No casting runs without any swing at all: type the swing that is good enough, such as 0.1 mm.",
            "tolerance",
        )
    if pitch_nm is not None and not 0 < pitch_nm <= _LARGEST_PITCH_NM:
        raise TruingError(
            f"A jaw screw cannot move its jaw {show(pitch_nm, dial.unit)} a turn: measure it, or leave it empty.",
            "pitch",
        )


def _stop(fit: DialFit, count: int, dial: Dial, tolerance_nm: int) -> Stop | None:
    swing = 2 * fit.amplitude_nm
    if swing <= tolerance_nm:
        return Stop.TRUE if fit.swing_nm <= tolerance_nm else Stop.SHAPE
    if fit.rough_standard_error_nm is not None:
        dof = count - 5
        # sqrt(2 F(2, dof)) at 5 %, which has a closed form: a truly set casting shows less 19 times in 20.
        doubt = math.sqrt(dof * (_DOUBT ** (-2 / dof) - 1)) * fit.rough_standard_error_nm
        # Below a division the scatter is the dial's own, not the casting's.
        if fit.amplitude_nm <= doubt and fit.rough_standard_error_nm > dial.division_nm / 2:
            return Stop.ROUGHNESS
    if all(_too_small(part, dial) for part in (fit.a_nm, fit.b_nm)):
        return Stop.DIAL
    return None


def _too_small(part_nm: float, dial: Dial) -> bool:
    """Whether an offset is less than the dial can show: a figure is read to the nearest division."""
    return abs(part_nm) < dial.division_nm / 2


def _expected(fit: DialFit, eccentricity_nm: int, moving: bool, dial: Dial) -> tuple[int, int | None]:
    """Eccentricity and swing after the moves: the casting's own shape, and half a division unseen on each pair."""
    if not moving:
        return eccentricity_nm, fit.swing_nm
    expected = min(eccentricity_nm, round(math.hypot(dial.division_nm / 2, dial.division_nm / 2)))
    if fit.out_of_round_nm is None:
        return expected, None
    return expected, min(fit.swing_nm, fit.out_of_round_nm + 2 * expected)


def _moves(
    readings: Sequence[DialReading],
    fit: DialFit,
    sign: int,
    grip: Grip,
    dial: Dial,
    pitch_nm: int | None,
) -> tuple[JawMove, ...]:
    """One or two moves that bring the work to the middle, the larger first; a pair under half a division is left."""
    shown = {one.angle_deg % 360: one.nm for one in readings}
    found = []
    for jaw, part in ((1, fit.a_nm), (2, fit.b_nm)):
        if not _too_small(part, dial):
            jaws = slackened_and_tightened(jaw if sign * part > 0 else jaw + 2, grip)
            found.append(_move(jaws, shown, fit, dial=dial, pitch_nm=pitch_nm))
    # The larger first: it disturbs the reading of the other pair, and is best out of the way.
    first, *others = sorted(found, key=lambda move: -move.by_nm)
    slid_nm = first.by_nm**2 / (2 * _SMALL_RADIUS_NM)
    if slid_nm > dial.division_nm / 2:
        others = [replace(other, target_nm=None) for other in others]
    return (first, *others)


def _move(
    jaws: tuple[int, int],
    shown: dict[float, int],
    fit: DialFit,
    dial: Dial,
    pitch_nm: int | None,
) -> JawMove:
    """The move of a pair: the jaw to slacken, and the jaw to tighten."""
    slacken, tighten = jaws
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


def _arrow(moves: Sequence[JawMove], fit: DialFit, sign: int) -> float:
    """The way the work goes when these moves are made; a pair that is left alone has no part in it."""
    moved = {move.pair[0] for move in moves}
    along = -sign * fit.a_nm if 1 in moved else 0.0
    across = -sign * fit.b_nm if 2 in moved else 0.0
    return math.degrees(math.atan2(across, along)) % 360
