"""Fits and pairing through HTTP, on a real migrated file: what the sheet says, applying it, and undoing it."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from itertools import permutations
from types import SimpleNamespace
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from domain.answer import Answer
from domain.joints.kinds import FitKind
from domain.joints.terms import Joint
from domain.lengths import Unit
from tests.domain.joint_reports import judge_fit
from tests.webapp.scenes import Bench, folds_on, form_on, sentences
from tests.webapp.scenes import Words as PlainWords
from tests.webapp.test_query_count import counting
from webapp.db import Db
from webapp.facts.facts import facts_of
from webapp.facts.joints import Joints
from webapp.facts.pairing import propose
from webapp.facts.places import Move, rearranged
from webapp.records import journal
from webapp.records.builds import load_build
from webapp.records.views import CastingView
from webapp.sheets.pairing import change as pairing_service

FITS, APPLY = "/builds/1/fits", "/builds/1/pairing"
BORES = {
    "W1": "19.105", "W2": "19.080", "W3": "19.088", "W4": "19.075", "W5": "19.140", "W6": "19.060",
    "W7": "19.070", "W8": "19.085",
}  # fmt: skip
SEATS = {
    (1, "left"): "19.050", (1, "right"): "19.050", (2, "left"): "19.030", (2, "right"): "19.048",
    (3, "left"): "19.052", (3, "right"): "19.049",
}  # fmt: skip
BORES_OF_FOUR = {"W1": "19.090", "W2": "19.074", "W3": "19.083", "W4": "19.087"}


class Words(PlainWords):
    """The words of a page with drawings in it, whose lines close themselves."""

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        return


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """Somebody at the bench of a data file without a build."""
    return Bench(client, db).sit_down()


def nm(text: str) -> int:
    """Millimetres as typed, in nanometres."""
    whole, part = text.split(".")
    return int(whole + part.ljust(6, "0"))


def logged(bench: Bench, bores: dict[str, str], seats: dict[tuple[int, str], str]) -> None:
    for mark, bore in bores.items():
        bench.bored(mark, bore=f"{bore} mm")
    for (axle, side), seat in seats.items():
        assert bench.seat(axle, side, f"{seat} mm").status_code == 303


@pytest.fixture
def eight(bench: Bench) -> Bench:
    """Six seats and eight bores, all logged."""
    bench.metric(axles="3", coupled="1 2 3", castings="8")
    logged(bench, BORES, SEATS)
    return bench


@pytest.fixture
def two(bench: Bench) -> Bench:
    """One axle: W1 is too loose for the left seat and W2 too tight for the right one; changed over both serve."""
    bench.metric(axles="1", coupled="1", castings="4")
    logged(bench, {"W1": "19.090", "W2": "19.070"}, {(1, "left"): "19.035", (1, "right"): "19.060"})
    return bench


def places(bench: Bench) -> dict[str, tuple[int, str] | None]:
    return {
        mark: (axle, side) if axle else None
        for mark, axle, side in bench.rows("SELECT mark, axle_id, side FROM casting WHERE build_id = 1")
    }


def apply(bench: Bench, **changes: object) -> Response:
    return bench.send(FITS, APPLY, **changes)


def undo(bench: Bench, pairing: int = 1) -> Response:
    return bench.post(f"/builds/1/pairings/{pairing}/undo", {})


def of_build(bench: Bench) -> list[str]:
    """The journal of the build itself."""
    return [
        sentence
        for (sentence,) in bench.rows(
            "SELECT sentence FROM journal_line WHERE axle_id IS NULL AND casting_id IS NULL ORDER BY id"
        )
    ]


def row(bench: Bench, key: str) -> str:
    """A seat's row as words."""
    return " ".join(Words(bench.get(FITS)).by_id[f"seat-{key}"].split())


def test_bad_builds_and_pairings_are_not_there(two: Bench) -> None:
    assert apply(two).status_code == 303
    assert two.metric() == 2
    for path in ("/builds/3/fits", f"/builds/{2**63}/fits", "/builds/0/fits", "/builds/x/fits"):
        assert two.client.get(path).status_code == 404, path
    for path in ("/builds/3/pairing", f"/builds/{2**70}/pairing", "/builds/2/pairings/1/undo",
                 "/builds/1/pairings/2/undo", f"/builds/1/pairings/{2**63 - 1}/undo", f"/builds/1/pairings/{2**63}/undo",
                 "/builds/3/pairings/1/undo"):  # fmt: skip
        two.refused(partial(two.post, path, {}), 404)


