"""The README's pictures, taken of the demo as it is today.

    python -m tests.screens [FOLDER]

A fresh demo in a file of its own, on a tablet that stands. Days and hours in the pictures are those of the taking.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image
from playwright.sync_api import Browser, Page, ViewportSize, sync_playwright

from tests.benchmarks.servers import running
from tests.benchmarks.tablet import due_bore
from tests.conftest import find_chromium

HERE = Path(__file__).parent
_TABLET: ViewportSize = {"width": 820, "height": 1180}
# A4 at the 96 dots of an inch that a browser counts.
_PAPER: ViewportSize = {"width": 794, "height": 1123}
_COLOURS = 128
_MOST_B = 120_000
_WHO = "spokeshed_who"


def build(page: Page) -> None:
    """What is next, and the engine side-on, inked in as far as it is."""
    page.goto("/builds/1")


def axle(page: Page) -> None:
    """The checklist, with the bore that is due typed and not yet written."""
    page.goto("/")
    due_bore(page, page.url.rstrip("/"))
    page.locator("#due [data-next]").first.fill("0.7512")
    page.locator("#due-band .trial").wait_for()
    # The row of keys goes as the box is left, and the whole sheet is seen.
    page.locator("#due [data-next]").first.blur()
    page.evaluate("scrollTo(0, 0)")


def lathe(page: Page) -> None:
    """The batch that is next, at the lathe."""
    page.goto("/builds/1")
    page.get_by_role("button", name="Begin").click()
    page.locator(".turn").first.wait_for()


def true(page: Page) -> None:
    """Setting true by a dial: which jaw, and how far."""
    page.goto("/castings/8/true")


def rods(page: Page) -> None:
    """Whether the rods go round."""
    page.goto("/builds/2/rods")


def made(page: Page) -> None:
    """The set as it was made, on paper."""
    page.set_viewport_size(_PAPER)
    page.emulate_media(media="print")
    page.goto("/builds/2/record")
    # On paper it stands at the foot of each page; on a screen it would lie over the first.
    page.evaluate("document.querySelector('.title-block').style.position = 'static'")
    # What does not fill a page is cut where it ends.
    ends = page.evaluate("Math.ceil(document.querySelector('.drawing').getBoundingClientRect().bottom)")
    page.set_viewport_size({"width": _PAPER["width"], "height": min(_PAPER["height"], ends)})


SCREENS: tuple[Callable[[Page], None], ...] = (build, axle, lathe, true, rods, made)


def _kept(shot: bytes, file: Path) -> int:
    """Few colours, as a drawing has; how many bytes that is."""
    with Image.open(BytesIO(shot)) as picture:
        few = picture.convert("RGB").quantize(_COLOURS, dither=Image.Dither.NONE)
    few.save(file, optimize=True)
    size = file.stat().st_size
    if size > _MOST_B:
        raise SystemExit(f"{file.name} takes {size} bytes, and more than {_MOST_B} are too many")
    return size


def _take(browser: Browser, address: str, folder: Path) -> None:
    for screen in SCREENS:
        tablet = browser.new_context(viewport=_TABLET, has_touch=True, base_url=address, color_scheme="light")
        tablet.add_cookies([{"name": _WHO, "value": "JD", "url": address}])
        page = tablet.new_page()
        screen(page)
        page.wait_for_load_state("networkidle")
        file = folder / f"{screen.__name__}.png"
        print(f"{file}: {_kept(page.screenshot(animations='disabled'), file)} bytes")
        tablet.close()


def main() -> None:
    """Take them all."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument(
        "folder", nargs="?", type=Path, default=HERE, help="where they go (usual: beside this script)"
    )
    folder = parser.parse_args().folder
    chromium = find_chromium()
    if chromium is None:
        raise SystemExit("no browser found: install Chromium, or name one by SPOKESHED_CHROMIUM")
    with (
        TemporaryDirectory() as data,
        running("webapp", "--demo", "--data", Path(data) / "demo.db", "--port", "0") as server,
        sync_playwright() as play,
    ):
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        _take(browser, f"http://127.0.0.1:{server.port}", folder)
        browser.close()


if __name__ == "__main__":
    main()
