"""The log beside the data file: its own after every kill and power cut, another file's never."""

import os
import random
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from threading import Timer

import httpx
import pytest
from alembic import command as alembic
from sqlalchemy import text

from tests.webapp.programs import program, start
from tests.webapp.scenes import Bench, form_on
from tests.webapp.test_start import PATIENCE, ROOT, refused
from tests.webapp.test_upgrade import ROWS, ROWS_BEFORE_PATTERNS
from webapp import upgrade
from webapp.datafile import log_belongs
from webapp.db import Db
from webapp.settings import StartError
from webapp.upgrade import prepare

# A few in every run of the tests; many when something about the data file was changed.
KILLS = int(os.environ.get("SPOKESHED_KILLS", "8"))
OTHERS = "is the log of another file"


def _wal(path: Path) -> Path:
    return path.with_name(path.name + "-wal")


def _together(path: Path, folder: Path) -> Path:
    """The file and its log as they are just now, in another folder."""
    folder.mkdir()
    for one in (path, _wal(path)):
        if one.exists():
            shutil.copyfile(one, folder / one.name)
    return folder / path.name


def _rows(path: Path) -> Path:
    prepare(path)
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(ROWS)
    return path


def _write(db: Db, name: str) -> None:
    with db.write() as session:
        session.connection().execute(text("UPDATE build SET name = :name"), {"name": name})


def _name(path: Path) -> object:
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        return connection.execute("SELECT name FROM build").fetchone()[0]


def _fold(db: Db, how: str) -> None:
    with closing(sqlite3.connect(db.path)) as connection:
        connection.execute(f"PRAGMA wal_checkpoint({how})")


@pytest.fixture
def life(tmp_path: Path) -> Iterator[list[Path]]:
    """A file and its log, taken after each of many writes, while the log was folded and begun anew."""
    db = Db(_rows(tmp_path / "spokeshed.db"))
    moments = []
    for turn in range(12):
        _write(db, f"turn {turn}")
        if turn % 4 == 3:
            _fold(db, "PASSIVE" if turn == 7 else "RESTART")
        moments.append(_together(db.path, tmp_path / f"turn {turn}"))
    yield moments
    db.close()


def test_a_log_belongs_to_its_file_at_every_moment(life: list[Path]) -> None:
    for turn, path in enumerate(life):
        assert log_belongs(path)
        prepare(path)
        assert _name(path) == f"turn {turn}"


