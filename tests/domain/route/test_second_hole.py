"""An axle's second crankpin hole drilled after fixing, through a quartering jig. Common practice, no published source."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.route.guards import (
    Order,
    Strength,
    Wheel,
    objection_to_fix_and_quarter,
    objection_to_quarter,
    objection_to_tick,
)
from domain.route.planning import plan_work
from domain.route.set_ups import SetUp, Work
from domain.route.shop import BatchWheel
from domain.route.stages import CRANKPIN_HOLE, Pins, Route, Stage, stages

JIG = Order(Route.FITTED_FIRST, coupled=True, pins=Pins.JIG)
BORED = frozenset({"received", "back_faced", "bored"})
ON = Wheel("A", BORED | {"pressed", CRANKPIN_HOLE}, bore_logged=True, throw_logged=True)
OFF = Wheel("B", BORED, bore_logged=True)


def _engine(*wheels: Wheel) -> list[BatchWheel]:
    sides = ("left", "right")
    return [BatchWheel(n, 1 + n // 2, sides[n % 2], True, wheel) for n, wheel in enumerate(wheels)]


def test_the_second_wheel_goes_on_alone_and_nobody_asks_for_its_throw() -> None:
    assert objection_to_tick("pressed", OFF, JIG, ON) is None
    usual = objection_to_tick("pressed", OFF, replace(JIG, pins=Pins.BEFORE), ON)
    assert usual is not None and "quarter it as it goes on" in usual.words


def test_fixed_and_quartered_in_one_go_is_refused_for_the_hole_is_not_there() -> None:
    refused = objection_to_fix_and_quarter(ON, OFF, JIG)
    assert refused is not None and refused.strength is Strength.REFUSE
    assert "B gets its crankpin hole through the quartering jig" in refused.words


def test_the_axle_is_quartered_once_both_throws_are_logged() -> None:
    on = replace(OFF, ticked=OFF.ticked | {"pressed"})
    refused = objection_to_quarter(ON, on, JIG)
    assert refused is not None and "No throw is logged for B" in refused.words
    assert objection_to_quarter(ON, replace(on, throw_logged=True), JIG) is None


@pytest.mark.parametrize("route", list(Route))
def test_the_plan_drills_one_hole_of_an_axle_first_and_the_other_in_the_fixture(route: Route) -> None:
    plan = plan_work(_engine(*(Wheel(f"W{n}", frozenset()) for n in range(4))), route, pins=Pins.JIG)
    assert plan.waiting == ()
    jobs = {
        set_up: [job for batch in plan.batches if batch.set_up is set_up for turn in batch.turns for job in turn.jobs]
        for set_up in SetUp
    }  # fmt: skip
    assert jobs[SetUp.CRANKPIN_JIG] == [("W0", Work.CRANKPIN_HOLE), ("W2", Work.CRANKPIN_HOLE)]
    assert [mark for mark, work in jobs[SetUp.FIXING] if work is Work.FIX] == ["W0", "W1", "W2", "W3"]
    second = [(mark, work) for mark, work in jobs[SetUp.QUARTERING] if work is not Work.QUARTER]
    assert second == [("W1", Work.JIG_HOLE), ("W3", Work.JIG_HOLE)]
    row = [batch.set_up for batch in plan.batches]
    assert row.index(SetUp.CRANKPIN_JIG) < row.index(SetUp.FIXING) < row.index(SetUp.QUARTERING)


def test_the_plan_goes_by_the_hole_that_is_there() -> None:
    drilled = replace(OFF, ticked=OFF.ticked | {CRANKPIN_HOLE}, throw_logged=True)
    plan = plan_work(_engine(replace(OFF, mark="A"), drilled), Route.FITTED_FIRST, pins=Pins.JIG)
    works = [job for batch in plan.batches for turn in batch.turns for job in turn.jobs]
    assert ("A", Work.JIG_HOLE) in works and not any(work is Work.CRANKPIN_HOLE for _, work in works)


def test_with_neither_hole_drilled_before_both_are_drilled_after() -> None:
    on = [replace(OFF, mark=mark, ticked=OFF.ticked | {"pressed"}) for mark in "AB"]
    plan = plan_work(_engine(*on), Route.FITTED_FIRST, pins=Pins.JIG)
    works = [job for batch in plan.batches for turn in batch.turns for job in turn.jobs]
    assert {("A", Work.JIG_HOLE), ("B", Work.JIG_HOLE)} <= set(works) and plan.waiting == ()


@st.composite
def _wheel(draw: st.DrawFn, route: Route, mark: str) -> Wheel:
    order = [one for one in stages(route, coupled=True) if one is not Stage.QUARTERED]
    ticked = frozenset(one.value for one in order[: draw(st.integers(0, len(order) - 1))])
    bored = "bored" in ticked
    hole = bored and draw(st.booleans())
    return Wheel(
        mark,
        ticked | ({CRANKPIN_HOLE} if hole else set()),
        bore_logged=bored and ("pressed" in ticked or draw(st.booleans())),
        throw_logged=hole and draw(st.booleans()),
    )


@given(st.data(), st.sampled_from(list(Route)))
def test_wherever_the_wheels_stand_there_is_a_plan_that_finishes_them(
    data: st.DataObject, route: Route
) -> None:
    wheels = [data.draw(_wheel(route, f"W{n}")) for n in range(2)]
    plan = plan_work(_engine(*wheels), route, pins=Pins.JIG)
    assert plan.waiting == ()
    done = [work for batch in plan.batches for turn in batch.turns for _, work in turn.jobs]
    assert Work.QUARTER in done and Work.FIX_AND_QUARTER not in done


@pytest.mark.parametrize("pins", [Pins.BEFORE, Pins.AFTER])
@pytest.mark.parametrize("route", list(Route))
def test_a_wheel_fixed_without_its_hole_is_not_sent_to_the_jig_that_sits_in_its_bore(
    route: Route, pins: Pins
) -> None:
    """On its axle it is drilled with the quartering jig; its fellow, still off, by the one jig as always."""
    order = Order(route, coupled=True)
    before = frozenset(one.value for one in order.stages[: order.stages.index(Stage.PRESSED)])
    on = Wheel("A", before | {"pressed"}, bore_logged=True)
    off = Wheel("B", before, bore_logged=True)
    plan = plan_work(_engine(on, off), route, pins=pins)
    jobs = [(batch.set_up, *job) for batch in plan.batches for turn in batch.turns for job in turn.jobs]
    assert (SetUp.QUARTERING, "A", Work.HOLE_ON_AXLE) in jobs
    assert [mark for _, mark, work in jobs if work is Work.CRANKPIN_HOLE] == ["B"]
    assert plan.waiting == ()


def test_with_the_quartering_jig_too_a_fixed_wheel_is_never_the_first_to_be_drilled() -> None:
    on = replace(OFF, mark="A", ticked=OFF.ticked | {"pressed"})
    plan = plan_work(_engine(on, replace(OFF, mark="B")), Route.FITTED_FIRST, pins=Pins.JIG)
    jobs = [job for batch in plan.batches for turn in batch.turns for job in turn.jobs]
    holes = [job for job in jobs if job[1] in (Work.CRANKPIN_HOLE, Work.JIG_HOLE, Work.HOLE_ON_AXLE)]
    assert holes == [("B", Work.CRANKPIN_HOLE), ("A", Work.JIG_HOLE)] and plan.waiting == ()
