"""Batches: never into a guard, and never more changes of set-up than an exhaustive search over single works finds.

The search and the executor below know the guards of domain/route/guards.py and a table of set-ups written out by hand; they
use nothing of the planner. The rules are common practice, no published source.
"""

from collections import deque
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.route.guards import (
    Doubt,
    Order,
    Wheel,
    next_stage,
    objection_to_fix_and_quarter,
    objection_to_measure,
    objection_to_quarter,
    objection_to_tick,
)
from domain.route.planning import plan_work, turns_now
from domain.route.set_ups import SetUp, Work
from domain.route.shop import BatchError, BatchWheel, Hold
from domain.route.stages import Route, Stage
from domain.route.words import batch_words, turn_words, waiting_line, waiting_words, why_words

FITTED, MANDREL = Route.FITTED_FIRST, Route.MANDREL_FIRST
HOLE = "quartered.hole"
# What is done in which set-up, by hand; what depends on the route stands below.
PLACE = {
    "received": "receiving",
    "back_faced": "back_out",
    "bored": "front_out",
    "hole": "crankpin_jig",
    "log_bore": "fixing",
    "pressed": "fixing",
    "log_throw": "quartering",
    "both": "quartering",
    "quartered": "quartering",
    "painted": "painting",
}
PLACES = {
    FITTED: PLACE | {"tread_turned": "between_centres"},
    MANDREL: PLACE | {"tread_turned": "mandrel"},
    Route.FRONT_FIRST: PLACE | {"tread_turned": "back_on_mandrel", "back_faced": "back_on_mandrel"},
    Route.BETWEEN_CENTRES: PLACE | {"tread_turned": "between_centres"},
}


def own_steps(stage, order):
    """The keys of the steps that a stage's tick closes."""
    earlier = ["quartered.hole"] if stage.value == "quartered" and order.coupled else []
    later = {"quartered.hole", "painted.pin"}
    return earlier + [step.key for step in order.steps(stage) if step.key not in later]


def tick(wheel, stage, order):
    """The wheel with every step of the stage and the stage ticked, asking the guard each time."""
    for key in [*own_steps(stage, order), stage.value]:
        if key not in wheel.ticked:
            objection = objection_to_tick(key, wheel, order)
            assert objection is None, objection
            wheel = replace(wheel, ticked=wheel.ticked | {key})
    return wheel


def marked(wheel, stage, order):
    return replace(wheel, ticked=wheel.ticked | {stage.value, *own_steps(stage, order)})


@cache
def moves(pair, order, slack=False):
    """All single works the guards allow on an axle; with slack also those that our two workshop rules forbid."""
    found = []

    def put(name, at, wheel, other=None):
        after = list(pair)
        after[at] = wheel
        if other is not None:
            after[1 - at] = other
        found.append((name, tuple(after)))

    for at, wheel in enumerate(pair):
        if wheel is None:
            continue
        fellow = pair[1 - at]
        for stage in (Stage.RECEIVED, Stage.BACK_FACED, Stage.BORED, Stage.TREAD_TURNED, Stage.PAINTED):
            if not wheel.has(stage) and objection_to_tick(stage.value, wheel, order) is None:
                after = marked(wheel, stage, order)
                if stage is Stage.BORED:
                    if slack:
                        put("bored", at, after)
                    after = replace(after, bore_logged=True)
                put(stage.value, at, after)
        if wheel.has(Stage.BORED) and not wheel.bore_logged and not wheel.has(Stage.PRESSED):
            put("log_bore", at, replace(wheel, bore_logged=True))
        drilled = wheel.throw_logged or HOLE in wheel.ticked
        if order.coupled and objection_to_measure("throw", wheel, order) is None and not wheel.throw_logged:
            if not drilled and slack:
                put("hole", at, replace(wheel, ticked=wheel.ticked | {HOLE}))
            logged = replace(wheel, ticked=wheel.ticked | {HOLE}, throw_logged=True)
            # On its axle no plug goes in the bore: it is drilled with the quartering jig, where its throw is read too.
            put("log_throw" if drilled or wheel.has(Stage.PRESSED) else "hole", at, logged)
        if not wheel.has(Stage.PRESSED) and (drilled or slack or not order.coupled):
            second = order.coupled and fellow is not None and fellow.has(Stage.PRESSED)
            if not second and objection_to_tick("pressed", wheel, order) is None:
                put("pressed", at, marked(wheel, Stage.PRESSED, order))
            if second and objection_to_fix_and_quarter(fellow, wheel, order) is None:
                on = marked(marked(wheel, Stage.PRESSED, order), Stage.QUARTERED, order)
                put("both", at, on, marked(fellow, Stage.QUARTERED, order))
    if order.coupled and objection_to_quarter(*pair, order) is None and not pair[0].has(Stage.QUARTERED):
        put("quartered", 0, *(marked(w, Stage.QUARTERED, order) for w in pair))
    return tuple(found)


