"""A photo taken with the tablet, seen beside the history, and taken away; and labels as they come out of the printer."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_sheets import lies_well
from tests.webapp.photos import on_its_side

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser

PAPER = ("A4", "Letter")
# What lies outside its label, or is wider than the room it has.
CLIPPED = """() => [...document.querySelectorAll('.label-cut')].flatMap(label => {
  const cut = label.getBoundingClientRect();
  return [label, ...label.children].filter(e => {
    const box = e.getBoundingClientRect();
    return e.scrollWidth > e.clientWidth + 1 && e !== label.querySelector('svg') && getComputedStyle(e).display !== 'inline'
      || box.left < cut.left - .5 || box.right > cut.right + .5 || box.top < cut.top - .5 || box.bottom > cut.bottom + .5;
  }).map(e => `${label.textContent}: ${e.tagName}`);
})"""


@pytest.mark.parametrize("script", [True, False], ids=["script", "plain"])
def test_a_photo_is_taken_seen_and_taken_away(
    program: str, open_tablet: OpenTablet, size: tuple[int, int], tmp_path: Path, script: bool
) -> None:
    tablet = open_tablet(program, script=script)
    build = tablet.start_build("With photos", "AB")
    page = tablet.page
    photo = tmp_path / "camera.jpg"
    photo.write_bytes(on_its_side(3200, 2400))
    tablet.go(build)
    tablet.open_axle(1)
    own = tablet.casting("Left")
    tablet.go(f"/castings/{own}?open=done#fold-done")
    expect(page.locator("#slip-done")).to_contain_text("Nothing noted yet.")
    tablet.tap("Write a note or take a photo")
    lies_well(tablet, size[0])
    # Nothing typed and nothing taken.
    with tablet.refused(422):
        tablet.button("Keep it").tap()
    expect(page.locator("#words-error")).to_have_text("Write a note, or take a photo.")
    (tmp_path / "no.jpg").write_text("no picture")
    page.get_by_label("Photo", exact=True).set_input_files(tmp_path / "no.jpg")
    page.get_by_label("Note", exact=True).fill("Blowhole in the boss")
    with tablet.refused(422):
        tablet.button("Keep it").tap()
    expect(page.locator("#photo-error")).to_contain_text("no picture that can be read")
    expect(page.get_by_label("Note", exact=True)).to_have_value("Blowhole in the boss")
    page.get_by_label("Photo", exact=True).set_input_files(photo)
    tablet.tap("Keep it")
    lies_well(tablet, size[0])
    # Words alone are kept on the tablet like any other form.
    page.get_by_label("Note", exact=True).fill("Filed away")
    tablet.tap("Keep it")
    expect(page.locator("#notes li")).to_have_count(2)
    tablet.go(f"/castings/{own}")
    with tablet.page.expect_response(re.compile("small.jpg")):
        page.get_by_role("link", name="notes and photos: 2").tap()
    picture = page.get_by_role("img", name="Photo: Blowhole in the boss")
    expect(picture).to_be_visible()
    assert picture.evaluate("async e => { await e.decode(); return [e.naturalWidth, e.naturalHeight] }") == [
        120,
        160,
    ]
    lies_well(tablet, size[0])
    with page.expect_navigation():
        picture.tap()
    assert page.evaluate("[document.images[0].naturalWidth, document.images[0].naturalHeight]") == [
        1200,
        1600,
    ]
    tablet.go(f"/castings/{own}/notes")
    tablet.tap("Take away: Blowhole in the boss")
    expect(page.get_by_role("heading", name="Take it away?")).to_be_visible()
    lies_well(tablet, size[0])
    tablet.tap("Take it away")
    expect(page.locator("#notes li")).to_have_count(1)
    tablet.go(f"/castings/{own}?open=done")
    expect(page.locator("#casting-journal")).to_contain_text("Took away AB's photo “Blowhole in the boss”.")


def test_a_note_written_out_of_reach_is_kept_and_sent_later(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    build = tablet.start_build("Out of reach", "AB")
    tablet.go(build)
    tablet.open_axle(1)
    tablet.go(f"/castings/{tablet.casting('Left')}/notes")
    page = tablet.page
    page.get_by_label("Note", exact=True).fill("Chill at the rim")
    with tablet.away():
        tablet.button("Keep it").tap()
        expect(page.locator("#unsaved")).to_contain_text("Not saved yet")
        page.wait_for_timeout(300)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator("#unsaved")).to_contain_text("Saved now")
    tablet.go(page.url.removeprefix(program))
    expect(page.locator("#notes li")).to_have_count(1)


# ---- Labels ----------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def paper(chromium: Browser) -> Iterator[Page]:
    """A browser that prints."""
    context = chromium.new_context()
    yield context.new_page()
    context.close()


def pages_of(page: Page, kind: str) -> int:
    """How many sheets of paper come out."""
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=kind)))


@pytest.mark.parametrize("kind", PAPER)
def test_the_labels_of_an_engine_are_on_one_sheet(demo: str, paper: Page, kind: str) -> None:
    paper.goto(f"{demo}/builds/1/labels")
    assert pages_of(paper, kind) == 1
    paper.emulate_media(media="print")
    assert paper.evaluate(CLIPPED) == []


def test_many_labels_with_long_marks_are_cut_nowhere(
    program: str, open_tablet: OpenTablet, size: tuple[int, int], paper: Page
) -> None:
    tablet = open_tablet(program)
    name = f"Long{'W' * 56}"
    marks = [f"{'W' * 10}{number}" for number in range(10, 41)]

    def many(page: Page) -> None:
        page.get_by_text("Castings", exact=True).first.tap()
        page.get_by_label("How many were bought").fill(str(len(marks)))
        page.get_by_label("Their marks").fill(" ".join(marks))

    build = tablet.start_build(name, "AB", many)
    tablet.go(f"{build}/labels")
    lies_well(tablet, size[0])
    paper.goto(f"{program}{build}/labels")
    paper.emulate_media(media="print")
    expect(paper.locator(".label-cut")).to_have_count(len(marks))
    assert paper.evaluate(CLIPPED) == []
    for kind in PAPER:
        assert pages_of(paper, kind) == 3


def test_the_button_prints(demo: str, paper: Page) -> None:
    paper.emulate_media(media="screen")
    paper.goto(f"{demo}/builds/1/labels")
    paper.evaluate("window.print = () => { document.body.dataset.printed = 'yes' }")
    paper.get_by_role("button", name="Print").click()
    assert paper.evaluate("document.body.dataset.printed") == "yes"


def test_what_is_clipped_is_seen(demo: str, paper: Page) -> None:
    paper.goto(f"{demo}/builds/1/labels")
    paper.evaluate("document.querySelector('.label-cut .mark').textContent = 'W'.repeat(60)")
    assert paper.evaluate(CLIPPED) != []
