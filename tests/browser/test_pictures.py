"""Every picture as a browser draws it: words over nothing, nothing cut off, one set of lines and words for all."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.drawn import FAULTS, HAND
from tests.browser.random_pictures import KINDS, random_pictures
from tests.browser.test_sheets import SHEETS

if TYPE_CHECKING:
    from playwright.sync_api import Browser

    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser

ROOT = Path(__file__).resolve().parents[2]
MANY = 40
# The wheel's own picture has no words but its "scrapped", which the demo shows.
_DRAWN = re.compile(r'<svg class="(?:drawn )?([\w-]+)[^>]*role="img"')
_PAGE = """<!doctype html><meta charset="utf-8"><style>{style}</style><body>
<svg width="0" height="0"><defs>{patterns}</defs></svg>{pictures}</body>"""


def names_in_templates() -> set[str]:
    """Every picture that says what it shows, by its class in the templates."""
    return {
        name
        for file in (ROOT / "templates").rglob("*.html")
        for name in _DRAWN.findall(" ".join(file.read_text().split()))
    }


def test_every_picture_is_drawn_by_lot() -> None:
    assert names_in_templates() - {"wheel"} == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_no_words_collide_in_random_builds(chromium: Browser, kind: str) -> None:
    static = ROOT / "static"
    style = "\n".join((static / name).read_text() for name in ("app.css", "due.css", "drawing.css"))
    patterns = "".join(
        re.findall(r"<pattern.*?</pattern>", (ROOT / "templates/base.html").read_text(), re.DOTALL)
    )
    page = chromium.new_page(viewport={"width": 1024, "height": 768})
    pictures = "\n".join(random_pictures(kind, MANY))
    page.set_content(_PAGE.format(style=style, patterns=patterns, pictures=pictures))
    drawn = page.locator("svg[role=img]")
    assert drawn.count() == MANY
    found = {at: faults for at in range(MANY) if (faults := drawn.nth(at).evaluate(FAULTS))}
    assert found == {}
    assert page.evaluate(HAND) == []
    page.close()


def test_no_words_collide_in_the_demo(demo: str, open_tablet: OpenTablet, size: tuple[int, int]) -> None:
    tablet = open_tablet(demo)
    page = tablet.page
    found: dict[str, list[str]] = {}
    seen: set[str] = set()
    for path in SHEETS:
        tablet.go(path)
        folded = page.locator(".fold-row").evaluate_all("all => all.map(e => e.getAttribute('href'))")
        for address in (path, *(one.partition("#")[0] for one in folded)):
            if address != path:
                if 'role="img"' not in page.request.get(demo + address).text():
                    continue
                tablet.go(address)
            # A label's code to scan is no drawing, and has no class.
            for one in page.locator("svg[role=img][class]").all():
                if one.is_visible():
                    seen.add((one.get_attribute("class") or "").replace("drawn ", "").split()[0])
                    if faults := one.evaluate(FAULTS):
                        found[f"{address} {one.get_attribute('class')}"] = faults
            if hand := page.evaluate(HAND):
                found[address] = hand
    assert found == {}
    # What an empty workshop and a build without steel tyres cannot show: no stub, no lathe, no tyre.
    assert names_in_templates() - seen <= {"mandrel-picture", "swing-picture", "tyre-picture"}
