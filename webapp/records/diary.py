"""Everything done to a build, its axles and its castings: every tick and every reading, latest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import bindparam, select
from sqlmodel import Session, col

from webapp.models import Axle, Casting, JournalLine
from webapp.records.paged import LAST_ID, MOST, Paged, paged


@dataclass(frozen=True, slots=True)
class DiaryEntry:
    """A thing done: to what, when and by whom."""

    at: datetime
    who: str
    mark: str | None
    axle: int | None
    sentence: str

    @property
    def subject(self) -> str:
        """The casting's mark or the axle; empty where it was the build's own."""
        return self.mark or (f"Axle {self.axle}" if self.axle else "")


_ID: Any = bindparam("id")
_BEFORE: Any = bindparam("before")
_LIMIT: Any = bindparam("limit")
_LINE = JournalLine
# What was done to an axle is written down once for it and once for each wheel: told once, it is the axle's.
ONCE = col(_LINE.casting_id).is_(None) | col(_LINE.axle_id).is_(None)
_LINES = (
    select(
        col(_LINE.id),
        col(_LINE.at),
        col(_LINE.who),
        col(Casting.mark),
        col(Axle.number),
        col(_LINE.sentence),
    )
    .outerjoin(Casting, col(Casting.id) == col(_LINE.casting_id))
    .outerjoin(Axle, col(Axle.id) == col(_LINE.axle_id))
    .where(col(_LINE.build_id) == _ID, ONCE, col(_LINE.id) < _BEFORE)
    .order_by(col(_LINE.id).desc())
    .limit(_LIMIT)
)


def diary(session: Session, build_id: int, before: int | None = None) -> Paged[DiaryEntry]:
    """A page of it, of the lines before an id where one is given."""
    rows = _rows(session, build_id, before or LAST_ID, MOST + 1)
    return paged([(own, DiaryEntry(*row)) for own, *row in rows], before)


def last_done(session: Session, build_id: int) -> DiaryEntry | None:
    """The last thing done; a build that was started has one."""
    return next((DiaryEntry(*row) for _, *row in _rows(session, build_id, LAST_ID, 1)), None)


def _rows(session: Session, build_id: int, before: int, limit: int) -> Sequence[Any]:
    asked = {"id": build_id, "before": before, "limit": limit}
    return session.connection().execute(_LINES, asked).all()
