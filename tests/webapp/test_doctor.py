"""`spokeshed doctor`: every look, what it says to do, and that it leaves everything as it was."""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from threading import Thread
from types import SimpleNamespace

import pytest

from domain.answer import Answer
from tests.webapp.programs import command, program, start
from tests.webapp.test_upgrade import ROWS
from webapp import doctor
from webapp.copies import folder_of
from webapp.doctor import examine, report
from webapp.listen import bind
from webapp.logbook import kept, log
from webapp.settings import Settings, StartError
from webapp.upgrade import prepare


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A data file with a few rows, in a folder of its own."""
    path = tmp_path / "shed" / "spokeshed.db"
    prepare(path)
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(ROWS)
    return path


@pytest.fixture
def port() -> int:
    """A port that nobody has."""
    with bind("127.0.0.1", 0) as sock:
        found: int = sock.getsockname()[1]
        return found


def said(data: Path, port: int, about: str, *, demo: bool = False) -> tuple[Answer, str]:
    """What one look came to."""
    (found,) = [one for one in examine(Settings(data, port=port, demo=demo)) if one.about == about]
    return found.answer, found.words


def _left(folder: Path) -> dict[str, bytes]:
    return {one.name: one.read_bytes() for one in folder.rglob("*") if one.is_file()}


def _copied(data: Path, at: datetime) -> None:
    """A copy that the program made by itself at this time, as far as its name goes."""
    folder_of(data).mkdir()
    (folder_of(data) / f"{data.stem}-00001-{at:%Y%m%dT%H%M%SZ}.db").write_bytes(b"")


@pytest.fixture(autouse=True)
def room_on_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """How full this machine's disk is, is nothing to the other looks."""
    monkeypatch.setattr(shutil, "disk_usage", lambda _: SimpleNamespace(free=10**12))


def test_where_all_is_well_it_says_so_and_touches_nothing(
    data: Path, port: int, capsys: pytest.CaptureFixture[str]
) -> None:
    _copied(data, datetime.now(UTC))
    before = _left(data.parent)
    assert report(Settings(data, port=port)) == 0
    lines = capsys.readouterr().out.splitlines()
    looks = ["program", "port", "address", "file", "copies", "log", "disk", "clock"]
    assert [line[12:].split()[0] for line in lines] == looks
    assert all(line.startswith("good ") for line in lines if " address " not in line)
    assert f"{data} is sound" in lines[3]
    assert _left(data.parent) == before


def test_before_the_first_start_there_is_nothing_wrong(tmp_path: Path, port: int) -> None:
    data = tmp_path / "no" / "spokeshed.db"
    found = examine(Settings(data, port=port))
    assert not any(one.answer is Answer.NOT for one in found)
    assert "none yet" in said(data, port, "file")[1]
    assert not data.parent.exists()


