"""The table of measurements: what it refuses, and what stands of what is in it."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench
from webapp.db import Db
from webapp.models import unit_of
from webapp.records.builds import load_build
from webapp.records.heights import heights_of
from webapp.records.measured import history_of
from webapp.records.views import BuildView
from webapp.records.workshop import list_reamers

AT = "2026-11-25 20:00:00.000000"
STRUCK = {"struck_out_why": "the wrong wheel", "struck_out_by": "AB", "struck_out_at": AT}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """W1 to W4 on two axles, W1 bored."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    bench.tick("W1", "received", "back_faced", "bored")
    return bench


def _strike(bench: Bench, own: int) -> None:
    with closing(sqlite3.connect(bench.db.path)) as connection, connection:
        connection.execute(
            "UPDATE measurement SET struck_out_why = :struck_out_why, struck_out_by = :struck_out_by,"
            " struck_out_at = :struck_out_at WHERE id = :id",
            {"id": own, **STRUCK},
        )


def _build(bench: Bench) -> BuildView:
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    return build


def _bore_nm(bench: Bench) -> int | None:
    bore = _build(bench).castings[0].bore
    return None if bore is None else bore.mean_nm


@pytest.mark.parametrize(
    "kind", ["bore", "flange_height", "pin_heights", "weight", "pin_weight", "quarter_angle"]
)
def test_kind_and_unit_go_together(bench: Bench, kind: str) -> None:
    for unit in ("nm", "mg", "udeg", ""):
        if unit == unit_of(kind):
            bench.put(kind, 1, casting_id=1, unit=unit)
            continue
        with pytest.raises(sqlite3.IntegrityError, match="ck_measurement_unit"):
            bench.put(kind, 1, casting_id=1, unit=unit)
    assert bench.rows("SELECT unit FROM measurement") == [(unit_of(kind),)]


@pytest.mark.parametrize(
    ("kind", "columns", "rule"),
    [
        ("tread", {}, "of_one_thing"),
        ("tread", {"casting_id": 1, "axle_id": 1}, "of_one_thing"),
        ("bore", {"axle_id": 1}, "of_casting"),
        ("throw", {"axle_id": 1}, "of_casting"),
        ("seat", {"axle_id": 1}, "seat_of_end"),
        ("tread", {"casting_id": 1, "side": "left"}, "side"),
        ("seat", {"axle_id": 1, "side": "middle"}, "side"),
        ("pin_heights", {"axle_id": 1, "left_casting_id": 1}, "pair"),
        ("tread", {"casting_id": 1, "left_casting_id": 1, "right_casting_id": 2}, "pair"),
        ("bore", {"casting_id": 1, "low": 1}, "value_or_interval"),
        ("bore", {"casting_id": 1, "high": 1}, "value_or_interval"),
        ("bore", {"casting_id": 1, "struck_out_at": AT}, "struck_out"),
        ("bore", {"casting_id": 1, "struck_out_at": AT, "struck_out_by": "AB"}, "struck_out"),
        ("bore", {"casting_id": 1, "struck_out_why": "no reason"}, "struck_out"),
    ],
)
def test_what_cannot_be_is_not_stored(bench: Bench, kind: str, columns: dict[str, object], rule: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=f"ck_measurement_{rule}"):
        bench.put(kind, 19_050_000, **columns)
    assert bench.rows("SELECT * FROM measurement") == []


def test_what_is_struck_out_counts_for_nothing_and_what_it_corrected_stands_again(bench: Bench) -> None:
    assert bench.log("W1", "bore", "19.08 mm").status_code == 303
    assert bench.log("W1", "bore", "19.09 mm").status_code == 303
    assert _bore_nm(bench) == 19_090_000
    _strike(bench, 2)
    assert _bore_nm(bench) == 19_080_000
    # Another may take the place of the correction that was struck out, but only one.
    assert bench.log("W1", "bore", "19.085 mm").status_code == 303
    assert bench.rows("SELECT id, supersedes_id FROM measurement") == [(1, None), (2, 1), (3, 1)]
    assert _bore_nm(bench) == 19_085_000
    with pytest.raises(sqlite3.IntegrityError, match="UNIQUE"):
        bench.put("bore", 19_085_000, casting_id=1, supersedes_id=1)
    with bench.db.read() as session:
        history = history_of(session, 1)
    told = [(one.mean_nm, one.superseded, one.struck_out_why) for one in history]
    assert told == [
        (19_080_000, True, None),
        (19_090_000, False, "the wrong wheel"),
        (19_085_000, False, None),
    ]
    _strike(bench, 3)
    _strike(bench, 1)
    assert _bore_nm(bench) is None


def test_a_later_state_of_the_metal_is_no_correction(bench: Bench) -> None:
    for nm in (13_000_000, 12_000_000, 11_000_000):
        bench.put("rim_height", nm, (None, f"{nm} nm", None, None), casting_id=1)
    with bench.db.read() as session:
        history = history_of(session, 1)
    assert [(one.nm, one.text, one.superseded) for one in history] == [
        (13_000_000, "13000000 nm", False),
        (12_000_000, "12000000 nm", False),
        (11_000_000, "11000000 nm", False),
    ]
    assert _build(bench).castings[0].sizes["rim_height"].nm == 11_000_000
    _strike(bench, 3)
    assert _build(bench).castings[0].sizes["rim_height"].nm == 12_000_000


def test_readings_of_one_set_up_stand_or_fall_together(bench: Bench) -> None:
    for centre in (60_000_000, 61_000_000):
        bench.heights(1, centre, 75_620_000, 75_800_000, at=AT)
    with bench.db.read() as session:
        assert heights_of(session, 1)[1].centre.nm == 61_000_000
    _strike(bench, 2)
    with bench.db.read() as session:
        assert heights_of(session, 1)[1].centre.nm == 60_000_000
    _strike(bench, 1)
    with bench.db.read() as session:
        assert heights_of(session, 1) == {}


def test_a_measurement_of_a_pair_is_none_of_the_axle_alone(bench: Bench) -> None:
    bench.put("back_to_back", 83_300_000, axle_id=1, left_casting_id=1, right_casting_id=2)
    assert _build(bench).axles[0].sizes == {}
    bench.put("back_to_back", 83_400_000, axle_id=1)
    assert _build(bench).axles[0].sizes["back_to_back"].nm == 83_400_000


def test_a_reamer_learns_nothing_from_what_is_struck_out(bench: Bench) -> None:
    with closing(sqlite3.connect(bench.db.path)) as connection, connection:
        connection.execute(
            "INSERT INTO reamer (name, nominal_nm, text, retired) VALUES ('R', 19050000, '', 0)"
        )
    own = bench.put("bore", 19_058_000, casting_id=1, reamer_id=1)
    with bench.db.read() as session:
        assert list_reamers(session)[0].reamer.bores_nm == (19_058_000,)
    _strike(bench, own)
    with bench.db.read() as session:
        assert list_reamers(session)[0].reamer.bores_nm == ()
