"""The set-ups of the shop and the works done in them: words, what is done, why, what is left to measure."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from domain.route.stages import ROUGH_PAINT, Route, Stage


class SetUp(StrEnum):
    """How the shop is set out for one sort of work, in the order the shop usually comes to them.

    Turning a wheel round in the chuck and setting it true is each wheel's own work and changes no set-up.
    """

    RECEIVING = "receiving"
    ROUGH_PAINT = "rough_paint"
    BACK_OUT = "back_out"
    FRONT_OUT = "front_out"
    CRANKPIN_JIG = "crankpin_jig"
    MANDREL = "mandrel"
    BACK_ON_MANDREL = "back_on_mandrel"
    FIXING = "fixing"
    BETWEEN_CENTRES = "between_centres"
    QUARTERING = "quartering"
    PAINTING = "painting"

    @property
    def words(self) -> str:
        """The set-up as it is said in the shop."""
        return _SET_UPS[self].words

    @property
    def brief(self) -> str:
        """The set-up and its operation, short enough for the head of a sheet.

        >>> SetUp.FRONT_OUT.brief
        'Front outward: bore'
        """
        return _SET_UPS[self].brief or self.words.capitalize()

    @property
    def works(self) -> tuple[Work, ...]:
        """What is done in it, in order."""
        return _SET_UPS[self].works

    @property
    def logs(self) -> tuple[Work, ...]:
        """What is left of a work that was ticked before its measurement was logged; it belongs to the same set-up."""
        return _SET_UPS[self].logs

    @property
    def why(self) -> str:
        """Why the work is done so."""
        return _SET_UPS[self].why

    def used_on(self, route: Route) -> bool:
        """Whether the route's work comes to it: a tread is turned, and a back faced, in one way on each route.

        >>> [set_up.value for set_up in SetUp if not set_up.used_on(Route.FRONT_FIRST)]
        ['back_out', 'mandrel', 'between_centres']
        """
        treads = _TREADS[route]
        if Work.TURN_TREAD in self.works:
            return self is treads
        return Work.FACE_BACK not in self.works or Work.FACE_BACK not in treads.works

    @property
    def of_pattern(self) -> bool:
        """Whether jaws, speed or jig are set for one pattern of wheel, so that another pattern is another set-up.

        >>> SetUp.FRONT_OUT.of_pattern, SetUp.PAINTING.of_pattern
        (True, False)
        """
        return _SET_UPS[self].of_pattern

    @property
    def key(self) -> str:
        """The tick that says it is done."""
        return self.works[-1].key

    @property
    def stage(self) -> Stage:
        """The stage it leads to; the jig's hole is known by its throw."""
        return self.works[-1].stage


class Work(StrEnum):
    """One thing done to a wheel, or to both wheels of an axle, in one set-up."""

    RECEIVE = "receive"
    ROUGH_PAINT = "rough_paint"
    FACE_BACK = "face_back"
    BORE = "bore"
    LOG_BORE = "log_bore"
    CRANKPIN_HOLE = "crankpin_hole"
    LOG_THROW = "log_throw"
    JIG_HOLE = "jig_hole"
    HOLE_ON_AXLE = "hole_on_axle"
    FIX = "fix"
    TURN_TREAD = "turn_tread"
    FIX_AND_QUARTER = "fix_and_quarter"
    QUARTER = "quarter"
    PAINT = "paint"
    FINISH_PAINT = "finish_paint"

    @property
    def words(self) -> str:
        """The work as it is said in the shop."""
        return _WORKS[self][0]

    @property
    def stage(self) -> Stage:
        """The stage the work leads to."""
        return _WORKS[self][1]

    @property
    def key(self) -> str:
        """What is ticked when it is done: its stage, but for the paint in the rough, which is a small step."""
        return ROUGH_PAINT if self is Work.ROUGH_PAINT else self.stage.value


# What each work is called, and the stage it leads to.
_WORKS: dict[Work, tuple[str, Stage]] = {
    Work.RECEIVE: ("look over, measure and mark", Stage.RECEIVED),
    Work.FACE_BACK: ("see it run true and face the back", Stage.BACK_FACED),
    Work.BORE: ("set true from the front, face it, bore to size and log the bore", Stage.BORED),
    Work.LOG_BORE: ("measure and log the bore", Stage.PRESSED),
    Work.CRANKPIN_HOLE: ("drill the crankpin hole and log the throw", Stage.QUARTERED),
    Work.LOG_THROW: ("measure and log the throw", Stage.QUARTERED),
    Work.JIG_HOLE: (
        "drill the second crankpin hole through the quartering jig and log the throw",
        Stage.QUARTERED,
    ),
    # A wheel that was fixed without it: no plug of a jig goes in its bore any more.
    Work.HOLE_ON_AXLE: (
        "drill the crankpin hole on its axle with the quartering jig and log the throw",
        Stage.QUARTERED,
    ),
    Work.FIX: ("fix on the axle", Stage.PRESSED),
    Work.TURN_TREAD: ("turn the tread", Stage.TREAD_TURNED),
    Work.FIX_AND_QUARTER: ("fix the second wheel and quarter the axle in one go", Stage.QUARTERED),
    Work.QUARTER: ("quarter the axle", Stage.QUARTERED),
    Work.PAINT: ("paint", Stage.PAINTED),
    Work.ROUGH_PAINT: ("paint in the rough", Stage.PAINTED),
    Work.FINISH_PAINT: ("clean the bright parts and touch up the paint", Stage.PAINTED),
}


