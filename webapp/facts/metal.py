"""Metal left on a casting: its sheet, the answer to a cut, and the line on its card. Asks no database."""

from __future__ import annotations

from dataclasses import dataclass, replace

from domain.lengths import show
from domain.route.stages import Stage
from domain.stock.cut_types import Dial
from domain.stock.metal_left import Cut
from domain.stock.next_cut import CutAnswer, answer_cut
from domain.stock.size_guard import UnderSize
from domain.stock.types import Face
from webapp.facts.metal_ask import ask_metal
from webapp.facts.metal_faces import FaceLine, face_lines
from webapp.facts.metal_sizes import lost_sizes, terms_of
from webapp.records.views import BuildView, CastingView

_MOST_ROWS = 12


@dataclass(frozen=True, slots=True)
class MetalSheet:
    """The sheet of one casting; `shown` is the face chosen, else the one whose turn it is."""

    lines: tuple[FaceLine, ...]
    shown: FaceLine
    lost: tuple[UnderSize, ...]
    all_done: bool

    @property
    def unmeasured(self) -> bool:
        """Whether a face is known to be done by its tick alone, with no size of it at all."""
        return any(line.ticked and line.sign == "measure" for line in self.lines)

    @property
    def cuts(self) -> tuple[tuple[int, Cut], ...]:
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


def metal_sheet(
    build: BuildView, casting: CastingView, chosen: Face | None = None, dial: Dial | None = None
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
    return MetalSheet(lines, shown, lost, turn is None)


def cut_answer(
    build: BuildView, casting: CastingView, line: FaceLine, cut_nm: int, dial: Dial | None
) -> CutAnswer:
    """Go or stop for the cut a person means to take. Raises StockError, with its field, for what cannot be."""
    if line.left is None or line.sign in ("measure", "wait", "under"):
        return CutAnswer(False, line.words)
    left = ask_metal(build, casting, line.face, cut_nm=cut_nm)
    return answer_cut(left, cut_nm, terms_of(build).finish_cut_nm, dial, build.unit)


def metal_words(build: BuildView, casting: CastingView) -> MetalLine | None:
    """The line on a wheel's card; none for a casting that is scrapped, not begun, or done."""
    if casting.state == "scrapped" or not (casting.sizes or casting.has(Stage.RECEIVED)):
        return None
    address, unit = f"/castings/{casting.id}/metal", build.unit
    lost = lost_sizes(build, casting)
    if lost:
        names = " and ".join(f"the {one.name} by {show(one.under_nm, unit)}" for one in lost)
        return MetalLine("Under size: do not cut further", f"Under size: {names}.", True, address, True)
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
    if line.sign == "go":
        return MetalLine("Metal left", f"{words}.", False, address)
    return MetalLine(line.head, f"{words} at the most.", True, address, True)
