"""The journal: one line for each thing done, in the transaction that does it; and the check on old pages."""

from __future__ import annotations

from datetime import UTC, date, datetime
from weakref import WeakKeyDictionary

from sqlalchemy import Pool, bindparam, func, insert, text
from sqlmodel import Session, col, select

from webapp.db import held
from webapp.models import JournalLine, Submission
from webapp.records.outcome import Actor, OutOfDate, SentOtherwise
from webapp.records.rows import rows_by, rows_of
from webapp.typed.texts import Sent

_BUMP = {
    "casting": text("UPDATE casting SET version = version + 1 WHERE id = :id RETURNING version"),
    "axle": text("UPDATE axle SET version = version + 1 WHERE id = :id RETURNING version"),
    "build": text("UPDATE build SET version = version + 1 WHERE id = :id RETURNING version"),
}
_LINE, _SUBMIT = insert(JournalLine), insert(Submission)
_SUBMISSION = select(Submission.content, Submission.answer, Submission.at).where(
    col(Submission.token) == bindparam("token")
)


# Of so many of the last lines the latest time counts, so that one written by a clock that was fast is forgotten in time.
_LAST_LINES = 500
_BY_ID = select(col(JournalLine.at)).order_by(col(JournalLine.id).desc())
_LAST = _BY_ID.limit(_LAST_LINES).subquery()
_LAST_ONE = _BY_ID.limit(1)
_NEWEST = select(func.max(_LAST.c.at))
# Looked for once in each run, and from then on among the lines that come: each file's, by its connections.
_seen: WeakKeyDictionary[Pool, datetime] = WeakKeyDictionary()


def newest_time(session: Session) -> datetime | None:
    """The latest time among the last lines of the journal, of whatever build; None where there is none."""
    return held(session, "newest time", lambda: _newest(session))


def _newest(session: Session) -> datetime | None:
    file = session.get_bind().engine.pool
    wanted = _LAST_ONE if file in _seen else _NEWEST
    last: datetime | None = next((at for (at,) in rows_by(session, wanted, {})), None)
    if last is not None:
        _seen[file] = max(last, _seen.get(file, last))
    return _seen.get(file)


def now() -> datetime:
    """The present time, aware UTC."""
    return datetime.now(UTC)


def today() -> date:
    """The present day on this machine's clock."""
    return now().astimezone().date()


def _bump(session: Session, table: str, row_id: int) -> int:
    ((version,),) = rows_of(session, _BUMP[table], row_id)
    return int(version)


def write_line(
    session: Session,
    actor: Actor,
    kind: str,
    sentence: str,
    *,
    build_id: int,
    casting_id: int | None = None,
    axle_id: int | None = None,
    at: datetime | None = None,
) -> int:
    """Count the version up of what is changed (casting, else axle, else build) and write the journal's line; the version."""
    if casting_id is not None:
        version = _bump(session, "casting", casting_id)
    elif axle_id is not None:
        version = _bump(session, "axle", axle_id)
    else:
        version = _bump(session, "build", build_id)
    line = {
        "build_id": build_id,
        "casting_id": casting_id,
        "axle_id": axle_id,
        "kind": kind,
        "sentence": sentence,
        "at": at or now(),
        "who": actor.who,
        "device": actor.device,
        "page": actor.page,
        "version": version,
        "device_at": actor.device_at,
    }
    rows_by(session, _LINE, line)
    return version


def check_casting_seen(session: Session, casting_id: int, version: int, seen: int, actor: Actor) -> None:
    """Raise OutOfDate when anyone but this very page changed the casting after the page was drawn."""
    if version == seen:
        return
    _raise_if_others(session, col(JournalLine.casting_id) == casting_id, seen, version, actor)


def check_axle_seen(session: Session, axle_id: int, version: int, seen: int, actor: Actor) -> None:
    """Raise OutOfDate when anyone but this very page changed the axle after the page was drawn."""
    if version == seen:
        return
    of_axle = (col(JournalLine.axle_id) == axle_id) & col(JournalLine.casting_id).is_(None)
    _raise_if_others(session, of_axle, seen, version, actor)


def check_build_seen(session: Session, build_id: int, version: int, seen: int, actor: Actor) -> None:
    """Raise OutOfDate when anyone but this very page changed the build's own figures after the page was drawn."""
    if version == seen:
        return
    of_build = (
        (col(JournalLine.build_id) == build_id)
        & col(JournalLine.axle_id).is_(None)
        & col(JournalLine.casting_id).is_(None)
    )
    _raise_if_others(session, of_build, seen, version, actor)


def _raise_if_others(session: Session, mine: object, seen: int, version: int, actor: Actor) -> None:
    lines = session.exec(
        select(JournalLine.who, JournalLine.at, JournalLine.sentence, JournalLine.page)
        .where(mine, col(JournalLine.version) > seen)  # type: ignore[arg-type]
        .order_by(col(JournalLine.id))
    ).all()
    others = [line for line in lines if not actor.page or line[3] != actor.page]
    if others:
        who, at, sentence, _ = others[-1]
        raise OutOfDate(sentence, who, at)
    if seen > version or not lines:
        raise OutOfDate("", "", None)


def already_answered(session: Session, sent: Sent, form: str) -> str | None:
    """The answer given to this form before, if it was taken before; a token counts for its own form only.

    Raise SentOtherwise when it says something else now: the answer to the first may have been lost on its way,
    and whoever corrected it meanwhile must not be told that the correction was stored.
    """
    if not sent.token:
        return None
    found = rows_by(session, _SUBMISSION, {"token": f"{form} {sent.token}"})
    if not found:
        return None
    row = found[0]
    # What was taken before contents were kept has none.
    differs = sent.differs(row.content) if row.content else {}
    if differs:
        raise SentOtherwise(row.at, differs)
    answer: str = row.answer
    return answer


def remember_answer(session: Session, sent: Sent, form: str, answer: str = "") -> None:
    """Keep the token with what was sent, so that the same form sent twice is done once."""
    if sent.token:
        row = {"token": f"{form} {sent.token}", "content": sent.content, "answer": answer, "at": now()}
        rows_by(session, _SUBMIT, row)
