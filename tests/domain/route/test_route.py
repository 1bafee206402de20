"""The guards on the order of work, against tables written out by hand and not taken from the program.

Source of the rules: common practice, no published source.
"""

from dataclasses import replace
from itertools import chain, combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.route.guards import (
    Doubt,
    Objection,
    Order,
    Strength,
    Wheel,
    needed,
    next_stage,
    objection_to_fix_and_quarter,
    objection_to_measure,
    objection_to_quarter,
    objection_to_tick,
    objection_to_unquarter,
    objection_to_untick,
    present_stage,
)
from domain.route.stages import Route, Stage

FITTED, MANDREL = Route.FITTED_FIRST, Route.MANDREL_FIRST
FRONT, CENTRES = Route.FRONT_FIRST, Route.BETWEEN_CENTRES
LETTERS = {
    "R": "received",
    "F": "back_faced",
    "B": "bored",
    "P": "pressed",
    "T": "tread_turned",
    "Q": "quartered",
    "A": "painted",
}
# Stage: what must be ticked before it. A stage that is not there does not exist for that wheel.
# The second wheel is quartered as it goes on, so quartering does not wait for a tread turned on the axle.
PLAIN_FITTED = {"R": "", "F": "R", "B": "RF", "P": "RFB", "T": "RFBP", "Q": "RFBP", "A": "RFBPTQ"}
PLAIN_MANDREL = {"R": "", "F": "R", "B": "RF", "T": "RFB", "P": "RFBT", "Q": "RFBTP", "A": "RFBTPQ"}
CARRYING_FITTED = {"R": "", "F": "R", "B": "RF", "P": "RFB", "T": "RFBP", "A": "RFBPT"}
CARRYING_MANDREL = {"R": "", "F": "R", "B": "RF", "T": "RFB", "P": "RFBT", "A": "RFBTP"}
# The bore from the front needs no faced back; the back is faced in the bore.
PLAIN_FRONT = {"R": "", "B": "R", "F": "RB", "T": "RBF", "P": "RBFT", "Q": "RBFTP", "A": "RBFTPQ"}
CARRYING_FRONT = {"R": "", "B": "R", "F": "RB", "T": "RBF", "P": "RBFT", "A": "RBFTP"}
# Between the axle's own centres no tread is turned before the second wheel is on and quartered.
PLAIN_CENTRES = {"R": "", "F": "R", "B": "RF", "P": "RFB", "Q": "RFBP", "T": "RFBPQ", "A": "RFBPQT"}
CARRYING_CENTRES = CARRYING_FITTED
NEEDS = {
    Order(FITTED, coupled=True): PLAIN_FITTED,
    Order(FITTED, coupled=False): CARRYING_FITTED,
    Order(MANDREL, coupled=True): PLAIN_MANDREL,
    Order(MANDREL, coupled=False): CARRYING_MANDREL,
    Order(FRONT, coupled=True): PLAIN_FRONT,
    Order(FRONT, coupled=False): CARRYING_FRONT,
    Order(CENTRES, coupled=True): PLAIN_CENTRES,
    Order(CENTRES, coupled=False): CARRYING_CENTRES,
}
# Stage: the stages that rest on it, so that it cannot be unticked while one of them stands.
RESTS = {
    Order(FITTED, coupled=True): {
        "R": "FBPTQA", "F": "BPTQA", "B": "PTQA", "P": "TQA", "T": "A", "A": "",
    },
    Order(FITTED, coupled=False): {
        "R": "FBPTA", "F": "BPTA", "B": "PTA", "P": "TA", "T": "A", "A": "",
    },
    Order(MANDREL, coupled=True): {
        "R": "FBTPQA", "F": "BTPQA", "B": "TPQA", "T": "PQA", "P": "QA", "A": "",
    },
    Order(MANDREL, coupled=False): {
        "R": "FBTPA", "F": "BTPA", "B": "TPA", "T": "PA", "P": "A", "A": "",
    },
    Order(FRONT, coupled=True): {
        "R": "BFTPQA", "B": "FTPQA", "F": "TPQA", "T": "PQA", "P": "QA", "A": "",
    },
    Order(FRONT, coupled=False): {
        "R": "BFTPA", "B": "FTPA", "F": "TPA", "T": "PA", "P": "A", "A": "",
    },
    Order(CENTRES, coupled=True): {
        "R": "FBPQTA", "F": "BPQTA", "B": "PQTA", "P": "QTA", "T": "A", "A": "",
    },
    Order(CENTRES, coupled=False): {
        "R": "FBPTA", "F": "BPTA", "B": "PTA", "P": "TA", "T": "A", "A": "",
    },
}  # fmt: skip
# Every small step, by its stage, and whether it belongs to a crankpin.
STEPS = {
    "R": ("received.marked", "received.looked_over", "received.measured"),
    "F": ("back_faced.rim_true", "back_faced.face_true", "back_faced.to_size", "back_faced.not_bored"),
    "B": ("bored.turned_round", "bored.rim_true", "bored.front_faced", "bored.drilled", "bored.reamed"),
    "P": ("pressed.clean", "pressed.square", "pressed.true"),
    "T": ("tread_turned.same_set_up", "tread_turned.to_size", "tread_turned.flange", "tread_turned.edge"),
    "A": ("painted.masked", "painted.dry"),
}
# Where the front is faced first there is nothing to turn round before the bore, and the back is faced in the bore.
FRONT_STEPS = STEPS | {
    "F": ("back_faced.on_mandrel", "back_faced.to_size"),
    "B": ("bored.rim_true", "bored.face_true", "bored.front_faced", "bored.drilled", "bored.reamed"),
}
EVERY_STEP = {key for table in (STEPS, FRONT_STEPS) for keys in table.values() for key in keys}
# By the stage that must be ticked, and those before it.
COUPLED_STEPS = {"bored.crank_boss": ("B", ""), "quartered.hole": ("B", "B")}
SETS = ["".join(s) for s in chain.from_iterable(combinations("RFBPTQA", n) for n in range(8))]
ORDERS = pytest.mark.parametrize("order", NEEDS, ids=str)


