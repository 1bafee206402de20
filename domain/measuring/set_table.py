"""The whole set as measured against the drawing, what is no good first."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import Unit, show, show_small, shown_small
from domain.measuring.decision import Conformity, Decision, decide


class SetAnswer(StrEnum):
    """What is known of one size, in the order the table shows them."""

    OUTSIDE = "no good"
    CANNOT_TELL = "cannot tell"
    MISSING = "not measured"
    NO_LIMIT = "no limits"
    INSIDE = "good"


_ORDER = tuple(SetAnswer)
_ANSWERS = {
    Conformity.OUTSIDE: SetAnswer.OUTSIDE,
    Conformity.CANNOT_TELL: SetAnswer.CANNOT_TELL,
    Conformity.INSIDE: SetAnswer.INSIDE,
}


@dataclass(frozen=True)
class SetRow:
    """One size of the set: what and where, the drawing's size and limits, and what was measured with its U, nm.

    drawing_nm None where only limits are given; low_nm, high_nm None where there is none; measured_nm None while it is
    not measured. known: what is known of it besides its size; the worse of the two stands, or with `judged` that alone:
    its own judge has seen the size too.
    """

    what: str
    where: str
    drawing_nm: int | None
    low_nm: int | None
    high_nm: int | None
    measured_nm: int | None
    expanded_nm: int = 0
    known: SetAnswer | None = None
    judged: bool = False

    @property
    def beyond(self) -> bool:
        """Whether what was measured is past a limit, or known to be no good; with its U a size may still be in doubt."""
        nm = self.measured_nm
        if nm is None:
            return False
        return (
            self.known is SetAnswer.OUTSIDE
            or (self.low_nm is not None and nm < self.low_nm)
            or (self.high_nm is not None and nm > self.high_nm)
        )


@dataclass(frozen=True)
class SetLine:
    """One line of the table; departure_nm is measured less drawing, over_nm how far beyond its limit, 0 inside it."""

    row: SetRow
    answer: SetAnswer
    departure_nm: int | None
    over_nm: int
    words: str
    decision: Decision | None

    @property
    def verdict(self) -> str:
        """The answer in a word or two: of a size past a limit, on which side."""
        nm, row = self.row.measured_nm, self.row
        if self.answer is not SetAnswer.OUTSIDE or nm is None:
            return self.answer.value
        if row.high_nm is not None and nm > row.high_nm:
            return "over"
        return "under" if row.low_nm is not None and nm < row.low_nm else self.answer.value


@dataclass(frozen=True)
class SetTable:
    """The lines in the order to show them, how many there are of each answer, and the set in one sentence."""

    lines: tuple[SetLine, ...]
    counts: dict[SetAnswer, int]
    headline: str

    @property
    def good(self) -> bool:
        """Whether there is at least one size and every one is shown to be inside its limits."""
        return bool(self.lines) and self.counts[SetAnswer.INSIDE] == len(self.lines)


def set_table(rows: Iterable[SetRow], unit: Unit) -> SetTable:
    """Judge every size and put the table in order: no good, cannot tell, missing, without limits, good.

    Formula: guard band 0.825 U; departure = measured - drawing; among those no good the farthest beyond its
    limit comes first, among those in doubt and those good the one with the least in hand; else the order given.
    Parameters: `rows`, nm; `unit`, shown first.
    Returns: the table.
    Raises: DecisionError for limits the wrong way round or U below zero.
    Source: ISO 14253-1:2017.

    >>> good = SetRow("bore", "left leading", 15_000_000, 15_000_000, 15_018_000, 15_009_000, 4_000)
    >>> bad = SetRow("throw", "right leading", 22_225_000, 22_175_000, 22_275_000, 22_400_000, 10_000)
    >>> [line.row.what for line in set_table([good, bad], Unit.MM).lines]
    ['throw', 'bore']
    """
    lines = sorted((_line(row, unit) for row in rows), key=_place)
    counts = {answer: sum(line.answer is answer for line in lines) for answer in SetAnswer}
    return SetTable(tuple(lines), counts, _headline(counts, len(lines)))


def at_pin_nm(angle_deg: float, throw_nm: int) -> int:
    """What an angle of a crank comes to at its pin.

    Formula: r x angle x pi / 180, along the pin's circle, rounded to whole nanometres.
    Parameters: `angle_deg`, degrees, either sign; `throw_nm` r > 0, nm.
    Returns: the length along the circle, nm, with the angle's sign.
    Raises: ValueError for a throw not above zero or an angle that is no number.
    Source: geometry.

    >>> at_pin_nm(0.1, 22_225_000)
    38790
    """
    if throw_nm <= 0 or not math.isfinite(angle_deg):
        raise ValueError("The throw must be more than nothing: type one such as 22.225 mm.")
    return round(math.radians(angle_deg) * throw_nm)


def _line(row: SetRow, unit: Unit) -> SetLine:
    name = f"{row.what}, {row.where}"
    if row.measured_nm is None:
        return SetLine(row, SetAnswer.MISSING, None, 0, f"{name}: not measured yet.", None)
    departure = None if row.drawing_nm is None else row.measured_nm - row.drawing_nm
    away = "" if departure is None else f", {show_small(departure, unit, signed=True)} from the drawing"
    if row.low_nm is None and row.high_nm is None:
        words = f"{name}: {show(row.measured_nm, unit)}{away}; nothing limits it."
        free = min(SetAnswer.NO_LIMIT, row.known or SetAnswer.NO_LIMIT, key=_ORDER.index)
        return SetLine(row, free, departure, 0, words, None)
    found = decide(row.measured_nm, row.expanded_nm, row.low_nm, row.high_nm, unit, row.what)
    over = max(0, -(found.margin_nm or 0))
    words = f"{name}: {show(row.measured_nm, unit)}{away}. {found.words}"
    by_size = _ANSWERS[found.answer]
    answer = row.known or by_size
    if not row.judged:
        answer = min(by_size, answer, key=_ORDER.index)
    return SetLine(row, answer, departure, over if answer is SetAnswer.OUTSIDE else 0, words, found)


def _place(line: SetLine) -> tuple[int, int]:
    margin = 0
    if line.decision is not None and line.decision.margin_nm is not None:
        margin = line.decision.margin_nm
    return _ORDER.index(line.answer), margin


def _headline(counts: dict[SetAnswer, int], total: int) -> str:
    if not total:
        return "Nothing to compare yet: log the first size."
    if counts[SetAnswer.INSIDE] == total:
        return f"All {total} sizes are shown to be in limits." if total > 1 else "The one size is good."
    limited = total - counts[SetAnswer.NO_LIMIT]
    if limited and counts[SetAnswer.INSIDE] == limited:
        return (
            f"All {limited} sizes that have limits are shown to be in limits; "
            f"{counts[SetAnswer.NO_LIMIT]} more {'has' if total - limited == 1 else 'have'} none to be judged by."
        )
    said = {
        SetAnswer.OUTSIDE: "no good",
        SetAnswer.CANNOT_TELL: "cannot tell",
        SetAnswer.MISSING: "not measured",
        SetAnswer.NO_LIMIT: "without limits",
        SetAnswer.INSIDE: "good",
    }
    parts = [f"{counts[answer]} {words}" for answer, words in said.items() if counts[answer]]
    return f"Of {total} sizes: {', '.join(parts)}."


def amiss_words(line: SetLine, unit: Unit) -> str:
    """What is no good of one size, in a line without a full stop: where, what, and how far over or under.

    >>> row = SetRow("flange thickness", "W3, axle 2 left", None, 2_000_000, 2_400_000, 1_948_000)
    >>> amiss_words(set_table([row], Unit.MM).lines[0], Unit.MM)
    'W3, axle 2 left: flange thickness 0.052 mm under'
    """
    by = f"{shown_small(line.over_nm, unit)} " if line.over_nm else ""
    return f"{line.row.where}: {line.row.what} {by}{line.verdict}"
