"""Where a text is looked for: each place is an entry of `SOURCES`, and everything else of finding goes by that list.

To look in another table, such as one of notes, add an entry: its heading, the columns that are looked through, the
number that its rows are told apart by (the greater, the later), and a statement that gives those of `FoundRow`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import String, and_, cast, func, literal, null, or_, select
from sqlmodel import Session, col

from webapp.models import Axle, Build, Casting, JournalLine, Measurement, NoteRow, Reading, Receipt
from webapp.records.diary import ONCE
from webapp.records.paged import LAST_ID, Paged, paged


@dataclass(frozen=True, slots=True)
class FoundRow:
    """A row that has the text in it: of which build, of which casting or axle of it, and what it says."""

    build_id: int
    build: str
    casting_id: int | None
    mark: str | None
    axle_id: int | None
    axle: int | None
    words: str
    who: str
    at: datetime | None
    # Of a measurement what it is of and which it is; what became of it.
    kind: str = ""
    side: str | None = None
    row_id: int = 0
    struck_out: bool = False
    superseded: bool = False
    rough: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """A place where a text is looked for; `sheet` is where a row is told, under its casting or axle, else its build."""

    key: str
    heading: str
    own: Any
    has: Any
    found: Any
    sheet: str = ""


_NONE: Any = null()
_NOBODY = literal("")
_BUILD = (col(Build.id), col(Build.name))
_CASTING = (col(Casting.id), col(Casting.mark))
_AXLE = (col(Axle.id), col(Axle.number))
_TYPED = (
    select(func.group_concat(col(Reading.text), ", "))
    .where(col(Reading.measurement_id) == col(Measurement.id))
    .correlate(Measurement)
    .scalar_subquery()
)


def _has(*columns: Any) -> Any:
    return lambda asked: or_(
        *(column.contains(one, autoescape=True) for column in columns for one in _ways(asked))
    )


# A figure may be typed with a point or a comma, and with or without its nought before it.
_FIGURE = re.compile(r"[.,][0-9]")
_MARKS = tuple(str.maketrans(given, kept) for given, kept in ((",", "."), (".", ",")))


def _ways(asked: str) -> tuple[str, ...]:
    """SQLite takes capitals and small letters for the same in English only."""
    ways: tuple[str, ...] = (
        (asked,) if asked.isascii() else (asked, asked.lower(), asked.upper(), asked.capitalize())
    )
    if _FIGURE.search(asked):
        ways = tuple(one.removeprefix("0") if one.startswith(("0.", "0,")) else one for one in ways)
        ways += tuple(one.translate(mark) for one in ways for mark in _MARKS)
    return tuple(dict.fromkeys(ways))


SOURCES = (
    Source(
        "builds",
        "Builds",
        col(Build.id),
        _has(col(Build.name)),
        select(*_BUILD, _NONE, _NONE, _NONE, _NONE, _NOBODY, _NOBODY, col(Build.created_at)),
    ),
    Source(
        "castings",
        "Castings",
        col(Casting.id),
        _has(col(Casting.mark)),
        select(*_BUILD, *_CASTING, _NONE, _NONE, _NOBODY, _NOBODY, _NONE).join(
            Casting, col(Casting.build_id) == col(Build.id)
        ),
    ),
    Source(
        "readings",
        "Readings, as typed",
        col(Measurement.id),
        # The readings are gone through once; to ask for those of each measurement takes ten times as long.
        lambda asked: col(Measurement.id).in_(
            select(col(Reading.measurement_id)).where(_has(col(Reading.text))(asked))
        ),
        select(
            *_BUILD,
            *_CASTING,
            *_AXLE,
            _TYPED,
            col(Measurement.who),
            col(Measurement.at),
            col(Measurement.kind),
            col(Measurement.side),
            col(Measurement.id),
            col(Measurement.struck_out_at).is_not(None),
            col(Measurement.superseded),
            col(Measurement.receipt_id).is_not(None),
        )
        .join(Measurement, col(Measurement.build_id) == col(Build.id))
        .outerjoin(Casting, col(Casting.id) == col(Measurement.casting_id))
        .outerjoin(Axle, col(Axle.id) == col(Measurement.axle_id)),
        "/measured",
    ),
    Source(
        "received",
        "Notes, as it came",
        col(Receipt.id),
        _has(col(Receipt.note)),
        select(*_BUILD, *_CASTING, _NONE, _NONE, col(Receipt.note), col(Receipt.who), col(Receipt.at))
        .join(Receipt, col(Receipt.build_id) == col(Build.id))
        .join(Casting, col(Casting.id) == col(Receipt.casting_id)),
        "/receiving",
    ),
    Source(
        "notes",
        "Notes",
        col(NoteRow.id),
        _has(col(NoteRow.words)),
        select(*_BUILD, *_CASTING, *_AXLE, col(NoteRow.words), col(NoteRow.who), col(NoteRow.at))
        .join(NoteRow, col(NoteRow.build_id) == col(Build.id))
        .outerjoin(Casting, col(Casting.id) == col(NoteRow.casting_id))
        .outerjoin(Axle, col(Axle.id) == col(NoteRow.axle_id)),
        "/notes",
    ),
    # Every reason that was given is told here.
    Source(
        "done",
        "Done, and why",
        col(JournalLine.id),
        lambda asked: and_(_has(col(JournalLine.sentence))(asked), ONCE),
        select(
            *_BUILD, *_CASTING, *_AXLE, col(JournalLine.sentence), col(JournalLine.who), col(JournalLine.at)
        )
        .join(JournalLine, col(JournalLine.build_id) == col(Build.id))
        .outerjoin(Casting, col(Casting.id) == col(JournalLine.casting_id))
        .outerjoin(Axle, col(Axle.id) == col(JournalLine.axle_id)),
    ),
)


def _met(source: Source, asked: str) -> Any:
    """Every word is met: one at least in what the place is looked through for, the others there or elsewhere in its line."""
    words = tuple(dict.fromkeys(asked.split()))
    if len(words) == 1:
        return source.has(asked)
    columns = FoundRow.__dataclass_fields__
    line = dict(zip(columns, source.found.selected_columns, strict=False))
    beside = _has(
        line["build"], line["mark"], literal("Axle ").concat(cast(line["axle"], String)), line["who"]
    )
    own = [source.has(word) for word in words]
    return and_(or_(*own), *(or_(one, beside(word)) for one, word in zip(own, words, strict=True)))


def find(
    session: Session, source: Source, asked: str, most: int, before: int | None = None
) -> Paged[FoundRow]:
    """What has every word in it, latest first and no more than so many; of what comes before an id where one is given."""
    wanted = (
        source.found.add_columns(source.own.label("own"))
        .where(_met(source, asked), source.own < (before or LAST_ID))
        .order_by(source.own.desc())
        .limit(most + 1)
    )
    rows: Sequence[Any] = session.connection().execute(wanted).all()
    return paged([(row[-1], FoundRow(*row[:-1])) for row in rows], before, most)
