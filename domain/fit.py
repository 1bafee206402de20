"""A bore against its seat: does it serve the fit that is wanted, and if not, what helps with least work?

Lengths are whole nanometres on the diameter. A clearance is bore less seat; an interference is a clearance
below zero.
"""

import math
import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from domain import bond, interference
from domain.iso286 import hole_class, shaft_class
from domain.length import Unit, show
from domain.materials import MILD_STEEL, Iron, iron
from domain.working import Working

_LAME = "Lame; Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47"
_NM_PER_MM = 1_000_000
# The last figure shown: a micrometre, or a tenth of a thou. Windows close in to it: any size shown serves.
_GRID_NM = {Unit.MM: 1_000, Unit.INCH: 2_540}
_STRANGE_NM = 1_000_000


class FitError(ValueError):
    """The sizes cannot be a wheel on an axle; the message is one sentence for the person at the bench."""


class FitKind(StrEnum):
    """How the wheel is held on its axle."""

    PRESS = "press"
    SHRINK = "shrink"
    BOND = "bond"

    @property
    def words(self) -> str:
        return {"press": "press fit", "shrink": "shrink fit", "bond": "bond"}[self.value]


class Answer(StrEnum):
    """What came of judging a fit."""

    SERVES = "serves"
    CAUTION = "caution"
    NOT = "not"

    @property
    def words(self) -> str:
        return {"serves": "serves", "caution": "serves with care", "not": "does not serve"}[self.value]


@dataclass(frozen=True)
class Joint:
    """What the drawing wants: least and most are the wanted gap (bond) or interference (press, shrink)."""

    kind: FitKind
    nominal_bore_nm: int
    nominal_seat_nm: int
    boss_diameter_nm: int
    boss_length_nm: int
    least_nm: int
    most_nm: int
    iron_key: str
    factor_wanted: float = 2.0
    compound: bond.Compound = field(default_factory=bond.Compound)


@dataclass(frozen=True)
class OtherSeat:
    """Another wheel seat this casting could be tried on."""

    label: str
    seat_nm: int
    casting_note: str = ""


@dataclass(frozen=True)
class Remedy:
    """One way out; if metal comes off, the least to take off the diameter and the sizes to end between."""

    key: str
    words: str
    amount_nm: int | None
    window_nm: tuple[int, int] | None = None


@dataclass(frozen=True)
class FitVerdict:
    """The answer in words, the figures behind it, and what to do next (least work first)."""

    answer: Answer
    headline: str
    reason: str
    clearance_nm: int
    bore_class: str | None
    seat_class: str | None
    pressure_mpa: float | None
    hoop_mpa: float | None
    strength_mpa: float | None
    factor: float | None
    axial_force_n: float | None
    torque_nm: float | None
    remedies: tuple[Remedy, ...]
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]


class _Finding(StrEnum):
    """What judging found; the words of the verdict hang on it."""

    GOOD = "good"
    WIPED = "wiped"
    WIDE = "wide"
    TOO_WIDE = "too wide"
    NO_GRIP = "no grip"
    LOOSE = "loose"
    CRACKS = "cracks"
    TIGHT = "tight"
    STRAINED = "strained"


_ANSWERS = {
    _Finding.GOOD: Answer.SERVES,
    _Finding.WIDE: Answer.CAUTION,
    _Finding.TIGHT: Answer.CAUTION,
    _Finding.STRAINED: Answer.CAUTION,
}
_LOOSE = {_Finding.TOO_WIDE, _Finding.NO_GRIP, _Finding.LOOSE}


@dataclass(frozen=True)
class _Stress:
    """What an interference does: worst pressure and hoop stress, the strength they meet, the surest grip."""

    pressure: float
    hoop: float
    strength: float
    factor: float
    sure_pressure: float


@dataclass(frozen=True)
class _Case:
    """One bore on one seat under judgement."""

    joint: Joint
    iron: Iron
    bore_nm: int
    seat_nm: int
    unit: Unit

    @property
    def clearance_nm(self) -> int:
        return self.bore_nm - self.seat_nm

    @property
    def is_bond(self) -> bool:
        return self.joint.kind is FitKind.BOND

    def show(self, nm: int) -> str:
        return show(nm, self.unit)

    def to(self, window: tuple[int, int]) -> str:
        low, high = (self.show(end) for end in window)
        return f"to {low} and no other" if low == high else f"to between {low} and {high}"

    def on(self, seat_nm: int) -> "_Case":
        return _Case(self.joint, self.iron, self.bore_nm, seat_nm, self.unit)


