"""What stands against a batch's work on a wheel, as its checklist would say it."""

from __future__ import annotations

from domain.route.guards import Objection, objection_to_quarter, objection_to_tick
from domain.route.stages import CRANKPIN_HOLE
from domain.route.types import SetUp
from webapp.facts.wheels import wheel_facts
from webapp.records.views import BuildView, CastingView


def objection_in(build: BuildView, set_up: SetUp, casting: CastingView) -> Objection | None:
    """Why the tick of this set-up is refused or doubted on this wheel, or on its axle; None when it is not."""
    order, axle = build.order_of(casting), build.axle(casting.axle_id)
    if set_up is SetUp.QUARTERING and axle is not None:
        left, right = (wheel_facts(build, wheel) if wheel else None for wheel in (axle.left, axle.right))
        return objection_to_quarter(left, right, order)
    wanted = CRANKPIN_HOLE if set_up is SetUp.CRANKPIN_JIG else set_up.stage.value
    return objection_to_tick(wanted, wheel_facts(build, casting), order)
