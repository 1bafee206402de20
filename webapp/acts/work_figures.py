"""Storing the figures of how a build is machined."""

from __future__ import annotations

from sqlmodel import col, delete

from webapp.db import Db
from webapp.models import WorkFigure
from webapp.records.builds import load_build
from webapp.records.journal import already_answered, check_build_seen, remember_answer, write_line
from webapp.records.outcome import Actor, NotThere
from webapp.typed.texts import Sent
from webapp.typed.work_fields import BY_KEY


def save_work_figures(
    db: Db, build_id: int, texts: dict[str, str], seen: int, sent: Sent, actor: Actor
) -> None:
    """Store the figures as typed."""
    form = f"work figures of {build_id}"
    with db.write() as session:
        build = load_build(session, build_id)
        if build is None:
            raise NotThere
        if already_answered(session, sent, form) is not None:
            return
        check_build_seen(session, build_id, build.version, seen, actor)
        changed = [key for key in BY_KEY if build.work_texts.get(key, "") != texts.get(key, "")]
        if not changed:
            return
        session.exec(delete(WorkFigure).where(col(WorkFigure.build_id) == build_id))
        for key, text in texts.items():
            session.add(WorkFigure(build_id=build_id, key=key, text=text))
        told = "; ".join(_told(key, texts.get(key, "")) for key in changed)
        write_line(session, actor, "cuts", f"Changed cuts and allowances: {told}.", build_id=build_id)
        remember_answer(session, sent, form)


def _told(key: str, text: str) -> str:
    one = BY_KEY[key]
    name = one.name[:1].lower() + one.name[1:]
    return f"{name} {f'now {dict(one.options).get(text, text)}' if text else 'as usual again'}"
