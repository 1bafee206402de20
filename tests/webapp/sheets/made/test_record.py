"""The wheel-set record: each wheel's own sizes as made against the drawing, axle by axle, in one table for each pattern."""

from __future__ import annotations

from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words
from webapp.db import Db
from webapp.facts.made_record import SizesTable, sizes_of
from webapp.records.builds import load_build


def the_table(bench: Bench) -> SizesTable:
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    (table,) = sizes_of(build)
    return table


def test_each_size_stands_under_its_name_and_its_drawing(bench: Bench) -> None:
    assert bench.seat(1, "left", "19.04 mm").status_code == 303
    bench.put("pin_seat", 7_985_000, (7_985_000, "7.985", None, None), casting_id=1)
    bench.put("tread", 110_020_000, (110_020_000, "110.02", None, None), casting_id=1)
    table = the_table(bench)
    assert table.names == ("bore", "seat", "gap", "throw", "pin hole", "pin", "tread diameter")
    assert table.drawn[:2] == ("19.050 mm", "19.050 mm") and table.drawn[3] == "28.000 mm"
    assert table.drawn[2] == "0.020 mm to 0.050 mm" and table.drawn[6] == "110.000 mm"
    ((axle, (left, right)),) = table.axles
    assert axle.number == 1 and (left.wheel.mark, right.wheel.mark) == ("W1", "W2")
    assert left.sizes == (
        "19.080 mm", "19.040 mm", "0.040 mm", "28.010 mm", None, "7.985 mm", "110.020 mm",
    )  # fmt: skip
    # A gap wants both; what nobody measured is left open.
    assert right.sizes == ("19.080 mm", None, None, "28.010 mm", None, None, None)


def test_the_record_has_the_table_and_says_one_name_for_one_thing(bench: Bench) -> None:
    assert bench.seat(1, "left", "19.04 mm").status_code == 303
    bench.heights(1, 60_000_000, 79_800_000, 79_900_000, at="2099-01-01 10:00:00.000000")
    text = Words(bench.get("/builds/1/record")).text
    assert "W1 axle 1, left 19.080 mm 19.040 mm 0.040 mm 28.010 mm – – –" in text
    assert text.count("Error of the quarter angle") == 1 and "quarter angle 90°" in text
    assert " crank " not in text and "to left" not in text
    assert text.index("Made by") < text.index("Every size against its limits")


def test_wheels_that_carry_have_no_throw_and_no_pin(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="", castings="2")
    bench.bored("W1")
    table = the_table(bench)
    assert table.names == ("bore", "seat", "gap", "tread diameter")
    assert table.axles[0][1][0].sizes[0] is not None


def test_a_record_says_what_was_let_pass_and_then_why(bench: Bench) -> None:
    """The reason typed stands after what it is the reason of, and takes no place of it."""
    page = "/axles/1/assembly"
    assert bench.send(page, page, axle_run_out="0.06").status_code == 303
    asked = Words(bench.wish("W1", "yes painted").text).text
    assert "Why all the same, for the record" in asked and "may stay empty" not in asked
    assert bench.wish("W1", "yes painted confirmed", reason="it is cured.").status_code == 303
    for record in ("/axles/1/record", "/castings/1/card"):
        said = Words(bench.get(record)).text
        assert "Axle 1: no good: run-out 0.060 mm" in said, record
        assert said.index("run-out 0.060") < said.index("Reason given: it is cured."), record
    # One line each on the record of the set, which leads to them.
    said = Words(bench.get("/builds/1/record")).text
    assert "W1, painted: it is cured. AB" in said and "in full in the axle's own record" in said


def test_a_question_says_where_its_reason_may_stay_empty(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric()
    bench.bored("W1")
    asked = Words(bench.wish("W1", "yes pressed").text).text
    assert "Why all the same, for the record (may stay empty)" in asked
    assert bench.wish("W1", "yes pressed confirmed").status_code == 303
