"""The card of an axle: its sizes judged, its list made and ticked, and what fixing the second wheel asks of it."""

from __future__ import annotations

from functools import partial

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from tests.webapp.scenes import Bench, Words, bands_on, opened
from webapp.db import Db

CARD = "/axles/1/assembly"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def sizes(bench: Bench, **fields: object) -> Response:
    """Write sizes down from the card opened just now."""
    return bench.send(opened(CARD, "sizes"), CARD, **fields)


def tap(bench: Bench, kind: str) -> Response:
    """Put a starter on the list."""
    return bench.post(f"{CARD}/list", {"seen": seen(bench), "starter": kind})


def own(bench: Bench, **fields: str) -> Response:
    """Put a thing with a name of one's own on the list."""
    return bench.post(f"{CARD}/list", {"seen": seen(bench), "along": "middle", **fields})


def seen(bench: Bench) -> str:
    return str(bench.one("SELECT version FROM axle WHERE id = 1"))


def items(bench: Bench, axle: int = 1) -> list[str]:
    return [name for (name,) in bench.rows("SELECT name FROM axle_item WHERE axle_id = ? ORDER BY id", axle)]


def wish(bench: Bench, name: str, what: str, /, **fields: str) -> Response:
    item = bench.one("SELECT id FROM axle_item WHERE axle_id = 1 AND name = ?", name)
    return bench.post(f"{CARD}/list/{item}", {"seen": seen(bench), "wish": what, **fields})


def test_the_shoulders_say_the_back_to_back_before_a_wheel_is_on(bench: Bench) -> None:
    assert "is wanted" in Words(bench.get(CARD)).by_id["judged"]
    assert bands_on(bench.get(CARD)) == []
    assert sizes(bench, over_shoulders="83.4").status_code == 303
    assert Words(bench.get(CARD)).by_id["judged"].startswith("Good: back to back comes to 83.400 mm")
    assert bands_on(bench.get(CARD)) == ["serves"]
    # Half a millimetre under the least is no good, and what it takes is said.
    assert sizes(bench, over_shoulders="82.8").status_code == 303
    said = Words(bench.get(CARD)).text
    assert "No good: back to back comes to 82.800 mm" in said and "must go between" in said
    assert "No good: back to back" in bench.journal()[-1]


def test_a_boss_that_stands_proud_counts_twice(bench: Bench) -> None:
    form = {"boss_proud": "0.5 mm"}
    assert bench.send("/builds/1/figures", "/builds/1/figures", **form).status_code == 303
    assert sizes(bench, over_shoulders="82.4").status_code == 303
    assert "comes to 83.400 mm" in Words(bench.get(CARD)).by_id["judged"]


def test_run_out_is_told_by_the_dials_full_reading_alone(bench: Bench) -> None:
    assert sizes(bench, axle_run_out="0.06").status_code == 303
    assert "No good: run-out 0.060 mm" in Words(bench.get(CARD)).by_id["judged"]
    assert bands_on(bench.get(CARD)) == ["not"]
    assert "0.030" not in Words(bench.get(CARD)).by_id["judged"], "half of it leads nowhere"
    assert "the centre is off by half of it" in Words(bench.get(opened(CARD, "sizes"))).text
    # A dial that stands still is a reading too.
    assert sizes(bench, axle_run_out="0").status_code == 303
    assert "run-out" not in Words(bench.get(CARD)).by_id["judged"]


def test_ends_and_centres_are_kept_each_for_itself(bench: Bench) -> None:
    form = {"journal_left": "20", "journal_right": "20.01", "seat_length_left": "15", "centres": "yes"}
    assert sizes(bench, **form).status_code == 303
    found = bench.rows("SELECT kind, side, value FROM measurement WHERE axle_id = 1 ORDER BY kind, side")
    assert found == [
        ("journal", "left", 20_000_000),
        ("journal", "right", 20_010_000),
        ("seat_length", "left", 15_000_000),
    ]
    assert bench.one("SELECT centred FROM axle WHERE id = 1") == 1
    said = Words(bench.get(opened(CARD, "sizes"))).text
    assert "Journals, between the wheels" in said and "in both ends" in said


