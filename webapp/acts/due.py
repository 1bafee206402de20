"""The reading that is due, as typed: read by its kind, tried, and stored."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from datetime import UTC, datetime

from domain.cranks.quartering import QuarteringError
from domain.lengths import Unit
from domain.measuring.instruments import InstrumentError
from domain.measuring.uncertainty import UncertaintyError
from webapp.acts.asking import InOneGo
from webapp.acts.heights import store_heights
from webapp.acts.readings import log_bore, log_seat, log_throw, try_reading
from webapp.acts.sizes import without_zero_offset
from webapp.acts.treads import log_tread
from webapp.db import Db
from webapp.facts.due import OF_TYRE, Due
from webapp.facts.due_box import Trial, trial_of
from webapp.facts.expected import to_be_typed
from webapp.facts.heights import heights_view, to_set
from webapp.facts.quartering import pin_sides
from webapp.facts.whatif import with_seat, with_size
from webapp.facts.wheel_lines import heights_line
from webapp.records.change import Asked
from webapp.records.outcome import Doubted, Refused
from webapp.records.views import BuildView, Measured
from webapp.typed.heights import HeightsTyped, of_due, read_heights, read_so_far, told_on_due
from webapp.typed.readings import DUE_BOXES, read_log
from webapp.typed.texts import Errors, Typed
from webapp.typed.tyre import read_tread

_HEIGHTS = ("axle", "right", "left", "axle_diameter", "pin_diameter", "stood")


@dataclass(frozen=True, slots=True)
class DueTyped:
    """A reading as typed: how it is stored and what it was taken with, or a sentence for each field that is wrong."""

    errors: Errors
    store: Callable[[Asked], object] | None = None
    instrument_id: int | None = None
    # The fields of its form that a refusal is told beside, if it has other than every form for readings.
    fields: Collection[str] = field(default_factory=tuple)


def read_due(
    db: Db, build: BuildView, due: Due, typed: Typed, shown: tuple[int, str] | None = None
) -> DueTyped:
    """A reading as typed; of a bore `shown` is the axle end that the page showed its wheel on."""
    if due.kind == "heights":
        return _heights(db, build, due, typed)
    if due.kind in OF_TYRE:
        return _tyre(db, build, due, typed)
    log, errors = read_log(typed, build.unit, to_be_typed(build, due.kind))
    if log is None:
        return DueTyped(errors)
    axle, casting = due.axle, due.casting

    def store(asked: Asked) -> None:
        if axle is not None:
            log_seat(db, axle.id, asked, due.side, log)
        elif casting is not None and due.kind == "bore":
            log_bore(db, casting.id, asked, log, shown)
        elif casting is not None:
            log_throw(db, casting.id, asked, log)

    return DueTyped(errors, store, log.how.instrument_id)


def _tyre(db: Db, build: BuildView, due: Due, typed: Typed) -> DueTyped:
    logged, errors = read_tread(typed, build.unit)

    def store(asked: Asked) -> None:
        assert due.casting is not None  # a tread is of a wheel
        log_tread(db, due.casting.id, asked, logged)

    boxes = (name for name, _ in DUE_BOXES[due.kind])
    return DueTyped(errors, store, logged.instrument_id, (*boxes, "grown"))


def _heights(db: Db, build: BuildView, due: Due, typed: Typed) -> DueTyped:
    heights, errors = _read_heights(build, typed)
    if heights is None:
        return DueTyped(errors)

    def store(asked: Asked) -> None:
        assert due.axle is not None  # heights are of an axle
        try:
            store_heights(db, due.axle.id, asked, heights, typed.get("pair"))
        except Refused as refused:
            (name,) = told_on_due({refused.field: ""})
            raise Refused(refused.words, name) from refused
        except Doubted as doubt:
            doubt.doubts = told_on_due(doubt.doubts)
            raise

    return DueTyped(errors, store, heights.instrument_id, _HEIGHTS)


def _read_heights(build: BuildView, typed: Typed) -> tuple[HeightsTyped | None, Errors]:
    chosen = typed.get("unit") or build.unit.value
    if chosen not in set(Unit):
        return None, Errors({"unit": "Choose mm or in."})
    heights, errors = read_heights(of_due(typed), pin_sides(build), Unit(chosen))
    return heights, Errors(told_on_due(errors))


def try_due(db: Db, build: BuildView, due: Due, typed: Typed) -> Trial | None:
    """What a reading as typed would make of its wheel or axle, by the same judges; None while it is none. Writes nothing."""
    if due.kind == "heights":
        return _try_heights(build, due, typed)
    wheel = due.casting
    if due.kind == "flange":
        return None  # its figures say something together only
    tried = _try_tread(build, typed) if due.kind == "tread" else try_reading(db, build, due.kind, typed)
    if tried is None or wheel is None:
        return None
    if due.kind != "seat" or due.axle is None:
        return trial_of(*with_size(build, wheel, tried), due.kind)
    after = with_seat(build, due.axle, due.side, tried)
    return trial_of(after, after.casting(wheel.id) or wheel, "seat")


def _try_heights(build: BuildView, due: Due, typed: Typed) -> Trial | None:
    if due.axle is None:
        return None
    chosen = typed.get("unit") or build.unit.value
    heights, errors = _read_heights(build, typed)
    try:
        if heights is None or errors:
            wanted = to_set(build, due.axle, read_so_far(typed, Unit(chosen))) if chosen in set(Unit) else ()
            return Trial(None, None, wanted) if wanted else None
        line = heights_line(build, due.axle, heights_view(build, due.axle, heights, "", datetime.now(UTC)))
    except (QuarteringError, InstrumentError, UncertaintyError):
        return None  # half typed; what is wrong with it is said when it is sent
    return None if line is None else Trial(line, None)


def _try_tread(build: BuildView, typed: Typed) -> Measured | None:
    logged, errors = read_tread(typed, build.unit)
    if errors or "tread" not in logged.sizes:
        return None
    try:
        sizes = without_zero_offset(build, logged.sizes, logged.instrument_id, InOneGo())
    except Refused:
        return None
    if "tread" not in sizes:
        return None
    typed_size = (logged.sizes["tread"],)
    return Measured(
        id=0,
        kind="tread",
        mean_nm=sizes["tread"].nm,
        readings=typed_size,
        instrument="",
        who="",
        at=datetime.now(UTC),
    )
