"""What fit a casting's logged bore makes on its seat: the build's figures handed to the domain."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from domain.fit import Answer, FitKind, FitVerdict, Joint, OtherSeat, judge_fit
from domain.readings import ReadingSummary, summarise
from domain.route import Wheel
from domain.stages import Stage
from webapp.queries.views import SIDES, AxleView, BuildView, CastingView

# The same bore on the same seat is asked about for every page that shows it, and by every guard.
_judge = lru_cache(maxsize=256)(judge_fit)


@dataclass(frozen=True, slots=True)
class FitView:
    """A bore on a seat, and the domain's answer."""

    seat_nm: int
    seat_measured: bool
    seat_words: str
    summary: ReadingSummary
    verdict: FitVerdict


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


def fit_view(build: BuildView, casting: CastingView) -> FitView | None:
    """The fit of a casting's standing bore on its seat; a spare is judged against the drawing's seat."""
    if casting.bore is None:
        return None
    axle = build.axle(casting.axle_id)
    if axle is not None and casting.side in SIDES and casting.side is not None:
        measured = axle.seats.get(casting.side)
        seat_nm = build.seat_nm(axle, casting.side)
        words = seat_words(axle, casting.side)
    else:
        measured, seat_nm, words = None, build.nm("seat"), "no place yet"
    summary = summarise([reading.nm for reading in casting.bore.readings])
    verdict = _judge(
        joint_of(build),
        bore_nm=casting.bore.mean_nm,
        seat_nm=seat_nm,
        unit=build.unit,
        other_seats=other_seats(build, casting),
        spread_nm=summary.spread_nm,
    )
    return FitView(seat_nm, measured is not None, words, summary, verdict)


def wheel_facts(build: BuildView, casting: CastingView) -> Wheel:
    """What the guards ask about a wheel."""
    fit = fit_view(build, casting) if casting.bore and not casting.has(Stage.PRESSED) else None
    trouble = ""
    if fit is not None and fit.verdict.answer is Answer.NOT:
        trouble = fit.verdict.headline
    return Wheel(
        mark=casting.mark,
        ticked=casting.ticked,
        placed=casting.axle_id is not None,
        bore_logged=casting.bore is not None,
        throw_logged=casting.throw is not None,
        fit_trouble=trouble,
    )
