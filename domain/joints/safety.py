"""Capacity against demand: the factor of safety, in a number, in words and with its working."""

import math
from dataclasses import dataclass

from domain.answer import Answer
from domain.joints.demand import demand_table
from domain.joints.terms import floor2
from domain.working import Working


@dataclass(frozen=True)
class SafetyFactor:
    """How many times what is asked the joint carries; factor None when nothing is asked."""

    factor: float | None
    answer: Answer
    words: str
    working: Working

    @property
    def figure(self) -> str:
        """The factor alone, cut off and not rounded, or that nothing is asked."""
        return "nothing is asked" if self.factor is None else floor2(self.factor)


def factor_of_safety(
    capacity: float, demand: float, wanted: float | None = None, unit: str = "N m", wanted_source: str = ""
) -> SafetyFactor:
    """How many times what is asked of it a joint carries.

    Formula: factor = capacity / demand (cut off, not rounded, where it is shown)
    capacity: the least the joint holds, in `unit`, 0 or more.
    demand: what it must carry, in the same unit, 0 or more.
    wanted: 1 or more; the table's when None. Below 1 it does not serve; below wanted, with care.
    unit: "N m" or "N", for the words only.
    wanted_source: who wants that factor; the table where empty.
    Returns: the factor, without unit.
    Raises: ValueError on a figure outside its limits.
    Source: by definition; the factor wanted is common practice, no source.

    >>> factor_of_safety(18.355, 8.0).words
    'It holds 18.36 N m and must carry 8.00 N m: 2.29 times what is asked, where 2 is wanted.'
    """
    rule = demand_table()["safety"]
    wanted = rule["wanted"] if wanted is None else wanted
    for name, value in (("capacity", capacity), ("demand", demand)):
        if not math.isfinite(value) or value < 0:
            raise ValueError(f"The {name} must be zero or more, such as 18 {unit}.")
    if not math.isfinite(wanted) or wanted < 1:
        raise ValueError("The factor of safety wanted must be 1 or more, such as 2.")
    # Less than a billionth is nothing: dividing by it would only overflow.
    factor = capacity / demand if demand >= 1e-9 else math.inf
    shown = None if math.isinf(factor) else factor
    working = Working(
        "factor of safety",
        "capacity / demand (cut off, not rounded)",
        f"{capacity:.2f} {unit} / {demand:.2f} {unit}",
        f"{'nothing is asked' if shown is None else floor2(shown)}, wanted {wanted:g}",
        f"by definition; factor wanted: {wanted_source or rule['source']}",
    )
    return SafetyFactor(
        shown, _answer(factor, wanted), _words(capacity, demand, factor, wanted, unit), working
    )


def _answer(factor: float, wanted: float) -> Answer:
    if factor < 1:
        return Answer.NOT
    return Answer.CAUTION if factor < wanted else Answer.SERVES


def _words(capacity: float, demand: float, factor: float, wanted: float, unit: str) -> str:
    held = f"It holds {capacity:.2f} {unit} and must carry {demand:.2f} {unit}"
    if math.isinf(factor):
        return f"It holds {capacity:.2f} {unit} and nothing is asked of it."
    tail = f"{floor2(factor)} times what is asked, where {wanted:g} is wanted"
    return f"{held}: {tail}." if factor >= 1 else f"{held}: it slips, {tail}."