def finished(pair, order):
    return all(next_stage(w.ticked, order) is None for w in pair if w is not None)


def exhaustive(pairs, orders, standing=None):
    """Fewest changes over every order of single works; treads all in one set-up."""
    places = PLACES[orders[0].route]
    tread = places["tread_turned"]
    start = (tuple(pairs), standing.value if standing else None, False)
    best, queue = {start: 0}, deque([start])
    while queue:
        node = queue.popleft()
        now, last, turning = node
        cost = best[node]
        if all(finished(pair, order) for pair, order in zip(now, orders, strict=True)):
            return cost
        treads_left = any(w is not None and not w.has(Stage.TREAD_TURNED) for pair in now for w in pair)
        for at, order in enumerate(orders):
            for name, pair in moves(now[at], order):
                place = places[name]
                if turning and place != tread and treads_left:
                    continue
                after = ((*now[:at], pair, *now[at + 1 :]), place, place == tread)
                extra = int(last is not None and place != last)
                if cost + extra < best.get(after, 1_000):
                    best[after] = cost + extra
                    (queue.append if extra else queue.appendleft)(after)
    raise AssertionError("the work cannot be finished")


def changes(batches, standing):
    row = (
        [standing, *(batch.set_up for batch in batches)] if standing else [batch.set_up for batch in batches]
    )
    return sum(one is not two for one, two in pairwise(row))


def wheels_of(pairs, orders):
    return [
        BatchWheel(2 * axle + at, axle + 1, side, order.coupled, pair[at])
        for axle, (pair, order) in enumerate(zip(pairs, orders, strict=True))
        for at, side in enumerate(("left", "right"))
        if pair[at] is not None
    ]


def execute(batches, wheels, route):
    """Do a plan tick by tick through the guards; no objection is let pass. Gives the facts at the end."""
    facts = {wheel.key: wheel.facts for wheel in wheels}
    place = {(wheel.axle, wheel.side): wheel.key for wheel in wheels}
    of = {wheel.key: wheel for wheel in wheels}
    for batch in batches:
        done = set()
        for turn in batch.turns:
            assert not done & set(turn.keys), "one turn a casting"
            done |= set(turn.keys)
            for work in turn.works:
                do(work, turn.keys, facts, place, of, route)
        assert done == set(batch.keys)
    return facts


def do(work, keys, facts, place, of, route):
    first = of[keys[0]]
    order = Order(route, first.coupled)
    left, right = (place.get((first.axle, side)) for side in ("left", "right"))
    if work is Work.QUARTER:
        assert objection_to_quarter(facts[left], facts[right], order) is None
        assert set(keys) == {left, right}
    elif work is Work.FIX_AND_QUARTER:
        (second,) = [key for key in keys if not facts[key].has(Stage.PRESSED)]
        fixed = right if second == left else left
        assert objection_to_fix_and_quarter(facts[fixed], facts[second], order) is None
        facts[second] = tick(facts[second], Stage.PRESSED, order)
        assert objection_to_quarter(facts[left], facts[right], order) is None
    if work in (Work.QUARTER, Work.FIX_AND_QUARTER):
        for key in (left, right):
            facts[key] = marked(facts[key], Stage.QUARTERED, order)
        return
    for key in keys:
        wheel = facts[key]
        if work in (Work.CRANKPIN_HOLE, Work.HOLE_ON_AXLE, Work.LOG_THROW):
            if work is Work.HOLE_ON_AXLE and (wheel.throw_logged or not wheel.has(Stage.PRESSED)):
                continue  # its fellow's, in one turn
            if work is not Work.LOG_THROW:
                assert HOLE not in wheel.ticked
                assert wheel.has(Stage.PRESSED) is (work is Work.HOLE_ON_AXLE), "the jig sits in the bore"
                assert objection_to_tick(HOLE, wheel, order) is None
            elif wheel.throw_logged:
                continue
            assert objection_to_measure("throw", wheel, order) is None
            facts[key] = replace(wheel, ticked=wheel.ticked | {HOLE}, throw_logged=True)
        elif work is Work.LOG_BORE:
            assert not wheel.bore_logged and objection_to_measure("bore", wheel, order) is None
            facts[key] = replace(wheel, bore_logged=True)
        else:
            assert not wheel.has(work.stage)
            facts[key] = tick(wheel, work.stage, order)
            if work is Work.BORE:
                assert objection_to_measure("bore", facts[key], order) is None
                facts[key] = replace(facts[key], bore_logged=True)
            if work is Work.FIX and order.coupled:
                assert HOLE in wheel.ticked or wheel.throw_logged, "the jig sits in the bore"


