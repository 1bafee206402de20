"""What a correction stands in for is marked in a file from before the mark, and kept marked by the database itself."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from alembic import command

from webapp import upgrade
from webapp.datafile import APPLICATION_ID
from webapp.settings import MIGRATIONS

(_OWN,) = (MIGRATIONS / "versions").glob("*_what_stands_is_found_at_once.py")
REVISION = _OWN.name.split("_")[0]
BEFORE = upgrade.revisions()[upgrade.revisions().index(REVISION) - 1]
AT = "2026-01-01 10:00:00.000000"
_ROW = (
    "INSERT INTO measurement (id, build_id, casting_id, kind, unit, value, instrument, who, at, supersedes_id,"
    " struck_out_why, struck_out_by, struck_out_at)"
    f" VALUES (?, 1, 7, 'bore', 'nm', 19080000, '', 'AB', '{AT}', ?, ?, ?, ?)"
)
_STRUCK, _STANDS = ("misread", "AB", AT), (None, None, None)
FILLED = f"""
PRAGMA application_id = {APPLICATION_ID};
INSERT INTO build (id, name, standard, unit, quarter_angle_udeg, lead, fit, route, iron, invented, version, created_at)
    VALUES (1, 'Tank engine', 'own', 'mm', 90000000, 'right', 'bond', 'fitted_first', 'EN-GJL-200', 0, 1, '{AT}');
INSERT INTO casting (id, build_id, mark, state, version, scrap_reason) VALUES (7, 1, 'W7', 'spare', 3, '');
"""


def _migrate(path: Path, revision: str) -> None:
    engine = upgrade._engine(path)
    with engine.begin() as connection:
        command.upgrade(upgrade._config(connection), revision)
    engine.dispose()


def _superseded(connection: sqlite3.Connection) -> list[int]:
    rows = connection.execute("SELECT id FROM measurement WHERE superseded ORDER BY id")
    return [own for (own,) in rows]


def test_the_mark_is_filled_in_and_kept(tmp_path: Path) -> None:
    path = tmp_path / "spokeshed.db"
    path.touch()
    _migrate(path, BEFORE)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.executescript(FILLED)
        # 1 corrected by 2 and that by 3; 4 was corrected by 5, which is struck out.
        rows = [
            (1, None, *_STANDS),
            (2, 1, *_STANDS),
            (3, 2, *_STANDS),
            (4, None, *_STANDS),
            (5, 4, *_STRUCK),
        ]
        connection.executemany(_ROW, rows)
    _migrate(path, REVISION)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("PRAGMA foreign_keys = ON")
        assert _superseded(connection) == [1, 2]
        strike = (
            "UPDATE measurement SET struck_out_why = ?, struck_out_by = ?, struck_out_at = ? WHERE id = ?"
        )
        connection.execute(strike, (*_STRUCK, 3))
        assert _superseded(connection) == [1]
        connection.execute(_ROW, (6, 4, *_STANDS))
        connection.execute(_ROW, (7, 3, *_STRUCK))
        assert _superseded(connection) == [1, 4]
        connection.execute(strike, (*_STANDS, 3))
        assert _superseded(connection) == [1, 2, 4]
        connection.execute("DELETE FROM measurement WHERE id = 6")
        assert _superseded(connection) == [1, 2]
        # What belongs to a casting still goes with it.
        connection.execute("DELETE FROM casting WHERE id = 7")
        assert connection.execute("SELECT count(*) FROM measurement").fetchone() == (0,)
