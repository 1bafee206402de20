"""Scrapping, undoing it, spares and marks, through HTTP."""

import re
from functools import partial

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import HX, Bench, Words, form_on, forms_on, is_whole, sentences
from webapp.db import Db
from webapp.drawing.wheel import CENTRE

STAGES = ("received", "back_faced", "bored", "pressed", "tread_turned", "quartered", "painted")
REASONS = (
    "bored out of the middle", "bored too large", "bored from the back", "cracked", "cut under size", "blowhole",
    "too hard to cut", "does not clean up",
)  # fmt: skip


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def _up_to(bench: Bench, stage: str) -> None:
    """Both wheels of axle 1 ticked up to and with a stage."""
    bench.metric()
    done = STAGES[: STAGES.index(stage) + 1] if stage else ()
    if "quartered" in done:
        bench.quartered()
        if "painted" in done:
            bench.tick("W1", "painted")
        return
    for mark in ("W1", "W2"):
        for key in done:
            if key == "pressed":
                assert bench.log(mark, "bore", "19.08").status_code == 303
            bench.tick(mark, key)


@pytest.mark.parametrize("stage", ["", *STAGES])
def test_scrapped_at_each_stage_and_undone(bench: Bench, stage: str) -> None:
    _up_to(bench, stage)
    ticks = bench.ticks("W1")
    on = "pressed" in ticks
    if on:
        before = bench.dump()
        asked = bench.scrap("W1")
        assert asked.status_code == 409
        assert bench.dump() == before
        text = Words(asked.text).text
        assert "W1 is already on axle 1" in text
        assert "partner W2 stays on the axle" in text
        assert ("quartered again" in text) == (stage in ("quartered", "painted"))
        assert form_on(asked.text, "/castings/1/scrap").fields["reason"] == ["cracked"]
    answer = bench.scrap("W1", **({"confirmed": "yes"} if on else {}))
    assert (answer.status_code, answer.headers["location"]) == (303, "/axles/1")
    assert bench.at("W1") == ("scrapped", None, None)
    assert bench.one("SELECT scrap_reason FROM casting WHERE id = 1") == "cracked"
    assert bench.ticks("W1") == ticks
    axle = Words(bench.get("/axles/1")).text
    assert "This place is empty." in axle
    assert "Put W5 here" in axle
    if stage in ("quartered", "painted"):
        assert ("wish", "yes quartered") in form_on(bench.get("/axles/1"), "/axles/1/ticks").buttons
    sheet = Words(bench.get("/builds/1")).text
    assert "W1 cracked" in sheet
    assert "Empty" in sheet
    assert "Scrapped W1 at axle 1, left, because: cracked." in bench.journal("W1")
    assert bench.unscrap("W1").status_code == 303
    assert bench.at("W1") == ("in_work", 1, "left")
    assert bench.ticks("W1") == ticks
    assert bench.journal("W1")[-1] == "Undid the scrapping of W1: it is back at axle 1, left."
    if stage in ("quartered", "painted"):
        assert ("wish", "no quartered") in form_on(bench.get("/axles/1"), "/axles/1/ticks").buttons


@pytest.mark.parametrize("reason", REASONS)
def test_each_reason_offered(bench: Bench, reason: str) -> None:
    bench.metric()
    page = bench.get("/castings/1/scrap")
    assert reason in form_on(page, "/castings/1/scrap").choices["reason"]
    assert bench.scrap("W1", reason=reason, words=" hit a  hard <spot> ").status_code == 303
    assert bench.one("SELECT scrap_reason FROM casting WHERE id = 1") == f"{reason}, hit a hard <spot>"
    assert "<spot>" not in bench.get("/castings/1")


def _chosen(bench: Bench, came_from: str, mark: str = "W1") -> tuple[list[str], str]:
    """What is chosen as the form opens, and what is said of it."""
    page = bench.get(f"/castings/{bench.id(mark)}/scrap{came_from}")
    form = form_on(page, f"/castings/{bench.id(mark)}/scrap")
    return form.fields.get("reason", []), Words(page).by_id.get("known", "")


