"""Starts the program and the floor as programs of their own, and waits until they answer."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

ROOT = Path(__file__).resolve().parents[2]


@contextmanager
def running(module: str, *arguments: str | Path) -> Iterator[int]:
    """The port of `python -m MODULE ARGUMENTS`, which says "Open http://host:port/" once it serves."""
    command: Sequence[str] = (sys.executable, "-m", module, *map(str, arguments))
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
        try:
            yield _port(process)
        finally:
            process.terminate()


def _port(process: subprocess.Popen[str]) -> int:
    assert process.stdout is not None
    line = process.stdout.readline()
    words = line.split()
    port = urlsplit(words[1]).port if words[:1] == ["Open"] else None
    if port is None:
        raise SystemExit(f"{process.args!r} did not start: it said {line!r}")
    return port