def _keys(letters: str) -> frozenset[str]:
    return frozenset(LETTERS[letter] for letter in letters)


def _ready(letters: str, mark: str = "W1") -> Wheel:
    """In its place, bore and throw logged, nothing wrong with the fit."""
    return Wheel(mark, _keys(letters), placed=True, bore_logged=True, throw_logged=True)


def _spoken(letter: str) -> str:
    return LETTERS[letter].replace("_", " ")


def _refused(objection: Objection | None) -> str:
    assert objection is not None
    assert objection.strength is Strength.REFUSE
    return objection.words


def _asked(objection: Objection | None) -> str:
    assert objection is not None
    assert objection.strength is Strength.CONFIRM
    return objection.words


@ORDERS
@pytest.mark.parametrize("stage", "RFBPTA")
def test_every_stage_against_every_set_of_ticks(order: Order, stage: str) -> None:
    needs = NEEDS[order][stage]
    assert len(SETS) == 128
    for ticked in SETS:
        objection = objection_to_tick(LETTERS[stage], _ready(ticked), order)
        missing = [letter for letter in needs if letter not in ticked]
        if not missing:
            assert objection is None, ticked
            continue
        words = _refused(objection)
        assert words.startswith("W1 is not "), ticked
        named, _, rest = words.removeprefix("W1 is not ").partition(" yet, so it cannot be ticked ")
        assert rest.startswith(f"“{_spoken(stage)}”."), ticked
        assert named.replace(" and ", ", ").split(", ") == [_spoken(letter) for letter in missing], ticked


@ORDERS
def test_quartered_is_never_a_wheels_own_tick(order: Order) -> None:
    for ticked in SETS:
        for objection in (
            objection_to_tick("quartered", _ready(ticked), order),
            objection_to_untick("quartered", _ready(ticked), order),
        ):
            words = _refused(objection)
            assert ("belongs to the axle" in words) == order.coupled
            assert ("no such stage" in words) != order.coupled


@ORDERS
def test_every_step_waits_for_the_stages_before_its_own(order: Order) -> None:
    table = FRONT_STEPS if order.route is FRONT else STEPS
    wanted = {key: NEEDS[order][stage] for stage, keys in table.items() for key in keys}
    for ticked in SETS:
        for key, needs in wanted.items():
            objection = objection_to_tick(key, _ready(ticked), order)
            assert (objection is None) == (set(needs) <= set(ticked)), (key, ticked)
            assert objection_to_untick(key, _ready(ticked), order) is None
        for key, (stage, own) in COUPLED_STEPS.items():
            objection = objection_to_tick(key, _ready(ticked), order)
            needs = NEEDS[order][stage] + own
            assert (objection is None) == (order.coupled and set(needs) <= set(ticked)), (key, ticked)
    for key in EVERY_STEP - wanted.keys():
        assert "There is no such" in _refused(objection_to_tick(key, _ready("RFBPTQA"), order))


