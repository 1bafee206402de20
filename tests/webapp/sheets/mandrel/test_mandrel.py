"""The mandrel through HTTP: a stub for a bore, a wheel on it, which cut it takes at this hour, off, and the bore again."""

import re
from contextlib import closing
from datetime import UTC, datetime, timedelta
from functools import partial
from sqlite3 import connect

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from domain.repeating.settings import Setting
from tests.webapp.scenes import Bench, Words, form_on, forms_on, unfolded
from webapp.db import Db
from webapp.sheets.mandrel.form import read_put_on
from webapp.typed.texts import Typed

FULL = {"shear": "25 MPa", "handling": "60 min", "full_cure": "24 h"}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """One axle whose treads are turned on a mandrel, with a compound that takes its time."""
    bench = Bench(client, db).sit_down()
    bench.metric(curing=True, route="mandrel_first", axles="1", coupled="1", castings="3", marks="W1 W2 W3")
    return bench


def here(bench: Bench, mark: str) -> str:
    return f"/castings/{bench.id(mark)}/mandrel"


def send(bench: Bench, mark: str, what: str, **fields: object) -> Response:
    """Fill in a form of a wheel's mandrel sheet and send it; `what` may name the stub by a #."""
    stub = bench.rows("SELECT max(id) FROM stub")[0][0]
    page = here(bench, mark)
    return bench.send(page, f"{page}/{what.replace('#', str(stub))}", **fields)


def raw(bench: Bench, mark: str, what: str, **fields: object) -> Response:
    """Send what no form on the page would."""
    own, version = bench.rows("SELECT id, version FROM casting WHERE mark = ?", mark)[0]
    stub = bench.one("SELECT max(id) FROM stub")
    action = f"/castings/{own}/mandrel/{what.replace('#', str(stub))}"
    return bench.post(action, {"seen": str(version), **fields})


def turned(bench: Bench, mark: str = "W1", size: str = "19.045", hold: str = "bond") -> None:
    assert send(bench, mark, "stub", hold=hold, size=size).status_code == 303


def ready(bench: Bench, mark: str = "W1", swing: str = "0.02") -> None:
    """A stub that runs true."""
    turned(bench, mark)
    assert send(bench, mark, "#/run-out", swing=swing).status_code == 303


def on(bench: Bench, mark: str = "W1", **fields: object) -> None:
    assert send(bench, mark, "#/on", **fields).status_code == 303


def ago(bench: Bench, **since: float) -> None:
    """Let the compound of the wheel that is on have gone on so long ago."""
    at = (datetime.now(UTC) - timedelta(**since)).strftime("%Y-%m-%d %H:%M:%S.%f")
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("UPDATE stub_turn SET on_at = ? WHERE off_at IS NULL", (at,))
    bench.db.forget_held()


def words(bench: Bench, mark: str = "W1") -> Words:
    return Words(bench.whole(here(bench, mark)))


def test_the_stub_is_sized_for_the_bore_and_every_hold(bench: Bench) -> None:
    bench.bored("W1")
    said = words(bench)
    assert "No stub yet: turn one for W1" in said.by_id["answer"]
    # The bond's gap is 0.02 to 0.05 mm; no instrument is named, so the bore is taken as exact.
    assert "Turn the stub to 19.045 mm" in said.text
    for size in (
        "19.030 to 19.060 mm",
        "19.072 to 19.080 mm",
        "18.980 to 19.060 mm",
        "its own axle carries it",
    ):
        assert size in said.text
    turned(bench)
    assert "Gap 0.035 mm (0.0014 in): good for W1" in words(bench).by_id["answer"]


def test_a_stub_for_all_bores_of_the_set(bench: Bench) -> None:
    bench.bored("W1")
    bench.bored("W2", bore="19.10 mm")
    assert "One stub of 19.050 mm (0.7500 in) to 19.060 mm (0.7504 in) suits all 2 bores" in words(bench).text
    bench.bored("W3", bore="19.20 mm")
    # A spare is no wheel of the set.
    assert "suits all 2 bores" in words(bench).text


def test_a_stub_larger_than_the_bore_is_refused_beside_its_size(bench: Bench) -> None:
    bench.bored("W1")
    refused = bench.refused(partial(send, bench, "W1", "stub", hold="bond", size="19.09"))
    assert "does not go into the bore of W1" in refused.at("size")
    assert "0.010 mm (0.0004 in) too large" in refused.at("size")
    assert not bench.rows("SELECT 1 FROM stub")


