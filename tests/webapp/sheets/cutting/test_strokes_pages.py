"""Hand strokes through their pages: the plan, the counter and which total stands, what is refused."""

from __future__ import annotations

from functools import partial
from itertools import permutations
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx import Response
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.webapp.scenes import Bench, Words, form_on, opened
from webapp.db import Db
from webapp.sheets.cutting.change_strokes import merged
from webapp.sheets.cutting.form_strokes import Tally
from webapp.sheets.cutting.view_strokes import minutes_words

PAGE = "/castings/1/strokes"
COUNT = f"{PAGE}/1"
# 8 mm by 0.5 mm is 16 strokes; 0.5 mm by 0.2 mm is three passes, each a third of it: 0.167 mm.
PLAN = "radial_width=8+mm&feed=0.5+mm&depth=0.5+mm&cut_depth=0.2+mm&rhythm=30"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A metric build whose initials are known."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def text_of(html: str) -> str:
    """The words of a page with single spaces, cells of a table apart."""
    return " ".join(Words(html.replace("<", " <")).text.split())


def begin(bench: Bench, **changes: object) -> Response:
    """Start counting from the planned page."""
    return bench.send(f"{PAGE}?{PLAN}", PAGE, **changes)


def counting(bench: Bench) -> Bench:
    answer = begin(bench)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{COUNT}?rhythm=30")
    return bench


def tell(bench: Bench, path: str = COUNT, **tally: object) -> Response:
    """What the script sends."""
    return bench.client.post(path, data=tally, headers={"accept": "application/json"})


def done(bench: Bench) -> Any:
    return bench.one("SELECT done FROM stroke_count WHERE id = 1")


def test_the_form_opens_filled_in(bench: Bench) -> None:
    page = bench.whole(PAGE)
    # Throw 28, twice the hole of 8 as metal round the pin, bore 19.05: 28 + 8 - 9.525 = 26.475 mm, worked by hand.
    assert 'value="26.475 mm"' in page
    assert 'value="0.004 in"' in page
    assert 'value="0.2 mm"' in page
    said = text_of(page)
    assert "By the drawing: throw + half the metal round the crankpin - half the bore" in said
    assert "Most depth of a pass" in said
    assert "Power off at the wall" in said
    assert "The plan" not in said


def test_caution_comes_first_then_the_ways_of_working(bench: Bench) -> None:
    said = text_of(bench.whole(PAGE))
    first = said.index("Lathe isolated at the wall, chuck key out")
    assert "practise on a spoiled casting" in said
    ways = [said.index(way) for way in ("By hand", "In the slowest back gear", "Milled")]
    assert [first, *ways, said.index("How many strokes")] == sorted(
        [first, *ways, said.index("How many strokes")]
    )
    assert "missed beat breaks the tool" in said


def test_the_width_goes_by_the_metal_round_the_crankpin_where_that_is_typed(bench: Bench) -> None:
    assert bench.send("/builds/1/joints", "/builds/1/joints", pin_boss="20 mm").status_code == 303
    # 28 + 10 - 9.525 = 28.475 mm.
    assert 'value="28.475 mm"' in bench.whole(PAGE)


