"""The workshop's machines and chucks, through HTTP."""

from functools import partial

import pytest
from fastapi.testclient import TestClient

from domain.cutting.spindle import MachineKind
from domain.cutting.swing import JawReach, SwingChuck, SwingLathe
from tests.webapp.scenes import Bench, Words
from webapp.db import Db
from webapp.records.machines import list_chucks, list_machines
from webapp.sheets.workshop.change import put_starters
from webapp.sheets.workshop.form_machines import USUAL
from webapp.typed.power import read_power
from webapp.typed.quantities import QuantityError
from webapp.typed.texts import NOTHING_SENT

LATHE = {
    "name": "bench lathe", "kind": "lathe", "unit": "mm", "speeds": "105 45 60", "motor": "550 W",
    "least_feed": "0.05", "centre_height": "89", "gap_radius": "130", "gap_width": "80",
}  # fmt: skip
CHUCK = {
    "name": "four-jaw", "unit": "mm", "body": "125", "depth": "60", "jaw_length": "60", "normal_outside": "50",
    "normal_inside": "", "reversed_outside": "12", "reversed_inside": "", "screw": "3",
}  # fmt: skip
NEW = {"machine": "/workshop/machines/new", "chuck": "/workshop/chucks/new"}
FORM = {"machine": LATHE, "chuck": CHUCK}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def _add(bench: Bench, what: str = "machine", **changes: object) -> int:
    answer = bench.send(NEW[what], NEW[what], **{**FORM[what], **changes})
    assert answer.status_code == 303, Words(answer.text).text
    found: int = bench.one(f"SELECT max(id) FROM {what}")
    return found


def test_an_empty_workshop_says_what_machines_are_for(bench: Bench) -> None:
    words = Words(bench.whole("/workshop")).text
    assert "No machine yet" in words and "No chuck yet" in words


def test_a_lathe_is_stored_as_typed_and_shown(bench: Bench) -> None:
    _add(bench)
    assert bench.rows(
        "SELECT name, kind, speeds, motor_w, least_feed_nm, centre_height_nm, gap_radius_nm, gap_width_nm FROM machine"
    ) == [("bench lathe", "lathe", "45 60 105", 550, 50_000, 89_000_000, 130_000_000, 80_000_000)]
    with bench.db.read() as session:
        (view,) = list_machines(session)
    assert view.tool.kind is MachineKind.LATHE and view.tool.speeds == (45, 60, 105)
    assert view.lathe == SwingLathe(89_000_000, 130_000_000, 80_000_000)
    words = Words(bench.whole("/workshop")).text
    assert "45, 60, 105" in words and "550 W" in words and "89.000 mm (3.5039 in)" in words


def test_a_chuck_is_stored_with_the_reaches_that_were_measured(bench: Bench) -> None:
    _add(bench, "chuck")
    with bench.db.read() as session:
        (view,) = list_chucks(session)
    reach = JawReach(50_000_000), JawReach(12_000_000)
    assert view.chuck == SwingChuck(125_000_000, 60_000_000, *reach, 60_000_000)
    assert view.screw_nm == 3_000_000
    assert "125.000 mm (4.9213 in)" in Words(bench.whole("/workshop")).text


def test_a_reach_of_nothing_is_not_the_same_as_not_measured(bench: Bench) -> None:
    own = _add(bench, "chuck", reversed_inside="0")
    assert bench.rows("SELECT reversed_inside_nm, normal_inside_nm FROM chuck") == [(0, None)]
    page = bench.get(f"/workshop/chucks/{own}")
    assert 'name="reversed_inside" value="0 mm"' in page and 'name="normal_inside" value=""' in page


@pytest.mark.parametrize(
    ("typed", "watts"),
    [
        ("550 W", 550),
        ("0.75 kW", 750),
        ("0,75 kW", 750),
        # One horsepower is 550 foot-pounds a second, 745.700 W (NIST SP 811, appendix B.8).
        ("1 hp", 746),
        ("3/4 hp", 559),
        ("1 1/2 HP", 1119),
        ("½ hp", 373),
    ],
)
def test_the_motors_power(bench: Bench, typed: str, watts: int) -> None:
    _add(bench, motor=typed)
    assert bench.one("SELECT motor_w FROM machine") == watts


