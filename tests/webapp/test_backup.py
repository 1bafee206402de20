"""Copies made while the program runs and put back while it does not; every way to refuse, and every crash."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from itertools import pairwise
from pathlib import Path

import pytest

from tests.webapp.programs import command, program
from tests.webapp.test_start import ROOT, _command, _environment, refused
from tests.webapp.test_upgrade import ROWS
from webapp.backup import restore
from webapp.datafile import held
from webapp.settings import StartError
from webapp.upgrade import prepare

NAME = "UPDATE build SET name = ?"


def _wal(path: Path) -> Path:
    return path.with_name(path.name + "-wal")


def _make(path: Path, name: str = "old", *, demo: bool = False) -> Path:
    """A sound file with a build of this name."""
    path.parent.mkdir(exist_ok=True)
    prepare(path, demo=demo)
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(ROWS)
        connection.execute(NAME, (name,))
        connection.commit()
    return path


def _killed_writing(path: Path, *names: str) -> None:
    """Write as the program does and die: what was written last is in the log alone."""
    code = (
        "import os; from pathlib import Path; from sqlalchemy import text; from webapp.db import Db\n"
        f"db = Db(Path({str(path)!r}))\n"
        f"for name in {names!r}:\n"
        "    with db.write() as session:\n"
        "        session.connection().execute(text('UPDATE build SET name = :n'), {'n': name})\n"
        "os._exit(9)"
    )
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT).returncode == 9
    assert _wal(path).stat().st_size


def _name(path: Path) -> str:
    with closing(sqlite3.connect(path)) as connection:
        found: str = connection.execute("SELECT name FROM build").fetchone()[0]
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    return found


def _names(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir()}


def _bytes(folder: Path) -> dict[str, bytes]:
    """Every file but the locks, which hold nothing."""
    return {file.name: file.read_bytes() for file in folder.iterdir() if file.suffix != ".lock"}


def _newer(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()


def _stranger(path: Path) -> None:
    path.unlink()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE recipe (id INTEGER)")
        connection.commit()


def _torn(path: Path) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[:8192] + b"\x5a" * (len(whole) - 8192))


def _index_without_its_row(path: Path) -> None:
    """What a mixture of two files looks like, and what quick_check passes over."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA writable_schema = ON")
        where = "name = 'ix_axle_build_id'"
        (entry,) = connection.execute(f"SELECT * FROM sqlite_master WHERE {where}").fetchall()
        connection.execute(f"DELETE FROM sqlite_master WHERE {where}")
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(
            "INSERT INTO axle (id, build_id, number, pattern_id, version) VALUES (2, 1, 2, 1, 1)"
        )
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute("INSERT INTO sqlite_master VALUES (?, ?, ?, ?, ?)", entry)
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA quick_check").fetchall() == [("ok",)]


def _text(path: Path) -> None:
    path.write_text("Dear Sir, the castings have arrived. " * 40)


def _no_file(path: Path) -> None:
    path.unlink()


def _nothing_in_it(path: Path) -> None:
    path.write_bytes(b"")


def _only_the_demo(path: Path) -> None:
    path.unlink()
    prepare(path, demo=True)


def test_help_shows_both_commands(tmp_path: Path) -> None:
    shown = command(tmp_path, "--help")
    assert shown.returncode == 0
    for word in ("backup", "restore", "--data", "--host", "--port", "--demo"):
        assert word in shown.stdout
    for one in ("backup", "restore"):
        own = command(tmp_path, one, "--help")
        assert (own.returncode, "FILE" in own.stdout) == (0, True)
        assert "--port" not in own.stdout
    assert "FILE" in refused(tmp_path, "backup") or "file" in refused(tmp_path, "backup")


@pytest.mark.parametrize("before", [True, False], ids=["before the command", "after it"])
def test_a_copy_made_while_the_program_runs_has_everything_so_far(tmp_path: Path, before: bool) -> None:
    data, copy = tmp_path / "shed" / "spokeshed.db", tmp_path / "away" / "copy.db"
    copy.parent.mkdir()
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.tap()
        options = ("--data", data)
        done = command(tmp_path, *(options if before else ()), "backup", copy, *(() if before else options))
        assert (done.returncode, done.stdout) == (0, f"Backed up {data} to {copy}.\n"), done
        running.tap()
        assert running.bench.ticks("W1") == set()
    assert _names(copy.parent) == {"copy.db"}
    with closing(sqlite3.connect(f"{copy.as_uri()}?mode=ro&immutable=1", uri=True)) as connection:
        assert connection.execute("SELECT key FROM tick").fetchall() == [("received",)]
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def test_a_copy_after_a_kill_has_what_is_in_the_log(tmp_path: Path) -> None:
    data = _make(tmp_path / "shed" / "spokeshed.db")
    _killed_writing(data, "in the log")
    assert command(tmp_path, "backup", tmp_path / "copy.db", "--data", data).returncode == 0
    assert _name(tmp_path / "copy.db") == "in the log"


