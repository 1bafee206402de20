"""Weighing the parts, typing them and reading whether the balance matters, with a thumb on both sizes of tablet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser


def test_from_nothing_to_a_verdict_and_a_slower_train(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    build = tablet.start_build("Balance", "AB")
    tablet.go(f"{build}/balance")
    asked = page.locator("#missing")
    expect(asked).to_contain_text("Speed on the track")
    page.get_by_role("link", name="Type the figures").tap()
    for label, text in (
        ("What goes round with a crankpin of the driven axle", "90 g"),
        ("What goes to and fro in one cylinder", "120 g"),
        ("From the middle of one outside cylinder to the middle of the other", "120 mm"),
        ("Speed on the track", "8 km/h"),
        ("Load on one wheel", "120"),
        ("From the axle to the weight's outside", "45 mm"),
        ("From the axle to the weight's straight edge", "18 mm"),
        ("Thickness of the weight", "8 mm"),
    ):
        page.get_by_label(label).fill(text)
    with tablet.refused(422):
        tablet.button("Save and work it out").tap()
    expect(page.locator("#work-wheel_load-error")).to_contain_text("has no unit")
    page.get_by_label("Load on one wheel").fill("120 N")
    tablet.tap("Save and work it out")
    expect(asked).to_have_count(0)
    page.get_by_role("link", name="The weight as cast").tap()
    expect(page.locator("#cast")).to_contain_text("92.46 g")
    verdict = page.locator("#verdict")
    expect(verdict).to_contain_text("Take care: at this speed the balance matters")
    # Both faces are seen, each with its weight hatched and the one needed on its arm.
    for side in ("left", "right"):
        face = page.locator(f"#wheel-{side} svg")
        expect(face).to_be_visible()
        expect(face.locator("[fill='url(#hatch-cast)'], circle.link")).to_have_count(2)
    page.get_by_role("link", name="Change the figures").tap()
    page.get_by_label("Speed on the track").fill("3 km/h")
    tablet.tap("Save and work it out")
    expect(verdict).to_contain_text("Good: at this speed the balance does not matter")
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    tablet.tap("Another coupled axle")
    expect(asked).to_contain_text("What goes round with a crankpin of another coupled axle")
    tablet.tap("Balance")
    expect(page.get_by_role("heading", level=1)).to_have_text("Balance")