def test_what_cannot_be_is_refused_beside_its_field(bench: Bench) -> None:
    words = bench.refused(partial(sizes, bench, over_shoulders="89"))
    assert "no less than the track's gauge" in words.by_id["over_shoulders-error"]
    words = bench.refused(partial(sizes, bench, journal_left="19.2", lies="outer_journal"))
    assert "the wheel goes on over it" in words.by_id["journal_left-error"]
    words = bench.refused(partial(sizes, bench, seat_length_right="a lot"))
    assert words.by_id["seat_length_right-error"]
    assert "Nothing was typed" in bench.refused(partial(sizes, bench)).text


def test_what_can_hardly_be_meant_is_asked(bench: Bench) -> None:
    words = bench.refused(partial(sizes, bench, over_shoulders="87.5"), 409)
    assert "Can that be the length over the shoulders?" in words.by_id["over_shoulders-error"]
    words = bench.refused(partial(sizes, bench, journal_left="18"), 409)
    assert "the seat's is 19.050 mm" in words.by_id["journal_left-error"]
    assert "It is no smaller than the seat, or no axlebox" in words.by_id["journal_left-error"]
    assert words.text.count("at both ends and in two directions; the least.") == 2, (
        "of several one is written down"
    )
    assert sizes(bench, over_shoulders="87.5", meant="87500000").status_code == 303


def test_the_list_is_made_from_starters_and_names_of_one_s_own(bench: Bench) -> None:
    for _ in range(2):
        assert tap(bench, "axlebox").status_code == 303
    assert own(bench, name="Water pump", width="12 mm", split="yes").status_code == 303
    assert items(bench) == ["Left axlebox", "Right axlebox", "Water pump"]
    assert "All of that kind" in bench.refused(partial(tap, bench, "axlebox")).text
    assert bench.refused(partial(own, bench, name=" ")).by_id["thing-name-error"]
    twice = bench.refused(partial(own, bench, name="left  AXLEBOX"))
    assert "Left axlebox is on the list already" in twice.by_id["thing-name-error"]
    wide = bench.refused(partial(own, bench, name="Drum", width="80 mm"))
    assert "wider than the room between the shoulders" in wide.by_id["thing-width-error"]


def test_a_thing_is_ticked_renamed_and_taken_out(bench: Bench) -> None:
    tap(bench, "gear")
    assert wish(bench, "Gear", "yes").status_code == 303
    assert bench.rows("SELECT on_who, on_at IS NOT NULL FROM axle_item") == [("AB", 1)]
    assert wish(bench, "Gear", "save", name="Big gear", along="left").status_code == 303
    assert bench.rows("SELECT name, along, kind, on_who FROM axle_item") == [
        ("Big gear", "left", "gear", "AB")
    ]
    assert wish(bench, "Big gear", "no").status_code == 303
    assert wish(bench, "Big gear", "out").status_code == 303
    assert items(bench) == []
    assert "Taken off axle 1's list: Big gear." in bench.journal()


def test_the_same_list_in_one_tap_and_nothing_of_it_is_on(bench: Bench) -> None:
    tap(bench, "gear")
    wish(bench, "Gear", "yes")
    page = bench.get("/axles/2/assembly")
    assert "The same list as axle 1" in Words(page).text
    assert bench.send("/axles/2/assembly", "/axles/2/assembly/same").status_code == 303
    assert items(bench, 2) == ["Gear"]
    assert bench.one("SELECT on_who FROM axle_item WHERE axle_id = 2") is None
    assert "The same list as" not in Words(bench.get("/axles/2/assembly")).text


def ready(bench: Bench) -> None:
    """One wheel on, the other bored; the gear is on the list, and a split eccentric."""
    bench.seats()
    bench.bored("W1", "W2")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28").status_code == 303
    tap(bench, "gear")
    own(bench, name="Eccentric", split="yes")
    bench.tick("W1", "pressed")