@pytest.mark.parametrize(
    ("size", "said"), [("", "19.05"), ("nineteen", "19.05"), ("-3", "has a sign"), ("0", "more than")]
)
def test_a_stub_of_no_size_is_refused(bench: Bench, size: str, said: str) -> None:
    bench.bored("W1")
    refused = bench.refused(partial(send, bench, "W1", "stub", hold="bond", size=size))
    assert said in refused.at("size")


def test_a_stub_that_can_hardly_be_meant_is_asked_about(bench: Bench) -> None:
    bench.bored("W1")
    asked = bench.refused(partial(send, bench, "W1", "stub", hold="bond", size="1.9045"), 409)
    assert "19.045" in asked.at("size")


def test_before_the_bore_is_logged_nothing_goes_on(bench: Bench) -> None:
    bench.bored("W1")
    ready(bench)
    assert "Gauge and log the bore of W2 first" in words(bench, "W2").by_id["answer"]
    refused = bench.refused(partial(raw, bench, "W2", "#/on"))
    assert "The bore of W2 is not logged yet" in refused.text
    for hold, field in (("bond", "size"), ("centres", "hold")):
        refused = bench.refused(partial(raw, bench, "W2", "stub", hold=hold, size="19"))
        assert "The bore of W2 is not logged yet" in refused.text, field
    assert not bench.rows("SELECT 1 FROM stub_turn")


def test_a_run_out_is_logged_before_use_and_judged_by_setting_true(bench: Bench) -> None:
    bench.bored("W1")
    turned(bench)
    assert "run-out is not logged yet; 0.100 mm (0.0039 in) is allowed" in words(bench).by_id["stub"]
    asked = bench.refused(partial(raw, bench, "W1", "#/on"), 409)
    assert "run-out is not logged yet" in asked.text
    refused = bench.refused(partial(send, bench, "W1", "#/run-out", swing="5.1"))
    assert "from nothing to" in refused.at("swing")
    assert send(bench, "W1", "#/run-out", swing="0.12").status_code == 303
    assert "No good: the stub runs out 0.120 mm" in words(bench).by_id["stub"]
    assert "Put it on all the same" in bench.refused(partial(send, bench, "W1", "#/on"), 409).text
    # True enough is a figure of the build.
    bench.send("/builds/1/figures", "/builds/1/figures", true_within="0.06 mm")
    assert "Good: the stub runs out 0.120 mm (0.0047 in) by the dial, 0.120 mm" in words(bench).by_id["stub"]
    on(bench)


def test_a_stub_put_back_is_doubted_until_its_run_out_is_logged_again(bench: Bench) -> None:
    bench.bored("W1")
    ready(bench)
    assert send(bench, "W1", "#/back").status_code == 303
    assert "doubted until its run-out is logged again" in words(bench).by_id["stub"]
    assert "doubted" in bench.refused(partial(raw, bench, "W1", "#/on"), 409).text
    # Who means it says so, and that stays on record.
    assert raw(bench, "W1", "#/on", sure="yes").status_code == 303
    assert "Asked about, and gone on with: Cannot tell: the stub was taken out" in bench.journal("W1")[-1]
    ago(bench, hours=30)
    assert send(bench, "W1", "#/off").status_code == 303
    assert send(bench, "W1", "#/run-out", swing="0.01").status_code == 303
    assert "doubted" not in words(bench).by_id["stub"]


def test_a_cure_in_the_future_is_refused_beside_its_field(bench: Bench) -> None:
    bench.bored("W1")
    ready(bench)
    later = (datetime.now().astimezone() + timedelta(days=1)).strftime("%Y-%m-%d %H:%M")
    refused = bench.refused(partial(send, bench, "W1", "#/on", at=later))
    assert "That is later than now" in refused.at("at")
    assert form_on(unfolded(bench.client, bench.get(here(bench, "W1"))), f"{here(bench, 'W1')}/1/on")
    for text in ("25:00", "soon", "2026-13-01 10:00", "2020-01-01 10:00", "9" * 5_000):
        assert bench.refused(partial(send, bench, "W1", "#/on", at=text)).at("at"), text