@cache
def _table() -> dict[str, dict[str, Any]]:
    return tomllib.loads(files("domain").joinpath("tables", "fits.toml").read_text(encoding="utf-8"))


def default_range(kind: FitKind, nominal_nm: int) -> tuple[int, int]:
    """The gap or interference to want on a diameter when the drawing does not say.

    Formula: press 0.001 to 0.002 of the diameter; shrink 0.0005 to 0.001 of it; bond 0.02 to 0.05 mm of gap.
    nominal_nm: nominal diameter, nm, above 0.
    Returns: least and most, nm: a gap for a bond, an interference for press and shrink.
    Raises: FitError when the diameter is not above zero.
    Source: Applied Science for Metal Workers, sections 453-454 (press, shrink; half the shrink rule as its
    least is common practice, no source); bond from memory, verify.

    >>> default_range(FitKind.PRESS, 25_400_000)
    (25400, 50800)
    """
    if nominal_nm <= 0:
        raise FitError("The diameter must be above zero, such as 19.05 mm.")
    if kind is FitKind.BOND:
        return bond.DEFAULT_GAP.least_nm, bond.DEFAULT_GAP.most_nm
    rule = _table()[kind.value]
    return round(nominal_nm * rule["least_per_diameter"]), round(nominal_nm * rule["most_per_diameter"])


def judge_fit(
    joint: Joint,
    bore_nm: int,
    seat_nm: int,
    unit: Unit,
    other_seats: Sequence[OtherSeat] = (),
    spread_nm: int = 0,
) -> FitVerdict:
    """Say whether a bore on a seat serves the joint, why, and what to do if it does not.

    Formula: clearance = bore - seat. A bond serves from least to most, with care up to the compound's limit.
    A press or shrink fit serves from least to most of interference while factor = strength / hoop stress
    (Lame) is 3 or more; with care down to the factor wanted, and above most; never below that factor. A size
    on a limit is inside it.
    bore_nm, seat_nm: measured (or drawn) diameters, nm, above 0 and below the boss's diameter.
    unit: the system to show first.
    other_seats: seats this casting could be tried on instead, sizes in nm.
    spread_nm: most less least of the bore's readings, nm, 0 or more.
    Returns: the verdict; stress in MPa for the stiffest the iron may be, against the least strength it may
    have; force in N and torque in N m for the softest.
    Raises: FitError when a size is not above zero or not below the boss, the range is out of order, or the
    iron is unknown.
    Source: Lame, Shigley 9th ed., eqs 7-39 to 7-47; factor 2 is a classroom figure, not a standard; gaps from
    memory, verify.

    >>> seat, boss, length = 19_050_000, 32_000_000, 14_000_000
    >>> joint = Joint(FitKind.BOND, seat, seat, boss, length, 20_000, 50_000, "en-gjl-250")
    >>> judge_fit(joint, 19_080_000, seat, Unit.MM).headline
    'Clearance 0.030 mm (0.0012 in): serves the bond'
    """
    _check(joint, bore_nm, seat_nm, other_seats, spread_nm)
    case = _Case(joint, _iron(joint.iron_key), bore_nm, seat_nm, unit)
    stress = _stress(case)
    finding = _find(case, stress)
    answer = _ANSWERS.get(finding, Answer.NOT)
    force, torque = _grip(case, stress, answer)
    remedies = tuple(_remedies(case, finding, other_seats))
    classes = hole_class(joint.nominal_bore_nm, bore_nm), shaft_class(joint.nominal_seat_nm, seat_nm)
    return FitVerdict(
        answer=answer,
        headline=_headline(case, finding),
        reason=_reason(case, finding, stress),
        clearance_nm=case.clearance_nm,
        bore_class=classes[0],
        seat_class=classes[1],
        pressure_mpa=stress.pressure if stress else None,
        hoop_mpa=stress.hoop if stress else None,
        strength_mpa=stress.strength if stress else None,
        factor=stress.factor if stress else None,
        axial_force_n=force,
        torque_nm=torque,
        remedies=remedies,
        cautions=tuple(_cautions(case, remedies, spread_nm)),
        workings=tuple(_workings(case, stress, force, torque, classes)),
    )


