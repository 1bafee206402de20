"""Quartering through HTTP.

The figures worked by hand: throw 22.225, axle 60. asin(15.80/22.225) = 45.3091, 180 - asin(15.62/22.225) = 135.3469:
90.04 degrees. There 0.01 mm of height is 0.01/(22.225 cos 45.3) rad = 0.0366 or 0.04 degrees at either pin.
"""

from __future__ import annotations

import math
import re
from contextlib import closing
from datetime import UTC, datetime
from functools import partial
from itertools import cycle, islice
from sqlite3 import connect

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from domain.route.stages import Stage
from tests.webapp.scenes import Bench, Words, form_on, forms_on, opened, sentences
from tests.webapp.test_never_5xx import NASTY
from webapp.db import Db
from webapp.drawing.parts import LINE
from webapp.facts.facts import facts_of
from webapp.records.builds import load_build
from webapp.records.views import BuildView
from webapp.sheets.cranks.drawing_quartering import AXLE_X, AXLE_Y, REACH, PinAt, end_on

GIVEN = {
    "axle_way": "centre", "axle": "60", "right_way": "centre", "right": "75.80", "right_branch": "front",
    "left_way": "centre", "left": "75.62", "left_branch": "rear", "expanded": "",
}  # fmt: skip
SHEET = "/axles/1/quartering"
LOG = f"{SHEET}?open=log"
SET_UP = "SELECT m.* FROM measurement m WHERE kind = 'pin_heights'"
HEIGHTS = f"SELECT place, r.value, text, direction FROM ({SET_UP}) JOIN reading r ON id = measurement_id ORDER BY ordinal"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    found = Bench(client, db).sit_down()
    found.metric(throw="22.225")
    on_axles(found)
    return found


def on_axles(
    bench: Bench, marks: str = "W1 W2 W3 W4", *keys: str, at: str = "2026-01-01 10:00:00.000000"
) -> None:
    """Ticked as far as pressed, without the evenings between."""
    with closing(connect(bench.db.path)) as connection, connection:
        for own in map(bench.id, marks.split()):
            for key in keys or ("received", "back_faced", "bored", "pressed"):
                connection.execute(
                    "INSERT INTO tick (casting_id, key, at, who) VALUES (?, ?, ?, 'AB')", (own, key, at)
                )


def off_axle(bench: Bench, *marks: str) -> None:
    """Off their axles again, still bored."""
    with closing(connect(bench.db.path)) as connection, connection:
        for own in map(bench.id, marks):
            connection.execute("DELETE FROM tick WHERE casting_id = ? AND key = 'pressed'", (own,))


def send(bench: Bench, axle: int = 1, /, **changes: object) -> Response:
    page = f"/axles/{axle}/quartering"
    return bench.send(opened(page, "log"), page, **{**GIVEN, **changes})


def taken(bench: Bench, axle: int = 1, /, **changes: object) -> str:
    answer = send(bench, axle, **changes)
    assert answer.status_code == 303, Words(answer.text).text
    assert answer.headers["location"] == f"/axles/{axle}/quartering#result"
    return said(bench, f"/axles/{axle}/quartering")


def said(bench: Bench, page: str = SHEET) -> str:
    return " ".join(Words(bench.whole(page)).text.split())


def built(bench: Bench) -> BuildView:
    with bench.db.read() as session:
        found = load_build(session, 1)
    assert found is not None
    return found


def figures(bench: Bench, **texts: str) -> None:
    form = form_on(bench.get("/builds/1/figures"), "/builds/1/figures")
    assert bench.post("/builds/1/figures", form.filled(**texts)).status_code == 303


# ---- What the sheet says --------------------------------------------------------------------------


def test_the_figures_worked_by_hand(bench: Bench) -> None:
    text = taken(bench)
    assert "Good" in text and "90.04°" in text and "wanted 90°" in text
    assert "The right pin is 90.04 degrees ahead of the left one, 0.04 degrees more than wanted" in text
    assert "Wrong lead" not in text
    assert "0.010 mm (0.0004 in) of height is 0.04 degrees here" in text
    build = built(bench)
    found = facts_of(build).quartering.of(build.axles[0])
    assert found.sheet is not None
    assert found.sheet.quarter.angle_deg == pytest.approx(90.0378, abs=5e-5)
    assert found.sheet.quarter.expanded_deg == 0


