"""A casting that does not clean up is offered nowhere, and spares are looked over with the rest."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, form_on, forms_on
from webapp.db import Db
from webapp.facts.pairing import propose
from webapp.records.builds import load_build

# The drawing wants a tyre 10 mm wide with 0.5 mm off each face: 10.2 mm will not do, 13 will.
SHORT = {"rim_height": "10.2", "boss_height": "16", "boss_proud": "0"}
PLENTY = {"rim_least": "118", "rim_most": "119", "rim_height": "13", "boss_height": "18", "boss_proud": "1"}
BUILD, PLAN = "/builds/1", "/builds/1/batches"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """Two axles, W1 to W4 on them, W5 and W6 spare."""
    found = Bench(client, db).sit_down()
    found.metric()
    return found


def came(bench: Bench, mark: str, sizes: dict[str, str] = SHORT) -> None:
    page = f"/castings/{bench.id(mark)}/receiving"
    answer = bench.send(page, page, **sizes)
    assert answer.status_code == 303, Words(answer.text).text


def offered(bench: Bench) -> list[str]:
    """The spares that the empty place of axle 1 is offered."""
    return re.findall(r">Put (\w+) here<", bench.get("/axles/1"))


def start_first(bench: Bench) -> str:
    """Start the batch the plan puts first; gives its address."""
    start = f"{BUILD}/batches"
    answer = bench.post(start, form_on(bench.get(BUILD), start).filled())
    assert answer.status_code == 303, Words(answer.text).text
    return str(answer.headers["location"]).split("#")[0]


def test_it_is_no_spare_for_an_empty_place(bench: Bench) -> None:
    came(bench, "W6")
    bench.scrap("W1")
    assert offered(bench) == ["W5"]
    assert "W6 no good: does not clean up" in Words(bench.get(BUILD)).text
    came(bench, "W5")
    assert offered(bench) == []
    assert "There is no spare to put here." in Words(bench.get("/axles/1")).text
    assert "no wheel there. No spare is left." in Words(bench.get(PLAN)).text
    text = Words(bench.get(BUILD)).text
    assert "Empty No spare left" in text and "Choose a spare" not in text


def test_a_tick_alone_does_not_make_it_clean_up_and_a_size_logged_since_does(bench: Bench) -> None:
    came(bench, "W6")
    bench.tick("W6", "received", "back_faced", "bored")
    bench.scrap("W1")
    assert offered(bench) == ["W5"]
    # Measured after the cut it has what the drawing wants.
    page = f"/castings/{bench.id('W6')}/metal"
    assert bench.send(page, page, rim_height="10.1").status_code == 303
    assert offered(bench) == ["W6", "W5"]


def test_it_takes_no_part_in_pairing_wheels_with_seats_or_throws(bench: Bench) -> None:
    came(bench, "W6")
    for mark, bore in (("W1", "19.14"), ("W2", "19.08"), ("W3", "19.08"), ("W4", "19.08")):
        bench.bored(mark, bore=bore)
    bench.tick("W6", "received", "back_faced", "bored")
    assert bench.log("W6", "bore", "19.08").status_code == 303
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    pairings = [group.pairing for group in propose(build).groups]
    paired = {pair.casting.mark for one in pairings for pair in one.pairs}
    assert paired == {"W1", "W2", "W3", "W4"} and not any(one.spares for one in pairings)
    # W1's bore is too large; W6's would serve, and is not offered for it.
    assert bench.seat(1, "left", "19.05").status_code == 303
    own = bench.id("W1")
    slip = Words(bench.get(f"/castings/{own}/bore")).by_id[f"bore-and-fit-{own}"]
    assert "W6" not in slip and "W6" not in Words(bench.get("/axles/1")).by_id[f"wheel-{own}"]
    for mark in ("W1", "W2", "W3", "W4", "W6"):
        assert bench.log(mark, "throw", "28.00" if mark != "W1" else "28.40").status_code == 303
    assert "W6" not in Words(bench.whole(f"{BUILD}/crankpins")).by_id["slip-pairing"]


def test_its_metal_sheet_does_not_say_go(bench: Bench) -> None:
    page = f"/castings/{bench.id('W1')}/metal"
    came(bench, "W1")
    for asked in ("", "?face=rim_back"):
        html = bench.get(f"{page}{asked}")
        said = Words(html)
        assert re.findall(r'data-sign="(\w+)"', html) == ["stop"]
        assert said.by_id["unfit"].startswith("No good As it came W1 does not clean up: no cut is worth")
        assert "Go:" not in said.text
    # Measured after a cut it may go on.
    bench.tick("W1", "received", "back_faced")
    assert bench.send(page, page, rim_height="10.1").status_code == 303
    assert "unfit" not in Words(bench.get(page)).by_id


def test_a_running_batch_has_no_turn_for_it_but_says_why(bench: Bench) -> None:
    for mark in ("W1", "W2", "W3", "W4", "W5", "W6"):
        bench.tick(mark, "received")
    batch = start_first(bench)
    assert Words(bench.get(batch)).by_id["turn"].startswith("W1")
    came(bench, "W1")
    assert Words(bench.get(batch)).by_id["turn"].startswith("W2")
    page = bench.get(f"{batch}?at=1")
    assert "W1 does not clean up: give its place to a better one" in Words(page).by_id["turn"]
    assert not [one for one in forms_on(page) if one.action.endswith("/done")]


def test_it_is_not_asked_to_join_a_batch(bench: Bench) -> None:
    for mark in ("W2", "W3", "W4", "W5", "W6"):
        bench.tick(mark, "received")
    bench.scrap("W1")
    batch = start_first(bench)
    assert bench.place(1, "left", "W6").status_code == 303
    join = f"{batch}/join"
    assert [one.action for one in forms_on(bench.whole(batch))].count(join) == 1
    came(bench, "W6")
    assert join not in [one.action for one in forms_on(bench.whole(batch))]


def test_the_build_sheet_does_not_send_it_to_the_lathe(bench: Bench) -> None:
    bench.tick("W1", "received")
    came(bench, "W1")
    tile = re.search(r'href="/axles/1#wheel-1".*?</a>', bench.get(BUILD), re.DOTALL)
    assert tile is not None
    said = Words(tile[0]).text
    assert "next: another casting" in said and "back faced" not in said


def test_spares_are_looked_over_with_the_rest(bench: Bench) -> None:
    batch = start_first(bench)
    assert [mark for (mark,) in bench.rows(
        "SELECT mark FROM work_batch_wheel JOIN casting ON casting.id = casting_id ORDER BY ordinal"
    )] == ["W1", "W2", "W3", "W4", "W5", "W6"]  # fmt: skip
    turn = Words(bench.get(f"{batch}?at=5")).by_id["turn"]
    assert turn.startswith("W5 Spare At the bench, with stamps, chalk and rule Look over and mark")
    assert "among the spares now" not in turn
    done = f"{batch}/done"
    for _ in range(6):
        assert (
            bench.post(done, form_on(bench.get(batch), done).filled(wish="yes received")).status_code == 303
        )
    assert "received" in bench.ticks("W5") & bench.ticks("W6")
    # Then they are left in their box.
    assert "W5" not in Words(bench.get(BUILD)).by_id["next"]


def test_rough_sizes_are_measured_too(bench: Bench) -> None:
    own = f"/castings/{bench.id('W1')}"
    assert "Nothing measured yet." in Words(bench.get(f"{own}?open=measured")).text
    edge = {f"edge_{hour}": "0" for hour in (12, 3, 6, 9)}
    face = {f"face_{hour}": "0" for hour in (12, 3, 6, 9)}
    came(bench, "W1", {**PLENTY, **edge, **face, "rough_tread": "116", "weight": "410 g"})
    history = Words(bench.get(f"{own}?open=measured")).by_id["casting-history"]
    assert "Nothing measured yet." not in history
    for said in ("118", "119", "13", "18", "116", "as it came"):
        assert said in history, said


def test_a_healthy_allowance_is_not_headed_stop(bench: Bench) -> None:
    came(bench, "W1", {"rim_height": "11.6", "boss_height": "16.6", "boss_proud": "0"})
    bench.tick("W1", "received")
    # 11.6 as it came and 10 drawn: 0.8 for the back, more than a least cut of 0.5, and less than a cut of 1.
    page = bench.get(f"/castings/{bench.id('W1')}/metal")
    sign = Words(page).by_id["sign"]
    assert "Stop" not in sign and "STOP" not in sign
    assert "Go: a lighter cut" in sign and "a cut of 0.600 mm" in sign
    assert 'data-sign="light"' in page
    # Asked for by name the full cut is still refused.
    asked = Words(bench.get(f"/castings/{bench.id('W1')}/metal?face=rim_back&cut=1")).text
    assert "Stop: a cut of 1.000 mm (0.0394 in) would go 0.200 mm (0.0079 in) past this face's share" in asked
    slip = bench.get(f"/castings/{bench.id('W1')}/bore")
    assert (
        "no full roughing cut" not in slip.lower() and "Rim back: 0.800 mm (0.0315 in) of metal left" in slip
    )
    assert "no full roughing cut" not in bench.get("/axles/1").lower()


def test_it_is_not_ticked_received_unasked(bench: Bench) -> None:
    came(bench, "W1")
    said = Words(bench.get(f"/castings/{bench.id('W1')}/receiving")).text
    # 0.2 mm for two faces, and each wants 0.5.
    short = "It does not clean up: rim back is 0.400 mm (0.0157 in) short of what is needed."
    assert short in said
    asked = bench.refused(lambda: bench.wish("W1", "yes received"), 409)
    assert f"W1 as it came: {short}" in asked.text
    # The batch says it before, and its Done asks the same.
    batch = start_first(bench)
    page = bench.get(batch)
    assert f"W1 as it came: {short}" in Words(page).by_id["asks"]
    done = f"{batch}/done"
    sent = form_on(page, done).filled(wish="yes received")
    assert f"W1 as it came: {short}" in bench.refused(lambda: bench.post(done, sent), 409).text
    sent = form_on(page, done).filled(wish="yes received confirmed", reason="to practise on")
    assert bench.post(done, sent).status_code == 303
    assert bench.journal("W1")[-1] == (
        f"Ticked received. Let pass: W1 as it came: {short} Reason given: to practise on."
    )


@pytest.mark.parametrize(("route", "first"), [("fitted_first", "back_faced"), ("front_first", "bored")])
def test_it_is_not_cut_unasked(client: TestClient, db: Db, route: str, first: str) -> None:
    """Every sheet says that it wants another casting: the tick of its first cut asks, and no later one."""
    bench = Bench(client, db).sit_down()
    bench.metric(route=route)
    came(bench, "W1")
    bench.tick("W1", "received")
    short = "W1 as it came: It does not clean up: "
    assert short in bench.refused(lambda: bench.wish("W1", f"yes {first}"), 409).text
    bench.tick("W1", first)
    assert short in bench.journal("W1")[-1]
    following = "bored" if first == "back_faced" else "back_faced"
    assert bench.wish("W1", f"yes {following}").status_code == 303


def test_of_sizes_not_measured_nothing_is_asked_whether_some_are_or_none(bench: Bench) -> None:
    came(bench, "W1", {"rim_height": "13"})
    came(bench, "W2", PLENTY)
    for mark in ("W1", "W2", "W3"):
        assert bench.wish(mark, "yes received").status_code == 303
    # It is shown all the same.
    assert (
        "As it came: cannot tell" in Words(bench.get(f"/castings/{bench.id('W1')}")).by_id["received-brief"]
    )


def test_a_casting_whose_figures_contradict_is_asked_about(bench: Bench) -> None:
    came(bench, "W1", PLENTY)
    # A boss that stands further out than it is long draws no wheel.
    page = "/builds/1/figures"
    assert bench.send(page, page, boss_proud="-40 mm").status_code == 303
    assert "W1 as it came: The drawing" in bench.refused(lambda: bench.wish("W1", "yes received"), 409).text
