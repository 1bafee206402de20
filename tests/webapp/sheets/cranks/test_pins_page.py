"""Each wheel's crankpin through HTTP: logged, judged, refused, and on the set as made."""

from __future__ import annotations

from contextlib import closing
from sqlite3 import connect

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import PIN_FIGURES, Bench, Words, bands_on
from webapp.db import Db
from webapp.facts.crankpins import pin_of
from webapp.facts.facts import facts_of
from webapp.records.builds import load_build
from webapp.records.views import BuildView

PAGE, JOINTS = "/builds/1/crankpins", "/builds/1/joints"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    found = Bench(client, db).sit_down()
    found.metric(throw="22.225")
    assert found.send(JOINTS, JOINTS, **PIN_FIGURES).status_code == 303
    return found


def _log(bench: Bench, mark: str = "W1", status: int = 303, **sizes: str) -> Words:
    own = bench.id(mark)
    answer = bench.send(f"{PAGE}?open=pin-{own}", f"/castings/{own}/crankpin#log-{own}", **sizes)
    assert answer.status_code == status, Words(answer.text).text
    return Words(answer.text)


def _build(bench: Bench) -> BuildView:
    with bench.db.read() as session:
        return load_build(session, 1)


def _line(bench: Bench, mark: str = "W1") -> str:
    return " ".join(Words(bench.get(f"{PAGE}?open=pins")).by_id[f"fold-pin-{bench.id(mark)}"].split())


def test_a_pin_is_measured_and_judged_in_a_line(bench: Bench) -> None:
    assert _line(bench) == "W1: not measured"
    _log(bench, pin_hole="8.01")
    assert "W1: " in _line(bench) and "the pin not measured: " in _line(bench)
    _log(bench, pin_seat="7.98", pin_near="0", pin_far="-0.012", pin_over="15")
    line = _line(bench)
    assert "Crankpins as made: 1 of 4 measured, and 0 of 2 spares: " in Words(bench.get(PAGE)).text
    assert "0.030 mm (0.0012 in)" in line
    assert line.endswith("square within 0.012 mm (0.0005 in) over 15.000 mm (0.5906 in)")
    assert _line(bench, "W2") == "W2: not measured"
    assert "Crankpin of W1: " in bench.journal("W1")[-1] or "Crankpin of W1: " in bench.journal("W1")[0]
    own = bench.id("W1")
    more = Words(bench.get(f"{PAGE}?open=pin-{own}")).by_id[f"pin-{own}"]
    assert len(bands_on(bench.get(f"{PAGE}?open=pin-{own}"))) == 1
    assert "The crankpin at its root" in more and "The crankpin in its hole" in more


def test_a_pin_that_leans_is_no_good(bench: Bench) -> None:
    _log(bench, pin_near="0.010", pin_far="-0.015", pin_over="15")
    assert "no good, leans 0.025 mm (0.0010 in) over 15.000 mm" in _line(bench)


def test_a_dial_set_to_nought_next_to_the_wheel_is_a_reading(bench: Bench) -> None:
    page = "/workshop/instruments/new"
    figures = {"kind": "value", "reach": "outside", "unit": "mm", "resolution": "0.01", "expanded": "0.02"}
    assert bench.send(page, page, name="dial", **figures).status_code == 303
    tool = bench.one("SELECT id FROM instrument WHERE name = 'dial'")
    _log(bench, pin_near="0", pin_far="-0.23", pin_over="15", instrument_id=str(tool))
    assert "no good, leans 0.230 mm (0.0091 in) over 15.000 mm" in _line(bench)
    sure = "SELECT expanded FROM measurement WHERE kind = ?"
    assert bench.one(sure, "pin_near") > 0


@pytest.mark.parametrize(
    ("sizes", "field", "words"),
    [
        ({"pin_near": "0"}, "pin_far", "The dial along the pin, next to the wheel and at its end"),
        ({"pin_near": "0", "pin_far": "0.01"}, "pin_over", "how far it was moved go together"),
        ({"pin_seat": "8.2"}, "pin_seat", "larger than its hole of 8.000 mm (0.3150 in) by more than can be"),
        # held over the boss of 15 mm, and 9 mm to the middle of the rod: 33 at most
        ({"pin_whole": "33.1"}, "pin_whole", "longer than its hole and its rods, "),
        ({"pin_near": "0", "pin_far": "0", "pin_over": "19"}, "pin_over", "longer than what stands out"),
        ({"pin_hole": "eight"}, "pin_hole", "eight"),
        ({}, "", "Nothing was typed"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field(
    bench: Bench, sizes: dict[str, str], field: str, words: str
) -> None:
    own = bench.id("W1")
    answer = bench.send(f"{PAGE}?open=pin-{own}", f"/castings/{own}/crankpin#log-{own}", **sizes)
    assert answer.status_code == 422
    found = Words(answer.text)
    said = " ".join((found.by_id[f"{field}-{own}-error"] if field else found.text).split())
    assert words in said
    for key, text in sizes.items():
        assert f'value="{text}"' in answer.text, key
    assert bench.one("SELECT count(*) FROM measurement") == 0


def test_a_wheel_without_cranks_has_no_pin(bench: Bench) -> None:
    """Carrying wheels are another pattern; they stand on no crankpins' sheet, and a form sent all the same is refused."""
    own = bench.id("W1")
    form = bench.form(f"{PAGE}?open=pin-{own}", f"/castings/{own}/crankpin#log-{own}").filled(pin_hole="8")
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("UPDATE pattern SET kind = 'carrying'")
    answer = bench.post(f"/castings/{own}/crankpin", form)
    assert answer.status_code == 422
    assert "has no crankpin" in Words(answer.text).text


def test_the_set_as_made_has_a_measured_pin_and_misses_none(bench: Bench) -> None:
    def rows() -> list[tuple[str, str]]:
        made = facts_of(_build(bench)).made
        return [
            (one.line.row.where, one.line.answer.value)
            for one in made.lines
            if "crankpin" in one.line.row.what
        ]

    assert rows() == []
    _log(bench, pin_hole="8.01", pin_seat="7.98", pin_near="0", pin_far="0.03", pin_over="15")
    found = rows()
    assert [where for where, _ in found] == ["W1, axle 1 left", "W1, axle 1 left"]
    assert found[0][1] == "no good"


def test_the_judge_has_the_measured_sizes_and_how_sure_they_are(bench: Bench) -> None:
    _log(bench, pin_hole="8.01", pin_seat="7.98")
    build = _build(bench)
    state = pin_of(build, next(one for one in build.castings if one.mark == "W1"))
    assert state.finding is not None
    assert (state.finding.case.hole_nm, state.finding.case.pin.seat_nm) == (8_010_000, 7_980_000)
    # pi 32^2 / 4 x 0.6 MPa
    assert state.finding.case.thrust_n == pytest.approx(482.5, abs=0.1)
    assert state.exact
