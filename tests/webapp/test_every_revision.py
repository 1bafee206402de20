"""A file of every earlier revision, with data of its time in it, is brought up: nothing is lost, and every sheet opens.

What was measured is compared row by row in `test_measured_migration.py`; here every revision takes the whole way.
"""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from fastapi.testclient import TestClient

from domain.drawing import TRACK_KEYS
from tests.webapp.conftest import ORIGIN
from tests.webapp.facts.conftest import demo_file  # noqa: F401
from tests.webapp.photos import jpeg
from tests.webapp.scenes import Bench
from webapp import upgrade
from webapp.app import create_app
from webapp.datafile import APPLICATION_ID
from webapp.db import Db
from webapp.exchange.reading import read_document
from webapp.exchange.storing import store
from webapp.exchange.writing import document_of, written
from webapp.records.builds import find_build
from webapp.settings import MIGRATIONS, Settings

(_OWN,) = (MIGRATIONS / "versions").glob("*_permanent_ids.py")
BEFORE_IDS = upgrade.revisions()[upgrade.revisions().index(_OWN.name.split("_")[0]) - 1]
# What the tables of today say of an axle, as those of before patterns said it.
_COUPLED = "(SELECT kind IN ('driving', 'coupled') FROM demo.pattern WHERE pattern.id = pattern_id)"
KEPT_BY_THE_FILE = ("alembic_version", "write_mark", "sqlite_sequence")
EARLIER = upgrade.revisions()[:-1]
NAMED = ("build", "axle", "casting", "instrument", "reamer")
PHOTO = jpeg(320, 200)
AT = "2026-01-01 10:00:00.000000"
_DRAWING = {
    "gauge": 89, "back_to_back": 83.3, "tyre_width": 10, "flange_width": 2, "flange_depth": 2, "root_radius": 1.2,
    "tread_diameter": 110, "boss_diameter": 32, "boss_length": 15, "bore": 19.05, "seat": 19.05, "throw": 28,
    "crankpin_hole": 8, "fit_least": 0.02, "fit_most": 0.05,
}  # fmt: skip
_STAMP = {"who": "AB", "at": AT}
_MEASURED = {"build_id": 1, "instrument": "bore gauge", "unit": "nm", **_STAMP}
# A row as any revision knew it: of its columns each revision takes those that it has, and of the tables likewise.
ROWS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("build", {
        "id": 1, "name": "Tank engine", "standard": "ibls-5", "unit": "mm", "quarter_angle_udeg": 90_000_000,
        "lead": "right", "fit": "bond", "route": "fitted_first", "iron": "en-gjl-200", "invented": 1, "version": 3,
        "created_at": AT,
    }),
    ("pattern", {"id": 1, "build_id": 1, "name": "Driving wheels", "kind": "driving"}),
    *(("dimension", {
        "build_id": 1, "pattern_id": None if key in TRACK_KEYS else 1, "key": key, "nm": round(mm * 1_000_000),
        "text": str(mm),
    })
      for key, mm in _DRAWING.items()),
    *(("axle", {"id": own, "build_id": 1, "number": own, "coupled": 1, "pattern_id": 1, "version": 1})
      for own in (1, 2)),
    *(("casting", {
        "id": own, "build_id": 1, "pattern_id": 1, "mark": f"W{own}", "version": 1,
        "state": "in_work" if own < 5 else "spare",
        "axle_id": (own + 1) // 2 if own < 5 else None, "scrap_reason": "",
        "side": (None if own > 4 else "left" if own % 2 else "right"),
    }) for own in range(1, 7)),
    *(("tick", {"casting_id": own, "key": key, **_STAMP}) for own in (1, 2) for key in ("received", "back_faced", "bored")),
    ("quartering", {"id": 1, "axle_id": 1, "left_casting_id": 1, "right_casting_id": 2, **_STAMP}),
    *(("journal_line", {
        "build_id": 1, "casting_id": casting, "axle_id": axle, "kind": "tick", "sentence": f"Line {version}.",
        "device": "d", "page": "", "version": version, **_STAMP,
    }) for version, (casting, axle) in enumerate(((None, None), (1, None), (None, 1), (1, 1), (None, 77)), start=1)),
    ("instrument", {
        "id": 1, "name": "caliper", "kind": "value", "reach": "both", "resolution_nm": 10_000, "expanded_nm": 40_000,
        "zero_offset_nm": 0, "alpha_ppb": 11_500, "note": "", "checked_on": "", "retired": 0, "version": 1,
    }),
    ("reamer", {"id": 1, "name": "19 mm", "nominal_nm": 19_000_000, "text": "19 mm", "retired": 0}),
    ("drill", {"id": 1, "name": "18 mm", "nominal_nm": 18_000_000, "text": "18 mm", "retired": 0}),
    *(("measurement", {
        "id": own, "kind": kind, "casting_id": casting, "axle_id": axle, "side": side, "mean_nm": nm, "value": nm,
        "by_plug": 0, "supersedes_id": before, "instrument_id": 1, "reamer_id": 1 if kind == "bore" else None,
        "expanded_nm": 4_000, "expanded": 4_000, **_MEASURED,
    }) for own, kind, casting, axle, side, nm, before in (
        (1, "bore", 1, None, None, 19_070_000, None), (2, "bore", 1, None, None, 19_080_000, 1),
        (3, "throw", 1, None, None, 28_010_000, None), (4, "seat", None, 1, "left", 19_050_000, None),
    )),
    *(("reading", {"measurement_id": own, "ordinal": ordinal, "nm": nm, "value": nm, "text": f"{nm / 1e6:.3f}"})
      for own, nm in ((1, 19_070_000), (2, 19_080_000), (3, 28_010_000), (4, 19_050_000)) for ordinal in (1, 2)),
    ("joint_figure", {"build_id": 1, "key": "load", "text": "200 N"}),
    ("work_figure", {"build_id": 1, "key": "experience", "text": "some"}),
    ("pairing", {"id": 1, "build_id": 1, "undone_by": "", **_STAMP}),
    ("pairing_move", {
        "pairing_id": 1, "casting_id": 1, "from_axle_id": 2, "from_side": "left", "to_axle_id": 1, "to_side": "left",
    }),
    ("receipt", {
        "id": 1, "build_id": 1, "casting_id": 1, "blowhole": 0, "chill": 1, "shift": 0, "note": "hard",
        "weight_mg": 900_000, "weight_text": "900 g", **_STAMP,
    }),
    ("size", {
        "id": 1, "build_id": 1, "casting_id": 1, "key": "rim_height", "nm": 12_000_000, "text": "12", "receipt_id": 1,
        **_STAMP,
    }),
    ("quarter_heights", {
        "id": 1, "build_id": 1, "axle_id": 1, "left_casting_id": 1, "right_casting_id": 2, "centre_nm": 60_000_000,
        "centre_text": "60", "left_nm": 60_010_000, "left_text": "60.01", "left_branch": "rear", "right_nm": 60_020_000,
        "right_text": "60.02", "right_branch": "front", "inside_text": "", "inside_throw_text": "", **_STAMP,
    }),
    ("truing", {
        "id": 1, "casting_id": 3, "outward": "back", "surface": "inside", "grip": "on_inside", "dial_unit": "mm",
        "division_nm": 10_000, "tolerance_nm": 50_000, "counts_up": 1, "done": 0, **_STAMP,
    }),
    ("truing_round", {"id": 1, "truing_id": 1, "kind": "radial", "struck_out": 0, **_STAMP}),
    *(("dial_reading", {
        "round_id": 1, "ordinal": one, "angle_udeg": 90_000_000 * (one - 1), "nm": 10_000 * one, "text": str(one),
    }) for one in (1, 2, 3, 4)),
    ("machine", {"id": 1, "name": "lathe", "kind": "lathe", "speeds": "40 90 200", "retired": 0, "version": 1}),
    ("chuck", {"id": 1, "name": "four-jaw", "body_nm": 160_000_000, "depth_nm": 70_000_000, "retired": 0, "version": 1}),
    ("axle_item", {
        "id": 1, "axle_id": 1, "name": "Left axlebox", "kind": "axlebox", "along": "left", "split": 0,
        "width_nm": 20_000_000, "width_text": "20", "on_who": "JD", "on_at": AT,
    }),
    ("jig", {
        "id": 1, "name": "28 throw", "throw_nm": 28_000_000, "plug_nm": 19_040_000, "bush_nm": 8_000_000,
        "checked_on": "", "retired": 0, "version": 1,
    }),
    ("stroke_count", {
        "id": 1, "casting_id": 3, "wanted": 20, "done": 4, "width_text": "10 mm", "feed_text": "0.1 mm",
        "depth_text": "", "cut_text": "", "closed": 0, **_STAMP,
    }),
    ("work_batch", {"id": 1, "build_id": 1, "key": "back_out", "words": "face the backs", "ended": 1, **_STAMP}),
    ("work_batch_wheel", {"batch_id": 1, "ordinal": 1, "casting_id": 3, "passed": 0}),
    ("rod_figure", {"axle_id": 1, "side": "left", "key": "centres", "build_id": 1, "nm": 150_000_000, "text": "150"}),
    ("setting", {
        "id": 1, "casting_id": 1, "operation": "ream_bore", "key": "spindle", "text": "110 rpm", "value": 110_000,
        "unit": "milli_per_min", **_STAMP,
    }),
    ("stub", {
        "id": 1, "build_id": 1, "pattern_id": 1, "hold": "bond", "nm": 19_020_000, "text": "19.02", "swing_text": "",
        "put_back": 0, "dial_text": "", "ended": 0, **_STAMP,
    }),
    ("stub_turn", {
        "id": 1, "stub_id": 1, "casting_id": 1, "on_at": AT, "on_by": "AB", "untimed": 0, "off_at": AT, "off_by": "AB",
    }),
    ("taken_back", {
        "id": 1, "build_id": 1, "out_on": "2026-01-01", "service": "worn", "nm": 125_000_000, "text": "125",
        "measured_to_id": 3, **_STAMP,
    }),
    ("taken_back_tick", {"taken_back_id": 1, "casting_id": 6, "key": "painted", **_STAMP}),
    ("note", {"id": 1, "build_id": 1, "casting_id": 1, "stage": "bored", "words": "chill at the rim", **_STAMP}),
    ("photo", {"note_id": 1, "small": PHOTO, "jpeg": PHOTO}),
    ("submission", {"token": "tick of 1 aaaa", "answer": "", "content": "", "at": AT}),
)  # fmt: skip
# Tables that are no more, each row a measurement now: with how many readings.
BECAME = {"size": 1, "quarter_heights": 3}


