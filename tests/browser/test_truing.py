"""A wheel is set true by thumb: typed readings, the right jaw in large words, the next round at once."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.test_sheets import lies_well

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

THUMB = 64


def choose(tablet: Tablet, words: str) -> None:
    """Tap one of several choices anywhere on its box."""
    tablet.page.locator(".choices label").filter(has_text=words).tap()


def begin(tablet: Tablet, name: str, dial: str = "0.001 in") -> str:
    """From a new build to the dial, all by the links of the sheets; gives the sheet's path."""
    page = tablet.page
    tablet.start_build(name, "AB")
    tablet.open_axle(1)
    left = tablet.wheel("Left")
    tablet.tick(left, "received")
    casting = tablet.head("Left").locator("a.mark").get_attribute("href")
    assert casting is not None
    path = "/".join(casting.split("/")[:3])
    tablet.go(f"{path}?open=sheets")
    tablet.tap("Setting true")
    with tablet.refused(422):
        tablet.button("Begin").tap()
    expect(page.locator("#grip")).to_contain_text("Look at the jaws and choose")
    choose(tablet, "Closed inwards on the outside of the rim")
    choose(tablet, "then the dial works the other way round")
    choose(tablet, dial)
    tablet.tap("Begin")
    return f"{path}/true"


def type_round(tablet: Tablet, *divisions: int) -> None:
    """What the dial shows at the four jaws, with the key for below zero."""
    page = tablet.page
    for jaw, count in enumerate(divisions, 1):
        page.get_by_label(f"Jaw {jaw}", exact=True).fill(str(abs(count)))
        if count < 0:
            page.get_by_label(f"Jaw {jaw} is below zero").tap()
    tablet.tap("Which jaw now?")


def seen_at_once(answer: Locator) -> None:
    """It stands at the top of what is in sight."""
    expect(answer).to_be_in_viewport()
    box = answer.bounding_box()
    assert box is not None and 0 <= box["y"] < 120


def for_a_thumb(button: Locator) -> None:
    """It is high enough for a thumb that does not look."""
    box = button.bounding_box()
    assert box is not None and box["height"] >= THUMB


@pytest.mark.parametrize("script", [True, False], ids=["script", "plain"])
def test_a_wheel_is_set_true_from_typed_readings(
    program: str, open_tablet: OpenTablet, size: tuple[int, int], script: bool
) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    path = begin(tablet, "Set true")
    if not script:
        # The build was made with script; the lathe's own tablet has none.
        tablet = open_tablet(program, script=False)
        page = tablet.page
        tablet.go("/")
        page.locator("#who-chip > summary").tap()
        page.get_by_label("Who is at the bench").fill("CD")
        tablet.tap("Remember")
        tablet.go(path)
    expect(page.get_by_label("Jaw 3", exact=True)).to_have_attribute("inputmode", "decimal")
    for jaw in range(1, 5):
        for_a_thumb(page.get_by_label(f"Jaw {jaw}", exact=True))
    for_a_thumb(tablet.button("Which jaw now?"))

    # On the outside jaw 1 reads highest: the wheel lies towards it, so jaw 3 gives way and jaw 1 pushes.
    type_round(tablet, 12, 1, -12, 1)
    seen_at_once(page.locator("#now .verdict-word"))
    move = page.locator(".true-move")
    expect(move).to_have_count(1)
    expect(move).to_contain_text(re.compile(r"Slacken\s+jaw 3\s+Tighten\s+jaw 1"))
    expect(move).to_contain_text("until the dial at jaw 1 reads 0.0 thou (0 divisions)")
    expect(page.locator(".clock-word")).to_have_text(["tighten", "leave", "slacken", "leave"])
    lies_well(tablet, size[0])
    again = tablet.button("Moved: read again, round 2")
    for_a_thumb(again)
    again.tap()
    expect(page.get_by_label("Jaw 1", exact=True)).to_be_in_viewport()

    type_round(tablet, 1, 0, 0, 1)
    seen_at_once(page.locator("#now .verdict-word"))
    expect(page.locator("#now .verdict-word")).to_have_text("Good: true enough, go on")
    for_a_thumb(tablet.button("Tick it: inside edge of the rim set true"))
    tablet.tap("Tick it: inside edge of the rim set true")
    tablet.go(path)
    expect(page.locator("#now")).to_contain_text("Ticked on the checklist: inside edge of the rim set true.")
    page.locator("#now").get_by_role("button", name="Done: close this set-up").tap()
    expect(page.locator("#closed")).to_contain_text("Set true from the back")
    page.get_by_role("link", name="Set-ups before").tap()
    expect(page.locator("#past summary")).to_contain_text("after 2 rounds")
    lies_well(tablet, size[0])


def test_a_wobbling_face_shows_where_to_tap(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    begin(tablet, "Wobble")
    page.get_by_text("Read another way").tap()
    tablet.tap("the face of the rim: does it wobble?")
    page.get_by_text("Read another way").tap()
    tablet.tap("8 spots, any angles")
    for spot, count in enumerate((0, 7, 10, 7, 0, -7, -10, -7), 1):
        page.get_by_label("Dial shows").nth(spot - 1).fill(str(abs(count)))
        if count < 0:
            page.get_by_label(f"Spot {spot} is below zero").tap()
    tablet.tap("Where must I tap?")
    seen_at_once(page.locator("#now .verdict-word"))
    expect(page.locator("#now .true-jaw")).to_contain_text("jaw 2")
    expect(page.locator(".clock-tap")).to_be_visible()
    lies_well(tablet, size[0])


def test_without_a_dial_high_and_low_are_tapped(
    program: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    begin(tablet, "By eye", dial="No dial: a scriber or pointer, by eye")
    for group, spot in (("high", "Jaw 1"), ("low", "Jaw 3")):
        label = page.locator(f"#{group} label").filter(has_text=spot).first
        box = label.bounding_box()
        assert box is not None and box["height"] >= 48 and box["width"] >= 48
        label.tap()
    tablet.tap("Which jaw now?")
    seen_at_once(page.locator("#now .verdict-word"))
    # On the outside the wheel lies towards the high spot.
    expect(page.locator(".true-move")).to_contain_text(re.compile(r"Slacken\s+jaw 3\s+Tighten\s+jaw 1"))
    lies_well(tablet, size[0])
    tablet.tap("I see no difference")
    expect(page.locator("#now .verdict-word")).to_have_text("True by eye: go on")
    for_a_thumb(tablet.button("Tick it: inside edge of the rim set true"))
    lies_well(tablet, size[0])
