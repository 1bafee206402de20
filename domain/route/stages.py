"""The stages of a driving wheel, the small steps inside each, and the order a route puts them in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache


class Stage(StrEnum):
    """A stage that a wheel is ticked through."""

    RECEIVED = "received"
    BACK_FACED = "back_faced"
    BORED = "bored"
    PRESSED = "pressed"
    TREAD_TURNED = "tread_turned"
    QUARTERED = "quartered"
    PAINTED = "painted"

    @property
    def words(self) -> str:
        """The stage as it is said in the shop."""
        return self.value.replace("_", " ")

    @property
    def state(self) -> str:
        """What a wheel is once the stage is ticked."""
        return _about(self).state or self.words

    @property
    def doing(self) -> str:
        """The stage's work, as one is told to do it or not to."""
        return _about(self).doing or f"tick it {self.words}"

    @property
    def why(self) -> str:
        """Why it waits for the stages before it; empty where there is nothing to say."""
        return _about(self).why

    @property
    def caution(self) -> str:
        """What to mind at the stage's work, in one line; fixing a wheel on its axle has those of its joint."""
        return _about(self).caution


class Route(StrEnum):
    """The order of work: which side is faced first, and whether the tread is turned before the wheel is on its axle.

    Common practice, no source.
    """

    FITTED_FIRST = "fitted_first"
    MANDREL_FIRST = "mandrel_first"
    FRONT_FIRST = "front_first"
    BETWEEN_CENTRES = "between_centres"

    @property
    def words(self) -> str:
        """The route as it is said in the shop."""
        return self.value.replace("_", " ")


class Pins(StrEnum):
    """When the crankpin holes are drilled and the pins go in: both before a wheel is fixed; the pins after; or the second
    hole of an axle after too, with the quartering jig.

    Common practice, no source.
    """

    BEFORE = "before"
    AFTER = "after"
    JIG = "jig"

    @property
    def words(self) -> str:
        """The way as it is said in the shop."""
        return {
            "before": "holes drilled and pins in, then fixed",
            "after": "holes drilled, then fixed, then the pins",
            "jig": "an axle's second hole and the pins after fixing, with the quartering jig",
        }[self.value]


# Where the wheel is first held by its rim, back outward; else by its rim, front outward, and then on a mandrel.
_BACK_FIRST = frozenset(Route) - {Route.FRONT_FIRST}
_FRONT_FIRST = frozenset({Route.FRONT_FIRST})
_BOTH_HOLES_FIRST = frozenset(Pins) - {Pins.JIG}


@dataclass(frozen=True)
class Step:
    """One small step inside a stage; `after` is a stage it must follow, and is shown under, where its key says another;
    `under` the one it is shown under where that is a later one.

    cuts_tyre: whether it cuts the tyre, so that the rough rim is gone and what holds the wheel has held the cut.
    paint_first: whether it is of a wheel painted before, or after, it is machined; None where of either.
    pins: the ways of hole and pin that have it; a key of several rows is shown where its way has it.
    tyred_only: whether only a wheel with a steel tyre has it. uncranked: its words where the wheel has no crankpin.
    """

    key: str
    words: str
    coupled_only: bool = False
    after: Stage | None = None
    cuts_tyre: bool = False
    routes: frozenset[Route] = frozenset(Route)
    paint_first: bool | None = None
    pins: frozenset[Pins] = frozenset(Pins)
    tyred_only: bool = False
    uncranked: str = ""
    under: Stage | None = None

    @property
    def stage(self) -> Stage:
        """The stage the step is shown under."""
        return self.under or self.after or self.closed_by

    @property
    def closed_by(self) -> Stage:
        """The stage whose tick says that the step was done: the part of its key before the dot."""
        return Stage(self.key.split(".", 1)[0])


