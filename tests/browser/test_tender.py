"""An engine with a tender: another pattern of wheel is added, judged by its own drawing, and its axle put together."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser

BACK_FACED = [f"back_faced.{step}" for step in ("rim_true", "face_true", "to_size", "not_bored")]


def test_a_tender_wheel_is_judged_by_its_own_drawing(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    build = tablet.start_build("Engine and tender", "AB")
    tablet.handled_at_once(build)
    tablet.go(f"{build}?open=drawing")
    tablet.describe_tender("4 6", "T1 T2 T3 T4 T5")
    with tablet.refused(422):
        page.get_by_role("button", name="Save the pattern").tap()
    expect(page.locator("#axles-error")).to_contain_text("Axle 5 would be missing")
    page.get_by_label("Its axles").fill("4 5")
    tablet.tap("Save the pattern")
    expect(page.locator(".engine")).to_contain_text("T1")

    tablet.tap("Axle 4, tender")
    left, right = tablet.wheel("Left"), tablet.wheel("Right")
    expect(tablet.head("Left")).to_contain_text("T1")
    expect(page.locator("#list")).not_to_contain_text("Quartered")
    for side in (left, right):
        tablet.tick(side, "received", *BACK_FACED, "back_faced", "bored")
    for name in ("Left", "Right"):
        tablet.log(name, "bore", "0.5012 in", instrument="bore gauge")
        # By the driving wheels' drawing, 3/4 in, it would be a quarter of an inch too small.
        expect(tablet.line(name)).to_contain_text("Good: gap 1.2 thou")

    axle = page.url.removeprefix(tablet.address)
    tablet.go(f"{axle}/assembly")
    tablet.tap("+ Left axlebox")
    expect(page.locator("#list")).to_contain_text("Left axlebox")
    tablet.go(axle)
    tablet.log("Left", "seat", "0.5000 in")
    tablet.log("Right", "seat", "0.5000 in")
    tablet.tick(left, "pressed")
    tablet.all_the_same(right, tablet.box(right, "pressed"), "Left axlebox", "it is split")
    expect(tablet.box(right, "pressed")).to_have_attribute("aria-pressed", "true")
    tablet.settle()
