"""Copies that are made by themselves: sound, thinned without harm, in two folders, and put back while it runs."""

import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Event, Thread

import pytest
from alembic import command as alembic
from fastapi.testclient import TestClient

from tests.webapp import test_by_eye_migration as older
from tests.webapp.programs import command, program
from tests.webapp.scenes import Bench, Words, form_on
from tests.webapp.test_start import ROOT, refused
from tests.webapp.test_upgrade import FAILS, _add, filled, migrations  # noqa: F401
from webapp import copies as module
from webapp import upgrade
from webapp.copies import Copies, Copy, NotCopied, copies_of, folder_of, keep, superfluous
from webapp.datafile import beside
from webapp.db import Db
from webapp.faults import line
from webapp.models import JigRow
from webapp.settings import Settings, StartError
from webapp.upgrade import prepare

SOON_S = 10.0


def until(true: Callable[[], object]) -> None:
    """Wait until it is so."""
    end = time.monotonic() + SOON_S
    while not true():
        assert time.monotonic() < end, "it never came to pass"
        time.sleep(0.02)


@pytest.fixture
def copies(client: TestClient) -> Copies:
    """The program's own, which is asked here and makes none by itself."""
    found = client.app.state.copies  # type: ignore[attr-defined]
    assert isinstance(found, Copies)
    return found


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A build with its first casting received."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    bench.tick("W1", "received")
    return bench


def _rows(path: Path, sql: str = "SELECT key FROM tick") -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro&immutable=1", uri=True)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        return connection.execute(sql).fetchall()


def _names(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir()}


# What is made, and when not


def test_a_copy_is_one_sound_file_with_all_that_is_in_the_log(bench: Bench, copies: Copies) -> None:
    copy = copies.make()
    assert _rows(copy.path) == [("received",)]
    assert _rows(copy.path, "PRAGMA journal_mode") == [("delete",)]
    assert _names(folder_of(bench.db.path)) == {copy.path.name}
    assert copies_of(bench.db.path) == [copy] == [copies.last]
    assert copies.wrong == ""
    assert abs(copy.made - datetime.now(UTC)) < timedelta(minutes=1)


def test_where_nothing_changed_there_is_no_new_one_not_even_after_a_new_start(
    bench: Bench, copies: Copies, settings: Settings
) -> None:
    first = copies.make()
    assert copies.make() == first
    again = Db(settings.data)  # each run begins with a mark of its own in the file
    assert Copies(again, settings).make() == first
    again.close()
    bench.tick("W2", "received")
    second = copies.make()
    assert (second.number, copies_of(settings.data)) == (first.number + 1, [second, first])


def test_an_old_copy_of_the_same_state_is_kept_for_the_better_reason(bench: Bench, copies: Copies) -> None:
    plain = copies.make()
    with bench.db.whole() as connection:
        kept = keep(connection, bench.db.path, "before-0007")
        assert keep(connection, bench.db.path, "before-0007") == kept
    assert copies.make() == kept != plain
    assert copies_of(bench.db.path) == [kept]


def test_a_damaged_file_gives_no_copy_and_that_is_said(bench: Bench, copies: Copies) -> None:
    copies.make()
    with bench.db.write() as session:
        session.connection().exec_driver_sql("PRAGMA defer_foreign_keys = ON")
        session.connection().exec_driver_sql("INSERT INTO tick SELECT * FROM tick WHERE 0")
    with closing(sqlite3.connect(bench.db.path)) as other:
        other.execute("DELETE FROM axle")  # foreign keys are off here
        other.commit()
    before = _names(folder_of(bench.db.path))
    with pytest.raises(NotCopied, match="is damaged"):
        copies.make()
    assert _names(folder_of(bench.db.path)) == before
    assert "No copy of the data could be made" in Words(bench.client.get("/copies").text).text


def test_a_disk_with_no_room_for_a_copy_is_said_and_ticks_are_stored_all_the_same(
    bench: Bench, copies: Copies
) -> None:
    resource = pytest.importorskip("resource")  # POSIX only
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, before[1]))
    try:
        with pytest.raises(NotCopied, match="No copy of the data could be made: the disk failed"):
            copies.make()
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert _names(folder_of(bench.db.path)) == set()
    bench.tick("W2", "received")
    assert "No copy of the data could be made" in Words(bench.client.get("/builds/1").text).text
    copies.make()
    assert copies.wrong == ""