def test_a_horsepower_is_the_published_one() -> None:
    assert read_power("1 hp") == pytest.approx(745.6999, abs=0.0001)  # NIST SP 811, 550 ft lbf/s


@pytest.mark.parametrize("typed", ["1 PS", "0,75 PS", "3/4 cv", "1 metric hp", "1 ch"])
def test_metric_horsepower_is_never_taken_for_the_other(bench: Bench, typed: str) -> None:
    words = bench.refused(partial(bench.send, NEW["machine"], NEW["machine"], **{**LATHE, "motor": typed}))
    # NIST SP 811: 735.4988 W.
    assert "metric horsepower" in words.at("motor") and "735.5 W" in words.at("motor")


@pytest.mark.parametrize(
    "typed",
    [
        "550",
        "5/0 hp",
        "nan W",
        "-1 W",
        "1e3 W",
        "9999999 kW",
        "0 W",
        "x",
        "1,234 W",
        "١ kW",
        "1/2",
        "9" * 400,
    ],
)
def test_a_power_that_is_none(typed: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_power(typed)
    assert str(caught.value).endswith(".")


@pytest.mark.parametrize(
    ("typed", "stored"),
    [
        ("60 105;180", "60 105 180"),
        ("60, 105, 180", "60 105 180"),
        ("180 60 60 62.5 rpm", "60 62.5 180"),
        ("100000", "100000"),
    ],
)
def test_spindle_speeds_as_they_may_be_typed(bench: Bench, typed: str, stored: str) -> None:
    _add(bench, speeds=typed)
    assert bench.one("SELECT speeds FROM machine") == stored
    assert f'value="{stored}"' in bench.get("/workshop/machines/1")


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("speeds", "", "copy them from the plate"),
        ("speeds", "60,105", "may be one speed or two"),
        ("speeds", "62,5 100", "may be one speed or two"),
        ("speeds", "sixty", "is no spindle speed"),
        ("speeds", "-60", "is no spindle speed"),
        ("speeds", "nan", "is no spindle speed"),
        ("speeds", "1e9", "is no spindle speed"),
        ("speeds", "0", "from 0.1 to 100000"),
        ("speeds", "999999", "from 0.1 to 100000"),
        ("speeds", " ".join(map(str, range(1, 60))), "more than 40"),
        ("name", "", "is empty"),
        ("name", "x" * 41, "41 characters"),
        ("kind", "mill", "Choose a lathe or a drilling machine"),
        ("unit", "ell", "Choose millimetres or inches"),
        ("least_feed", "-0.1", "has a sign"),
        ("least_feed", "9 mm", "is the unit right?"),
        ("centre_height", "0", "measure from its axis down to the bed"),
        ("centre_height", "", "type that too"),
        ("centre_height", "90 m", "no unit here"),
        ("centre_height", "9999", "is the unit right?"),
        ("gap_radius", "80", "must be deeper than the bed"),
        ("gap_radius", "", "must be deeper than the bed"),
        ("gap_width", "", "The gap has no length"),
    ],
)
def test_a_machine_that_cannot_be(bench: Bench, field: str, typed: str, said: str) -> None:
    words = bench.refused(partial(bench.post, NEW["machine"], {**LATHE, field: typed}))
    assert said in words.at(field), words.described


def test_a_drilling_machine_has_no_centre_height(bench: Bench) -> None:
    wrong = {**LATHE, "kind": "drill"}
    words = bench.refused(partial(bench.post, NEW["machine"], wrong))
    assert "Only a lathe" in words.at("centre_height") and "Only a lathe" in words.at("gap_width")
    empty = dict.fromkeys(("centre_height", "gap_radius", "gap_width", "motor", "least_feed"), "")
    _add(bench, kind="drill", **empty)
    assert (
        "Fed by hand" in Words(bench.whole("/workshop")).text
        or "fed by hand" in Words(bench.whole("/workshop")).text
    )


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("body", "", "Measure this"),
        ("body", "0", "The chuck has no size"),
        ("depth", "", "Measure this"),
        ("depth", "0", "The chuck has no depth"),
        ("jaw_length", "0", "The jaw has no length"),
        ("normal_outside", "-3", "has a sign"),
        ("reversed_inside", "a lot", "does not begin with a figure"),
        ("screw", "0", "A jaw moves with its screw"),
        ("screw", "3 in", "is the unit right?"),
        ("name", "\u0007", "cannot be shown"),
    ],
)
def test_a_chuck_that_cannot_be(bench: Bench, field: str, typed: str, said: str) -> None:
    words = bench.refused(partial(bench.post, NEW["chuck"], {**CHUCK, field: typed}))
    assert said in words.at(field), words.described


