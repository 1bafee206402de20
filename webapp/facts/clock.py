"""The machine's clock: what the system knows of it, and whether what hangs on it can be told."""

from __future__ import annotations

import ctypes
import sys
import time
from datetime import datetime
from functools import cache
from pathlib import Path

from domain.clock import ClockDoubt, clock_doubt
from webapp.records.views import BuildView

_CLOCKS = Path("/sys/class/rtc")
# adjtimex(2): a buffer of zeros asks and changes nothing, and it answers this of a clock that nothing sets.
_LONGER_THAN_TIMEX = 512
_TIME_ERROR = 5
# What somebody sets by hand is a step of the clock against the one that only counts on.
_STEP_S = 60.0
_AHEAD_AT_START = time.time() - time.monotonic()


def kept_by_system() -> bool | None:
    """True where the network sets the clock, False where nothing did since the machine was off, else None."""
    if sys.platform != "linux":
        return None
    try:
        state = _system().adjtimex(ctypes.create_string_buffer(_LONGER_THAN_TIMEX))
    except (OSError, AttributeError):
        return None
    if state < 0:
        return None  # not for us to ask
    if state != _TIME_ERROR:
        return True
    by_hand = abs(time.time() - time.monotonic() - _AHEAD_AT_START) > _STEP_S
    return None if by_hand or _ran_on() is not False else False


@cache
def _system() -> ctypes.CDLL:
    """Opened once: that takes longer than asking."""
    return ctypes.CDLL(None)


def _ran_on() -> bool | None:
    """Whether the system took its time from a clock that runs while the machine is off; None where it does not say."""
    try:
        return any((one / "hctosys").read_text().strip() == "1" for one in _CLOCKS.iterdir())
    except OSError:
        return None


def doubt_at(now: datetime, newest: datetime | None) -> ClockDoubt | None:
    """What speaks against the machine's clock at this hour of its own."""
    return clock_doubt(now, newest, kept_by_system())


def clock_doubted(build: BuildView, now: datetime) -> bool:
    """Whether the clock cannot be trusted with what a build's bonds wait for."""
    return doubt_at(now, build.newest) is not None
