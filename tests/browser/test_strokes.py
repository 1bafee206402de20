"""Counting hand strokes with a thumb: quick taps, a page opened again, no network, taking one off, finishing."""

from __future__ import annotations

import re
import time
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Locator, expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

QUICK_TAPS = 20
QUICK_S = 3.0
# What Chromium itself writes when it has no network; the test takes the network away on purpose.
CUT_OFF = re.compile(r"Failed to load resource: net::ERR_INTERNET_DISCONNECTED")


def begin(tablet: Tablet) -> Locator:
    """A build just started, and on its first wheel a count of three passes of sixteen; gives the pad."""
    page = tablet.page
    tablet.start_build("Strokes", "AB")
    tablet.open_axle(1)
    tablet.go(f"/castings/{tablet.casting('Left')}?open=sheets")
    address = page.locator('a[href$="/strokes"]').first.get_attribute("href")
    assert address is not None
    tablet.go(address)
    page.get_by_label("Width of the crank boss").fill("8 mm")
    page.get_by_label("Depth to take off").fill("0.5 mm")
    page.get_by_label("Feed for each stroke").fill("0.5 mm")
    page.get_by_label("Strokes in a minute").fill("30")
    tablet.tap("How many strokes?")
    expect(page.get_by_text("48 strokes: 3 passes of 16 strokes")).to_be_visible()
    tablet.tap("Start counting")
    return page.locator("#pad")


def shows(tablet: Tablet, done: int) -> None:
    """The screen shows this total."""
    expect(tablet.page.locator('[data-slot="done"]')).to_have_text(str(done))


def stored(tablet: Tablet, done: int) -> None:
    """The screen says that the program has this total."""
    expect(tablet.page.locator("#kept-words")).to_have_text(f"{done} stored.")


def taps(pad: Locator, times: int) -> None:
    """So many taps, as quick as they can be made."""
    for _ in range(times):
        pad.tap(no_wait_after=True)


def forgive_the_cut(tablet: Tablet) -> None:
    """Strike out what the browser wrote of the network that was taken away, and nothing else."""
    heard = tablet.watch.complaints
    assert any(CUT_OFF.search(line) for line in heard), "the network was never away"
    heard[:] = [line for line in heard if not CUT_OFF.search(line)]


def test_counting_from_first_stroke_to_last(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    pad = begin(tablet)
    expect(pad).to_contain_text("Set the first cut")

    box = pad.bounding_box()
    assert box is not None
    width, height = size
    assert box["y"] + box["height"] <= height, "the whole pad is seen without scrolling"
    assert box["width"] * box["height"] >= width * height / 2

    start = time.monotonic()
    taps(pad, QUICK_TAPS)
    shows(tablet, QUICK_TAPS)
    assert time.monotonic() - start < QUICK_S, "no longer quick taps"
    stored(tablet, QUICK_TAPS)
    expect(pad).to_contain_text("Pass 2 of 3, next stroke 5 of 16")
    expect(pad).to_contain_text("28 left, about 1 min")

    page.reload()
    shows(tablet, QUICK_TAPS)
    tablet.button("Take one off").tap()
    shows(tablet, 19)
    stored(tablet, 19)
    page.reload()
    shows(tablet, 19)

    tablet.context.set_offline(True)
    taps(pad, 14)
    shows(tablet, 33)
    tablet.button("Take one off").tap()
    shows(tablet, 32)
    expect(pad.locator('[data-say="last"]')).to_be_visible()
    expect(pad).to_contain_text(
        "Pass 2 of 3 done. Wind the tool back, then wind on 0.0066 in (0.167 mm), the last cut."
    )
    expect(page.locator("#kept-words")).to_contain_text("32 counted, 13 not stored yet: kept on this tablet")
    # Finishing would open a page that cannot come: it waits, and says so.
    tablet.button("Finish this count").tap()
    expect(page.get_by_role("alert").filter(has_text="The program does not answer")).to_be_visible()
    tablet.context.set_offline(False)
    stored(tablet, 32)
    forgive_the_cut(tablet)

    taps(pad, 16)
    shows(tablet, 48)
    expect(pad.locator('[data-say="done"]')).to_be_visible()
    expect(pad.locator('[data-say="last"]')).to_be_hidden()
    stored(tablet, 48)
    tablet.tap("Finish this count")
    counts = page.locator("#counts")
    expect(counts).to_contain_text("48 of 48")
    expect(counts).to_contain_text("finished")
    assert page.evaluate("Object.keys(localStorage).filter((key) => key.startsWith('strokes-')).length") == 0
    page.get_by_role("link", name=re.compile("^All about W")).tap()
    page.get_by_role("link", name=re.compile("^Everything done to W1")).tap()
    expect(page.get_by_text("Finished hand strokes: 48 of 48 done.")).to_be_visible()


def test_taps_never_told_outlive_the_page(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    pad = begin(tablet)
    address = page.url.removeprefix(tablet.address)
    taps(pad, 5)
    stored(tablet, 5)
    tablet.context.set_offline(True)
    taps(pad, 3)
    tablet.button("Take one off").tap()
    shows(tablet, 7)
    expect(page.locator("#kept-words")).to_contain_text("2 not stored yet")
    forgive_the_cut(tablet)
    # The tablet's battery goes: the page is gone before the network is back.
    page.close()
    tablet.context.set_offline(False)
    tablet.page = tablet.context.new_page()
    tablet.go(address)
    shows(tablet, 7)
    stored(tablet, 7)


def test_a_second_tablet_goes_on_from_the_larger_total(program: str, open_tablet: OpenTablet) -> None:
    first, second = open_tablet(program), open_tablet(program)
    pad = begin(first)
    second.go(first.page.url.removeprefix(first.address))
    taps(pad, 9)
    stored(first, 9)
    second.page.locator("#pad").tap()
    shows(second, 9)
    expect(second.page.locator("#kept-words")).to_have_text(
        "Another tablet had counted further: its total stands."
    )
    second.page.locator("#pad").tap()
    stored(second, 10)


def test_without_script_the_pad_counts(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program, script=False)
    page = tablet.page
    begin(tablet)
    for total in (1, 2):
        with tablet.leads_on():
            page.locator("#pad").tap()
        shows(tablet, total)
    tablet.tap("Take one off")
    shows(tablet, 1)
    tablet.tap("Finish this count")
    page.get_by_role("link", name=re.compile("^Counted on ")).tap()
    expect(page.locator("#counts")).to_contain_text("1 of 48")
