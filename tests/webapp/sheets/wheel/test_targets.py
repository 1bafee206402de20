"""What to aim at before the cut, throws beside their fellows, and one truth for a fit wherever it is judged."""

from __future__ import annotations

import re
from functools import partial

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, bands_on, slip_of
from webapp.db import Db


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def test_the_size_to_bore_to_is_there_before_the_cut(bench: Bench) -> None:
    bench.metric()
    # A bond of 0.02 to 0.05 mm on a seat of 19.05 mm: worked by hand.
    text = Words(bench.get("/castings/1/bore")).text
    assert "Bore to between 19.070 mm (0.7508 in) and 19.100 mm (0.7520 in), for the drawing's seat" in text
    assert "not turned yet, it can be made to suit a reamed hole" in text
    assert "Bore to 19.070 to 19.100 mm" in Words(bench.get("/axles/1")).by_id["line-1"]
    bench.seat(1, "left", "19.04 mm")
    text = Words(bench.get("/castings/1/bore")).text
    assert "Bore to between 19.060 mm (0.7504 in) and 19.090 mm (0.7516 in), for the measured seat" in text
    assert "Bore to 19.060 to 19.090 mm" in Words(bench.get("/axles/1")).by_id["line-1"]
    assert "made to suit a reamed hole" not in text
    assert "made to suit a reamed hole" in Words(bench.get("/castings/2/bore")).text  # the other end's


