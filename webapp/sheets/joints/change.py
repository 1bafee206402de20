"""Storing the figures that a build's joints are judged by."""

from __future__ import annotations

from collections.abc import Mapping

from sqlmodel import Session, col, delete

from webapp.db import Db
from webapp.facts.holding import no_longer_hold
from webapp.models import JointFigure
from webapp.records.builds import load_build
from webapp.records.journal import already_answered, check_build_seen, remember_answer, write_line
from webapp.records.outcome import Actor, NotThere
from webapp.typed.joint_fields import BY_KEY
from webapp.typed.texts import Sent

_FORM = "joints"


def save_figures(
    db: Db, build_id: int, texts: dict[str, str], seen: int, sent: Sent, actor: Actor
) -> tuple[str, ...]:
    """Store the figures as typed; gives the marks of the wheels that no longer hold by them."""
    with db.write() as session:
        build = load_build(session, build_id)
        if build is None:
            raise NotThere
        if already_answered(session, sent, _FORM) is not None:
            return ()
        check_build_seen(session, build_id, build.version, seen, actor)
        changed = _changed(build.joint_texts, texts)
        if not changed:
            return ()
        failing = no_longer_hold(build, texts)
        _store(session, build_id, texts)
        words = f"Changed what the joints are judged by: {'; '.join(changed)}."
        if failing:
            words += (
                f" By these figures {' and '.join(failing)} no longer hold{'s' if len(failing) == 1 else ''}."
            )
        write_line(session, actor, "joints", words, build_id=build_id)
        remember_answer(session, sent, _FORM, "stored")
        return failing


def _store(session: Session, build_id: int, texts: Mapping[str, str]) -> None:
    session.exec(delete(JointFigure).where(col(JointFigure.build_id) == build_id))
    for key, text in texts.items():
        session.add(JointFigure(build_id=build_id, key=key, text=text))


def _changed(before: Mapping[str, str], after: Mapping[str, str]) -> list[str]:
    words = []
    for key, field in BY_KEY.items():
        old, new = before.get(key, ""), after.get(key, "")
        if old != new:
            told = dict(field.options).get(new, new)
            words.append(
                f"{field.name[:1].lower()}{field.name[1:]} {f'now {told}' if new else 'as usual again'}"
            )
    return words
