"""Quartering as a setting through HTTP: one number a line, the way that is remembered, the clock of the open time.

Worked by hand: throws 28.01 and 28.02, sin 45 = 0.70711: 19.806 and 19.813 over the axle's centre.
"""

from __future__ import annotations

import re
from contextlib import closing
from datetime import UTC, datetime, timedelta
from html import unescape
from sqlite3 import connect

import pytest
from fastapi.testclient import TestClient

from domain.route.stages import COMPOUND_ON
from tests.webapp.scenes import Bench, FormOnPage, Words, form_on, forms_on
from webapp.db import Db
from webapp.facts.assembly import list_asked
from webapp.facts.before_tick import TOGETHER, objection_to_axle
from webapp.facts.facts import facts_of
from webapp.records.builds import load_build
from webapp.records.views import BuildView

SHEET = "/axles/1/setting"
LIES = "axle=60&axle_diameter=&pin_diameter=&stands=&touched=19.05&instrument_id="


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """The left wheel bonded on; the right one bored and drilled, and waiting for its compound."""
    found = Bench(client, db).sit_down()
    found.metric(curing=True)
    found.bored("W1", "W2")
    found.log("W1", "throw", "28.01 mm")
    found.log("W2", "throw", "28.02 mm")
    found.seats()
    found.tick("W1", "pressed")
    return found


def said(bench: Bench, asked: str = "") -> str:
    return Words(bench.whole(f"{SHEET}?{asked}" if asked else SHEET)).text


def numbers(bench: Bench, asked: str = "") -> list[tuple[str, str]]:
    """Each line: its words, and its figure."""
    html = bench.get(f"{SHEET}?{asked}" if asked else SHEET)
    lines = html.partition('<dl class="setting-lines">')[2].partition("</dl>")[0]
    found = re.findall(r"<dt>(.*?)</dt>\s*<dd>([\d.]+) ", lines, re.DOTALL)
    return [(Words(words).text, figure) for words, figure in found]


def press(bench: Bench, what: str, /, asked: str = "", **changes: object) -> str:
    """Send one of the sheet's forms; what the sheet then says."""
    form = bench.form(f"{SHEET}?{asked}" if asked else SHEET, f"{SHEET}/{what}")
    answer = bench.post(f"{SHEET}/{what}", form.filled(**changes))
    assert answer.status_code == 303, Words(answer.text).text
    return Words(bench.get(answer.headers["location"])).text


def began(bench: Bench, mark: str = "W2") -> datetime | None:
    """When the compound went on by the data file."""
    rows = bench.rows("SELECT at FROM tick WHERE casting_id = ? AND key = ?", bench.id(mark), COMPOUND_ON)
    return datetime.fromisoformat(f"{rows[0][0]}Z") if rows else None


def put_on(bench: Bench, ago: timedelta) -> None:
    """The compound on the second wheel, so long ago."""
    at = (datetime.now(UTC) - ago).strftime("%Y-%m-%d %H:%M:%S.%f")
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute(
            "INSERT INTO tick (casting_id, key, at, who) VALUES (?, ?, ?, 'AB')",
            (bench.id("W2"), COMPOUND_ON, at),
        )


# ---- The numbers -----------------------------------------------------------------------------------


def test_each_pin_with_its_own_throw_one_number_a_line(bench: Bench) -> None:
    # Nothing is known of the plate: they count from the axle's own centre, the fast one first.
    assert numbers(bench) == [
        ("W1 left pin behind: roll the axle and clamp it, centre below the axle's", "19.806"),
        ("W2 right pin behind: turn the wheel, centre above the axle's", "19.813"),
    ]
    assert numbers(bench, "axle=60") == [
        ("W1 left pin behind: roll the axle and clamp it, to its centre", "40.194"),
        ("W2 right pin behind: turn the wheel, to its centre", "79.813"),
    ]
    # Over its top the axle's centre is half its diameter lower, and over a pin half the pin's is added.
    over = numbers(bench, "axle=69.525&axle_diameter=19.05&pin_diameter=8")
    assert [figure for _, figure in over] == ["44.194", "83.813"]
    assert "over the pin, diameter 8.000 mm" in over[0][0]


