"""What a builder's hand makes, in words."""

import math
from dataclasses import dataclass
from enum import Enum

from domain.hand.counting import chance_by_count
from domain.hand.spread import FEWEST, Hand, best_move, chance_between
from domain.lengths import Unit, last_figure_nm, show_small, shown_small
from domain.working import Working

_COUNTS = ("none", "one", "two", "three", "four", "five")


class Craft(Enum):
    """What is made: several of them, one of them, and whether it can be aimed elsewhere."""

    BORE = "Bores", "bore", True
    REAMED = "Reamed bores", "reamed bore", False
    THROW = "Throws", "throw", True
    TREAD = "Treads", "tread", True

    def __init__(self, several: str, one: str, can_aim: bool) -> None:
        self.several, self.one, self.can_aim = several, one, can_aim


@dataclass(frozen=True)
class Made:
    """What was made of one craft, and what is wanted of the next one.

    departures_nm: each made less the middle of what was aimed at. good: how many of them came good. half_nm: how far the
    next one may be from its middle; None where there is no size to aim at. to_come: how many are still to be made.
    slips: the marks of those that stand apart; `hand` is that of the others.
    """

    craft: Craft
    departures_nm: tuple[float, ...]
    good: int
    half_nm: float | None
    to_come: int
    hand: Hand | None
    slips: tuple[str, ...] = ()

    @property
    def no_slip(self) -> float:
        """The chance that the next one is no slip: by counting, once there was one."""
        total = len(self.departures_nm)
        return chance_by_count(total - len(self.slips), total, 1, 1) if self.slips else 1.0

    def _chance(self, half_nm: float, hand: Hand, moved_nm: float = 0) -> float:
        return self.no_slip * chance_between(hand, -half_nm, half_nm, moved_nm)

    @property
    def chance(self) -> float | None:
        """The chance that the next one comes good, aimed at the middle; None where that is not known."""
        if self.hand is None or self.half_nm is None:
            return None
        return self._chance(self.half_nm, self.hand)

    @property
    def best(self) -> tuple[float, float] | None:
        """How far to move the aim, nm, and the chance then; None where that is not known or the tool cannot be aimed."""
        if self.hand is None or self.half_nm is None or not self.craft.can_aim:
            return None
        moved = best_move(self.hand, -self.half_nm, self.half_nm)
        return moved, self._chance(self.half_nm, self.hand, moved)


def times_words(chance: float) -> str:
    """How often of ten, as a person says it.

    >>> times_words(0.72), times_words(0.5), times_words(0.97), times_words(0.02)
    ('7 times in 10', '5 times in 10', 'nearly every time', 'hardly ever')
    """
    if chance >= 0.95:
        return "nearly every time"
    if chance < 0.05:
        return "hardly ever"
    tenths = math.floor(chance * 10 + 0.5)
    return f"{tenths} time{'' if tenths == 1 else 's'} in 10"


def hand_words(made: Made, unit: Unit) -> str:
    """What was made, and what to expect of the next one; or that it cannot be told.

    >>> made = Made(Craft.BORE, (0,) * 3, 3, 14_000, 2, None)
    >>> hand_words(made, Unit.INCH)
    'Bores: not enough to tell: three so far, five are needed.'
    >>> nine = Made(Craft.BORE, (0,) * 9, 4, 38_000, 2, Hand(9, 33_020, 20_320))
    >>> what, the_next = hand_words(nine, Unit.INCH).split("; ")
    >>> what
    'Bores: 9 made, 1.3 thou over the middle, spread 0.8 thou'
    >>> the_next
    'the next one comes good 6 times in 10, aimed 1.3 thou lower 9 times in 10.'
    """
    name, hand = made.craft.several, made.hand
    if hand is None:
        return f"{name}: not enough to tell: {_COUNTS[len(made.departures_nm)]} so far, {_COUNTS[FEWEST]} are needed."
    which = f"{_slip_words(made)}, the others" if made.slips else ""
    start = f"{name}: {len(made.departures_nm)} made,{which} {_off_words(hand, unit)}, {_spread_words(hand, unit)};"
    if made.chance is None:
        return f"{start} there is no size to aim the next one at."
    return f"{start} the next one comes good {times_words(made.chance)}{_aim_words(made, unit)}."


