"""What a wheel was set by for each operation, what came of it, and which wheel was set last."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from domain.lengths import last_figure_nm
from domain.repeating.settings import TASKS, Setting, Task, alike, comes_of
from domain.repeating.words import came_words, each_words, edge_words, set_words, unlike_dials_words
from webapp.facts.hand import Piece, pieces_on
from webapp.records.as_set import SettingView
from webapp.records.views import BuildView, CastingView
from webapp.typed.ticks import mark_of


@dataclass(frozen=True, slots=True)
class AsSet:
    """What stands as set for one operation on a wheel, and what came of it, where that is known."""

    task: Task
    words: str
    came: str
    who: str
    at: datetime


@dataclass(frozen=True, slots=True)
class AsOn:
    """The wheel that was set last for some operations: how, what came of it, and whether this wheel is set the same."""

    casting: CastingView
    lines: tuple[AsSet, ...]
    same: bool

    @property
    def words(self) -> str:
        """How it was set, in one line."""
        return each_words([(one.task.brief, one.words) for one in self.lines])

    @property
    def came(self) -> tuple[str, ...]:
        """What came of it."""
        return tuple(one.came for one in self.lines if one.came)

    @property
    def asked(self) -> str:
        """What a button sends, so that it is a yes to just these settings."""
        return mark_of(f"{self.casting.id} {self.words}")


@dataclass(frozen=True, slots=True)
class SetBox:
    """What a sheet shows of one operation: what stands, the wheel before, and what the sheet has worked out to be set.

    `place` says from which sheet it is kept; `keep_words` is empty where all that was worked out stands already.
    """

    casting: CastingView
    task: Task
    now: AsSet | None
    as_on: AsOn | None
    proposed: Mapping[str, str]
    keep_words: str
    place: str


def as_set(build: BuildView, casting: CastingView, task: Task) -> AsSet | None:
    """What stands as set for one operation; None where nothing is said."""
    said = _said(casting, task)
    if not said:
        return None
    last, texts = max(said.values(), key=lambda one: one.at), _texts(said)
    return AsSet(task, set_words(texts), _came(build, casting, task, texts), last.who, last.at)


def all_as_set(
    build: BuildView, casting: CastingView, tasks: Iterable[Task] = TASKS.values()
) -> tuple[AsSet, ...]:
    """What stands of each operation that something was set for."""
    return tuple(line for one in tasks if (line := as_set(build, casting, one)) is not None)


def _said(casting: CastingView, task: Task) -> dict[Setting, SettingView]:
    return {Setting(key): one for key, one in casting.settings.get(task.key, {}).items() if one.text}


def _texts(said: Mapping[Setting, SettingView]) -> dict[Setting, str]:
    return {key: one.text for key, one in said.items()}


def _came(build: BuildView, casting: CastingView, task: Task, texts: Mapping[Setting, str]) -> str:
    """What was measured after against what was aimed at."""
    piece = next((one for one in pieces_on(build, casting) if _made_by(one, task)), None)
    return "" if piece is None else came_words(casting.mark, piece.off_nm, piece.good, texts, build.unit)


def _made_by(piece: Piece, task: Task) -> bool:
    """Whether it came of what is set for an operation; one from before it was set otherwise did not."""
    settings = piece.casting.settings
    there_are = {one.key for one in TASKS.values() if _said(piece.casting, one)}
    if task.key not in there_are or piece.craft not in comes_of(task.key, there_are):
        return False
    return not any(one.changed and one.at > piece.size.at for one in settings[task.key].values())


def made_with(piece: Piece) -> str:
    """The edge that it was made with, and its speed; empty where they are not known."""
    said = (_texts(_said(piece.casting, one)) for one in TASKS.values() if _made_by(piece, one))
    return next(filter(None, map(edge_words, said)), "")


def as_on(
    build: BuildView, casting: CastingView, tasks: Sequence[Task], before: Collection[int] = ()
) -> AsOn | None:
    """The wheel of its pattern that was set last for any of these; those in `before` come before any other.

    One that was scrapped is no example.
    """
    others = [one for one in build.of(casting).castings if one.id != casting.id and one.state != "scrapped"]
    when = {one.id: at for one in others if (at := _last_at(one, tasks)) is not None}
    there = [one for one in others if one.id in when]
    if not there:
        return None
    last = max(there, key=lambda one: (one.id in before, when[one.id], one.id))
    lines = all_as_set(build, last, tasks)
    same = all(
        _texts(_said(casting, one.task)).items() >= _texts(_said(last, one.task)).items() for one in lines
    )
    return AsOn(last, lines, same)


def _last_at(casting: CastingView, tasks: Iterable[Task]) -> datetime | None:
    return max((said.at for one in tasks for said in _said(casting, one).values()), default=None)


def set_box(
    build: BuildView, casting: CastingView, key: str, place: str, proposed: Mapping[Setting, str]
) -> SetBox:
    """What a sheet shows of an operation, with what it has worked out; nothing is kept with one that is scrapped."""
    task = TASKS[key]
    own = _texts(_said(casting, task))
    stands = casting.state == "scrapped" or all(own.get(one) == text for one, text in proposed.items())
    return SetBox(
        casting,
        task,
        as_set(build, casting, task),
        None if casting.state == "scrapped" else as_on(build, casting, (task,)),
        {one.value: text for one, text in proposed.items()},
        "" if stands else set_words(proposed),
        place,
    )


def unlike_dials(build: BuildView, castings: Iterable[CastingView]) -> str:
    """That treads finished in one set-up have unlike dial readings; empty where those said are alike."""
    said = [
        (one.mark, dial)
        for one in castings
        if (dial := _said(one, TASKS["finish_tread"]).get(Setting.DIAL)) is not None
    ]
    figures = [dial.value for _, dial in said if dial.value is not None]
    step = last_figure_nm(build.unit)
    if all(alike(one, figures[0], step) for one in figures):
        return ""
    return unlike_dials_words([(mark, dial.text) for mark, dial in said])
