"""Ticks through HTTP: the guards, old pages and quick taps, who it was, and the piece of the sheet that answers."""

import re
from functools import partial
from html import unescape
from http.cookies import SimpleCookie

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import HX, Bench, Words, form_on, is_whole
from webapp.db import Db

FITTED = ("received", "back_faced", "bored", "pressed", "tread_turned")
MANDREL = ("received", "back_faced", "bored", "tread_turned", "pressed")


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def _other(bench: Bench) -> Bench:
    """Another tablet, someone else at it."""
    client = TestClient(
        bench.client.app,
        base_url=str(bench.client.base_url),
        headers=dict(bench.client.headers),
        follow_redirects=False,
    )
    client.headers.pop("cookie", None)
    return Bench(client, bench.db, "CD").sit_down()


@pytest.mark.parametrize(("route", "order"), [("fitted_first", FITTED), ("mandrel_first", MANDREL)])
def test_an_axle_from_received_to_painted(bench: Bench, route: str, order: tuple[str, ...]) -> None:
    bench.metric(route=route, fit="press", fit_least="0.005", fit_most="0.038")
    for mark in ("W1", "W2"):
        for stage in order:
            for later in order[order.index(stage) + 1 :]:
                bench.refused(partial(bench.wish, mark, f"yes {later}"))
            if stage == "pressed":
                words = bench.refused(partial(bench.wish, mark, "yes pressed"), 409)
                assert f"No bore is logged for {mark}" in words.text
                assert bench.log(mark, "bore", "19.04").status_code == 303
            bench.tick(mark, stage)
        assert "not quartered yet" in bench.refused(partial(bench.wish, mark, "yes painted")).text
        assert "belongs to the axle" in bench.refused(partial(bench.wish, mark, "yes quartered")).text
    axle = partial(bench.send, "/axles/1", "/axles/1/ticks")
    assert "No throw is logged for W1 and W2" in bench.refused(partial(axle, wish="yes quartered")).text
    assert bench.log("W1", "throw", "28.0").status_code == 303
    assert "No throw is logged for W2" in bench.refused(partial(axle, wish="yes quartered")).text
    assert bench.log("W2", "throw", "28.0").status_code == 303
    assert (
        "no heights of its crankpins are logged"
        in bench.refused(partial(axle, wish="yes quartered"), 409).text
    )
    assert axle(wish="yes quartered confirmed", reason="set in the fixture").status_code == 303
    bench.tick("W1", "painted")
    bench.tick("W2", "painted")
    assert bench.ticks("W1") == bench.ticks("W2") == {*order, "painted"}
    assert Words(bench.get("/axles/1")).by_id["tally"] == "14 of 14"
    assert "14 of 28 stages done" in Words(bench.get("/builds/1")).text
    quartered, painted = bench.journal("W1")[-2:]
    assert quartered == (
        "Ticked axle 1 quartered. Let pass: Axle 1: no heights of its crankpins are logged, so nothing shows how it is"
        " quartered. The crankpins of W1 and W2 are not ticked in, and their heights are read over them."
        " Reason given: set in the fixture."
    )
    assert painted.startswith("Ticked painted. Let pass: ")


def test_a_carrying_wheel_is_never_quartered(bench: Bench) -> None:
    bench.metric(coupled="2")
    bench.bored("W1", "W2")
    bench.tick("W1", "pressed", "tread_turned", "painted")
    assert "finished" in Words(bench.get("/axles/1")).text.lower()
    for key in ("quartered", "quartered.hole", "bored.crank_boss"):
        words = bench.refused(partial(bench.wish, "W2", f"yes {key}"))
        assert "no such stage or step" in words.text
    form = form_on(bench.get("/axles/2"), "/axles/2/ticks").filled()
    for wish in ("yes quartered", "yes pressed_and_quartered"):
        for hx in (False, True):
            words = bench.refused(partial(bench.post, "/axles/1/ticks", {**form, "wish": wish}, hx=hx))
            assert "A carrying axle has no crankpins" in words.text


