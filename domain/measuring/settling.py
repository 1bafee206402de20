"""What would settle a verdict: another instrument, or more readings with this one."""

from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from domain.measuring.decision import Conformity, Decision
from domain.measuring.instruments import Instrument, InstrumentKind, Reach, faults
from domain.measuring.uncertainty import Budget, difference_u_nm, expanded_nm, readings_wanted

MOST_READINGS = 20  # more is no way to spend an evening: common practice, no source


@dataclass(frozen=True)
class Settling:
    """Names of instruments that would do, how many readings in all with this one would, and the words for it."""

    names: tuple[str, ...]
    readings: int | None
    words: str


def which_settles(
    decision: Decision,
    instruments: Sequence[Instrument],
    budget: Budget | None = None,
    reach: Reach = Reach.BOTH,
) -> Settling:
    """Which instruments of the list, or how many readings, would turn "cannot tell" into an answer.

    Formula: an instrument does if U <= the largest U that settles; with a budget, U is that of the same readings
    taken with the instrument, whose own U and step take the place of the old ones

    Args:
        decision: the verdict; nothing is wanted unless it cannot tell.
        instruments: those at hand; plug gauges and faulty ones are passed over.
        budget: of the mean that was judged, nm; None to compare the instruments' U alone, which leaves out
            temperature and scatter. Not for a difference of two sizes.
        reach: inside for a bore, outside for a seat, both to ask for nothing in particular.

    Returns:
        Names, best (smallest U) first; readings in all, at most 20, or None; and one sentence. The size itself is
        taken to stay where it is: a better measurement may move it.

    Source: ISO 14253-1:2017 for the U; the most readings is common practice, no source.

    >>> from domain.measuring.decision import decide
    >>> from domain.measuring.starters import starters
    >>> from domain.lengths import Unit
    >>> unsure = decide(25_007_000, 40_000, 25_000_000, 25_021_000, Unit.MM, "bore")
    >>> which_settles(unsure, starters(Unit.MM), reach=Reach.INSIDE).words
    'The bore gauge would settle it.'
    """
    if decision.answer is not Conformity.CANNOT_TELL:
        return Settling((), None, "It is settled.")
    wanted = decision.settles_nm
    if wanted is None:
        return Settling(
            (), None, "Plugs at the limits, or an instrument that shows a value, would settle it."
        )
    found = sorted((_u_with(one, budget), one.name) for one in _usable(instruments, reach))
    names = tuple(name for u_nm, name in found if u_nm <= wanted)
    readings = readings_wanted(budget, wanted) if budget else None
    ways = [f"the {name}" for name in names]
    if readings is not None and readings > MOST_READINGS:
        readings = None
    if readings is not None:
        ways.append(f"{readings} readings in all with this instrument")
    return Settling(names, readings, _sentence(ways))


def which_settles_fit(
    decision: Decision,
    bore: Budget,
    seat: Budget,
    instruments: Sequence[Instrument],
    more: Mapping[str, int] = MappingProxyType({}),
) -> Settling:
    """Which instruments of the list would turn "cannot tell" about a fit into an answer.

    Formula: as which_settles(), U being that of bore less seat: the bore measured anew, or the seat, or, when
    neither alone does, both

    Args:
        decision: the verdict on the fit.
        bore: budget of the bore, nm.
        seat: budget of the seat, nm.
        instruments: those at hand; plug gauges and faulty ones are passed over.
        more: how many more readings of the bore, or of the seat, would do; said first, as they cost no instrument.

    Returns:
        Names of the instruments, those for the bore first, and one sentence; readings is None. The two errors are
        taken as independent.

    Source: ISO 14253-1:2017; JCGM 100:2008 (GUM) 5.1.2.

    >>> from domain.measuring.decision import decide
    >>> from domain.measuring.starters import starters
    >>> from domain.lengths import Unit
    >>> bore, seat = (Budget(25_000_000, 1, u_nm, 0.0, 0.0, 0.0, None) for u_nm in (20_000.0, 2_500.0))
    >>> unsure = decide(35_000, 40_312, 20_000, 50_000, Unit.MM, "gap")
    >>> which_settles_fit(unsure, bore, seat, starters(Unit.MM)).words
    'The bore measured with the bore gauge would settle it.'
    """
    if decision.answer is not Conformity.CANNOT_TELL or decision.settles_nm is None:
        return Settling((), None, "It is settled.")
    bores = {one.name: bore.with_instrument(one) for one in _usable(instruments, Reach.INSIDE)}
    seats = {one.name: seat.with_instrument(one) for one in _usable(instruments, Reach.OUTSIDE)}
    wanted = decision.settles_nm
    by_bore = [name for name, new in bores.items() if expanded_nm(difference_u_nm(new, seat)) <= wanted]
    by_seat = [name for name, new in seats.items() if expanded_nm(difference_u_nm(bore, new)) <= wanted]
    ways = [f"the {what} read {count} more time{'s' if count > 1 else ''}" for what, count in more.items()]
    ways += [f"the bore measured with the {name}" for name in by_bore]
    ways += [f"the seat measured with the {name}" for name in by_seat]
    if ways or not bores or not seats:
        return Settling((*by_bore, *by_seat), None, _sentence(ways))
    bore_name, seat_name = (min(one, key=lambda name: one[name].standard_nm) for one in (bores, seats))
    if expanded_nm(difference_u_nm(bores[bore_name], seats[seat_name])) > wanted:
        return Settling((), None, _NONE)
    way = f"the bore measured with the {bore_name} and the seat with the {seat_name}"
    return Settling((bore_name, seat_name), None, _sentence([way]))


def more_readings(budget: Budget, settled: Callable[[Budget], bool]) -> int | None:
    """How many more readings with the same instrument settle what their few leave open.

    Formula: the least n above the count for which `settled` says yes of the budget of n readings in all, n at most 20.
    Parameters: `budget`, of the readings so far; `settled`, the judge, who goes on saying yes of a smaller U.
    Returns: the readings still to be taken; None where 20 in all would not do, or a single one shows no scatter.
    Source: JCGM 100:2008 (GUM) 4.2.3 and G.4; the most readings is common practice, no source.

    >>> scattered = Budget(25_000_000, 2, 0.0, 0.0, 9_000.0, 0.0, 2_000.0)
    >>> more_readings(scattered, lambda one: one.expanded_nm <= 3_500)
    2
    """
    if budget.scatter_nm is None or budget.count >= MOST_READINGS or not settled(budget.read(MOST_READINGS)):
        return None
    counts = range(budget.count + 1, MOST_READINGS + 1)
    return bisect_left(counts, True, key=lambda count: settled(budget.read(count))) + 1


_NONE = "No instrument of the list settles it: a finer instrument would."


def _usable(instruments: Sequence[Instrument], reach: Reach) -> list[Instrument]:
    return [
        one
        for one in instruments
        if one.kind is InstrumentKind.VALUE and one.measures(reach) and not faults(one)
    ]


def _u_with(instrument: Instrument, budget: Budget | None) -> int:
    return budget.with_instrument(instrument).expanded_nm if budget else instrument.expanded_nm


def _sentence(ways: Sequence[str]) -> str:
    text = " or ".join(ways)
    return f"{text[0].upper()}{text[1:]} would settle it." if text else _NONE
