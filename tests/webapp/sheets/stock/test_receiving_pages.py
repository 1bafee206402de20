"""Receiving through HTTP: the verdict, the metal, what is refused, and the castings side by side.

The drawing: 110 tread, 2 flange depth, so 114 over the flange; rim 10 wide, boss 15 long, level at the back; least cut 0.5.
The casting COMES: backs at 0 (rim) and -1 (boss), fronts at 13 and 17, so against the finished wheel 0 and -1 behind, 3 and
2 before. Between rim back and boss front lie 2: 1 each, which is 0.5 more than the least cut. Outside (118 - 114)/2 = 2.
"""

from __future__ import annotations

import re
from itertools import cycle, islice

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from domain.stock.sizes import Face, Faces
from tests.webapp.scenes import SIZES, Bench, Words, form_on, opened, sentences
from tests.webapp.test_never_5xx import NASTY
from webapp.db import Db
from webapp.facts.received import received_brief
from webapp.records.builds import load_build
from webapp.sheets.stock.drawing import Outside, section
from webapp.sheets.stock.drawing import Words as Said

COMES = {"rim_least": "118", "rim_most": "119", "rim_height": "13", "boss_height": "18", "boss_proud": "1"}
EDGE = {"edge_12": "0.4", "edge_3": "0.3", "edge_6": "0", "edge_9": "0"}  # 0.25 out: 0.20 and 0.15
TRUE_FACE = {"face_12": "0", "face_3": "0", "face_6": "0", "face_9": "0"}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    found = Bench(client, db).sit_down()
    found.metric()
    return found


def receive(bench: Bench, mark: str, **fields: object) -> Response:
    path = f"/castings/{bench.id(mark)}/receiving"
    return bench.send(path, path, **fields)


def taken(bench: Bench, mark: str, **fields: object) -> str:
    answer = receive(bench, mark, **fields)
    assert answer.status_code == 303, Words(answer.text).text
    return sheet(bench, mark)


def sheet(bench: Bench, mark: str) -> str:
    return " ".join(Words(bench.whole(f"/castings/{bench.id(mark)}/receiving")).text.split())


def side_by_side(bench: Bench) -> str:
    return " ".join(Words(bench.get("/builds/1/receiving")).text.split())


def lines(bench: Bench) -> list[str]:
    """The marks in the table, in their order."""
    html = bench.get("/builds/1/receiving")
    return [part.split("<")[0].split(">")[1] for part in html.split('<a class="mark"')[1:]]


# ---- One casting ----------------------------------------------------------------------------------


def test_figures_worked_by_hand(bench: Bench) -> None:
    text = taken(bench, "W1", **COMES, **EDGE, **TRUE_FACE, weight="410")
    assert "It cleans up: rim back decides, with 0.500 mm (0.0197 in) more than is needed." in text
    assert "Take 1.000 mm (0.0394 in) off the back of the rim and 2.000 mm (0.0787 in) off its front" in text
    assert "off the boss 2.000 mm (0.0787 in) at the back and 1.000 mm (0.0394 in) at the front." in text
    # (118 - 114)/2 - 0.25 and (119 - 114)/2 + 0.25; true to the outside the rim is twice 0.25 uneven.
    assert "the cut outside runs from 1.750 mm (0.0689 in) to 2.750 mm (0.1083 in)" in text
    assert "comes out 0.500 mm (0.0197 in) thicker on one side" in text
    assert "Tread3.750 mm (0.1476 in) on the radiusEnough" in text
    assert "Not read yet" not in text
    assert "12 o'clock +0.400 mm" in text and "geometry" in text


def test_what_is_stored_and_the_journal(bench: Bench) -> None:
    taken(bench, "W1", **COMES, **EDGE, weight="0.9 lb", chill="yes", note="  hard   at the gate ")
    seen = bench.rows("SELECT blowhole, chill, shift, note, who FROM receipt")
    assert seen == [(0, 1, 0, "hard at the gate", "AB")]
    weight = bench.rows(
        "SELECT m.value, unit, text, receipt_id FROM measurement m JOIN reading ON id = measurement_id WHERE kind = 'weight'"
    )
    # 0.9 x 453.59237 g
    assert weight == [(408_233, "mg", "0.9 lb", 1)]
    stored = {key: (nm, text) for key, nm, text in bench.rows(f"SELECT kind, value, text FROM {SIZES}")}
    assert stored["rim_height"] == (13_000_000, "13 mm")
    assert stored["edge_eccentricity"] == (250_000, "0.4 mm, 0.3 mm, 0 mm, 0 mm")
    assert "face_wobble" not in stored
    assert bench.one(f"SELECT count(*) FROM {SIZES} WHERE receipt_id IS NULL") == 0
    assert sentences(
        bench.journal("W1"), "Looked over as it came:", "rim, back to front 13.000 mm (0.5118 in)",
        "weight 0.9 lb", "seen: chilled skin", "note: hard at the gate.",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("boss", "words"),
    [
        # Between rim back and boss front lie boss - 16: half of it on each, 0.75 cleans up, 0.5 only just, less does not.
        ("17.5", "It cleans up: rim back decides, with 0.250 mm"),
        ("17.498", "It just cleans up: rim back decides, with 0.249 mm"),
        ("17", "It just cleans up: rim back decides, with 0.000 mm"),
        ("16.9", "It does not clean up: rim back is 0.050 mm (0.0020 in) short of what is needed."),
    ],
)
def test_the_verdict_turns_at_the_limit(bench: Bench, boss: str, words: str) -> None:
    assert words in taken(bench, "W1", **{**COMES, "boss_height": boss})


