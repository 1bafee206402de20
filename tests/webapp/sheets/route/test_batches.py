"""Work batches: the planned order, starting one, stepping through it, and walking a whole build in batches alone."""

import re
from functools import partial
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from domain.route.guards import Wheel
from domain.route.planning import plan_work
from domain.route.set_ups import SetUp
from domain.route.shop import BatchWheel
from domain.route.stages import Route
from tests.webapp.scenes import Bench, FormOnPage, Words, form_on, forms_on, is_whole, sentences
from webapp.db import Db
from webapp.web.register import SHEETS

PLAN = "/builds/1/batches"
CHUCK_BACK = "in the four-jaw chuck, back outward"
# What is asked of a wheel that nobody has measured, as its cut is called done.
UNSIZED = r"Stop: measure first on W\d\. Rim (back|front): no size is logged, so nothing can be said\."


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """Someone who has said who they are."""
    return Bench(client, db).sit_down()


def text_of(html: str) -> str:
    """The words of a page with single spaces."""
    return re.sub(r"\s+", " ", Words(html).text)


def has_form(html: str, action: str) -> bool:
    """Whether a page offers this form."""
    return any(form.action == action for form in forms_on(html))


def start(bench: Bench, page: str = PLAN, wish: str = "start") -> int:
    """Start the batch a page puts first; returns its id."""
    answer = bench.send(page, PLAN, wish=wish)
    assert answer.status_code == 303, text_of(answer.text)
    return int(answer.headers["location"].rsplit("/", 1)[1])


def received(bench: Bench, *marks: str) -> None:
    """Bring wheels to received."""
    for mark in marks:
        bench.tick(mark, "received")


def started(bench: Bench, **changes: object) -> str:
    """A metric build with its four wheels received and the batch of backs started; gives the batch's address."""
    bench.metric(**changes)
    received(bench, "W1", "W2", "W3", "W4")
    return f"/batches/{start(bench)}"


def done(bench: Bench, page: str, *, over: str = "") -> str:
    """Press the button that ticks, as the page has it; gives the address that it leads to.

    over: what it is to ask about first, and nothing else, and what is let pass; unless its card says of what is not
    measured that it is let pass as on another wheel.
    """
    address = page.split("?")[0]
    html = bench.get(page)
    form = form_on(html, f"{address}/done")
    (button,) = form.buttons
    if over and not (over == UNSIZED and 'id="passes"' in html):
        asked = bench.refused(partial(bench.post, f"{address}/done", form.filled(**dict([button]))), 409)
        assert re.search(rf"Are you sure\?{over} ?Why all the same", asked.text), asked.text
        button = (button[0], f"{button[1]} confirmed")
    answer = bench.post(f"{address}/done", form.filled(**dict([button])))
    assert answer.status_code == 303, text_of(answer.text)
    where: str = answer.headers["location"]
    return where


def on_now(bench: Bench, page: str) -> str:
    """What the part about the wheel that is on now says."""
    return Words(bench.get(page)).by_id["turn"]


def test_the_build_sheet_proposes_the_plan_in_order(bench: Bench) -> None:
    bench.metric()
    received(bench, "W1", "W3")
    bench.tick("W2", "received", "back_faced")
    sheet = bench.get("/builds/1")
    first = Words(sheet).by_id["next"]
    assert "Next, at the bench, with stamps, chalk and rule W4, W5, W6: look over and mark" in first
    assert "then see it run true and face the back; 7 changes of set-up" in first
    assert [form.action for form in forms_on(sheet)].count(PLAN) == 1 and first.endswith("Begin")
    text = text_of(bench.whole(PLAN))
    assert re.search(
        r"At the bench, with stamps, chalk and rule\s*Look over and mark\s*W4axle 2, right", text
    )
    assert re.search(
        r"2\. In the four-jaw chuck, back outward: W[^S]*See it run true and face the back\s*W1axle 1, left",
        text,
    )
    assert re.search(
        r"3\. In the four-jaw chuck, front outward: W[^T]*Set true from the front, .*? bore", text
    )
    assert text.count("Start this batch") == 1 and "with 7 changes of set-up" in text


@pytest.mark.parametrize("fit", ["bond", "press"])
def test_the_changes_are_as_the_domain_counts_them(bench: Bench, fit: str) -> None:
    bench.metric(fit=fit)
    received(bench, "W1", "W2", "W3", "W4")
    # The same facts put to the planner by hand, without the pages' own way from the data file.
    wheels = [
        BatchWheel(
            n, (n + 1) // 2, "left" if n % 2 else "right", True, Wheel(f"W{n}", frozenset({"received"}))
        )
        for n in range(1, 5)
    ]
    plan = plan_work(wheels, Route.FITTED_FIRST)
    text = text_of(bench.whole(PLAN))
    assert f"{len(plan.batches)} batches with {plan.changes} changes of set-up. Fewer will not do." in text
    heads = [f"{b.set_up.words[0].upper()}{b.set_up.words[1:]}" for b in plan.batches]
    heads = [head if not at else f"{at + 1}. {head}" for at, head in enumerate(heads)]
    assert [text.index(head) for head in heads] == sorted(text.index(head) for head in heads)
    assert "One set-up does every wheel that is ready for it" in text


