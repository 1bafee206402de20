"""The forms of a batch: starting one, and what is wished for a turn of one."""

from __future__ import annotations

from dataclasses import dataclass

from domain.batches_types import SetUp
from webapp.forms.typed import Typed

# More castings than this no build has; a longer list was forged.
_LONGEST = 2000


@dataclass(frozen=True, slots=True)
class StartWish:
    """The batch a page proposed, as it stood there: its set-up and its castings in the order of their turns."""

    set_up: SetUp
    castings: tuple[int, ...]
    seen: int
    token: str
    confirmed: bool


def read_start(typed: Typed) -> StartWish | None:
    """The batch to start; None when the form names none."""
    key, listed = typed.get("set_up"), typed.get("castings")[:_LONGEST].split()
    if key not in set(SetUp) or not all(one.isascii() and one.isdigit() for one in listed):
        return None
    # Compared, never looked up: a number too long for the data file is simply not the one that is planned.
    castings = tuple(int(one) for one in listed)
    return StartWish(SetUp(key), castings, typed.version(), typed.token("token"), confirmed(typed))


def confirmed(typed: Typed) -> bool:
    """Whether the button said that it is meant all the same."""
    return typed.get("wish").endswith(" confirmed")