@st.composite
def builds(draw, most_axles=3, gaps=True):
    """A build somewhere on its way, brought there by works the guards allow."""
    route = draw(st.sampled_from(Route))
    pairs, orders = [], []
    for axle in range(draw(st.integers(1, most_axles))):
        order = Order(route, draw(st.booleans()))
        there = draw(st.sampled_from(["LR", "LR", "LR", "L", "R"])) if gaps else "LR"
        pair = tuple(
            Wheel(f"W{2 * axle + at}", frozenset()) if side in there else None for at, side in enumerate("LR")
        )
        for _ in range(draw(st.integers(0, 16))):
            choices = moves(pair, order, slack=True)
            if not choices:
                break
            pair = choices[draw(st.integers(0, 99)) % len(choices)][1]
        pairs.append(pair)
        orders.append(order)
    return pairs, orders


@settings(max_examples=80, deadline=None)
@given(builds(), st.sampled_from([None, *SetUp]))
def test_a_plan_done_tick_by_tick_meets_no_guard_and_finishes_what_can_be_finished(build, standing):
    pairs, orders = build
    route = orders[0].route
    wheels = wheels_of(pairs, orders)
    plan = plan_work(wheels, route, standing=standing)
    facts = execute(plan.batches, wheels, route)
    waiting = {wait.key for wait in plan.waiting}
    for axle, (pair, order) in enumerate(zip(pairs, orders, strict=True)):
        stuck = order.coupled and None in pair
        for at, wheel in enumerate(pair):
            if wheel is not None:
                key = 2 * axle + at
                done = next_stage(facts[key].ticked, order) is None
                assert done is not stuck
                assert (key in waiting) is stuck
    assert all("place is empty" in waiting_words(wait) for wait in plan.waiting)
    assert plan.changes == changes(plan.batches, standing)
    assert sum(Work.TURN_TREAD in turn.works for b in plan.batches for turn in b.turns[:1]) <= 1


@settings(max_examples=80, deadline=None)
@given(
    builds(),
    st.dictionaries(st.integers(0, 5), st.sampled_from([None, *Stage]), max_size=3),
    st.sets(st.integers(0, 5), max_size=2),
)
def test_held_and_doubtful_wheels_wait_with_a_reason_and_the_rest_meets_no_guard(build, held, doubtful):
    pairs, orders = build
    route = orders[0].route
    wheels = [
        replace(w, facts=replace(w.facts, doubts=(Doubt("pressed", "The fit is bad."),)))
        if w.key in doubtful and w.facts.bore_logged
        else w
        for w in wheels_of(pairs, orders)
    ]
    holds = [Hold(key, "Held.", before) for key, before in held.items()]
    plan = plan_work(wheels, route, holds)
    facts = execute(plan.batches, wheels, route)
    waiting = {wait.key for wait in plan.waiting}
    for wheel in wheels:
        left = next_stage(facts[wheel.key].ticked, Order(route, wheel.coupled))
        assert (left is not None) is (wheel.key in waiting)
        if wheel.key in held and held[wheel.key] in (None, Stage.RECEIVED):
            assert facts[wheel.key] == wheel.facts or held[wheel.key] in wheel.facts.ticked
        before = held.get(wheel.key)
        if before is not None and before not in wheel.facts.ticked:
            assert before not in facts[wheel.key].ticked
    assert all(
        waiting_words(wait) and "cannot be" not in waiting_words(wait).split(", so ")[0]
        for wait in plan.waiting
    )


