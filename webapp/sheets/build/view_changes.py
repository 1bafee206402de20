"""What changing a build's figures would do to the work already logged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from domain import drawing
from domain.lengths import Length, Unit, show
from domain.route.guards import needed
from domain.route.stages import ROUGH_PAINT, TYRE_ON, Stage
from domain.treads.wheel_standard import other_track, preset
from domain.treads.words import drawing_words, other_track_words
from webapp.facts.facts import facts_of
from webapp.records.views import BuildView, CastingView, PatternView, drawn_of, in_order
from webapp.sheets.build.form import Draft
from webapp.typed.sizes import TYRE_SIZES

_CHOICES = (
    ("name", "name"),
    ("standard", "gauge preset"),
    ("unit", "inch or metric"),
    ("lead", "lead"),
    ("fit", "fit"),
    ("route", "route"),
    ("iron", "iron"),
)
# Left empty in the form, the range is written anew; that alone is no change.
_FIT_RANGE = ("fit_least", "fit_most")
# What is cut at a stage, and so contradicted when its figure changes afterwards.
_CUT = (
    (Stage.BORED, ("bore", "boss_length")),
    (Stage.TREAD_TURNED, ("tread_diameter", "tyre_width", "flange_width", "flange_depth", "root_radius")),
)
_NAMES = {figure.key: figure.words.lower() for figure in drawing.FIGURES}
# A pattern that is not stored yet.
NEW = -1


@dataclass(frozen=True, slots=True)
class Effect:
    """What is changed, what that affects, and why it cannot be done at all (if so)."""

    changed: tuple[str, ...]
    affected: tuple[str, ...]
    refused: str


def with_draft(build: BuildView, draft: Draft) -> BuildView:
    """The build as it would be with the draft's figures."""
    after = replace(
        build,
        name=draft.name,
        standard=draft.standard,
        unit=draft.unit,
        quarter_angle_udeg=draft.quarter_angle_udeg,
        lead=draft.lead,
        fit=draft.fit,
        route=draft.route,
        paint_first=draft.paint_first,
        iron=draft.iron,
    )
    if not draft.coupled:
        return replace(after, dimensions=drawn_of(draft.dimensions, after.patterns))
    patterns = patterns_of(build, draft)
    of_kind = {one.cranked: one.id for one in patterns}
    axles = {number: of_kind[coupled] for number, coupled in enumerate(draft.coupled, 1)}
    return with_patterns(after, patterns, axles, {key: draft.dimensions[key] for key in drawing.TRACK_KEYS})


def patterns_of(build: BuildView, draft: Draft) -> list[PatternView]:
    """The pattern of a build that has one as the draft has it, and a second where only some axles are coupled now."""
    (first,) = build.patterns
    kind = first.kind if first.cranked in draft.coupled else first.kind.other
    name = first.name if kind is first.kind else kind.usual_name
    several = len(set(draft.coupled)) > 1
    # Its tyres have their place on the pattern's own form.
    tyre = {key: length for key, length in first.figures.items() if key in drawing.TYRE_KEYS}
    found = [replace(first, kind=kind, name=name, figures=draft.own(kind, 1 + several) | tyre)]
    if several:
        found.append(PatternView(NEW, kind.other.usual_name, kind.other, draft.own(kind.other, 2)))
    return found


def with_patterns(
    build: BuildView,
    patterns: Sequence[PatternView],
    axles: Mapping[int, int],
    track: Mapping[str, Length],
) -> BuildView:
    """The build with these patterns and these axles, by number, of them; the wheels go with their axles."""
    every, ordered = {one.id: one for one in patterns}, in_order(patterns)
    own = {one.id: axles[one.number] for one in build.axles if one.number in axles}
    castings = tuple(
        replace(one, pattern_id=own.get(one.axle_id or 0, one.pattern_id)) for one in build.castings
    )
    at = {(one.axle_id, one.side): one for one in castings}
    return replace(
        build,
        patterns=ordered,
        pattern=ordered[0] if len(ordered) == 1 else None,
        dimensions=drawn_of(track, ordered),
        castings=castings,
        axles=tuple(
            replace(
                one,
                coupled=every[own[one.id]].cranked,
                pattern_id=own[one.id],
                left=at.get((one.id, "left")),
                right=at.get((one.id, "right")),
            )
            for one in build.axles
            if one.id in own
        ),
    )


