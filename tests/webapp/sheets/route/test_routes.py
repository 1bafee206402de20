"""One axle on each route, from received to painted: the plan, the batch and the axle sheet agree. By hand; no source."""

import re
from functools import partial

import pytest
from fastapi.testclient import TestClient

from domain.route.guards import Order
from domain.route.stages import Route, Stage, as_worked
from tests.webapp.scenes import Bench, Words, form_on
from webapp.db import Db


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """Somebody at the bench."""
    return Bench(client, db).sit_down()


ROUTES = pytest.mark.parametrize("route", ["fitted_first", "mandrel_first", "front_first", "between_centres"])
BENCH, JIG = "At the bench, with stamps, chalk and rule", "At the drill, with the one crankpin jig"
BACK, FRONT = "In the four-jaw chuck, back outward", "In the four-jaw chuck, front outward"
FIX, SET = (
    "At the bench, with axles and wheels clean",
    "In the quartering fixture, or in vee blocks on the surface plate",
)
MANDREL, CENTRES = "In the lathe, on the stub mandrel", "In the lathe, between centres on the axle"
PAINT = "At the paint bench, away from the machines"
PLANS = {
    "fitted_first": [BENCH, BACK, FRONT, JIG, FIX, SET, CENTRES, PAINT],
    "mandrel_first": [BENCH, BACK, FRONT, JIG, MANDREL, FIX, SET, PAINT],
    "front_first": [BENCH, FRONT, JIG, f"{MANDREL}, back outward", FIX, SET, PAINT],
    "between_centres": [BENCH, BACK, FRONT, JIG, FIX, SET, CENTRES, PAINT],
}
# What stands on the axle sheet, from the top.
ROWS = {
    "fitted_first": "received back_faced bored pressed quartered tread_turned painted",
    "mandrel_first": "received back_faced bored tread_turned pressed quartered painted",
    "front_first": "received bored back_faced tread_turned pressed quartered painted",
    "between_centres": "received back_faced bored pressed quartered tread_turned painted",
}
# Asked for too early, and what is said.
EARLY = {
    "fitted_first": ("bored", "W1 is not back faced yet"),
    "mandrel_first": ("pressed", "W1 is not back faced, bored and tread turned yet"),
    "front_first": ("back_faced", "W1 is not bored yet"),
    "between_centres": ("tread_turned", "W1 is not back faced, bored, pressed and quartered yet"),
}


def planned(bench: Bench) -> list[str]:
    text = Words(bench.whole("/builds/1/batches")).text
    # The first stands open above the others, which are numbered.
    return re.findall(r"(?:Remember|\d+\.) ((?:In|At) [^:]*?)(?:: W1| Look over)", text)


def one_axle(bench: Bench, route: str, **changes: object) -> None:
    bench.metric(route=route, axles="1", coupled="1", castings="2", marks="W1 W2", **changes)


@ROUTES
def test_the_plan_names_where_each_route_does_its_work(bench: Bench, route: str) -> None:
    one_axle(bench, route)
    assert planned(bench) == PLANS[route]


@ROUTES
@pytest.mark.parametrize("paint", ["last", "first"])
def test_an_axle_from_received_to_painted(bench: Bench, route: str, paint: str) -> None:
    one_axle(bench, route, paint=paint)
    order = Order(Route(route), coupled=True, paint_first=paint == "first")
    assert [stage.value for stage in as_worked(order.stages)] == ROWS[route].split()
    assert re.findall(r'id="row-([a-z_]+)"', bench.get("/axles/1")) == ROWS[route].split()
    bench.tick("W1", "received")
    early, words = EARLY[route]
    assert words in bench.refused(lambda: bench.wish("W1", f"yes {early} confirmed")).text
    assert bench.ticks("W1") == {"received"}
    bench.tick("W2", "received")
    if paint == "first":
        for mark in ("W1", "W2"):
            assert bench.wish(mark, "yes painted.rough").status_code == 303
        # It closes nothing: painted comes last.
        assert "is not" in bench.refused(lambda: bench.wish("W1", "yes painted confirmed")).text
    for stage in ROWS[route].split()[1:]:
        if stage == "quartered":
            continue
        if stage == "pressed":
            bench.seats("19.05 mm", (1,))
            for mark in ("W1", "W2"):
                assert bench.log(mark, "throw", "28.0").status_code == 303
            bench.tick("W1", "pressed")
            done = bench.send(
                "/axles/1",
                "/axles/1/ticks",
                wish="yes pressed_and_quartered confirmed",
                reason="for the scene",
            )
            assert done.status_code == 303
            continue
        for mark in ("W1", "W2"):
            for step in order.steps(Stage(stage)):
                if step.after is None:
                    assert bench.wish(mark, f"yes {step.key} confirmed").status_code == 303
            bench.tick(mark, stage)
            if stage == "bored":
                assert bench.log(mark, "bore", "19.08 mm").status_code == 303
    page = bench.get("/axles/1")
    assert Words(page).by_id["tally"] == "14 of 14"
    assert re.findall(r'id="row-([a-z_]+)"', page)[-1] == "painted"
    assert {"painted", *ROWS[route].split()} - {"quartered"} <= bench.ticks("W1") == bench.ticks("W2")
    assert "Every wheel is finished" in Words(bench.get("/builds/1/batches")).text