def test_what_waits_is_said(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1", bore="19.60 mm")  # far too wide for its seat
    bench.tick("W2", "received")
    assert bench.scrap("W4").status_code == 303
    text = text_of(bench.whole(PLAN))
    assert "Axle 2, right: no wheel there. Open the axle and choose a spare." in text
    assert "First put right W1 is 0.500 mm too slack on axle 1" in text
    assert 'href="/castings/1/bore"' in bench.whole(PLAN)
    assert "The right place is empty" in text
    sheet = Words(bench.get("/builds/1")).text
    assert "Empty Choose a spare" in sheet
    # 19.60 on 19.05, where a gap of 0.05 mm is the most.
    assert "Not right: W1 is 0.500 mm too slack on axle 1" in sheet


@pytest.mark.parametrize("route", ["fitted_first", "mandrel_first"])
def test_a_bore_that_is_no_good_is_put_right_before_anything_is_set_by_it(bench: Bench, route: str) -> None:
    """Too tight by 0.030 mm: bored again it would leave the crankpin hole, or the tread, beside the middle."""
    bench.metric(route=route, axles="1", coupled="1", castings="2")
    bench.bored("W1", bore="19.04 mm")
    bench.bored("W2")
    plan = text_of(bench.whole(PLAN))
    first = bench.get("/builds/1")
    assert re.findall(r'#wheel-(\d)"\s*data-state="[\w-]+" data-next', first) == ["2"]
    assert "W1 (axle 1, left)" not in plan
    assert "W1 is 0.030 mm too tight on axle 1" in plan
    tile = first.partition('#wheel-1"')[2].partition("</a>")[0]
    assert "settle the fit" in tile
    # The tick asks the same judge, and a name lets it pass.
    key = "quartered.hole" if route == "fitted_first" else "tread_turned"
    asked = bench.refused(partial(bench.wish, "W1", f"yes {key}"), 409).text
    assert "The logged bore of W1 is no good" in asked
    assert bench.wish("W2", f"yes {key}").status_code == 303
    bench.tick("W1", key)
    assert bench.journal("W1")[-1].partition(". Let pass: ")[2].startswith("The logged bore of W1 is no good")


NO_GOOD = r"The logged bore of W1 is no good\. [^?]*"


@pytest.mark.parametrize("bore", ["19.30 mm", "19.04 mm"])  # too slack, and too tight, on 19.05
def test_bored_asks_about_a_bore_that_is_no_good(bench: Bench, bore: str) -> None:
    """By the tick of the boring itself, on the checklist and in a batch; let pass there it is asked again at pressed."""
    page = ready_to_bore(bench)
    assert bench.log("W1", "bore", bore).status_code == 303
    own = f"/castings/{bench.id('W1')}"
    asked = bench.refused(partial(bench.wish, "W1", "yes bored"), 409)
    # Said once, in one question with what the metal leaves to be asked.
    assert asked.text.count("The logged bore of W1 is no good.") == 1 and "Tick it all the same" in asked.text
    assert bench.ticks("W1") == {"received", "back_faced"}
    # With no size of it at all the checklist says so too, where it asks anyway.
    assert "Stop: measure first on W1." in in_question(asked.text)
    done(bench, f"{page}?at=1", over=rf"(?=.*measure first on W1){NO_GOOD}")
    assert "Let pass: The logged bore of W1 is no good." in bench.journal("W1")[-1]
    again = bench.refused(partial(bench.wish, "W1", "yes pressed"), 409).text
    assert "The logged bore of W1 is no good." in again
    assert "let pass" in Words(bench.get(own)).text
    # Measured again and good, meant though it is smaller, nothing of it is left to ask or to tell.
    assert bench.log("W1", "bore", "19.08 mm", meant="19080000").status_code == 303
    assert "no good" not in bench.refused(partial(bench.wish, "W1", "yes pressed"), 409).text


def test_bored_asks_about_bore_and_rim_in_one_question(bench: Bench) -> None:
    page = ready_to_bore(bench)
    metal = f"/castings/{bench.id('W1')}/metal"
    # A tyre of 10 mm is wanted.
    assert bench.send(metal, metal, rim_height="9.5").status_code == 303
    assert bench.log("W1", "bore", "19.30 mm").status_code == 303
    tick = bench.refused(partial(bench.wish, "W1", "yes bored"), 409).text
    form = form_on(bench.get(f"{page}?at=1"), f"{page}/done").filled(wish="yes bored")
    in_batch = bench.refused(partial(bench.post, f"{page}/done", form), 409).text
    for asked in (tick, in_batch):
        assert "The logged bore of W1 is no good." in asked
        assert "9.500 mm" in asked and asked.count("Are you sure?") == 1


def test_what_wants_care_is_not_asked_as_it_is_bored(bench: Bench) -> None:
    """Only what is no good: a gap in doubt is asked about when the wheel is fixed."""
    ready_to_bore(bench)
    # 0.05 mm is the most, within what an instrument may be off.
    assert bench.log("W1", "bore", "19.10 mm").status_code == 303
    assert bench.wish("W1", "yes bored").status_code == 303
    assert bench.log("W2", "bore", "19.08 mm").status_code == 303
    assert bench.wish("W2", "yes bored").status_code == 303


def test_with_nothing_else_to_do_a_bore_that_is_no_good_comes_next(bench: Bench) -> None:
    bench.metric(axles="1", coupled="", castings="2")
    bench.bored("W1", "W2", bore="19.04 mm")
    first = bench.get("/builds/1")
    said = Words(first).by_id["next"]
    assert "Put right: W1 is 0.030 mm too tight on axle 1" in said and "Begin" not in said
    assert '<a class="button primary" href="/castings/1/bore">See to it</a>' in first
    assert "Put right: W1 is 0.030 mm too tight on axle 1" in Words(bench.get("/")).text
    # Bored again and good, it goes on.
    assert bench.log("W1", "bore", "19.08 mm", confirmed="yes").status_code == 303
    assert "W1: fix on the axle" in Words(bench.get("/builds/1")).by_id["next"]


def test_a_batch_offers_no_wheel_whose_bore_is_no_good(bench: Bench) -> None:
    bench.metric(axles="1", coupled="1", castings="2")
    bench.bored("W1", "W2")
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch") == "crankpin_jig"
    assert bench.log("W1", "bore", "19.60 mm").status_code == 303
    assert "Axle 1, right" in on_now(bench, page)
    assert "The logged bore of W1 is no good" in on_now(bench, f"{page}?at=1")
    said = Words(bench.get("/builds/1")).by_id["next"]
    assert "W2: drill the crankpin hole" in said and "W1" not in said
    assert bench.log("W2", "throw", "28.00 mm").status_code == 303
    assert "This batch is done but for W1" in text_of(bench.get(page))


def test_done_asks_about_cuts_left_as_the_tick_does(bench: Bench) -> None:
    """Came 13 and 18 mm for a tyre of 10 and a boss of 15: 1.5 mm off each back."""
    bench.metric(axles="1", coupled="1", castings="2")
    for own in (1, 2):
        sheet, came = f"/castings/{own}/receiving", {"rim_least": "118", "rim_most": "119", "boss_proud": "0"}
        sizes = {**came, "rim_height": "13", "boss_height": "18"}
        assert bench.send(sheet, sheet, **sizes).status_code == 303
    received(bench, "W1", "W2")
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch") == "back_out"
    metal = "/castings/1/metal"
    assert bench.send(metal, metal, rim_height="12.5").status_code == 303
    # It is work still to be done, and no doubt of it before.
    assert "logged last" not in on_now(bench, page)
    asked = bench.refused(partial(bench.send, page, f"{page}/done", wish="yes back_faced"), 409).text
    assert "By the size of W1 logged last, 1.000 mm (0.0394 in) is left on the rim back" in asked
    assert bench.send(metal, metal, rim_height="11.5", boss_height="16.5").status_code == 303
    done(bench, page)
    assert "back_faced" in bench.ticks("W1")


def test_done_asks_where_its_sheet_says_to_measure_first(bench: Bench) -> None:
    page = started(bench)
    assert "Stop: measure first. Rim back: no size is logged" in on_now(bench, page)
    done(bench, page, over=UNSIZED)
    assert "Let pass: Stop: measure first on W1." in bench.journal("W1")[-1]
    # On the axle sheet, which says no such thing before it, the same tick asks nothing.
    bench.tick("W2", "back_faced")
    assert bench.journal("W2")[-1] == "Ticked back faced."
    # With its sizes written there is metal to cut, and nothing to ask.
    metal = f"/castings/{bench.id('W3')}/receiving"
    rough = {"rim_height": "13 mm", "boss_height": "18 mm", "boss_proud": "0", "unit": "mm"}
    assert bench.send(metal, metal, **rough).status_code == 303
    assert "Stop" not in on_now(bench, f"{page}?at=3")
    done(bench, f"{page}?at=3")
    assert bench.journal("W3")[-1] == "Ticked back faced."


def in_question(words: str) -> str:
    """What a refused tick asks."""
    return words.partition("Are you sure?")[2].partition("Why all the same")[0].strip()


CAME = {"rim_least": "118", "rim_most": "119", "boss_proud": "0", "rim_height": "13", "boss_height": "18"}


@pytest.mark.parametrize(
    ("key", "sizes", "bore", "asked"),
    [
        ("back_faced", {"rim_height": "12.5"}, "", "1.000 mm (0.0394 in) is left on the rim back"),
        ("back_faced", {"rim_height": "9.5"}, "", "W1"),
        ("bored", {"rim_height": "11", "boss_height": "16"}, "", "is left on the rim front"),
        ("bored", {"rim_height": "11", "boss_height": "16"}, "19.30 mm", "The logged bore of W1 is no good"),
        ("bored", {"rim_height": "9.5", "boss_height": "16"}, "19.04 mm", "The logged bore of W1 is no good"),
        # What nobody measured since is named in the question that is asked anyway.
        ("bored", {"rim_height": "11"}, "19.30 mm", "the boss's thickness is still logged as it came"),
        ("bored", {}, "19.30 mm", "Stop: measure first on W1. Rim back: “back faced” is ticked"),
        ("back_faced", {"rim_height": "12.5"}, "", "Not measured after this cut: the boss of W1."),
        ("bored", {"rim_height": "10", "boss_height": "15"}, "19.08 mm", ""),
    ],
)
def test_done_and_the_checklist_s_tick_ask_the_same(
    bench: Bench, key: str, sizes: dict[str, str], bore: str, asked: str
) -> None:
    """Of one wheel as it stands: came 13 and 18 mm for a tyre of 10 and a boss of 15, and measured since."""
    bench.metric(axles="1", coupled="1", castings="2")
    for mark in ("W1", "W2"):
        sheet = f"/castings/{bench.id(mark)}/receiving"
        assert bench.send(sheet, sheet, **CAME).status_code == 303
        bench.tick(mark, "received", *(("back_faced",) if key == "bored" else ()))
    page = f"/batches/{start(bench)}"
    metal = f"/castings/{bench.id('W1')}/metal"
    assert not sizes or bench.send(metal, metal, **sizes).status_code == 303
    if bore:
        assert bench.log("W1", "bore", bore).status_code == 303
    if not asked:
        done(bench, f"{page}?at=1")
        assert key in bench.ticks("W1")
        return
    form = form_on(bench.get(f"{page}?at=1"), f"{page}/done").filled(wish=f"yes {key}")
    by_batch = in_question(bench.refused(partial(bench.post, f"{page}/done", form), 409).text)
    by_list = in_question(bench.refused(partial(bench.wish, "W1", f"yes {key}"), 409).text)
    assert asked in by_batch and by_batch == by_list


def test_what_is_not_measured_opens_no_question_on_the_checklist(bench: Bench) -> None:
    """Neither where nothing of it is measured, nor where it was only as it came: measuring is never asked the more."""
    bench.metric(axles="1", coupled="1", castings="2")
    sheet = f"/castings/{bench.id('W1')}/receiving"
    assert bench.send(sheet, sheet, **CAME).status_code == 303
    for mark in ("W1", "W2"):
        for key in ("received", "back_faced", "bored"):
            assert bench.log(mark, "bore", "19.08 mm").status_code == 303 if key == "bored" else True
            assert bench.wish(mark, f"yes {key}").status_code == 303


def test_what_was_not_measured_is_let_pass_until_it_is(bench: Bench) -> None:
    bench.metric(axles="1", coupled="1", castings="2")
    sheet, metal = (f"/castings/{bench.id('W1')}/{name}" for name in ("receiving", "metal"))
    assert bench.send(sheet, sheet, **CAME).status_code == 303
    bench.tick("W1", "received")
    assert bench.send(metal, metal, rim_height="12.5").status_code == 303
    bench.tick("W1", "back_faced")
    assert "Not measured after this cut: the boss of W1." in bench.journal("W1")[-1]
    row = f"/castings/{bench.id('W1')}"
    assert "Not measured after this cut" in Words(bench.get(row)).by_id["row-back_faced"]
    assert bench.send(metal, metal, rim_height="11.5", boss_height="16.5").status_code == 303
    assert "Not measured after this cut" not in Words(bench.get(row)).by_id["row-back_faced"]


def test_nothing_is_planned_past_a_curing_bond(bench: Bench) -> None:
    bench.metric(curing=True)
    bench.bored("W1", "W2")
    bench.tick("W1", "pressed")
    words = Words(bench.whole(PLAN))
    assert "W1: Wait until " in words.text and "it holds 0.0 N m (0.0 lbf ft) at this hour" in words.text
    planned = [said for own, said in words.by_id.items() if own.startswith(("batch-1", "fold-batch-"))]
    treads = next(said for said in planned if "between centres on the axle" in said)
    assert "Not ready for this: W1" in treads and "W1axle 1, left" not in treads
    # The second wheel may be bonded and the axle quartered in one go while the first bond cures.
    assert any("surface plate" in said and "W1axle 1, left" in said for said in planned)


def test_a_batch_is_started_stored_and_written_down(bench: Bench) -> None:
    page = started(bench)
    assert bench.rows("SELECT build_id, key, who, ended FROM work_batch") == [(1, "back_out", "AB", 0)]
    assert bench.rows("SELECT ordinal, casting_id, passed FROM work_batch_wheel ORDER BY ordinal") == [
        (n, bench.id(f"W{n}"), 0) for n in range(1, 5)
    ]
    assert bench.journal()[-1] == f"Started a batch {CHUCK_BACK}: W1, W2, W3, W4."
    text = text_of(bench.get(page))
    assert "In the four-jaw chuck, back outward" in text
    assert "0 of 4 done" in text
    said = on_now(bench, page)
    assert "W1" in said and "Axle 1, left" in said and "See it run true and face the back" in said
    assert "Done: W1, next W2" in said and "Leave W1 for now" in said
    for sheet in ("true", "metal", "speeds", "swing"):
        assert f'href="/castings/{bench.id("W1")}/{sheet}"' in bench.whole(page)
    assert f'href="/axles/1#wheel-{bench.id("W1")}"' in bench.get(page)
    assert f'href="{page}">Go on</a>' in bench.get("/builds/1")


def test_stepping_skipping_and_going_back(bench: Bench) -> None:
    page = started(bench)
    second = done(bench, page, over=UNSIZED)
    assert "back_faced" in bench.ticks("W1")
    assert "W2" in on_now(bench, second) and "1 of 4 done" in text_of(bench.get(second))
    assert "Back to W1, the one before" in text_of(bench.get(second))
    answer = bench.send(second, f"{page}/pass")
    third = answer.headers["location"]
    assert "Axle 2, left" in on_now(bench, third)
    assert bench.one("SELECT passed FROM work_batch_wheel WHERE casting_id = ?", bench.id("W2")) == 1
    assert "back_faced" not in bench.ticks("W2")
    back = on_now(bench, f"{page}?at=1")
    assert "W1: done here." in back and "ticked by AB" in back and "Go on to W3" in back
    fourth = done(bench, third, over=UNSIZED)
    end = done(bench, fourth, over=UNSIZED)
    said = on_now(bench, end)
    assert "This batch is done but for W2." in said and "Take up W2 again" in said
    assert "Next: In the four-jaw chuck, front outward" in said
    assert "W2axle" not in said, "what was skipped is not in the next batch"
    assert "W2 was skipped" in text_of(bench.whole(PLAN))
    again = done(bench, f"{page}?at=2", over=UNSIZED)
    assert bench.one("SELECT passed FROM work_batch_wheel WHERE casting_id = ?", bench.id("W2")) == 0
    assert "This batch is done. " in on_now(bench, again)
    assert "W2axle 1, right" in on_now(bench, again)


def test_the_last_wheel_leads_to_the_next_batch(bench: Bench) -> None:
    page = started(bench)
    for _ in range(4):
        where = done(bench, page, over=UNSIZED)
    assert "Start the next batch" in on_now(bench, where)
    following = start(bench, page)
    assert bench.rows("SELECT key, ended FROM work_batch ORDER BY id") == [("back_out", 1), ("front_out", 0)]
    assert bench.journal()[-2] == f"Ended the batch {CHUCK_BACK}: 4 of 4 done."
    assert f"/batches/{following}" in bench.get("/builds/1")
    ended = text_of(bench.get(page))
    assert "This batch was ended" in ended and "Another batch is running" in ended


def test_a_wheel_that_drops_out_is_told_of_at_the_head(bench: Bench) -> None:
    """The rim logged too thin on another sheet: the batch goes on with the next wheel, says so, and where to mend it."""
    page = started(bench)
    assert 'id="left-out"' not in bench.get(page)
    metal = f"/castings/{bench.id('W1')}/metal"
    assert bench.send(metal, metal, rim_height="9.5").status_code == 303
    html = bench.get(page)
    told = Words(html).by_id["left-out"]
    assert told.startswith("Left out: W1 is under size: the rim by 0.500 mm")
    assert told.endswith("Put it right first.")
    assert f'<a href="{metal}">Left out: W1' in html
    # The tick names its wheel.
    assert on_now(bench, page).startswith("W2") and "Done: W2, next W3" in on_now(bench, page)
    # At its own turn it is said there.
    assert 'id="left-out"' not in bench.get(f"{page}?at=1") and "W1" in on_now(bench, f"{page}?at=1")


def test_what_else_the_batch_goes_past_is_told(bench: Bench) -> None:
    page = started(bench)
    bench.wish("W1", "no received")
    assert bench.scrap("W3").status_code == 303
    bench.tick("W2", "back_faced")
    told = Words(bench.get(page)).by_id["left-out"]
    assert re.fullmatch(
        r"Left out: W1 \(cannot go on\)\. ?Left out: W3 was scrapped: cracked\. ?Last done: W2, AB, .*", told
    )
    for at in (1, 2, 3):
        assert f'<a href="{page}?at={at}">' in bench.get(page)
    # Who steps from wheel to wheel has just seen what was done, and an ended batch goes past none.
    assert "Last done" not in Words(bench.get(f"{page}?at=4")).by_id["left-out"]
    bench.send(page, f"{page}/end")
    assert 'id="left-out"' not in bench.get(page)


def test_a_seat_that_makes_a_joint_no_good_is_told_of(bench: Bench) -> None:
    bench.metric(fit="press", fit_least="0.005", fit_most="0.03", axles="1", coupled="", castings="2")
    bench.bored("W1", "W2", bore="19.035 mm")
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch") == "fixing"
    assert bench.seat(1, "left", "18.90 mm").status_code == 303
    html = bench.get(page)
    assert (
        "Left out: W1 is 0.1" in Words(html).by_id["left-out"] and 'href="/castings/1/bore">Left out' in html
    )


def test_a_wheel_ticked_elsewhere_and_one_scrapped(bench: Bench) -> None:
    page = started(bench)
    old = form_on(bench.get(page), f"{page}/done").filled(wish="yes back_faced")
    bench.tick("W1", "back_faced")
    assert bench.scrap("W3").status_code == 303
    text = text_of(bench.whole(page))
    assert "1 of 3 done" in text
    assert "left out" in text
    assert "Axle 1, right" in on_now(bench, page)
    assert "W3 was scrapped: cracked." in on_now(bench, f"{page}?at=3")
    assert bench.post(f"{page}/done", old).headers["location"] == f"{page}?at=2"
    assert bench.journal("W1").count("Ticked back faced.") == 1
    gone = partial(bench.post, f"{page}/done", {**old, "turn": "3"})
    assert "no such tick in this batch" in bench.refused(gone).text


def test_an_axle_s_turn_that_lost_a_wheel(bench: Bench) -> None:
    bench.metric()
    bench.seats()
    bench.bored("W1", "W2", "W3", "W4")
    for mark in ("W1", "W2", "W3", "W4"):
        assert bench.log(mark, "throw", "28.00 mm").status_code == 303
    bench.tick("W1", "pressed")
    bench.tick("W3", "pressed")
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch") == "quartering"
    said = on_now(bench, page)
    assert "Fix the second wheel and quarter the axle in one go" in said and "next W3 and W4" in said
    links = re.findall(r'class="button quiet" href="([^"]+)"', bench.whole(page))
    assert links and len(links) == len(set(links)), (
        "an axle's own sheets are offered once, not for each wheel"
    )
    assert bench.scrap("W2").status_code == 303
    text = text_of(bench.get(page))
    assert "0 of 2 done" in text and "W3 and W4" in on_now(bench, page)
    assert "W2 was scrapped: cracked." in on_now(bench, f"{page}?at=2")
    assert "The right place is empty" in on_now(bench, f"{page}?at=1")
    assert done(bench, page, over="Axle 2: no heights of its crankpins are logged.*") == page
    assert bench.ticks("W4") >= {"pressed"}
    assert bench.one("SELECT axle_id FROM quartering") == 2
    assert "This batch is done but for W1." in on_now(bench, page)


def ready_to_bore(bench: Bench) -> str:
    """A metric build with its four wheels faced at the back and the batch of bores started; gives the batch's address."""
    bench.metric()
    for mark in ("W1", "W2", "W3", "W4"):
        bench.tick(mark, "received", "back_faced")
    return f"/batches/{start(bench)}"


def write(bench: Bench, page: str, **typed: str) -> Response:
    """Write the reading that is due, as the page has its form."""
    return bench.send(page, f"{page.split('?')[0]}/readings", **typed)


def test_a_measurement_to_log_keeps_the_wheel_on(bench: Bench) -> None:
    page = ready_to_bore(bench)
    stay = done(bench, page, over=UNSIZED)
    assert stay == f"{page}?at=1"
    said = on_now(bench, stay)
    assert "Measure and log the bore" in said and "Due: W1 bore" in said and "Leave W1 for now" in said
    assert not has_form(bench.get(stay), f"{page}/done")
    answer = write(bench, stay, reading_front_first="19.08 mm")
    assert (answer.status_code, answer.headers["location"]) == (
        303,
        f"{page}?at=2&written=bore-{bench.id('W1')}",
    )
    assert "W1: done here." in on_now(bench, stay)
    assert "1 of 4 done" in text_of(bench.get(page))


def test_a_bore_is_logged_in_the_batch_itself(bench: Bench) -> None:
    page = ready_to_bore(bench)
    own = bench.id("W1")
    assert re.search(r"Due: W1 bore .*Write ?Done: W1 ?Leave W1", on_now(bench, page))
    answer = write(bench, page, reading_front_first="19.08", reading_back_first="19.082")
    # Not ticked yet, so the wheel stays, with what its bore came to; and then its tick leads on.
    assert (answer.status_code, answer.headers["location"]) == (303, f"{page}?at=1&written=bore-{own}")
    said = on_now(bench, answer.headers["location"])
    assert "Written: W1 bore 19.081 mm (0.7512 in). Good: gap 0.031 mm" in said and "Due:" not in said
    assert bench.rows("SELECT casting_id, text, place FROM measurement m JOIN reading r ON m.id = r.measurement_id") == [
        (own, "19.08", "front"), (own, "19.082", "back")
    ]  # fmt: skip
    assert bench.journal("W1")[-1].startswith(
        "Logged the bore: read 19.08 (front first), 19.082 (back first)"
    )
    assert done(bench, answer.headers["location"], over=UNSIZED) == f"{page}?at=2"
    said = on_now(bench, f"{page}?at=2")
    assert said.startswith("W2") and "Due: W2 bore" in said
    assert "W1 came out 19.081 mm 0.7512 in Good: gap 0.031 mm" in said


def test_what_a_scrapped_wheel_came_to_is_shown_no_more(bench: Bench) -> None:
    page = ready_to_bore(bench)
    for mark, bore in (("W1", "19.08"), ("W2", "19.20")):
        assert bench.log(mark, "bore", f"{bore} mm").status_code == 303
    written = f"{page}?at=3&written=bore-{bench.id('W2')}"
    said = on_now(bench, written)
    assert "W2 came out 19.200 mm" in said and "ways out" in said and "Written: W2 bore" in said
    assert bench.scrap("W2").status_code == 303
    said = on_now(bench, written)
    assert "W2" not in said and "W1 came out 19.080 mm" in said


def test_what_was_written_is_asked_of_the_judge_anew(bench: Bench) -> None:
    page = ready_to_bore(bench)
    address = write(bench, page, reading_front_first="19.08").headers["location"]
    assert bench.seat(1, "left", "19.075 mm").status_code == 303
    said = on_now(bench, address)
    assert (
        "Written: W1 bore 19.080 mm (0.7512 in)." in said
        and "Good" not in said[said.index("Written") : said.index("Done")]
    )
    # No good, it is read again after the next cut, while it is still in the chuck.
    assert "Due: W1 bore, again" in said
    for other in ("bore-99", "throw-1", "seat-left", "x", "bore-", "9" * 400, "%00"):
        assert "Written" not in on_now(bench, f"{page}?at=1&written={other}")


def test_a_refused_reading_stays_in_the_batch_as_typed(bench: Bench) -> None:
    page = ready_to_bore(bench)
    for typed, words in (
        ("19.0x", "is no"),
        ("0", "more than nothing"),
        ("33", "smaller than the boss"),
        ("", "Type at"),
    ):
        back = "19.08" if typed else ""
        answer = write(bench, f"{page}?at=2", reading_front_first=typed, reading_back_first=back)
        said = Words(answer.text)
        assert answer.status_code == 422 and words in said.at("reading_front_first"), (typed, said.text)
        assert said.by_id["turn"].startswith("W2") and "Due: W2 bore" in said.by_id["turn"]
        kept = form_on(answer.text, f"{page}/readings").fields
        assert (kept["reading_front_first"], kept["reading_back_first"]) == ([typed], [back])
    asked = write(bench, page, reading_front_first="0.7512")
    assert asked.status_code == 409 and "Write it down all the same" in Words(asked.text).text
    assert form_on(asked.text, f"{page}/readings").fields["reading_front_first"] == ["0.7512"]
    assert bench.one("SELECT count(*) FROM measurement") == 0


def test_a_reading_is_of_the_wheel_that_is_on_and_of_no_other(bench: Bench) -> None:
    page = ready_to_bore(bench)
    form = form_on(bench.get(page), f"{page}/readings").filled(reading_front_first="19.08")
    other = bench.id("W2")
    for due in (f"bore-{other}", "seat-left", "heights", "tread-1", "", "x", f"bore-{_LONG}"):
        answer = bench.refused(partial(bench.post, f"{page}/readings", {**form, "due": due}))
        assert "no such reading in this batch" in answer.text, due
    for turn in ("", "0", "5", _LONG):
        assert bench.post(f"{page}/readings", {**form, "turn": turn}).status_code == 404
    # Nowhere but to the batch, whatever the form says of the way back.
    for turn, back in enumerate(("https://elsewhere.example/", "//elsewhere.example", "/builds/1"), start=1):
        at = f"{page}?at={turn}"
        answer = write(bench, at, reading_front_first="19.08", back=back, next=back, view=back)
        assert answer.headers["location"] == f"{at}&written=bore-{bench.id(f'W{turn}')}"
    bored = [(bench.id(mark),) for mark in ("W1", "W2", "W3")]
    assert bench.rows("SELECT casting_id FROM measurement ORDER BY id") == bored


def test_the_instrument_is_remembered_from_wheel_to_wheel(bench: Bench) -> None:
    page = ready_to_bore(bench)
    bench.client.post("/workshop/starters", data={"unit": "mm", "plug_size": ""})
    gauge = str(bench.one("SELECT id FROM instrument WHERE name LIKE '%bore gauge%' ORDER BY id"))
    assert form_on(bench.get(page), f"{page}/readings").fields["instrument_id"] == [""]
    answer = write(bench, page, reading_front_first="19.08", instrument_id=gauge)
    assert answer.status_code == 303
    assert form_on(bench.get(f"{page}?at=2"), f"{page}/readings").fields["instrument_id"] == [gauge]


def test_the_caution_of_fixing_is_the_joint_s(bench: Bench) -> None:
    bench.metric()
    bench.seats()
    bench.bored("W1", "W2", "W3", "W4")
    for mark in ("W1", "W2", "W3", "W4"):
        assert bench.log(mark, "throw", "28.00 mm").status_code == 303
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch") == "fixing"
    said = on_now(bench, page)
    assert "compound" in said[said.index("Caution") : said.index("Done")]
    assert re.search(r"gap 0.030 mm 0.0012 in Good: gap 0.030 mm", said)


def test_a_seat_is_measured_as_its_wheel_is_fixed(bench: Bench) -> None:
    bench.metric(axles="1", coupled="", castings="2")
    bench.bored("W1", "W2")
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch") == "fixing"
    said = on_now(bench, page)
    # What is said of a seat that nobody measured says so, and asks for it.
    assert "gap, by the drawing's seat 0.030 mm" in said and "Due: W1 left seat" in said
    assert "Done: W1, next W2" in said
    answer = write(bench, page, reading="19.04")
    assert (answer.status_code, answer.headers["location"]) == (303, f"{page}?at=1&written=seat-left")
    said = on_now(bench, answer.headers["location"])
    assert "gap 0.040 mm" in said and "by the drawing's" not in said and "Due:" not in said
    assert "Written: W1 left seat 19.040 mm (0.7496 in). Good: gap 0.040 mm" in said
    # The right seat is W2's, and no other wheel's reading.
    assert "Due: W2 right seat" in on_now(bench, f"{page}?at=2")
    assert "Written" not in on_now(bench, f"{page}?at=2&written=seat-left")
    forged = {**bench.form(f"{page}?at=2", f"{page}/readings").filled(reading="19.04"), "due": "seat-left"}
    assert "no such reading" in bench.refused(partial(bench.post, f"{page}/readings", forged), 422).text
    # A bad one stays in its field, and stores nothing.
    words = bench.refused(partial(write, bench, f"{page}?at=2", reading="19.0x"))
    assert "19.0x" in words.text
    # It need not be measured to be fixed: the tick asks about it, as on the checklist.
    done(bench, f"{page}?at=2", over="No seat is measured for W2 [^?]*")


def test_what_comes_as_a_wheel_goes_on_is_at_hand(bench: Bench) -> None:
    """What must be on the axle before its second wheel, and the clock of its compound."""
    bench.metric(axles="1", coupled="1", castings="2")
    bench.seats(axles=(1,))
    bench.bored("W1", "W2")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28.00 mm").status_code == 303
    assembly = "/axles/1/assembly"
    assert bench.send(assembly, f"{assembly}/list", name="Eccentric", along="middle").status_code == 303
    page = f"/batches/{start(bench)}"
    assert "Before the second wheel goes on: 1 of 1 still to go on the axle" in on_now(bench, page)
    assert "Compound on" not in on_now(bench, page)
    done(bench, page)
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch WHERE ended = 0") == "quartering"
    html = bench.get(page)
    assert "Before W2 goes on: 1 of 1 still to go on the axle" in on_now(bench, page)
    turn = html.partition('id="turn"')[2].partition("</section>")[0]
    assert f'href="{assembly}"' in turn and 'href="/axles/1/setting">Compound on W2</a>' in turn


def test_the_same_reading_sent_twice_is_written_once(bench: Bench) -> None:
    page = ready_to_bore(bench)
    form = form_on(bench.get(page), f"{page}/readings").filled(reading_front_first="19.08")
    first, again = bench.post(f"{page}/readings", form), bench.post(f"{page}/readings", form)
    assert first.status_code == 303 and first.headers["location"] == again.headers["location"]
    assert bench.one("SELECT count(*) FROM measurement") == 1


def test_a_reading_from_an_old_page_or_by_nobody_is_not_taken(client: TestClient, bench: Bench) -> None:
    page = ready_to_bore(bench)
    old = form_on(bench.get(page), f"{page}/readings").filled(reading_front_first="19.08")
    bench.tick("W1", "bored.drilled")
    stale = bench.post(f"{page}/readings", old)
    assert stale.status_code == 409 and "Changed meanwhile" in stale.text
    assert form_on(stale.text, f"{page}/readings").fields["reading_front_first"] == ["19.08"]
    form = form_on(bench.get(page), f"{page}/readings").filled(reading_front_first="19.08")
    client.cookies.delete("spokeshed_who")
    nobody = bench.refused(partial(bench.post, f"{page}/readings", form))
    assert "Who is at the bench?" in nobody.at("who")
    assert bench.one("SELECT count(*) FROM measurement") == 0
    # Ended meanwhile: what was read is read, and is written all the same.
    assert bench.post(f"{page}/end", {"who": "AB"}).status_code == 303
    answer = bench.post(f"{page}/readings", {**form, "who": "AB"})
    assert "Written: W1 bore " in text_of(bench.get(answer.headers["location"]))
    assert bench.one("SELECT count(*) FROM measurement") == 1


def test_small_steps_are_ticked_in_the_batch(client: TestClient, bench: Bench) -> None:
    page = ready_to_bore(bench)
    own = bench.id("W1")
    form = form_on(bench.get(page), f"{page}/steps")
    assert ("wish", "yes bored.drilled") in form.buttons and ("wish", "yes bored") not in form.buttons
    answer = bench.post(f"{page}/steps", form.filled(wish="yes bored.drilled"))
    assert (answer.status_code, answer.headers["location"]) == (303, f"{page}?at=1")
    assert "bored.drilled" in bench.ticks("W1")
    # Taken off again by what htmx swaps in, which is this wheel's steps and no page; the same page goes on ticking.
    form = form_on(bench.get(page), f"{page}/steps")
    answer = bench.post(f"{page}/steps", form.filled(wish="no bored.drilled"), hx=True)
    assert (
        answer.status_code == 200
        and "<main" not in answer.text
        and f'id="tick-{own}-bored.drilled"' in answer.text
    )
    assert bench.post(f"{page}/steps", form.filled(wish="yes bored.reamed"), hx=True).status_code == 200
    assert bench.ticks("W1") == {"received", "back_faced", "bored.reamed"}
    for wish in ("yes bored", "yes pressed.clean", "yes x", "", "yes quartered.hole"):
        assert (
            "no such tick" in bench.refused(partial(bench.post, f"{page}/steps", form.filled(wish=wish))).text
        )
    stranger = form.filled(wish="yes bored.drilled", casting=str(bench.id("W2")))
    assert "no such tick" in bench.refused(partial(bench.post, f"{page}/steps", stranger)).text
    client.cookies.delete("spokeshed_who")
    asked = bench.refused(partial(bench.post, f"{page}/steps", form.filled(wish="yes bored.drilled")))
    assert "One thing first" in asked.by_id[f"steps-{own}"]


def test_a_guard_that_stands_against_it_is_said(bench: Bench) -> None:
    page = started(bench)
    # Taken off again behind this page's back: the batch has nothing it could tick, and says why.
    bench.wish("W1", "no received")
    assert "W1 is not received yet" in on_now(bench, f"{page}?at=1")
    assert not has_form(bench.get(f"{page}?at=1"), f"{page}/done")
    assert "Axle 1, right" in on_now(bench, page)


def test_a_doubt_wants_to_be_confirmed_as_on_the_checklist(bench: Bench) -> None:
    bench.metric(curing=True, fit="press", fit_least="0.005", fit_most="0.03")
    bench.bored("W1", "W2", "W3", "W4", bore="19.035 mm")
    for mark in ("W1", "W2", "W3", "W4"):
        assert bench.log(mark, "throw", "28.00 mm").status_code == 303
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch") == "fixing"
    # Measured again, and now it is far too wide for a press fit.
    assert bench.log("W1", "bore", "19.20 mm").status_code == 303
    # The next wheel is another one; who comes to this one all the same is asked.
    assert "Axle 2, left" in on_now(bench, page)
    form = form_on(bench.get(f"{page}?at=1"), f"{page}/done").filled(wish="yes pressed")
    doubt = bench.refused(partial(bench.post, f"{page}/done", form), 409).text
    assert "The logged bore of W1 is no good" in doubt and "Tick it all the same" in doubt
    answer = bench.post(f"{page}/done", {**form, "wish": "yes pressed confirmed"})
    assert answer.headers["location"] == f"{page}?at=2"
    assert bench.journal("W1")[-1].startswith("Ticked pressed. Let pass: The logged bore of W1 is no good.")


def unfinished_and_doubtful(bench: Bench) -> str:
    """A running batch with a wheel left that only a confirmation can go on with; gives the batch's address."""
    bench.metric(coupled="", fit="press", fit_least="0.005", fit_most="0.03")
    bench.seats()
    bench.bored("W1", "W2", bore="19.035 mm")
    received(bench, "W3", "W4")
    for mark in ("W3", "W4"):
        bench.tick(mark, "back_faced", "bored")
        bench._arrange(mark, "bores", reading="19.035 mm")
    page = f"/batches/{start(bench)}"
    for _ in range(3):
        done(bench, page)
    assert bench.log("W4", "bore", "19.20 mm").status_code == 303
    return page


def test_a_batch_with_wheels_left_is_only_ended_when_confirmed(bench: Bench) -> None:
    page = unfinished_and_doubtful(bench)
    sheet, plan = bench.get("/builds/1"), text_of(bench.whole(PLAN))
    assert f'href="{page}"><strong>Left over of the last batch: W4</strong>' in sheet and has_form(
        sheet, PLAN
    )
    assert "Look at this batch" in plan and "Start this batch" in plan
    doubt = bench.refused(partial(bench.send, PLAN, PLAN, wish="start"), 409).text
    assert "not done yet are: W4" in doubt and "End that one and start this batch" in doubt
    start(bench, wish="start confirmed")
    assert sentences(bench.journal(), "Ended the batch", "3 of 4 done. Not done: W4.")
    assert bench.one("SELECT ended FROM work_batch ORDER BY id") == 1
    assert "Another batch is running" in text_of(bench.get(page))


def test_the_card_is_reached_without_a_look_at_ending_the_batch(bench: Bench) -> None:
    page = started(bench)
    card = f'href="{page}/card"'
    assert bench.get(page).count(card) == 1
    assert bench.get(f"{page}?open=end").count(card) == 1
    assert has_form(bench.get(f"{page}?open=end"), f"{page}/end") and not has_form(
        bench.get(page), f"{page}/end"
    )


def test_ending_a_batch(bench: Bench) -> None:
    page = started(bench)
    done(bench, page, over=UNSIZED)
    for _ in range(2):
        answer = bench.send(page, f"{page}/end") if _ == 0 else bench.post(f"{page}/end", {})
        assert (answer.status_code, answer.headers["location"]) == (303, PLAN)
    assert bench.journal().count(f"Ended the batch {CHUCK_BACK}: 1 of 4 done. Not done: W2, W3, W4.") == 1
    assert "Batches ended" in text_of(bench.whole(PLAN))
    assert not has_form(bench.get(f"{page}?at=2"), f"{page}/done")
    version = bench.one("SELECT version FROM casting WHERE mark = 'W2'")
    late = {"turn": "2", "seen": str(version), "wish": "yes back_faced"}
    assert "This batch is ended" in bench.refused(partial(bench.post, f"{page}/done", late)).text
    assert "This batch is ended" in bench.refused(partial(bench.post, f"{page}/pass", late)).text


def test_the_same_form_twice_starts_one_batch(bench: Bench) -> None:
    bench.metric()
    data = form_on(bench.get("/builds/1"), PLAN).filled(wish="start")
    first, again = bench.post(PLAN, data), bench.post(PLAN, data)
    assert first.headers["location"] == again.headers["location"] == "/batches/1"
    assert bench.one("SELECT count(*) FROM work_batch") == 1


def test_a_plan_that_is_out_of_date_is_not_started(bench: Bench) -> None:
    bench.metric()
    data = form_on(bench.whole(PLAN), PLAN).filled(wish="start")
    received(bench, "W1")
    assert "out of date" in bench.refused(partial(bench.post, PLAN, data), 409).text
    data = form_on(bench.whole(PLAN), PLAN).filled(wish="start")
    start(bench)
    stale = bench.refused(partial(bench.post, PLAN, {**data, "token": "ab" * 8}), 409).text
    assert "Started a batch at the bench" in stale


def test_an_old_page_of_a_batch_ticks_nothing(bench: Bench) -> None:
    page = started(bench)
    old = form_on(bench.get(page), f"{page}/done").filled(wish="yes back_faced")
    bench.tick("W1", "back_faced.rim_true")
    stale = bench.refused(partial(bench.post, f"{page}/done", old), 409)
    assert "Changed meanwhile" in stale.text and "back_faced" not in bench.ticks("W1")


def test_nobody_said_who(client: TestClient, bench: Bench) -> None:
    page = started(bench)
    form = form_on(bench.get(page), f"{page}/done").filled(wish="yes back_faced")
    client.cookies.delete("spokeshed_who")
    assert "One thing first" in bench.refused(partial(bench.post, f"{page}/done", form)).text
    assert "Who is at the bench?" in bench.refused(partial(bench.post, f"{page}/end", {})).text
    assert (
        bench.post(f"{page}/done", {**form, "who": "cd", "wish": "yes back_faced confirmed"}).status_code
        == 303
    )
    assert bench.rows("SELECT who FROM tick WHERE key = 'back_faced'") == [("CD",)]


_LONG = "9" * 400


@pytest.mark.parametrize(
    "forged",
    [{}, {"set_up": "painting"}, {"set_up": "nonsense"}, {"set_up": "receiving", "castings": "1 -2"},
     {"set_up": "receiving", "castings": f"{_LONG} ٣"}, {"set_up": "receiving", "castings": _LONG, "seen": _LONG},
     {"set_up": "receiving", "castings": "1 2 3 4", "seen": "NaN", "wish": "\0"}],
)  # fmt: skip
def test_forged_starts_store_nothing(bench: Bench, forged: dict[str, Any]) -> None:
    bench.metric()
    bench.refused(partial(bench.post, PLAN, forged), 409, 422)


def test_what_is_not_there(bench: Bench) -> None:
    page = started(bench)
    for path in ("/batches/99", f"/batches/{2**63}", "/batches/x", "/builds/9/batches"):
        assert bench.client.get(path).status_code in (404, 422), path
    for what in ("done", "pass", "end"):
        assert bench.post(f"/batches/99/{what}", {}).status_code == 404
    for turn in ("", "0", "5", "-1", _LONG, "٣"):
        for what in ("done", "pass"):
            assert bench.post(f"{page}/{what}", {"turn": turn, "wish": "yes back_faced"}).status_code == 404
    for wish in ("", "no back_faced", "yes bored", "yes quartered", "yes pressed_and_quartered", "\0"):
        bench.refused(partial(bench.post, f"{page}/done", {"turn": "1", "seen": "1", "wish": wish}))
    for at in ("0", "77", _LONG, "%00", "x"):
        assert is_whole(bench.get(f"{page}?at={at}"))


def test_a_batch_is_of_its_own_build_alone(bench: Bench) -> None:
    page = started(bench)
    bench.start()
    assert "Go on" not in text_of(bench.get("/builds/2"))
    other = form_on(bench.get("/builds/2/batches"), "/builds/2/batches").filled(wish="start")
    castings = " ".join(str(bench.id(f"W{n}")) for n in range(1, 5))
    bench.refused(partial(bench.post, "/builds/2/batches", {**other, "castings": castings}), 409)
    assert bench.post("/builds/2/batches", other).status_code == 303
    assert bench.rows("SELECT build_id, ended FROM work_batch ORDER BY id") == [(1, 0), (2, 0)]
    assert bench.get(page)


def test_a_bore_that_is_not_logged_is_measured_before_anything_is_fixed(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1", "W3", "W4")
    bench.tick("W2", "received", "back_faced", "bored")
    text = text_of(bench.whole(PLAN))
    assert "then measure and log the bore" not in text
    assert re.search(
        r"axles and wheels clean(?:: [W0-9, ]+)?\s*First measure and log the bore: W2\s*Then fix on the axle",
        text,
    )
    wheel_by_wheel = text[text.index("First measure and log the bore: W2") :]
    assert wheel_by_wheel.index("W2 (axle 1, right): measure and log") < wheel_by_wheel.index(
        "W1 (axle 1, left): fix"
    )
    for mark in ("W1", "W2", "W3", "W4"):
        assert bench.log(mark, "throw", "28.01 mm").status_code == 303
    first = Words(bench.get("/builds/1")).by_id["next"]
    said = "axles and wheels clean W2, W1, W3: measure and log the bore of W2, then fix on the axle"
    assert said in first


def test_the_metal_is_said_before_the_cut(bench: Bench) -> None:
    page = started(bench)
    said = on_now(bench, page)
    assert said.index("measure first. Rim back") < said.index("Done: W1, next W2")
    assert (
        said.index("no size is logged")
        < said.index("Receiving sheet of W1")
        < said.index("Done: W1, next W2")
    )
    own = bench.id("W1")
    html = bench.get(page)
    assert f'class="to-bore" href="/castings/{own}/metal"' in html
    assert html.count(f'href="/castings/{own}/receiving"') == 1
    # The very words of the slip.
    (line,) = re.findall(r'<p class="metal-line">.*?</p>', bench.get(f"/castings/{own}/bore"), re.DOTALL)
    assert line in html
    sizes = {"rim_height": "20 mm", "unit": "mm"}
    assert bench.send(f"/castings/{own}/metal", f"/castings/{own}/metal", **sizes).status_code == 303
    said = on_now(bench, page)
    assert "Receiving sheet" not in said and "no size is logged" not in said


def test_the_metal_that_is_left_is_said_in_large_figures(bench: Bench) -> None:
    page = started(bench)
    own = bench.id("W1")
    rough = {"rim_height": "13 mm", "boss_height": "18 mm", "boss_proud": "0", "unit": "mm"}
    assert bench.send(f"/castings/{own}/receiving", f"/castings/{own}/receiving", **rough).status_code == 303
    said = on_now(bench, page)
    # The very figures of the line of the slip, which is not said twice.
    line = text_of(bench.get(f"/castings/{own}/bore"))
    found = re.search(r"Rim back: ([\d.]+) mm \([\d.]+ in\) of metal left, next cut ([\d.]+) mm", line)
    assert found
    left, cut = found.groups()
    assert f"left on the rim back {left} mm" in said and f"next cut {cut} mm" in said
    assert "of metal left" not in said and "measure first" not in said


def test_receiving_s_sheet_is_at_hand(bench: Bench) -> None:
    bench.metric()
    page = f"/batches/{start(bench)}"
    html, own = bench.get(page), bench.id("W1")
    assert f'<a class="button" href="/castings/{own}/receiving">Receiving sheet of W1</a>' in html
    said = on_now(bench, page)
    assert said.index("W1: no sizes written down yet.") < said.index("Done: W1, next W2")
    assert "Metal left" not in said
    assert html.count(f'href="/castings/{own}/receiving"') == 1, "offered once"
    done(bench, page)
    assert "Receiving sheet" not in on_now(bench, f"{page}?at=1")


def test_the_sizes_to_bore_to_are_said_before_the_cut(bench: Bench) -> None:
    page = ready_to_bore(bench)
    own = bench.id("W1")
    (target,) = re.findall(
        rf'id="bore-target-{own}">(Bore to between [^<]+)<', bench.get(f"/castings/{own}/bore")
    )
    # The very sizes of the slip, the middle of them large.
    ends = re.search(r"between ([\d.]+) mm \([\d.]+ in\) and ([\d.]+) mm", target)
    assert ends
    low, high = ends.groups()
    said = on_now(bench, page)
    shown = re.search(rf"bore to ([\d.]+) mm [\d.]+ in {low} to {high} mm, drawing's seat", said)
    assert shown and float(low) < float(shown[1]) < float(high)
    assert said.index("bore to") < said.index("Write") < said.index("Done")
    # Logged while it is still in the chuck: nothing is left to ask for but the tick.
    assert bench.log("W1", "bore", "19.08 mm").status_code == 303
    assert "Due:" not in on_now(bench, page)
    assert done(bench, page, over=UNSIZED) == f"{page}?at=2"
    stay = done(bench, f"{page}?at=2", over=UNSIZED)
    said = on_now(bench, stay)
    assert f"{low} to {high} mm, drawing's seat" in said and "Due: W2 bore" in said
    assert f'href="{page}?of={bench.id("W1")}">Back to the batch</a>' in bench.get("/axles/1")


def test_a_bore_past_its_window_is_cut_no_more(bench: Bench) -> None:
    page = ready_to_bore(bench)
    assert bench.log("W1", "bore", "19.30 mm").status_code == 303
    said = on_now(bench, f"{page}?at=1")
    assert re.search(r"Stop: too large ?19\.300 mm", said)
    assert "bore to" not in said and "last cut" not in said and "spindle" not in said
    # One that is too small is bored on.
    assert bench.log("W2", "bore", "19.04 mm").status_code == 303
    said = on_now(bench, f"{page}?at=2")
    assert "bore to 19.085 mm" in said and "too large" not in said


CASTING_SHEETS = (
    "receiving",
    "true",
    "metal",
    "bore",
    "throw",
    "speeds",
    "swing",
    "settings",
    "tread",
    "strokes",
    "",
)


def test_every_sheet_of_a_casting_in_the_batch_leads_back_to_it(bench: Bench) -> None:
    page = ready_to_bore(bench)
    sheets = {mark: f"/castings/{bench.id(mark)}" for mark in ("W2", "W5")}
    back = f'href="{page}?of={bench.id("W2")}">Back to'
    for name in CASTING_SHEETS:
        assert bench.get(f"{sheets['W2']}/{name}".rstrip("/")).count(back) == 1, name
        # A spare has no part in it.
        assert "Back to the batch" not in text_of(bench.get(f"{sheets['W5']}/{name}".rstrip("/"))), name
    # It leads to that wheel's turn, as it stands now; any other number leads to the one that is on.
    assert on_now(bench, f"{page}?of={bench.id('W2')}").startswith("W2")
    for other in (bench.id("W5"), "x", "9" * 400, ""):
        assert on_now(bench, f"{page}?of={other}").startswith("W1")
    assert "Back to the batch" in text_of(bench.get("/axles/1"))
    # Once it is over there is none to go back to.
    for mark in ("W1", "W2", "W3", "W4"):
        bench.tick(mark, "bored")
    assert "Back to the batch" not in text_of(bench.get(sheets["W2"]))
    assert "Back to the batch" not in text_of(bench.get("/axles/1"))
    bench.wish("W2", "no bored confirmed")
    assert "Back to the batch" in text_of(bench.get(sheets["W2"]))
    bench.send(page, f"{page}/end")
    assert "Back to the batch" not in text_of(bench.get(sheets["W2"]))


def test_every_sheet_opens_while_a_batch_runs(bench: Bench) -> None:
    ready_to_bore(bench)
    ids = {"build_id": 1, "pattern_id": 1, "axle_id": 1, "casting_id": bench.id("W1"), "batch_id": 1}
    opened = [
        path
        for sheet in SHEETS
        if not re.search(r"{(machine|chuck|instrument|jig|count)_id}", sheet.address)
        for path in [sheet.address.format(**ids, side="left")]
        if bench.client.get(path).status_code == 200
    ]
    assert {"/builds/1/treads", "/axles/1/gauges", "/builds/1/made"} <= set(opened)
    assert len(opened) > 40


def test_that_a_joint_never_holds_is_said_where_the_bore_is_written(bench: Bench) -> None:
    bench.metric(fit="press", fit_least="0.02", fit_most="0.06", iron="en-gjl-250")
    figures = {"bore_within": "0.02 mm", "load": "1 kg", "piston": "5 mm", "pressure": "1 bar"}
    assert bench.send("/builds/1/joints?open=figures", "/builds/1/joints", **figures).status_code == 303
    for mark in ("W1", "W2", "W3", "W4"):
        bench.tick(mark, "received", "back_faced")
    page, own = f"/batches/{start(bench)}", bench.id("W1")
    slip = Words(bench.get(f"/castings/{own}/bore")).by_id[f"bore-target-{own}"]
    warned = slip.partition(" If you press it all the same")[0]
    assert warned.startswith("No press fit to aim for") and warned in on_now(bench, page)
    assert warned in Words(bench.get(f"/castings/{own}/card")).text


def test_a_spare_in_a_lost_wheel_s_place_joins_when_it_is_ready(bench: Bench) -> None:
    page = started(bench)
    assert bench.scrap("W2").status_code == 303
    assert "Not in this batch yet" not in text_of(bench.get(page))
    assert bench.place(1, "right", "W5").status_code == 303
    text = text_of(bench.whole(page))
    assert "W5, in the place of a wheel that was scrapped, is not ready for this batch." in text
    assert "W5 is not received yet" in text and not has_form(bench.whole(page), f"{page}/join")
    assert f'href="/castings/{bench.id("W5")}#wheel-{bench.id("W5")}">Checklist of W5<' in bench.whole(page)
    early = partial(bench.post, f"{page}/join", {"castings": str(bench.id("W5"))})
    assert "can do nothing on that wheel now" in bench.refused(early).text
    bench.tick("W5", "received")
    assert "Put W5 into this batch" in text_of(bench.whole(page))
    data = bench.form(page, f"{page}/join").filled()
    for _ in range(2):  # sent twice, it joins once
        assert bench.post(f"{page}/join", data).headers["location"] == f"{page}?at=5"
    assert bench.rows("SELECT ordinal, casting_id FROM work_batch_wheel WHERE ordinal > 4") == [
        (5, bench.id("W5"))
    ]
    assert bench.journal().count(f"Put W5 (axle 1, right) into the batch {CHUCK_BACK}.") == 1
    assert "0 of 4 done" in text_of(bench.get(page))
    assert "Put W5" not in text_of(bench.whole(page))
    done(bench, f"{page}?at=5", over=UNSIZED)
    assert "back_faced" in bench.ticks("W5") and "1 of 4 done" in text_of(bench.get(page))


def test_a_wheel_joins_its_fellow_s_turn(bench: Bench) -> None:
    bench.metric(fit="press", fit_least="0.005", fit_most="0.03")
    bench.bored("W1", "W2", "W3", "W4", "W5", bore="19.035 mm")
    for mark in ("W1", "W2", "W3", "W4"):
        assert bench.log(mark, "throw", "28.00 mm").status_code == 303
        bench.tick(mark, "pressed")
    for mark in ("W1", "W2", "W3", "W4"):
        bench.tick(mark, "tread_turned")
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch") == "quartering"
    assert bench.scrap("W2", confirmed="yes").status_code == 303
    assert bench.place(1, "right", "W5").status_code == 303
    assert "W5 is not" in text_of(bench.whole(page))
    assert bench.log("W5", "throw", "28.00 mm").status_code == 303
    bench.tick("W5", "pressed", "tread_turned")
    answer = bench.send(page, f"{page}/join")
    assert answer.headers["location"] == f"{page}?at=1"
    said = on_now(bench, f"{page}?at=1")
    assert "W1" in said and "W5" in said and "Quarter the axle" in said
    assert "0 of 2 done" in text_of(bench.get(page))
    done(bench, f"{page}?at=1", over="Axle 1: no heights of its crankpins are logged.*")
    assert bench.one("SELECT axle_id FROM quartering") == 1


def test_no_wheel_is_put_into_a_batch_that_is_over(bench: Bench) -> None:
    """With nothing left to do in it the plan says what is next, with that wheel in it."""
    bench.metric(axles="1", coupled="1", castings="3")
    received(bench, "W1", "W3")
    bench.tick("W2", "received", "back_faced")
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT count(*) FROM work_batch_wheel") == 1
    bench.wish("W2", "no back_faced confirmed")
    assert "Not in this batch yet: W2" in text_of(bench.get(page))
    done(bench, page, over=UNSIZED)
    said = text_of(bench.get(page))
    assert "Not in this batch" not in said and "This batch is done." in said
    assert "Next: In the four-jaw chuck, back outward" in said


def test_what_cannot_join(client: TestClient, bench: Bench) -> None:
    page = started(bench)
    bench.start()
    other = bench.id("W1", 2)
    for castings in (str(other), "", "x", "-1", "999", _LONG, "٣", f"{bench.id('W1')} {other}"):
        assert bench.post(f"{page}/join", {"castings": castings}).status_code == 404, castings
    bench.scrap("W2")
    bench.place(1, "right", "W5")
    bench.tick("W5", "received")
    data = bench.form(page, f"{page}/join").filled()
    client.cookies.delete("spokeshed_who")
    assert "Who is at the bench?" in bench.refused(partial(bench.post, f"{page}/join", data)).text
    bench.sit_down()
    bench.send(page, f"{page}/end")
    assert "Not in this batch yet" not in text_of(bench.get(page))
    assert "This batch is ended" in bench.refused(partial(bench.post, f"{page}/join", data)).text
    assert bench.one("SELECT count(*) FROM work_batch_wheel") == 4


def test_a_form_s_own_address_leads_back_to_the_batch(bench: Bench) -> None:
    page = started(bench)
    for what in ("done", "pass", "end", "join", "readings", "steps"):
        answer = bench.client.get(f"{page}/{what}")
        assert (answer.status_code, answer.headers["location"]) == (303, page)
        assert bench.client.get(f"/batches/99/{what}").status_code == 404
    assert bench.one("SELECT ended FROM work_batch") == 0 and "back_faced" not in bench.ticks("W1")


# What is asked about a wheel that nothing is wrong with: the batches give no chance to measure it, nobody typed the
# loads, and a light press fit does not take the usual roughing cut.
_NO_CHANCE = (
    "no heights of its crankpins are logged",
    "Not measured of",
    "Stop: measure first on",
    "by placeholder figures",
    "Take a lighter cut, or ",
)


class Walk:
    """A builder who only ever presses what the batches offer, and logs what they ask for."""

    def __init__(self, bench: Bench, bore: str) -> None:
        self.bench, self.bore = bench, bore
        self.set_ups: list[str] = []

    def whole_build(self) -> None:
        """Batch by batch until the plan offers none."""
        page = "/builds/1"
        for _ in range(40):
            if not has_form(self.bench.get(page), PLAN):
                return
            batch = start(self.bench, page)
            self.set_ups.append(self.bench.one("SELECT key FROM work_batch WHERE id = ?", batch))
            page = f"/batches/{batch}"
            self.whole_batch(page)
        pytest.fail(f"no end to it: {self.set_ups}")

    def whole_batch(self, page: str) -> None:
        """Turn by turn until none is left to do."""
        for _ in range(60):
            html = self.bench.get(page)
            found = [form for form in forms_on(html) if form.action == f"{page}/done"]
            if found:
                self.press(found[0])
            elif not self.log(html):
                return
        pytest.fail("no end to this batch")

    def press(self, form: FormOnPage) -> None:
        """The one button that ticks: taken without a word, but for what a batch gives no chance to measure."""
        ((name, wish),) = form.buttons
        answer = self.bench.post(form.action, form.filled(**{name: wish}))
        if answer.status_code == 409:
            asked = text_of(answer.text).partition("Are you sure?")[2].partition("Why all the same")[0]
            assert any(words in asked for words in _NO_CHANCE), asked
            answer = self.bench.post(form.action, form.filled(**{name: f"{wish} confirmed"}, reason="walked"))
        assert answer.status_code == 303, text_of(answer.text)

    def log(self, html: str) -> bool:
        """Write the measurement that the page asks for, on the page; whether it asked for one."""
        found = [form for form in forms_on(html) if form.action.endswith("/readings")]
        if not found:
            return False
        throw = found[0].fields["due"][0].startswith("throw")
        typed = {"reading": "28.01 mm"} if throw else {"reading_front_first": self.bore}
        answer = self.bench.post(found[0].action, found[0].filled(**typed))
        assert answer.status_code == 303, text_of(answer.text)
        return True


@pytest.mark.parametrize(
    ("fit", "bore", "route"),
    [("bond", "19.08 mm", "fitted_first"), ("bond", "19.08 mm", "mandrel_first"),
     ("press", "19.035 mm", "fitted_first")],
)  # fmt: skip
def test_a_whole_build_walked_in_batches_alone(bench: Bench, fit: str, bore: str, route: str) -> None:
    narrow = {"fit_least": "0.005", "fit_most": "0.03"} if fit == "press" else {}
    bench.metric(fit=fit, route=route, **narrow)
    bench.seats()
    promised = re.search(r"is (\d+) batches with (\d+) changes of set-up", text_of(bench.whole(PLAN)))
    assert promised
    walk = Walk(bench, bore)
    walk.whole_build()
    # "Finished" alone is said only of what nothing was let pass of.
    said = text_of(bench.get("/builds/1"))
    assert "Every wheel is finished, with what was let pass: the set as made tells it." in said
    assert "The set is finished, with what was let pass below" in text_of(bench.get("/builds/1/made"))
    assert "28 of 28 stages done" in text_of(bench.get("/builds/1"))
    strange = [s for s in bench.journal() if "Let pass" in s and not any(words in s for words in _NO_CHANCE)]
    assert strange == []
    changes = sum(one != two for one, two in zip(walk.set_ups, walk.set_ups[1:], strict=False))
    assert (len(walk.set_ups), changes) == tuple(map(int, promised.groups()))
    assert set(walk.set_ups) <= set(SetUp)


def test_what_nobody_measures_is_asked_once_in_a_batch(bench: Bench) -> None:
    """A yes to what is missing holds for the wheels after it, and each card says so; what is no good is asked always."""
    page = started(bench)
    assert 'id="passes"' not in bench.get(page)
    missing = r"Stop: measure first on W1\. [^?]*no size is logged[^?]*"
    page = done(bench, page, over=missing)
    said = "Rim back: no size is logged, so nothing can be said. Done lets it pass, as on W1."
    assert Words(bench.get(page)).by_id["passes"] == said
    page = done(bench, page)
    told = bench.journal("W2")[-1]
    assert "Ticked back faced. Let pass: Stop: measure first on W2." in told
    assert told.endswith(" As on W1.") and "Reason given" not in told
    assert "as on W1" in Words(bench.get(page)).by_id["passes"]
    # A page from before that was said is asked all the same.
    own = form_on(bench.get(page), "/batches/1/done")
    (button,) = own.buttons
    old = {name: text for name, text in own.filled(**dict([button])).items() if name != "passing"}
    assert "measure first on W3" in bench.refused(partial(bench.post, "/batches/1/done", old), 409).text
    size = f"/castings/{bench.id('W3')}/metal"
    assert bench.send(size, size, rim_height="12", boss_height="17").status_code == 303
    assert 'id="passes"' not in bench.get(page)
    # What is missing of it is another thing now, and no such thing was let pass.
    done(
        bench, page, over=r"Stop: measure first on W3\. Rim back: how thick it came is not written down[^?]*"
    )
    # The next batch is another work: it is asked there anew.
    assert bench.send("/batches/1", "/batches/1/end").status_code == 303
    page = f"/batches/{start(bench)}"
    assert 'id="passes"' not in bench.get(page)


def test_the_axle_page_makes_no_plan(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.metric()

    def never(*_: object, **__: object) -> None:
        raise AssertionError("planned for an axle's page")

    monkeypatch.setattr("webapp.facts.planned.plan_work", never)
    monkeypatch.setattr("webapp.facts.planned._planned", never)
    bench.get("/axles/1")
    bench.get("/castings/1")


def test_the_same_facts_are_planned_once(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    from webapp.facts import planned

    bench.metric()
    bench.get("/builds/1")
    before = planned._planned.cache_info()
    bench.tick("W1", "received.marked")  # a reminder, which changes no plan
    bench.get("/builds/1")
    bench.get(PLAN)
    after = planned._planned.cache_info()
    assert (after.misses, after.hits - before.hits) == (before.misses, 2)


def test_a_casting_that_will_not_clean_up_is_in_no_batch(bench: Bench) -> None:
    bench.metric()
    own = bench.id("W2")
    page = f"/castings/{own}/receiving"
    assert bench.send(page, page, rim_height="10.2", boss_height="16", boss_proud="0").status_code == 303
    text = Words(bench.get("/builds/1/batches")).text
    assert "W2 does not clean up: give its place to a better one" in text


def test_the_crankpin_hole_is_a_step_of_its_own_batch(bench: Bench) -> None:
    """It has a jig of its own, after the boring: it is no reminder while the wheel is bored."""
    bench.metric(axles="1", coupled="1")
    for mark in ("W1", "W2"):
        bench.tick(mark, "received", "back_faced")
    for number, (told, untold) in enumerate(
        (("Reamed slowly", "Crankpin hole"), ("Crankpin hole", "Reamed slowly")), 1
    ):
        answer = bench.send("/builds/1/batches", "/builds/1/batches", wish="start")
        page = bench.get(answer.headers["location"])
        steps = Words(page).by_id[f"steps-{bench.id('W1')}"]
        assert told in steps and untold not in steps
        assert bench.send(answer.headers["location"], f"/batches/{number}/end").status_code == 303
        bench.bored("W1", "W2")


def test_the_crankpins_batch_has_the_pin_as_the_step_it_is(bench: Bench) -> None:
    """Where it goes in before fixing: ticked as on the checklist, also once the throw is logged, and as it is fixed."""
    bench.metric(axles="1", coupled="1", castings="2")
    bench.seats(axles=(1,))
    bench.bored("W1", "W2")
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch") == "crankpin_jig"
    own, pin = bench.id("W1"), "painted.pin"
    steps = Words(bench.get(page)).by_id[f"steps-{own}"]
    assert "Crankpin hole drilled" in steps and "Crankpin in and square" in steps
    form = form_on(bench.get(page), f"{page}/steps")
    asked = bench.refused(partial(bench.post, f"{page}/steps", form.filled(wish=f"yes {pin}")), 409)
    assert (
        "Not measured of the crankpin of W1: hole, pin, how square it stands." in asked.by_id[f"steps-{own}"]
    )
    # Where that is measured is a tap away, and the form with its fields stands open there.
    at = f"/builds/1/crankpins?pattern={bench.one('SELECT pattern_id FROM casting')}&open=pin-{own}"
    assert f'href="{at.replace("&", "&amp;")}#fold-pin-{own}"' in bench.get(page)
    assert has_form(bench.get(at), f"/castings/{own}/crankpin#log-{own}")

    assert bench.log("W1", "throw", "28.00 mm").status_code == 303
    assert "W1: done here" in on_now(bench, f"{page}?at=1")
    form = form_on(bench.get(f"{page}?at=1"), f"{page}/steps")
    sure = form.filled(wish=f"yes {pin} confirmed", reason="no dial here")
    assert bench.post(f"{page}/steps", sure).status_code == 303
    assert pin in bench.ticks("W1")
    assert bench.log("W2", "throw", "28.00 mm").status_code == 303
    fixing = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch WHERE id = 2") == "fixing"
    assert "Crankpin in and square" in Words(bench.get(fixing)).by_id[f"steps-{own}"]
    for way in ("after", "jig"):
        assert bench.send("/builds/1/figures", "/builds/1/figures", pins=way).status_code == 303
        assert "Crankpin in and square" not in bench.get(fixing) + bench.get(f"{page}?at=1")


@pytest.mark.parametrize("set_up", ["front_out", "fixing"])
def test_a_bore_that_is_no_good_is_said_once(bench: Bench, set_up: str) -> None:
    """Among the figures, where it leads on; not again before the work, beside its box, or as it is written."""
    bench.metric(axles="1", coupled="1", castings="2")
    bench.seats(axles=(1,))
    fault, asked = "No good: too slack by 0.200 mm", "The logged bore of W1 is no good"
    if set_up == "front_out":
        for mark in ("W1", "W2"):
            bench.tick(mark, "received", "back_faced")
    else:
        bench.bored("W1", "W2")
        for mark in ("W1", "W2"):
            assert bench.log(mark, "throw", "28.00 mm").status_code == 303
    page = f"/batches/{start(bench)}"
    assert bench.one("SELECT key FROM work_batch") == set_up
    if set_up == "front_out":
        form = form_on(bench.get(page), f"{page}/readings").filled(reading="19.30 mm")
        answer = bench.post(f"{page}/readings", form)
        said = text_of(bench.get(answer.headers["location"]))
        assert "Written: W1 bore 19.300 mm" in said and said.count("too slack") == 1
    else:
        assert bench.log("W1", "bore", "19.30 mm").status_code == 303
    said = text_of(bench.get(f"{page}?at=1"))
    assert said.count(fault) == said.count("too slack") == 1
    assert asked not in said and "The hole is past" not in said
    if set_up == "front_out":
        # Of a wheel that is left out for it its fellow's sheet says it once too.
        assert text_of(bench.get(f"{page}?at=2")).count("too slack") == 1
    # Its tick asks all the same.
    tick = "yes bored" if set_up == "front_out" else "yes pressed"
    form = form_on(bench.get(f"{page}?at=1"), f"{page}/done").filled(wish=tick)
    assert asked in bench.refused(partial(bench.post, f"{page}/done", form), 409).text
