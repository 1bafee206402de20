"""What was measured, as it is stored: the one way to write it, to read what is present, and all there ever was."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from sqlalchemy import Row, and_, bindparam, exists, not_, select, update
from sqlalchemy.orm import aliased
from sqlmodel import Session, col

from domain.lengths import Length
from webapp.models import Casting, Measurement, Reading, unit_of
from webapp.records.journal import now
from webapp.records.rows import rows_of
from webapp.records.views import Measured
from webapp.typed.sizes import Where

_ID: Any = bindparam("id")
_later, _left, _right = aliased(Measurement), aliased(Casting), aliased(Casting)
_SUPERSEDED = exists().where(
    col(_later.supersedes_id) == col(Measurement.id), col(_later.struck_out_at).is_(None)
)
# Of the rows that stand the last of its kind is the present one: metal came off.
STANDS = and_(col(Measurement.struck_out_at).is_(None), not_(_SUPERSEDED))

_EVERY = select(
    col(Measurement.id),
    # What it is of.
    col(Measurement.casting_id),
    col(Measurement.receipt_id),
    col(Measurement.axle_id),
    col(Measurement.side),
    col(Measurement.kind),
    col(Measurement.unit),
    col(Measurement.value),
    col(Measurement.low),
    col(Measurement.high),
    # As Measured has them.
    col(Measurement.instrument),
    col(Measurement.who),
    col(Measurement.at),
    col(Measurement.supersedes_id),
    col(Measurement.instrument_id),
    col(Measurement.reamer_id),
    col(Measurement.work_dc),
    col(Measurement.gauge_dc),
    col(Measurement.expanded),
    col(Measurement.plug_one_nm),
    col(Measurement.plug_two_nm),
    # Its reading.
    col(Reading.value).label("read"),
    col(Reading.text),
    col(Reading.place),
    col(Reading.direction),
).outerjoin(Reading, col(Reading.measurement_id) == col(Measurement.id))
# Columns are taken in runs: a build has hundreds of rows, and one column by its name takes as long as a run.
HEAD, _WHAT, _TAKEN, _HOW, _OVER = slice(0, 10), slice(1, 6), slice(10, 14), slice(14, 19), slice(19, 21)

_IN_ORDER = (col(Measurement.id), col(Reading.ordinal))
# Rough sizes come first: one put right after metal was taken off must not pass for the present size.
_OF_BUILD = _EVERY.where(
    col(Measurement.build_id) == _ID, col(Measurement.left_casting_id).is_(None), STANDS
).order_by(col(Measurement.receipt_id).is_(None), *_IN_ORDER)
# As found with just the two wheels that are on the axle: with another in a place it counts for nothing.
_OF_PAIRS = (
    _EVERY.join(_left, col(_left.id) == col(Measurement.left_casting_id))
    .join(_right, col(_right.id) == col(Measurement.right_casting_id))
    .where(
        col(Measurement.build_id) == _ID,
        col(_left.axle_id) == col(Measurement.axle_id),
        col(_left.side) == "left",
        col(_right.axle_id) == col(Measurement.axle_id),
        col(_right.side) == "right",
        STANDS,
    )
    .order_by(*_IN_ORDER)
)
_OF_CASTING = (
    _EVERY.add_columns(_SUPERSEDED.label("superseded"), col(Measurement.struck_out_why))
    .where(col(Measurement.casting_id) == _ID)
    .order_by(*_IN_ORDER)
)
_WITH_STATE = _EVERY.add_columns(
    _SUPERSEDED.label("superseded"),
    col(Measurement.struck_out_why),
    col(Measurement.struck_out_by),
    col(Measurement.struck_out_at),
)
_ALL_OF_CASTING = _WITH_STATE.where(col(Measurement.casting_id) == _ID).order_by(*_IN_ORDER)
_ALL_OF_AXLE = _WITH_STATE.where(col(Measurement.axle_id) == _ID).order_by(*_IN_ORDER)


class Stored(NamedTuple):
    """A row of the table of measurements, and its readings in the order taken."""

    row: Any
    readings: Sequence[Row[Any]]

    @property
    def text(self) -> str:
        """What was typed."""
        return ", ".join([one.text for one in self.readings])


def present(session: Session, build_id: int) -> Iterable[Stored]:
    """Of what stands the last of each kind of each casting, receipt, axle and end of an axle; receipts come first."""
    return _last_of_each(rows_of(session, _OF_BUILD, build_id))


def present_of_pairs(session: Session, build_id: int) -> Iterable[Stored]:
    """Of what stands of axles, as found with the two wheels they still have, the last of each kind."""
    return _last_of_each(rows_of(session, _OF_PAIRS, build_id))


def history_of(session: Session, casting_id: int) -> list[Measured]:
    """Every length ever measured of a casting, oldest first, corrected ones and those struck out among them."""
    return [
        as_measured(one, one.row.superseded, one.row.struck_out_why)
        for one in _gathered(rows_of(session, _OF_CASTING, casting_id))
        if one.row.unit == "nm"
    ]


def everything_of(
    session: Session, *, casting_id: int | None = None, axle_id: int | None = None
) -> Iterable[Stored]:
    """Every measurement of any kind of a casting or of an axle, oldest first, with its state in its row."""
    if casting_id is not None:
        return _gathered(rows_of(session, _ALL_OF_CASTING, casting_id))
    assert axle_id is not None  # one of the two is asked about
    return _gathered(rows_of(session, _ALL_OF_AXLE, axle_id))


def strike_out(session: Session, own: int, why: str, who: str) -> None:
    """Let a measurement count for nothing from now on; the row, its readings and the reason stay."""
    struck = update(Measurement).where(col(Measurement.id) == own, col(Measurement.struck_out_at).is_(None))
    session.connection().execute(struck.values(struck_out_why=why, struck_out_by=who, struck_out_at=now()))


def _last_of_each(rows: Sequence[Row[Any]]) -> Iterable[Stored]:
    return {one.row[_WHAT]: one for one in _gathered(rows)}.values()


def _gathered(rows: Sequence[Row[Any]]) -> Iterable[Stored]:
    """Each measurement with its readings; the row of one without has an empty reading."""
    found: dict[int, list[Row[Any]]] = {}
    for row in rows:
        found.setdefault(row[0], []).append(row)
    return [Stored(own[0], own if own[0].text is not None else ()) for own in found.values()]


def as_measured(stored: Stored, superseded: bool = False, struck_out_why: str | None = None) -> Measured:
    """A length as pages see it; of what plugs leave open the middle stands for the value."""
    row, readings = stored
    own, _, receipt_id, _, _, kind, _, value, low, high = row[HEAD]
    ends = [nm for nm in (low, high) if nm is not None]
    # A size read once has no reading beside its value.
    if readings and readings[0].read is None:
        readings = ()
    fields: tuple[Any, ...] = (
        own,
        kind,
        sum(ends) // len(ends) if ends else value,
        tuple([Length(one.read, one.text) for one in readings]),
        *row[_TAKEN],
        superseded,
        tuple([(one.place or "", one.direction or "") for one in readings]),
        *row[_HOW],
        bool(ends),
        low,
        high,
        *row[_OVER],
        stored.text,
        receipt_id is not None,
        struck_out_why,
    )
    return Measured(*fields)


# As typed, what it comes to if that is kept beside the measurement's value, and where it was taken.
Read = tuple[str, int | None, Where]


def write_measured(session: Session, row: Measurement, readings: Iterable[Read]) -> None:
    """Add the row and its readings; the journal's line, the version check and the token are the caller's."""
    row.unit, row.at = unit_of(row.kind), now()
    session.add(row)
    session.flush()
    assert row.id is not None  # the flush gave it one
    for ordinal, (text, value, (place, direction)) in enumerate(readings, start=1):
        session.add(
            Reading(
                measurement_id=row.id,
                ordinal=ordinal,
                value=value,
                text=text,
                place=place or None,
                direction=direction or None,
            )
        )