# A small step the order of work hangs on: the jig that drills it sits in the bore.
CRANKPIN_HOLE = "quartered.hole"
# Finished says that it was done, for a pin may go in before its wheel is fixed or after.
CRANKPIN_IN = "painted.pin"
# When the tyre went on: the tread is turned on it, cold.
TYRE_ON = "tread_turned.tyre"
# Kept as a tick and no small step, for nobody ticks it off: when the compound went on, which its open time counts from.
COMPOUND_ON = "compound_on"
# Painting a casting before it is machined is no stage: painted is ticked once its bright parts are clean again.
ROUGH_PAINT = "painted.rough"


@dataclass(frozen=True)
class _About:
    """What is to be known of a stage besides its name; whatever is left out has a plain default.

    `state` is what a wheel is then, `doing` the work as one is told to do it or not to, `why` the reason it waits for
    what comes before, `caution` what to mind meanwhile.
    """

    steps: tuple[Step, ...] = ()
    state: str = ""
    doing: str = ""
    why: str = ""
    coupled_only: bool = False
    caution: str = ""


def _tyre_on(under: Stage, *routes: Route) -> Step:
    """The tyre goes on the bare wheel, last before it is bonded to its mandrel or its axle: its heat would loosen that."""
    words = "tyre shrunk on"
    return Step(TYRE_ON, words, after=Stage.BORED, under=under, routes=frozenset(routes), tyred_only=True)


# Common practice, no source.
_POWER = "Chuck key out; turn the work by hand clear of the bed before the power."
_DUST = "Iron dust is bad for lungs and slideways; wear eye protection."

# The table of stages; one with nothing of its own needs no row. The steps are workshop rules: common practice, no source.
_TABLE: dict[Stage, _About] = {
    Stage.RECEIVED: _About(
        steps=(
            Step("received.marked", "mark stamped or painted on"),
            Step("received.looked_over", "looked over for blowholes, cracks, hard spots and mould shift"),
            Step("received.measured", "rough sizes leave metal on every face"),
        ),
        caution=_DUST,
    ),
    Stage.BACK_FACED: _About(
        steps=(
            _tyre_on(Stage.BACK_FACED, Route.FRONT_FIRST),
            Step("back_faced.rim_true", "inside edge of the rim set true", routes=_BACK_FIRST),
            Step("back_faced.face_true", "face set true front to back", routes=_BACK_FIRST),
            Step("back_faced.on_mandrel", "on the mandrel by its bore, running true", routes=_FRONT_FIRST),
            Step("back_faced.to_size", "back faced to size"),
            Step("back_faced.not_bored", "bore not put through from this side", routes=_BACK_FIRST),
        ),
        caution=_POWER,
    ),
    Stage.BORED: _About(
        steps=(
            Step("bored.turned_round", "wheel turned round, back against the chuck", routes=_BACK_FIRST),
            Step("bored.rim_true", "inside edge of the rim set true from the front"),
            Step("bored.face_true", "face set true front to back", routes=_FRONT_FIRST),
            Step("bored.front_faced", "rim and boss faced on the front"),
            Step("bored.crank_boss", "crank boss faced by hand strokes", coupled_only=True),
            Step("bored.drilled", "drilled, leaving metal for the reamer or boring bar"),
            Step("bored.reamed", "reamed slowly, or bored, to size"),
            # Stored under the name it had when it counted as a step of quartering.
            Step(
                CRANKPIN_HOLE,
                "crankpin hole drilled with the one jig",
                coupled_only=True,
                after=Stage.BORED,
                pins=_BOTH_HOLES_FIRST,
            ),
            Step(
                CRANKPIN_HOLE,
                "crankpin hole drilled; an axle's second with the quartering jig",
                coupled_only=True,
                after=Stage.BORED,
                pins=frozenset({Pins.JIG}),
            ),
        ),
        why="A hole bored from the back comes out of the middle of the crank boss.",
        caution=_POWER,
    ),
    Stage.PRESSED: _About(
        steps=(
            _tyre_on(Stage.PRESSED, Route.FITTED_FIRST, Route.BETWEEN_CENTRES),
            # On the bare wheel too, and the last thing before it is fixed.
            Step(
                CRANKPIN_IN,
                "crankpin in and square",
                coupled_only=True,
                after=Stage.BORED,
                under=Stage.PRESSED,
                pins=frozenset({Pins.BEFORE}),
            ),
            Step("pressed.clean", "bore and seat clean, edges broken"),
            Step("pressed.square", "wheel square on its seat, back to back checked"),
            Step("pressed.true", "wheel runs true on its axle"),
            Step(
                CRANKPIN_IN,
                "crankpin in and square",
                coupled_only=True,
                after=Stage.PRESSED,
                pins=frozenset(Pins) - {Pins.BEFORE},
            ),
        ),
        state="on its axle",
    ),
    Stage.TREAD_TURNED: _About(
        steps=(
            _tyre_on(Stage.TREAD_TURNED, Route.MANDREL_FIRST),
            Step("tread_turned.same_set_up", "held as its fellows were: same mandrel, or between centres"),
            Step("tread_turned.to_size", "tread at the group's diameter", cuts_tyre=True),
            Step("tread_turned.flange", "flange and root to the drawing", cuts_tyre=True),
            Step("tread_turned.edge", "sharp edge of the tread broken", cuts_tyre=True),
        ),
        doing="turn the tread",
        caution=_POWER,
    ),
    Stage.QUARTERED: _About(
        doing="quarter the axle",
        coupled_only=True,  # where a wheel only carries weight there is no crankpin, so nothing to quarter
    ),
    Stage.PAINTED: _About(
        steps=(
            Step(ROUGH_PAINT, "painted in the rough, before any cut", after=Stage.RECEIVED, paint_first=True),
            Step(
                "painted.masked",
                "tread, bore and crankpin hole kept clear of paint",
                paint_first=False,
                uncranked="tread and bore kept clear of paint",
            ),
            Step(
                "painted.bright",
                "tread, bore and crankpin hole cleaned of paint",
                paint_first=True,
                uncranked="tread and bore cleaned of paint",
            ),
            Step("painted.dry", "paint dry"),
        ),
        doing="paint it",
        why="Painted is ticked last, after all machining.",
        caution="Paint and thinner fume and burn: air, no flame.",
    ),
}


