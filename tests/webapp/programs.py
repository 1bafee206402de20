"""Real programs on real files: started, tapped over real sockets, and killed as the mains would."""

import re
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Timer
from types import SimpleNamespace

import httpx

from tests.webapp.scenes import Bench
from tests.webapp.test_start import PATIENCE, ROOT, _command, _environment


@dataclass
class Program:
    """A program that answers, and a browser on it."""

    process: subprocess.Popen[str]
    bench: Bench
    taps: int = 0

    def tap(self) -> None:
        """Tick the first casting received, or take it back, whichever is due; it must be taken."""
        wish = "no received" if "received" in self.bench.ticks("W1") else "yes received"
        answer = self.bench.send("/castings/1", "/castings/1/ticks", wish=wish)
        assert answer.status_code == 303, answer.text
        self.taps += 1

    def kill(self) -> None:
        """As kill -9 does: nothing is closed, nothing is said."""
        self.process.kill()
        self.process.communicate(timeout=PATIENCE)

    def stop(self, how: int) -> tuple[int, str]:
        """Stop it by a signal; its exit code and what it said of errors."""
        self.process.send_signal(how)
        _, errors = self.process.communicate(timeout=PATIENCE)
        return self.process.returncode, errors


def start(home: Path, *arguments: object) -> subprocess.Popen[str]:
    """Start it, and wait for nothing."""
    return subprocess.Popen(
        _command(*arguments),
        cwd=ROOT,
        env=_environment(home),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@contextmanager
def program(home: Path, data: Path, *arguments: object) -> Iterator[Program]:
    """A program that serves the data; killed at the end, unless it was ended before."""
    process = start(home, "--port", 0, "--data", data, *arguments)
    watchdog = Timer(PATIENCE, process.kill)
    watchdog.start()
    try:
        assert process.stdout is not None
        found = re.match(r"Open (http://\S+)/", process.stdout.readline())
        assert found, process.communicate()[1]
        origin = {"Origin": found[1]}
        with httpx.Client(base_url=found[1], headers=origin, timeout=PATIENCE) as client:
            bench = Bench(client, SimpleNamespace(path=data)).sit_down()  # type: ignore[arg-type]
            yield Program(process, bench)
    finally:
        watchdog.cancel()
        process.kill()
        with suppress(ValueError):  # read to the end already
            process.communicate(timeout=PATIENCE)
        assert process.stdout is not None and process.stderr is not None
        process.stdout.close()
        process.stderr.close()


def command(home: Path, *arguments: object) -> subprocess.CompletedProcess[str]:
    """Run it to its end."""
    return subprocess.run(
        _command(*arguments),
        cwd=ROOT,
        env=_environment(home),
        capture_output=True,
        text=True,
        timeout=PATIENCE,
    )
