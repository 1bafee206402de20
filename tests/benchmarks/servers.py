"""Starts the program and the floor as programs of their own, and waits until they answer."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Server:
    """A program that serves: its port, and its process."""

    port: int
    pid: int

    def cpu_ms(self) -> float:
        """The processor's time it has taken so far, its own and the system's for it; 0 where that cannot be seen."""
        try:
            fields = Path(f"/proc/{self.pid}/stat").read_text().rsplit(")", 1)[1].split()
        except OSError:
            return 0.0  # not Linux
        return (int(fields[11]) + int(fields[12])) * 1000 / os.sysconf("SC_CLK_TCK")


@contextmanager
def running(module: str, *arguments: str | Path) -> Iterator[Server]:
    """`python -m MODULE ARGUMENTS`, which says "Open http://host:port/" once it serves."""
    command: Sequence[str] = (sys.executable, "-m", module, *map(str, arguments))
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
        try:
            yield Server(_port(process), process.pid)
        finally:
            process.terminate()
            # It says that it stops.
            process.communicate()


def _port(process: subprocess.Popen[str]) -> int:
    assert process.stdout is not None
    line = process.stdout.readline()
    words = line.split()
    port = urlsplit(words[1]).port if words[:1] == ["Open"] else None
    if port is None:
        raise SystemExit(f"{process.args!r} did not start: it said {line!r}")
    return port
