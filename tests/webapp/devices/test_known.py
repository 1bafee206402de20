"""Cookies: what one is good for, how it is renewed, and that a copy of one is seen and ends the device."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.devices.file import DevicesFile
from webapp.devices.known import (
    RENEWED_AFTER_S,
    SEEN_EVERY_S,
    SETTLED_AFTER_S,
    Devices,
    DeviceStanding,
    KnownBy,
)

KEY = "k" * 64
DAY = RENEWED_AFTER_S


@dataclass
class Shed:
    """Devices on a file, and a clock that can be set, by so much, while the program runs."""

    path: Path
    now: float = 1.8e9
    set_by: float = 0.0

    def __post_init__(self) -> None:
        self.start()

    def start(self) -> None:
        """Start the program, or start it again."""
        file = DevicesFile(self.path)
        assert file.open() == ""
        self.devices = Devices(file, KEY, now=lambda: self.now + self.set_by, steady=lambda: self.now)

    def rows(self, sql: str) -> list[tuple[object, ...]]:
        with closing(sqlite3.connect(self.path)) as connection:
            return connection.execute(sql).fetchall()


class Jar:
    """A browser: it keeps the last cookie it was given, and sends that."""

    def __init__(self, shed: Shed, cookie: str, address: str = "10.0.0.1") -> None:
        self.shed = shed
        self.cookie = cookie
        self.address = address

    def ask(self, *, answered: bool = True) -> KnownBy:
        """Open a page, as the guard does it; the answer may be lost."""
        standing, cookie = _asked(self.shed, self.cookie, self.address)
        if cookie and answered:
            self.cookie = cookie
        return standing.how


def _asked(shed: Shed, cookie: str | None, address: str = "10.0.0.1") -> tuple[DeviceStanding, str | None]:
    standing = shed.devices.look(cookie)
    return shed.devices.mind(cookie, address, may_renew=True) if standing.due else (standing, None)


@pytest.fixture
def shed(tmp_path: Path) -> Shed:
    return Shed(tmp_path / "spokeshed.db.devices")


@pytest.fixture
def tablet(shed: Shed) -> Iterator[Jar]:
    yield Jar(shed, shed.devices.let_in("shop tablet", None))


@given(st.text(max_size=80))
def test_no_cookie_breaks_the_signer(cookie: str) -> None:
    assert Devices(DevicesFile(Path("none")), KEY).look(cookie).how is KnownBy.NOT


def test_a_cookie_does_for_its_own_device_and_key_only(shed: Shed, tablet: Jar, tmp_path: Path) -> None:
    devices = shed.devices
    others = Devices(DevicesFile(tmp_path / "other"), "j" * 64)
    assert devices.look(tablet.cookie).how is KnownBy.LET_IN
    assert others.look(tablet.cookie).how is KnownBy.NOT
    assert others.cookie_name != devices.cookie_name
    device, number, secret, sign = tablet.cookie.split(".")
    for forged in (
        f"{'0' * 16}.{number}.{secret}.{sign}",
        f"{device}.2.{secret}.{sign}",
        f"{device}.0..{sign}",
    ):
        assert devices.look(forged).how is KnownBy.NOT
    assert devices.look(devices.name_only(device)).how is KnownBy.BY_NAME


def test_the_file_holds_no_secret(shed: Shed, tablet: Jar) -> None:
    _, _, secret, _ = tablet.cookie.split(".")
    held = shed.path.read_bytes()
    assert secret.encode() not in held and bytes.fromhex(secret) not in held
    assert shed.path.stat().st_mode & 0o077 == 0


def test_a_device_is_known_through_many_evenings(shed: Shed, tablet: Jar) -> None:
    cookies = set()
    for day in range(60):
        for _ in range(3):
            assert tablet.ask() is KnownBy.LET_IN
            shed.now += 900
        cookies.add(tablet.cookie)
        shed.now += DAY
        if day % 20 == 0:
            shed.start()
    assert len(cookies) == 60
    (kept,) = shed.rows("SELECT count(*) FROM secret")
    assert kept[0] <= 2


def test_a_device_that_was_away_for_years_is_known(shed: Shed, tablet: Jar) -> None:
    shed.now += 4000 * DAY
    assert tablet.ask() is KnownBy.LET_IN


@pytest.mark.parametrize("back", [1, 3600, 400 * DAY, 1.7e9])
def test_a_clock_put_back_changes_nothing_for_long(shed: Shed, tablet: Jar, back: float) -> None:
    before = tablet.cookie
    shed.now -= back
    assert tablet.ask() is KnownBy.LET_IN
    shed.now += DAY
    for _ in range(5):
        assert tablet.ask() is KnownBy.LET_IN
        shed.now += DAY
    assert tablet.cookie != before, "it is renewed all the same"


@pytest.mark.parametrize("leap", [-2e8, -3600, 3600, 2e8])
def test_a_clock_put_right_while_a_page_is_answered_takes_nothing_for_a_copy(
    shed: Shed, tablet: Jar, leap: float
) -> None:
    shed.now += DAY
    before = tablet.cookie
    tablet.ask()
    shed.set_by = leap
    assert tablet.ask() is KnownBy.LET_IN
    assert _asked(shed, before)[0].how is KnownBy.LET_IN
    assert tablet.ask() is KnownBy.LET_IN


def test_a_lost_answer_shuts_nobody_out(shed: Shed, tablet: Jar) -> None:
    shed.now += DAY
    for _ in range(50):
        assert tablet.ask(answered=False) is KnownBy.LET_IN
        shed.now += 700
    assert tablet.ask() is KnownBy.LET_IN
    shed.now += DAY
    assert tablet.ask() is KnownBy.LET_IN


def test_a_start_between_a_new_cookie_and_its_use_shuts_nobody_out(shed: Shed, tablet: Jar) -> None:
    shed.now += DAY
    tablet.ask(answered=False)
    shed.start()
    assert tablet.ask() is KnownBy.LET_IN
    shed.start()
    shed.now += SETTLED_AFTER_S
    assert tablet.ask() is KnownBy.LET_IN
    shed.now += DAY
    assert tablet.ask() is KnownBy.LET_IN


def test_requests_at_once_get_one_new_cookie(shed: Shed, tablet: Jar) -> None:
    shed.now += DAY
    answers = {_asked(shed, tablet.cookie)[1] for _ in range(6)}
    assert len(answers) == 1 and None not in answers


def test_requests_under_way_when_the_new_cookie_is_used_are_answered(shed: Shed, tablet: Jar) -> None:
    shed.now += DAY
    before = tablet.cookie
    tablet.ask()
    assert tablet.cookie != before
    for _ in range(5):
        assert tablet.ask() is KnownBy.LET_IN
        shed.now += 20
        assert _asked(shed, before)[0].how is KnownBy.LET_IN


def test_a_browser_that_was_killed_before_it_kept_the_new_cookie_is_known(shed: Shed, tablet: Jar) -> None:
    """Browsers put a new cookie on their disk after half a minute or so."""
    shed.now += DAY
    before = tablet.cookie
    tablet.ask()
    shed.now += 30
    assert tablet.ask() is KnownBy.LET_IN
    tablet.cookie = before
    shed.now += 5000
    assert tablet.ask() is KnownBy.LET_IN
    shed.now += SETTLED_AFTER_S
    assert tablet.ask() is KnownBy.LET_IN


@pytest.mark.parametrize("days_later", [0, 1, 5])
def test_a_copy_left_behind_is_seen_and_ends_the_device(shed: Shed, tablet: Jar, days_later: int) -> None:
    copy = Jar(shed, tablet.cookie, "10.0.0.66")
    for _ in range(days_later + 1):
        shed.now += DAY
        assert tablet.ask() is KnownBy.LET_IN
        shed.now += SETTLED_AFTER_S
        assert tablet.ask() is KnownBy.LET_IN
    shed.start()
    assert copy.ask() is KnownBy.COPIED
    assert tablet.ask() is KnownBy.COPIED
    shed.start()
    assert tablet.ask() is KnownBy.COPIED
    (listed,) = shed.devices.listed()
    assert listed.copied is not None and listed.copied.timestamp() == shed.now
    assert shed.rows("SELECT * FROM secret") == []


def test_a_copy_that_comes_first_is_seen_when_the_real_one_comes(shed: Shed, tablet: Jar) -> None:
    copy = Jar(shed, tablet.cookie, "10.0.0.66")
    shed.now += DAY
    copy.ask()
    shed.now += SETTLED_AFTER_S
    assert copy.ask() is KnownBy.LET_IN
    assert tablet.ask() is KnownBy.COPIED
    assert copy.ask() is KnownBy.COPIED


@pytest.mark.parametrize(
    ("every", "address"),
    [(5, "10.0.0.66"), (45, "10.0.0.66"), (600, "10.0.0.66"), (45, "10.0.0.1"), (600, "10.0.0.1")],
)
def test_a_copy_that_is_used_all_the_time_is_seen_within_two_days(
    shed: Shed, tablet: Jar, every: float, address: str
) -> None:
    """Also when both come from one address, but for what comes together as the requests of one page do."""
    copy = Jar(shed, tablet.cookie, address)
    shed.now += DAY - 1000
    for _ in range(int(DAY / every)):
        seen = {tablet.ask()}
        shed.now += every
        seen.add(copy.ask())
        shed.now += every
        if KnownBy.COPIED in seen:
            break
    else:
        raise AssertionError("the copy was never seen")
    assert {tablet.ask(), copy.ask()} == {KnownBy.COPIED}


def test_guessing_at_a_device_ends_nothing(shed: Shed, tablet: Jar) -> None:
    device = tablet.cookie.split(".")[0]
    for cookie in (f"{device}.1.{'0' * 32}", f"{device}.1.{'0' * 32}.x", shed.devices.name_only(device)):
        assert _asked(shed, cookie)[0].how in (KnownBy.NOT, KnownBy.BY_NAME)
    assert tablet.ask() is KnownBy.LET_IN


def test_a_forgotten_device_is_told_that_it_was_let_in_once(shed: Shed, tablet: Jar) -> None:
    device = shed.devices.look(tablet.cookie).device
    shed.devices.forget(device)
    assert tablet.ask() is KnownBy.GONE
    assert shed.devices.listed() == []
    assert shed.rows("SELECT * FROM secret") == []
    tablet.cookie = shed.devices.let_in("", tablet.cookie)
    assert tablet.ask() is KnownBy.LET_IN


def test_a_device_that_comes_back_keeps_its_name(shed: Shed, tablet: Jar) -> None:
    shed.devices._end(shed.devices.look(tablet.cookie).device)
    shed.devices.let_in("", tablet.cookie)
    shed.devices.let_in("phone", tablet.cookie)
    assert [one.name for one in shed.devices.listed()] == ["shop tablet", "shop tablet", "phone"]


def test_being_seen_is_written_once_an_hour(shed: Shed, tablet: Jar) -> None:
    before = shed.path.read_bytes()
    shed.now += SEEN_EVERY_S - 1
    tablet.ask()
    assert shed.path.read_bytes() == before
    shed.now += 1
    tablet.ask()
    (listed,) = shed.devices.listed()
    assert listed.seen.timestamp() == shed.now
    after = shed.path.read_bytes()
    assert after != before
    tablet.ask()
    assert shed.path.read_bytes() == after


def test_a_disk_that_takes_nothing_shuts_nobody_out(
    shed: Shed, tablet: Jar, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def full(*_: object, **__: object) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    shed.now += DAY
    before = tablet.cookie
    with monkeypatch.context() as during:
        during.setattr(DevicesFile, "_connect", full)
        assert tablet.ask() is KnownBy.LET_IN
        assert tablet.cookie == before
        assert "was not renewed" in caplog.text
        assert not shed.devices.look(before).due, "not every page waits for a disk that is full"
    shed.start()
    assert tablet.ask() is KnownBy.LET_IN
    assert tablet.cookie != before
