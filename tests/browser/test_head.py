"""The head of every sheet says whole what it is about, whoever is at the bench and however narrow the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.browser.test_sheets import SHEETS

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser

_NARROW = 320
# An ellipsis stands where the words are wider than their box, be it by a fiftieth of a pixel; and nothing lies on them.
CUT = """() => {
  const head = document.querySelector('.crumbs [aria-current]');
  if (!head) return '';
  const words = document.createRange();
  words.selectNodeContents(head);
  const said = words.getBoundingClientRect(), box = head.getBoundingClientRect();
  const over = [...document.querySelectorAll('.topline a, .topline .tally, .topline summary')].filter(e => {
    const one = e.getBoundingClientRect();
    return one.left < said.right && one.right > said.left && one.top < said.bottom && one.bottom > said.top;
  }).map(e => e.textContent.trim());
  const fits = said.left >= box.left && said.right <= box.right && said.bottom <= box.bottom
    && said.right <= innerWidth;
  return fits && !over.length ? '' : `${head.textContent}: ${said.right} of ${box.right}, under ${over}`;
}"""


@pytest.mark.parametrize("width", [None, _NARROW])
def test_the_name_of_a_sheet_is_whole_before_anybody_gave_initials(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int], width: int | None
) -> None:
    tablet = open_tablet(demo)
    tablet.page.set_viewport_size({"width": width or size[0], "height": size[1]})
    cut = []
    for path in SHEETS:
        tablet.go(path)
        if said := tablet.page.evaluate(CUT):
            cut.append(f"{path}: {said}")
    assert cut == []


def test_the_title_block_is_whole_where_one_system_is_shown(
    demo: str, open_tablet: OpenTablet, size: tuple[int, int]
) -> None:
    tablet = open_tablet(demo)
    tablet.context.add_cookies([{"name": "spokeshed_numbers", "value": "own", "url": demo}])
    for path in ("/axles/1", "/castings/1/measured", "/find"):
        tablet.go(path)
        cells = tablet.page.locator(".title-block dd")
        cut = cells.evaluate_all(
            "all => all.filter(e => e.scrollWidth > e.clientWidth).map(e => e.textContent)"
        )
        assert (cells.count(), cut) == (6, []), path