def test_how_far_to_turn_in_angle_and_at_the_pin(bench: Bench) -> None:
    text = taken(bench, right="75.62", left="75.00", expanded="0.005")
    ahead = math.degrees(math.asin(15.62 / 22.225))
    behind = 180 - math.degrees(math.asin(15.00 / 22.225))
    off = behind - ahead - 90
    assert "No good" in text and f"{off:.2f} degrees more than wanted: outside 0.10 degrees" in text
    # Too far ahead: the right goes back, which seen from the right is anticlockwise; the left goes forwards, seen from
    # the left anticlockwise too.
    arc = f"{22.225 * math.radians(off):.3f} mm"
    assert (
        f"Seen from the right side, turn the right wheel anticlockwise (backwards) by {off:.2f} degrees, {arc}"
        in text
    )
    assert (
        f"Seen from the left side, turn the left wheel anticlockwise (forwards) by {off:.2f} degrees, {arc}"
        in text
    )
    assert "Both wheels are bonded on: a bond that has set must be broken" in text
    assert "If the bond was broken to turn it: untick “Pressed”, bond again and tick it" in text
    assert "Where both wheels may be turned, turn one of them and not both" in text
    then = 60 + 22.225 * math.sin(math.radians(behind - off))
    assert f"the pin goes from 75.000 mm (2.9528 in) to {then:.3f} mm" in text


def test_only_the_loose_wheel_is_turned(bench: Bench) -> None:
    off_axle(bench, "W2")
    bench.log("W1", "throw", "22.225 mm")
    bench.log("W2", "throw", "22.225 mm")
    text = taken(bench, left="75.00")
    assert "cure clock" not in text
    assert "W1 is on its axle, so turn W2 on the right, before the compound sets." in text
    assert "turn the right wheel" in text and "turn the left wheel" not in text
    on_axles(bench, "W2", Stage.PRESSED.value, at=datetime.now(UTC).strftime("%Y-%m-%d %H:%M:%S.%f"))
    assert "Measured before W2 was last ticked “Pressed”: measure again." in said(bench)
    text = taken(bench, left="75.00")
    assert "turn the right wheel" in text and "turn the left wheel" in text


def test_how_sure_an_angle_is_is_not_made_up(bench: Bench) -> None:
    """With no instrument and nothing said, nobody knows: so on the axle's sheet and on that of all axles."""
    text = taken(bench, expanded="", instrument_id="")
    assert "how sure is not known, wanted 90" in text and "± 0.00" not in text
    every = said(bench, "/builds/1/quartering")
    assert "how sure is not known" in every and "± 0.00" not in every


def test_cannot_tell_and_what_would_settle_it(bench: Bench) -> None:
    # U: two pins at about 0.04 degrees for 0.01 each, and the axle's own goes out but for a hair: 0.0734 for 0.01.
    text = taken(bench, expanded="0.02")
    assert "Cannot tell" in text and "one cannot tell whether that is within 0.10 degrees" in text
    slopes = [1 / (22.225 * math.cos(math.asin(d / 22.225))) for d in (15.80, 15.62)]
    wide = math.degrees(math.hypot(slopes[0] * 0.02, slopes[1] * 0.02, sum(slopes) * 0.02))
    assert f"± {wide:.2f}°" in text
    settles = (0.1 - 0.037823) / 0.825
    assert f"An uncertainty of {math.floor(settles * 100) / 100:.2f} degrees or less would settle it." in text


def test_height_over_the_tops(bench: Bench) -> None:
    over = {
        "axle_way": "over", "axle": "69.525", "axle_diameter": "19.05", "right_way": "over", "right": "80.5625",
        "right_diameter": "9.525", "left_way": "over", "left": "80.3825", "left_diameter": "9.525 mm", "expanded": "0.004",
    }  # fmt: skip
    text = taken(bench, **over)
    assert "90.04°" in text
    assert bench.rows(HEIGHTS) == [
        ("centre", 60_000_000, "69.525 mm over 19.05 mm", None),
        ("left", 75_620_000, "80.3825 mm over 9.525 mm", "rear"),
        ("right", 75_800_000, "80.5625 mm over 9.525 mm", "front"),
    ]
    # U of a centre: 0.004 of the height and half of 0.004 of the diameter, as squares: 0.0044721, rounded up.
    assert bench.rows(f"SELECT value, expanded FROM ({SET_UP})") == [(None, 4_473)]
    form = form_on(bench.get(LOG), SHEET)
    assert form.fields["axle_way"] == ["over"] and form.fields["axle_diameter"] == ["19.05 mm"]
    assert form.fields["right"] == ["80.5625 mm"] and form.fields["left_branch"] == ["rear"]