@settings(max_examples=40, deadline=None)
@given(builds(most_axles=1, gaps=False), st.sampled_from([None, *SetUp]))
def test_one_axle_needs_no_more_changes_than_the_exhaustive_search(build, standing):
    pairs, orders = build
    plan = plan_work(wheels_of(pairs, orders), orders[0].route, standing=standing)
    assert plan.changes == exhaustive(pairs, orders, standing)


@settings(max_examples=12, deadline=None)
@given(builds(most_axles=2, gaps=False), st.sampled_from([None, SetUp.FIXING, SetUp.BETWEEN_CENTRES]))
def test_two_axles_need_no_more_changes_than_the_exhaustive_search(build, standing):
    pairs, orders = build
    plan = plan_work(wheels_of(pairs, orders), orders[0].route, standing=standing)
    assert plan.changes == exhaustive(pairs, orders, standing)


# By hand: seven set-ups after the first; one less where back and tread are cut on the mandrel together.
FEWEST = {FITTED: 7, MANDREL: 7, Route.FRONT_FIRST: 6, Route.BETWEEN_CENTRES: 7}


@pytest.mark.parametrize("route", list(Route))
def test_a_new_axle_of_each_kind_against_the_exhaustive_search(route):
    orders = [Order(route, True)]
    pairs = [(Wheel("A", frozenset()), Wheel("B", frozenset()))]
    assert plan_work(wheels_of(pairs, orders), route).changes == exhaustive(pairs, orders) == FEWEST[route]


@pytest.mark.parametrize("route", list(Route))
def test_a_coupled_and_a_carrying_axle_against_the_exhaustive_search(route):
    orders = [Order(route, True), Order(route, False)]
    bored = marked(Wheel("", frozenset({"received", "back_faced"})), Stage.BORED, orders[0])
    pairs = [
        (Wheel("A", frozenset()), Wheel("B", frozenset({"received"}))),
        (replace(bored, mark="C"), Wheel("D", frozenset({"received", "back_faced"}))),
    ]
    assert plan_work(wheels_of(pairs, orders), route).changes == exhaustive(pairs, orders) == FEWEST[route]


def new(axles=2, coupled=True, ticked=frozenset()):
    return [
        BatchWheel(2 * axle + at, axle, side, coupled, Wheel(f"W{2 * axle + at}", ticked))
        for axle in range(1, axles + 1)
        for at, side in enumerate(("left", "right"))
    ]


def rows(batches):
    return [(batch.set_up.value, batch.keys) for batch in batches]


def test_a_build_by_hand():
    every = (2, 3, 4, 5)
    assert rows(plan_work(new(), FITTED).batches) == [
        ("receiving", every),
        ("back_out", every),
        ("front_out", every),
        ("crankpin_jig", every),
        ("fixing", (2, 4)),  # the first wheel of each axle; the second goes on when the axle is quartered
        ("quartering", every),
        ("between_centres", every),
        ("painting", every),
    ]


def test_treads_are_not_split_even_where_their_set_up_stands():
    on = frozenset({"received", "back_faced", "bored", "pressed", HOLE})
    wheels = new()
    ready = [replace(w, facts=Wheel(w.facts.mark, on, True, True, True)) for w in wheels[:2]]
    plan = plan_work([*ready, *wheels[2:]], FITTED, standing=SetUp.BETWEEN_CENTRES)
    treads = [batch.keys for batch in plan.batches if batch.set_up is SetUp.BETWEEN_CENTRES]
    assert treads == [(2, 3, 4, 5)]
    assert plan.batches[0].set_up is SetUp.RECEIVING


def test_no_wheel_is_fixed_before_its_crankpin_hole_even_where_the_axles_lie_ready():
    bored = frozenset({"received", "back_faced", "bored"})
    wheels = [replace(w, facts=Wheel(w.facts.mark, bored, True, True)) for w in new(1)]
    plan = plan_work(wheels, FITTED, standing=SetUp.FIXING)
    assert [batch.set_up.value for batch in plan.batches][:2] == ["crankpin_jig", "fixing"]
    assert plan.changes == 5  # jig, back to fixing, treads, quartering, painting


