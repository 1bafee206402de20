"""Sizes of a wheel that are lost, its tread by its group's diameter. Asks no database."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TypeVar

from domain.stock import words as say
from domain.stock.guard import SideStarved, UnderSize, size_troubles, under_sizes
from domain.stock.sizes import Face
from domain.treads.judging import TreadAnswer
from webapp.facts.facts import facts_of
from webapp.facts.metal_sizes import TICKS, Terms, is_as_came, is_ticked, sizes_now, terms_of
from webapp.records.views import BuildView, CastingView

_Trouble = TypeVar("_Trouble", bound=UnderSize | SideStarved)


def terms_for(build: BuildView, casting: CastingView) -> Terms:
    """The terms of one wheel: its tread comes to its group's diameter, its flange on that, its centre to its tyre."""
    own = build.of(casting)
    terms, target = terms_of(own), facts_of(own).treads.target_nm(casting)
    tyres = facts_of(own).tyres
    finished = replace(terms.finished, tread_diameter_nm=target)
    if tyres.there:
        finished = replace(finished, centre_nm=tyres.centre_nm(casting)[1])
    return terms if finished == terms.finished else replace(terms, finished=finished)


def centre_may_be_under_nm(build: BuildView, casting: CastingView) -> int:
    """How far under the most that its tyre wants a wheel centre may come out."""
    least, most = facts_of(build.of(casting)).tyres.centre_nm(casting)
    return most - least


def tread_may_be_under_nm(build: BuildView, casting: CastingView) -> int:
    """How far under its group's diameter a tread is not yet shown to be no good."""
    verdict = facts_of(build.of(casting)).treads.of(casting).tread
    limits = verdict.limits
    guard = verdict.decision.guard_nm if verdict.decision else 0
    # Whatever it is judged about, it may be as far under as over.
    if limits is None or limits.low_nm is None or limits.high_nm is None:
        return 0
    return (limits.high_nm - limits.low_nm) // 2 + guard


def lost_sizes(build: BuildView, casting: CastingView) -> tuple[UnderSize, ...]:
    """The sizes that are under the finished ones by more than may be."""
    terms = terms_for(build, casting)
    found = under_sizes(sizes_now(build, casting), terms.finished, terms.tolerance_nm)
    return (*_tread_left_to_its_judge(casting, found), *_lost_tread(build, casting))


def size_troubles_of(build: BuildView, casting: CastingView) -> tuple[tuple[str, str], ...]:
    """What the order of work is told of a casting's sizes; nothing of one that was never measured."""
    if not casting.sizes:
        return ()
    told = (*_tread_left_to_its_judge(casting, _troubles(build, casting)), *_lost_tread(build, casting))
    return say.size_troubles(casting.mark, told, build.unit)


def too_deep(build: BuildView, casting: CastingView) -> tuple[SideStarved, ...]:
    """What of the side that is faced first was cut so far that the other cannot be cleaned up, as soon as a size shows it.

    Its tick asks about it, and once that is taken the other side's own cuts are told.
    """
    first = (
        {"rim": Face.RIM_FRONT, "boss": Face.BOSS_FRONT}
        if build.order_of(casting).front_first
        else {"rim": Face.RIM_BACK, "boss": Face.BOSS_BACK}
    )
    if is_ticked(casting, first["rim"]):
        return ()
    return tuple(
        one
        for one in _troubles(build, casting)
        if isinstance(one, SideStarved) and not is_as_came(casting, first[one.name])
    )


def _troubles(build: BuildView, casting: CastingView) -> tuple[UnderSize | SideStarved, ...]:
    terms = terms_for(build, casting)
    front_first = build.order_of(casting).front_first
    return size_troubles(
        sizes_now(build, casting, front_first=front_first),
        terms.finished,
        terms.tolerance_nm,
        terms.least_cut_nm,
        last_faced=is_ticked(casting, Face.RIM_BACK if front_first else Face.RIM_FRONT),
    )


def _tread_left_to_its_judge(casting: CastingView, found: Iterable[_Trouble]) -> tuple[_Trouble, ...]:
    """A tread that was turned is judged on the sheet of treads, and nowhere else."""
    turned = "tread" in casting.sizes
    return tuple(one for one in found if not (turned and one.name == Face.TREAD.value))


def _lost_tread(build: BuildView, casting: CastingView) -> tuple[UnderSize, ...]:
    wheel = facts_of(build.of(casting)).treads.of(casting)
    tread = wheel.tread
    if tread.measured is None or tread.answer is not TreadAnswer.NO_GOOD or not tread.too_small:
        return ()
    stage, step = TICKS[Face.TREAD]
    under = wheel.target_nm - tread.measured.nm
    return (UnderSize(Face.TREAD.value, tread.measured.nm, under, (stage.value, step)),)
