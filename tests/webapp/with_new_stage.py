"""What a new stage must find working. Run by test_new_stage.py, in a copy of the program that has the stage “balanced”."""

import re
from collections.abc import Iterator
from functools import partial
from itertools import product
from pathlib import Path

import pytest
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient

import domain
from domain.route.stages import Route, Stage
from tests.webapp.scenes import HX, Bench, Words, addresses_of, form_on
from webapp.db import Db
from webapp.demo.builds import make_demo
from webapp.web.register import FIRST, SHEETS, routers

WAITS = "waits to be balanced, and no set-up here is for that: tick it on its checklist when it is done."
# What stands in an address: of the invented builds the half-made one, whose wheels are at every stage, will do.
ROWS = {
    "build_id": "build WHERE id = 1",
    "axle_id": "axle WHERE build_id = 1",
    "casting_id": "casting WHERE build_id = 1",
    "pattern_id": "pattern WHERE build_id = 1",
    "batch_id": "work_batch WHERE build_id = 1",
    "machine_id": "machine",
    "chuck_id": "chuck",
    "jig_id": "jig",
    "instrument_id": "instrument",
}
COUNTS = "/castings/{casting_id}/strokes/{count_id}"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def addresses(bench: Bench) -> Iterator[str]:
    """Every address a browser can open, with every thing there is in it."""
    found = (one for router in routers((*FIRST, *SHEETS)) for one in router.routes)
    opened = (one.path for one in found if isinstance(one, APIRoute) and "GET" in one.methods)
    for path in dict.fromkeys(address for route in opened for address in addresses_of(route)):
        if "{number}" in path or "{permanent_id}" in path or path == "/scan":
            continue  # a copy of the file, a photo or a label's text, and none is made here
        if path == COUNTS:
            for casting, count in bench.rows("SELECT casting_id, id FROM stroke_count"):
                yield path.format(casting_id=casting, count_id=count)
            continue
        names = re.findall(r"{(\w+)}", path)
        ids = [[own for (own,) in bench.rows(f"SELECT id FROM {ROWS[name]}")] for name in names]
        for these in product(*ids):
            yield path.format(**dict(zip(names, these, strict=True)))


def open_everything(bench: Bench) -> int:
    """Open every address; gives how many there were."""
    opened = list(addresses(bench))
    answers = {path: bench.client.get(path).status_code for path in opened}
    assert {path: status for path, status in answers.items() if status not in (200, 303)} == {}
    return len(opened)


def picture_words(bench: Bench, path: str) -> list[str]:
    return re.findall(r'<svg class="wheel[^>]*aria-label="([^"]*)"', bench.get(path))


def axle_tick(bench: Bench, wish: str) -> None:
    assert bench.send("/axles/1", "/axles/1/ticks", wish=wish).status_code == 303


def test_this_is_the_copy() -> None:
    assert Path(domain.__file__).parents[1] == Path.cwd() == Path(__file__).parents[2]
    assert "balanced" in set(Stage)


def test_every_sheet_of_the_demo_opens_and_the_stage_is_ticked_and_unticked(bench: Bench) -> None:
    make_demo(bench.db)
    assert open_everything(bench) > 100
    assert (
        "W3 is not pressed, tread turned and quartered yet"
        in bench.refused(partial(bench.wish, "W3", "yes balanced")).text
    )
    words = bench.refused(partial(bench.wish, "W1", "yes painted")).text
    assert "W1 is not balanced yet, so it cannot be ticked “painted”. Painted is ticked last" in words

    assert bench.wish("W1", "yes balanced.weighed", hx=True).status_code == 200
    action = f"/castings/{bench.id('W1')}/ticks"
    on_axle = form_on(bench.get("/axles/1"), action).filled(wish="no balanced.weighed")
    answer = bench.client.post(action, data=on_axle, headers=HX)
    assert answer.status_code == 200
    assert "Weighed against its fellow" in answer.text
    assert bench.wish("W1", "yes balanced").status_code == 303
    assert "balanced" in bench.ticks("W1")
    assert any("quartered and balanced." in words for words in picture_words(bench, "/axles/1"))
    open_everything(bench)

    bench.tick("W1", "painted")
    assert any("balanced and painted; finished." in words for words in picture_words(bench, "/axles/1"))
    words = bench.refused(partial(bench.wish, "W1", "no balanced")).text
    assert "Painted on W1 rests on “balanced”: untick painted first." in words
    words = bench.refused(partial(bench.send, "/axles/1", "/axles/1/ticks", wish="no quartered")).text
    assert "Balanced and painted on W1 rest on “quartered”: untick balanced and painted first." in words
    for wish in ("no painted", "no balanced"):
        assert bench.wish("W1", wish).status_code == 303
    balanced, painted, *after = bench.journal("W1")[-4:]
    assert [balanced, *after] == ["Ticked balanced.", "Unticked painted.", "Unticked balanced."]
    assert painted.startswith("Ticked painted. Let pass: ")
    axle_tick(bench, "no quartered")
    said = "Casting W1: received, back faced, bored, on its axle and tread turned."
    assert said in picture_words(bench, "/axles/1")


