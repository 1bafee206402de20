"""A set comes back from service: painted, worn, judged, taken back to tread turned by one tap, and out of it again."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_sheets import lies_well, unfold_all

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser


def _painted(tablet: Tablet) -> None:
    """The invented set is ready for its rods: its six wheels are painted all the same."""
    for axle in (4, 5, 6):
        tablet.go(f"/axles/{axle}")
        for side in (tablet.wheel("Left"), tablet.wheel("Right")):
            tablet.all_the_same(side, tablet.box(side, "painted"), "the rods bind", "it runs")
            expect(tablet.box(side, "painted")).to_have_attribute("aria-pressed", "true")


def _wear(tablet: Tablet, mark: str, tread: str, flange: str) -> None:
    page = tablet.page
    page.get_by_role("link", name=f"Log the wear of {mark}", exact=True).tap()
    for label, text in (
        ("Worn tread, diameter", tread),
        ("Worn flange, thickness", flange),
        ("Worn flange, height", "0.147"),
        ("Tread hollow by", "3 thou"),
    ):
        page.get_by_label(label, exact=True).fill(text)
    # Where to measure a flange is proposed.
    expect(page.get_by_label("Worn flange measured above the tread by", exact=True)).to_have_value("0.08 in")
    tablet.tap("Log and judge")


def test_a_set_is_taken_back_and_comes_back_out(
    open_tablet: OpenTablet,
    size: tuple[int, int],
    run_program: Callable[..., AbstractContextManager[str]],
    address_of: Callable[[str], str],
    tmp_path: Path,
) -> None:
    with run_program(tmp_path, "--demo") as printed:
        tablet = open_tablet(address_of(printed))
        page = tablet.page
        page.context.add_cookies([{"name": "spokeshed_who", "value": "AB", "url": tablet.address}])
        _painted(tablet)
        tablet.go("/builds/2/made")
        tablet.tap("Re-turn after service: coupled wheels")
        lies_well(tablet, size[0])
        verdict = page.locator(".verdict-line")
        expect(verdict).to_have_text("No wear is logged yet.")
        # A flange thicker than new cannot be; what was typed stays in its box.
        page.get_by_role("link", name="Log the wear of W1", exact=True).tap()
        page.get_by_label("Worn tread, diameter", exact=True).fill("5.11")
        with tablet.refused(422):
            page.get_by_label("Worn flange, thickness", exact=True).fill("0.12")
            page.get_by_role("button", name="Log and judge").tap()
        expect(page.get_by_text("thicker than the flange was there when new").first).to_be_visible()
        expect(page.get_by_label("Worn flange, thickness", exact=True)).to_have_value("0.12")
        tablet.go("/axles/4/returning")
        for mark in ("W1", "W2", "W3", "W4", "W5", "W6"):
            _wear(tablet, mark, *(("5.108", "0.105") if mark == "W3" else ("5.110", "0.107")))
        # As drawn 0.121 - 0.080 tan 10 = 0.1069 in, 1.9 thou more than 0.105; by tan 10 that is 10.7 off the radius.
        expect(verdict).to_contain_text("W3's flange thickness takes the most, 10.7 thou")
        expect(page.get_by_role("img", name="The worn tyre of W3")).to_be_visible()
        unfold_all(tablet)
        lies_well(tablet, size[0])
        page.get_by_role("link", name="Take the set back to tread turned").tap()
        expect(page.get_by_label("New tread diameter of all")).to_have_value("5.0865 in")
        page.get_by_label("What it did, and why it is turned again").fill("900 miles, flanges sharp")
        with tablet.refused(409):
            page.get_by_role("button", name="Take them back").tap()
        expect(page.locator("#sure-asked")).to_contain_text("W1, W2, W3, W4, W5, W6: back to tread turned")
        lies_well(tablet, size[0])
        page.get_by_label("Take them back all the same").check()
        tablet.tap("Take them back")
        # On the axle sheet the tread is next, with what it is to come to.
        left = tablet.wheel("Left")
        expect(tablet.box(left, "tread_turned")).to_have_attribute("aria-pressed", "false")
        expect(page.locator("#due")).to_contain_text("5.0865 in")
        lies_well(tablet, size[0])
        tablet.go("/builds/2/made?open=life-1")
        expect(page.get_by_text("900 miles, flanges sharp")).to_be_visible()
        lies_well(tablet, size[0])
        tablet.go("/axles/4/returning?open=again")
        tablet.tap("It was pressed by mistake: come back out")
        expect(verdict).to_contain_text("W3's flange thickness takes the most")
        tablet.go("/axles/4")
        expect(tablet.box(tablet.wheel("Left"), "painted")).to_have_attribute("aria-pressed", "true")
