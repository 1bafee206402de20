"""What stays with a wheel that is taken back to be re-turned."""

import pytest

from domain.returning.life import lost_ticks
from domain.route.guards import Order
from domain.route.stages import CRANKPIN_IN, ROUGH_PAINT, TYRE_ON, Pins, Route


@pytest.mark.parametrize("pins", Pins)
@pytest.mark.parametrize("route", Route)
def test_crankpin_tyre_and_rough_paint_stay_though_their_keys_name_the_stages_that_go(
    route: Route, pins: Pins
) -> None:
    order = Order(route, coupled=True, pins=pins, tyred=True)
    ticked = {"bored", "tread_turned", "painted", "painted.dry", CRANKPIN_IN, TYRE_ON, ROUGH_PAINT}
    assert {"tread_turned", "painted"} <= set(lost_ticks(ticked, order))
    assert not {"bored", CRANKPIN_IN, TYRE_ON, ROUGH_PAINT} & set(lost_ticks(ticked, order))
