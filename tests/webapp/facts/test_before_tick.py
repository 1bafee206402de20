"""What is said before a tick, and what a yes to it covers: as a tired person comes by it, through HTTP."""

import math
import shutil
from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import HX, Bench, Words, form_on
from webapp.db import Db
from webapp.facts import before_tick
from webapp.facts.facts import facts_of
from webapp.facts.wheels import DOUBTED, wheel_facts
from webapp.records.builds import every_build
from webapp.records.views import Measured
from webapp.typed.rods import name_of


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def ready(bench: Bench) -> None:
    bench.bored("W1", "W2")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28").status_code == 303


def head(bench: Bench, mark: str) -> str:
    """What a wheel's own sheet says at its head."""
    own = bench.id(mark)
    return Words(bench.get(f"/castings/{own}")).by_id[f"wheel-{own}"]


def test_a_yes_covers_only_what_the_page_had_asked(bench: Bench) -> None:
    bench.bored("W1")
    own = bench.id("W1")
    asked = bench.client.post(
        f"/castings/{own}/ticks", data=form_on(bench.get(f"/castings/{own}"), f"/castings/{own}/ticks").filled(
            wish="yes pressed", view="casting"
        )
    )  # fmt: skip
    assert asked.status_code == 409
    assert "No seat is measured for W1" in Words(asked.text).text
    yes = form_on(asked.text, f"/castings/{own}/ticks").filled(
        wish="yes pressed confirmed", reason="in a hurry"
    )
    assert yes["asked"]
    # Meanwhile somebody logs a seat that is far too large: that was never asked about on the first page.
    assert bench.seat(1, "left", "19.30 mm").status_code == 303
    again = bench.client.post(f"/castings/{own}/ticks", data=yes)
    assert again.status_code == 409 and "no good" in Words(again.text).text
    assert "pressed" not in bench.ticks("W1")
    # What is asked now is answered by what this page sends.
    yes = form_on(again.text, f"/castings/{own}/ticks").filled(wish="yes pressed confirmed")
    assert yes["reason"] == ["in a hurry"]
    assert bench.client.post(f"/castings/{own}/ticks", data=yes).status_code == 303
    assert "no good" in bench.journal("W1")[-1]


def test_of_small_steps_only_those_at_size_are_ever_in_doubt(tmp_path: Path, demo_file: Path) -> None:
    path = tmp_path / "demo.db"
    shutil.copy(demo_file, path)
    db = Db(path)
    with db.read() as session:
        builds = every_build(session)
    db.close()
    # Each size far too small and none ticked, so that every judge has something to say.
    spoiled = [
        (build.with_casting(bare), bare)
        for build in builds
        for casting in build.castings
        for bare in (replace(casting, ticks={}, sizes=_shrunk(casting.sizes)), casting)
    ]
    keys = {doubt.key for build, casting in spoiled for doubt in wheel_facts(build, casting).doubts}
    assert {"back_faced.to_size", "tread_turned.to_size", "pressed", "painted"} <= keys <= DOUBTED