def affected_by(build: BuildView, draft: Draft) -> Effect:
    """Compare a build with what it would become."""
    after = with_draft(build, draft)
    refused = refused_because(build, after)
    if refused:
        return Effect((), (), refused)
    affected = (
        *_units_affected(build, after),
        *affected_work(build, after),
        *_paint_affected(build, after),
        *_sets_affected(build, after),
    )
    return Effect(tuple(_changed(build, draft, after)), affected, "")


def started_doubts(draft: Draft) -> dict[str, str]:
    """What of a new build's drawing is outside the standard it is made to, as the sheets of treads will say it."""
    printed, drawn = preset(draft.standard), {key: one.nm for key, one in draft.dimensions.items()}
    said = drawing_words(printed, drawn, _NAMES, draft.unit)
    if draft.chosen_after and other_track(printed, drawn):
        said["gauge"] = other_track_words(drawn["gauge"], printed, draft.unit)
    return said


def drawing_doubts(build: BuildView, after: BuildView) -> dict[str, str]:
    """What of the drawings would be outside the standard and is not so already."""
    said: dict[str, str] = {}
    printed = preset(after.standard)
    known = [drawing_words(printed, _drawn(one), _NAMES, after.unit).items() for one in build.each_pattern]
    for one in after.each_pattern:
        for key, words in drawing_words(printed, _drawn(one), _NAMES, after.unit).items():
            if not any((key, words) in before for before in known):
                said.setdefault(key, words)
    return said


def _drawn(build: BuildView) -> dict[str, int]:
    return {key: length.nm for key, length in build.dimensions.items()}


def affected_work(build: BuildView, after: BuildView) -> tuple[str, ...]:
    """What it means for the wheels that other figures, axles or patterns are said of them."""
    return (
        *_axles_affected(build, after),
        *_orders_affected(build, after),
        *_fits_affected(build, after),
        *_throws_affected(build, after),
        *_cuts_affected(build, after),
        *_tyres_affected(build, after),
    )


def _changed(build: BuildView, draft: Draft, after: BuildView) -> list[str]:
    words = [
        f"{label} now {getattr(draft, name)}".replace("_", " ")
        for name, label in _CHOICES
        if getattr(draft, name) != getattr(build, name)
    ]
    if draft.quarter_angle_udeg != build.quarter_angle_udeg:
        words.append("quarter angle")
    if draft.paint_first != build.paint_first:
        words.append("painted before machining" if draft.paint_first else "painted last")
    words += changed_figures(build.dimensions, draft.dimensions, draft.unit)
    if draft.coupled and tuple(axle.coupled for axle in build.axles) != draft.coupled:
        words.append(f"{counted(len(draft.coupled), 'axle')}, {sum(draft.coupled)} of them coupled")
    return words


def counted(count: int, what: str) -> str:
    """How many there are of something."""
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def changed_figures(before: Mapping[str, Length], after: Mapping[str, Length], unit: Unit) -> list[str]:
    """What is said of the figures of a drawing that are not as they were."""
    words = []
    for figure in (*drawing.FIGURES, *drawing.TYRE_FIGURES):
        if figure.key not in after:
            continue
        old, new = before.get(figure.key), after[figure.key]
        if old is None or old.nm != new.nm:
            words.append(f"{figure.words.lower()} now {show(new.nm, unit)}")
        elif old.text != new.text and figure.key not in _FIT_RANGE:
            words.append(f"{figure.words.lower()} now written {new.text}")
    return words