@ORDERS
@pytest.mark.parametrize(
    "key", ["", "polished", "Bored", "bored ", "bored.", "bored.polished", "BORED", "\0", "q" * 9999]
)
def test_what_does_not_exist_cannot_be_ticked(order: Order, key: str) -> None:
    assert "There is no such" in _refused(objection_to_tick(key, _ready("RFBPTQA"), order))
    assert "There is no such" in _refused(objection_to_untick(key, _ready("RFBPTQA"), order))


@ORDERS
def test_a_bore_from_the_back_is_warned_of(order: Order) -> None:
    if order.route is FRONT:
        # From the front at once; the back waits for the hole it is held by.
        assert objection_to_tick("bored", _ready("R"), order) is None
        assert "W1 is not bored yet" in _refused(objection_to_tick("back_faced", _ready("R"), order))
        return
    assert "comes out of the middle of the crank boss" in _refused(
        objection_to_tick("bored", _ready("R"), order)
    )


@ORDERS
def test_pressed_wants_a_place_a_bore_and_a_fit_that_serves(order: Order) -> None:
    ticked = _keys(NEEDS[order]["P"])
    spare = Wheel("W7", ticked, placed=False, bore_logged=True)
    assert "W7 is a spare" in _refused(objection_to_tick("pressed", spare, order))
    bare = Wheel("W1", ticked, placed=True, bore_logged=False)
    assert "No bore is logged for W1" in _asked(objection_to_tick("pressed", bare, order))
    doubts = (
        Doubt("pressed", "W1: clearance 1 mm, too wide."),
        Doubt("pressed", "The seat of W1 is not measured.", waits=False),
        Doubt("painted", "W1 is rusty."),
    )
    doubtful = Wheel("W1", ticked, placed=True, bore_logged=True, doubts=doubts)
    # Everything is asked about at once, so that one yes covers nothing that was not said.
    assert (
        _asked(objection_to_tick("pressed", doubtful, order))
        == "W1: clearance 1 mm, too wide. The seat of W1 is not measured."
    )
    # A missing stage is never a matter of confirming, whatever else is in doubt.
    early = replace(doubtful, ticked=ticked - {"bored"})
    assert "not bored" in _refused(objection_to_tick("pressed", early, order))


@ORDERS
def test_a_second_coupled_wheel_fixed_alone_is_asked_about(order: Order) -> None:
    ready = NEEDS[order]["P"]
    on, off = _ready(ready + "P"), _ready(ready, "W2")
    objection = objection_to_tick("pressed", off, order, on)
    if not order.coupled:
        assert objection is None
        return
    assert "W2 is the second wheel of its axle: quarter it as it goes on" in _asked(objection)
    assert objection_to_tick("pressed", off, order, _ready(ready)) is None
    assert objection_to_fix_and_quarter(on, off, order) is None


@pytest.mark.parametrize("order", RESTS, ids=str)
@pytest.mark.parametrize("stage", "RFBPTA")
def test_unticking_names_all_that_rests_on_it(order: Order, stage: str) -> None:
    for ticked in SETS:
        if not order.coupled and "Q" in ticked:
            continue
        wheel = Wheel("W1", _keys(ticked), placed=True)
        objection = objection_to_untick(LETTERS[stage], wheel, order)
        resting = [letter for letter in RESTS[order][stage] if letter in ticked]
        if not resting:
            assert objection is None, ticked
            continue
        words = _refused(objection)
        named, _, rest = words.partition(" on W1 rest")
        assert named.lower().replace(" and ", ", ").split(", ") == sorted(
            (_spoken(letter) for letter in resting),
            key=[_spoken(letter) for letter in NEEDS[order]].index,
        ), ticked
        assert f"on “{_spoken(stage)}”" in rest


