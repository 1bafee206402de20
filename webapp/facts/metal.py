"""Metal left on a casting: each face in the order of work, the answer to a cut, and the line on its card.

Asks no database.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from domain.cutting.operations import every_operation
from domain.lengths import show
from domain.route.guards import needed
from domain.route.stages import Stage
from domain.stock import words as say
from domain.stock.cuts import DialTo, FeedDial, PlannedCut, StopKind
from domain.stock.guard import UnderSize
from domain.stock.metal_left import MetalLeft, answer_cut
from domain.stock.sizes import Face, StockError
from domain.working import Working
from webapp.facts.lost import lost_sizes, too_deep
from webapp.facts.metal_ask import MeasureFirst, Unseen, ask_metal
from webapp.facts.metal_sizes import (
    TICKS,
    faces_of,
    is_as_came,
    is_bare_centre,
    is_ticked,
    sizes_now,
    terms_of,
    worked_at,
)
from webapp.records.views import BuildView, CastingView

_MOST_ROWS = 12
_UNKNOWN = MeasureFirst("no size is logged, so nothing can be said.")
_LOST = (
    "Stop: another size of this casting is lost, so no metal is taken off here either until that is settled."
)
# What stands on the sign, by what it means.
HEADS = {
    "go": "Go",
    "last": "Stop and think",
    "light": "Go: a lighter cut",
    "measure": "Stop: measure first",
    "wait": "Not yet",
    "done": "Stop: at size",
    "under": "Stop: under size, do not cut further",
}
# There is metal to cut.
_CUTTING = ("go", "light", "last")
_ENDS_A_CUT = frozenset(stage.value for stage, _ in TICKS.values())
# The faces that an operation cuts.
_CUT_BY = {
    "face_back": (Face.RIM_BACK, Face.BOSS_BACK),
    "face_front_rim": (Face.RIM_FRONT,),
    "face_front_boss": (Face.BOSS_FRONT,),
    "rough_tread": (Face.TREAD,),
    "finish_tread": (Face.TREAD,),
}


@dataclass(frozen=True, slots=True)
class FaceLine:
    """One face: what its sign says, and how much metal is left where that can be said."""

    face: Face
    name: str
    ticked: bool
    sign: str
    words: str
    left: MetalLeft | None
    as_came: bool
    # The words for its card, where they lead with less.
    brief: str
    # Back and front share the metal badly.
    warning: str = ""
    # A tick says that metal is off which no size shows.
    unseen: bool = False
    # It came off the other side of this metal, where it is told.
    told_elsewhere: bool = False

    @property
    def open(self) -> bool:
        """Whether there is, or may be, something to cut or to measure on it yet."""
        return (self.unseen and not self.told_elsewhere) or (not self.ticked and self.sign != "done")

    @property
    def metal(self) -> str:
        """What its two sides share the metal of; a diameter shares with none."""
        return "" if self.face.on_diameter else "rim" if self.face.on_rim else "boss"

    @property
    def head(self) -> str:
        """The sign in large letters."""
        return HEADS[self.sign]

    @property
    def next_cut(self) -> PlannedCut | None:
        """The cut to take now; none where nothing may be cut."""
        return self.left.cuts[0] if self.left and self.left.cuts and self.sign in _CUTTING else None

    @property
    def workings(self) -> tuple[Working, ...]:
        """The sums, where there are any."""
        return self.left.workings if self.left else ()


def _held(line: FaceLine) -> FaceLine:
    """A casting that has lost a size is not cut on any other face either, until that is settled."""
    if line.sign not in _CUTTING:
        return line
    return replace(line, sign="under", words=_LOST, brief=_LOST)


def face_lines(build: BuildView, casting: CastingView, lost: bool) -> Iterator[FaceLine]:
    """Every face in the order of work, worked out as it is asked for; `lost`: a size is under the drawing's."""
    worked = build.order_of(casting).stages
    for face in sorted(faces_of(build, casting), key=lambda one: worked.index(worked_at(one))):
        line = _line(build, casting, face)
        yield _held(line) if lost else line


