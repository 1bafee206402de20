"""Heights logged by touch: the verdict changes from not right to right, and a misnamed branch is refused."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Page, expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

_ASK = "Is it quartered?"


def _metric(page: Page) -> None:
    """The drawing in inches as proposed, with a throw of 22.225 mm."""
    page.get_by_label("Crank throw").fill("22.225 mm")


def _stand(page: Page, side: str, where: str) -> None:
    """Tap where a pin stands: the whole framed label with its picture is the target."""
    page.locator(f"#{side}-pin label", has_text=where).tap()


def _heights(page: Page, axle: str, right: str, left: str, sure: str = "0.005 mm") -> None:
    page.get_by_label("Height of the axle over the plate").fill(axle)
    page.get_by_label("Height of the right pin").fill(right)
    page.get_by_label("Height of the left pin").fill(left)
    page.get_by_label("Or: a height is sure to").fill(sure)


def _open(tablet: Tablet) -> None:
    tablet.start_build("Quarters", "AB", _metric)
    tablet.open_axle(1)
    tablet.go(f"{tablet.page.url.removeprefix(tablet.address).split('#')[0]}/quartering")


def test_log_heights_and_see_the_verdict_change(open_tablet: OpenTablet, program: str) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    _open(tablet)
    picture = page.locator("svg.quarter-picture")
    expect(picture).to_be_visible()

    # Both pins named in front: refused beside the choice, and what was typed is still there.
    _heights(page, "60 mm", "75.62 mm", "75.20 mm")
    _stand(page, "right", "In front of the axle")
    _stand(page, "left", "In front of the axle")
    with tablet.refused(422):
        page.get_by_role("button", name=_ASK).tap()
    expect(page.locator("#branches-error")).to_contain_text("Both pins cannot be in front of the axle")
    expect(page.get_by_label("Height of the left pin")).to_have_value("75.20 mm")

    # 180 - asin(15.20/22.225) - asin(15.62/22.225) = 92.197
    _stand(page, "left", "Behind the axle")
    tablet.tap(_ASK)
    verdict = page.locator("#result .verdict")
    expect(verdict).to_have_attribute("data-answer", "not")
    expect(verdict).to_contain_text("92.197°")
    expect(page.locator("#turn")).to_contain_text(
        "Seen from the left side, turn the left wheel anticlockwise (forwards)"
    )
    expect(picture).to_have_attribute("aria-label", re.compile("right pin in front and above the axle"))

    # Turned, measured again: only the left pin's height has changed.
    page.get_by_label("Height of the left pin").fill("75.80 mm")
    tablet.tap(_ASK)
    expect(verdict).to_have_attribute("data-answer", "serves")
    expect(verdict).to_contain_text("90.038°")
    expect(page.locator("#turn")).to_contain_text("Nothing needs turning.")

    # Less sure heights: it can no longer be told.
    page.get_by_label("Or: a height is sure to").fill("0.05 mm")
    tablet.tap(_ASK)
    expect(verdict).to_have_attribute("data-answer", "caution")
    width = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert width == 0

    tablet.tap("All coupled axles side by side")
    expect(page.get_by_role("heading", level=1)).to_have_text("Quartering, all axles")
    expect(page.locator("#axle-1")).to_contain_text("90.038°")


def test_every_target_is_large_enough_for_a_thumb(open_tablet: OpenTablet, program: str) -> None:
    tablet = open_tablet(program, script=False)
    _open(tablet)
    boxes = tablet.page.locator(
        "#heights input:not([type=hidden]):not([type=radio]), #heights select, #heights button, #heights .choices label"
    )
    for box in boxes.all():
        found = box.bounding_box()
        assert found is not None and found["height"] >= 48
