"""Metal left at the lathe: a cut asked about and logged by thumb, the stop sign, and the same without script."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

# Half an inch and a bit of tyre on the drawing as it is proposed: 0.12 in to come off, half of it at the back.
CAME = {
    "Rim, back to front": "0.625",
    "Boss, back to front": "0.87",
    "Boss proud of the rim at the back": "0",
}


def at_metal(tablet: Tablet, name: str) -> None:
    """A casting written down as it came, and its metal sheet open."""
    tablet.start_build(name, "AB")
    tablet.open_axle(1)
    address = tablet.head("Left").locator("a.mark").get_attribute("href")
    tablet.go(f"{address}/receiving?open=receipt")
    for label, text in CAME.items():
        tablet.page.get_by_label(label, exact=True).fill(text)
    tablet.tap("Write it down")
    tablet.go(f"{address}/metal")


@pytest.mark.parametrize("script", [True, False], ids=["script", "plain"])
def test_log_a_cut_at_the_lathe(program: str, open_tablet: OpenTablet, script: bool) -> None:
    tablet = open_tablet(program, script=script)
    at_metal(tablet, f"Metal {script} {id(tablet)}")
    page = tablet.page
    sign = page.get_by_role("region", name="The next cut")
    expect(sign).to_contain_text("Rim back")
    expect(sign).to_contain_text("Go: a cut of 0.0400 in")
    # 0.625 - 0.505 = 0.12 in to come off, 0.06 in at the back.
    page.get_by_role("link", name="Before the next cut: go or stop?").tap()
    page.get_by_label("Depth of the cut", exact=True).fill("0.07")
    page.get_by_label("Dial where the tool touches").fill("0.010")
    tablet.tap("Go or stop?")
    answer = page.locator("#answer")
    expect(answer).to_contain_text("Stop: a cut of 0.0700 in")
    expect(answer).to_contain_text("past this face's share")
    page.get_by_label("Depth of the cut", exact=True).fill("0.039")
    tablet.tap("Go or stop?")
    expect(answer).to_contain_text("Wind the dial to 0.0490 in")
    page.get_by_label("Rim, back to front", exact=True).fill("0.585")
    tablet.tap("Log the size")
    # 0.02 in of the back's share is left: a whole roughing cut would take the front's.
    expect(sign).to_contain_text("Go: a lighter cut")
    page.get_by_label("Rim, back to front", exact=True).fill("0.49")
    tablet.tap("Log the size")
    expect(sign).to_contain_text("Under size: do not cut further")
    expect(sign).to_be_in_viewport()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
