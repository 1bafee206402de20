"""What is made for paper, page by page on A4 and Letter: no page too many, a title block on each, no text clipped."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser

# The width of a page inside its margins of 8 mm, in pixels of 96 to the inch.
PAPER = {"A4": 733, "Letter": 755}
# In the invented builds: a wheel that is far, one scrapped, one just begun, a spare, and one ready for its rods.
CARDS = ("/castings/1/card", "/castings/4/card", "/castings/5/card", "/castings/8/card", "/castings/11/card")
RECORDS = ("/axles/1/record", "/axles/2/record", "/axles/3/record", "/axles/5/record")
SETS = ("/builds/1/record", "/builds/2/record")
# Ordinary sheets are printed too: one of one page, and one of many.
ORDINARY = ("/axles/1", "/axles/2", "/axles/2/journal", "/words?of=wheel", "/builds/2/treads")
# Whatever runs over the page, or over its own box, or is cut off there; and text that the title block's room does not hold.
CLIPPED = """width => {
  const bad = [];
  for (const e of document.querySelectorAll('main *, .title-block, .title-block *')) {
    if (!e.checkVisibility() || e.closest('svg, .unseen') || !e.textContent.trim()) continue;
    const box = e.getBoundingClientRect(), name = `${e.tagName}.${e.className} “${e.textContent.trim().slice(0, 40)}”`;
    if (box.right > width + 0.5 || box.left < -0.5) bad.push(`over the page: ${name}`);
    if (getComputedStyle(e).display !== "inline" && e.scrollWidth > e.clientWidth + 1) bad.push(`over its box: ${name}`);
    if (getComputedStyle(e).overflowY === 'hidden' && e.scrollHeight > e.clientHeight + 1) bad.push(`cut off: ${name}`);
  }
  const foot = document.querySelector('table.paper > tfoot td');
  const block = document.querySelector('.title-block').getBoundingClientRect().height;
  if (foot && block > foot.getBoundingClientRect().height) bad.push('the title block is higher than its room');
  return bad;
}"""
BOXES = """() => [...document.querySelectorAll('input, select, textarea, main button:not(.tick), nav.foot-nav, .button')]
  .filter(e => e.type !== 'hidden' && e.checkVisibility()).map(e => e.outerHTML.slice(0, 120))"""
COLOURED = """() => [...document.querySelectorAll('body, main *, .title-block *')].filter(e => e.checkVisibility())
  .filter(e => { const [r, g, b] = getComputedStyle(e).color.match(/[0-9.]+/g); return r !== g || g !== b || r > 100 })
  .map(e => `${e.tagName}.${e.className} ${getComputedStyle(e).color}`)"""


@dataclass(frozen=True)
class Printed:
    """One page of a sheet: its text above the title block, and the title block's."""

    text: str
    title: str


def printed(page: Page, paper: str) -> tuple[Printed, ...]:
    """The pages a sheet prints on; what stands lower than the title block's first words is its own."""
    page.emulate_media(media="null")
    return tuple(_split(one) for one in PdfReader(BytesIO(page.pdf(format=paper))).pages)


def _split(page: Any) -> Printed:
    pieces: list[tuple[float, str]] = []

    def seen(text: str, cm: list[float], tm: list[float], _font: object, _size: float) -> None:
        # Where the text stands on the page, from its foot up.
        pieces.append((tm[4] * cm[1] + tm[5] * cm[3] + cm[5], text))

    whole = page.extract_text(visitor_text=seen)
    assert whole.strip(), "an empty page"
    starts = [at for at, text in pieces if text.strip() == "Sheet"]
    assert starts, f"a page without a title block: {whole[:200]}"
    top = min(starts) + 1
    return Printed(
        "".join(text for at, text in pieces if at > top), "".join(text for at, text in pieces if at <= top)
    )


@pytest.fixture
def desk(chromium: Browser) -> Iterator[Page]:
    context = chromium.new_context(color_scheme="dark", viewport={"width": 1024, "height": 768})
    yield context.new_page()
    context.close()


def bare(text: str) -> str:
    """Without blanks: a line that goes on below has none at its end on paper."""
    return "".join(text.split())


def lies_on_paper(page: Page, address: str, path: str, build: str, most: int) -> None:
    """At most so many pages of each size, each with the title block of its sheet; nothing clipped, no boxes, no colour."""
    for paper, width in PAPER.items():
        page.set_viewport_size({"width": width, "height": 1000})
        page.emulate_media(media="print")
        assert page.goto(address + path)
        assert page.evaluate(CLIPPED, width) == [], f"{path} on {paper}"
        assert page.evaluate(BOXES) == [], path
        assert page.evaluate(COLOURED) == [], path
        name = page.locator(".title-block-sheet dd").inner_text()
        pages = printed(page, paper)
        assert 1 <= len(pages) <= most, f"{path} on {paper}: {len(pages)} pages"
        for one in pages:
            title = bare(one.title)
            assert bare(build) in title and bare(name) in title, one.title
            # Nearly blank is no page.
            assert len(one.text.split()) > 12, f"{path} on {paper}: {one.text}"


@pytest.mark.parametrize(("paths", "most"), [(CARDS, 1), (RECORDS, 2), (SETS, 4), (ORDINARY, 9)])
def test_the_demo_on_paper(demo: str, desk: Page, paths: tuple[str, ...], most: int) -> None:
    for path in paths:
        first = path in ("/castings/11/card", "/axles/5/record", "/builds/2/record", "/builds/2/treads")
        build = (
            ""
            if path == "/words?of=wheel"
            else "set, ready for its rods"
            if first
            else "Invented six-coupled tank engine"
        )
        lies_on_paper(desk, demo, path, build, most)