def _line(build: BuildView, casting: CastingView, face: Face) -> FaceLine:
    ticked, left, unseen, told_elsewhere = is_ticked(casting, face), None, False, False
    try:
        left = ask_metal(build, casting, face)
        sign, words = _sign(left), say.left(left, build.unit)
        brief = words
    except MeasureFirst as doubt:
        sign, words, brief = "measure", str(doubt), doubt.brief
        unseen = isinstance(doubt, Unseen)
        told_elsewhere = isinstance(doubt, Unseen) and doubt.cut not in (None, face)
    except StockError as error:
        sign, words, brief = "measure", str(error), str(error)
        if sizes_now(build, casting).of(face) is None:
            words, brief = str(_UNKNOWN), _UNKNOWN.brief
    bare = _bare(build, casting, face)
    if bare:
        sign, words, brief = "wait", bare, bare
    first = "" if ticked or sign in ("under", "measure", "done") else _comes_first(build, casting, face)
    if first and not bare:
        sign, words, brief = "wait", f"{first} {words}", first
    bad = left.warning if left else None
    return FaceLine(
        face,
        face.words.capitalize(),
        ticked,
        sign,
        words,
        left=left,
        as_came=is_as_came(casting, face),
        brief=brief,
        warning=say.bad_share(bad, build.unit) if bad else "",
        unseen=unseen,
        told_elsewhere=told_elsewhere,
    )


def _sign(left: MetalLeft) -> str:
    if left.stop is None:
        return "go"
    kinds = {StopKind.UNDER_SIZE: "under", StopKind.AT_SIZE: "done", StopKind.LAST_CUT: "last"}
    return kinds.get(left.stop.kind, "light")


def _bare(build: BuildView, casting: CastingView, face: Face) -> str:
    """That what is turned on the tyre waits for it; empty where that is nothing."""
    waits = face in (Face.OVER_FLANGE, Face.TREAD) and is_bare_centre(build, casting)
    return "The tyre is not on yet: this is turned on it." if waits else ""


def _comes_first(build: BuildView, casting: CastingView, face: Face) -> str:
    """What a face whose turn has not come waits for; that a casting was received needs no tick to be cut."""
    if face is Face.CENTRE:
        return ""
    before = needed(TICKS[face][0], build.order_of(casting))
    missing = [one.words for one in before if one is not Stage.RECEIVED and not casting.has(one)]
    return f"First “{missing[0]}” must be ticked on its checklist." if missing else ""


@dataclass(frozen=True, slots=True)
class MetalSheet:
    """The sheet of one casting; `shown` is the face chosen, else the one whose turn it is."""

    lines: tuple[FaceLine, ...]
    shown: FaceLine
    lost: tuple[UnderSize, ...]
    all_done: bool
    # What is said of a side that was cut too deep, whichever face is shown.
    too_deep: tuple[str, ...] = ()

    @property
    def unmeasured(self) -> bool:
        """Whether a face is known to be done by its tick alone, with no size of it at all."""
        return any(line.ticked and line.sign == "measure" for line in self.lines)

    @property
    def cuts(self) -> tuple[tuple[int, PlannedCut], ...]:
        """The cuts of the shown face by number; of a great many the first and the last."""
        found = tuple(enumerate(self.shown.left.cuts, 1)) if self.shown.left and self.shown.next_cut else ()
        return found if len(found) <= _MOST_ROWS else found[: _MOST_ROWS - 2] + found[-2:]

    @property
    def cuts_left_out(self) -> int:
        """How many cuts are not shown one by one."""
        whole = len(self.shown.left.cuts) if self.shown.left and self.shown.next_cut else 0
        return whole - len(self.cuts)


@dataclass(frozen=True, slots=True)
class MetalLine:
    """The line on a wheel's card; loud where metal is in danger, and not only unknown or waiting."""

    head: str
    words: str
    stop: bool
    address: str
    loud: bool = False
    # The tick that ends the work asks about it, in full.
    asked: bool = False


def metal_sheet(
    build: BuildView, casting: CastingView, chosen: Face | None = None, dial: FeedDial | None = None
) -> MetalSheet:
    """Every face, with the dial on the one that is shown. Raises StockError, with its field, for the dial."""
    lost = lost_sizes(build, casting)
    lines = tuple(face_lines(build, casting, bool(lost)))
    turn = next((line for line in lines if line.open), None)
    shown = next((line for line in lines if line.face is chosen), turn or lines[-1])
    if dial is not None and shown.left is not None:
        # With the dial the cuts are the same, and each says where to wind to.
        left = ask_metal(build, casting, shown.face, dial=dial)
        shown = replace(shown, left=left)
    starved = too_deep(build, casting)
    # Of the metal that is shown its own sign says it.
    told = shown.metal if shown.warning and not shown.ticked else ""
    deep = tuple(say.too_deep(one, build.unit) for one in starved if one.name != told) or tuple(
        line.warning
        for line in lines
        if line.warning and line.sign == "done" and not line.ticked and line.metal != shown.metal
    )
    return MetalSheet(lines, shown, lost, turn is None, deep)


