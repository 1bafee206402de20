"""One axle of the demo from the mandrel to quartered, with its list and its pins, by a tired hand that errs."""

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

    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser

ON_STUB = "UPDATE stub_turn SET on_at = ? WHERE off_at IS NULL"
COMPOUND = f"UPDATE tick SET at = ? WHERE key = '{COMPOUND_ON}'"
FIXED = f"UPDATE tick SET at = ? WHERE key = '{Stage.PRESSED.value}'"


def _bored(path: Path) -> None:
    """The demo's engine with the wheels of axle 1 bored and drilled, and a list of what goes on it."""
    prepare(path)
    db = Db(path)
    bench = Bench(db, "Evening of one axle")
    for mark, bore, throw in (("W1", "0.7511 in", "1.1253 in"), ("W2", "0.7512 in", "1.1251 in")):
        bench.tick(mark, Stage.RECEIVED, Stage.BACK_FACED, Stage.BORED, with_steps=False)
        bench.bore(mark, bore)
        bench.throw(mark, throw)
    for side in ("left", "right"):
        bench.seat(1, side, "0.75 in")
    bench.list_of(1, "axlebox", "axlebox")
    db.close()


def _ago(path: Path, what: str, **since: float) -> None:
    """Let it have been done so long ago: an evening does not wait a night for its bonds."""
    at = (datetime.now(UTC) - timedelta(**since)).strftime("%Y-%m-%d %H:%M:%S.%f")
    with closing(connect(path)) as connection, connection:
        connection.execute(what, (at,))


def _rows(path: Path, sql: str) -> int:
    with closing(connect(path)) as connection:
        (count,) = connection.execute(sql).fetchone()
    return int(count)


def test_one_axle_from_the_mandrel_to_quartered(
    run_program: Callable[..., object],
    address_of: Callable[[str], str],
    open_tablet: OpenTablet,
    tmp_path: Path,
) -> None:
    path = tmp_path / "spokeshed.db"
    _bored(path)
    with run_program(tmp_path) as printed:  # type: ignore[attr-defined]
        tablet = open_tablet(address_of(printed))
        tablet.page.context.add_cookies([{"name": "spokeshed_who", "value": "JD", "url": tablet.address}])
        _no_stub_on_this_route(tablet)
        _first_on_the_stub(tablet, path)
        _second_over_the_same_stub(tablet, path)
        _axle_and_list(tablet, path)
        _compound_too_late_and_again(tablet, path)
        _quartered(tablet)
        _pins(tablet)


def _no_stub_on_this_route(tablet: Tablet) -> None:
    """The build turns its treads on the axle, until its route is changed."""
    page = tablet.page
    tablet.go("/castings/1/mandrel")
    expect(page.locator("#answer")).to_have_text("W1 needs no stub")
    tablet.tap("the build's form")
    page.get_by_text("Fit, route, paint and iron").tap()
    page.locator('input[name="route"][value="mandrel_first"]').check()
    tablet.tap("Save the build")


def _first_on_the_stub(tablet: Tablet, path: Path) -> None:
    page = tablet.page
    # The wrong wheel first, and back.
    tablet.go("/castings/3/mandrel")
    expect(page.locator("#answer")).to_contain_text("Gauge and log the bore of W3 first")
    tablet.go("/axles/1?steps=tread_turned")
    with tablet.leads_on():
        page.locator("#row-tread_turned").get_by_role("link", name="Mandrel").first.tap()
    expect(page.locator("#answer")).to_contain_text("No stub yet: turn one for W1")
    size = page.get_by_label("The stub measures")
    size.fill("0.7515")
    with tablet.refused(422):
        tablet.tap("The stub is turned")
    expect(page.locator("#mandrel-size-error")).to_contain_text("does not go into the bore of W1")
    expect(size).to_have_value("0.7515")
    size.fill("0.7497")
    tablet.tap("The stub is turned")
    page.get_by_label("Dial on the stub swings").fill("0.0005")
    tablet.tap("Write")
    # A thumb that trembles: two taps are one wheel on one stub.
    button = tablet.button("Compound on, W1 pressed home now")
    with tablet.leads_on():
        button.dblclick()
    expect(page.locator("#answer")).to_contain_text("No good yet: it takes no cut at this hour")
    assert _rows(path, "SELECT count(*) FROM stub_turn") == 1

    # Off too soon is asked about, and back leaves it where it is.
    with tablet.refused(409):
        tablet.tap("W1 is off the stub")
    expect(page.get_by_role("alert")).to_contain_text(
        "W1: The bond is curing: do not take it off its stub before"
    )
    page.go_back()
    page.wait_for_load_state("networkidle")
    tablet.go("/castings/1/mandrel")
    expect(page.locator("#answer")).to_contain_text("it takes no cut at this hour")
    # The other wheel cannot go on meanwhile.
    tablet.go("/castings/2/mandrel")
    expect(page.locator("#answer")).to_contain_text("W1 is on the stub: log it off first")
    tablet.tap("Open its sheet")
    # It sat crooked, so off it comes all the same; on again, and the night passes.
    with tablet.refused(409):
        tablet.tap("W1 is off the stub")
    page.get_by_label("Why all the same, for the record").fill("it sat crooked")
    tablet.page.wait_for_timeout(750)
    tablet.tap("Take W1 off all the same")
    tablet.tap("Bore is clean")
    page.locator("#do [data-next]").first.fill("0.7511 in")
    tablet.tap("Write")
    with tablet.leads_on():
        tablet.button("Compound on, W1 pressed home now").tap()
    _ago(path, ON_STUB, hours=30)
    page.reload()
    expect(page.locator("#answer")).to_contain_text("Good: it takes both cuts now")
    tablet.tap("Running centre is in")
    _tread_turned_and_off(tablet, "Left", "W1")