def test_set_so_and_logged_it_is_judged_the_angle_wanted(bench: Bench) -> None:
    left, right = (figure for _, figure in numbers(bench, "axle=60"))
    page = "/axles/1/quartering"
    heights = {"axle_way": "centre", "axle": "60", "left_way": "centre", "left": left, "left_branch": "rear",
               "right_way": "centre", "right": right, "right_branch": "rear", "expanded": "0.002"}  # fmt: skip
    assert bench.send(f"{page}?open=log", page, **heights).status_code == 303
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    found = facts_of(build).quartering.of(build.axles[0])
    assert found.sheet is not None and abs(found.sheet.quarter.departure_deg) < 0.002


def test_the_other_pin_follows_one_that_was_clamped_a_little_off(bench: Bench) -> None:
    # sin e = 20.5 / 28.01, e = 47.045: the other is at 42.955, 28.02 sin 42.955 = 19.0937.
    (_, first), (_, second) = numbers(bench, "axle=60&stands=80.5")
    assert (first, second) == ("80.500", "79.094")
    answer = bench.client.get(f"{SHEET}?axle=60&stands=95")
    assert answer.status_code == 422
    assert "further from the axle's height than its throw" in Words(answer.text).at("stands")
    answer = bench.client.get(f"{SHEET}?stands=80")
    assert answer.status_code == 422 and "type that too" in Words(answer.text).at("axle")


def test_as_the_instrument_at_hand_shows_it(bench: Bench) -> None:
    page = "/workshop/instruments/new"
    tool = {"name": "Height gauge", "kind": "value", "reach": "outside", "resolution": "0.02 mm", "expanded": "0.04 mm",
            "zero_offset": "0.1 mm"}  # fmt: skip
    assert bench.send(page, page, **tool).status_code == 303
    own = bench.one("SELECT id FROM instrument WHERE name = 'Height gauge'")
    # The axle reads 0.1 high and so do the pins; to its own step of 0.02.
    found = numbers(bench, f"axle=60.1&instrument_id={own}")
    assert [figure for _, figure in found] == ["40.300", "79.920"]
    assert (
        "0.020 mm (0.0008 in) of height is 0.06 degrees here. Read with Height gauge, its zero counted."
        in said(bench, f"axle=60.1&instrument_id={own}")
    )


def test_stop_and_square_and_it_is_remembered_for_the_build(bench: Bench) -> None:
    press(bench, "way", way="stop")
    assert bench.one("SELECT text FROM work_figure WHERE key = 'quarter_way'") == "stop"
    assert bench.journal()[-1] == "Changed cuts and allowances: how the pins are set now stop and square."
    assert "Type the diameters that square and stop touch" in said(bench)
    # (19.05 - 8) / 2, and 60 - 8 / 2.
    assert numbers(bench, "axle=60&pin_diameter=8&touched=19.05") == [
        ("W1 left straight up by the square: packing between blade and pin", "5.525"),
        ("W2 right in front: resting on a stop, its top over the plate", "56.000"),
    ]
    # The other axle is set the same way.
    assert 'value="stop"\naria-pressed="true"' in bench.get("/axles/2/setting")


def test_a_jig_and_what_the_address_knows_stays(bench: Bench) -> None:
    form = bench.form(f"{SHEET}?{LIES}", f"{SHEET}/way")
    answer = bench.post(f"{SHEET}/way", form.filled(way="jig"))
    assert answer.headers["location"].startswith(f"{SHEET}?") and "axle=60" in answer.headers["location"]
    # sqrt(28.01^2 + 28.02^2)
    assert [figure for _, figure in numbers(bench)] == ["28.010", "28.020", "39.619"]
    assert "The angle is the jig's own, and must be 90 degrees" in said(bench)
    answer = bench.post(f"{SHEET}/way", form.filled(way="luck", token=""))
    assert answer.status_code == 422 and "Choose a way from the list." in answer.text


