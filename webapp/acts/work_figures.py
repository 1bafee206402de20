"""Storing the figures of how a build is machined."""

from __future__ import annotations

from sqlmodel import col, delete

from webapp.models import WorkFigure
from webapp.records.change import Change, change_build
from webapp.typed.work_fields import BY_KEY


@change_build("work figures")
def save_work_figures(it: Change, texts: dict[str, str]) -> None:
    """Store the figures as typed."""
    own, before = it.build.id, it.build.work_texts
    changed = [key for key in BY_KEY if before.get(key, "") != texts.get(key, "")]
    if not changed:
        return
    it.session.exec(delete(WorkFigure).where(col(WorkFigure.build_id) == own))
    for key, text in texts.items():
        it.session.add(WorkFigure(build_id=own, key=key, text=text))
    told = "; ".join(_told(key, texts.get(key, "")) for key in changed)
    it.tell("cuts", f"Changed cuts and allowances: {told}.")


@change_build("work figure {}")
def save_work_figure(it: Change, key: str, text: str) -> None:
    """Store one figure where it is chosen on the sheet that goes by it."""
    if it.build.work_texts.get(key, "") == text:
        return
    own = it.build.id
    it.session.exec(delete(WorkFigure).where(col(WorkFigure.build_id) == own, col(WorkFigure.key) == key))
    it.session.add(WorkFigure(build_id=own, key=key, text=text))
    it.tell("cuts", f"Changed cuts and allowances: {_told(key, text)}.")


def _told(key: str, text: str) -> str:
    one = BY_KEY[key]
    name = one.name[:1].lower() + one.name[1:]
    return f"{name} {f'now {dict(one.options).get(text, text)}' if text else 'as usual again'}"
