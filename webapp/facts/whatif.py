"""A build as it would be with a reading that is not written yet: judged by the same judges."""

from __future__ import annotations

from dataclasses import replace

from webapp.records.views import AxleView, BuildView, CastingView, Measured


def with_size(build: BuildView, casting: CastingView, size: Measured) -> tuple[BuildView, CastingView]:
    """The build in which this casting's bore, throw or tread is so, and the casting in it."""
    if size.kind == "bore":
        after = replace(casting, bore=size)
    elif size.kind == "throw":
        after = replace(casting, throw=size)
    else:
        after = replace(casting, sizes={**casting.sizes, size.kind: size})
    axles = tuple(
        replace(
            axle,
            left=after if axle.left and axle.left.id == casting.id else axle.left,
            right=after if axle.right and axle.right.id == casting.id else axle.right,
        )
        for axle in build.axles
    )
    castings = tuple(after if one.id == casting.id else one for one in build.castings)
    return replace(build, axles=axles, castings=castings), after


def with_seat(build: BuildView, axle: AxleView, side: str, seat: Measured) -> BuildView:
    """The build in which this seat of the axle is so."""
    after = replace(axle, seats={**axle.seats, side: seat})
    return replace(build, axles=tuple(after if one.id == axle.id else one for one in build.axles))