def test_the_builds_own_least_cut_and_boss_count(bench: Bench) -> None:
    taken(bench, "W1", **COMES)
    bench.send("/builds/1/figures", "/builds/1/figures", least_cut="1.2 mm")
    assert "It does not clean up: rim back is 0.200 mm (0.0079 in) short" in sheet(bench, "W1")
    # A finished boss 1 proud at the back: its faces lie 1 further back, so backs 0 and 0, fronts 3 and 3: 1.5 each.
    bench.send("/builds/1/figures", "/builds/1/figures", least_cut="", boss_proud="1 mm")
    assert "It cleans up: rim back decides, with 1.000 mm" in sheet(bench, "W1")


def test_wobble_and_eccentricity_cost_metal(bench: Bench) -> None:
    # Wobble 0.3: 1 - 0.5 - 0.3 = 0.2 to spare, which is just.
    face = {**TRUE_FACE, "face_12": "0.6"}
    assert "It just cleans up: rim back decides, with 0.200 mm" in taken(bench, "W1", **COMES, **face)
    # 1.7 out: 2 - 1.7 = 0.3 outside, 0.2 short, but true to the outside it has 2.
    edge = {"edge_12": "3.4", "edge_3": "0", "edge_6": "0", "edge_9": "0"}
    text = taken(bench, "W2", **COMES, **edge)
    assert "It does not clean up: diameter over the flange is 0.200 mm (0.0079 in) short" in text
    assert "Set true to the outside it would clean up" in text


def test_what_is_missing_is_named(bench: Bench) -> None:
    text = taken(bench, "W1", rim_height="13")
    assert "Cannot tell" in text
    assert "measure the smallest rough diameter, the boss height and how much the boss stands proud" in text
    assert "Not read yet: how far the inside edge is out and the wobble." in text
    assert "Will it do?" in text
    only_weight = taken(bench, "W2", weight="410")
    assert "Cannot tell: measure" in only_weight
    assert "Cut through rim and boss" not in only_weight


def test_a_rim_cast_with_a_step_is_judged_at_the_tread_too(bench: Bench) -> None:
    # (110.6 - 110)/2 = 0.3: 0.2 short of the least cut.
    text = taken(bench, "W1", **COMES, rough_tread="110.6")
    assert "It does not clean up: tread is 0.200 mm (0.0079 in) short of what is needed." in text


def test_inches_and_the_unit_of_a_bare_number(bench: Bench) -> None:
    inches = {"rim_least": "4 5/8", "rim_height": "0.5", "boss_proud": "-20 thou", "edge_12": "+4 thou",
              "edge_3": "0", "edge_6": "-4 thou", "edge_9": "0"}  # fmt: skip
    taken(bench, "W1", unit="in", **inches)
    stored = {key: (nm, text) for key, nm, text in bench.rows(f"SELECT kind, value, text FROM {SIZES}")}
    assert stored["rim_least"] == (117_475_000, "4 5/8 in")
    assert stored["boss_proud"] == (-508_000, "-20 thou")
    assert stored["edge_eccentricity"] == (101_600, "+4 thou, 0 in, -4 thou, 0 in")
    # Opened again in the build's millimetres and sent as it stands, nothing is read otherwise.
    taken(bench, "W1")
    again = bench.rows(f"SELECT kind, value FROM {SIZES} ORDER BY id")
    assert again[: len(stored)] == again[len(stored) :]


