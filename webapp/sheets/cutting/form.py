"""A size of work or tool as typed, for every sheet of cutting."""

from __future__ import annotations

from domain.drawing import LARGEST_NM
from domain.lengths import Unit, show
from webapp.typed.texts import Errors, Typed, read_length


def size_within(typed: Typed, name: str, unit: Unit, errors: Errors) -> int | None:
    """A length that a drawing may have, in nm; None with the reason put among the errors."""
    length = read_length(typed, name, unit, errors)
    if length is None:
        return None
    if length.nm > LARGEST_NM:
        errors[name] = f"That is more than {show(LARGEST_NM, unit)}: is the unit right?"
        return None
    return length.nm