def test_an_inch_and_more_on_a_driver_for_five_inch_gauge(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.start()
    # Throw 1 1/8 in, hole 7/16 in with as much metal again round it, bore 3/4 in: 1.125 + 0.4375 - 0.375 in.
    assert 'value="1.1875 in"' in bench.whole(PAGE)


def test_the_builds_own_figures_are_filled_in(bench: Bench) -> None:
    figures = "/builds/1/figures"
    answer = bench.send(figures, figures, stroke_feed="0.1", stroke_cut="0.3", rhythm="25")
    assert answer.status_code == 303
    page = bench.whole(PAGE)
    assert all(f'value="{text}"' in page for text in ("0.1 mm", "0.3 mm", "25"))


def test_the_plan(bench: Bench) -> None:
    before = bench.dump()
    said = text_of(bench.whole(f"{PAGE}?{PLAN}"))
    assert "48 strokes: 3 passes of 16 strokes, each 0.167 mm (0.0066 in) deep." in said
    # 48 / 30 = 1.6, a started minute counts whole.
    assert "At 30 strokes a minute about 2 min" in said
    assert "Strokes a pass" in said
    assert bench.dump() == before


def test_a_skin_thinner_than_the_usual_cut_takes_one_pass(bench: Bench) -> None:
    said = text_of(bench.whole(f"{PAGE}?radial_width=8+mm&feed=0.5+mm&depth=0.15+mm"))
    assert "16 strokes in one pass, 0.150 mm (0.0059 in) deep." in said
    assert begin(bench, depth="0.15", cut_depth="0.2 mm").status_code == 303
    assert bench.rows("SELECT wanted, depth_text, cut_text FROM stroke_count") == [(16, "0.15 mm", "0.15 mm")]
    assert "wind on" not in text_of(bench.whole(COUNT)).split("Pass 1 of 1, next")[0].split("Tap here")[0]


NOT_TAKEN = [
    ({"depth": ""}, "depth", "Nothing was typed"),
    ({"depth": "0"}, "depth", "must be above zero"),
    ({"depth": "-1"}, "depth", ""),
    ({"depth": "60"}, "depth", "is not likely"),
    ({"depth": "half"}, "depth", ""),
    ({"radial_width": "9" * 40}, "radial_width", ""),
    ({"radial_width": "0.1"}, "feed", "wider than the work"),
    ({"feed": "0"}, "feed", "must be above zero"),
    ({"feed": "3"}, "feed", "is not likely"),
    ({"feed": "0.0001", "depth": "50"}, "feed", "more than anybody pulls"),
    ({"cut_depth": "0.6"}, "cut_depth", "deeper than the metal to come off"),
    ({"cut_depth": "nan"}, "cut_depth", ""),
    ({"rhythm": "0"}, "rhythm", "is not likely"),
    ({"rhythm": "200"}, "rhythm", "is not likely"),
    ({"rhythm": "quick"}, "rhythm", "is not a number"),
]


def test_what_cannot_be_typed_has_a_sentence(bench: Bench) -> None:
    form = form_on(bench.whole(f"{PAGE}?{PLAN}"), PAGE)
    for typed, field, says in NOT_TAKEN:
        fields = form.filled(**typed)
        for act in (
            partial(bench.client.post, PAGE, data=fields),
            partial(bench.client.get, PAGE, params=fields),
        ):
            words = bench.refused(act, 422)
            assert words.at(field).strip(), (typed, field)
            assert says in words.at(field), (typed, words.at(field))


def test_starting_is_stored_with_one_line(bench: Bench) -> None:
    lines = len(bench.journal("W1"))
    counting(bench)
    row = bench.rows("SELECT casting_id, wanted, done, width_text, feed_text, closed, who FROM stroke_count")
    assert row == [(1, 48, 0, "8 mm", "0.5 mm", 0, "AB")]
    assert bench.journal("W1")[lines:] == [
        "Began facing by hand strokes. 48 strokes: 3 passes of 16 strokes, each 0.167 mm (0.0066 in) deep."
    ]


def test_the_same_form_sent_twice_starts_once(bench: Bench) -> None:
    form = form_on(bench.whole(f"{PAGE}?{PLAN}"), PAGE).filled()
    first, again = bench.post(PAGE, form), bench.post(PAGE, form)
    assert first.headers["location"] == again.headers["location"]
    assert bench.one("SELECT count(*) FROM stroke_count") == 1


def test_one_count_at_a_time(bench: Bench) -> None:
    form = form_on(bench.whole(f"{PAGE}?{PLAN}"), PAGE).filled(token="")
    counting(bench)
    form["seen"] = str(bench.one("SELECT version FROM casting WHERE id = 1"))
    words = bench.refused(partial(bench.post, PAGE, form), 422)
    assert "A count is open on this casting" in words.text
    page = bench.whole(f"{PAGE}?{PLAN}")
    assert "Go on counting" in page
    assert "Start counting" not in page


def test_starting_from_a_page_out_of_date(bench: Bench) -> None:
    form = form_on(bench.whole(f"{PAGE}?{PLAN}"), PAGE).filled()
    bench.tick("W1", "received")
    words = bench.refused(partial(bench.post, PAGE, form), 409)
    assert "Ticked received." in words.text


def test_nobody_said_who(bench: Bench) -> None:
    bench.client.cookies.clear()
    words = bench.refused(partial(begin, bench, who=""), 422)
    assert "Who is at the bench?" in words.at("who")


def test_a_scrapped_casting(bench: Bench) -> None:
    form = form_on(bench.whole(f"{PAGE}?{PLAN}"), PAGE).filled()
    assert bench.scrap("W1").status_code == 303
    assert "Start counting" not in bench.whole(f"{PAGE}?{PLAN}")
    form["seen"] = str(bench.one("SELECT version FROM casting WHERE id = 1"))
    words = bench.refused(partial(bench.post, PAGE, form), 422)
    assert "W1 is scrapped: undo the scrapping" in words.text


def test_taps_are_kept_as_totals_without_a_line(bench: Bench) -> None:
    counting(bench)
    lines = bench.journal()
    version = bench.one("SELECT version FROM casting WHERE id = 1")
    for total in (1, 2, 2, 7):
        assert tell(bench, done=total, top=total).json() == {"done": total, "words": ""}
    assert done(bench) == 7
    assert bench.journal() == lines
    assert bench.one("SELECT version FROM casting WHERE id = 1") == version


def test_a_message_that_comes_late_or_twice_takes_nothing_away(bench: Bench) -> None:
    counting(bench)
    tell(bench, done=12, top=12)
    assert tell(bench, done=9, top=9).json()["done"] == 12
    assert tell(bench, done=12, top=12).json()["done"] == 12
    assert done(bench) == 12


def test_taking_one_off_counts_from_one_who_knew_of_all(bench: Bench) -> None:
    counting(bench)
    tell(bench, done=12, top=12)
    assert tell(bench, done=11, top=12).json()["done"] == 11
    # The answer was lost and the same is sent again; then it is counted on.
    assert tell(bench, done=11, top=12).json()["done"] == 11
    assert tell(bench, done=12, top=12).json()["done"] == 12
    # Strokes never told, one of them taken off again.
    assert tell(bench, done=15, top=16).json()["done"] == 15
    # Another tablet that knew of 12 only cannot take off what it never saw.
    assert tell(bench, done=11, top=12).json()["done"] == 15


@settings(max_examples=50)
@given(st.lists(st.integers(0, 300), min_size=1, max_size=4))
def test_without_taking_off_the_order_of_messages_does_not_matter(totals: list[int]) -> None:
    ends = set()
    for order in permutations(totals):
        stored = 0
        for total in order:
            stored = merged(stored, Tally(total, total))
        ends.add(stored)
    assert ends == {max(totals)}


@settings(max_examples=100, deadline=None)
@given(st.lists(st.sampled_from([1, 1, 1, -1]), max_size=60), st.data())
def test_one_tablet_that_is_heard_now_and_then_ends_with_its_own_total(
    taps: list[int], data: st.DataObject
) -> None:
    """Messages are dropped, answers are lost, and what the tablet shows at the end is what is stored."""
    stored = shown = top = 0
    for tap in taps:
        shown = max(0, shown + tap)
        top = max(top, shown)
        if data.draw(st.booleans(), "the program is reached"):
            stored = merged(stored, Tally(shown, top))
            if data.draw(st.booleans(), "its answer comes back"):
                top = max(stored, shown)
    assert merged(stored, Tally(shown, top)) == shown


def test_the_counter_shows_where_one_is(bench: Bench) -> None:
    counting(bench)
    tell(bench, done=16, top=16)
    page = bench.whole(f"{COUNT}?rhythm=30")
    said = text_of(page)
    assert "16 of 48" in said
    assert "Pass 2 of 3, next stroke 1 of 16" in said
    # 32 strokes at 30 a minute.
    assert "32 left, about 2 min at 30 a minute" in said
    shown = [part for part in page.split('<span class="pad-say"')[1:] if " hidden>" not in part[:60]]
    assert len(shown) == 1
    assert "wind on 0.167 mm (0.0066 in)." in shown[0]
    tell(bench, done=32, top=32)
    assert "wind on 0.167 mm (0.0066 in), the last cut." in text_of(bench.whole(COUNT))
    tell(bench, done=50, top=50)
    assert "All 48 strokes are done: stop and measure." in text_of(bench.whole(COUNT))
    # Without a rhythm in the address, or with nonsense, the build's own 20 a minute.
    assert "at 20 a minute" in text_of(bench.whole(COUNT))
    assert "at 20 a minute" in text_of(bench.whole(f"{COUNT}?rhythm=<b>"))
    assert "Power off at the wall" in said


def test_without_script_the_pad_is_a_plain_form(bench: Bench) -> None:
    counting(bench)
    page = bench.whole(f"{COUNT}?rhythm=30")
    form = form_on(page, COUNT)
    assert form.buttons == [("done", "1")]
    answer = bench.post(COUNT, form.filled(done="1"))
    assert (answer.status_code, answer.headers["location"]) == (303, f"{COUNT}?rhythm=30")
    # The same form sent again counts nothing more.
    bench.post(COUNT, form.filled(done="1"))
    assert done(bench) == 1
    page = bench.whole(f"{COUNT}?rhythm=30")
    assert "1 of 48" in text_of(page)
    off = page.split('id="take-back"')[1]
    assert 'name="top" value="1"' in off
    assert 'name="done" value="0"' in off
    assert bench.post(COUNT, {"done": "0", "top": "1"}).status_code == 303
    assert done(bench) == 0


def test_finishing_keeps_the_last_total_with_one_line(bench: Bench) -> None:
    counting(bench)
    tell(bench, done=40, top=40)
    answer = bench.send(COUNT, f"{COUNT}/finish", done="47", top="47")
    assert (answer.status_code, answer.headers["location"]) == (303, f"{PAGE}?open=counts#fold-counts")
    assert bench.rows("SELECT done, closed FROM stroke_count") == [(47, 1)]
    assert bench.journal("W1")[-1] == "Finished hand strokes: 47 of 48 done."
    lines = bench.journal()
    assert bench.post(f"{COUNT}/finish", {"done": "48", "top": "48"}).status_code == 303
    assert bench.journal() == lines
    assert done(bench) == 47
    assert "Finished: 47 of 48 strokes" in text_of(bench.whole(COUNT))
    assert "47 of 48" in text_of(bench.whole(PAGE))
    # The next one may begin.
    assert begin(bench).headers["location"] == f"{PAGE}/2?rhythm=30"


def test_nothing_is_added_to_a_finished_count(bench: Bench) -> None:
    counting(bench)
    bench.post(f"{COUNT}/finish", {"done": "5"})
    answer = tell(bench, done=6, top=6)
    assert (answer.status_code, answer.json()["done"]) == (409, 5)
    assert "This count is finished" in answer.json()["words"]
    words = bench.refused(partial(bench.post, COUNT, {"done": "6", "top": "6"}), 422)
    assert "This count is finished" in words.text


def test_finishing_asks_who(bench: Bench) -> None:
    counting(bench)
    bench.client.cookies.clear()
    words = bench.refused(partial(bench.post, f"{COUNT}/finish", {"done": "5", "who": ""}), 422)
    assert "Who is at the bench?" in words.text


def test_a_total_that_is_none(bench: Bench) -> None:
    counting(bench)
    for text in ("", "-1", "nan", "1e3", "40001", "9" * 30, "٣", "six"):
        for path in (COUNT, f"{COUNT}/finish"):
            bench.refused(partial(bench.post, path, {"done": text, "top": "3"}), 422)
        answer = tell(bench, done=text, top="3")
        assert answer.status_code == 422
        assert "a whole number from 0 to 40000" in answer.json()["words"]


def test_a_count_of_another_casting_is_not_here(bench: Bench) -> None:
    counting(bench)
    for path in ("/castings/2/strokes/1", f"{PAGE}/99"):
        assert bench.client.get(path).status_code == 404
        bench.refused(partial(tell, bench, path, done=1), 404)
        bench.refused(partial(bench.post, f"{path}/finish", {"done": "1"}), 404)
    assert bench.client.get("/castings/99/strokes").status_code == 404


def test_minutes_in_words() -> None:
    assert [minutes_words(m) for m in (0, 0.1, 1, 7.9)] == [
        "no time",
        "about 1 min",
        "about 1 min",
        "about 8 min",
    ]


def test_how_and_what_was_counted_are_asked_for(bench: Bench) -> None:
    html = bench.get(PAGE)
    page = Words(html).text
    assert "How many strokes?" in page
    for name, words in (
        ("ways", "the tool cannot go round the crank boss"),
        ("counts", "Nothing counted yet."),
    ):
        assert f'href="{opened(PAGE, name)}#fold-{name}"' in html
        assert words not in page and words in Words(bench.get(opened(PAGE, name))).text
