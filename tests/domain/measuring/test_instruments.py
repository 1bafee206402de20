import math
from dataclasses import FrozenInstanceError, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.measuring.instruments import (
    Instrument,
    InstrumentError,
    InstrumentKind,
    Reach,
    caution_if_too_fine,
    corrected,
    doubtful_uncertainty,
    faults,
    own_unit,
    require_value,
)
from domain.measuring.starters import starter_plugs, starters

MICROMETER = Instrument(InstrumentKind.VALUE, "micrometer", 1_000, 5_000)
PLUGS = Instrument(InstrumentKind.PLUG, "plugs", 0, 2_000, go_nm=25_000_000, not_go_nm=25_021_000)


def test_sound_instruments_have_no_faults() -> None:
    assert faults(MICROMETER) == {} == faults(PLUGS)
    assert faults(replace(MICROMETER, expanded_nm=0, zero_offset_nm=-3_000)) == {}


@pytest.mark.parametrize(
    ("instrument", "field", "says"),
    [
        (replace(MICROMETER, name="  "), "name", "no name"),
        (replace(MICROMETER, resolution_nm=0), "resolution_nm", "above nothing"),
        (replace(MICROMETER, expanded_nm=-1), "expanded_nm", "less than nothing"),
        (replace(MICROMETER, alpha_per_k=math.nan), "alpha_per_k", "millionths"),
        (replace(MICROMETER, alpha_per_k=11.5), "alpha_per_k", "millionths"),
        (replace(MICROMETER, go_nm=1), "go_nm", "no plug size"),
        (replace(MICROMETER, not_go_nm=1), "not_go_nm", "no plug size"),
        (replace(PLUGS, go_nm=None), "go_nm", "no size"),
        (replace(PLUGS, not_go_nm=0), "not_go_nm", "no size"),
        (replace(PLUGS, go_nm=25_021_000), "go_nm", "smaller than the not-go"),
        (replace(PLUGS, zero_offset_nm=1), "zero_offset_nm", "no zero offset"),
        (replace(PLUGS, reach=Reach.OUTSIDE), "reach", "for holes"),
        (replace(PLUGS, expanded_nm=-1), "expanded_nm", "less than nothing"),
    ],
)
def test_each_fault_is_one_sentence_at_its_field(instrument: Instrument, field: str, says: str) -> None:
    assert list(faults(instrument)) == [field]
    assert says in faults(instrument)[field]
    assert faults(instrument)[field].endswith(".")
    with pytest.raises(InstrumentError, match=says):
        require_value(instrument)


def test_what_it_reads_too_much_is_taken_off() -> None:
    # Closed, it reads +0.02 mm instead of nothing: 10.02 mm on its dial is 10.00 mm.
    reads_high = replace(MICROMETER, zero_offset_nm=20_000)
    assert corrected(20_000, reads_high) == 0
    assert corrected(10_020_000, reads_high) == 10_000_000
    assert corrected(9_980_000, replace(MICROMETER, zero_offset_nm=-20_000)) == 10_000_000


def test_plugs_show_no_value() -> None:
    with pytest.raises(InstrumentError, match="which plug goes in"):
        corrected(25_000_000, PLUGS)