@pytest.mark.parametrize(
    ("bore", "throw", "said"),
    [(True, False, "A bore"), (False, True, "A throw"), (True, True, "A bore and throw")],
)
@pytest.mark.parametrize("stage", "FB")
@ORDERS
def test_unticking_under_a_measurement_wants_to_be_confirmed(
    order: Order, stage: str, bore: bool, throw: bool, said: str
) -> None:
    wheel = Wheel("W1", _keys(NEEDS[order][stage] + stage), True, bore, throw)
    objection = objection_to_untick(LETTERS[stage], wheel, order)
    if order.route is FRONT and stage == "F":
        assert objection is None  # a back that is faced on a mandrel says nothing of the hole
        return
    assert objection is not None
    assert objection.strength is Strength.CONFIRM
    assert objection.words.startswith(f"{said} is logged for W1")


@ORDERS
def test_the_axle_against_every_set_of_ticks_of_either_wheel(order: Order) -> None:
    if not order.coupled:
        words = _refused(objection_to_quarter(_ready("RFBPT"), _ready("RFBPT", "W2"), order))
        assert "nothing to quarter" in words
        return
    needs = set(NEEDS[order]["Q"])
    good = _ready("RFBPT")
    for ticked in SETS:
        wheel = _ready(ticked, "W2")
        for pair in ((good, wheel), (wheel, good)):
            objection = objection_to_quarter(*pair, order)
            assert (objection is None) == (needs <= set(ticked)), ticked
            if objection is not None:
                assert "W2" in _refused(objection)


@pytest.mark.parametrize("order", [o for o in NEEDS if o.coupled], ids=str)
def test_quartered_wants_both_wheels_on_and_both_throws(order: Order) -> None:
    on = _ready("RFBPT")
    for left, right, side in ((None, on, "left"), (on, None, "right"), (None, None, "left")):
        assert f"The {side} place is empty" in _refused(objection_to_quarter(left, right, order))
    off = _ready("RFBT", "W2")
    assert "W2 is not pressed yet" in _refused(objection_to_quarter(on, off, order))
    assert "W2 and W2 are not pressed yet" in _refused(objection_to_quarter(off, off, order))
    bare = Wheel("W2", _keys("RFBPT"), True, True, False)
    assert "No throw is logged for W2:" in _refused(objection_to_quarter(on, bare, order))
    assert "No throw is logged for W2 and W2:" in _refused(objection_to_quarter(bare, bare, order))


@ORDERS
def test_fixing_and_quartering_in_one_go(order: Order) -> None:
    ready = NEEDS[order]["P"]
    on, off = _ready(ready + "P"), _ready(ready, "W2")
    objection = objection_to_fix_and_quarter(on, off, order)
    assert (objection is None) == order.coupled
    if not order.coupled:
        assert "nothing to quarter" in _refused(objection)


@pytest.mark.parametrize("route", Route)
def test_one_go_still_wants_everything_else(route: Route) -> None:
    order = Order(route, coupled=True)
    ready = NEEDS[order]["P"]
    on, off = _ready(ready + "P"), _ready(ready, "W2")
    cases = [
        (None, off, "fix the first wheel"),
        (off, off, "fix the first wheel"),
        (on, None, "place"),
        (on, _ready(NEEDS[order]["B"], "W2"), "W2 is not bored"),
        (on, Wheel("W2", _keys(ready), True, True, False), "No throw is logged for W2"),
        (Wheel("W1", _keys(ready + "P"), True, True, False), off, "No throw is logged for W1"),
        (on, Wheel("W2", _keys(ready), False, True, True), "W2 is a spare"),
    ]
    for first, second, words in cases:
        assert words in _refused(objection_to_fix_and_quarter(first, second, order))
    unmeasured = Wheel("W2", _keys(ready), True, False, True)
    assert "No bore is logged for W2" in _asked(objection_to_fix_and_quarter(on, unmeasured, order))
    wide = (Doubt("pressed", "W2 is too wide for the bond."),)
    doubtful = Wheel("W2", _keys(ready), True, True, True, wide)
    objection = objection_to_fix_and_quarter(on, doubtful, order, ("The heights of axle 1 are out.",))
    assert _asked(objection) == "W2 is too wide for the bond. The heights of axle 1 are out."
    # What cannot be done at all is said before what may be confirmed.
    worse = Wheel("W2", _keys(ready), True, True, False, wide)
    assert "No throw" in _refused(objection_to_fix_and_quarter(on, worse, order))


