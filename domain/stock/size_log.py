"""A size that is about to be written down after a cut: whether it can be."""

from __future__ import annotations

from domain.lengths import Unit, show
from domain.route.guards import Objection, Strength


def objection_to_size(
    name: str,
    size_nm: int,
    before_nm: int | None,
    came_nm: int | None,
    finished_nm: int | None,
    unit: Unit = Unit.MM,
) -> Objection | None:
    """Why a size cannot be written down as typed, or wants a word first; None when it may be.

    Formula: refused where size > as it came, or size < half the finished size, which is a slip of the finger or of the
    unit; to be confirmed where size > size before, for metal cannot grow
    Parameters: `name`, such as rim; `size_nm`, above 0; the others nm, None where not known; `unit`, for the words.
    Returns: the objection, or None.
    Raises: ValueError for a size of nothing or less.
    Source: common practice, no source.

    >>> objection_to_size("rim", 11_500_000, 12_000_000, 13_000_000, 10_000_000) is None
    True
    >>> objection_to_size("rim", 12_500_000, 12_000_000, 13_000_000, 10_000_000).strength.value
    'confirm'
    >>> objection_to_size("rim", 1_200_000, 12_000_000, 13_000_000, 10_000_000).strength.value
    'refuse'
    """
    if size_nm <= 0:
        raise ValueError(f"The {name} must be more than nothing: measure it again.")
    if came_nm is not None and size_nm > came_nm:
        return Objection(
            Strength.REFUSE,
            f"The {name} cannot be more than it was as it came, {show(came_nm, unit)}: measure it again, or put the"
            " rough size right under receiving.",
        )
    if finished_nm is not None and 2 * size_nm < finished_nm:
        return Objection(
            Strength.REFUSE,
            f"That is less than half of the finished {name}, {show(finished_nm, unit)}: is the unit right?",
        )
    if before_nm is not None and size_nm > before_nm:
        return Objection(
            Strength.CONFIRM,
            f"The {name} was logged as {show(before_nm, unit)}, and metal cannot grow: one of the two was misread.",
        )
    return None
