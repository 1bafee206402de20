"""The log file beside the data: what happened, and nothing that a person typed."""

import io
import logging
import sqlite3
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from tests.webapp.programs import program
from tests.webapp.test_start import refused
from webapp import logbook
from webapp.logbook import kept, log, log_file
from webapp.settings import StartError
from webapp.upgrade import prepare


def test_a_start_and_a_stop_are_told_without_the_persons_words(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.tap()
        assert running.stop(2) == (0, "")
    told = log_file(data).read_text()
    assert log_file(data).name == "spokeshed.db.log"
    assert "Started spokeshed " in told and "127.0.0.1 port" in told
    assert told.endswith("Stopped.\n")
    assert "Tank engine" not in told and running.bench.who not in told.split()


def test_a_start_that_fails_is_told(tmp_path: Path) -> None:
    data = tmp_path / "torn.db"
    prepare(data)
    whole = data.read_bytes()
    data.write_bytes(whole[:100] + b"\x00" * (len(whole) - 100))
    said = refused(tmp_path, "--data", data, "--port", 0).replace(str(tmp_path), "~")
    assert said.replace("spokeshed: ", "Not started: ", 1) in log_file(data).read_text()


def test_where_an_error_happened_is_told_but_not_its_words(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = tmp_path / "spokeshed.db"

    def fail() -> None:
        try:
            raise sqlite3.OperationalError("disk I/O error")
        except sqlite3.OperationalError as error:
            raise ValueError("Aunt Mabel's wheel") from error

    with kept(data):
        try:
            fail()
        except ValueError:
            log.exception("%s %s", "POST", "/castings/3/bores")
    told = log_file(data).read_text()
    assert "POST /castings/3/bores" in told
    assert "sqlite3.OperationalError: disk I/O error" in told and "builtins.ValueError" in told
    assert "in fail" in told and "Mabel" not in told.replace('ValueError("Aunt Mabel', "")
    # In the window it stands in full.
    assert "ValueError: Aunt Mabel's wheel" in capsys.readouterr().err


def test_what_asyncio_quotes_of_an_error_is_left_out(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    with kept(data):
        logging.getLogger("asyncio").error("Task exception was never retrieved\nfuture: <Task 'Mabel'>")
    assert "never retrieved" in log_file(data).read_text()
    assert "Mabel" not in log_file(data).read_text()


def test_this_persons_home_is_not_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    with suppress(StartError), kept(tmp_path / "spokeshed.db"):
        raise StartError(f"{tmp_path / 'spokeshed.db'} is damaged.")
    assert "~" in log_file(tmp_path / "spokeshed.db").read_text()
    assert str(tmp_path) not in log_file(tmp_path / "spokeshed.db").read_text()


def test_it_is_kept_short(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(logbook, "_SIZE", 1000)
    with kept(tmp_path / "spokeshed.db"):
        for turn in range(200):
            log.info("Turn %s.", turn)
    files = sorted(tmp_path.iterdir())
    assert [file.name for file in files] == [
        "spokeshed.db.log",
        *(f"spokeshed.db.log.{n}" for n in (1, 2, 3)),
    ]
    assert all(file.stat().st_size <= 1000 for file in files)
    assert "Turn 199." in files[0].read_text()


def test_a_log_that_cannot_be_written_is_said_once_and_is_not_fatal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = io.StringIO()
    monkeypatch.setattr(sys, "stderr", said)
    log_file(tmp_path / "spokeshed.db").mkdir()
    with kept(tmp_path / "spokeshed.db"):
        log.info("One.")
        log.info("Two.")
    (sentence,) = said.getvalue().splitlines()
    assert "spokeshed.db.log cannot be written (Is a directory)" in sentence


def test_a_program_whose_log_cannot_be_written_serves_all_the_same(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    log_file(data).mkdir()
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.tap()
        code, errors = running.stop(2)
        assert code == 0 and len(errors.splitlines()) == 1
