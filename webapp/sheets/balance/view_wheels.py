"""One wheel of a balanced axle: the weight it needs beside the one it has, what to drill or fill, and its picture."""

from __future__ import annotations

from dataclasses import dataclass

from domain.balance.axle import BalanceCase, Matters, WheelBalance
from domain.balance.figures import BalanceError, figure, mass
from domain.balance.weight import Adjustment, Verdict, judge_weight
from domain.balance.words import adjustment_words, wheel_words
from domain.working import Working
from webapp.records.views import BuildView
from webapp.sheets.balance.drawing import BalanceFace, BalancePicture, balance_picture
from webapp.sheets.balance.view_given import BalanceTrouble, Cast, trouble_of

Fact = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class WheelPart:
    """One wheel: what it needs, what it has, what to drill or fill, and its picture."""

    side: str
    figure: str
    words: str
    facts: tuple[Fact, ...]
    picture: BalancePicture
    advice: str
    trouble: str
    workings: tuple[Working, ...]


def gmm(moment: float) -> str:
    return f"{figure(moment, 5)} g mm"


def judged_of(
    build: BuildView, cast: Cast | None, wheel: WheelBalance, troubles: list[BalanceTrouble]
) -> tuple[Adjustment | None, str]:
    """The weight as cast, straight opposite its pin, against the one needed; or why it cannot be judged."""
    if cast is None or cast.hole is None:
        return None, ""
    off = wheel.from_opposite_deg or 0.0
    try:
        return judge_weight(
            needed_gmm=wheel.moment_gmm,
            have_gmm=cast.weight.moment_gmm,
            segment=cast.segment,
            base=cast.of,
            hole=cast.hole,
            fill=cast.fill,
            unit=build.unit,
            off_deg=off,
        ), ""
    except BalanceError as error:
        found = trouble_of(error)
        if found.box:
            troubles.append(found)
        return None, found.words


def wheel_part(
    build: BuildView,
    case: BalanceCase,
    cast: Cast | None,
    wheel: WheelBalance,
    adjustment: Adjustment | None,
    trouble: str,
    matters: Matters,
) -> WheelPart:
    off = wheel.from_opposite_deg
    needs = off is not None
    facts: list[Fact] = []
    if needs:
        ahead = "of the right crank, running forwards"
        facts.append(("Direction", f"{wheel.angle_deg:.1f} degrees ahead", ahead))
    facts.append(("Needed", gmm(wheel.moment_gmm), "mass times its distance from the axle"))
    if cast is not None:
        facts.append(("As cast", gmm(cast.weight.moment_gmm), "straight opposite the crankpin"))
    facts += [
        ("Hammer blow", f"{figure(wheel.hammer_n, 4)} N", "up and down, once a turn"),
        ("Pull with no weight at all", f"{figure(wheel.bare_n, 4)} N", "going round with the wheel"),
    ]
    advice = adjustment_words(adjustment, build.unit) if adjustment else ""
    said = wheel_words(wheel, case.radius_nm, build.unit)
    if adjustment and adjustment.verdict is not Verdict.RIGHT and matters is Matters.NO:
        advice = f"Only if you want it nearer all the same. {advice}"
    face = BalanceFace(
        side=str(wheel.side),
        tread_nm=build.nm("tread_diameter"),
        bore_nm=build.nm("bore"),
        throw_nm=build.crank_nm("throw"),
        pin_nm=build.crank_nm("crankpin_hole"),
        radius_nm=case.radius_nm,
        from_opposite_deg=off,
        cast_nm=(cast.segment.outer_nm, cast.segment.chord_nm) if cast else None,
    )
    return WheelPart(
        side=str(wheel.side),
        figure=f"{mass(wheel.mass_g, build.unit)} needed" if needs else "no weight needed",
        words=said,
        facts=tuple(facts),
        picture=balance_picture(face, _description(wheel, cast, said)),
        advice=advice,
        trouble=trouble,
        workings=adjustment.workings if adjustment else (),
    )


def _description(wheel: WheelBalance, cast: Cast | None, said: str) -> str:
    drawn = f"{str(wheel.side).capitalize()} wheel seen from its outside, crankpin straight up."
    if cast is not None:
        drawn += " The weight as cast is hatched, opposite the pin."
    return f"{drawn} {said}"
