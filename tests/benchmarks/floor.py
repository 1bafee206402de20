"""The floor: the least that any Python program would do for the same page and the same tick.

A bare Starlette `def` route on raw sqlite3, with the program's own pragmas. The page reads the same rows, one
query for each table, and the tick writes the same rows and commits them to the disk; both answer with a
constant text of the same length as the program's. Nothing is judged, rendered or guarded.
"""

from __future__ import annotations

import argparse
import sqlite3
import threading
from datetime import UTC, datetime

import uvicorn
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from webapp.listen import bind

_PRAGMAS = ("busy_timeout = 5000", "journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON")

_OF_BUILD = (
    "SELECT * FROM build WHERE id = :build",
    "SELECT key, nm, text FROM dimension WHERE build_id = :build",
    "SELECT id, number, pattern_id, version FROM axle WHERE build_id = :build ORDER BY number",
    "SELECT * FROM casting WHERE build_id = :build ORDER BY id",
    "SELECT casting_id, key, who, at FROM tick JOIN casting ON casting.id = casting_id WHERE build_id = :build",
    "SELECT axle_id, left_casting_id, right_casting_id, who, at FROM quartering JOIN axle ON axle.id = axle_id"
    " WHERE build_id = :build",
    "SELECT m.* FROM measurement m LEFT JOIN measurement later ON later.supersedes_id = m.id"
    " WHERE m.build_id = :build AND later.id IS NULL ORDER BY m.id",
    "SELECT measurement_id, reading.value, text FROM reading JOIN measurement ON measurement.id = measurement_id"
    " WHERE build_id = :build ORDER BY measurement_id, ordinal",
)
_JOURNAL = (
    "SELECT at, who, kind, sentence FROM journal_line WHERE axle_id = :axle AND casting_id IS NULL"
    " ORDER BY id DESC"
)
_WISHES = {
    "yes": "INSERT INTO tick (casting_id, key, at, who) VALUES (:casting, :key, :at, :who)",
    "no": "DELETE FROM tick WHERE casting_id = :casting AND key = :key",
}
_BUMP = "UPDATE casting SET version = version + 1 WHERE id = :casting RETURNING version, build_id"
_LINE = (
    "INSERT INTO journal_line (build_id, casting_id, kind, sentence, at, who, device, page, version)"
    " VALUES (:build, :casting, 'tick', 'Ticked marked with its number.', :at, :who, 'device', 'page', :version)"
)


_BORE = (
    "INSERT INTO measurement (build_id, casting_id, kind, unit, value, instrument, who, at, supersedes_id)"
    " SELECT build_id, casting_id, 'bore', 'nm', value, '', :who, :at, id FROM measurement"
    " WHERE casting_id = :casting AND kind = 'bore' ORDER BY id DESC LIMIT 1"
)
_READING = "INSERT INTO reading (measurement_id, ordinal, value, text) VALUES (?, 1, 19050000, '19.05')"


class _Floor:
    """Its answers are as long as those of the program: of the page, a small tick, a stage tick, a bore logged."""

    def __init__(self, data: str, lengths: list[int]) -> None:
        self._data = data
        self._page, self._tick, self._stage, self._bored = ("x" * length for length in lengths)
        self._own = threading.local()

    def _connection(self) -> sqlite3.Connection:
        connection: sqlite3.Connection | None = getattr(self._own, "connection", None)
        if connection is None:
            connection = self._own.connection = sqlite3.connect(self._data, isolation_level=None)
            for pragma in _PRAGMAS:
                connection.execute(f"PRAGMA {pragma}")
        return connection

    def page(self, request: Request) -> Response:
        """The rows of an axle sheet, read and put aside."""
        connection = self._connection()
        axle = int(request.path_params["axle"])
        connection.execute("BEGIN")
        (build,) = connection.execute("SELECT build_id FROM axle WHERE id = ?", (axle,)).fetchone()
        for query in _OF_BUILD:
            connection.execute(query, {"build": build}).fetchall()
        connection.execute(_JOURNAL, {"axle": axle}).fetchall()
        connection.execute("COMMIT")
        return HTMLResponse(self._page)

    def tick(self, request: Request) -> Response:
        """A tick set or taken off, its journal line, committed."""
        connection = self._connection()
        values = {
            "casting": int(request.path_params["casting"]),
            "key": request.path_params["key"],
            "at": datetime.now(UTC).replace(tzinfo=None).isoformat(" "),
            "who": "AB",
        }
        connection.execute("BEGIN IMMEDIATE")
        connection.execute(_WISHES[request.path_params["wish"]], values)
        version, build = connection.execute(_BUMP, values).fetchone()
        connection.execute(_LINE, values | {"build": build, "version": version})
        connection.execute("COMMIT")
        return HTMLResponse(self._tick if "." in values["key"] else self._stage)

    def bore(self, request: Request) -> Response:
        """A bore corrected, its reading, its journal line, committed."""
        connection = self._connection()
        values = {
            "casting": int(request.path_params["casting"]),
            "at": datetime.now(UTC).replace(tzinfo=None).isoformat(" "),
            "who": "AB",
        }
        connection.execute("BEGIN IMMEDIATE")
        own = connection.execute(_BORE, values).lastrowid
        connection.execute(_READING, (own,))
        version, build = connection.execute(_BUMP, values).fetchone()
        connection.execute(_LINE, values | {"build": build, "version": version})
        connection.execute("COMMIT")
        return HTMLResponse(self._bored)


def main() -> None:
    """Serve the floor on a free port, and say which."""
    parser = argparse.ArgumentParser()
    parser.add_argument("data")
    parser.add_argument("lengths", type=int, nargs=4)
    given = parser.parse_args()
    floor = _Floor(given.data, given.lengths)
    app = Starlette(
        routes=[
            Route("/axles/{axle:int}", floor.page),
            Route("/castings/{casting:int}/ticks/{wish}/{key}", floor.tick, methods=["POST"]),
            Route("/castings/{casting:int}/bores", floor.bore, methods=["POST"]),
        ]
    )
    config = uvicorn.Config(
        app, loop="asyncio", http="h11", ws="none", lifespan="off", log_level="warning", access_log=False
    )
    # The program's own way of taking a port, because it decides whether small packets wait for each other.
    with bind("127.0.0.1", 0) as sock:
        # It listens already: whoever comes before the server is up waits in the queue.
        print(f"Open http://127.0.0.1:{sock.getsockname()[1]}/", flush=True)
        uvicorn.Server(config).run(sockets=[sock])


if __name__ == "__main__":
    main()
