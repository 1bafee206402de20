"""One cut and the going it meets, as the speeds and feeds are asked for."""

from dataclasses import dataclass, field

from domain.cutting.force import IronForce
from domain.cutting.operations import Operation
from domain.cutting.speeds import CutKind, CuttingError, Factors, usual_factors

_FACE_ONLY = "Only a facing cut has an inner diameter: leave it empty for this operation."


@dataclass(frozen=True)
class Cut:
    """One cut. All nm; None where not known: the inner end of a facing cut, the tool's travel, depth and feed a turn."""

    operation: Operation
    diameter_nm: int
    inner_diameter_nm: int | None = None
    length_nm: int | None = None
    depth_nm: int | None = None
    feed_nm: int | None = None

    def __post_init__(self) -> None:
        for name, words, example in (
            ("diameter", "diameter", "108 mm"),
            ("length", "travel of the tool", "12 mm"),
            ("depth", "depth of cut", "0.5 mm"),
            ("feed", "feed for each turn", "0.1 mm"),
        ):
            value = getattr(self, f"{name}_nm")
            if value is not None and value <= 0:
                raise CuttingError(f"The {words} must be above nothing: type one such as {example}.", name)
        if self.inner_diameter_nm is not None and not self.operation.has_inner_diameter:
            raise CuttingError(_FACE_ONLY, "inner_diameter")
        if self.depth_nm is not None and not self.operation.depth_words:
            raise CuttingError("A drill or reamer has no depth of cut here: leave it empty.", "depth")
        turned = self.operation.kind is CutKind.TURN
        if turned and self.depth_nm is not None and 2 * self.depth_nm >= self.diameter_nm:
            raise CuttingError("The cut is deeper than the work is thick: measure the depth again.", "depth")


@dataclass(frozen=True)
class Conditions:
    """How rough the going is; None takes what is usual for the operation."""

    interrupted: bool | None = None
    chilled: bool = False
    finishing: bool | None = None
    factors: Factors = field(default_factory=usual_factors)


Slowing = tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Feeding:
    """The feed wanted, the least the machine has, the feed it so gives, and what is usual for a finishing cut."""

    nm: int
    wanted_nm: int
    least_nm: int
    finishing_nm: int
    finishing: bool
    source: str


@dataclass(frozen=True)
class Load:
    """What one edge asks of the motor; nothing is reckoned for drills and reamers."""

    iron: IronForce
    feed_nm: int
    metres: float
    force_n: float | None = None
    power_w: float | None = None
    share: float | None = None
    deepest_nm: int | None = None
