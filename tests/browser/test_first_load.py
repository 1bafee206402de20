"""What comes over the wire: with an empty browser at first, and for each sheet after it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.browser.test_sheets import SHEETS

if TYPE_CHECKING:
    from tests.browser.conftest import OpenTablet

pytestmark = pytest.mark.browser

_FIRST_B, _LATER_B = 80_000, 25_000


def test_the_first_sheet_and_every_later_one_are_light(demo: str, open_tablet: OpenTablet) -> None:
    tablet = open_tablet(demo)
    devtools = tablet.context.new_cdp_session(tablet.page)
    sizes: list[float] = []

    def came(one: dict[str, Any]) -> None:
        sizes.append(one["encodedDataLength"])

    devtools.on("Network.loadingFinished", came)
    devtools.send("Network.enable")
    tablet.go("/axles/2")
    tablet.page.wait_for_load_state("networkidle")
    assert 10_000 < sum(sizes) <= _FIRST_B
    heavy = []
    for path in SHEETS:
        sizes.clear()
        tablet.go(path)
        tablet.page.wait_for_load_state("networkidle")
        if sum(sizes) > _LATER_B:
            heavy.append((path, sum(sizes)))
    assert heavy == []
