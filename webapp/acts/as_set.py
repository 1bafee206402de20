"""Keeping what was set for an operation with its casting, from whichever sheet it is said."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from domain.repeating.settings import Setting, Task
from domain.repeating.words import set_words
from webapp.facts.as_set import as_on
from webapp.models import SettingRow
from webapp.records.change import CastingChange, change_casting
from webapp.records.journal import now
from webapp.records.outcome import OutOfDate
from webapp.typed.as_set import SetTo


@change_casting("what was set")
def keep_settings(it: CastingChange, task: Task, said: Mapping[Setting, SetTo]) -> None:
    """Keep what was set for an operation; what is said as it stands already is not kept again."""
    if _keep(it, task, said):
        own = it.casting.settings.get(task.key, {})
        texts = {Setting(key): one.text for key, one in own.items()}
        words = set_words(texts | {one: to.text for one, to in said.items()})
        it.tell("set", f"Set on {it.casting.mark} to {task.words}: {words or 'nothing is said any more'}.")


@change_casting("set the same")
def set_same(it: CastingChange, tasks: Sequence[Task], asked: str, before: Collection[int] = ()) -> None:
    """Take over what was set on the last wheel, as the page showed it; `before` as in `as_on`."""
    last = as_on(it.build, it.casting, tasks, before)
    if last is None or last.asked != asked:
        raise OutOfDate("", "", None)
    theirs = last.casting.settings
    kept = [
        _keep(
            it,
            line.task,
            {
                Setting(key): SetTo(one.text, one.value)
                for key, one in theirs[line.task.key].items()
                if one.text
            },
        )
        for line in last.lines
    ]
    if any(kept):
        it.tell("set", f"Set on {it.casting.mark} as on {last.casting.mark}: {last.words}.")


def _keep(it: CastingChange, task: Task, said: Mapping[Setting, SetTo]) -> bool:
    """Whether anything of it was new."""
    own = it.casting.settings.get(task.key, {})
    before = {one: own[one].text if one in own else "" for one in said}
    new = {one: said[one] for one in Setting if one in said and said[one].text != before[one]}
    it.session.add_all(
        SettingRow(
            casting_id=it.casting.id,
            operation=task.key,
            key=one.value,
            text=to.text,
            value=to.value,
            unit=None if to.value is None else one.unit,
            who=it.actor.who,
            at=now(),
        )
        for one, to in new.items()
    )
    return bool(new)
