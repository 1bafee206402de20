"""A batch at the machine: started from the build sheet, stepped through wheel by wheel with a thumb."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PAUSE_MS

if TYPE_CHECKING:
    from playwright.sync_api import Locator

    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser


# With the browser's own bars less is left of the screen.
BARS = {(768, 1024): (768, 930), (1024, 768): (1024, 670)}
FIGURES_PX, TALL_PX = 48, 56


def on_now(tablet: Tablet, mark: str, where: str) -> None:
    """The wheel that is on now, in large letters, with its place."""
    turn = tablet.page.get_by_role("region", name="On now")
    expect(turn.locator(".turn-mark")).to_have_text(mark)
    expect(turn).to_contain_text(where)


def fits_the_screen(tablet: Tablet, width: int) -> None:
    """Nothing stands out sideways."""
    assert tablet.page.evaluate("document.documentElement.scrollWidth") <= width


def on_the_first_screen(tablet: Tablet, size: tuple[int, int], *wanted: Locator) -> None:
    """All of it is seen without scrolling, with and without the browser's bars; what is tapped is large."""
    page = tablet.page
    for width, height in (size, BARS[size]):
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("scrollTo(0, 0)")
        for one in wanted:
            box = one.bounding_box()
            assert box is not None, one
            assert box["y"] >= 0 and box["y"] + box["height"] <= height, (one, box, height)
            if one.evaluate("one => one.matches('.turn-buttons *')"):
                assert box["height"] >= TALL_PX, one
        fits_the_screen(tablet, width)
        assert page.evaluate("document.documentElement.scrollHeight") <= 2 * height
    page.set_viewport_size({"width": size[0], "height": size[1]})


