"""The work in its chuck seen from the tailstock end, to scale: what stands out furthest, and what it passes.

One jaw is drawn pointing straight down at the bed, which is how it comes round in every turn.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from domain.cutting.swing import Grips, Swing, SwingAnswer, SwingChuck, SwingLathe, SwingSetUp
from domain.lengths import Unit, show_in
from webapp.drawing.parts import BESIDE, LINE, OVER, Measure, Text, apart, n, upright

WIDTH: Final = 550.0
HEIGHT: Final = 410.0
_CENTRE_X: Final = 206.0
_CENTRE_Y: Final = 186.0
_RADIUS: Final = 176.0
_JAW_WIDTH: Final = 0.16
# Right of all that turns stand the figure of what is clear and the names of the two lines.
_FIGURE_X: Final = _CENTRE_X + _RADIUS + 10
_LOWEST: Final = HEIGHT - 34


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle; `turn` in degrees clockwise about the axis."""

    x: float
    y: float
    width: float
    height: float
    turn: int


@dataclass(frozen=True, slots=True)
class SwingPicture:
    """Everything the template needs; every number is final, in the units of the view box."""

    width: float
    view_box: str
    description: str
    x: float
    y: float
    axis: str
    body: float
    work: float
    largest: float
    jaws: tuple[Box, ...]
    left: float
    right: float
    bed: float
    gap: float | None
    reach: float
    limit: float
    clear_words: str
    clear: Measure
    names: tuple[Text, ...]
    fouls: bool


def swing_picture(
    lathe: SwingLathe, chuck: SwingChuck, set_up: SwingSetUp, swing: Swing, unit: Unit
) -> SwingPicture:
    """Lay out one end-on view; lengths in nm, all above 0 as the domain has checked them."""
    lowest_nm = max(swing.largest_radius_nm, lathe.centre_height_nm, lathe.gap_radius_nm or 0)
    # Everything round the axis fits above, and everything below it fits too.
    scale = min(_RADIUS / swing.largest_radius_nm, (_LOWEST - _CENTRE_Y) / lowest_nm)

    def drawn(nm: float) -> float:
        return round(nm * scale, 2)

    # Bed or gap's floor, whichever the clearance was taken to.
    limit_nm = swing.largest_radius_nm + swing.clearance_nm
    clear = show_in(abs(swing.clearance_nm), unit)
    fouls = swing.answer is SwingAnswer.NO
    words = f"fouls, {clear}" if fouls else f"{clear} clear"
    reach, limit = drawn(swing.largest_radius_nm), drawn(limit_nm)
    bed = round(_CENTRE_Y + drawn(lathe.centre_height_nm), 2)
    gap = None if lathe.gap_radius_nm is None else round(_CENTRE_Y + drawn(lathe.gap_radius_nm), 2)
    clear_line, names = _named(words, fouls, _CENTRE_Y + reach, _CENTRE_Y + limit, bed, gap)
    return SwingPicture(
        width=WIDTH,
        view_box=f"0 0 {WIDTH:g} {HEIGHT:g}",
        description=f"End-on view, to scale: {swing.furthest} furthest out, {words}.",
        x=_CENTRE_X,
        y=_CENTRE_Y,
        axis=f"M{_CENTRE_X - 12:g} {_CENTRE_Y:g}h24M{_CENTRE_X:g} {_CENTRE_Y - 12:g}v24",
        body=drawn(chuck.body_nm / 2),
        work=drawn(set_up.work_nm / 2),
        largest=reach,
        jaws=_jaws(chuck, set_up, scale),
        left=8.0,
        right=_FIGURE_X + 5,
        bed=bed,
        gap=gap,
        reach=round(_CENTRE_Y + reach, 2),
        limit=round(_CENTRE_Y + limit, 2),
        clear_words=words,
        clear=clear_line,
        names=names,
        fouls=fouls,
    )


def _named(
    words: str, fouls: bool, reach: float, limit: float, bed: float, gap: float | None
) -> tuple[Measure, tuple[Text, ...]]:
    """The dimension of what is clear, or too far, with its figure beside it; below and above it what the lines are."""
    lines = [("bed", bed)] + ([] if gap is None else [("gap's floor", gap)])
    heights = apart([(reach + limit) / 2 + OVER, *(y + OVER for _, y in lines)], LINE, 20.0, HEIGHT - 8)
    x = _FIGURE_X + 5 + BESIDE
    clear = upright(
        _FIGURE_X,
        reach,
        limit,
        Text(x, n(heights[0]), "start", (words,), "red" if fouls else "strong"),
        (_CENTRE_X, _CENTRE_X),
    )
    return clear, tuple(
        Text(x, n(y), "start", (name,), "soft") for (name, _), y in zip(lines, heights[1:], strict=True)
    )


def _jaws(chuck: SwingChuck, set_up: SwingSetUp, scale: float) -> tuple[Box, ...]:
    """Four jaws, from the inner end (or the face that grips where the length is not known) to the outer end."""
    way = chuck.normal if set_up.jaws.value == "normal" else chuck.reversed
    reach_nm = (way.outside_nm if set_up.grips is Grips.OUTSIDE else way.inside_nm) or 0
    outer_nm = set_up.held_nm / 2 + reach_nm
    inner_nm = set_up.held_nm / 2
    if chuck.jaw_length_nm is not None:
        inner_nm = max(0.0, outer_nm - chuck.jaw_length_nm)
    width = round(max(chuck.body_nm / 2 * scale * 2 * _JAW_WIDTH, 6.0), 2)
    top, height = round(inner_nm * scale, 2), round(max(outer_nm - inner_nm, 0) * scale, 2)
    return tuple(
        Box(round(_CENTRE_X - width / 2, 2), round(_CENTRE_Y + top, 2), width, height, turn)
        for turn in (0, 90, 180, 270)
    )