def test_words_say_the_set_up_the_work_and_why():
    batches = plan_work(new(), MANDREL).batches
    by = {batch.set_up: batch for batch in batches}
    assert batch_words(by[SetUp.MANDREL]) == "In the lathe, on the stub mandrel: turn the tread."
    assert why_words(by[SetUp.MANDREL]) == "All treads in one set-up, so that they come out alike."
    turn = by[SetUp.QUARTERING].turns[0]
    assert turn.keys == (2, 3)
    assert turn_words(turn) == "W2 and W3 (axle 1): fix W3 and quarter the axle in one go."
    assert batch_words(batches[0]) == (
        "At the bench, with stamps, chalk and rule: look over, measure and mark."
    )


def test_a_held_wheel_keeps_its_fellow_waiting_and_its_tread_is_named():
    why = "W3 has a blowhole that is being looked into."
    plan = plan_work(new(), FITTED, holds=[Hold(3, why)])
    assert all(3 not in batch.keys for batch in plan.batches)
    assert [(wait.key, waiting_words(wait)) for wait in plan.waiting] == [
        (2, f"W2 waits for W3 on the same axle: {why}"),
        (3, why),
    ]
    treads = next(batch for batch in plan.batches if batch.set_up is SetUp.BETWEEN_CENTRES)
    assert treads.keys == (2, 4, 5)
    assert "Not ready for this: W3. Wait for it if you can" in why_words(treads)
    facts = execute(plan.batches, new(), FITTED)
    assert facts[4].has(Stage.PAINTED) and facts[5].has(Stage.PAINTED) and not facts[2].has(Stage.QUARTERED)


def test_a_hold_before_a_stage_lets_the_earlier_stages_go_on():
    plan = plan_work(new(1), FITTED, holds=[Hold(2, "Wait.", Stage.PRESSED)])
    facts = execute(plan.batches, new(1), FITTED)
    assert facts[2].has(Stage.BORED) and not facts[2].has(Stage.PRESSED)
    assert facts[2].throw_logged
    assert facts[3].has(Stage.TREAD_TURNED) and not facts[3].has(Stage.QUARTERED)


def test_spares_and_doubtful_bores_are_not_planned_over():
    # A spare is looked over with the rest, last, and goes into no other batch.
    spare = BatchWheel(9, 1, "left", True, Wheel("S", frozenset(), placed=False))
    batches = plan_work([*new(1), spare], FITTED).batches
    assert [batch.set_up for batch in batches if 9 in batch.keys] == [SetUp.RECEIVING]
    assert batches[0].turns[-1].works == (Work.RECEIVE,) and batches[0].turns[-1].where == "spare"
    (looked_over,) = (turn for turn in turns_now([*new(1), spare], FITTED, SetUp.RECEIVING) if 9 in turn.keys)
    assert looked_over.marks == ("S",)
    seen = replace(spare, facts=replace(spare.facts, ticked=frozenset({"received"})))
    assert all(9 not in batch.keys for batch in plan_work([*new(1), seen], FITTED).batches)
    bored = frozenset({"received", "back_faced", "bored"})
    doubt = Wheel(
        "D",
        bored,
        bore_logged=True,
        throw_logged=True,
        doubts=(Doubt("pressed", "The bore of D is too large."),),
    )
    plan = plan_work([BatchWheel(1, 1, "left", True, doubt)], FITTED)
    assert plan.batches == ()
    assert waiting_words(plan.waiting[0]) == "The bore of D is too large."
    assert plan.changes == 0


def test_finished_wheels_have_no_batch_and_carrying_axles_no_crankpin():
    every = frozenset(stage.value for stage in Stage)
    assert plan_work(new(2, ticked=every), FITTED).batches == ()
    carrying = plan_work(new(1, coupled=False), FITTED).batches
    assert [batch.set_up.value for batch in carrying] == [
        "receiving",
        "back_out",
        "front_out",
        "fixing",
        "between_centres",
        "painting",
    ]


def test_a_set_up_that_stands_is_used_first_when_that_saves_a_change():
    bored = frozenset({"received", "back_faced", "bored"})
    half = [replace(wheel, facts=replace(wheel.facts, ticked=bored, bore_logged=True)) for wheel in new(1)]
    plain = [batch.set_up for batch in plan_work(half, MANDREL).batches]
    assert plain[:2] == [SetUp.CRANKPIN_JIG, SetUp.MANDREL]
    plan = plan_work(half, MANDREL, standing=SetUp.MANDREL)
    assert [batch.set_up for batch in plan.batches][:2] == [SetUp.MANDREL, SetUp.CRANKPIN_JIG]
    assert plan.changes == 4  # jig, fixing, quartering, painting
    assert plan.working.result == "4"


