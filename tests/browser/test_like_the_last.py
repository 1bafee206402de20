"""Two wheels of a batch, the second set like the first with one tap."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_batches import fits_the_screen, on_now, on_the_first_screen, unmeasured

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser


def backs_outward(tablet: Tablet, name: str) -> str:
    """A build of its own in the batch in which backs are faced; gives the batch's path."""
    tablet.start_build(name, "AB")
    tablet.tap("Begin")
    for mark, following in pairwise(f"W{number}" for number in range(1, 9)):
        tablet.tap(f"Done: {mark}, next {following}")
    tablet.tap("Done: W8")
    tablet.tap("Start the next batch")
    expect(tablet.page.get_by_role("heading", level=1)).to_have_text("Back outward: face")
    return tablet.page.url.removeprefix(tablet.address)


@pytest.mark.parametrize("script", [True, False])
def test_the_second_wheel_is_set_like_the_first(
    program: str, open_tablet: OpenTablet, size: tuple[int, int], script: bool
) -> None:
    tablet = open_tablet(program, script=script)
    page = tablet.page
    if script:
        backs_outward(tablet, "Like the last")
    else:
        other = open_tablet(program)
        batch = backs_outward(other, "Like the last, plainly")
        tablet.go(batch)
    on_now(tablet, "W1", "Axle 1, left")
    row = page.locator(".turn-set")
    expect(row).to_contain_text("Nothing kept yet of how it is set")
    if script:
        on_the_first_screen(tablet, size, page.locator(".turn-mark"), row, page.locator(".turn-buttons"))

    # What is set first is how it is held; the cut is another operation.
    tablet.tap("Write it down")
    expect(page.get_by_role("heading", level=2).first).to_have_text("Hold it, back outward")
    page.get_by_label("Jaws").fill("reversed, on the outside")
    if not script:
        page.get_by_label("Your initials").last.fill("AB")
    tablet.tap("Keep with W1")
    expect(page.locator("#now")).to_contain_text("Set on W1: reversed, on the outside")
    tablet.tap("Another operation") if not script else page.get_by_text("Another operation").tap()
    tablet.tap("Face the back, rim and boss")

    speed = page.get_by_label("Spindle speed")
    speed.fill("45")
    page.get_by_label("Feed").fill("0.004 in/rev")
    with tablet.refused(422):
        tablet.tap("Keep with W1")
    expect(page.locator("#set-to-spindle-error")).to_have_text(
        "“45” has no unit: write it too, such as 110 rpm."
    )
    expect(speed).to_have_value("45")
    expect(page.get_by_label("Feed")).to_have_value("0.004 in/rev")
    fits_the_screen(tablet, size[0])
    speed.fill("45 rpm")
    tablet.tap("Keep with W1")
    expect(page.locator("#now")).to_contain_text("Set on W1: 45 rpm, 0.004 in/rev")

    tablet.tap("Back to the batch")
    on_now(tablet, "W1", "Axle 1, left")
    own = "reversed, on the outside; 45 rpm, 0.004 in/rev"
    expect(row).to_contain_text(own)
    unmeasured(tablet, "Done: W1, next W2")
    on_now(tablet, "W2", "Axle 1, right")
    expect(row).to_contain_text(f"as on W1: {own}")
    if script:
        on_the_first_screen(
            tablet,
            size,
            page.locator(".turn-mark"),
            tablet.button("Set the same"),
            page.locator(".turn-buttons"),
        )
        # It is read before the cut, so it stands above what is tapped after it; on a lying tablet beside it.
        above, below = row.bounding_box(), page.locator(".turn-steps").first.bounding_box()
        assert above is not None and below is not None
        lying = size[0] > size[1]
        way, long = ("x", "width") if lying else ("y", "height")
        assert above[way] + above[long] <= below[way]
    tablet.tap("Set the same")
    on_now(tablet, "W2", "Axle 1, right")
    expect(row).to_contain_text(f"Set as on W1: {own}")
    expect(tablet.button("Set the same")).to_have_count(0)

    # It stands with the wheel, on its own sheet.
    page.locator(".turn-mark").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Axle 1")
    expect(page.locator("#sheet")).not_to_contain_text("45 rpm")
