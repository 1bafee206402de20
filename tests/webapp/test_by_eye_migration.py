"""A file from before rounds by eye: set-ups, rounds and readings are found again, and so is how practised a builder is."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from alembic import command

from webapp import upgrade
from webapp.datafile import APPLICATION_ID
from webapp.settings import MIGRATIONS

(_OWN,) = (MIGRATIONS / "versions").glob("*_by_eye_and_practised.py")
REVISION = _OWN.name.split("_")[0]
BEFORE = upgrade.revisions()[upgrade.revisions().index(REVISION) - 1]
AT = "2026-01-01 10:00:00.000000"
FILLED = f"""
PRAGMA application_id = {APPLICATION_ID};
INSERT INTO build (id, name, standard, unit, quarter_angle_udeg, lead, fit, route, iron, invented, version, created_at)
    VALUES (1, 'Tank engine', 'own', 'mm', 90000000, 'right', 'bond', 'fitted_first', 'EN-GJL-200', 0, 1, '{AT}'),
           (2, 'Mixed engine', 'own', 'mm', 90000000, 'right', 'bond', 'fitted_first', 'EN-GJL-200', 0, 1, '{AT}');
INSERT INTO casting (id, build_id, mark, state, version, scrap_reason) VALUES (7, 1, 'W7', 'spare', 3, '');
INSERT INTO truing (id, casting_id, outward, surface, grip, dial_unit, division_nm, tolerance_nm, screw_nm, counts_up,
    done, who, at) VALUES (4, 7, 'back', 'inside', 'on_inside', 'in', 25400, 101600, 3000000, 0, 1, 'AB', '{AT}');
INSERT INTO truing_round (id, truing_id, kind, radius_nm, struck_out, who, at)
    VALUES (11, 4, 'radial', NULL, 1, 'AB', '{AT}'), (12, 4, 'face', 55000000, 0, 'CD', '{AT}');
INSERT INTO dial_reading (round_id, ordinal, angle_udeg, nm, text)
    VALUES (11, 1, 0, -127000, '-5'), (11, 2, 90000000, 0, '0'), (12, 1, 45000000, 25400, '1');
INSERT INTO work_figure (build_id, key, text) VALUES (1, 'experience', 'many'), (2, 'experience', 'first'),
    (1, 'scrap_chance', 'many');
"""
KEPT = ("truing", "truing_round", "dial_reading")


def _migrate(path: Path, revision: str) -> None:
    engine = upgrade._engine(path)
    with engine.begin() as connection:
        command.upgrade(upgrade._config(connection), revision)
    engine.dispose()


def test_every_row_is_found_again_and_a_look_may_follow(tmp_path: Path) -> None:
    path = tmp_path / "spokeshed.db"
    path.touch()
    _migrate(path, BEFORE)
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(FILLED)
        before = [connection.execute(f"SELECT * FROM {one} ORDER BY 1, 2").fetchall() for one in KEPT]
    _migrate(path, REVISION)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA foreign_keys = ON")
        assert [connection.execute(f"SELECT * FROM {one} ORDER BY 1, 2").fetchall() for one in KEPT] == before
        assert connection.execute("SELECT build_id, key, text FROM work_figure ORDER BY build_id, key").fetchall() == [
            (1, "experience", "some"), (1, "scrap_chance", "many"), (2, "experience", "first"),
        ]  # fmt: skip
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        connection.execute(
            "INSERT INTO truing_round (truing_id, kind, struck_out, who, at) VALUES (4, 'eye', 0, 'AB', ?)",
            (AT,),
        )
        # What belongs to a casting still goes with it.
        connection.execute("DELETE FROM casting WHERE id = 7")
        assert [connection.execute(f"SELECT count(*) FROM {one}").fetchone() for one in KEPT] == [(0,)] * 3