def _check(
    joint: Joint, bore_nm: int, seat_nm: int, other_seats: Sequence[OtherSeat], spread_nm: int
) -> None:
    sizes = {
        "bore": bore_nm,
        "seat": seat_nm,
        "nominal bore": joint.nominal_bore_nm,
        "nominal seat": joint.nominal_seat_nm,
        "boss diameter": joint.boss_diameter_nm,
        "length through the boss": joint.boss_length_nm,
        "least wanted": joint.least_nm,
    } | {f"seat of {other.label}": other.seat_nm for other in other_seats}
    for name, size in sizes.items():
        if size <= 0:
            raise FitError(f"The {name} must be above zero, such as 19.05 mm.")
    for name, size in (("bore", bore_nm), ("seat", seat_nm)):
        if size >= joint.boss_diameter_nm:
            boss = show(joint.boss_diameter_nm, Unit.MM)
            raise FitError(f"The {name}, {show(size, Unit.MM)}, must be smaller than the boss, {boss}.")
    if joint.most_nm < joint.least_nm:
        raise FitError("The most wanted must not be below the least wanted, such as 0.02 to 0.05 mm.")
    if not math.isfinite(joint.factor_wanted) or joint.factor_wanted < 1:
        raise FitError("The factor against cracking must be 1 or more, such as 2.")
    if spread_nm < 0:
        raise FitError("The spread of the readings cannot be below zero.")


def _iron(key: str) -> Iron:
    try:
        return iron(key)
    except ValueError as error:
        raise FitError(str(error)) from error


# --- judging ---


def _mm(nm: int) -> float:
    return nm / _NM_PER_MM


def _stress(case: _Case) -> _Stress | None:
    """None where nothing is forced. E is only a range: stiff iron strains most, soft iron grips least."""
    if case.clearance_nm >= 0:
        return None
    seat, boss, delta = _mm(case.seat_nm), _mm(case.joint.boss_diameter_nm), _mm(-case.clearance_nm)
    steel = MILD_STEEL.young_gpa, MILD_STEEL.poisson
    worst, sure = (
        interference.pressure_mpa(seat, boss, delta, young, case.iron.poisson, *steel)
        for young in (case.iron.young_high_gpa, case.iron.young_low_gpa)
    )
    hoop = interference.hoop_stress_mpa(worst, seat, boss)
    strength = case.iron.tensile_low_mpa
    return _Stress(worst, hoop, strength, strength / hoop, sure)


def _find(case: _Case, stress: _Stress | None) -> _Finding:
    return _find_bond(case) if case.is_bond else _find_forced(case, stress)


def _find_bond(case: _Case) -> _Finding:
    return {
        bond.GapFit.TOO_SMALL: _Finding.WIPED,
        bond.GapFit.BEST: _Finding.GOOD,
        bond.GapFit.WIDE: _Finding.WIDE,
        bond.GapFit.TOO_WIDE: _Finding.TOO_WIDE,
    }[bond.judge_gap(case.clearance_nm, _gap_range(case.joint))]


def _gap_range(joint: Joint) -> bond.GapRange:
    """The gap for a bonded axle: the joint's own for a bond, the compound's where bonding is a way out."""
    gap = joint.compound.gap
    if joint.kind is not FitKind.BOND:
        return gap
    return bond.GapRange(joint.least_nm, joint.most_nm, max(joint.most_nm, gap.limit_nm), gap.source)


def _find_forced(case: _Case, stress: _Stress | None) -> _Finding:
    if stress is None:
        return _Finding.NO_GRIP
    if stress.factor < case.joint.factor_wanted:
        return _Finding.CRACKS
    if -case.clearance_nm < case.joint.least_nm:
        return _Finding.LOOSE
    if -case.clearance_nm > case.joint.most_nm:
        return _Finding.TIGHT
    return _Finding.STRAINED if stress.factor < _table()["factor"]["caution_below"] else _Finding.GOOD


def _grip(case: _Case, stress: _Stress | None, answer: Answer) -> tuple[float | None, float | None]:
    """Axial force (N) and torque (N m) the joint holds; none for a bond until its shear strength is typed."""
    seat, length = _mm(case.seat_nm), _mm(case.joint.boss_length_nm)
    if case.is_bond:
        compound = case.joint.compound
        if compound.shear_mpa is None or answer is Answer.NOT:
            return None, None
        force = bond.bond_force_n(compound.shear_mpa, seat, length, compound.reductions, compound.safety)
        return force, bond.bond_torque_nm(force, seat)
    if stress is None:
        return None, None
    grip = (stress.sure_pressure, seat, length, _table()[case.joint.kind.value]["friction"])
    return interference.axial_force_n(*grip), interference.torque_nm(*grip)