def test_a_bore_too_large_is_chosen_with_its_figure_and_only_confirmed(bench: Bench) -> None:
    bench.metric()
    bench.tick("W1", "received", "back_faced", "bored")
    assert _chosen(bench, "?from=bore") == ([], "")
    assert bench.log("W1", "bore", "19.4").status_code == 303
    reason, said = _chosen(bench, "?from=bore")
    assert reason == ["bored too large"]
    # From "All about" it is known as well.
    assert 'href="/castings/1/scrap"' in bench.get("/castings/1") and _chosen(bench, "") == (reason, said)
    assert said.startswith("Bore 19.400 mm (0.7638 in). Clearance 0.350 mm (0.0138 in): no good")
    # Refused for something else it stays chosen, and the figure said.
    form = form_on(bench.get("/castings/1/scrap?from=bore"), "/castings/1/scrap")
    again = bench.post("/castings/1/scrap", form.filled(who="12345"))
    assert again.status_code == 422 and Words(again.text).by_id["known"] == said
    assert form_on(again.text, "/castings/1/scrap").fields["reason"] == ["bored too large"]
    assert bench.post("/castings/1/scrap", form.filled()).status_code == 303
    assert bench.one("SELECT scrap_reason FROM casting WHERE id = 1") == "bored too large"


def test_one_that_is_scrapped_is_not_asked_about_again(bench: Bench) -> None:
    bench.metric()
    assert bench.scrap("W1").status_code == 303
    page = bench.get("/castings/1/scrap?from=bore")
    assert "W1 is scrapped already" in Words(page).text and "Cracked." in Words(page).text
    forms = [form.action for form in forms_on(page) if form.action.startswith("/castings")]
    assert forms == ["/castings/1/unscrap"]
    # What else is asked of it is answered, and asks for nothing.
    assert "W1 is scrapped, and its bore was never logged." in Words(bench.get("/castings/1/bore")).text
    received = Words(bench.get("/castings/1/receiving")).text
    assert "Nothing is written down of W1 " in received and "Fill in what you can" not in received
    assert bench.send("/castings/1/scrap", "/castings/1/unscrap").status_code == 303
    assert bench.at("W1")[0] == "in_work"


def test_a_bore_too_small_and_one_that_is_good_choose_nothing(bench: Bench) -> None:
    bench.metric()
    bench.tick("W1", "received", "back_faced", "bored")
    for bore in ("18.9", "19.08"):
        assert bench.log("W1", "bore", bore).status_code == 303
        assert _chosen(bench, "?from=bore") == ([], "")


def test_what_does_not_clean_up_or_is_under_size_is_chosen_from_its_own_sheet(bench: Bench) -> None:
    bench.metric()
    page = "/castings/1/receiving"
    assert bench.send(page, page, rim_height="10.2", boss_height="16", boss_proud="0").status_code == 303
    reason, said = _chosen(bench, "?from=receiving")
    # What is known is known wherever one comes from.
    assert _chosen(bench, "?from=bore") == _chosen(bench, "?from=metal") == (reason, said)
    assert reason == ["does not clean up"] and "0.400 mm (0.0157 in) short" in said
    assert _chosen(bench, "") == (reason, said)
    bench.tick("W2", "received", "back_faced")
    assert bench.send("/castings/2/metal", "/castings/2/metal", rim_height="9.7").status_code == 303
    assert 'href="/castings/2/scrap?from=metal"' in bench.get("/castings/2/metal")
    reason, said = _chosen(bench, "?from=metal", "W2")
    assert reason == ["cut under size"] and said == "Under size: the rim by 0.300 mm (0.0118 in)."
    assert _chosen(bench, "", "W2") == (reason, said)


