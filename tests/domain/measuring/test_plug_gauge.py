from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.measuring.instruments import Instrument, InstrumentError, InstrumentKind
from domain.measuring.plug_gauge import Interval, interval_from_plugs

GO, NOT_GO = 25_000_000, 25_021_000
PLUGS = Instrument(InstrumentKind.PLUG, "plugs", 0, 2_000, go_nm=GO, not_go_nm=NOT_GO)


@pytest.mark.parametrize(
    ("go", "not_go", "low", "high"),
    [
        (True, False, GO, NOT_GO),
        (True, None, GO, None),
        (None, False, None, NOT_GO),
        (True, True, NOT_GO, None),
        (None, True, NOT_GO, None),
        (False, False, None, GO),
        (False, None, None, GO),
    ],
)
def test_what_the_plugs_leave_open(
    go: bool | None, not_go: bool | None, low: int | None, high: int | None
) -> None:
    assert interval_from_plugs(PLUGS, go, not_go) == Interval(low, high)


def test_an_answer_that_cannot_be() -> None:
    with pytest.raises(InstrumentError, match="cannot be"):
        interval_from_plugs(PLUGS, go_enters=False, not_go_enters=True)


def test_nothing_tried() -> None:
    with pytest.raises(InstrumentError, match="No plug was tried"):
        interval_from_plugs(PLUGS, None, None)


def test_only_sound_plug_gauges_are_plugs() -> None:
    with pytest.raises(InstrumentError, match="shows a value"):
        interval_from_plugs(
            Instrument(InstrumentKind.VALUE, "caliper", 10_000, 40_000), go_enters=True, not_go_enters=False
        )
    with pytest.raises(InstrumentError, match="smaller than the not-go"):
        interval_from_plugs(replace(PLUGS, go_nm=NOT_GO), go_enters=True, not_go_enters=False)


@given(st.integers(24_900_000, 25_100_000), st.booleans(), st.booleans())
def test_the_interval_always_holds_the_bore_that_was_tried(bore: int, try_go: bool, try_not_go: bool) -> None:
    answers = (bore > GO if try_go else None, bore > NOT_GO if try_not_go else None)
    if answers == (None, None):
        return
    found = interval_from_plugs(PLUGS, *answers)
    assert found.low_nm is None or found.low_nm < bore
    assert found.high_nm is None or bore <= found.high_nm


def test_every_interval_has_words() -> None:
    words = [Interval(low, high).words(Unit.MM) for low, high in product((None, GO), (None, NOT_GO))]
    assert words == [
        "not known",
        "smaller than 25.021 mm",
        "larger than 25.000 mm",
        "between 25.000 mm and 25.021 mm",
    ]
