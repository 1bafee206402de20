"""A casting's route card, to hang over the lathe: its stages with what each is to come to, and what is done already."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from domain.joints.kinds import FitKind
from domain.joints.words import kind_cautions
from domain.lengths import Unit, show_in, shown_small
from domain.lengths.showing import figure_in, other_unit
from domain.lengths.systems import both_shown
from domain.route.stages import TYRE_ON, Stage, as_worked
from domain.stock.sizes import Face
from webapp.drawing.wheel import WheelPicture
from webapp.facts.castings import picture_of, stage_words
from webapp.facts.facts import facts_of
from webapp.facts.let_pass import let_pass
from webapp.facts.metal import FaceLine, metal_sheet
from webapp.facts.metal_sizes import TICKS, is_ticked, terms_of, worked_at
from webapp.facts.quartering import quarter_said
from webapp.facts.treads import DRAWN, FigureLine
from webapp.facts.turn_figures import reamed
from webapp.facts.wheel_lines import bore_to, joint_line
from webapp.records.views import AxleView, BuildView, CastingView, Measured, Stamp


@dataclass(frozen=True, slots=True)
class Target:
    """One size of a stage: what it is to be in the build's system and in the other, what there is to know of it, and
    what it came to; the last empty while it is not measured."""

    what: str
    wanted: str
    other: str = ""
    note: str = ""
    came: str = ""


@dataclass(frozen=True, slots=True)
class CardStep:
    """A small step, and whether it is ticked."""

    words: str
    done: bool


@dataclass(frozen=True, slots=True)
class CardStage:
    """A stage of the card; `stamp` is None where somebody is still to sign."""

    words: str
    stamp: Stamp | None
    steps: tuple[CardStep, ...]
    targets: tuple[Target, ...]

    @property
    def rows(self) -> int:
        """How many lines of sizes it has; one where it has none."""
        return len(self.targets) or 1


@dataclass(frozen=True, slots=True)
class RouteCard:
    """The card of one casting."""

    casting: CastingView
    axle: AxleView | None
    where: str
    stage_words: str
    picture: WheelPicture
    stages: tuple[CardStage, ...]
    # What can hurt, each said once.
    cautions: tuple[str, ...]
    # What was let pass and is still in doubt: the stage, and the words with the reason.
    passed: tuple[tuple[str, Stamp], ...]


def route_card(build: BuildView, casting: CastingView) -> RouteCard:
    """The card as it stands now."""
    axle, order = build.axle(casting.axle_id), build.order_of(casting)
    return RouteCard(
        casting=casting,
        axle=axle,
        where=build.where(casting),
        stage_words=stage_words(build, casting),
        picture=picture_of(build, casting),
        stages=tuple(_stage(build, casting, axle, stage) for stage in as_worked(order.stages)),
        cautions=tuple(dict.fromkeys(filter(None, (_caution(build, stage) for stage in order.stages)))),
        passed=let_pass(build, casting),
    )


def _stage(build: BuildView, casting: CastingView, axle: AxleView | None, stage: Stage) -> CardStage:
    def stamp_of(one: Stage) -> Stamp | None:
        if one is Stage.QUARTERED:
            return axle.quartered if axle is not None else None
        return casting.ticks.get(one.value)

    return CardStage(
        words=stage.words,
        stamp=stamp_of(stage),
        # A stage that is signed says that its small steps were done.
        steps=tuple(
            CardStep(step.words, step.key in casting.ticks or stamp_of(step.closed_by) is not None)
            for step in build.order_of(casting).steps(stage)
        ),
        targets=tuple(_targets(build.of(casting), casting, axle, stage)),
    )


def _caution(build: BuildView, stage: Stage) -> str:
    """The one line that the checklist has at this stage."""
    return kind_cautions(FitKind(build.fit))[0] if stage is Stage.PRESSED else stage.caution


def _targets(build: BuildView, casting: CastingView, axle: AxleView | None, stage: Stage) -> Iterator[Target]:
    if stage in {own for own, _ in TICKS.values()}:
        faces = metal_sheet(build, casting).lines
        # A tread goes by the diameter of its group, and is among the figures of its tyre.
        here = [one for one in faces if worked_at(one.face) is stage and one.face is not Face.TREAD]
        front_first = build.order_of(casting).front_first
        for one in here:
            first = not one.face.on_diameter and one.face.is_back is not front_first
            yield _first_face(build, casting, one) if first else _face(build, one)
    if any(one.key == TYRE_ON for one in build.order_of(casting).steps(stage)):
        yield _tyre_on(build, casting)
    if stage is Stage.BORED:
        yield from _bored(build, casting)
    elif stage is Stage.PRESSED:
        yield from _pressed(build, casting, axle)
    elif stage is Stage.TREAD_TURNED:
        yield from (_tyre(build, one) for one in facts_of(build).treads.of(casting).figures)
    elif stage is Stage.QUARTERED:
        yield from _quartered(build, axle)


def _said(build: BuildView, say: Callable[[Unit], str]) -> tuple[str, str]:
    """It in the build's system, and in the other where that is shown."""
    return say(build.unit), say(other_unit(build.unit)) if both_shown() else ""


def _length(build: BuildView, what: str, nm: int, came: Measured | None, note: str = "") -> Target:
    return Target(what, *_said(build, lambda unit: show_in(nm, unit)), note, _came(build, came))


def _between(build: BuildView, what: str, low_nm: int, high_nm: int, came: Measured | None) -> Target:
    return Target(what, *_said(build, lambda unit: _range(low_nm, high_nm, unit)), came=_came(build, came))