def _slip_words(made: Made) -> str:
    if not made.slips:
        return ""
    one = "a slip" if len(made.slips) == 1 else "slips"
    return f" {' and '.join(made.slips)} {one}"


def _spread_words(hand: Hand, unit: Unit) -> str:
    spread, least = shown_small(round(hand.spread_nm), unit), shown_small(last_figure_nm(unit), unit)
    return f"spread less than {least}" if spread == shown_small(0, unit) else f"spread {spread}"


def _off_words(hand: Hand, unit: Unit) -> str:
    off = round(hand.off_nm)
    if shown_small(abs(off), unit) == shown_small(0, unit):
        return "on the middle"
    return f"{shown_small(abs(off), unit)} {'over' if off > 0 else 'under'} the middle"


def _aim_words(made: Made, unit: Unit) -> str:
    """Where to aim instead, where that can be told from the middle."""
    if made.chance is None or made.best is None:
        return ""
    moved, chance = round(made.best[0]), made.best[1]
    if shown_small(abs(moved), unit) == shown_small(0, unit) or times_words(chance) == times_words(
        made.chance
    ):
        return ""
    return (
        f", aimed {shown_small(abs(moved), unit)} {'higher' if moved > 0 else 'lower'} {times_words(chance)}"
    )


def count_words(made: Made) -> str:
    """What counting alone says of those to come; empty where too few were made or none is to come.

    >>> count_words(Made(Craft.BORE, (0,) * 9, 6, 38_000, 3, Hand(9, 0, 20_320)))
    'By counting alone: 6 of 9 came good, so the next one does 6 times in 10, and all of the 3 to come 3 times in 10.'
    """
    if made.hand is None:
        return ""
    total = len(made.departures_nm)
    one = chance_by_count(made.good, total, 1, 1)
    words = f"By counting alone: {made.good} of {total} came good, so the next one does {times_words(one)}"
    if made.to_come < 2:
        return f"{words}."
    every = chance_by_count(made.good, total, made.to_come, made.to_come)
    return f"{words}, and all of the {made.to_come} to come {times_words(every)}."


def hand_workings(made: Made, unit: Unit) -> tuple[Working, ...]:
    """How the figures of hand_words and count_words come out; empty where nothing is known."""
    hand, one, total = made.hand, made.craft.one, len(made.departures_nm)
    if hand is None:
        return ()
    off, spread = (show_small(round(nm), unit, signed=True) for nm in (hand.off_nm, hand.spread_nm))
    rows = [
        Working(
            f"spread of the {made.craft.several.lower()}",
            "mean and standard deviation of made - middle of what was aimed at, but no surer than the last figure shown;"
            " a slip is one that did not come good and that the others' spread would bring in 1 sample of 100",
            f"{len(made.departures_nm)} made{f',{_slip_words(made)}' if made.slips else ''}",
            f"mean {off}, spread {spread}",
            "normal sample; the least spread is step / sqrt(12), JCGM 100:2008 (GUM), F.2.2.1; Grubbs' test",
        )
    ]
    if made.chance is not None and made.half_nm is not None:
        half = show_small(round(made.half_nm), unit)
        rows.append(
            Working(
                f"the next {one}",
                "Student's t with n - 1 degrees of freedom, about the mean, its scale spread * sqrt(1 + 1/n); times the"
                " chance that it is no slip: once there was one, (made - slips + 1) / (made + 2)",
                f"no slip {made.no_slip:.2f}; within {half} of the middle; mean {off}, spread {spread}, n {hand.count}",
                f"{made.chance:.2f}{f'; aimed at best {made.best[1]:.2f}' if made.best else ''}",
                "predictive distribution of a normal sample; Student's t by Abramowitz and Stegun 26.7.3, 26.7.4",
            )
        )
    rows.append(
        Working(
            f"the next {one} by counting",
            "(good + 1) / (made + 2); of several, beta-binomial",
            f"{made.good} good of {total}; before any was made as if one had come good and one had not",
            f"{chance_by_count(made.good, total, 1, 1):.2f}",
            "rule of succession, Bayes and Laplace",
        )
    )
    return tuple(rows)
