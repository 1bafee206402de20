"""A second life: which ticks a finished wheel loses when it is taken back to be re-turned."""

from collections.abc import Collection

from domain.route.guards import Order
from domain.route.stages import ROUGH_PAINT, Stage


def lost_ticks(ticked: Collection[str], order: Order) -> tuple[str, ...]:
    """The ticks that a wheel loses when it is taken back: the tread's and the paint's, stages and small steps.

    It stays on its axle, pressed and quartered, and the paint it had in the rough stays on it.
    Source: common practice, no source.

    >>> from domain.route.stages import Route
    >>> lost_ticks({"bored", "quartered", "tread_turned", "tread_turned.edge", "painted"}, Order(Route.FITTED_FIRST, True))
    ('painted', 'tread_turned', 'tread_turned.edge')
    """
    of = {
        key for stage in (Stage.TREAD_TURNED, Stage.PAINTED) for key in (stage.value, *order.closed_by(stage))
    }
    return tuple(sorted(key for key in ticked if key in of and key != ROUGH_PAINT))
