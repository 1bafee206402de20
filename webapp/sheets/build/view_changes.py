"""What changing a build's figures would do to the work already logged."""

from __future__ import annotations

from dataclasses import dataclass, replace

from domain import drawing
from domain.lengths import show
from domain.route.guards import needed
from domain.route.stages import ROUGH_PAINT, Stage
from webapp.facts.facts import facts_of
from webapp.records.views import BuildView, CastingView
from webapp.sheets.build.form import Draft

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


@dataclass(frozen=True, slots=True)
class Effect:
    """What is changed, what that affects, and why it cannot be done at all (if so)."""

    changed: tuple[str, ...]
    affected: tuple[str, ...]
    refused: str


def with_draft(build: BuildView, draft: Draft) -> BuildView:
    """The build as it would be with the draft's figures."""
    axles = tuple(
        replace(axle, coupled=draft.coupled[axle.number - 1])
        for axle in build.axles
        if axle.number <= len(draft.coupled)
    )
    return replace(
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
        dimensions=draft.dimensions,
        axles=axles,
    )


def affected_by(build: BuildView, draft: Draft) -> Effect:
    """Compare a build with what it would become."""
    after = with_draft(build, draft)
    refused = _refused(build, draft)
    if refused:
        return Effect((), (), refused)
    affected = (
        *_units_affected(build, draft),
        *_axles_affected(build, draft),
        *_orders_affected(build, after),
        *_paint_affected(build, after),
        *_fits_affected(build, after),
        *_throws_affected(build, after),
        *_cuts_affected(build, after),
        *_sets_affected(build, after),
    )
    return Effect(tuple(_changed(build, draft)), affected, "")


def _changed(build: BuildView, draft: Draft) -> list[str]:
    words = [
        f"{label} now {getattr(draft, name)}".replace("_", " ")
        for name, label in _CHOICES
        if getattr(draft, name) != getattr(build, name)
    ]
    if draft.quarter_angle_udeg != build.quarter_angle_udeg:
        words.append("quarter angle")
    if draft.paint_first != build.paint_first:
        words.append("painted before machining" if draft.paint_first else "painted last")
    for figure in drawing.FIGURES:
        old, new = build.dimensions.get(figure.key), draft.dimensions[figure.key]
        if old is None or old.nm != new.nm:
            words.append(f"{figure.words.lower()} now {show(new.nm, draft.unit)}")
        elif old.text != new.text and figure.key not in _FIT_RANGE:
            words.append(f"{figure.words.lower()} now written {new.text}")
    if tuple(axle.coupled for axle in build.axles) != draft.coupled:
        words.append(f"{len(draft.coupled)} axles, {sum(draft.coupled)} of them coupled")
    return words


def _refused(build: BuildView, draft: Draft) -> str:
    for axle in build.axles[len(draft.coupled) :]:
        on = [w.mark for w in axle.wheels if w.has(Stage.PRESSED)]
        if on:
            are = "is" if len(on) == 1 else "are"
            return f"Axle {axle.number} cannot be taken out of the build: {' and '.join(on)} {are} on it."
        if axle.seats:
            return f"Axle {axle.number} cannot be taken out of the build: a seat of it is logged."
    boss = draft.dimensions["boss_diameter"].nm
    for casting in build.castings:
        if casting.bore is not None and casting.bore.mean_nm >= boss:
            bore = show(casting.bore.mean_nm, draft.unit)
            return f"The boss would be smaller than the bore logged for {casting.mark}, {bore}."
    if any(m.mean_nm >= boss for axle in build.axles for m in axle.seats.values()):
        return "The boss would be smaller than a wheel seat already logged."
    return ""


def _axles_affected(build: BuildView, draft: Draft) -> list[str]:
    words = []
    for axle in build.axles:
        marks = " and ".join(w.mark for w in axle.wheels)
        if axle.number > len(draft.coupled):
            if marks:
                words.append(f"Axle {axle.number} goes: {marks} go to the spares.")
        elif axle.coupled and not draft.coupled[axle.number - 1]:
            if axle.quartered:
                words.append(
                    f"Axle {axle.number} is ticked quartered, and a carrying axle has nothing to quarter."
                )
            drilled = [w.mark for w in axle.wheels if w.throw is not None]
            if drilled:
                words.append(f"A throw is logged for {' and '.join(drilled)}, and a carrying wheel has none.")
    return words


def _units_affected(build: BuildView, draft: Draft) -> list[str]:
    """A number without its unit means another size once the unit changes."""
    old, new = build.dimensions, draft.dimensions
    read = [
        f"{figure.words.lower()} {new[figure.key].text}"
        for figure in drawing.FIGURES
        if new[figure.key].text == old[figure.key].text and new[figure.key].nm != old[figure.key].nm
    ]
    if not read:
        return []
    unit = build.unit.value
    return [
        f"A number without a unit was read in {unit} and would now be read in {draft.unit.value}, another size "
        f"altogether: {', '.join(read)}. To keep the sizes, write {unit} behind each."
    ]


def _out_of_order(build: BuildView, casting: CastingView) -> list[Stage]:
    order = build.order_of(casting)
    return [s for s in order.stages if casting.has(s) and any(not casting.has(n) for n in needed(s, order))]


def _orders_affected(build: BuildView, after: BuildView) -> list[str]:
    words = []
    for casting in build.castings:
        if casting.state == "scrapped":
            continue
        new = [s for s in _out_of_order(after, casting) if s not in _out_of_order(build, casting)]
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
    words, before, then = [], facts_of(build).joints, facts_of(after).joints
    for casting in build.castings:
        old, new = before.of(casting), then.of(casting)
        if casting.state != "scrapped" and old and new and old.answer is not new.answer:
            said = f"{new.opening}: {new.headline}" if new.opening else new.headline
            words.append(
                f"{casting.mark}, its bore: {old.answer.words} now, {new.answer.words} then ({said})."
            )
    return words


def _throws_affected(build: BuildView, after: BuildView) -> list[str]:
    changed = [key for key in ("throw", "crankpin_hole") if build.nm(key) != after.nm(key)]
    marks = [c.mark for c in build.castings if c.throw is not None and c.state != "scrapped"]
    if not changed or not marks:
        return []
    new = " and ".join(f"{key.replace('_', ' ')} {show(after.nm(key), after.unit)}" for key in changed)
    return [f"A throw is logged for {', '.join(marks)}: they were drilled before the drawing said {new}."]


def _cuts_affected(build: BuildView, after: BuildView) -> list[str]:
    words = []
    for stage, keys in _CUT:
        changed = [
            f.words.lower() for f in drawing.FIGURES if f.key in keys and build.nm(f.key) != after.nm(f.key)
        ]
        marks = [c.mark for c in build.castings if c.has(stage) and c.state != "scrapped"]
        if changed and marks:
            words.append(
                f"Already ticked {stage.words} to the old figures: {', '.join(marks)}. "
                f"What changes: {', '.join(changed)}."
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