def test_history_keeps_both_receipts(bench: Bench) -> None:
    taken(bench, "W1", **COMES, blowhole="yes", note="look again")
    form = bench.form(f"/castings/{bench.id('W1')}/receiving", f"/castings/{bench.id('W1')}/receiving")
    assert form.fields["rim_least"] == ["118 mm"]
    assert form.fields["blowhole"] == ["yes"]
    assert form.fields["note"] == ["look again"]
    taken(bench, "W1", rim_least="117.5")
    assert bench.rows(f"SELECT value FROM {SIZES} WHERE kind = 'rim_least' ORDER BY id") == [
        (118_000_000,),
        (117_500_000,),
    ]
    assert bench.one("SELECT count(*) FROM receipt") == 2
    assert sum("Looked over as it came" in line for line in bench.journal("W1")) == 2
    assert sentences(bench.journal("W1"), "Looked over as it came again")
    assert "1.750 mm (0.0689 in) on the radius" in sheet(bench, "W1")


def test_a_rough_size_put_right_after_a_cut_does_not_bring_the_metal_back(bench: Bench) -> None:
    taken(bench, "W1", **COMES)
    cut = (None, "11 mm", None, None)
    bench.put("rim_height", 11_000_000, cut, casting_id=bench.id("W1"), at="2026-11-25 08:00:00.000000")
    text = taken(bench, "W1", rim_height="13.2")
    # Backs 0 and -1, fronts 3.2 and 2: still 2 between, and 2.2 left on the rim's front.
    assert "2.200 mm (0.0866 in) off its front" in text
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    sizes = next(casting for casting in build.castings if casting.mark == "W1").sizes
    assert (sizes["rim_height"].nm, sizes["rim_height"].text) == (11_000_000, "11 mm")


def test_the_mark_is_said_once_where_the_last_thing_done_is_told(bench: Bench) -> None:
    taken(bench, "W1", **COMES)
    assert "W1: Looked over as it came: " in " ".join(Words(bench.get("/builds/1")).text.split())
    metal = f"/castings/{bench.id('W1')}/metal"
    assert bench.send(metal, metal, rim_height="12").status_code == 303
    assert "W1: Measured: rim, back to front" in " ".join(Words(bench.get("/builds/1")).text.split())


def test_a_size_left_out_of_a_later_receipt_counts_no_more(bench: Bench) -> None:
    taken(bench, "W1", **COMES)
    taken(bench, "W1", boss_height="")
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    sizes = next(casting for casting in build.castings if casting.mark == "W1").sizes
    assert "boss_height" not in sizes and "rim_height" in sizes


def test_no_good_ways_on(bench: Bench) -> None:
    own = bench.id("W1")
    taken(bench, "W1", **{**COMES, "boss_height": "16.5"})
    html = bench.whole(f"/castings/{own}/receiving")
    assert f'href="/castings/{own}/scrap?from=receiving"' in html
    answer = bench.send(f"/castings/{own}/receiving", f"/castings/{own}/spare")
    assert answer.status_code == 303
    assert bench.at("W1")[0] == "spare"
    html = bench.whole(f"/castings/{own}/receiving")
    assert f'action="/castings/{own}/spare"' not in html
    assert f'href="/castings/{own}"' in html and 'href="/builds/1/receiving"' in html


def do(bench: Bench, mark: str) -> list[tuple[str, str]]:
    """What the sheet offers to do, the first thing first: address and words."""
    html = bench.get(f"/castings/{bench.id(mark)}/receiving")
    part = re.search(r'<div class="actions" id="do">(.*?)</div>', html, re.DOTALL)
    assert part is not None
    assert html.count("button primary") <= 1
    return re.findall(r'href="([^"]+)">([^<]+)<', part[1])


def test_the_one_thing_to_do_is_what_comes_next(bench: Bench) -> None:
    own = f"/castings/{bench.id('W1')}"
    form = f"{own}/receiving?open=receipt#fold-receipt"
    taken(bench, "W1", rim_height="13")
    assert do(bench, "W1")[0] == (form, "Measure the rest")
    taken(bench, "W1", **COMES)
    assert do(bench, "W1")[0] == (own, "On to W1, to tick it received")
    bench.tick("W1", "received")
    assert do(bench, "W1")[0] == (own, "On to W1")
    taken(bench, "W1", **{**COMES, "boss_height": "16.5"})
    assert do(bench, "W1")[:2] == [
        (f"{own}/scrap?from=receiving", "Scrap W1"),
        (form, "Measure it again"),
    ]
    html = bench.get(f"{own}/receiving")
    assert "tick it there" not in html and "button primary" not in html
    # It can only cost more, and is too little already.
    assert "Not read yet" not in html
    # Set true by the outside it would do: scrap is not the first thing then.
    taken(bench, "W1", **COMES, edge_12="3.4", edge_3="0", edge_6="0", edge_9="0")
    assert [words for _, words in do(bench, "W1")][:2] == ["Set W1 true", "Scrap W1"]
    # A size logged after the cut says otherwise.
    bench.tick("W1", "back_faced")
    assert bench.send(f"{own}/metal", f"{own}/metal", rim_height="12").status_code == 303
    assert [words for _, words in do(bench, "W1")] == ["On to W1"]
    bench.scrap("W1")
    assert [words for _, words in do(bench, "W1")] == ["On to W1"]


