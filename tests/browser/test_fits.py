"""A bore too large, its way out, and the wheels paired with the seats: at the bench, with a thumb."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_sheets import lies_well, unfold_all

if TYPE_CHECKING:
    from playwright.sync_api import Locator

    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser


def bored(tablet: Tablet, left: str, right: str, seats: tuple[str, str]) -> None:
    """Bore both wheels of the axle that is open and log them with their seats."""
    for side, bore in (("Left", left), ("Right", right)):
        wheel = tablet.wheel(side)
        tablet.tick(wheel, "received", "back_faced", "bored")
        tablet.log(side, "bore", bore)
        expect(tablet.line(side)).not_to_have_attribute("data-answer", "open")
    for side, seat in zip(("left", "right"), seats, strict=True):
        tablet.log(side.capitalize(), "seat", seat)
        expect(tablet.page.locator(".written")).to_contain_text(f"{side} seat")


def row(tablet: Tablet, key: str) -> Locator:
    return tablet.page.locator(f"#seat-{key}")


def crossed(tablet: Tablet, name: str) -> str:
    """W1 is bored too large for its seat and W2 too small for its own; changed over, both serve."""
    path = tablet.start_build(name, "AB")
    tablet.open_axle(1)
    bored(tablet, "0.7545 in", "0.7513 in", ("0.7500 in", "0.7530 in"))
    return path


def test_oversize_bore_its_remedy_pairing_and_undo(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    path = crossed(tablet, "Crossed")
    axle = page.url.removeprefix(tablet.address).partition("#")[0]
    tablet.go(axle)
    expect(tablet.line("Left")).not_to_have_attribute("data-answer", "serves")
    tablet.line("Left").tap()
    verdict = page.locator("#slip .verdict")
    expect(verdict).not_to_have_attribute("data-answer", "serves")
    # The way out with least work: no metal is cut, the wheels change over.
    expect(verdict.locator(".remedies > li").first).to_contain_text("W2")

    tablet.go(path)
    tablet.tap("Fits and pairing")
    expect(page.get_by_role("heading", level=1)).to_have_text("Fits and pairing")
    lies_well(tablet, size[0])
    expect(row(tablet, "1-left")).to_contain_text("W1")
    expect(row(tablet, "1-left").locator("td").last).to_contain_text("W2")
    expect(row(tablet, "1-left")).to_contain_text("Moves from axle 1, right")
    expect(row(tablet, "2-left")).to_contain_text("No bore logged")
    tablet.tap("Apply this pairing")
    expect(row(tablet, "1-left").locator("td").first).to_contain_text(re.compile(r"W2\s+Good"))
    expect(row(tablet, "1-right").locator("td").first).to_contain_text(re.compile(r"W1\s+Good"))
    expect(page.locator("#gain")).to_contain_text("Today's places are already the best: 2 good.")
    lies_well(tablet, size[0])

    tablet.go(axle)
    expect(tablet.head("Left").locator(".mark").first).to_have_text("W2")
    expect(tablet.line("Left")).to_have_attribute("data-answer", "serves")
    tablet.tap("Record")
    expect(page.locator("#axle-journal")).to_contain_text("left W2, before W1; right W1, before W2")

    tablet.go(f"{path}/fits")
    page.get_by_role("button", name=re.compile("Undo the pairing of AB")).tap()
    expect(page.get_by_role("button", name="Apply this pairing")).to_be_visible()
    expect(row(tablet, "1-left").locator("td").first).to_contain_text("W1")
    tablet.go(axle)
    expect(tablet.head("Left").locator(".mark").first).to_have_text("W1")


def test_six_seats_at_a_glance_and_every_number_opens(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(demo)
    page = tablet.page
    tablet.go("/builds/1/fits")
    seats = page.locator("#seats")
    expect(seats.locator('tr[id^="seat-"]')).to_have_count(6)
    box = seats.bounding_box()
    assert box is not None and box["height"] <= size[1], "six seats on one screen"
    assert seats.evaluate("e => e.scrollWidth <= e.clientWidth"), "nothing to push aside"
    lies_well(tablet, size[0])
    small = seats.evaluate(
        "e => [...e.querySelectorAll('a')].filter(a => a.getBoundingClientRect().height < 44).map(a => a.textContent)"
    )
    assert small == [], "a thumb must find each"
    broken = seats.evaluate(
        "e => [...e.querySelectorAll('.figure')].filter(f => f.getClientRects().length > 1).map(f => f.textContent)"
    )
    assert broken == [], "no figure is torn from its unit"
    assert seats.locator(".figure").count() >= 12
    working = page.locator("#working-1-left")
    expect(working).to_have_count(0)
    row(tablet, "1-left").locator("td a").filter(has_text=" thou (").first.tap()
    expect(working.locator("table").first).to_be_visible()
    expect(working).to_contain_text("bore - seat")
    expect(working).to_be_in_viewport()
    unfold_all(tablet)
    lies_well(tablet, size[0])


def test_two_tablets_do_not_pair_over_each_other(program: str, open_tablet: OpenTablet) -> None:
    first, second = open_tablet(program), open_tablet(program)
    path = crossed(first, "Two pairings")
    axle = first.page.url.removeprefix(first.address).partition("#")[0]
    first.go(f"{path}/fits")
    second.go(axle)
    second.line("Left").tap()
    second.page.locator("#log-bore-" + second.casting("Left") + " > summary").tap()
    form = second.page.locator("#slip form.log")
    # The second device has no initials yet.
    form.get_by_label("Your initials").fill("MK")
    form.get_by_label("Reading one").fill("0.7511 in")
    form.get_by_role("button").tap()
    expect(second.line("Left")).to_have_attribute("data-answer", "serves")
    with first.refused(409):
        first.button("Apply this pairing").first.tap()
    expect(first.page.get_by_role("alert").first).to_contain_text("Changed meanwhile")
    expect(row(first, "1-left").locator("td").first).to_contain_text("W1")


def test_pairing_without_script(program: str, open_tablet: OpenTablet) -> None:
    path = crossed(open_tablet(program), "By plain forms")
    tablet = open_tablet(program, script=False)
    tablet.go(f"{path}/fits")
    with tablet.refused(422):
        tablet.button("Apply this pairing").first.tap()
    tablet.page.get_by_label("Your initials").fill("MK")
    tablet.tap("Remember and go on")
    expect(row(tablet, "1-left").locator("td").first).to_contain_text("W2")
    tablet.page.get_by_role("button", name=re.compile("Undo the pairing of MK")).tap()
    expect(row(tablet, "1-left").locator("td").first).to_contain_text("W1")
