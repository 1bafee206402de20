"""The figures of a turn at the machine, large enough to be read from two metres: asked of the facts, no second truth."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from domain.answer import Answer
from domain.cutting.speeds import CuttingError
from domain.joints.kinds import FitKind
from domain.lengths import show_in, show_other
from domain.lengths.showing import figure_in, small_parts
from domain.route.set_ups import Work
from webapp.facts.batch_views import BatchView
from webapp.facts.due_box import reading_line
from webapp.facts.facts import facts_of
from webapp.facts.metal import FaceLine, metal_sheet
from webapp.facts.reaming import Reaming
from webapp.facts.wheel_lines import bore_to, joint_line
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView, CastingView, Measured

# More than these are not read at a glance.
_MOST = 4
_HOLES = frozenset({Work.CRANKPIN_HOLE, Work.JIG_HOLE, Work.HOLE_ON_AXLE})
# What each work leaves to be measured of a wheel, so that the one before it can be shown.
_CAME_OUT = {
    Work.BORE: "bore",
    Work.LOG_BORE: "bore",
    Work.CRANKPIN_HOLE: "throw",
    Work.JIG_HOLE: "throw",
    Work.HOLE_ON_AXLE: "throw",
    Work.LOG_THROW: "throw",
    Work.TURN_TREAD: "tread",
}


@dataclass(frozen=True, slots=True)
class BigFigure:
    """One figure: what it is, the figure with its unit, a line that explains it, and the size in the other system."""

    label: str
    figure: str
    unit: str
    words: str
    other: str = ""
    look: str = ""
    address: str = ""
    # Whether it says what the wheel's own joint is worth, so that nothing else on the sheet need say it.
    of_joint: bool = False


def big_figures(
    build: BuildView, batch: BatchView, casting: CastingView, works: Sequence[Work]
) -> tuple[BigFigure, ...]:
    """What is to be read at the machine while this is done to a wheel; fewer where less is known."""
    return tuple(islice(_figures(build, batch, casting, works), _MOST))


def _figures(
    build: BuildView, batch: BatchView, casting: CastingView, works: Sequence[Work]
) -> Iterator[BigFigure]:
    yield from figures_of(build, casting, works)
    kind = _kind(works)
    if kind:
        yield from _came_out(build, batch, casting, kind)


def _kind(works: Sequence[Work]) -> str:
    return next((_CAME_OUT[work] for work in works if work in _CAME_OUT), "")


def size_from(casting: CastingView, works: Sequence[Work]) -> Measured | None:
    """What these works left to be measured of a wheel, once it is measured."""
    kind = _kind(works)
    return _size(casting, kind) if kind else None


def figures_of(build: BuildView, casting: CastingView, works: Sequence[Work]) -> Iterator[BigFigure]:
    """What a wheel is to come to by these works, and what there is to know of it before them."""
    boring = {Work.BORE, Work.LOG_BORE}.intersection(works)
    joint = facts_of(build.of(casting)).joints.of(casting)
    too_large = joint is not None and joint.answer is Answer.NOT and joint.finding.fit.too_large
    sized = casting.bore is not None and not casting.bore.by_plug
    bored = sized and joint is not None and (too_large or joint.answer is not Answer.NOT)
    if boring and bored and casting.bore is not None:
        # Nobody should bore it again: what it has come to stands in the place of what it is to be.
        line = joint_line(build, casting)
        words, look = (line.words, line.look) if line else ("", "")
        label = "Stop: too large" if too_large else "bored already"
        address = f"/castings/{casting.id}/bore" if too_large else ""
        figure = _length(build, label, casting.bore.nm, words, look=look, address=address)
        yield replace(figure, of_joint=True)
    elif boring:
        yield from _bore(build, casting)
    if Work.BORE in works and not bored:
        yield from reamed(build, casting)
    if Work.TURN_TREAD in works:
        tyre = facts_of(build.of(casting)).treads.of(casting)
        words, look = (tyre.sets, "caution") if tyre.sets else ("as every wheel of its group", "")
        yield _length(build, "tread to", tyre.target_nm, words, look=look)
    if {Work.FACE_BACK, Work.TURN_TREAD}.intersection(works):
        yield from _metal(build, casting, sized=Work.TURN_TREAD not in works)
    if {*_HOLES, Work.LOG_THROW}.intersection(works):
        yield _length(build, "throw to", build.of(casting).nm("throw"), "that all are alike matters more")
    if _HOLES.intersection(works):
        yield _length(build, "crankpin hole", build.of(casting).nm("crankpin_hole"), "by the drawing")
    if Work.FIX in works:
        yield from _joint(build, casting)


def _length(
    build: BuildView, label: str, nm: int, words: str, *, look: str = "", address: str = ""
) -> BigFigure:
    """A size in the build's system, and in the other one."""
    figure, unit = figure_in(nm, build.unit), str(build.unit)
    return BigFigure(label, figure, unit, words, show_other(nm, build.unit), look, address)


def _small(
    build: BuildView, label: str, nm: int, words: str, *, look: str = "", address: str = ""
) -> BigFigure:
    """A difference as a workshop says it, and in the other system."""
    figure, unit = small_parts(nm, build.unit)
    return BigFigure(label, figure, unit, words, show_other(nm, build.unit), look, address)


