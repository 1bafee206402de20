"""Storing the figures that a build's joints are judged by."""

from __future__ import annotations

from collections.abc import Mapping

from sqlmodel import Session, col, delete

from webapp.facts.joints import no_longer_hold
from webapp.models import JointFigure
from webapp.records.change import Change, change_build
from webapp.typed.joint_fields import BY_KEY
from webapp.typed.joint_figures import with_one_reserve


@change_build("joints")
def save_figures(it: Change, texts: dict[str, str]) -> None:
    """Store the figures as typed; the journal says which wheels no longer hold by them."""
    changed = _changed(with_one_reserve(it.build.joint_texts), texts)
    if not changed:
        return
    failing = no_longer_hold(it.build, texts)
    _store(it.session, it.build.id, texts)
    words = f"Changed what the joints are judged by: {'; '.join(changed)}."
    if failing:
        words += (
            f" By these figures {' and '.join(failing)} no longer hold{'s' if len(failing) == 1 else ''}."
        )
    it.tell("joints", words)


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
