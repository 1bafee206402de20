"""Figures and words of a joint in one hand, as the tests ask for them: each is what the one judge found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from domain.answer import Answer
from domain.joints import words, workings
from domain.joints.fit import Fit
from domain.joints.held import Bonded, Forced, force, glue
from domain.joints.judge import Case, judge
from domain.joints.kinds import Kind
from domain.joints.remedies import OtherSeat, Remedy, remedies_for
from domain.joints.terms import BondedJoint, ForcedJoint, Joint, Size
from domain.lengths import Unit
from domain.working import Working


@dataclass(frozen=True)
class FitVerdict:
    """The fit as read, with its words."""

    fit: Fit
    unit: Unit
    spread_nm: int
    remedies: tuple[Remedy, ...]

    def __getattr__(self, name: str) -> Any:
        return getattr(self.fit, name)

    @property
    def answer(self) -> Answer:
        return self.fit.kind.answer

    @property
    def headline(self) -> str:
        return words.fit_headline(self.fit, self.unit)

    @property
    def reason(self) -> str:
        return words.fit_reason(self.fit, self.unit)

    @property
    def cautions(self) -> tuple[str, ...]:
        cuts = any(remedy.cuts for remedy in self.remedies)
        return tuple(words.fit_cautions(self.fit, self.unit, self.spread_nm, cuts))

    @property
    def workings(self) -> tuple[Working, ...]:
        return tuple(workings.fit_workings(self.fit, self.unit))

    @property
    def bore_class(self) -> str | None:
        return workings.classes(self.fit)[0]

    @property
    def seat_class(self) -> str | None:
        return workings.classes(self.fit)[1]

    @property
    def pressure_mpa(self) -> float | None:
        return self.fit.forced.most_strained.pressure_mpa if self.fit.forced else None

    @property
    def hoop_mpa(self) -> float | None:
        return self.fit.forced.most_strained.hoop_mpa if self.fit.forced else None

    @property
    def strength_mpa(self) -> float | None:
        return self.fit.iron.tensile_low_mpa if self.fit.forced else None

    @property
    def axial_force_n(self) -> float | None:
        return self.fit.grip.axial_n if self.fit.grip else None

    @property
    def torque_nm(self) -> float | None:
        return self.fit.grip.torque_nm if self.fit.grip else None


def judge_fit(
    joint: Joint,
    bore_nm: int,
    seat_nm: int,
    unit: Unit,
    other_seats: Sequence[OtherSeat] = (),
    spread_nm: int = 0,
) -> FitVerdict:
    """The judge's fit of two sizes as read; what holds it is left out."""
    bore, seat = (
        Size(bore_nm, ends_nm=(bore_nm - spread_nm // 2, bore_nm + (spread_nm + 1) // 2)),
        Size(seat_nm),
    )
    found = judge(Case(joint, bore, seat, "not asked here", None, unit))
    assert found.by_size is found.fit.kind
    remedies = tuple(remedies_for(found.fit, unit, other_seats))
    return FitVerdict(found.fit, unit, spread_nm, remedies)


@dataclass(frozen=True)
class Report:
    """What holds a joint, with its words."""

    held: Any
    unit: Unit

    def __getattr__(self, name: str) -> Any:
        return getattr(self.held, name)

    @property
    def finding(self) -> Kind:
        kind = self.held.kind
        assert isinstance(kind, Kind)
        return kind

    @property
    def answer(self) -> Answer:
        return self.finding.answer

    @property
    def headline(self) -> str:
        return words.held_headline(self.held, self.unit)

    @property
    def reason(self) -> str:
        return words.held_reason(self.held, self.unit)

    @property
    def cautions(self) -> tuple[str, ...]:
        return words.held_cautions(self.held, self.unit)

    @cached_property
    def workings(self) -> tuple[Working, ...]:
        return tuple(workings.held_workings(self.held, self.unit))


class ForcedReport(Report):
    """A forced joint: what the least sure corner holds, and the sizes as measured."""

    held: Forced

    @property
    def axial_n(self) -> float:
        return self.held.least_grip.axial_n

    @property
    def torque_nm(self) -> float:
        return self.held.least_grip.torque_nm

    @property
    def axial_measured_n(self) -> float:
        return self.held.measured.axial_n

    @property
    def torque_measured_nm(self) -> float:
        return self.held.measured.torque_nm


class BondReport(Report):
    """A bonded joint."""

    held: Bonded

    @property
    def force_n(self) -> float:
        return self.held.counted_n

    @property
    def torque_nm(self) -> float:
        return self.held.counted_nm

    @property
    def gap_fit(self) -> Any:
        return self.held.fits[0]

    @property
    def reasons(self) -> tuple[str, ...]:
        return tuple(words.bond_reasons(self.held, self.unit))

    @property
    def cannot_tell(self) -> bool:
        return self.finding is Kind.GAP_NOT_TOLD


def report_forced(
    joint: ForcedJoint, interference_nm: int, uncertainty_nm: int = 0, unit: Unit = Unit.MM
) -> ForcedReport:
    """What forcing does."""
    return ForcedReport(force(joint, interference_nm, uncertainty_nm), unit)


def report_bond(joint: BondedJoint, gap_nm: int, uncertainty_nm: int = 0, unit: Unit = Unit.MM) -> BondReport:
    """What a bond does."""
    return BondReport(glue(joint, gap_nm, uncertainty_nm), unit)
