"""What goes into the report on a forced joint and what comes out of it."""

from dataclasses import dataclass, field
from enum import StrEnum

from domain.joints.fit_types import Answer, FitKind
from domain.joints.friction import Friction
from domain.joints.materials import MILD_STEEL, Iron, Steel
from domain.joints.roughness import DEFAULT_EDITION, Edition, Roughness
from domain.working import Working


@dataclass(frozen=True)
class ForcedJoint:
    """An axle or a pin to be forced into an iron boss.

    seat_nm, boss_nm, length_nm: seat diameter, smallest ring of sound metal round the bore, length gripped, nm.
    factor_wanted: strength over hoop stress, 1 or more. assembly_clearance_nm: shrink only, room while
    sliding on, nm. room_c: shop and axle, degrees C. press_capacity_n: what the press or vice gives, N; None
    where it is not known. wanted_nm: least and most interference the drawing wants, nm; None to leave it unjudged.
    """

    kind: FitKind
    seat_nm: int
    boss_nm: int
    length_nm: int
    iron: Iron
    friction: Friction
    steel: Steel = MILD_STEEL
    roughness: Roughness = field(default_factory=Roughness)
    edition: Edition = DEFAULT_EDITION
    factor_wanted: float = 2.0
    assembly_clearance_nm: int = 0
    room_c: float = 20.0
    press_capacity_n: float | None = None
    wanted_nm: tuple[int, int] | None = None


@dataclass(frozen=True)
class State:
    """The joint with every doubtful figure at one value.

    interference_nm: what is left after smoothing, nm. Stresses in MPa, E in GPa, force in N, torque in N m.
    factor_low, factor_high: against the bottom and the top of the iron's tensile range; None without stress.
    """

    name: str
    interference_nm: int
    young_gpa: float
    friction: float
    pressure_mpa: float
    hoop_mpa: float
    factor_low: float | None
    factor_high: float | None
    axial_n: float
    torque_nm: float


class ForcedFinding(StrEnum):
    """What judging found; the words of the report hang on it."""

    GOOD = "good"
    STRAINED = "strained"
    TIGHT = "tight"
    WEAK_PRESS = "weak press"
    NO_GRIP = "no grip"
    CRACKS = "cracks"
    CANNOT_TELL = "cannot tell"
    UNSURE_GRIP = "unsure grip"
    LOOSE = "loose"

    @property
    def answer(self) -> Answer:
        return _ANSWERS.get(self, Answer.NOT)


_ANSWERS = {
    ForcedFinding.GOOD: Answer.SERVES,
    ForcedFinding.STRAINED: Answer.CAUTION,
    ForcedFinding.TIGHT: Answer.CAUTION,
    ForcedFinding.WEAK_PRESS: Answer.CAUTION,
    ForcedFinding.CANNOT_TELL: Answer.CAUTION,
}


@dataclass(frozen=True)
class ForcedReport:
    """What the joint does at the measured sizes and at the worst corners of what is not known.

    most_strained: most interference, stiffest iron, most friction; least_grip: the other way round.
    factor: least strength over greatest hoop stress; None when nothing can be strained.
    pressing_force_n: the greatest, N; None for shrink. press_is_enough: None when it is not known.
    axial_n, torque_nm: the least that is held, N and N m. heat_to_c: degrees C; None for press.
    axial_measured_n, torque_measured_nm: the least held at the sizes as measured, U left out, N and N m.
    safe_interference_nm: the greatest measured interference that keeps the factor wanted whatever the
    uncertainty hides, nm; None when the uncertainty alone is too much.
    """

    finding: ForcedFinding
    headline: str
    reason: str
    nominal: State
    most_strained: State
    least_grip: State
    factor: float | None
    pressing_force_n: float | None
    press_is_enough: bool | None
    axial_n: float
    torque_nm: float
    heat_to_c: float | None
    safe_interference_nm: int | None
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]
    axial_measured_n: float
    torque_measured_nm: float

    @property
    def answer(self) -> Answer:
        return self.finding.answer