NO_WISHES = (
    "", "yes", "yes ", "yes polished", "maybe bored", "yes bored.polished", "yes BORED", "yes received twice",
    "yes received confirmed again", "no polished", "<script>", "yes \0", "yes 🛞", "yes " + "9" * 10_000,
    "toggle received",
)  # fmt: skip


@pytest.mark.parametrize("hx", [False, True])
def test_a_stage_that_does_not_exist(bench: Bench, hx: bool) -> None:
    bench.metric()
    for wish in NO_WISHES:
        words = bench.refused(partial(bench.wish, "W1", wish, hx=hx))
        assert "There is no such stage or step to tick" in words.text
        words = bench.refused(partial(bench.send, "/axles/1", "/axles/1/ticks", wish=wish, hx=hx))
        # Once, among the rows: without script the head of the page leads there.
        assert words.text.count("There is no such") == 1
    bench.client.cookies.delete("spokeshed_who")
    for wish in NO_WISHES:
        words = bench.refused(partial(bench.post, "/castings/1/ticks", {"wish": wish, "seen": "1"}, hx=hx))
        assert "There is no such stage or step to tick" in words.text


@pytest.mark.parametrize(
    "wish", ["yes received", "no quartered_again", "no pressed_and_quartered", "yes pressed"]
)
def test_an_axle_has_only_its_own_tick(bench: Bench, wish: str) -> None:
    bench.metric(coupled="1")
    for axle in (1, 2):
        words = bench.refused(partial(bench.post, f"/axles/{axle}/ticks", {"wish": wish, "seen": "1"}))
        assert "There is no such" in words.text


@pytest.mark.parametrize("hx", [False, True])
def test_a_tick_answers_with_what_changed(bench: Bench, hx: bool) -> None:
    bench.metric()
    own = bench.id("W1")
    answer = bench.send("/axles/1", f"/castings/{own}/ticks", hx=hx, wish="yes received")
    if not hx:
        assert (answer.status_code, answer.headers["location"]) == (303, f"/axles/1#wheel-{own}")
        return
    assert answer.status_code == 200
    assert not is_whole(answer.text)
    form = form_on(answer.text, f"/castings/{own}/ticks")
    assert ("wish", "no received") in form.buttons
    assert ("wish", "yes back_faced") in form.buttons
    assert form.fields["seen"] == [str(bench.one("SELECT version FROM casting WHERE id = ?", own))]
    assert "1 of 14" in Words(answer.text).text
    for part in ("heads", "due", "tally"):
        assert answer.text.count(f'<hx-partial hx-target="#{part}"') == 1


def test_full_pages_are_given_when_asked_for(bench: Bench) -> None:
    bench.metric()
    answer = bench.client.post(
        "/castings/1/ticks", data={"wish": "yes bored"}, headers={**HX, "HX-Request-Type": "full"}
    )
    assert is_whole(answer.text)


@pytest.mark.parametrize("view", ["casting", "axle", "", "<b>"])
@pytest.mark.parametrize("hx", [False, True])
def test_a_refused_tick_says_why_where_it_was_tapped(bench: Bench, view: str, hx: bool) -> None:
    bench.metric()
    bench.tick("W1", "received")
    words = bench.refused(partial(bench.wish, "W1", "yes bored", hx=hx, view=view))
    assert "W1 is not back faced yet" in words.by_id["row-bored"]


@pytest.mark.parametrize("page", ["/axles/1", "/castings/1"])
@pytest.mark.parametrize("hx", [False, True])
def test_a_refused_tick_of_a_row_that_is_folded_opens_the_fold(bench: Bench, page: str, hx: bool) -> None:
    bench.metric()
    bench.bored("W1", "W2")
    assert '<details class="stage-fold" id="rows-done">' in bench.get(page)
    untick = partial(bench.send, page, "/castings/1/ticks", hx=hx, wish="no received", folded="2")
    assert "rest on “received”" in bench.refused(untick).by_id["rows-done"]
    assert '<details class="stage-fold" id="rows-done" open>' in untick().text
    # What is refused in a row that is not folded leaves the fold as it is.
    paint = bench.send(page, "/castings/1/ticks", hx=hx, wish="yes painted", folded="2")
    assert '<details class="stage-fold" id="rows-done">' in paint.text


