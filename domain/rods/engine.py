"""The coupled axles and rods of an engine as measured, and what cannot be such."""

import math
from dataclasses import dataclass
from enum import StrEnum

from domain.cranks.cylinders import Side
from domain.errors import TradeError
from domain.lengths import NM_PER_MM, Unit, show
from domain.rods.exact import Shape

# Beyond these a figure is a misreading, and the second axle's best phase would lie outside the range searched.
# Our own choice, no published source.
FAR_SHARE = 20
FAR_DEG = 3.0
LEAST_DEG, MOST_DEG = 45.0, 135.0
FEWEST, MOST = 2, 6
SIDES = (Side.LEFT, Side.RIGHT)


class FigureKind(StrEnum):
    """What is measured of an engine, and what can be wrong with it as a whole."""

    AXLES = "axles"
    SPANS = "spans"
    THROW = "throw"
    QUARTER = "quarter"
    CENTRE = "centre"
    ROD = "rod"
    CLEARANCE = "clearance"
    SLACK = "slack"
    UNSURE = "u"


@dataclass(frozen=True)
class EngineFigure:
    """One figure of an engine: of the axle at this place from the front, from 1, or of the rods behind that axle."""

    kind: FigureKind
    place: int = 0
    side: Side | None = None
    of_rods: bool = False

    def __str__(self) -> str:
        """Its name as a box's, such as `axle.2.left_throw` or `span.1.right.rod`."""
        if not self.place:
            return self.kind.value
        if self.of_rods:
            return f"span.{self.place}.{self.side}.{self.kind}"
        return f"axle.{self.place}.{f'{self.side}_' if self.side else ''}{self.kind}"


class RodsError(TradeError):
    """What no engine can have, and which of its figures says so."""

    def __init__(self, figure: EngineFigure, sentence: str) -> None:
        super().__init__(sentence, field=str(figure))
        self.figure = figure


@dataclass(frozen=True)
class RodAxle:
    """One coupled axle: throws, nm, quarter angle from left pin to right pin, degrees; each with its U (k = 2)."""

    left_throw_nm: int
    right_throw_nm: int
    quarter_deg: float
    left_throw_u_nm: int = 0
    right_throw_u_nm: int = 0
    quarter_u_deg: float = 0.0

    def throw_nm(self, side: Side) -> int:
        """The throw on a side, nm."""
        return self.left_throw_nm if side is Side.LEFT else self.right_throw_nm

    def throw_u_nm(self, side: Side) -> int:
        """How unsure the throw on a side is, nm."""
        return self.left_throw_u_nm if side is Side.LEFT else self.right_throw_u_nm


@dataclass(frozen=True)
class RodSide:
    """One rod and what it couples, nm; each with its U (k = 2).

    centre_nm: between the axle centres. rod_nm: between the bush centres. clearance_nm: bush less pin on the
    diameter, the two bushes added; None when not known. slack_nm: how far the axle boxes let the centre distance
    go either way of centre_nm, both boxes together.
    """

    centre_nm: int
    rod_nm: int
    clearance_nm: int | None = None
    slack_nm: int = 0
    centre_u_nm: int = 0
    rod_u_nm: int = 0
    clearance_u_nm: int = 0

    @property
    def play_mm(self) -> float:
        """The play the rod has in its length either way, mm: each bush lets its end go half its clearance.

        >>> RodSide(150_000_000, 150_000_000, 200_000).play_mm
        0.1
        """
        return (self.clearance_nm or 0) / 2 / NM_PER_MM


@dataclass(frozen=True)
class RodSpan:
    """The two rods between an axle and the next one back."""

    left: RodSide
    right: RodSide

    def at(self, side: Side) -> RodSide:
        """The rod on a side."""
        return self.left if side is Side.LEFT else self.right

    @property
    def clearances_known(self) -> bool:
        """Whether the clearances of both rods are known."""
        return None not in (self.left.clearance_nm, self.right.clearance_nm)


@dataclass(frozen=True)
class RodEngine:
    """Axles from the front, and the rods between each and the next: one span fewer than axles.

    numbers: what the axles are called where carrying axles stand between them; none where they are counted from 1.
    wanted_deg: the drawing's quarter angle; the rods do not ask for it, but of two axles that differ it says which is out.
    """

    axles: tuple[RodAxle, ...]
    spans: tuple[RodSpan, ...]
    right_leads: bool = True
    numbers: tuple[int, ...] = ()
    wanted_deg: float = 90.0

    def number(self, place: int) -> int:
        """What the axle at a place from the front, from 1, is called."""
        return self.numbers[place - 1] if self.numbers else place

    def both(self, span: int) -> str:
        """The two axles of a span, counted from 0, by their numbers.

        >>> RodEngine((), (), numbers=(1, 2, 4)).both(1)
        '2 and 4'
        """
        return f"{self.number(span + 1)} and {self.number(span + 2)}"


def shape_of(engine: RodEngine, span: int) -> Shape:
    """One pair of axles in millimetres and radians; `span` is counted from 0 at the front.

    Formula: nm / 1 000 000; the quarter angle counts forwards where the right pin leads, backwards where the left.

    >>> axle = RodAxle(25_400_000, 25_400_000, 90.0)
    >>> side = RodSide(150_000_000, 150_000_000)
    >>> shape_of(RodEngine((axle, axle), (RodSpan(side, side),)), 0).r2_left
    25.4
    """
    first, second = engine.axles[span], engine.axles[span + 1]
    left, right = engine.spans[span].left, engine.spans[span].right
    forwards = 1 if engine.right_leads else -1
    return Shape(
        c_left=left.centre_nm / NM_PER_MM,
        c_right=right.centre_nm / NM_PER_MM,
        l_left=left.rod_nm / NM_PER_MM,
        l_right=right.rod_nm / NM_PER_MM,
        r1_left=first.left_throw_nm / NM_PER_MM,
        r1_right=first.right_throw_nm / NM_PER_MM,
        r2_left=second.left_throw_nm / NM_PER_MM,
        r2_right=second.right_throw_nm / NM_PER_MM,
        q1=math.radians(forwards * first.quarter_deg),
        q2=math.radians(forwards * second.quarter_deg),
    )