@pytest.mark.parametrize(
    ("asked", "field", "words"),
    [
        ("axle=high", "axle", "high"),
        ("axle=-3", "axle", "-3"),
        ("pin_diameter=0", "pin_diameter", "more than nothing"),
        ("axle=60&axle_diameter=200", "axle", "more than half the diameter"),
        ("axle=60&axle_diameter=wide", "axle_diameter", "wide"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(bench: Bench, asked: str, field: str, words: str) -> None:
    answer = bench.client.get(f"{SHEET}?{asked}")
    assert answer.status_code == 422
    assert words in Words(answer.text).at(field), Words(answer.text).text


def test_nothing_to_set(bench: Bench) -> None:
    own = bench.id("W3")
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute(
            "UPDATE casting SET state = 'spare', axle_id = NULL, side = NULL WHERE id = ?", (own,)
        )
    assert "a setting needs both wheels" in Words(bench.get("/axles/2/setting")).text
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("UPDATE pattern SET kind = 'carrying'")
    assert "carries only" in Words(bench.get("/axles/2/setting")).text


# ---- The clock -------------------------------------------------------------------------------------


def test_one_tap_begins_it_and_any_page_shows_it(bench: Bench) -> None:
    assert "it may then be turned for 5 minutes (a placeholder until the data sheet says" in said(bench)
    before = datetime.now(UTC)
    text = press(bench, "compound", asked=LIES)
    at = began(bench)
    assert at is not None and before - timedelta(seconds=1) <= at <= datetime.now(UTC)
    until = (at + timedelta(minutes=5)).astimezone()
    assert f"The wheel may be turned until {until:%H:%M:%S}." in text
    # Its length is that of the program's clock, whatever the tablet's says; and another tablet is told the same.
    html = bench.get(SHEET)
    ends, now = (int(re.search(rf'data-{one}="(\d+)"', html)[1]) for one in ("ends", "now"))  # type: ignore[index]
    assert ends == round((at + timedelta(minutes=5)).timestamp() * 1000)
    assert 290_000 < ends - now <= 300_000
    assert f"compound on for W2 at {at.astimezone():%H:%M:%S}" in bench.journal("W2")[-1]
    assert "compound on" in bench.journal("W1")[-1]


def test_over_is_said_plainly_and_it_may_begin_again(bench: Bench) -> None:
    put_on(bench, timedelta(minutes=6))
    html = bench.get(SHEET)
    text = Words(html).text
    assert "Over: turn W2 no more" in text and "The open time is over since " in text
    assert re.search(r"data-left hidden>", html) and not re.search(r"data-over[^>]* hidden", html)
    old = began(bench)
    press(bench, "compound")
    now = began(bench)
    assert old is not None and now is not None and now - old > timedelta(minutes=5)


def test_its_own_time_from_the_data_sheet(bench: Bench) -> None:
    page = "/builds/1/joints"
    assert bench.send(page, page, open_time="12 min").status_code == 303
    put_on(bench, timedelta(minutes=6))
    assert "The wheel may be turned until" in said(bench) and "12 minutes, as typed for this build" in said(
        bench
    )
    answer = bench.send(page, page, open_time="90 min", handling="1 h")
    assert answer.status_code == 422 and "Once it may be handled it has set" in Words(answer.text).at(
        "open_time"
    )
    # A compound that is handled sooner than the placeholder says is not to be turned for longer than that.
    assert bench.send(page, page, open_time="", handling="3 min").status_code == 303
    assert "3 minutes, a placeholder until the data sheet says" in said(bench)


def test_it_went_on_earlier_and_never_later(bench: Bench) -> None:
    now = datetime.now().astimezone()
    earlier = now - timedelta(minutes=3)
    press(bench, "compound", on_at=f"{earlier:%H:%M}")
    at = began(bench)
    assert at is not None and at.astimezone() == earlier.replace(second=0, microsecond=0)
    later = now + timedelta(hours=1)
    form = bench.form(SHEET, f"{SHEET}/no-compound")
    sent = {**form.fields, "on_at": f"{later:%H:%M}"}
    answer = bench.post(f"{SHEET}/compound", sent)
    assert answer.status_code == 422
    assert f"{later:%H:%M} is still to come" in Words(answer.text).at("on_at")
    assert f'value="{later:%H:%M}"' in answer.text and began(bench) == at
    for text in ("soon", "25:10", "7", "20:14:00", "9" * 50):
        answer = bench.post(f"{SHEET}/compound", {**form.fields, "on_at": text})
        assert answer.status_code == 422 and Words(answer.text).at("on_at")
    assert began(bench) == at


def test_a_clock_that_was_set_back_tells_nothing(bench: Bench) -> None:
    put_on(bench, -timedelta(minutes=30))
    html = bench.get(SHEET)
    assert "Cannot tell: by this machine's clock the compound went on at" in Words(html).text
    assert "data-ends" not in html


def test_a_tap_that_was_kept_on_its_tablet_counts_from_then(bench: Bench) -> None:
    then = datetime.now(UTC) - timedelta(minutes=2)
    moment = f"{then:%Y-%m-%dT%H:%M:%S}.000Z"
    press(bench, "compound", device_at=moment)
    at = began(bench)
    assert at == then.replace(microsecond=0)
    # One whose clock is ahead cannot put it off.
    press(bench, "compound", device_at=f"{then + timedelta(days=2):%Y-%m-%dT%H:%M:%S}.000Z")
    at = began(bench)
    assert at is not None and at <= datetime.now(UTC)


def asked_of(bench: Bench) -> tuple[Words, FormOnPage]:
    """What a tap on the compound is asked, with nothing stored; and the form that says yes to it."""
    form = bench.form(SHEET, f"{SHEET}/compound")
    page = bench.refused(lambda: bench.post(f"{SHEET}/compound", form.fields), 409)
    answer = bench.post(f"{SHEET}/compound", form.fields)
    return page, next(
        one for one in forms_on(answer.text) if ("wish", "yes compound confirmed") in one.buttons
    )


def test_before_the_clock_begins_it_asks_what_the_tick_will_ask(bench: Bench) -> None:
    """The list and a throw that is not measured; the heights are set while it is wet, so only the tick asks of them."""
    card = "/axles/1/assembly"
    for kind in ("axlebox", "spacer"):
        seen = str(bench.one("SELECT version FROM axle WHERE id = 1"))
        assert bench.post(f"{card}/list", {"seen": seen, "starter": kind}).status_code == 303
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute(
            "DELETE FROM measurement WHERE kind = 'throw' AND casting_id = ?", (bench.id("W2"),)
        )
    bench.db.forget_held()
    page, form = asked_of(bench)
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    tick = objection_to_axle(build, build.axles[0], TOGETHER)
    assert tick is not None and "No throw is logged for W2" in tick.words and tick.words in page.text
    (on_list,) = (words for words in list_words(build) if words)
    assert "axlebox" in on_list and "spacer" in on_list and on_list in page.text
    assert "heights" not in page.text.split("Are you sure?")[1].split("nothing is stored")[0]
    # Whoever is asked has one way on, and one to the list.
    assert "/axles/1/assembly#list" in bench.post(f"{SHEET}/compound", form.filled(wish="")).text
    # A yes starts the clock from the tap that was asked about, and what was let pass is told with its reason.
    now = datetime.now(UTC)
    asked_at = datetime.fromisoformat(form.fields["tapped"][0])
    assert now - timedelta(minutes=1) < asked_at <= now
    then = now.replace(microsecond=0) - timedelta(seconds=40)
    sent = form.filled(
        wish="yes compound confirmed", tapped=f"{then:%Y-%m-%dT%H:%M:%S}.000Z", reason="they are split"
    )
    assert bench.post(f"{SHEET}/compound", sent).status_code == 303
    assert began(bench) == then
    said = bench.journal("W2")[-1]
    assert "Let pass: No throw is logged for W2" in said and on_list in said
    assert said.endswith("Reason given: they are split.")


def list_words(build: BuildView) -> list[str]:
    """What is asked of the list as the right wheel is fixed now."""
    second = build.axles[0].right
    return [list_asked(build, second, "pressed", datetime.now(UTC))] if second else []


def test_stopped_where_nothing_went_on(bench: Bench) -> None:
    press(bench, "compound")
    assert "Compound on" in press(bench, "no-compound")
    assert began(bench) is None
    assert "the clock is stopped" in bench.journal("W2")[-1]


def test_a_page_that_is_old_begins_nothing_anew(bench: Bench) -> None:
    old = bench.form(SHEET, f"{SHEET}/compound")
    press(bench, "compound")
    at = began(bench)
    answer = bench.post(f"{SHEET}/compound", old.fields)
    assert answer.status_code == 409 and "Changed meanwhile" in answer.text
    assert began(bench) == at


def test_only_a_wheel_that_is_bonded_on_has_a_clock(bench: Bench) -> None:
    old = bench.form(SHEET, f"{SHEET}/compound")
    bench.tick("W2", "pressed")
    assert all("compound" not in form.action for form in forms_on(bench.get(SHEET)))
    answer = bench.post(
        f"{SHEET}/compound", {**old.fields, "seen": str(bench.one("SELECT version FROM axle WHERE id = 1"))}
    )
    assert answer.status_code == 422 and "No wheel of this axle waits for its compound" in answer.text
    assert began(bench) is None
    # Pressed on, there is none either.
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("DELETE FROM tick WHERE casting_id = ? AND key = 'pressed'", (bench.id("W2"),))
        connection.execute("UPDATE build SET fit = 'press'")
    assert all("compound" not in form.action for form in forms_on(bench.get(SHEET)))
    assert len(numbers(bench)) == 2


def test_nobody_said_who(bench: Bench) -> None:
    bench.client.cookies.clear()
    form = bench.form(SHEET, f"{SHEET}/compound")
    answer = bench.post(f"{SHEET}/compound", form.fields)
    assert answer.status_code == 422 and "Who is at the bench?" in answer.text and began(bench) is None
    again = form_on(answer.text, f"{SHEET}/compound")
    assert bench.post(f"{SHEET}/compound", again.filled(who="CD")).status_code == 303
    assert began(bench) is not None


def test_the_link_to_the_check_ends_at_the_open_field(bench: Bench) -> None:
    html = bench.get(SHEET)
    link = re.search(r'href="(/axles/1/quartering\?open=log[^"#]*)#axle"', html)
    assert link and re.search(r'<input id="axle"', bench.get(unescape(link[1])))


def test_the_clock_travels_with_the_build(bench: Bench) -> None:
    press(bench, "compound")
    document = bench.client.get("/builds/1/export/build.json").json()
    ticks = next(one["ticks"] for one in document["build"]["castings"] if one["mark"] == "W2")
    assert COMPOUND_ON in [tick["key"] for tick in ticks]


def on_to_heights(bench: Bench, asked: str) -> FormOnPage:
    """The form of the heights as the setting sheet's link opens it."""
    link = re.search(r'href="(/axles/1/quartering\?open=log[^"#]*)#axle"', bench.get(f"{SHEET}?{asked}"))
    assert link is not None
    return form_on(bench.get(unescape(link[1])), "/axles/1/quartering")


def test_the_axle_as_it_lies_goes_on_to_the_heights(bench: Bench) -> None:
    """What was typed for the setting is not asked again, and the pins stand where they were set to."""
    form = on_to_heights(bench, "axle=60&axle_diameter=19.05&pin_diameter=9.5&stands=&touched=")
    assert (form.fields["axle"], form.fields["axle_diameter"]) == (["60"], ["19.05"])
    assert form.fields["axle_way"] == ["over"]
    for side, stood in (("right", "rear"), ("left", "rear")):
        assert form.fields[f"{side}_branch"] == [stood]
        assert (form.fields[f"{side}_way"], form.fields[f"{side}_diameter"]) == (["over"], ["9.5"])


def test_heights_over_the_pins_as_the_setting_said_are_a_quarter(bench: Bench) -> None:
    """The setting's own numbers, typed as they stand, are ninety degrees."""
    asked = "axle=60&axle_diameter=&pin_diameter=9.5&stands=&touched="
    (first, one), (_, other) = numbers(bench, asked)
    left, right = (one, other) if first.startswith("W1") else (other, one)
    answer = bench.post("/axles/1/quartering", on_to_heights(bench, asked).filled(left=left, right=right))
    assert answer.status_code == 303, Words(answer.text).text
    assert "90.00°" in Words(bench.get("/axles/1/quartering")).text


def test_a_jig_or_a_stop_does_not_say_where_the_pins_lie_as_they_are_read(bench: Bench) -> None:
    press(bench, "way", way="stop")
    form = on_to_heights(bench, "axle=60&axle_diameter=&pin_diameter=9.5&stands=&touched=19.05")
    assert not form.fields.get("left_branch") and form.fields["left_diameter"] == ["9.5"]


def test_one_way_to_lay_the_axle_on_every_sheet(bench: Bench) -> None:
    """What the setting says is what the axle's sheet has for its choice, and what the quartering calls the surest."""
    assert all(" behind" in words for words, _ in numbers(bench))
    due = Words(bench.get("/axles/1?due=heights")).text
    assert "Best both behind, the right centre 19.813 mm above the axle's." in due
    surest = Words(bench.whole("/axles/1/quartering")).text.split("Surest")[1]
    assert surest.index("the right pin behind the axle") < surest.index("the left pin behind the axle") < 300


def test_set_anew_the_pins_are_logged_where_they_were_set(bench: Bench) -> None:
    """Not where they stood when the axle was read before."""
    bench.heights(1, 60_000_000, 79_806_061, 79_813_132, at="2099-01-01 10:00:00.000000")
    form = on_to_heights(bench, "axle=60")
    assert form.fields["right_branch"] == ["rear"]


def test_set_anew_what_was_typed_at_the_setting_is_proposed_and_said_to_be(bench: Bench) -> None:
    """Also where the axle was measured before: of then only what it was read with stays, and no pin's old height."""
    bench.heights(1, 61_000_000, 79_806_061, 79_813_132, at="2099-01-01 10:00:00.000000")
    before = bench.get("/axles/1/quartering?open=log")
    assert "Proposed" not in before
    asked = "axle=69.525&axle_diameter=19.05&pin_diameter=9.5&stands=44.9&touched="
    form = on_to_heights(bench, asked)
    assert [form.fields[name] for name in ("axle", "axle_way", "axle_diameter")] == [
        ["69.525"],
        ["over"],
        ["19.05"],
    ]
    # The left pin is fast: its reading is its height; the right one's is still to be read.
    assert [form.fields[name] for name in ("left", "right")] == [["44.9"], [""]]
    assert [form.fields[f"{side}_diameter"] for side in ("left", "right")] == [["9.5"], ["9.5"]]
    link = re.search(r'href="(/axles/1/quartering\?open=log[^"#]*)#axle"', bench.get(f"{SHEET}?{asked}"))
    assert link is not None
    page = bench.get(unescape(link[1]))
    for name in ("axle", "axle_diameter", "left", "left_diameter", "right_diameter"):
        after = page[page.index(f'id="{name}" name="{name}"') :]
        assert "Proposed, as it was set." in after[: after.index("</div>")], name
    own = page[page.index('id="right" name="right"') :]
    assert "Proposed" not in own[: own.index("</div>")]
    # What is refused comes back as typed, and is no proposal any more.
    refused = bench.post("/axles/1/quartering", form.filled(right="x"))
    assert refused.status_code == 422 and "Proposed" not in refused.text


def test_the_diameter_that_a_height_is_read_over_has_one_name(bench: Bench) -> None:
    pages = [
        bench.get("/axles/1?due=heights"),
        bench.get(f"{SHEET}?open=plate"),
        bench.get("/axles/1/quartering?open=log"),
    ]
    for page in pages:
        assert re.search(r"[Aa]xle diameter, if over it</label>", page)
        assert re.search(r"[Pp]in diameter, if over it</label>", page)
        labels = re.findall(r"<label[^>]*>([^<]*)</label>", page)
        assert not [one for one in labels if "dia." in one or "iameter of" in one or one.startswith("Over ")]
