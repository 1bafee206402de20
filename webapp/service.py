"""What starts the program with the machine, so that it serves again after a power cut: printed, never installed."""

import plistlib
import shlex
import subprocess
import sys
import sysconfig
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from webapp.datafile import beside
from webapp.settings import Settings

# A stop finishes the answers that are under way first; then there is no need to be patient.
_STOP_S = 30
_AGAIN_S = 10

_SYSTEMD = """\
[Unit]
Description=Spokeshed
# It goes on trying, for instance until the network is there.
StartLimitIntervalSec=0

[Service]
ExecStart={command}
Restart=on-failure
RestartSec={again}
TimeoutStopSec={stop}

[Install]
WantedBy=default.target
"""
_SYSTEMD_HOW = """\
A unit for systemd, for yourself alone; it needs no administrator. Install it with these two commands:
  mkdir -p ~/.config/systemd/user && {given} > ~/.config/systemd/user/spokeshed.service
  loginctl enable-linger && systemctl --user enable --now spokeshed
The first half of the second one lets it start without anybody logging in. What it says, the code for a new device too:
  journalctl --user -u spokeshed -n 20
"""
_MAC_HOW = """\
An agent for launchd, not tried here. Install it with these two commands:
  {given} > ~/Library/LaunchAgents/spokeshed.plist
  launchctl load -w ~/Library/LaunchAgents/spokeshed.plist
It starts when you log in: for a start after a power cut let the Mac log in by itself. What it says, the code for a new
device too, is in {said}.
"""
_WINDOWS_HOW = """\
A start at login for Windows, not tried here. Install it with this command:
  {given} > "%APPDATA%\\Microsoft\\Windows\\Start Menu\\Programs\\Startup\\spokeshed.cmd"
For a start after a power cut let Windows log in by itself. What it says, the code for a new device too, is in its window.
"""


@dataclass(frozen=True)
class Service:
    """What is to be put in its place, and how that is done."""

    text: str
    how: str


def service(settings: Settings, system: str = sys.platform) -> Service:
    """The start with the machine for this system; the data file is named in full, whoever starts it."""
    options = ["--data", str(settings.data), "--host", settings.host, "--port", str(settings.port)]
    options += ["--demo"] if settings.demo else []
    command = [*_program(), *options]
    # What is typed again in the command that installs it.
    again = [*_program(), "service", *options]
    given = (subprocess.list2cmdline if system == "win32" else shlex.join)(again)
    if system == "win32":
        return Service(_windows(command), _WINDOWS_HOW.format(given=given))
    if system == "darwin":
        said = beside(settings.data, ".said")
        return Service(_mac(command, said), _MAC_HOW.format(given=given, said=said))
    text = _SYSTEMD.format(command=systemd_line(command), again=_AGAIN_S, stop=_STOP_S)
    return Service(text, _SYSTEMD_HOW.format(given=given))


def systemd_line(command: Sequence[str]) -> str:
    """A command as ExecStart takes it: in quotes, and no sign of it means anything to systemd.

    >>> print(systemd_line(["/my shed/spokeshed", "--data", "100%.db"]))
    "/my shed/spokeshed" "--data" "100%%.db"
    """
    first, *rest = (word.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%") for word in command)
    # Variables are looked for in all but the program's own name.
    return " ".join(f'"{word}"' for word in (first, *(word.replace("$", "$$") for word in rest)))


def _program() -> list[str]:
    """How this very program is called, whatever the working folder."""
    script = Path(sysconfig.get_path("scripts")) / (
        "spokeshed.exe" if sys.platform == "win32" else "spokeshed"
    )
    return [str(script)] if script.is_file() else [sys.executable, "-m", "webapp"]


def _mac(command: Sequence[str], said: Path) -> str:
    return plistlib.dumps(
        {
            "Label": "spokeshed",
            "ProgramArguments": list(command),
            "RunAtLoad": True,
            "KeepAlive": {"SuccessfulExit": False},
            "ThrottleInterval": _AGAIN_S,
            "ExitTimeOut": _STOP_S,
            "StandardOutPath": str(said),
            "StandardErrorPath": str(said),
        }
    ).decode()


def _windows(command: Sequence[str]) -> str:
    line = subprocess.list2cmdline(command).replace("%", "%%")
    return f'@echo off\nchcp 65001 >nul\nstart "spokeshed" /min {line}\n'
