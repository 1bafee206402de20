"""Speeds and feeds of a casting and of a build, through HTTP."""

import math
import re
from functools import partial

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, forms_on, opened
from webapp.db import Db

LATHE = "INSERT INTO machine (id, name, kind, speeds, motor_w, least_feed_nm, retired, version) VALUES "
AT = "'2026-01-01 10:00:00.000000'"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric(iron="en-gjl-250")
    return bench


def _run(bench: Bench, *statements: str) -> None:
    with bench.db.write() as session:
        for one in statements:
            session.connection().exec_driver_sql(one)


def _lathe(
    bench: Bench, speeds: str = "30 45 60 105 180 300", motor: str = "370", feed: str = "50000"
) -> None:
    _run(bench, f"{LATHE} (1, 'lathe A', 'lathe', '{speeds}', {motor}, {feed}, 0, 1)")


def _drill(bench: Bench) -> None:
    _run(bench, f"{LATHE} (2, 'drill B', 'drill', '180 300 520 900', 250, NULL, 0, 1)")


def _size(bench: Bench, key: str, nm: int, mark: str = "W1") -> None:
    bench.put(key, nm, casting_id=bench.id(mark))


def _card(page: str, key: str) -> str:
    found = re.search(
        rf'<details class="panel speed-card" id="op-{key}".*?(?=<details class="panel|<section)', page, re.S
    )
    assert found, f"no card for {key}"
    return " ".join(Words(found[0].replace("<", " <")).text.split())


def _sheet(bench: Bench, mark: str = "W1", query: str = "") -> str:
    return bench.whole(f"/castings/{bench.id(mark)}/speeds{query}")


def test_facing_the_back_at_the_diameter_that_was_measured(bench: Bench) -> None:
    _lathe(bench)
    _size(bench, "rim_most", 118_300_000)
    card = _card(_sheet(bench), "face_back")
    # By hand: class 30 to 40 iron at 80 ft/min, 24.384 m/min: 24384 / (pi 118.3) is 65.61 rpm, so 60.
    assert "60 rpm" in card and "65.6 rpm" in card
    # pi x 118.3 x 60 / 1000 is 22.3 m/min at the rim, and pi x 32 x 60 / 1000 6.0 at the boss.
    assert "Surface speed at the rim 22.3 m/min" in card and "Surface speed at the boss 6.0 m/min" in card
    # 59.15 mm at 0.2032 mm and 60 rpm: 4.851 min, 4 min 52 s rounded up.
    assert "4 min 52 s" in card
    # Kienzle, 260 HB: 1350 x 1 mm x 0.2032^0.72 N; at 0.7 of the motor.
    force = 1350 * 0.2032**0.72
    power = force * (math.pi * 118.3 * 60 / 1000) / 60 / 0.7
    assert (
        f"{force:.0f} N" in card
        and f"{power:.0f} W" in card
        and f"{100 * power / 370:.0f} % of its 370 W" in card
    )
    assert "the rough rim's largest, as measured" in card
    assert "Machinery's Handbook" in card and "kc1 and m: from memory, verify" in card
    assert "Take the chuck key out" in card


def test_a_rim_not_measured_is_said_plainly_and_leads_to_receiving(bench: Bench) -> None:
    _lathe(bench)
    page = _sheet(bench)
    # 110 of tread, twice 2 of flange and 6 for the rough casting.
    assert "120.000 mm" in _card(page, "face_back")
    assert "The rim is not measured" in Words(page).text
    assert f'href="/castings/{bench.id("W1")}/receiving"' in page
    _size(bench, "rim_most", 118_300_000)
    assert "The rim is not measured" not in Words(_sheet(bench)).text


def test_the_next_operation_is_opened_first_and_the_rest_folded(bench: Bench) -> None:
    _lathe(bench)

    def opened() -> list[str]:
        page = _sheet(bench)
        first = re.findall(r'id="op-(\w+)"', page)[0]
        found = re.findall(r'id="op-(\w+)" open', page)
        assert found == [first]
        return found

    assert opened() == ["face_back"]
    bench.tick("W1", "received", "back_faced")
    assert opened() == ["face_front_rim"]
    bench.tick("W1", "bored.turned_round", "bored.rim_true", "bored.front_faced")
    assert opened() == ["crank_boss"]
    bench.tick("W1", "bored.crank_boss")
    assert opened() == ["drill_bore"]


def test_with_every_operation_done_nothing_is_next(bench: Bench) -> None:
    _lathe(bench)
    bench.quartered()
    page = _sheet(bench)
    assert "Nothing left to cut" in Words(page).text and " open>" not in page.partition('id="try"')[0]


