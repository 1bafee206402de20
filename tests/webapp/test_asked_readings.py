"""A reading that can hardly be meant is asked about on every form, and stored all the same on one tap."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from tests.webapp.scenes import Bench, Words, form_on
from webapp.db import Db

FORMS = {
    # The sheet, the form's address, what is typed of a metric drawing: bore 19.05, throw 28, tread 110, tyre 10.
    "bore": ("/castings/1/bore", "/castings/1/bores", {"reading": "0.75 thou"}, "bore-1-reading0", "19.050 mm (0.7500 in)"),
    "placed bore": (
        "/castings/1/bore", "/castings/1/bores", {"reading_front_first": "1.908 mm"}, "bore-1-reading_front_first",
        "19.080 mm",
    ),
    "due bore": ("/axles/1", "/castings/1/bores", {"reading_front_first": "1.908 mm"}, "due-bore-1-0", "19.080 mm"),
    "due seat": (
        "/axles/1?due=seat-left", "/axles/1/seats/left", {"reading": "0.75"}, "due-seat-left-0", "19.050 mm (0.7500 in)",
    ),
    "due throw": ("/castings/1?due=throw-1", "/castings/1/throws", {"reading": "2.8 mm"}, "due-throw-1-0", "28.000 mm"),
    "seat": (
        "/axles/1/seats/left", "/axles/1/seats/left", {"reading": "0.75"}, "seat-left-reading0", "19.050 mm (0.7500 in)",
    ),
    "throw": ("/castings/1/throw", "/castings/1/throws", {"reading": "2.8 mm"}, "throw-1-reading0", "28.000 mm"),
    "tread": ("/castings/1/tread", "/castings/1/tread#log", {"tread": "4.33"}, "tread", "109.982 mm (4.3300 in)"),
    "flange": (
        "/castings/1/tread", "/castings/1/tread#log", {"flange_thickness": "0.2"}, "flange_thickness", "2.000 mm",
    ),
    "metal": ("/castings/1/metal", "/castings/1/metal", {"rim_height": "0.5"}, "rim_height", "12.700 mm (0.5000 in)"),
    "rough": (
        "/castings/1/receiving", "/castings/1/receiving", {"rim_least": "4.65"}, "rim_least", "118.110 mm (4.6500 in)",
    ),
    "weight": ("/castings/1/receiving", "/castings/1/receiving", {"weight": "41 kg"}, "weight", "41 g"),
    "back to back": ("/axles/1/gauges", "/axles/1/gauges#log", {"back_to_back": "8.33"}, "back_to_back", "83.300 mm"),
    "height": (
        "/axles/1/quartering", "/axles/1/quartering",
        {"axle_way": "centre", "axle": "60", "right_way": "over", "right": "82", "right_diameter": "0.5",
         "right_branch": "front", "left_way": "centre", "left": "79.8", "left_branch": "rear"},
        "right_diameter", "",
    ),
}  # fmt: skip


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def ready(bench: Bench, name: str) -> None:
    """As far on as the form asks for."""
    if name.startswith("due") or name in ("bore", "placed bore", "throw", "tread", "flange"):
        bench.tick("W1", "received", "back_faced", "bored")
    elif name in ("back to back", "height"):
        bench.quartered()


def sent(bench: Bench, name: str, **more: object) -> Response:
    page, action, typed, _, _ = FORMS[name]
    return bench.send(page, action, **typed, **more)


@pytest.mark.parametrize("name", FORMS)
def test_it_is_asked_about_and_stored_on_one_tap(bench: Bench, name: str) -> None:
    ready(bench, name)
    _, action, typed, field, other = FORMS[name]
    answer: list[Response] = []

    def send() -> Response:
        answer.append(sent(bench, name))
        return answer[0]

    said = bench.refused(send, 409)
    beside = said.by_id[f"{field}-error"]
    assert "Can that be the" in beside and f"Was {other}" in beside if other else "Can that be the" in beside
    # What was typed is kept, and the one button beside the field stores it.
    form = form_on(answer[0].text, action)
    meant = re.search(r'name="meant"\s+value="([^"]+)"', answer[0].text)
    assert meant is not None
    before = bench.one("SELECT count(*) FROM measurement")
    assert bench.post(action, {**form.filled(), "meant": meant[1]}).status_code in (200, 303)
    # A flange has the height it was measured at with it.
    assert bench.one("SELECT count(*) FROM measurement") == before + (2 if name == "flange" else 1)
    assert any("Asked about, and meant." in line for line in bench.journal() + bench.journal("W1"))
    for key, text in typed.items():
        assert text in form.filled()[key], key


def test_yes_to_one_size_is_no_yes_to_another(bench: Bench) -> None:
    ready(bench, "bore")
    said = bench.refused(lambda: bench.log("W1", "bore", "1.75 mm", meant="750000"), 409)
    assert "“1.75 mm” is 1.750 mm" in said.text
    assert bench.log("W1", "bore", "1.75 mm", meant="750000 1750000").status_code == 303


@pytest.mark.parametrize("meant", ["", "x", "-", "9" * 400, "1e9", "²", " 5 ", "\0"])
def test_a_yes_to_nothing_is_no_yes(bench: Bench, meant: str) -> None:
    ready(bench, "bore")
    bench.refused(lambda: bench.log("W1", "bore", "0.75 mm", meant=meant), 409)


def test_what_may_well_be_is_not_asked_about(bench: Bench) -> None:
    ready(bench, "bore")
    assert bench.log("W1", "bore", "18.5 mm", "19.3").status_code == 303
    assert "Asked about" not in " ".join(bench.journal("W1"))


def test_a_finished_size_that_no_fit_explains_is_asked_about(bench: Bench) -> None:
    """A tenth off its drawing: two digits that changed places, or another wheel; hundredths are what a bore is off by."""
    bench.quartered()
    bench.tick("W3", "received", "back_faced", "bored")
    said = bench.refused(lambda: bench.log("W3", "bore", "20.95"), 409)
    assert "“20.95” is 20.950 mm (0.8248 in), and the drawing's is 19.050 mm" in said.text
    page = "/axles/1/gauges"
    swapped = bench.refused(lambda: bench.send(page, f"{page}#log", back_to_back="73.5"), 409)
    assert "and the drawing's is" in swapped.text


def test_a_bore_that_shrank_and_a_seat_that_grew_are_asked_about(bench: Bench) -> None:
    ready(bench, "bore")
    assert bench.log("W1", "bore", "19.4").status_code == 303
    said = bench.refused(lambda: bench.log("W1", "bore", "19.1"), 409)
    assert "was logged as 19.400 mm (0.7638 in), and metal cannot come back into a hole" in said.text
    assert bench.log("W1", "bore", "19.1", meant="19100000").status_code == 303
    # A misreading of hundredths is put right without a question.
    assert bench.log("W1", "bore", "19.05").status_code == 303
    assert bench.seat(1, "left", "19.05").status_code == 303
    said = bench.refused(lambda: bench.seat(1, "left", "19.3"), 409)
    assert "The seat was logged as 19.050 mm (0.7500 in), and metal cannot grow" in said.text


def test_a_slip_among_good_readings_stands_beside_its_own_box(bench: Bench) -> None:
    ready(bench, "bore")
    said: Words = bench.refused(lambda: bench.log("W1", "bore", "19.08", "1.908", "19.09"), 409)
    assert "Was 19.080 mm" in said.by_id["bore-1-reading1-error"]


def test_readings_that_bear_each_other_out_are_one_question_with_one_yes(bench: Bench) -> None:
    ready(bench, "bore")
    answer: list[Response] = []

    def send(**more: object) -> Response:
        answer.append(bench.log("W1", "bore", "14.05", "14.06 mm", "14.05", **more))
        return answer[-1]

    said = bench.refused(send, 409)
    asks = said.by_id["bore-1-reading0-error"]
    assert "“14.05” is 14.050 mm" in asks and "“14.06 mm” is 14.060 mm" in asks and asks.count("drawing") == 1
    assert "bore-1-reading1-error" not in said.by_id and "bore-1-reading2-error" not in said.by_id
    assert re.findall(r'name="meant"\s+value="([^"]+)"', answer[0].text) == ["14050000 14060000"]
    assert "Write them down all the same" in said.text
    # One that does not bear the others out has its own question: it may be the slip.
    other = bench.refused(lambda: bench.log("W1", "bore", "14.05", "25.1", "14.06"), 409)
    assert "“14.06” is" in other.by_id["bore-1-reading0-error"]
    assert "“25.1” is" in other.by_id["bore-1-reading1-error"]
    assert "Write “14.05” and “14.06” down all the same" in other.text and "Write “25.1” down" in other.text
    assert send(meant="14050000 14060000").status_code == 303


@pytest.mark.parametrize(
    ("kind", "typed", "says"),
    [
        (
            "bore",
            "190.8",
            "A bore must be smaller than the boss it is in: 32.000 mm (1.2598 in). Was 19.080 mm",
        ),
        ("throw", "280", "is this a diameter? Was 28.000 mm"),
        (
            "seat",
            "19.05 in",
            "A seat must be smaller than the boss it goes into: 32.000 mm (1.2598 in). Was 19.050 mm",
        ),
    ],
)
def test_what_cannot_be_is_refused_with_what_it_may_have_been(
    bench: Bench, kind: str, typed: str, says: str
) -> None:
    ready(bench, "bore")
    act = (lambda: bench.seat(1, "left", typed)) if kind == "seat" else (lambda: bench.log("W1", kind, typed))
    assert says in bench.refused(act).text


def test_the_throw_over_plugs_is_looked_at_with_the_plugs(bench: Bench) -> None:
    ready(bench, "throw")
    # 28 + (19.05 + 9.525)/2 = 42.2875.
    plugs = {"plug_one": "19.05", "plug_two": "9.525"}
    assert bench.log("W1", "throw", "42.29", **plugs).status_code == 303
    said = bench.refused(lambda: bench.log("W1", "throw", "32.29", **plugs), 409)
    assert "throw over plugs" in said.text and "the drawing's is 42.288 mm" in said.text


@pytest.mark.parametrize("page", ["/castings/1?due=throw-1", "/castings/1/throw"])
def test_a_size_over_both_plugs_without_the_plugs_asks_for_them(bench: Bench, page: str) -> None:
    """The plugs add half of each: 28 + (19.05 + 9.5) / 2. Between centres, 28 alone is the throw."""
    bench.tick("W1", "received", "back_faced", "bored")
    answer = bench.refused(lambda: bench.send(page, "/castings/1/throws", reading="42.275"), 409).text
    assert "over both plugs? Then type the plugs too." in answer
    small = bench.refused(lambda: bench.send(page, "/castings/1/throws", reading="2.8"), 409).text
    assert "over both plugs? Then" not in small
    plugs = {"reading": "42.275", "plug_one": "19.05", "plug_two": "9.5"}
    assert bench.send(page, "/castings/1/throws", **plugs).status_code == 303
    assert bench.one("SELECT value FROM measurement WHERE kind = 'throw'") == 28_000_000