@pytest.mark.parametrize(
    ("wheels", "field", "words"),
    [
        (new(1) + new(1), "wheels", "A casting is on the list twice"),
        (
            [BatchWheel(8, 1, "left", True, Wheel("X", frozenset())), *new(1)],
            "wheels",
            "are both at axle 1, left",
        ),
        ([BatchWheel(8, 1, "inside", True, Wheel("X", frozenset()))], "side", "X is neither left nor right"),
        (
            [new(1)[0], replace(new(1)[1], coupled=False)],
            "coupled",
            "Axle 1 is coupled on one side only: set both alike.",
        ),
    ],
)
def test_impossible_lists_are_refused_in_a_sentence(wheels, field, words):
    with pytest.raises(BatchError, match=words) as caught:
        plan_work(wheels, FITTED)
    assert caught.value.field == field


def test_what_is_not_measured_is_measured_before_the_first_wheel_is_fixed():
    """One wheel of the axle is measured, the other is not: the fits are known before a wheel goes on."""
    bored = frozenset({"received", "back_faced", "bored", HOLE})
    left, right = new(1)
    wheels = [
        replace(left, facts=Wheel("W2", bored, True, True, True)),
        replace(right, facts=Wheel("W3", bored, True, False, True)),
    ]
    fixing = next(b for b in plan_work(wheels, FITTED).batches if b.set_up is SetUp.FIXING)
    assert batch_words(fixing).endswith("clean: measure and log the bore, then fix on the axle.")
    assert [turn.marks for turn in fixing.turns] == [("W3",), ("W2",)]
    assert fixing.turns[0].works[0] is Work.LOG_BORE


def test_a_reason_that_does_not_name_the_wheel_is_told_with_its_mark_and_place():
    """Of throws that do not serve the first is named by the reason; an empty place names no wheel."""
    on = frozenset({"received", "back_faced", "bored", "pressed", "tread_turned", HOLE})
    left, right = new(1)
    pair = [
        replace(
            one,
            facts=Wheel(mark, on, True, True, True, (Doubt("quartered", f"The throw of {mark} is out."),)),
        )
        for one, mark in ((left, "W2"), (right, "W3"))
    ]
    why = "The throw of W2 is out. The throw of W3 is out."
    found = plan_work(pair, FITTED).waiting
    assert [waiting_line(one) for one in found] == [why, f"W3 (axle 1, right): {why}"]
    alone = plan_work(pair[1:], FITTED).waiting
    assert [waiting_line(one) for one in alone] == [
        "W3 (axle 1, right): The left place is empty: an axle is quartered with both its wheels."
    ]
    held = plan_work(pair, FITTED, holds=[Hold(2, "W2 waits for iron.")]).waiting
    assert [waiting_line(one) for one in held] == [
        "W2 waits for iron.",
        "W3 waits for W2 on the same axle: W2 waits for iron.",
    ]
    odd = (Doubt("pressed", "The bore of W2 is odd."),)
    doubt = replace(
        pair[0], facts=replace(pair[0].facts, ticked=on - {"pressed", "tread_turned"}, doubts=odd)
    )
    doubtful = plan_work([doubt, pair[1]], FITTED).waiting
    assert [waiting_line(one) for one in doubtful] == [
        "The bore of W2 is odd.",
        "W3 (axle 1, right): Both wheels must be on the axle before it is quartered: W2 is not pressed yet.",
    ]
    lost = replace(
        new(1)[0].facts, ticked=frozenset({"received"}), doubts=(Doubt("back_faced", "W2's rim is lost."),)
    )
    sized = plan_work([replace(new(1)[0], facts=lost)], FITTED).waiting
    assert [waiting_line(one) for one in sized] == ["W2's rim is lost."]


@pytest.mark.parametrize("route", list(Route))
def test_castings_painted_in_the_rough_are_painted_before_the_first_cut_and_finished_last(route):
    plan = plan_work(new(1), route, paint_first=True)
    usual = [batch.set_up.value for batch in plan_work(new(1), route).batches]
    assert [batch.set_up.value for batch in plan.batches] == ["receiving", "rough_paint", *usual[1:]]
    assert plan.changes == FEWEST[route] + 1 and plan.waiting == ()
    assert [batch.works for batch in plan.batches if "paint" in batch.set_up.value] == [
        (Work.ROUGH_PAINT,),
        (Work.FINISH_PAINT,),
    ]


