"""The clock of a compound's open time: begun as the compound goes on the second wheel, and stopped where it did not."""

from __future__ import annotations

from datetime import datetime

from sqlmodel import col, delete

from domain.joints.open_time import open_time
from domain.route.stages import COMPOUND_ON
from webapp.acts.ticks import let_pass
from webapp.facts.before_tick import objection_to_compound
from webapp.facts.open_time import WetWheel, wet_wheel
from webapp.models import Tick
from webapp.records.change import AxleChange, change_axle
from webapp.records.journal import now
from webapp.records.outcome import WHOLE, Refused
from webapp.records.views import CastingView
from webapp.typed.ticks import TickWish

NO_COMPOUND = (
    "No wheel of this axle waits for its compound: open the sheet again and look at its present state."
)


@change_axle("compound")
def compound_on(it: AxleChange, on_at: datetime | None, wish: TickWish) -> None:
    """The compound is on the second wheel: since now, or since the time that is said."""
    wet, at = _wet(it), now()
    wheel = wet.wheel
    passed = let_pass(objection_to_compound(it.build, it.axle), wish)
    # A tap that was kept on its device is of then: whatever is the earlier is on the safe side.
    since = min(at, on_at or it.actor.device_at or at)
    _forget(it, wheel)
    it.session.add(Tick(casting_id=wheel.id, key=COMPOUND_ON, at=since, who=it.actor.who))
    until = open_time(since, wet.minutes).until
    it.tell_wheels(
        "compound",
        f"Axle {it.axle.number}: compound on for {wheel.mark} at {since.astimezone():%H:%M:%S}; it may be turned until"
        f" {until.astimezone():%H:%M:%S}.{passed.told}",
    )


@change_axle("no compound")
def compound_off(it: AxleChange) -> None:
    """Stop the clock: no compound was put on, or it was cleaned off again."""
    wet = _wet(it)
    if wet.began is not None:
        _forget(it, wet.wheel)
        it.tell_wheels(
            "compound", f"Axle {it.axle.number}: no compound on {wet.wheel.mark}, the clock is stopped."
        )


def _wet(it: AxleChange) -> WetWheel:
    wet = wet_wheel(it.build, it.axle)
    if wet is None:
        raise Refused(NO_COMPOUND, WHOLE)
    return wet


def _forget(it: AxleChange, wheel: CastingView) -> None:
    it.session.exec(delete(Tick).where(col(Tick.casting_id) == wheel.id, col(Tick.key) == COMPOUND_ON))