# --- words ---


def _headline(case: _Case, finding: _Finding) -> str:
    fit, gap = case.joint.kind.words, case.clearance_nm
    size = f"{'Clearance' if gap > 0 else 'Interference'} {case.show(abs(gap))}"
    if gap == 0:
        size = "Bore and seat are the same size"
    if finding is _Finding.NO_GRIP:
        return f"{size} where a {fit} was wanted"
    tail = {
        _Finding.GOOD: f"serves the {fit}",
        _Finding.WIPED: f"{'too little' if gap > 0 else 'no room'} for the bond, the compound is wiped out",
        _Finding.WIDE: "wide for the bond, check the compound's data sheet",
        _Finding.TOO_WIDE: "too wide for the bond",
        _Finding.LOOSE: f"too little, the {fit} will not hold",
        _Finding.CRACKS: "too tight, the boss may crack",
        _Finding.TIGHT: f"tighter than the {fit} wants, take care",
        _Finding.STRAINED: f"serves the {fit} with little in hand, take care",
    }[finding]
    return f"{size}: {tail}"


def _reason(case: _Case, finding: _Finding, stress: _Stress | None) -> str:
    joint, gap = case.joint, _gap_range(case.joint)
    what = "a gap" if case.is_bond else "an interference"
    wanted = f"{what} of {case.show(joint.least_nm)} to {case.show(joint.most_nm)} is wanted"
    filled = f"{case.show(gap.limit_nm)} is the most it can fill ({gap.source})"
    words = {
        _Finding.GOOD: f"It is as it should be: {wanted}.",
        _Finding.WIPED: f"The compound needs room to stay in: {wanted}.",
        _Finding.WIDE: f"It is more than is best: {wanted}, and {filled}.",
        _Finding.TOO_WIDE: f"The compound will not fill it: {wanted}, and {filled}.",
        _Finding.NO_GRIP: f"Nothing grips: {wanted}.",
        _Finding.LOOSE: f"The wheel could work loose on its axle: {wanted}.",
        _Finding.CRACKS: f"A fit below the factor wanted is never called safe, even where {wanted}.",
        _Finding.TIGHT: f"It is more than it should be, though the iron can take it: {wanted}.",
        _Finding.STRAINED: f"It is as it should be, {wanted}, but a flaw in the iron would leave little.",
    }[finding]
    return f"{words} {_strain_words(joint, stress)}" if stress else words


def _strain_words(joint: Joint, stress: _Stress) -> str:
    return (
        f"The boss is strained to {stress.hoop:.0f} MPa and the iron is sure of {stress.strength:.0f} MPa,"
        f" a factor of {_floor2(stress.factor)}, where {joint.factor_wanted:g} is wanted."
    )


def _floor2(factor: float) -> str:
    """Two decimals, cut off: 1.999 must not read as the 2 it failed to reach."""
    return f"{math.floor(factor * 100) / 100:.2f}"


def _cautions(case: _Case, remedies: Sequence[Remedy], spread_nm: int) -> Iterator[str]:
    joint = case.joint
    if spread_nm > joint.most_nm - joint.least_nm:
        yield (
            f"The readings of the bore differ by {case.show(spread_nm)}, more than the range wanted is wide:"
            " it is tapered or out of round, and the answer depends on where you measure."
        )
    if abs(case.clearance_nm) > _STRANGE_NM:
        yield (
            f"Bore and seat differ by {case.show(abs(case.clearance_nm))}: check the reading, its unit, and"
            " that the seat belongs to this wheel."
        )
    if not case.is_bond and _highest_nm(case, case.seat_nm, joint.factor_wanted) < joint.least_nm:
        yield (
            f"No interference in the wanted range is safe in this boss: it takes at most"
            f" {case.show(_highest_nm(case, case.seat_nm, joint.factor_wanted))} at a factor of"
            f" {joint.factor_wanted:g}. Think of a bond, or of a larger boss."
        )
    yield from _KIND_CAUTIONS[joint.kind]
    if any(remedy.key in _CUTTING for remedy in remedies):
        yield "Before cutting: chuck key out, and turn the work by hand clear of the bed before the power."
    yield "The program advises: the builder, local codes and a competent person decide."