def test_one_that_was_cut_unpainted_is_past_painting_in_the_rough():
    cut = frozenset({"received", "back_faced"})
    plan = plan_work(new(1, ticked=cut), FITTED, paint_first=True)
    assert next(batch.set_up for batch in plan.batches) is SetUp.FRONT_OUT
    assert plan.waiting == ()
    painted = plan_work(new(1, ticked=frozenset({"received", "painted.rough"})), FITTED, paint_first=True)
    assert next(batch.set_up for batch in painted.batches) is SetUp.BACK_OUT


def test_a_casting_that_is_not_to_be_cut_is_not_painted_either():
    plan = plan_work(
        new(1), FITTED, holds=[Hold(2, "It does not clean up.", Stage.BACK_FACED)], paint_first=True
    )
    (rough,) = (batch for batch in plan.batches if batch.set_up is SetUp.ROUGH_PAINT)
    assert rough.keys == (3,)


def test_a_set_up_of_one_pattern_is_a_batch_for_each() -> None:
    """Two axles of two patterns: looked over and painted together, and each held and cut by itself."""
    wheels = [
        BatchWheel(2 * axle + at, axle, side, False, Wheel(f"{axle}{side[0]}", frozenset()), pattern=axle)
        for axle in (1, 2)
        for at, side in enumerate(("left", "right"))
    ]
    plan, alike = (
        plan_work(row, Route.FITTED_FIRST) for row in (wheels, [replace(one, pattern=1) for one in wheels])
    )
    assert [(one.set_up, one.pattern) for one in plan.batches] == [
        pair
        for one in alike.batches
        for pair in ([(one.set_up, 1), (one.set_up, 2)] if one.set_up.of_pattern else [(one.set_up, None)])
    ]
    assert plan.changes == len(plan.batches) - 1 > alike.changes == len(alike.batches) - 1
    for one in plan.batches:
        assert one.pattern is None or {wheel.pattern for wheel in wheels if wheel.key in one.keys} == {
            one.pattern
        }
    # No wheel's work is lost by it, and none is done twice.
    assert sorted(job for one in plan.batches for turn in one.turns for job in turn.jobs) == sorted(
        job for one in alike.batches for turn in one.turns for job in turn.jobs
    )


def test_the_pattern_that_is_set_up_for_comes_first() -> None:
    wheels = [
        BatchWheel(axle, axle, "left", False, Wheel(f"W{axle}", frozenset({"received"})), pattern=axle)
        for axle in (1, 2)
    ]
    back = SetUp.BACK_OUT
    for pattern in (1, 2):
        plan = plan_work(wheels, Route.FITTED_FIRST, standing=back, standing_pattern=pattern)
        assert [one.pattern for one in plan.batches if one.set_up is back] == [pattern, 3 - pattern]
        assert plan.changes == len(plan.batches) - 1
    # Nobody says for which: then the first batch is no change.
    assert plan_work(wheels, Route.FITTED_FIRST, standing=back).changes == len(plan.batches) - 1
    # Set up for a pattern that has nothing left in it, it is changed for the other.
    done = [
        replace(wheels[0], facts=replace(wheels[0].facts, ticked=frozenset({"received", "back_faced"}))),
        wheels[1],
    ]
    plan = plan_work(done, Route.FITTED_FIRST, standing=back, standing_pattern=1)
    assert plan.changes == len(plan.batches)


def test_treads_of_another_pattern_are_not_called_left_out() -> None:
    cut = frozenset({"received", "back_faced", "bored", "pressed"})
    wheels = [
        BatchWheel(axle, axle, "left", False, Wheel(f"W{axle}", cut, bore_logged=True), pattern=axle)
        for axle in (1, 2)
    ]
    held = [Hold(2, "Wait.", Stage.TREAD_TURNED)]
    (treads,) = (one for one in plan_work(wheels, Route.FITTED_FIRST, held).batches if one.set_up.of_pattern)
    assert treads.left_out == ()
    same = [replace(one, pattern=1) for one in wheels]
    (treads,) = (one for one in plan_work(same, Route.FITTED_FIRST, held).batches if one.set_up.of_pattern)
    assert treads.left_out == ("W2",)
