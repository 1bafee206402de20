"""Receiving with a thumb: sizes and readings typed at the bench, the verdict read, put right, and the castings ranked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_sheets import lies_well

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser


def _type(page: Page, texts: dict[str, str]) -> None:
    for label, text in texts.items():
        page.get_by_label(label, exact=True).fill(text)


def test_a_casting_is_received_and_ranked(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    build = tablet.start_build("As they came", "AB")
    page = tablet.page
    tablet.go(f"{build}/receiving")
    expect(page.get_by_text("No casting is measured yet")).to_be_visible()
    with tablet.leads_on():
        page.get_by_role("link", name="W1", exact=True).tap()
    # Nothing is measured, so the form stands open, within two screens, as a tablet is held upright.
    if size[1] > size[0]:
        assert page.evaluate("document.documentElement.scrollHeight") <= 2 * size[1]
    page.get_by_text("How far the rim is out, and its face leans").tap()
    # The drawing proposed is 5 1/8 on the tread with 0.140 of flange: 5.405 over it, a rim of 0.505 and a boss of 3/4.
    sizes = {
        "Rough rim, smallest diameter": "5.53",
        "Rough rim, largest diameter": "5.50",
        "Rim, back to front": "0.6",
        "Boss, back to front": "0.86",
        "Boss proud of the rim at the back": "0.03",
        "Weight": "2 lb",
    }
    _type(page, sizes)
    edge = page.get_by_role("group", name="Inside edge of the rim")
    for hour, text in {12: "+8 thou", 3: "0", 6: "-8 thou", 9: "0"}.items():
        edge.get_by_label(f"{hour} o'clock", exact=True).fill(text)
    with tablet.refused(422):
        page.get_by_role("button", name="Write it down").tap()
    # The head of the form leads to the field by its label; why stands beside the field.
    expect(page.get_by_role("alert").get_by_role("link", name="Rough rim, largest diameter")).to_be_visible()
    said = page.get_by_text("type them the other way round or measure again")
    expect(said).to_have_count(1)
    expect(said).to_be_visible()
    expect(said).to_have_attribute("id", "rim_most-error")
    page.get_by_label("Rough rim, largest diameter", exact=True).fill("5.55")
    page.get_by_text("Chilled skin").tap()
    tablet.tap("Write it down")
    # Rim back 0 and boss front 0.83 - 0.75 = 0.08: 0.04 on each, less the least cut of 0.020 in is 0.020.
    expect(page.get_by_text("It cleans up: rim back decides, with 20.0 thou (0.508 mm) more")).to_be_visible()
    expect(page.get_by_role("img", name="Section through W1")).to_be_visible()
    expect(page.get_by_text("Chilled skin: too hard for a fine cut")).to_be_visible()
    page.get_by_role("link", name="Metal on each face, and how this was worked out").tap()
    expect(page.locator("#slip-faces table").first).to_be_visible()
    lies_well(tablet, size[0])
    # (5.53 - 5.405)/2 - 0.008
    expect(page.get_by_role("cell", name="0.0545 in (1.384 mm)", exact=True)).to_be_visible()
    page.get_by_role("link", name="Correct or add to what is written down").tap()
    expect(page.get_by_label("Rough rim, smallest diameter", exact=True)).to_have_value("5.53 in")
    tablet.tap("All castings side by side")
    expect(page.get_by_role("row").nth(1)).to_contain_text("W1")
    expect(page.get_by_role("row").nth(1)).to_contain_text("Chilled skin")
    lies_well(tablet, size[0])
