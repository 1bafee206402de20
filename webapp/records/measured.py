"""What was measured, as it is stored: the one way to write it, to read what is present, and all there ever was."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from sqlalchemy import Row, and_, bindparam, func, insert, literal_column, select, update
from sqlalchemy.orm import aliased
from sqlmodel import Session, col

from domain.lengths import Length
from webapp.models import Casting, Measurement, Reading, Receipt, unit_of
from webapp.records.journal import now
from webapp.records.paged import LAST_ID, MOST, Paged, paged
from webapp.records.rows import rows_by, rows_of
from webapp.records.views import Measured
from webapp.typed.sizes import Where

_ID: Any = bindparam("id")
_left, _right = aliased(Casting), aliased(Casting)
# Said as the indexes of models.py say it, which are of the rows that stand only.
STANDS = and_(col(Measurement.struck_out_at).is_(None), col(Measurement.superseded) == literal_column("0"))

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
HEAD, _TAKEN, _HOW, _OVER = slice(0, 10), slice(10, 14), slice(14, 19), slice(19, 21)

_IN_ORDER = (col(Measurement.id), col(Reading.ordinal))
# Of the rows that stand the last of its kind is the present one: metal came off.
_PRESENT = select(func.max(col(Measurement.id))).where(col(Measurement.build_id) == _ID, STANDS)
# The last one written of each casting stands.
LAST_RECEIPTS = (
    select(func.max(col(Receipt.id))).where(col(Receipt.build_id) == _ID).group_by(col(Receipt.casting_id))
)
# Rough sizes come first: one put right after metal was taken off must not pass for the present size.
_OF_BUILD = _EVERY.where(
    col(Measurement.id).in_(
        _PRESENT.where(
            col(Measurement.left_casting_id).is_(None),
            col(Measurement.receipt_id).is_(None) | col(Measurement.receipt_id).in_(LAST_RECEIPTS),
        ).group_by(
            col(Measurement.casting_id),
            col(Measurement.receipt_id),
            col(Measurement.axle_id),
            col(Measurement.side),
            col(Measurement.kind),
        )
    )
).order_by(col(Measurement.receipt_id).is_(None), *_IN_ORDER)
# As found with just the two wheels that are on the axle: with another in a place it counts for nothing.
_OF_PAIRS = _EVERY.where(
    col(Measurement.id).in_(
        _PRESENT.join(_left, col(_left.id) == col(Measurement.left_casting_id))
        .join(_right, col(_right.id) == col(Measurement.right_casting_id))
        .where(
            col(Measurement.left_casting_id).is_not(None),
            col(_left.axle_id) == col(Measurement.axle_id),
            col(_left.side) == "left",
            col(_right.axle_id) == col(Measurement.axle_id),
            col(_right.side) == "right",
        )
        .group_by(col(Measurement.axle_id), col(Measurement.side), col(Measurement.kind))
    )
).order_by(*_IN_ORDER)
_OF_CASTING = (
    _EVERY.add_columns(col(Measurement.superseded), col(Measurement.struck_out_why))
    .where(col(Measurement.casting_id) == _ID)
    .order_by(*_IN_ORDER)
)
_NEWEST_OF_CASTING = _OF_CASTING.where(
    col(Measurement.id).in_(
        select(col(Measurement.id))
        .where(col(Measurement.casting_id) == _ID, col(Measurement.unit) == "nm")
        .order_by(col(Measurement.id).desc())
        .limit(MOST)
    )
)
_WITH_STATE = _EVERY.add_columns(
    col(Measurement.superseded),
    col(Measurement.struck_out_why),
    col(Measurement.struck_out_by),
    col(Measurement.struck_out_at),
)
_BEFORE: Any = bindparam("before")
_PAGE_OF_CASTING, _PAGE_OF_AXLE = (
    _WITH_STATE.where(
        col(Measurement.id).in_(
            select(col(Measurement.id))
            .where(whose == _ID, col(Measurement.id) < _BEFORE)
            .order_by(col(Measurement.id).desc())
            .limit(MOST + 1)
        )
    ).order_by(col(Measurement.id).desc(), col(Reading.ordinal))
    for whose in (col(Measurement.casting_id), col(Measurement.axle_id))
)


_MEASURED = insert(Measurement).returning(col(Measurement.id))
_READING = insert(Reading)


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
    return _gathered(rows_of(session, _OF_BUILD, build_id))


def present_of_pairs(session: Session, build_id: int) -> Iterable[Stored]:
    """Of what stands of axles, as found with the two wheels they still have, the last of each kind."""
    return _gathered(rows_of(session, _OF_PAIRS, build_id))


def history_of(session: Session, casting_id: int, *, newest: bool = False) -> list[Measured]:
    """The lengths ever measured of a casting, all or the newest, oldest first; corrected and struck out ones too."""
    asked = _NEWEST_OF_CASTING if newest else _OF_CASTING
    return [
        as_measured(one, one.row.superseded, one.row.struck_out_why)
        for one in _gathered(rows_of(session, asked, casting_id))
        if one.row.unit == "nm"
    ]


@dataclass(frozen=True, slots=True)
class Whose:
    """Whose measurements: a casting's, or an axle's."""

    casting_id: int | None = None
    axle_id: int | None = None


def everything_of(session: Session, whose: Whose, before: int | None = None) -> Paged[Stored]:
    """The measurements of any kind, latest first, with their state in their rows; those before an id if one is given."""
    own = whose.axle_id if whose.casting_id is None else whose.casting_id
    page = _PAGE_OF_AXLE if whose.casting_id is None else _PAGE_OF_CASTING
    rows = session.connection().execute(page, {"id": own, "before": before or LAST_ID}).all()
    return paged([(one.row.id, one) for one in _gathered(rows)], before)


def one_of(session: Session, whose: Whose, measurement_id: int) -> Stored | None:
    """The measurement with this id, if it is of this casting or axle."""
    found = everything_of(session, whose, min(measurement_id, LAST_ID - 1) + 1).lines[:1]
    return next((one for one in found if one.row.id == measurement_id), None)


def strike_out(session: Session, own: int, why: str, who: str) -> None:
    """Let a measurement count for nothing from now on; the row, its readings and the reason stay."""
    struck = update(Measurement).where(col(Measurement.id) == own, col(Measurement.struck_out_at).is_(None))
    session.connection().execute(struck.values(struck_out_why=why, struck_out_by=who, struck_out_at=now()))


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
    # What it belongs to may have been added just now.
    session.flush()
    ((row.id,),) = rows_by(session, _MEASURED, row.model_dump(exclude={"id"}))
    for ordinal, (text, value, (place, direction)) in enumerate(readings, start=1):
        read = {"measurement_id": row.id, "ordinal": ordinal, "value": value, "text": text}
        rows_by(session, _READING, read | {"place": place or None, "direction": direction or None})
