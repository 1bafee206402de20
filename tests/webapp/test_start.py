"""The command itself, started as a person starts it: what it serves, and every way it cannot start."""

import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from hashlib import sha256
from pathlib import Path
from threading import Timer

import httpx
import pytest

from webapp.upgrade import prepare

ROOT = Path(__file__).parents[2]
PATIENCE = 60


def _command(*arguments: object) -> list[str]:
    return [sys.executable, "-m", "webapp", *map(str, arguments)]


def _environment(home: Path) -> dict[str, str]:
    """The platform's data folder under a folder of the test's, on each platform."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"}
    return kept | {
        "HOME": str(home),
        "XDG_DATA_HOME": str(home / "data"),
        "LOCALAPPDATA": str(home / "data"),
        "PYTHONUNBUFFERED": "1",
    }


@contextmanager
def running(home: Path, *arguments: object) -> Iterator[tuple[str, list[str]]]:
    """The running program's first address and the lines it printed; stopped at the end as Ctrl+C does."""
    process = subprocess.Popen(
        _command(*arguments),
        cwd=ROOT,
        env=_environment(home),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    watchdog = Timer(PATIENCE, process.kill)
    watchdog.start()
    try:
        assert process.stdout is not None
        lines = []
        for line in process.stdout:
            lines.append(line.strip())
            if line.startswith("Stop with"):
                break
        else:
            raise AssertionError(process.communicate()[1])
        found = re.match(r"Open (http://\S+/)", lines[0])
        assert found, lines
        yield found[1], lines
    finally:
        process.send_signal(signal.SIGINT)
        _, errors = process.communicate(timeout=PATIENCE)
        watchdog.cancel()
    assert process.returncode == 0
    assert errors == ""


def refused(home: Path, *arguments: object) -> str:
    """The one sentence that the program gives up with."""
    done = subprocess.run(
        _command(*arguments),
        cwd=ROOT,
        env=_environment(home),
        capture_output=True,
        text=True,
        timeout=PATIENCE,
    )
    assert done.returncode == 2, done
    assert done.stdout == ""
    (sentence,) = done.stderr.splitlines()
    assert sentence.startswith("spokeshed: ")
    return sentence


def _sum(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest()


def test_it_prints_an_address_that_answers(tmp_path: Path) -> None:
    path = tmp_path / "spokeshed.db"
    with running(tmp_path, "--data", path, "--port", 0) as (address, lines):
        assert address.startswith("http://127.0.0.1:")
        assert f"Data: {path}" in lines
        answer = httpx.get(address, follow_redirects=True)
        assert answer.status_code == 200
        assert "text/html" in answer.headers["content-type"]
        assert httpx.get(f"{address}static/app.css").status_code == 200
        assert (path.with_name("spokeshed.db.key").stat().st_mode & 0o777) in (0o600, 0o666)
    # Stopped properly: the log is folded back into the file.
    assert not path.with_name("spokeshed.db-wal").exists()
    with running(tmp_path, "--data", path, "--port", 0) as (address, _):
        assert httpx.get(address, follow_redirects=True).status_code == 200


def test_the_demo_has_a_file_of_its_own(tmp_path: Path) -> None:
    with running(tmp_path, "--demo", "--port", 0) as (address, lines):
        assert httpx.get(address, follow_redirects=True).status_code == 200
        (data,) = [line for line in lines if line.startswith("Data: ")]
        assert data.endswith("demo.db")
    assert list(tmp_path.rglob("demo.db"))
    assert not list(tmp_path.rglob("spokeshed.db"))


def test_a_device_on_the_network_gives_the_code_once(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    with running(tmp_path, "--data", data, "--port", 0, "--host", "0.0.0.0") as (first, lines):
        (code,) = [line.removeprefix("Code for a new device: ") for line in lines if "Code" in line]
        assert re.fullmatch(r"\d{6}", code)
        address = f"http://127.0.0.1:{first.rsplit(':', 1)[1]}"
        with httpx.Client(base_url=address, headers={"Origin": address.rstrip("/")}) as tablet:
            assert tablet.get("/").status_code == 401
            wrong = f"{(int(code) + 1) % 10**6:06}"
            assert tablet.post("/device", data={"code": wrong}).status_code == 422
            assert tablet.post("/device", data={"code": code}).status_code == 303
            assert tablet.get("/", follow_redirects=True).status_code == 200
            cookies = dict(tablet.cookies)
    with running(tmp_path, "--data", data, "--port", 0, "--host", "0.0.0.0") as (first, lines):
        address = f"http://127.0.0.1:{first.rsplit(':', 1)[1]}"
        # Known still, after a restart with another code.
        again = httpx.get(address, cookies=cookies, follow_redirects=True)
        assert again.status_code == 200
        assert httpx.get(address).status_code == 401


def test_a_taken_port_is_found_before_the_data_are_touched(tmp_path: Path) -> None:
    path = tmp_path / "spokeshed.db"
    with closing(socket.create_server(("127.0.0.1", 0))) as taken:
        port = taken.getsockname()[1]
        assert f"Port {port} is taken" in refused(tmp_path, "--data", path, "--port", port)
    assert not path.exists()


@pytest.mark.parametrize("port", ["abc", "-1", "65536", "1e3", "", "8730.5", "9" * 30, "٣"])
def test_a_port_that_is_none(tmp_path: Path, port: str) -> None:
    assert "such as 8730" in refused(tmp_path, f"--port={port}")


@pytest.mark.parametrize("host", ["no.such.host.invalid", "not a host", "x" * 300, "256.1.1.1"])
def test_a_host_that_is_not_known(tmp_path: Path, host: str) -> None:
    path = tmp_path / "spokeshed.db"
    assert "127.0.0.1" in refused(tmp_path, "--data", path, "--port", 0, "--host", host)
    assert not path.exists()


def test_an_address_of_another_machine(tmp_path: Path) -> None:
    sentence = refused(tmp_path, "--data", tmp_path / "a.db", "--port", 0, "--host", "192.0.2.7")
    assert "does not belong to this machine" in sentence


def test_an_option_that_does_not_exist(tmp_path: Path) -> None:
    assert "--colour" in refused(tmp_path, "--colour")


def test_a_file_that_is_no_database(tmp_path: Path) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear Sir, the castings have arrived. " * 40)
    before = _sum(path)
    assert "is no database" in refused(tmp_path, "--data", path, "--port", 0)
    assert _sum(path) == before
    assert [found.name for found in tmp_path.iterdir()] == ["letter.txt"]


@pytest.mark.parametrize("size", [1, 15, 16, 99])
def test_a_short_file_is_no_database_either(tmp_path: Path, size: int) -> None:
    path = tmp_path / "short.db"
    path.write_bytes(b"SQLite format 3\x00".ljust(99, b"\x00")[:size])
    assert "is no database" in refused(tmp_path, "--data", path, "--port", 0)
    assert path.stat().st_size == size


@pytest.mark.parametrize("arguments", [[], ["--demo"]], ids=["own", "demo"])
def test_another_programs_database(tmp_path: Path, arguments: list[str]) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE recipe (id INTEGER)")
        connection.commit()
    before = _sum(path)
    assert "another program's database" in refused(tmp_path, "--data", path, "--port", 0, *arguments)
    assert _sum(path) == before
    assert [found.name for found in tmp_path.iterdir()] == ["other.db"]


def test_the_demo_never_opens_a_persons_file(tmp_path: Path) -> None:
    path = tmp_path / "mine.db"
    prepare(path)
    before = _sum(path)
    assert "is not a demo file" in refused(tmp_path, "--demo", "--data", path, "--port", 0)
    assert _sum(path) == before
    assert [found.name for found in tmp_path.iterdir()] == ["mine.db"]


def test_tables_newer_than_the_program(tmp_path: Path) -> None:
    path = tmp_path / "newer.db"
    prepare(path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    before = _sum(path)
    assert "newer spokeshed" in refused(tmp_path, "--data", path, "--port", 0)
    assert _sum(path) == before


def test_a_damaged_file(tmp_path: Path) -> None:
    path = tmp_path / "torn.db"
    prepare(path)
    whole = path.read_bytes()
    path.write_bytes(whole[:100] + b"\x00" * (len(whole) - 100))
    before = _sum(path)
    assert "torn.db" in refused(tmp_path, "--data", path, "--port", 0)
    assert _sum(path) == before


def test_a_folder_given_as_the_file(tmp_path: Path) -> None:
    assert "is a folder" in refused(tmp_path, "--data", tmp_path, "--port", 0)


def test_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")
    sentence = refused(tmp_path, "--data", tmp_path / "file" / "spokeshed.db", "--port", 0)
    assert "cannot be made" in sentence


def test_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    if os.name != "posix":
        pytest.skip("folder rights are set differently here")
    if os.geteuid() == 0:
        if not Path("/proc/self").is_dir():
            pytest.skip("root may write everywhere here")
        folder = Path("/proc/self")  # root may write everywhere but there
    else:
        folder = tmp_path / "locked"
        folder.mkdir(mode=0o500)
    sentence = refused(tmp_path, "--data", folder / "spokeshed.db", "--port", 0)
    assert str(folder / "spokeshed.db") in sentence or str(folder) in sentence


def test_a_damaged_key_and_a_damaged_devices_file_are_put_aside_and_told(tmp_path: Path) -> None:
    path = tmp_path / "spokeshed.db"
    for ending in ("key", "devices"):
        (tmp_path / f"spokeshed.db.{ending}").write_text("short")
    with running(tmp_path, "--data", path, "--port", 0, "--host", "0.0.0.0") as (first, lines):
        assert [
            line.split(" and is kept as ")[0] for line in lines if "each device gives the code" in line
        ] == [
            "The key file was damaged",
            "The devices file was damaged",
        ]
        address = f"http://127.0.0.1:{first.rsplit(':', 1)[1]}"
        assert httpx.get(address).status_code == 401
    kept = [one.read_text() for one in tmp_path.glob("*.damaged-*")]
    assert kept == ["short", "short"]
    assert path.with_name("spokeshed.db.devices").stat().st_mode & 0o077 == 0


def test_a_damaged_key_beside_an_emptied_file_still_shows_that_it_held_data(tmp_path: Path) -> None:
    path, key = tmp_path / "spokeshed.db", tmp_path / "spokeshed.db.key"
    path.touch()
    key.touch()
    assert "shows that it held data" in refused(tmp_path, "--data", path, "--port", 0)
    assert key.read_text() == ""


def test_a_command_makes_another_code_while_the_program_runs(tmp_path: Path) -> None:
    data = tmp_path / "spokeshed.db"
    assert "is not running" in refused(tmp_path, "code", "--data", data)
    assert list(tmp_path.iterdir()) == []
    with running(tmp_path, "--data", data, "--port", 0, "--host", "0.0.0.0") as (first, lines):
        (old,) = [line.removeprefix("Code for a new device: ") for line in lines if "Code" in line]
        new = _made_code(tmp_path, data)
        address = f"http://127.0.0.1:{first.rsplit(':', 1)[1]}"
        with httpx.Client(base_url=address, headers={"Origin": address.rstrip("/")}) as tablet:
            if old != new:
                assert tablet.post("/device", data={"code": old}).status_code == 422
            assert tablet.post("/device", data={"code": new}).status_code == 303
            assert tablet.get("/").status_code == 200
    assert "is not running" in refused(tmp_path, "code", "--data", data)
    with running(tmp_path, "--data", data, "--port", 0):
        assert "for this machine only" in refused(tmp_path, "code", "--data", data)


def _made_code(home: Path, data: Path) -> str:
    done = subprocess.run(
        _command("code", "--data", data),
        cwd=ROOT,
        env=_environment(home),
        capture_output=True,
        text=True,
        timeout=PATIENCE,
    )
    assert (done.returncode, done.stderr) == (0, "")
    found = re.match(r"Code for a new device: (\d{6})\n", done.stdout)
    assert found, done.stdout
    return found[1]


@pytest.mark.parametrize("slow", ["pint", "alembic", "mako", "numpy", "scipy"])
def test_a_start_does_not_load_what_it_does_not_need(tmp_path: Path, slow: str) -> None:
    """With the file up to date, neither units nor migrations are loaded before the first page."""
    path = tmp_path / "spokeshed.db"
    prepare(path)
    program = (
        "import sys; from pathlib import Path\n"
        "from webapp import listen, __main__\n"
        "from webapp.settings import Settings\n"
        "from webapp.upgrade import prepare\n"
        "from webapp.app import create_app\n"
        f"path = Path({str(path)!r})\n"
        "prepare(path); create_app(Settings(path)).state.db.close()\n"
        f"sys.exit({slow!r} in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], cwd=ROOT).returncode == 0