@pytest.mark.parametrize("fit", ["press", "bond"])
@pytest.mark.parametrize("route", Route)
def test_every_route_goes_through_the_stage(bench: Bench, route: str, fit: str) -> None:
    figures = {"fit_least": "0.005", "fit_most": "0.038"} if fit == "press" else {}
    bench.metric(route=route, fit=fit, coupled="1", **figures)
    bench.bored("W1", "W2", "W3", bore="19.04 mm" if fit == "press" else "19.08 mm")
    on, after = {
        "fitted_first": (("pressed", "tread_turned"), ("balanced", "painted")),
        "between_centres": (("pressed",), ("balanced", "tread_turned", "painted")),
    }.get(route, (("tread_turned", "pressed"), ("balanced", "painted")))
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28.0").status_code == 303
        bench.tick(mark, *on)
    words = bench.refused(partial(bench.wish, "W1", "yes balanced")).text
    assert "W1 is not quartered yet, so it cannot be ticked “balanced”." in words
    axle_tick(bench, "yes quartered confirmed")
    bench.tick("W1", *after)
    bench.tick("W3", *on, *after)  # a carrying wheel, which is never quartered
    left = "13" if route == "between_centres" else "14"  # of W2 the tread too
    assert Words(bench.get("/axles/1")).by_id["tally"] == f"{left} of 16"
    assert Words(bench.get("/axles/2")).by_id["tally"] == "7 of 14"
    open_everything(bench)


def test_without_a_set_up_what_next_sends_one_to_the_checklist(bench: Bench) -> None:
    bench.metric(axles="1", coupled="1", castings="2")
    bench.quartered()
    for page in ("/builds/1", "/builds/1/batches"):
        text = Words(bench.get(page)).text
        # The build sheet tells the first that waits; the plan all.
        assert f"W1 {WAITS}" in text and (f"W2 {WAITS}" in text or page == "/builds/1")
        assert "paint bench" not in text
    bench.tick("W1", "balanced")
    text = Words(bench.get("/builds/1/batches")).text
    assert f"W1 {WAITS}" not in text and f"W2 {WAITS}" in text
    assert "At the paint bench" in text


def test_with_a_set_up_what_next_plans_it_and_a_batch_ticks_it(bench: Bench) -> None:
    bench.metric(axles="1", coupled="1", castings="2")
    bench.quartered()
    text = Words(bench.whole("/builds/1/batches")).text
    assert "On the knife edges" in text and "Balance the wheel" in text and "2. At the paint bench" in text
    answer = bench.send("/builds/1/batches", "/builds/1/batches", wish="start")
    assert answer.status_code == 303
    page = answer.headers["location"]
    for mark in ("W1", "W2"):
        assert "Weighed against its fellow" in Words(bench.get(page)).text
        open_everything(bench)
        assert bench.send(page, f"{page}/done", wish="yes balanced").status_code == 303
        assert "balanced" in bench.ticks(mark)
    assert "At the paint bench" in Words(bench.get("/builds/1/batches")).text
    open_everything(bench)


def test_off_its_axle_a_wheel_is_no_longer_balanced(bench: Bench) -> None:
    bench.metric()
    bench.quartered()
    bench.tick("W1", "balanced")
    assert bench.scrap("W1", confirmed="yes").status_code == 303
    assert bench.place(1, "left", "W5").status_code == 303
    assert bench.unscrap("W1").status_code == 303
    assert bench.ticks("W1") == {"received", "back_faced", "bored", "tread_turned"}
    assert "No longer ticked pressed and balanced" in bench.journal("W1")[-1]
