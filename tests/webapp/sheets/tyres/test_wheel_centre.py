"""A casting that gets a steel tyre is a wheel centre: every sheet goes by the seat of the tyre, not by flange and tread."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient

from domain.route.stages import TYRE_ON
from tests.webapp.scenes import Bench, Words
from webapp.db import Db
from webapp.facts.next_work import next_work
from webapp.records.builds import load_build

# The drawing: 110 tread, 114 over the flange; the tyre is 95 inside, so the centre comes to 95 and its interference.
COMES = {"rim_least": "98.2", "rim_most": "98.6", "rim_height": "13", "boss_height": "18", "boss_proud": "1"}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """One axle whose drawing has steel tyres, and a casting as large as its centre wants."""
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="3", marks="W1 W2 W3")
    page = "/builds/1/patterns/1"
    assert bench.send(page, page, tyre_inside="95 mm", rim_inside="80 mm").status_code == 303
    receive(bench, **COMES)
    return bench


def receive(bench: Bench, mark: str = "W1", **fields: str) -> None:
    path = f"/castings/{bench.id(mark)}/receiving"
    answer = bench.send(path, path, **fields)
    assert answer.status_code == 303, Words(answer.text).text


def said(bench: Bench, path: str) -> str:
    return " ".join(Words(bench.whole(path)).text.split())


def test_receiving_goes_by_the_seat_of_the_tyre(bench: Bench) -> None:
    text = said(bench, f"/castings/{bench.id('W1')}/receiving")
    assert "Good It cleans up" in text and "seat of the tyre1.600 mm" in text
    assert "Diameter over the flange" not in text and "Scrap W1" not in text
    # One that is too small for its seat is none.
    receive(bench, "W2", **{**COMES, "rim_least": "95.4", "rim_most": "95.8"})
    assert "It does not clean up: seat of the tyre is 0.300 mm" in said(
        bench, f"/castings/{bench.id('W2')}/receiving"
    )


def test_a_casting_good_for_its_centre_is_in_the_batches(bench: Bench, db: Db) -> None:
    bench.tick("W1", "received")
    assert "W1" in said(bench, "/builds/1/batches")
    with db.read() as session:
        plan = next_work(load_build(session, 1))
    assert "another casting" not in str(plan)


def test_a_rough_rim_is_expected_as_large_as_its_centre(bench: Bench) -> None:
    path = f"/castings/{bench.id('W2')}/receiving"
    answer = bench.send(path, path, rim_least="67 mm")
    assert answer.status_code == 409
    assert "the drawing's is 95.000 mm" in Words(answer.text).at("rim_least")


def test_metal_left_has_the_seat_and_holds_the_tread_back_until_the_tyre_is_on(bench: Bench) -> None:
    bench.tick("W1", "received")
    own = f"/castings/{bench.id('W1')}/metal"
    text = said(bench, f"{own}?face=centre")
    # To the most that the rule of thumb wants on 95 mm, 0.095: (98.2 - 95.095) / 2, cut off.
    assert "Seat of the tyre Go" in text and "1.552 mm" in text
    assert "The tyre is not on yet" in said(bench, f"{own}?face=tread")
    fields = bench.form(own, own).fields
    assert "rim_height" in fields and not {"over_flange", "tread"} & fields.keys()
    # Bored smaller, its own tyre decides.
    for kind, size in (("tyre_inside", "94.9"), ("centre_outside", "95.5")):
        page = f"/castings/{bench.id('W1')}/tyre"
        assert bench.send(page, f"{page}/{kind}", reading=[size]).status_code == 303
    assert "0.252 mm" in said(bench, f"{own}?face=centre")


def test_without_a_tyre_there_is_no_such_face(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="3", marks="W1 W2 W3")
    bench.tick("W1", "received")
    assert "Seat of the tyre" not in bench.whole("/castings/1/metal")


def test_a_tread_larger_than_its_centre_came_is_taken(bench: Bench) -> None:
    bench.tick("W1", "received", "back_faced", "bored", TYRE_ON, "pressed")
    page = f"/castings/{bench.id('W1')}/tread"
    assert bench.send(page, f"{page}#log", tread="110.2 mm").status_code == 303
    page = f"/castings/{bench.id('W1')}/metal"
    assert bench.send(page, page, over_flange="114.1 mm").status_code == 303
    # What was cast says nothing of how large a tread can come out.
    assert "98" not in Words(bench.get("/builds/1/treads")).text.split("W1")[0]


def test_speeds_and_crankpins_go_by_the_centre(bench: Bench) -> None:
    own = bench.id("W2")
    speeds = said(bench, f"/castings/{own}/speeds?op=face_back")
    assert "101.000 mm" in speeds and "over the wheel centre with 6 mm" in speeds
    pins = said(bench, "/builds/1/crankpins")
    assert "counted to the wheel centre" in pins
    drawn = dict(bench.rows("SELECT key, nm FROM dimension"))
    outwards = (drawn["tyre_inside"] - 2 * drawn["throw"] - drawn["crankpin_hole"]) // 2
    assert f"{outwards / 1e6:.3f} mm" in pins
