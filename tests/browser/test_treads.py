"""Treads with a thumb: sizes logged wheel by wheel, the group's answer read, and the table cut up another way."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_sheets import lies_well, unfold_all

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser


def _log(tablet: Tablet, **sizes: str) -> None:
    for label, text in sizes.items():
        tablet.page.get_by_label(label.replace("_", " "), exact=True).fill(text)
    tablet.tap("Log and judge")


def _bored(tablet: Tablet) -> None:
    """Both wheels of axle 1 as far as bored: before that no tread can be turned."""
    tablet.open_axle(1)
    for side in ("Left", "Right"):
        tablet.tick(tablet.wheel(side), "received", "back_faced", "bored")


def test_two_treads_are_logged_and_compared(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    build = tablet.start_build("Treads alike", "AB")
    page = tablet.page
    _bored(tablet)
    tablet.go(f"{build}/treads")
    expect(page.get_by_role("img", name="Section through the tyre")).to_be_visible()
    # 1 in 20: the top slide at atan(1/20).
    page.get_by_role("link", name="Top slide, form tool and where to measure").tap()
    expect(page.get_by_text("swing the top slide 2.86 degrees")).to_be_visible()
    unfold_all(tablet)
    lies_well(tablet, size[0])
    page.get_by_role("link", name="Every wheel as measured").tap()
    # One lies open at a time.
    expect(page.get_by_text("swing the top slide 2.86 degrees")).to_have_count(0)
    page.locator("#wheels").get_by_role("link", name="W1", exact=True).tap()
    page.get_by_role("link", name="Log what you measured").tap()
    # The flange of this standard is at most 0.125 in thick.
    with tablet.refused(422):
        page.get_by_label("Flange thickness", exact=True).fill("1/8 inch or so")
        page.get_by_role("button", name="Log and judge").tap()
    # The page opens at the form, where the reason stands, and its top leads there by the box's name.
    expect(page.get_by_label("Flange thickness", exact=True)).to_be_in_viewport()
    page.get_by_role("alert").get_by_role("link", name="Flange thickness").tap()
    expect(page.get_by_label("Flange thickness", exact=True)).to_be_in_viewport()
    _log(tablet, Flange_thickness="0.127", Tread_diameter="5.125")
    expect(page.locator("#figure-flange_thickness")).to_contain_text("No good")
    expect(page.locator("#figure-flange_thickness")).to_contain_text("Take the flange face down")
    lies_well(tablet, size[0])
    # 0.080 in up it may be 0.125 - 0.080 tan 10 = 0.1109 in.
    page.get_by_role("link", name="Log what you measured").tap()
    _log(tablet, Flange_thickness="0.110")
    expect(page.locator("#figure-flange_thickness")).to_contain_text("Good")
    tablet.tap("All treads")
    tablet.go(f"{build}/treads?open=wheels")
    page.locator("#wheels").get_by_role("link", name="W2", exact=True).tap()
    page.get_by_role("link", name="Log what you measured").tap()
    _log(tablet, Tread_diameter="5.120")
    tablet.tap("All treads")
    groups = page.locator("#groups")
    groups.locator(".fold-row").tap()
    # pi x 0.005 in.
    expect(groups.get_by_text("slip 15.7 thou (0.399 mm) at every turn")).to_be_visible()
    expect(groups.get_by_text("No good: the treads are not alike", exact=True)).to_be_visible()
    page.locator("#fold-places > .fold-row").tap()
    page.get_by_label("Places", exact=True).select_option("even steps")
    page.get_by_label("Nearness, or step", exact=True).fill("0.1 in")
    page.get_by_label("Counted from", exact=True).select_option("the tread's middle")
    tablet.tap("Make the table")
    # Turned to 5.120, falling 1 in 20 on the radius: 0.1 in on, 0.01 in less on the diameter.
    row = page.locator("#places").get_by_role("row", name="tread 0.1000 in")
    expect(row).to_contain_text("5.1100 in")
    unfold_all(tablet)
    lies_well(tablet, size[0])
    tablet.tap("The set as made")
    expect(page.locator("#made").get_by_role("row").nth(1)).to_contain_text("Over")
    unfold_all(tablet)
    lies_well(tablet, size[0])
    tablet.go(f"{build}/treads?open=axles")
    page.locator("#axles").get_by_role("link", name="Axle 1", exact=True).tap()
    # Neither wheel is on the axle: that is said at once, and no form is offered.
    expect(page.get_by_text("Both wheels must be on the axle first")).to_be_in_viewport()
    expect(page.get_by_label("Back to back", exact=True)).to_have_count(0)
    unfold_all(tablet)
    lies_well(tablet, size[0])
