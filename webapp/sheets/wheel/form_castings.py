"""The small forms of a casting: why it is scrapped, and its mark."""

from __future__ import annotations

from webapp.typed.marks import read_marks
from webapp.typed.texts import Errors, Typed, read_line

# Our own list, in the trade's words.
TOO_LARGE = "bored too large"
UNDER_SIZE = "cut under size"
CRACKED = "cracked"
DOES_NOT_CLEAN_UP = "does not clean up"
REASONS = (
    "bored out of the middle",
    TOO_LARGE,
    "bored from the back",
    CRACKED,
    UNDER_SIZE,
    "blowhole",
    "too hard to cut",
    DOES_NOT_CLEAN_UP,
)
OTHER = "other"
LONGEST_REASON = 200


def read_reason(typed: Typed, errors: Errors) -> str | None:
    """The reason chosen, with what was written beside it; `other` needs words."""
    chosen = typed.get("reason")
    if chosen not in (*REASONS, OTHER):
        errors["reason"] = "Choose what happened to the casting."
        return None
    if chosen == OTHER:
        return read_line(typed, "words", "What happened", LONGEST_REASON, errors)
    if not typed.get("words").strip():
        return chosen
    words = read_line(typed, "words", "What happened", LONGEST_REASON, errors)
    return None if words is None else f"{chosen}, {words}"


def read_mark(typed: Typed, errors: Errors) -> str | None:
    """One mark."""
    marks = read_marks(typed, "mark", errors)
    if "mark" not in errors and len(marks) != 1:
        errors["mark"] = "Write one mark, such as W1, without a space in it."
    return None if "mark" in errors else marks[0]