def test_a_time_alone_is_of_today_and_with_its_day_of_that() -> None:
    now = datetime.now().astimezone().replace(hour=14, minute=30)
    found, errors = read_put_on(Typed({"at": ["13:05"]}), now)
    assert not errors and found is not None and found.at is not None
    assert (found.at.date(), found.at.hour, found.at.minute) == (now.date(), 13, 5)
    day = (now - timedelta(days=1)).date()
    found, errors = read_put_on(Typed({"at": [f"{day} 20:15"]}), now)
    assert found is not None and found.at is not None and found.at.date() == day
    found, errors = read_put_on(Typed({"at": ["14:31"]}), now)
    assert found is None and "later than now" in errors["at"]
    assert read_put_on(Typed({}), now)[0] is not None


def test_which_cut_the_stub_takes_goes_by_the_hour(bench: Bench) -> None:
    """Nothing before it may be handled, half from there, all at full cure; factor 2 on both cuts."""
    bench.bored("W1")
    bench.send("/builds/1/joints", "/builds/1/joints", **FULL)
    ready(bench)
    on(bench)
    said = words(bench)
    assert "it takes no cut at this hour" in said.by_id["answer"]
    assert said.by_id["cuts"].count("not before") == 2 and "0.0 N m" in said.by_id["cuts"]
    refused = bench.refused(partial(send, bench, "W1", "#/centre"))
    assert "may not be handled before" in refused.text
    ago(bench, minutes=61)
    half = words(bench).by_id["cuts"]
    assert send(bench, "W1", "#/centre").status_code == 303
    ago(bench, hours=25)
    full = words(bench)
    assert "Good: it takes both cuts now" in full.by_id["answer"]
    held = [float(re.findall(r"and ([\d.]+) N m", text)[0]) for text in (half, full.by_id["cuts"])]
    assert held[0] == pytest.approx(held[1] / 2, abs=0.06)
    # Fc = kc1 b h^(1 - m) at 57 mm, twice: the build's usual 1 mm at 0.008 in, and 0.2 mm at 0.004 in.
    asked = [float(one) for one in re.findall(r"asks ([\d.]+) N m", full.by_id["cuts"])]
    kc1, m = 1350, 0.28
    wanted = [2 * kc1 * b * h ** (1 - m) * 57 / 1000 for b, h in ((0.2, 0.1016), (1.0, 0.2032))]
    assert asked == pytest.approx(wanted, abs=0.06)
    assert "a round nose" in full.text


def test_a_bond_too_weak_for_a_cut_is_never_called_good(bench: Bench) -> None:
    bench.bored("W1")
    bench.send("/builds/1/joints", "/builds/1/joints", **{**FULL, "shear": "2 MPa"})
    ready(bench)
    on(bench)
    ago(bench, hours=30)
    said = words(bench).by_id["cuts"]
    assert "Roughing: no good, not even fully cured" in said


def test_what_a_bond_never_takes_is_held_against_what_it_holds_fully_cured(bench: Bench) -> None:
    """2 MPa over the stub's half turned area: nothing is held in the first hour, and that says nothing of the cut."""
    bench.bored("W1")
    bench.send("/builds/1/joints", "/builds/1/joints", **{**FULL, "shear": "1 MPa"})
    ready(bench)
    on(bench)
    early = words(bench)
    ago(bench, hours=30)
    cured = words(bench)
    assert "0.0 N m" not in early.by_id["cuts"]
    (full,) = set(re.findall(r"and ([\d.]+) N m [^;]*is held then", early.by_id["cuts"]))
    assert float(full) > 0 and f"and {full} N m" in cured.by_id["cuts"]
    # Waiting mends it only for the finishing cut, if at all: the answer does not say "yet" where nothing will come.
    assert ("yet" in early.by_id["answer"]) == ("not before" in early.by_id["cuts"])
    refused = bench.refused(partial(bench.wish, "W1", "yes tread_turned"), 409).text
    assert f"and it never holds more than {full} N m" in refused


def test_a_wheel_that_has_not_cured_is_taken_off_its_stub_only_after_asking(bench: Bench) -> None:
    bench.bored("W1")
    bench.send("/builds/1/joints", "/builds/1/joints", **FULL)
    ready(bench)
    on(bench)
    asked = bench.refused(partial(send, bench, "W1", "#/off"), 409)
    assert "W1: The bond is curing: do not take it off its stub before" in asked.text
    assert "Its compound went on at" in asked.text and "60 minutes" in asked.text
    # The yes is a yes to just that, and the reason is kept with it.
    page = f"{here(bench, 'W1')}/{bench.one('SELECT max(id) FROM stub')}/off"
    form = next(
        one
        for one in forms_on(send(bench, "W1", "#/off").text)
        if ("wish", "yes off confirmed") in one.buttons
    )
    other = bench.refused(
        partial(bench.post, page, form.filled(wish="yes off confirmed", asked="another question")), 409
    )
    assert "The bond is curing" in other.text
    assert bench.post(page, form.filled(wish="yes off confirmed", reason="it sat crooked")).status_code == 303
    said = bench.journal("W1")[-1]
    assert "Let pass: W1: The bond is curing" in said and said.endswith("Reason given: it sat crooked.")