def test_a_form_with_nothing_in_it_is_refused_in_words(bench: Bench) -> None:
    for what in ("machine", "chuck"):
        bench.refused(partial(bench.post, NEW[what], {}))


@pytest.mark.parametrize("what", ["machine", "chuck"])
def test_change_retire_and_back_into_use(bench: Bench, what: str) -> None:
    own = _add(bench, what)
    address = f"/workshop/{what}s/{own}"
    assert bench.send(address, address, name="the other one").status_code == 303
    assert bench.one(f"SELECT name FROM {what}") == "the other one"
    assert bench.one(f"SELECT version FROM {what}") == 2
    assert bench.send("/workshop", f"{address}/retire").status_code == 303
    assert bench.one(f"SELECT retired FROM {what}") == 1
    assert "Back into use" in Words(bench.whole("/workshop")).text
    assert bench.send("/workshop", f"{address}/retire").status_code == 303
    assert bench.one(f"SELECT retired FROM {what}") == 0


@pytest.mark.parametrize("what", ["machine", "chuck"])
def test_a_form_sent_twice_is_done_once_and_an_old_page_is_refused(bench: Bench, what: str) -> None:
    _add(bench, what, token="a" * 32)
    assert bench.post(NEW[what], {**FORM[what], "token": "a" * 32}).status_code == 303
    other = {**FORM[what], "token": "a" * 32, "name": "again"}
    assert "“again”" in bench.refused(partial(bench.post, NEW[what], other), 409).text
    assert bench.one(f"SELECT count(*) FROM {what}") == 1
    address = f"/workshop/{what}s/1"
    assert bench.send(address, address, name="second").status_code == 303
    words = bench.refused(partial(bench.send, address, address, seen="1", name="third"), 409)
    assert "out of date" in words.text
    bench.refused(partial(bench.post, f"{address}/retire", {"seen": "1", "retired": "yes"}), 409)


@pytest.mark.parametrize("what", ["machine", "chuck"])
def test_a_name_is_given_once(bench: Bench, what: str) -> None:
    _add(bench, what)
    words = bench.refused(
        partial(bench.send, NEW[what], NEW[what], **{**FORM[what], "name": FORM[what]["name"].upper()})
    )
    assert "is called" in words.at("name")


def test_what_is_not_there(bench: Bench) -> None:
    for path in ("/workshop/machines/9", "/workshop/chucks/9", "/workshop/machines/new?kind=mill"):
        assert bench.client.get(path).status_code == 404
    for what in ("machine", "chuck"):
        assert bench.post(f"/workshop/{what}s/9", FORM[what]).status_code == 404
        assert bench.post(f"/workshop/{what}s/9/retire", {"retired": "yes", "seen": "1"}).status_code == 404


def test_starters_are_put_once_and_named_for_what_they_are(bench: Bench) -> None:
    action = "/workshop/machines/starters"
    first = bench.send("/workshop", action)
    assert first.headers["location"] == "/workshop?put=machines#machines"
    names = [name for (name,) in bench.rows("SELECT name FROM machine UNION ALL SELECT name FROM chuck")]
    assert len(names) == 3 and all("invented figures" in name for name in names)
    before = bench.dump()
    assert bench.send("/workshop", action).headers["location"] == "/workshop?put=no-machines#machines"
    assert bench.dump() == before and put_starters(bench.db, NOTHING_SENT, USUAL) == 0
    # Each starter is one that the forms themselves would take.
    for what in ("machine", "chuck"):
        for (own,) in bench.rows(f"SELECT id FROM {what}"):
            address = f"/workshop/{what}s/{own}"
            assert bench.send(address, address).status_code == 303
