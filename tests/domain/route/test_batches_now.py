"""What a set-up can do now: never past a guard, and nothing left out that the guards let through.

Held against the guards of domain/route/guards.py with a table of set-ups written out by hand. The rules are common practice,
no published source.
"""

from hypothesis import given, settings
from hypothesis import strategies as st

from domain.route.guards import Doubt, Order, Wheel, objection_to_tick
from domain.route.planning import turns_now
from domain.route.set_ups import SetUp, Work
from domain.route.shop import BatchWheel, Hold, as_done
from domain.route.stages import Route, Stage, stages

FITTED = Route.FITTED_FIRST
# Set-ups whose one tick is the wheel's own.
TICKS = {
    SetUp.RECEIVING: Stage.RECEIVED,
    SetUp.BACK_OUT: Stage.BACK_FACED,
    SetUp.FRONT_OUT: Stage.BORED,
    SetUp.BETWEEN_CENTRES: Stage.TREAD_TURNED,
    SetUp.PAINTING: Stage.PAINTED,
}


@st.composite
def engines(draw):
    """Two axles, each wheel some way along its route, its bore and throw logged or not, in doubt or not."""
    wheels = []
    for axle in (1, 2):
        coupled = draw(st.booleans())
        row = [s for s in stages(FITTED, coupled=coupled) if s is not Stage.QUARTERED]
        for side in ("left", "right"):
            ticked = frozenset(s.value for s in row[: draw(st.integers(0, len(row)))])
            doubts = tuple(
                Doubt(key, "Something is wrong.")
                for key in draw(st.sets(st.sampled_from(["back_faced", "bored", "pressed"])))
            )
            mark = f"W{len(wheels) + 1}"
            facts = Wheel(mark, ticked, True, draw(st.booleans()), draw(st.booleans()), doubts)
            wheels.append(BatchWheel(len(wheels) + 1, axle, side, coupled, facts))
    return wheels


@settings(max_examples=60, deadline=None)
@given(engines(), st.sampled_from(sorted(TICKS)))
def test_exactly_what_the_guards_let_through(wheels, set_up):
    stage = TICKS[set_up]
    ticking = {Work.LOG_BORE}
    free = {
        key
        for turn in turns_now(wheels, FITTED, set_up)
        for key in turn.keys
        if not set(turn.works) <= ticking
    }
    wanted = {
        wheel.key
        for wheel in wheels
        if not wheel.facts.has(stage)
        and objection_to_tick(stage.value, wheel.facts, Order(FITTED, wheel.coupled)) is None
    }
    assert free == wanted


@settings(max_examples=60, deadline=None)
@given(engines(), st.sampled_from(sorted(SetUp)))
def test_looking_over_doubts_takes_no_wheel_away(wheels, set_up):
    keys = [
        {key for turn in turns_now(wheels, FITTED, set_up, over_doubts=over) for key in turn.keys}
        for over in (False, True)
    ]
    # Of a pair another wheel may then be the first to go on; the axle has its turn all the same.
    axles = [{wheel.axle for wheel in wheels if wheel.key in found} for found in keys]
    assert axles[0] <= axles[1]


def test_a_bore_ticked_but_not_logged_is_still_this_set_up_s():
    bored = Wheel("A", frozenset({"received", "back_faced", "bored"}))
    (turn,) = turns_now([BatchWheel(7, 1, "left", True, bored)], FITTED, SetUp.FRONT_OUT)
    assert (turn.keys, turn.works) == ((7,), (Work.LOG_BORE,))


def test_a_doubtful_fit_waits_unless_it_is_looked_over():
    ready = frozenset({"received", "back_faced", "bored"})
    doubtful = BatchWheel(
        1, 1, "left", False, Wheel("A", ready, True, True, True, (Doubt("pressed", "The fit is no good."),))
    )
    assert turns_now([doubtful], FITTED, SetUp.FIXING) == ()
    (turn,) = turns_now([doubtful], FITTED, SetUp.FIXING, over_doubts=True)
    assert turn.works == (Work.FIX,)


def test_a_wheel_that_is_held_is_not_offered():
    wheels = [
        BatchWheel(n, 1, side, False, Wheel(f"W{n}", frozenset({"received"})))
        for n, side in ((1, "left"), (2, "right"))
    ]
    turns = turns_now(wheels, FITTED, SetUp.BACK_OUT, holds=[Hold(1, "Wait.", Stage.BACK_FACED)])
    assert [turn.keys for turn in turns] == [(2,)]
    free = turns_now(wheels, FITTED, SetUp.BACK_OUT, holds=[Hold(1, "Wait.", Stage.BORED)])
    assert [turn.keys for turn in free] == [(1,), (2,)]


def test_works_are_told_in_the_order_they_are_done():
    assert as_done(SetUp.FIXING, [Work.FIX, Work.LOG_BORE, Work.FIX]) == (Work.LOG_BORE, Work.FIX)
    assert as_done(SetUp.FRONT_OUT, [Work.BORE, Work.LOG_BORE]) == (Work.LOG_BORE, Work.BORE)
    assert as_done(SetUp.QUARTERING, [Work.QUARTER, Work.LOG_THROW]) == (Work.LOG_THROW, Work.QUARTER)