def _about(stage: Stage) -> _About:
    return _TABLE.get(stage, _About())


_ORDER: dict[Route, tuple[Stage, ...]] = {
    Route.FITTED_FIRST: (
        Stage.RECEIVED,
        Stage.BACK_FACED,
        Stage.BORED,
        Stage.PRESSED,
        Stage.TREAD_TURNED,
        Stage.QUARTERED,
        Stage.PAINTED,
    ),
    Route.MANDREL_FIRST: (
        Stage.RECEIVED,
        Stage.BACK_FACED,
        Stage.BORED,
        Stage.TREAD_TURNED,
        Stage.PRESSED,
        Stage.QUARTERED,
        Stage.PAINTED,
    ),
    # The hole and the crank boss are true to one another as before, for both are cut from the front in one setting;
    # what is faced and turned on a mandrel in that hole is true to it.
    Route.FRONT_FIRST: (
        Stage.RECEIVED,
        Stage.BORED,
        Stage.BACK_FACED,
        Stage.TREAD_TURNED,
        Stage.PRESSED,
        Stage.QUARTERED,
        Stage.PAINTED,
    ),
    # The whole set is turned on its own axle, so both wheels are on, and quartered, before either tread is cut.
    Route.BETWEEN_CENTRES: (
        Stage.RECEIVED,
        Stage.BACK_FACED,
        Stage.BORED,
        Stage.PRESSED,
        Stage.QUARTERED,
        Stage.TREAD_TURNED,
        Stage.PAINTED,
    ),
}

_CARRYING_ORDER = {
    route: tuple(stage for stage in order if not _about(stage).coupled_only)
    for route, order in _ORDER.items()
}


