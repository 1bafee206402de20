"""Patterns of wheel: each with its own drawing, axles, castings and spares; one is no place for another's casting."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, form_on
from webapp.db import Db
from webapp.facts.facts import facts_of
from webapp.records.builds import find_build
from webapp.web.register import SHEETS

_TENDER = {
    "axles": "4 5", "marks": "T1 T2 T3 T4 T5", "tread_diameter": "70", "boss_diameter": "24", "bore": "12", "seat": "12",
    "boss_length": "14", "tyre_width": "11", "flange_width": "2.1", "flange_depth": "2.2", "root_radius": "1.3",
    "fit_least": "", "fit_most": "",
}  # fmt: skip


def _form(bench: Bench, address: str = "/builds/1/patterns/new", action: str = "/builds/1/patterns") -> Any:
    return form_on(bench.get(address), action)


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


@pytest.fixture
def engine(bench: Bench) -> Bench:
    """Three coupled axles with eight castings, and a four-wheel tender with five."""
    bench.metric(axles="3", coupled="1 2 3", castings="8")
    answer = bench.post("/builds/1/patterns", _form(bench).filled(who="AB", **_TENDER))
    assert answer.status_code == 303, answer.text
    return bench


def _build(bench: Bench) -> Any:
    with bench.db.read() as session:
        return find_build(session, 1)


def test_each_pattern_has_its_own(engine: Bench) -> None:
    build = _build(engine)
    driving, tender = build.patterns
    assert [axle.number for axle in build.of(tender).axles] == [4, 5]
    assert [one.mark for one in build.of(tender).castings] == ["T1", "T2", "T3", "T4", "T5"]
    assert [one.mark for one in build.of(tender).spares] == ["T5"]
    assert [one.mark for one in build.of(driving).spares] == ["W7", "W8"]
    assert (build.of(tender).nm("bore"), build.of(driving).nm("bore")) == (12_000_000, 19_050_000)
    assert build.of(tender).nm("gauge") == build.of(driving).nm("gauge") == build.nm("gauge")
    assert {axle.number: axle.coupled for axle in build.axles} == {
        1: True,
        2: True,
        3: True,
        4: False,
        5: False,
    }
    with pytest.raises(KeyError):
        build.nm("bore")  # of a whole build with two patterns this has no answer


def test_a_bore_is_judged_by_its_own_patterns_drawing(engine: Bench) -> None:
    """12.03 in a tender wheel is what its drawing asks for; for a driving wheel it would be a hole far too small."""
    build = _build(engine)
    tender, driving = (next(c for c in build.castings if c.mark == mark) for mark in ("T1", "W1"))
    for wheel, near in ((tender, 12_000_000), (driving, 19_050_000)):
        window = facts_of(build.of(wheel)).joints.bore_sizes(wheel)
        assert window is not None and abs(window[0] - near) < 100_000, wheel.mark
    assert "12.0" in Words(engine.get(f"/castings/{tender.id}/bore")).text
    assert "19.0" in Words(engine.get(f"/castings/{driving.id}/bore")).text


def test_a_casting_has_no_place_at_an_axle_of_another_pattern(engine: Bench) -> None:
    away = engine.form("/castings/1", "/castings/1/spare").filled()
    assert engine.post("/castings/1/spare", away).status_code == 303
    axle = _build(engine).axles[0]
    data = {"casting": str(engine.id("T5")), "who": "AB", "seen": str(axle.version)}
    answer = engine.post(f"/axles/{axle.id}/places/left", data)
    assert "T5 is of the tender wheels, and axle 1 has driving wheels" in answer.text
    assert _build(engine).axle(axle.id).left is None
    assert "T5" not in Words(engine.get(f"/axles/{axle.id}")).text


@pytest.mark.parametrize(
    ("change", "field", "said"),
    [
        ({"name": "driving WHEELS"}, "name", "There is a pattern driving WHEELS already"),
        ({"axles": ""}, "axles", "Write the numbers of its axles"),
        ({"axles": "4 6"}, "axles", "Axle 5 would be missing"),
        ({"axles": "0"}, "axles", "from 1 to 12"),
        ({"axles": "four"}, "axles", "Write the numbers"),
        ({"marks": ""}, "marks", "at least one mark"),
        ({"marks": "W1"}, "marks", "The mark W1 is taken"),
        ({"bore": "13"}, "seat", "No fit joins this seat to a bore of 13.000 mm"),
        ({"bore": "40"}, "bore", "smaller than the boss"),
        ({"kind": "flying"}, "kind", "what the wheels are for"),
        ({"kind": "coupled", "throw": "20", "crankpin_hole": "8"}, "throw", "they must have the same"),
    ],
)
def test_what_cannot_be_is_said_at_its_field(
    bench: Bench, change: dict[str, str], field: str, said: str
) -> None:
    bench.metric(axles="3", coupled="1 2 3", castings="8")
    data = _form(bench).filled(who="AB", **(_TENDER | change))
    words = bench.refused(lambda: bench.post("/builds/1/patterns", data), 422)
    assert said in words.at(field)
    assert bench.one("SELECT count(*) FROM pattern") == 1


def test_one_whose_castings_are_in_work_is_not_taken_out(engine: Bench) -> None:
    words = Words(engine.get("/builds/1/patterns/2")).text
    assert "Tender wheels cannot be taken out: T1, T2, T3, T4 of it have places." in words
    answer = engine.client.post(
        "/builds/1/patterns/2/out", data={"who": "AB", "seen": str(_build(engine).version)}
    )
    assert answer.status_code >= 400 and "have places" in answer.text
    assert engine.one("SELECT count(*) FROM pattern") == 2


def test_figures_that_change_under_work_done_are_asked_about(engine: Bench) -> None:
    data = _form(engine, "/builds/1/patterns/2", "/builds/1/patterns/2").filled(who="AB", axles="4")
    words = engine.refused(lambda: engine.post("/builds/1/patterns/2", data), 409)
    assert "Axle 5 goes: T3 and T4 go to the spares." in words.text
    data |= {"confirmed": "yes"}
    assert engine.post("/builds/1/patterns/2", data).status_code == 303
    build = _build(engine)
    assert [axle.number for axle in build.axles] == [1, 2, 3, 4]
    assert [one.mark for one in build.of(build.patterns[1]).spares] == ["T3", "T4", "T5"]


def test_a_spare_bought_later_says_of_which_it_is(engine: Bench) -> None:
    data = form_on(engine.get("/builds/1?open=more-castings"), "/builds/1/castings").filled(
        who="AB", marks="T6"
    )
    data["pattern"] = "2"
    assert engine.post("/builds/1/castings", data).status_code == 303
    build = _build(engine)
    (new,) = (one for one in build.castings if one.mark == "T6")
    assert build.pattern_of(new).name == "Tender wheels"
    data["marks"] = "X1"
    data["pattern"] = "77"
    assert engine.post("/builds/1/castings", data).status_code == 422


def test_every_sheet_of_both_patterns_opens(engine: Bench) -> None:
    build = _build(engine)
    castings = [
        next(one.id for one in build.castings if one.mark == mark) for mark in ("W1", "W8", "T1", "T5")
    ]
    axles = [build.axles[0].id, build.axles[4].id]
    opened = 0
    for sheet in SHEETS:
        names = set(re.findall(r"{(\w+)}", sheet.address))
        if names - {"build_id", "casting_id", "axle_id", "pattern_id"}:
            continue
        for own in castings if "casting_id" in names else axles if "axle_id" in names else (1, 2):
            ids = {"build_id": 1, "pattern_id": own, "casting_id": own, "axle_id": own}
            for query in ("", "?pattern=2") if "build_id" in names else ("",):
                address = sheet.address.format(**ids) + query
                answer = engine.client.get(address)
                cranks = sheet.address.endswith(("crankpins", "balance")) and query
                assert answer.status_code == (404 if cranks else 200), address
                opened += 1
    assert opened > 80


def test_what_all_wheels_share_is_changed_in_the_builds_own_form(engine: Bench) -> None:
    page = engine.get("/builds/1/edit")
    data = form_on(page, "/builds/1/edit").filled(who="AB", name="With a tender", back_to_back="83.2")
    assert not {"bore", "axles", "coupled", "tread_diameter"} & set(data)
    before = _build(engine)
    assert engine.post("/builds/1/edit", data).status_code == 303
    after = _build(engine)
    assert (after.name, after.nm("back_to_back")) == ("With a tender", 83_200_000)
    assert [(one.name, one.figures) for one in after.patterns] == [
        (one.name, one.figures) for one in before.patterns
    ]
    assert [axle.pattern_id for axle in after.axles] == [axle.pattern_id for axle in before.axles]


def test_coupled_axles_of_another_pattern_are_in_the_rods(bench: Bench) -> None:
    """Two patterns with cranks: the rods, the throws and the common diameter are judged over both."""
    bench.metric(axles="2", coupled="1 2", castings="5")
    coupled = _TENDER | {
        "name": "Leading coupled wheels", "kind": "coupled", "axles": "3", "marks": "C1 C2 C3", "tread_diameter": "110",
        "boss_diameter": "34", "bore": "20", "seat": "20", "throw": "28", "crankpin_hole": "9",
    }  # fmt: skip
    answer = bench.post("/builds/1/patterns", _form(bench).filled(who="AB", **coupled))
    assert answer.status_code == 303, answer.text
    build = _build(bench)
    rods = facts_of(build).rods.coupled
    assert [axle.number for axle in rods.axles] == [1, 2, 3]
    whole, part = facts_of(build), facts_of(build.of(build.axles[2]))
    assert part.rods is whole.rods and part.throws is whole.throws and part.made is whole.made
    (group,) = part.treads.groups
    assert [wheel.mark for wheel in group.wheels] == ["W1", "W2", "W3", "W4", "C1", "C2"]
    bench.bored("C1", bore="20.03 mm")
    found = _build(bench)
    wheel = next(one for one in found.castings if one.mark == "C1")
    joint = facts_of(found.of(wheel)).joints.of(wheel)
    assert joint is not None and joint.finding.case.seat.nm == 20_000_000


def test_an_axle_is_not_taken_from_another_pattern_unasked(bench: Bench) -> None:
    """3 typed for 5: a six-coupled engine must not become four-coupled by a slip of the thumb."""
    bench.metric(axles="3", coupled="1 2 3", castings="8")
    data = _form(bench).filled(who="AB", **(_TENDER | {"axles": "3 4"}))
    words = bench.refused(lambda: bench.post("/builds/1/patterns", data), 409)
    assert "Axle 3 has driving wheels now: W5 and W6 go to the spares." in words.text


def test_wheels_put_to_the_spares_by_a_pattern_are_known_again_at_their_axle(bench: Bench) -> None:
    """Changed back, the axle offers first the two that stood at it, though another spare is further on."""
    bench.metric(axles="3", coupled="1 2 3", castings="8")
    bench.tick("W8", "received")
    data = _form(bench).filled(who="AB", **(_TENDER | {"axles": "3 4"}), confirmed="yes")
    assert bench.post("/builds/1/patterns", data).status_code == 303
    axle = next(one for one in _build(bench).axles if one.number == 3)
    assert "to have Tender wheels: W5 and W6 go to the spares." in bench.whole(f"/axles/{axle.id}/journal")
    for mark in [wheel.mark for wheel in axle.wheels]:
        away = bench.form(f"/castings/{bench.id(mark)}", f"/castings/{bench.id(mark)}/spare").filled()
        assert bench.post(f"/castings/{bench.id(mark)}/spare", away).status_code == 303
    first = _build(bench).patterns[0]
    page = f"/builds/1/patterns/{first.id}"
    back = form_on(bench.get(page), page).filled(axles="1 2 3", confirmed="yes", who="AB")
    assert bench.post(page, back).status_code == 303
    html = bench.get(f"/axles/{axle.id}")
    put = re.findall(r"Put (\w+) here</button><span>([^<]*)<", html)
    assert [mark for mark, _ in put[:4]] == ["W5", "W6", "W8", "W7"]
    assert ["it stood here before" in words for _, words in put[:4]] == [True, True, False, False]


def test_a_wheel_without_a_crankpin_has_no_throw(engine: Bench) -> None:
    own = engine.id("T1")
    assert "T1 has no crankpin, so it has no throw" in Words(engine.get(f"/castings/{own}/throw")).text
    assert f"/castings/{own}/throw" not in engine.get(f"/castings/{own}/bore")


_AT = "2026-01-01 10:00:00.000000"
_WORK = ("received", "back_faced", "bored", "pressed", "tread_turned", "painted")


@pytest.mark.parametrize("measured", [False, True])
def test_every_batch_and_the_fits_open_whatever_patterns_have_part_in_them(
    engine: Bench, measured: bool
) -> None:
    """A batch is of the whole build: each wheel in it is asked by its own drawing."""
    axles = engine.rows("SELECT id, pattern_id FROM axle")
    castings = engine.rows("SELECT id, pattern_id FROM casting WHERE build_id = 1")
    about = {1: 19_080_000, 2: 12_030_000}
    if measured:
        for axle, pattern in axles:
            for side in ("left", "right"):
                nm = about[pattern] - 40_000
                engine.put("seat", nm, (nm, f"{nm / 1e6:.3f}", None, None), axle_id=axle, side=side)
        for casting, pattern in castings:
            nm = about[pattern]
            engine.put("bore", nm, (nm, f"{nm / 1e6:.3f}", None, None), casting_id=casting)
    seen = set()
    for stage in _WORK:
        engine.get("/builds/1/fits")
        engine.get("/builds/1/export")
        answer = engine.send("/builds/1/batches", "/builds/1/batches", wish="start")
        assert answer.status_code == 303, answer.text
        batch = answer.headers["location"].partition("?")[0].partition("#")[0]
        for at in range(1, 9):
            seen |= set(re.findall(r"\b([WT]\d)\b", engine.get(f"{batch}?at={at}")))
        assert engine.send(batch, f"{batch}/end").status_code == 303
        with closing(sqlite3.connect(engine.db.path)) as connection, connection:
            for casting, _ in castings:
                connection.execute(
                    "INSERT INTO tick (casting_id, key, at, who) VALUES (?, ?, ?, 'AB')",
                    (casting, stage, _AT),
                )
    assert {mark[0] for mark in seen} == {"W", "T"}


def test_no_crankpin_hole_stands_beside_a_wheel_without_a_crank(engine: Bench) -> None:
    """What follows is of the driving wheels, and is said with their marks beside the tender's."""
    for mark in ("W1", "W2", "W3", "W4", "W5", "W6"):
        engine.tick(mark, "received", "back_faced", "bored")
        engine._arrange(mark, "bores", reading="19.08 mm")
    for mark in ("T1", "T2", "T3", "T4"):
        engine.tick(mark, "received", "back_faced")
    for mark in ("W7", "W8", "T5"):
        engine.tick(mark, "received")
    first = Words(engine.get("/builds/1")).by_id["next"]
    assert "T1, T2, T3, T4: set true from the front, face it and bore" in first
    assert "then W1, W2, W3, W4, W5, W6: drill the crankpin hole and log the throw; " in first
    plan = "/builds/1/batches"
    assert engine.send(plan, plan, wish="start").headers["location"] == "/batches/1"
    assert "W5, W6: drill the crankpin hole" in Words(engine.get("/builds/1")).by_id["next"]
    for mark in ("T1", "T2", "T3", "T4"):
        assert (
            "crank"
            not in Words(engine.whole(f"/castings/{engine.id(mark)}")).by_id[f"wheel-{engine.id(mark)}"]
        )