def test_the_demo_is_backed_up_and_restored_as_the_demo(tmp_path: Path) -> None:
    data, copy = _make(tmp_path / "shed" / "demo.db", demo=True), tmp_path / "copy.db"
    assert command(tmp_path, "backup", copy, "--demo", "--data", data).returncode == 0
    assert command(tmp_path, "restore", copy, "--demo", "--data", data).returncode == 0
    prepare(data, demo=True)


@pytest.mark.parametrize(
    ("spoil", "arguments", "words"),
    [
        (lambda data: (data.parent / "copy.db").write_text("kept"), [], "is there already"),
        (_no_file, [], "nothing to back up"),
        (_nothing_in_it, [], "nothing to back up"),
        (_index_without_its_row, [], "is damaged"),
        (_stranger, [], "another program's database"),
        (_text, [], "no database"),
        (lambda data: None, ["--demo"], "is not a demo file"),
    ],
)
def test_no_copy_is_made_of_what_cannot_be_copied(
    tmp_path: Path, spoil: Callable[[Path], object], arguments: list[str], words: str
) -> None:
    data = _make(tmp_path / "shed" / "spokeshed.db")
    spoil(data)
    before = _bytes(data.parent)
    assert words in refused(tmp_path, "backup", data.parent / "copy.db", "--data", data, *arguments)
    assert _bytes(data.parent) == before


def test_a_copy_needs_a_folder(tmp_path: Path) -> None:
    data = _make(tmp_path / "spokeshed.db")
    assert "There is no folder" in refused(tmp_path, "backup", tmp_path / "no" / "copy.db", "--data", data)
    assert "is there already" in refused(tmp_path, "backup", tmp_path, "--data", data)


def test_a_copy_is_put_back_and_what_was_there_is_kept(tmp_path: Path) -> None:
    data = _make(tmp_path / "shed" / "spokeshed.db")
    copy = tmp_path / "copy.db"
    assert command(tmp_path, "backup", copy, "--data", data).returncode == 0
    before = copy.read_bytes()
    _killed_writing(data, "later")
    done = command(tmp_path, "restore", copy, "--data", data)
    assert (done.returncode, done.stderr) == (0, ""), done
    (aside,) = data.parent.glob("spokeshed.replaced-*.db")
    assert done.stdout == f"Restored {data} from {copy}. What was there is kept as {aside}.\n"
    assert _names(data.parent) - {"spokeshed.db.lock"} == {"spokeshed.db", aside.name}
    assert (_name(data), _name(aside)) == ("old", "later")
    assert copy.read_bytes() == before
    prepare(data)


def test_a_copy_is_put_where_nothing_was(tmp_path: Path) -> None:
    copy = _make(tmp_path / "copy.db")
    data = tmp_path / "new shed" / "spokeshed.db"
    done = command(tmp_path, "restore", copy, "--data", data)
    assert (done.returncode, done.stdout) == (0, f"Restored {data} from {copy}.\n")
    assert _name(data) == "old"


def test_a_copy_by_hand_counts_with_its_log(tmp_path: Path) -> None:
    copy = _make(tmp_path / "away" / "copy.db")
    _killed_writing(copy, "in the log")
    before = _bytes(copy.parent)
    data = _make(tmp_path / "shed" / "spokeshed.db", "other")
    assert command(tmp_path, "restore", copy, "--data", data).returncode == 0
    assert _bytes(copy.parent) == before
    assert _name(data) == "in the log"


@pytest.mark.parametrize(
    ("spoil", "arguments", "words"),
    [
        (_no_file, [], "There is no copy"),
        (_nothing_in_it, [], "is empty"),
        (_stranger, [], "another program's database"),
        (_text, [], "no database"),
        (_newer, [], "newer spokeshed"),
        (_torn, [], "copy.db"),
        (_index_without_its_row, [], "is damaged"),
        (_only_the_demo, [], "copy of the demo"),
        (lambda copy: None, ["--demo"], "not a copy of a demo"),
    ],
)
def test_what_is_no_sound_copy_is_not_put_back(
    tmp_path: Path, spoil: Callable[[Path], object], arguments: list[str], words: str
) -> None:
    data = _make(tmp_path / "shed" / "spokeshed.db")
    _killed_writing(data, "later")
    copy = _make(tmp_path / "copy.db")
    spoil(copy)
    before = _bytes(data.parent)
    assert words in refused(tmp_path, "restore", copy, "--data", data, *arguments)
    assert _bytes(data.parent) == before