def check_engine(engine: RodEngine, unit: Unit) -> None:
    """Refuse what no engine can have; `unit` is the one shown first.

    Formula: 2 to 6 axles, one span fewer; throws, centres and rods above nothing and each centre and rod longer than
    the throws it joins; quarter angles 45 to 135 degrees; what should be alike (throws, centre and rod, quarter
    angles) no further apart than 1/20 of the throw, or 3 degrees.
    Source: geometry; the limits of what is alike are our own choice, no published source.

    >>> check_engine(RodEngine((RodAxle(25_400_000, 25_400_000, 90.0),), ()), Unit.MM)
    Traceback (most recent call last):
    domain.rods.engine.RodsError: There is one axle only: rods couple two to six, so add the others.
    """
    count = len(engine.axles)
    if count == 1:
        raise RodsError(
            EngineFigure(FigureKind.AXLES),
            "There is one axle only: rods couple two to six, so add the others.",
        )
    if not FEWEST <= count <= MOST:
        raise RodsError(
            EngineFigure(FigureKind.AXLES), f"There are {count or 'no'} axles: rods couple two to six."
        )
    if len(engine.spans) != count - 1:
        raise RodsError(
            EngineFigure(FigureKind.SPANS),
            f"For {count} axles give {count - 1} rods on each side, one for each pair.",
        )
    for place in range(1, count + 1):
        _check_axle(engine, place)
    for place, span in enumerate(engine.spans, 1):
        _check_alike(engine, place, unit)
        for side in SIDES:
            throw = max(axle.throw_nm(side) for axle in engine.axles[place - 1 : place + 1])
            _check_side(span.at(side), EngineFigure(FigureKind.ROD, place, side, True), engine, throw, unit)


def _check_axle(engine: RodEngine, place: int) -> None:
    axle, number = engine.axles[place - 1], engine.number(place)
    for side in SIDES:
        if axle.throw_nm(side) <= 0:
            raise RodsError(
                EngineFigure(FigureKind.THROW, place, side),
                f"The {side} throw of axle {number} is more than nothing: measure it.",
            )
    if not LEAST_DEG <= axle.quarter_deg <= MOST_DEG:
        raise RodsError(
            EngineFigure(FigureKind.QUARTER, place),
            f"The quarter angle of axle {number} lies between 45 and 135 degrees, near 90 as a rule: "
            "read it again.",
        )
    unsure = (axle.left_throw_u_nm, axle.right_throw_u_nm, axle.quarter_u_deg)
    if not all(math.isfinite(one) and one >= 0 for one in unsure):
        raise RodsError(
            EngineFigure(FigureKind.UNSURE, place),
            f"How unsure a figure of axle {number} is cannot be below nothing: type such as 0.02.",
        )


def _check_alike(engine: RodEngine, place: int, unit: Unit) -> None:
    first, second = engine.axles[place - 1 : place + 1]
    both = engine.both(place - 1)
    for side in SIDES:
        one, two = first.throw_nm(side), second.throw_nm(side)
        if abs(one - two) * FAR_SHARE > min(one, two):
            raise RodsError(
                EngineFigure(FigureKind.THROW, place + 1, side),
                f"The {side} throws of axles {both} are {show(abs(one - two), unit)} apart: measure both again.",
            )
    if abs(first.quarter_deg - second.quarter_deg) > FAR_DEG:
        raise RodsError(
            EngineFigure(FigureKind.QUARTER, place + 1),
            f"The quarter angles of axles {both} are more than 3 degrees apart: read both again.",
        )


def _check_side(rod: RodSide, at: EngineFigure, engine: RodEngine, throw_nm: int, unit: Unit) -> None:
    def refused(kind: FigureKind, sentence: str) -> RodsError:
        return RodsError(EngineFigure(kind, at.place, at.side, True), sentence)

    whose = f"{at.side} rod of axles {engine.both(at.place - 1)}"
    if rod.rod_nm <= throw_nm:
        raise refused(
            FigureKind.ROD,
            f"The {whose} is {show(rod.rod_nm, unit)}, no longer than the throw of {show(throw_nm, unit)}: "
            "type the distance between its bush centres.",
        )
    if rod.centre_nm <= throw_nm:
        raise refused(
            FigureKind.CENTRE,
            f"The axle centres at the {whose} are {show(rod.centre_nm, unit)} apart, no more than the throw: "
            "measure them again.",
        )
    apart = abs(rod.centre_nm - rod.rod_nm)
    if apart * FAR_SHARE > throw_nm:
        raise refused(
            FigureKind.ROD, f"The {whose} is {show(apart, unit)} from the axle centres: measure both again."
        )
    for kind, nm in ((FigureKind.SLACK, rod.slack_nm), (FigureKind.CLEARANCE, rod.clearance_nm or 0)):
        if not 0 <= nm * FAR_SHARE <= throw_nm:
            raise refused(
                kind,
                f"The {kind} at the {whose} lies between nothing and {show(throw_nm // FAR_SHARE, unit)}: "
                "measure it again.",
            )
    if min(rod.centre_u_nm, rod.rod_u_nm, rod.clearance_u_nm) < 0:
        raise refused(
            FigureKind.UNSURE,
            f"How unsure a figure of the {whose} is cannot be below nothing: type such as 0.02.",
        )