@pytest.mark.parametrize(("kind", "name"), [("carrying", "Carrying wheels"), ("bogie", "Bogie wheels")])
def test_a_pattern_without_a_name_is_called_by_what_it_is_for(bench: Bench, kind: str, name: str) -> None:
    """What was tapped last names it; a name that was typed stays."""
    bench.metric(axles="3", coupled="1 2 3", castings="8")
    form = form_on(bench.get("/builds/1/patterns/new"), "/builds/1/patterns")
    assert form.fields["name"] == [""]
    data = form.filled(axles="4", marks="C1 C2", kind=kind)
    assert bench.post("/builds/1/patterns", data).status_code == 303
    assert bench.one("SELECT name FROM pattern ORDER BY id DESC") == name


def test_what_was_done_last_says_what_of_a_pattern_was_changed(bench: Bench) -> None:
    """Steel tyres are a line too long to be read at a glance: it begins with what is new."""
    bench.metric(axles="1", coupled="1", castings="2")
    page = f"/builds/1/patterns/{bench.one('SELECT id FROM pattern')}"
    tyres = {"tyre_inside": "95 mm", "rim_inside": "80 mm", "tyre_least": "0.06 mm", "tyre_most": "0.08 mm"}
    assert bench.send(page, page, **tyres).status_code == 303
    html = bench.get("/builds/1")
    last = Words(html[html.index('id="last-done"') :]).text
    assert "tyre's inside, on the wheel centre now 95.000 mm" in last and "…" in last