def test_what_a_power_cut_left_half_made_goes_with_the_next(bench: Bench, copies: Copies) -> None:
    folder = folder_of(bench.db.path)
    folder.mkdir()
    (folder / ".spokeshed-00001-20260101T000000Z.db.abcdef").write_bytes(b"half")
    copy = copies.make()
    assert _names(folder) == {copy.path.name}


def test_one_that_is_stopped_leaves_nothing(bench: Bench) -> None:
    folder = folder_of(bench.db.path)
    with bench.db.whole() as connection, pytest.raises(sqlite3.OperationalError):
        keep(connection, bench.db.path, stopped=lambda: True)
    assert _names(folder) == set()
    bench.tick("W2", "received")


def test_a_migration_that_fails_ten_times_leaves_one_copy_and_no_sql(
    filled: Path,  # noqa: F811
    migrations: Path,  # noqa: F811
) -> None:
    _add(migrations, FAILS)
    told = set()
    for _ in range(10):
        with pytest.raises(StartError) as error:
            upgrade.prepare(filled)
        told.add(str(error.value))
    (copy,) = copies_of(filled)
    (sentence,) = told
    assert str(copy.path) in sentence
    assert "an error in the program, whose details are in the log" in sentence
    assert not [word for word in ("INSERT", "no_such_table", "sqlite", "SQL") if word in sentence]


def test_a_disk_that_is_full_at_a_migration_is_called_so(
    filled: Path,  # noqa: F811
    migrations: Path,  # noqa: F811
) -> None:
    _add(
        migrations,
        "    op.execute('PRAGMA max_page_count = 1')\n"
        "    op.execute('CREATE TABLE much AS SELECT zeroblob(100000) AS b')",
    )
    with pytest.raises(StartError, match=r"could not be brought up to date \(the disk is full\)"):
        upgrade.prepare(filled)


