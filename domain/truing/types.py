"""What is asked and answered when a casting is set true in the independent four-jaw chuck."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import NM_PER_MM, Unit, show
from domain.working import Working


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


class SettingTrueError(ValueError):
    """Something typed that cannot be; its text is one sentence for the page, `field` says which box it is for."""

    def __init__(self, sentence: str, field: str) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True)
class Dial:
    """The dial in use: one division, nm; the system it is marked in; whether its figures rise as the plunger goes in."""

    division_nm: int
    unit: Unit
    counts_up_when_pushed_in: bool = True

    def __post_init__(self) -> None:
        if not 0 < self.division_nm <= NM_PER_MM:
            raise SettingTrueError(
                f"A dial division of {show(self.division_nm, self.unit)} cannot be: type what is printed on its face,"
                " such as 0.01 mm or 0.001 in.",
                "division",
            )

    @property
    def pushed_in_sign(self) -> int:
        """+1 where pushing the plunger in makes the figure rise, -1 where it makes it fall."""
        return 1 if self.counts_up_when_pushed_in else -1


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


@dataclass(frozen=True)
class ClockJaw:
    """One jaw on the clock face, at its angle clockwise from jaw 1 at the top."""

    number: int
    angle_deg: float
    label: JawLabel


@dataclass(frozen=True)
class ClockPoint:
    """One reading on the clock face: `out_nm` is how far the surface lies outside its mean circle round the lathe's axis."""

    angle_deg: float
    nm: int
    out_nm: int
    residual_nm: int


@dataclass(frozen=True)
class ClockFace:
    """What the picture shows; `arrow_deg` is the way the work must go, None where it stays."""

    jaws: tuple[ClockJaw, ...]
    arrow_deg: float | None
    points: tuple[ClockPoint, ...]


@dataclass(frozen=True)
class Advice:
    """How the work lies, and what to do about it.

    `along_nm` is how far the work's middle lies off the lathe's axis towards jaw 1 and towards jaw 2; `direction_deg` is
    the same as an angle (0 where the eccentricity is 0). `out_of_round_nm` and `expected_tir_nm` are None with three
    readings, which cannot tell them.
    """

    eccentricity_nm: int
    direction_deg: float
    along_nm: tuple[int, int]
    tir_nm: int
    moves: tuple[JawMove, ...]
    expected_eccentricity_nm: int
    expected_tir_nm: int | None
    out_of_round_nm: int | None
    stop: bool
    stop_reason: Stop | None
    words: tuple[str, ...]
    cautions: tuple[str, ...]
    picture: ClockFace
    workings: tuple[Working, ...]
    division_nm: int
    unit: Unit
