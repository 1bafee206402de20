"""The data file under many hands at once, and what a failing write leaves behind."""

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from threading import Barrier, Event, Thread

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from webapp import db as module
from webapp.db import Db, FileFault

WRITERS = 24
EACH = 20


@pytest.fixture
def counted(tmp_path: Path) -> Db:
    path = tmp_path / "counted.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE write_mark (id INTEGER PRIMARY KEY, earlier BLOB, latest BLOB)")
        connection.execute("INSERT INTO write_mark VALUES (1, zeroblob(8), zeroblob(8))")
        connection.commit()
    db = Db(path)
    with db.write() as session:
        _run(session, "CREATE TABLE parent (id INTEGER PRIMARY KEY)")
        _run(session, "CREATE TABLE child (id INTEGER PRIMARY KEY, parent INTEGER REFERENCES parent(id))")
        _run(session, "CREATE TABLE counter (n INTEGER)")
        _run(session, "INSERT INTO counter VALUES (0)")
    yield db
    db.close()


def _run(session: Session, sql: str) -> object:
    return session.connection().execute(text(sql))


def _one(session: Session, sql: str) -> object:
    return session.connection().execute(text(sql)).scalar_one()


def _count_up(db: Db) -> None:
    with db.write() as session:
        seen = _one(session, "SELECT n FROM counter")
        _run(session, f"UPDATE counter SET n = {seen} + 1")


def test_the_pragmas_are_in_force_on_every_connection(counted: Db) -> None:
    with counted.read() as first, counted.read() as second, counted.write() as writer:
        for session in (first, second, writer):
            assert _one(session, "PRAGMA journal_mode") == "wal"
            assert _one(session, "PRAGMA synchronous") == 2
            assert _one(session, "PRAGMA foreign_keys") == 1
            assert _one(session, "PRAGMA busy_timeout") == 5000


def test_many_writers_lose_nothing(counted: Db) -> None:
    start = Barrier(WRITERS)

    def work(_: int) -> None:
        start.wait()
        for _turn in range(EACH):
            _count_up(counted)

    with ThreadPoolExecutor(WRITERS) as pool:
        list(pool.map(work, range(WRITERS)))
    with counted.read() as session:
        assert _one(session, "SELECT n FROM counter") == WRITERS * EACH


def test_two_programs_on_one_file_lose_nothing(counted: Db) -> None:
    """Two Db objects share no lock in this program: only SQLite keeps them apart."""
    other = Db(counted.path)

    def work(db: Db) -> None:
        for _turn in range(EACH):
            _count_up(db)

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(work, [counted, other]))
    with counted.read() as session:
        assert _one(session, "SELECT n FROM counter") == 2 * EACH
    other.close()


def test_a_reader_waits_for_no_writer_and_sees_only_what_is_committed(counted: Db) -> None:
    written, looked = Event(), Event()

    def write() -> None:
        with counted.write() as session:
            _run(session, "UPDATE counter SET n = 7")
            written.set()
            looked.wait(10)

    thread = Thread(target=write)
    thread.start()
    assert written.wait(10)
    with counted.read() as session:
        assert _one(session, "SELECT n FROM counter") == 0
        looked.set()
        thread.join()
        # Still the state that this reader began with.
        assert _one(session, "SELECT n FROM counter") == 0
    with counted.read() as session:
        assert _one(session, "SELECT n FROM counter") == 7


def test_a_failing_block_stores_nothing_and_frees_the_turn(counted: Db) -> None:
    with pytest.raises(RuntimeError), counted.write() as session:
        _run(session, "UPDATE counter SET n = 99")
        raise RuntimeError("the service changed its mind")
    _count_up(counted)
    with counted.read() as session:
        assert _one(session, "SELECT n FROM counter") == 1


def test_a_write_is_on_the_disk_when_the_block_ends(counted: Db) -> None:
    _count_up(counted)
    other = Db(counted.path)
    with other.read() as session:
        assert _one(session, "SELECT n FROM counter") == 1
    other.close()


def test_a_reader_keeps_nothing(counted: Db) -> None:
    with counted.read() as session:
        _run(session, "UPDATE counter SET n = 5")
    with counted.read() as session:
        assert _one(session, "SELECT n FROM counter") == 0


def test_foreign_keys_hold(counted: Db) -> None:
    with pytest.raises(IntegrityError), counted.write() as session:
        _run(session, "INSERT INTO child VALUES (1, 404)")


def test_a_file_held_by_another_program_is_an_error_in_time(
    counted: Db, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "WAIT_S", 0.05)
    other = Db(counted.path)
    with (
        counted.write(),
        pytest.raises(FileFault, match="Another program holds the data file"),
        other.write(),
    ):
        pass
    other.close()


def test_a_writer_begins_as_a_writer(counted: Db) -> None:
    """With a deferred BEGIN both would read 0, and the second would be told "locked" at once."""
    other = Db(counted.path)
    reading = Event()

    def second() -> None:
        reading.wait(10)
        _count_up(other)

    thread = Thread(target=second)
    thread.start()
    with counted.write() as session:
        seen = _one(session, "SELECT n FROM counter")
        reading.set()
        thread.join(0.3)
        assert thread.is_alive(), "the second writer did not wait for the first"
        _run(session, f"UPDATE counter SET n = {seen} + 1")
    thread.join()
    with counted.read() as session:
        assert _one(session, "SELECT n FROM counter") == 2
    other.close()


def _held_count(session: Session) -> object:
    return module.held(session, "count", lambda: _one(session, "SELECT n FROM counter"))


def test_what_is_held_is_loaded_once_and_anew_after_any_commit(counted: Db) -> None:
    loaded = []

    def load() -> int:
        loaded.append(1)
        return len(loaded)

    def ask() -> int:
        with counted.read() as session:
            return module.held(session, "thing", load)

    assert [ask(), ask()] == [1, 1]
    _count_up(counted)
    assert [ask(), ask()] == [2, 2]
    # Another program on the same file says nothing of what it does.
    with closing(sqlite3.connect(counted.path)) as other, other:
        other.execute("UPDATE counter SET n = 7")
    assert [ask(), ask()] == [3, 3]
    counted.forget_held()
    assert ask() == 4


def test_a_transaction_that_has_written_sees_what_it_wrote(counted: Db) -> None:
    with counted.read() as session:
        assert _held_count(session) == 0
    with pytest.raises(ZeroDivisionError), counted.write() as session:
        assert _held_count(session) == 0
        _run(session, "UPDATE counter SET n = 5")
        assert _held_count(session) == 5
        raise ZeroDivisionError
    with counted.read() as session:
        assert _held_count(session) == 0


def test_a_reader_from_before_a_commit_does_not_leave_its_old_state_behind(counted: Db) -> None:
    with counted.read() as early:
        assert _one(early, "SELECT n FROM counter") == 0  # its state is fixed from here on
        _count_up(counted)
        with counted.read() as late:
            assert _held_count(late) == 1
        assert _held_count(early) == 0
    with counted.read() as later:
        assert _held_count(later) == 1


def test_no_more_is_held_than_there_is_room_for(counted: Db) -> None:
    with counted.read() as session:
        for key in range(20):
            module.held(session, key, lambda: 0)
    assert len(counted._held) == module._MOST_HELD