def _migrate(path: Path, revision: str) -> None:
    engine = upgrade._engine(path)
    with engine.begin() as connection:
        command.upgrade(upgrade._config(connection), revision)
    engine.dispose()


def _tables(connection: sqlite3.Connection) -> dict[str, set[str]]:
    names = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    return {name: {row[1] for row in connection.execute(f"PRAGMA table_info({name})")} for name in names}


def _filled(path: Path, revision: str) -> dict[str, int]:
    """A file of this revision with a row of everything it knew; how many rows each table was given."""
    path.touch()
    _migrate(path, revision)
    put: dict[str, int] = {}
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        known = _tables(connection)
        for table, row in ROWS:
            if table not in known:
                continue
            own = {name: value for name, value in row.items() if name in known[table]}
            marks = ", ".join("?" * len(own))
            connection.execute(
                f"INSERT INTO {table} ({', '.join(own)}) VALUES ({marks})", tuple(own.values())
            )
            put[table] = put.get(table, 0) + 1
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        # None of that revision's tables was left empty.
        empty = [t for t in known if not connection.execute(f"SELECT 1 FROM {t} LIMIT 1").fetchone()]
        assert set(empty) <= {"sqlite_sequence", "write_mark"}, empty
    return put


@pytest.mark.parametrize("revision", EARLIER)
def test_a_file_of_every_earlier_revision(revision: str, tmp_path: Path, empty_file: Path) -> None:
    path = tmp_path / "spokeshed.db"
    put = _filled(path, revision)
    upgrade.prepare(path)
    with closing(sqlite3.connect(path)) as connection:
        expected = dict(put)
        for old, readings in BECAME.items():
            count = expected.pop(old, 0)
            expected["measurement"] += count
            expected["reading"] += count * readings
        # As long as sizes had a table of their own, a weight stood in its receipt's row.
        if "size" in put:
            expected["measurement"] += 1
            expected["reading"] += 1
        for table, count in expected.items():
            assert connection.execute(f"SELECT count(*) FROM {table}").fetchone() == (count,), table
        _each_has_an_id_for_good(connection)
    _what_stood_stands(path)
    _every_sheet_opens(path)
    _comes_back_the_same(path, empty_file, tmp_path)


