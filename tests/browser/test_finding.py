"""A wheel found by its mark, a build put away and brought back, and one that is deleted, by thumb."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("script", [True, False])
def test_a_wheel_is_found_from_the_list_of_builds(demo: str, open_tablet: OpenTablet, script: bool) -> None:
    tablet = open_tablet(demo, script=script)
    page = tablet.page
    tablet.go("/")
    page.get_by_role("searchbox").fill("w8")
    with tablet.leads_on():
        page.get_by_role("button", name="Find").tap()
    with tablet.leads_on():
        page.locator("#castings a").first.tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Casting W8")
    # From any other sheet too; nothing to look for is told beside the field.
    tablet.tap("Find")
    with tablet.leads_on():
        page.get_by_role("button", name="Find").tap()
    tablet.watch.provoked.append(422)
    expect(page.locator(".error")).to_contain_text("Write what you look for")
    expect(page.get_by_role("searchbox")).to_have_attribute("aria-describedby", "q-error")


@pytest.mark.parametrize("script", [True, False])
def test_a_build_is_archived_brought_back_and_deleted(
    program: str, open_tablet: OpenTablet, script: bool
) -> None:
    tablet = open_tablet(program, script=script)
    page = tablet.page
    name = f"To be put away {script}"
    build = tablet.start_build(name, "AB")
    tablet.tap("Archive or delete it")
    tablet.tap("Archive it")
    card = page.locator(".build-card", has_text=name)
    expect(page.get_by_role("heading", level=1)).to_have_text("Archived")
    expect(card).to_have_count(1)
    tablet.go("/")
    expect(card).to_have_count(0)
    tablet.tap("Archived")
    with tablet.leads_on():
        card.tap()
    expect(page.locator("#next h2")).to_have_text("Archived")
    tablet.go(f"{build}/figures")
    expect(page.locator("main form").first).to_be_visible()
    expect(page.get_by_role("button", name="Save the figures")).to_be_hidden()
    tablet.go(build)
    tablet.tap("Bring it back")
    expect(tablet.button("Begin")).to_be_visible()
    tablet.tap("Archive or delete it")
    tablet.tap("Delete it")
    expect(page.get_by_role("alert").first).to_contain_text("goes for good")
    tablet.tap("Leave it")
    expect(page.get_by_role("alert")).to_have_count(0)
    tablet.tap("Delete it")
    expect(tablet.button("Delete it for good")).to_be_visible()
    tablet.tap("Delete it for good")
    expect(page.get_by_role("status").filter(has_text=f"{name} is deleted.")).to_be_visible()
    with page.expect_download() as caught:
        tablet.button("Download the export").tap()
    assert json.loads(caught.value.path().read_text())["build"]["name"] == name
    assert caught.value.suggested_filename == f"{name}.json"
    page.goto(tablet.address + build)
    tablet.watch.provoked.append(404)
    expect(page.get_by_role("heading", level=1)).to_have_text("Not here")


def test_a_thumb_finds_whose_a_line_of_the_diary_is(demo: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(demo)
    tablet.go("/diary")
    links = tablet.page.locator("ol.journal a")
    assert links.count() > 14
    assert min(links.evaluate_all("all => all.map(e => e.getBoundingClientRect().height)")) >= 48
