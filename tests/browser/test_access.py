"""For whoever sees little, uses a keyboard, or has the sheet read out: WCAG 2.2 A and AA as far as axe can tell."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import expect

from tests.browser.conftest import PAUSE_MS
from tests.browser.test_sheets import OVER, SHEETS, unfold_all

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

_AXE = Axe()
_RULES = {
    "resultTypes": ["violations"],
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
}
# WCAG 2.2, 1.4.10: no scrolling in two directions at this width.
_NARROW = 320


def violations(tablet: Tablet) -> list[str]:
    """What axe finds wrong with the sheet as it stands: rule, place and why."""
    found: list[dict[str, Any]] = _AXE.run(tablet.page, options=_RULES).response["violations"]
    return [
        f"{tablet.page.url} {one['id']}: {node['target']} {node['html'][:120]}"
        for one in found
        for node in one["nodes"]
    ]


def _theme(tablet: Tablet, size: tuple[int, int]) -> None:
    """The dark sheet where the tablet lies, the light one where it stands."""
    tablet.page.emulate_media(color_scheme="dark" if size[0] > size[1] else "light")


def test_axe_finds_nothing_wrong_with_any_sheet(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(demo)
    _theme(tablet, size)
    wrong = []
    for path in SHEETS:
        tablet.go(path)
        unfold_all(tablet)
        wrong += violations(tablet)
    assert wrong == []


def test_axe_finds_nothing_wrong_after_an_answer_or_a_refusal(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    _theme(tablet, size)
    tablet.go("/builds/new")
    tablet.page.get_by_text("Axles and wheels", exact=True).tap()
    tablet.page.get_by_label("Tread diameter").fill("large")
    with tablet.refused(422):
        tablet.tap("Save the build")
    wrong = violations(tablet)
    tablet.start_build("Read out", "JD")
    tablet.open_axle(1)
    left = tablet.wheel("Left")
    tablet.tick(left, "received", "back_faced")
    wrong += violations(tablet)
    with tablet.refused(422):
        tablet.box(left, "pressed").tap()
    expect(left.get_by_role("alert").or_(tablet.page.get_by_role("alert")).first).to_be_visible()
    wrong += violations(tablet)
    tablet.due(f"bore-{tablet.casting('Left')}").locator("[data-next]").first.fill("0.7512")
    expect(tablet.page.locator("#due-band .trial")).to_be_visible()
    wrong += violations(tablet)
    tablet.page.get_by_role("button", name="Write").tap()
    expect(tablet.page.locator("#due .written")).to_be_visible()
    tablet.page.locator("#heads a.line").first.tap()
    expect(tablet.page.locator("#slip")).not_to_be_empty()
    wrong += violations(tablet)
    assert wrong == []


def test_a_sheet_with_a_fault_is_found_out(demo: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(demo)
    tablet.go("/builds/1")
    tablet.page.evaluate("document.querySelector('main').append(document.createElement('input'))")
    assert [one for one in violations(tablet) if " label: " in one]


def test_every_sheet_fits_a_narrow_or_enlarged_screen(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(demo)
    tablet.page.set_viewport_size({"width": _NARROW, "height": 256 if size[0] > size[1] else 640})
    over = []
    for path in SHEETS:
        tablet.go(path)
        width = tablet.page.evaluate("document.documentElement.scrollWidth")
        if width > _NARROW:
            over.append((path, width, tablet.page.evaluate(OVER, _NARROW)[:3]))
    assert over == []


def test_what_was_just_done_is_read_out_and_nothing_else(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    tablet.start_build("Said aloud", "JD")
    tablet.open_axle(1)
    left, said = tablet.wheel("Left"), tablet.page.locator("#said")
    mark = tablet.page.locator("#heads .mark").first.inner_text()
    tablet.tick(left, "received")
    expect(said).to_have_text(f"{mark} received: ticked")
    tablet.page.wait_for_timeout(PAUSE_MS)
    tablet.box(left, "received").tap()
    expect(said).to_have_text(f"{mark} received: not ticked")
    tablet.page.wait_for_timeout(PAUSE_MS)
    tablet.tick(left, "received", "back_faced")
    with tablet.refused(422):
        tablet.box(left, "pressed").tap()
    # The refusal is an alert of its own.
    expect(said).to_be_empty()
    tablet.due(f"bore-{tablet.casting('Left')}").locator("[data-next]").first.fill("0.7512")
    tablet.page.get_by_role("button", name="Write").tap()
    expect(said).to_contain_text(f"Written. {mark} bore.")


def test_progress_shows_where_the_device_chooses_the_colours(demo: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(demo)
    tablet.page.emulate_media(forced_colors="active")
    tablet.go("/axles/2")
    unseen = """() => [...document.querySelectorAll('.box')].filter((e) => e.checkVisibility()).filter((e) => {
      const style = getComputedStyle(e);
      return !(parseFloat(style.borderTopWidth) > 0) || style.borderTopColor === style.backgroundColor;
    }).length"""
    assert tablet.page.evaluate(unseen) == 0
    # The bar is drawn in colours that differ: along its middle there are the done part's and the other's.
    bar = tablet.page.get_by_role("progressbar", name="Stages done").first
    with Image.open(BytesIO(bar.screenshot())) as picture:
        done, left = (
            picture.convert("RGB").getpixel((round(picture.width * part), picture.height // 2))
            for part in (0.1, 0.9)
        )
    assert done != left
