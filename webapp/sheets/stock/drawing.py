"""A section through rim and boss: the casting as it came, and the finished wheel inside it.

Lengths along the axle are to scale, and so is the metal outside; the heights of rim and boss are shortened.
"""

from collections.abc import Container, Mapping
from dataclasses import dataclass
from typing import Final

from domain.stock.sizes import Face, Faces
from webapp.drawing.parts import BESIDE, LINE, OVER, TAILED, At, between, path
from webapp.drawing.section import SectionTyre, turned_outline, tyre_outline

WIDTH: Final = 668.0
_LEFT, _RIGHT = 174.0, 494.0
# Over the rim there is room for three lines of words, and for an arrow that points down at thin metal.
_RIM_TOP, _RIM_FOOT = 132.0, 272.0
_BOSS_TOP, _BOSS_FOOT = 336.0, 426.0
_CENTRE_LINE = 446.0
_ACROSS_RIM, _ACROSS_BOSS = 236.0, 384.0
_WORDS_APART: Final = 140.0
_LEAST_STEP, _MOST_STEP = 14.0, 48.0
_MOST_ABOVE, _MOST_BELOW = 30.0, 58.0


@dataclass(frozen=True)
class Words:
    """What is said at a face: its name, its metal, and how much is short (empty where nothing is)."""

    name: str
    metal: str
    short: str = ""


@dataclass(frozen=True)
class Note:
    """Words at their place, and the dimension of the metal they tell of."""

    words: Words
    x: float
    y: float
    anchor: str
    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def line(self) -> str:
        """The dimension's own line."""
        return between((self.x1, self.y1), (self.x2, self.y2))[0]

    @property
    def heads(self) -> str:
        """Its arrowheads."""
        return between((self.x1, self.y1), (self.x2, self.y2))[1]


@dataclass(frozen=True)
class Outside:
    """The outside of the rim, nm: metal over the flange and on the tread (None: not known), depth and width of flange.

    straight: it is a wheel centre, and the metal over the flange is that on the seat of its tyre.
    """

    over_flange_nm: int | None
    tread_nm: int | None
    flange_depth_nm: int
    flange_width_nm: int
    stepped: bool = False
    straight: bool = False


def centre_outside(metal_nm: int | None) -> Outside:
    """The outside of a wheel centre, with so much metal on the seat of its tyre; None where that is not known."""
    return Outside(metal_nm, None, 0, 0, straight=True)


@dataclass(frozen=True)
class Section:
    """Everything the template draws; every number is final."""

    width: float
    view_box: str
    rough: tuple[str, ...]
    finished: tuple[str, ...]
    # The faces that are there: a clean line on the finished outline.
    inked: tuple[str, ...]
    web: tuple[str, ...]
    centre_line: str
    notes: tuple[Note, ...]


@dataclass(frozen=True)
class _Scale:
    """From nanometres along the axle to the sheet; the back is at the left."""

    least: int
    per_nm: float

    def x(self, nm: int) -> float:
        return round(_LEFT + (nm - self.least) * self.per_nm, 1)

    def across(self, nm: int, least: float, most: float) -> float:
        """A length across, held between limits so that a slip of the finger still draws as a wheel."""
        return min(most, max(least, nm * self.per_nm))