def test_the_proposal_is_the_best_of_all(eight: Bench) -> None:
    """Eight logged bores and six seats: every way of placing them is tried here, one by one."""
    joint = Joint(
        FitKind.BOND, nm("19.05"), nm("19.05"), nm("32.0"), nm("15.0"), 20_000, 50_000, _iron(eight)
    )
    marks, seats = list(BORES), list(SEATS)
    today = places(eight)
    merit: dict[tuple[str, Any], tuple[int, ...]] = {}
    for mark in marks:
        for seat in seats:
            bore_nm, seat_nm = nm(BORES[mark]), nm(SEATS[seat])
            answer = judge_fit(joint, bore_nm, seat_nm, Unit.MM).answer
            off = (bore_nm - seat_nm - 35_000) ** 2
            good = answer is not Answer.NOT
            merit[mark, seat] = (
                -(answer is Answer.SERVES), -(answer is Answer.CAUTION), off * good, off * (not good),
                -(today[mark] == seat),
            )  # fmt: skip
    best = min(
        permutations(marks, len(seats)),
        key=lambda order: [
            sum(part) for part in zip(*(merit[pair] for pair in zip(order, seats, strict=True)), strict=True)
        ],
    )
    assert apply(eight).status_code == 303
    assert {place: mark for mark, place in places(eight).items() if place} == dict(
        zip(seats, best, strict=True)
    )


def _iron(bench: Bench) -> str:
    found: str = bench.one("SELECT iron FROM build")
    return found


def test_one_sheet_tells_it_all(eight: Bench) -> None:
    page = eight.whole(FITS)
    words = Words(page)
    text = " ".join(words.text.split())
    assert re.search(r"\d good; today \d", text), "the gain in words"
    for axle, side in SEATS:
        told = " ".join(words.by_id[f"seat-{axle}-{side}"].split())
        mark = next(mark for mark, place in places(eight).items() if place == (axle, side))
        assert f"Seat {SEATS[axle, side]} mm" in told and "measured" in told
        assert mark in told and re.search(r"Gap \d\.\d{3} mm \(\d\.\d{4} in\)", told)
        assert re.search(r"Good|Take care|No good", told)
        assert re.search(r"Factor [\d.]+ of the [\d.]+ N m \([\d.]+ lbf ft\) it must carry", told)
        assert "stays" in told or "Moves from" in told
        # What each number is led to: the formula, the numbers put in, the source.
        working = " ".join(words.by_id[f"working-{axle}-{side}"].split())
        assert (
            "bore - seat" in working and "by definition" in working and "reserve against slipping" in working
        )
        assert f"{FITS}?open=work-{axle}-{side}#slip-work-{axle}-{side}" in page
    assert "assignment problem" in words.by_id["working-pairing"]
    assert "W7" in words.by_id["spares"] and "W8" in words.by_id["spares"]


def test_a_number_opens_its_working(two: Bench) -> None:
    assert "working-1-left" not in Words(two.get(FITS)).by_id
    words = Words(two.get(f"{FITS}?open=work-1-left")).by_id
    assert "bore - seat" in words["working-1-left"] and "working-1-right" not in words
    two.get(f"{FITS}?open=%00<script>")


def test_counts_stand_beside_each_other(two: Bench) -> None:
    counts = "".join(Words(two.get(f"{FITS}?open=counts")).by_id["counts"].split())
    assert "Today0101Proposed2000" in counts