def test_back_and_tread_are_one_turn_each_on_the_mandrel(bench: Bench) -> None:
    one_axle(bench, "front_first")
    for mark in ("W1", "W2"):
        bench.tick(mark, "received", "bored")
        assert bench.log(mark, "bore", "19.08 mm").status_code == 303
        assert bench.log(mark, "throw", "28.0").status_code == 303
    started = bench.send("/builds/1/batches", "/builds/1/batches", wish="start")
    page = started.headers["location"]
    text = Words(bench.get(page)).text
    assert f"{MANDREL}, back outward" in text
    assert "On the mandrel by its bore, running true" in text and "Tread at the group's diameter" in text
    for mark in ("W1", "W2"):
        for key in ("back_faced", "tread_turned"):
            form = form_on(bench.get(page), f"{page}/done")
            answer = bench.post(
                f"{page}/done", form.filled(wish=f"yes {key} confirmed", reason="for the scene")
            )
            assert answer.status_code == 303, Words(answer.text).text
            assert key in bench.ticks(mark)


def test_a_bore_is_due_before_the_back_is_faced_where_the_front_is_first(bench: Bench) -> None:
    one_axle(bench, "front_first")
    bench.tick("W1", "received")
    assert "bore-" in bench.get("/axles/1")
    assert bench.log("W1", "bore", "19.08 mm").status_code == 303
    assert "Metal" in bench.get(f"/castings/{bench.id('W1')}/metal")


def test_another_route_while_castings_are_in_work_is_asked_about(bench: Bench) -> None:
    one_axle(bench, "fitted_first")
    bench.tick("W1", "received", "back_faced")
    form = form_on(bench.get("/builds/1/edit"), "/builds/1/edit")
    asked = bench.post("/builds/1/edit", form.filled(route="front_first"))
    assert asked.status_code == 409
    assert "W1 is ticked back faced, which the new route puts later." in Words(asked.text).text
    again = form_on(asked.text, "/builds/1/edit").filled(confirmed="yes")
    assert bench.post("/builds/1/edit", again).status_code == 303
    assert bench.rows("SELECT route, paint_first FROM build") == [("front_first", 0)]
    assert "route now front first" in bench.journal()[-1]
    # Nothing done is lost: it is bored from the front, and the back stands as ticked.
    bench.tick("W1", "bored")
    assert bench.ticks("W1") == {"received", "back_faced", "bored"}


@pytest.mark.parametrize("wrong", [{"route": "back_first"}, {"paint": "never"}, {"paint": ""}, {"route": ""}])
def test_a_route_that_is_none_is_refused(bench: Bench, wrong: dict[str, str]) -> None:
    before = bench.dump()
    form = form_on(bench.get("/builds/new"), "/builds").filled(name="Tank engine", who="AB", **wrong)
    assert bench.post("/builds", form).status_code == 422
    assert bench.dump() == before


def test_the_rough_is_painted_in_a_batch_before_the_first_cut(bench: Bench) -> None:
    one_axle(bench, "mandrel_first", paint="first")
    bench.tick("W1", "received")
    bench.tick("W2", "received")
    rough = "At the paint bench, castings in the rough"
    assert planned(bench)[-1] == PAINT and rough in Words(bench.whole("/builds/1/batches")).text
    page = bench.send("/builds/1/batches", "/builds/1/batches", wish="start").headers["location"]
    assert rough in Words(bench.get(page)).text
    for mark in ("W1", "W2"):
        assert bench.send(page, f"{page}/done", wish="yes painted.rough").status_code == 303
        assert bench.ticks(mark) == {"received", "painted.rough"}
    assert planned(bench)[-1] == PAINT
    text = Words(bench.whole("/builds/1/batches")).text
    assert BACK in text and rough not in text.partition("Clean the bright parts")[0].partition(BACK)[2]
    assert "Clean the bright parts and touch up the paint" in text


@pytest.mark.parametrize("route", ["fitted_first", "between_centres"])
def test_no_tread_is_turned_on_its_axle_before_the_bond_has_cured_without_being_asked(
    bench: Bench, route: str
) -> None:
    one_axle(bench, route, curing=True)
    bench.bored("W1", "W2")
    bench.seats("19.05 mm", (1,))
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28.0").status_code == 303
    bench.tick("W1", "pressed")
    if route == "between_centres":
        assert "W1 is not quartered yet" in bench.refused(lambda: bench.wish("W1", "yes tread_turned")).text
    wish = "yes pressed_and_quartered confirmed"
    assert bench.send("/axles/1", "/axles/1/ticks", wish=wish, reason="for the scene").status_code == 303
    for mark in ("W1", "W2"):
        words = bench.refused(partial(bench.wish, mark, "yes tread_turned"), 409).text
        assert f"{mark}: Wait until " in words and "it holds 0.0 N m (0.0 lbf ft) at this hour." in words
        assert "tread_turned" not in bench.ticks(mark)
    # The plan does not send anybody to the lathe meanwhile.
    assert f"{CENTRES}: W" not in Words(bench.whole("/builds/1/batches")).text


def test_another_time_for_the_paint_is_asked_about_where_it_comes_too_late(bench: Bench) -> None:
    one_axle(bench, "fitted_first")
    bench.tick("W1", "received", "back_faced")
    bench.tick("W2", "received")

    def change(paint: str, **more: str) -> int:
        form = form_on(bench.get("/builds/1/edit"), "/builds/1/edit")
        nonlocal said
        answer = bench.post("/builds/1/edit", form.filled(paint=paint, **more))
        said = Words(answer.text).text
        return answer.status_code

    said = ""
    assert change("first") == 409
    assert "Cut already, so not to be painted in the rough any more: W1." in said
    assert change("first", confirmed="yes") == 303
    assert "painted before machining" in bench.journal()[-1]
    assert bench.wish("W2", "yes painted.rough").status_code == 303
    assert change("last") == 409
    assert "Painted in the rough already: W2." in said
    assert change("last", confirmed="yes") == 303
    assert bench.one("SELECT paint_first FROM build") == 0
    assert "painted.rough" in bench.ticks("W2")