def test_hand_strokes_have_no_speed_and_lead_on(bench: Bench) -> None:
    _lathe(bench)
    page = _sheet(bench)
    card = _card(page, "crank_boss")
    assert "by hand" in card and "rpm" not in card and "Switch off at the wall" in card
    assert f'href="/castings/{bench.id("W1")}/strokes"' in page


def test_without_a_machine_the_wanted_speed_is_shown_with_the_way_to_the_list(bench: Bench) -> None:
    page = _sheet(bench)
    card = _card(page, "face_back")
    # 24384 / (pi 120) is 64.68, cut off at a tenth.
    assert "64.6 rpm at most" in card and "No lathe" in card
    assert 'href="/workshop?open=machines#machines"' in page and "No machine yet" in Words(page).text
    assert "drilling machine or lathe" in _card(page, "drill_crankpin")


def test_with_only_a_drill_turning_still_asks_for_a_lathe(bench: Bench) -> None:
    _drill(bench)
    page = _sheet(bench)
    assert "No lathe with its spindle speeds" in _card(page, "rough_tread")
    assert "Machine drill B" in _card(page, "drill_crankpin")


def test_the_crankpin_goes_to_the_drill_and_can_be_tried_in_the_lathe(bench: Bench) -> None:
    _lathe(bench)
    _drill(bench)
    assert "Machine drill B" in _card(_sheet(bench), "drill_crankpin")
    assert "Machine lathe A" in _card(_sheet(bench, query="?machine=1"), "drill_crankpin")
    tried = _card(_sheet(bench, query="?machine=2"), "face_back")
    assert "Machine lathe A" in tried and "drilling machine tried cannot do this" in tried


def test_no_speed_low_enough_is_a_sentence_with_what_to_do(bench: Bench) -> None:
    _lathe(bench, speeds="105 180")
    card = _card(_sheet(bench), "face_back")
    assert "No speed is low enough" in card and "Stop" in card
    assert "the slowest is 105 rpm" in card and "back-gear" in card
    # Carbide is twice as fast: 24384 x 2 / (pi 120) is 129.3 rpm.
    assert "With carbide 129.3 rpm may be used" in card
    _run(bench, "UPDATE machine SET speeds = '300 520'")
    assert "spindle turned by hand" in _card(_sheet(bench), "face_back")


def test_too_deep_for_the_motor_is_a_stop(bench: Bench) -> None:
    _lathe(bench, motor="100")
    card = _card(_sheet(bench), "face_back")
    assert "Stop" in card and "of a motor of 100 W: go no deeper than" in card


def test_without_the_motors_power_there_is_no_share(bench: Bench) -> None:
    _lathe(bench, motor="NULL")
    assert "has no motor power on the workshop's list" in _card(_sheet(bench), "face_back")


def test_chill_seen_at_receiving_slows_every_cut_and_can_be_left_out(bench: Bench) -> None:
    _lathe(bench)
    _size(bench, "rim_most", 118_300_000)
    _run(
        bench,
        "INSERT INTO receipt (build_id, casting_id, blowhole, chill, shift, note, who, at) "
        f"VALUES (1, {bench.id('W1')}, 0, 1, 0, '', 'AB', {AT})",
    )
    page = _sheet(bench)
    card = _card(page, "face_back")
    # Half of 65.61.
    assert "32.8 rpm" in card and "30 rpm" in card and "Chilled skin" in card
    assert "Chill was seen when it came" in Words(page).text
    without = _sheet(bench, query="?chilled=no")
    assert "60 rpm" in _card(without, "face_back") and "Left out" in Words(without).text
    assert "60 rpm" in _card(_sheet(bench, "W2"), "face_back")


def test_the_builds_own_factors_feeds_and_tool(bench: Bench) -> None:
    _lathe(bench)
    _size(bench, "rim_most", 118_300_000)
    answer = bench.send(
        "/builds/1/figures",
        "/builds/1/figures",
        tool="carbide",
        chilled="0.25",
        rough_feed="0.1 mm",
        rough_cut="2 mm",
    )
    assert answer.status_code == 303
    card = _card(_sheet(bench, query="?chilled=yes"), "face_back")
    # 65.61 x 2 x 0.25.
    assert "32.8 rpm" in card and "as typed for this build" in card
    assert "Feed for each turn 0.100 mm" in card and "Depth of cut 2.000 mm" in card
    assert "carbide turning tools (as typed for this build)" in Words(_sheet(bench)).text
    # Slower than the sums allow is refused where it is typed.
    refused = bench.send("/builds/1/figures", "/builds/1/figures", chilled="0.06")
    assert refused.status_code == 422 and "not likely" in Words(refused.text).at("chilled")


