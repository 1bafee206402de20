"""The gain of a pairing over today's places, in words, and how it was found."""

from domain.answer import Answer
from domain.lengths import Unit, show, show_small, shown_small
from domain.pairing.types import Standing
from domain.working import Working

_SOURCE = (
    "the assignment problem: H. W. Kuhn, The Hungarian method for the assignment problem, 1955;"
    " what is compared is our own"
)


def gain_words(best: Standing, today: Standing, moved: bool, unit: Unit) -> str:
    """What the best pairing gains over today's, in a sentence.

    Formula: none; the first thing in which the two differ is said.
    best, today: over the wheels free to move; moved: whether any wheel changes places.
    unit: the system to show first.
    Returns: one sentence.
    Source: our own.

    >>> gain_words(Standing(3, 1, 0, 4_000_000, 0), Standing(2, 0, 2, 8_000_000, 9_000_000), True, Unit.MM)
    '3 good and 1 take care; today 2 good and 2 no good.'
    """
    if best.placed == 0:
        return "No measured casting and measured seat are free to be paired."
    if not moved:
        return f"Today's places are already the best: {count_words(best)}."
    if best.counts != today.counts:
        return f"{count_words(best)}; today {count_words(today)}."
    return f"{count_words(best)}, {nearer_words(best, today, unit)}"


def nearer_words(best: Standing, today: Standing, unit: Unit) -> str:
    """What the best pairing gains where as many are good as today: the end of a sentence that begins with how many are."""
    if best.served_off_nm2 == today.served_off_nm2:
        return (
            "as today and as well; those that are no good come nearer to the wanted fit and need less work."
        )
    now, then = show_small(today.typical_off_nm, unit), show_small(best.typical_off_nm, unit)
    if shown_small(today.typical_off_nm, unit) == shown_small(best.typical_off_nm, unit):
        return "as today, and lie nearer to the middle, by less than can be shown."
    return f"as today, and lie nearer to the middle: typically {then} off it, not {now}."


def count_words(one: Standing) -> str:
    """The counts of a standing; what is none is not said.

    one: the standing.
    Returns: words without a full stop.
    Source: our own.

    >>> count_words(Standing(4, 1, 1, 0, 0))
    '4 good, 1 take care and 1 no good'
    """
    said = [
        f"{count} {answer.words}"
        for count, answer in (
            (one.serves, Answer.SERVES),
            (one.caution, Answer.CAUTION),
            (one.fails, Answer.NOT),
        )
        if count
    ]
    if len(said) > 1:
        return f"{', '.join(said[:-1])} and {said[-1]}"
    return said[0] if said else "none is placed"


def working_of(
    best: Standing, today: Standing, castings: int, seats: int, middle_nm: int, unit: Unit
) -> Working:
    """How the pairing was found: what is compared, the numbers put in, what came out.

    Formula: most that are good, then most that want care, then least sum of (bore - seat - middle)^2.
    castings, seats: how many are free to move; middle_nm: clearance in the middle of the wanted fit, nm.
    Returns: the working.
    Source: as it says itself.

    >>> working_of(Standing(1, 0, 0, 25, 0), Standing(1, 0, 0, 25, 0), 1, 1, -9_000, Unit.MM).numbers
    '1 casting and 1 seat free to move; middle: interference 0.009 mm (0.0004 in)'
    """
    kind = "clearance" if middle_nm >= 0 else "interference"
    return Working(
        name="pairing",
        formula=(
            "most that are good, then most that want care, then least sum of (bore - seat - middle)^2"
            " over those, then over the rest"
        ),
        numbers=(
            f"{castings} {'casting' if castings == 1 else 'castings'} and"
            f" {seats} {'seat' if seats == 1 else 'seats'} free to move;"
            f" middle: {kind} {show(abs(middle_nm), unit)}"
        ),
        result=(
            f"{count_words(best)}, typically {show(best.typical_off_nm, unit)} off the middle;"
            f" today {count_words(today)}, typically {show(today.typical_off_nm, unit)}"
        ),
        source=_SOURCE,
    )