def test_applying_moves_and_is_written_down(two: Bench) -> None:
    before = {m: two.one("SELECT version FROM casting WHERE mark = ?", m) for m in ("W1", "W2", "W3")}
    axle_before = two.one("SELECT version FROM axle WHERE id = 1")
    assert apply(two).headers["location"] == FITS
    assert places(two) == {"W1": (1, "right"), "W2": (1, "left"), "W3": None, "W4": None}
    assert two.rows("SELECT build_id, who, undone_by FROM pairing") == [(1, "AB", "")]
    assert two.rows("SELECT * FROM pairing_move ORDER BY casting_id") == [
        (1, two.id("W1"), 1, "left", 1, "right"),
        (1, two.id("W2"), 1, "right", 1, "left"),
    ]
    assert two.journal("W1")[-1] == "W1 moved from axle 1, left to axle 1, right: pairing wheels with seats."
    own = two.rows("SELECT kind, sentence, who FROM journal_line WHERE axle_id = 1 AND casting_id IS NULL")[
        -1
    ]
    sentence = "Axle 1 after pairing wheels with seats: left W2, before W1; right W1, before W2."
    assert own == ("pair", sentence, "AB")
    assert of_build(two)[-1] == (
        "Pairing applied: W2 from axle 1, right to axle 1, left; W1 from axle 1, left to axle 1, right."
    )
    assert "Pairing applied: W2 from axle 1, right" in " ".join(
        Words(two.get("/diary?of=build-1")).text.split()
    )
    after = {m: two.one("SELECT version FROM casting WHERE mark = ?", m) for m in ("W1", "W2", "W3")}
    assert after == {"W1": before["W1"] + 1, "W2": before["W2"] + 1, "W3": before["W3"]}
    assert two.one("SELECT version FROM axle WHERE id = 1") == axle_before + 1
    assert "already the best" in two.get(FITS)


def test_undo_puts_all_back(eight: Bench) -> None:
    before = places(eight)
    assert apply(eight).status_code == 303
    moved = {mark for mark, place in places(eight).items() if place != before[mark]}
    assert len(moved) > 3
    assert "Undo the pairing of AB" in eight.get(FITS)
    assert eight.send(FITS, "/builds/1/pairings/1/undo").status_code == 303
    assert places(eight) == before
    assert eight.one("SELECT undone_by FROM pairing") == "AB"
    for mark in moved:
        assert "undoing the pairing" in eight.journal(mark)[-1]
    assert of_build(eight)[-1].startswith("Pairing undone: W")
    again = eight.dump()
    assert undo(eight).status_code == 303
    assert eight.dump() == again, "a tap that arrived twice"
    assert "Undo the pairing" not in eight.get(FITS)


def test_a_double_send_is_done_once(two: Bench) -> None:
    fields = form_on(two.get(FITS), APPLY).filled()
    assert two.post(APPLY, fields).status_code == 303
    done = two.dump()
    assert two.post(APPLY, fields).status_code == 303
    assert two.dump() == done


STALE: dict[str, Callable[[Bench], Response | None]] = {
    "a bore corrected": lambda b: b.log("W1", "bore", "19.082 mm"),
    "a seat corrected": lambda b: b.seat(1, "left", "19.034 mm"),
    "a wheel gone to the spares": lambda b: b.send("/castings/1", "/castings/1/spare"),
    "a wheel scrapped": lambda b: b.scrap("W1"),
    "a spare bored": lambda b: b.bored("W3", bore="19.083 mm"),
    "a wheel pressed": lambda b: b.wish("W2", "yes pressed confirmed"),
}


@pytest.mark.parametrize("what", STALE)
def test_an_old_page_is_refused_with_the_present_proposal(two: Bench, what: str) -> None:
    old = form_on(two.get(FITS), APPLY).filled()
    two.tick("W2", "received")
    done = STALE[what](two)
    assert done is None or done.status_code == 303
    words = two.refused(partial(two.post, APPLY, old), 409)
    assert "Changed meanwhile" in words.text and "seat-1-left" in words.by_id


def test_the_present_proposal_can_be_sent_from_the_refusal(two: Bench) -> None:
    old = form_on(two.get(FITS), APPLY).filled()
    two.bored("W3", bore="19.080 mm")
    answer = two.post(APPLY, old)
    assert answer.status_code == 409
    assert two.post(APPLY, form_on(answer.text, APPLY).filled()).status_code == 303


def test_what_does_not_touch_the_proposal_does_not_make_it_old(two: Bench) -> None:
    old = form_on(two.get(FITS), APPLY).filled()
    two.tick("W3", "received")
    assert two.post(APPLY, old).status_code == 303


