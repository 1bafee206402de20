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
    return build.with_casting(after).of(after), after


def with_seat(build: BuildView, axle: AxleView, side: str, seat: Measured) -> BuildView:
    """The build in which this seat of the axle is so."""
    after, whole = replace(axle, seats={**axle.seats, side: seat}), build.whole
    axles = tuple(after if one.id == axle.id else one for one in whole.axles)
    return replace(whole, axles=axles).of(after)
