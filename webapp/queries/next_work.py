"""What can be done next, grouped so that one set-up serves every wheel that waits for it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC, datetime

from domain.fit import Answer
from domain.route import next_stage, objection_to_quarter
from domain.stages import Stage
from webapp.queries.cure import objection_to_haste
from webapp.queries.fits import fit_view, wheel_facts
from webapp.queries.views import SIDES, AxleView, BuildView, CastingView

_OPERATIONS = {
    Stage.RECEIVED: "Look over and mark",
    Stage.BACK_FACED: "Set true and face the back",
    Stage.BORED: "Turn round, set true again, face the front and bore",
    Stage.PRESSED: "Fix on the axle",
    Stage.TREAD_TURNED: "Turn the tread",
    Stage.QUARTERED: "Quarter the axle",
    Stage.PAINTED: "Paint",
}
_LOG_BORE = "Measure and log the bore"
_MEND_FIT = "Settle the fit: the logged bore does not serve"
_LOG_THROW = "Measure and log the throw"
_ORDER = (
    _OPERATIONS[Stage.RECEIVED],
    _OPERATIONS[Stage.BACK_FACED],
    _OPERATIONS[Stage.BORED],
    _LOG_BORE,
    _MEND_FIT,
    _OPERATIONS[Stage.PRESSED],
    _OPERATIONS[Stage.TREAD_TURNED],
    _LOG_THROW,
    _OPERATIONS[Stage.QUARTERED],
    _OPERATIONS[Stage.PAINTED],
)


@dataclass(frozen=True, slots=True)
class NextWheel:
    """A wheel that waits for an operation."""

    casting_id: int
    mark: str
    where: str
    axle_id: int


@dataclass(frozen=True, slots=True)
class NextGroup:
    """An operation and the wheels one set-up of it would serve."""

    operation: str
    wheels: tuple[NextWheel, ...]


@dataclass(frozen=True, slots=True)
class NextWork:
    """The operations that can be done, and the wheels that wait for something else."""

    groups: tuple[NextGroup, ...]
    waiting: tuple[str, ...]


def next_work(build: BuildView) -> NextWork:
    """What can be done next on the wheels in work; the spares are left in their box."""
    found: defaultdict[str, list[NextWheel]] = defaultdict(list)
    waiting: list[str] = []
    for axle in build.axles:
        empty = [side for side in SIDES if axle.at(side) is None]
        if empty:
            waiting.append(
                f"Axle {axle.number}, {' and '.join(empty)}: no wheel there. "
                + ("Open the axle and choose a spare." if build.spares else "No spare is left.")
            )
        for wheel in axle.wheels:
            operation, why = _operation(build, axle, wheel)
            haste = objection_to_haste(build, (wheel,), _key(build, axle, wheel), datetime.now(UTC))
            if operation and haste:
                operation, why = "", haste.words.split(". ")[0] + "."
            if operation:
                where = f"axle {axle.number}, {wheel.side}"
                found[operation].append(NextWheel(wheel.id, wheel.mark, where, axle.id))
            elif why:
                waiting.append(why)
    groups = tuple(NextGroup(op, tuple(found[op])) for op in _ORDER if op in found)
    return NextWork(groups, tuple(dict.fromkeys(waiting)))


def _key(build: BuildView, axle: AxleView, wheel: CastingView) -> str:
    stage = next_stage(wheel.ticked, build.order(axle.coupled))
    return stage.value if stage else ""


def _operation(build: BuildView, axle: AxleView, wheel: CastingView) -> tuple[str, str]:
    stage = next_stage(wheel.ticked, build.order(axle.coupled))
    if stage is None:
        return "", ""
    if stage is Stage.PRESSED:
        if wheel.bore is None:
            return _LOG_BORE, ""
        fit = fit_view(build, wheel)
        return (_MEND_FIT if fit and fit.verdict.answer is Answer.NOT else _OPERATIONS[stage]), ""
    if stage is Stage.QUARTERED:
        if wheel.throw is None:
            return _LOG_THROW, ""
        left, right = (wheel_facts(build, w) if w else None for w in (axle.left, axle.right))
        objection = objection_to_quarter(left, right, build.order(axle.coupled))
        return ("", f"Axle {axle.number}: {objection.words}") if objection else (_OPERATIONS[stage], "")
    return _OPERATIONS[stage], ""
