"""A batch at the machine: started from the build sheet, stepped through wheel by wheel with a thumb."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser


def on_now(tablet: Tablet, mark: str, where: str) -> None:
    """The wheel that is on now, in large letters, with its place."""
    turn = tablet.page.get_by_role("region", name="On now")
    expect(turn.locator(".turn-mark")).to_have_text(mark)
    expect(turn).to_contain_text(where)


def fits_the_screen(tablet: Tablet, width: int) -> None:
    """Nothing stands out sideways."""
    assert tablet.page.evaluate("document.documentElement.scrollWidth") <= width


def test_from_wheel_to_wheel_in_a_batch(program: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    build = tablet.start_build("Batches", "AB")
    tablet.tap("Begin")
    expect(page.get_by_role("heading", level=1)).to_have_text("At the bench, with stamps, chalk and rule")
    on_now(tablet, "W1", "Axle 1, left")
    fits_the_screen(tablet, size[0])

    done = tablet.button("Done: tick it and go on to W2")
    box = done.bounding_box()
    assert box is not None
    assert box["height"] >= 48, "large enough for a thumb"
    assert box["y"] + box["height"] <= size[1], "seen without scrolling"

    tablet.tap("Done: tick it and go on to W2")
    on_now(tablet, "W2", "Axle 1, right")
    expect(page.get_by_text("1 of 8 done")).to_be_visible()
    tablet.tap("Back to W1, the one before")
    expect(page.get_by_role("region", name="On now")).to_contain_text("W1: done here.")
    tablet.tap("Go on to W2")
    tablet.tap("Skip W2 for now")
    on_now(tablet, "W3", "Axle 2, left")
    # The two spares are looked over with the rest, and go into no other batch.
    for following in ("W4", "W5", "W6", "W7", "W8"):
        tablet.tap(f"Done: tick it and go on to {following}")
    tablet.tap("Done: tick it")
    end = page.get_by_role("region", name="What comes now")
    expect(end).to_contain_text("This batch is done but for W2.")
    expect(end).to_contain_text("Next: In the four-jaw chuck, back outward")
    tablet.tap("Take up W2 again")
    tablet.tap("Done: tick it")
    expect(end).to_contain_text("This batch is done.")
    fits_the_screen(tablet, size[0])

    tablet.tap("Start the next batch")
    expect(page.get_by_role("heading", level=1)).to_have_text("In the four-jaw chuck, back outward")
    on_now(tablet, "W1", "Axle 1, left")
    tablet.go(build)
    expect(page.locator("#next")).to_contain_text("Next, in the four-jaw chuck, back outward: 0 of 6 done")
    expect(page.locator("#next h2")).to_contain_text("W1, W2, W3, W4, W5, W6: set true and face the back")
    fits_the_screen(tablet, size[0])
    tablet.tap("Go on")
    on_now(tablet, "W1", "Axle 1, left")


def test_a_bore_is_logged_on_the_way(program: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    tablet.start_build("Bores in a batch", "AB")
    for first, spares in ((True, ("W7", "W8")), (False, ())):
        tablet.tap("Begin" if first else "Start the next batch")
        for following in ("W2", "W3", "W4", "W5", "W6", *spares):
            tablet.tap(f"Done: tick it and go on to {following}")
        tablet.tap("Done: tick it")
    tablet.tap("Start the next batch")
    batch = page.url.removeprefix(tablet.address)
    expect(page.get_by_role("heading", level=1)).to_have_text("In the four-jaw chuck, front outward")
    on_now(tablet, "W1", "Bore to between")
    done = tablet.button("Done: tick it and go on to W2").bounding_box()
    assert done is not None
    assert done["y"] + done["height"] <= size[1], "seen without scrolling, below the sizes and the metal"
    fits_the_screen(tablet, size[0])
    tablet.tap("Done: tick it and go on to W2")
    on_now(tablet, "W1", "Measure and log the bore")
    tablet.tap("Log the bore of W1")
    tablet.log("Left", "bore", "0.7512 in")
    expect(tablet.line("Left")).to_contain_text("gap 1.2 thou")
    tablet.tap("Back to the batch that is running")
    assert page.url.split("?")[0].endswith(batch.split("?")[0])
    on_now(tablet, "W2", "Axle 1, right")
    expect(page.get_by_text("1 of 6 done")).to_be_visible()