def stages(route: Route, *, coupled: bool) -> tuple[Stage, ...]:
    """The stages of a wheel in the order of its route; a carrying wheel is never quartered.

    Parameters: `route`, the order of work; `coupled`, whether the axle has crankpins.
    Returns: the stages, first to last (no unit).
    Source: common practice, no source.

    >>> [stage.words for stage in stages(Route.MANDREL_FIRST, coupled=True)][3:5]
    ['tread turned', 'pressed']
    >>> len(stages(Route.FITTED_FIRST, coupled=False))
    6
    """
    return _ORDER[route] if coupled else _CARRYING_ORDER[route]


def as_worked(order: tuple[Stage, ...]) -> tuple[Stage, ...]:
    """The stages as they are worked through: quartering right after fixing, for it is done as the second wheel goes on.

    Parameters: `order`, the stages of a route, which counts quartering once the treads are turned too.
    Returns: the same stages (no unit).
    Source: common practice, no source.

    >>> [stage.words for stage in as_worked(stages(Route.FITTED_FIRST, coupled=True))][3:6]
    ['pressed', 'quartered', 'tread turned']
    >>> len(as_worked(stages(Route.FITTED_FIRST, coupled=False)))
    6
    """
    rest: list[Stage] = [stage for stage in order if stage is not Stage.QUARTERED]
    if Stage.QUARTERED in order:
        rest.insert(rest.index(Stage.PRESSED) + 1, Stage.QUARTERED)
    return tuple(rest)


@cache
def steps(
    stage: Stage,
    *,
    coupled: bool,
    route: Route = Route.FITTED_FIRST,
    paint_first: bool = False,
    pins: Pins = Pins.BEFORE,
    tyred: bool = False,
) -> tuple[Step, ...]:
    """The small steps inside a stage; the crankpin's steps only where there is a crankpin, the tyre's where there is a tyre.

    Parameters: `stage`; `coupled`, whether the axle has crankpins; `route`, the order of work; `paint_first`, whether
    the casting is painted before it is machined; `pins`, when holes are drilled and pins go in; `tyred`, whether its
    wheels have steel tyres.
    Returns: the steps in the order they are done (no unit).
    Source: common practice, no source.

    >>> [step.words for step in steps(Stage.PAINTED, coupled=True)]
    ['tread, bore and crankpin hole kept clear of paint', 'paint dry']
    >>> steps(Stage.PAINTED, coupled=False)[0].words
    'tread and bore kept clear of paint'
    """
    found = (step for one in Stage for step in _about(one).steps if step.stage is stage)
    return tuple(
        step if coupled or not step.uncranked else replace(step, words=step.uncranked)
        for step in found
        if (coupled or not step.coupled_only)
        and (tyred or not step.tyred_only)
        and route in step.routes
        and step.paint_first in (None, paint_first)
        and pins in step.pins
    )


def ticks_there_are() -> tuple[str, ...]:
    """The key of everything that can be ticked, each stage after its small steps.

    >>> ticks_there_are()[-1]
    'painted'
    """
    every = (key for stage in Stage for key in (*(step.key for step in _about(stage).steps), stage.value))
    return tuple(dict.fromkeys(every))


def tickable(key: str) -> Stage | Step | None:
    """The stage or step with this key, or None when there is no such thing to tick; where it stands, its order says.

    Parameters: `key`, such as `bored` or `bored.reamed`.
    Returns: the Stage, the Step, or None (no unit).
    Source: our own keys.

    >>> tickable("bored.reamed").words
    'reamed slowly, or bored, to size'
    >>> tickable("polished") is None
    True
    """
    return _tickables().get(key)


@cache
def _tickables() -> dict[str, Stage | Step]:
    found: dict[str, Stage | Step] = {stage.value: stage for stage in Stage}
    every = [step for about in _TABLE.values() for step in about.steps]
    return found | {step.key: step for step in reversed(every)}
