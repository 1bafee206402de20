"""The build sheet and the start of a build on a tablet: what a person looks for stands on the first screen."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

import pytest
from PIL import Image
from playwright.sync_api import Locator, expect

from tests.browser.test_sheets import lies_well

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser

LEAST_TAP = 48
PIXELS_HIGH = "e => parseFloat(getComputedStyle(e).fontSize)"
MOST_SCREENS = 2
# Both invented builds; what is not right of the first is a joint and a casting, of the second the quartering and the rods.
DEMO = {"/builds/1": 2, "/builds/2": 2}


def on_first_screen(found: Locator, height: int) -> None:
    """The whole of it is seen without scrolling."""
    box = found.bounding_box()
    assert box is not None
    assert box["y"] >= 0 and box["y"] + box["height"] <= height, (found, box)


@pytest.mark.parametrize("script", [True, False])
@pytest.mark.parametrize("path", DEMO)
def test_next_last_done_and_not_right_stand_on_the_first_screen(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int], path: str, script: bool
) -> None:
    tablet = open_tablet(demo, script=script)
    page, (width, height) = tablet.page, size
    tablet.go(path)
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    main = tablet.button("Begin").or_(tablet.button("Go on")).or_(tablet.button("See to it"))
    lines = page.locator(".build-line[data-state=amiss]")
    expect(lines).to_have_count(DEMO[path])
    for found in (
        page.locator("#tally"),
        page.locator("#next h2"),
        main,
        page.locator("#last-done"),
        *lines.all(),
    ):
        on_first_screen(found, height)
    for target in (main, page.locator("#last-done"), *lines.all(), *page.locator(".place").all()):
        box = target.bounding_box()
        assert box is not None and box["height"] >= LEAST_TAP
    # A mark is right in the middle of what is read first: the wheels begin there too.
    first_wheel = page.locator(".engine .wheel").first.bounding_box()
    assert first_wheel is not None and first_wheel["y"] < height
    assert page.evaluate("document.documentElement.scrollHeight") <= MOST_SCREENS * height
    lies_well(tablet, width)


def test_what_is_scrapped_and_what_is_not_right_are_seen_from_afar(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(demo)
    page = tablet.page
    tablet.go("/builds/1")
    scrapped = page.locator(".engine-scrapped")
    expect(scrapped).to_contain_text("1 scrapped")
    expect(scrapped.locator("s")).to_have_text("W4")
    on_first_screen(scrapped, size[1])
    assert scrapped.evaluate(PIXELS_HIGH) >= 24
    # A cross of heavy strokes over each wheel that is not right, and beside the words that say so: none is scrapped.
    expect(scrapped.locator(".of-cross")).to_have_text("not right")
    for cross in (
        scrapped.locator(".of-cross .cross"),
        *page.locator(".place[data-state=amiss] .cross").all(),
    ):
        assert float(cross.evaluate("e => parseFloat(getComputedStyle(e).strokeWidth)")) >= 6
        on_first_screen(cross, size[1])
        box = cross.bounding_box()
        assert box is not None and min(box["width"], box["height"]) >= 14
    expect(page.locator(".place[data-state=amiss]")).to_have_count(2)
    tablet.go("/builds/2")
    expect(page.locator(".engine-scrapped")).to_have_count(0)


def test_a_bored_wheel_is_told_from_one_that_is_not_at_a_quarter_of_its_size(
    demo: str, open_tablet: OpenTablet
) -> None:
    tablet = open_tablet(demo)
    tablet.go("/builds/1")
    darkest = {}
    for place in tablet.page.locator(".place").all():
        seen = place.locator(".wheel").screenshot()
        grey = Image.open(BytesIO(seen)).convert("L")
        small = grey.resize((grey.width // 4, grey.height // 4), Image.Resampling.LANCZOS)
        x, y = small.width // 2, small.height // 2
        darkest[place.locator(".mark").inner_text()] = min(
            value for value in small.crop((x - 3, y - 3, x + 4, y + 4)).tobytes()
        )
    unbored = {darkest.pop(mark) for mark in ("W5", "W6")}
    assert darkest.keys() == {"W1", "W2", "W3", "W7"}
    # The bore is a dark ring, and without one there is only hatching.
    assert max(darkest.values()) + 60 <= min(unbored), (darkest, unbored)


def test_last_done_is_whole(demo: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(demo)
    words = tablet.page.locator("#last-done > strong")
    cut = "e => [e.scrollWidth > e.clientWidth, e.scrollHeight > e.clientHeight + 1]"
    # Of a form with many figures it is said that it was changed: the diary tells each.
    for build, end in ((1, "deep."), (2, "Changed cuts and allowances")):
        tablet.go(f"/builds/{build}")
        assert words.inner_text().endswith(end)
        assert words.evaluate(cut) == [False, False]
        # Nor is a line that tells of one thing at length cut off.
        words.evaluate("e => { e.textContent = 'Ticked pressed. Let pass: what was in doubt. '.repeat(6) }")
        assert words.evaluate(cut) == [False, False]


@pytest.mark.parametrize("script", [True, False])
def test_a_line_and_a_wheel_lead_to_their_sheets(demo: str, open_tablet: OpenTablet, script: bool) -> None:
    tablet = open_tablet(demo, script=script)
    page = tablet.page
    tablet.go("/builds/1")
    expect(page.locator(".build-line[data-state=amiss]").first).to_contain_text(
        "Not right: W7 is 4.3 thou too slack"
    )
    with tablet.leads_on():
        page.locator(".build-line[data-state=amiss]").first.tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Bore of W7")
    tablet.go("/builds/1")
    expect(page.locator(".place[data-next]")).to_contain_text("W5")
    with tablet.leads_on():
        page.locator(".place[data-next]").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Axle 3")
    tablet.go("/builds/1")
    with tablet.leads_on():
        page.locator("#last-done").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Diary")
    expect(page.locator("ol.journal > li").first).to_be_visible()


def test_folds_open_in_place_one_at_a_time(demo: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(demo)
    page = tablet.page
    tablet.go("/builds/1")
    for own, inside in (("drawing", "table.figures"), ("more-castings", "form")):
        expect(page.locator(f"#slip-{own} {inside}")).to_have_count(0)
        page.locator(f"#fold-{own} .fold-row").tap()
        expect(page.locator(f"#slip-{own} {inside}")).to_be_visible()
        lies_well(tablet, size[0])


def test_castings_that_have_come_are_written_down_from_the_fold(
    program: str, open_tablet: OpenTablet
) -> None:
    tablet = open_tablet(program, script=False)
    page = tablet.page
    build = tablet.start_build("More of them", "AB")
    tablet.tap("More castings have come")
    page.get_by_label("Their marks").fill("W1")
    with tablet.refused(422):
        tablet.tap("Write them down")
    expect(page.get_by_label("Their marks")).to_have_value("W1")
    page.get_by_label("Their marks").fill("W9")
    tablet.tap("Write them down")
    expect(page).to_have_url(tablet.address + build)
    expect(page.locator("#stock")).to_contain_text("W9")


@pytest.mark.parametrize("script", [True, False])
def test_a_fresh_build_and_its_start_fit_their_screens(
    program: str, open_tablet: OpenTablet, size: tuple[int, int], script: bool
) -> None:
    tablet = open_tablet(program, script=script)
    page, (width, height) = tablet.page, size
    tablet.go("/builds/new")
    for label in ("Name of the build", "Your initials", "Wheel standard", "How many axles"):
        on_first_screen(page.get_by_label(label), height)
    for fit in ("Bond", "Press fit", "Shrink fit"):
        on_first_screen(page.locator("label", has_text=fit).first, height)
    on_first_screen(tablet.button("Save the build"), height)
    if height > width:
        assert page.evaluate("document.documentElement.scrollHeight") <= height
    lies_well(tablet, width)
    # A refused figure opens its fold, and what was typed stays.
    page.get_by_label("Name of the build").fill("Fresh")
    page.get_by_label("Your initials").fill("AB")
    page.get_by_text("Axles and wheels", exact=True).tap()
    page.get_by_label("Tread diameter").fill("large")
    page.get_by_text("Axles and wheels", exact=True).tap()
    expect(page.get_by_label("Tread diameter")).not_to_be_visible()
    with tablet.refused(422):
        tablet.tap("Save the build")
    expect(page.get_by_label("Tread diameter")).to_be_visible()
    expect(page.get_by_label("Tread diameter")).to_have_value("large")
    expect(page.get_by_label("Quarter angle, degrees")).not_to_be_visible()
    page.get_by_label("Tread diameter").fill("5 1/8 in")
    tablet.tap("Save the build")
    expect(page.get_by_role("heading", level=1)).to_have_text("Fresh")
    for found in (page.locator("#next h2"), tablet.button("Begin"), page.locator("#last-done")):
        on_first_screen(found, height)
    assert page.evaluate("document.documentElement.scrollHeight") <= MOST_SCREENS * height
    lies_well(tablet, width)


def test_the_list_tells_of_each_build(demo: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(demo)
    tablet.go("/")
    cards = tablet.page.locator(".build-card")
    expect(cards).to_have_count(2)
    for card in cards.all():
        on_first_screen(card, size[1])
        for words in ("of 42", "Last done", "Next"):
            expect(card).to_contain_text(words)
        lines = card.locator(".build-card-line")
        for line in lines.all():
            box = line.bounding_box()
            assert box is not None and box["height"] < 40, "one line"
    lies_well(tablet, size[0])


def test_twelve_axles_stand_in_a_row(program: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(program)
    page = tablet.page
    tablet.start_build("Twelve", "AB", lambda page: page.get_by_label("How many axles").fill("12"))
    expect(page.locator(".engine .place")).to_have_count(24)
    tops = page.eval_on_selector_all(
        ".engine-side[data-side=left] .wheel", "all => all.map(e => e.getBoundingClientRect().top)"
    )
    # On one rail, to what a browser rounds.
    assert max(tops) - min(tops) < 0.1
    lies_well(tablet, size[0])
    assert page.evaluate("document.documentElement.scrollHeight") <= MOST_SCREENS * size[1]


@pytest.mark.parametrize("script", [True, False])
def test_another_standard_takes_nothing_that_was_typed(
    demo: str, open_tablet: OpenTablet, script: bool
) -> None:
    """With script what is proposed follows at once; without, at the button. Typed figures and open folds stay."""
    tablet = open_tablet(demo, script=script)
    page = tablet.page
    tablet.go("/builds/new")
    page.locator("#of-wheels > summary").tap()
    page.get_by_label("Tread diameter").fill("180 mm")
    page.get_by_label("How many axles").fill("2")
    page.get_by_role("radio", name="Press fit").check()
    if script:
        page.locator("#of-track > summary").tap()
    page.get_by_label("Wheel standard").select_option("ibls-7.25")
    if not script:
        page.locator("#of-track > summary").tap()
        expect(page.get_by_label("Track gauge")).to_have_value("5 in")
        tablet.tap("Fill in the chosen standard's figures")
    expect(page.get_by_label("Track gauge")).to_have_value("7.25 in")
    expect(page.get_by_role("status").filter(has_text="Now by 7 1/4 in gauge")).to_contain_text(
        "Kept as typed: tread diameter."
    )
    for fold in ("#of-track", "#of-wheels"):
        expect(page.locator(fold)).to_have_attribute("open", "")
    expect(page.get_by_label("Tread diameter")).to_have_value("180 mm")
    expect(page.get_by_label("Crank throw")).to_have_value("1 5/8 in")
    expect(page.get_by_label("How many axles")).to_have_value("2")
    expect(page.get_by_role("radio", name="Press fit")).to_be_checked()
    if script:
        page.get_by_label("Flange width").fill("0.12 in")
        tablet.button("Fill in the chosen standard's figures").tap()
        expect(
            page.get_by_role("status").filter(has_text="Flange width was 0.12 in, now 0.153 in.")
        ).to_be_visible()
        expect(page.locator("#of-wheels")).to_have_attribute("open", "")


def test_the_figure_that_is_needed_has_the_most_room(demo: str, open_tablet: OpenTablet) -> None:
    """A throw is typed alone as a rule; the plugs it may be read over are rarely needed."""
    tablet = open_tablet(demo)
    tablet.go("/axles/2?due=throw-3")
    boxes = [
        tablet.page.locator(f"#due-throw-3 [name={name}]").bounding_box()
        for name in ("reading", "plug_one", "plug_two")
    ]
    throw, *plugs = (box["width"] for box in boxes if box is not None)
    assert len(plugs) == 2 and throw > 1.5 * max(plugs)


def test_the_workshops_list_is_reached_by_a_thumb(demo: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(demo)
    tablet.go("/axles/5/quartering?open=log")
    link = tablet.page.get_by_role("link", name="The workshop's list").first
    box = link.bounding_box()
    assert box is not None and box["height"] >= LEAST_TAP
