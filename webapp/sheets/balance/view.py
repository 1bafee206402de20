"""The balance of one coupled axle: what each wheel's weight should be, what it is, and whether it matters."""

from __future__ import annotations

from dataclasses import dataclass, replace

from domain.balance.axle import Balance, BalanceCase, Matters
from domain.balance.figures import BalanceError, figure, mass, speed
from domain.balance.words import RAILWAY_CAUTION, adjustment_cautions, verdict_words
from domain.lengths import Unit, show
from domain.lengths.loads import N_PER_LBF, NM_PER_LBF_FT, both_loads
from domain.working import Working
from webapp.records.views import BuildView
from webapp.sheets.balance.form import DRIVEN
from webapp.sheets.balance.view_given import (
    HOLE,
    NEEDED,
    ROTATING,
    SIZES,
    BalanceNote,
    BalanceTrouble,
    Cast,
    cast_of,
    cranks_of,
    missing_of,
    notes_of,
    trouble_of,
    worked,
)
from webapp.sheets.balance.view_wheels import Fact, WheelPart, gmm, judged_of, wheel_part
from webapp.typed.fields import Figures

_ANSWERS = {
    Matters.NO: ("serves", "Good: at this speed the balance does not matter"),
    Matters.YES: ("caution", "Take care: at this speed the balance matters"),
    Matters.LIFTS: ("not", "No good: the wheel would leave the rail"),
    Matters.CANNOT_TELL: ("caution", "Cannot tell: the load is missing"),
}


@dataclass(frozen=True, slots=True)
class BalanceSheet:
    """The whole sheet; without `answer` something is missing or in trouble, and nothing is made up for it."""

    missing: tuple[tuple[str, str], ...]
    missing_weight: tuple[tuple[str, str], ...]
    missing_hole: tuple[tuple[str, str], ...]
    troubles: tuple[BalanceTrouble, ...]
    notes: tuple[BalanceNote, ...]
    crank_words: str
    cast_words: str
    answer: str = ""
    headline: str = ""
    words: str = ""
    load_missing: bool = False
    wheels: tuple[WheelPart, ...] = ()
    facts: tuple[Fact, ...] = ()
    cautions: tuple[str, ...] = ()
    workings: tuple[Working, ...] = ()


def balance_sheet(build: BuildView, figures: Figures, axle: str = DRIVEN) -> BalanceSheet:
    """The sheet of the driven axle, or of another coupled to it, by the figures given."""
    troubles: list[BalanceTrouble] = []
    cranks = cranks_of(build, figures, troubles)
    cast = cast_of(figures, build, troubles)
    missing = missing_of(figures, (ROTATING[axle], *NEEDED))
    if cast is None and figures.perhaps("balance_radius") is None:
        missing += missing_of(figures, ("balance_radius",))
    some = any(figures.perhaps(key) is not None for key in SIZES)
    blank = BalanceSheet(
        missing=missing,
        missing_weight=missing_of(figures, SIZES) if some else (),
        missing_hole=missing_of(figures, HOLE) if cast else (),
        troubles=(),
        notes=notes_of(build, figures, cranks),
        crank_words=cranks.words if cranks else "",
        cast_words=_cast_words(build, cast),
        workings=cast.weight.workings if cast else (),
    )
    found = None
    if cranks is not None and not missing:
        try:
            found = worked(build, figures, cranks, cast, axle)
        except BalanceError as error:
            troubles.append(trouble_of(error))
    if found is None or cranks is None:
        return replace(blank, troubles=tuple(troubles))
    case, done, before = found
    return _answered(
        build=build,
        blank=blank,
        cast=cast,
        case=case,
        done=done,
        before=(cranks.working, *before),
        troubles=troubles,
    )


def _cast_words(build: BuildView, cast: Cast | None) -> str:
    if cast is None:
        return ""
    return (
        f"{mass(cast.weight.mass_g, build.unit)} of {cast.of.name}, its middle"
        f" {show(cast.weight.middle_nm, build.unit)} from the axle: {gmm(cast.weight.moment_gmm)}."
    )


def _answered(
    build: BuildView,
    blank: BalanceSheet,
    cast: Cast | None,
    case: BalanceCase,
    done: Balance,
    before: tuple[Working, ...],
    troubles: list[BalanceTrouble],
) -> BalanceSheet:
    judged = {wheel.side: judged_of(build, cast, wheel, troubles) for wheel in (done.left, done.right)}
    answer, headline = _ANSWERS[done.matters]
    cautions = [RAILWAY_CAUTION]
    for adjustment, _ in judged.values():
        more = adjustment_cautions(adjustment) if adjustment else ()
        cautions += [one for one in more if one not in cautions]
    return replace(
        blank,
        troubles=tuple(dict.fromkeys(troubles)),
        answer=answer,
        headline=headline,
        words=verdict_words(case, done, build.unit),
        load_missing=case.wheel_load_n is None,
        wheels=tuple(
            wheel_part(build, case, cast, wheel, *judged[wheel.side], done.matters)
            for wheel in (done.left, done.right)
        ),
        facts=_facts(case, done, build.unit),
        cautions=tuple(cautions),
        workings=(*before, *done.workings, *blank.workings),
    )


def _facts(case: BalanceCase, done: Balance, unit: Unit) -> tuple[Fact, ...]:
    facts = [
        ("Speed", speed(case.speed_m_s), f"{done.rpm:.0f} turns a minute"),
        (
            "Variation of the pull",
            both_loads(
                f"{figure(done.tractive_n, 4)} N", f"{figure(done.tractive_n / N_PER_LBF, 4)} lbf", unit
            ),
            "either way: the engine shuffles fore and aft",
        ),
        (
            "Swaying couple",
            both_loads(
                f"{figure(done.swaying_nm, 4)} N m",
                f"{figure(done.swaying_nm / NM_PER_LBF_FT, 4)} lbf ft",
                unit,
            ),
            "either way: the engine noses from side to side",
        ),
    ]
    if done.lifting_m_s is not None:
        facts.append(("The blow equals the load from", speed(done.lifting_m_s), ""))
    return tuple(facts)