@dataclass(frozen=True, slots=True)
class MostCut:
    """The deepest cut that an operation may take now; None, with the sign in words, where it may take none."""

    depth_nm: int | None
    words: str = ""


def most_cuts(build: BuildView, casting: CastingView) -> dict[str, MostCut]:
    """What each operation on a casting's faces may take now; none of an operation that its ticks call done.

    A finishing cut is the last that is planned, any other one the next; with two faces the less of both.
    """
    lines = {line.face: line for line in face_lines(build, casting, bool(lost_sizes(build, casting)))}
    found = {}
    for one in every_operation():
        mine = [line for face in _CUT_BY.get(one.key, ()) if not (line := lines[face]).ticked]
        if mine:
            found[one.key] = _most_cut(mine, finishing=one.finishing)
    return found


def _most_cut(lines: Sequence[FaceLine], *, finishing: bool) -> MostCut:
    under = next((line for line in lines if line.sign == "under"), None)
    if under is not None:
        return MostCut(None, under.head)
    cuts = [line.left.cuts for line in lines if line.sign != "done" and line.left and line.left.cuts]
    if cuts:
        return MostCut(min(one[-1 if finishing else 0].depth_nm for one in cuts))
    return MostCut(None, next((line for line in lines if line.sign == "measure"), lines[0]).head)


@dataclass(frozen=True, slots=True)
class CutSaid:
    """Go or stop for one cut in words, the size it leaves, and where to wind the dial to."""

    go: bool
    words: str
    after_nm: int | None = None
    dial: DialTo | None = None


def cut_answer(
    build: BuildView, casting: CastingView, line: FaceLine, cut_nm: int, dial: FeedDial | None
) -> CutSaid:
    """Go or stop for the cut a person means to take. Raises StockError, with its field, for what cannot be."""
    if line.left is None or line.sign in ("measure", "wait", "under"):
        return CutSaid(False, line.words)
    left = ask_metal(build, casting, line.face, cut_nm=cut_nm)
    answer = answer_cut(left, cut_nm, terms_of(build.of(casting)).finish_cut_nm, dial)
    words = say.cut_answer(answer, build.unit)
    return CutSaid(answer.go, words, answer.after_nm, answer.dial)


def metal_words(build: BuildView, casting: CastingView) -> MetalLine | None:
    """The line on a wheel's card; none for a casting that is scrapped, not begun, or done."""
    if build.casting(casting.id) is not casting:
        return _card_line(build, casting)
    # Kept with the build, as its facts are: every sheet of the wheel shows it.
    key = f"metal of {casting.id}"
    if key not in build.kept:
        build.kept[key] = _card_line(build, casting)
    kept = build.kept[key]
    return kept if isinstance(kept, MetalLine) else None


def measured_first(build: BuildView, casting: CastingView, key: str) -> str:
    """What its line says is to be measured first, where this tick ends a cut: a batch shows the line, and asks by it."""
    line = metal_words(build, casting) if key in _ENDS_A_CUT else None
    return line.words if line is not None and line.head == HEADS["measure"] else ""


def _card_line(build: BuildView, casting: CastingView) -> MetalLine | None:
    if casting.state == "scrapped" or not (casting.sizes or casting.has(Stage.RECEIVED)):
        return None
    address, unit = f"/castings/{casting.id}/metal", build.unit
    lost = lost_sizes(build, casting)
    if lost:
        words = f"Under size: {say.lost(lost, unit)}."
        return MetalLine("Under size: do not cut further", words, True, address, True)
    deep = " ".join(say.too_deep_brief(one, unit) for one in too_deep(build, casting))
    if deep:
        return MetalLine("Cut too deep", deep, False, address, loud=True, asked=True)
    # Only as far as the face whose turn it is: every card of a build asks.
    line = next((one for one in face_lines(build, casting, False) if one.open), None)
    if line is None:
        return None
    cut = line.next_cut
    if line.left is None or cut is None:
        return MetalLine(line.head, f"{line.name}: {line.brief}", True, address)
    words = (
        f"{line.name}: {show(line.left.stock_nm, unit)} of metal left, next cut {show(cut.depth_nm, unit)}"
    )
    if line.sign in ("go", "light"):
        return MetalLine("Metal left", f"{words}.", False, address)
    return MetalLine(line.head, f"{words} at the most.", True, address, True)