def test_the_picture_says_which_line_is_which(bench: Bench) -> None:
    taken(bench, "W1", **COMES)
    html = bench.get(f"/castings/{bench.id('W1')}/receiving")
    caption = re.search(r"<figcaption[^>]*>(.*?)</figcaption>", html, re.DOTALL)
    assert caption is not None and "Dashed: as it came. Hatched: the finished wheel in it." in caption[1]
    # As it is drawn: only what is finished is hatched, only what came is dashed.
    hatched = re.findall(r'<path class="([^"]+)" fill="url\(#hatch-section\)"', html)
    assert set(hatched) == {"line"} and html.count('class="line before"') == 2


def test_nothing_is_ticked_by_itself(bench: Bench) -> None:
    taken(bench, "W1", **COMES)
    assert bench.ticks("W1") == set()


# ---- What is refused ------------------------------------------------------------------------------


REFUSED: tuple[tuple[dict[str, str], str, str], ...] = (
    ({"rim_most": "117"}, "rim_most", "is below the smallest: type them the other way round"),
    ({"rim_height": "0"}, "rim_height", "A size measured is more than nothing"),
    ({"rim_height": "-3"}, "rim_height", "has a sign"),
    ({"rim_least": "nan"}, "rim_least", "such as"),
    ({"rim_least": "1" * 39}, "rim_least", "10 km"),
    ({"rim_least": "90 m"}, "rim_least", "such as"),
    ({"boss_proud": "19"}, "boss_height", "cannot stand 19.000 mm"),
    ({"boss_proud": "-14"}, "boss_proud", "cannot be sunk 14.000 mm"),
    ({"weight": "-410 g"}, "weight", "has a sign"),
    ({"weight": "0"}, "weight", "more than nothing"),
    ({"weight": "0.0001 g"}, "weight", "more than nothing"),
    ({"weight": "400 kg"}, "weight", "more than 100 kg"),
    ({"weight": "heavy"}, "weight", "is not a weight"),
    ({"weight": "3 stone"}, "weight", "not known here"),
    ({"weight": "9" * 40}, "weight", "more than 100 kg"),
    ({"edge_12": "0.1"}, "edge_6", "Read the spot at 6 o'clock too"),
    ({**EDGE, "edge_3": "30"}, "edge_3", "No dial shows 30.000 mm"),
    ({**EDGE, "edge_9": "x"}, "edge_9", "such as"),
    # 2.4 between 12 and 6 is a wobble of 1.2, and the poorest face has 1.
    ({**TRUE_FACE, "face_12": "2.4"}, "face_12", "A wobble of 1.200 mm (0.0472 in) is more than the 1.000 mm"),
    ({"note": "x" * 401}, "note", "400 is the most"),
    ({"note": "a\u202eb"}, "note", "cannot be shown"),
    ({"unit": "furlong"}, "unit", "Choose mm or in"),
    ({"who": "?!"}, "who", "initials"),
)  # fmt: skip


def test_a_refusal_stands_beside_its_field(bench: Bench) -> None:
    for fields, name, words in REFUSED:
        said = bench.refused(lambda fields=fields: receive(bench, "W1", **{**COMES, **fields}))  # type: ignore[misc]
        assert words in said.at(name), (fields, said.by_id)


# Each far from the drawing's 114, 10 and 15 mm, and each may still be.
DOUBTED = {"rim_least": "118", "rim_most": "200", "rim_height": "40", "boss_height": "60"}


def asked(html: str) -> dict[str, str]:
    """The buttons that say yes, by the size that each sends."""
    return dict(re.findall(r'<button[^>]*name="meant" value="([^"]*)">([^<]*)<', html))


