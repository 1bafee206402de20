"""What the guards ask about a wheel."""

from __future__ import annotations

from domain.route.guards import Wheel
from domain.route.stages import Stage
from webapp.facts.facts import facts_of
from webapp.facts.metal_sizes import size_troubles_of
from webapp.records.views import BuildView, CastingView


def wheel_facts(build: BuildView, casting: CastingView, *, judged: bool = True) -> Wheel:
    """What the guards ask about a wheel; not judged where only the order of work is asked."""
    return Wheel(
        mark=casting.mark,
        ticked=casting.ticked,
        placed=casting.axle_id is not None,
        bore_logged=casting.bore is not None,
        throw_logged=casting.throw is not None,
        fit_trouble=_fit_trouble(build, casting) if judged else "",
        throw_trouble=facts_of(build).throws.trouble(casting) if judged else "",
        size_troubles=size_troubles_of(build, casting),
    )


def _fit_trouble(build: BuildView, casting: CastingView) -> str:
    """Why a wheel not yet on its axle wants a second thought: its fit does not serve, or cannot be told."""
    joint = None if casting.has(Stage.PRESSED) else facts_of(build).joints.of(casting)
    return joint.doubt if joint else ""