@pytest.mark.parametrize(
    "query",
    ["?from=", "?from=cracked", "?from=bore%00", "?from=" + "x" * 5_000, "?reason=cracked", "?from=bore&reason=cracked",
     "?origin=bore&words=mine", "?from=receiving", "?from=metal", "?from=<b>"],
)  # fmt: skip
def test_an_address_alone_chooses_nothing_and_says_nothing(bench: Bench, query: str) -> None:
    bench.metric()
    assert _chosen(bench, query) == ([], "")
    form = form_on(bench.get(f"/castings/1/scrap{query}"), "/castings/1/scrap")
    assert form.fields["words"] == [""] and "confirmed" not in form.fields and "origin" not in form.fields


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"reason": ""}, "Choose what happened"),
        ({"reason": "stolen"}, "Choose what happened"),
        ({"reason": "9" * 10_000}, "Choose what happened"),
        ({"reason": "other", "words": ""}, "empty"),
        ({"reason": "other", "words": " \t "}, "empty"),
        ({"reason": "other", "words": "x" * 201}, "200 is the most"),
        ({"reason": "cracked", "words": "x" * 10_000}, "200 is the most"),
        ({"reason": "other", "words": "a\0b"}, "cannot be shown"),
        ({"who": "ABCDE"}, "Write your initials"),
    ],
)
def test_a_scrapping_that_cannot_be_taken(bench: Bench, changes: dict[str, str], said: str) -> None:
    bench.metric()
    words = bench.refused(partial(bench.scrap, "W1", **changes))
    assert sentences(words.by_id.values(), said)


def test_scrapping_from_an_old_page(bench: Bench) -> None:
    bench.metric()
    form = form_on(bench.get("/castings/1/scrap"), "/castings/1/scrap").filled(reason="cracked")
    bench.tick("W1", "received")
    words = bench.refused(partial(bench.post, "/castings/1/scrap", form), 409)
    assert "AB changed this at" in words.text
    assert "Ticked received." in words.text


def test_scrapped_twice_by_one_form_is_one_line(bench: Bench) -> None:
    bench.metric()
    form = form_on(bench.get("/castings/1/scrap"), "/castings/1/scrap").filled(reason="cracked")
    for _ in range(2):
        assert bench.post("/castings/1/scrap", form).status_code == 303
    assert len([s for s in bench.journal("W1") if s.startswith("Scrapped")]) == 1
    undo = form_on(bench.get("/castings/1"), "/castings/1/unscrap").filled()
    for _ in range(2):
        assert bench.post("/castings/1/unscrap", undo).status_code == 303
    assert len([s for s in bench.journal("W1") if s.startswith("Undid")]) == 1


def test_a_spare_takes_the_place_and_keeps_its_history(bench: Bench) -> None:
    bench.metric()
    bench.bored("W6")
    bench.tick("W5", "received")
    assert bench.scrap("W1").status_code == 303
    offered = re.findall(r"Put (\w+) here", Words(bench.get("/axles/1")).text)
    assert offered == ["W6", "W5"]  # the most advanced first
    history = bench.journal("W6")
    answer = bench.place(1, "left", "W6")
    assert (answer.status_code, answer.headers["location"]) == (303, "/axles/1")
    assert bench.at("W6") == ("in_work", 1, "left")
    assert bench.journal("W6") == [*history, "W6 took the place at axle 1, left."]
    assert bench.ticks("W6") == {"received", "back_faced", "bored"}
    assert "axle 1, left" in Words(bench.get("/castings/6")).text
    assert "19.08 mm" in Words(bench.get("/castings/6/bore")).text
    assert "19.08 mm" in Words(bench.get("/castings/6?open=measured")).text
    bench.tick("W6", "pressed")