def _each_has_an_id_for_good(connection: sqlite3.Connection) -> None:
    for table in NAMED:
        ids = [own for (own,) in connection.execute(f"SELECT permanent_id FROM {table}")]
        assert len(set(ids)) == len(ids) and all(len(own) == 32 and int(own, 16) for own in ids), table
        if ids:
            with pytest.raises(sqlite3.IntegrityError, match="never changed"):
                connection.execute(f"UPDATE {table} SET permanent_id = ?", ("0" * 32,))


def _what_stood_stands(path: Path) -> None:
    db = Db(path)
    with db.read() as session:
        build = find_build(session, 1)
    db.close()
    first = build.castings[0]
    assert first.bore is not None and (first.bore.mean_nm, len(first.bore.readings)) == (19_080_000, 2)
    assert first.throw is not None and first.throw.mean_nm == 28_010_000
    assert build.axles[0].seats["left"].mean_nm == 19_050_000
    assert {"received", "back_faced", "bored", "quartered"} == set(first.ticks)
    assert {key: length.nm for key, length in build.dimensions.items()} == {
        key: round(mm * 1_000_000) for key, mm in _DRAWING.items()
    }


def _every_sheet_opens(path: Path) -> None:
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        bench = Bench(client, app.state.db)
        bench.get("/")
        bench.get("/diary?of=build-1")
        for end in (
            "",
            "/edit",
            "/figures",
            "/receiving",
            "/fits",
            "/joints",
            "/rods",
            "/made",
            "/away",
        ):
            bench.get(f"/builds/1{end}")
        for own in (1, 2):
            for end in ("", "/journal", "/measured"):
                bench.get(f"/axles/{own}{end}")
        for own in range(1, 7):
            for end in ("", "/receiving", "/metal", "/measured", "/true"):
                bench.get(f"/castings/{own}{end}")
    app.state.db.close()