def test_a_copy_is_not_put_over_what_is_no_spokesheds(tmp_path: Path) -> None:
    copy = _make(tmp_path / "copy.db")
    demo = _make(tmp_path / "demo copy.db", demo=True)
    for spoil, given, arguments, words in (
        (_stranger, copy, [], "another program's database"),
        (_text, copy, [], "no database"),
        (lambda data: None, demo, ["--demo"], "is not a demo file"),
    ):
        data = _make(tmp_path / spoil.__name__ / "spokeshed.db")
        spoil(data)
        before = _bytes(data.parent)
        assert words in refused(tmp_path, "restore", given, "--data", data, *arguments)
        assert _bytes(data.parent) == before
    assert "is the data file itself" in refused(tmp_path, "restore", copy, "--data", copy)


def test_no_copy_is_put_back_while_the_program_runs_on_the_file(tmp_path: Path) -> None:
    data, copy = _make(tmp_path / "shed" / "spokeshed.db"), _make(tmp_path / "copy.db", "copy")
    with program(tmp_path, data) as first:
        assert "is running on" in refused(tmp_path, "restore", copy, "--data", data)
        # It still reads its file; the row in it is no whole build, so the list of builds is not asked.
        assert first.bench.client.get("/workshop", follow_redirects=True).status_code == 200
        assert not list(data.parent.glob("spokeshed.replaced-*"))
        first.kill()
    assert command(tmp_path, "restore", copy, "--data", data).returncode == 0
    assert _name(data) == "copy"


def test_no_copy_is_put_back_while_the_file_is_lost_to_a_running_program(tmp_path: Path) -> None:
    data, copy = _make(tmp_path / "shed" / "spokeshed.db"), _make(tmp_path / "copy.db", "copy")
    with program(tmp_path, data):
        data.unlink()
        assert "is running on" in refused(tmp_path, "restore", copy, "--data", data)
        assert not data.exists()


def test_no_copy_is_put_back_while_another_program_reads_the_file(tmp_path: Path) -> None:
    data, copy = _make(tmp_path / "shed" / "spokeshed.db"), _make(tmp_path / "copy.db", "copy")
    _killed_writing(data, "later")
    with closing(sqlite3.connect(data)) as reader:
        reader.execute("BEGIN")
        assert reader.execute("SELECT name FROM build").fetchone() == ("later",)
        assert "Another program has" in refused(tmp_path, "restore", copy, "--data", data)
    assert _name(data) == "later"


def test_no_program_starts_while_a_copy_is_put_back(tmp_path: Path) -> None:
    data = _make(tmp_path / "spokeshed.db")
    with held(data, alone=True):
        assert "just being restored" in refused(tmp_path, "--data", data, "--port", 0)


def _key(data: Path) -> None:
    data.with_name(data.name + ".key").write_text("0" * 64)


def _head_gone(data: Path) -> None:
    _key(data)
    with data.open("rb+") as file:
        file.write(bytes(100))


def _foreign_log(data: Path) -> None:
    shutil.copyfile(data.with_name("other.db"), data)


@pytest.mark.parametrize("ruin", [_nothing_in_it, _no_file, _head_gone, _torn, _foreign_log])
def test_a_ruin_is_replaced_and_kept_with_its_log(tmp_path: Path, ruin: Callable[[Path], None]) -> None:
    copy = _make(tmp_path / "copy.db", "copy")
    data = _make(tmp_path / "shed" / "spokeshed.db")
    shutil.copyfile(data, data.with_name("other.db"))
    _killed_writing(data, "first")
    _name(data)  # folds the log
    _killed_writing(data, "later")
    ruin(data)
    before = _bytes(data.parent)
    done = command(tmp_path, "restore", copy, "--data", data)
    assert done.returncode == 0, done
    assert not _wal(data).exists()
    assert _name(data) == "copy"
    prepare(data)
    asides = [file for file in data.parent.iterdir() if ".replaced-" in file.name]
    if ruin is not _torn:  # of that, SQLite may fold what it can read
        kept = [before[name] for name in ("spokeshed.db", "spokeshed.db-wal") if name in before]
        assert sorted(file.read_bytes() for file in asides) == sorted(kept)
    assert asides


CRASHES = {"open", "os.rename", "os.remove", "os.chmod", "shutil.copyfile", "sqlite3.connect", "os.truncate"}


def _crash_at(step: int, data: Path, copy: Path) -> bool:
    """Restore in a process of its own that is killed before its so-manieth step; False when it came through."""
    child = os.fork()
    if child == 0:
        left = step

        def count(what: str, _: object) -> None:
            nonlocal left
            if what in CRASHES:
                left -= 1
                if left < 0:
                    os.kill(os.getpid(), signal.SIGKILL)

        sys.addaudithook(count)
        restore(data, copy)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return True
    assert os.WEXITSTATUS(status) == 0
    return False


