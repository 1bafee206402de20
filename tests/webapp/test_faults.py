"""What goes wrong with the file, by its real causes: a sentence each time, nothing lost, nobody held up."""

import signal
import sqlite3
import subprocess
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import event

from tests.webapp.programs import command, program, start
from tests.webapp.scenes import HX, Bench, Words, form_on, is_whole
from tests.webapp.test_start import PATIENCE, ROOT, _command, _environment, refused
from webapp import db as module
from webapp.db import Db
from webapp.faults import fault_of
from webapp.upgrade import prepare

resource = pytest.importorskip("resource")  # POSIX only

# What no person is to read.
SHORTHAND = (
    "sqlite",
    "SELECT",
    "INSERT",
    "UPDATE",
    "BEGIN",
    "OperationalError",
    "DatabaseError",
    "malformed",
    "[SQL",
)


@contextmanager
def _on_every_connection(db: Db, pragma: str, back: str) -> Iterator[None]:
    """As if the disk had become so, to those connections that are open and to new ones."""

    def taken(connection: sqlite3.Connection, *_: object) -> None:
        connection.execute(f"PRAGMA {pragma}")

    def given_back(connection: sqlite3.Connection, *_: object) -> None:
        connection.execute(f"PRAGMA {back}")

    event.listen(db.engine, "checkout", taken)
    event.listen(db.engine, "checkin", given_back)
    try:
        yield
    finally:
        event.remove(db.engine, "checkout", taken)
        event.remove(db.engine, "checkin", given_back)


@contextmanager
def _full(db: Db) -> Iterator[None]:
    with _on_every_connection(db, "max_page_count = 1", "max_page_count = 1000000"):
        yield


@contextmanager
def _read_only(db: Db) -> Iterator[None]:
    with _on_every_connection(db, "query_only = ON", "query_only = OFF"):
        yield


