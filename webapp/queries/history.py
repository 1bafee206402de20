"""Everything ever measured or done to one casting, in order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from sqlmodel import Session, col, select

from webapp.models import JournalLine, Measurement
from webapp.queries.builds import as_measured, readings_of
from webapp.queries.views import Measured


@dataclass(frozen=True, slots=True)
class JournalEntry:
    """A line of the journal."""

    at: datetime
    who: str
    kind: str
    sentence: str


def casting_journal(session: Session, casting_id: int) -> tuple[JournalEntry, ...]:
    """The casting's journal, latest first."""
    return _entries(session, col(JournalLine.casting_id) == casting_id)


def axle_journal(session: Session, axle_id: int) -> tuple[JournalEntry, ...]:
    """The lines that are the axle's own, latest first."""
    return _entries(session, (col(JournalLine.axle_id) == axle_id) & col(JournalLine.casting_id).is_(None))


def build_journal(session: Session, build_id: int) -> tuple[JournalEntry, ...]:
    """The lines about the build's own figures, latest first."""
    return _entries(
        session,
        (col(JournalLine.build_id) == build_id)
        & col(JournalLine.axle_id).is_(None)
        & col(JournalLine.casting_id).is_(None),
    )


def _entries(session: Session, mine: object) -> tuple[JournalEntry, ...]:
    rows = session.exec(
        select(JournalLine.at, JournalLine.who, JournalLine.kind, JournalLine.sentence)
        .where(mine)  # type: ignore[arg-type]
        .order_by(col(JournalLine.id).desc())
    )
    return tuple(JournalEntry(*row) for row in rows)


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
