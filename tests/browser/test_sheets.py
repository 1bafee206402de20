"""Every sheet as it lies on the tablet: nothing runs over the edge, and a thumb finds everything."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

LEAST_TARGET = 48
# In the invented build: W4 is scrapped, W7 has its place, W8 is a spare, and the three axles are at three stages.
SHEETS = (
    "/",
    "/builds/new",
    "/builds/1",
    "/builds/1/edit",
    "/builds/1/patterns/new",
    "/builds/1/patterns/1",
    "/builds/1/joints",
    "/builds/1/fits",
    "/builds/1/reaming",
    "/workshop",
    "/copies",
    "/workshop/instruments/new",
    "/axles/1",
    "/axles/2",
    "/axles/3",
    "/axles/1/seats/left",
    "/axles/2/assembly",
    "/axles/4/returning",
    "/axles/2/seats/right",
    "/axles/2/cautions",
    "/axles/2/journal",
    "/axles/2/setting",
    "/castings/4",
    "/castings/7",
    "/castings/8",
    "/castings/1/scrap",
    "/castings/1/measured",
    "/castings/2/bore",
    "/castings/2/throw",
    "/castings/2/cautions",
    "/axles/1/measured",
    "/castings/2/notes",
    "/axles/1/notes",
    "/ordering",
    "/builds/1/figures",
    "/builds/1/ordering",
    "/builds/1/hand",
    "/builds/1/receiving",
    "/builds/1/labels",
    "/builds/1/speeds",
    "/builds/1/made",
    "/builds/1/batches",
    "/builds/1/export",
    "/import",
    "/archived",
    "/find",
    "/find?q=bored",
    "/diary",
    "/diary?of=axle-1",
    "/builds/1/away",
    "/castings/5/receiving",
    "/castings/8/true",
    "/castings/6/true",
    "/castings/5/metal",
    "/castings/5/speeds",
    "/castings/5/swing",
    "/castings/2/mandrel",
    "/castings/2/tyre",
    "/castings/5/mandrel",
    "/castings/5/strokes",
    "/castings/5/settings",
    "/castings/5/card",
    "/axles/2/record",
    "/builds/1/record",
    "/castings/3/strokes/1",
    "/workshop/jigs/new",
    "/workshop/machines/new",
    "/workshop/chucks/new",
    "/devices",
    "/words",
    # The second invented build is ready for its rods.
    "/builds/2",
    "/builds/2/treads",
    "/builds/2/crankpins",
    "/builds/2/quartering",
    "/builds/2/rods",
    "/builds/2/balance",
    "/axles/5/quartering",
    "/axles/3/setting",
    "/axles/5/gauges",
    "/castings/11/tread",
)
PICTURED = {"build": "/builds/1", "axle": "/axles/2", "casting": "/castings/7"}

# Everything that is tapped, a link in a sentence too: a thumb finds none that is as high as its line.
TARGETS = """least => {
  const all = document.querySelectorAll('button, a[href], input:not([type=hidden]), select, textarea, summary');
  const seen = e => e.checkVisibility({ visibilityProperty: true }) && !e.matches('[aria-hidden="true"]');
  const found = [...all].filter(seen);
  const small = [];
  for (const e of found) {
    const box = (e.matches('[type=radio], [type=checkbox]') && e.closest('label') || e).getBoundingClientRect();
    if (box.height < least || box.width < least)
      small.push(`${e.tagName} ${e.id} “${e.textContent.trim().slice(0, 40)}” ${box.width} x ${box.height}`);
  }
  return [found.length, small];
}"""
# On a touch screen the browser zooms out to show what runs over; the screen's own width is the measure.
OVER = """width => [...document.querySelectorAll('body *')]
  .filter(e => e.getBoundingClientRect().right > width + 0.5 && e.checkVisibility() && !e.closest('.scroll, .unseen'))
  .map(e => `${e.tagName} ${e.id} ${e.className} ${e.getBoundingClientRect().right}`)"""


def lies_well(tablet: Tablet, width: int) -> None:
    """Nothing over the right edge, every target large enough."""
    page = tablet.page
    root = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert root == [width, width], f"{page.url}: {page.evaluate(OVER, width)}"
    count, small = page.evaluate(TARGETS, LEAST_TARGET)
    assert count > 0
    assert small == [], page.url


def unfold_all(tablet: Tablet) -> None:
    tablet.page.evaluate("document.querySelectorAll('details').forEach(e => { e.open = true })")


def folds_of(tablet: Tablet) -> list[str]:
    """The addresses of what is folded on a sheet and asked for of the program, which no script here can open."""
    found = """all => all.map(e => e.getAttribute('href')).filter(at => /[?&]open=/.test(at) && at.startsWith('/'))"""
    return list(dict.fromkeys(tablet.page.locator("main a[href*='open=']").evaluate_all(found)))


def test_every_sheet_lies_well(demo: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    """As it is opened, and with each of its folds open: what is folded is tapped too."""
    tablet = open_tablet(demo)
    opened: set[str] = set()
    for path in SHEETS:
        tablet.go(path)
        expect(tablet.page.get_by_role("heading", level=1)).to_be_visible()
        lies_well(tablet, size[0])
        folds = [one for one in folds_of(tablet) if one not in opened]
        opened.update(folds)
        unfold_all(tablet)
        lies_well(tablet, size[0])
        for fold in folds:
            tablet.go(fold)
            lies_well(tablet, size[0])
    assert len(opened) > len(SHEETS)


def test_pictures_of_the_sheets_are_kept(demo: str, open_tablet: OpenTablet, tmp_path: Path) -> None:
    tablet = open_tablet(demo)
    for name, path in PICTURED.items():
        tablet.go(path)
        tablet.page.screenshot(path=tmp_path / f"{name}.png", full_page=True)
        assert (tmp_path / f"{name}.png").stat().st_size > 0


def test_refusals_lie_well(demo: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(demo)
    page = tablet.page
    tablet.go("/builds/new")
    page.get_by_text("Axles and wheels", exact=True).tap()
    page.get_by_label("Tread diameter").fill("large")
    with tablet.refused(422):
        tablet.tap("Save the build")
    expect(page.locator(".field .error").first).to_be_visible()
    lies_well(tablet, size[0])
    tablet.go("/castings/4")
    with tablet.refused(422):
        tablet.tap("Undo the scrapping")
    expect(page.get_by_role("heading", level=1)).to_have_text("Who is at the bench?")
    lies_well(tablet, size[0])
    tablet.go("/axles/999")
    tablet.watch.provoked.append(404)
    lies_well(tablet, size[0])
    tablet.go("/axles/3")
    with tablet.refused(422):
        tablet.box(tablet.wheel("Left"), "bored").tap()
    expect(tablet.wheel("Left").get_by_role("alert")).to_be_visible()
    lies_well(tablet, size[0])


def test_the_dark_sheet_is_remembered(demo: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(demo)
    tablet.go("/builds/1")
    paper = "getComputedStyle(document.querySelector('.drawing')).backgroundColor"
    light = tablet.page.evaluate(paper)
    tablet.page.get_by_role("button", name="Dark sheet").tap()
    dark = tablet.page.evaluate(paper)
    assert dark != light
    tablet.go("/axles/1")
    assert tablet.page.evaluate(paper) == dark
    tablet.page.get_by_role("button", name="Light sheet").tap()
    assert tablet.page.evaluate(paper) == light


def test_a_new_device_is_asked_for_the_code_once(
    run_program: Callable[..., AbstractContextManager[str]],
    address_of: Callable[[str], str],
    open_tablet: OpenTablet,
    size: tuple[int, int],
    tmp_path: Path,
) -> None:
    with run_program(tmp_path, "--host", "0.0.0.0") as printed:
        code = printed.split("Code for a new device: ")[1][:6]
        tablet = open_tablet(address_of(printed))
        tablet.go("/")
        tablet.watch.provoked.append(401)
        lies_well(tablet, size[0])
        tablet.page.get_by_label("Code").fill(code)
        tablet.tap("Open the sheets")
        expect(tablet.page.get_by_role("heading", level=1)).to_have_text("Builds")
        tablet.go("/builds/new")
        expect(tablet.page.get_by_role("heading", level=1)).to_have_text("Start a build")


def test_the_watch_is_not_blind(demo: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(demo)
    tablet.go("/")
    tablet.settle()
    tablet.page.evaluate("document.body.setAttribute('style', 'margin: 3px')")
    tablet.page.evaluate("setTimeout(() => { throw new Error('on purpose') })")
    tablet.page.evaluate("fetch('http://example.invalid/').catch(() => {})")
    tablet.page.wait_for_timeout(200)
    seen = "\n".join(tablet.watch.complaints)
    assert "inline style" in seen
    assert "page error: on purpose" in seen
    assert "example.invalid" in seen
    with pytest.raises(AssertionError):
        tablet.settle()
    tablet.watch.complaints.clear()
    tablet.watch.requests.clear()


MOST_SCREENS = 2


@pytest.mark.parametrize("script", [True, False], ids=["script", "plain"])
def test_every_sheet_is_short_before_anything_is_opened(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int], script: bool
) -> None:
    """Answer, picture and the one thing to do; forms, tables and workings are asked for."""
    tablet = open_tablet(demo, script=script)
    # Somebody the device knows: a form asks for the initials only as long as nobody has said them.
    tablet.context.add_cookies([{"name": "spokeshed_who", "value": "AB", "url": demo}])
    long = []
    # What is made for paper is as long as its pages, which test_paper.py counts.
    for path in (one for one in SHEETS if not one.endswith(("/card", "/record"))):
        tablet.go(path)
        screens = tablet.page.evaluate("document.documentElement.scrollHeight / innerHeight")
        if screens > MOST_SCREENS:
            long.append(f"{path}: {screens:.2f} screens")
    assert long == []
