"""The real program in its own process, and a tablet that watches itself while it is used."""

from __future__ import annotations

import os
import re
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
SIZES = {"wide": (1024, 768), "tall": (768, 1024)}
_START_S = 60
_WAIT_MS = 15000
# Longer than the time in which a second tap on one place counts as the same tap.
PAUSE_MS = 750
# The same of two taps on one place that are on different things.
_DOUBLE_MS = 450
_CLIENT_ERRORS = range(400, 500)
# What Chromium itself writes for an answer that refuses; the answers are counted one by one besides.
_REFUSAL_LINE = re.compile(r"Failed to load resource: the server responded with a status of 4\d\d ")
# What the browser and htmx write while the program is out of reach, which a test wanted.
_OUT_OF_REACH = re.compile(
    r"ERR_INTERNET_DISCONNECTED|ERR_ABORTED|Failed to fetch|is not saved yet|aborted|timeout"
)
_TENDER = {
    "Tread diameter": "3 in", "Boss diameter": "1 in", "Length through the boss": "5/8 in", "Bore": "1/2 in",
    "Wheel seat on the axle": "1/2 in", "Least": "", "Most": "",
}  # fmt: skip
_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    # A request for any other name fails here, on this machine.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
]


@contextmanager
def running(folder: Path, *options: str) -> Iterator[str]:
    """The program in a process of its own; gives what it printed once it answers, and reads its log at the end."""
    out, log = folder / "printed.txt", folder / "log.txt"
    command = [
        sys.executable,
        "-m",
        "webapp",
        "--data",
        str(folder / "spokeshed.db"),
        "--port",
        "0",
        *options,
    ]
    environment = os.environ | {"PYTHONUNBUFFERED": "1"}
    with out.open("w") as to, log.open("w") as err:
        process = subprocess.Popen(
            command, cwd=ROOT, env=environment, stdin=subprocess.DEVNULL, stdout=to, stderr=err
        )
        try:
            yield _printed(process, out, log)
        finally:
            process.terminate()
            process.wait(_START_S)
    assert "Traceback" not in log.read_text(), log.read_text()


def _printed(process: subprocess.Popen[bytes], out: Path, log: Path) -> str:
    until = time.monotonic() + _START_S
    while time.monotonic() < until:
        if "Stop with" in out.read_text():
            return out.read_text()
        if process.poll() is not None:
            break
        time.sleep(0.05)
    pytest.fail(f"the program did not start: {out.read_text()} {log.read_text()}")


def address_in(printed: str) -> str:
    """The last address printed: the one on this machine."""
    return re.findall(r"http://[^\s)]+", printed)[-1].rstrip("/")


