"""From an empty workshop to the speed to select and whether the chuck will swing, by thumb."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser


def test_machines_put_down_then_speeds_and_swing(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    build = tablet.start_build("Speeds", "AB")
    tablet.go("/workshop?open=machines")
    # Either size of the tablet comes here with the same data file: the second time nothing is added.
    tablet.tap("A small lathe, a drilling machine and a chuck to begin with")
    expect(page.locator("#machines")).to_contain_text("small lathe, invented figures")

    tablet.go(build)
    casting = page.locator('a[href^="/castings/"]').first.get_attribute("href")
    assert casting is not None
    own = casting.split("/")[2].partition("#")[0]
    tablet.go(f"/castings/{own}/speeds")
    first = page.locator("details.speed-card").first
    expect(first).to_contain_text("Face the back, rim and boss")
    expect(first.locator(".big-figure")).to_contain_text("rpm")
    with tablet.leads_on():
        first.get_by_role("link", name="Try another size for this").tap()
    page.get_by_label("Diameter").fill("900 mm")
    tablet.tap("Reckon with these")
    expect(first.locator(".big-figure")).to_have_text("No speed is low enough")
    expect(first.locator(".refusal").first).to_contain_text("back-gear")
    page.get_by_role("link", name="The other operations").tap()
    other = page.locator("details.speed-card", has_text="Ream the bore")
    other.locator("summary").first.tap()
    expect(other).to_have_attribute("open", "")

    tablet.tap("Will it swing?")
    page.get_by_text("Normal, steps rising outward").tap()
    page.get_by_label("Diameter they grip").fill("140 mm")
    page.get_by_label("Largest diameter of the work").fill("140 mm")
    page.get_by_label("From the chuck's face").fill("50 mm")
    tablet.tap("Will it swing?")
    expect(page.locator("#answer")).to_contain_text("Take care: only in the gap")
    expect(page.locator("#too-far")).to_contain_text("one third")
    page.get_by_text("Reversed", exact=True).tap()
    tablet.tap("Will it swing?")
    expect(page.locator("#answer")).to_contain_text("Good: it swings")
    expect(page.get_by_role("img", name="End-on view")).to_be_visible()