@pytest.mark.parametrize("proposal", ["", "0" * 32, "x", "0" * 5000])
def test_an_invented_proposal_is_refused(two: Bench, proposal: str) -> None:
    two.refused(partial(apply, two, proposal=proposal), 409)


def test_nothing_to_move_is_said(two: Bench) -> None:
    page = two.get(FITS)
    fields = form_on(page, APPLY).filled()
    assert two.post(APPLY, fields).status_code == 303
    fresh = Words(two.get(FITS)).by_id["gain"]
    assert "Today's places are already the best" in fresh
    assert 'action="/builds/1/pairing"' not in two.get(FITS)
    found = _digest_of(two)
    words = two.refused(partial(two.post, APPLY, {"proposal": found}), 422)
    assert "there is nothing to move" in words.text


def _digest_of(bench: Bench) -> str:
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    return propose(build).digest


def test_pressed_wheels_stay(bench: Bench) -> None:
    bench.metric()
    seats = {(1, "left"): "19.035", (1, "right"): "19.055", (2, "left"): "19.040", (2, "right"): "19.055"}
    logged(bench, BORES_OF_FOUR, seats)
    assert "Moves" in row(bench, "1-left")
    assert bench.wish("W1", "yes pressed confirmed").status_code == 303
    assert "W1 stays: it is on its axle" in row(bench, "1-left")
    assert apply(bench).status_code == 303
    assert places(bench) == {
        "W1": (1, "left"), "W2": (2, "left"), "W3": (1, "right"), "W4": (2, "right"), "W5": None, "W6": None,
    }  # fmt: skip
    assert bench.ticks("W1") >= {"pressed"}


def test_a_spare_comes_in_and_the_other_goes_out(bench: Bench) -> None:
    bench.metric(axles="1", coupled="1", castings="3")
    logged(
        bench, {"W1": "19.200", "W2": "19.085", "W3": "19.084"}, {(1, "left"): "19.05", (1, "right"): "19.05"}
    )
    assert "W3" in row(bench, "1-left") and "Moves from the spares" in row(bench, "1-left")
    assert "W2 stays" in row(bench, "1-right")
    assert "leaves axle 1, left, for the spares" in bench.get(f"{FITS}?open=spares")
    assert apply(bench).status_code == 303
    assert bench.at("W1") == ("spare", None, None)
    assert bench.at("W3") == ("in_work", 1, "left")
    assert bench.journal("W1")[-1].startswith("W1 moved from axle 1, left to the spares")
    assert undo(bench).status_code == 303
    assert bench.at("W1") == ("in_work", 1, "left") and bench.at("W3") == ("spare", None, None)


def test_an_empty_place_is_filled(two: Bench) -> None:
    assert two.scrap("W1").status_code == 303
    two.bored("W3", bore="19.093 mm")
    assert apply(two).status_code == 303
    assert places(two) == {"W1": None, "W2": (1, "left"), "W3": (1, "right"), "W4": None}
    assert two.at("W1")[0] == "scrapped"


def test_a_seat_for_which_no_casting_is_left(two: Bench) -> None:
    assert two.scrap("W1").status_code == 303
    assert "Moves from axle 1, right" in row(two, "1-left")
    assert "Left empty" in row(two, "1-right")
    assert apply(two).status_code == 303
    assert places(two)["W2"] == (1, "left")
    assert "Empty" in row(two, "1-right")


def test_castings_without_a_bore_keep_their_place_and_are_named(two: Bench) -> None:
    page = two.get(f"{FITS}?open=spares")
    listed = Words(page).by_id["spares"]
    assert "W3" in listed and "W4" in listed and "no bore logged" in listed
    assert f"/castings/{two.id('W3')}/bore" in page


def test_a_wheel_without_a_bore_is_sent_nowhere(bench: Bench) -> None:
    bench.metric(axles="1", coupled="1", castings="3")
    logged(bench, {"W2": "19.200", "W3": "19.085"}, {})
    assert "No bore logged" in row(bench, "1-left") and "W1 stays: no bore to pair it by" in row(
        bench, "1-left"
    )
    assert "the drawing's" in row(bench, "1-right")
    assert "Not measured, so the drawing's size stands in" in bench.get(f"{FITS}?open=doubts")
    assert apply(bench).status_code == 303
    assert places(bench) == {"W1": (1, "left"), "W2": None, "W3": (1, "right")}


