"""The data file moved, deleted, replaced or emptied while the program runs: nothing more is called stored."""

import os
import shutil
import signal
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import event, text

from tests.webapp.programs import Program, program
from tests.webapp.scenes import HX, Words, form_on, is_whole
from tests.webapp.test_start import refused
from webapp.db import Db, FileGone
from webapp.upgrade import prepare

SENTENCE = "was moved, deleted, replaced or emptied while spokeshed runs: nothing was stored"


def _delete(path: Path) -> None:
    os.link(path, path.with_name("still-here.db"))  # the same file, to put it back
    path.unlink()


def _move(path: Path) -> None:
    path.rename(path.with_name("elsewhere.db"))


def _replace(path: Path) -> None:
    _delete(path)
    shutil.copy(path.with_name("still-here.db"), path)


def _empty(path: Path) -> None:
    os.truncate(path, 0)


def _lose_log(path: Path) -> None:
    log = path.with_name(path.name + "-wal")
    log.rename(log.with_name("elsewhere-wal"))


WAYS = [_delete, _move, _replace, _empty, _lose_log]


@pytest.fixture
def data(tmp_path: Path) -> Path:
    path = tmp_path / "shed" / "spokeshed.db"
    prepare(path)
    return path


@pytest.fixture
def served(tmp_path: Path, data: Path) -> Iterator[Program]:
    """A program with a build and a tick or two."""
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.tap()
        yield running


@pytest.mark.parametrize("lose", WAYS)
def test_a_tick_is_refused_in_a_sentence_when_the_file_went(
    served: Program, data: Path, lose: Callable[[Path], None]
) -> None:
    bench = served.bench
    form = form_on(bench.get("/castings/1"), "/castings/1/ticks").filled(wish="no received")
    lose(data)
    piece = bench.client.post("/castings/1/ticks", data=form, headers=HX)
    page = bench.client.post("/castings/1/ticks", data=form)
    read = bench.client.get("/castings/1")
    for answer, whole in ((piece, False), (page, True), (read, True)):
        assert answer.status_code == 503
        assert SENTENCE in Words(answer.text).text
        assert is_whole(answer.text) is whole
    assert piece.headers["hx-retarget"] == "#trouble"
    assert data.exists() is (lose not in (_delete, _move)), "a new file was made in its place"


@pytest.mark.parametrize(
    ("lose", "back"), [(_delete, "still-here.db"), (_move, "elsewhere.db"), (_replace, "still-here.db")]
)
def test_the_same_file_put_back_takes_ticks_again(
    served: Program, data: Path, lose: Callable[[Path], None], back: str
) -> None:
    lose(data)
    assert served.bench.client.get("/castings/1").status_code == 503
    data.with_name(back).replace(data)
    served.tap()
    served.tap()
    assert served.stop(signal.SIGINT) == (0, "")
    with closing(sqlite3.connect(data)) as connection:
        assert connection.execute("SELECT count(*) FROM journal_line WHERE kind LIKE '%tick'").fetchone() == (
            3,
        )


@pytest.mark.parametrize("lose", WAYS)
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_a_stop_leaves_what_is_left_alone(
    served: Program, data: Path, lose: Callable[[Path], None], how: int
) -> None:
    lose(data)

    def left() -> dict[str, bytes]:
        own = {"spokeshed.db-shm", "spokeshed.db.log"}
        return {p.name: p.read_bytes() for p in data.parent.iterdir() if p.is_file() and p.name not in own}

    before = left()
    code, errors = served.stop(how)
    assert (code, SENTENCE in errors) == (2, True)
    assert len(errors.splitlines()) == 1
    assert left() == before
    assert SENTENCE in (data.parent / "spokeshed.db.log").read_text()


def test_an_emptied_file_is_no_new_one(tmp_path: Path, served: Program, data: Path) -> None:
    _empty(data)
    served.kill()
    log = data.with_name("spokeshed.db-wal")
    before = log.read_bytes()
    assert before
    assert "is empty, though" not in refused(tmp_path, "--data", data, "--port", 0)
    assert "spokeshed restore" in refused(tmp_path, "--data", data, "--port", 0)
    assert (data.stat().st_size, log.read_bytes()) == (0, before)
    log.unlink()
    assert "spokeshed.db.key beside it shows that it held data" in refused(
        tmp_path, "--data", data, "--port", 0
    )
    assert data.stat().st_size == 0


def test_a_log_without_its_file_is_no_new_start(tmp_path: Path, served: Program, data: Path) -> None:
    served.kill()
    data.unlink()
    log = data.with_name("spokeshed.db-wal")
    before = log.read_bytes()
    assert "is gone, but its log" in refused(tmp_path, "--data", data, "--port", 0)
    assert log.read_bytes() == before
    assert not data.exists()


def test_an_empty_file_alone_may_be_filled(tmp_path: Path) -> None:
    path = tmp_path / "fresh.db"
    path.touch()
    with program(tmp_path, path) as running:
        running.bench.metric()
        running.tap()


@pytest.mark.parametrize("moment", ["before the commit", "during the commit"])
def test_a_file_that_goes_in_the_middle_of_a_write_is_told(data: Path, moment: str) -> None:
    """The program's own sessions, for no tap over a socket can be timed so well."""
    db = Db(data)
    if moment == "during the commit":
        event.listen(db.engine, "commit", lambda _: _move(data))
    with pytest.raises(FileGone, match="nothing was stored"), db.write() as session:
        session.connection().execute(text("UPDATE write_mark SET id = 2"))
        if moment == "before the commit":
            _move(data)
    data.with_name("elsewhere.db").rename(data)
    with db.read() as session:
        kept = session.connection().execute(text("SELECT id FROM write_mark")).scalar_one()
    assert kept == (2 if moment == "during the commit" else 1)
    db.close()


def test_a_connection_made_later_is_to_the_same_file(data: Path) -> None:
    db = Db(data)
    _replace(data)
    with pytest.raises(FileGone):
        db.engine.connect()
    data.with_name("still-here.db").replace(data)
    db.engine.connect().close()
    db.close()
