"""The devices file: made when it is needed, read anew when another program wrote, put aside when it is damaged."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.webapp.programs import command
from webapp.devices.file import DevicesFile, DevicesUnwritable
from webapp.devices.known import Devices, KnownBy
from webapp.settings import Settings
from webapp.upgrade import prepare


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "spokeshed.db.devices"


def test_nothing_is_made_before_something_is_written(path: Path) -> None:
    file = DevicesFile(path)
    assert file.open() == ""
    assert not file.behind
    file.put_code(None, 0)
    file.read()
    assert not path.exists()


def test_what_another_program_writes_is_read(path: Path) -> None:
    here, there = DevicesFile(path), DevicesFile(path)
    devices, others = Devices(here, "k" * 64), Devices(there, "k" * 64)
    cookie = devices.let_in("shop tablet", None)
    assert not here.behind
    assert there.behind
    others.refresh()
    assert not there.behind
    assert others.look(cookie).how is KnownBy.LET_IN
    others.forget(others.look(cookie).device)
    assert here.behind
    devices.refresh()
    assert devices.look(cookie).how is KnownBy.GONE


def test_a_copy_of_the_data_that_is_put_back_lets_nobody_in_or_out(tmp_path: Path) -> None:
    data, copy = tmp_path / "spokeshed.db", tmp_path / "copy.db"
    prepare(data)
    devices = Devices(DevicesFile(Settings(data).devices_file), "k" * 64)
    lost = devices.let_in("lost phone", None)
    assert command(tmp_path, "backup", copy, "--data", data).returncode == 0
    kept = devices.let_in("shop tablet", None)
    devices.forget(devices.look(lost).device)
    assert command(tmp_path, "restore", copy, "--data", data).returncode == 0
    file = DevicesFile(Settings(data).devices_file)
    assert file.open() == ""
    again = Devices(file, "k" * 64)
    assert again.look(kept).how is KnownBy.LET_IN
    assert again.look(lost).how is KnownBy.GONE


def test_a_file_out_of_reach_changes_nothing(path: Path) -> None:
    file = DevicesFile(path)
    devices = Devices(file, "k" * 64)
    cookie = devices.let_in("shop tablet", None)
    aside = path.with_name("away")
    path.rename(aside)
    assert not file.behind
    assert devices.look(cookie).how is KnownBy.LET_IN
    aside.rename(path)
    assert not file.behind


@pytest.mark.parametrize("how", ["emptied", "cut", "zeros", "letter", "another's"])
def test_a_damaged_file_is_put_aside(path: Path, how: str) -> None:
    Devices(DevicesFile(path), "k" * 64).let_in("shop tablet", None)
    whole = path.read_bytes()
    damaged = {
        "emptied": b"",
        "cut": whole[:5000],
        "zeros": whole[:100] + bytes(len(whole) - 100),
        "letter": b"Dear Sir, the castings have arrived. " * 40,
        "another's": b"",
    }[how]
    path.write_bytes(damaged)
    if how == "another's":
        with closing(sqlite3.connect(path)) as connection:
            connection.execute("CREATE TABLE recipe (id INTEGER)")
            connection.commit()
        damaged = path.read_bytes()
    file = DevicesFile(path)
    told = file.open()
    (aside,) = path.parent.iterdir()
    assert aside != path and aside.read_bytes() == damaged
    assert (
        told == f"The devices file was damaged and is kept as {aside.name}: each device gives the code again."
    )
    assert file.held.rows == {}
    devices = Devices(file, "k" * 64)
    assert devices.look(devices.let_in("shop tablet", None)).how is KnownBy.LET_IN
    assert DevicesFile(path).open() == ""


def test_a_file_that_cannot_be_written_is_told(path: Path) -> None:
    path.mkdir()
    with pytest.raises(DevicesUnwritable, match=r"cannot be written.*nothing was changed"):
        DevicesFile(path).put_code("042137", 0)


def test_a_damaged_file_found_while_it_runs_leaves_what_was_read(
    path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    file = DevicesFile(path)
    devices = Devices(file, "k" * 64)
    cookie = devices.let_in("shop tablet", None)
    path.write_bytes(bytes(4096))
    assert file.behind
    file.refresh()
    assert "could not be read" in caplog.text
    assert devices.look(cookie).how is KnownBy.LET_IN
    assert not file.behind, "it is tried again in a moment, not with every request"