def _bore(build: BuildView, casting: CastingView) -> Iterator[BigFigure]:
    window = bore_to(build, casting)
    if window is not None:
        low, high = window
        ends = f"{figure_in(low, build.unit)} to {show_in(high, build.unit)}"
        axle = build.axle(casting.axle_id)
        whose = "measured seat" if axle and casting.side in axle.seats else "drawing's seat"
        yield _length(build, "bore to", (low + high) // 2, f"{ends}, {whose}")


def reamed(build: BuildView, casting: CastingView) -> Iterator[BigFigure]:
    """The speed of the reamer and what is left for it, or of the boring bar and its last cut."""
    reaming = facts_of(build.of(casting)).reaming.for_wheel(casting)
    if not reaming.possible:
        return
    tool = reaming.choice.reamer
    try:
        if tool is None:
            yield from _barred(build, reaming)
            return
        if reaming.ream_rpm is not None:
            yield BigFigure("spindle", str(reaming.ream_rpm), "rpm", f"{_at_most(reaming)}, for {tool.name}")
        yield _for_the_reamer(build, reaming)
    except CuttingError:
        return  # outside the chart: the sheet of reaming says why, and here is nothing to be read


def _at_most(reaming: Reaming) -> str:
    return "at the most, slowed for the chilled skin" if reaming.chilled else "at the most"


def _barred(build: BuildView, reaming: Reaming) -> Iterator[BigFigure]:
    yield BigFigure("spindle", str(reaming.bar_rpm), "rpm", f"{_at_most(reaming)}, for the boring bar")
    last = work_figures(build).nm("finish_cut")
    yield _small(build, "last cut", last, "of the boring bar; the hole grows by twice that")


def _for_the_reamer(build: BuildView, reaming: Reaming) -> BigFigure:
    drill, unit = reaming.drill, build.unit
    if drill.drill is not None and drill.leaves_nm is not None:
        words = f"left by the {drill.drill.name} drill, at {reaming.drill_rpm} rpm"
        return _small(build, "for the reamer", drill.leaves_nm, words)
    hole = f"{figure_in(drill.stock.hole_low_nm, unit)} to {show_in(drill.stock.hole_high_nm, unit)}"
    return _small(build, "left for the reamer", drill.stock.most_nm, f"at the most: drill {hole}")


def _metal(build: BuildView, casting: CastingView, *, sized: bool) -> Iterator[BigFigure]:
    """What is left on the face whose turn it is, and the next cut; nothing where it must be measured first."""
    line = face_on(build, casting)
    cut = line.next_cut if line else None
    if line is None or line.left is None or cut is None:
        return
    left, unit, address = line.left, build.unit, f"/castings/{casting.id}/metal"
    if sized:
        last = left.cuts[-1].size_after_nm
        yield _length(build, f"{line.face.words} to", last, f"now {show_in(left.size_nm, unit)}")
    half = ", half of what the diameter loses" if line.face.on_diameter else ""
    count = f"{len(left.cuts)} cuts" if len(left.cuts) > 1 else "one cut"
    yield _small(build, f"left on the {line.face.words}", left.stock_nm, f"in {count}{half}", address=address)
    after = f"{cut.kind.value}; leaves {show_in(cut.size_after_nm, unit)}"
    yield _small(build, "next cut", cut.depth_nm, after, address=address)


def face_on(build: BuildView, casting: CastingView) -> FaceLine | None:
    """The face whose turn it is; none where a size is lost, or all is done."""
    sheet = metal_sheet(build, casting)
    return None if sheet.lost or sheet.all_done else sheet.shown


def _joint(build: BuildView, casting: CastingView) -> Iterator[BigFigure]:
    joint, said = facts_of(build.of(casting)).joints.of(casting), joint_line(build, casting)
    if joint is None or said is None:
        return
    nm = joint.finding.fit.clearance_nm
    bond = FitKind(build.fit) is FitKind.BOND
    label, shown = ("gap", nm) if bond else ("interference", -nm)
    label = label if joint.seat_measured else f"{label}, by the drawing's seat"
    figure = _small(build, label, shown, said.words, look=said.look, address=f"/castings/{casting.id}/bore")
    yield replace(figure, of_joint=True)


def _came_out(build: BuildView, batch: BatchView, casting: CastingView, kind: str) -> Iterator[BigFigure]:
    """How the wheel measured last in this batch came out, and what the judge says; a scrapped one is no example.

    Of one that the batch leaves out until it is put right its own line tells what is wrong with it.
    """
    left = {one.id for turn in batch.of("doubted") for one in turn.castings}
    there = (one for turn in batch.turns for one in turn.castings)
    others = [one for one in there if one.id != casting.id and one.state != "scrapped"]
    sizes = [(size, one) for one in others if (size := _size(one, kind)) is not None and not size.by_plug]
    if not sizes:
        return
    size, last = max(sizes, key=lambda found: found[0].at)
    said = None if kind == "tread" or last.id in left else reading_line(build, last, kind)
    words, look = (said.words, said.look) if said else ("", "")
    address = f"/castings/{last.id}/{kind}"
    yield _length(build, f"{last.mark} came out", size.nm, words, look=look, address=address)


def _size(casting: CastingView, kind: str) -> Measured | None:
    if kind == "tread":
        size = casting.sizes.get("tread")
        return None if size is None or size.rough else size
    return casting.throw if kind == "throw" else casting.bore
