"""The coupled axles and rods of an engine as measured, and what cannot be such."""

import math
from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import Unit, show
from domain.rods.exact import Shape

_MM = 1e-6
# Beyond these a figure is a misreading, and the second axle's best phase would lie outside the range searched.
# Our own choice, no published source.
FAR_SHARE = 20
FAR_DEG = 3.0
LEAST_DEG, MOST_DEG = 45.0, 135.0
FEWEST, MOST = 2, 6


class RodsError(ValueError):
    """What no engine can have; its text is one sentence for the page, its field says where it was typed."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


class RodsAnswer(StrEnum):
    """Whether the rods go round."""

    GOES = "goes"
    BINDS = "binds"
    CANNOT_TELL = "cannot tell"
    NO_CLEARANCE = "no clearance given"


@dataclass(frozen=True)
class RodAxle:
    """One coupled axle: throws, nm, quarter angle from left pin to right pin, degrees; each with its U (k = 2)."""

    left_throw_nm: int
    right_throw_nm: int
    quarter_deg: float
    left_throw_u_nm: int = 0
    right_throw_u_nm: int = 0
    quarter_u_deg: float = 0.0


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


@dataclass(frozen=True)
class RodSpan:
    """The two rods between an axle and the next one back."""

    left: RodSide
    right: RodSide


@dataclass(frozen=True)
class RodEngine:
    """Axles from the front, and the rods between each and the next: one span fewer than axles."""

    axles: tuple[RodAxle, ...]
    spans: tuple[RodSpan, ...]
    right_leads: bool = True


def shape_of(engine: RodEngine, span: int) -> Shape:
    """One pair of axles in millimetres and radians.

    Formula: nm / 1 000 000; the quarter angle counts forwards where the right pin leads, backwards where the left.
    Parameters: `engine`; `span`, counted from 0 at the front.
    Returns: the pair.
    Source: by definition.

    >>> axle = RodAxle(25_400_000, 25_400_000, 90.0)
    >>> side = RodSide(150_000_000, 150_000_000)
    >>> shape_of(RodEngine((axle, axle), (RodSpan(side, side),)), 0).r2_left
    25.4
    """
    first, second = engine.axles[span], engine.axles[span + 1]
    left, right = engine.spans[span].left, engine.spans[span].right
    forwards = 1 if engine.right_leads else -1
    return Shape(
        left.centre_nm * _MM,
        right.centre_nm * _MM,
        left.rod_nm * _MM,
        right.rod_nm * _MM,
        first.left_throw_nm * _MM,
        first.right_throw_nm * _MM,
        second.left_throw_nm * _MM,
        second.right_throw_nm * _MM,
        math.radians(forwards * first.quarter_deg),
        math.radians(forwards * second.quarter_deg),
    )


def check_engine(engine: RodEngine, unit: Unit) -> None:
    """Refuse what no engine can have.

    Formula: 2 to 6 axles, one span fewer; throws, centres and rods above nothing and each centre and rod longer than
    the throws it joins; quarter angles 45 to 135 degrees; what should be alike (throws, centre and rod, quarter
    angles) no further apart than 1/20 of the throw, or 3 degrees.
    Parameters: `engine`; `unit`, shown first.
    Raises: RodsError, its field such as `axles`, `axle.2.quarter`, `axle.2.left_throw`, `span.1.right.rod`.
    Source: geometry; the limits of what is alike are our own choice, no published source.

    >>> check_engine(RodEngine((RodAxle(25_400_000, 25_400_000, 90.0),), ()), Unit.MM)
    Traceback (most recent call last):
    domain.rods.types.RodsError: There is one axle only: rods couple two to six, so add the others.
    """
    count = len(engine.axles)
    if count == 1:
        raise RodsError("axles", "There is one axle only: rods couple two to six, so add the others.")
    if not FEWEST <= count <= MOST:
        raise RodsError("axles", f"There are {count or 'no'} axles: rods couple two to six.")
    if len(engine.spans) != count - 1:
        raise RodsError("spans", f"For {count} axles give {count - 1} rods on each side, one for each pair.")
    for number, axle in enumerate(engine.axles, 1):
        _check_axle(axle, number)
    for number, span in enumerate(engine.spans, 1):
        _check_alike(engine, number, unit)
        for name, side in (("left", span.left), ("right", span.right)):
            _check_side(side, number, name, _throw(engine, number, name), unit)


def _throw(engine: RodEngine, number: int, name: str) -> int:
    first, second = engine.axles[number - 1 : number + 1]
    if name == "left":
        return max(first.left_throw_nm, second.left_throw_nm)
    return max(first.right_throw_nm, second.right_throw_nm)


def _check_axle(axle: RodAxle, number: int) -> None:
    at = f"axle.{number}"
    for name, nm in (("left", axle.left_throw_nm), ("right", axle.right_throw_nm)):
        if nm <= 0:
            raise RodsError(
                f"{at}.{name}_throw", f"The {name} throw of axle {number} is more than nothing: measure it."
            )
    if not LEAST_DEG <= axle.quarter_deg <= MOST_DEG:
        raise RodsError(
            f"{at}.quarter",
            f"The quarter angle of axle {number} lies between 45 and 135 degrees, near 90 as a rule: "
            "read it again.",
        )
    unsure = (axle.left_throw_u_nm, axle.right_throw_u_nm, axle.quarter_u_deg)
    if not all(math.isfinite(one) and one >= 0 for one in unsure):
        raise RodsError(
            f"{at}.u", f"How unsure a figure of axle {number} is cannot be below nothing: type such as 0.02."
        )


def _check_alike(engine: RodEngine, number: int, unit: Unit) -> None:
    first, second = engine.axles[number - 1 : number + 1]
    pairs = (
        ("left", first.left_throw_nm, second.left_throw_nm),
        ("right", first.right_throw_nm, second.right_throw_nm),
    )
    for name, one, two in pairs:
        if abs(one - two) * FAR_SHARE > min(one, two):
            raise RodsError(
                f"axle.{number + 1}.{name}_throw",
                f"The {name} throws of axles {number} and {number + 1} are {show(abs(one - two), unit)} apart: "
                "measure both again.",
            )
    if abs(first.quarter_deg - second.quarter_deg) > FAR_DEG:
        raise RodsError(
            f"axle.{number + 1}.quarter",
            f"The quarter angles of axles {number} and {number + 1} are more than 3 degrees apart: read both again.",
        )


def _check_side(side: RodSide, number: int, name: str, throw_nm: int, unit: Unit) -> None:
    at, whose = f"span.{number}.{name}", f"{name} rod of axles {number} and {number + 1}"
    if side.rod_nm <= throw_nm:
        raise RodsError(
            f"{at}.rod",
            f"The {whose} is {show(side.rod_nm, unit)}, no longer than the throw of {show(throw_nm, unit)}: "
            "type the distance between its bush centres.",
        )
    if side.centre_nm <= throw_nm:
        raise RodsError(
            f"{at}.centre",
            f"The axle centres at the {whose} are {show(side.centre_nm, unit)} apart, no more than the throw: "
            "measure them again.",
        )
    apart = abs(side.centre_nm - side.rod_nm)
    if apart * FAR_SHARE > throw_nm:
        raise RodsError(
            f"{at}.rod", f"The {whose} is {show(apart, unit)} from the axle centres: measure both again."
        )
    for field, nm in (("slack", side.slack_nm), ("clearance", side.clearance_nm or 0)):
        if not 0 <= nm * FAR_SHARE <= throw_nm:
            raise RodsError(
                f"{at}.{field}",
                f"The {field} at the {whose} lies between nothing and {show(throw_nm // FAR_SHARE, unit)}: "
                "measure it again.",
            )
    if min(side.centre_u_nm, side.rod_u_nm, side.clearance_u_nm) < 0:
        raise RodsError(
            f"{at}.u", f"How unsure a figure of the {whose} is cannot be below nothing: type such as 0.02."
        )
