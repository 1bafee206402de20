"""What every test may use: the browser, when there is one, and a word about it when there is none."""

import os
import shutil
from pathlib import Path

import pytest
from hypothesis import settings

# A time is measured and printed, never asserted: a busy machine must not turn the tests red.
settings.register_profile("house", settings(), deadline=None)
settings.load_profile("house")

_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
_MAC = Path("/Applications/Google Chrome.app/Contents/MacOS/Google Chrome")
_HOW = (
    "install Chromium (Debian, Ubuntu: sudo apt install chromium), "
    "or name one that is there: SPOKESHED_CHROMIUM=/path/to/chromium"
)


def find_chromium() -> str | None:
    """The browser named by SPOKESHED_CHROMIUM, else the first one found in the usual places."""
    named = os.environ.get("SPOKESHED_CHROMIUM")
    if named:
        return shutil.which(named)
    found = next(filter(None, map(shutil.which, _NAMES)), None)
    return found or (str(_MAC) if _MAC.exists() else None)


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """The browser's path; without one the test is left out, and in CI it fails."""
    found = find_chromium()
    if found is None:
        if os.environ.get("CI"):
            pytest.fail(f"no browser found, and CI must have one: {_HOW}", pytrace=False)
        pytest.skip(f"no browser found: {_HOW}")
    return found


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Whatever asks for the browser is a browser test, so that `-m 'not browser'` leaves all of them out."""
    for item in items:
        if "chromium_path" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.browser)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say how many tests were left out for want of a browser, and how to get one."""
    skipped = terminalreporter.stats.get("skipped", [])
    left_out = [report for report in skipped if "no browser found" in str(report.longrepr)]
    if left_out:
        terminalreporter.write_line(f"{len(left_out)} browser tests were left out: {_HOW}", yellow=True)