def test_carrying_wheels_change_among_themselves_only(bench: Bench) -> None:
    bench.metric(coupled="1", castings="5")
    logged(
        bench,
        {"W1": "19.090", "W2": "19.070", "W3": "19.200", "W4": "19.085", "W5": "19.086"},
        {(1, "left"): "19.035", (1, "right"): "19.060", (2, "left"): "19.05", (2, "right"): "19.165"},
    )
    text = bench.get(FITS)
    assert "Driving wheels: " in text and "Carrying wheels: " in text
    assert apply(bench).status_code == 303
    # The spare W5 is taken to be for a coupled axle; W3 and W4 change with each other.
    assert places(bench) == {
        "W1": (1, "right"), "W2": (1, "left"), "W3": (2, "right"), "W4": (2, "left"), "W5": None,
    }  # fmt: skip
    kinds = bench.rows(
        "SELECT DISTINCT axle_id FROM journal_line WHERE kind = 'pair' AND axle_id IS NOT NULL"
    )
    assert sorted(kinds) == [(1,), (2,)]


def test_a_build_that_only_carries_uses_its_spares_there(bench: Bench) -> None:
    bench.metric(axles="1", coupled="", castings="3")
    logged(bench, {"W1": "19.200", "W2": "19.085", "W3": "19.084"}, {})
    assert apply(bench).status_code == 303
    assert places(bench)["W3"] == (1, "left")


def test_an_interference_is_wanted_below_zero(bench: Bench) -> None:
    bench.metric(axles="1", coupled="1", castings="3", fit="press", fit_least="0.004", fit_most="0.010")
    logged(
        bench,
        {"W1": "19.080", "W2": "19.043", "W3": "19.0435"},
        {(1, "left"): "19.05", (1, "right"): "19.05"},
    )
    assert "Interference 0.007 mm" in row(bench, "1-right")
    assert apply(bench).status_code == 303
    assert places(bench)["W3"] == (1, "left")


def test_a_bore_gauged_by_plugs_takes_no_part(two: Bench) -> None:
    with two.db.write() as session:
        session.connection().exec_driver_sql(
            "UPDATE measurement SET value = NULL, low = 19085000, high = 19095000 WHERE casting_id = ?",
            (two.id("W1"),),
        )
    assert "W1 stays: no bore to pair it by" in row(two, "1-left")
    assert "gauged by plugs only" in two.get(f"{FITS}?open=spares")


def test_doubtful_readings_are_listed_with_what_settles_them(two: Bench) -> None:
    assert two.log("W2", "bore", "19.01 mm", "19.13 mm").status_code == 303
    words = Words(two.get(f"{FITS}?open=doubts")).by_id["doubts"]
    assert sentences([" ".join(words.split())], "not known how sure", "again", "instrument", "W1", "W2")
    assert "more than the wanted range is wide" in words and "Measure again" in words
    assert "measure again" in row(two, "1-left")


def test_who_is_asked_first(two: Bench) -> None:
    fields = form_on(two.get(FITS), APPLY).filled()
    two.client.cookies.clear()
    asked = two.post(APPLY, fields)
    assert asked.status_code == 422 and places(two)["W1"] == (1, "left")
    again = form_on(asked.text, APPLY).filled(who="mk")
    assert two.post(APPLY, again).status_code == 303
    assert two.one("SELECT who FROM pairing") == "MK"


@pytest.mark.parametrize("failing", [1, 2, 3, 4])
def test_all_or_nothing(two: Bench, monkeypatch: pytest.MonkeyPatch, failing: int) -> None:
    """The disk, say, fails at the first, the second, the last line of the journal."""
    written, real = [], journal.write_line

    def fails(*arguments: Any, **named: Any) -> None:
        written.append(arguments)
        if len(written) == failing:
            raise RuntimeError("on purpose")
        real(*arguments, **named)

    monkeypatch.setattr(pairing_service, "write_line", fails)
    two.refused(partial(apply, two), 500)
    monkeypatch.undo()
    assert apply(two).status_code == 303
    monkeypatch.setattr(pairing_service, "write_line", fails)
    written.clear()
    two.refused(partial(undo, two), 500)


