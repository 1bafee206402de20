"""The permanent ids of castings, and which casting a scanned label belongs to."""

from __future__ import annotations

from typing import Any

from sqlalchemy import bindparam, select
from sqlmodel import Session, col

from webapp.models import Casting
from webapp.records.rows import rows_by, rows_of
from webapp.typed.labels import id_on_label

_ID: Any = bindparam("id")
_PERMANENT: Any = bindparam("permanent_id")
_OF_BUILD = select(col(Casting.id), col(Casting.permanent_id)).where(col(Casting.build_id) == _ID)
_OF_LABEL = select(col(Casting.id)).where(col(Casting.permanent_id) == _PERMANENT)


def permanent_ids(session: Session, build_id: int) -> dict[int, str]:
    """The permanent id of each casting of a build."""
    return dict(rows_of(session, _OF_BUILD, build_id))


def casting_of_label(session: Session, text: str) -> int | None:
    """The casting that a scanned label's text names; None where it names none, or none of this file."""
    permanent_id = id_on_label(text)
    rows = rows_by(session, _OF_LABEL, {"permanent_id": permanent_id}) if permanent_id else ()
    return next((int(own) for (own,) in rows), None)
