"""A second life: which ticks a finished wheel loses when it is taken back to be re-turned."""

from collections.abc import Collection

from domain.route.guards import Order
from domain.route.stages import CRANKPIN_IN, ROUGH_PAINT, TYRE_ON, Stage

_STAYS = frozenset({CRANKPIN_IN, TYRE_ON, ROUGH_PAINT})


def lost_ticks(ticked: Collection[str], order: Order) -> tuple[str, ...]:
    """The ticks that a wheel loses when it is taken back: the tread's and the paint's, stages and small steps.

    It stays on its axle, pressed and quartered; its crankpin and its tyre stay in their places, though their keys say
    painted and tread turned, and so does the paint it had in the rough.
    Source: common practice, no source.

    >>> from domain.route.stages import Route
    >>> lost_ticks({"bored", "quartered", "tread_turned", "tread_turned.edge", "painted"}, Order(Route.FITTED_FIRST, True))
    ('painted', 'tread_turned', 'tread_turned.edge')
    """
    of = {
        key for stage in (Stage.TREAD_TURNED, Stage.PAINTED) for key in (stage.value, *order.closed_by(stage))
    }
    return tuple(sorted(key for key in ticked if key in of and key not in _STAYS))