AGAINST: dict[str, Callable[[Bench], Response]] = {
    "W2 was pressed since": lambda b: b.wish("W2", "yes pressed confirmed"),
    "W1 was scrapped since": lambda b: b.scrap("W1"),
    "W1 was moved since": lambda b: b.send("/castings/1", "/castings/1/spare"),
}


@pytest.mark.parametrize("words", AGAINST)
def test_undo_is_refused_when_something_contradicts(two: Bench, words: str) -> None:
    assert apply(two).status_code == 303
    assert AGAINST[words](two).status_code == 303
    assert words in two.refused(partial(undo, two), 422).text
    page = two.get(FITS)
    assert "Undo the pairing" not in page and words in page


def test_undo_is_refused_when_another_has_the_place(two: Bench) -> None:
    assert two.scrap("W1").status_code == 303
    assert apply(two).status_code == 303
    two.bored("W3", bore="19.093 mm")
    assert two.place(1, "right", "W3").status_code == 303
    assert "W3 has taken the place that W2 came from" in two.refused(partial(undo, two), 422).text


def test_the_latest_pairing_is_undone_first(two: Bench) -> None:
    first = places(two)
    assert apply(two).status_code == 303
    second = places(two)
    two.bored("W3", bore="19.0695 mm")
    assert two.log("W2", "bore", "19.200 mm").status_code == 303
    assert apply(two).status_code == 303
    third = places(two)
    assert second != third and third["W3"] == (1, "left")
    assert "undo that one first" in two.refused(partial(undo, two, 1), 422).text
    assert undo(two, 2).status_code == 303 and places(two) == second
    assert undo(two, 1).status_code == 303 and places(two) == first


def unsure(bench: Bench, **expanded_nm: int) -> None:
    """Say how surely everything is measured, and some bores less surely; in the file, not through a gauge."""
    with bench.db.write() as session:
        run = session.connection().exec_driver_sql
        run("UPDATE measurement SET expanded = 1000")
        for mark, expanded in expanded_nm.items():
            run("UPDATE measurement SET expanded = ? WHERE casting_id = ?", (expanded, bench.id(mark)))


@pytest.fixture
def forced(bench: Bench) -> Bench:
    """A press fit: W1 and W2 grip; the spare W3 is as tight as wanted, but pressing smooths all that away."""
    bench.metric(axles="1", coupled="1", castings="3", fit="press", fit_least="0.0005", fit_most="0.010")
    logged(
        bench,
        {"W1": "19.0435", "W2": "19.0435", "W3": "19.0485"},
        {(1, "left"): "19.050", (1, "right"): "19.050"},
    )
    unsure(bench)
    with bench.db.write() as session:
        run = session.connection().exec_driver_sql
        for key, text in {
            "load": "20 N", "pressure": "0.02 MPa", "piston": "20 mm", "bore_rz": "0.002 mm", "seat_rz": "0.002 mm",
        }.items():  # fmt: skip
            run("INSERT INTO joint_figure VALUES (1, ?, ?)", (key, text))
    return bench


def test_a_joint_that_holds_nothing_is_not_better_for_its_fit(forced: Bench) -> None:
    """By its size alone W3 serves as well as W2 does; its joint holds nothing."""
    with forced.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    axle = build.axles[0]
    assert axle.right is not None
    place = (axle.id, "right")
    tried = rearranged(build, [Move(axle.right, place, None), Move(build.castings[2], None, place)])
    there = tried.castings[2]
    joint = facts_of(tried).joints.of(there)
    assert joint is not None and joint.finding.by_size.answer is Answer.SERVES
    assert joint.holding.factor_figure == "0.00"
    assert propose(build).groups[0].pairing.best.counts == (2, 0, 0) and not propose(build).moves
    assert 'action="/builds/1/pairing"' not in forced.get(FITS)


