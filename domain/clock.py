"""Whether the machine's clock can be trusted. There is no clock in here: the time now is always handed in."""

from datetime import datetime, timedelta
from enum import StrEnum

# Two machines' clocks, or a clock that is set right by the network, may well differ by so much.
_TOLERANCE = timedelta(minutes=5)


class ClockDoubt(StrEnum):
    """Why the clock cannot be trusted."""

    BEHIND = "behind"
    NOT_SET = "not set"


def clock_doubt(now: datetime, newest: datetime | None, kept: bool | None) -> ClockDoubt | None:
    """What speaks against the machine's clock; None where nothing is known against it.

    newest: the latest time that was written down before. kept: what the system knows: True where it is set by the
    network, False where it is not and no clock ran on while the machine was off, None where it does not say.
    A clock that the network sets is believed over any row. One that jumped forward is known by nothing but False.

    >>> from datetime import UTC
    >>> evening = datetime(2026, 11, 28, 21, 0, tzinfo=UTC)
    >>> clock_doubt(datetime(2026, 11, 20, tzinfo=UTC), evening, None)
    <ClockDoubt.BEHIND: 'behind'>
    >>> clock_doubt(datetime(2026, 11, 29, tzinfo=UTC), evening, None) is None
    True
    """
    if kept:
        return None
    if newest is not None and now < newest - _TOLERANCE:
        return ClockDoubt.BEHIND
    return ClockDoubt.NOT_SET if kept is False else None
