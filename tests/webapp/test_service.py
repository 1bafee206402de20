"""`spokeshed service`: what it prints is valid, starts this very program, and keeps odd names whole."""

import plistlib
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.webapp.programs import command
from webapp.service import service, systemd_line
from webapp.settings import Settings

ODD = 'my "shed" at 100% $HOME \\ x'


def _unquoted(line: str) -> list[str]:
    """A systemd command line taken apart by its own rules, for what is all in quotes."""
    words, word, signs = [], None, iter(line)
    for sign in signs:
        if sign == '"':
            if word is not None:
                words.append(word.replace("%%", "%").replace("$$", "$"))
            word = None if word is not None else ""
        elif word is not None:
            word += next(signs) if sign == "\\" else sign
    return words


def test_a_command_keeps_its_words_whole() -> None:
    words = ["/opt/a b/spokeshed", "--data", f"/srv/{ODD}/spokeshed.db", ""]
    assert _unquoted(systemd_line(words)) == words


def test_the_unit_starts_this_program_on_this_file(tmp_path: Path) -> None:
    data = tmp_path / ODD / "spokeshed.db"
    text = service(Settings(data, "0.0.0.0", 8731, demo=True), "linux").text
    (line,) = [one for one in text.splitlines() if one.startswith("ExecStart=")]
    *program, data_, file, host, address, port, number, demo = _unquoted(line.removeprefix("ExecStart="))
    assert (data_, file) == ("--data", str(data))
    assert (host, address, port, number, demo) == ("--host", "0.0.0.0", "--port", "8731", "--demo")
    assert Path(program[0]).is_file()
    done = subprocess.run([*program, "--help"], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0 and done.stdout.startswith("usage: spokeshed")


def test_systemd_takes_the_unit(tmp_path: Path) -> None:
    verify = shutil.which("systemd-analyze")
    if verify is None:
        pytest.skip("no systemd here")
    unit = tmp_path / "spokeshed.service"
    unit.write_text(service(Settings(tmp_path / ODD / "spokeshed.db"), "linux").text)
    done = subprocess.run([verify, "verify", "--man=no", unit], capture_output=True, text=True, timeout=60)
    # Of what it says, only what names the unit is about it.
    assert (done.returncode, [line for line in done.stderr.splitlines() if unit.name in line]) == (0, [])
    unit.write_text(unit.read_text().replace('ExecStart="', 'ExecStart="relative/'))
    done = subprocess.run([verify, "verify", "--man=no", unit], capture_output=True, text=True, timeout=60)
    assert "relative" in done.stderr


def test_the_macs_agent_is_a_property_list_with_the_words_whole(tmp_path: Path) -> None:
    data = tmp_path / f"{ODD} <&>" / "spokeshed.db"
    found = service(Settings(data), "darwin")
    agent = plistlib.loads(found.text.encode())
    assert agent["ProgramArguments"][-6:] == ["--data", str(data), "--host", "127.0.0.1", "--port", "8730"]
    assert agent["RunAtLoad"] is True and agent["KeepAlive"] == {"SuccessfulExit": False}
    assert agent["StandardOutPath"] == f"{data.resolve()}.said" and agent["StandardOutPath"] in found.how
    assert "not tried here" in found.how


def test_the_start_at_login_for_windows_keeps_a_name_with_spaces_whole(tmp_path: Path) -> None:
    data = tmp_path / "my shed 100%" / "spokeshed.db"
    found = service(Settings(data), "win32")
    assert f'"{str(data).replace("%", "%%")}"' in found.text
    assert "not tried here" in found.how and "Startup" in found.how


def test_the_command_prints_the_text_alone_and_how_to_install_it_apart(tmp_path: Path) -> None:
    data = tmp_path / "my shed" / "spokeshed.db"
    done = command(tmp_path, "service", "--data", data, "--host", "0.0.0.0")
    assert done.returncode == 0
    assert done.stdout == service(Settings(data, "0.0.0.0")).text
    assert "Install it with" in done.stderr
    assert not data.parent.exists()
    if sys.platform == "linux":
        assert "systemctl --user enable --now spokeshed" in done.stderr
        assert f"--data '{data}' --host 0.0.0.0" in done.stderr
