"""The cure clock of a bond: when it may be handled, when it may be loaded, and what is held until then.

There is no clock in here: the time now is always handed in. Times are aware.
"""

import math
import tomllib
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from domain.lengths import Unit
from domain.lengths.loads import show_torque

_LONGEST_HOURS = 24.0 * 90  # no compound cures for a quarter of a year: a longer time is a slip


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(files("domain").joinpath("tables", "cure.toml").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class CureTimes:
    """How long the compound takes: minutes until it may be handled, hours until it may be loaded, and at how many C."""

    handling_minutes: float = _table()["handling_minutes"]
    full_cure_hours: float = _table()["full_cure_hours"]
    nominal_c: float = _table()["nominal_c"]
    source: str = _table()["source"]


class Needs(StrEnum):
    """What the next operation asks of the bond."""

    HANDLING = "handling"
    LOADING = "loading"


@dataclass(frozen=True)
class CureClock:
    """When a bond was made, from when it may be handled, and from when it may be loaded."""

    bonded_at: datetime
    handle_after: datetime
    load_after: datetime


@dataclass(frozen=True)
class CureHold:
    """Whether the next operation is held, until when (None when it may begin), and that in words."""

    held: bool
    until: datetime | None
    words: str


def cure_clock(bonded_at: datetime, times: CureTimes | None = None) -> CureClock:
    """When a bond may be handled and when it may be loaded.

    Formula: handle after = bonded at + handling minutes; load after = bonded at + full cure hours
    bonded_at: when the bond was made, an aware time.
    times: the compound's own, above zero; the placeholders of tables/cure.toml when None.
    Returns: the clock, in the time zone of bonded_at.
    Raises: ValueError on a time without zone, or cure times out of order or out of reason.
    Source: the compound's data sheet; the default is from memory, verify.

    >>> from datetime import UTC, datetime
    >>> clock = cure_clock(datetime(2024, 5, 3, 21, 0, tzinfo=UTC), CureTimes(40, 24))
    >>> clock.handle_after.isoformat(), clock.load_after.isoformat()
    ('2024-05-03T21:40:00+00:00', '2024-05-04T21:00:00+00:00')
    """
    times = CureTimes() if times is None else times
    _check_aware("bond's time", bonded_at)
    for name, hours, example in (
        ("handling time", times.handling_minutes / 60, "60 minutes"),
        ("full cure", times.full_cure_hours, "24 hours"),
    ):
        if not (math.isfinite(hours) and 0 < hours <= _LONGEST_HOURS):
            raise ValueError(f"The {name} must be above zero and within 90 days, such as {example}.")
    if times.full_cure_hours * 60 < times.handling_minutes:
        raise ValueError("Full cure must not come before handling, such as 60 minutes and 24 hours.")
    handle = _later(bonded_at, timedelta(minutes=times.handling_minutes))
    return CureClock(bonded_at, handle, _later(bonded_at, timedelta(hours=times.full_cure_hours)))


def held_until(
    now: datetime,
    clock: CureClock,
    needs: Needs = Needs.LOADING,
    work: str = "turn the tread",
    zone: tzinfo | None = None,
) -> CureHold:
    """Whether an operation must wait for the bond, and until when, in words for the bench.

    Formula: held while now < handle after (handling) or now < load after (loading)
    now: the time now, aware; there is no clock in here.
    clock: the bond's cure clock.
    needs: what the operation asks of the bond.
    work: the operation after "do not", such as "turn the tread".
    zone: the time zone the words are written in; that of now when None.
    Returns: the hold; its words round up to the next whole minute, so that nobody is a minute early.
    Raises: ValueError on a time without zone.
    Source: the compound's data sheet.

    >>> from datetime import UTC, datetime
    >>> clock = cure_clock(datetime(2024, 5, 3, 21, 0, tzinfo=UTC), CureTimes(40, 24))
    >>> held_until(datetime(2024, 5, 3, 21, 10, tzinfo=UTC), clock, Needs.HANDLING, "lift the wheel set").words
    'The bond is curing: do not lift the wheel set before 21:40.'
    >>> held_until(datetime(2024, 5, 3, 21, 50, tzinfo=UTC), clock).words
    'The bond may be handled, but it is not fully cured: do not turn the tread before 4 May, 21:00.'
    """
    _check_aware("time now", now)
    until = clock.load_after if needs is Needs.LOADING else clock.handle_after
    if _reached(now, until):
        done = "fully cured" if _reached(now, clock.load_after) else "fit to be handled"
        return CureHold(False, None, f"The bond is {done}: you may {work}.")
    when = _when(until, now, zone or now.tzinfo)
    return CureHold(True, until, f"{_state(now, clock)}: do not {work} before {when}.")


def _state(now: datetime, clock: CureClock) -> str:
    if not _reached(now, clock.bonded_at):
        return "The bond's time is later than now (check it)"
    if _reached(now, clock.handle_after):
        return "The bond may be handled, but it is not fully cured"
    return "The bond is curing"


@dataclass(frozen=True)
class CutHold:
    """Whether a joint takes a cut's torque at this hour.

    asked_nm: what it must hold for the cut, its reserve included, N m. holds_nm: what it holds now; full_nm: once it is
    fully cured, or at once where nothing cures. until: when it takes the cut; None where it does now or never will.
    """

    asked_nm: float
    holds_nm: float
    full_nm: float
    until: datetime | None

    @property
    def takes(self) -> bool:
        """Whether it takes the cut now."""
        return self.holds_nm >= self.asked_nm

    @property
    def never(self) -> bool:
        """Whether it will not take the cut however long one waits."""
        return self.full_nm < self.asked_nm


def cut_hold(
    cut_nm: float, full_nm: float, now: datetime, clock: CureClock | None = None, reserve: float | None = None
) -> CutHold:
    """Compare the torque of a cut with what the joint holds at this hour.

    Formula: held now = share x full; share 0 before handling, 1/2 from there, 1 from full cure; it takes the cut where
    held now >= reserve x cut.
    cut_nm: torque of the cut, N m, 0 or more. full_nm: what the joint holds fully cured, N m, 0 or more.
    clock: the bond's; None where nothing cures. reserve: 1 or more; the table's 2 when None.
    Raises: ValueError on a figure out of its limits, or a time without zone.
    Source: shares and reserve from tables/cure.toml, placeholders and common practice.

    >>> from datetime import UTC, datetime
    >>> clock = cure_clock(datetime(2024, 5, 3, 21, 0, tzinfo=UTC), CureTimes(40, 24))
    >>> found = cut_hold(27.9, 90.0, datetime(2024, 5, 3, 22, 0, tzinfo=UTC), clock)
    >>> found.takes, found.holds_nm, found.until.isoformat()
    (False, 45.0, '2024-05-04T21:00:00+00:00')
    >>> cut_hold(3.0, 90.0, datetime(2024, 5, 3, 22, 0, tzinfo=UTC), clock).takes
    True
    """
    _check_aware("time now", now)
    rule = _table()["cut"]
    reserve = rule["reserve"] if reserve is None else reserve
    if not (math.isfinite(cut_nm) and cut_nm >= 0 and math.isfinite(full_nm) and full_nm >= 0):
        raise ValueError("The torques of the cut and of the joint must be nothing or more.")
    if not (math.isfinite(reserve) and reserve >= 1):
        raise ValueError("The reserve over the cut must be 1 or more, such as 2.")
    asked = reserve * cut_nm
    if clock is None:
        return CutHold(asked, full_nm, full_nm, None)
    half = rule["share_from_handling"] * full_nm
    handled, cured = _reached(now, clock.handle_after), _reached(now, clock.load_after)
    holds = full_nm if cured else half if handled else 0.0
    until = None
    if holds < asked <= full_nm:
        until = clock.load_after if handled or half < asked else clock.handle_after
    return CutHold(asked, holds, full_nm, until)


def cut_hold_words(
    found: CutHold, now: datetime, unit: Unit, zone: tzinfo | None = None, *, on_stub: bool = False
) -> str:
    """From when a joint takes a cut, and why not yet; empty where it takes it.

    zone: the time zone the words are written in; that of now when None. on_stub: whether the joint is a stub's bond.
    """
    if found.takes:
        return ""
    asked, where = show_torque(found.asked_nm, unit), "stub" if on_stub else "joint"
    asks = f"the cut asks {asked} of the {where}, its reserve included,"
    if found.until is not None:
        wait = f"Wait until {_when(found.until, now, zone or now.tzinfo)}, or take a lighter cut"
        return f"{wait}: {asks} and it holds {show_torque(found.holds_nm, unit)} at this hour."
    other = "hold the wheel another way" if on_stub else "turn the tread before the wheel goes on"
    most = f"and it never holds more than {show_torque(found.full_nm, unit)}."
    return f"Take a lighter cut, or {other}: {asks} {most}"


# Kept with the tick that it was said at, and found there again: never worded otherwise.
UNTIMED_BOND = "Set the clock of this machine first: it cannot be trusted, and this bond's cure would be counted from it."
UNTOLD = "Cannot tell whether the bond is cured: this machine's clock cannot be trusted. Set the clock of this machine."


def untimed_words(hours: float) -> str:
    """What is said of a bond whose time of bonding was taken from a clock that could not be trusted.

    >>> untimed_words(24)[-52:]
    'Count 24 hours to full cure from when it was bonded.'
    """
    return (
        "Cannot tell whether the bond is cured: it was ticked by a clock that could not be trusted."
        f" Count {hours:g} hours to full cure from when it was bonded."
    )


def cold_words(shop_c: float, times: CureTimes | None = None) -> str | None:
    """A caution where the shop is colder than the compound's cure times are given for.

    No formula is offered: how much slower is for the data sheet to say.
    shop_c: the shop's temperature, degrees C.
    Returns: one or two sentences; None where the shop is warm enough.
    Raises: ValueError when the temperature is not a number.
    Source: the compound's data sheet.

    >>> cold_words(12).partition(":")[0]
    'The shop at 12 C is colder than the 22 C that the cure times are given for'
    """
    times = CureTimes() if times is None else times
    if not math.isfinite(shop_c):
        raise ValueError("The shop's temperature must be a number in degrees C, such as 18.")
    if shop_c >= times.nominal_c:
        return None
    return (
        f"The shop at {shop_c:g} C is colder than the {times.nominal_c:g} C that the cure times are given for:"
        " it takes longer. See the compound's data sheet."
    )


def _check_aware(name: str, when: datetime) -> None:
    if when.utcoffset() is None:
        raise ValueError(f"The {name} must carry its time zone, such as 2024-05-03 21:00+00:00.")


# Sums and comparisons go through UTC: within one time zone Python counts by the clock on the wall, which gains or
# loses an hour when summer time changes.
def _later(when: datetime, span: timedelta) -> datetime:
    return (when.astimezone(UTC) + span).astimezone(when.tzinfo)


def _reached(now: datetime, when: datetime) -> bool:
    return now.astimezone(UTC) >= when.astimezone(UTC)


def _when(until: datetime, now: datetime, zone: tzinfo | None) -> str:
    rounded = until.astimezone(UTC)
    if rounded.second or rounded.microsecond:
        rounded = rounded.replace(second=0, microsecond=0) + timedelta(minutes=1)
    local = rounded.astimezone(zone)
    if local.date() == now.astimezone(zone).date():
        return f"{local:%H:%M}"
    return f"{local.day} {local:%B}, {local:%H:%M}"
