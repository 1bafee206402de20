"""What to aim at before the cut, and what a throw is worth beside its fellows."""

from __future__ import annotations

from functools import lru_cache

from domain.cranks.throws import ThrowVerdict, judge_throw
from domain.joints.fit_target import bore_window, seat_window
from domain.lengths import show
from domain.measuring.decision import decide
from domain.route.stages import Stage
from webapp.facts.seats import joint_of, seat_of
from webapp.records.views import AxleView, BuildView, CastingView

_window = lru_cache(maxsize=256)(bore_window)
_seat_window = lru_cache(maxsize=256)(seat_window)
_throw = lru_cache(maxsize=256)(judge_throw)


def bore_target(build: BuildView, casting: CastingView) -> str:
    """The sizes to bore a casting to for its seat, in words."""
    seat = seat_of(build, casting)
    seat_nm = seat.mean_nm if seat else build.nm("seat")
    window = _window(joint_of(build), seat_nm, build.unit)
    whose = "the measured seat" if seat else "the drawing's seat"
    if window is None:
        return f"No size would serve {whose} ({show(seat_nm, build.unit)}) with this boss and this range."
    low, high = (show(nm, build.unit) for nm in window)
    return f"Bore to between {low} and {high}, for {whose} of {show(seat_nm, build.unit)}."


def throw_verdict(build: BuildView, casting: CastingView) -> ThrowVerdict | None:
    """A logged throw beside the drawing and the throws of the other wheels in work."""
    if casting.throw is None:
        return None
    fellows = tuple(
        other.throw.mean_nm
        for other in build.castings
        if other.throw is not None and other.id != casting.id and other.state == "in_work"
    )
    return _throw(casting.throw.mean_nm, build.nm("throw"), fellows, build.unit)


def seat_target(build: BuildView, axle: AxleView, side: str) -> str:
    """The sizes to turn a seat to for the measured bore of its wheel, and what a logged seat is beside them."""
    wheel, seat = axle.at(side), axle.seats.get(side)
    if wheel is None or wheel.bore is None or wheel.bore.by_plug or wheel.has(Stage.PRESSED):
        return ""
    window = _seat_window(joint_of(build), wheel.bore.mean_nm, build.unit)
    if window is None:
        return f"No seat would serve the bore of {wheel.mark} with this boss and this range."
    low, high = (show(nm, build.unit) for nm in window)
    words = f"For the bore of {wheel.mark} the seat is to be between {low} and {high}."
    if seat is None or seat.expanded_nm is None:
        return words
    decision = decide(seat.mean_nm, seat.expanded_nm, *window, build.unit, "seat")
    return f"{words} Measured: {decision.answer.words}."
