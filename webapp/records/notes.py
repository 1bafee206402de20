"""Notes and photos as they are stored: a list of them reads no picture; one is asked for by its permanent id."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import bindparam, delete, func, insert, select
from sqlmodel import Session, col

from domain.route.stages import Stage
from webapp.models import NoteRow, PhotoRow
from webapp.records.journal import now
from webapp.records.measured import Whose
from webapp.records.paged import LAST_ID, MOST, Paged, paged
from webapp.records.rows import rows_by, rows_of
from webapp.typed.photos import Photo


@dataclass(frozen=True, slots=True)
class NoteView:
    """A note: what it says, whether it has a photo, who wrote it and when, and the last stage that was ticked then."""

    id: int
    permanent_id: str
    stage: str | None
    words: str
    who: str
    at: datetime
    has_photo: bool

    @property
    def state(self) -> str:
        """What the wheel was then; empty where nothing was ticked yet."""
        return Stage(self.stage).state if self.stage else ""


_ID: Any = bindparam("id")
_BEFORE: Any = bindparam("before")
_LINE = select(
    col(NoteRow.id),
    col(NoteRow.permanent_id),
    col(NoteRow.stage),
    col(NoteRow.words),
    col(NoteRow.who),
    col(NoteRow.at),
    col(PhotoRow.note_id).is_not(None).label("has_photo"),
).outerjoin(PhotoRow, col(PhotoRow.note_id) == col(NoteRow.id))
_PERMANENT: Any = bindparam("permanent_id")
_WHOSE = (col(NoteRow.casting_id), col(NoteRow.axle_id))
_OF_CASTING, _OF_AXLE = (
    _LINE.where(whose == _ID, col(NoteRow.id) < _BEFORE).order_by(col(NoteRow.id).desc()).limit(MOST + 1)
    for whose in _WHOSE
)
_ONE_OF_CASTING, _ONE_OF_AXLE = (
    _LINE.where(whose == _ID, col(NoteRow.permanent_id) == _PERMANENT) for whose in _WHOSE
)
_SMALL, _JPEG = (
    select(picture)
    .join(NoteRow, col(NoteRow.id) == col(PhotoRow.note_id))
    .where(col(NoteRow.permanent_id) == _PERMANENT)
    for picture in (col(PhotoRow.small), col(PhotoRow.jpeg))
)
_BYTES = (
    select(func.coalesce(func.sum(func.length(col(PhotoRow.jpeg))), 0))
    .join(NoteRow, col(NoteRow.id) == col(PhotoRow.note_id))
    .where(col(NoteRow.build_id) == _ID)
)


def notes_of(session: Session, whose: Whose, before: int | None = None) -> Paged[NoteView]:
    """The notes on a casting or an axle, latest first; those before an id if one is given."""
    lines, own = (_OF_AXLE, whose.axle_id) if whose.casting_id is None else (_OF_CASTING, whose.casting_id)
    rows = rows_by(session, lines, {"id": own, "before": before or LAST_ID})
    return paged([(row.id, NoteView(*row)) for row in rows], before)


def note_of(session: Session, whose: Whose, permanent_id: str) -> NoteView | None:
    """The note with this permanent id, if it is on this casting or axle."""
    one, own = (
        (_ONE_OF_AXLE, whose.axle_id) if whose.casting_id is None else (_ONE_OF_CASTING, whose.casting_id)
    )
    rows = rows_by(session, one, {"id": own, "permanent_id": permanent_id}) if permanent_id else ()
    return next((NoteView(*row) for row in rows), None)


def picture_of(session: Session, permanent_id: str, *, small: bool) -> bytes | None:
    """The photo of the note with this permanent id, as JPEG; None where there is none."""
    rows = rows_by(session, _SMALL if small else _JPEG, {"permanent_id": permanent_id})
    return None if not rows else bytes(rows[0][0])


def photo_bytes(session: Session, build_id: int) -> int:
    """How many bytes the photos of a build have."""
    ((total,),) = rows_of(session, _BYTES, build_id)
    return int(total)


def put_note(
    session: Session,
    build_id: int,
    whose: Whose,
    stage: str | None,
    words: str,
    photo: Photo | None,
    who: str,
) -> None:
    """Store a note, and its photo if it has one."""
    note: dict[str, Any] = {
        "build_id": build_id,
        "casting_id": whose.casting_id,
        "axle_id": whose.axle_id,
        "stage": stage,
        "words": words,
        "who": who,
        "at": now(),
    }
    key = session.connection().execute(insert(NoteRow).values(note)).inserted_primary_key
    if photo is not None:
        assert key is not None  # one row was put in
        row = {"note_id": key[0], "small": photo.small, "jpeg": photo.jpeg}
        session.connection().execute(insert(PhotoRow).values(row))


def take_away(session: Session, note_id: int) -> None:
    """Delete a note with its photo."""
    session.connection().execute(delete(NoteRow).where(col(NoteRow.id) == note_id))