def test_off_with_its_tread_unturned_it_is_offered_the_stub_again_before_the_next(bench: Bench) -> None:
    bench.bored("W1", "W2")
    ready(bench)
    on(bench)
    ago(bench, hours=30)
    for what, fields in (("#/off", {}), ("#/cleaned", {}), ("bore", {"reading_front_first": "19.08"})):
        assert send(bench, "W1", what, **fields).status_code == 303
    said = words(bench).by_id["do"]
    assert said.index("Compound on, W1 pressed home now") < said.index("W2")
    bench.tick("W1", "tread_turned")
    assert "Compound on" not in words(bench).by_id["do"]


def test_from_when_it_may_be_handled_is_the_same_minute_everywhere(bench: Bench) -> None:
    """The answer said a minute less than the question at taking it off: seconds are counted up, never down."""
    bench.bored("W1")
    bench.send("/builds/1/joints", "/builds/1/joints", **FULL)
    ready(bench)
    on(bench)
    asked = bench.refused(partial(send, bench, "W1", "#/off"), 409).text
    (until,) = re.findall(r"do not take it off its stub before ([^.]*[0-9]{2}:[0-9]{2})", asked)
    assert f"May be handled from {until}" in asked and f"Finishing: not before {until}" in asked
    assert f"may not be handled before {until}" in bench.refused(partial(send, bench, "W1", "#/centre")).text


def test_a_wheel_that_may_be_handled_comes_off_unasked(bench: Bench) -> None:
    bench.bored("W1")
    bench.send("/builds/1/joints", "/builds/1/joints", **FULL)
    ready(bench)
    on(bench)
    ago(bench, minutes=61)
    assert send(bench, "W1", "#/off").status_code == 303
    assert "Let pass" not in bench.journal("W1")[-1]


def test_a_tread_on_a_stub_that_has_not_cured_is_asked_about_by_name(bench: Bench) -> None:
    bench.bored("W1", "W2")
    bench.send("/builds/1/joints", "/builds/1/joints", **FULL)
    ready(bench)
    # Not on the stub it waits for nothing.
    assert "compound went on" not in Words(bench.get("/axles/1")).by_id["row-tread_turned"]
    on(bench)
    asked = bench.refused(partial(bench.wish, "W1", "yes tread_turned"), 409)
    assert "W1: Wait until" in asked.text and "of the stub, its reserve included" in asked.text
    assert "Its compound went on at" in asked.text
    assert "W1: Wait until" in bench.refused(partial(bench.wish, "W1", "yes tread_turned.to_size"), 409).text
    assert "W1: Wait until" in Words(bench.get("/axles/1")).by_id["row-tread_turned"]
    assert bench.wish("W2", "yes tread_turned").status_code == 303
    ago(bench, hours=25)
    assert bench.wish("W1", "yes tread_turned").status_code == 303


def test_other_holds_have_no_figure_and_ask_for_nothing(bench: Bench) -> None:
    bench.bored("W1")
    turned(bench, size="19.075", hold="push")
    assert send(bench, "W1", "#/run-out", swing="0.02").status_code == 303
    on(bench)
    said = words(bench)
    assert "Cannot tell which cut it takes" in said.text and "cuts" not in said.by_id
    assert bench.wish("W1", "yes tread_turned").status_code == 303
    assert send(bench, "W1", "#/centre").status_code == 303
    assert send(bench, "W1", "#/off").status_code == 303
    # Its own axle is no stub: it has no size, and nothing to read a dial on.
    turned(bench, "W1", size="", hold="centres")
    assert bench.rows("SELECT nm, ended FROM stub ORDER BY id") == [(19_075_000, 1), (None, 0)]


