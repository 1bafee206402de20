"""Everything measured of a casting or an axle, line by line, whatever became of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from domain.lengths import show
from domain.measuring.plug_gauge import Interval
from webapp.facts.measured_names import measured_name
from webapp.records.heights import PIN_HEIGHTS
from webapp.records.measured import Stored
from webapp.records.views import BuildView, Stamp


@dataclass(frozen=True, slots=True)
class EveryLine:
    """One measurement: what it is of, as typed, what it came to, by whom and when, and whether it counts.

    struck_why: why it was struck out, and by whom; empty where it was not.
    """

    id: int
    name: str
    typed: str
    size: str
    who: str
    at: datetime
    superseded: bool
    struck_why: str
    struck: Stamp | None

    @property
    def state(self) -> str:
        """What became of it."""
        if self.struck_why:
            return "struck out"
        return "corrected since" if self.superseded else "stands"


def line_of(build: BuildView, one: Stored) -> EveryLine:
    """A measurement as its sheet shows it."""
    row = one.row
    struck = Stamp(row.struck_out_by, row.struck_out_at) if row.struck_out_why else None
    return EveryLine(
        row.id,
        measured_name(row.kind, row.side, rough=row.receipt_id is not None),
        _typed(one),
        _size(build, one),
        row.who,
        row.at,
        row.superseded,
        row.struck_out_why or "",
        struck,
    )


def _typed(one: Stored) -> str:
    if one.row.kind != PIN_HEIGHTS:
        return one.text or "by plugs"
    return "; ".join(f"{read.place.replace('_', ' ')} {read.text}" for read in one.readings)


def _size(build: BuildView, one: Stored) -> str:
    row = one.row
    if row.unit != "nm" or row.kind == PIN_HEIGHTS:
        return ""
    if row.value is None:
        return Interval(row.low, row.high).words(build.unit)
    return show(row.value, build.unit)