def test_an_axle_prints_on_one_page(demo: str, desk: Page) -> None:
    for path in ("/axles/1", "/axles/2"):
        lies_on_paper(desk, demo, path, "Invented six-coupled tank engine", 1)


def test_a_build_prints_on_one_page_and_leads_nowhere(demo: str, desk: Page) -> None:
    for path, name in (
        ("/builds/1", "Invented six-coupled tank engine"),
        ("/builds/2", "set, ready for its rods"),
    ):
        lies_on_paper(desk, demo, path, name, 1)
        (page,) = printed(desk, "A4")
        for words in ("How many to buy", "Find", "›", "changes of set-up", "More castings", "Diary"):
            assert words not in page.text
        assert "Last done" in page.text and "Not right: " in page.text and "Axle 1" in page.text
    desk.goto(demo + "/builds/1")
    assert "1 scrapped" in printed(desk, "A4")[0].text


def test_the_record_of_a_set_opens_with_its_sizes_and_its_signatures(demo: str, desk: Page) -> None:
    lies_on_paper(desk, demo, "/builds/2/record", "set, ready for its rods", 3)
    for paper in PAPER:
        first, *rest = printed(desk, paper)
        for words in (
            "Bore",
            "Seat",
            "Gap",
            "Throw",
            "Pin",
            "Tread diameter",
            "0.7512 in",
            "Made by",
            "Passed by",
        ):
            assert words in first.text, words
        assert "Every size against its limits" in rest[0].text
        # What was let pass is read before it is signed.
        assert first.text.index("Let pass") < first.text.index("Made by")
        for page in (first, *rest):
            # A day, and nobody who was not said; the minute is the screen's.
            assert re.search(r"Date\s*\d+ \w+ \d{4}", page.title) and ":" not in page.title
            assert "not said" not in page.title and "At the bench" not in page.title
    desk.emulate_media(media="screen")
    block = desk.locator(".title-block").inner_text()
    assert re.search(r"\d{4} \d\d:\d\d", block) and "not said" in block


@pytest.mark.parametrize("count", [1, 8, 9, 12, 15, 30])
def test_much_that_was_let_pass_leaves_no_page_nearly_blank(demo: str, desk: Page, count: int) -> None:
    """However much it is: no page of the record holds a line and the signatures alone."""
    for paper, width in PAPER.items():
        desk.set_viewport_size({"width": width, "height": 1000})
        desk.emulate_media(media="print")
        desk.goto(demo + "/builds/2/record")
        desk.evaluate(
            """count => { const list = document.querySelector('.record-passed ul');
            const one = list.children[0].outerHTML; list.innerHTML = one.repeat(count); }""",
            count,
        )
        *pages, last = printed(desk, paper)
        # A page in the middle is full: the table goes on there.
        for page in pages[1:]:
            assert len(page.text.split()) > 150, f"{count} on {paper}: {page.text}"
        assert last.text.strip()


def test_a_tender_and_a_batch_on_paper(program: str, open_tablet: OpenTablet, desk: Page) -> None:
    name = "Engine with a long name that its builder wanted, and tender"
    tablet = open_tablet(program)
    page = tablet.page
    build = tablet.start_build(name, "ABCD")
    tablet.go(f"{build}?open=drawing")
    tablet.describe_tender("4 5", "TENDERMARK12 T2 T3 T4 T5")
    tablet.tap("Save the pattern")
    for axle, mark in (("Axle 1", "W1"), ("Axle 4, tender", "TENDERMARK12")):
        tablet.go(build)
        tablet.tap(axle)
        lies_on_paper(desk, program, f"{page.url.removeprefix(program)}/record", name, 2)
        tablet.tap(mark)
        lies_on_paper(desk, program, f"{page.url.removeprefix(program)}/card", name, 1)
    # Of two patterns and five axles.
    lies_on_paper(desk, program, f"{build}/record", name, 4)
    tablet.go(f"{build}/batches")
    tablet.tap("Start this batch")
    lies_on_paper(desk, program, f"{page.url.removeprefix(program)}/card", name, 2)
    tablet.settle()


def test_the_button_prints(demo: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(demo)
    tablet.page.add_init_script("window.print = () => { document.title = 'printed' }")
    for path in ("/castings/1/card", "/axles/1/record", "/builds/1/record"):
        tablet.go(path)
        tablet.page.get_by_role("button", name="Print", exact=True).tap()
        expect(tablet.page).to_have_title("printed")
    plain = open_tablet(demo, script=False)
    plain.go("/castings/1/card")
    expect(plain.page.get_by_role("button", name="Print", exact=True)).to_have_count(0)
    expect(plain.page.get_by_text("Print it from the browser's own menu.")).to_be_visible()


@pytest.mark.parametrize(
    ("sheet", "words", "leads"),
    [
        ("/castings/1", "Route card, to print", "/castings/1/card"),
        ("/axles/1/journal", "Axle record, to print", "/axles/1/record"),
        ("/builds/1/made", "Wheel-set record, to print", "/builds/1/record"),
    ],
)
def test_paper_is_reached_from_its_sheet(
    demo: str, open_tablet: OpenTablet, sheet: str, words: str, leads: str
) -> None:
    tablet = open_tablet(demo)
    tablet.go(sheet)
    tablet.tap(words)
    assert tablet.page.url == demo + leads
