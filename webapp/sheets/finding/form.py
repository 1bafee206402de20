"""What is looked for."""

from __future__ import annotations

from webapp.typed.texts import Errors, Typed, read_short

LONGEST = 60
FIELD = "q"
_EMPTY = "Write what you look for: a mark, a build's name, a figure as it was typed, a word of a note or of a reason."


def read_asked(typed: Typed, errors: Errors) -> str | None:
    """A text to look for, or None with the reason put among the errors."""
    text = read_short(typed, FIELD, "What you look for", LONGEST, errors)
    if text is None:
        return None
    if not text:
        errors[FIELD] = _EMPTY
        return None
    if not text.isprintable():
        errors[FIELD] = "What you look for holds a character that cannot be shown: type it again."
        return None
    return text