def _range(low_nm: int, high_nm: int, unit: Unit) -> str:
    return f"{figure_in(low_nm, unit)} to {show_in(high_nm, unit)}"


def _small_range(low_nm: int, high_nm: int, unit: Unit) -> str:
    return f"{shown_small(low_nm, unit)} to {shown_small(high_nm, unit)}"


def _came(build: BuildView, size: Measured | None) -> str:
    if size is None or size.rough:
        return ""
    return "by plugs" if size.by_plug else show_in(size.nm, build.unit)


def _first_face(build: BuildView, casting: CastingView, line: FaceLine) -> Target:
    """The side that is faced first: to its share of the metal, for the finished size comes only with the other side."""
    if line.next_cut is not None:
        return _face(build, line)
    if not line.ticked and line.sign != "done":
        return Target(line.name, "", note=line.brief)
    alone = not any(is_ticked(casting, one) for one in TICKS if _is_other_side(one, line.face))
    known = line.left is not None and not line.as_came and alone
    came = show_in(line.left.size_nm, build.unit) if known and line.left is not None else ""
    return Target(line.name, "", note="to its share of the metal", came=came)


def _is_other_side(one: Face, face: Face) -> bool:
    return one is not face and not one.on_diameter and one.on_rim is face.on_rim


def _face(build: BuildView, line: FaceLine) -> Target:
    """A face: the size that its last cut leaves, and what is left on it."""
    unit, left, finished = build.unit, line.left, terms_of(build).finished.of(line.face)
    if line.next_cut is not None and left is not None:
        cuts = f"{len(left.cuts)} cuts" if len(left.cuts) > 1 else "one cut"
        target = _length(build, line.name, left.cuts[-1].size_after_nm, None)
        note = f"now {show_in(left.size_nm, unit)}: {shown_small(left.stock_nm, unit)} left, {cuts}"
        return replace(target, note=note)
    if finished is None:
        return Target(line.name, "", note=line.brief)
    if line.ticked or line.sign == "done":
        came = show_in(left.size_nm, unit) if left is not None and not line.as_came else ""
        return replace(_length(build, line.name, finished, None), came=came)
    return _length(build, line.name, finished, None, line.head if line.sign == "under" else "")


def _bored(build: BuildView, casting: CastingView) -> Iterator[Target]:
    window, why = bore_to(build, casting), facts_of(build).joints.too_narrow(casting)
    if window is not None:
        yield replace(_between(build, "Bore", *window, casting.bore), note=why)
    else:
        yield Target("Bore", "no size to aim for", note=why, came=_came(build, casting.bore))
    if casting.bore is None:
        for one in reamed(build, casting):
            yield Target(one.label.capitalize(), f"{one.figure} {one.unit}", one.other, one.words)
    if build.order_of(casting).coupled:
        yield _length(build, "Crankpin hole", build.nm("crankpin_hole"), casting.sizes.get("pin_hole"))
        yield _length(build, "Throw", build.nm("throw"), casting.throw, "that all are alike matters more")


def _tyre_on(build: BuildView, casting: CastingView) -> Target:
    """The interference of a steel tyre on its centre, and what its judge says of it."""
    tyres = facts_of(build).tyres
    state = tyres.of(casting)
    wanted = _said(build, lambda unit: _small_range(*tyres.wanted_nm, unit))
    found = state.finding
    came = f"{shown_small(found.case.interference_nm, build.unit)}, {found.answer.words}" if found else ""
    return Target("Tyre, interference", *wanted, came=came)


def _pressed(build: BuildView, casting: CastingView, axle: AxleView | None) -> Iterator[Target]:
    wanted, said = facts_of(build).joints.wanted, joint_line(build, casting)
    sizes = _said(build, lambda unit: _small_range(wanted.least_nm, wanted.most_nm, unit))
    name = "Gap" if FitKind(build.fit) is FitKind.BOND else "Interference"
    yield Target(name, *sizes, came=said.words if said else "")
    seat = axle.seats.get(casting.side) if axle is not None and casting.side else None
    suited = facts_of(build).joints.seat_sizes(casting)
    if suited is None:
        yield _length(build, "Seat", build.nm("seat"), seat)
    else:
        yield replace(_between(build, "Seat", *suited, seat), note="to suit its bore")


def _tyre(build: BuildView, line: FigureLine) -> Target:
    limits, size = line.verdict.limits, line.size
    name = line.name.capitalize()
    if limits is None or (limits.low_nm is None and limits.high_nm is None):
        return _length(build, name, build.nm(DRAWN[line.verdict.figure]), size)
    if limits.low_nm is not None and limits.high_nm is not None:
        return _between(build, name, limits.low_nm, limits.high_nm, size)
    end, nm = ("at least", limits.low_nm) if limits.low_nm is not None else ("at most", limits.high_nm)
    assert nm is not None  # one of the two is there
    own, other = _said(build, lambda unit: show_in(nm, unit))
    return Target(name, f"{end} {own}", other, came=_came(build, size))


def _quartered(build: BuildView, axle: AxleView | None) -> Iterator[Target]:
    found = facts_of(build).quartering.of(axle) if axle is not None else None
    said = quarter_said(found.sheet) if found is not None and found.sheet is not None else ()
    came = ", ".join(dict.fromkeys(one.word for one in said))
    yield Target("Cranks", f"{build.quarter_angle} degrees apart, {build.lead} leading", came=came)
