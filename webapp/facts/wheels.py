"""What the guards ask about a wheel, and what its throw is worth beside its fellows."""

from __future__ import annotations

from functools import lru_cache

from domain.answer import Answer
from domain.cranks.throws import ThrowVerdict, judge_throw
from domain.route.guards import Wheel
from domain.route.stages import Stage
from webapp.facts.facts import facts_of
from webapp.facts.lost import size_troubles_of
from webapp.records.views import BuildView, CastingView

_throw = lru_cache(maxsize=256)(judge_throw)


def wheel_facts(build: BuildView, casting: CastingView, *, judged: bool = True) -> Wheel:
    """What the guards ask about a wheel; not judged where only the order of work is asked."""
    throw = throw_verdict(build, casting) if judged else None
    return Wheel(
        mark=casting.mark,
        ticked=casting.ticked,
        placed=casting.axle_id is not None,
        bore_logged=casting.bore is not None,
        throw_logged=casting.throw is not None,
        fit_trouble=_fit_trouble(build, casting) if judged else "",
        throw_trouble=throw.headline if throw is not None and throw.answer is Answer.NOT else "",
        size_troubles=size_troubles_of(build, casting),
        tread_trouble=facts_of(build).treads.of(casting).trouble if judged else "",
        gauge_trouble=_gauge_trouble(build, casting) if judged else "",
    )


def _fit_trouble(build: BuildView, casting: CastingView) -> str:
    """Why a wheel not yet on its axle wants a second thought: its fit does not serve, or cannot be told."""
    joint = None if casting.has(Stage.PRESSED) else facts_of(build).joints.of(casting)
    return joint.doubt if joint else ""


def _gauge_trouble(build: BuildView, casting: CastingView) -> str:
    axle = build.axle(casting.axle_id)
    return facts_of(build).gauges(axle).trouble if axle else ""


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
