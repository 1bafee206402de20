"""What is made for paper says what the sheets say, of a build with a tender too."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, form_on
from webapp.db import Db

TENDER = {
    "axles": "2", "marks": "T1 T2 T3", "kind": "tender", "tread_diameter": "70", "boss_diameter": "24", "bore": "12",
    "seat": "12", "boss_length": "14", "tyre_width": "11", "fit_least": "", "fit_most": "",
}  # fmt: skip


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A driving axle, W1 and W2, and a tender's, T1 and T2, all with their backs faced."""
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="2")
    form = form_on(bench.get("/builds/1/patterns/new"), "/builds/1/patterns")
    assert bench.post("/builds/1/patterns", form.filled(**TENDER)).status_code == 303
    for mark in ("W1", "W2", "T1", "T2"):
        bench.tick(mark, "received", "back_faced")
    return bench


def words(bench: Bench, path: str) -> str:
    return Words(bench.get(path)).text


def test_each_wheel_is_bored_by_its_own_drawing(bench: Bench) -> None:
    """The same window as on the axle sheet, and room to sign what is not ticked."""
    for mark, axle, window in (("W1", 1, "19.070 to 19.100 mm"), ("T1", 2, "12.020 to 12.050 mm")):
        assert f"Bore to {window}" in words(bench, f"/axles/{axle}")
        card = words(bench, f"/castings/{bench.id(mark)}/card")
        assert window in card and f"axle {axle}, left" in card
        assert card.count("AB") >= 2


def test_wheels_of_two_patterns_are_two_batches(bench: Bench) -> None:
    """Jaws and speed are set for one pattern: its wheels stay together, and those of the other come after them."""
    plan = words(bench, "/builds/1/batches")
    at = bench.send("/builds/1/batches", "/builds/1/batches", wish="start").headers["location"]
    assert "2. In the four-jaw chuck, front outward: T1, T2" in plan
    assert "19.070 to 19.100 mm" in words(bench, f"{at}/card")
    assert "T1" not in words(bench, at) and "T1" not in words(bench, f"{at}/card")
    for mark in ("W1", "W2"):
        bench.tick(mark, "bored")
        bench._arrange(mark, "bores", reading="19.08 mm")
    assert "Next: In the four-jaw chuck, front outward" in words(bench, at)
    then = bench.send(at, "/builds/1/batches", wish="start").headers["location"]
    assert then != at and "bore to 12.035 mm" in words(bench, then)
    assert "12.020 to 12.050 mm" in words(bench, f"{then}/card") and "W1" not in words(bench, f"{then}/card")


def test_a_batch_of_two_patterns_opens_and_has_its_card(bench: Bench) -> None:
    """As they were planned once."""
    bench.put_batch("front_out", *(bench.id(mark) for mark in ("W1", "W2", "T1", "T2")))
    at = "/batches/1"
    assert "bore to" in words(bench, at).casefold()
    card = words(bench, f"{at}/card")
    for mark in ("W1", "W2", "T1", "T2"):
        assert mark in card
    assert "19.070 to 19.100 mm" in card and "12.020 to 12.050 mm" in card
    assert "Ream the bore" in card


def test_the_boring_bar_has_one_speed(bench: Bench) -> None:
    """In the batch, on its card and on the sheet of speeds: for the bore that is wanted, 12.035 mm and not the drawn 12."""
    for mark in ("W1", "W2"):
        bench.tick(mark, "bored")
        bench._arrange(mark, "bores", reading="19.08 mm")
    at = bench.send("/builds/1/batches", "/builds/1/batches", wish="start").headers["location"]
    big = re.search(r"spindle ?(\d+) ?rpm ?at the most, for the boring bar", words(bench, at))
    assert big, words(bench, at)
    for path in (f"{at}/card", f"/castings/{bench.id('T1')}/speeds?op=bore_bore"):
        (said,) = set(re.findall(r"Bore the bore to size.*?([\d.]+) ?rpm at most", words(bench, path)))
        assert int(float(said)) == int(big[1]), path


def test_a_chilled_wheel_is_bored_at_half_the_speed_in_its_batch_too(bench: Bench) -> None:
    path = f"/castings/{bench.id('W1')}/receiving"
    assert bench.send(path, path, chill="yes").status_code == 303
    at = bench.send("/builds/1/batches", "/builds/1/batches", wish="start").headers["location"]
    big = re.search(r"spindle ?(\d+) ?rpm ?at the most, slowed for the chilled skin", words(bench, at))
    assert big, words(bench, at)
    for mark, factor in (("W1", 1), ("W2", 2)):
        page = words(bench, f"/castings/{bench.id(mark)}/speeds?op=bore_bore")
        (said,) = set(re.findall(r"Bore the bore to size.*?([\d.]+) ?rpm at most", page))
        assert int(float(said) / factor) == int(big[1]), mark