def _shrunk(sizes: Mapping[str, Measured]) -> dict[str, Measured]:
    return {key: replace(one, mean_nm=one.mean_nm * 9 // 10) for key, one in sizes.items()}


def test_the_second_wheel_is_said_so_as_soon_as_the_first_is_on(bench: Bench) -> None:
    ready(bench)
    bench.seats()
    assert "next pressed and quartered" not in head(bench, "W2")
    answer = bench.wish("W1", "yes pressed", hx=True)
    own = bench.id("W1")
    form = form_on(bench.get("/axles/1"), f"/castings/{own}/ticks")
    assert answer.status_code == 200
    assert "next pressed and quartered, in one go" in head(bench, "W2")
    # On the axle sheet it comes with the answer, without the sheet being opened again.
    bench.wish("W1", "no pressed")
    form = form_on(bench.get("/axles/1"), f"/castings/{own}/ticks").filled(wish="yes pressed")
    said = bench.client.post(f"/castings/{own}/ticks", data=form, headers=HX)
    assert said.status_code == 200
    assert "W2 fixed and the axle quartered, in one go" in Words(said.text).by_id["row-quartered"]


def test_the_first_line_does_not_send_a_curing_bond_to_the_lathe(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(curing=True)
    bench.bored("W1")
    bench.tick("W1", "pressed")
    assert "next tread turned, but not yet" in head(bench, "W1")


def test_what_a_joint_waits_for_is_asked_in_one_place(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """The first line, the plan, the checklist and the tick all hear the same."""
    bench.seats()
    bench.bored("W1")
    bench.tick("W1", "pressed")
    monkeypatch.setattr(before_tick, "curing_words", lambda *_, **__: "W1: let it stand till the moon is up.")
    bench.db.forget_held()
    assert "next tread turned, but not yet" in head(bench, "W1")
    assert "till the moon is up" in Words(bench.get("/axles/1")).by_id["row-tread_turned"]
    assert "till the moon is up" in Words(bench.get("/builds/1/batches")).text
    assert "till the moon is up" in bench.refused(partial(bench.wish, "W1", "yes tread_turned"), 409).text


def test_unlogged_throws_are_named_where_the_second_wheel_is(bench: Bench) -> None:
    bench.bored("W1", "W2")
    bench.tick("W1", "pressed")
    words = bench.refused(partial(bench.wish, "W2", "yes pressed"), 409).text
    assert "Log the throw of W2 and W1 first: without it no axle is ticked quartered." in words


def test_a_batch_says_what_it_will_ask_before_the_work_is_done(bench: Bench) -> None:
    ready(bench)
    bench.bored("W3", "W4", bore="19.40 mm")
    for mark in ("W3", "W4"):
        assert bench.log(mark, "throw", "28").status_code == 303
    answer = bench.send("/builds/1/batches", "/builds/1/batches", wish="start")
    page = answer.headers["location"]
    said = Words(bench.get(f"{page}?at=1")).by_id["asks"]
    assert "No seat is measured for W1" in said
    # A wheel whose bore is spoilt meanwhile is not called done where nothing was ticked.
    assert bench.log("W1", "bore", "19.40 mm").status_code == 303
    assert bench.log("W2", "bore", "19.40 mm").status_code == 303
    assert "0 of" in Words(bench.get(page)).text
    # Said once, with its figures; Done asks about it.
    said = Words(bench.get(f"{page}?at=1")).text
    assert said.count("No good: too slack by 0.300 mm") == 1 and "too wide for the bond" not in said


def test_heights_logged_after_the_tick_are_said_on_the_axle_s_own_sheet(bench: Bench) -> None:
    bench.quartered()
    page = "/axles/1/quartering"
    heights = {
        "axle_way": "centre", "axle": "60", "right_way": "centre", "right": "82.3", "right_branch": "front",
        "left_way": "centre", "left": "79.8", "left_branch": "rear",
    }  # fmt: skip
    assert bench.send(page, page, **heights).status_code == 303
    assert "Quarter angle: no good." in Words(bench.get("/axles/1")).by_id["row-quartered"]


def test_before_the_paint_an_angle_is_said_as_an_angle(bench: Bench) -> None:
    bench.quartered()
    page = "/axles/1/quartering"
    heights = {
        "axle_way": "centre", "axle": "60", "right_way": "centre", "right": "79.8", "right_branch": "front",
        "left_way": "centre", "left": "79.9", "left_branch": "rear",
    }  # fmt: skip
    assert bench.send(page, page, **heights).status_code == 303
    # Each pin on its throw of 28.01: the left one is 180 - asin(19.9 / 28.01) up from the front.
    right, left = (math.degrees(math.asin(up / 28.01)) for up in (19.8, 19.9))
    ahead = 180 - left - right
    words = bench.refused(partial(bench.wish, "W1", "yes painted"), 409).text
    said = f"The right pin is {ahead:.2f} degrees ahead of the left one, {90 - ahead:.2f} degrees less than wanted"
    assert f"Axle 1: {said}: outside 0.10 degrees." in words
    assert "crank, at the pin" not in words and "Not measured of W1" in words


def test_rods_that_bind_stand_in_the_way_of_the_paint(bench: Bench) -> None:
    bench.quartered()
    bench.quartered(2, ("W3", "W4"))
    page = "/builds/1/rods"
    for axle in (1, 2):
        heights = {
            "axle_way": "centre", "axle": "60", "right_way": "centre", "right": "79.8", "right_branch": "front",
            "left_way": "centre", "left": "79.8", "left_branch": "rear",
        }  # fmt: skip
        assert (
            bench.send(f"/axles/{axle}/quartering", f"/axles/{axle}/quartering", **heights).status_code == 303
        )
    # A rod a millimetre too long for its centres, with bushes that give a tenth.
    figures = {"centre": "140", "rod": "141", "bush_front": "0.05", "bush_rear": "0.05"}
    typed = {name_of(1, side, key): text for side in ("left", "right") for key, text in figures.items()}
    assert bench.send(page, page, **typed).status_code == 303
    words = bench.refused(partial(bench.wish, "W1", "yes painted"), 409).text
    assert "the rods bind" in words
    assert bench.wish("W1", "yes painted confirmed").status_code == 409  # with a reason only


def test_a_fit_that_is_none_to_aim_for_is_said_in_the_first_line(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(fit="press", fit_least="0.005", fit_most="0.012")
    assert bench.send("/builds/1/joints", "/builds/1/joints", bore_within="0.03 mm").status_code == 303
    bench.tick("W1", "received", "back_faced")
    said = head(bench, "W1")
    assert "next bored, but no press fit here is one to aim for: think of a bond" in said
    wide = Bench(client, db).sit_down()
    assert wide.metric() == 2
    assert "think of a bond" not in Words(bench.get("/builds/2")).text


def test_a_finished_wheel_that_goes_wrong_is_not_called_finished(bench: Bench) -> None:
    bench.quartered()
    bench.tick("W1", "painted")
    assert "inished, with something let pass" in head(bench, "W1")
    # Measured again after the paint: the bore turns out far too wide for its seat.
    bench.seats()
    assert bench.log("W1", "bore", "19.40 mm").status_code == 303
    assert "ainted, but something is no good or cannot be told" in head(bench, "W1")


def test_what_a_joint_waits_for_goes_by_the_wheel_that_is_asked(tmp_path: Path, demo_file: Path) -> None:
    """A wheel asked about as if it were not ticked must not leave its waiting with the one that is."""
    path = tmp_path / "demo.db"
    shutil.copy(demo_file, path)
    db = Db(path)
    with db.read() as session:
        build = next(iter(every_build(session)))
    db.close()
    turned = next(one for one in build.castings if "tread_turned" in one.ticks and one.bore)
    joints = facts_of(build.of(turned)).joints
    as_it_is = joints.of(turned)
    assert as_it_is is not None
    before = as_it_is.hold_words()
    bare = joints.of(replace(turned, ticks={key: at for key, at in turned.ticks.items() if key == "pressed"}))
    again = joints.of(turned)
    assert bare is not None and again is not None
    assert bare.hold_words() != before == again.hold_words()
    assert again.finding is as_it_is.finding


def test_how_far_a_wheel_is_goes_by_the_order_of_the_checklist(bench: Bench) -> None:
    bench.quartered()
    # Quartered as the second wheel went on; its tread was turned after that.
    assert "tread_turned" in bench.ticks("W1")
    assert "tread turned; next painted" in head(bench, "W1")
    assert bench.wish("W1", "no tread_turned").status_code == 303
    assert "quartered; next tread turned" in head(bench, "W1")
