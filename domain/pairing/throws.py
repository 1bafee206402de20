"""Which wheel goes on which side, so that the throws of each side match best: its rods join those, and no others.

What is compared, in this order; a later one decides only where all before it are alike: the larger of the two sides'
spreads, the two spreads together, the fewest wheels that change places. What is left is decided by the keys.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from domain.cranks.cylinders import Side
from domain.lengths import Unit, show, show_small
from domain.pairing.assignment import cheapest_assignment
from domain.working import Working

_Range = tuple[int, int]
_NONE: _Range = (0, 0)
# An exchange must gain at least one part in so many.
_WORTH = 10


class ThrowPairingError(ValueError):
    """Wheels and places that cannot be paired; its text is one sentence for the page."""


@dataclass(frozen=True)
class ThrowWheel:
    """A coupled wheel with its throw as measured, nm; its key is the caller's own, its mark is for the page."""

    key: str
    mark: str
    throw_nm: int


@dataclass(frozen=True)
class ThrowPlace:
    """A place on the left or right end of an axle; its key is the caller's own, its label is for the page."""

    key: str
    label: str
    side: Side


@dataclass(frozen=True)
class ThrowPair:
    """A wheel on its place: `fixed` when it is on for good, `moves` when it is not there today."""

    place: ThrowPlace
    wheel: ThrowWheel
    fixed: bool
    moves: bool


@dataclass(frozen=True)
class ThrowPairing:
    """Which wheel goes where; spreads of each side's throws, nm, today's None unless every place has a wheel today.

    within_doubt: whether the gain over today is no more than the throws' own uncertainty.
    """

    pairs: tuple[ThrowPair, ...]
    spares: tuple[ThrowWheel, ...]
    left_nm: int
    right_nm: int
    today_left_nm: int | None
    today_right_nm: int | None
    within_doubt: bool
    words: str
    working: Working

    @property
    def moves(self) -> tuple[ThrowPair, ...]:
        """The pairs that are not so today."""
        return tuple(pair for pair in self.pairs if pair.moves)


def pair_throws(
    wheels: Sequence[ThrowWheel],
    places: Sequence[ThrowPlace],
    today: Mapping[str, str],
    unit: Unit,
    fixed: Mapping[str, str] | None = None,
    expanded_nm: int = 0,
) -> ThrowPairing:
    """Find which wheel goes on which side so that the worse side's throws lie closest together.

    Formula: least max(spread left, spread right), spread = most - least throw of a side; the whole order is at the head
    of this file. With nothing fixed and no spares: sort the throws, the smaller half on one side.
    Parameters: `wheels`, of one pattern, throws in nm > 0, spares among them; `places`, LEFT or RIGHT, no more than
    wheels; `today`, place key to wheel key; a partner that is not given is passed over; `fixed`, place key to wheel
    key of wheels already pressed or bonded; `expanded_nm`, U of one throw, nm, 0 or more; `unit`, shown first.
    Returns: the pairs in the order of the places; spreads in nm.
    Raises: ThrowPairingError for keys that come twice or are not known, too few wheels, or a throw not above zero.
    Source: derived here: a side's best set fills an interval of throws, and all pairs of intervals are tried; that a
    set exists for a pair is P. Hall's condition, 1935.

    >>> wheels = [ThrowWheel(key, key, nm) for key, nm in (("a", 100), ("b", 140), ("c", 101), ("d", 141))]
    >>> places = [ThrowPlace(f"{n}{side}", "", side) for n in (1, 2) for side in (Side.LEFT, Side.RIGHT)]
    >>> found = pair_throws(wheels, places, {"1left": "a", "1right": "b", "2left": "d", "2right": "c"}, Unit.MM)
    >>> found.left_nm, found.right_nm, len(found.moves)
    (1, 1, 2)
    """
    fixed = dict(fixed or {})
    _check(wheels, places, today, fixed, expanded_nm)
    by_key = {wheel.key: wheel for wheel in wheels}
    held = set(fixed.values())
    free = sorted((one for one in wheels if one.key not in held), key=lambda one: (one.throw_nm, one.key))
    open_places = sorted((one for one in places if one.key not in fixed), key=lambda one: one.key)
    of = _assigned(free, open_places, _best_ranges(free, open_places, places, fixed, by_key), today)
    of.update({place: by_key[key] for place, key in fixed.items()})
    pairs = tuple(
        ThrowPair(p, of[p.key], p.key in fixed, p.key not in fixed and today.get(p.key) != of[p.key].key)
        for p in places
    )
    used = {pair.wheel.key for pair in pairs}
    now = {p.key: by_key[today[p.key]] for p in places if today.get(p.key) in by_key}
    left, right = (_spread(places, of, side) for side in (Side.LEFT, Side.RIGHT))
    known = len(now) == len(places)
    before = (_spread(places, now, Side.LEFT), _spread(places, now, Side.RIGHT)) if known else None
    gain = max(before) - max(left, right) if before else 0
    doubt = before is not None and gain <= math.sqrt(2) * expanded_nm
    return ThrowPairing(
        pairs,
        tuple(wheel for wheel in wheels if wheel.key not in used),
        left,
        right,
        before[0] if before else None,
        before[1] if before else None,
        doubt,
        _words((left, right), before, any(pair.moves for pair in pairs), doubt, unit, _held(places, fixed)),
        _working((left, right), len(free), len(fixed), unit),
    )