@pytest.fixture(scope="session")
def program(chromium_path: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the program on an empty data file; each test starts a build of its own."""
    with running(tmp_path_factory.mktemp("program")) as printed:
        yield address_in(printed)


@pytest.fixture(scope="session")
def demo(chromium_path: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the program with its invented build; tests only look at it, which is looked at in the end."""
    folder = tmp_path_factory.mktemp("demo")
    with running(folder, "--demo") as printed:
        before = _lines_of_journal(folder)
        yield address_in(printed)
        assert _lines_of_journal(folder) == before, "a test wrote into the demo all tests share"


@pytest.fixture
def own_demo(chromium_path: str, tmp_path: Path) -> Iterator[str]:
    """The invented build in a program of its own, for a test that writes."""
    with running(tmp_path, "--demo") as printed:
        yield address_in(printed)


def _lines_of_journal(folder: Path) -> int:
    with closing(sqlite3.connect(f"file:{folder / 'spokeshed.db'}?mode=ro", uri=True)) as file:
        return int(file.execute("SELECT count(*) FROM journal_line").fetchone()[0])


@pytest.fixture(scope="session")
def run_program() -> Callable[..., object]:
    """For a test that needs a program of its own."""
    return running


@pytest.fixture(scope="session")
def address_of() -> Callable[[str], str]:
    """Finds the address to open in what a program printed."""
    return address_in


@pytest.fixture(scope="session")
def chromium(chromium_path: str) -> Iterator[Browser]:
    """One browser for all tests; each tablet is a context of its own in it."""
    expect.set_options(timeout=_WAIT_MS)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path, args=_ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(params=SIZES, scope="module")
def size(request: pytest.FixtureRequest) -> tuple[int, int]:
    """The tablet lying down, then standing up."""
    return SIZES[request.param]


@dataclass
class Watch:
    """What the browser complained of, what was refused, and where requests went."""

    complaints: list[str] = field(default_factory=list)
    refusals: list[int] = field(default_factory=list)
    provoked: list[int] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    def over(self, context: BrowserContext) -> None:
        """Listen to every page of the context."""
        context.on("console", lambda line: line.type in ("error", "warning") and self._complain(line.text))
        context.on(
            "page", lambda page: page.on("crash", lambda _: self.complaints.append("the page crashed"))
        )
        context.on("weberror", lambda found: self.complaints.append(f"page error: {found.error}"))
        context.on("request", lambda request: self.requests.append(request.url))
        context.on("response", lambda answer: self._answered(answer.status, answer.url))

    def _complain(self, text: str) -> None:
        if not _REFUSAL_LINE.match(text):
            self.complaints.append(text)

    def _answered(self, status: int, url: str) -> None:
        if status in _CLIENT_ERRORS:
            self.refusals.append(status)
        elif status >= _CLIENT_ERRORS.stop:
            self.complaints.append(f"answer {status} from {url}")


class Tablet:
    """One tablet at the bench: a page, and what a thumb does to it."""

    def __init__(self, context: BrowserContext, address: str, *, script: bool = True) -> None:
        self.address = address
        self.script = script
        self.context = context
        self.watch = Watch()
        self.watch.over(context)
        self.page: Page = context.new_page()
        # When a tick was tapped last.
        self.tapped = 0.0

    def go(self, path: str) -> None:
        """Open a sheet by its address."""
        self.page.goto(self.address + path)

    def button(self, name: str) -> Locator:
        """A button or a link by its words."""
        page = self.page
        return page.get_by_role("button", name=name, exact=True).or_(
            page.get_by_role("link", name=name, exact=True)
        )

    def tap(self, name: str) -> None:
        """Tap a button or a link that leads to another page, and wait for that page."""
        with self.leads_on():
            self.button(name).first.tap()

    @contextmanager
    def leads_on(self) -> Iterator[None]:
        """What is done inside leads to another page, or to this one drawn anew with what was refused."""
        if not self.script:
            with self.page.expect_navigation():
                yield
            return
        self.page.evaluate("document.body.dataset.before = 'yes'")
        yield
        self.page.wait_for_function(
            "() => !document.body?.dataset.before && document.readyState === 'complete'"
        )

    @contextmanager
    def away(self) -> Iterator[None]:
        """The program is out of reach while what is inside is done."""
        before = list(self.watch.complaints)
        self.context.set_offline(True)
        try:
            yield
        finally:
            self.context.set_offline(False)
            after = self.watch.complaints[len(before) :]
            self.watch.complaints[:] = before + [one for one in after if not _OUT_OF_REACH.search(one)]

    def not_at_once(self) -> None:
        """Wait as a thumb does: scrolled to where a box was tapped before, another tapped at once were a double tap."""
        self.page.wait_for_timeout(max(0.0, _DOUBLE_MS - (time.monotonic() - self.tapped) * 1000))

    @contextmanager
    def refused(self, status: int) -> Iterator[None]:
        """What is done inside is answered by this refusal, and by nothing else that is refused."""
        before = len(self.watch.refusals)
        self.not_at_once()
        with self.page.expect_response(lambda answer: answer.request.method == "POST") as caught:
            yield
            self.tapped = time.monotonic()
        assert caught.value.status == status
        caught.value.finished()
        self.page.wait_for_load_state()
        assert self.watch.refusals[before:] == [status]
        self.watch.provoked.append(status)

    def start_build(self, name: str, who: str, change: Callable[[Page], None] = lambda page: None) -> str:
        """Start a build from the list with the figures as they are proposed; gives its sheet's path."""
        self.go("/")
        self.tap("Start a build")
        self.page.get_by_label("Name of the build").fill(name)
        self.page.get_by_label("Your initials").fill(who)
        change(self.page)
        self.tap("Save the build")
        expect(self.page.get_by_role("heading", level=1)).to_have_text(name)
        return self.page.url.removeprefix(self.address)

    def handled_at_once(self, build: str) -> None:
        """Say that the compound is handled and cured at once, so that an evening need not wait for its bonds."""
        self.go(f"{build}/joints?open=figures")
        self.page.get_by_label("May be handled after").fill("0 min")
        self.page.get_by_label("Fully cured after").fill("0.0001 h")
        self.tap("Save the figures")
        self.go(build)

    def open_axle(self, number: int) -> None:
        """From the build sheet to an axle's."""
        self.tap(f"Axle {number}")
        expect(self.page.get_by_role("heading", level=1)).to_have_text(f"Axle {number}")

    def wheel(self, side: str) -> Locator:
        """All that is the left or the right wheel's on the axle sheet: its head, its half of each row, what it is asked."""
        return self.page.locator(f'[data-side="{side.lower()}"]')

    def head(self, side: str) -> Locator:
        """The left or the right wheel at the head of the axle sheet."""
        return self.page.locator(f'section.head[data-side="{side.lower()}"]')

    def line(self, side: str) -> Locator:
        """The one line of verdict of a wheel."""
        return self.head(side).locator("a.line")

    def box(self, where: Locator, key: str) -> Locator:
        """The tick of a stage or a step."""
        return where.locator(f'button.tick[id$="-{key}"]')

    def describe_tender(self, axles: str, marks: str) -> None:
        """From the sheet of the drawing: fill in a pattern of tender wheels, and leave it to be saved."""
        self.tap("Another pattern of wheel")
        self.page.get_by_label("Name", exact=True).fill("Tender wheels")
        self.page.get_by_label("Its axles").fill(axles)
        self.page.get_by_label("Marks of its castings").fill(marks)
        self.page.get_by_role("radio", name="Tender").check()
        for label, text in _TENDER.items():
            self.page.get_by_label(label, exact=True).fill(text)

    def tick(self, where: Locator, *keys: str) -> None:
        """Tick stages and steps one after the other, each seen ticked before the next."""
        for key in keys:
            self.unfold(where, key)
            self.not_at_once()
            self.box(where, key).tap()
            self.tapped = time.monotonic()
            expect(self.box(where, key)).to_have_attribute("aria-pressed", "true")

    def all_the_same(self, where: Locator, button: Locator, asked: str, why: str = "") -> None:
        """Tap a tick that is asked about first, see that this is asked, and go on all the same."""
        with self.refused(409):
            button.tap()
        expect(where.get_by_role("alert")).to_contain_text(asked)
        where.get_by_label("Why all the same, for the record").fill(why)
        self.page.wait_for_timeout(PAUSE_MS)
        with self.page.expect_response(lambda answer: answer.request.method == "POST") as caught:
            where.get_by_role("button", name="all the same").tap()
        assert caught.value.ok

    def unfold(self, where: Locator, key: str) -> None:
        """Open the small steps of a stage, when it is a step that is wanted; and the stages that are done."""
        box, stage = self.box(where, key), key.split(".")[0]
        folded = self.page.locator("#rows-done:not([open]) > summary")
        if not box.is_visible() and folded.count():
            folded.tap()
        if box.is_visible() or "." not in key:
            return
        self.page.locator(f"#steps-{stage} > summary, a#open-{stage}").tap()
        expect(box).to_be_visible()

    def due(self, key: str) -> Locator:
        """The form of a reading that is due, such as bore-3; it is asked for where another one stands first."""
        form, other = self.page.locator(f"#due-{key}"), self.page.locator(f'.due-others a[href*="due={key}"]')
        expect(form.or_(other).first).to_be_visible()
        if not form.is_visible():
            other.tap()
            expect(form).to_be_visible()
        return form

    def casting(self, side: str) -> str:
        """The number of the casting at a side."""
        return (self.head(side).get_attribute("id") or "").removeprefix("wheel-")

    def log(self, side: str, what: str, *readings: str, instrument: str = "") -> None:
        """Type readings of a wheel's bore, its throw or its seat and send them; in full where an instrument is named."""
        key = f"seat-{side.lower()}" if what == "seat" else f"{what}-{self.casting(side)}"
        # Two taps on one place in a moment count as one: nobody takes up a gauge so fast.
        self.page.wait_for_timeout(PAUSE_MS)
        if self.page.locator(f"#due-{key}, .due-others a[href*='due={key}']").count():
            due = self.due(key)
            if not instrument:
                for number, reading in enumerate(readings):
                    due.locator("[data-next]").nth(number).fill(reading)
                due.get_by_role("button", name="Write").tap()
                return
            self.page.get_by_role("link", name="More ways to measure").tap()
        else:
            self.line(side).tap()
        form = self.page.locator(f"#readings-{key}")
        expect(form).to_be_attached()
        if not form.is_visible():
            self.page.locator(f"#log-{key} > summary").tap()
        for number, reading in zip(("one", "two", "three", "four"), readings, strict=False):
            form.get_by_label(f"Reading {number}").fill(reading)
        form.get_by_label("Instrument").fill(instrument)
        form.get_by_role("button").tap()

    def settle(self) -> None:
        """Judge what the watch has seen."""
        strangers = [url for url in self.watch.requests if not url.startswith(self.address + "/")]
        assert strangers == [], "requests left the program"
        assert self.watch.complaints == []
        assert self.watch.refusals == self.watch.provoked, "refused without the test having asked for it"


OpenTablet = Callable[..., Tablet]


@pytest.fixture
def open_tablet(chromium: Browser, size: tuple[int, int]) -> Iterator[OpenTablet]:
    """Opens tablets that know nothing of each other; at the end each is asked what it has seen."""
    tablets: list[Tablet] = []

    def opened(address: str, *, script: bool = True) -> Tablet:
        width, height = size
        context = chromium.new_context(
            viewport={"width": width, "height": height},
            has_touch=True,
            is_mobile=True,
            java_script_enabled=script,
        )
        context.set_default_timeout(_WAIT_MS)
        tablets.append(Tablet(context, address, script=script))
        return tablets[-1]

    yield opened
    for tablet in tablets:
        tablet.context.close()
    for tablet in tablets:
        tablet.settle()