def test_fixing_the_second_wheel_asks_for_what_is_not_on(bench: Bench) -> None:
    ready(bench)
    assert "Before W2 goes on: 1 of 2 still to go on" in Words(bench.get("/axles/1")).by_id["row-pressed"]
    send = partial(bench.send, "/axles/1", "/axles/1/ticks")
    asked = bench.refused(partial(send, wish="yes pressed_and_quartered"), 409).text
    assert "Not on axle 1 yet: Gear. Once W2 is fixed it can go on no more" in asked
    assert "without heat or a puller" in asked and "heights" in asked.lower()
    alone = bench.refused(partial(bench.wish, "W2", "yes pressed"), 409).text
    assert "Not on axle 1 yet: Gear." in alone
    wish(bench, "Gear", "yes")
    asked = bench.refused(partial(send, wish="yes pressed_and_quartered"), 409).text
    assert "Not on axle 1 yet" not in asked
    assert "still to go on" not in Words(bench.get("/axles/1")).text


def test_what_was_let_pass_is_settled_when_it_is_off_the_list(bench: Bench) -> None:
    ready(bench)
    answer = bench.send(
        "/axles/1", "/axles/1/ticks", wish="yes pressed_and_quartered confirmed", reason="it is split"
    )
    assert answer.status_code == 303
    assert "Both wheels are on, and not on the axle: Gear." in Words(bench.get(CARD)).text
    assert "Not on axle 1 yet: Gear." in bench.one(
        "SELECT let_pass FROM tick WHERE key = 'pressed' AND casting_id = ?", bench.id("W2")
    )
    # The first wheel went on before: nothing was asked of it, and nothing is now.
    assert "Not on axle 1 yet" not in Words(bench.get(f"/castings/{bench.id('W1')}")).text
    assert "Not on axle 1 yet" in Words(bench.get("/axles/1")).by_id["row-pressed"]
    wish(bench, "Gear", "out")
    assert "Not on axle 1 yet" not in Words(bench.get("/axles/1")).by_id["row-pressed"]


def test_a_carrying_axle_is_asked_too(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(coupled="2")
    bench.seats()
    bench.bored("W1", "W2")
    tap(bench, "axlebox")
    bench.tick("W1", "pressed")
    assert (
        "Not on axle 1 yet: Left axlebox."
        in bench.refused(partial(bench.wish, "W2", "yes pressed"), 409).text
    )


def test_the_picture_inks_in(bench: Bench) -> None:
    tap(bench, "gear")
    assert bench.get(CARD).count(' data-on="no"') == 1
    wish(bench, "Gear", "yes")
    page = bench.get(CARD)
    assert page.count(' data-on="yes"') == 1
    assert "no wheel on it, and 1 of 1 things of the list" in page
    bench.seats()
    bench.bored("W1")
    bench.tick("W1", "pressed")
    assert bench.get(CARD).count('class="thick" fill="url(#hatch-section)"') == 3


def test_what_swings_just_what_it_may_is_within(bench: Bench) -> None:
    """A figure as a dial shows it, in either system: 0.001 in is no more than 0.001 in."""
    for typed in ("0.001 in", "0.025 mm"):
        assert sizes(bench, axle_run_out=typed).status_code == 303
        assert "run-out" not in Words(bench.get(CARD)).by_id["judged"], typed
    assert sizes(bench, axle_run_out="0.0012 in").status_code == 303
    said = Words(bench.get(CARD)).by_id["judged"]
    assert (
        "run-out 0.030 mm (0.0012 in), the full reading of the dial; 0.025 mm (0.0010 in) is allowed" in said
    )


def test_an_axle_no_good_is_on_its_sheet_and_asked_before_a_wheel_goes_on(bench: Bench) -> None:
    bench.bored("W1")
    assert sizes(bench, axle_run_out="0.06").status_code == 303
    words = "Axle 1: no good: run-out 0.060 mm"
    page = Words(bench.get("/axles/1")).text
    assert words in page and "Assembly: no good" in page
    assert words in bench.refused(lambda: bench.wish("W1", "yes pressed"), 409).text
    assert sizes(bench, axle_run_out="0.02").status_code == 303
    assert "run-out" not in Words(bench.get("/axles/1")).text
    assert "run-out" not in bench.refused(lambda: bench.wish("W1", "yes pressed"), 409).text