def test_from_wheel_to_wheel_in_a_batch(program: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    build = tablet.start_build("Batches", "AB")
    tablet.tap("Begin")
    expect(page.get_by_role("heading", level=1)).to_have_text("At the bench: receive")
    on_now(tablet, "W1", "Axle 1, left")
    expect(page.get_by_text("wheel 1 of 8")).to_be_visible()
    on_the_first_screen(tablet, size, page.locator(".turn-mark"), tablet.button("Done: W1, next W2"))

    tablet.tap("Done: W1, next W2")
    on_now(tablet, "W2", "Axle 1, right")
    expect(page.get_by_text("1 of 8 done")).to_be_visible()
    tablet.tap("Back to W1, the one before")
    expect(page.get_by_role("region", name="On now")).to_contain_text("W1: done here.")
    tablet.tap("Go on to W2")
    tablet.tap("Leave W2 for now")
    on_now(tablet, "W3", "Axle 2, left")
    # The two spares are looked over with the rest, and go into no other batch.
    for mark, following in pairwise(("W3", "W4", "W5", "W6", "W7", "W8")):
        tablet.tap(f"Done: {mark}, next {following}")
    tablet.tap("Done: W8")
    end = page.get_by_role("region", name="What comes now")
    expect(end).to_contain_text("This batch is done but for W2.")
    expect(end).to_contain_text("Next: In the four-jaw chuck, back outward")
    tablet.tap("Take up W2 again")
    tablet.tap("Done: W2")
    expect(end).to_contain_text("This batch is done.")
    fits_the_screen(tablet, size[0])

    tablet.tap("Start the next batch")
    expect(page.get_by_role("heading", level=1)).to_have_text("Back outward: face")
    on_now(tablet, "W1", "In the four-jaw chuck, back outward")
    tablet.go(build)
    expect(page.locator("#next")).to_contain_text("Next, in the four-jaw chuck, back outward: 0 of 6 done")
    expect(page.locator("#next h2")).to_contain_text(
        "W1, W2, W3, W4, W5, W6: see it run true and face the back"
    )
    fits_the_screen(tablet, size[0])
    tablet.tap("Go on")
    on_now(tablet, "W1", "Axle 1, left")


def unmeasured(tablet: Tablet, words: str) -> None:
    """A wheel that nobody has measured is called done: it is asked, and let pass."""
    with tablet.refused(409):
        tablet.button(words).tap()
    expect(tablet.page.get_by_role("alert").filter(has_text="Are you sure?")).to_contain_text(
        "Stop: measure first on W"
    )
    tablet.tap("Tick it all the same")


def to_the_bores(tablet: Tablet, name: str) -> None:
    """A build of its own with its wheels faced at the back, and the batch of bores begun."""
    tablet.start_build(name, "AB")
    wheels = ("W1", "W2", "W3", "W4", "W5", "W6")
    tablet.tap("Begin")
    for mark, following in pairwise((*wheels, "W7", "W8")):
        tablet.tap(f"Done: {mark}, next {following}")
    tablet.tap("Done: W8")
    tablet.tap("Start the next batch")
    # It is asked of the first; of the others it is said on their cards.
    first, *rest = (f"Done: {mark}, next {following}" for mark, following in pairwise(wheels))
    unmeasured(tablet, first)
    for words in (*rest, "Done: W6"):
        expect(tablet.page.locator("#passes")).to_contain_text("Done lets it pass, as on W1")
        tablet.tap(words)
    tablet.tap("Start the next batch")
    expect(tablet.page.get_by_role("heading", level=1)).to_have_text("Front outward: bore")


def test_a_bore_is_logged_on_the_way(program: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    to_the_bores(tablet, "Bores in a batch")
    batch = page.url.split("?")[0]
    on_now(tablet, "W1", "bore to")
    front, write = page.get_by_label("front", exact=True), tablet.button("Write")
    done = page.get_by_role("button", name=re.compile(r"Done: W\d"))
    on_the_first_screen(
        tablet,
        size,
        page.locator(".turn-mark"),
        *page.locator(".figure-big").all(),
        front,
        write,
        done,
        tablet.button("Leave W1 for now"),
    )
    assert page.locator(".figure-now strong").count() >= 3
    for figure in page.locator(".figure-now strong").all():
        assert figure.evaluate("one => parseFloat(getComputedStyle(one).fontSize)") >= FIGURES_PX
    for step in page.locator(".turn-step").all():
        box = step.bounding_box()
        assert box is not None and box["height"] >= 48

    # A step is ticked without a new page, so that what is typed meanwhile stays.
    front.fill("0.7512 in")
    drilled = page.get_by_role("button", name="Drilled, leaving metal")
    drilled.tap()
    expect(drilled).to_have_attribute("aria-pressed", "true")
    expect(front).to_have_value("0.7512 in")
    # What it would come to is said as it is typed, and nothing slides away under the thumb for it.
    before = write.bounding_box()
    front.fill("0.7512")
    expect(page.locator(".trial")).to_contain_text("Not written yet. Good: gap 1.2 thou")
    assert write.bounding_box() == before
    unmeasured(tablet, "Done: W1")
    on_now(tablet, "W1", "Measure and log the bore")

    front.fill("0.75x")
    with tablet.refused(422):
        write.tap()
    on_now(tablet, "W1", "Measure and log the bore")
    expect(front).to_have_value("0.75x")
    expect(front).to_be_focused()
    on_the_first_screen(tablet, size, front)
    front.fill("0.7512 in")
    page.wait_for_timeout(PAUSE_MS)
    tablet.tap("Write")
    assert page.url.split("?")[0] == batch
    on_now(tablet, "W2", "Axle 1, right")
    expect(page.locator("#due")).to_contain_text("Written: W1 bore 0.7512 in (19.080 mm). Good: gap 1.2 thou")
    expect(page.locator("#due")).to_contain_text("Due: W2 bore")
    expect(page.get_by_text("1 of 6 done")).to_be_visible()
    came_out = page.locator(".figure-big", has_text="W1 came out")
    expect(came_out).to_contain_text("0.7512")
    on_the_first_screen(
        tablet, size, page.locator(".turn-mark"), came_out, page.locator(".written"), front, write, done
    )
    # Measured while it is still in the chuck, and then ticked: on to the next.
    front.fill("0.7513")
    tablet.tap("Write")
    on_now(tablet, "W2", "Written: W2 bore 0.7513 in (19.083 mm). Good")
    tablet.tap("Done: W2, next W3")
    on_now(tablet, "W3", "Due: W3 bore")
    expect(page.get_by_text("2 of 6 done")).to_be_visible()
    assert page.url.split("?")[0] == batch


def test_the_keys_leave_write_to_be_tapped(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    """The row of keys stands above the foot of the screen, where the buttons of a batch are."""
    tablet = open_tablet(program)
    page = tablet.page
    to_the_bores(tablet, "Keys in a batch")
    for height in (size[1], BARS[size][1]):
        page.set_viewport_size({"width": size[0], "height": height})
        page.reload()
        page.get_by_label("front", exact=True).tap()
        keys = page.locator("#keys")
        expect(keys).to_be_visible()
        page.wait_for_timeout(200)
        row = keys.bounding_box()
        assert row is not None
        for words in ("Write", "Done: W1", "Leave W1 for now"):
            box = tablet.button(words).bounding_box()
            assert box is not None
            assert box["y"] >= 0 and box["y"] + box["height"] <= row["y"], (words, box, row)
    page.get_by_label("front", exact=True).press_sequentially("0.7512")
    page.wait_for_timeout(PAUSE_MS)
    before = tablet.button("Write").bounding_box()
    assert before is not None
    assert before["y"] + before["height"] <= row["y"]
    # The lower part of it.
    page.touchscreen.tap(before["x"] + 40, before["y"] + before["height"] - 6)
    on_now(tablet, "W1", "Written: W1 bore 0.7512 in")


def test_a_batch_without_script(program: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(program, script=False)
    page = tablet.page
    to_the_bores(tablet, "Bores without script")
    with tablet.leads_on():
        page.get_by_role("button", name="Drilled, leaving metal").tap()
    expect(page.get_by_role("button", name="Drilled, leaving metal")).to_have_attribute(
        "aria-pressed", "true"
    )
    page.get_by_label("middle", exact=True).fill("0.7512")
    tablet.tap("Write")
    on_now(tablet, "W1", "Written: W1 bore 0.7512 in (19.080 mm). Good: gap 1.2 thou")
    with tablet.leads_on():
        page.get_by_role("link", name="All wheels: 0 of 6 done").tap()
    expect(page.locator("#turns")).to_contain_text("on now")
    with tablet.leads_on():
        page.get_by_role("link", name="all", exact=True).tap()
    expect(page.locator("#slip-cautions")).to_contain_text("Wear eye protection")
