"""Metal left, in words."""

from __future__ import annotations

from domain.lengths import Unit, show
from domain.stock.cut_types import Cut, CutKind, Stop, StopKind
from domain.stock.now import Left
from domain.stock.types import Face

_LOST = (
    " It may be scrap, so ask someone who knows before it is thrown away; the finished size of the whole set may be"
    " changed to suit it where the drawing and the wheel standard allow, and then every fellow is made alike."
)


def under_size(face: Face, under_nm: int, unit: Unit) -> str:
    """The size is lost: what can still be done."""
    return f"{_name(face).capitalize()} is under size by {show(under_nm, unit)}: do not cut.{_LOST}"


def not_round(face: Face, under_nm: int, unit: Unit) -> str:
    """A rough diameter that stands too far off the centre to clean up."""
    return (
        f"Stop: set true to its inside edge, {_name(face)} does not clean up: {show(under_nm, unit)} short on the"
        " diameter where it is thinnest. Look at receiving before any cut, and ask someone who knows."
    )


def at_size(face: Face, left: Left, unit: Unit) -> str:
    """Nothing more comes off this face."""
    if face.is_back and left.size_nm > left.least_size_nm:
        return (
            f"Stop: the {face.words} is faced far enough; what is left, "
            f"{show(left.size_nm - left.least_size_nm, unit)}, belongs to the front."
        )
    return f"Stop: {_name(face)} is at size: do not cut."


def last_cut(left_nm: int, on_diameter: bool, unit: Unit) -> str:
    """Less than a finishing cut is left."""
    twice = f", which is {show(2 * left_nm, unit)} off the diameter" if on_diameter else ""
    return f"Stop and think: this is the last cut: take {show(left_nm, unit)} only{twice}."


def already_under(under_nm: int, unit: Unit) -> str:
    """The size is lost already, where the surface is not named."""
    return f"Stop: it is already {show(under_nm, unit)} under size: do not cut.{_LOST}"


def would_go_under(cut_nm: int, under_nm: int, left_nm: int, on_diameter: bool, unit: Unit) -> str:
    """A cut that would lose the size, and what may still come off."""
    return (
        f"Stop: a cut of {show(cut_nm, unit)} would go {show(under_nm, unit)} under size"
        f"{' on the diameter' if on_diameter else ''};"
        f" {show(left_nm, unit)} {'of depth ' if on_diameter else ''}is left."
    )


def too_deep(cut_nm: int, roughing_nm: int, many: int, unit: Unit) -> str:
    """A cut deeper than one pass may be."""
    return (
        f"Stop: too deep for one pass: at most {show(roughing_nm, unit)} at a time, so {show(cut_nm, unit)}"
        f" in {many} cuts, and measure before the last."
    )


def past_share(cut_nm: int, past_nm: int, left_nm: int, unit: Unit) -> str:
    """A cut that would take the other side's share."""
    return (
        f"Stop: a cut of {show(cut_nm, unit)} would go {show(past_nm, unit)} past this face's share, and the"
        f" other side would be short of it; {show(left_nm, unit)} is left here."
    )


def summary(face: Face, stock_nm: int, cuts: tuple[Cut, ...], stop: Stop | None, unit: Unit) -> str:
    """How much is left, how many cuts, and the stop sign."""
    if not cuts:
        return stop.words if stop else ""
    roughing = sum(cut.kind is CutKind.ROUGHING for cut in cuts)
    many = f"{roughing} roughing cut{'' if roughing == 1 else 's'} and one for finish"
    if not roughing:
        many = "one last cut takes it all"
    on = " on the radius" if face.on_diameter else ""
    words = f"{show(stock_nm, unit)}{on} is left on the {face.words}: {many}."
    if roughing:
        words += " Measure before the last cut."
    return f"{words} {stop.words}" if stop and stop.kind is not StopKind.AT_SIZE else words


def bad_share(back_nm: int, front_nm: int, to_nm: int | None, unit: Unit) -> str:
    """Which figure to face the back to; None where it is past that."""
    head = (
        f"Badly shared: {show(max(0, back_nm), unit)} off the back would leave {show(max(0, front_nm), unit)}"
        " for the front."
    )
    if to_nm is None:
        return f"{head} The back is already past its share: cut it no more, turn the wheel round, and face the front."
    return f"{head} Face the back to {show(to_nm, unit)}, so that both have enough."


def too_little(poorest_nm: int, least_nm: int, to_nm: int | None, unit: Unit) -> str:
    """No share gives both sides a least cut."""
    figure = "" if to_nm is None else f" Face the back to {show(to_nm, unit)} at the most."
    return (
        f"Even shared as well as can be, one side has only {show(max(0, poorest_nm), unit)}, less than a least cut of"
        f" {show(least_nm, unit)}: take no more than cleans up, and measure after every cut.{figure}"
    )


def _name(face: Face) -> str:
    return f"the {face.words}"
