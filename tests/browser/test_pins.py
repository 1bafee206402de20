"""Crankpins of the demo put in on the tablet: the jig kept with its hole, all measured, and the pin ticked in."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from domain.route.stages import CRANKPIN_IN

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser

PINS = "/builds/1/crankpins?open=pin-{own}"
# A thou slack for the bond that the invented engine is put together with.
_MADE = {
    "Crankpin hole, diameter": "0.4375 in",
    "Crankpin where it is held, diameter": "0.4365 in",
    "Dial along the pin, next to the wheel": "0",
    "Dial along the pin, at its end": "0.0004 in",
    "Dial moved along the pin by": "0.5 in",
}


def test_pins_are_put_in_on_the_demo(
    run_program: Callable[..., object],
    address_of: Callable[[str], str],
    open_tablet: OpenTablet,
    tmp_path: Path,
) -> None:
    with run_program(tmp_path, "--demo") as printed:  # type: ignore[attr-defined]
        tablet = open_tablet(address_of(printed))
        page = tablet.page
        page.context.add_cookies([{"name": "spokeshed_who", "value": "JD", "url": tablet.address}])
        tablet.go("/axles/2")
        left, right = tablet.casting("Left"), tablet.casting("Right")
        one, other = left.rsplit("-", 1)[-1], right.rsplit("-", 1)[-1]

        # The jig that fits is kept with the hole in one tap.
        tablet.go(PINS.format(own=one))
        wheel = page.locator(f"#pin-{one}")
        expect(wheel).to_contain_text("Not ticked in.")
        tablet.tap("Keep with W3: jig 1 1/8 throw, invented")
        expect(wheel).to_contain_text("Set on W3: jig 1 1/8 throw, invented")

        # Nothing is measured: its tick asks for that by name, and stays off.
        with tablet.leads_on():
            wheel.get_by_role("link", name="Go and tick it in").tap()
        side = tablet.wheel("Left")
        box = tablet.box(side, CRANKPIN_IN)
        expect(box).to_be_visible()
        with tablet.refused(409):
            box.tap()
        expect(side.get_by_role("alert")).to_contain_text(
            "Not measured of the crankpin of W3: hole, pin, how square it stands."
        )

        tablet.go(PINS.format(own=one))
        for label, text in _MADE.items():
            wheel.get_by_label(label).fill(text)
        with tablet.leads_on():
            wheel.get_by_role("button", name="Log and judge").tap()
        line = page.locator(f"#fold-pin-{one}")
        expect(line).to_contain_text("square within 0.4 thou")

        tablet.go(PINS.format(own=one))
        with tablet.leads_on():
            wheel.get_by_role("link", name="Go and tick it in").tap()
        box.tap()
        expect(box).to_have_attribute("aria-pressed", "true")
        # What it stands beside is not moved by it, and the other wheel's is asked about for itself.
        tablet.all_the_same(
            tablet.wheel("Right"), tablet.box(tablet.wheel("Right"), CRANKPIN_IN), "crankpin of W7", "no dial"
        )
        expect(tablet.box(tablet.wheel("Right"), CRANKPIN_IN)).to_have_attribute("aria-pressed", "true")
        tablet.settle()

        tablet.go(PINS.format(own=other))
        expect(page.locator("#fold-pins")).to_contain_text("1 of 6 measured, and 0 of 1 spares: good; 2 in")
        expect(page.locator(f"#pin-{other}")).to_contain_text("In by JD, ")
        expect(page.locator(f"#pin-{other}")).to_contain_text("Let pass: Not measured of the crankpin of W7")
        tablet.go("/builds/1/made?open=made-good")
        expect(page.locator("#made")).to_contain_text("W3, axle 2 left, in by JD, ")


def test_a_jig_is_put_on_the_list(program: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(program)
    # The two tablets share one program, and no two jigs a name.
    page, name = tablet.page, f"jig of {size[0]}"
    tablet.go("/workshop?open=jigs")
    tablet.tap("Add a drilling jig")
    for label, text in {
        "Name": name,
        "Throw": "0",
        "Plug for the bore, diameter": "3/8 in",
    }.items():
        page.get_by_label(label, exact=True).fill(text)
    page.get_by_label("Bush for the drill, bore").fill("1/4 in")
    with tablet.refused(422):
        page.get_by_role("button", name="Save the jig").tap()
    expect(page.locator("#throw-error")).to_contain_text("A throw is more than nothing")
    page.get_by_label("Throw", exact=True).fill("1 in")
    tablet.tap("Save the jig")
    expect(page.locator("#jigs")).to_contain_text(name)
