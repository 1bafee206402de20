"""The pins set while the compound is wet: begun in one tap, counted down, seen on a second tablet, over in plain words."""

from __future__ import annotations

import re
from contextlib import closing
from datetime import UTC, datetime, timedelta
from sqlite3 import connect
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from domain.route.stages import COMPOUND_ON, Stage
from webapp.db import Db
from webapp.demo.bench import Bench
from webapp.upgrade import prepare

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser


def _one_on_its_axle(path: Path) -> None:
    """The left wheel of axle 1 bonded on, the right one bored and drilled."""
    prepare(path)
    db = Db(path)
    bench = Bench(db, "Sets")
    for mark in ("W1", "W2"):
        bench.tick(mark, Stage.RECEIVED, Stage.BACK_FACED, Stage.BORED, with_steps=False)
        bench.bore(mark, "0.7511 in", "0.7512 in")
        bench.throw(mark, "1.125 in")
    for side in ("left", "right"):
        bench.seat(1, side, "0.75 in")
    bench.tick("W1", Stage.PRESSED, with_steps=False, why="for the scene")
    db.close()


def test_an_evening_of_setting(
    run_program: Callable[..., object],
    address_of: Callable[[str], str],
    open_tablet: OpenTablet,
    tmp_path: Path,
) -> None:
    path = tmp_path / "spokeshed.db"
    _one_on_its_axle(path)
    with run_program(tmp_path) as printed:  # type: ignore[attr-defined]
        tablet = open_tablet(address_of(printed))
        page = tablet.page
        page.context.add_cookies([{"name": "spokeshed_who", "value": "JD", "url": tablet.address}])
        tablet.go("/axles/1/setting?axle=2.5")
        # W1, the left one, is fast, and lies below: 2.5 - 1.125 sin 45 = 1.7045
        expect(page.locator(".setting-lines dd").first).to_contain_text("1.7045")
        tablet.tap("Compound on")
        left = page.locator("[data-left]")
        expect(left).to_have_text(re.compile(r"4:[0-9]{2}"))
        first = left.inner_text()
        expect(left).not_to_have_text(first)
        # What the address knew is still known; a page drawn anew, and another tablet, count the same clock.
        expect(page.locator(".setting-lines dd").first).to_contain_text("1.7045")
        page.reload()
        expect(left).to_have_text(re.compile(r"4:[0-5][0-9]"))
        second = page.context.new_page()
        second.goto(f"{tablet.address}/axles/1/setting")
        expect(second.locator("[data-left]")).to_have_text(re.compile(r"4:[0-5][0-9]"))
        second.close()

        # Three seconds before its end, the page says by itself that it is over.
        nearly = (datetime.now(UTC) - timedelta(minutes=5) + timedelta(seconds=3)).strftime(
            "%Y-%m-%d %H:%M:%S.%f"
        )
        with closing(connect(path)) as connection, connection:
            connection.execute("UPDATE tick SET at = ? WHERE key = ?", (nearly, COMPOUND_ON))
        page.reload()
        expect(page.locator("[data-over]")).to_be_visible()
        expect(page.locator("[data-over]")).to_contain_text("Over: turn W2 no more")
        expect(left).to_be_hidden()

        # And the check: the link ends in the open field.
        page.get_by_role("link", name="Now log the heights").tap()
        expect(page.get_by_label("Height of the axle over the plate")).to_be_focused()
