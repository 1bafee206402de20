"""A reading that can hardly be meant is asked about before it is stored, with what it may have been."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import NamedTuple

from domain.lengths import Unit
from domain.measuring.plausible import Expected, doubt_of
from domain.measuring.plausible_words import doubt_words, meant_words
from webapp.records.outcome import Doubted, SizeDoubt

_MEANT = " Asked about, and meant."


class ReadHere(NamedTuple):
    """One reading: the field it was typed in, its size, nm or mg, the text, and what it should be about."""

    field: str
    value: int
    text: str
    expected: Expected | None


def ask_about(read: Iterable[ReadHere], meant: Collection[int], unit: Unit) -> str:
    """Raise the questions about what can hardly be meant; what is meant all the same is told in the journal's words.

    Each is said yes to by itself; what cannot be is not stored, whatever is said.
    """
    doubts: dict[str, SizeDoubt] = {}
    confirmed = False
    for one in read:
        doubt = doubt_of(one.value, one.text, one.expected) if one.expected else None
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
    doubt = doubt_of(one.value, one.text, one.expected) if one.expected else None
    return doubt_words(doubt, unit) if doubt else ""


def any_impossible(read: Iterable[ReadHere]) -> bool:
    """Whether one of them cannot be at all."""
    doubts = (doubt_of(one.value, one.text, one.expected) for one in read if one.expected)
    return any(doubt.impossible for doubt in doubts if doubt is not None)


def may_have_been(read: Iterable[ReadHere], unit: Unit) -> str:
    """What the first reading that can hardly be meant may have been, to end a refusal with; empty where nothing is near."""
    doubts = (doubt_of(one.value, one.text, one.expected) for one in read if one.expected)
    found = next((one for one in doubts if one is not None), None)
    words = meant_words(found, unit) if found else ""
    return f" {words}" if words else ""
