"""Everything done: every tick and every reading, latest first, of all builds, of one, or of one of its wheels or axles."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from textwrap import shorten
from typing import Any

from sqlalchemy import and_, bindparam, or_, select
from sqlmodel import Session, col

from webapp.models import Axle, Build, Casting, JournalLine
from webapp.records.paged import LAST_ID, Paged, paged

# So many lines on a page, long ones cut short: two screens at most.
SHOWN = 14
# So many signs are read at a glance. A longer line that tells what was drawn otherwise begins with that; one that tells
# each figure of another form says which form it was.
_GLANCE = 120
_REDRAWN = "change"
_FORMS = {
    "cuts": "Changed cuts and allowances",
    "joints": "Changed what the joints are judged by",
    "rods": "Changed the figures of the rods",
}


@dataclass(frozen=True, slots=True)
class DiaryEntry:
    """A thing done: to what, when and by whom."""

    at: datetime
    who: str
    mark: str | None
    axle: int | None
    sentence: str
    casting_id: int | None = None
    # An axle that was taken out of its build has none.
    axle_id: int | None = None
    build_id: int = 0
    build: str = ""
    device: str = ""
    kind: str = ""

    @property
    def brief(self) -> str:
        """What was done, for a line among others; the diary has it whole."""
        if len(self.sentence) <= _GLANCE:
            return self.sentence
        if self.kind == _REDRAWN:
            return shorten(self.sentence, _GLANCE, placeholder=" …")
        return _FORMS.get(self.kind, self.sentence)

    @property
    def subject(self) -> str:
        """The casting's mark or the axle; empty where it was the build's own."""
        return self.mark or (f"Axle {self.axle}" if self.axle else "")

    @property
    def sheet(self) -> str:
        """The sheet of what it was done to."""
        if self.mark:
            return f"/castings/{self.casting_id}"
        return f"/axles/{self.axle_id}" if self.axle else f"/builds/{self.build_id}"


_ID: Any = bindparam("id")
_BEFORE: Any = bindparam("before")
_LIMIT: Any = bindparam("limit")
_LINE = JournalLine
# What was done to an axle is written down once for it and once for each wheel: told once, it is the axle's.
ONCE = col(_LINE.casting_id).is_(None) | col(_LINE.axle_id).is_(None)
# In the order of DiaryEntry's fields.
ENTRY: tuple[Any, ...] = (
    col(_LINE.at),
    col(_LINE.who),
    col(Casting.mark),
    col(Axle.number),
    col(_LINE.sentence),
    col(_LINE.casting_id),
    col(Axle.id).label("of_axle"),
    col(_LINE.build_id),
    col(Build.name),
    col(_LINE.device),
    col(_LINE.kind),
)
LINES = (
    select(col(_LINE.id), *ENTRY)
    .join(Build, col(Build.id) == col(_LINE.build_id))
    .outerjoin(Casting, col(Casting.id) == col(_LINE.casting_id))
    .outerjoin(Axle, col(Axle.id) == col(_LINE.axle_id))
    .order_by(col(_LINE.id).desc())
)
_PAGE = LINES.where(col(_LINE.id) < _BEFORE).limit(_LIMIT)
_ON_AXLE = select(col(Casting.id)).where(col(Casting.axle_id) == _ID).scalar_subquery()
# By what is asked for. An axle's tells of the wheels that are on it too.
_PAGES: Mapping[str, Any] = {
    "": _PAGE.where(ONCE),
    "build": _PAGE.where(col(_LINE.build_id) == _ID, ONCE),
    "axle": _PAGE.where(
        or_(
            and_(col(_LINE.axle_id) == _ID, col(_LINE.casting_id).is_(None)),
            and_(col(_LINE.casting_id).in_(_ON_AXLE), col(_LINE.axle_id).is_(None)),
        )
    ),
    "casting": _PAGE.where(col(_LINE.casting_id) == _ID),
}


def diary(session: Session, what: str = "", row_id: int = 0, before: int | None = None) -> Paged[DiaryEntry]:
    """A page of it: of a build, an axle or a casting, else of all; of the lines before an id where one is given."""
    asked = {"before": before or LAST_ID, "limit": SHOWN + 1} | ({"id": row_id} if what else {})
    return paged([(own, DiaryEntry(*row)) for own, *row in _rows(session, what, asked)], before, SHOWN)


def last_done(session: Session, build_id: int) -> DiaryEntry | None:
    """The last thing done; a build that was started has one."""
    asked = {"id": build_id, "before": LAST_ID, "limit": 1}
    return next((DiaryEntry(*row) for _, *row in _rows(session, "build", asked)), None)


def _rows(session: Session, what: str, asked: Mapping[str, int]) -> Sequence[Any]:
    return session.connection().execute(_PAGES[what], asked).all()