@pytest.mark.parametrize("hx", [False, True])
def test_a_tick_that_no_row_has_is_refused_above_them_all(bench: Bench, hx: bool) -> None:
    """The axle's own tick is none of a wheel's, and a carrying wheel has no crankpin hole."""
    bench.metric(coupled="2")
    for mark, key in (("W3", "quartered"), ("W3", "pressed_and_quartered"), ("W1", "quartered.hole")):
        words = bench.refused(partial(bench.wish, mark, f"yes {key}", hx=hx))
        said = words.text if hx else words.by_id["list"]
        assert "belongs to the axle" in said or "no such stage or step" in said, (key, said)


def test_the_same_tap_twice_is_one_line(bench: Bench) -> None:
    bench.metric()
    form = form_on(bench.get("/castings/1"), "/castings/1/ticks").filled(wish="yes received")
    for hx in (False, True, True):
        assert bench.post("/castings/1/ticks", form, hx=hx).status_code in (200, 303)
    assert bench.journal("W1") == ["Ticked received."]
    for _ in range(2):
        assert bench.post("/castings/1/ticks", {**form, "wish": "no received"}).status_code == 303
    assert bench.journal("W1") == ["Ticked received.", "Unticked received."]
    assert bench.ticks("W1") == set()


def test_quick_taps_on_one_page_are_all_taken(bench: Bench) -> None:
    """A thumb is quicker than the answers: every tap carries the version that the page was drawn with."""
    bench.metric()
    form = form_on(bench.get("/castings/1"), "/castings/1/ticks").filled()
    keys = ["received.marked", "received.measured", "received", "back_faced.rim_true", "back_faced"]
    for key in keys:
        assert bench.post("/castings/1/ticks", {**form, "wish": f"yes {key}"}, hx=True).status_code == 200
    assert bench.ticks("W1") == set(keys)


@pytest.mark.parametrize("hx", [False, True])
def test_a_page_that_is_out_of_date(bench: Bench, hx: bool) -> None:
    bench.metric()
    mine = form_on(bench.get("/castings/1"), "/castings/1/ticks").filled(wish="yes received.measured")
    assert bench.post("/castings/1/ticks", {**mine, "wish": "yes received.marked"}).status_code == 303
    _other(bench).tick("W1", "received")
    before = bench.dump()
    answer = bench.post("/castings/1/ticks", mine, hx=hx)
    assert answer.status_code == 409
    assert bench.dump() == before
    text = Words(answer.text).text
    at = bench.one("SELECT at FROM journal_line ORDER BY id DESC LIMIT 1")
    assert "CD, " in text
    assert at[:4] in text
    assert "Ticked received." in text
    assert "nothing of yours was stored" in text
    # The answer shows the present state, and from there it goes on.
    form = form_on(answer.text, "/castings/1/ticks")
    assert ("wish", "no received") in form.buttons
    assert ("wish", "yes received.measured") in form.buttons
    assert bench.post("/castings/1/ticks", form.filled(wish="yes received.measured")).status_code == 303


@pytest.mark.parametrize("hx", [False, True])
def test_an_axle_page_that_is_out_of_date(bench: Bench, hx: bool) -> None:
    bench.metric()
    bench.quartered()
    mine = form_on(bench.get("/axles/1"), "/axles/1/ticks").filled(wish="no quartered")
    assert _other(bench).seat(1, "left", "19.05").status_code == 303
    before = bench.dump()
    answer = bench.post("/axles/1/ticks", mine, hx=hx)
    assert answer.status_code == 409
    assert bench.dump() == before
    text = Words(answer.text).text
    assert "CD, " in text
    assert "Logged the seat" in text


def test_a_version_nobody_saw(bench: Bench) -> None:
    bench.metric()
    bench.tick("W1", "received")
    for seen in ("0", "", "abc", "-1", "999999", "9" * 12, "9" * 10_000, "1.0", "²", str(2**70)):
        bench.refused(partial(bench.wish, "W1", "yes back_faced", seen=seen, page=""), 409)