_KIND_CAUTIONS = {
    FitKind.PRESS: ("Press brittle iron behind a guard: a boss can burst without warning.",),
    FitKind.SHRINK: (
        "A heated wheel does not look hot: gloves, tongs, a clear way to the axle, nothing near that burns.",
        "Iron can crack as it grips: stand clear until it is cold. Let a warmed wheel cool before measuring.",
    ),
    FitKind.BOND: (
        "Ventilate when using the compound, and the more when warming a bond to release it: it fumes.",
        "Let a warmed wheel cool before measuring.",
    ),
}
_CUTTING = {"bore_out", "turn_seat", "bore_for_bond", "sleeve"}


# --- what to do next ---


def _remedies(case: _Case, finding: _Finding, other_seats: Sequence[OtherSeat]) -> Iterator[Remedy]:
    """Least work first; each is offered only where following it to the letter serves."""
    answer = _ANSWERS.get(finding, Answer.NOT)
    if answer is Answer.SERVES:
        return
    yield from _try_other_seats(case, other_seats)
    ways: list[Callable[[_Case], Remedy | None]] = [_bore_out, _turn_seat]
    if answer is Answer.NOT:
        ways = [_bond_instead, _bore_out, _turn_seat, _bore_for_bond]
        ways += [_sleeve] if finding in _LOOSE else []
    for way in ways:
        remedy = way(case)
        if remedy:
            yield remedy
    if answer is Answer.NOT:
        yield Remedy("scrap", "Scrap this casting and put a spare in its place.", None)


def _try_other_seats(case: _Case, other_seats: Sequence[OtherSeat]) -> Iterator[Remedy]:
    for other in other_seats:
        if other.seat_nm >= case.joint.boss_diameter_nm:
            continue
        there = case.on(other.seat_nm)
        finding = _find(there, _stress(there))
        if finding is _Finding.GOOD:
            note = f" {other.casting_note}" if other.casting_note else ""
            yield Remedy("other_seat", f"Try it on {other.label}. {_headline(there, finding)}.{note}", None)


def _bond_instead(case: _Case) -> Remedy | None:
    gap = _gap_range(case.joint)
    if case.is_bond or bond.judge_gap(case.clearance_nm, gap) is not bond.GapFit.BEST:
        return None
    now = case.show(case.clearance_nm)
    words = f"Bond it instead: the gap of {now} suits a retaining compound, {_gap_words(case)}."
    return Remedy("bond_instead", words, None)


def _gap_words(case: _Case) -> str:
    gap = _gap_range(case.joint)
    return f"{case.show(gap.least_nm)} to {case.show(gap.most_nm)} ({gap.source})"


def _bore_out(case: _Case) -> Remedy | None:
    clearances = _wanted_clearances(case, case.seat_nm)
    window = _inward(case, case.seat_nm + clearances[0], case.seat_nm + clearances[1])
    return _bore_to("bore_out", case, window, "")


def _bore_for_bond(case: _Case) -> Remedy | None:
    if case.is_bond:
        return None
    gap = _gap_range(case.joint)
    window = _inward(case, case.seat_nm + gap.least_nm, case.seat_nm + gap.most_nm)
    return _bore_to(
        "bore_for_bond", case, window, f" Then bond it instead, with a gap of {_gap_words(case)}."
    )


def _bore_to(key: str, case: _Case, window: tuple[int, int], after: str) -> Remedy | None:
    low, high = window
    if low > high or low <= case.bore_nm or high >= case.joint.boss_diameter_nm:
        return None
    amount = _at_least(case, low - case.bore_nm, high - case.bore_nm)
    words = f"Bore it out by at least {case.show(amount)}, {case.to(window)}.{after}"
    return Remedy(key, words, amount, window)


def _turn_seat(case: _Case) -> Remedy | None:
    # The safe interference depends a little on the seat: over a range of seats it is least at one end.
    clearances = _wanted_clearances(case, case.seat_nm, case.bore_nm)
    low, high = window = _inward(case, case.bore_nm - clearances[1], case.bore_nm - clearances[0])
    if low > high or high >= case.seat_nm or low <= 0:
        return None
    amount = _at_least(case, case.seat_nm - high, case.seat_nm - low)
    words = f"Turn the seat down by at least {case.show(amount)}, {case.to(window)}."
    return Remedy("turn_seat", words, amount, window)


