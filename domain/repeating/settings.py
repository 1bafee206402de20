"""What is set for each operation on a wheel, and which operations a set-up of the shop has."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import StrEnum

from domain.cutting.operations import Operation, every_operation
from domain.cutting.speeds import CutKind
from domain.hand.words import Craft
from domain.route.set_ups import SetUp
from domain.route.stages import CRANKPIN_HOLE


class Setting(StrEnum):
    """One thing that is set, in the order it is said in. Keys are stored: one that was used is never given another name."""

    SPINDLE = "spindle"
    FEED = "feed"
    RHYTHM = "rhythm"
    TOOL = "tool"
    REAMER = "reamer"
    JAWS = "jaws"
    DIAL = "dial"
    JIG = "jig"

    @property
    def words(self) -> str:
        """What it is called."""
        return _SETTINGS[self][0]

    @property
    def unit(self) -> str:
        """What its value is stored in; empty for what is said in words."""
        return _SETTINGS[self][1]


LENGTH, A_MINUTE = "nm", "milli_per_min"
_SETTINGS = {
    Setting.SPINDLE: ("Spindle speed", A_MINUTE),
    Setting.FEED: ("Feed", LENGTH),
    Setting.RHYTHM: ("Stroke rhythm", A_MINUTE),
    Setting.TOOL: ("Tool", ""),
    Setting.REAMER: ("Reamer", ""),
    Setting.JAWS: ("Jaws", ""),
    Setting.DIAL: ("Dial reading at size", LENGTH),
    Setting.JIG: ("Drilling jig", ""),
}
_EDGE = (Setting.SPINDLE, Setting.FEED, Setting.TOOL, Setting.DIAL)
_BY_KIND: Mapping[CutKind, tuple[Setting, ...]] = {
    CutKind.FORM: (Setting.SPINDLE, Setting.TOOL, Setting.DIAL),
    CutKind.DRILL: (Setting.SPINDLE, Setting.FEED, Setting.TOOL),
    CutKind.REAM: (Setting.SPINDLE, Setting.FEED, Setting.REAMER),
    CutKind.HAND: (Setting.RHYTHM, Setting.FEED, Setting.TOOL, Setting.DIAL),
}


_BRIEF = {
    "face_back": "face",
    "face_front_rim": "rim",
    "face_front_boss": "boss",
    "crank_boss": "crank boss",
    "drill_bore": "drill",
    "ream_bore": "ream",
    "bore_bore": "bore",
    "rough_tread": "rough",
    "finish_tread": "finish",
    "form_root": "root",
    "drill_crankpin": "drill",
    "ream_crankpin": "ream",
}


@dataclass(frozen=True)
class Task:
    """One operation that something is set for: its key, its words, what is set, and its name in a line of several.

    Holding has no such name, for its jaws say it.
    """

    key: str
    words: str
    settings: tuple[Setting, ...]
    coupled_only: bool = False
    brief: str = ""


_HOLDING = {
    SetUp.BACK_OUT: Task("hold_back", "hold it, back outward", (Setting.JAWS,)),
    SetUp.FRONT_OUT: Task("hold_front", "hold it, front outward", (Setting.JAWS,)),
}


def _task(one: Operation) -> Task:
    settings = _BY_KIND.get(one.kind, _EDGE)
    # The drill goes through the jig's bush; the reamer after it follows the hole.
    guided = (Setting.JIG,) if one.done_by == CRANKPIN_HOLE and one.kind is CutKind.DRILL else ()
    return Task(one.key, one.words, (*settings, *guided), one.coupled_only, _BRIEF[one.key])


_CUTS = {one.key: _task(one) for one in every_operation()}
# Holding it comes before the cuts of its set-up.
TASKS: Mapping[str, Task] = {one.key: one for one in (*_HOLDING.values(), *_CUTS.values())}


def tasks_in(set_up: SetUp, *, coupled: bool = True) -> tuple[Task, ...]:
    """What is set for in a set-up of the shop, in order; nothing away from the machines.

    >>> [one.key for one in tasks_in(SetUp.MANDREL)]
    ['rough_tread', 'finish_tread', 'form_root']
    >>> tasks_in(SetUp.PAINTING)
    ()
    """
    stages = {work.stage for work in set_up.works}
    jig = set_up is SetUp.CRANKPIN_JIG
    cuts = [
        _CUTS[one.key]
        for one in every_operation()
        if (one.done_by == CRANKPIN_HOLE) == jig and (jig or one.stage in stages)
    ]
    held = [_HOLDING[set_up]] if set_up in _HOLDING else []
    return tuple(one for one in (*held, *cuts) if coupled or not one.coupled_only)


def comes_of(key: str, there_are: Collection[str]) -> tuple[Craft, ...]:
    """What a finishing operation leaves to be measured against an aim; `there_are` has the operations set on the wheel.

    A bore logged without its reamer came of the bar where one was set, else of the reamer.

    >>> comes_of("ream_bore", {"ream_bore", "bore_bore"}), comes_of("drill_bore", ())
    ((<Craft.REAMED: ('Reamed bores', 'reamed bore', False)>,), ())
    """
    if key == "ream_bore":
        return (Craft.REAMED,) if "bore_bore" in there_are else (Craft.REAMED, Craft.BORE)
    return {"bore_bore": (Craft.BORE,), "finish_tread": (Craft.TREAD,)}.get(key, ())


def alike(one_nm: int, other_nm: int, step_nm: int) -> bool:
    """Whether two dial readings are the same as far as they are shown.

    >>> alike(10_795_000, 10_795_100, 1_000), alike(10_795_000, 10_800_000, 1_000)
    (True, False)
    """
    return abs(one_nm - other_nm) < step_nm
