"""A machine whose clock is wrong after a power cut: it is said so everywhere, and no cure is called over by it."""

from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from sqlite3 import connect
from types import SimpleNamespace

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import PATHS, Bench, Words
from webapp.app import create_app
from webapp.db import Db
from webapp.facts import clock
from webapp.facts.clock import kept_by_system
from webapp.records.journal import newest_time
from webapp.settings import Settings

UNTOLD = "Cannot tell whether the bond is cured: this machine's clock cannot be trusted."
UNTIMED = "Cannot tell whether the bond is cured: it was ticked by a clock that could not be trusted."
ASKED = "this bond's cure would be counted from it"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A build whose compound takes its hours to cure."""
    bench = Bench(client, db).sit_down()
    bench.metric(curing=True)
    return bench


@pytest.fixture
def system(monkeypatch: pytest.MonkeyPatch) -> Callable[[bool | None], None]:
    """What the system says of its clock."""
    return lambda kept: monkeypatch.setattr(clock, "kept_by_system", lambda: kept)


def _stored(moment: datetime) -> str:
    return f"{moment:%Y-%m-%d %H:%M:%S.%f}"


def write_down(bench: Bench, later: timedelta) -> None:
    """A line of the journal of so much later than now: to it the clock has gone back."""
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute(
            "INSERT INTO journal_line (build_id, kind, sentence, at, who, device, page, version)"
            " SELECT build_id, kind, sentence, ?, who, device, page, version FROM journal_line ORDER BY id LIMIT 1",
            (_stored(datetime.now(UTC) + later),),
        )


def bonded(bench: Bench, mark: str = "W1") -> None:
    """Bring a wheel to pressed with compound, three days ago: by a clock that is right it has cured."""
    bench.bored(mark)
    bench.tick(mark, "pressed")
    ago(bench, mark)


def ago(bench: Bench, mark: str, key: str = "pressed", days: int = 3) -> None:
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute(
            "UPDATE tick SET at = ? WHERE key = ? AND casting_id = ?",
            (_stored(datetime.now(UTC) - timedelta(days=days)), key, bench.id(mark)),
        )


def asked(bench: Bench, mark: str, key: str) -> str:
    """What a tick asks about; empty where it is taken."""
    answer = bench.wish(mark, f"yes {key}")
    return "" if answer.status_code == 303 else Words(answer.text).text


def test_every_sheet_says_so_in_one_line(shed: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    assert all("clock" not in Words(shed.get(path)).by_id for path in PATHS)
    monkeypatch.setattr(clock, "kept_by_system", lambda: False)
    for path in PATHS:
        assert (
            "Nobody has set this machine's clock since it was off: set it."
            in Words(shed.get(path)).by_id["clock"]
        )


def test_a_device_that_is_not_let_in_is_told_nothing_of_it(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clock, "kept_by_system", lambda: False)
    app = create_app(replace(settings, host="0.0.0.0", device_code="123456"))
    with TestClient(app, base_url="http://127.0.0.1:8730") as stranger:
        answer = stranger.get("/")
        assert answer.status_code == 401 and "clock" not in Words(answer.text).by_id
    app.state.db.close()


def test_a_clock_behind_what_was_written_down_is_said_with_that_time(bench: Bench) -> None:
    write_down(bench, timedelta(minutes=3))  # two clocks may differ by so much
    assert "clock" not in Words(bench.get("/")).by_id
    write_down(bench, timedelta(days=2))
    said = Words(bench.get("/")).by_id["clock"]
    day = (datetime.now(UTC) + timedelta(days=2)).astimezone()
    assert f"written down at {day.day} {day:%b %Y}" in said
    assert "This machine's clock is behind" in said and "set it." in said


def test_no_cure_is_called_over_by_a_clock_that_is_behind(bench: Bench) -> None:
    bonded(bench)
    assert "cure" not in Words(bench.get("/axles/1")).by_id["row-tread_turned"]
    write_down(bench, timedelta(days=1))
    own = bench.id("W1")
    assert "but not yet" in Words(bench.get(f"/castings/{own}")).by_id[f"wheel-{own}"]
    assert UNTOLD in Words(bench.get("/axles/1")).by_id["row-tread_turned"]
    assert UNTOLD in Words(bench.get("/builds/1/batches")).text
    words = bench.refused(partial(bench.wish, "W1", "yes tread_turned"), 409).text
    assert UNTOLD in words and "Set the clock of this machine" in words
    # Whoever knows better goes on, and it stays with the tick.
    assert bench.wish("W1", "yes tread_turned confirmed", reason="a week ago").status_code == 303
    assert UNTOLD in bench.one("SELECT let_pass FROM tick WHERE key = 'tread_turned'")


def test_a_clock_that_is_set_settles_it(bench: Bench, system: Callable[[bool | None], None]) -> None:
    bonded(bench)
    system(False)
    assert UNTOLD in asked(bench, "W1", "tread_turned")
    system(None)
    assert asked(bench, "W1", "tread_turned") == ""
    # What was written down by a clock that was fast is nothing against one that the network sets.
    write_down(bench, timedelta(days=400))
    system(True)
    assert "clock" not in Words(bench.get("/")).by_id


def test_a_bond_ticked_by_a_wrong_clock_is_never_counted_from_it(
    bench: Bench, system: Callable[[bool | None], None]
) -> None:
    bench.bored("W1")
    system(False)
    assert ASKED in asked(bench, "W1", "pressed")
    bench.tick("W1", "pressed")
    system(True)  # and so the clock jumps days ahead
    ago(bench, "W1")
    assert UNTIMED in Words(bench.get("/axles/1")).by_id["row-tread_turned"]
    assert UNTIMED in asked(bench, "W1", "tread_turned")
    # Ticked once more by the right clock, it is counted again.
    assert bench.wish("W1", "no pressed").status_code == 303
    bench.tick("W1", "pressed")
    said = Words(bench.get("/axles/1")).by_id["row-tread_turned"]
    assert UNTIMED not in said and "at this hour." in said and "Wait until" in said


def test_a_second_wheel_fixed_in_one_go_is_asked_about_too(
    bench: Bench, system: Callable[[bool | None], None]
) -> None:
    bonded(bench)
    bench.bored("W2")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28").status_code == 303
    system(False)
    both = partial(bench.send, "/axles/1", "/axles/1/ticks")
    assert ASKED in Words(both(wish="yes pressed_and_quartered").text).text
    assert both(wish="yes pressed_and_quartered confirmed", reason="late").status_code == 303
    kept = "SELECT let_pass FROM tick WHERE key = 'pressed' AND casting_id = ?"
    assert ASKED in bench.one(kept, bench.id("W2")) and ASKED not in bench.one(kept, bench.id("W1"))


def test_a_cut_taken_in_doubt_stays_told_when_the_clock_is_right_again(
    bench: Bench, system: Callable[[bool | None], None]
) -> None:
    bonded(bench)
    system(False)
    assert bench.wish("W1", "yes tread_turned confirmed", reason="a week ago").status_code == 303
    assert "let pass" in Words(bench.get("/axles/1")).by_id["row-tread_turned"]
    system(True)
    assert "let pass" in Words(bench.get("/axles/1")).by_id["row-tread_turned"]


def test_where_nothing_cures_nothing_is_asked(
    client: TestClient, db: Db, system: Callable[[bool | None], None]
) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(fit="press", fit_least="0.01", fit_most="0.03")
    system(False)
    bench.bored("W1", bore="19.03 mm")
    assert ASKED not in asked(bench, "W1", "pressed")
    bench.tick("W1", "pressed")
    assert "Cannot tell whether the bond" not in asked(bench, "W1", "tread_turned")


def test_what_is_written_by_a_wrong_clock_does_not_make_it_right(bench: Bench) -> None:
    write_down(bench, timedelta(days=1))
    assert "clock" in Words(bench.get("/")).by_id
    bench.tick("W1", "received")
    assert "clock" in Words(bench.get("/")).by_id


def test_a_line_by_a_clock_that_was_fast_is_forgotten_in_time(bench: Bench, db: Db) -> None:
    write_down(bench, timedelta(days=400))
    for _ in range(499):
        write_down(bench, -timedelta(days=1))
    assert _is_newest_ahead(db.path)
    write_down(bench, -timedelta(days=1))
    assert not _is_newest_ahead(db.path)


def _is_newest_ahead(path: Path) -> bool:
    """What a start finds that comes now."""
    again = Db(path)
    with again.read() as session:
        newest = newest_time(session)
    again.close()
    return newest is not None and newest > datetime.now(UTC)


@pytest.mark.parametrize(
    ("state", "clocks", "said"),
    [
        (0, {"rtc0": "0"}, True),
        (5, {"rtc0": "0"}, False),
        (5, {}, False),
        (5, {"rtc0": "0", "rtc1": "1"}, None),
        (5, None, None),
        (-1, {}, None),
    ],
)
def test_what_the_system_says_of_its_clock(
    state: int,
    clocks: dict[str, str] | None,
    said: bool | None,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(clock.sys, "platform", "linux")
    monkeypatch.setattr(clock, "_system", lambda: SimpleNamespace(adjtimex=lambda _: state))
    folder = tmp_path / "rtc"
    if clocks is not None:
        folder.mkdir()
        for name, took in clocks.items():
            (folder / name).mkdir()
            (folder / name / "hctosys").write_text(f"{took}\n")
    monkeypatch.setattr(clock, "_CLOCKS", folder)
    assert kept_by_system() is said


def test_a_clock_set_by_hand_is_believed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock.sys, "platform", "linux")
    monkeypatch.setattr(clock, "_system", lambda: SimpleNamespace(adjtimex=lambda _: 5))
    monkeypatch.setattr(clock, "_CLOCKS", tmp_path)
    assert kept_by_system() is False
    monkeypatch.setattr(clock, "_AHEAD_AT_START", clock._AHEAD_AT_START - 3600)
    assert kept_by_system() is None


def test_asking_this_system_changes_nothing_and_fails_nowhere() -> None:
    assert kept_by_system() in (True, False, None)
