"""One joint of either kind, of a wheel or of a crankpin, judged by the domain at its measured sizes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from domain.joints.bond_strength import BondedJoint, BondReport, report_bond
from domain.joints.fit import Answer, FitError, FitKind
from domain.joints.forced_joint import ForcedFinding, ForcedReport, report_forced
from domain.joints.forced_words import cut_off
from domain.lengths import Unit, show
from domain.working import Working
from webapp.facts.joint_terms import bond_sheet, forced_joint
from webapp.records.views import BuildView, Measured
from webapp.typed.joint_figures import JointFigures

# The same joint is asked about for every page that shows it.
_forced = lru_cache(maxsize=256)(report_forced)
_bond = lru_cache(maxsize=256)(report_bond)


@dataclass(frozen=True, slots=True)
class Judged:
    """A joint of either kind as judged: what its report comes to, and what it holds at the worst corner.

    Where only the uncertainty takes it to where nothing is claimed, what it holds is that of the sizes as measured.
    """

    answer: Answer
    headline: str
    reason: str
    size_words: str
    torque_nm: float
    axial_n: float
    making: tuple[str, ...]
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]
    # At the sizes as measured, with nothing taken off for their uncertainty.
    torque_measured_nm: float
    # It serves as measured, and only the uncertainty takes it to where nothing is claimed.
    cannot_tell: bool = False
    # What is wrong where it does not serve, in a few words.
    word: str = ""


@dataclass(frozen=True, slots=True)
class Size:
    """A measured size: its middle and its expanded uncertainty, nm; None where that is not known."""

    nm: int
    expanded_nm: int | None
    bound_nm: int = 0


def size_of(measured: Measured) -> Size:
    """A plug gauge bounds a size and gives no more: half its width is a bound, not a spread."""
    if not measured.by_plug:
        return Size(measured.mean_nm, measured.expanded_nm)
    if measured.low_nm is None or measured.high_nm is None:
        raise FitError(
            f"The plug gauge leaves the {measured.kind} open at one end: measure it, or try the other plug."
        )
    half = math.ceil((measured.high_nm - measured.low_nm) / 2)
    return Size((measured.low_nm + measured.high_nm) // 2, 0, half)


def uncertainty_nm(*sizes: Size) -> int:
    """The expanded uncertainty of a difference: root of the sum of squares, and bounds on top in full."""
    return math.ceil(math.hypot(*(size.expanded_nm or 0 for size in sizes))) + sum(s.bound_nm for s in sizes)


def judge_pair(
    build: BuildView,
    figures: JointFigures,
    kind: FitKind,
    hole: Size,
    inner: Size,
    boss_nm: int,
    length_nm: int,
    wanted_nm: tuple[int, int] | None = None,
) -> Judged:
    """What holds `inner` in `hole`, of a boss and over a length, nm."""
    unsure = uncertainty_nm(hole, inner)
    if kind is FitKind.BOND:
        joint = BondedJoint(inner.nm, length_nm, bond_sheet(figures), figures.number("hottest"))
        return _of_bond(_bond(joint, hole.nm - inner.nm, unsure, build.unit), hole.nm - inner.nm, build.unit)
    forced = forced_joint(build, figures, kind, inner.nm, boss_nm, length_nm, wanted_nm)
    report = _forced(forced, inner.nm - hole.nm, unsure, build.unit)
    return _of_forced(report, inner.nm - hole.nm, forced.press_capacity_n, build.unit)


def _of_bond(report: BondReport, gap_nm: int, unit: Unit) -> Judged:
    """A bond as judged."""
    name = "Gap" if gap_nm >= 0 else "Interference"
    size = f"{name} {show(abs(gap_nm), unit)}"
    first, *rest = report.reasons
    serves = f"{report.answer.words} as a bond"
    if report.cannot_tell:
        first, *rest = f"{first} {rest[0]}", *rest[1:]
    return Judged(
        answer=report.answer,
        headline=f"{size}: {'cannot be told with this instrument' if report.cannot_tell else serves}",
        reason=first,
        size_words=size,
        torque_nm=report.torque_nm,
        axial_n=report.force_n,
        making=(),
        cautions=tuple(rest),
        workings=report.workings,
        torque_measured_nm=report.torque_nm,
        cannot_tell=report.cannot_tell,
        word="the bond does not serve",
    )


def _of_forced(report: ForcedReport, interference_nm: int, press_n: float | None, unit: Unit) -> Judged:
    """A press or shrink fit as judged."""
    making = []
    if report.pressing_force_n is not None:
        gives = "what the press gives is not said" if press_n is None else f"the press gives {press_n:.0f} N"
        enough = {True: ", enough", False: ", not enough", None: ""}[report.press_is_enough]
        making.append(f"Pressing takes up to {report.pressing_force_n:.0f} N; {gives}{enough}.")
    if report.heat_to_c is not None:
        making.append(f"Heat the wheel to {report.heat_to_c:.0f} C.")
    safe = report.safe_interference_nm
    making.append(
        "No interference can be called safe."
        if safe is None
        else f"Safe up to {cut_off(safe, unit)} as measured."
    )
    cannot_tell = report.finding is ForcedFinding.CANNOT_TELL
    name = "Clearance" if interference_nm < 0 else "Interference"
    return Judged(
        answer=report.answer,
        headline=report.headline,
        reason=report.reason,
        size_words=f"{name} {show(abs(interference_nm), unit)}",
        torque_nm=report.torque_measured_nm if cannot_tell else report.torque_nm,
        axial_n=report.axial_measured_n if cannot_tell else report.axial_n,
        making=tuple(making),
        cautions=report.cautions,
        workings=report.workings,
        torque_measured_nm=report.torque_measured_nm,
        cannot_tell=cannot_tell,
        word="the boss may crack" if report.finding is ForcedFinding.CRACKS else "it may not grip",
    )
