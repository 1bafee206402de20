import math
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.joints.cure import CureTimes, Needs, cold_words, cure_clock, held_until

BONDED = datetime(2024, 5, 3, 21, 0, tzinfo=UTC)
CLOCK = cure_clock(BONDED, CureTimes(40, 24))


def test_the_default_times_are_placeholders_and_say_so() -> None:
    # Handling within an hour, full cure about 24 h at 22 C: from memory, verify.
    clock = cure_clock(BONDED)
    assert clock.handle_after - BONDED == timedelta(hours=1)
    assert clock.load_after - BONDED == timedelta(hours=24)
    assert "from memory, verify" in CureTimes().source
    assert CureTimes().nominal_c == 22


@pytest.mark.parametrize(
    ("after", "needs", "held"),
    [
        (timedelta(0), Needs.HANDLING, True),
        (timedelta(minutes=40) - timedelta(microseconds=1), Needs.HANDLING, True),
        (timedelta(minutes=40), Needs.HANDLING, False),
        (timedelta(minutes=40), Needs.LOADING, True),
        (timedelta(hours=24) - timedelta(microseconds=1), Needs.LOADING, True),
        (timedelta(hours=24), Needs.LOADING, False),
    ],
)
def test_held_until_the_moment_and_no_longer(after: timedelta, needs: Needs, held: bool) -> None:
    hold = held_until(BONDED + after, CLOCK, needs)
    assert hold.held is held
    until = {Needs.HANDLING: CLOCK.handle_after, Needs.LOADING: CLOCK.load_after}[needs]
    assert hold.until == (until if held else None)


def test_words_for_the_bench() -> None:
    def words(minutes: float, needs: Needs) -> str:
        return held_until(BONDED + timedelta(minutes=minutes), CLOCK, needs).words

    assert words(5, Needs.HANDLING) == "The bond is curing: do not turn the tread before 21:40."
    assert words(45, Needs.HANDLING) == "The bond is fit to be handled: you may turn the tread."
    assert words(45, Needs.LOADING) == (
        "The bond may be handled, but it is not fully cured: do not turn the tread before 4 May, 21:00."
    )
    assert words(24 * 60, Needs.LOADING) == "The bond is fully cured: you may turn the tread."
    assert words(-5, Needs.HANDLING).startswith("The bond's time is later than now (check it): do not")


def test_words_are_in_the_zone_asked_for() -> None:
    east = timezone(timedelta(hours=2))
    hold = held_until(BONDED, CLOCK, Needs.HANDLING, zone=east)
    assert hold.words.endswith("before 23:40.")


def test_words_never_name_a_minute_too_early() -> None:
    clock = cure_clock(BONDED + timedelta(seconds=30), CureTimes(40, 24))
    assert held_until(BONDED, clock, Needs.HANDLING).words.endswith("before 21:41.")


def test_summer_time_does_not_shorten_the_cure() -> None:
    # Europe/London went back an hour at 01:00 UTC on 27 October 2024.
    london = ZoneInfo("Europe/London")
    clock = cure_clock(datetime(2024, 10, 26, 20, 0, tzinfo=london), CureTimes(60, 24))
    assert (clock.load_after.hour, clock.load_after.utcoffset()) == (19, timedelta(0))
    first, second = (datetime(2024, 10, 27, 1, 30, tzinfo=london, fold=fold) for fold in (0, 1))
    short = cure_clock(first, CureTimes(50, 1))
    assert held_until(second, short).held is False
    assert held_until(first, short).held is True


@given(st.floats(0.1, 1000), st.floats(17, 2000), st.integers(-10_000, 200_000))
def test_handling_comes_first_and_loading_never_before_it(minutes: float, hours: float, later: int) -> None:
    clock = cure_clock(BONDED, CureTimes(minutes, hours))
    assert BONDED < clock.handle_after <= clock.load_after
    now = BONDED + timedelta(minutes=later)
    handling, loading = held_until(now, clock, Needs.HANDLING), held_until(now, clock, Needs.LOADING)
    assert loading.held or not handling.held
    assert handling.held is (now < clock.handle_after)


@pytest.mark.parametrize(
    ("times", "says"),
    [
        (CureTimes(0, 24), "handling time"),
        (CureTimes(math.nan, 24), "handling time"),
        (CureTimes(60, math.inf), "full cure"),
        (CureTimes(60, 24 * 91), "full cure"),
        (CureTimes(90, 1), "must not come before handling"),
    ],
)
def test_times_out_of_reason_are_refused(times: CureTimes, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        cure_clock(BONDED, times)


def test_times_without_a_zone_are_refused() -> None:
    bare = datetime(2024, 5, 3, 21, 0)  # noqa: DTZ001 - the very thing to refuse
    with pytest.raises(ValueError, match="bond's time must carry its time zone"):
        cure_clock(bare)
    with pytest.raises(ValueError, match="time now must carry its time zone"):
        held_until(bare, CLOCK)


def test_a_cold_shop_is_cautioned_without_a_made_up_formula() -> None:
    assert cold_words(22) is None
    said = cold_words(12)
    assert said is not None
    assert "colder than the 22 C" in said
    with pytest.raises(ValueError, match="shop's temperature"):
        cold_words(math.nan)