def _sleeve(case: _Case) -> Remedy | None:
    """Always for a bonded axle: pressing into a thin sleeve would strain its own bond (common practice)."""
    rule, gap = _table()["sleeve"], _gap_range(case.joint)
    amount = 2 * int(rule["wall_nm"])
    opened = case.bore_nm + amount
    left = case.joint.boss_diameter_nm - opened
    inside = _inward(case, case.seat_nm + gap.least_nm, case.seat_nm + gap.most_nm)
    if left < 2 * rule["least_boss_wall_nm"] or inside[0] > inside[1] or inside[1] >= opened:
        return None
    words = (
        f"Sleeve it: bore out by {case.show(amount)} to {case.show(opened)}, bond in a sleeve with a wall of"
        f" about {case.show(rule['wall_nm'])}, and bore that {case.to(inside)} for a bonded axle;"
        f" {case.show(left // 2)} of boss is left all round ({rule['source']})."
    )
    return Remedy("sleeve", words, amount, inside)


def _wanted_clearances(case: _Case, *seats_nm: int) -> tuple[int, int]:
    """Least and most clearance that serve (negative: interference); the first is the greater when none does.

    A fit that serves with care is eased until no care is needed; one that does not serve, until it is safe.
    """
    joint = case.joint
    if case.is_bond:
        return joint.least_nm, joint.most_nm
    factor = joint.factor_wanted
    if _ANSWERS.get(_find(case, _stress(case))) is Answer.CAUTION:
        factor = max(factor, _table()["factor"]["caution_below"])
    safe = min(_highest_nm(case, seat, factor) for seat in seats_nm)
    return -min(joint.most_nm, safe), -joint.least_nm


def _highest_nm(case: _Case, seat_nm: int, factor: float) -> int:
    """The most interference that keeps the factor, in whole nm on the safe side."""
    highest = interference.interference_at_hoop_mm(
        case.iron.tensile_low_mpa / factor,
        _mm(seat_nm),
        _mm(case.joint.boss_diameter_nm),
        case.iron.young_high_gpa,
        case.iron.poisson,
        MILD_STEEL.young_gpa,
        MILD_STEEL.poisson,
    )
    return max(0, math.floor(highest * _NM_PER_MM) - 1)


