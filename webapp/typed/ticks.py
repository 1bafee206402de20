"""The tick form: one button says what is wanted of which stage or step."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import blake2b

from webapp.typed.texts import Errors, Typed, read_line

LONGEST_REASON = 200
_WORDS = {"yes": True, "no": False}


@dataclass(frozen=True, slots=True)
class TickWish:
    """What the person wants a tick to be, the version of the thing their page showed, and why it is ticked all the same."""

    key: str
    wanted: bool
    seen: int
    confirmed: bool = False
    reason: str = ""
    reason_wrong: str = ""
    # What the page had asked, by its mark; empty where the page asked nothing.
    asked: str = ""
    # What its page said would be let pass as on another wheel, by its mark.
    passing: str = ""


def mark_of(words: str) -> str:
    """A short mark of what is asked, so that a yes is a yes to just that."""
    return blake2b(words.encode(), digest_size=8).hexdigest()


def read_wish(typed: Typed) -> TickWish | None:
    """The wish a button sends: `yes bored`, `no bored`, or `yes pressed confirmed`; None when it is none of these."""
    wanted, _, rest = typed.get("wish").partition(" ")
    key, _, confirmed = rest.partition(" ")
    if wanted not in _WORDS or not key or confirmed not in ("", "confirmed"):
        return None
    errors = Errors()
    reason = typed.get("reason").strip()
    if reason:
        reason = read_line(typed, "reason", "The reason", LONGEST_REASON, errors) or reason
    return TickWish(
        key=key,
        wanted=_WORDS[wanted],
        seen=typed.version(),
        confirmed=confirmed == "confirmed",
        asked=typed.get("asked"),
        passing=typed.get("passing"),
        reason=reason,
        reason_wrong=errors.get("reason", ""),
    )
