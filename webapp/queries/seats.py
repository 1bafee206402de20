"""The joint a build's drawing asks for, and the seats a wheel sits on or could sit on."""

from __future__ import annotations

from domain.fit import FitKind, Joint, OtherSeat
from domain.stages import Stage
from webapp.queries.views import AxleView, BuildView, CastingView, Measured


def joint_of(build: BuildView) -> Joint:
    """The joint the drawing asks for."""
    return Joint(
        kind=FitKind(build.fit),
        nominal_bore_nm=build.nm("bore"),
        nominal_seat_nm=build.nm("seat"),
        boss_diameter_nm=build.nm("boss_diameter"),
        boss_length_nm=build.nm("boss_length"),
        least_nm=build.nm("fit_least"),
        most_nm=build.nm("fit_most"),
        iron_key=build.iron,
    )


def seat_words(axle: AxleView, side: str) -> str:
    """Where a seat is."""
    return f"axle {axle.number}, {side} end"


def seat_of(build: BuildView, casting: CastingView) -> Measured | None:
    """The measured seat a casting sits on; None for a spare, and where only the drawing says the size."""
    axle = build.axle(casting.axle_id)
    return axle.seats.get(casting.side) if axle is not None and casting.side is not None else None


def other_seats(build: BuildView, casting: CastingView) -> tuple[OtherSeat, ...]:
    """The seats this wheel might be tried on instead: measured ones, whose own wheel is not on yet."""
    found = []
    for axle in build.axles:
        for side, measured in axle.seats.items():
            holder = axle.at(side)
            if holder is not None and (holder.id == casting.id or holder.has(Stage.PRESSED)):
                continue
            note = "the place is empty" if holder is None else f"{holder.mark} is meant for it now"
            found.append(OtherSeat(seat_words(axle, side), measured.mean_nm, note))
    return tuple(found)
