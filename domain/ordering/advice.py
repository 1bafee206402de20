"""How many castings to buy so that enough come good, and the present risk that those left will not do."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from domain.ordering.chances import MOST_NEEDED, MOST_ORDERED, OrderingError, Record, chance_of_enough
from domain.ordering.words import per_cent
from domain.working import Working

# A chance this little short of the wanted one is short by the rounding of floats alone.
_ROUNDING = 1e-9
_BINOMIAL = "binomial distribution, any textbook of statistics"
_BETA_BINOMIAL = "beta-binomial distribution, any textbook of Bayesian statistics"
_MOST_MORE = 3
MOST_LEFT = MOST_ORDERED - _MOST_MORE
_WHOLE_RISK = "every casting not finished is taken to face the whole risk again: it errs to the safe side"


@dataclass(frozen=True)
class Experience:
    """How practised the builder is, in words, and the record that is taken for granted for it."""

    words: str
    prior: Record
    source: str = "common practice, no source"


# The trade's rule, "for six drivers seven, or eight for a first attempt" (common practice, no source), as records:
# one casting in twenty or in ten is lost, and 95 % sure is wanted. Ten and twenty castings are few enough that a
# build's own losses soon outweigh them.
EXPERIENCE: Mapping[str, Experience] = MappingProxyType(
    {
        "first": Experience("a first attempt", Record(9, 1)),
        "some": Experience("practised", Record(19, 1)),
    }
)


@dataclass(frozen=True)
class OrderRow:
    """Castings ordered, the chance that enough of them come good, and whether that is the chance wanted."""

    ordered: int
    chance: float
    enough: bool


@dataclass(frozen=True)
class OrderAdvice:
    """The castings to order, the chance that they are enough, and the chances for the numbers about it."""

    number: int
    chance: float
    rows: tuple[OrderRow, ...]
    workings: tuple[Working, ...]


def order_table(needed: int, prior: Record | float, confidence: float, rows: int = 6) -> OrderAdvice:
    """The fewest castings to order for a wanted chance that enough come good, with the chances about it.

    Formula: the smallest N of which P(at least `needed` good of N) >= confidence
    Parameters: `needed`, wheels wanted, 1 to 200; `prior`, a record, or one fixed scrap chance from 0 to below 1;
    `confidence`, the chance wanted, above 0 and below 1; `rows`, rows of the table, 1 to 50.
    Returns: castings, the chance, and the table; with two rows or more one shows a casting more than advised.
    Raises: OrderingError, whose `field` is "needed", "confidence" or "scrap_chance"; ValueError on rows.
    Source: binomial or beta-binomial distribution.

    >>> order_table(6, 0.1, 0.95).number
    8
    """
    if not 1 <= rows <= 50:
        raise ValueError("a table has 1 to 50 rows")
    if not (math.isfinite(confidence) and 0 < confidence < 1):
        raise OrderingError(
            "How sure you want to be must be above 0 and below 100 %: such as 95 %.", "confidence"
        )
    number = _fewest(needed, prior, confidence)
    start = max(needed, number - rows + (2 if rows > 1 else 1))
    ordered = range(start, min(start + rows, MOST_ORDERED + 1))
    table = tuple(_row(needed, n, prior, confidence) for n in ordered)
    chance = chance_of_enough(needed, number, prior)
    return OrderAdvice(number, chance, table, _workings(needed, number, prior, confidence))


def _row(needed: int, ordered: int, prior: Record | float, confidence: float) -> OrderRow:
    chance = chance_of_enough(needed, ordered, prior)
    return OrderRow(ordered, chance, chance >= confidence - _ROUNDING)


def _fewest(needed: int, prior: Record | float, confidence: float) -> int:
    """The chance only grows with the number ordered, so the range is halved until one number is left."""
    if not _row(needed, MOST_ORDERED, prior, confidence).enough:
        raise _too_many(needed, prior, confidence)
    low, high = needed, MOST_ORDERED
    while low < high:
        middle = (low + high) // 2
        if _row(needed, middle, prior, confidence).enough:
            high = middle
        else:
            low = middle + 1
    return low


def _too_many(needed: int, prior: Record | float, confidence: float) -> OrderingError:
    scrap = prior.scrap_chance if isinstance(prior, Record) else prior
    start = (
        f"Even {MOST_ORDERED} castings do not make it {confidence * 100:.10g} % sure that {needed} come good"
    )
    if MOST_ORDERED * (1 - scrap) < needed:
        return OrderingError(f"{start}: find out what spoils so many before you order.", "scrap_chance")
    return OrderingError(f"{start}: ask for less certainty, or order in two lots.", "confidence")


def _workings(needed: int, number: int, prior: Record | float, confidence: float) -> tuple[Working, ...]:
    aim = f"at least {needed} good, chance wanted {confidence * 100:.10g} %"
    fewest = "the smallest N of which the chance of enough >= the chance wanted"
    if not isinstance(prior, Record):
        numbers = f"{aim}, scrap chance p = {prior:g}"
        formula = f"{fewest}; chance = sum of C(N, k) (1 - p)^k p^(N - k) for k = {needed} to N"
        return (Working("castings to order", formula, numbers, f"{number}", _BINOMIAL),)
    good, scrap = f"{prior.good:g}", f"{prior.scrap:g}"
    formula = (
        f"{fewest}; chance = sum of C(N, k) B(k + good, N - k + scrap) / B(good, scrap), k = {needed} to N"
    )
    return (
        Working(
            "scrap chance of the next casting",
            "scrap / (good + scrap)",
            f"{scrap} / ({good} + {scrap})",
            f"{prior.scrap_chance:.3f}",
            f"mean of the Beta distribution; a record taken for granted is {EXPERIENCE['some'].source}",
        ),
        Working(
            "castings to order", formula, f"{aim}, good {good}, scrap {scrap}", f"{number}", _BETA_BINOMIAL
        ),
    )


@dataclass(frozen=True)
class Risk:
    """The chance that the castings left do not fill the places, and what more castings would do for it.

    A row of `extra` says for how many castings more (0 to 3) what the chance is that all places are *filled*, and
    whether that is the chance wanted: of the first row it is 1 - `chance`.
    """

    chance: float
    extra: tuple[OrderRow, ...]
    workings: tuple[Working, ...]


def risk_of_running_out(
    places_unfilled: int,
    good_unfinished: int,
    prior: Record | float,
    finished: int = 0,
    scrapped: int = 0,
    confidence: float = 0.95,
) -> Risk:
    """The chance that fewer castings come good than there are places still to fill.

    Formula: record = prior + (finished, scrapped); risk = 1 - P(at least `places_unfilled` good of
    `good_unfinished`), beta-binomial by that record; binomial where the prior is one fixed scrap chance
    Parameters: `places_unfilled`, wheels still wanted, 0 to 200; `good_unfinished`, castings neither scrapped nor
    finished, spares among them, 0 to 497; `prior`, the record before this build, or a fixed scrap chance from 0 to
    below 1, which what came of this build does not change; `finished` and `scrapped`, wheels finished and castings
    lost in this build, 0 or more; `confidence`, the chance wanted for a row of
    `extra` to be enough, above 0 and below 1.
    Returns: a chance, 0 to 1; 0 with no place empty, 1 with fewer castings than places.
    Raises: OrderingError for counts outside their limits, or a record grown past its own.
    Source: beta-binomial distribution; that each casting faces the whole risk is our own choice.

    >>> round(risk_of_running_out(6, 8, Record(9, 1)).chance, 3)
    0.082
    """
    _check_counts(places_unfilled, good_unfinished, finished, scrapped, confidence)
    record = prior.plus(finished, scrapped) if isinstance(prior, Record) else prior
    extra = tuple(
        _filled(places_unfilled, good_unfinished, more, record, confidence) for more in range(_MOST_MORE + 1)
    )
    chance = 1 - extra[0].chance
    risk_working = _risk_working(places_unfilled, good_unfinished, record, chance)
    if isinstance(prior, Record) and isinstance(record, Record):
        workings: tuple[Working, ...] = (_record_working(prior, finished, scrapped, record), risk_working)
    else:
        workings = (risk_working,)
    return Risk(chance, extra, workings)


def _filled(places: int, castings: int, more: int, record: Record | float, confidence: float) -> OrderRow:
    # Nothing to fill is no question of chance, and the sum below begins at one place.
    chance = 1.0 if places == 0 else chance_of_enough(places, castings + more, record)
    return OrderRow(more, chance, chance >= confidence)


def _record_working(prior: Record, finished: int, scrapped: int, record: Record) -> Working:
    return Working(
        "scrap chance of the next casting",
        "(scrap taken for granted + scrapped) / (all taken for granted + finished + scrapped)",
        f"taken for granted before this build {prior.good:g} good, {prior.scrap:g} scrap;"
        f" this build {finished} finished, {scrapped} scrapped: {record.good:g} good, {record.scrap:g} scrap",
        f"{record.scrap_chance:.3f}",
        "mean of the Beta distribution; what is taken for granted is common practice, no source",
    )


def _risk_working(places: int, castings: int, record: Record | float, chance: float) -> Working:
    name = "risk of running out"
    counts = f"{places} places to fill, {castings} castings left"
    if places == 0 or castings < places:
        return Working(
            name, "castings left against places to fill", counts, f"{per_cent(chance)}", "by counting"
        )
    if not isinstance(record, Record):
        formula = (
            "1 - sum of C(N, k) (1 - p)^k p^(N - k) for k = places to N, N = castings left; " + _WHOLE_RISK
        )
        return Working(
            name, formula, f"{counts}, scrap chance p = {record:g}", f"{chance * 100:.1f} %", _BINOMIAL
        )
    formula = (
        "1 - sum of C(N, k) B(k + good, N - k + scrap) / B(good, scrap) for k = places to N, N = castings left; "
        + _WHOLE_RISK
    )
    numbers = f"{counts}, good {record.good:g}, scrap {record.scrap:g}"
    return Working(name, formula, numbers, f"{chance * 100:.1f} %", _BETA_BINOMIAL)


def _check_counts(places: int, castings: int, finished: int, scrapped: int, confidence: float) -> None:
    if min(places, castings, finished, scrapped) < 0:
        raise OrderingError("A count of castings cannot be below nothing: type 0 or more.")
    if places > MOST_NEEDED:
        raise OrderingError(f"{places} empty places are too many to reckon with: at most {MOST_NEEDED}.")
    if castings > MOST_LEFT:
        raise OrderingError(f"{castings} castings are too many to reckon with: at most {MOST_LEFT}.")
    if not 0 < confidence < 1:
        raise OrderingError("How sure you want to be must be above 0 and below 100 %: such as 95 %.")