def test_no_cut_of_a_set_up_is_deeper_than_the_metal_left_allows(client: TestClient, db: Db) -> None:
    """The usual roughing cut is 1 mm; W1 has less to come off its back, W2 more, and W3 nobody measured."""
    bench = Bench(client, db).sit_down()
    bench.metric(axles="2", coupled="2", castings="4")
    lathe = "/workshop/machines/new"
    assert (
        bench.send(lathe, lathe, name="Lathe", kind="lathe", speeds="30 60 100 200 400 800").status_code
        == 303
    )
    for own, rim, boss in ((1, "11", "16"), (2, "16", "21")):
        sheet = f"/castings/{own}/receiving"
        sizes = {
            "rim_least": "118",
            "rim_most": "119",
            "rim_height": rim,
            "boss_height": boss,
            "boss_proud": "0",
        }
        assert bench.send(sheet, sheet, **sizes).status_code == 303
    for mark in ("W1", "W2", "W3", "W4"):
        bench.tick(mark, "received")
    at = bench.send("/builds/1/batches", "/builds/1/batches", wish="start").headers["location"]
    turn = re.search(r"next cut ([\d.]+ mm)", words(bench, f"{at}?at=1"))
    assert turn and float(turn[1].removesuffix(" mm")) < 1
    rows = re.findall(r"<tr>.*?</tr>", bench.get(f"{at}/card"), re.DOTALL)
    cut = {
        said: one
        for row in rows
        if "Face the back" in (one := Words(row).text)
        for said in re.findall(r"W\d", one)
    }
    assert turn[1] in cut["W1"] and "1.000 mm" not in cut["W1"], cut["W1"]
    assert "1.000 mm" in cut["W2"], cut["W2"]
    assert "Stop: measure first" in cut["W3"] and "1.000 mm" not in cut["W3"], cut["W3"]
    # The sheet of speeds reckons with the same cut.
    assert f"Depth of cut{turn[1]}" in words(bench, "/castings/1/speeds")


def test_a_record_says_who_measured_with_what(bench: Bench) -> None:
    bench.log("T1", "bore", "12.03 mm", instrument="bore gauge")
    bench.seat(2, "left", "12.00 mm", instrument="micrometer")
    for path in ("/axles/2/record", "/builds/1/record"):
        record = words(bench, path)
        assert "bore gauge, micrometer AB" in record and "0.030 mm" in record
        assert "not measured" in record
    # The driving axle's wheels are on its own record only.
    assert "W1" not in words(bench, "/axles/2/record")


def test_what_is_not_there_has_no_paper(bench: Bench) -> None:
    for path in ("/castings/99/card", "/batches/99/card", "/axles/99/record", "/builds/99/record"):
        assert bench.client.get(path).status_code == 404


def test_a_stage_that_is_signed_has_its_small_boxes_ticked(bench: Bench) -> None:
    card = f"/castings/{bench.id('W1')}/card"
    html = bench.get(card)
    # Received and the back faced are signed, the steps of what comes after are not.
    steps = html.index("<strong>Bored</strong>")
    assert html[:steps].count("is-done") == html[:steps].count('class="paper-tick') > 0
    assert "is-done" not in html[steps:]


def test_a_seat_is_to_suit_the_bore_that_came_out_otherwise(bench: Bench) -> None:
    """What the axle sheet asks of the seat is what the card says it is to be."""
    card = f"/castings/{bench.id('W1')}/card"
    assert "Seat19.050 mm" in words(bench, card)
    bench.tick("W1", "bored")
    bench._arrange("W1", "bores", reading="19.094 mm")
    assert "Seat19.044 to 19.074 mm" in words(bench, card) and "to suit its bore" in words(bench, card)


def test_a_wheel_without_a_crank_is_asked_for_no_crankpin_hole_at_its_paint(bench: Bench) -> None:
    tender, driver = (words(bench, f"/castings/{bench.id(mark)}/card") for mark in ("T1", "W1"))
    assert "tread and bore kept clear of paint" in tender and "crankpin" not in tender
    assert "tread, bore and crankpin hole kept clear of paint" in driver
