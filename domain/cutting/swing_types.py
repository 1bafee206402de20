"""What is asked and answered when work must swing in a lathe: lathe, chuck, jaws, set-up and verdict."""

from dataclasses import dataclass
from enum import StrEnum

from domain.working import Working


class Jaws(StrEnum):
    """Which way round the jaws are in the chuck."""

    NORMAL = "normal"
    REVERSED = "reversed"


class Grips(StrEnum):
    """Whether the jaws close on the outside of the work or open against its inside."""

    OUTSIDE = "outside"
    INSIDE = "inside"


class SwingAnswer(StrEnum):
    """The answer, before anybody lifts the chuck."""

    YES = "yes"
    NO = "no"
    ONLY_IN_GAP = "only in the gap"


class SwingError(ValueError):
    """Sizes no set-up can have; its text is one sentence for the page, `field` the box at fault."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True)
class SwingLathe:
    """A lathe: axis to bed; and, where it has a gap, axis to the gap's floor and spindle nose to its far end; nm."""

    centre_height_nm: int
    gap_radius_nm: int | None = None
    gap_width_nm: int | None = None


@dataclass(frozen=True)
class JawReach:
    """How far a jaw's outer end lies further out than the face that grips, nm, by a rule laid along the jaw.

    Zero where nothing of the jaw stands further out than that face; None where it was not measured. Where more than
    one step may grip, the step nearest to the middle gives the longest reach, which is the safe one.
    """

    outside_nm: int | None = None
    inside_nm: int | None = None


@dataclass(frozen=True)
class SwingChuck:
    """A chuck: diameter of its body, nose of the spindle to its face, its jaws either way, length of a jaw; nm."""

    body_nm: int
    depth_nm: int
    normal: JawReach
    reversed: JawReach
    jaw_length_nm: int | None = None


@dataclass(frozen=True)
class SwingSetUp:
    """How the work is held.

    held_nm: diameter the jaws grip. work_nm: largest diameter of the work, flange and all. along_nm: from the
    chuck's face to the far side of whatever is too large for the bed, the work or the jaws; asked for only where one
    of them must swing in the gap.
    """

    jaws: Jaws
    grips: Grips
    held_nm: int
    work_nm: int
    along_nm: int | None = None


@dataclass(frozen=True)
class Swing:
    """Whether it swings, and by how much.

    clearance_nm: room between what stands furthest out and what it passes, nm, negative by how much it fouls; against
    the gap's floor where the gap decides. what: "the work", "the jaws" or "the chuck". barely: it clears by less than
    2 mm. jaws_too_far_out: more than one third of a jaw stands out of the body (None: length not known).
    """

    answer: SwingAnswer
    clearance_nm: int
    largest_radius_nm: int
    what: str
    barely: bool
    jaws_too_far_out: bool | None
    words: str
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]
