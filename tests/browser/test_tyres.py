"""A steel tyre on the tablet: said on the drawing, measured, heated, shrunk on, and asked for at the tread's tick."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_batches import fits_the_screen, on_the_first_screen

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser


def log(tablet: Tablet, kind: str, size: str) -> None:
    """One size of the tyre, both ways alike, on its own form."""
    form = tablet.page.locator(f"#log-{kind}")
    for box in form.locator("[name=reading]").all():
        box.fill(size)
    with tablet.leads_on():
        form.get_by_role("button", name="Log the").tap()


@pytest.mark.parametrize("script", [True, False])
def test_a_tyre_from_the_drawing_to_the_wheel(
    program: str, open_tablet: OpenTablet, size: tuple[int, int], script: bool
) -> None:
    tablet = open_tablet(program, script=script)
    page = tablet.page
    build = tablet.start_build(f"Tyres {size[0]} {script}", "AB")
    tablet.open_axle(1)
    own = f"/castings/{tablet.casting('Left')}"

    tablet.go(f"{own}/tyre")
    expect(page.locator("#answer")).to_have_text(re.compile("W1 has no steel tyre"))
    with tablet.leads_on():
        page.get_by_role("link", name="Driving wheels").tap()
    if not page.get_by_label("Tyre's inside, on the wheel centre").is_visible():
        page.get_by_text("Steel tyres shrunk on").tap()
    page.get_by_label("Tyre's inside, on the wheel centre").fill("4.3 in")
    with tablet.refused(422):
        tablet.tap("Save the pattern")
    expect(page.locator("#rim_inside-error")).to_contain_text("Give the inside of the centre's rim too")
    expect(page.get_by_label("Tyre's inside, on the wheel centre")).to_have_value("4.3 in")
    page.get_by_label("Inside of the wheel centre's rim").fill("3.8 in")
    tablet.tap("Save the pattern")
    expect(page).to_have_url(re.compile(re.escape(build) + "$"))

    tablet.go(f"{own}/tyre")
    expect(page.locator("#wanted")).to_contain_text(
        "2.2 thou (0.055 mm) to 4.3 thou (0.109 mm), by the rule of thumb"
    )
    log(tablet, "tyre_inside", "4.2995")
    expect(page.locator("#answer")).to_contain_text("Not measured: outside of the wheel centre")
    expect(page.locator("#wanted")).to_contain_text("Turn the centre to 4.3016 in")
    with tablet.refused(409):
        form = page.locator("#log-centre_outside")
        form.locator("[name=reading]").first.fill("4.299")
        form.get_by_role("button", name="Log the").tap()
    expect(page.locator("#sure-centre_outside-error")).to_contain_text("it would drop off again")
    log(tablet, "centre_outside", "4.3025")
    expect(page.locator("#answer")).to_have_text("Good: 3.0 thou (0.076 mm) of interference")
    expect(page.locator(".caution").first).to_contain_text("never quench")
    button = tablet.button("The tyre is on W1, and home")
    on_the_first_screen(tablet, size, page.locator("#answer"), page.locator(".tyre-picture"), button)
    fits_the_screen(tablet, size[0])

    # It goes on a bored wheel only.
    with tablet.refused(422):
        button.tap()
    expect(page.locator("body")).to_contain_text("W1 is not received, back faced and bored yet")
