"""A reading that can hardly be meant is asked about before it is stored, with what it may have been."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import NamedTuple

from domain.lengths import Unit
from domain.measuring.plausible import Expected, ReadingDoubt, doubt_of
from domain.measuring.plausible_words import doubt_words, meant_words
from webapp.records.outcome import Doubted, SizeDoubt

_MEANT = " Asked about, and meant."


class ReadHere(NamedTuple):
    """One reading: the field it was typed in, its size, nm or mg, the text, and what it should be about."""

    field: str
    value: int
    text: str
    expected: Expected | None

    @property
    def doubt(self) -> ReadingDoubt | None:
        """Why it can hardly be meant; None where it may well be, or where nothing is known of what it should be."""
        return doubt_of(self.value, self.text, self.expected) if self.expected else None


def ask_about(read: Iterable[ReadHere], meant: Collection[int], unit: Unit) -> str:
    """Raise the questions about what can hardly be meant; what is meant all the same is told in the journal's words.

    Each is said yes to by itself; what cannot be is not stored, whatever is said.
    """
    doubts: dict[str, SizeDoubt] = {}
    confirmed = False
    for one in read:
        doubt = one.doubt
        if doubt is None:
            continue
        if one.value in meant and not doubt.impossible:
            confirmed = True
            continue
        size = None if doubt.impossible else one.value
        doubts.setdefault(one.field, SizeDoubt(doubt_words(doubt, unit), one.text, size))
    if doubts:
        raise Doubted(doubts)
    return _MEANT if confirmed else ""


def question_on(one: ReadHere, unit: Unit) -> str:
    """What is asked about one reading; empty where it may well be meant, or nothing is known of what it should be."""
    doubt = one.doubt
    return doubt_words(doubt, unit) if doubt else ""


def any_impossible(read: Iterable[ReadHere]) -> bool:
    """Whether one of them cannot be at all."""
    return any(doubt.impossible for one in read if (doubt := one.doubt) is not None)


def may_have_been(read: Iterable[ReadHere], unit: Unit) -> str:
    """What the first reading that can hardly be meant may have been, to end a refusal with; empty where nothing is near."""
    found = next((doubt for one in read if (doubt := one.doubt) is not None), None)
    words = meant_words(found, unit) if found else ""
    return f" {words}" if words else ""