def test_serves_never_stands_beside_a_factor_of_nothing(forced: Bench) -> None:
    assert forced.send("/castings/2", "/castings/2/spare").status_code == 303
    assert forced.place(1, "right", "W3").status_code == 303
    told = row(forced, "1-right")
    assert "Factor 0.00" in told
    today = told.partition("Factor")[0]
    assert "W3" in today and "Serves" not in today
    gain = " ".join(Words(forced.get(FITS)).by_id["gain"].split())
    assert "Today nothing can be counted on from the joint of W3: factor 0.00." in gain
    assert "As proposed" not in gain and "W2 Good" in told and "factor 0.00 Proposed" not in gain
    with forced.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    (group,) = propose(build).groups
    for side, said in zip(("left", "right"), group.today, strict=True):
        wheel = build.axles[0].at(side)
        assert wheel is not None and facts_of(build).joints.of(wheel) is said


def test_equal_bores_of_unequal_trust_are_told_apart(forced: Bench) -> None:
    """W2 and W3 read the same now; the one that is surely known keeps the seat, whichever comes first."""
    assert forced.log("W3", "bore", "19.0435 mm").status_code == 303
    unsure(forced, W3=9_000)
    assert 'action="/builds/1/pairing"' not in forced.get(FITS)
    unsure(forced, W2=9_000)
    assert "Moves from the spares" in row(forced, "1-right")
    assert apply(forced).status_code == 303
    assert places(forced)["W3"] == (1, "right")


def test_the_whole_never_comes_down(monkeypatch: pytest.MonkeyPatch, eight: Bench) -> None:
    """More that serve are no gain when fewer in all are good enough: those stay, and only the bad ones change."""
    words = {Answer.SERVES: "S", Answer.CAUTION: "C", Answer.NOT: "N"}
    # Today every wheel of six take care; W1 serves on the seat of W2, W2 nowhere else at all.
    good = {("W1", (1, "right")): Answer.SERVES, ("W3", (2, "right")): Answer.SERVES}
    today = {(mark, place): Answer.CAUTION for mark, place in places(eight).items() if place}
    with eight.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    number = {axle.id: axle.number for axle in build.axles}

    def made_up(joints: Joints, casting: CastingView, place: tuple[int, str] | None) -> SimpleNamespace:
        at = (number[place[0]], place[1]) if place else None
        answer = {**today, **good}.get((casting.mark, at), Answer.NOT)  # type: ignore[arg-type]
        return SimpleNamespace(answer=answer, word=words[answer])

    monkeypatch.setattr(Joints, "on", made_up)
    (group,) = propose(build).groups
    assert group.pairing.best.counts == group.pairing.today.counts == (0, 6, 0)
    assert not group.pairing.moves
    today["W3", (2, "left")] = today["W4", (2, "right")] = Answer.NOT
    (group,) = propose(build).groups
    # W3 and W4 may change now, for neither is good where it is.
    assert group.pairing.today.counts == (0, 4, 2) and group.pairing.best.counts == (1, 4, 1)
    assert ("W3", "axle 2, right end") in [(p.casting.mark, p.seat.label) for p in group.pairing.moves]
    assert {p.casting.mark for p in group.pairing.pairs} >= {"W1", "W2", "W5", "W6"}


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [
        (19_021_000, None, "Gap more than 0.019 mm (0.0007 in)"),
        (None, 19_021_000, "Gap less than 0.019 mm (0.0007 in), or interference"),
        (18_990_000, None, "Interference less than 0.012 mm (0.0005 in), or a gap"),
        (None, 18_990_000, "Interference more than 0.012 mm (0.0005 in)"),
        (19_012_000, 19_021_000, "Gap between 0.010 mm (0.0004 in) and 0.019 mm (0.0007 in)"),
        (18_990_000, 18_999_000, "Interference between 0.003 mm (0.0001 in) and 0.012 mm (0.0005 in)"),
        (18_999_000, 19_012_000, "Interference less than 0.003 mm (0.0001 in), to a gap less than 0.010 mm (0.0004 in)"),
    ],
)  # fmt: skip
def test_a_gap_by_plugs_is_no_one_size(two: Bench, low: int | None, high: int | None, told: str) -> None:
    """Seat 19.002 mm; the limits less the seat, by hand."""
    assert two.seat(1, "left", "19.002 mm").status_code == 303
    with two.db.write() as session:
        session.connection().exec_driver_sql(
            "UPDATE measurement SET value = NULL, low = ?, high = ? WHERE casting_id = ?",
            (low, high, two.id("W1")),
        )
    assert told in row(two, "1-left").partition("Factor")[0]


