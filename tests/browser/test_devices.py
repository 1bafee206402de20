"""Devices on the network, in a real browser: a page elsewhere un-pairs nobody, one is forgotten, a copy is seen."""

from __future__ import annotations

import re
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import address_in, running
from tests.browser.test_sheets import LEAST_TARGET, TARGETS

pytestmark = pytest.mark.browser

ELSEWHERE = "http://elsewhere.example/"
DAY = 24 * 3600


@dataclass
class Served:
    """The program open to the network, its code, and its devices file."""

    address: str
    devices: Path
    browser: Browser

    @property
    def code(self) -> str:
        """The code that holds now, as fresh as if it were just made: tests come in any order, and may take long."""
        with closing(sqlite3.connect(self.devices)) as connection, connection:
            connection.execute("UPDATE code SET made = ?", (time.time(),))
            digits: str = connection.execute("SELECT digits FROM code").fetchone()[0]
            return digits

    def jar(self, *, script: bool = True) -> BrowserContext:
        """A browser of its own, that knows a page elsewhere."""
        context = self.browser.new_context(
            viewport={"width": 768, "height": 1024}, java_script_enabled=script
        )
        context.set_default_timeout(15000)
        page = f'<a id="link" href="{self.address}/workshop">A link</a><img src="{self.address}/static/icon.svg">'
        page += f'<form method="post" action="{self.address}/who"><button>Send</button></form>'
        context.route(f"{ELSEWHERE}**", lambda route: route.fulfill(body=page, content_type="text/html"))
        return context

    def let_in(self, name: str, *, script: bool = True) -> Page:
        """A device that has given the code."""
        page = self.jar(script=script).new_page()
        page.goto(self.address)
        expect(page.get_by_role("heading", level=1)).to_have_text("Code for this device")
        page.get_by_label("Code").fill(self.code)
        page.get_by_label("What to call this device").fill(name)
        page.get_by_role("button", name="Open the sheets").click()
        expect(page.get_by_role("link", name="Start a build").first).to_be_visible()
        return page

    def known_by(self, page: Page) -> list[str]:
        """The cookie the program knows a device by; the page's own script keeps one besides, of the address."""
        found = page.context.cookies(self.address)
        return [one["value"] for one in found if one["name"] != "spokeshed_at"]

    def later(self, seconds: float) -> None:
        """Let the time go by for every secret that was given, as far as the program can tell."""
        with closing(sqlite3.connect(self.devices)) as connection, connection:
            connection.execute("UPDATE secret SET issued = issued - ?", (seconds,))


@pytest.fixture(scope="module")
def served(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("served")
    with running(folder, "--host", "0.0.0.0") as printed:
        found = re.search(r"Code for a new device: (\d{6})", printed)
        assert found
        yield Served(address_in(printed), folder / "spokeshed.db.devices", chromium)


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_a_page_elsewhere_un_pairs_nobody(served: Served, script: bool) -> None:
    page = served.let_in("shop tablet", script=script)
    before = served.known_by(page)
    page.goto(ELSEWHERE)
    page.locator("#link").click()
    # The browser keeps the cookie back on the way from there; one tap brings the sheet.
    expect(page.get_by_role("heading", level=1)).to_have_text("Code for this device")
    assert served.known_by(page) == before
    page.get_by_role("link", name="Go on to the sheet").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Workshop")
    page.goto(ELSEWHERE)
    page.get_by_role("button", name="Send").click()
    expect(page.locator("body")).to_contain_text("Refused")
    page.goto(f"{served.address}/workshop")
    expect(page.get_by_role("heading", level=1)).to_have_text("Workshop")
    page.context.close()


def test_a_device_is_forgotten_by_another(served: Served) -> None:
    phone, tablet = served.let_in("old phone"), served.let_in("shop tablet")
    tablet.goto(f"{served.address}/workshop")
    tablet.get_by_role("link", name="Devices that are let in").click()
    expect(tablet.get_by_role("heading", level=1)).to_have_text("Devices")
    row = tablet.locator("#devices > li", has_text="old phone")
    expect(row).not_to_contain_text("This one")
    forget = row.get_by_role("button", name="Forget this device")
    expect(forget).not_to_be_visible()
    row.get_by_text("Forget it", exact=True).click()
    forget.click()
    expect(tablet.locator("#devices > li", has_text="old phone")).to_have_count(0)
    phone.reload()
    expect(phone.get_by_text("let in once, and is not any more")).to_be_visible()
    tablet.reload()
    expect(tablet.locator("#devices > li", has_text="This one")).to_contain_text("shop tablet")
    phone.context.close()
    tablet.context.close()


def test_a_copied_cookie_is_seen_and_ended(served: Served) -> None:
    tablet = served.let_in("copied tablet")
    other = served.jar()
    other.add_cookies(tablet.context.cookies(served.address))  # type: ignore[arg-type]
    copy = other.new_page()
    copy.goto(f"{served.address}/workshop")
    expect(copy.get_by_role("heading", level=1)).to_have_text("Workshop")
    before = tablet.context.cookies(served.address)
    served.later(2 * DAY)
    tablet.goto(f"{served.address}/workshop")
    assert tablet.context.cookies(served.address) != before, "it was given another"
    served.later(DAY / 2)
    tablet.goto(f"{served.address}/workshop")
    expect(tablet.get_by_role("heading", level=1)).to_have_text("Workshop")
    for page in (copy, tablet):
        page.goto(f"{served.address}/workshop")
        expect(page.get_by_text("its cookie was used in two places")).to_be_visible()
    watcher = served.let_in("watcher")
    watcher.goto(f"{served.address}/devices")
    expect(watcher.get_by_text("Take care: a device was copied")).to_be_visible()
    ended = watcher.locator("#devices > li", has_text="copied tablet")
    expect(ended).to_contain_text("Ended as copied")
    ended.get_by_role("button", name="Take it off the list").click()
    expect(watcher.get_by_text("Take care")).to_have_count(0)
    for page in (watcher, copy, tablet):
        page.context.close()


@pytest.mark.parametrize("width", [768, 1024, 390])
def test_both_pages_lie_well(served: Served, width: int) -> None:
    page = served.let_in(f"a tablet {'with a long name' * 2}")
    page.set_viewport_size({"width": width, "height": 1024})
    page.goto(f"{served.address}/devices")
    page.get_by_role("button", name="code", exact=False).click()
    expect(page.locator(".code-digits")).to_have_text(re.compile(r"^\d{6}$"))
    stranger = served.jar().new_page()
    stranger.set_viewport_size({"width": width, "height": 1024})
    stranger.goto(f"{served.address}/workshop")
    for one in (page, stranger):
        one.evaluate("document.querySelectorAll('details').forEach(e => { e.open = true })")
        assert one.evaluate("document.documentElement.scrollWidth") == width
        assert one.evaluate(TARGETS, LEAST_TARGET)[1] == []
    page.context.close()
    stranger.context.close()