def test_a_yes_is_to_one_size_alone(bench: Bench) -> None:
    first = receive(bench, "W1", **DOUBTED)
    assert first.status_code == 409
    # Each has its own, which names what it is a yes to.
    assert asked(first.text) == {
        "200000000": "Write “200 mm” down all the same",
        "40000000": "Write “40 mm” down all the same",
        "60000000": "Write “60 mm” down all the same",
    }
    # Two put right, and yes said under the first: of the third nothing was said.
    put_right = {"rim_least": "118", "rim_most": "119", "rim_height": "13", "boss_height": "60"}
    second = receive(bench, "W1", **put_right, meant="200000000")
    assert second.status_code == 409
    assert "Can that be the boss?" in Words(second.text).at("boss_height")
    assert asked(second.text) == {"60000000": "Write it down all the same"}
    assert bench.one("SELECT count(*) FROM receipt") == 0
    # What was said yes to before is carried along.
    third = receive(bench, "W1", **DOUBTED, meant=["200000000", "60000000"])
    assert asked(third.text) == {"40000000": "Write it down all the same"}
    assert 'name="meant" value="200000000"' in third.text
    assert receive(bench, "W1", **DOUBTED, meant=["200000000 60000000", "40000000"]).status_code == 303


def test_a_casting_many_times_its_wheel_is_refused(bench: Bench) -> None:
    """The point left out: five times the drawing's figure is no casting for that wheel, whatever is said."""
    sent = {"rim_least": "118", "rim_most": "119", "rim_height": "131", "boss_height": "1805"}
    answer = receive(bench, "W1", **sent)
    assert answer.status_code == 422
    said = Words(answer.text)
    assert "That cannot be the boss: “1805 mm” is 1805.000 mm" in said.at("boss_height")
    assert "more than 5 times the drawing's 15.000 mm (0.5906 in). Was 18.050 mm" in said.at("boss_height")
    assert "Was 13.100 mm (0.5157 in) meant?" in said.at("rim_height")
    assert asked(answer.text) == {}
    assert receive(bench, "W1", **sent, meant="131000000 1805000000").status_code == 422
    assert bench.one("SELECT count(*) FROM receipt") == 0


def test_a_refusal_keeps_what_was_typed(bench: Bench) -> None:
    answer = receive(bench, "W1", **{**COMES, "rim_most": "twelve"}, shift="yes", note="a <b> note")
    fields = form_on(answer.text, f"/castings/{bench.id('W1')}/receiving").fields
    assert (
        fields["rim_most"] == ["twelve"] and fields["shift"] == ["yes"] and fields["note"] == ["a <b> note"]
    )


def test_a_refusal_says_of_what_the_verdict_is(bench: Bench) -> None:
    said = "The verdict is on what was written down before. What you typed stands in the form below it."
    nothing_before = receive(bench, "W1", **{**COMES, "rim_most": "twelve"})
    assert said not in Words(nothing_before.text).text and "written down before" not in nothing_before.text
    taken(bench, "W1", **COMES)
    again = Words(receive(bench, "W1", **{**COMES, "rim_most": "twelve"}).text).text
    assert said in again and again.index(said) < again.index("It cleans up") < again.index("Rough sizes")
    doubted = receive(bench, "W1", **DOUBTED)
    assert doubted.status_code == 409 and said in Words(doubted.text).text
    assert "written down before" not in sheet(bench, "W1")


def test_an_empty_form(bench: Bench) -> None:
    assert (
        "Nothing is written down yet: type at least one size"
        in bench.refused(lambda: receive(bench, "W1")).text
    )


def test_a_scrapped_casting(bench: Bench) -> None:
    own = bench.id("W1")
    fields = bench.form(f"/castings/{own}/receiving", f"/castings/{own}/receiving").filled(**COMES)
    bench.scrap("W1")
    seen = str(bench.one("SELECT version FROM casting WHERE id = ?", own))
    said = bench.refused(lambda: bench.post(f"/castings/{own}/receiving", {**fields, "seen": seen}))
    assert "W1 is scrapped: undo the scrapping first." in said.text
    assert "nothing more is written down of it" in sheet(bench, "W1")


def test_sent_twice_is_stored_once(bench: Bench) -> None:
    path = f"/castings/{bench.id('W1')}/receiving"
    fields = bench.form(path, path).filled(**COMES)
    assert [bench.post(path, fields).status_code for _ in range(2)] == [303, 303]
    assert bench.one("SELECT count(*) FROM receipt") == 1


def test_an_old_page(bench: Bench) -> None:
    path = f"/castings/{bench.id('W1')}/receiving"
    old = bench.form(path, path).filled(**COMES)
    bench.tick("W1", "received")
    said = bench.refused(lambda: bench.post(path, old), 409)
    assert "Nothing of yours was stored" in said.text


def test_what_is_not_there(bench: Bench) -> None:
    for path in ("/castings/99/receiving", "/builds/99/receiving"):
        assert bench.client.get(path).status_code == 404
    assert bench.post("/castings/99/receiving", {"rim_least": "118"}).status_code == 404
    assert bench.client.get(f"/castings/{2**63}/receiving").status_code in (404, 422)
    assert bench.refused(lambda: bench.post("/castings/1/receiving", {"rim_least": "118"}), 409)


