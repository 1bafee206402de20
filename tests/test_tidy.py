"""The whole tree is linted, formatted and typed."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
CHECKS = {
    "lint": ["ruff", "check", "."],
    "format": ["ruff", "format", "--check", "."],
    "types": ["mypy", "domain", "webapp"],
}


@pytest.mark.parametrize("check", CHECKS)
def test_tidy(check: str) -> None:
    done = subprocess.run([sys.executable, "-m", *CHECKS[check]], cwd=ROOT, capture_output=True, text=True)
    # A type error can bring a screenful of notes with it: what is wrong is in the other lines.
    said = [line for line in (done.stdout + done.stderr).splitlines() if ": note:" not in line]
    assert done.returncode == 0, "\n".join(said)
