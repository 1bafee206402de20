"""Everything ever measured or done to one casting, in order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Executable, bindparam
from sqlalchemy import select as columns
from sqlmodel import Session, col, select

from webapp.models import JournalLine, Measurement
from webapp.records.builds import as_measured, readings_of
from webapp.records.views import Measured


@dataclass(frozen=True, slots=True)
class JournalEntry:
    """A line of the journal."""

    at: datetime
    who: str
    kind: str
    sentence: str


def _lines(*mine: ColumnElement[bool]) -> Executable:
    line = JournalLine
    wanted = columns(col(line.at), col(line.who), col(line.kind), col(line.sentence))
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


def casting_measurements(session: Session, build_id: int, casting_id: int) -> tuple[Measured, ...]:
    """Every measurement of a casting, corrected ones among them, oldest first."""
    rows = session.exec(
        select(Measurement).where(Measurement.casting_id == casting_id).order_by(col(Measurement.id))
    ).all()
    readings = readings_of(session, build_id)
    return _with_superseded(as_measured(row, readings) for row in rows)


def _with_superseded(measured: Iterable[Measured]) -> tuple[Measured, ...]:
    listed = list(measured)
    superseded = {m.supersedes_id for m in listed if m.supersedes_id is not None}
    return tuple(replace(m, superseded=m.id in superseded) for m in listed)
