"""The diary by day, and what it can be asked for of a build."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby

from webapp.records.diary import DiaryEntry
from webapp.records.views import BuildView


@dataclass(frozen=True, slots=True)
class DiaryDay:
    """A day on this machine's clock, and what was done on it, the latest first."""

    at: datetime
    entries: tuple[DiaryEntry, ...]


def by_day(entries: Iterable[DiaryEntry]) -> tuple[DiaryDay, ...]:
    """The entries by day; what was written by a clock that was wrong stays in its place, under its own day."""
    days = ((day, tuple(found)) for day, found in groupby(entries, _day))
    return tuple(DiaryDay(found[0].at, found) for _, found in days)


def _day(entry: DiaryEntry) -> date:
    return entry.at.astimezone().date()


def devices_told(entries: Sequence[DiaryEntry], names: Mapping[str, str]) -> dict[str, str]:
    """The names of the devices whose initials another device has used too; one that was never let in is this machine."""
    used = {(entry.who, entry.device) for entry in entries}
    alike = Counter(who for who, _ in used)
    return {device: names.get(device, "this machine") for who, device in used if alike[who] > 1}


def choices(build: BuildView) -> tuple[tuple[str, str], ...]:
    """What of a build its diary can be of, as the form sends it and in words."""
    whole = build.whole
    return (
        (f"build-{build.id}", "The whole build"),
        *((f"axle-{axle.id}", f"Axle {axle.number} and its wheels") for axle in whole.axles),
        *((f"casting-{casting.id}", casting.mark) for casting in whole.castings),
    )