def test_a_drawing_that_draws_no_wheel_is_said_and_loses_nothing(bench: Bench) -> None:
    taken(bench, "W1", **COMES)
    # A boss 15 long cannot stand 20 proud.
    bench.send("/builds/1/figures", "/builds/1/figures", boss_proud="20 mm")
    text = taken(bench, "W2", **COMES)
    assert "The drawing's figures draw no wheel. A boss of 15.000 mm" in text
    assert "W1 cannot be judged" in side_by_side(bench)
    assert bench.one("SELECT count(*) FROM receipt") == 2


# ---- Side by side ---------------------------------------------------------------------------------


def test_ranking_and_proposal(bench: Bench) -> None:
    boss = {"W1": "16.5", "W2": "18", "W3": "17.2", "W4": "19", "W5": "18.6", "W6": "18.4"}
    for mark, height in boss.items():
        flaw = {"blowhole": "yes"} if mark == "W4" else {}
        taken(bench, mark, **{**COMES, "boss_height": height}, **flaw)
    # The best fit gives (boss - 16)/2 until the rim's own (13 - 10)/2 decides: 0.25, 1, 0.6, 1.5, 1.3, 1.2; the blowhole
    # puts W4 one step down, beside W3 which just cleans up, and there the flaw counts before the metal.
    assert lines(bench) == ["W5", "W6", "W2", "W3", "W4", "W1"]
    text = side_by_side(bench)
    assert "W1 does not clean up and should not be put in work." in text
    # Four places, and five that clean up.
    assert "W4 is proposed as spare: the poorest." in text
    assert "W1 at axle 1, left does not clean up: take it out of its place, to the spares." in text
    assert "Then put W5 there." in text
    assert "W4 at axle 2, right is one of the poorest" in text
    assert "Then put W6 there." in text


def test_the_poorest_are_proposed_as_spares(bench: Bench) -> None:
    boss = {"W1": "17.2", "W2": "18", "W3": "18.1", "W4": "17.1", "W5": "18.6", "W6": "18.4"}
    for mark, height in boss.items():
        taken(bench, mark, **{**COMES, "boss_height": height})
    text = side_by_side(bench)
    assert "W1 and W4 are proposed as spares: the poorest." in text
    # The poorest leaves first, for the best.
    assert "W4 at axle 2, right is one of the poorest: take it out of its place, to the spares." in text
    assert text.index("Then put W5 there.") < text.index("W1 at axle 1, left is one of the poorest")
    html = bench.get("/builds/1/receiving")
    assert f'href="/castings/{bench.id("W4")}">To W4' in html and 'href="/axles/2">To axle 2' in html


def test_what_is_not_measured_is_neither_better_nor_poorer(bench: Bench) -> None:
    """One casting measured, and one in part: nobody is ranked against what nobody measured."""
    taken(bench, "W1", **COMES, **EDGE, **TRUE_FACE)
    taken(bench, "W2", rim_height="13")
    text = side_by_side(bench)
    assert "No spare is proposed yet." in text and "poorest" not in text
    assert "4 not measured yet: W3, W4, W5, W6." in text and "1 measured in part: W2." in text
    assert "What is not measured has no place in the order: measure it first." in text
    assert lines(bench) == ["W1", "W2", "W3", "W4", "W5", "W6"]
    ranks = re.findall(r'<td class="rank">([^<]*)<', bench.get("/builds/1/receiving"))
    assert ranks == ["1", "", "", "", "", ""]
    # Two more, one of them a spare: among those measured the poorest is told, and called no more than that.
    taken(bench, "W5", **{**COMES, "boss_height": "19"})
    taken(bench, "W6", **{**COMES, "boss_height": "17.5"})
    text = side_by_side(bench)
    assert "W6 and W1 are proposed as spares" not in text
    assert "proposed as spares: the poorest of those measured." in text
    # The dial can only cost metal, so whoever did not put it on is told of.
    row = text[text.index("W5spare") :] if "W5spare" in text else text
    assert "It stands as if it ran true: the dial was not put on it." in row


