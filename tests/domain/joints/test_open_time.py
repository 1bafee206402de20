"""The open time of a compound: counted from when it went on, over to the second, and never from a time to come."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.joints.open_time import OpenTimeError, open_time, open_words, went_on

ON = datetime(2026, 11, 28, 20, 14, 0, tzinfo=UTC)


def test_it_counts_down_to_the_second_and_is_then_over() -> None:
    clock = open_time(ON, 5)
    at = [(ON + timedelta(seconds=s)) for s in (0, 1.5, 299, 299.9, 300, 4000)]
    assert [clock.left_s(one) for one in at] == [300, 298, 1, 0, 0, 0]
    assert [clock.over(one) for one in at] == [False] * 4 + [True] * 2


def test_what_it_says() -> None:
    clock = open_time(ON, 5)
    assert open_words(clock, ON) == "The wheel may be turned until 20:19:00."
    assert open_words(clock, ON + timedelta(minutes=5)) == (
        "The open time is over since 20:19:00: turn nothing any more."
    )
    there = timezone(timedelta(hours=2))
    assert "until 22:19:00." in open_words(clock, ON.astimezone(there))
    # A clock that was set back tells nothing.
    words = open_words(clock, ON - timedelta(minutes=4))
    assert words.startswith("Cannot tell: by this machine's clock the compound went on at 20:14:00")


@given(st.integers(0, 23), st.integers(0, 59), st.integers(0, 400 * 86_400))
def test_a_time_of_day_is_never_to_come(hour: int, minute: int, seconds: int) -> None:
    now = ON + timedelta(seconds=seconds)
    try:
        found = went_on(hour, minute, now)
    except OpenTimeError as error:
        assert error.field == "on_at" and "is still to come" in str(error)
        today = now.replace(hour=hour, minute=minute, second=0, microsecond=0)
        assert today > now or now - today > timedelta(hours=12)
    else:
        assert timedelta(0) <= now - found <= timedelta(hours=12)
        assert (found.hour, found.minute) == (hour, minute)


def test_yesterday_evenings_after_midnight() -> None:
    assert went_on(23, 58, datetime(2026, 11, 29, 0, 3, tzinfo=UTC)).day == 28
    with pytest.raises(OpenTimeError, match="20:50 is still to come, for it is 20:14 now"):
        went_on(20, 50, ON)


@pytest.mark.parametrize("minutes", [0, -1, float("nan"), 60 * 24 + 1])
def test_an_open_time_that_cannot_be(minutes: float) -> None:
    with pytest.raises(ValueError, match="open time"):
        open_time(ON, minutes)
    with pytest.raises(ValueError, match="time zone"):
        open_time(ON.replace(tzinfo=None), 5)