def test_off_cleaned_gauged_again_and_compared(bench: Bench) -> None:
    tool = bench.post(
        "/workshop/instruments/new",
        {"kind": "value", "name": "bore gauge 18-35", "unit": "mm", "reach": "inside", "resolution": "0.001",
         "expanded": "0.004", "alpha": "11.5"},
    )  # fmt: skip
    assert tool.status_code == 303, Words(tool.text).text
    number = str(bench.one("SELECT max(id) FROM instrument"))
    bench.bored("W1")
    assert bench.log("W1", "bore", "19.080 mm", instrument_id=number).status_code == 303
    ready(bench)
    on(bench)
    ago(bench, hours=30)
    assert send(bench, "W1", "#/off").status_code == 303
    assert "clean every trace" in words(bench).by_id["answer"]
    assert send(bench, "W1", "#/cleaned").status_code == 303
    assert "Gauge the bore of W1 again" in words(bench).by_id["answer"]
    refused = bench.refused(partial(send, bench, "W1", "bore", reading_front_first="x"))
    assert refused.at("reading_front_first")
    again = send(bench, "W1", "bore", reading_front_first="19.110", instrument_id=number)
    assert again.status_code == 303
    said = words(bench).by_id["answer"]
    assert said.startswith("Take care: the hole has grown by 0.030 mm (0.0012 in), give or take 0.00")
    assert "For its joint: " in words(bench).text
    # No correction: both readings stand, and the later one is the present bore.
    assert bench.rows("SELECT value, superseded FROM measurement WHERE kind = 'bore' ORDER BY id")[1:] == [
        (19_080_000, 0),
        (19_110_000, 0),
    ]
    assert "Gauged again, off its stub, the bore" in bench.journal("W1")[-1]
    # Misread: this one is a correction of the gauging afterwards, and not of the one before.
    assert bench.log("W1", "bore", "19.081 mm", instrument_id=number).status_code == 303
    assert words(bench).by_id["answer"].startswith("Good: the hole has not grown")
    assert [
        one for (one,) in bench.rows("SELECT superseded FROM measurement WHERE kind = 'bore' ORDER BY id")
    ][1:] == [0, 1, 0]
    # Its tread was not done: it goes on once more.
    on(bench)
    assert "Running centre is in" in words(bench).by_id["do"]
    ago(bench, hours=2)
    assert send(bench, "W1", "#/off").status_code == 303
    assert "clean every trace" in words(bench).by_id["answer"]


def test_the_wheels_of_a_set_go_over_one_stub_one_after_the_other(bench: Bench) -> None:
    bench.bored("W1", "W2")
    ready(bench)
    on(bench)
    assert "W1 is on the stub: log it off first" in words(bench, "W2").by_id["answer"]
    own = here(bench, "W2")
    assert "W1 is on the stub since" in bench.refused(partial(raw, bench, "W2", "#/on")).text
    # Nor is another stub turned under it.
    assert (
        "W1 is on the stub since"
        in bench.refused(partial(raw, bench, "W2", "stub", hold="bond", size="19.04")).text
    )
    assert send(bench, "W1", "#/dial", dial="cross slide 2.35, third turn").status_code == 303
    for text in ("", "x" * 500):
        refused = bench.refused(partial(send, bench, "W1", "#/dial", dial=text))
        # One name for one figure: the field, the fold it lies in, the sentence; and what is set for a cut calls it so too.
        assert "The dial reading at size is" in refused.at("dial"), text
        assert refused.text.count(Setting.DIAL.words) >= 2
    ago(bench, hours=30)
    assert send(bench, "W1", "#/off").status_code == 303
    assert send(bench, "W1", "#/cleaned").status_code == 303
    assert send(bench, "W1", "bore", reading_front_first="19.08").status_code == 303
    assert f'href="{own}"' in bench.get(here(bench, "W1"))
    assert "1 of 2 came off it" in words(bench, "W1").text
    said = words(bench, "W2").text
    assert "Dial reading at size, for all finishing cuts: cross slide 2.35, third turn" in said
    on(bench, "W2")
    ago(bench, hours=30)
    assert send(bench, "W2", "#/centre").status_code == 303
    assert "Dial reading at size: cross slide 2.35, third turn" in words(bench, "W2").text


def test_each_wheels_time_on_the_stub_is_in_its_history(bench: Bench) -> None:
    bench.bored("W1")
    ready(bench)
    at = (datetime.now().astimezone() - timedelta(hours=2)).strftime("%Y-%m-%d %H:%M")
    on(bench, at=at)
    assert send(bench, "W1", "#/off").status_code == 303
    put, off = bench.journal("W1")[-2:]
    assert put.startswith("On the stub of 19.045 mm (0.7498 in), bonded on the stub, compound on at")
    assert "Gap 0.035 mm" in put
    assert off.startswith("Off the stub of 19.045 mm") and "on since" in off and "(AB)" in off
    assert "Off the stub of 19.045 mm" in bench.whole(f"/castings/{bench.id('W1')}")