def test_an_instrument_gives_uncertainty_and_zero(bench: Bench) -> None:
    page = form_on(bench.get("/workshop/instruments/new"), "/workshop/instruments/new")
    tool = page.filled(
        name="height gauge", kind="value", reach="outside", unit="mm", resolution="0.01", expanded="0.02",
        zero_offset="0.10",
    )  # fmt: skip
    answer = bench.post("/workshop/instruments/new", tool)
    assert answer.status_code == 303, Words(answer.text).text
    own = str(bench.one("SELECT id FROM instrument WHERE name = 'height gauge'"))
    text = taken(bench, instrument_id=own, axle="60.10", right="75.90", left="75.72")
    assert "90.04°" in text and "with height gauge." in text
    assert bench.rows(HEIGHTS)[2] == ("right", 75_800_000, "75.90 mm", "front")
    # At least the instrument's own 0.02.
    assert bench.one(f"SELECT expanded FROM ({SET_UP})") >= 20_000
    assert form_on(bench.get(LOG), SHEET).fields["instrument_id"] == [own]


def test_a_logged_throw_takes_the_drawings_place(bench: Bench) -> None:
    assert "22.225 mm (0.8750 in) by the drawing, taken as exact" in said(bench)
    bench.log("W2", "throw", "22.30 mm")
    text = taken(bench)
    angle = 180 - math.degrees(math.asin(15.62 / 22.225)) - math.degrees(math.asin(15.80 / 22.30))
    assert f"{angle:.2f}°" in text
    assert "22.300 mm (0.8780 in) as logged, taken as exact" in text


def test_how_to_lay_it_before_measuring(bench: Bench) -> None:
    text = said(bench)
    assert "15.715 mm (0.6187 in) above the axle's centre" in text  # 22.225 sin 45
    assert "Surest" in text and "over the plate;" not in text
    assert "75.716 mm" not in text
    text = taken(bench)
    assert "75.715 mm (2.9809 in) over the plate" in text  # 60 + 22.225 sin 45


def test_wrong_lead(bench: Bench) -> None:
    text = taken(bench, right_branch="rear", left_branch="front", right="75.62", left="75.80")
    assert "Wrong lead: the left pin is ahead" in text and "No good" in text
    assert "The left pin is 90.04 degrees ahead and should be behind" in text


def test_three_cylinders(bench: Bench) -> None:
    figures(bench, cylinders="3", inside_slope="8")
    text = said(bench)
    assert "the drawing says 90: change one of the two." in text
    # Right at 60 up from the front, left 120 behind it at 180; inside ahead of the right by 120 - 8, so at -52.
    heights = {side: 60 + 22.225 * math.sin(math.radians(at)) for side, at in (("right", 60), ("left", 180))}
    inside = 60 + 20.0 * math.sin(math.radians(60 - 112))
    text = taken(
        bench,
        **{side: f"{nm:.6f} mm" for side, nm in heights.items()},
        inside_way="centre",
        inside=f"{inside:.6f} mm",
        inside_branch="front",
        inside_throw="20 mm",
    )
    assert "120.00°" in text and "112.00°" in text and "Good: inside and right" in text
    assert bench.rows(HEIGHTS)[3][3] == "front"
    assert bench.rows(HEIGHTS)[4] == ("inside_throw", 20_000_000, "20 mm", None)
    words = bench.refused(partial(send, bench, inside=""))
    assert "The inside pin's height is empty" in words.at("inside")


# ---- What is stored -------------------------------------------------------------------------------


def test_what_is_stored_and_the_journal(bench: Bench) -> None:
    taken(bench, right="75.80 mm", expanded="0.01")
    assert bench.rows(
        f"SELECT axle_id, left_casting_id, right_casting_id, casting_id, expanded, unit, who FROM ({SET_UP})"
    ) == [(1, bench.id("W1"), bench.id("W2"), None, 10_000, "nm", "AB")]
    assert bench.rows(HEIGHTS) == [
        ("centre", 60_000_000, "60 mm", None),
        ("left", 75_620_000, "75.62 mm", "rear"),
        ("right", 75_800_000, "75.80 mm", "front"),
    ]
    for mark in ("W1", "W2"):
        assert sentences(
            bench.journal(mark), "Axle 1 measured in vee blocks: centre 60.000 mm (2.3622 in);",
            "right pin 75.800 mm (2.9843 in) at the front", "Right ahead of left by 90.04 degrees: cannot tell.",
        )  # fmt: skip
    assert "Axle 1 measured in vee blocks" in said(bench, "/axles/1/journal")


