"""Why a measurement is struck out."""

from __future__ import annotations

from webapp.typed.texts import Errors, Typed, read_line

LONGEST_WHY = 200


def read_why(typed: Typed, errors: Errors) -> str | None:
    """The reason, which must be there."""
    return read_line(typed, "why", "The reason", LONGEST_WHY, errors)