def test_whatever_is_taken_for_its_own_gives_exactly_the_last_state(
    life: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each file beside each log: what passes is replayed to the log's own state, what would not be is refused."""
    monkeypatch.setattr(time, "sleep", lambda _: None)  # no running program need be waited for
    passed = refused_ = 0
    for own, file in enumerate(life):
        for turn, other in enumerate(life):
            pair = tmp_path / f"{own} and {turn}" / "spokeshed.db"
            pair.parent.mkdir()
            shutil.copyfile(file, pair)
            shutil.copyfile(_wal(other), _wal(pair))
            if log_belongs(pair):
                prepare(pair)
                assert _name(pair) == f"turn {turn}"
                passed += 1
                continue
            before = (pair.read_bytes(), _wal(pair).read_bytes())
            with pytest.raises(StartError, match=OTHERS):
                prepare(pair)
            assert (pair.read_bytes(), _wal(pair).read_bytes()) == before
            refused_ += 1
    assert passed >= len(life)
    assert refused_ > passed


def test_a_log_that_breaks_off_anywhere_is_still_its_own(life: list[Path]) -> None:
    """The power failed while the log was written: cut off, or its end filled with something else."""
    for path in (life[0], life[2], life[6], life[10]):
        whole = _wal(path).read_bytes()
        for end in range(0, len(whole), 509):
            for rest in (b"", bytes(len(whole) - end), b"\x5a" * (len(whole) - end)):
                _wal(path).write_bytes(whole[:end] + rest)
                assert log_belongs(path), (path, end)


def test_a_half_folded_file_is_still_its_logs_own(life: list[Path]) -> None:
    """The power failed while the log was folded: some pages are the log's already, in any mixture."""
    path = life[2]
    whole, folded = path.read_bytes(), path.with_name("folded.db")
    shutil.copyfile(path, folded)
    shutil.copyfile(_wal(path), _wal(folded))
    with closing(sqlite3.connect(folded)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    new, log = folded.read_bytes(), _wal(path).read_bytes()
    assert len(new) == len(whole)
    pages = range(0, len(whole), 4096)
    changed = [page for page in pages if whole[page : page + 4096] != new[page : page + 4096]]
    assert len(changed) > 1
    for mixture in range(2 ** len(changed)):
        mixed = bytearray(whole)
        for bit, page in enumerate(changed):
            if mixture >> bit & 1:
                mixed[page : page + 4096] = new[page : page + 4096]
        path.write_bytes(mixed)
        _wal(path).write_bytes(log)
        prepare(path)
        assert _name(path) == "turn 2"


def _before_marks(path: Path) -> Path:
    """A file as the program left it before there were marks."""
    engine = upgrade._engine(path)
    with engine.begin() as connection:
        connection.exec_driver_sql(f"PRAGMA application_id = {upgrade.APPLICATION_ID}")
        alembic.upgrade(upgrade._config(connection), "0004")
    engine.dispose()
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(ROWS_BEFORE_PATTERNS)
        connection.execute("PRAGMA journal_mode = WAL")
    return path


def test_a_log_from_before_there_were_marks_is_taken(tmp_path: Path) -> None:
    path = _before_marks(tmp_path / "spokeshed.db")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE build SET name = 'in the log'")
        connection.commit()
        killed = _together(path, tmp_path / "killed")
    prepare(killed)
    assert _name(killed) == "in the log"


def test_the_first_marks_in_the_log_alone_are_taken_and_an_older_file_beside_later_ones_is_not(
    tmp_path: Path,
) -> None:
    path = _before_marks(tmp_path / "spokeshed.db")
    copy = shutil.copyfile(path, tmp_path / "copy.db")
    with closing(sqlite3.connect(path)) as other:
        other.execute("SELECT * FROM build").fetchone()  # has it open, so that the log stays
        prepare(path)
        killed = _together(path, tmp_path / "killed")
    assert _wal(killed).stat().st_size
    prepare(killed)
    db = Db(killed)
    _write(db, "later")
    killed = _together(killed, tmp_path / "killed later")
    db.close()
    shutil.copyfile(copy, killed)
    with pytest.raises(StartError, match=OTHERS):
        prepare(killed)


def test_a_copy_from_before_an_upgrade_does_not_take_the_log_from_after(tmp_path: Path) -> None:
    """The upgrade changes pages that no later log has: so it changes the mark as well."""
    path = _rows(tmp_path / "spokeshed.db")
    copy = shutil.copyfile(path, tmp_path / "copy.db")
    upgrade._migrate(path)
    db = Db(path)
    _write(db, "later")
    shutil.copyfile(_wal(path), _wal(copy))
    db.close()
    with pytest.raises(StartError, match=OTHERS):
        prepare(copy)


@pytest.mark.parametrize("by", ["hand", "command"])
def test_a_copy_put_back_by_hand_beside_an_old_log_is_refused(tmp_path: Path, by: str) -> None:
    data, copy = tmp_path / "shed" / "spokeshed.db", tmp_path / "copy.db"
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.tap()
        if by == "hand":
            assert running.stop(signal.SIGINT) == (0, "")
            shutil.copyfile(data, copy)
        else:
            with closing(upgrade.connect(data)) as connection:
                upgrade.copy_whole(connection, data, copy, own_mark=True)
            running.tap()
            running.kill()
    if by == "hand":
        with program(tmp_path, data) as running:
            running.tap()
            running.kill()
    shutil.copyfile(copy, data)
    before = (data.read_bytes(), _wal(data).read_bytes())
    sentence = refused(tmp_path, "--data", data, "--port", 0)
    assert OTHERS in sentence
    assert "move spokeshed.db-wal elsewhere" in sentence
    assert (data.read_bytes(), _wal(data).read_bytes()) == before
    assert OTHERS in refused(tmp_path, "backup", tmp_path / "other.db", "--data", data)
    _wal(data).rename(tmp_path / "old-wal")
    with program(tmp_path, data) as running:
        assert running.bench.ticks("W1") == {"received"}


# Two programs that write as fast as they can, so that the log is folded and begun anew all the time.
_HAMMER = """
import sys
from pathlib import Path
from sqlalchemy import text
from webapp.db import Db
db, own, n = Db(Path(sys.argv[1])), int(sys.argv[2]), int(sys.argv[3])
while True:
    n += 1
    with db.write() as session:
        session.connection().execute(text("UPDATE counter SET n = :n, bulk = randomblob(60000) WHERE id = :own"),
                                     {"n": n, "own": own})
    print(n, flush=True)
"""


def test_no_kill_at_full_speed_loses_a_write_or_gives_a_false_alarm(tmp_path: Path) -> None:
    path = _rows(tmp_path / "spokeshed.db")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE counter (id INTEGER PRIMARY KEY, n INTEGER, bulk BLOB)")
        connection.executemany("INSERT INTO counter VALUES (?, 0, x'')", [(1,), (2,)])
        connection.commit()
    chance = random.Random(42)
    said, logs = {1: 0, 2: 0}, 0
    for _ in range(KILLS):
        writers = {
            own: subprocess.Popen(
                [sys.executable, "-c", _HAMMER, str(path), str(own), str(said[own])],
                cwd=ROOT,
                stdout=subprocess.PIPE,
                text=True,
            )
            for own in said
        }
        assert writers[1].stdout is not None
        writers[1].stdout.readline()
        time.sleep(chance.uniform(0, 0.4))
        for writer in writers.values():
            writer.kill()
        for own, writer in writers.items():
            lines = writer.communicate()[0].splitlines(keepends=True)
            said[own] = max([said[own], *(int(line) for line in lines if line.endswith("\n"))])
        logs += _wal(path).exists() and _wal(path).stat().st_size > 0
        prepare(path)
        with closing(sqlite3.connect(path)) as connection:
            found = dict(connection.execute("SELECT id, n FROM counter"))
        assert all(found[own] >= n for own, n in said.items())
        said = found
    # One killed just when it had folded the log leaves an empty one.
    assert logs > KILLS // 2
    assert sum(said.values()) > 10 * KILLS


def test_no_kill_of_the_program_loses_a_tick_or_gives_a_false_alarm(tmp_path: Path) -> None:
    """Killed at any moment from its start on, while a tablet taps; the next start must take the file."""
    data = tmp_path / "spokeshed.db"
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.kill()
    chance = random.Random(7)
    acknowledged = 0
    for turn in range(KILLS):
        process = start(tmp_path, "--port", 0, "--data", data)
        # Most of them between two taps or in the middle of one, some while it starts.
        deadline = Timer(chance.uniform(0.1, 1.5) if turn % 4 == 3 else PATIENCE, process.kill)
        deadline.start()
        tapping = Timer(chance.uniform(0, 0.5), process.kill)
        assert process.stdout is not None
        if found := re.match(r"Open (http://\S+)/", process.stdout.readline()):
            acknowledged += _tap_until_it_dies(found[1], tapping)
        tapping.cancel()
        process.kill()
        _, errors = process.communicate(timeout=PATIENCE)
        deadline.cancel()
        assert (process.returncode, errors) == (-signal.SIGKILL, "")
    prepare(data)
    with closing(sqlite3.connect(data)) as connection:
        (kept,) = connection.execute("SELECT count(*) FROM journal_line WHERE kind LIKE '%tick'").fetchone()
    assert kept >= acknowledged > KILLS
    assert kept <= acknowledged + KILLS, "at most the one tap in the air at each kill was not acknowledged"


def _tap_until_it_dies(address: str, death: Timer) -> int:
    """Tick and untick the first casting, dying some time after the first; how often that was acknowledged."""
    taps = 0
    with (
        suppress(httpx.TransportError),
        httpx.Client(base_url=address, headers={"Origin": address}, timeout=PATIENCE) as client,
    ):
        bench = Bench(client, None).sit_down()  # type: ignore[arg-type]
        while True:
            # Which of the two is due is told by the page, for reading the file would keep it open.
            form = form_on(bench.get("/castings/1"), "/castings/1/ticks")
            (wish,) = {value for _, value in form.buttons if re.fullmatch("(yes|no) received", value)}
            assert bench.post("/castings/1/ticks", form.filled(wish=wish)).status_code == 303
            taps += 1
            if taps == 1:
                death.start()
    return taps