def test_another_wheel_in_a_place_makes_the_heights_count_for_nothing(bench: Bench) -> None:
    taken(bench)
    off_axle(bench, "W2")
    bench.scrap("W2")
    text = said(bench)
    assert "The right place of axle 1 is empty: a quarter angle needs both wheels." in text
    assert SHEET not in [form.action for form in forms_on(bench.get(SHEET))]
    bench.place(1, "right", "W5")
    on_axles(bench, "W5")
    assert "90.04°" not in said(bench) and "Log the heights" in said(bench)


def test_a_form_drawn_for_another_pair_is_out_of_date(bench: Bench) -> None:
    form = form_on(bench.get(LOG), SHEET).filled(**GIVEN)
    off_axle(bench, "W2")
    bench.scrap("W2")
    bench.place(1, "right", "W5")
    on_axles(bench, "W5")
    form["seen"] = str(bench.one("SELECT version FROM axle WHERE id = 1"))
    words = bench.refused(partial(bench.post, SHEET, form), 409)
    assert "out of date" in words.text


def test_out_of_date(bench: Bench) -> None:
    form = form_on(bench.get(LOG), SHEET).filled(**GIVEN)
    taken(bench)
    words = bench.refused(partial(bench.post, SHEET, form), 409)
    assert "AB changed this" in words.text and "Nothing of yours was stored" in words.text


def test_the_same_form_twice_is_stored_once(bench: Bench) -> None:
    form = form_on(bench.get(LOG), SHEET).filled(**GIVEN)
    assert bench.post(SHEET, form).status_code == 303
    assert bench.post(SHEET, form).status_code == 303
    assert bench.one(f"SELECT count(*) FROM ({SET_UP})") == 1


# ---- What is refused ------------------------------------------------------------------------------


REFUSED: tuple[tuple[dict[str, str], str, str], ...] = (
    (
        {"right": "82.30"},
        "right",
        "The right pin is 22.300 mm (0.8780 in) above the axle, more than its throw",
    ),
    ({"left": "82"}, "left", "past 75, where a height tells next to nothing: roll the axle until"),
    ({"left_branch": "front"}, "left_branch", "Both pins cannot be in front of the axle"),
    ({"left": ""}, "left", "The left pin's height is empty"),
    ({"axle": "nonsense"}, "axle", "nonsense"),
    ({"right": "-5"}, "right", "has a sign"),
    ({"right": "0"}, "right", "more than nothing"),
    ({"right": "4 m"}, "right", "no unit here"),
    ({"axle_way": "sideways"}, "axle_way", "Choose what you measured"),
    ({"right_branch": "up"}, "right_branch", "Choose where this pin stood"),
    ({"left_way": "over"}, "left_diameter", "Over the top the diameter belongs with it"),
    ({"axle_way": "over", "axle_diameter": "200"}, "axle", "more than half the diameter"),
    ({"expanded": "nan"}, "expanded", "nan"),
    ({"expanded": "5"}, "expanded", "tells no angle"),
    ({"instrument_id": "1", "expanded": "0.01"}, "expanded", "not both"),
    ({"instrument_id": "99"}, "instrument_id", "not in the workshop's list for this"),
    ({"instrument_id": "x"}, "instrument_id", "Choose the instrument from the list"),
    ({"who": "?"}, "who", "Who is at the bench?"),
)


def test_refused_beside_its_field(bench: Bench) -> None:
    for changes, field, words in REFUSED:
        found = bench.refused(partial(send, bench, **changes))
        assert words in found.at(field), (changes, found.at(field))


def test_what_was_typed_is_kept(bench: Bench) -> None:
    answer = send(bench, right="82.30", left_branch="rear")
    form = form_on(answer.text, SHEET)
    assert answer.status_code == 422
    assert form.fields["right"] == ["82.30"] and form.fields["left_branch"] == ["rear"]
    assert bench.post(SHEET, form.filled(right="75.80")).status_code == 303