def test_a_flaw_is_named_wherever_a_casting_is_told_of_in_a_line(bench: Bench) -> None:
    taken(bench, "W5", **COMES, blowhole="yes", shift="yes")
    taken(bench, "W6", **COMES)
    bench.send(f"/castings/{bench.id('W1')}", f"/castings/{bench.id('W1')}/spare")
    noted = "not received yet, blowhole and mould shift noted"
    # On an empty place, on the build's sheet, at the casting's head and as it came.
    place = " ".join(Words(bench.get("/axles/1")).text.split())
    assert f"Put W5 here{noted}" in place and "Put W6 herenot received yet" in place
    assert f"W5 {noted}" in " ".join(Words(bench.get("/builds/1")).text.split())
    own = Words(bench.get(f"/castings/{bench.id('W5')}"))
    assert noted in own.text
    assert own.by_id["received-brief"] == "As it came: good, blowhole and mould shift noted"
    assert "noted" not in Words(bench.get(f"/castings/{bench.id('W6')}")).by_id["received-brief"]


def test_the_moves_are_the_flow_that_exists(bench: Bench) -> None:
    for mark, height in {"W1": "16", "W5": "18"}.items():
        taken(bench, mark, **{**COMES, "boss_height": height})
    bench.send(f"/castings/{bench.id('W1')}", f"/castings/{bench.id('W1')}/spare")
    assert "Put W5 in the empty place at axle 1, left." in side_by_side(bench)
    assert bench.place(1, "left", "W5").status_code == 303
    text = side_by_side(bench)
    assert "Moves that would put the best to work" not in text
    assert "4 not measured yet: W2, W3, W4, W6." in text


def test_no_move_for_a_casting_cut_already_nor_for_one_not_measured(bench: Bench) -> None:
    bench.tick("W1", "received", "back_faced")
    taken(bench, "W1", **{**COMES, "boss_height": "16.5"})
    taken(bench, "W5", **COMES)
    text = side_by_side(bench)
    assert "In work, cut already" in text
    assert "take it out of its place" not in text


def test_weights_beside_the_others(bench: Bench) -> None:
    for mark, grams in {"W1": "400", "W2": "400 g", "W3": "0.36 kg"}.items():
        taken(bench, mark, **COMES, weight=grams)
    text = side_by_side(bench)
    assert "0.36 kg, 10.0 % less than the middle one" in text
    assert "It weighs 10.0 % less than its fellows: there may be a hidden hole" in sheet(bench, "W3")
    assert lines(bench)[:3] == ["W1", "W2", "W3"]
    assert "than its fellows" not in sheet(bench, "W1")
    assert "(360 g - 400 g) / 400 g, of 3 weighed" in sheet(bench, "W3")


def test_scrapped_castings_are_left_out(bench: Bench) -> None:
    taken(bench, "W6", **COMES)
    bench.scrap("W6")
    assert "W6" not in lines(bench)
    assert "No casting is measured yet" in side_by_side(bench)


# ---- The picture ----------------------------------------------------------------------------------

ROUGH, FINISHED = Faces(0, 13, -1, 17), Faces(0, 10, 0, 15)


def test_the_picture_is_to_scale_along_the_axle() -> None:
    words = {face: Said(face.words, "") for face in Face}
    found = section(ROUGH, FINISHED, 1, Outside(2, 4, 2, 2), words)
    across = {note.words.name: abs(note.x2 - note.x1) for note in found.notes if note.y1 == note.y2}
    # 18 from the boss's back to its front over 320: metal of 1 and of 2.
    assert across["rim back"] == pytest.approx(320 / 18, abs=0.1)
    assert across["boss back"] == pytest.approx(2 * 320 / 18, abs=0.1)
    assert across["rim front"] == pytest.approx(2 * 320 / 18, abs=0.1)
    assert across["boss front"] == pytest.approx(320 / 18, abs=0.1)
    above = {note.words.name: note.y2 - note.y1 for note in found.notes if note.x1 == note.x2}
    assert above["diameter over the flange"] == pytest.approx(2 * 320 / 18, abs=0.1)


@pytest.mark.parametrize("over", [None, -(10**9), 0, 10**9])
@pytest.mark.parametrize("boss", [True, False])
def test_the_picture_stays_on_its_sheet(over: int | None, boss: bool) -> None:
    rough = ROUGH if boss else Faces(0, 13)
    found = section(rough, FINISHED, 1, Outside(over, over, 10**9, 10**9, stepped=True), {})
    height = float(found.view_box.split()[3])
    for path in (*found.rough, *found.finished):
        numbers = [float(part) for part in re.findall(r"-?[\d.]+", path)]
        assert all(0 <= x <= 640 for x in numbers[::2]) and all(0 < y < height for y in numbers[1::2])


def test_no_width_no_picture() -> None:
    with pytest.raises(ValueError, match="width"):
        section(Faces(0, 0), Faces(0, 0), 0, Outside(None, None, 0, 0), {})


# ---- Whatever is typed ----------------------------------------------------------------------------


