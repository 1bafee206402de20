"""The stages and the small steps, against lists written out by hand. Common practice, no published source."""

import pytest

from domain.route.guards import Order, Wheel, needed, objection_to_tick
from domain.route.stages import (
    CRANKPIN_IN,
    TYRE_ON,
    Pins,
    Route,
    Stage,
    Step,
    stages,
    steps,
    tickable,
    ticks_there_are,
)

EXPECTED = {
    (Route.FITTED_FIRST, True): "received, back faced, bored, pressed, tread turned, quartered, painted",
    (Route.FITTED_FIRST, False): "received, back faced, bored, pressed, tread turned, painted",
    (Route.MANDREL_FIRST, True): "received, back faced, bored, tread turned, pressed, quartered, painted",
    (Route.MANDREL_FIRST, False): "received, back faced, bored, tread turned, pressed, painted",
    (Route.FRONT_FIRST, True): "received, bored, back faced, tread turned, pressed, quartered, painted",
    (Route.FRONT_FIRST, False): "received, bored, back faced, tread turned, pressed, painted",
    (Route.BETWEEN_CENTRES, True): "received, back faced, bored, pressed, quartered, tread turned, painted",
    (Route.BETWEEN_CENTRES, False): "received, back faced, bored, pressed, tread turned, painted",
}
COUNTS = {
    "received": 3,
    "back_faced": 4,
    "bored": 7,
    "pressed": 4,
    "tread_turned": 4,
    "quartered": 0,
    "painted": 2,
}


@pytest.mark.parametrize(("route", "coupled"), EXPECTED)
def test_the_order_of_work(route: Route, coupled: bool) -> None:
    assert ", ".join(s.words for s in stages(route, coupled=coupled)) == EXPECTED[route, coupled]


@pytest.mark.parametrize("stage", COUNTS)
def test_the_steps_of_a_coupled_wheel(stage: str) -> None:
    found = steps(Stage(stage), coupled=True)
    assert len(found) == COUNTS[stage]
    own = f"{stage}."
    assert all(step.stage == stage and step.words for step in found)
    assert {step.key for step in found if not step.key.startswith(own)} <= {"quartered.hole", CRANKPIN_IN}


def test_a_carrying_wheel_has_no_steps_for_a_crankpin() -> None:
    keys = {step.key for stage in Stage for step in steps(stage, coupled=False)}
    both = {step.key for stage in Stage for step in steps(stage, coupled=True)}
    assert both - keys == {"bored.crank_boss", "quartered.hole", CRANKPIN_IN}


def test_the_bore_is_never_put_through_from_the_back() -> None:
    """The back is faced with the bore not put through; the wheel is turned round and set true again first."""
    assert [s.key for s in steps(Stage.BACK_FACED, coupled=True)][-1] == "back_faced.not_bored"
    bored = [s.key for s in steps(Stage.BORED, coupled=True)]
    assert bored[:2] == ["bored.turned_round", "bored.rim_true"]
    assert bored.index("bored.rim_true") < bored.index("bored.drilled") < bored.index("bored.reamed")


def test_the_crankpin_hole_is_drilled_after_the_bore_and_keeps_its_key() -> None:
    assert [s.key for s in steps(Stage.BORED, coupled=True)][-2:] == ["bored.reamed", "quartered.hole"]
    assert steps(Stage.QUARTERED, coupled=True) == ()
    hole = tickable("quartered.hole")
    assert isinstance(hole, Step)
    assert (hole.stage, hole.after, hole.closed_by) == (Stage.BORED, Stage.BORED, Stage.QUARTERED)


def test_a_pin_goes_in_before_its_wheel_is_fixed_or_after_as_the_builder_says() -> None:
    under = {pins: [one.value for one in Stage if CRANKPIN_IN in _keys(one, pins)] for pins in Pins}
    # Where it is next: first of what is done at fixing, or last.
    assert under == {pins: ["pressed"] for pins in Pins}
    first, last = (_keys(Stage.PRESSED, pins).index(CRANKPIN_IN) for pins in (Pins.BEFORE, Pins.AFTER))
    assert (first, last) == (0, len(_keys(Stage.PRESSED, Pins.AFTER)) - 1)
    # Before fixing it waits for the bore alone, on every route.
    for route in Route:
        order = Order(route, coupled=True, pins=Pins.BEFORE)
        bored = Wheel("W1", frozenset(one.value for one in (*needed(Stage.BORED, order), Stage.BORED)))
        assert objection_to_tick(CRANKPIN_IN, bored, order) is None, route
    for pins in Pins:
        assert "quartered.hole" in _keys(Stage.BORED, pins)
        assert CRANKPIN_IN in Order(Route.FITTED_FIRST, coupled=True, pins=pins).closed_by(Stage.PAINTED)


def _keys(stage: Stage, pins: Pins) -> list[str]:
    return [step.key for step in steps(stage, coupled=True, pins=pins)]


def test_every_key_is_found_once() -> None:
    usual = [step for stage in Stage for step in steps(stage, coupled=True)]
    assert len({step.key for step in usual}) == len(usual) == sum(COUNTS.values())
    every = {
        step
        for stage in Stage
        for route in Route
        for paint_first in (False, True)
        for tyred in (False, True)
        for step in steps(stage, coupled=True, route=route, paint_first=paint_first, tyred=tyred)
    }
    others = {"back_faced.on_mandrel", "bored.face_true", "painted.rough", "painted.bright", TYRE_ON}
    assert {step.key for step in every} == {step.key for step in usual} | others
    # The tyre's stands elsewhere on another route, and once on each.
    tyre_on = {step for step in every if step.key == TYRE_ON}
    assert len(every) == len(usual) + len(others) - 1 + len(tyre_on)
    assert sorted(route for step in tyre_on for route in step.routes) == sorted(Route)
    for step in every - tyre_on:
        assert tickable(step.key) is step
    for stage in Stage:
        assert tickable(stage.value) is stage
    assert set(ticks_there_are()) == {step.key for step in every} | {stage.value for stage in Stage}


@pytest.mark.parametrize(
    "key", ["", " ", "bored.", ".bored", "BORED", "bored.reamed.", "polished", "bored\0"]
)
def test_an_unknown_key_is_nothing(key: str) -> None:
    assert tickable(key) is None


def test_a_step_of_no_stage_is_an_error() -> None:
    with pytest.raises(ValueError, match="polished"):
        _ = Step("polished.well", "polished well").stage


@pytest.mark.parametrize(
    ("route", "stage", "after", "before"),
    [
        (Route.FITTED_FIRST, Stage.PRESSED, Stage.BORED, Stage.TREAD_TURNED),
        (Route.MANDREL_FIRST, Stage.TREAD_TURNED, Stage.BORED, Stage.PRESSED),
        (Route.FRONT_FIRST, Stage.BACK_FACED, Stage.BORED, Stage.TREAD_TURNED),
        (Route.BETWEEN_CENTRES, Stage.PRESSED, Stage.BORED, Stage.TREAD_TURNED),
    ],
)
def test_a_tyre_stands_first_where_the_bare_wheel_goes_on_its_mandrel_or_axle(
    route: Route, stage: Stage, after: Stage, before: Stage
) -> None:
    order = Order(route, coupled=True, tyred=True)
    assert order.steps(stage)[0].key == TYRE_ON
    assert order.stages.index(after) < order.stages.index(stage) < order.stages.index(before)
    assert all(step.key != TYRE_ON for one in Stage if one is not stage for step in order.steps(one))
