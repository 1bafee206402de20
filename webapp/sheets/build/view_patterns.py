"""What a pattern's form stands beside, and what storing it would do to the work already logged."""

from __future__ import annotations

from dataclasses import replace

from domain import drawing
from domain.joints.kinds import FitKind
from domain.route.stages import Stage
from webapp.facts.facts import facts_of
from webapp.facts.joint_terms import cure_figures
from webapp.facts.tyres import strength_of
from webapp.facts.work_figures import work_figures
from webapp.records.views import AxleView, BuildView, PatternView
from webapp.sheets.build.form_patterns import Beside, PatternDraft
from webapp.sheets.build.view_changes import (
    NEW,
    Effect,
    affected_work,
    changed_figures,
    drawing_doubts,
    refused_because,
    with_patterns,
)


def beside(build: BuildView, own: PatternView | None) -> Beside:
    """What the form of a pattern, or of a new one, is read beside."""
    others, seen = _others(build, own), build.of(own or build.patterns[0])
    treads = facts_of(seen).treads
    cranked = next((one for one in others if one.cranked), None)
    return Beside(
        build.unit,
        FitKind(build.fit),
        build.iron,
        {key: build.nm(key) for key in drawing.TRACK_KEYS},
        (cranked.name, {key: cranked.figures[key].nm for key in drawing.COUPLED_KEYS}) if cranked else None,
        len(build.axles),
        [one.name for one in others],
        treads.form(seen.nm("tread_diameter")).figures.cone,
        strength_of(cure_figures(build), work_figures(build)),
    )


def _others(build: BuildView, own: PatternView | None) -> list[PatternView]:
    return [one for one in build.patterns if own is None or one.id != own.id]


def effect_of(build: BuildView, own: PatternView | None, draft: PatternDraft) -> Effect:
    """What storing it changes and affects, and why it cannot be done at all, if so."""
    refused = _other_wheels(build, own, draft)
    if refused:
        return Effect((), (), refused)
    after = _with(build, own, draft)
    refused = refused_because(build, after)
    if refused:
        return Effect((), (), refused)
    affected = (*_taken_from(build, own, draft), *affected_work(build, after))
    if own is None:
        return Effect((f"{draft.name} for axles {_numbers(draft)}",), affected, "")
    changed = []
    if own.name != draft.name:
        changed.append(f"now called {draft.name}")
    if own.kind is not draft.kind:
        changed.append(f"now {draft.kind.value} wheels")
    if [axle.number for axle in build.of(own).axles] != list(draft.axles):
        changed.append(f"axles {_numbers(draft)}")
    changed += changed_figures(own.figures, draft.figures, build.unit)
    changed += [
        f"{one.words.lower()} no longer given"
        for one in drawing.TYRE_FIGURES
        if one.key in own.figures and one.key not in draft.figures
    ]
    return Effect(tuple(changed), affected, "")


def pattern_doubts(build: BuildView, own: PatternView | None, draft: PatternDraft) -> dict[str, str]:
    """What of its drawing would be outside the standard, and is not so on a drawing of the build already."""
    return drawing_doubts(build, _with(build, own, draft))


def _taken_from(build: BuildView, own: PatternView | None, draft: PatternDraft) -> list[str]:
    """Which axles are taken from another pattern, and what becomes of their wheels."""
    words = []
    for axle in taken_over(build, own, draft):
        words.append(f"Axle {axle.number} has {build.pattern_of(axle).name.lower()} now{gone_words(axle)}.")
    return words


def gone_words(axle: AxleView) -> str:
    """What becomes of the wheels of an axle that is emptied, to stand after what is done with it."""
    marks = [wheel.mark for wheel in axle.wheels]
    goes = "goes" if len(marks) == 1 else "go"
    return f": {' and '.join(marks)} {goes} to the spares" if marks else ""


def _numbers(draft: PatternDraft) -> str:
    return ", ".join(map(str, draft.axles))


def left_by(build: BuildView, own: PatternView | None, draft: PatternDraft) -> list[AxleView]:
    """The axles that were of this pattern and would be of none: each axle has one."""
    mine = build.of(own).axles if own else ()
    return [axle for axle in mine if axle.number not in draft.axles]


def _other_wheels(build: BuildView, own: PatternView | None, draft: PatternDraft) -> str:
    """Why axles cannot be given to this pattern or left by it: a wheel is of its own pattern, whatever axle it is on."""
    leaves = left_by(build, own, draft)
    last = {axle.id for axle in build.axles if axle.number > max(draft.axles, default=0)}
    stuck = [axle for axle in leaves if axle.id not in last]
    if stuck:
        return (
            f"Axle {stuck[0].number} would have no pattern: say so on the pattern that it is to have instead."
        )
    for axle in taken_over(build, own, draft):
        fixed = [wheel.mark for wheel in axle.wheels if wheel.has(Stage.PRESSED)]
        if fixed or axle.seats:
            why = f"{' and '.join(fixed)} on it" if fixed else "a seat of it logged"
            return f"Axle {axle.number} is {build.pattern_of(axle).name} and has {why}: it cannot become of another pattern."
    return ""


def _with(build: BuildView, own: PatternView | None, draft: PatternDraft) -> BuildView:
    """The build as it would be; wheels on an axle that changes its pattern go to the spares of their own."""
    row = as_drafted(own, draft)
    leaves = {axle.id for axle in left_by(build, own, draft)}
    axles = {
        axle.number: row.id if axle.number in draft.axles else axle.pattern_id
        for axle in build.axles
        if axle.id not in leaves
    }
    off = {wheel.id for axle in taken_over(build, own, draft) for wheel in axle.wheels}
    castings = tuple(
        replace(one, state="spare", axle_id=None, side=None) if one.id in off else one
        for one in build.castings
    )
    track = {key: build.dimensions[key] for key in drawing.TRACK_KEYS}
    return with_patterns(replace(build, castings=castings), [*_others(build, own), row], axles, track)


def taken_over(build: BuildView, own: PatternView | None, draft: PatternDraft) -> list[AxleView]:
    """The axles of other patterns that the form gives to this one."""
    return [
        axle
        for axle in build.axles
        if axle.number in draft.axles and (own is None or axle.pattern_id != own.id)
    ]


def as_drafted(own: PatternView | None, draft: PatternDraft) -> PatternView:
    """The pattern as the form has it; figures of a crank stay where the kind has none, as nobody was asked for them."""
    before = own.figures if own else {}
    kept = {key: length for key, length in before.items() if key in drawing.CRANK_KEYS}
    return PatternView(own.id if own else NEW, draft.name, draft.kind, kept | draft.figures)


def why_it_stays(build: BuildView, own: PatternView) -> str:
    """Why a pattern cannot be taken out, or an empty text."""
    seen = build.of(own)
    placed = [one.mark for one in seen.castings if one.state == "in_work"]
    if placed and len(build.patterns) > 1:
        return f"{own.name} cannot be taken out: {', '.join(placed)} of it have places."
    if seen.castings:
        marks = ", ".join(one.mark for one in seen.castings)
        return f"{own.name} cannot be taken out: {marks} of it, and what was done to them, would be lost."
    if own.id == build.patterns[0].id:
        return f"{own.name} cannot be taken out: a build has at least one pattern."
    numbers = [axle.number for axle in seen.axles]
    if numbers and len(build.axles) - min(numbers) + 1 > len(numbers):
        return f"{own.name} cannot be taken out: the axles behind its own would be numbered anew."
    if any(axle.seats for axle in seen.axles):
        return f"{own.name} cannot be taken out: a seat of one of its axles is logged."
    return ""