def test_interrupted_cuts_are_slowed_and_said(bench: Bench) -> None:
    _lathe(bench)
    card = _card(_sheet(bench), "face_front_boss")
    # 24384 x 0.7 / (pi 32) is 169.78.
    assert "169.7 rpm" in card and "105 rpm" in card and "broken by the crank boss" in card
    whole = _card(_sheet(bench, query="?interrupted=no"), "face_front_boss")
    assert "242.5 rpm" in whole and "180 rpm" in whole


def test_a_size_is_tried_for_one_operation_and_nothing_is_stored(bench: Bench) -> None:
    _lathe(bench)
    before = bench.dump()
    page = _sheet(bench, query="?op=rough_tread&diameter=200+mm&depth=0.5&feed=4+thou&travel=10")
    card = _card(page, "rough_tread")
    assert "200.000 mm (7.8740 in) as tried" in card
    assert "Depth of cut 0.500 mm" in card and "0.102 mm" in card and "over the travel tried" in card
    # 24384 / (pi 200) is 38.8.
    assert "38.8 rpm" in card and "30 rpm" in card
    assert "120.000 mm" in _card(page, "face_back")
    assert "Only tried" in Words(page).text and 'id="op-rough_tread" open' in page
    assert bench.dump() == before
    (form,) = [one for one in forms_on(page) if one.action.endswith("/speeds")]
    assert form.fields["diameter"] == ["200 mm"] and form.fields["op"] == ["rough_tread"]


def test_the_time_of_the_rim_waits_for_the_travel(bench: Bench) -> None:
    _lathe(bench)
    assert "type below how far the tool travels" in _card(_sheet(bench), "face_front_rim")
    # 8 mm at 0.2032 and 60 rpm is 0.656 min.
    assert "40 s" in _card(_sheet(bench, query="?op=face_front_rim&travel=8"), "face_front_rim")


@pytest.mark.parametrize(
    ("query", "field", "said"),
    [
        ("op=nonsense", "op", "Choose an operation"),
        ("op=crank_boss", "op", "Choose an operation"),
        ("diameter=100", "op", "that these sizes are for"),
        ("machine=99", "machine", "not in use"),
        ("machine=-1", "machine", "not in use"),
        ("tool=diamond", "tool", "Choose a tool"),
        ("chilled=perhaps", "chilled", "Choose from the list"),
        ("interrupted=2", "interrupted", "Choose from the list"),
        ("op=face_back&diameter=0", "diameter", "above nothing"),
        ("op=face_back&diameter=-5", "diameter", "has a sign"),
        ("op=face_back&diameter=nan", "diameter", "does not begin with a figure"),
        ("op=face_back&diameter=99+in+or+so", "diameter", "no unit here"),
        ("op=face_back&diameter=4000", "diameter", "is the unit right?"),
        ("op=face_back&depth=٣", "depth", "does not begin with a figure"),
        ("op=face_back&feed=1e9", "feed", "exponent"),
        ("op=rough_tread&diameter=20&depth=10", "depth", "deeper than the work is thick"),
        ("op=drill_bore&depth=1", "depth", "no depth of cut"),
    ],
)
def test_what_cannot_be_tried_is_said_beside_its_box(bench: Bench, query: str, field: str, said: str) -> None:
    _lathe(bench)
    own = bench.id("W1")
    words = bench.refused(partial(bench.client.get, f"/castings/{own}/speeds?{query}"))
    assert said in words.at(field), words.described
    assert "rpm" in words.text


@pytest.mark.parametrize("value", ["0.000001 mm", "3000 mm", "1 um"])
@pytest.mark.parametrize("field", ["diameter", "depth", "feed", "travel"])
def test_the_ends_of_what_can_be_typed(bench: Bench, field: str, value: str) -> None:
    _lathe(bench)
    own = bench.id("W1")
    for op in ("face_back", "face_front_boss", "rough_tread", "form_root", "bore_bore", "ream_bore"):
        answer = bench.client.get(f"/castings/{own}/speeds", params={"op": op, field: value})
        assert answer.status_code in (200, 422)


def test_a_build_by_its_drawing(bench: Bench) -> None:
    _lathe(bench)
    page = bench.whole("/builds/1/speeds")
    assert "By the drawing" in Words(page).text and "60 rpm" in _card(page, "face_back")
    assert "/strokes" not in page


def _figures(bench: Bench, **typed: str) -> None:
    assert bench.send("/builds/1/figures", "/builds/1/figures", **typed).status_code == 303


