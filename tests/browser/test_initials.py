"""Initials given in the masthead: the page stays, what is typed on it stays, and its forms know who it is."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser


def test_initials_given_half_way_through_a_form_lose_nothing(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    build = tablet.start_build("Half typed", "CD")
    tablet.go(f"{build}/figures")
    page = tablet.page
    page.evaluate("document.querySelectorAll('main details').forEach(one => { one.open = true })")
    page.get_by_label("Depth of a roughing cut").fill("0.8 mm")
    page.locator("#who-chip > summary").tap()
    page.get_by_label("Who is at the bench", exact=True).fill("qq")
    page.get_by_role("button", name="Remember").tap()
    expect(page.locator("#who-now")).to_have_text("QQ")
    expect(page.get_by_label("Depth of a roughing cut")).to_have_value("0.8 mm")
    expect(page.get_by_label("Your initials")).to_have_value("QQ")
    with tablet.refused(422):
        page.locator("#who-chip > summary").tap()
        page.get_by_label("Who is at the bench", exact=True).fill("a b")
        page.get_by_role("button", name="Remember").tap()
    expect(page.locator(".who-form .error")).to_contain_text("one to four letters")
    expect(page.get_by_label("Depth of a roughing cut")).to_have_value("0.8 mm")
    tablet.tap("Save the figures")
    expect(page.get_by_text("These figures hold from now on.")).to_be_visible()