def test_other_castings_changes_do_not_make_a_page_old(bench: Bench) -> None:
    bench.metric()
    mine = form_on(bench.get("/axles/1"), "/castings/1/ticks").filled(wish="yes received")
    _other(bench).tick("W2", "received")
    assert bench.post("/castings/1/ticks", mine).status_code == 303


# --- unticking ---


def test_unticking_names_what_rests_on_it(bench: Bench) -> None:
    bench.metric()
    bench.quartered()
    for key, named in {
        "received": "Back faced, bored, pressed, tread turned and quartered on W1 rest on “received”",
        "bored": "Pressed, tread turned and quartered on W1 rest on",
        "pressed": "Tread turned and quartered on W1 rest on",
    }.items():
        assert named in bench.refused(partial(bench.wish, "W1", f"no {key}")).text
    # Bonded wheels are quartered before the tread is turned, so the tread may be unticked.
    assert bench.wish("W1", "no tread_turned").status_code == 303


def test_unticking_under_a_measurement_asks(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1")
    words = bench.refused(partial(bench.wish, "W1", "no bored"), 409)
    assert "A bore is logged for W1" in words.text
    assert "Are you sure?" in words.by_id["row-bored"]
    assert bench.wish("W1", "no bored confirmed").status_code == 303
    assert "bored" not in bench.ticks("W1")
    assert bench.one("SELECT count(*) FROM measurement") == 1
    assert bench.journal("W1")[-1].startswith("Unticked bored. Let pass: A bore is logged for W1")


def test_a_doubtful_fit_asks_before_pressing(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1", bore="19.4")
    words = bench.refused(partial(bench.wish, "W1", "yes pressed"), 409)
    assert "too wide for the bond" in words.by_id["row-pressed"]
    assert bench.wish("W1", "yes pressed confirmed").status_code == 303
    told = bench.journal("W1")[-1]
    assert told.startswith("Ticked pressed. Let pass: ")
    assert "too wide for the bond" in told and "No seat is measured for W1" in told


def test_confirming_what_nobody_doubted_is_no_confirmation(bench: Bench) -> None:
    bench.metric()
    assert bench.wish("W1", "yes received confirmed").status_code == 303
    assert bench.journal("W1") == ["Ticked received."]


def test_confirming_does_not_get_past_a_refusal(bench: Bench) -> None:
    bench.metric()
    bench.refused(partial(bench.wish, "W1", "yes bored confirmed"))
    bench.tick("W1", "received", "back_faced")
    bench.refused(partial(bench.wish, "W1", "yes pressed confirmed", reason="it is on"))
    axle = partial(bench.send, "/axles/1", "/axles/1/ticks")
    bench.refused(partial(axle, wish="yes quartered confirmed"))


def test_a_spare_is_not_pressed(bench: Bench) -> None:
    bench.metric()
    bench.bored("W5")
    assert "W5 is a spare" in bench.refused(partial(bench.wish, "W5", "yes pressed")).text


def test_a_scrapped_casting_is_not_ticked(bench: Bench) -> None:
    bench.metric()
    assert bench.scrap("W1").status_code == 303
    for wish in ("yes received", "yes received.marked"):
        assert "W1 is scrapped" in bench.refused(partial(bench.wish, "W1", wish)).text


# --- who ---


@pytest.mark.parametrize("hx", [False, True])
def test_a_tick_asks_who_once(client: TestClient, db: Db, hx: bool) -> None:
    bench = Bench(client, db)
    bench.metric()
    client.cookies.delete("spokeshed_who")
    before = bench.dump()
    asked = bench.wish("W1", "yes received", hx=hx)
    assert asked.status_code == 422
    assert bench.dump() == before
    form = form_on(asked.text, "/castings/1/ticks")
    assert ("wish", "yes received") in form.buttons
    assert "who" in form.fields
    answer = bench.post("/castings/1/ticks", form.filled(who="jd", wish="yes received"), hx=hx)
    assert answer.status_code in (200, 303)
    assert bench.one("SELECT who FROM tick") == "JD"
    bench.tick("W1", "back_faced")
    assert bench.rows("SELECT who FROM tick") == [("JD",), ("JD",)]


def test_odd_initials(bench: Bench) -> None:
    bench.metric()
    for who in ("ABCDE", "A B", "<b>", "A\0", "🛞", "A'", "x" * 10_000, "--", "A_", "\u202e"):
        words = bench.refused(partial(bench.wish, "W1", "yes received", who=who))
        assert "Write your initials" in words.text
        words = bench.refused(partial(bench.post, "/who", {"initials": who, "back": "/"}))
        assert "Initials are" in words.text


@pytest.mark.parametrize("who", ["ÉÀ", "ЖД", "轮", "ß", "é1", "ab"])
def test_initials_of_any_alphabet(bench: Bench, who: str) -> None:
    bench.metric()
    kept = who.upper()
    assert bench.wish("W1", "yes received", who=who).status_code == 303
    assert bench.one("SELECT who FROM tick") == kept
    assert form_on(bench.get("/castings/1"), "/who").fields["initials"] == [kept]
    bench.tick("W1", "back_faced")
    assert bench.one("SELECT DISTINCT who FROM tick") == kept


@pytest.mark.parametrize(
    ("back", "to"),
    [("/castings/1", "/castings/1"), ("/castings/1/ticks", "/castings/1"), ("/castings/1/bores", "/castings/1"),
     ("/castings/1/bore", "/castings/1/bore"), ("/castings/1/throw", "/castings/1/throw"),
     ("/castings/1/throws", "/castings/1"), ("/axles/1/measured", "/axles/1/measured"),
     ("/axles/1/seats/left", "/axles/1/seats/left"), ("/axles/1/seats/right", "/axles/1/seats/right"),
     ("/axles/1/seats/middle", "/axles/1"), ("/axles/1/cautions", "/axles/1/cautions"),
     ("/axles/1/journal", "/axles/1/journal"),
     ("/axles/1/places/left", "/axles/1"), ("/builds", "/"),
     ("/builds/1/castings", "/builds/1"),
     ("/builds/1/edit", "/builds/1/edit"), ("", "/"), ("//evil.example", "/"), ("/\\evil.example", "/"),
     ("https://evil.example/", "/"),
     ("/builds/1\r\nX: y", "/"), ("/\0", "/"), ("/" * 20_000, "/"), ("/castings/1/scrap", "/castings/1/scrap")],
)  # fmt: skip
def test_after_saying_who_the_sheet_is_open_again(bench: Bench, back: str, to: str) -> None:
    bench.metric()
    answer = bench.post("/who", {"initials": "AB", "back": back})
    assert (answer.status_code, answer.headers["location"]) == (303, to)
    assert bench.client.get(to).status_code == 200


def test_saying_who_from_a_refused_form(bench: Bench) -> None:
    """Without script a refused form's answer stands at an address that can only be sent to."""
    bench.metric()
    refused = bench.wish("W1", "yes bored")
    form = form_on(refused.text, "/who")
    answer = bench.post("/who", form.filled(initials="XY"))
    assert bench.client.get(answer.headers["location"]).status_code == 200
    cookies = SimpleCookie(answer.headers["set-cookie"])
    assert cookies["spokeshed_who"]["samesite"].lower() == "strict"


# --- in one go ---


FITS = {
    "bond": ({}, "19.08"),
    "press": ({"fit": "press", "fit_least": "0.005", "fit_most": "0.012"}, "19.042"),
    "shrink": ({"fit": "shrink", "fit_least": "0.005", "fit_most": "0.012"}, "19.042"),
}


@pytest.mark.parametrize("fit", FITS)
def test_a_second_wheel_is_fixed_and_quartered_in_one_go_whatever_the_fit(bench: Bench, fit: str) -> None:
    figures, bore = FITS[fit]
    bench.metric(**figures)
    bench.bored("W1", "W2", bore=f"{bore} mm")
    axle = partial(bench.send, "/axles/1", "/axles/1/ticks", wish="yes pressed_and_quartered")
    assert "fix the first wheel" in bench.refused(axle).text
    bench.tick("W2", "pressed")
    assert "No throw is logged for W2 and W1" in bench.refused(axle).text
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28").status_code == 303
    assert ("wish", "yes pressed_and_quartered") in form_on(bench.get("/axles/1"), "/axles/1/ticks").buttons
    asked = bench.refused(axle, 409).by_id["row-quartered"]
    assert "no heights of its crankpins are logged" in asked
    assert "second wheel of its axle" not in asked
    confirmed = partial(axle, wish="yes pressed_and_quartered confirmed", reason="in the fixture")
    assert confirmed().status_code == 303
    assert "pressed" in bench.ticks("W1")
    assert bench.one("SELECT count(*) FROM quartering") == 1
    for told, start in zip(
        bench.journal("W1")[-2:], ("Ticked pressed.", "Ticked axle 1 quartered."), strict=True
    ):
        assert told.startswith(start) and told.endswith("Reason given: in the fixture.")
    assert bench.one("SELECT reason FROM quartering") == "in the fixture"
    assert "Let pass: " in Words(bench.get("/axles/1")).text
    before = bench.dump()
    assert confirmed().status_code == 303
    assert bench.dump() == before


@pytest.mark.parametrize("fit", FITS)
def test_a_second_wheel_ticked_pressed_alone_is_asked_about(bench: Bench, fit: str) -> None:
    figures, bore = FITS[fit]
    bench.metric(**figures)
    bench.bored("W1", "W2", bore=f"{bore} mm")
    assert "second wheel" not in bench.refused(partial(bench.wish, "W1", "yes pressed"), 409).text
    bench.tick("W1", "pressed")
    words = bench.refused(partial(bench.wish, "W2", "yes pressed"), 409).text
    assert "W2 is the second wheel of its axle: quarter it as it goes on" in words


def test_in_one_go_a_doubtful_fit_still_asks(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1")
    bench.bored("W2", bore="19.4")
    bench.tick("W1", "pressed")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28").status_code == 303
    axle = partial(bench.send, "/axles/1", "/axles/1/ticks")
    asked = bench.refused(partial(axle, wish="yes pressed_and_quartered"), 409)
    # One yes covers all that was said, and nothing else.
    for words in ("too wide for the bond", "No seat is measured for W2", "no heights of its crankpins"):
        assert words in asked.text
    assert axle(wish="yes pressed_and_quartered confirmed").status_code == 303
    assert "too wide for the bond" in bench.journal("W2")[-2]


def test_a_reason_too_long_comes_back_as_typed(bench: Bench) -> None:
    bench.metric()
    bench.bored("W1")
    reason = "because " * 40
    answer = bench.wish("W1", "yes pressed confirmed", reason=reason)
    assert answer.status_code == 409
    assert reason.strip() in answer.text and "200" in Words(answer.text).by_id["reason-error"]
    assert "pressed" not in bench.ticks("W1")
    assert bench.wish("W1", "yes pressed confirmed", reason="  seats\tturned  to it ").status_code == 303
    assert bench.one("SELECT reason FROM tick WHERE key = 'pressed'") == "seats turned to it"


def test_a_wheel_that_came_off_is_not_quartered_when_it_is_back(bench: Bench) -> None:
    """Quartered holds for a fixing: taken off and fixed again, the cranks stand anyhow."""
    bench.metric()
    bench.quartered()
    assert bench.scrap("W1", confirmed="yes").status_code == 303
    assert bench.wish("W2", "no tread_turned").status_code == 303
    assert bench.wish("W2", "no pressed").status_code == 303
    bench.tick("W2", "pressed")
    assert bench.unscrap("W1").status_code == 303
    assert ("wish", "yes quartered") in form_on(bench.get("/axles/1"), "/axles/1/ticks").buttons


def test_initials_given_in_the_masthead_leave_the_page_and_what_is_typed_on_it(client: TestClient) -> None:
    answer = client.post("/who", data={"initials": "qr", "back": "/"}, headers=HX)
    assert answer.status_code == 200 and not is_whole(answer.text)
    assert 'value="QR"' in answer.text and 'hx-target="#who-now"' in answer.text
    assert 'value="QR"' in client.get("/").text
    wrong = client.post("/who", data={"initials": "too long", "back": "/"}, headers=HX)
    assert wrong.status_code == 422 and not is_whole(wrong.text)
    assert "one to four letters" in wrong.text and 'value="too long"' in wrong.text


def counted(row: str) -> str:
    """How many small steps of a stage are ticked, of how many, as its fold says."""
    found = re.search(r'<(?:summary|a class="steps-row")[^>]*>\s*(\d+/\d+|steps)\s*</(?:summary|a)>', row)
    assert found is not None, row
    return found[1]


def test_the_crankpin_hole_is_a_step_under_bored(bench: Bench) -> None:
    """Drilled once the wheel is bored, so it is listed and counted there; the key it is stored by stays."""
    bench.metric()
    bench.bored("W1")
    for page in ("/axles/1?steps=bored", "/castings/1?steps=bored"):
        html = bench.get(page)
        bored = html[html.index('id="row-bored"') : html.index('id="row-pressed"')]
        assert "Crankpin hole drilled" in bored and 'value="yes quartered.hole"' in bored
        assert bored.index("Reamed slowly") < bored.index("Crankpin hole drilled")
        assert counted(bored) == ("0/7" if page.startswith("/axles") else "steps") and "/1<" not in html
        # Quartering has no step of its own.
        quartered = html[html.index('id="row-quartered"') : html.index('id="row-tread_turned"')]
        assert "<summary" not in quartered and "steps-row" not in quartered
        # Its sheet is the axle's, to which the row leads from a casting's own.
        leads = (
            "/axles/1/quartering" in html if page.startswith("/axles/1") else 'href="/axles/1"' in quartered
        )
        assert leads
    assert bench.wish("W1", "yes quartered.hole").status_code == 303
    # Of an axle a step is counted once both wheels have it; of a stage that is done nobody counts any more.
    html = bench.get("/axles/1")
    assert counted(html[html.index('id="row-bored"') : html.index('id="row-pressed"')]) == "0/7"
    html = bench.get("/castings/1")
    assert counted(html[html.index('id="row-bored"') : html.index('id="row-pressed"')]) == "steps"
    swapped = bench.wish("W1", "no quartered.hole", hx=True)
    assert 'hx-target="#row-bored"' in swapped.text and "Crankpin hole drilled" in swapped.text
    asked = bench.refused(partial(bench.wish, "W3", "yes quartered.hole"))
    assert "W3 is not received, back faced and bored yet" in asked.text and "from the back" not in asked.text
    refused = bench.wish("W3", "yes quartered.hole").text
    assert 'href="#row-bored"' in refused and 'id="row-bored"' in refused


@pytest.mark.parametrize("fit", ["bond", "press", "shrink"])
def test_pressed_is_not_said_twice(bench: Bench, fit: str) -> None:
    figures = {} if fit == "bond" else {"fit_least": "0.005", "fit_most": "0.038"}
    bench.metric(fit=fit, **figures)
    html = bench.get("/axles/1")
    name = re.search(r'id="row-pressed".*?class="row-name"[^>]*>(.*?)</span>', html, re.S)
    assert name is not None
    words = " ".join(re.sub("<[^>]*>", "", name[1]).split())
    said = {"bond": "with compound", "press": "cold", "shrink": "hot"}[fit]
    assert words == f"Pressed, {said}"
    assert Words(html).by_id["tick-1-pressed"].startswith("W1 pressed")


def test_the_gauges_do_not_read_as_a_way_back(bench: Bench) -> None:
    bench.metric()
    for page in ("/axles/1", "/castings/1?steps=pressed"):
        html = bench.get(page)
        links = re.findall(r'href="/axles/1/gauges"[^>]*>([^<]*)<', html)
        assert links and all(one.split(":")[0].strip() == "Gauges" for one in links)


def second_wheel_due(bench: Bench) -> None:
    """W1 is on its axle; W2 is bored too wide, no seat is measured, and both throws are logged."""
    bench.metric()
    bench.bored("W1")
    bench.bored("W2", bore="19.4")
    bench.tick("W1", "pressed")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28").status_code == 303


def questions(html: str) -> list[str]:
    found = re.search(r'<ul class="questions">(.*?)</ul>', html, re.S)
    return re.findall("<li>(.*?)</li>", found[1], re.S) if found else []


def test_each_question_before_a_tick_is_a_line_of_its_own(bench: Bench) -> None:
    second_wheel_due(bench)
    for hx in (False, True):
        asked = questions(bench.wish("W2", "yes pressed", hx=hx).text)
        assert len(asked) >= 3 and len(set(asked)) == len(asked)
        assert asked[0].startswith("W2 is the second wheel of its axle")
        assert sum("too wide for the bond" in one for one in asked) == 1
        both = questions(
            bench.send("/axles/1", "/axles/1/ticks", hx=hx, wish="yes pressed_and_quartered").text
        )
        assert len([one for one in both if "no heights of its crankpins" in one]) == 1
        assert not any("too wide" in one and "heights" in one for one in both)
    # What is stored is the same, in one.
    assert bench.wish("W2", "yes pressed confirmed", reason="as asked").status_code == 303
    assert bench.one("SELECT let_pass FROM tick WHERE key = 'pressed' AND casting_id = 2") == " ".join(
        unescape(one) for one in asked
    )


def test_the_second_wheel_is_quartered_from_its_own_line(bench: Bench) -> None:
    """The axle's own row names the wheel, and its button belongs to the axle's form: so it works without script."""
    second_wheel_due(bench)
    html = bench.get("/axles/1")
    line = html[html.index('id="row-quartered"') : html.index('id="row-tread_turned"')]
    button = re.search(r'<button class="[^"]*" form="([^"]*)" id="[^"]*" name="wish"\s+value="([^"]*)"', line)
    assert button is not None
    assert button.groups() == ("ticks-axle-1", "yes pressed_and_quartered")
    assert "W2 fixed and the axle quartered, in one go" in Words(html).by_id["row-quartered"]
    assert len(re.findall('<form [^>]*id="ticks-axle-1"', html)) == 1
    assert html.count('form="ticks-axle-1"') == 1
    # A small step's answer brings back its own row alone.
    step = bench.send("/axles/1", "/castings/2/ticks", hx=True, wish="yes pressed.clean").text
    assert 'hx-target="#row-pressed"' in step and 'form="ticks-axle-1"' not in step
    # The casting's own sheet has no such form: it leads there.
    alone = bench.get("/castings/2")
    row = alone[alone.index('id="row-quartered"') : alone.index('id="row-tread_turned"')]
    assert "ticks-axle-1" not in alone and 'href="/axles/1"' in row


def test_what_stood_open_is_named_once_however_often_it_is_ticked(bench: Bench) -> None:
    bench.metric()
    kept = ""
    for turn in range(6):
        wish = "no received" if turn % 2 else "yes received"
        answer = bench.send("/castings/1", "/castings/1/ticks", hx=True, wish=wish, kept=kept)
        (kept,) = re.findall(r'id="kept" name="kept" value="([^"]*)"', answer.text)
    assert sorted(kept.split()) == sorted(set(kept.split()))
    assert "received" in kept.split()


def test_with_both_places_empty_no_small_step_is_done(bench: Bench) -> None:
    """Of no wheel nothing is done: it said 7/7."""
    bench.metric(axles="1", coupled="1", castings="2", marks="W1 W2")
    for mark in ("W1", "W2"):
        away = bench.form(f"/castings/{bench.id(mark)}", f"/castings/{bench.id(mark)}/spare").filled()
        assert bench.post(f"/castings/{bench.id(mark)}/spare", away).status_code == 303
    html = bench.get("/axles/1")
    assert counted(html[html.index('id="row-bored"') : html.index('id="row-pressed"')]) == "0/7"


def test_quartered_is_ticked_on_the_axle_and_no_box_elsewhere_looks_as_if_it_took_a_tap(bench: Bench) -> None:
    bench.metric()
    assert "axle-wide" in bench.get("/castings/1")
    assert _boxes_of_the_axle(bench.get("/castings/1")) == []
    bench.quartered()
    assert _boxes_of_the_axle(bench.get("/castings/1")) == ["box ticked"]


def _boxes_of_the_axle(page: str) -> list[str]:
    (own,) = re.findall(r'<p class="pair axle-wide">(.*?)</p>', page, re.S)
    return re.findall(r'class="(box[^"]*)"', own)