def _comes_back_the_same(path: Path, empty_file: Path, folder: Path) -> None:
    """What was brought up can be exported, and is the same on another machine."""
    other = folder / "other.db"
    shutil.copy(empty_file, other)
    here, there = Db(path), Db(other)
    with here.read() as session:
        text = written(document_of(session, 1))
    with there.write() as session:
        own = store(session, read_document(text.encode()), as_copy=False)
    with there.read() as session:
        assert written(document_of(session, own)) == text
    here.close()
    there.close()


def test_both_invented_builds_from_before_permanent_ids(tmp_path: Path, demo_file: Path) -> None:  # noqa: F811
    path = tmp_path / "spokeshed.db"
    path.touch()
    _migrate(path, BEFORE_IDS)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("ATTACH ? AS demo", (str(demo_file),))
        for table, columns in _tables(connection).items():
            if table not in KEPT_BY_THE_FILE:
                names = ", ".join(sorted(columns))
                given = names.replace("coupled", _COUPLED)
                connection.execute(f"INSERT INTO main.{table} ({names}) SELECT {given} FROM demo.{table}")
        before = {
            table: _rows(connection, table) for table in _tables(connection) if table not in KEPT_BY_THE_FILE
        }
        for row in before["axle"]:
            assert row["coupled"] == 1
        connection.commit()
    upgrade.prepare(path)
    with closing(sqlite3.connect(path)) as connection, connection:
        _each_has_an_id_for_good(connection)
        assert len(before["casting"]) > 12
        for table, rows in before.items():
            now = _rows(connection, table)
            assert [_then(table, row) for row in now] == [_then(table, row) for row in rows], table
        # Rows put in by whatever hand get an id too, and keep the one that they are given.
        connection.execute(
            "INSERT INTO axle (build_id, number, pattern_id, version) VALUES (1, 8, 1, 1), (1, 9, 1, 1)"
        )
        connection.execute(
            "INSERT INTO axle (build_id, number, pattern_id, version, permanent_id) VALUES (1, 10, 1, 1, ?)",
            ("a" * 32,),
        )
        _each_has_an_id_for_good(connection)
        assert connection.execute(
            "SELECT number FROM axle WHERE permanent_id = ?", ("a" * 32,)
        ).fetchone() == (10,)


def _rows(connection: sqlite3.Connection, table: str) -> list[dict[str, Any]]:
    order = "build_id, key" if table == "dimension" else "1, 2"
    found = connection.execute(f"SELECT * FROM {table} ORDER BY {order}")
    names = [column[0] for column in found.description]
    return [dict(zip(names, row, strict=True)) for row in found]


def _then(table: str, row: dict[str, Any]) -> dict[str, Any]:
    """A row without what it had later, or had only then."""
    later = {
        "archived",
        "centred",
        "permanent_id",
        "paint_first",
        "device_at",
        "pattern_id",
        "coupled",
        "crack",
        "let_pass",
        "reason",
    }
    later |= {"id"} if table == "dimension" else set()
    return {name: value for name, value in row.items() if name not in later}
