"""Capacity against demand: how many times what is asked, in a number, in words and with its working."""

import math
from dataclasses import dataclass

from domain.answer import Answer
from domain.joints.demand import demand_table
from domain.joints.terms import floor2
from domain.lengths import Unit
from domain.lengths.loads import show_force, show_torque
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
    capacity: float,
    demand: float,
    wanted: float | None = None,
    unit: str = "N m",
    wanted_source: str = "",
    first: Unit = Unit.MM,
) -> SafetyFactor:
    """How many times what is asked of it a joint carries.

    Formula: factor = capacity / demand (cut off, not rounded, where it is shown)
    capacity: the least the joint holds, in `unit`, 0 or more.
    demand: what it must carry, in the same unit, 0 or more.
    wanted: the one reserve, 1 or more; the table's when None. Below 1 it is no good; below wanted, take care.
    unit: "N m" or "N", for the words only; first: the system the words have first.
    wanted_source: who wants it; the table where empty.
    Returns: the factor, without unit.
    Raises: ValueError on a figure outside its limits.
    Source: by definition; the reserve wanted is common practice, no source.

    >>> factor_of_safety(18.355, 8.0).words
    'It holds 18.4 N m (13.5 lbf ft) and must carry 8.0 N m (5.9 lbf ft): 2.29 times what is asked, where 1.5 is wanted.'
    """
    rule = demand_table()["safety"]
    wanted = rule["wanted"] if wanted is None else wanted
    for name, value in (("capacity", capacity), ("demand", demand)):
        if not math.isfinite(value) or value < 0:
            raise ValueError(f"The {name} must be zero or more, such as 18 {unit}.")
    if not math.isfinite(wanted) or wanted < 1:
        raise ValueError("The reserve wanted must be 1 or more, such as 1.5.")
    # Less than a billionth is nothing: dividing by it would only overflow.
    factor = capacity / demand if demand >= 1e-9 else math.inf
    shown = None if math.isinf(factor) else factor
    working = Working(
        "reserve against slipping",
        "capacity / demand (cut off, not rounded)",
        f"{capacity:.2f} {unit} / {demand:.2f} {unit}",
        f"{'nothing is asked' if shown is None else floor2(shown)}, wanted {wanted:g}",
        f"by definition; reserve wanted: {wanted_source or rule['source']}",
    )
    show = show_force if unit == "N" else show_torque
    words = _words(show(capacity, first), show(demand, first), factor, wanted)
    return SafetyFactor(shown, _answer(factor, wanted), words, working)


def stress_reserve(
    what: str, stands_mpa: float, asked_mpa: float, wanted: float, source: str
) -> SafetyFactor:
    """How many times the stress asked of a part its steel stands.

    Formula: factor = what it stands / what is asked (cut off, not rounded, where it is shown)
    what: the part, for the words. stands_mpa: above 0. asked_mpa: 0 or more. wanted: 1 or more; source: of the strength.
    Returns: the factor, without unit. Below 1 it is no good; below wanted, take care.
    Raises: ValueError on a figure outside its limits.
    Source: by definition.

    >>> stress_reserve("The crankpin in its hole", 250, 125, 1.5, "typed").words
    'The crankpin in its hole is bent to 125 MPa and its steel stands 250 MPa: 2.00 times, where 1.5 is wanted.'
    """
    if not math.isfinite(stands_mpa) or stands_mpa <= 0:
        raise ValueError("The strength of the steel must be above zero, such as 250 MPa.")
    if not math.isfinite(asked_mpa) or asked_mpa < 0:
        raise ValueError("The stress asked must be zero or more, such as 120 MPa.")
    factor = stands_mpa / asked_mpa if asked_mpa >= 1e-9 else math.inf
    shown = None if math.isinf(factor) else factor
    figure = "nothing is asked" if shown is None else f"{floor2(shown)} times"
    words = (
        f"{what} is bent to {asked_mpa:.0f} MPa and its steel stands {stands_mpa:.0f} MPa: {figure}, where {wanted:g} is"
        " wanted."
    )
    working = Working(
        f"reserve in bending: {what[:1].lower()}{what[1:]}",
        "strength / stress (cut off, not rounded)",
        f"{stands_mpa:.0f} MPa / {asked_mpa:.0f} MPa",
        f"{figure}, wanted {wanted:g}",
        f"by definition; strength: {source}",
    )
    return SafetyFactor(shown, _answer(factor, wanted), words, working)


def _answer(factor: float, wanted: float) -> Answer:
    if factor < 1:
        return Answer.NOT
    return Answer.CAUTION if factor < wanted else Answer.SERVES


def _words(capacity: str, demand: str, factor: float, wanted: float) -> str:
    held = f"It holds {capacity} and must carry {demand}"
    if math.isinf(factor):
        return f"It holds {capacity} and nothing is asked of it."
    tail = f"{floor2(factor)} times what is asked, where {wanted:g} is wanted"
    return f"{held}: {tail}." if factor >= 1 else f"{held}: it slips, {tail}."