def _inward(case: _Case, low: int, high: int) -> tuple[int, int]:
    """The window with its ends moved in to figures that can be shown; low is above high when none fits."""
    grid = _GRID_NM[case.unit]
    return -(-low // grid) * grid, high // grid * grid


def _at_least(case: _Case, least: int, most: int) -> int:
    """The least to take off, rounded up to a figure that can be shown unless that would be too much."""
    grid = _GRID_NM[case.unit]
    shown = -(-least // grid) * grid
    return shown if shown <= most else least


# --- workings ---


def _workings(
    case: _Case,
    stress: _Stress | None,
    force: float | None,
    torque: float | None,
    classes: tuple[str | None, str | None],
) -> Iterator[Working]:
    yield Working(
        "clearance",
        "bore - seat (below zero: interference)",
        f"{case.show(case.bore_nm)} - {case.show(case.seat_nm)}",
        f"{'-' if case.clearance_nm < 0 else ''}{case.show(abs(case.clearance_nm))}",
        "by definition",
    )
    yield _range_working(case)
    if stress:
        yield from _stress_workings(case, stress)
    if force is not None and torque is not None:
        yield from _grip_workings(case, stress, force, torque)
    if stress and case.joint.kind is FitKind.SHRINK:
        yield _heating_working(case)
    for part, name, nominal, size in (
        ("bore", classes[0], case.joint.nominal_bore_nm, case.bore_nm),
        ("seat", classes[1], case.joint.nominal_seat_nm, case.seat_nm),
    ):
        if name:
            numbers = f"{case.show(size)} on a nominal {case.show(nominal)}"
            yield Working(
                f"class of the {part}", "size inside the class's limits", numbers, name, "ISO 286-2:2010"
            )


def _range_working(case: _Case) -> Working:
    joint = case.joint
    least, most = case.show(joint.least_nm), case.show(joint.most_nm)
    if case.is_bond:
        gap = _gap_range(joint)
        numbers = f"least {least}, most {most}, with care to {case.show(gap.limit_nm)}"
        return Working(
            "gap wanted", "least <= bore - seat <= most", numbers, f"{least} to {most}", gap.source
        )
    usual = default_range(joint.kind, joint.nominal_seat_nm)
    numbers = (
        f"least {least}, most {most}; the rule of thumb gives {case.show(usual[0])} to {case.show(usual[1])}"
    )
    source = str(_table()[joint.kind.value]["source"])
    return Working(
        "interference wanted", "least <= seat - bore <= most", numbers, f"{least} to {most}", source
    )


def _stress_workings(case: _Case, stress: _Stress) -> Iterator[Working]:
    seat, boss = f"d {_mm(case.seat_nm):.3f} mm", f"D {_mm(case.joint.boss_diameter_nm):.3f} mm"
    one = case.iron
    yield Working(
        "pressure",
        "p = delta / { (d/Eh) [(D^2 + d^2)/(D^2 - d^2) + nuh] + (d/Es) (1 - nus) }",
        f"delta {_mm(-case.clearance_nm):.4f} mm, {seat}, {boss}, Eh {one.young_high_gpa:g} GPa (the stiffest"
        f" {one.name}), nuh {one.poisson:g}, Es {MILD_STEEL.young_gpa:g} GPa, nus {MILD_STEEL.poisson:g}",
        f"{stress.pressure:.1f} MPa",
        f"{_LAME}; {one.name}: {one.source}",
    )
    yield Working(
        "hoop stress",
        "hoop = p (D^2 + d^2)/(D^2 - d^2)",
        f"p {stress.pressure:.1f} MPa, {seat}, {boss}",
        f"{stress.hoop:.1f} MPa",
        _LAME,
    )
    yield Working(
        "factor against cracking",
        "factor = tensile strength / hoop stress (cut off, not rounded)",
        f"{stress.strength:.0f} MPa (the least of {one.name}) / {stress.hoop:.1f} MPa",
        f"{_floor2(stress.factor)}, wanted {case.joint.factor_wanted:g}",
        f"strength: {one.source}; factor wanted: {_table()['factor']['source']}",
    )


def _grip_workings(case: _Case, stress: _Stress | None, force: float, torque: float) -> Iterator[Working]:
    seat, length = f"d {_mm(case.seat_nm):.3f} mm", f"l {_mm(case.joint.boss_length_nm):.3f} mm"
    compound = case.joint.compound
    if case.is_bond:
        reductions = " x ".join(f"{one:g}" for one in compound.reductions) or "none"
        numbers = (
            f"shear {compound.shear_mpa:g} MPa, {seat}, {length}, reductions {reductions},"
            f" safety {compound.safety:g}"
        )
        source = "shear stress times area; the strength is the data sheet's and does not predict service"
        yield Working(
            "force held", "F = shear pi d l x reductions / safety", numbers, f"{force:.0f} N", source
        )
        yield Working("torque held", "T = F d / 2", f"F {force:.0f} N, {seat}", f"{torque:.1f} N m", source)
    elif stress:
        rule = _table()[case.joint.kind.value]
        numbers = (
            f"mu {rule['friction']:g}, {seat}, {length}, p {stress.sure_pressure:.1f} MPa at Eh"
            f" {case.iron.young_low_gpa:g} GPa (the softest {case.iron.name})"
        )
        source = f"{_LAME}; friction: {rule['friction_source']}"
        yield Working("force held", "F = mu pi d l p", numbers, f"{force:.0f} N", source)
        yield Working("torque held", "T = mu pi d^2 l p / 2", numbers, f"{torque:.1f} N m", source)


def _heating_working(case: _Case) -> Working:
    rule, alpha = _table()["shrink"], case.iron.alpha_per_k
    seat, delta = _mm(case.seat_nm), _mm(-case.clearance_nm)
    room = seat * rule["assembly_clearance_per_diameter"]
    rise = interference.heating_k(delta, room, alpha, seat)
    return Working(
        "heat the wheel above the axle by",
        "rise = (delta + room) / (alpha d)",
        f"delta {delta:.4f} mm, room {room:.4f} mm, alpha {alpha:.3g} per K, d {seat:.3f} mm",
        f"{rise:.0f} K",
        f"thermal expansion; {rule['assembly_source']}; alpha: {case.iron.source}",
    )
