"""The one judge of a tyre: each thing that can be found, at its border, and how it is said."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.answer import Answer
from domain.joints.demand import Turned, seat_demand
from domain.joints.friction import friction
from domain.joints.judge import Load
from domain.joints.kinds import FitKind
from domain.joints.materials import iron
from domain.joints.terms import Size
from domain.lengths import Unit
from domain.measuring.uncertainty import Budget
from domain.tyres.judge import RingFinding, TyreCase, TyreKind, judge
from domain.tyres.ring import MetalStrength, Tyre
from domain.tyres.words import (
    doubt,
    headline,
    heat_words,
    on_words,
    reason,
    target_words,
    too_much_words,
    turned_words,
    workings,
)

MM = 1_000_000
TYRE = Tyre(
    100 * MM, 114 * MM, 121 * MM, 84 * MM, 14 * MM, iron("en-gjl-200"), friction(FitKind.SHRINK, "degreased")
)
STRENGTH = MetalStrength(250, 1.25, 2, 300)
EXACT = Size(100 * MM)


def _load(newtons: float, *invented: str) -> Load:
    demand = seat_demand(Turned.CARRYING, newtons, 114 * MM, 0.35)
    return Load(demand, 1.5, "the test", invented)


CASE = TyreCase(TYRE, (50_000, 100_000), EXACT, EXACT, STRENGTH, _load(120), Unit.MM)


def _size(nm: int, u_nm: float = 0.0, spread_nm: int = 0) -> Size:
    budget = Budget(nm, 2, u_nm / 2, 0.0, 0.0, 0.0, None) if u_nm else None
    half = spread_nm // 2
    return Size(nm, round(u_nm) or None, budget=budget, ends_nm=(nm - half, nm + half))


def _judged(delta_nm: int, u_nm: float = 0.0, spread_nm: int = 0, **change: Any) -> RingFinding:
    return judge(
        replace(
            CASE, inside=_size(100 * MM - delta_nm, u_nm, spread_nm), centre=_size(100 * MM, u_nm), **change
        )
    )


def test_a_thumb_rule_fit_of_mild_steel_is_good() -> None:
    found = _judged(70_000)
    assert (found.kind, found.answer) == (TyreKind.GOOD, Answer.SERVES)
    assert headline(found, Unit.MM) == "Good: 0.070 mm (0.0028 in) of interference"
    assert doubt(found, "W1", Unit.MM) == ""


def test_a_tyre_that_does_not_grip_is_told_in_plain_words() -> None:
    assert "take a tyre bored smaller, or put a sleeve between the two" in reason(_judged(0), Unit.MM)
    assert "has little in hand against slipping" in headline(_judged(70_000, load=_load(10_500)), Unit.MM)


@pytest.mark.parametrize(
    ("found", "kind"),
    [
        (_judged(0), TyreKind.NO_GRIP),
        (_judged(-20_000), TyreKind.NO_GRIP),
        (_judged(130_000), TyreKind.YIELDS),
        (_judged(49_000), TyreKind.LOOSE),
        (_judged(70_000, strength=replace(STRENGTH, crush_wanted=100)), TyreKind.CRUSHES),
        (_judged(70_000, load=_load(20_000)), TyreKind.HOLDS_TOO_LITTLE),
        (_judged(70_000, strength=replace(STRENGTH, hottest_c=160)), TyreKind.TOO_HOT),
        (_judged(52_000, u_nm=4_000), TyreKind.SIZE_NOT_TOLD),
        (_judged(70_000, load=_load(20_000, "load")), TyreKind.HOLDS_BY_GUESS),
        (_judged(70_000, spread_nm=26_000), TyreKind.OVAL),
        (_judged(98_000), TyreKind.STRAINED),
        (_judged(101_000), TyreKind.TIGHT),
        (_judged(70_000, load=_load(10_500)), TyreKind.LITTLE_IN_HAND),
    ],
)
def test_everything_that_can_be_found(found: RingFinding, kind: TyreKind) -> None:
    assert found.kind is kind
    assert headline(found, Unit.MM).startswith(kind.answer.words.capitalize() + ": ")
    assert reason(found, Unit.MM)
    assert doubt(found, "W1", Unit.MM).startswith(f"The tyre of W1: {kind.answer.words}: ")


def test_what_holds_as_measured_and_not_at_the_worst_cannot_be_told() -> None:
    # Both sizes give or take 0.02 mm, against a load that 0.070 mm of interference just carries.
    just = _judged(70_000).measured.torque_nm / (0.35 * 0.057) * 0.95
    found = _judged(70_000, u_nm=10_000, load=_load(just), wanted_nm=(10_000, 110_000))
    assert found.kind is TyreKind.HOLD_NOT_TOLD
    assert _judged(70_000, load=_load(just)).answer.with_care


def test_an_unsure_size_counts_towards_the_worse_side() -> None:
    sure, unsure = _judged(90_000), _judged(90_000, u_nm=20_000)
    assert unsure.strained.hoop_mpa > sure.strained.hoop_mpa
    assert unsure.pressed.centre_mpa > sure.pressed.centre_mpa
    assert unsure.grip.torque_nm < sure.grip.torque_nm == sure.measured.torque_nm == unsure.measured.torque_nm
    assert unsure.heat_c > sure.heat_c


def test_what_cannot_be_told_says_what_would_settle_it() -> None:
    found = _judged(52_000, u_nm=4_000)
    assert found.settling and found.settling in reason(found, Unit.MM)
    assert not _judged(70_000, u_nm=4_000).settling


@given(st.integers(-50_000, 400_000), st.integers(0, 50_000))
def test_more_interference_never_mends_a_tyre_that_yields(delta: int, more: int) -> None:
    if _judged(delta).kind is TyreKind.YIELDS:
        assert _judged(delta + more).kind is TyreKind.YIELDS
    if _judged(delta + more).kind is TyreKind.NO_GRIP:
        assert _judged(delta).kind is TyreKind.NO_GRIP


def test_the_words_have_the_figures() -> None:
    found = _judged(80_000)
    assert re.search(r"Heat the tyre to 177 C, the centre at 20 C, for 0\.100 mm", heat_words(found, Unit.MM))
    said = turned_words(found, Unit.MM)
    before, after = (float(one) for one in re.findall(r"(\d+\.\d) MPa", said))
    assert before == pytest.approx(found.shrunk.pressure_mpa, abs=0.05) and after < before
    strained = reason(_judged(130_000), Unit.MM)
    assert "yields at 250 MPa: 1.11 times, where 1.25 is wanted" in strained
    assert "Up to 0.116 mm (0.0045 in) is safe" in strained


def test_every_working_names_its_source() -> None:
    found = list(workings(_judged(80_000), Unit.MM))
    names = [one.name for one in found]
    assert {"interference", "tyre most strained", "centre most pressed", "grips least", "heat"} <= set(names)
    assert all(one.source and one.formula and one.result for one in found)
    assert (
        "Lame" in found[1].source and "memory, verify" in found[names.index("factor against crushing")].source
    )


def test_what_to_cut_to_follows_what_is_there_already() -> None:
    wanted, stood, drawn = (50_000, 100_000), 80_000, 100 * MM
    assert "Drawn to 100.000 mm" in target_words(None, None, wanted, stood, drawn, Unit.MM)
    turn = target_words(99_950_000, None, wanted, stood, drawn, Unit.MM)
    assert "Turn the centre to 100.000 mm" in turn and "100.030 mm" in turn
    bore = target_words(None, 100_020_000, wanted, stood, drawn, Unit.MM)
    assert "Bore the tyre to 99.940 mm" in bore and "99.970 mm" in bore
    assert "No interference is safe" in target_words(None, None, wanted, 40_000, drawn, Unit.MM)


def test_an_interference_that_no_tyre_stands_is_told_on_the_drawing() -> None:
    assert "yield at that: it is 250 MPa steel" in too_much_words(TYRE, 120_000, STRENGTH, Unit.MM)
    cool = replace(STRENGTH, hottest_c=150)
    assert re.search(r"want 194 C .* 150 C is the most", too_much_words(TYRE, 100_000, cool, Unit.MM))
    assert too_much_words(TYRE, 100_000, STRENGTH, Unit.MM) == ""


def test_a_hot_tyre_is_left_alone() -> None:
    at, now = datetime(2026, 5, 3, 21, 5, tzinfo=UTC), datetime(2026, 5, 3, 21, 17, tzinfo=UTC)
    assert "12 min ago: turn nothing until" in on_words(at, now, "JD", turned=False)
    assert on_words(at, now, "JD", turned=True) == "Shrunk on at 21:05 (JD)."
    assert (
        on_words(at, datetime(2026, 5, 5, 8, 0, tzinfo=UTC), "JD", turned=False)
        == "Shrunk on at 3 May, 21:05 (JD)."
    )