@pytest.mark.parametrize(
    ("typed", "reamer", "drill"),
    [
        # 3/4 in, class 30 to 40 iron, by hand: half of 80 ft/min is 203.7 rpm in high-speed steel, whatever turns the
        # rim; the chart's 180 ft/min for carbide 916.7. The drill of 18.5 mm: 80 ft/min 419.5, twice that in carbide.
        ({"tool": "carbide"}, 203, 419),
        ({"tool": "carbide", "drill_tool": "carbide"}, 203, 839),
        ({"reamer_tool": "carbide"}, 916, 419),
    ],
)
def test_both_sheets_ream_and_drill_at_one_speed(
    bench: Bench, typed: dict[str, str], reamer: int, drill: int
) -> None:
    _lathe(bench)
    for path, size in (("reamers", "3/4 in"), ("drills", "18.5 mm")):
        assert bench.send("/workshop", f"/workshop/{path}#add-{path[:-1]}", size=size).status_code == 303
    _figures(bench, **typed)
    page = _sheet(bench)
    assert f"wanted {reamer}." in _card(page, "ream_bore") and f"wanted {drill}." in _card(page, "drill_bore")
    assert "the reamer on the workshop's list for this bore" in _card(page, "ream_bore")
    said = " ".join(Words(bench.whole("/builds/1/reaming")).text.split())
    assert re.search(rf"Turn the reamer at (about|no more than) {reamer} rpm", said), said
    assert f"Turn the drill at no more than {drill} rpm" in said


def test_hand_reamers_are_turned_by_a_wrench(bench: Bench) -> None:
    _lathe(bench)
    _figures(bench, reamer_tool="hand")
    page = _sheet(bench)
    for key in ("ream_bore", "ream_crankpin"):
        card = _card(page, key)
        assert "by hand" in card and "Turned by a wrench" in card and "rpm" not in card
    assert 'value="ream_bore"' not in page.partition('id="try"')[2]
    assert "rpm" in _card(page, "bore_bore")
    said = " ".join(Words(bench.whole("/builds/1/reaming")).text.split())
    assert "Turned by a wrench" in said and "Turn the reamer at" not in said
    # 0.002 to 0.005 in, from memory.
    assert (
        "Leave 0.051 mm (0.0020 in) to 0.127 mm (0.0050 in)" in said
        and "common practice, from memory, verify" in said
    )


def test_a_carrying_wheel_has_no_crank(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(coupled="1", iron="en-gjl-250")
    _lathe(bench)
    page = _sheet(bench, "W3")
    assert 'id="op-crank_boss"' not in page and 'id="op-drill_crankpin"' not in page
    assert "broken by" not in _card(page, "face_front_boss")


def test_a_scrapped_casting_says_so_and_strangers_are_not_found(bench: Bench) -> None:
    _lathe(bench)
    assert bench.scrap("W1").status_code == 303
    assert "is scrapped" in Words(_sheet(bench)).text
    for path in ("/castings/999/speeds", "/builds/999/speeds"):
        assert bench.client.get(path).status_code == 404


def test_a_retired_machine_is_not_offered(bench: Bench) -> None:
    _lathe(bench)
    _run(bench, "UPDATE machine SET retired = 1")
    page = _sheet(bench)
    assert "No machine yet" in Words(page).text and "lathe A" not in page


def test_a_drill_on_the_list_is_the_one_reckoned_with(bench: Bench) -> None:
    _lathe(bench)
    assert "no drill that suits" in _card(_sheet(bench), "drill_bore")
    action = "/workshop/drills#add-drill"
    assert bench.post(action, bench.form("/workshop", action).filled(size="18.5 mm")).status_code == 303
    card = _card(_sheet(bench), "drill_bore")
    assert "18.500 mm" in card and "the drill on the workshop's list" in card


def test_the_next_operation_stands_first_and_the_others_are_asked_for(bench: Bench) -> None:
    _lathe(bench)
    own = f"/castings/{bench.id('W1')}/speeds"
    html = bench.get(own)
    page = Words(html).text
    assert re.findall(r'id="op-(\w+)" open', html) == ["face_back"] and html.count('id="op-') == 1
    for name, words in (("operations", "Drill the bore"), ("try", "Reckon with these")):
        assert f'href="{opened(own, name)}#fold-{name}"' in html
        assert words not in page and words in Words(bench.get(opened(own, name))).text
    # What is tried holds in a fold that is opened of it.
    assert f'href="{own}?chilled=yes&amp;open=operations#fold-operations"' in bench.get(f"{own}?chilled=yes")