def test_never_an_error_of_ours(bench: Bench) -> None:
    path = f"/castings/{bench.id('W1')}/receiving"
    for start in range(len(NASTY)):
        fields = bench.form(path, path).fields
        names = [*fields, "blowhole", "chill", "shift"]
        nasty = islice(cycle(NASTY), start, None)
        typed = {name: next(nasty) for name in names if name != "seen"}
        answer = bench.post(path, {**typed, "seen": fields["seen"]})
        assert answer.status_code in (303, 409, 422), (answer.status_code, typed)
        assert bench.client.get("/builds/1/receiving").status_code == 200


def test_the_short_verdict_for_the_castings_own_sheet(bench: Bench) -> None:
    def brief(mark: str) -> str:
        with bench.db.read() as session:
            build = load_build(session, 1)
        assert build is not None
        casting = build.casting(bench.id(mark))
        assert casting is not None
        said = received_brief(build, casting)
        # Its headline stands on the casting's own sheet.
        own = Words(bench.get(f"/castings/{casting.id}")).by_id["received-brief"]
        assert own == f"As it came: {said.headline.lower()}"
        return f"{said.headline}. {said.words}"

    assert "Not looked over yet. Measure it before the first cut." in brief("W1")
    bench.tick("W6", "received.looked_over")
    assert "Looked over, not measured. Measure it before the first cut." in brief("W6")
    taken(bench, "W1", **COMES)
    assert "Good. It cleans up: rim back decides, with 0.500 mm" in brief("W1")
    bench.send("/builds/1/figures", "/builds/1/figures", boss_proud="20 mm")
    assert "Cannot tell. The drawing's figures draw no wheel." in brief("W1")


def test_a_casting_that_will_not_clean_up_says_so_on_its_checklist_until_a_size_after_the_cut_says_otherwise(
    bench: Bench,
) -> None:
    taken(bench, "W1", **{**COMES, "rim_height": "10.2", "boss_height": "15.1"})
    assert Words(bench.get("/axles/1")).by_id["line-1"] == "As it came: no good"
    taken(bench, "W2", **COMES)
    assert bench.get("/axles/1").count("As it came:") == 1
    bench.tick("W1", "received")
    assert bench.wish("W1", "yes back_faced").status_code == 409
    assert bench.wish("W1", "yes back_faced confirmed").status_code == 303
    assert Words(bench.get("/axles/1")).by_id["line-1"] == "As it came: no good"
    page = f"/castings/{bench.id('W1')}/metal"
    assert bench.send(page, page, rim_height="10.1", boss_height="15.05").status_code == 303
    assert "As it came:" not in bench.get("/axles/1")


def test_the_answer_stands_first_and_form_and_faces_are_asked_for(bench: Bench) -> None:
    own = f"/castings/{bench.id('W1')}/receiving"
    html = bench.get(own)
    assert "Nothing is written down of W1 yet" in Words(html).text
    # With nothing to show the form stands open, and nothing else leads to it; the four readings of the dial are folded.
    assert 'id="receipt"' in html and html.count("#fold-receipt") == 1
    assert '<details class="more" id="dialled"><summary>' in html and "<table" not in html
    again = receive(bench, "W1", **COMES, edge_12="0.1")
    assert '<details class="more" id="dialled" open>' in again.text
    assert bench.send(own, own, **COMES).status_code == 303
    html = bench.get(own)
    page = Words(html).text
    assert "<table" not in html and 'id="receipt"' not in html
    for name, words in (("receipt", "Rough sizes"), ("faces", "Metal to come off")):
        assert words not in page and words in Words(bench.get(opened(own, name))).text


def test_a_cracked_casting_is_no_good_whatever_metal_it_has(bench: Bench) -> None:
    """With nothing measured too: a crack alone says it, leads to scrap with its reason chosen, and can be taken back."""
    own = f"/castings/{bench.id('W1')}"
    for fields in ({"crack": "yes"}, {**COMES, "crack": "yes"}):
        text = taken(bench, "W1", **fields)
        assert (
            "No good A crack was seen" in text
            and "competent person" in text
            and "does not clean up" not in text
        )
        assert f'href="{own}/scrap?from=receiving"' in bench.whole(f"{own}/receiving")
    form = form_on(bench.get(f"{own}/scrap?from=receiving"), f"{own}/scrap")
    assert form.fields["reason"] == ["cracked"]
    assert "W1 is cracked and should not be put in work" in side_by_side(bench)
    assert "W1 is cracked" in " ".join(Words(bench.get("/builds/1")).text.split())
    assert "seen: crack" in bench.journal("W1")[-1]
    assert "No good" in taken(bench, "W1", crack="yes")
    assert "Good It cleans up" in taken(bench, "W1", crack="")