def test_a_caution_says_whose_it_is(two: Bench) -> None:
    page = two.get(f"{FITS}?open=cautions")
    said = [" ".join(one.split()) for one in re.findall(r"<li>([^<]*)</li>", page.partition('"cautions"')[2])]
    assert said and all(re.match(r"W\d(, W\d)*: ", one) for one in said)
    texts = [one.partition(": ")[2] for one in said]
    assert len(texts) == len(set(texts)), "equal ones are joined"
    assert any(one.startswith("W1, W2: ") for one in said)


def test_an_axle_taken_away_since(bench: Bench) -> None:
    bench.metric(castings="4")
    # W3 serves on axle 2 and lies nearer to the middle on axle 1.
    logged(bench, {"W1": "19.200", "W3": "19.095"}, {(1, "right"): "19.060"})
    assert bench.scrap("W2").status_code == 303 and bench.scrap("W4").status_code == 303
    assert apply(bench).status_code == 303
    assert places(bench)["W3"] == (1, "right")
    edit = form_on(bench.get("/builds/1/edit"), "/builds/1/edit").filled(
        axles="1", coupled="1", confirmed="yes"
    )
    answer = bench.post("/builds/1/edit", edit)
    assert answer.status_code == 303, Words(answer.text).text[:400]
    assert "no longer in the build" in bench.refused(partial(undo, bench), 422).text
    bench.get(FITS)


def test_as_many_statements_with_many_castings(bench: Bench) -> None:
    counts = []
    for build, (axles, castings) in enumerate(((1, 3), (6, 20)), 1):
        coupled = " ".join(str(n) for n in range(1, axles + 1))
        assert bench.metric(axles=str(axles), coupled=coupled, castings=str(castings)) == build
        bench.get(f"/builds/{build}/fits")
        with counting(bench.db) as said:
            bench.get(f"/builds/{build}/fits")
        counts.append(len(said))
    assert counts[0] == counts[1] > 0


def test_wheels_that_change_sides_meet_other_throws(eight: Bench) -> None:
    with eight.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    drawn = build.nm("throw") / 1e6
    crossing = [one for one in propose(build).moves if one.start and one.end and one.start[1] != one.end[1]]
    assert crossing
    for one in build.castings:
        if one.side:
            assert (
                eight.log(
                    one.mark, "throw", f"{drawn + (0.2 if one.side == 'right' else 0):.3f} mm"
                ).status_code
                == 303
            )
    html = eight.get(FITS)
    said = PlainWords(html).by_id["throws-then"]
    assert (
        "As proposed the throws would be worse than today. No good: the left throws lie 0.200 mm"
        in " ".join(said.split())
    )
    assert 'href="/builds/1/crankpins#throws"' in html
    for one in build.castings:
        if one.side:
            assert eight.log(one.mark, "throw", f"{drawn:.3f} mm").status_code == 303
    assert "throws-then" not in eight.get(FITS)


def test_the_answer_comes_first_and_what_is_behind_it_opens(two: Bench) -> None:
    """W1 and W2 lie on each other's seats, so today is looked at with care; applied, both are good."""
    page = two.get(FITS)
    main = page.index('<main class="sheet"')
    assert main < page.index('class="verdict-line" data-answer="caution"') < page.index('id="seats"')
    assert page.index('id="seats"') < page.index('class="fold"')
    assert page.count("<table", main) == 1 and "formula" not in page
    folds = folds_on(page)
    assert len(folds) == 2 + 4, "a slip for each seat; counts, spares, doubts, cautions"
    for own, address in folds.items():
        assert Words(two.get(address)).by_id[own].strip()
    # Both seats are measured; how sure the two bores are is not known.
    assert "Not measured, or not to be trusted: 2" in page
    assert apply(two).status_code == 303
    assert 'class="verdict-line" data-answer="serves"' in two.get(FITS)
    # A refusal is answered at another address; what it folds is opened on the sheet's own.
    answer = two.post(APPLY, {"proposal": "0" * 32})
    assert set(folds_on(answer.text).values()) <= set(folds.values())