def _best_ranges(
    free: Sequence[ThrowWheel],
    open_places: Sequence[ThrowPlace],
    places: Sequence[ThrowPlace],
    fixed: Mapping[str, str],
    by_key: Mapping[str, ThrowWheel],
) -> list[dict[Side, _Range]]:
    """All pairs of ranges of throws, left and right, that are best and can be filled."""
    throws = [wheel.throw_nm for wheel in free]
    wanted = {side: sum(p.side is side for p in open_places) for side in (Side.LEFT, Side.RIGHT)}
    held = {
        side: [by_key[fixed[p.key]].throw_nm for p in places if p.side is side and p.key in fixed]
        for side in (Side.LEFT, Side.RIGHT)
    }
    best: tuple[int, int] | None = None
    found: list[dict[Side, _Range]] = []
    rights = list(_ranges(throws, held[Side.RIGHT], wanted[Side.RIGHT]))
    for left in _ranges(throws, held[Side.LEFT], wanted[Side.LEFT]):
        for right in rights:
            spreads = (left[1] - left[0], right[1] - right[0])
            merit = (max(spreads), sum(spreads))
            if best is not None and merit > best:
                continue
            both = _count(throws, left if wanted[Side.LEFT] else None) + _count(
                throws, right if wanted[Side.RIGHT] else None
            )
            if wanted[Side.LEFT] and wanted[Side.RIGHT]:
                both -= _count(throws, (max(left[0], right[0]), min(left[1], right[1])))
            if both < sum(wanted.values()):
                continue
            if merit != best:
                best, found = merit, []
            found.append({Side.LEFT: left, Side.RIGHT: right})
    return found


def _ranges(throws: Sequence[int], held: Sequence[int], wanted: int) -> Iterator[_Range]:
    """The ranges a side's throws may fill: over all it holds already, and wide enough for those it wants."""
    if not wanted:
        yield (min(held), max(held)) if held else _NONE
        return
    values = sorted({*throws, *held})
    for low in values:
        for high in values:
            over_held = not held or (low <= min(held) and max(held) <= high)
            if low <= high and over_held and _count(throws, (low, high)) >= wanted:
                yield low, high


def _count(throws: Sequence[int], span: _Range | None) -> int:
    if span is None:
        return 0
    return max(0, bisect_right(throws, span[1]) - bisect_left(throws, span[0]))


def _assigned(
    free: Sequence[ThrowWheel],
    places: Sequence[ThrowPlace],
    ranges: Sequence[Mapping[Side, _Range]],
    today: Mapping[str, str],
) -> dict[str, ThrowWheel]:
    """The wheels on the open places, in one of the best pairs of ranges, with the fewest that change places."""
    if not places:
        return {}
    never = len(places) + 1

    def cost(place: ThrowPlace, wheel: ThrowWheel, of: Mapping[Side, _Range]) -> int:
        low, high = of[place.side]
        return int(today.get(place.key) != wheel.key) if low <= wheel.throw_nm <= high else never

    ways = []
    for of in ranges:
        costs = [[cost(place, wheel, of) for wheel in free] for place in places]
        columns = cheapest_assignment(costs)
        ways.append((sum(row[at] for row, at in zip(costs, columns, strict=True)), columns))
    columns = min(ways)[1]
    return {place.key: free[column] for place, column in zip(places, columns, strict=True)}


def _spread(places: Sequence[ThrowPlace], of: Mapping[str, ThrowWheel], side: Side) -> int:
    throws = [of[place.key].throw_nm for place in places if place.side is side]
    return max(throws) - min(throws) if throws else 0


