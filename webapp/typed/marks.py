"""The marks on the castings, typed in one field with spaces or commas between them."""

from __future__ import annotations

import re

from webapp.typed.texts import Errors, Typed

LONGEST = 12
MOST = 60
_BETWEEN = re.compile(r"[\s,;]+")
_MARK = re.compile(r"[^\W_][\w./-]*")


def proposed(count: int, after: int = 0) -> list[str]:
    """The marks proposed for a number of castings: W1, W2 and so on."""
    return [f"W{number}" for number in range(after + 1, after + count + 1)]


def read_marks(typed: Typed, name: str, errors: Errors) -> tuple[str, ...]:
    """The marks in a field, each there once."""
    marks = [mark for mark in _BETWEEN.split(typed.get(name)) if mark]
    if not marks:
        errors[name] = "Write at least one mark, such as W1; put a space between two marks."
    elif len(marks) > MOST:
        errors[name] = f"{len(marks)} marks are more than this form takes: {MOST} at a time."
    else:
        _check_each(marks, name, errors)
    return tuple(marks)


def _check_each(marks: list[str], name: str, errors: Errors) -> None:
    seen: set[str] = set()
    for mark in marks:
        if len(mark) > LONGEST or not _MARK.fullmatch(mark):
            errors[name] = (
                f"“{mark[:20]}” cannot be a mark: use up to {LONGEST} letters and digits, such as W1."
            )
            return
        if mark.casefold() in seen:
            errors[name] = f"The mark {mark} is there twice: every casting has its own."
            return
        seen.add(mark.casefold())
