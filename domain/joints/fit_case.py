"""One bore on one seat under judgement, and the findings that judging can come to."""

from dataclasses import dataclass
from enum import StrEnum

from domain.joints.fit_types import Answer, FitKind, Joint
from domain.joints.materials import Iron
from domain.lengths import NM_PER_MM, Unit, show


def mm(nm: int) -> float:
    """Nanometres as millimetres, for the formulas and the figures shown beside them.

    >>> mm(19_050_000)
    19.05
    """
    return nm / NM_PER_MM


class Finding(StrEnum):
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

    @property
    def answer(self) -> Answer:
        return _ANSWERS.get(self, Answer.NOT)


_ANSWERS = {
    Finding.GOOD: Answer.SERVES,
    Finding.WIDE: Answer.CAUTION,
    Finding.TIGHT: Answer.CAUTION,
    Finding.STRAINED: Answer.CAUTION,
}


@dataclass(frozen=True)
class Stress:
    """What an interference does, MPa: worst pressure and hoop stress, the strength they meet, the surest grip."""

    pressure: float
    hoop: float
    strength: float
    factor: float
    sure_pressure: float


@dataclass(frozen=True)
class Case:
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

    def on(self, seat_nm: int) -> "Case":
        return Case(self.joint, self.iron, self.bore_nm, seat_nm, self.unit)
