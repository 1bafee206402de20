"""Everything ever done to a casting, an axle or a build, in order."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Executable, bindparam, select
from sqlmodel import Session, col

from webapp.models import JournalLine


@dataclass(frozen=True, slots=True)
class JournalEntry:
    """A line of the journal."""

    at: datetime
    who: str
    kind: str
    sentence: str


def _lines(*mine: ColumnElement[bool]) -> Executable:
    line = JournalLine
    wanted = select(col(line.at), col(line.who), col(line.kind), col(line.sentence))
    return wanted.where(*mine).order_by(col(line.id).desc())


_ID: Any = bindparam("id")
_NO_CASTING = col(JournalLine.casting_id).is_(None)
_OF_CASTING = _lines(col(JournalLine.casting_id) == _ID)
_OF_AXLE = _lines(col(JournalLine.axle_id) == _ID, _NO_CASTING)
_OF_BUILD = _lines(col(JournalLine.build_id) == _ID, col(JournalLine.axle_id).is_(None), _NO_CASTING)


def casting_journal(session: Session, casting_id: int) -> tuple[JournalEntry, ...]:
    """The casting's journal, latest first."""
    return _entries(session, _OF_CASTING, casting_id)


def axle_journal(session: Session, axle_id: int) -> tuple[JournalEntry, ...]:
    """The lines that are the axle's own, latest first."""
    return _entries(session, _OF_AXLE, axle_id)


def build_journal(session: Session, build_id: int) -> tuple[JournalEntry, ...]:
    """The lines about the build's own figures, latest first."""
    return _entries(session, _OF_BUILD, build_id)


def _entries(session: Session, lines: Executable, row_id: int) -> tuple[JournalEntry, ...]:
    return tuple(JournalEntry(*row) for row in session.connection().execute(lines, {"id": row_id}))
