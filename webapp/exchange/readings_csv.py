"""A build's readings as a table for a spreadsheet: RFC 4180, a row for each reading, nothing that runs as a formula."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from sqlalchemy import bindparam, select
from sqlalchemy.orm import aliased
from sqlmodel import Session, col

from webapp.exchange.writing import when_written
from webapp.models import Axle, Build, Casting, InstrumentRow, Measurement, Reading
from webapp.records.outcome import NotThere
from webapp.records.rows import rows_of

COLUMNS = (
    "of",
    "side",
    "wheels",
    "measurement",
    "reading",
    "kind",
    "place",
    "direction",
    "as typed",
    # In `unit`: mm, g or degrees.
    "read",
    "result",
    "least",
    "most",
    "U",
    "unit",
    # The same in the build's own unit, for lengths.
    "read in build's unit",
    "result in build's unit",
    "build's unit",
    "instrument",
    "who",
    "at (UTC)",
    "state",
    "why struck out",
    "corrects measurement",
)
# By what a measurement is kept in: the unit it is told in, and how many of the first make one of it.
_TOLD_IN = {"nm": ("mm", 1_000_000), "mg": ("g", 1_000), "udeg": ("degrees", 1_000_000)}
_NM = {"mm": 1_000_000, "in": 25_400_000}
_PLACES = {"mm": 6, "g": 3, "degrees": 6, "in": 8}
# A spreadsheet takes a text that begins so for a formula; some pass over blanks before it, some take the wide signs.
_FORMULA = re.compile(r"\s*[=+\-@\t\r\n＝＋－＠]")
_NUMBER = re.compile(r"[+-]?[0-9]+([.,][0-9]+)?")
# Spreadsheets read UTF-8 as something else without it.
BYTE_ORDER_MARK = "\ufeff"

_ID: Any = bindparam("id")
_left, _right = aliased(Casting), aliased(Casting)
_UNIT = select(col(Build.unit)).where(col(Build.id) == _ID)
_ROWS: Any = (
    select(
        col(Measurement.id),
        col(Measurement.kind),
        col(Measurement.side),
        col(Measurement.unit),
        col(Measurement.value),
        col(Measurement.low),
        col(Measurement.high),
        col(Measurement.expanded),
        col(Measurement.instrument).label("named"),
        col(InstrumentRow.name).label("tool"),
        col(Measurement.who),
        col(Measurement.at),
        col(Measurement.superseded),
        col(Measurement.struck_out_why),
        col(Measurement.supersedes_id),
        col(Casting.mark),
        col(Axle.number),
        col(_left.mark).label("left"),
        col(_right.mark).label("right"),
        col(Reading.ordinal),
        col(Reading.value).label("read"),
        col(Reading.text),
        col(Reading.place),
        col(Reading.direction),
    )
    .outerjoin(Reading, col(Reading.measurement_id) == col(Measurement.id))
    .outerjoin(Casting, col(Casting.id) == col(Measurement.casting_id))
    .outerjoin(Axle, col(Axle.id) == col(Measurement.axle_id))
    .outerjoin(_left, col(_left.id) == col(Measurement.left_casting_id))
    .outerjoin(_right, col(_right.id) == col(Measurement.right_casting_id))
    .outerjoin(InstrumentRow, col(InstrumentRow.id) == col(Measurement.instrument_id))
    .where(col(Measurement.build_id) == _ID)
    .order_by(col(Measurement.id), col(Reading.ordinal))
)


def readings_csv(session: Session, build_id: int) -> str:
    """The table; NotThere without such a build. A measurement without readings, as with plugs, has a row of its own."""
    units = rows_of(session, _UNIT, build_id)
    if not units:
        raise NotThere("build")
    text = io.StringIO(newline="")
    table = csv.writer(text, lineterminator="\r\n")
    table.writerow(COLUMNS)
    rows = rows_of(session, _ROWS, build_id)
    # Counted in the build as its document counts them.
    numbers = {own: number for number, own in enumerate(dict.fromkeys(row.id for row in rows), start=1)}
    for row in rows:
        table.writerow([harmless(cell) for cell in _cells(row, numbers, units[0].unit)])
    return BYTE_ORDER_MARK + text.getvalue()


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula: with an apostrophe before it, where it might; a number is none.

    >>> harmless("=2+5"), harmless("-0.5"), harmless("-0.5+cmd"), harmless("19.05 mm")
    ("'=2+5", '-0.5', "'-0.5+cmd", '19.05 mm')
    """
    return f"'{cell}" if _FORMULA.match(cell) and not _NUMBER.fullmatch(cell) else cell


def _cells(row: Any, numbers: dict[int, int], build_unit: str) -> Iterator[str]:
    told_in, one = _TOLD_IN[row.unit]
    # A size read once has its text only: what it comes to is the measurement's value.
    read = row.value if row.read is None else row.read
    length = row.unit == "nm"
    own = _NM[build_unit]
    yield row.mark or (f"Axle {row.number}" if row.number else "")
    yield row.side or ""
    yield f"{row.left} {row.right}" if row.left else ""
    yield str(numbers[row.id])
    yield str(row.ordinal or "")
    yield row.kind
    yield row.place or ""
    yield row.direction or ""
    yield row.text or ""
    for value in (read, row.value, row.low, row.high, row.expanded):
        yield _figure(value, one, told_in)
    yield told_in
    for value in (read, row.value):
        yield _figure(value if length else None, own, build_unit)
    yield build_unit if length else ""
    yield row.tool or row.named
    yield row.who
    yield when_written(row.at)
    yield "struck out" if row.struck_out_why is not None else "superseded" if row.superseded else "stands"
    yield row.struck_out_why or ""
    yield str(numbers.get(row.supersedes_id, ""))


def _figure(value: int | None, one: int, unit: str) -> str:
    """A figure with a point, exact in millimetres, grams and degrees; without needless noughts."""
    if value is None:
        return ""
    places = _PLACES[unit]
    scaled = round(Fraction(value, one) * 10**places)
    whole, part = divmod(abs(scaled), 10**places)
    text = f"{whole}.{part:0{places}}".rstrip("0").rstrip(".")
    return f"-{text}" if scaled < 0 else text
