"""What to do with a wheel whose fit does not serve: the domain's remedies, with exchanges among the build's own."""

from __future__ import annotations

from domain.joints.fit import Answer, FitKind
from domain.pairing.remedies_plan import Swap, swaps
from domain.pairing.types import PairCasting, PairSeat
from domain.route.stages import Stage
from webapp.facts.fits import FitView, joint_of, judge, seat_words
from webapp.records.views import SIDES, BuildView, CastingView

_MOST_SWAPS = 3  # more to choose from is no help at the bench


def ways_out(build: BuildView, casting: CastingView, fit: FitView) -> tuple[str, ...]:
    """What to do, least work first; an exchange of wheels cuts no metal and comes first, scrap comes last."""
    found = swaps_for(build, casting) if fit.verdict.answer is not Answer.SERVES else ()
    named = {swap.there.label for swap in found if swap.there is not None}
    # An exchange names the seat and what becomes of the other wheel, so trying that seat need not be said twice.
    remedies = [
        remedy.words
        for remedy in fit.verdict.remedies
        if not (remedy.key == "other_seat" and any(label in remedy.words for label in named))
    ]
    return (*(swap.words for swap in found), *remedies)


def swaps_for(build: BuildView, casting: CastingView) -> tuple[Swap, ...]:
    """The best exchanges for a wheel that has a measured bore and seat and is not on its axle yet."""
    own = build.axle(casting.axle_id)
    if own is None or casting.side not in own.seats or not _measured(casting) or casting.has(Stage.PRESSED):
        return ()
    seats: list[PairSeat] = []
    today: dict[str, str] = {}
    pressed: dict[str, str] = {}
    for axle in build.axles:
        if axle.coupled is not own.coupled:
            continue  # a carrying wheel has no crankpin, and a driving wheel's place wants one
        for side in SIDES:
            key, wheel = f"{axle.id} {side}", axle.at(side)
            if wheel is not None:
                (pressed if wheel.has(Stage.PRESSED) else today)[key] = str(wheel.id)
            if side in axle.seats:
                seats.append(PairSeat(key, seat_words(axle, side), axle.seats[side].mean_nm))
    castings = [
        PairCasting(str(c.id), c.mark, c.bore.mean_nm)
        for c in build.castings
        if c.bore is not None and _measured(c) and c.state != "scrapped" and _fit_for(build, c, own.coupled)
    ]
    joint, unit = joint_of(build), build.unit
    middle = (joint.least_nm + joint.most_nm) // 2

    def grade(bore_nm: int, seat_nm: int) -> Answer:
        return judge(joint, bore_nm=bore_nm, seat_nm=seat_nm, unit=unit).answer

    middle_nm = middle if joint.kind is FitKind.BOND else -middle
    return swaps(str(casting.id), castings, seats, today, middle_nm, grade, unit, pressed)[:_MOST_SWAPS]


def _measured(casting: CastingView) -> bool:
    """Whether the bore is known as one size: plugs give none to pair by."""
    return casting.bore is not None and not casting.bore.by_plug


def _fit_for(build: BuildView, casting: CastingView, coupled: bool) -> bool:
    """Whether a casting is a spare, or on an axle of the same sort."""
    axle = build.axle(casting.axle_id)
    return axle is None or axle.coupled is coupled