@dataclass(frozen=True)
class _SetOut:
    """A set-up: in words, what is done in it, why so, the measuring left over from it, in short, and whether it is set
    for one pattern of wheel."""

    words: str
    works: tuple[Work, ...]
    why: str
    logs: tuple[Work, ...] = ()
    brief: str = ""
    of_pattern: bool = False


_ALIKE = "All treads in one set-up, so that they come out alike."
_SET_UPS: dict[SetUp, _SetOut] = {
    SetUp.RECEIVING: _SetOut(
        "at the bench, with stamps, chalk and rule",
        (Work.RECEIVE,),
        "See every casting before the first cut, so that a poor one can be changed for a spare.",
        brief="At the bench: receive",
    ),
    SetUp.ROUGH_PAINT: _SetOut(
        "at the paint bench, castings in the rough",
        (Work.ROUGH_PAINT,),
        "The paint gets where no brush does later; the bright parts are cut or cleaned bright.",
        brief="Paint bench: the rough",
    ),
    SetUp.BACK_OUT: _SetOut(
        "in the four-jaw chuck, back outward",
        (Work.FACE_BACK,),
        "One chuck, tool and speed for all of these; only the wheel changes.",
        brief="Back outward: face",
        of_pattern=True,
    ),
    SetUp.FRONT_OUT: _SetOut(
        "in the four-jaw chuck, front outward",
        (Work.BORE,),
        "One tool, drill and reamer for all of these; measure each bore before the wheel leaves the chuck.",
        logs=(Work.LOG_BORE,),
        brief="Front outward: bore",
        of_pattern=True,
    ),
    SetUp.CRANKPIN_JIG: _SetOut(
        "at the drill, with the one crankpin jig",
        (Work.CRANKPIN_HOLE,),
        "One jig, not moved between wheels, makes all throws alike.",
        logs=(Work.LOG_THROW,),
        brief="Crankpin jig: drill",
        of_pattern=True,
    ),
    SetUp.MANDREL: _SetOut(
        "in the lathe, on the stub mandrel",
        (Work.TURN_TREAD,),
        _ALIKE,
        brief="On the mandrel: turn",
        of_pattern=True,
    ),
    SetUp.BACK_ON_MANDREL: _SetOut(
        "in the lathe, on the stub mandrel, back outward",
        (Work.FACE_BACK, Work.TURN_TREAD),
        "Back and tread in one holding are true to the bore; all treads in one set-up come out alike.",
        brief="On the mandrel: back, tread",
        of_pattern=True,
    ),
    SetUp.FIXING: _SetOut(
        "at the bench, with axles and wheels clean",
        (Work.LOG_BORE, Work.FIX),
        "Bores are measured and the fits are known before a wheel goes on.",
        brief="At the bench: fix",
    ),
    SetUp.BETWEEN_CENTRES: _SetOut(
        "in the lathe, between centres on the axle",
        (Work.TURN_TREAD,),
        _ALIKE,
        brief="Between centres: turn",
        of_pattern=True,
    ),
    SetUp.QUARTERING: _SetOut(
        "in the quartering fixture, or in vee blocks on the surface plate",
        (Work.LOG_THROW, Work.JIG_HOLE, Work.HOLE_ON_AXLE, Work.FIX_AND_QUARTER, Work.QUARTER),
        "With the same blocks and heights for every axle, all angles come out alike.",
        brief="In the fixture: quarter",
    ),
    SetUp.PAINTING: _SetOut(
        "at the paint bench, away from the machines",
        (Work.PAINT, Work.FINISH_PAINT),
        Stage.PAINTED.why,
        brief="Paint bench: paint",
    ),
}
# Where each route turns its treads. Common practice, no source.
_TREADS: dict[Route, SetUp] = {
    Route.FITTED_FIRST: SetUp.BETWEEN_CENTRES,
    Route.MANDREL_FIRST: SetUp.MANDREL,
    Route.FRONT_FIRST: SetUp.BACK_ON_MANDREL,
    Route.BETWEEN_CENTRES: SetUp.BETWEEN_CENTRES,
}
# The stages some set-up leads to; any other is ticked on the checklist alone.
PLANNED_STAGES = frozenset(work.stage for set_up in SetUp for work in set_up.works)
