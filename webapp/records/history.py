"""Everything ever done to a casting, an axle or a build, latest first, a page at a time."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Executable, bindparam, select
from sqlmodel import Session, col

from webapp.models import JournalLine
from webapp.records.paged import LAST_ID, MOST, Paged, paged


@dataclass(frozen=True, slots=True)
class JournalEntry:
    """A line of the journal."""

    at: datetime
    who: str
    kind: str
    sentence: str
    # When the device says it was done, where it could be sent only later.
    device_at: datetime | None = None


def _lines(*mine: ColumnElement[bool]) -> Executable:
    line = JournalLine
    wanted = select(
        col(line.id), col(line.at), col(line.who), col(line.kind), col(line.sentence), col(line.device_at)
    )
    return wanted.where(*mine, col(line.id) < _BEFORE).order_by(col(line.id).desc()).limit(MOST + 1)


_ID: Any = bindparam("id")
_BEFORE: Any = bindparam("before")
_NO_CASTING = col(JournalLine.casting_id).is_(None)
_OF_CASTING = _lines(col(JournalLine.casting_id) == _ID)
_SCRAPPED = _lines(col(JournalLine.casting_id) == _ID, col(JournalLine.kind) == "scrap")
_OF_AXLE = _lines(col(JournalLine.axle_id) == _ID, _NO_CASTING)


def casting_journal(session: Session, casting_id: int, before: int | None = None) -> Paged[JournalEntry]:
    """The casting's journal, of the lines before an id where one is given."""
    return _entries(session, _OF_CASTING, casting_id, before)


def axle_journal(session: Session, axle_id: int, before: int | None = None) -> Paged[JournalEntry]:
    """The lines that are the axle's own, of those before an id where one is given."""
    return _entries(session, _OF_AXLE, axle_id, before)


def stood_at(session: Session, axle_id: int, spares: Iterable[int]) -> frozenset[int]:
    """Which of these spares went to the spares from this axle."""
    line = JournalLine
    found = select(col(line.casting_id)).where(
        col(line.casting_id).in_(tuple(spares)), col(line.axle_id) == axle_id, col(line.kind) == "spare"
    )
    return frozenset(own for (own,) in session.connection().execute(found) if own is not None)


def scrapped_on(session: Session, casting_id: int) -> JournalEntry | None:
    """The line that last told of the casting's scrapping."""
    row = session.connection().execute(_SCRAPPED, {"id": casting_id, "before": LAST_ID}).first()
    return JournalEntry(*row[1:]) if row is not None else None


def _entries(session: Session, lines: Executable, row_id: int, before: int | None) -> Paged[JournalEntry]:
    rows = session.connection().execute(lines, {"id": row_id, "before": before or LAST_ID})
    return paged([(own, JournalEntry(*row)) for own, *row in rows], before)