@contextmanager
def _held_elsewhere(db: Db) -> Iterator[None]:
    with closing(sqlite3.connect(db.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield


CAUSES = [
    (_full, "The disk is full: nothing was stored"),
    (_read_only, "The data file cannot be written to: nothing was stored"),
    (_held_elsewhere, "Another program holds the data file: nothing was stored"),
]


def _plain(text: str) -> str:
    words = Words(text).text
    assert not [one for one in SHORTHAND if one in words], words
    return words


@pytest.mark.parametrize(("cause", "sentence"), CAUSES)
def test_a_form_keeps_what_was_typed_and_is_taken_once_when_the_cause_is_gone(
    client: TestClient,
    db: Db,
    monkeypatch: pytest.MonkeyPatch,
    cause: Callable[[Db], Iterator[None]],
    sentence: str,
) -> None:
    monkeypatch.setattr(module, "WAIT_S", 0.1)
    bench = Bench(client, db).sit_down()
    typed = form_on(bench.get("/builds/new"), "/builds").filled(
        name="The goods engine",
        # What was sent is kept with the form's token: so this needs new pages of the file.
        more="x" * 50_000,
    )
    before = bench.dump()
    with cause(db):  # type: ignore[attr-defined]
        answer = client.post("/builds", data=typed)
        assert answer.status_code == 503
        assert sentence in _plain(answer.text)
        again = form_on(answer.text, "/builds")
        assert (again.fields["name"], again.fields["token"]) == (["The goods engine"], typed["token"])
        # Reading goes on meanwhile.
        assert client.get("/workshop").status_code == 200
    assert bench.dump() == before
    assert client.post("/builds", data=again.filled()).status_code == 303
    assert client.post("/builds", data=again.filled()).status_code == 303
    assert bench.rows("SELECT name FROM build") == [("The goods engine",)]


@pytest.mark.parametrize(("cause", "sentence"), CAUSES[1:])
def test_a_tick_is_told_as_a_page_and_as_a_piece(
    client: TestClient,
    db: Db,
    monkeypatch: pytest.MonkeyPatch,
    cause: Callable[[Db], Iterator[None]],
    sentence: str,
) -> None:
    monkeypatch.setattr(module, "WAIT_S", 0.1)
    bench = Bench(client, db).sit_down()
    bench.metric()
    form = form_on(bench.get("/castings/1"), "/castings/1/ticks").filled(wish="yes received")
    with cause(db):  # type: ignore[attr-defined]
        page = client.post("/castings/1/ticks", data=form)
        piece = client.post("/castings/1/ticks", data=form, headers=HX)
    for answer, whole in ((page, True), (piece, False)):
        assert answer.status_code == 503
        assert sentence in _plain(answer.text)
        assert is_whole(answer.text) is whole
    assert piece.headers["hx-retarget"] == "#trouble"
    assert bench.ticks("W1") == set()
    assert client.post("/castings/1/ticks", data=form).status_code == 303
    assert bench.ticks("W1") == {"received"}


def _spoil(path: Path) -> None:
    """Overwrite all but the first page, as a dying card does."""
    size = path.stat().st_size
    with path.open("rb+") as file:
        file.seek(4096)
        file.write(b"\x5a" * (size - 4096))


def test_a_file_that_is_spoiled_while_it_is_read_is_told(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric()
    db._fold()
    whole = db.path.read_bytes()
    _spoil(db.path)
    db.engine.dispose()  # what a connection has read already it does not read again
    db.forget_held()
    for path, headers in (("/builds/1", {}), ("/castings/1", HX), ("/workshop", {})):
        answer = client.get(path, headers=headers)
        assert answer.status_code == 503, path
        assert "The data file is damaged" in _plain(answer.text)
    # The sheet of the copies looks at the open file itself, and leads to a sound copy.
    said = _plain(client.get("/copies").text)
    assert "No good: the data file that is open" in said and "The data that are open now are no good" in said
    db.path.write_bytes(whole)
    db.engine.dispose()
    assert client.get("/builds/1").status_code == 200


@pytest.mark.skipif(not hasattr(resource, "prlimit"), reason="needs prlimit")
def test_a_disk_that_takes_no_more_loses_nothing_that_was_called_stored(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    with program(tmp_path, data) as running:
        bench = running.bench
        bench.metric()
        running.tap()
        log = data.with_name("spokeshed.db-wal")
        # No file of the program's may grow any more.
        most = max(log.stat().st_size, data.stat().st_size)
        resource.prlimit(running.process.pid, resource.RLIMIT_FSIZE, (most, resource.RLIM_INFINITY))
        told = ""
        for _ in range(60):
            wish = "no received" if "received" in bench.ticks("W1") else "yes received"
            form = form_on(bench.get("/castings/1"), "/castings/1/ticks").filled(wish=wish)
            answer = bench.client.post("/castings/1/ticks", data=form)
            if answer.status_code != 303:
                told = _plain(answer.text)
                break
            running.taps += 1
        assert answer.status_code == 503
        assert "The disk failed to read or write: take nothing as stored" in told
        resource.prlimit(running.process.pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY,) * 2)
        running.tap()
        taps = running.taps
        running.kill()
    with program(tmp_path, data) as running:
        assert len([line for line in running.bench.journal() if "eceived" in line]) == taps


@pytest.mark.skipif(not hasattr(resource, "prlimit"), reason="needs prlimit")
def test_a_stop_on_such_a_disk_says_where_all_is_and_it_is_there(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.tap()
        # The log cannot be folded into a file that takes nothing after its first page.
        resource.prlimit(running.process.pid, resource.RLIMIT_FSIZE, (4096, resource.RLIM_INFINITY))
        code, errors = running.stop(signal.SIGINT)
    assert code == 0
    assert errors == (
        "spokeshed: the disk failed to read or write: what was stored is safe in the -wal file beside the data, "
        "and is read from there at the next start.\n"
    )
    with program(tmp_path, data) as running:
        assert running.bench.ticks("W1") == {"received"}


def test_an_error_in_the_program_is_still_one(client: TestClient, db: Db) -> None:
    assert fault_of(sqlite3.IntegrityError("UNIQUE")) is None
    with pytest.raises(Exception, match="no such table"), db.read() as session:
        session.connection().exec_driver_sql("SELECT * FROM nowhere")


def test_five_writers_wait_together_and_not_one_after_the_other(
    client: TestClient, db: Db, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "WAIT_S", 1.0)

    def write(_: int) -> float:
        begun = time.monotonic()
        with pytest.raises(module.FileTrouble), db.write():
            pass
        return time.monotonic() - begun

    with _held_elsewhere(db), ThreadPoolExecutor(5) as pool:
        waited = list(pool.map(write, range(5)))
    assert max(waited) < 2.5
    assert min(waited) > 0.7
    with db.write():
        pass


def test_waiting_writers_leave_room_for_readers(
    client: TestClient, db: Db, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A hundred forms while another program has the file: the server has forty threads."""
    monkeypatch.setattr(module, "WAIT_S", 4.0)
    bench = Bench(client, db).sit_down()
    bench.metric()
    form = form_on(bench.get("/castings/1"), "/castings/1/ticks").filled(wish="yes received")

    def send(_: int) -> tuple[int, str]:
        answer = client.post("/castings/1/ticks", data=form)
        return answer.status_code, Words(answer.text).text

    with ThreadPoolExecutor(100) as pool, _held_elsewhere(db):
        sent = [pool.submit(send, n) for n in range(100)]
        time.sleep(0.7)
        begun = time.monotonic()
        assert client.get("/castings/1").status_code == 200
        took = time.monotonic() - begun
        answers = [one.result() for one in sent]
    assert took < 2.5
    assert {status for status, _ in answers} == {503}
    assert any("The data file is busy: nothing was stored; try again soon." in text for _, text in answers)
    assert client.post("/castings/1/ticks", data=form).status_code == 303


def test_a_second_program_on_one_file_is_told_so(tmp_path: Path) -> None:
    data = tmp_path / "shed" / "spokeshed.db"
    with program(tmp_path, data) as running:
        running.bench.metric()
        said = refused(tmp_path, "--data", data, "--port", 0)
        assert f"spokeshed is running on {data} already" in said
        running.tap()
        # A copy is no second program.
        assert command(tmp_path, "backup", tmp_path / "copy.db", "--data", data).returncode == 0
        running.kill()
    # Whoever was killed holds nothing any more.
    with program(tmp_path, data) as running:
        running.tap()
        assert running.stop(signal.SIGINT) == (0, "")


def test_a_file_that_another_program_holds_at_the_start(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    prepare(data)
    with closing(sqlite3.connect(data, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        said = refused(tmp_path, "--data", data, "--port", 0)
    assert "another program holds the data file; try again soon" in said
    assert _plain(said)
    assert command(tmp_path, "backup", tmp_path / "copy.db", "--data", data).returncode == 0


def test_a_disk_that_takes_nothing_at_the_start(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    prepare(data)
    before = data.read_bytes()
    done = subprocess.run(
        _command("--data", data, "--port", 0),
        cwd=ROOT,
        env=_environment(tmp_path),
        capture_output=True,
        text=True,
        timeout=PATIENCE,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096)),
    )
    assert done.returncode == 2
    assert (
        done.stderr == f"spokeshed: The data file {data} cannot be used: the disk failed to read or write; "
        "see to the disk, then look at the sheet before you try again.\n"
    )
    assert data.read_bytes() == before


def test_a_program_that_cannot_start_leaves_no_lock(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    process = start(tmp_path, "--port", 0, "--data", data)
    process.kill()
    process.communicate(timeout=PATIENCE)
    with program(tmp_path, data) as running:
        assert running.bench.client.get("/").status_code == 200
