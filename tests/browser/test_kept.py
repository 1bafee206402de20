"""Nothing is lost on the tablet, and two at once see each other's work."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PAUSE_MS, address_in, running

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet, Tablet

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def own(chromium_path: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """A program of its own, and its data file to count in."""
    folder = tmp_path_factory.mktemp("kept")
    with running(folder) as printed:
        yield address_in(printed), folder / "spokeshed.db"


@pytest.fixture
def bench(own: tuple[str, Path], open_tablet: OpenTablet) -> tuple[Tablet, Callable[[str], Any]]:
    """A tablet at the first axle of a new build, and a look into the data file."""
    address, data = own
    tablet = open_tablet(address)
    tablet.start_build("An evening with bad Wi-Fi", "JD")
    tablet.open_axle(1)

    def one(sql: str) -> Any:
        with closing(sqlite3.connect(data)) as connection:
            return connection.execute(sql).fetchone()[0]

    return tablet, one


def _kept(tablet: Tablet) -> list[list[str]]:
    found: list[list[str]] = tablet.page.evaluate(
        "JSON.parse(localStorage.getItem('spokeshed-kept') || '[]').map(one => [one.state, one.words])"
    )
    return found


def _sit_down(other: Tablet) -> None:
    """Another person at another tablet; a tick that overtook the initials would be asked whose it is."""
    other.page.locator("#who-chip > summary").tap()
    other.page.get_by_label("Who is at the bench").fill("KL")
    other.page.get_by_role("button", name="Remember").tap()
    expect(other.page.locator("#who-chip > summary")).to_contain_text("KL")


def _all_saved(tablet: Tablet) -> None:
    tablet.page.wait_for_function("() => (localStorage.getItem('spokeshed-kept') || '[]') === '[]'")


def test_three_ticks_and_a_bore_while_the_wifi_is_gone(
    bench: tuple[Tablet, Callable[[str], Any]],
) -> None:
    tablet, one = bench
    page = tablet.page
    ticks, bores = one("SELECT count(*) FROM tick"), one("SELECT count(*) FROM measurement")
    late = one("SELECT count(*) FROM tick WHERE device_at IS NOT NULL")
    left, casting = tablet.wheel("Left"), tablet.casting("Left")
    tablet.tick(left, "received", "back_faced")
    expect(tablet.due(f"bore-{casting}")).to_be_visible()
    with tablet.away():
        right = tablet.casting("Right")
        steps = [page.locator(f'button.tick[id^="tick-{right}-received."]').nth(at) for at in (0, 1)]
        for tick in (*steps, tablet.box(tablet.wheel("Right"), "received")):
            page.wait_for_timeout(PAUSE_MS)
            tick.tap()
        expect(page.locator("#unsaved summary")).to_contain_text("Not saved yet")
        expect(page.locator('button[data-unsaved="kept"]')).to_have_count(3)
        form = tablet.due(f"bore-{casting}")
        form.locator("[data-next]").first.fill("0.7512")
        form.get_by_role("button", name="Write").tap()
        expect(page.locator("#unsaved summary")).to_contain_text("0.7512")
        assert len(_kept(tablet)) == 4
        page.close()
    # The browser was closed meanwhile: what was kept is sent when any sheet opens again.
    tablet.page = tablet.context.new_page()
    tablet.go("/")
    _all_saved(tablet)
    assert one("SELECT count(*) FROM tick") == ticks + 5
    assert one("SELECT count(*) FROM measurement") == bores + 1
    assert one("SELECT count(*) FROM tick WHERE device_at IS NOT NULL") == late + 3
    # Nobody need wonder: it says what was saved only now, until somebody has read it.
    box = tablet.page.locator("#unsaved")
    expect(box.locator("summary")).to_contain_text("Saved now: ")
    expect(box.locator("summary")).to_contain_text("W1 bore 0.7512")
    expect(box).not_to_contain_text("Not saved")
    box.locator("summary").tap()
    box.get_by_role("button", name="I have read this").tap()
    expect(box).to_have_text("")


def test_a_program_that_does_not_answer_is_told_of_soon(bench: tuple[Tablet, Callable[[str], Any]]) -> None:
    tablet, one = bench
    page, before = tablet.page, one("SELECT count(*) FROM tick")
    held: list[Any] = []

    def hold(route: Any) -> None:
        held.append(route)

    page.route("**/ticks", hold)
    tablet.box(tablet.wheel("Left"), "received").tap()
    expect(page.locator("#unsaved summary")).to_contain_text("received", timeout=4000)
    page.wait_for_timeout(PAUSE_MS)
    tablet.box(tablet.wheel("Right"), "received").tap()
    expect(page.locator("[data-unsaved]")).to_have_count(2, timeout=4000)
    assert len(held) == 1
    # It goes on: the first one arrives after all, both are stored once.
    complaints = list(tablet.watch.complaints)
    held[0].continue_()
    page.unroute("**/ticks", hold)
    _all_saved(tablet)
    expect(page.locator("[data-unsaved]")).to_have_count(0)
    assert one("SELECT count(*) FROM tick") == before + 2
    tablet.watch.complaints[:] = complaints


def test_a_kept_reading_that_is_refused_comes_back_to_its_field(
    bench: tuple[Tablet, Callable[[str], Any]], open_tablet: OpenTablet
) -> None:
    tablet, one = bench
    page, casting = tablet.page, tablet.casting("Left")
    tablet.tick(tablet.wheel("Left"), "received", "back_faced")
    form = tablet.due(f"bore-{casting}")
    other = open_tablet(tablet.address)
    path = page.url.removeprefix(tablet.address)
    with tablet.away():
        form.locator("[data-next]").first.fill("0.7513")
        form.get_by_role("button", name="Write").tap()
        expect(page.locator("#unsaved summary")).to_contain_text("0.7513")
        # Meanwhile another has measured the same wheel.
        other.go(path)
        _sit_down(other)
        other.log("Left", "bore", "0.7511")
        expect(other.page.locator("#due .written, #due h2").first).to_be_visible()
        other.page.wait_for_function("() => document.querySelector('#due').textContent.includes('Written')")
        page.wait_for_timeout(PAUSE_MS)
        tablet.box(tablet.wheel("Left"), "bored").tap()
        expect(tablet.box(tablet.wheel("Left"), "bored")).to_have_attribute("data-unsaved", "kept")
    expect(page.locator("#unsaved summary")).to_contain_text("Not saved:", timeout=15000)
    tablet.watch.provoked += tablet.watch.refusals
    # What was measured after it on that axle waits for somebody to look.
    assert [state for state, _ in _kept(tablet)] == ["refused", "kept"]
    assert one(f"SELECT count(*) FROM measurement WHERE casting_id = {casting}") == 1
    expect(form.locator("[data-next]").first).to_have_value("0.7513")
    page.locator("#unsaved summary").tap()
    expect(page.locator("#unsaved")).to_contain_text("KL")
    page.get_by_role("button", name="Leave it out").tap()
    settled = "() => JSON.parse(localStorage.getItem('spokeshed-kept')).every(one => one.state === 'refused')"
    page.wait_for_function(settled)
    tablet.watch.provoked[:] = tablet.watch.refusals


def test_a_form_of_a_whole_page_is_kept_too(bench: tuple[Tablet, Callable[[str], Any]]) -> None:
    tablet, one = bench
    page, casting = tablet.page, tablet.casting("Left")
    tablet.go(f"/castings/{casting}/scrap")
    page.get_by_label("Blowhole").check()
    with tablet.away():
        page.locator("main form button").last.tap()
        expect(page.locator("#unsaved summary")).to_contain_text("Scrap")
        # The page stands as it was typed, and nothing is lost by leaving it.
        expect(page.get_by_label("Blowhole")).to_be_checked()
    _all_saved(tablet)
    assert one(f"SELECT state FROM casting WHERE id = {casting}") == "scrapped"


def test_what_another_does_comes_in_without_taking_anything(
    bench: tuple[Tablet, Callable[[str], Any]], open_tablet: OpenTablet
) -> None:
    tablet, _ = bench
    page = tablet.page
    tablet.tick(tablet.wheel("Left"), "received", "back_faced")
    box = page.locator("#due [data-next]").first
    box.fill("0.75")
    # The row of keys comes out with the next frame, and clears the button; then the person scrolls.
    page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    page.evaluate("scrollTo(0, 60)")
    scrolled = page.evaluate("scrollY")
    other = open_tablet(tablet.address)
    other.go(page.url.removeprefix(tablet.address))
    _sit_down(other)
    other.tick(other.wheel("Right"), "received")
    expect(tablet.box(tablet.wheel("Right"), "received")).to_have_attribute("aria-pressed", "true")
    expect(box).to_have_value("0.75")
    expect(box).to_be_focused()
    assert page.evaluate("scrollY") == scrolled


def test_what_another_does_changes_neither_the_chosen_wheel_nor_what_was_written(
    bench: tuple[Tablet, Callable[[str], Any]], open_tablet: OpenTablet
) -> None:
    """Else the next number would go onto the wrong wheel, and nobody would have been asked."""
    tablet, _ = bench
    page, right = tablet.page, tablet.casting("Right")
    for side in ("Left", "Right"):
        tablet.tick(tablet.wheel(side), "received", "back_faced")
    tablet.log("Left", "bore", "0.7512")
    expect(page.locator("#due .written")).to_contain_text("Written: W1 bore")
    page.wait_for_timeout(PAUSE_MS)
    form = tablet.due(f"bore-{right}")
    form.locator("select[name=unit]").select_option("mm")
    page.evaluate("document.activeElement.blur()")
    other = open_tablet(tablet.address)
    other.go(page.url.removeprefix(tablet.address))
    _sit_down(other)
    other.tick(other.wheel("Left"), "bored")
    expect(tablet.box(tablet.wheel("Left"), "bored")).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#due h2")).to_contain_text("W2 bore")
    expect(page.locator(f"#due-bore-{right} select[name=unit]")).to_have_value("mm")


def test_after_its_own_ticks_a_sheet_fetches_nothing_again(
    bench: tuple[Tablet, Callable[[str], Any]], open_tablet: OpenTablet
) -> None:
    tablet, _ = bench
    page, sheet = tablet.page, tablet.page.url
    asked = tablet.watch.requests
    tablet.tick(tablet.wheel("Left"), "received.marked", "received", "back_faced")
    tablet.log("Left", "bore", "0.7512")
    expect(page.locator("#due .written")).to_contain_text("Written: W1 bore")
    page.evaluate("document.activeElement.blur()")
    before = len(asked)
    for _ in range(2):
        with page.expect_response(lambda answer: answer.url.endswith("/stand")) as looked:
            pass
        assert looked.value.status == 304
    assert [url for url in asked[before:] if not url.endswith("/stand")] == []
    # What another does is fetched as ever.
    other = open_tablet(tablet.address)
    other.go(sheet.removeprefix(tablet.address))
    _sit_down(other)
    other.tick(other.wheel("Right"), "received")
    expect(tablet.box(tablet.wheel("Right"), "received")).to_have_attribute("aria-pressed", "true")
    assert len([url for url in asked[before:] if url.startswith(sheet)]) == 1


def test_what_is_typed_stands_again_after_a_look_at_the_words(
    bench: tuple[Tablet, Callable[[str], Any]],
) -> None:
    tablet, one = bench
    page = tablet.page
    for side in ("Left", "Right"):
        for stage in ("received", "back_faced", "bored"):
            tablet.tick(tablet.wheel(side), stage)
    key = f"bore-{tablet.casting('Left')}"
    sheet, before = page.url, one("SELECT count(*) FROM measurement")
    tablet.go(f"{page.url.removeprefix(tablet.address)}?due={key}")
    box, unit = tablet.due(key).locator("[data-next]").first, tablet.due(key).locator("select[name=unit]")
    other = "mm" if unit.input_value() == "in" else "in"
    unit.select_option(other)
    box.fill("19.07")
    tablet.tap("Words")
    expect(page.get_by_role("heading", level=1)).to_have_text("Words")
    page.go_back()
    expect(box).to_have_value("19.07")
    expect(unit).to_have_value(other)
    tablet.tap("Words")
    page.locator("main").get_by_role("link", name="Back").first.tap()
    expect(box).to_have_value("19.07")
    # It is not written yet, and stands in no other field.
    assert one("SELECT count(*) FROM measurement") == before
    tablet.go(sheet.removeprefix(tablet.address))
    assert all(not each.input_value() for each in page.locator("[data-next]").all())
