"""A data file of the demo grown: readings taken again and again, castings bought, builds added. In SQL, for speed."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from shutil import copy

# What is copied of a build, in this order, and which columns of it are ids that are moved.
_OF_BUILD = {
    "build": ("id",),
    "pattern": ("id", "build_id"),
    "dimension": ("id", "build_id", "pattern_id"),
    "joint_figure": ("build_id",),
    "work_figure": ("build_id",),
    "axle": ("id", "build_id", "pattern_id"),
    "casting": ("id", "build_id", "pattern_id", "axle_id", "scrapped_from_axle_id"),
    "tick": ("casting_id",),
    "receipt": ("id", "build_id", "casting_id"),
    "measurement": (
        *("id", "build_id", "casting_id", "axle_id", "left_casting_id", "right_casting_id"),
        *("receipt_id", "supersedes_id"),
    ),
    "reading": ("measurement_id",),
    "journal_line": ("id", "build_id", "casting_id", "axle_id"),
}
_WHERE = {
    "build": "id = 1",
    "tick": "casting_id IN (SELECT id FROM casting WHERE build_id = 1)",
    "reading": "measurement_id IN (SELECT id FROM measurement WHERE build_id = 1)",
}
_STEP = 100_000


def grown(demo: Path, path: Path, *, readings: int = 1, castings: int = 0, builds: int = 1) -> Path:
    """A copy of the demo's file with each bore logged so often, so many spares more, and so many builds."""
    copy(demo, path)
    with closing(sqlite3.connect(path)) as connection, connection:
        _more_castings(connection, castings)
        _more_readings(connection, readings)
        for number in range(1, builds):
            _more_builds(connection, number)
    return path


def years(demo: Path, path: Path) -> Path:
    """What a shop has after many years: 500 builds, 5 000 castings, 200 000 readings."""
    return grown(demo, path, readings=23, castings=2, builds=500)


def alone(demo: Path, path: Path) -> Path:
    """The demo's first build with its 8 castings, and no other."""
    copy(demo, path)
    with closing(sqlite3.connect(path)) as connection, connection:
        # A line of the journal cannot be taken out but by whoever puts the tables aside.
        guards = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'journal_line'"
        ).fetchall()
        for name, _ in guards:
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("DELETE FROM journal_line WHERE build_id <> 1")
        connection.execute("DELETE FROM measurement WHERE build_id <> 1")
        connection.execute("DELETE FROM build WHERE id <> 1")
        for _, made in guards:
            connection.execute(made)
    return path


def counted(path: Path) -> str:
    """How much is in a file, in words."""
    with closing(sqlite3.connect(path)) as connection:
        many = {
            what: connection.execute(f"SELECT count(*) FROM {what}").fetchone()[0]
            for what in ("build", "casting", "reading")
        }
    return ", ".join(f"{number} {what}s" for what, number in many.items())


def _columns(connection: sqlite3.Connection, table: str) -> list[str]:
    return [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]


def _copied(connection: sqlite3.Connection, table: str, where: str, **other: str) -> None:
    """Rows once more, with some columns otherwise; a permanent id is each row's own, given by the database."""
    other = {"permanent_id": "''"} | other
    columns = _columns(connection, table)
    chosen = ", ".join(other.get(name, name) for name in columns)
    connection.execute(
        f"INSERT INTO {table} ({', '.join(columns)}) SELECT {chosen} FROM {table} WHERE {where}"
    )


def _more_castings(connection: sqlite3.Connection, count: int) -> None:
    """Spares, each bored and measured as the second axle's left wheel is."""
    (like,) = connection.execute(
        "SELECT c.id FROM casting c JOIN axle a ON a.id = c.axle_id WHERE a.number = 2 AND side = 'left' AND c.build_id = 1"
    ).fetchone()
    for number in range(count):
        own = _STEP * 900 + number
        spare = {
            "id": str(own),
            "mark": f"'N{number}'",
            "state": "'spare'",
            "axle_id": "NULL",
            "side": "NULL",
        }
        _copied(connection, "casting", f"id = {like}", **spare)
        _copied(connection, "tick", f"casting_id = {like}", casting_id=str(own))
        for (size,) in connection.execute(
            "SELECT id FROM measurement WHERE casting_id = ? AND receipt_id IS NULL AND supersedes_id IS NULL",
            (like,),
        ).fetchall():
            new = _next_id(connection)
            moved = {"id": str(new), "casting_id": str(own), "superseded": "0"}
            _copied(connection, "measurement", f"id = {size}", **moved)
            _copied(connection, "reading", f"measurement_id = {size}", measurement_id=str(new))


def _more_readings(connection: sqlite3.Connection, times: int) -> None:
    """Each bore corrected again and again."""
    standing = "SELECT id FROM measurement WHERE kind = 'bore' AND superseded = 0 AND struck_out_at IS NULL"
    for (own,) in connection.execute(standing).fetchall():
        before = own
        for _ in range(times - 1):
            new = _next_id(connection)
            _copied(
                connection,
                "measurement",
                f"id = {before}",
                id=str(new),
                supersedes_id=str(before),
                superseded="0",
            )
            _copied(connection, "reading", f"measurement_id = {before}", measurement_id=str(new))
            before = new


def _more_builds(connection: sqlite3.Connection, number: int) -> None:
    """The first build once more, with all that belongs to it."""
    for table, ids in _OF_BUILD.items():
        other = {name: f"{name} + {_STEP * number}" for name in ids}
        if table == "build":
            other["name"] = f"name || ' {number}'"
        where = _WHERE.get(table, "build_id = 1")
        _copied(connection, table, where, **other)


def _next_id(connection: sqlite3.Connection) -> int:
    found: int = connection.execute("SELECT max(id) + 1 FROM measurement").fetchone()[0]
    return found
