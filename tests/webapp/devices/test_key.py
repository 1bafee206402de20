"""The key file: made once, for this person only; a damaged one is put aside."""

from pathlib import Path

import pytest

from webapp.devices.key import read_key
from webapp.settings import StartError


def test_the_key_is_made_once_and_for_this_person_only(tmp_path: Path) -> None:
    path = tmp_path / "spokeshed.db.key"
    key, told = read_key(path)
    assert read_key(path) == (key, "")
    assert (len(key), told) == (64, "")
    assert path.stat().st_mode & 0o077 == 0
    assert read_key(tmp_path / "other.key")[0] != key
    assert sorted(one.name for one in tmp_path.iterdir()) == ["other.key", "spokeshed.db.key"]


@pytest.mark.parametrize("content", [b"", b"short", b"\xff\x00"])
def test_a_damaged_key_is_put_aside(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "spokeshed.db.key"
    path.write_bytes(content)
    key, told = read_key(path)
    assert len(key) == 64
    (aside,) = [one for one in tmp_path.iterdir() if one != path]
    assert aside.read_bytes() == content
    assert told == f"The key file was damaged and is kept as {aside.name}: each device gives the code again."
    assert read_key(path) == (key, "")


def test_a_key_that_is_a_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "spokeshed.db.key").mkdir()
    with pytest.raises(StartError, match="cannot be read"):
        read_key(tmp_path / "spokeshed.db.key")
