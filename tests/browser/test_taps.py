"""Taps as they come: quick, doubled, from two tablets, against advice, and from someone not yet known."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

RECEIVED = [f"received.{step}" for step in ("marked", "looked_over", "measured")]
# Longer than the time in which a second tap on one button counts as the same tap.
PAUSE_MS = 900
SLOW_MS = 250


def at_axle(tablet: Tablet, name: str, who: str = "AB") -> str:
    """A build just started, its first axle open; gives that sheet's path."""
    tablet.start_build(name, who)
    tablet.open_axle(1)
    return tablet.page.url.removeprefix(tablet.address)


def slow_down(tablet: Tablet) -> None:
    """A far corner of the shed: every answer takes its time."""
    tablet.context.new_cdp_session(tablet.page).send(
        "Network.emulateNetworkConditions",
        {"offline": False, "latency": SLOW_MS, "downloadThroughput": -1, "uploadThroughput": -1},
    )


def test_quick_taps_on_different_steps_are_all_stored(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    at_axle(tablet, "Quick taps")
    slow_down(tablet)
    left = tablet.wheel("Left")
    for key in RECEIVED:
        tablet.box(left, key).tap(no_wait_after=True)
    assert tablet.box(left, RECEIVED[-1]).get_attribute("aria-pressed") == "false", "no longer a quick series"
    for key in RECEIVED:
        expect(tablet.box(left, key)).to_have_attribute("aria-pressed", "true")
    tablet.page.reload()
    for key in RECEIVED:
        expect(tablet.box(left, key)).to_have_attribute("aria-pressed", "true")


def test_quick_taps_on_both_wheels_are_all_stored(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    at_axle(tablet, "Both hands")
    slow_down(tablet)
    sides = [tablet.wheel("Left"), tablet.wheel("Right")]
    for side in sides:
        tablet.box(side, "received").tap(no_wait_after=True)
    for side in sides:
        expect(tablet.box(side, "received")).to_have_attribute("aria-pressed", "true")
    tablet.page.reload()
    expect(tablet.page.locator("#tally")).to_have_text("2 of 14")


@pytest.mark.parametrize("slow", [False, True], ids=["near", "far"])
def test_a_double_tap_ticks_once(program: str, open_tablet: OpenTablet, slow: bool) -> None:
    tablet = open_tablet(program)
    at_axle(tablet, "Double tap")
    if slow:
        slow_down(tablet)
    tick = tablet.box(tablet.wheel("Left"), "received")
    tick.tap(no_wait_after=True)
    tick.tap(no_wait_after=True)
    tablet.page.wait_for_timeout(PAUSE_MS + 2 * SLOW_MS * slow)
    expect(tick).to_have_attribute("aria-pressed", "true")
    tablet.page.reload()
    expect(tick).to_have_attribute("aria-pressed", "true")
    tick.tap()
    expect(tick).to_have_attribute("aria-pressed", "false")


def test_a_page_out_of_date_says_who_changed_it(program: str, open_tablet: OpenTablet) -> None:
    first, second = open_tablet(program), open_tablet(program)
    path = at_axle(first, "Two tablets")
    second.go(path)
    # The second device has no initials yet: it is asked once, where it tapped.
    with second.refused(422):
        second.box(second.wheel("Left"), "received").tap()
    asked = second.wheel("Left").get_by_role("alert")
    expect(asked).to_contain_text("Who is at the bench?")
    asked.get_by_label("Your initials").fill("MK")
    asked.get_by_role("button", name="Remember and tick").tap()
    expect(second.box(second.wheel("Left"), "received")).to_contain_text(re.compile(r"MK \d+ \w+"))

    left = first.wheel("Left")
    with first.refused(409):
        first.box(left, "received.marked").tap()
    told = left.get_by_role("alert")
    expect(told).to_contain_text("Changed meanwhile")
    expect(told).to_contain_text(re.compile(r"MK, \d+ \w+ \d{4} \d\d:\d\d: Ticked received\."))
    expect(first.box(left, "received")).to_contain_text(re.compile(r"MK \d+ \w+"))
    first.page.reload()
    expect(first.box(left, "received.marked")).to_have_attribute("aria-pressed", "false")
    first.tick(left, "received.marked")
    # The device asked once is known from now on.
    second.page.reload()
    second.tick(second.wheel("Right"), "received")


def bored_too_large(tablet: Tablet) -> None:
    left = tablet.wheel("Left")
    tablet.tick(left, "received", "back_faced", "bored")
    tablet.log("Left", "bore", "0.762 in")
    expect(tablet.line("Left")).to_have_attribute("data-answer", "not")


def test_what_goes_against_advice_is_asked_first(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    at_axle(tablet, "Against advice")
    left = tablet.wheel("Left")
    bored_too_large(tablet)

    tablet.page.wait_for_timeout(PAUSE_MS)
    with tablet.refused(409):
        tablet.box(left, "bored").tap()
    expect(left.get_by_role("alert")).to_contain_text("A bore is logged for W1")
    expect(left.get_by_role("button", name="Untick it all the same")).to_be_visible()
    tablet.page.reload()
    expect(tablet.box(left, "bored")).to_have_attribute("aria-pressed", "true")

    with tablet.refused(409):
        tablet.box(left, "pressed").tap()
    expect(left.get_by_role("alert")).to_contain_text("The logged bore of W1 is no good.")
    tablet.page.reload()
    expect(tablet.box(left, "pressed")).to_have_attribute("aria-pressed", "false")
    with tablet.refused(409):
        tablet.box(left, "pressed").tap()
    left.get_by_role("button", name="Tick it all the same").tap()
    expect(tablet.box(left, "pressed")).to_have_attribute("aria-pressed", "true")

    tablet.line("Left").tap()
    tablet.page.get_by_role("link", name="Scrap this casting").tap()
    tablet.page.get_by_text("Cracked", exact=True).tap()
    with tablet.refused(409):
        tablet.tap("Scrap W1")
    expect(tablet.page.locator("#confirmed-error")).to_contain_text("Tick the box first")
    expect(tablet.page.get_by_role("radio", name="Cracked")).to_be_checked()
    tablet.page.get_by_text("Scrap it all the same").tap()
    tablet.tap("Scrap W1")
    expect(left.get_by_text("This place is empty.")).to_be_visible()


def test_a_changed_drawing_says_what_it_affects(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    path = at_axle(tablet, "Changed drawing")
    bored_too_large(tablet)
    tablet.tap("Changed drawing")
    tablet.button("The figures this build is made to").tap()
    tablet.tap("Change the drawing's figures")
    page.get_by_text("Axles and wheels", exact=True).tap()
    page.get_by_label("Wheel seat").fill("0.7609 in")
    page.get_by_label("Bore", exact=True).fill("0.762 in")
    with tablet.refused(409):
        tablet.tap("Save the build")
    expect(page.get_by_role("alert")).to_contain_text("W1, its bore")
    tablet.tap("Save it all the same")
    tablet.go(path)
    expect(tablet.line("Left")).to_have_attribute("data-answer", "serves")


def test_text_that_is_no_length_stays_in_its_field_with_the_reason(
    program: str, open_tablet: OpenTablet
) -> None:
    tablet = open_tablet(program)
    at_axle(tablet, "No length")
    left = tablet.wheel("Left")
    tablet.tick(left, "received", "back_faced")
    due = tablet.due(f"bore-{tablet.casting('Left')}")
    due.get_by_label("front").fill("three quarters")
    with tablet.refused(422):
        due.get_by_role("button", name="Write").tap()
    field = due.get_by_label("front")
    expect(field).to_have_value("three quarters")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_be_focused()
    expect(due.locator(".field .error").first).to_be_visible()
    expect(tablet.page.locator(".written")).to_have_count(0)
    expect(tablet.line("Left")).to_have_attribute("data-answer", "open")
