"""What goes into judging a fit and what comes out: the joint, the other seats, the remedies, the verdict."""

from dataclasses import dataclass, field
from enum import StrEnum

from domain.joints import bond
from domain.working import Working


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