def exchange_words(held: ThrowPairing, free: ThrowPairing, unit: Unit) -> str:
    """What exchanging wheels would bring, if those on their axles could be had off again.

    Formula: the two pairings compared, side by side.
    Parameters: `held`, as pair_throws gives it with the wheels on their axles; `free`, with none of them fixed; `unit`.
    Returns: a sentence, empty where less than a tenth of the spreads would be gained.
    Source: the tenth is our own choice, no published source.

    >>> wheels = [ThrowWheel(key, key, nm) for key, nm in (("a", 100), ("b", 140), ("c", 141), ("d", 101))]
    >>> places = [ThrowPlace(f"{n}{side}", "", side) for n in (1, 2) for side in (Side.LEFT, Side.RIGHT)]
    >>> today = {"1left": "a", "1right": "b", "2left": "c", "2right": "d"}
    >>> held = pair_throws(wheels, places, today, Unit.MM, today)
    >>> exchange_words(held, pair_throws(wheels, places, today, Unit.MM), Unit.MM)[:33]
    'If they could: exchanging c and d'
    """
    merit = (max(free.left_nm, free.right_nm), free.left_nm + free.right_nm)
    if merit >= (max(held.left_nm, held.right_nm), held.left_nm + held.right_nm):
        return ""
    gains = (merit[0], max(held.left_nm, held.right_nm)), (merit[1], held.left_nm + held.right_nm)
    if all(_WORTH * (before - after) < before for after, before in gains):
        # Wheels that are fast on their axles do not come off for that.
        return ""
    marks = sorted((pair.wheel.mark for pair in free.moves), key=lambda mark: (len(mark), mark))
    if len(marks) == 2 and not free.spares:
        what = f"exchanging {marks[0]} and {marks[1]}"
    else:
        what = f"putting {', '.join(f'{pair.wheel.mark} at {pair.place.label}' for pair in free.moves)}"
    would = f"If they could: {what} would bring the left throws to within {show_small(free.left_nm, unit)}"
    would += f" and the right to within {show_small(free.right_nm, unit)}."
    return would + (" That gain is no more than the measurement can tell." if free.within_doubt else "")


class _Held(StrEnum):
    NONE = "none"
    SOME = "some"
    ALL = "all"


def _held(places: Sequence[ThrowPlace], fixed: Mapping[str, str]) -> _Held:
    if not fixed:
        return _Held.NONE
    return _Held.ALL if len(fixed) == len(places) else _Held.SOME


def _words(
    after: tuple[int, int],
    before: tuple[int, int] | None,
    moved: bool,
    doubt: bool,
    unit: Unit,
    held: _Held,
) -> str:
    words = f"The left throws lie within {show_small(after[0], unit)} and the right within {show_small(after[1], unit)}"
    if held is _Held.ALL:
        return f"{words}. All are on their axles, so none can be exchanged."
    if before is None:
        return f"{words}."
    if not moved and held is _Held.SOME:
        return f"{words}: today's places are already the best for those not on their axles yet."
    if not moved:
        return f"{words}: today's places are already the best."
    words += f"; today it is {show_small(before[0], unit)} and {show_small(before[1], unit)}."
    return words + (" That gain is no more than the measurement can tell." if doubt else "")


def _working(after: tuple[int, int], free: int, fixed: int, unit: Unit) -> Working:
    return Working(
        "wheels by throw",
        "least max(spread left, spread right), then least sum; a rod between two throws needs 2 |r1 - r2| of play",
        f"{free} wheels free, {fixed} fixed; play in two bushes together up to {show(2 * max(after), unit)}",
        f"left {show(after[0], unit)}, right {show(after[1], unit)}",
        "derived here: every pair of ranges of throws is tried; no published source",
    )


def _check(
    wheels: Sequence[ThrowWheel],
    places: Sequence[ThrowPlace],
    today: Mapping[str, str],
    fixed: Mapping[str, str],
    expanded_nm: int,
) -> None:
    for wheel in wheels:
        if wheel.throw_nm <= 0:
            raise ThrowPairingError(
                f"The throw of {wheel.mark} must be more than nothing, such as 22.225 mm."
            )
    known, seats = {wheel.key for wheel in wheels}, {place.key for place in places}
    if len(known) < len(wheels) or len(seats) < len(places):
        raise ThrowPairingError("A wheel or a place is given twice: give each once.")
    if any(place.side is Side.INSIDE for place in places):
        raise ThrowPairingError(
            "A wheel goes on the left or the right end of an axle: choose one of the two."
        )
    if len(wheels) < len(places):
        raise ThrowPairingError(
            f"{len(places)} places need {len(places)} wheels with a throw, and {len(wheels)} have one: log the others."
        )
    if len(set(today.values())) < len(today) or len(set(fixed.values())) < len(fixed):
        raise ThrowPairingError("A wheel is on two places: it can be on one only.")
    if not (set(fixed) <= seats and set(fixed.values()) <= known):
        raise ThrowPairingError(
            "A wheel that is fixed already has no throw or no place yet: log its throw first."
        )
    if expanded_nm < 0:
        raise ThrowPairingError("An uncertainty cannot be below nothing: type one such as 0.010 mm.")
