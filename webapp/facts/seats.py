"""The joint a build's drawing asks for, and the seats a wheel sits on or could sit on."""

from __future__ import annotations

from dataclasses import replace

from domain.joints.bond import Compound, GapRange
from domain.joints.fit import FitError, FitKind, Joint, OtherSeat
from domain.route.stages import Stage
from webapp.facts.joint_terms import figures_of
from webapp.records.views import AxleView, BuildView, CastingView, Measured


def joint_of(build: BuildView) -> Joint:
    """The joint the drawing asks for; the compound's own sheet and the factor typed for the joints come before it."""
    joint = _drawn_joint(build)
    if not build.joint_texts:
        return joint
    try:
        figures = figures_of(build)
    except FitError:
        return joint  # the sheet of joints says what no longer agrees with the drawing
    joint = replace(joint, factor_wanted=figures.number("crack_factor"))
    if joint.kind is not FitKind.BOND:
        return joint
    gap = GapRange(
        figures.nm("gap_least"), figures.nm("gap_most"), figures.nm("gap_limit"), figures.source("gap_limit")
    )
    return replace(joint, least_nm=gap.least_nm, most_nm=gap.most_nm, compound=Compound(gap))


def _drawn_joint(build: BuildView) -> Joint:
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