def test_it_works_while_the_program_runs(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.tap()
        port = running.bench.client.base_url.port
        assert port is not None
        assert said(data, port, "port") == (Answer.SERVES, f"spokeshed answers at port {port}")
        assert said(data, port, "file")[0] is Answer.SERVES
        done = command(tmp_path, "doctor", "--data", data, "--port", port)
        assert (done.returncode, done.stderr) == (0, "")
        assert f"spokeshed answers at port {port}" in done.stdout
        running.tap()
        # What is in the log of the writes only is seen as well.
        assert running.stop(2) == (0, "")


def test_a_damaged_file(data: Path, port: int, capsys: pytest.CaptureFixture[str]) -> None:
    whole = data.read_bytes()
    data.write_bytes(whole[:4096] + b"\x07" * (len(whole) - 4096))
    assert report(Settings(data, port=port)) == 1
    assert "no good     file" in capsys.readouterr().out


def test_the_log_of_another_file(data: Path, port: int, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    prepare(other)
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        for _ in range(3):
            connection.execute("UPDATE write_mark SET earlier = latest, latest = randomblob(8)")
            connection.commit()
        shutil.copy(f"{other}-wal", f"{data}-wal")
    before = _left(data.parent)
    answer, words = said(data, port, "file")
    assert answer is Answer.NOT and "is the log of another file" in words
    assert _left(data.parent) == before


def test_a_file_that_is_not_ours_or_not_the_demos(data: Path, port: int, tmp_path: Path) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear Sir, " * 100)
    assert said(letter, port, "file")[0] is Answer.NOT
    assert "leave --demo away" in said(data, port, "file", demo=True)[1]


def test_a_file_that_cannot_be_written(data: Path, port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    access = os.access
    monkeypatch.setattr(os, "access", lambda path, mode: path != data and access(path, mode))
    answer, words = said(data, port, "file")
    assert answer is Answer.NOT and "cannot be written to" in words


def test_tables_of_another_program(data: Path, port: int) -> None:
    for revision, answer, words in (
        ("0009", Answer.CAUTION, "older"),
        ("9999", Answer.NOT, "newer spokeshed"),
    ):
        with closing(sqlite3.connect(data)) as connection, connection:
            connection.execute("UPDATE alembic_version SET version_num = ?", (revision,))
        found = said(data, port, "file")
        assert found[0] is answer and words in found[1]


def test_copies_that_are_missing_or_old(data: Path, port: int) -> None:
    assert said(data, port, "copies")[0] is Answer.CAUTION
    week_old = datetime.now(UTC) - timedelta(days=9)
    _copied(data, week_old)
    answer, words = said(data, port, "copies")
    assert answer is Answer.CAUTION and "spokeshed backup FILE" in words
    # An old one is good enough of a file that nobody has written to since.
    old = week_old.timestamp()
    for file in data.parent.glob(f"{data.name}*"):
        os.utime(file, (old, old))
    assert said(data, port, "copies")[0] is Answer.SERVES


@pytest.mark.parametrize(
    ("free", "answer"), [(10**6, Answer.NOT), (10**8, Answer.CAUTION), (10**10, Answer.SERVES)]
)
def test_how_much_room_there_is(
    free: int, answer: Answer, data: Path, port: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: SimpleNamespace(free=free))
    assert said(data, port, "disk")[0] is answer


def test_errors_in_the_log_are_told_of(data: Path, port: int) -> None:
    with kept(data):
        log.info("All ERROR free.")
    assert said(data, port, "log")[0] is Answer.SERVES
    with kept(data):
        log.error("Something.")
    answer, words = said(data, port, "log")
    assert answer is Answer.CAUTION and "tells of 1 errors" in words


@contextmanager
def _other_program(headers: dict[str, str]) -> Iterator[int]:
    class Other(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            for name, value in headers.items():
                self.send_header(name, value)
            self.end_headers()

        def log_message(self, *_: object) -> None:
            pass

    with HTTPServer(("127.0.0.1", 0), Other) as server:
        thread = Thread(target=server.serve_forever)
        thread.start()
        yield server.server_port
        server.shutdown()
        thread.join()


def test_another_program_at_the_port(data: Path) -> None:
    with _other_program({}) as port:
        answer, words = said(data, port, "port")
        assert answer is Answer.NOT and "is another program's" in words
    with _other_program({"Content-Security-Policy": doctor.CSP}) as port:
        answer, words = said(data, port, "port")
        assert answer is Answer.CAUTION and "another version of spokeshed" in words


def test_a_port_that_is_held_and_does_not_answer(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(doctor, "_WAIT_S", 0.2)
    with bind("127.0.0.1", 0) as silent:
        answer, words = said(data, silent.getsockname()[1], "port")
    assert answer is Answer.NOT and "does not answer" in words


def test_a_port_that_cannot_be_had(data: Path, port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise StartError("Port 80 is not allowed here: give one from 1024 up.")

    monkeypatch.setattr(doctor, "bind", refuse)
    assert said(data, port, "port")[0] is Answer.NOT


def test_where_the_network_leads_here(data: Path, port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    here = [f"http://127.0.0.1:{port}/"]
    monkeypatch.setattr(doctor, "addresses", lambda *_: here)
    assert said(data, port, "address")[0] is Answer.CAUTION
    monkeypatch.setattr(doctor, "addresses", lambda *_: [f"http://127.0.0.9:{port}/", *here])
    assert f"--host 0.0.0.0, then it is http://127.0.0.9:{port}/" in said(data, port, "address")[1]


def test_a_clock_behind_what_was_written_down(data: Path, port: int) -> None:
    assert said(data, port, "clock")[0] is Answer.SERVES
    with closing(sqlite3.connect(data)) as connection, connection:
        connection.execute(
            "INSERT INTO journal_line (build_id, kind, sentence, at, who, device, page, version)"
            " VALUES ((SELECT id FROM build LIMIT 1), 'tick', 'x', ?, 'AB', 'd', 'p', 1)",
            (f"{datetime.now(UTC) + timedelta(days=3):%Y-%m-%d %H:%M:%S.%f}",),
        )
    answer, words = said(data, port, "clock")
    assert answer is Answer.NOT and "set the clock" in words


def test_a_clock_that_nobody_set(data: Path, port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("webapp.facts.clock.kept_by_system", lambda: False)
    answer, words = said(data, port, "clock")
    assert answer is Answer.NOT and "since the machine was off" in words


def test_read_by_a_program_that_stops_reading_it_ends_without_a_traceback(data: Path, port: int) -> None:
    """As `spokeshed doctor | head -1`."""
    process = start(data.parent, "doctor", "--data", data, "--port", port)
    assert process.stdout is not None and process.stderr is not None
    process.stdout.close()
    with process.stderr as errors:
        assert process.wait(60) == 1
        assert errors.read() == ""