def test_undone_when_the_place_is_taken(bench: Bench) -> None:
    bench.metric()
    bench.quartered()
    assert bench.scrap("W1", confirmed="yes").status_code == 303
    assert bench.place(1, "left", "W5").status_code == 303
    assert bench.unscrap("W1").status_code == 303
    assert bench.at("W1") == ("spare", None, None)
    assert "pressed" not in bench.ticks("W1")
    assert bench.at("W5") == ("in_work", 1, "left")
    assert bench.journal("W1")[-1].startswith(
        "Undid the scrapping of W1: it is back among the spares. No longer ticked pressed"
    )
    assert "stages done" in Words(bench.get("/builds/1")).text
    bench.get("/castings/1")


def test_undone_when_the_axle_is_gone(bench: Bench) -> None:
    bench.metric()
    assert bench.scrap("W3").status_code == 303
    form = form_on(bench.get("/builds/1/edit"), "/builds/1/edit").filled(
        axles="1", coupled="1", confirmed="yes"
    )
    assert bench.post("/builds/1/edit", form).status_code == 303
    assert bench.unscrap("W3").status_code == 303
    assert bench.at("W3") == ("spare", None, None)


def test_no_spare_left_says_how_many_to_order(bench: Bench) -> None:
    bench.metric(castings="4")
    assert "No spare left" in Words(bench.get("/builds/1")).text
    for mark in ("W1", "W3"):
        assert bench.scrap(mark).status_code == 303
    text = Words(bench.get("/builds/1")).text
    assert "Order at least 2" in text
    assert "4 wheels still to finish, and 2 good castings left; no spare is left" in text
    assert "There is no spare to put here." in Words(bench.get("/axles/1")).text
    form = form_on(bench.get("/builds/1?open=more-castings"), "/builds/1/castings").filled(marks="N1 N2")
    assert bench.post("/builds/1/castings", form).status_code == 303
    assert "Order at least" not in Words(bench.get("/builds/1")).text


def test_a_finished_wheel_lost_counts_again(bench: Bench) -> None:
    bench.metric(castings="4")
    bench.quartered()
    bench.tick("W1", "painted")
    bench.tick("W2", "painted")
    assert bench.scrap("W1", confirmed="yes").status_code == 303
    assert "Order at least 1" in Words(bench.get("/builds/1")).text


@pytest.mark.parametrize(
    ("side", "casting", "said"),
    [
        ("right", "5", "W2 has that place already"),
        ("left", "2", "W2 is not a spare"),
        ("left", "3", "W3 is not a spare"),
        ("left", "1", "W1 is not a spare"),
        ("left", "99", "does not belong to this build"),
        ("left", "0", "does not belong to this build"),
        ("left", "", "does not belong to this build"),
        ("left", "-5", "does not belong to this build"),
        ("left", str(2**70), "does not belong to this build"),
        ("left", "abc", "does not belong to this build"),
        ("middle", "5", "a left and a right place only"),
        ("%00", "5", "a left and a right place only"),
    ],
)
def test_a_place_that_cannot_be_given(bench: Bench, side: str, casting: str, said: str) -> None:
    bench.metric()
    assert bench.scrap("W1").status_code == 303
    form = form_on(bench.get("/axles/1"), "/axles/1/places/left").filled(casting=casting)
    for hx in (False, True):
        words = bench.refused(partial(bench.post, f"/axles/1/places/{side}", form, hx=hx))
        assert said in words.text


def test_a_place_given_from_an_old_page(bench: Bench) -> None:
    bench.metric()
    assert bench.scrap("W1").status_code == 303
    old = form_on(bench.get("/axles/1"), "/axles/1/places/left").filled(casting="5")
    assert bench.place(1, "left", "W6").status_code == 303
    words = bench.refused(partial(bench.post, "/axles/1/places/left", old), 409)
    assert "W6 took the place" in words.text
    assert "AB changed this at" in words.text