@pytest.mark.skipif(os.name != "posix", reason="needs fork")
@pytest.mark.parametrize("foreign", [False, True], ids=["its own log", "another file's log"])
def test_a_crash_anywhere_leaves_the_old_file_or_the_new_one(tmp_path: Path, foreign: bool) -> None:
    first, copy = _make(tmp_path / "first.db"), _make(tmp_path / "copy.db", "copy")
    _killed_writing(first, "later")
    if foreign:
        stale = _wal(first).read_bytes()
        _name(first)  # folds the log
        _killed_writing(first, "later still")
        _name(first)
        _wal(first).write_bytes(stale)
        with pytest.raises(StartError, match="log of another file"):
            prepare(first)
    seen: list[str] = []
    for step in range(1000):
        data = tmp_path / f"step {step}" / "spokeshed.db"
        data.parent.mkdir()
        shutil.copyfile(first, data)
        shutil.copyfile(_wal(first), _wal(data))
        before = (data.read_bytes(), _wal(data).read_bytes())
        crashed = _crash_at(step, data, copy)
        try:
            prepare(data)
        except StartError as error:
            assert foreign and "log of another file" in str(error)
            assert (data.read_bytes(), _wal(data).read_bytes()) == before
            seen.append("untouched")
        else:
            seen.append(_name(data))
        if not crashed:
            break
        shutil.rmtree(data.parent)
    old = ["untouched", "later still"] if foreign else ["later"]
    assert seen[-1] == "copy"
    assert [name for name, after in pairwise(seen) if name != after] == old, seen
    assert len(seen) > 10


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_a_clean_stop_leaves_all_in_the_one_file(tmp_path: Path, how: int) -> None:
    data = tmp_path / "spokeshed.db"
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.tap()
        with closing(sqlite3.connect(data)) as other:
            # Keeps the log from being deleted, not from being folded.
            assert other.execute("SELECT key FROM tick").fetchall() == [("received",)]
            assert running.stop(how) == (0, "")
            assert _wal(data).stat().st_size == 0
            shutil.copyfile(data, tmp_path / "alone.db")
    assert not _wal(data).exists()
    with closing(sqlite3.connect(tmp_path / "alone.db")) as connection:
        assert connection.execute("SELECT key FROM tick").fetchall() == [("received",)]


def test_an_index_that_lost_its_row_is_found_at_the_start(tmp_path: Path) -> None:
    data = _make(tmp_path / "spokeshed.db")
    _index_without_its_row(data)
    before = data.read_bytes()
    assert "is damaged" in refused(tmp_path, "--data", data, "--port", 0)
    assert data.read_bytes() == before


def _said_in_the_readme() -> list[str]:
    section = (ROOT / "README.md").read_text().split("\n## Your data\n")[1].split("\n## ")[0]
    blocks = section.split("```sh\n")[1:]
    return [line for block in blocks for line in block.split("```")[0].splitlines()]


def test_the_readmes_own_lines_keep_and_give_back_all_that_was_acknowledged(tmp_path: Path) -> None:
    environment = _environment(tmp_path)
    data = tmp_path / "data" / "spokeshed" / "spokeshed.db"  # where the program puts it by itself
    if sys.platform == "darwin":
        data = tmp_path / "Library" / "Application Support" / "spokeshed" / "spokeshed.db"

    def run(line: str) -> subprocess.CompletedProcess[str]:
        assert line.startswith(".venv/bin/spokeshed ")
        here = line.replace(".venv/bin", str(Path(sys.executable).parent))
        return subprocess.run(
            here, shell=True, cwd=tmp_path, env=environment, capture_output=True, text=True, timeout=60
        )

    back_up, put_back = _said_in_the_readme()
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.tap()
        running.kill()
    with program(tmp_path, data) as running:
        assert running.bench.ticks("W1") == {"received"}
        done = run(back_up)
        assert done.returncode == 0, done
        running.tap()
        running.tap()
        running.tap()
        assert run(put_back).returncode == 2
        journal = running.bench.journal()
        running.kill()
    done = run(put_back)
    assert done.returncode == 0, done
    with program(tmp_path, data) as running:
        assert running.bench.ticks("W1") == {"received"}
        running.tap()
        running.kill()
    with program(tmp_path, data) as running:
        assert running.bench.ticks("W1") == set()
        assert run(back_up).returncode == 2, "the first copy would have been written over"
    (aside,) = data.parent.glob("spokeshed.replaced-*.db")
    with closing(sqlite3.connect(aside)) as connection:
        kept = [line for (line,) in connection.execute("SELECT sentence FROM journal_line ORDER BY id")]
    assert kept == journal


def test_the_options_without_a_command_are_as_they_were(tmp_path: Path) -> None:
    done = subprocess.run(
        _command("--data", tmp_path / "a.db", "--port", "x"),
        cwd=ROOT,
        env=_environment(tmp_path),
        capture_output=True,
        text=True,
    )
    assert (done.returncode, "such as 8730" in done.stderr) == (2, True)