def test_an_empty_place_is_not_said_to_be_a_side_it_may_not_be() -> None:
    """Which wheel is first depends on which is on, not on its side, so no side can be named."""
    order = Order(FITTED, coupled=True)
    words = _refused(objection_to_fix_and_quarter(_ready("RFBP"), None, order))
    assert "left" not in words
    assert "right" not in words


@ORDERS
def test_measuring_waits_for_what_is_measured(order: Order) -> None:
    for ticked in SETS:
        wheel = _ready(ticked)
        bore = objection_to_measure("bore", wheel, order)
        assert (bore is None) == ((set("R") if order.route is FRONT else set("RF")) <= set(ticked)), ticked
        throw = objection_to_measure("throw", wheel, order)
        drilled = set("RB") if order.route is FRONT else set("RFB")
        assert (throw is None) == (order.coupled and drilled <= set(ticked)), ticked
        if not order.coupled:
            assert "no crankpin" in _refused(throw)


@ORDERS
def test_where_a_wheel_is_and_what_comes_next(order: Order) -> None:
    route = list(NEEDS[order])
    for ticked in SETS:
        run = 0
        while run < len(route) and route[run] in ticked:
            run += 1
        present = present_stage(_keys(ticked), order)
        assert present == (Stage(LETTERS[route[run - 1]]) if run else None)
        following = next_stage(_keys(ticked), order)
        assert following == (Stage(LETTERS[route[run]]) if run < len(route) else None)


def test_a_stage_off_the_route_is_an_error() -> None:
    with pytest.raises(ValueError, match="not in tuple"):
        needed(Stage.QUARTERED, Order(FITTED, coupled=False))


def test_throws_that_do_not_serve_want_to_be_confirmed() -> None:
    order = Order(Route.FITTED_FIRST, coupled=True)
    ready = frozenset({"received", "back_faced", "bored", "pressed"})
    good = Wheel("A", ready, bore_logged=True, throw_logged=True)
    throw, bore = Doubt("quartered", "The throw of B is out."), Doubt("pressed", "The bore of B is tight.")
    odd = Wheel("B", ready, bore_logged=True, throw_logged=True, doubts=(throw, bore))
    assert _asked(objection_to_quarter(good, odd, order)) == throw.words
    assert objection_to_quarter(good, good, order) is None
    both = objection_to_fix_and_quarter(good, replace(odd, ticked=ready - {"pressed"}), order)
    assert _asked(both) == f"{bore.words} {throw.words}"


# Sizes under what the drawing says: a tick that says one is reached wants to be confirmed. Workshop rule, no source.
LOST = replace(
    Wheel("W3", frozenset({"received"})),
    doubts=(
        Doubt("back_faced", "The rim is lost."),
        Doubt("back_faced.to_size", "The rim is lost."),
        Doubt("bored", "Lost."),
    ),
)


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("back_faced", "The rim is lost."),
        ("back_faced.to_size", "The rim is lost."),
        ("back_faced.rim_true", None),
        ("received.marked", None),
    ],
)
def test_a_lost_size_is_confirmed_at_its_own_tick_only(key: str, words: str | None) -> None:
    found = objection_to_tick(key, LOST, Order(FITTED, coupled=True))
    assert found == (None if words is None else Objection(Strength.CONFIRM, words))


def test_what_must_come_first_is_refused_before_a_lost_size_is_asked_about() -> None:
    found = objection_to_tick("bored", LOST, Order(FITTED, coupled=True))
    assert found is not None and found.strength is Strength.REFUSE


def test_a_lost_size_stops_no_untick() -> None:
    faced = replace(LOST, ticked=frozenset({"received", "back_faced"}))
    assert objection_to_untick("back_faced", faced, Order(FITTED, coupled=True)) is None


# What no route may break, whatever its order; by hand. Common practice, no source.
ALWAYS_FIRST = {"B": "R", "F": "R", "P": "RFB", "T": "RFB", "Q": "RFBP", "A": "RFBPT"}
PLAIN_ORDERS = pytest.mark.parametrize(
    "order",
    [Order(route, coupled, paint) for route in Route for coupled in (True, False) for paint in (True, False)],
    ids=str,
)


