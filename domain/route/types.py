"""What goes into the planning of batches, and what comes out: wheels, set-ups, the work done in them, turns."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from domain.route.guards import Wheel
from domain.route.stages import Stage
from domain.working import Working


class BatchError(ValueError):
    """Wheels no work can be planned for; its text is one sentence for the page, `field` the thing at fault."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


class SetUp(StrEnum):
    """How the shop is set out for one sort of work, in the order the shop usually comes to them.

    Turning a wheel round in the chuck and setting it true is each wheel's own work and changes no set-up.
    """

    RECEIVING = "receiving"
    BACK_OUT = "back_out"
    FRONT_OUT = "front_out"
    CRANKPIN_JIG = "crankpin_jig"
    MANDREL = "mandrel"
    FIXING = "fixing"
    BETWEEN_CENTRES = "between_centres"
    QUARTERING = "quartering"
    PAINTING = "painting"

    @property
    def words(self) -> str:
        """The set-up as it is said in the shop."""
        return _SET_UP_WORDS[self]


_SET_UP_WORDS = {
    SetUp.RECEIVING: "at the bench, with stamps, chalk and rule",
    SetUp.BACK_OUT: "in the four-jaw chuck, back outward",
    SetUp.FRONT_OUT: "in the four-jaw chuck, front outward",
    SetUp.CRANKPIN_JIG: "at the drill, with the one crankpin jig",
    SetUp.MANDREL: "in the lathe, on the stub mandrel",
    SetUp.FIXING: "at the bench, with axles and wheels clean",
    SetUp.BETWEEN_CENTRES: "in the lathe, between centres on the axle",
    SetUp.QUARTERING: "on the surface plate, axle in vee blocks",
    SetUp.PAINTING: "at the paint bench, away from the machines",
}


class Work(StrEnum):
    """One thing done to a wheel, or to both wheels of an axle, in one set-up."""

    RECEIVE = "receive"
    FACE_BACK = "face_back"
    BORE = "bore"
    LOG_BORE = "log_bore"
    CRANKPIN_HOLE = "crankpin_hole"
    LOG_THROW = "log_throw"
    FIX = "fix"
    TURN_TREAD = "turn_tread"
    FIX_AND_QUARTER = "fix_and_quarter"
    QUARTER = "quarter"
    PAINT = "paint"

    @property
    def words(self) -> str:
        """The work as it is said in the shop."""
        return _WORK_WORDS[self]

    @property
    def stage(self) -> Stage:
        """The stage the work leads to."""
        return _WORK_STAGE[self]


_WORK_WORDS = {
    Work.RECEIVE: "look over, measure and mark",
    Work.FACE_BACK: "set true and face the back",
    Work.BORE: "set true again, face the front, bore to size and log the bore",
    Work.LOG_BORE: "measure and log the bore",
    Work.CRANKPIN_HOLE: "drill the crankpin hole and log the throw",
    Work.LOG_THROW: "measure and log the throw",
    Work.FIX: "fix on the axle",
    Work.TURN_TREAD: "turn the tread",
    Work.FIX_AND_QUARTER: "bond the second wheel and quarter the axle in one go",
    Work.QUARTER: "quarter the axle",
    Work.PAINT: "paint",
}
_WORK_STAGE = {
    Work.RECEIVE: Stage.RECEIVED,
    Work.FACE_BACK: Stage.BACK_FACED,
    Work.BORE: Stage.BORED,
    Work.LOG_BORE: Stage.PRESSED,
    Work.CRANKPIN_HOLE: Stage.QUARTERED,
    Work.LOG_THROW: Stage.QUARTERED,
    Work.FIX: Stage.PRESSED,
    Work.TURN_TREAD: Stage.TREAD_TURNED,
    Work.FIX_AND_QUARTER: Stage.QUARTERED,
    Work.QUARTER: Stage.QUARTERED,
    Work.PAINT: Stage.PAINTED,
}


@dataclass(frozen=True)
class BatchWheel:
    """One casting to plan for. `key` is the casting's; `axle` the axle's number; `side` "left" or "right".

    A spare has `facts.placed` False; its axle and side are not looked at.
    """

    key: int
    axle: int
    side: str
    coupled: bool
    facts: Wheel

    @property
    def where(self) -> str:
        """The place, in words."""
        return f"axle {self.axle}, {self.side}"


@dataclass(frozen=True)
class Hold:
    """A wheel that cannot go on, why in one sentence, and the stage it may not begin (None: nothing at all)."""

    key: int
    why: str
    before: Stage | None = None


@dataclass(frozen=True)
class Turn:
    """One wheel's turn in a batch, or one axle's where both wheels get the work together."""

    keys: tuple[int, ...]
    marks: tuple[str, ...]
    where: str
    works: tuple[Work, ...]
    words: str


@dataclass(frozen=True)
class Batch:
    """One set-up and the turns it serves, in order. `stage` is the stage it leads to."""

    set_up: SetUp
    stage: Stage
    turns: tuple[Turn, ...]
    words: str
    why: str

    @property
    def keys(self) -> tuple[int, ...]:
        """The castings in the batch, in the order of their turns."""
        return tuple(key for turn in self.turns for key in turn.keys)


@dataclass(frozen=True)
class Waiting:
    """A wheel whose work cannot be planned to its end, and why in one sentence."""

    key: int
    mark: str
    where: str
    why: str


@dataclass(frozen=True)
class Plan:
    """All the work that can be planned, as batches; the wheels that wait; the changes of set-up and their working."""

    batches: tuple[Batch, ...]
    waiting: tuple[Waiting, ...]
    changes: int
    working: Working