def test_a_throw_is_answered_beside_its_fellows(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1", "W2", "W3")
    drawn = bench.one("SELECT nm FROM dimension WHERE key = 'throw'") / 1e6
    assert bench.log("W1", "throw", f"{drawn} mm").status_code == 303
    assert "the first logged" in Words(bench.get("/castings/1/throw")).text
    assert bench.log("W2", "throw", f"{drawn + 0.2:.3f} mm").status_code == 303
    # The other wheel of the axle is on the other side of the engine: no rod joins the two.
    for own in (1, 2):
        alone = bench.get(f"/castings/{own}/throw")
        assert Words(alone).text.count("the first logged") == 1
        # Beside the drawing only.
        assert bands_on(alone) == ["serves"]
    for page in ("/axles/1", "/castings/1/throw", "/castings/2/throw"):
        assert "throws lie" not in Words(bench.get(page)).text
    assert bench.log("W3", "throw", f"{drawn + 0.2:.3f} mm").status_code == 303
    apart = "No good: the left throws lie 0.200 mm (0.0079 in) apart, W1 shorter than its fellows"
    # By the other side it is W1 that is odd, and only that wheel and its axle are told so.
    for page, told in (
        ("/axles/1", 1),
        ("/axles/2", 0),
        ("/castings/1", 1),
        ("/castings/3", 0),
        ("/castings/1/throw", 1),
        ("/castings/3/throw", 0),
    ):
        text = Words(bench.get(page)).text
        assert text.count(apart) == told, page
        assert ("needs 0.400 mm (0.0157 in) of play" in text) is page.endswith("/throw")
    assert bands_on(bench.get("/castings/1/throw")) == ["serves", "not"]
    assert (
        "Good: others set the left throws apart, W1 shorter than its fellows"
        in Words(bench.get("/castings/3/throw")).text
    )


def test_an_axle_of_unlike_throws_is_quartered_only_when_that_is_meant(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1", "W2", "W3")
    drawn = bench.one("SELECT nm FROM dimension WHERE key = 'throw'") / 1e6
    bench.log("W1", "throw", f"{drawn} mm")
    bench.log("W2", "throw", f"{drawn + 0.2:.3f} mm")
    bench.log("W3", "throw", f"{drawn + 0.2:.3f} mm")
    for mark in ("W1", "W2"):
        bench.tick(mark, "pressed", "tread_turned")
    quarter = partial(bench.send, "/axles/1", "/axles/1/ticks")
    words = bench.refused(partial(quarter, wish="yes quartered"), 409)
    assert "The throw of W1: No good" in words.text
    assert quarter(wish="yes quartered confirmed").status_code == 303
    assert bench.one("SELECT count(*) FROM quartering") == 1


def test_the_compounds_own_sheet_judges_the_bore_too(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1", bore="19.12 mm")  # a gap of 0.07 mm: wide for 0.02 to 0.05
    assert "wide for the bond" in Words(bench.get("/castings/1/bore")).text
    sheet = {"gap_least": "0.03", "gap_most": "0.08", "gap_limit": "0.1"}
    assert bench.send("/builds/1/joints", "/builds/1/joints", **sheet).status_code == 303
    text = Words(bench.get("/castings/1/bore")).text
    assert "wide for the bond" not in text
    assert "Bore to between 19.080 mm" in text


def test_a_stricter_factor_judges_the_bore_too(bench: Bench) -> None:
    bench.metric(fit="press", fit_least="0.005", fit_most="0.012")
    bench.bored("W1", bore="19.04 mm")
    assert bench.one("SELECT count(*) FROM measurement") == 1
    assert "may crack" not in Words(bench.get("/castings/1/bore")).text
    assert bench.send("/builds/1/joints", "/builds/1/joints", crack_factor="15").status_code == 303
    assert "may crack" in Words(bench.get("/castings/1/bore")).text


def test_a_retired_instrument_is_not_suggested(bench: Bench) -> None:
    bench.metric()
    assert (
        bench.send("/workshop", "/workshop/starters#starters", unit="mm", nominal="19.05 mm").status_code
        == 303
    )
    gauge, rule = (
        bench.one("SELECT id FROM instrument WHERE name LIKE ?", like)
        for like in ("%bore gauge%", "%caliper%")
    )
    bench.tick("W1", "received", "back_faced")
    assert bench.seat(1, "left", "19.05", instrument_id=rule).status_code == 303
    assert bench.log("W1", "bore", "19.08", instrument_id=rule).status_code == 303
    name = bench.one("SELECT name FROM instrument WHERE id = ?", gauge)
    settling = Words(bench.get("/castings/1/bore")).by_id["sure-1"]
    assert name in settling
    page = f"/workshop/instruments/{gauge}"
    assert bench.send("/workshop", f"{page}/retire").status_code == 303
    assert name not in Words(bench.get("/castings/1/bore")).by_id["sure-1"]


def test_who_said_on_a_work_sheet_comes_back_to_it(bench: Bench) -> None:
    bench.metric()
    for path in (
        "/builds/1/fits",
        "/builds/1/joints",
        "/builds/1/reaming",
        "/workshop",
        "/workshop/instruments/new",
    ):
        answer = bench.post("/who", {"initials": "CD", "back": path})
        assert answer.headers["location"] == path


def test_a_throw_is_answered_with_its_own_wheel_alone(bench: Bench) -> None:
    """The other wheel of the axle is on the other side, whose rods this throw has no part in."""
    bench.metric()
    bench.bored("W1", "W2", "W3")
    drawn = bench.one("SELECT nm FROM dimension WHERE key = 'throw'") / 1e6
    bench.log("W3", "throw", f"{drawn} mm")
    page = slip_of("/castings/1/throws", "axle")
    answer = bench.send(page, "/castings/1/throws", hx=True, reading=f"{drawn + 0.2:.3f} mm")
    said = "No good: the left throws lie 0.200 mm (0.0079 in) apart"
    words = Words(answer.text)
    # In its slip, at its own head, and in what is said of the writing; the other head is as it was.
    written = re.search(r'<p class="written".*?</p>', answer.text, re.S)
    assert written is not None and said in written[0]
    assert words.text.count(said) == 3
    assert said in words.by_id["throw-1"] and said in words.by_id["line-1"]
    assert "throws lie" not in words.by_id["line-2"]


def test_initials_are_remembered_even_when_the_wish_is_refused(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric()
    client.cookies.clear()
    answer = bench.send("/axles/1", "/castings/1/ticks", hx=True, wish="yes bored", who="zz")
    assert answer.status_code == 422
    assert client.cookies["spokeshed_who"] == "ZZ"


def test_a_scrapped_casting_has_nothing_to_tap(bench: Bench) -> None:
    bench.metric()
    bench.tick("W1", "received")
    bench.scrap("W1")
    html = bench.get("/castings/1")
    assert 'name="wish"' not in html
    assert re.search(r"AB \d+ \w+", Words(html).by_id["row-received"])


def test_what_next_waits_for_a_bond(bench: Bench) -> None:
    bench.metric(curing=True)
    bench.bored("W1")
    bench.tick("W1", "pressed")
    text = Words(bench.get("/builds/1/batches")).text
    assert "W1: Wait until " in text and "it holds 0.0 N m (0.0 lbf ft) at this hour." in text
    assert "turn the tread" not in Words(bench.get("/builds/1")).text


def test_the_size_to_turn_a_seat_to_and_what_the_logged_one_is(bench: Bench) -> None:
    bench.metric()
    bench.send("/workshop", "/workshop/starters#starters", unit="mm", nominal="19.05 mm")
    micrometer = bench.one("SELECT id FROM instrument WHERE name LIKE '%micrometer%'")
    bench.bored("W1", bore="19.09 mm")
    # A bond of 0.02 to 0.05 mm in a bore of 19.09 mm, 19.040 to 19.070, less the micrometer's U of 5 um at both ends.
    window = "the seat is to be between 19.045 mm (0.7498 in) and 19.065 mm (0.7506 in). That leaves room for 0.005 mm"
    assert window in Words(bench.get("/axles/1/seats/left")).text
    # Once read, its step and its temperature are in U as well: a little over 5 um, so one micrometre more.
    window = (
        "the seat is to be between 19.046 mm (0.7498 in) and 19.064 mm (0.7506 in). That leaves room for 0.005 mm"
        " (0.0002 in) of doubt in the readings"
    )
    for seat, answer in (
        ("19.055", "in limits"),
        ("19.070", "cannot tell with this instrument"),
        ("19.10", "no good"),
    ):
        assert bench.seat(1, "left", seat, instrument_id=micrometer).status_code == 303
        assert f"{window}. Measured: {answer}." in Words(bench.get("/axles/1/seats/left")).text
