"""The open time of a retaining compound: how long a wheel may still be turned once the compound is on.

There is no clock in here: the time now is always handed in. Times are aware.
"""

import math
import tomllib
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from importlib.resources import files
from typing import Any

from domain.errors import TradeError

# A time of day is taken for yesterday's only where it is no longer ago than this.
_AGO = timedelta(hours=12)
_MOST_MINUTES = 60.0 * 24


class OpenTimeError(TradeError):
    """A time at which the compound cannot have gone on; `field` is that of the time."""


@cache
def open_table() -> dict[str, Any]:
    """The open time in minutes and its source, until the compound's data sheet is typed."""
    found: dict[str, Any] = tomllib.loads(
        files("domain").joinpath("tables", "cure.toml").read_text(encoding="utf-8")
    )["open"]
    return found


@dataclass(frozen=True)
class OpenTime:
    """When the compound went on, and until when the wheel may be turned."""

    on_at: datetime
    until: datetime

    def left_s(self, now: datetime) -> int:
        """Whole seconds left, rounded down; 0 once it is over."""
        return max(0, math.floor((self.until - now).total_seconds()))

    def over(self, now: datetime) -> bool:
        """Whether it is over."""
        return now >= self.until

    def told(self, now: datetime) -> bool:
        """Whether anything can be told: not by a clock that stands before the compound went on."""
        return now >= self.on_at


def open_time(on_at: datetime, minutes: float) -> OpenTime:
    """Until when a wheel may be turned on its compound.

    Formula: until = on at + open minutes.
    Raises: ValueError for a time without zone, or minutes not above zero and within a day.
    Source: the compound's data sheet; the default is a placeholder until that is typed.

    >>> from datetime import UTC
    >>> open_time(datetime(2024, 5, 3, 21, 0, tzinfo=UTC), 5).until.isoformat()
    '2024-05-03T21:05:00+00:00'
    """
    if on_at.utcoffset() is None:
        raise ValueError("The time must carry its time zone, such as 2024-05-03 21:00+00:00.")
    if not (math.isfinite(minutes) and 0 < minutes <= _MOST_MINUTES):
        raise ValueError("The open time must be above zero and within a day, such as 5 minutes.")
    return OpenTime(on_at, on_at + timedelta(minutes=minutes))


def went_on(hour: int, minute: int, now: datetime) -> datetime:
    """The moment that a time of day names of a compound that is on already: today's, or yesterday evening's.

    Parameters: `hour`, `minute`, as the clock on the wall; `now`, in the zone of that clock.
    Raises: OpenTimeError for a time that is still to come.

    >>> from datetime import UTC
    >>> went_on(23, 58, datetime(2024, 5, 4, 0, 3, tzinfo=UTC)).isoformat()
    '2024-05-03T23:58:00+00:00'
    """
    at = now.replace(hour=hour, minute=minute, second=0, microsecond=0)
    if at > now:
        at -= timedelta(days=1)
    if now - at > _AGO:
        raise OpenTimeError(
            f"{hour:02}:{minute:02} is still to come, for it is {now:%H:%M} now: type when the compound went on.",
            field="on_at",
        )
    return at


def open_words(found: OpenTime, now: datetime) -> str:
    """What the open time says, in a sentence; the clock is that of `now`.

    >>> from datetime import UTC
    >>> clock = open_time(datetime(2024, 5, 3, 21, 0, tzinfo=UTC), 5)
    >>> open_words(clock, datetime(2024, 5, 3, 21, 2, tzinfo=UTC))
    'The wheel may be turned until 21:05:00.'
    >>> open_words(clock, datetime(2024, 5, 4, 21, 7, tzinfo=UTC))
    'The open time is over since 3 May, 21:05:00: turn nothing any more.'
    """
    if not found.told(now):
        return (
            f"Cannot tell: by this machine's clock the compound went on at {_at(found.on_at, now)}, which is still to"
            " come. Set the clock of this machine."
        )
    if found.over(now):
        return f"The open time is over since {_at(found.until, now)}: turn nothing any more."
    return f"The wheel may be turned until {_at(found.until, now)}."


def _at(when: datetime, now: datetime) -> str:
    local = when.astimezone(now.tzinfo)
    day = "" if local.date() == now.date() else f"{local.day} {local:%B}, "
    return f"{day}{local:%H:%M:%S}"
