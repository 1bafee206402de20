"""The few wheels of a group that fall short of what most of it is turned to already, and both ways out."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from domain.lengths import Unit, show
from domain.treads.group import WheelTread, group_diameter
from domain.working import Working


@dataclass(frozen=True)
class OddOnes:
    """The few wheels of a group that fall short of what most of it is turned to already; nm.

    diameter_nm: what the group without them comes to; down_to_nm: what every wheel would be turned down to otherwise.
    ways: the two ways out in words, the one that touches fewer wheels first.
    """

    marks: tuple[str, ...]
    diameter_nm: int
    down_to_nm: int
    to_turn: tuple[str, ...]
    words: str
    ways: tuple[str, ...]
    working: Working


def odd_ones(
    drawing_nm: int,
    wheels: Mapping[str, WheelTread],
    turned: Collection[str],
    tolerance_nm: int,
    unit: Unit,
) -> OddOnes | None:
    """The wheels most of the group should not be judged by: they fall short of what the others are turned to already.

    Formula: with the k smallest left out the rest comes to D = min(drawing, largest each of them can reach); they are
    the odd ones where D - smallest > tolerance and at least max(2, k + 1) of the rest are turned to D within the
    tolerance, more than with any other k, and more than are alike with nobody left out.
    Parameters: `drawing_nm`, `wheels`, `tolerance_nm`, `unit` as in group_diameter; `turned`, the marks of the wheels
    whose tread is turned already, so that present_nm is the tread.
    Returns: the odd ones with both ways out weighed up; None where there are none.
    Raises: TreadGroupError as group_diameter does.
    Source: derived here; that a majority of finished wheels is left alone is common practice, no source.

    >>> from domain.treads.group import WheelTread
    >>> good = WheelTread(127_000_000, 127_000_000)
    >>> found = odd_ones(127_000_000, {"A": good, "B": good, "C": WheelTread(126_400_000, 126_400_000)},
    ...     ("A", "B", "C"), 50_000, Unit.MM)
    >>> found.marks, found.diameter_nm
    (('C',), 127000000)
    """
    lowest = group_diameter(drawing_nm, wheels, tolerance_nm, unit).diameter_nm

    def alike(marks: Collection[str], diameter: int) -> int:
        done = [mark for mark in marks if mark in turned]
        return sum(abs(wheels[mark].present_nm - diameter) <= tolerance_nm for mark in done)

    most, best = alike(wheels, lowest), None
    for odd, rest, diameter in _without_smallest(drawing_nm, wheels):
        count = alike(rest, diameter)
        if diameter - lowest > tolerance_nm and count >= max(2, len(odd) + 1) and count > most:
            most, best = count, (odd, rest, diameter)
    return None if best is None else _odd_words(wheels, *best, lowest, tolerance_nm, unit)


def _without_smallest(
    drawing_nm: int, wheels: Mapping[str, WheelTread]
) -> Iterator[tuple[tuple[str, ...], tuple[str, ...], int]]:
    """The wheels in two, those that reach least and the rest, at every step between them, with the rest's diameter."""
    for step in sorted({wheel.largest_nm for wheel in wheels.values()})[:-1]:
        odd = tuple(mark for mark, wheel in wheels.items() if wheel.largest_nm <= step)
        rest = tuple(mark for mark in wheels if mark not in odd)
        yield odd, rest, min([drawing_nm, *(wheels[mark].largest_nm for mark in rest)])


def _odd_words(
    wheels: Mapping[str, WheelTread],
    odd: tuple[str, ...],
    rest: tuple[str, ...],
    diameter_nm: int,
    lowest_nm: int,
    tolerance_nm: int,
    unit: Unit,
) -> OddOnes:
    single, who = len(odd) == 1, " and ".join(odd)
    to_turn = tuple(mark for mark, wheel in wheels.items() if wheel.present_nm - lowest_nm > tolerance_nm)
    short = diameter_nm - lowest_nm
    words = (
        f"{who} {'is the odd one' if single else 'are the odd ones'}: {show(lowest_nm, unit)}"
        f"{'' if single else ' or a little more'}, {show(short, unit)} less than the {show(diameter_nm, unit)} the "
        f"other {len(rest)} come to. The others are judged without {'it' if single else 'them'}."
    )
    again = (
        f"Make {who} again, or use {'another casting' if single else 'other castings'}: then the group stays at "
        f"{show(diameter_nm, unit)}."
    )
    down = (
        f"Turn {', '.join(to_turn)} down to {show(lowest_nm, unit)}: {len(to_turn)} "
        f"wheel{'' if len(to_turn) == 1 else 's'} to set up again, and each flange turned already then stands up to "
        f"{show((short + 1) // 2, unit)} higher."
    )
    numbers = f"{show(diameter_nm, unit)} without {who}; {show(lowest_nm, unit)} with"
    result = f"{show(short, unit)} apart, more than the {show(tolerance_nm, unit)} allowed"
    source = "derived here; that finished wheels are left alone is common practice, no source"
    working = Working("the odd ones out", "group without them - group with them", numbers, result, source)
    # A wheel that is finished is not lightly touched again, so the way that touches fewer comes first.
    ways = (again, down) if len(odd) < len(to_turn) else (down, again)
    return OddOnes(odd, diameter_nm, lowest_nm, to_turn, words, ways, working)
