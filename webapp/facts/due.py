"""Which reading of an axle is due: the first that a stage asks for and that nobody has taken."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from domain.route.guards import Order, next_stage
from domain.route.stages import CRANKPIN_HOLE, Stage, as_worked
from webapp.facts.before_tick import second_to_fix
from webapp.facts.facts import facts_of
from webapp.facts.quartering import looks_of, off_axle
from webapp.records.views import SIDES, AxleView, BuildView, CastingView

# What is read of a flange; how far up says where.
OF_FLANGE = frozenset({"flange_thickness", "flange_height"})
# The readings of a tyre, whose sizes change as metal comes off.
OF_TYRE = ("tread", "flange")
# In the order they are asked for at one stage: what a bore is cut for comes before it.
_KINDS = ("seat", "bore", "throw", "tread", "flange", "heights")


@dataclass(frozen=True, slots=True)
class Due:
    """A reading to be taken: what it is of, and the stage that asks for it."""

    kind: str
    stage: Stage
    side: str = ""
    casting: CastingView | None = None
    axle: AxleView | None = None
    # Whether it was read before and found no good: read again after the next cut.
    again: bool = False

    @property
    def key(self) -> str:
        """Its name on a sheet and in an address, such as bore-3, seat-left or heights."""
        if self.casting is not None and self.kind != "seat":
            return f"{self.kind}-{self.casting.id}"
        return f"seat-{self.side}" if self.kind == "seat" else self.kind

    @property
    def mark(self) -> str:
        """The wheel it is taken of or for; empty for both."""
        return self.casting.mark if self.casting is not None else ""


def axle_due(build: BuildView, axle: AxleView) -> tuple[Due, ...]:
    """What is to be measured of an axle and its wheels now, in the order the stages ask for it, left before right."""
    found = [one for side in SIDES for one in _of_place(build, axle, side)]
    both = len(axle.wheels) == len(SIDES) and not off_axle(build, axle)
    if axle.coupled and both and (axle.heights is None or _to_be_turned(build, axle)):
        found.append(heights_due(axle))
    return _in_order(build, axle.coupled, found)


def _to_be_turned(build: BuildView, axle: AxleView) -> bool:
    """Whether its heights say that a wheel must still be turned, before it is ticked quartered."""
    sheet = facts_of(build).quartering.of(axle).sheet
    return axle.quartered is None and sheet is not None and any(look == "not" for look in looks_of(sheet))


def casting_due(build: BuildView, casting: CastingView) -> tuple[Due, ...]:
    """What is to be measured of one casting now, a spare too."""
    return _in_order(build, build.order_of(casting).coupled, _of_wheel(build, casting))


def _in_order(build: BuildView, coupled: bool, found: Iterable[Due]) -> tuple[Due, ...]:
    """In the order in which the stages are worked through and ask."""
    worked = as_worked(build.order(coupled).stages)
    return tuple(sorted(found, key=lambda one: (one.again, worked.index(one.stage), *_rank(one))))


def due_named(axle: AxleView | None, casting: CastingView | None, key: str) -> Due | None:
    """A reading by its key, taken already or not: what was typed of it comes back to its own boxes."""
    wheels = (casting,) if casting is not None else axle.wheels if axle is not None else ()
    known = []
    if axle is not None:
        known = [Due("seat", Stage.BORED, side, axle.at(side), axle) for side in SIDES]
        known.append(heights_due(axle))
    for wheel in wheels:
        side = wheel.side or ""
        known.append(Due("bore", Stage.BORED, side, wheel, again=wheel.bore is not None))
        known.append(Due("throw", Stage.QUARTERED, side, wheel))
        known.append(Due("tread", Stage.TREAD_TURNED, side, wheel, again=_has_tread(wheel)))
        known.append(Due("flange", Stage.TREAD_TURNED, side, wheel))
    return next((one for one in known if one.key == key), None)


def heights_due(axle: AxleView) -> Due:
    """The heights of an axle's crankpins as a reading to be taken."""
    return Due("heights", Stage.QUARTERED, axle=axle, again=axle.heights is not None)


def _rank(one: Due) -> tuple[bool, int]:
    # A hole that is there is measured; a seat is measured first where the hole is still to be made for it.
    made = one.kind == "seat" and one.casting is not None and one.casting.has(Stage.BORED)
    return made, _KINDS.index(one.kind)


def _of_place(build: BuildView, axle: AxleView, side: str) -> Iterator[Due]:
    wheel = axle.at(side)
    if wheel is None:
        return
    if wheel.has(build.order_of(wheel).before_bore) and side not in axle.seats:
        yield Due("seat", Stage.BORED, side, wheel, axle)
    yield from _of_wheel(build, wheel)


def _of_wheel(build: BuildView, wheel: CastingView) -> Iterator[Due]:
    if wheel.state == "scrapped":
        return
    order, side = build.order_of(wheel), wheel.side or ""
    again = not wheel.has(Stage.PRESSED) and facts_of(build.of(wheel)).joints.fails(wheel)
    if wheel.has(order.before_bore) and wheel.bore is None:
        yield Due("bore", Stage.BORED, side, wheel)
    elif again:
        yield Due("bore", Stage.BORED, side, wheel, again=True)
    axle = build.axle(wheel.axle_id)
    # No hole is drilled by a bore that is still to be put right.
    hole = _has_hole(order, wheel, axle) and (not again or CRANKPIN_HOLE in wheel.ticked)
    if order.coupled and wheel.throw is None and hole:
        yield Due("throw", Stage.QUARTERED, side, wheel)
    # On an axle with a wheel still to be fixed the tread is not turned yet.
    waits = axle is not None and second_to_fix(axle) is not None
    following = next_stage(wheel.ticked, order) if not waits else None
    turned = wheel.has(Stage.TREAD_TURNED) or following is Stage.TREAD_TURNED
    if turned and facts_of(build.of(wheel)).treads.tread_due(wheel):
        yield Due("tread", Stage.TREAD_TURNED, side, wheel, again=_has_tread(wheel))
    # The paint asks for it, and it is turned with the tread.
    if wheel.has(Stage.TREAD_TURNED) and not wheel.sizes.keys() >= OF_FLANGE:
        yield Due("flange", Stage.TREAD_TURNED, side, wheel)


def _has_hole(order: Order, wheel: CastingView, axle: AxleView | None) -> bool:
    """Whether its crankpin hole may be there to be measured: with a quartering jig an axle's second is drilled last."""
    if order.quartered_as_fixed or CRANKPIN_HOLE in wheel.ticked:
        return wheel.has(Stage.BORED)
    return axle is not None and len(axle.wheels) == len(SIDES) and all(map(_is_on, axle.wheels))


def _has_tread(wheel: CastingView) -> bool:
    tread = wheel.sizes.get("tread")
    return tread is not None and not tread.rough


def _is_on(wheel: CastingView) -> bool:
    return wheel.has(Stage.PRESSED)
