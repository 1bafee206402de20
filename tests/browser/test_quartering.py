"""Heights logged by touch: the verdict changes from not right to right, and a misnamed branch is refused."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Page, expect

from domain.route.stages import Stage
from webapp.db import Db
from webapp.demo.bench import Bench
from webapp.upgrade import prepare

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

_ASK = "Is it quartered?"


def _on_its_axle(path: Path) -> None:
    """Both wheels of axle 1 bonded on, their throws the drawing's 1.125 in, 28.575 mm."""
    prepare(path)
    db = Db(path)
    bench = Bench(db, "Quarters")
    bench.handled_at_once()
    for mark in ("W1", "W2"):
        bench.tick(mark, Stage.RECEIVED, Stage.BACK_FACED, Stage.BORED, with_steps=False)
        bench.bore(mark, "0.7511 in", "0.7512 in")
        bench.throw(mark, "1.125 in")
        bench.tick(mark, Stage.PRESSED, with_steps=False, why="for the scene")
    db.close()


@pytest.fixture
def own(
    run_program: Callable[..., object], address_of: Callable[[str], str], tmp_path: Path
) -> Iterator[str]:
    """The address of a program of its own, with that axle."""
    _on_its_axle(tmp_path / "spokeshed.db")
    with run_program(tmp_path) as printed:  # type: ignore[attr-defined]
        yield address_of(printed)


def _stand(page: Page, side: str, where: str) -> None:
    """Tap where a pin stands: the whole framed label with its picture is the target."""
    page.locator(f"#{side}-pin label", has_text=where).tap()


def _heights(page: Page, axle: str, right: str, left: str, sure: str = "0.005 mm") -> None:
    page.get_by_label("Height of the axle over the plate").fill(axle)
    page.get_by_label("Height of the right pin").fill(right)
    page.get_by_label("Height of the left pin").fill(left)
    page.get_by_label("Or: a height is sure to").fill(sure)


def _open(tablet: Tablet) -> None:
    tablet.go("/axles/1/quartering")
    tablet.tap("Log the heights")
    tablet.page.locator("#quarter-who").fill("AB")


def test_log_heights_and_see_the_verdict_change(open_tablet: OpenTablet, own: str) -> None:
    tablet = open_tablet(own)
    page = tablet.page
    _open(tablet)
    picture = page.locator("svg.quarter-picture")
    expect(picture).to_be_visible()

    # Both pins named in front: refused beside the choice, and what was typed is still there.
    _heights(page, "60 mm", "80.08286 mm", "79.54286 mm")
    _stand(page, "right", "In front of the axle")
    _stand(page, "left", "In front of the axle")
    with tablet.refused(422):
        page.get_by_role("button", name=_ASK).tap()
    expect(page.locator("#branches-error")).to_contain_text("Both pins cannot be in front of the axle")
    expect(page.get_by_label("Height of the left pin")).to_have_value("79.54286 mm")

    # 180 - asin(19.54286/28.575) - asin(20.08286/28.575) = 92.197
    _stand(page, "left", "Behind the axle")
    tablet.tap(_ASK)
    verdict = page.locator("#result .quarter-answer")
    expect(verdict).to_have_attribute("data-answer", "not")
    expect(verdict).to_contain_text("92.20°")
    expect(page.locator("#turn")).to_contain_text(
        "Seen from the left side, turn the left wheel anticlockwise (forwards)"
    )
    expect(picture).to_have_attribute("aria-label", re.compile("right pin in front and above the axle"))

    # Turned, measured again: only the left pin's height has changed.
    tablet.tap("Measure again")
    page.get_by_label("Height of the left pin").fill("80.31429 mm")
    tablet.tap(_ASK)
    expect(verdict).to_have_attribute("data-answer", "serves")
    expect(verdict).to_contain_text("90.04°")
    expect(page.locator("#turn")).to_contain_text("Nothing needs turning.")

    # Less sure heights: it can no longer be told.
    tablet.tap("Measure again")
    page.get_by_label("Or: a height is sure to").fill("0.05 mm")
    tablet.tap(_ASK)
    expect(verdict).to_have_attribute("data-answer", "caution")
    width = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert width == 0

    tablet.tap("All coupled axles side by side")
    expect(page.get_by_role("heading", level=1)).to_have_text("Quartering, all axles")
    expect(page.locator("#axle-1")).to_contain_text("90.04°")


def test_every_target_is_large_enough_for_a_thumb(open_tablet: OpenTablet, own: str) -> None:
    tablet = open_tablet(own, script=False)
    _open(tablet)
    boxes = tablet.page.locator(
        "#heights input:not([type=hidden]):not([type=radio]), #heights select, #heights button, #heights .choices label"
    )
    for box in boxes.all():
        found = box.bounding_box()
        assert found is not None and found["height"] >= 48