def _tread_turned_and_off(tablet: Tablet, side: str, mark: str) -> None:
    page = tablet.page
    sheet = page.url
    tablet.go("/axles/1")
    tablet.tick(tablet.wheel(side), "tread_turned")
    page.goto(sheet)
    tablet.tap(f"{mark} is off the stub")
    tablet.tap("Bore is clean")
    page.locator("#do [data-next]").first.fill("0.7512 in")
    tablet.tap("Write")


def _second_over_the_same_stub(tablet: Tablet, path: Path) -> None:
    page = tablet.page
    tablet.tap("Next on the stub: W2")
    expect(page.locator("#answer")).to_contain_text("for W2 on this stub")
    tablet.tap("Compound on, W2 pressed home now")
    _ago(path, ON_STUB, hours=30)
    page.reload()
    tablet.tap("Running centre is in")
    _tread_turned_and_off(tablet, "Right", "W2")


def _axle_and_list(tablet: Tablet, path: Path) -> None:
    page = tablet.page
    tablet.go("/axles/1")
    tablet.tick(tablet.wheel("Left"), "pressed")
    _ago(path, FIXED, hours=30)
    # Straight to the setting, with nothing on the axle yet: that is asked before the clock begins.
    tablet.go("/axles/1/setting")
    with tablet.refused(409):
        tablet.tap("Compound on")
    asked = page.get_by_role("alert")
    expect(asked).to_contain_text("Not on axle 1 yet: Left axlebox and Right axlebox")
    expect(page.locator("[data-left]")).to_have_count(0)
    tablet.tap("The list of axle 1")
    for _ in range(2):
        with tablet.leads_on():
            page.locator('#list button.tick[aria-pressed="false"]').first.tap()
        page.wait_for_timeout(750)
    expect(page.locator('#list button.tick[aria-pressed="false"]')).to_have_count(0)


def _compound_too_late_and_again(tablet: Tablet, path: Path) -> None:
    page = tablet.page
    tablet.go("/axles/1/setting?axle=2.5")
    tablet.tap("Compound on")
    expect(page.locator("[data-left]")).to_have_text(re.compile(r"4:[0-9]{2}"))
    _ago(path, COMPOUND, minutes=6)
    page.reload()
    expect(page.locator("[data-over]")).to_contain_text("Over: turn W2 no more")
    tablet.tap("Compound on again")
    expect(page.locator("[data-left]")).to_have_text(re.compile(r"4:[0-9]{2}"))
    tablet.tap("Now log the heights")


def _quartered(tablet: Tablet) -> None:
    page = tablet.page
    # Seen from the right, the left pin is behind: 2.5 + 1.125 sin 45 over the plate, both.
    expect(page.get_by_label("Height of the axle over the plate")).to_have_value("2.5")
    for side, stood in (("left", "rear"), ("right", "front")):
        page.locator(f'input[name="{side}_branch"][value="{stood}"]').check()
    page.get_by_label("Height of the left pin").fill("3.2957")
    page.get_by_label("Height of the right pin").fill("3.2956")
    page.get_by_label("Or: a height is sure to").fill("0.0001 in")
    tablet.tap("Is it quartered?")
    expect(page.get_by_role("alert")).to_have_count(0)
    tablet.tap("Now tick it on axle 1")
    row = page.locator("#row-quartered")
    with tablet.refused(409):
        row.get_by_role("button", name="W2 fixed and the axle quartered").tap()
    # Nobody ticked the pins in that the heights were read over.
    expect(row.get_by_role("alert")).to_contain_text("The crankpins of W1 and W2 are not ticked in")
    row.get_by_role("button", name="Tick it all the same").tap()
    expect(row).to_have_attribute("data-state", "done")
    expect(row.get_by_role("alert")).to_have_count(0)


def _pins(tablet: Tablet) -> None:
    page = tablet.page
    tablet.go("/builds/1/crankpins?open=pins")
    expect(
        page.get_by_text(re.compile("Crankpins as made: 0 of 6 measured, and 0 of 2 spares"))
    ).to_be_visible()
    page.get_by_text("W1: not measured").tap()
    page.locator("#pin_hole-1").fill("0.4375")
    page.locator("#pin_seat-1").fill("0.4362")
    with tablet.leads_on():
        page.locator("#pin-1").get_by_role("button", name="Log and judge").tap()
    expect(page.get_by_text(re.compile("Crankpins as made: 1 of 6 measured"))).to_be_visible()