def test_a_place_given_twice_is_one_line(bench: Bench) -> None:
    bench.metric()
    assert bench.scrap("W1").status_code == 303
    form = form_on(bench.get("/axles/1"), "/axles/1/places/left").filled(casting="5")
    for _ in range(2):
        assert bench.post("/axles/1/places/left", form).status_code == 303
    assert bench.journal("W5") == ["W5 took the place at axle 1, left."]


def test_out_of_its_place_to_the_spares(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1")
    action = "/castings/1/spare"
    form = form_on(bench.get("/castings/1"), action).filled()
    assert bench.post(action, form).headers["location"] == "/axles/1"
    assert bench.at("W1") == ("spare", None, None)
    assert bench.post(action, form).status_code == 303
    assert bench.journal("W1")[-1] == "W1 left its place at axle 1, left, for the spares."
    assert bench.place(1, "left", "W1").status_code == 303
    pressing = form_on(bench.get("/castings/1"), action).filled()
    bench.tick("W1", "pressed")
    words = bench.refused(partial(bench.post, action, {**pressing, "seen": "99"}), 409)
    seen = str(bench.one("SELECT version FROM casting WHERE id = 1"))
    words = bench.refused(partial(bench.post, action, {**pressing, "seen": seen}))
    assert "untick pressed first" in words.text
    assert bench.scrap("W2").status_code == 303
    seen = str(bench.one("SELECT version FROM casting WHERE id = 2"))
    assert "scrapped" in bench.refused(partial(bench.post, "/castings/2/spare", {"seen": seen})).text


def test_a_mark_changed(bench: Bench) -> None:
    bench.metric()
    action = "/castings/1/mark"
    form = form_on(bench.get("/castings/1?open=mark"), action)
    assert form.fields["mark"] == ["W1"]
    for _ in range(2):
        assert bench.post(action, form.filled(mark="É.1/2_-x")).status_code == 303
    assert bench.journal("É.1/2_-x") == ["Mark changed from W1 to É.1/2_-x."]
    assert "É.1/2_-x" in Words(bench.get("/axles/1")).text
    # Its own mark in other letters is not another casting's.
    assert bench.send("/castings/1?open=mark", action, mark="é.1/2_-X").status_code == 303


@pytest.mark.parametrize(
    ("mark", "said"),
    [("", "at least one mark"), ("W2", "is taken in this build"), ("w6", "is taken in this build"), ("A B", "one mark"),
     ("<b>", "cannot be a mark"), ("A\0", "cannot be a mark"), ("🛞", "cannot be a mark"), ("x" * 13, "cannot be a mark"),
     ("x" * 10_000, "cannot be a mark"), ("../..", "cannot be a mark")],
)  # fmt: skip
def test_a_mark_that_cannot_be_taken(bench: Bench, mark: str, said: str) -> None:
    bench.metric()
    answer = bench.send("/castings/1?open=mark", "/castings/1/mark", mark=mark)
    words = bench.refused(partial(bench.send, "/castings/1?open=mark", "/castings/1/mark", mark=mark))
    assert said in words.at("mark")
    assert form_on(answer.text, "/castings/1/mark").fields["mark"] == [mark]


def test_a_mark_changed_from_an_old_page(bench: Bench) -> None:
    bench.metric()
    old = form_on(bench.get("/castings/1?open=mark"), "/castings/1/mark").filled(mark="X1")
    bench.tick("W1", "received")
    words = bench.refused(partial(bench.post, "/castings/1/mark", old), 409)
    assert "AB changed this at" in words.text


@pytest.mark.parametrize("action", ["unscrap", "spare"])
@pytest.mark.parametrize("who", ["", "ABCDE"])
def test_a_button_asks_who_and_then_goes_on(client: TestClient, db: Db, action: str, who: str) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric()
    if action == "unscrap":
        assert bench.scrap("W1").status_code == 303
    form = form_on(bench.get("/castings/1"), f"/castings/1/{action}").filled(**({"who": who} if who else {}))
    client.cookies.delete("spokeshed_who")
    before = bench.dump()
    asked = bench.post(f"/castings/1/{action}", form)
    assert asked.status_code == 422
    assert bench.dump() == before
    assert ("Write your initials" in Words(asked.text).text) == bool(who)
    again = form_on(asked.text, f"/castings/1/{action}")
    assert bench.post(f"/castings/1/{action}", again.filled(who="cd")).status_code == 303
    assert bench.one("SELECT who FROM journal_line ORDER BY id DESC LIMIT 1") == "CD"


@pytest.mark.parametrize("path", ["/castings/1/unscrap", "/castings/1/spare", "/axles/1/places/left"])
def test_refusals_come_in_the_shape_asked_for(bench: Bench, path: str) -> None:
    bench.metric()
    bench.tick("W1", "received")
    for headers in ({}, HX):
        answer = bench.client.post(path, data={"seen": "77", "casting": "5"}, headers=headers)
        assert answer.status_code in (409, 422)
        assert is_whole(answer.text) is not bool(headers)


@pytest.mark.parametrize(("lead", "upright", "ahead", "front"), [("right", 0, 1, 1), ("left", 1, 0, -1)])
def test_the_wheels_of_an_axle_are_drawn_quartered(
    bench: Bench, lead: str, upright: int, ahead: int, front: int
) -> None:
    """Each from its own side: the leading crank a quarter on towards the front, which is left of the left wheel."""
    bench.metric(lead=lead)
    found = re.findall(r'class="wheel-hole[^"]*" cx="([\d.]+)" cy="([\d.]+)"', bench.get("/axles/1"))
    pins = [(float(x) - CENTRE, CENTRE - float(y)) for x, y in found]
    assert len(pins) == 2
    assert pins[upright][0] == 0 and pins[upright][1] > 0
    assert pins[ahead][0] * front > 0 and pins[ahead][1] == 0


def test_carrying_wheels_are_drawn_alike(bench: Bench) -> None:
    bench.metric(coupled="1")
    for mark in ("W3", "W4"):
        bench.tick(mark, "received")
    spokes = re.findall(r'class="wheel-spokes" d="([^"]+)"', bench.get("/axles/2"))
    assert len(spokes) == 2 and len(set(spokes)) == 1


def test_the_sheet_of_a_scrapped_casting_is_its_history(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1")
    assert bench.scrap("W1").status_code == 303
    at = bench.one("SELECT at FROM journal_line WHERE kind = 'scrap'")
    page = bench.get("/castings/1")
    text = Words(page).text
    box = text[text.index("Scrapped") :]
    assert re.match(r"Scrapped\s*Cracked\. AB, ", box) and at[:4] in box[:40]
    # What was done stays to be seen; what would come next, and what is wanted of it, does not.
    assert "row-bored" in page and "row-pressed" not in page and "row-painted" not in page
    for words in ("Due: ", "Caution", 'class="band"', "next ", 'name="wish"', 'class="line"'):
        assert words not in page[page.index("<main") : page.index("</main>")], words
    assert "Undo the scrapping" in text and "Measured: 1" in text
    assert bench.unscrap("W1").status_code == 303
    assert "row-pressed" in bench.get("/castings/1")


def test_an_empty_place_has_no_ticks_in_the_fold(bench: Bench) -> None:
    """What is folded is the other wheel's alone."""
    _up_to(bench, "bored")

    def ticks() -> list[int]:
        fold = bench.get("/axles/1").partition('id="rows-done"')[2].partition("</summary>")[0]
        halves = re.findall(r'class="fold-half"\s*data-at="\d">(.*?)(?=<span class="fold-half"|<span\s+class="row-name")',
                            fold, re.S)  # fmt: skip
        return [half.count("box ticked") for half in halves]

    assert ticks() == [1, 1]
    assert bench.scrap("W2").status_code == 303
    assert ticks() == [1, 0]