def refused_because(build: BuildView, after: BuildView) -> str:
    """Why the build cannot become so, or an empty text."""
    there = {axle.id for axle in after.axles}
    for axle in build.axles:
        if axle.id in there:
            continue
        on = [w.mark for w in axle.wheels if w.has(Stage.PRESSED)]
        if on:
            are = "is" if len(on) == 1 else "are"
            return f"Axle {axle.number} cannot be taken out of the build: {' and '.join(on)} {are} on it."
        if axle.seats:
            return f"Axle {axle.number} cannot be taken out of the build: a seat of it is logged."
    for one in after.patterns:
        nm = {key: length.nm for key, length in after.of(one).dimensions.items()}
        wrong = [words for key, words in drawing.faults(nm, after.unit).items() if key in drawing.TYRE_KEYS]
        if wrong:
            return f"{one.name}: {wrong[0]}"
    for casting in after.castings:
        boss = after.of(casting).nm("boss_diameter")
        if casting.bore is not None and casting.bore.mean_nm >= boss:
            bore = show(casting.bore.mean_nm, after.unit)
            return f"The boss would be smaller than the bore logged for {casting.mark}, {bore}."
    for axle in after.axles:
        if any(seat.mean_nm >= after.of(axle).nm("boss_diameter") for seat in axle.seats.values()):
            return "The boss would be smaller than a wheel seat already logged."
    return ""


def _axles_affected(build: BuildView, after: BuildView) -> list[str]:
    words, then = [], {axle.id: axle for axle in after.axles}
    for axle in build.axles:
        marks = " and ".join(w.mark for w in axle.wheels)
        if axle.id not in then:
            if marks:
                words.append(f"Axle {axle.number} goes: {marks} go to the spares.")
        elif axle.coupled and not then[axle.id].coupled:
            if axle.quartered:
                words.append(
                    f"Axle {axle.number} is ticked quartered, and a carrying axle has nothing to quarter."
                )
            drilled = [w.mark for w in axle.wheels if w.throw is not None]
            if drilled:
                words.append(f"A throw is logged for {' and '.join(drilled)}, and a carrying wheel has none.")
    return words


def _units_affected(build: BuildView, after: BuildView) -> list[str]:
    """A number without its unit means another size once the unit changes.

    A pattern that the form does not ask for keeps its sizes, whatever the unit: they are kept in nanometres.
    """
    old, new = build.dimensions, after.dimensions
    read = [
        f"{figure.words.lower()} {new[figure.key].text}"
        for figure in drawing.FIGURES
        if figure.key in old
        and figure.key in new
        and new[figure.key].text == old[figure.key].text
        and new[figure.key].nm != old[figure.key].nm
    ]
    if not read:
        return []
    unit = build.unit.value
    return [
        f"A number without a unit was read in {unit} and would now be read in {after.unit.value}, another size "
        f"altogether: {', '.join(read)}. To keep the sizes, write {unit} behind each."
    ]


def _then(after: BuildView, casting: CastingView) -> CastingView:
    """The casting as it would be."""
    return next(one for one in after.castings if one.id == casting.id)


def _out_of_order(build: BuildView, casting: CastingView) -> list[Stage]:
    order = build.order_of(casting)
    return [s for s in order.stages if casting.has(s) and any(not casting.has(n) for n in needed(s, order))]


def _orders_affected(build: BuildView, after: BuildView) -> list[str]:
    words = []
    for casting in build.castings:
        if casting.state == "scrapped":
            continue
        then = _then(after, casting)
        new = [s for s in _out_of_order(after, then) if s not in _out_of_order(build, casting)]
        if new:
            words.append(
                f"{casting.mark} is ticked {' and '.join(s.words for s in new)}, which the new route puts later."
            )
    return words


def _paint_affected(build: BuildView, after: BuildView) -> list[str]:
    if build.paint_first is after.paint_first:
        return []
    there = [one for one in build.castings if one.state != "scrapped"]
    rough = [one.mark for one in there if ROUGH_PAINT in one.ticks]
    cut = [
        one.mark
        for one in there
        if one.mark not in rough and (one.has(Stage.BACK_FACED) or one.has(Stage.BORED))
    ]
    if after.paint_first:
        return [f"Cut already, so not to be painted in the rough any more: {', '.join(cut)}."] if cut else []
    return [f"Painted in the rough already: {', '.join(rough)}."] if rough else []