def test_a_throw_logged_since_that_the_heights_do_not_reach(bench: Bench) -> None:
    taken(bench)
    bench.log("W2", "throw", "15.10 mm", meant="15100000")
    text = said(bench)
    assert "The stored heights give no angle any more" in text and "more than its throw of 15.100 mm" in text
    assert "more than its throw" in said(bench, "/builds/1/quartering")


def test_carrying_axle_and_what_does_not_exist(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(coupled="1")
    text = said(bench, "/axles/2/quartering")
    assert "Axle 2 carries only: it has no crankpins" in text
    seen = str(bench.one("SELECT version FROM axle WHERE id = 2"))
    fields = {**GIVEN, "seen": seen, "pair": f"{bench.id('W3')}-{bench.id('W4')}"}
    words = bench.refused(partial(bench.post, "/axles/2/quartering", fields))
    assert "carries only" in words.text
    for page in ("/axles/99/quartering", f"/axles/{2**62}/quartering", "/builds/99/quartering"):
        assert client.get(page).status_code == 404
    assert client.post("/axles/99/quartering", data=GIVEN).status_code == 404


def test_an_empty_place_takes_no_heights(bench: Bench) -> None:
    form = form_on(bench.get(LOG), SHEET).filled(**GIVEN)
    off_axle(bench, "W2")
    bench.scrap("W2")
    words = bench.refused(partial(bench.post, SHEET, form), 422, 409)
    assert "right place of axle 1 is empty" in words.text


def test_no_nonsense_breaks_it(bench: Bench) -> None:
    form = form_on(bench.get(LOG), SHEET)
    dealt = cycle(NASTY)
    for name in sorted({*form.fields, *form.choices}):
        for text in islice(dealt, 4):
            answer = bench.post(SHEET, {**form.fields, **GIVEN, name: text})
            assert answer.status_code in (303, 409, 422), (name, text)
    assert bench.post(SHEET, {}).status_code == 422


# ---- Whether the wheels are on their axle -----------------------------------------------------------


def test_no_heights_before_both_wheels_can_be_on_the_axle(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(throw="22.225")
    on_axles(bench, "W1 W2", "received")
    fields = {**GIVEN, "seen": "1", "pair": f"{bench.id('W1')}-{bench.id('W2')}"}
    words = "W1 and W2 are not on axle 1 yet: bond the first wheel on and tick it “Pressed”"
    assert words in said(bench) and words in said(bench, "/builds/1/quartering")
    assert f'href="/castings/{bench.id("W1")}"' in bench.get(SHEET)
    assert words in " ".join(bench.refused(partial(bench.post, SHEET, fields)).text.split())
    on_axles(bench, "W1", "back_faced", "bored", "pressed")
    assert "W2 is not on axle 1 yet: bore it first" in said(bench)
    bench.refused(partial(bench.post, SHEET, fields))
    on_axles(bench, "W2", "back_faced", "bored")
    assert "W2 is not on axle 1 yet: drill its crankpin hole and log its throw" in said(bench)
    bench.refused(partial(bench.post, SHEET, fields))
    # The hole drilled: quartered and bonded on in one go, with the drawing's throw where none is logged.
    on_axles(bench, "W2", "quartered.hole")
    assert "90.04°" in taken(bench)
    # Measured while the compound is wet, they stand once that is ticked in one go; not if the wheel is put on again.
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "22.225 mm").status_code == 303
    ticked = bench.send(
        "/axles/1", "/axles/1/ticks", wish="yes pressed_and_quartered confirmed", reason="set wet"
    )
    assert ticked.status_code == 303, Words(ticked.text).text
    assert "90.04°" in said(bench) and "measure again" not in said(bench)
    off_axle(bench, "W2")
    on_axles(bench, "W2", "pressed", at="2999-01-01 10:00:00.000000")
    assert "Measured before W2 was last ticked “Pressed”: measure again." in said(bench)


@pytest.mark.parametrize("fit", ["press", "shrink"])
def test_pressed_or_shrunk_it_is_measured_before_the_one_tick_that_asks_for_it(
    bench: Bench, fit: str
) -> None:
    """The second wheel of whatever fit is quartered as it is fixed: what the tick asks for can be logged before it."""
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("UPDATE build SET fit = ?", (fit,))
    off_axle(bench, "W1")
    off_axle(bench, "W2")
    assert f"{fit} the first wheel on and tick it “Pressed”" in said(bench)
    on_axles(bench, "W1", "pressed")
    for mark in ("W1", "W2"):
        bench.log(mark, "throw", "22.225 mm")
    tick = partial(bench.send, "/axles/1", "/axles/1/ticks", wish="yes pressed_and_quartered")
    assert "no heights of its crankpins are logged" in tick().text
    assert "90.04°" in taken(bench)
    assert "no heights of its crankpins are logged" not in tick().text
    assert tick(wish="yes pressed_and_quartered confirmed", reason="as it is").status_code == 303
    assert "90.04°" in said(bench) and "measure again" not in said(bench)


def test_with_a_quartering_jig_both_must_be_on(bench: Bench) -> None:
    assert bench.send("/builds/1/figures", "/builds/1/figures", pins="jig").status_code == 303
    off_axle(bench, "W2")
    bench.log("W2", "throw", "22.225 mm")
    assert "W2 is not on axle 1 yet: the heights of its crankpins can be measured when both" in said(bench)
    on_axles(bench, "W2", "pressed")
    assert "90.04°" in taken(bench)


def test_heights_from_before_a_wheel_was_put_on_again_are_old(bench: Bench) -> None:
    assert "cure clock starts again" in taken(bench)
    taken(bench, 2)
    off_axle(bench, "W4")
    on_axles(bench, "W4", "pressed", at="2999-01-01 10:00:00.000000")
    words = "Measured before W4 was last ticked “Pressed”: measure again."
    page = "/axles/2/quartering"
    text = said(bench, page)
    assert words in text and "90.04°" not in text
    # Nor do they stand in the form, to be sent again by a tap.
    assert not form_on(bench.get(opened(page, "log")), page).fields["left"][0]
    assert words in said(bench, "/builds/1/quartering")
    assert "quarter angle of axle 2: measured before W4 was last" in said(bench, "/builds/1/rods").replace(
        "Quarter", "quarter"
    )
    off_axle(bench, "W4")
    assert "W4 is not on axle 2 yet" in said(bench, "/builds/1/rods")
    assert "Quarter angle of axle 1" not in said(bench, "/builds/1/rods")


# ---- A refusal at the top -------------------------------------------------------------------------


def test_a_refusal_names_its_field_and_the_old_answer_is_small(bench: Bench) -> None:
    taken(bench)
    html = send(bench, right="82.30").text
    words, top = Words(html), html.split('role="alert"')[1].split("</div>")[0]
    assert '<a href="#right">Height of the right pin</a></li>' in top
    assert (
        words.at("right").startswith("The right pin is 22.300 mm")
        and html.count("The right pin is 22.300 mm") == 1
    )
    assert 'id="right"' in html and "good, 90.04°." in " ".join(words.by_id["before"].split())
    assert "result" not in words.by_id and html.index('id="before"') < html.index('id="heights"')
    html = send(bench, left_way="").text
    assert (
        '<a href="#left_way">What was measured at the left pin</a>' in html
        and '<fieldset class="choices" id="left_way" tabindex="-1"' in html
        and 'id="left_way-error"' in html
    )
    html = send(bench, left_branch="front").text
    assert "Both pins cannot be in front" in Words(html).by_id["branches-error"]


def test_every_refusal_at_the_top_leads_to_something_on_the_page(bench: Bench) -> None:
    for changes, _, _ in REFUSED:
        html = send(bench, **changes).text
        top = html.split('role="alert"')[1].split("</div>")[0]
        goals = re.findall(r'href="#([^"]+)"', top)
        assert goals and all(f'id="{goal}"' in html for goal in goals), (changes, goals)


def test_nobody_at_the_bench_and_an_impossible_height_are_said_together(bench: Bench) -> None:
    bench.client.cookies.clear()
    words = bench.refused(partial(send, bench, right="82.30", who=""))
    assert "more than its throw" in words.at("right") and words.at("who")


def test_the_form_stands_before_how_to_lay_the_axle(bench: Bench) -> None:
    for html in (bench.get(LOG), taken(bench) and bench.get(LOG)):
        assert html.index('id="heights"') < html.index('id="fold-lay"')


def test_the_turn_says_what_it_aims_at(bench: Bench) -> None:
    """Alone an axle is brought to the drawing's angle; with a fellow measured it is said what the rods ask."""
    taken(bench)
    assert "This brings it to" not in said(bench, opened(SHEET, "turn-nearer"))
    taken(bench, 2)
    again = said(bench, opened(SHEET, "turn-nearer"))
    assert "This brings it to the 90 degrees drawn. For the rods it may stay as it is." in again


# ---- All axles ------------------------------------------------------------------------------------


def test_all_axles_compared(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(throw="22.225", axles="3", coupled="1 2 3", castings="8")
    on_axles(bench, "W1 W2 W3 W4 W5 W6")
    page = "/builds/1/quartering"
    assert "No axle has an angle yet" in said(bench, page)

    def height(angle: float) -> str:
        return f"{60 + 22.225 * math.sin(math.radians(180 - 45 - angle)):.6f} mm"

    right = f"{60 + 22.225 * math.sin(math.radians(45)):.6f} mm"
    for axle, angle in ((1, 90.05), (2, 90.35)):
        taken(bench, axle, right=right, left=height(angle), expanded="0.0005 mm")
        if axle == 1:
            assert "log the angle of another one" in said(bench, page)
    taken(bench, 3, right=right, left=height(90.07), expanded="0.0005 mm")
    text = said(bench, page)
    assert "No good: the axles do not agree, 0.30°" in text
    # 22.225 x 0.29 degrees in radians
    order = "Axle 2: set its right wheel backwards by 0.29 degrees, 0.112 mm (0.0044 in) at the crankpin."
    assert f"{order} Then all agree within 0.02 degrees." in text
    working = said(bench, opened(page, "working-set"))
    assert "The axles lie within 0.30 degrees of each other" in working
    # 22.225 x 0.3 degrees in radians / (2 sqrt 2) = 0.041143, rounded up.
    assert "asks for 0.041 mm (0.0016 in) of length play in each rod" in working
    assert "A shared departure from the drawing does not bind the rods" in working
    rows = bench.get(page).split('<tr id="axle-')[1:]
    assert ["Set it again" in row for row in rows] == [False, True, False]
    assert "+0.35°" in rows[1] and "+0.29°" not in rows[1]
    # Its own sheet turns it as far, and not to 90.
    own = said(bench, "/axles/2/quartering")
    assert "(backwards) by 0.29 degrees, 0.112 mm (0.0044 in) at the crankpin" in own
    assert "So that it agrees with its fellows" in own and "by 0.35 degrees" not in own
    html = bench.get(page)
    assert 'href="/builds/1/rods"' in html and 'href="/axles/3/quartering"' in html
    # The correction logged, they agree.
    taken(bench, 2, right=right, left=height(90.06), expanded="0.0005 mm")
    text = said(bench, page)
    assert "Good: the axles agree" in text and "Set it again" not in text


def test_one_coupled_axle_and_a_wrong_lead(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(throw="22.225")
    on_axles(bench)
    taken(bench, 1)
    taken(bench, 2, right_branch="rear", left_branch="front", right="75.62", left="75.80")
    assert "Axle 2 has the other side ahead: put its lead right first." in said(bench, "/builds/1/quartering")
    bench.metric(coupled="1")
    assert "One coupled axle has no fellow to agree with" in said(bench, "/builds/2/quartering")


# ---- The picture ----------------------------------------------------------------------------------


def test_the_picture_puts_each_pin_where_it_stands() -> None:
    p = end_on(
        [
            PinAt("right", 45.0, 20_000_000, "75.8 mm (2.98 in)", "75.8 mm"),
            PinAt("left", 210.0, 10_000_000, "50 mm", "50 mm"),
        ]
    )
    right, left = p.pins
    assert right.x == pytest.approx(AXLE_X + REACH / math.sqrt(2), abs=0.1) and right.y < AXLE_Y
    assert left.x == pytest.approx(AXLE_X - REACH / 2 * math.cos(math.radians(30)), abs=0.1)
    assert left.y == pytest.approx(AXLE_Y + REACH / 4, abs=0.1)
    # Beside the pin one system, in the description both.
    assert right.said.lines == ("right pin", "75.8 mm")
    assert "right pin in front and above the axle, 75.8 mm (2.98 in)" in p.description
    assert "left pin behind and below the axle" in p.description


def test_words_of_two_pins_on_one_side_do_not_lie_over_each_other() -> None:
    p = end_on([PinAt("right", 10.0, 1, "a", "a"), PinAt("left", 20.0, 1, "b", "b")])
    assert abs(p.pins[0].said.y - p.pins[1].said.y) >= 2 * LINE
    assert [pin.side for pin in p.pins] == ["right", "left"]


# ---- What comes before the quartering -------------------------------------------------------------

CONFLICT = (
    "Cuts and allowances say three cylinders, which stand 120 degrees apart;"
    " the drawing says 90: change one of the two."
)


@pytest.mark.parametrize("page", [SHEET, "/builds/1/quartering"])
def test_cylinders_and_drawing_that_disagree_are_said_before_the_heights_are_blamed(
    bench: Bench, page: str
) -> None:
    taken(bench)
    assert 'id="odd"' not in bench.get(page)
    figures(bench, cylinders="3", inside_slope="0")
    html, text = bench.get(page), said(bench, page)
    assert CONFLICT in text and "read the heights again" not in text and ".." not in text
    assert "Not judged while cylinders and drawing do not agree" in text
    assert "No axle has an angle yet" not in text
    assert text.index(CONFLICT) < text.index("Not judged while")
    assert 'href="/builds/1/figures#quarter"' in html and 'href="/builds/1/edit"' in html


@pytest.mark.parametrize("page", [SHEET, "/builds/1/quartering"])
@pytest.mark.parametrize(("far", "unlike"), [("22.275", False), ("22.276", True)])
def test_throws_that_differ_come_first(bench: Bench, page: str, far: str, unlike: bool) -> None:
    """Alike up to 0.05 mm on one side of the engine."""
    for mark, throw in (("W1", "22.225"), ("W2", "22.225"), ("W3", far), ("W4", "22.225")):
        assert bench.log(mark, "throw", f"{throw} mm").status_code == 303
    taken(bench)
    # No rod is typed yet, so nothing is said of rods.
    words = "Take care: the left throws lie 0.051 mm (0.0020 in) apart, W3 longer than its fellows."
    words += " See to that first: breaking a bond does not mend it."
    assert (words in said(bench, page)) is unlike
    assert ('href="/builds/1/crankpins#throws"' in bench.get(page)) is unlike


def test_throws_that_differ_only_from_side_to_side_do_not_matter(bench: Bench) -> None:
    for mark, throw in (("W1", "22.225"), ("W2", "22.425"), ("W3", "22.225"), ("W4", "22.425")):
        assert bench.log(mark, "throw", f"{throw} mm").status_code == 303
    assert "throws lie" not in said(bench, "/builds/1/quartering")
    assert "Good: the sides differ, but each is alike in itself" in said(bench, "/builds/1/crankpins")
    assert 'data-answer="serves" id="alike"' in bench.get("/builds/1/crankpins")


# ---- What lies folded -----------------------------------------------------------------------------


def test_the_answer_stands_first_and_the_rest_is_asked_for(bench: Bench) -> None:
    on_axles(bench, "W1 W2", "painted.pin")
    assert "Not measured yet" in Words(bench.get(SHEET)).text
    taken(bench)
    html = bench.get(SHEET)
    page = Words(html).text
    assert page.index("Good: 90.04°") < page.index("Nothing needs turning.") < page.index("Measure again")
    assert "<table" not in html and SHEET not in [form.action for form in forms_on(html)]
    assert f'href="{LOG}#fold-log">Measure again' in html
    for name, words in (
        ("log", "Height of the axle over the plate"),
        ("turn-nearer", "turn the left wheel"),
        ("lay", "Roll it until both pins stand near 45 degrees"),
        ("pins", "Formula and numbers"),
        ("cautions", "clamp it in its vee blocks"),
    ):
        assert f'href="{opened(SHEET, name)}#fold-{name}"' in html
        assert words not in page and words in Words(bench.get(opened(SHEET, name))).text


def test_of_all_axles_the_answer_stands_first(bench: Bench) -> None:
    taken(bench)
    taken(bench, 2)
    page = "/builds/1/quartering"
    html = bench.get(page)
    words = Words(html).text
    agree = words.index("Good: the axles agree, 0.00°")
    assert agree < words.index("Off the 90° drawn") < words.index("Will the rods")
    for name, words_in_it in (("working-set", "Formula and numbers"), ("cautions", "guard, goggles, fumes")):
        assert words_in_it not in words and words_in_it in Words(bench.get(opened(page, name))).text


def test_the_sheet_lays_the_pins_as_the_setting_sheet_leaves_them(bench: Bench) -> None:
    """One in front, one behind, both above the axle, on either sheet."""
    here, there = (bench.get(f"/axles/1/{sheet}") for sheet in ("quartering", "setting?open=picture"))
    of = [re.findall(r'<circle class="thick (?:inked|paper)"[^>]*>', html) for html in (here, there)]
    assert len(of[0]) > 2 and of[0] == of[1]