def section(
    rough: Faces,
    finished: Faces,
    best_nm: int,
    outside: Outside,
    words: Mapping[Face, Words],
    done: Container[Face] = tuple(Face),
) -> Section:
    """Lay out the section; `best_nm` is where the finished rim back lies from the rough zero, positions in nm.

    `done` are the faces that are inked in: all of them where the finished wheel is what is shown.

    ValueError when the faces leave no width to draw.
    """
    scale = _scale(rough, finished, best_nm)
    back, front = scale.x(best_nm + finished.rim_back_nm), scale.x(best_nm + finished.rim_front_nm)
    came_back, came_front = scale.x(rough.rim_back_nm), scale.x(rough.rim_front_nm)
    top = _RIM_TOP + scale.across(outside.over_flange_nm or 0, -_MOST_ABOVE, _MOST_BELOW)
    step = 0.0 if outside.straight else scale.across(outside.flange_depth_nm, _LEAST_STEP, _MOST_STEP)
    tread = top + step
    root = min(back + scale.across(outside.flange_width_nm, 8, 80), (back + front) / 2)
    over = _RIM_TOP
    if outside.stepped and outside.tread_nm is not None:
        over = tread - scale.across(outside.tread_nm, -_MOST_ABOVE, tread - _RIM_TOP)
    rough_rim = _rough_rim(came_back, came_front, root, over)
    tyre = SectionTyre(front - back, root - back, tread - top, -tread, -_RIM_FOOT)

    def place(along: float, out: float) -> At:
        return back + along, -out

    finished_rim, turned = tyre_outline(tyre, place, closed=False), turned_outline(tyre, place)
    if outside.straight:
        turned = path((back, top), (front, top))
        finished_rim = path((back, _RIM_FOOT), (back, top), (front, top), (front, _RIM_FOOT))
    # The inside edge stays as cast.
    inked = [
        one
        for faces, one in (
            ({Face.RIM_BACK}, path((back, _RIM_FOOT), (back, tread))),
            ({Face.CENTRE} if outside.straight else {Face.OVER_FLANGE, Face.TREAD}, turned),
            ({Face.RIM_FRONT}, path((front, _RIM_FOOT), (front, tread + 0.3 * (tread - top)))),
        )
        if all(face in done for face in faces)
    ]
    over_flange, on_tread = (back + root) / 2, (root + front) / 2
    first = over_flange - 20
    notes = [
        *_along(
            words, Face.RIM_BACK, Face.RIM_FRONT, ((came_back, back), (front, came_front)), y=_ACROSS_RIM
        ),
        *_above(words, Face.OVER_FLANGE, over_flange, (_RIM_TOP, top), first),
        *_above(words, Face.CENTRE, (back + front) / 2, (_RIM_TOP, top), (back + front) / 2),
        *_above(words, Face.TREAD, on_tread, (over, tread), max(on_tread + 40, first + _WORDS_APART)),
    ]
    boss = _boss(rough, finished, best_nm, scale)
    if boss is None:
        foot = _RIM_FOOT + 44
        return Section(
            width=WIDTH,
            view_box=f"0 0 {WIDTH:.0f} {foot:.0f}",
            rough=(rough_rim,),
            finished=(finished_rim,),
            inked=tuple(inked),
            web=_web(back, front, None),
            centre_line="",
            notes=tuple(notes),
        )
    (boss_came, boss_done), edges = boss
    notes += _along(words, Face.BOSS_BACK, Face.BOSS_FRONT, edges, y=_ACROSS_BOSS)
    (_, boss_back), (boss_front, _) = edges
    inked += [
        path((x, _BOSS_TOP), (x, _BOSS_FOOT))
        for face, x in ((Face.BOSS_BACK, boss_back), (Face.BOSS_FRONT, boss_front))
        if face in done
    ]
    return Section(
        width=WIDTH,
        view_box=f"0 0 {WIDTH:.0f} {_CENTRE_LINE + 14:.0f}",
        rough=(rough_rim, boss_came),
        finished=(finished_rim, boss_done),
        inked=tuple(inked),
        web=_web(back, front, _BOSS_TOP),
        centre_line=f"M{_LEFT - 20} {_CENTRE_LINE} H{_RIGHT + 20}",
        notes=tuple(notes),
    )