def _fits_affected(build: BuildView, after: BuildView) -> list[str]:
    words = []
    for casting in build.castings:
        if casting.state == "scrapped":
            continue
        then = _then(after, casting)
        old, new = (facts_of(one.of(c)).joints.of(c) for one, c in ((build, casting), (after, then)))
        if old and new and old.answer is not new.answer:
            said = f"{new.opening}: {new.headline}" if new.opening else new.headline
            words.append(
                f"{casting.mark}, its bore: {old.answer.words} now, {new.answer.words} then ({said})."
            )
    return words


def _throws_affected(build: BuildView, after: BuildView) -> list[str]:
    words = []
    for before in build.each_pattern:
        drilled = [c for c in before.castings if c.throw is not None and c.state != "scrapped"]
        if not drilled:
            continue
        then = after.of(_then(after, drilled[0]))
        changed = [
            key
            for key in ("throw", "crankpin_hole")
            if key in then.dimensions and before.nm(key) != then.nm(key)
        ]
        if changed:
            new = " and ".join(f"{key.replace('_', ' ')} {show(then.nm(key), after.unit)}" for key in changed)
            marks = ", ".join(one.mark for one in drilled)
            words.append(f"A throw is logged for {marks}: they were drilled before the drawing said {new}.")
    return words


def _cuts_affected(build: BuildView, after: BuildView) -> list[str]:
    words = []
    for before in build.each_pattern:
        for stage, keys in _CUT:
            done = [c for c in before.castings if c.has(stage) and c.state != "scrapped"]
            then = after.of(_then(after, done[0])) if done else before
            changed = [
                f.words.lower()
                for f in drawing.FIGURES
                if f.key in keys and before.nm(f.key) != then.nm(f.key)
            ]
            if changed:
                words.append(
                    f"Already ticked {stage.words} to the old figures: {', '.join(c.mark for c in done)}. "
                    f"What changes: {', '.join(changed)}."
                )
    return words


def _tyres_affected(build: BuildView, after: BuildView) -> list[str]:
    words = []
    for casting in build.castings:
        then = _then(after, casting)
        before, tyres = facts_of(build.of(casting)).tyres, facts_of(after.of(then)).tyres
        if casting.state == "scrapped" or not (before.there or tyres.there):
            continue
        if not tyres.there:
            if TYRE_ON in casting.ticks or set(TYRE_SIZES) & casting.sizes.keys():
                words.append(f"A tyre is measured or shrunk on for {casting.mark}, which would have none.")
        elif not before.there:
            if casting.has(Stage.TREAD_TURNED):
                words.append(f"The tread of {casting.mark} is turned already, without a tyre on.")
        elif (old := before.of(casting)).answer is not (new := tyres.of(then)).answer:
            words.append(
                f"{casting.mark}, its tyre: {old.answer.words} now, {new.answer.words} then ({new.words})."
            )
    return words


def _sets_affected(build: BuildView, after: BuildView) -> list[str]:
    changed = [
        words
        for words, old, new in (
            ("gauge", build.nm("gauge"), after.nm("gauge")),
            ("back to back", build.nm("back_to_back"), after.nm("back_to_back")),
            ("quarter angle", build.quarter_angle_udeg, after.quarter_angle_udeg),
            ("lead", build.lead, after.lead),
        )
        if old != new
    ]
    angle_only = set(changed) <= {"quarter angle", "lead"}
    done = [
        axle.number
        for axle in build.axles
        if (axle.quartered if angle_only else any(w.has(Stage.PRESSED) for w in axle.wheels))
    ]
    if not changed or not done:
        return []
    numbers = ", ".join(str(n) for n in done)
    return [f"Axle {numbers}: wheels were set before the {' and '.join(changed)} changed."]
