"""The present risk of a build: whether the castings left will fill the places that are still empty."""

from dataclasses import dataclass

from domain.ordering.advice import OrderRow
from domain.ordering.chances import MOST_NEEDED, MOST_ORDERED, Record, chance_of_enough, per_cent
from domain.working import Working

_MOST_MORE = 3
_SOURCE = "beta-binomial distribution, any textbook of Bayesian statistics"
_FIXED_SOURCE = "binomial distribution, any textbook of statistics"
MOST_LEFT = MOST_ORDERED - _MOST_MORE
_WHOLE_RISK = "every casting not finished is taken to face the whole risk again: it errs to the safe side"


class RunningOutError(ValueError):
    """Counts that no build can have; its text is one sentence for the page."""


@dataclass(frozen=True)
class Risk:
    """The chance of running out, in words too, and what more castings would do for it.

    A row of `extra` says for how many castings more (0 to 3) what the chance is that all places are *filled*, and
    whether that is the chance wanted: of the first row it is 1 - `chance`.
    """

    chance: float
    words: str
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
    Raises: RunningOutError for counts outside their limits; OrderingError for a record grown past its limits.
    Source: beta-binomial distribution; that each casting faces the whole risk is our own choice.

    >>> risk_of_running_out(6, 8, Record(9, 1)).words
    'About 1 chance in 12 that the castings left will not fill the places.'
    """
    _check(places_unfilled, good_unfinished, finished, scrapped, confidence)
    record = prior.plus(finished, scrapped) if isinstance(prior, Record) else prior
    extra = tuple(
        _row(places_unfilled, good_unfinished, more, record, confidence) for more in range(_MOST_MORE + 1)
    )
    chance = 1 - extra[0].chance
    words = _words(places_unfilled, good_unfinished, chance)
    risk_working = _risk_working(places_unfilled, good_unfinished, record, chance)
    if isinstance(prior, Record) and isinstance(record, Record):
        workings: tuple[Working, ...] = (_record_working(prior, finished, scrapped, record), risk_working)
    else:
        workings = (risk_working,)
    return Risk(chance, words, extra, workings)


def chance_words(chance: float) -> str:
    """A chance as a person says it, to be followed by "that ..."; the chance is from 0 to 1.

    >>> chance_words(0.125), chance_words(0.5), chance_words(0.84)
    ('About 1 chance in 8', 'About an even chance', 'About 8 chances in 10')
    """
    if chance < 0.001:
        return "Less than 1 chance in 1000"
    if chance < 0.37:
        one_in = 1 / chance
        return f"About 1 chance in {round(one_in, -1) if one_in >= 100 else round(one_in):.0f}"
    if chance >= 0.95:
        return "It is almost certain"
    tenths = round(chance * 10)
    return "About an even chance" if tenths == 5 else f"About {tenths} chances in 10"


def _row(places: int, castings: int, more: int, record: Record | float, confidence: float) -> OrderRow:
    # Nothing to fill is no question of chance, and the sum below begins at one place.
    chance = 1.0 if places == 0 else chance_of_enough(places, castings + more, record)
    return OrderRow(more, chance, chance >= confidence)


def _words(places: int, castings: int, chance: float) -> str:
    if places == 0:
        return "Every place is filled: no more castings are needed."
    short = places - castings
    if short > 0:
        return f"The castings left cannot fill the places: {short} more must be ordered."
    return f"{chance_words(chance)} that the castings left will not fill the places."


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
            name, formula, f"{counts}, scrap chance p = {record:g}", f"{chance * 100:.1f} %", _FIXED_SOURCE
        )
    formula = (
        "1 - sum of C(N, k) B(k + good, N - k + scrap) / B(good, scrap) for k = places to N, N = castings left; "
        + _WHOLE_RISK
    )
    numbers = f"{counts}, good {record.good:g}, scrap {record.scrap:g}"
    return Working(name, formula, numbers, f"{chance * 100:.1f} %", _SOURCE)


def _check(places: int, castings: int, finished: int, scrapped: int, confidence: float) -> None:
    if min(places, castings, finished, scrapped) < 0:
        raise RunningOutError("A count of castings cannot be below nothing: type 0 or more.")
    if places > MOST_NEEDED:
        raise RunningOutError(f"{places} empty places are too many to reckon with: at most {MOST_NEEDED}.")
    if castings > MOST_LEFT:
        raise RunningOutError(f"{castings} castings are too many to reckon with: at most {MOST_LEFT}.")
    if not 0 < confidence < 1:
        raise RunningOutError("How sure you want to be must be above 0 and below 100 %: such as 95 %.")