@given(st.integers(0, 10**6), st.sampled_from([1_000, 2_540, 10_000, 12_700, 500_000]))
def test_whole_steps_raise_no_eyebrow_and_half_steps_do(steps: int, step: int) -> None:
    one = replace(MICROMETER, resolution_nm=step)
    assert caution_if_too_fine(steps * step, one, Unit.MM) is None
    assert "between two" in str(caution_if_too_fine(steps * step + step // 2, one, Unit.MM))


def test_a_step_that_is_no_whole_number_of_nanometres_is_forgiven_its_rounding() -> None:
    # 1/128 in is 198 437.5 nm; three of them round to 595 312.
    assert caution_if_too_fine(396_875, replace(MICROMETER, resolution_nm=198_438), Unit.INCH) is None


@pytest.mark.parametrize("nm", [19_024_600, 19_050_000, 18_986_500])  # 0.7490, 0.7500 and 0.7475 in
def test_a_reading_in_the_other_system_was_rounded_by_hand_and_lies_on_no_step(nm: int) -> None:
    assert caution_if_too_fine(nm, MICROMETER, Unit.INCH, Unit.INCH) is None
    inch = replace(MICROMETER, resolution_nm=2_540)
    assert caution_if_too_fine(19_025_000, inch, Unit.MM, Unit.MM) is None
    assert "between two" in str(caution_if_too_fine(19_025_000, inch, Unit.MM, Unit.INCH))
    assert "between two" in str(caution_if_too_fine(19_024_600, MICROMETER, Unit.INCH, Unit.MM))


@pytest.mark.parametrize(
    ("step", "unit"),
    [(100, Unit.MM), (1_000, Unit.MM), (10_000, Unit.MM), (20_000, Unit.MM), (500_000, Unit.MM), (1_000_000, Unit.MM),
     (1_270, Unit.INCH), (2_540, Unit.INCH), (12_700, Unit.INCH), (25_400, Unit.INCH), (254_000, Unit.INCH),
     (198_438, Unit.INCH), (396_875, Unit.INCH), (793_750, Unit.INCH)],
)  # fmt: skip
def test_an_instrument_shows_the_system_its_step_is_round_in(step: int, unit: Unit) -> None:
    assert own_unit(replace(MICROMETER, resolution_nm=step)) is unit


def test_plugs_show_the_system_their_sizes_are_round_in() -> None:
    assert own_unit(PLUGS) is Unit.MM
    assert (
        own_unit(replace(PLUGS, go_nm=19_050_000, not_go_nm=19_062_700)) is Unit.INCH
    )  # 0.7500 and 0.7505 in
    assert own_unit(replace(PLUGS, go_nm=None, not_go_nm=None)) is Unit.MM


@pytest.mark.parametrize(
    ("expanded", "says"),
    [(203_200, "0.2032 mm (0.0080 in) is 203 steps"), (20_001, "is 20 steps"), (20_000, ""), (6_000, ""), (100, ""),
     (99, "less than a tenth of a step"), (0, "less than a tenth of a step")],
)  # fmt: skip
def test_an_uncertainty_far_from_the_step_is_asked_about(expanded: int, says: str) -> None:
    found = doubtful_uncertainty(replace(MICROMETER, expanded_nm=expanded))
    assert (says in str(found) and str(found).endswith("is the unit right?")) if says else found is None


def test_plugs_and_starters_are_not_asked_about() -> None:
    assert doubtful_uncertainty(PLUGS) is None
    assert [doubtful_uncertainty(one) for unit in Unit for one in starters(unit)] == [None] * 8


@pytest.mark.parametrize(
    ("has", "wanted", "does"),
    [
        (Reach.BOTH, Reach.INSIDE, True),
        (Reach.INSIDE, Reach.INSIDE, True),
        (Reach.OUTSIDE, Reach.INSIDE, False),
        (Reach.INSIDE, Reach.OUTSIDE, False),
        (Reach.OUTSIDE, Reach.BOTH, True),
    ],
)
def test_reach(has: Reach, wanted: Reach, does: bool) -> None:
    assert replace(MICROMETER, reach=has).measures(wanted) is does


def test_an_instrument_cannot_be_changed_behind_its_readings() -> None:
    with pytest.raises(FrozenInstanceError):
        MICROMETER.expanded_nm = 0  # type: ignore[misc]


@pytest.mark.parametrize("unit", Unit)
def test_starters_are_sound_and_say_whose_figures_they_are(unit: Unit) -> None:
    found = starters(unit)
    assert [one.name for one in found] == ["rule", "caliper", "micrometer", "bore gauge"]
    for one in found:
        assert faults(one) == {}
        assert "from memory, verify" in one.note
        assert "certificate" in one.note
        assert one.expanded_nm >= one.resolution_nm  # finer than it can show would be no honest start
    assert [one.reach for one in found] == [Reach.BOTH, Reach.BOTH, Reach.OUTSIDE, Reach.INSIDE]


def test_inch_starters_step_in_inches() -> None:
    assert [one.resolution_nm for one in starters(Unit.INCH)] == [396_875, 12_700, 2_540, 2_540]


@pytest.mark.parametrize(("name", "not_go"), [("H6", 25_013_000), ("H7", 25_021_000), ("H8", 25_033_000)])
def test_starter_plugs_stand_at_the_limits(name: str, not_go: int) -> None:
    # ISO 286-2:2010, holes of 18 to 30 mm.
    plugs = starter_plugs(25_000_000, name)
    assert (plugs.go_nm, plugs.not_go_nm) == (25_000_000, not_go)
    assert faults(plugs) == {}
    assert "from memory, verify" in plugs.note


@pytest.mark.parametrize(
    ("nominal", "name", "says"), [(25_000_000, "s6", "H5, H6"), (1, "H7", "outside the limits")]
)
def test_starter_plugs_outside_the_table_are_refused(nominal: int, name: str, says: str) -> None:
    with pytest.raises(InstrumentError, match=says):
        starter_plugs(nominal, name)
