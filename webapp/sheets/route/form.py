"""The forms of a batch: starting one, and what is wished for a turn of one."""

from __future__ import annotations

from dataclasses import dataclass

from domain.route.set_ups import SetUp
from webapp.typed.texts import Typed

# More castings than this no build has; a longer list was forged.
_LONGEST = 2000


@dataclass(frozen=True, slots=True)
class StartWish:
    """The batch a page proposed, as it stood there: its set-up and its castings in the order of their turns."""

    set_up: SetUp
    castings: tuple[int, ...]
    confirmed: bool


def read_start(typed: Typed) -> StartWish | None:
    """The batch to start; None when the form names none."""
    key, castings = typed.get("set_up"), read_castings(typed)
    if key not in set(SetUp) or castings is None:
        return None
    return StartWish(SetUp(key), castings, confirmed(typed))


def read_castings(typed: Typed) -> tuple[int, ...] | None:
    """The castings' numbers a form sends; None when they are none.

    They are to be compared, never looked up: a number too long for the data file is simply not one of them.
    """
    text = typed.get("castings")
    listed = text.split()
    if len(text) > _LONGEST or not all(one.isascii() and one.isdigit() for one in listed):
        return None
    return tuple(int(one) for one in listed)


def confirmed(typed: Typed) -> bool:
    """Whether the button said that it is meant all the same."""
    return typed.get("wish").endswith(" confirmed")
