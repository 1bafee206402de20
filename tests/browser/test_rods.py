"""Will the rods go round, by thumb: the figures typed, a bind seen, the wheels turned, the rod put right."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Page, expect

from domain.cranks.quartering import Branch
from domain.lengths import Unit, parse_length
from domain.route.stages import Stage
from webapp.acts.heights import pair_key, store_heights
from webapp.db import Db
from webapp.demo.bench import ASKED, Bench
from webapp.typed.heights import HeightsTyped, HeightTyped
from webapp.upgrade import prepare

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser


def _open_rods(tablet: Tablet, name: str) -> Page:
    build = tablet.start_build(name, "AB")
    page = tablet.page
    tablet.go(f"{build}/rods")
    expect(page.locator("#answer")).to_contain_text("Type the axle centres and the rods")
    tablet.tap("Type the rods' figures")
    # Both sides alike, and both pairs of the six-coupled engine that is proposed.
    for pair in page.locator('fieldset[id^="rods-"]').all():
        for label, text in (
            ("Axle centres", "150 mm"),
            ("Rod centres", "150.05 mm"),
            ("Clearance, both bushes added", "0.06 mm"),
        ):
            for side in ("left", "right"):
                pair.get_by_label(f"{label}, {side}", exact=True).fill(text)
    tablet.tap("Save and judge")
    return page


def test_a_bind_is_seen_stepped_to_and_put_right(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program)
    page = _open_rods(tablet, "Rods by thumb")
    answer = page.locator("#answer")
    expect(answer).to_contain_text("the rods bind")
    expect(page.locator("#fold-missing")).to_contain_text("Not measured, so taken from the drawing")
    expect(page.locator("#turn")).to_contain_text("Binds here")
    expect(page.get_by_role("img", name="The engine's coupled wheels")).to_be_visible()

    # Turned by links that swap the picture only: what stands in the form is not lost.
    page.locator("#fold-figures > .fold-row").tap()
    page.get_by_label("Centres and rods measured to within").fill("0.003 mm")
    page.get_by_label("Degrees", exact=True).fill("30")
    page.get_by_role("button", name="Show", exact=True).tap()
    words = page.locator(".rods-crank-words")
    expect(words).to_contain_text("30 degrees: with the left crank 30 degrees past front dead centre")
    for shown in ("45", "60", "61"):
        tablet.button("1° forward" if shown == "61" else "15° forward").tap()
        expect(words).to_contain_text(f"{shown} degrees:")
    tablet.button("15° back").tap()
    expect(words).to_contain_text("46 degrees:")
    expect(page.get_by_label("Centres and rods measured to within")).to_have_value("0.003 mm")
    # What is open in the picture is turned with it, and a form that is typed in stays beside it.
    page.locator("#fold-play > .fold-row").tap()
    expect(page.locator("#slip-play")).to_contain_text("now 46")
    tablet.button("15° forward").tap()
    expect(page.locator("#slip-play").get_by_text("now 61").first).to_be_visible()
    expect(page.get_by_label("Centres and rods measured to within")).to_have_value("0.003 mm")
    page.get_by_label("Degrees", exact=True).fill("five")
    page.get_by_role("button", name="Show", exact=True).tap()
    expect(page.locator("#crank-error")).to_contain_text("from 0 to 360")
    tablet.watch.provoked.append(422)

    for side in ("left", "right"):
        for field in page.get_by_label(f"Rod centres, {side}", exact=True).all():
            field.fill("150 mm")
    tablet.tap("Save and judge")
    expect(answer).to_contain_text("They would go round")
    expect(page.locator("#turn")).not_to_contain_text("Binds here")
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_without_script_the_wheels_turn_all_the_same(program: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(program, script=False)
    page = _open_rods(tablet, "Rods without script")
    page.get_by_label("Degrees", exact=True).fill("90")
    tablet.tap("Show")
    words = page.locator(".rods-crank-words")
    expect(words).to_contain_text("90 degrees:")
    tablet.tap("15° forward")
    expect(words).to_contain_text("105 degrees:")
    tablet.tap("Tightest of axles 1 and 2")
    expect(page.locator("#turn")).to_contain_text("Binds here")


def _measured_set(path: Path) -> None:
    """Six wheels with throws of 1.125 in on three axles, the middle one's cranks 90.45 degrees apart and not 90."""
    prepare(path)
    db = Db(path)
    bench = Bench(db, "Rods measured")
    bench.handled_at_once()
    for number, left in ((1, "3.2955"), (2, "3.2893"), (3, "3.2955")):
        for mark in (f"W{2 * number - 1}", f"W{2 * number}"):
            bench.tick(mark, Stage.RECEIVED, Stage.BACK_FACED, Stage.BORED, with_steps=False)
            bench.bore(mark, "0.7511 in", "0.7512 in")
            bench.throw(mark, "1.125 in")
            bench.tick(mark, Stage.PRESSED, with_steps=False, why="for the scene")
        axle, heights = bench.axle(number), {"centre": "2.5", "left": left, "right": "3.2955"}
        read = {name: HeightTyped(parse_length(text, Unit.INCH)) for name, text in heights.items()}
        branches = {"left": Branch.REAR, "right": Branch.FRONT}
        typed = HeightsTyped(
            read["centre"], {"left": read["left"], "right": read["right"]}, branches, expanded_nm=5_000
        )
        store_heights(db, axle.id, ASKED, typed, pair_key(axle))
    db.close()


def test_the_axle_that_binds_is_named_and_measured_again_they_go(
    run_program: Callable[..., object],
    address_of: Callable[[str], str],
    open_tablet: OpenTablet,
    tmp_path: Path,
) -> None:
    _measured_set(tmp_path / "spokeshed.db")
    with run_program(tmp_path) as printed:  # type: ignore[attr-defined]
        tablet = open_tablet(address_of(printed))
        page = tablet.page
        tablet.go("/builds/1/rods?open=figures")
        for pair in page.locator('fieldset[id^="rods-"]').all():
            for side in ("left", "right"):
                for label in ("Axle centres", "Rod centres"):
                    pair.get_by_label(f"{label}, {side}", exact=True).fill("6.5")
                pair.get_by_label(f"Clearance, both bushes added, {side}", exact=True).fill("0.005")
        page.locator("#who").fill("AB")
        tablet.tap("Save and judge")
        answer = page.locator("#answer")
        expect(answer).to_contain_text("By the figures as typed, the rods bind")
        expect(page.locator("#again")).to_contain_text("Axle 2: set its right wheel backwards by 0.4")
        expect(page.locator("#turn")).to_contain_text("Binds here")

        tablet.tap("Then log the new heights of axle 2")
        page.locator("#left").fill("3.2955")
        with tablet.leads_on():
            page.locator('form[action="/axles/2/quartering"] button.primary').tap()
        tablet.go("/builds/1/rods")
        expect(answer).to_contain_text("By the figures as typed, the rods go round")
        expect(page.locator("#turn")).not_to_contain_text("Binds here")
