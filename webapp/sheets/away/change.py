"""Putting a build away and bringing it back, and deleting it: its export leaves before its rows go."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import delete, text, update
from sqlmodel import Session, col

from webapp.exchange.writing import document_of, written
from webapp.models import Build, JournalLine
from webapp.records.builds import find_build
from webapp.records.change import Change, change_build, change_workshop
from webapp.records.journal import write_line
from webapp.records.outcome import Actor, Unconfirmed
from webapp.sheets.away.view import going

# Keeps a build's export by its name and text; the number it is kept under.
Keep = Callable[[str, str], int]
# In whatever order the rows go: at the commit none may be left without what it belongs to.
_TOGETHER = text("PRAGMA defer_foreign_keys = ON")


@change_build("archive", archived=True)
def archive(it: Change, wanted: bool) -> None:
    """Put a build away, or bring it back; done already, it is left as it is."""
    if it.build.archived is wanted:
        return
    row = update(Build).where(col(Build.id) == it.build.id).values(archived=wanted)
    it.session.connection().execute(row)
    it.tell("archive", "Archived." if wanted else "Brought back from the archived builds.")


@change_workshop("delete {}")
def delete_build(session: Session, build_id: int, confirmed: str, actor: Actor, keep: Keep) -> int:
    """Delete a build with its journal, once its export is kept; Unconfirmed until the last that was done to it is known.

    The export tells of the deletion too. The journal's lines go after their build, which is the only time that the
    database lets them.
    """
    build = find_build(session, build_id)
    goes = going(session, build)
    if confirmed != str(goes.last_line):
        raise Unconfirmed(goes.question, goes.said)
    write_line(session, actor, "delete", "Deleted from the data; this export was kept.", build_id=build_id)
    session.flush()
    kept = keep(build.name, written(document_of(session, build_id)))
    connection = session.connection()
    connection.execute(_TOGETHER)
    connection.execute(delete(Build).where(col(Build.id) == build_id))
    connection.execute(delete(JournalLine).where(col(JournalLine.build_id) == build_id))
    return kept
