"""The same evening with script switched off: every form is a plain form."""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Locator, expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser


def tick(tablet: Tablet, where: Locator, *keys: str) -> None:
    """Each tap loads the sheet again."""
    for key in keys:
        tablet.unfold(where, key)
        with tablet.page.expect_navigation():
            tablet.box(where, key).tap()
        tablet.unfold(where, key)
        expect(tablet.box(where, key)).to_have_attribute("aria-pressed", "true")


class Keys(Enum):
    """How a question is answered."""

    TAP = "tap"
    ENTER = "enter"


def all_the_same(tablet: Tablet, where: Locator, button: Locator, asked: str, keys: Keys = Keys.TAP) -> None:
    """Tap what is asked about first, and say yes with a reason: by the button, or by Enter in the reason's box."""
    with tablet.refused(409):
        button.tap()
    expect(where.get_by_role("alert")).to_contain_text(asked)
    why = where.get_by_label("Why all the same, for the record")
    why.fill("seen to by hand")
    with tablet.page.expect_navigation():
        if keys is Keys.ENTER:
            why.press("Enter")
        else:
            where.get_by_role("button", name="all the same").tap()
    expect(tablet.page.get_by_text("let pass: seen to by hand", exact=False).last).to_be_visible()


def log(tablet: Tablet, key: str, reading: str) -> None:
    """Type the first reading of what is due."""
    due = tablet.due(key)
    due.locator("[data-next]").first.fill(reading)
    with tablet.page.expect_navigation():
        due.get_by_role("button", name="Write").tap()


def test_an_axle_is_finished_without_script(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program, script=False)
    page, left, right = tablet.page, tablet.wheel("Left"), tablet.wheel("Right")
    tablet.handled_at_once(tablet.start_build("Plain forms", "CD"))
    assert not any("/static/htmx" in url for url in tablet.watch.requests), "script was not off"
    tablet.open_axle(1)
    for side in (left, right):
        tick(tablet, side, "received", "back_faced.rim_true", "back_faced", "bored")
    with tablet.refused(409):
        tablet.box(left, "pressed").tap()
    expect(left.get_by_role("alert")).to_contain_text("No bore is logged for W1")
    front = tablet.due(f"bore-{tablet.casting('Left')}").get_by_label("front")
    front.fill("wide")
    with tablet.refused(422):
        page.get_by_role("button", name="Write").tap()
    expect(front).to_have_value("wide")
    log(tablet, f"bore-{tablet.casting('Left')}", "0.7512 in")
    expect(tablet.line("Left")).to_have_attribute("data-answer", "serves")
    log(tablet, f"bore-{tablet.casting('Right')}", "0.762 in")
    expect(tablet.line("Right")).to_have_attribute("data-answer", "not")
    tablet.line("Right").tap()
    expect(page.locator('.verdict[data-answer="not"]')).to_be_visible()
    tablet.tap("Back to axle 1")

    with tablet.refused(409):
        tablet.box(right, "pressed").tap()
    expect(right.get_by_role("button", name="Tick it all the same")).to_be_visible()
    tablet.line("Right").tap()
    with page.expect_navigation():
        page.get_by_role("link", name="Scrap this casting").tap()
    expect(page.get_by_role("radio", name="Bored too large")).to_be_checked()
    tablet.tap("Scrap W2")
    expect(right.get_by_text("This place is empty.")).to_be_visible()
    with page.expect_navigation():
        right.get_by_role("button", name="Put W7 here").tap()
    tick(tablet, right, "received", "back_faced", "bored")
    log(tablet, f"bore-{tablet.casting('Right')}", "0.7511 in")
    own = page.locator("#row-quartered")
    for side in ("Left", "Right"):
        log(tablet, f"throw-{tablet.casting(side)}", "1.125 in")
    all_the_same(tablet, left, tablet.box(left, "pressed"), "No seat is measured for W1", Keys.ENTER)
    together = own.get_by_role("button", name="W7 fixed and the axle quartered")
    all_the_same(tablet, own, together, "no heights of its crankpins are logged", Keys.ENTER)
    for side in (left, right):
        tick(tablet, side, "tread_turned")
        all_the_same(tablet, side, tablet.box(side, "painted"), "Not measured of W")
    expect(page.locator("#tally")).to_have_text("14 of 14")
    tick_off = tablet.box(left, "painted")
    with page.expect_navigation():
        tick_off.tap()
    expect(tick_off).to_have_attribute("aria-pressed", "false")


def test_someone_unknown_is_asked_in_place_without_script(program: str, open_tablet: OpenTablet) -> None:
    known, unknown = open_tablet(program, script=False), open_tablet(program, script=False)
    known.start_build("Asked in place", "CD")
    known.open_axle(1)
    unknown.go(known.page.url.removeprefix(known.address))
    left = unknown.wheel("Left")
    with unknown.refused(422):
        unknown.box(left, "received").tap()
    left.get_by_label("Your initials").first.fill("EF")
    with unknown.page.expect_navigation():
        left.get_by_role("button", name="Remember and tick").tap()
    expect(unknown.box(left, "received")).to_contain_text("EF ")
    left = known.wheel("Left")
    with known.refused(409):
        known.box(left, "received.marked").tap()
    expect(left.get_by_role("alert")).to_contain_text("EF, ")


def test_a_reading_is_corrected_on_its_own_page_with_script(own_demo: str, open_tablet: OpenTablet) -> None:
    """There is nothing there to swap into: refused or stored, its answer is a page."""
    tablet = open_tablet(own_demo)
    tablet.context.add_cookies([{"name": "spokeshed_who", "value": "JD", "url": own_demo}])
    for path, fold in (
        ("/castings/2/bore", "Correct the bore"),
        ("/axles/1/seats/right", "Correct the right seat"),
    ):
        tablet.go(path)
        tablet.page.locator("summary", has_text=fold).first.tap()
        readings = tablet.page.locator("input[name=reading]")
        readings.first.fill("abc")
        send = tablet.page.locator("form.log button.primary").first
        with tablet.refused(422):
            send.tap()
        expect(tablet.page.locator(".field .error").first).to_contain_text("abc")
        readings.first.fill("0.7505 in")
        send.tap()
        tablet.page.wait_for_url("**/axles/1**")
        expect(tablet.page.get_by_role("alert")).to_have_count(0)
