"""A number pad has no stroke and no unit: the row of keys above it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser


def _key(page: Page, words: str) -> Locator:
    return page.get_by_role("group", name="Keys for a length").get_by_role("button", name=words, exact=True)


def test_a_fraction_and_a_unit_are_typed_on_a_number_pad(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    tablet.start_build("Keys", "JD")
    tablet.open_axle(1)
    tablet.tick(tablet.wheel("Left"), "received", "back_faced")
    page, box = tablet.page, tablet.due(f"bore-{tablet.casting('Left')}").locator("[data-next]").first
    expect(box).to_have_attribute("inputmode", "decimal")
    box.tap()
    box.press_sequentially("3")
    _key(page, "/").tap()
    box.press_sequentially("4")
    expect(box).to_be_focused()
    _key(page, "in").tap()
    expect(box).to_have_value("3/4 in")
    _key(page, "mm").tap()
    expect(box).to_have_value("3/4 mm")
    _key(page, "in").tap()
    expect(page.locator("#due-band .trial")).to_be_visible()
    page.get_by_role("button", name="Write").tap()
    expect(page.locator("#due .written")).to_contain_text("0.7500 in (19.050 mm)")
    expect(page.locator("#keys")).to_be_hidden()


def test_the_keys_cover_neither_the_box_nor_write(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    tablet.start_build("Keys in the way", "JD")
    tablet.open_axle(1)
    tablet.tick(tablet.wheel("Left"), "received", "back_faced")
    page, due = tablet.page, tablet.due(f"bore-{tablet.casting('Left')}")
    # The keyboard is out.
    page.set_viewport_size({"width": size[0], "height": {1024: 320, 768: 560}[size[0]]})
    due.locator("[data-next]").first.tap()
    due.locator("[data-next]").first.press_sequentially("0.7")
    top = page.locator("#keys").bounding_box()
    assert top is not None
    for one in (due.locator("[data-next]").first, page.get_by_role("button", name="Write")):
        inside = one.bounding_box()
        assert inside is not None
        assert inside["y"] >= 0
        assert inside["y"] + inside["height"] <= top["y"]


def test_without_script_a_length_has_the_whole_keyboard(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program, script=False)
    tablet.start_build("No script", "JD")
    tablet.open_axle(1)
    tablet.tick(tablet.wheel("Left"), "received", "back_faced")
    lengths = tablet.page.locator("input[data-length]")
    assert lengths.count() > 0
    assert set(lengths.evaluate_all("all => all.map(one => one.inputMode)")) == {"text"}


def test_a_pad_without_a_point_gets_one(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    tablet.start_build("Point", "JD")
    tablet.open_axle(1)
    tablet.tick(tablet.wheel("Left"), "received", "back_faced")
    page, box = tablet.page, tablet.due(f"bore-{tablet.casting('Left')}").locator("[data-next]").first
    box.tap()
    box.press_sequentially("19")
    _key(page, "point").tap()
    box.press_sequentially("08 mm")
    expect(box).to_have_value("19.08 mm")
    # A pad that has a comma in its place is understood as well.
    box.fill("19,08")
    _key(page, "mm").tap()
    page.get_by_role("button", name="Write").tap()
    expect(page.locator("#due .written")).to_contain_text("0.7512 in (19.080 mm)")


def test_the_keys_cover_no_words(demo: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(demo)
    page = tablet.page
    page.set_viewport_size({"width": size[0], "height": {1024: 480, 768: 560}[size[0]]})
    tablet.go("/castings/2/bore")
    form = page.locator("form.log")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    hint = form.locator("fieldset .hint", has_text="One reading will do")
    box = form.locator("input[data-length]").first
    # The hint stands just where the keys are to come.
    hint.evaluate("e => scrollBy(0, e.getBoundingClientRect().bottom - innerHeight)")
    box.focus()
    expect(page.locator("#keys")).to_be_visible()
    page.wait_for_timeout(200)
    top = page.locator("#keys").bounding_box()
    said = hint.bounding_box()
    assert top is not None and said is not None
    assert said["y"] + said["height"] <= top["y"]
    expect(box).to_be_in_viewport()
    # And nothing at the foot of the page is out of reach.
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    foot = page.locator(".title-block").bounding_box()
    assert foot is not None
    assert foot["y"] + foot["height"] <= top["y"]