@PLAIN_ORDERS
def test_every_route_is_walked_to_its_end_in_its_order_and_no_guard_refuses(order: Order) -> None:
    left, right = Wheel("W1", frozenset(), throw_logged=True), Wheel("W2", frozenset(), throw_logged=True)

    def with_tick(wheel: Wheel, key: str) -> Wheel:
        objection = objection_to_tick(key, wheel, order)
        assert objection is None, (key, objection)
        return replace(
            wheel, ticked=wheel.ticked | {key}, bore_logged=wheel.has(Stage.BORED) or key == "bored"
        )

    walked = list(order.stages)
    if order.coupled:  # the second wheel is fixed and its axle quartered in one go
        walked.remove(Stage.QUARTERED)
    for stage in walked:
        own = [step.key for step in order.steps(stage) if step.after is None]
        later = [step.key for step in order.steps(stage) if step.after is not None]
        for key in own:
            left, right = with_tick(left, key), with_tick(right, key)
        left = with_tick(left, stage.value)
        if stage is Stage.PRESSED and order.coupled:
            assert objection_to_fix_and_quarter(left, right, order) is None
            right = replace(right, ticked=right.ticked | {"pressed", "quartered"})
            left = replace(left, ticked=left.ticked | {"quartered"})
        else:
            right = with_tick(right, stage.value)
        for key in later:
            left, right = with_tick(left, key), with_tick(right, key)
    assert next_stage(left.ticked, order) is next_stage(right.ticked, order) is None
    assert present_stage(left.ticked, order) is Stage.PAINTED


@given(st.sampled_from(list(Route)), st.booleans(), st.booleans(), st.permutations("RFBPTA"))
def test_no_order_of_ticks_breaks_what_is_protected(
    route: Route, coupled: bool, paint: bool, keys: list[str]
) -> None:
    """A wheel goes as far as the guards let it, in any order tried: what is protected always came first."""
    order, done = Order(route, coupled, paint), ""
    for letter in keys * len(keys):
        # Its fellow is on, so the axle is quartered with it as soon as it is.
        quartered = "Q" if coupled and "P" in done else ""
        if letter in done or objection_to_tick(LETTERS[letter], _ready(done + quartered), order) is not None:
            continue
        first = ALWAYS_FIRST.get(letter, "")
        if letter == "F" and route is FRONT:
            first += "B"  # on a mandrel in the bore
        if letter == "B" and route is not FRONT:
            first += "F"  # never put through while the back is to be faced
        if letter == "P" and route in (MANDREL, FRONT):
            first += "T"  # on the mandrel, so off the axle
        if letter == "T" and route in (FITTED, CENTRES):
            first += "P"
        assert set(first) <= set(done), (letter, done)
        done += letter
    assert sorted(done) == sorted("RFBPTA")


@pytest.mark.parametrize("stage", ["tread_turned", "painted"])
def test_between_centres_no_tread_is_cut_and_nothing_finished_before_the_axle_is_quartered(
    stage: str,
) -> None:
    order = Order(CENTRES, coupled=True)
    words = _refused(objection_to_tick(stage, _ready("RFBP" if stage == "tread_turned" else "RFBPT"), order))
    assert words.startswith("W1 is not quartered yet")
    # And an axle whose tread is cut keeps its quartering: it cannot be set anew without losing the treads' centres.
    turned = objection_to_unquarter([_ready("RFBPTQ")], order)
    assert "Tread turned on W1 rests on “quartered”" in _refused(turned)
    assert objection_to_unquarter([_ready("RFBPTQ")], Order(FITTED, coupled=True)) is None


@PLAIN_ORDERS
def test_painting_in_the_rough_is_a_step_that_closes_nothing(order: Order) -> None:
    rough = objection_to_tick("painted.rough", _ready("R"), order)
    if not order.paint_first:
        assert "There is no such step" in _refused(rough)
        return
    assert rough is None
    early = Wheel("W1", frozenset({"received", "painted.rough"}))
    assert present_stage(early.ticked, order) is Stage.RECEIVED
    words = _refused(objection_to_tick("painted", early, order))
    assert words.endswith("so it cannot be ticked “painted”. Painted is ticked last, after all machining.")
    assert [step.key for step in order.steps(Stage.PAINTED)] == ["painted.bright", "painted.dry"]
    assert [step.key for step in order.steps(Stage.RECEIVED)][-1] == "painted.rough"
