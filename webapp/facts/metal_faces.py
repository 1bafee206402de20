"""Each face of a casting in the order of work: the metal left on it, and the sign before the next cut. Asks no database."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from domain.route.guards import needed
from domain.route.stages import Stage
from domain.stock.metal_left import Cut, MetalLeft, StopKind
from domain.stock.types import Face, StockError
from domain.working import Working
from webapp.facts.metal_ask import Unseen, ask_metal
from webapp.facts.metal_sizes import TICKS, is_as_came, is_ticked, sizes_now
from webapp.records.views import BuildView, CastingView

_UNKNOWN = "Measure first: no size is logged, so nothing can be said."
_LOST = (
    "Stop: another size of this casting is lost, so no metal is taken off here either until that is settled."
)
# What stands on the sign, by what it means.
HEADS = {
    "go": "Go",
    "last": "Stop and think",
    "stop": "Stop: no full roughing cut",
    "measure": "Stop: measure first",
    "wait": "Stop: not yet",
    "done": "Stop: at size",
    "under": "Stop: under size, do not cut further",
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
    brief: str = ""
    # A tick says that metal is off which no size shows.
    unseen: bool = False

    @property
    def open(self) -> bool:
        """Whether there is, or may be, something to cut or to measure on it yet."""
        return self.unseen or (not self.ticked and self.sign != "done")

    @property
    def head(self) -> str:
        """The sign in large letters."""
        return HEADS[self.sign]

    @property
    def stops(self) -> bool:
        """Whether it is a stop sign."""
        return self.sign != "go"

    @property
    def next_cut(self) -> Cut | None:
        """The cut to take now; none where nothing may be cut."""
        return (
            self.left.cuts[0]
            if self.left and self.left.cuts and self.sign in ("go", "stop", "last")
            else None
        )

    @property
    def workings(self) -> tuple[Working, ...]:
        """The sums, where there are any."""
        return self.left.workings if self.left else ()


def _held(line: FaceLine) -> FaceLine:
    """A casting that has lost a size is not cut on any other face either, until that is settled."""
    if line.sign not in ("go", "stop", "last"):
        return line
    return replace(line, sign="under", words=_LOST, brief=_LOST)


def face_lines(build: BuildView, casting: CastingView, lost: bool) -> Iterator[FaceLine]:
    """Every face in the order of work, worked out as it is asked for; `lost`: a size is under the drawing's."""
    for face in (
        Face.RIM_BACK,
        Face.BOSS_BACK,
        Face.RIM_FRONT,
        Face.BOSS_FRONT,
        Face.OVER_FLANGE,
        Face.TREAD,
    ):
        line = _line(build, casting, face)
        yield _held(line) if lost else line


def _line(build: BuildView, casting: CastingView, face: Face) -> FaceLine:
    ticked = is_ticked(casting, face)
    left: MetalLeft | None = None
    unseen = False
    try:
        left = ask_metal(build, casting, face)
        sign, words = _sign(left)
    except Unseen as doubt:
        sign, words, unseen = "measure", str(doubt), True
    except StockError as error:
        sign, words = "measure", _UNKNOWN if _no_size(casting, face) else str(error)
    first = "" if ticked or sign in ("under", "measure", "done") else _comes_first(build, casting, face)
    if first:
        sign, words = "wait", f"{first} {words}"
    name, as_came = face.words.capitalize(), is_as_came(casting, face)
    brief = first or words.removeprefix("Measure first: ")
    return FaceLine(face, name, ticked, sign, words, left, as_came, brief, unseen)


def _no_size(casting: CastingView, face: Face) -> bool:
    now = sizes_now(casting)
    size = {
        Face.RIM_BACK: now.rim_thickness_nm,
        Face.RIM_FRONT: now.rim_thickness_nm,
        Face.BOSS_BACK: now.boss_thickness_nm,
        Face.BOSS_FRONT: now.boss_thickness_nm,
        Face.OVER_FLANGE: now.over_flange_nm,
        Face.TREAD: now.tread_nm,
    }[face]
    return size is None


def _sign(left: MetalLeft) -> tuple[str, str]:
    if left.stop is None:
        return "go", left.words
    kinds = {StopKind.UNDER_SIZE: "under", StopKind.AT_SIZE: "done", StopKind.LAST_CUT: "last"}
    return kinds.get(left.stop.kind, "stop"), left.words


def _comes_first(build: BuildView, casting: CastingView, face: Face) -> str:
    """What a face whose turn has not come waits for; that a casting was received needs no tick to be cut."""
    before = needed(TICKS[face][0], build.order_of(casting))
    missing = [one.words for one in before if one is not Stage.RECEIVED and not casting.has(one)]
    return f"First “{missing[0]}” must be ticked on its checklist." if missing else ""