def _scale(rough: Faces, finished: Faces, best_nm: int) -> _Scale:
    came = (rough.rim_back_nm, rough.rim_front_nm, rough.boss_back_nm, rough.boss_front_nm)
    done = (finished.rim_back_nm, finished.rim_front_nm, finished.boss_back_nm, finished.boss_front_nm)
    at = [nm for nm in came if nm is not None] + [best_nm + nm for nm in done if nm is not None]
    width = max(at) - min(at)
    if width <= 0:
        raise ValueError("a section needs some width")
    return _Scale(min(at), (_RIGHT - _LEFT) / width)


def _rough_rim(back: float, front: float, root: float, over: float) -> str:
    if over == _RIM_TOP:
        return path((back, _RIM_FOOT), (back, _RIM_TOP), (front, _RIM_TOP), (front, _RIM_FOOT), closed=True)
    step = min(root + 10, front)
    return path(
        (back, _RIM_FOOT),
        (back, _RIM_TOP),
        (step, _RIM_TOP),
        (step, over),
        (front, over),
        (front, _RIM_FOOT),
        closed=True,
    )


def _boss(
    rough: Faces, finished: Faces, best_nm: int, scale: _Scale
) -> tuple[tuple[str, str], tuple[tuple[float, float], tuple[float, float]]] | None:
    """The boss as it came and as it will be, and from where to where its back and front metal goes."""
    if rough.boss_back_nm is None or rough.boss_front_nm is None:
        return None
    if finished.boss_back_nm is None or finished.boss_front_nm is None:
        return None
    came = scale.x(rough.boss_back_nm), scale.x(rough.boss_front_nm)
    done = scale.x(best_nm + finished.boss_back_nm), scale.x(best_nm + finished.boss_front_nm)
    drawn = tuple(
        path((one, _BOSS_FOOT), (one, _BOSS_TOP), (two, _BOSS_TOP), (two, _BOSS_FOOT), closed=True)
        for one, two in (came, done)
    )
    return (drawn[0], drawn[1]), ((came[0], done[0]), (done[1], came[1]))


def _web(back: float, front: float, boss_top: float | None) -> tuple[str, ...]:
    """A spoke between rim and boss, broken, for its length is not drawn."""
    middle, half = (back + front) / 2, (front - back) / 7
    wave = f"q{half / 2:.1f} -9 {half:.1f} 0 t{half:.1f} 0"
    sides = (middle - half, middle + half)
    lines = [f"M{x:.1f} {_RIM_FOOT} V{_RIM_FOOT + 24}" for x in sides]
    lines.append(f"M{sides[0]:.1f} {_RIM_FOOT + 24} {wave}")
    if boss_top is not None:
        lines += [f"M{x:.1f} {boss_top - 24} V{boss_top}" for x in sides]
        lines.append(f"M{sides[0]:.1f} {boss_top - 24} {wave}")
    return tuple(lines)


def _along(
    words: Mapping[Face, Words],
    back: Face,
    front: Face,
    at: tuple[tuple[float, float], tuple[float, float]],
    *,
    y: float,
) -> list[Note]:
    """What is said at the back, on the left, and at the front, on the right; `at` is where their metal goes."""
    notes, (at_back, at_front) = [], at
    if back in words:
        x = min(*at_back) - TAILED - BESIDE
        notes.append(Note(words[back], x, y - OVER, "end", x1=at_back[0], y1=y, x2=at_back[1], y2=y))
    if front in words:
        x = max(*at_front) + TAILED + BESIDE
        notes.append(Note(words[front], x, y - OVER, "start", x1=at_front[0], y1=y, x2=at_front[1], y2=y))
    return notes


def _above(
    words: Mapping[Face, Words], face: Face, x: float, metal: tuple[float, float], words_x: float
) -> list[Note]:
    """What is said above the rim, of the flange or of the tread; `metal` is from where to where its metal goes."""
    if face not in words:
        return []
    return [
        Note(
            words[face],
            words_x,
            20.0 if words[face].short else 20.0 + LINE,
            "middle",
            x1=x,
            y1=metal[0],
            x2=x,
            y2=metal[1],
        )
    ]