def test_a_file_that_is_locked_is_not_called_one_without_tables(filled: Path) -> None:  # noqa: F811
    with closing(sqlite3.connect(filled, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with closing(sqlite3.connect(filled, timeout=0)) as connection, pytest.raises(sqlite3.Error) as error:
            upgrade.known_revision(connection, filled)
    assert line(error.value) == "another program holds the data file"


# Which are kept


def _made(days: list[float]) -> list[Copy]:
    """Copies made so many days after the first of 2026, in this order; the newest first."""
    first = datetime(2026, 1, 1, 12, tzinfo=UTC)
    made = [Copy(Path(f"{n}.db"), n, first + timedelta(days=day), "") for n, day in enumerate(days, 1)]
    return made[::-1]


def _after_each(days: list[float]) -> list[Copy]:
    """What is there when the superfluous go after each one that is made."""
    kept: list[Copy] = []
    for copy in reversed(_made(days)):
        kept = [copy, *kept]
        gone = superfluous(kept)
        assert copy not in gone
        kept = [one for one in kept if one not in gone]
    return kept


def test_the_older_they_are_the_fewer_are_kept() -> None:
    kept = _after_each([n / 3 for n in range(3 * 730)])
    ages = [(kept[0].made - copy.made).days for copy in kept]
    assert len(kept) < 60
    assert {age for age in ages if age < 13} == set(range(13)), "one of each of the last two weeks"
    weeks = {(kept[0].made - timedelta(weeks=n)).isocalendar()[:2] for n in range(13)}
    assert weeks <= {copy.made.isocalendar()[:2] for copy in kept}, "one of each week of a quarter"
    assert len({(copy.made.year, copy.made.month) for copy in kept}) == 25, "one of each month"


def test_a_clock_that_jumps_thins_out_nothing_at_once() -> None:
    days: list[float] = [float(n) for n in range(40)]
    before = {copy.number for copy in _after_each(days)}
    for jump in (30_000.0, -15_000.0):
        after = {copy.number for copy in _after_each([*days, jump, jump + 0.1, jump + 0.2])}
        # Of those from before, no more go than three new ones push out.
        assert len(before - after) <= 3
        assert {41, 42, 43} <= after


def test_a_clock_that_stands_still_leaves_ten() -> None:
    assert [copy.number for copy in _after_each([0.0] * 50)] == list(range(50, 40, -1))


def test_those_with_a_reason_are_not_thinned() -> None:
    some = [Copy(Path("x"), n, datetime(2026, 1, 1, tzinfo=UTC), "before-0001") for n in range(50)]
    assert superfluous(some) == []


# By themselves, and into a second folder


def _running(db: Db, settings: Settings, second: Path | None = None, day_s: float = 3600) -> Copies:
    own = Settings(settings.data, copies=second)
    made = Copies(db, own, first_s=0, look_s=0.05, day_s=day_s)
    made.start()
    return made


def test_one_is_made_soon_after_the_start_and_then_by_the_day(bench: Bench, settings: Settings) -> None:
    made = _running(bench.db, settings, day_s=0.2)
    until(lambda: len(copies_of(settings.data)) == 1)
    time.sleep(0.6)
    assert len(copies_of(settings.data)) == 1, "nothing had changed"
    bench.tick("W2", "received")
    until(lambda: len(copies_of(settings.data)) == 2)
    made.stop()


def test_a_stop_does_not_wait_for_one(
    bench: Bench, settings: Settings, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    begun, real = Event(), module.copy_whole

    def slow(*args: object, stopped: Callable[[], bool], **kwargs: object) -> None:
        begun.set()
        until(stopped)
        real(*args, stopped=stopped, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(module, "copy_whole", slow)
    made = _running(bench.db, settings)
    assert begun.wait(SOON_S)
    before = time.monotonic()
    made.stop()
    assert time.monotonic() - before < 2
    assert copies_of(settings.data) == []
    assert made.wrong == ""
    assert "not expected" not in caplog.text, "a copy that is given up is no fault of the program"


def test_a_stick_that_is_pulled_loses_nothing_and_is_taken_up_again(
    bench: Bench, client: TestClient, settings: Settings, tmp_path: Path
) -> None:
    stick, elsewhere = tmp_path / "stick", tmp_path / "pulled"
    stick.mkdir()
    made = client.app.state.copies = _running(bench.db, settings, stick, day_s=0.1)  # type: ignore[attr-defined]
    until(lambda: len(copies_of(settings.data, stick)) == 1)
    assert "Take care" not in client.get("/builds/1").text
    stick.rename(elsewhere)
    until(lambda: made.away)
    bench.tick("W2", "received")
    until(lambda: len(copies_of(settings.data)) == 2)
    bench.tick("W3", "received")
    until(lambda: len(copies_of(settings.data)) == 3)
    assert not stick.exists(), "a folder was made in the stick's place"
    for path in ("/builds/1", "/copies"):
        words = Words(client.get(path).text).text
        assert f"Copies do not reach {stick}: it is not there." in words
    elsewhere.rename(stick)
    until(lambda: len(copies_of(settings.data, stick)) == 3)
    until(lambda: not made.away)
    assert _names(stick) == _names(folder_of(settings.data))
    for copy in copies_of(settings.data):
        assert (stick / copy.path.name).read_bytes() == copy.path.read_bytes()
    assert "Copies do not reach" not in client.get("/builds/1").text
    made.stop()


def test_a_second_folder_that_takes_nothing_is_said_and_the_first_has_the_copy(
    bench: Bench, settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    made = Copies(bench.db, Settings(settings.data, copies=stick))

    def torn(source: Path, target: Path) -> None:
        target.write_bytes(source.read_bytes()[:-4096])

    monkeypatch.setattr(shutil, "copyfile", torn)
    copy = made.make()
    assert copies_of(settings.data) == [copy]
    assert "what was written there reads otherwise" in made.wrong
    assert _names(stick) == set()
    monkeypatch.undo()
    made.make()
    assert (made.wrong, made.there and made.there.number) == ("", copy.number)


def test_numbers_go_on_where_the_first_folder_was_lost(
    bench: Bench, settings: Settings, tmp_path: Path
) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    made = Copies(bench.db, Settings(settings.data, copies=stick))
    made.make()
    bench.tick("W2", "received")
    last = made.make()
    shutil.rmtree(folder_of(settings.data))
    bench.tick("W3", "received")
    new = made.make()
    assert new.number == last.number + 1
    assert [copy.number for copy in copies_of(settings.data, stick)] == [3, 2, 1]


def test_the_program_makes_one_and_a_stop_is_clean(tmp_path: Path) -> None:
    data, stick = tmp_path / "shed" / "spokeshed.db", tmp_path / "stick"
    stick.mkdir()
    with program(tmp_path, data, "--copies", stick) as running:
        running.bench.metric()
        running.tap()
        until(lambda: copies_of(data, stick))
        assert running.stop(signal.SIGINT) == (0, "")
    (copy,) = copies_of(data)
    assert (stick / copy.path.name).is_file()
    assert [file.name for file in folder_of(data).iterdir()] == [copy.path.name]


def _orphaned(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DELETE FROM axle")
        connection.commit()


def _all_but_the_head(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:100] + bytes(path.stat().st_size - 100))


@pytest.mark.parametrize("spoil", [_orphaned, _all_but_the_head])
def test_a_start_on_a_damaged_file_names_the_one_command(
    tmp_path: Path, spoil: Callable[[Path], None]
) -> None:
    data = tmp_path / "spokeshed.db"
    with program(tmp_path, data) as running:
        running.bench.metric()
        running.tap()
        assert running.bench.client.post("/copies").status_code == 303
        assert running.stop(signal.SIGINT) == (0, "")
    spoil(data)
    said = refused(tmp_path, "--data", data, "--port", 0)
    copy = copies_of(data)[0]
    assert f"spokeshed restore {copy.path} --data {data}." in said
    assert command(tmp_path, "--data", data, "restore", copy.path).returncode == 0
    with program(tmp_path, data) as running:
        assert running.bench.ticks("W1") == {"received"}


# The sheet


def test_the_sheet_lists_makes_and_gives_them(bench: Bench, client: TestClient, copies: Copies) -> None:
    assert "no copy yet" in Words(client.get("/copies").text).text
    assert client.post("/copies").headers["location"] == "/copies#list"
    (copy,) = copies.all()
    page = client.get("/copies").text
    assert "Good: last good copy" in Words(page).text
    assert f'href="/copies/{copy.number}/file"' in page
    assert "Last copy of the data" in Words(client.get("/builds/1").text).text
    got = client.get(f"/copies/{copy.number}/file")
    assert got.content == copy.path.read_bytes()
    assert got.headers["content-disposition"] == f'attachment; filename="{copy.path.name}"'
    for missing in ("/copies/77/file", "/copies?restore=77"):
        assert client.get(missing).status_code == 404
    for odd in ("/copies?restore=x", "/copies?restore=%D9%A3", f"/copies?aside={'9' * 60}"):
        assert client.get(odd).status_code == 200
    copy.path.unlink()
    assert client.get(f"/copies/{copy.number}/file").status_code == 404
    assert client.post(f"/copies/{copy.number}/restore").status_code == 404


def _ask(bench: Bench, copy: Copy) -> tuple[str, dict[str, object]]:
    page = bench.client.get(f"/copies?restore={copy.number}").text
    return Words(page).text, form_on(page, f"/copies/{copy.number}/restore").filled()


def test_one_tap_puts_a_copy_back_and_another_undoes_that(
    bench: Bench, client: TestClient, copies: Copies
) -> None:
    copy = copies.make()
    bench.tick("W2", "received")
    bench.tick("W3", "received")
    journal = bench.journal()
    words, form = _ask(bench, copy)
    assert "Newer work is put aside: 2 entries of the journal, the last" in words
    answer = client.post(f"/copies/{copy.number}/restore", data=form)
    assert answer.status_code == 303
    assert "Put back" in client.get(answer.headers["location"]).text
    assert bench.rows("SELECT casting_id, key FROM tick") == [(1, "received")]
    assert client.get("/castings/2").status_code == 200
    assert bench.ticks("W2") == set()
    # What there was is a copy like any other.
    aside = copies.all()[0]
    assert (aside.why, aside.number) == ("replaced", copy.number + 1)
    words, form = _ask(bench, aside)
    assert "The journal has nothing newer" in words
    assert client.post(f"/copies/{aside.number}/restore", data=form).status_code == 303
    assert bench.journal() == journal
    bench.tick("W4", "received")
    assert _names(folder_of(bench.db.path)) == {one.path.name for one in copies.all()}


def test_it_is_asked_anew_when_more_was_done_meanwhile(
    bench: Bench, client: TestClient, copies: Copies
) -> None:
    copy = copies.make()
    bench.tick("W2", "received")
    _, form = _ask(bench, copy)
    bench.tick("W3", "received")
    for sent in (form, {}, {"newer": "many"}):
        answer = client.post(f"/copies/{copy.number}/restore", data=sent)
        assert answer.status_code == 409
        assert "2 entries of the journal" in Words(answer.text).text
    assert len(copies.all()) == 1
    assert bench.ticks("W3") == {"received"}


def test_a_page_from_before_is_out_of_date_for_good(bench: Bench, client: TestClient, copies: Copies) -> None:
    copy = copies.make()
    bench.wish("W1", "no received")
    old = form_on(bench.get("/castings/1"), "/castings/1/ticks").filled(wish="yes received")
    copies.put_back(copy)
    for _ in range(4):
        assert client.post("/castings/1/ticks", data=old).status_code == 409
        bench.wish("W1", "no received" if bench.ticks("W1") else "yes received")


def test_every_table_with_a_version_goes_on() -> None:
    versioned = {name for name, table in JigRow.metadata.tables.items() if "version" in table.columns}
    assert versioned - {"journal_line"} == set(module._VERSIONED)


def test_what_is_put_back_outlives_a_kill_and_its_log_is_its_own(tmp_path: Path) -> None:
    data = tmp_path / "shed" / "spokeshed.db"
    with program(tmp_path, data) as running:
        bench = running.bench
        bench.metric()
        running.tap()
        assert bench.client.post("/copies").status_code == 303
        copy = copies_of(data)[0]
        running.tap()
        page = bench.client.get(f"/copies?restore={copy.number}").text
        form = form_on(page, f"/copies/{copy.number}/restore").filled()
        assert bench.client.post(f"/copies/{copy.number}/restore", data=form).status_code == 303
        assert bench.ticks("W1") == {"received"}
        running.kill()
    with program(tmp_path, data) as running:
        assert running.bench.ticks("W1") == {"received"}
        running.tap()
        assert running.stop(signal.SIGINT) == (0, "")
    with program(tmp_path, data) as running:
        assert running.bench.ticks("W1") == set()


def test_a_reader_meanwhile_sees_the_one_state_or_the_other(bench: Bench, copies: Copies) -> None:
    copy = copies.make()
    bench.tick("W2", "received")
    ended, seen = Event(), set()

    def look() -> None:
        while not ended.is_set():
            with bench.db.read() as session:
                found = session.connection().exec_driver_sql("SELECT casting_id FROM tick").fetchall()
                seen.add(tuple(row[0] for row in found))

    reader = Thread(target=look)
    reader.start()
    copies.put_back(copy)
    ended.set()
    reader.join()
    assert seen <= {(1,), (1, 2)}


_PUT_BACK = """
import os, signal, sys
from pathlib import Path
from webapp import copies
from webapp.copies import Copies, copies_of
from webapp.db import Db
from webapp.settings import Settings
data, left = Path(sys.argv[1]), int(sys.argv[2])
def went_on(status, _left, _pages):
    global left
    left -= 1
    if left < 0:
        os.kill(os.getpid(), signal.SIGKILL)
copies._not_forever, copies._PAGES_AT_ONCE = went_on, 4
Copies(Db(data), Settings(data)).put_back(copies_of(data)[-1])
os._exit(0)
"""


def test_a_kill_in_the_middle_leaves_the_one_or_the_other(
    bench: Bench, copies: Copies, tmp_path: Path
) -> None:
    copies.make()
    bench.tick("W2", "received")
    bench.db._fold()
    states = []
    for step in range(0, 400, 9):
        data = tmp_path / f"step {step}" / "spokeshed.db"
        data.parent.mkdir()
        shutil.copyfile(bench.db.path, data)
        shutil.copytree(folder_of(bench.db.path), folder_of(data))
        done = subprocess.run([sys.executable, "-c", _PUT_BACK, str(data), str(step)], cwd=ROOT)
        assert done.returncode in (0, -signal.SIGKILL)
        prepare(data)
        with closing(sqlite3.connect(data)) as connection:
            states.append(
                tuple(own for (own,) in connection.execute("SELECT casting_id FROM tick ORDER BY 1"))
            )
        assert (1, 2) in {tuple(row[0] for row in _rows(one.path, "SELECT casting_id FROM tick ORDER BY 1"))
                          for one in copies_of(data)}, "what there was is kept before anything else"  # fmt: skip
        if done.returncode == 0:
            break
    assert states[-1] == (1,)
    assert set(states[:-1]) == {(1, 2)}
    assert len(states) > 2


def test_a_copy_of_older_tables_is_brought_up_first(bench: Bench, copies: Copies) -> None:
    copy = copies.make()
    copy.path.unlink()
    copy.path.touch()
    engine = upgrade._engine(copy.path)
    with engine.begin() as connection:
        alembic.upgrade(upgrade._config(connection), older.BEFORE)
    engine.dispose()
    with closing(sqlite3.connect(copy.path)) as connection:
        connection.executescript(older.FILLED)
    before = copy.path.read_bytes()
    copies.put_back(copy)
    assert copy.path.read_bytes() == before
    assert bench.rows("SELECT name FROM build ORDER BY id") == [("Tank engine",), ("Mixed engine",)]
    assert bench.one("SELECT version_num FROM alembic_version") == upgrade.revisions()[-1]
    assert bench.rows("PRAGMA foreign_key_check") == []
    # The rows are no whole builds, so their sheets are not asked.
    assert bench.client.get("/workshop").status_code == 200


def _torn(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:8192] + b"\x5a" * 8192)


def _demo(path: Path) -> None:
    path.unlink()
    prepare(path, demo=True)


def _newer(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()


@pytest.mark.parametrize(
    ("spoil", "words"),
    [(_torn, "could not be put back"), (_demo, "copy of the demo"), (_newer, "newer spokeshed")],
)
def test_what_is_no_sound_copy_of_these_data_is_not_put_back(
    bench: Bench, copies: Copies, spoil: Callable[[Path], None], words: str
) -> None:
    copy = copies.make()
    bench.tick("W2", "received")
    spoil(copy.path)
    before = bench.dump()
    with pytest.raises(NotCopied, match=words):
        copies.put_back(copy)
    assert bench.dump() == before
    assert _names(folder_of(bench.db.path)) == {copy.path.name}
    answer = bench.client.get(f"/copies?restore={copy.number}")
    assert answer.status_code in (200, 503)
    if answer.status_code == 200:
        form = form_on(answer.text, f"/copies/{copy.number}/restore").filled()
        told = bench.client.post(f"/copies/{copy.number}/restore", data=form)
        assert told.status_code == 503
        assert "could not be put back" in Words(told.text).text
    assert bench.dump() == before


def test_nothing_is_put_over_what_cannot_be_kept_aside(bench: Bench, copies: Copies) -> None:
    copy = copies.make()
    with closing(sqlite3.connect(bench.db.path)) as other:
        other.execute("DELETE FROM axle")  # foreign keys are off here
        other.commit()
    with pytest.raises(NotCopied, match=r"cannot be kept aside .*spokeshed restore"):
        copies.put_back(copy)
    assert bench.rows("SELECT id FROM axle") == []


def test_a_file_that_another_program_writes_to_is_not_waited_for_for_ever(
    bench: Bench, copies: Copies, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = copies.make()
    bench.tick("W2", "received")
    with closing(sqlite3.connect(bench.db.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(Exception, match="nothing was stored; try again soon"):
            copies.put_back(copy)
    assert bench.ticks("W2") == {"received"}
    copies.put_back(copy)
    assert bench.ticks("W2") == set()


def test_the_lock_and_the_copies_lie_where_a_link_leads(tmp_path: Path) -> None:
    real = tmp_path / "real" / "spokeshed.db"
    prepare(real)
    link = tmp_path / "link.db"
    link.symlink_to(real)
    assert folder_of(link) == beside(real, ".copies") == real.with_name("spokeshed.db.copies")
