"""A build taken along by a tablet: downloaded as a file, refused where it is already, taken in as a copy."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from tests.browser.test_sheets import lies_well

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("script", [True, False])
def test_a_build_there_and_back(
    run_program: Callable[..., AbstractContextManager[str]],
    address_of: Callable[[str], str],
    open_tablet: OpenTablet,
    size: tuple[int, int],
    tmp_path: Path,
    script: bool,
) -> None:
    with run_program(tmp_path, "--demo") as printed:
        tablet = open_tablet(address_of(printed), script=script)
        page = tablet.page
        tablet.go("/builds/1")
        tablet.tap("Export this build")
        lies_well(tablet, size[0])
        with page.expect_download() as loading:
            tablet.button("Download the build").tap()
        assert loading.value.suggested_filename == "Invented six-coupled tank engine.json"
        file = tmp_path / loading.value.suggested_filename
        loading.value.save_as(file)
        with page.expect_download() as loading:
            tablet.button("Download the readings").tap()
        assert loading.value.suggested_filename == "Invented six-coupled tank engine readings.csv"
        tablet.go("/")
        tablet.tap("Import a build")
        page.get_by_label("The build's file").set_input_files(file)
        page.locator("main").get_by_label("Your initials").fill("JD")
        with tablet.refused(422):
            tablet.button("Import it").tap()
        expect(page.locator("#copy-error")).to_contain_text("is here already")
        lies_well(tablet, size[0])
        page.get_by_label("As a copy").check()
        page.get_by_label("The build's file").set_input_files(file)
        tablet.tap("Import it")
        expect(page.get_by_role("heading", level=1)).to_have_text("Invented six-coupled tank engine")
        expect(page.locator("#last-done")).to_contain_text("Imported from Invented six-coupled")
        # The sheet is left before its program ends: what it still asks for is no complaint.
        page.goto("about:blank")