def test_a_stub_too_large_for_the_next_bore_is_said_and_refused(bench: Bench) -> None:
    bench.bored("W1")
    bench.bored("W2", bore="19.04 mm")
    ready(bench)
    assert "this stub does not go into W2" in words(bench, "W2").by_id["answer"]
    assert "0.005 mm (0.0002 in) too large" in bench.refused(partial(raw, bench, "W2", "#/on")).text


def test_a_gap_that_does_not_serve_is_asked_about(bench: Bench) -> None:
    bench.bored("W1")
    turned(bench, size="18.90")
    assert send(bench, "W1", "#/run-out", swing="0.02").status_code == 303
    assert "no good for W1 on this stub" in words(bench).by_id["answer"]
    assert "no good" in bench.refused(partial(send, bench, "W1", "#/on"), 409).text


def test_a_scrapped_wheel_comes_off_and_goes_on_no_more(bench: Bench) -> None:
    bench.bored("W1")
    ready(bench)
    on(bench)
    assert bench.scrap("W1").status_code == 303
    assert send(bench, "W1", "#/off").status_code == 303
    assert "scrapped" in bench.refused(partial(raw, bench, "W1", "#/on")).text


def test_a_bonded_wheel_by_a_doubted_clock_is_not_called_cured(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.bored("W1")
    ready(bench)
    for room in ("webapp.sheets.mandrel.change", "webapp.sheets.mandrel.view"):
        monkeypatch.setattr(f"{room}.clock_doubted", lambda *_: True)
    asked = bench.refused(partial(send, bench, "W1", "#/on"), 409)
    assert "Set the clock of this machine first" in asked.text
    page, stub = here(bench, "W1"), bench.one("SELECT id FROM stub")
    assert bench.send(page, f"{page}/{stub}/on", sure="yes").status_code == 303
    assert "cannot tell whether the bond is cured" in words(bench).by_id["cuts"]
    monkeypatch.undo()
    ago(bench, hours=30)
    # The clock is right now, and the time it was taken by is not.
    assert "cannot tell whether the bond is cured" in words(bench).by_id["cuts"]
    assert (
        "ticked by a clock that could not be trusted"
        in bench.refused(partial(bench.wish, "W1", "yes tread_turned"), 409).text
    )


@pytest.mark.parametrize("route", ["mandrel_first", "front_first"])
def test_it_is_reached_where_treads_are_turned_on_a_mandrel(client: TestClient, db: Db, route: str) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(route=route, axles="1", coupled="1", castings="2", marks="W1 W2")
    bench.bored("W1", "W2")
    link = f'href="{here(bench, "W1")}"'
    assert link in bench.whole(f"/castings/{bench.id('W1')}")
    assert link in bench.whole("/axles/1?steps=tread_turned")
    batch = bench.send("/builds/1/batches", "/builds/1/batches", wish="start").headers["location"]
    pages = bench.whole(batch)
    assert ("stub mandrel" not in pages) or link in pages


def test_it_is_not_offered_where_treads_are_turned_between_centres(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="2", marks="W1 W2")
    bench.bored("W1")
    for page in (f"/castings/{bench.id('W1')}", "/axles/1?steps=tread_turned"):
        assert "/mandrel" not in bench.whole(page)


def test_opened_by_its_address_there_it_says_so_and_leads_back(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="2", marks="W1 W2")
    bench.bored("W1")
    page = bench.whole(here(bench, "W1"))
    said = Words(page)
    assert said.by_id["answer"] == "W1 needs no stub"
    assert "By this build's route, fitted first, its tread is turned on its own axle." in said.text
    assert f'href="/castings/{bench.id("W1")}"' in page and 'href="/builds/1/edit' in page
    assert all("/mandrel/" not in form.action for form in forms_on(page))


def test_a_stub_of_another_build_is_not_there(bench: Bench) -> None:
    bench.bored("W1")
    ready(bench)
    other = bench.metric(curing=True, axles="1", coupled="1", castings="2", marks="X1 X2")
    own = bench.id("X1", other)
    for what in ("on", "off", "back", "centre", "run-out"):
        answer = bench.post(f"/castings/{own}/mandrel/1/{what}", {"swing": "0.01", "seen": "1"})
        assert answer.status_code == 404, what
    assert bench.client.get("/castings/999/mandrel").status_code == 404
