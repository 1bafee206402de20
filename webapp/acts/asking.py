"""A reading that can hardly be meant is asked about before it is stored, with what it may have been."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from domain.lengths import Unit
from domain.measuring.plausible import Expected, ReadingDoubt, alike, doubt_of
from domain.measuring.plausible_words import doubt_words, doubts_words, meant_words
from webapp.records.outcome import Doubted, SizeDoubt

_MEANT = " Asked about, and meant."


class ReadHere(NamedTuple):
    """One reading: the field it was typed in, its size, nm or mg, the text, and what it should be about.

    `of`: what it is one of several readings of; those that say much the same are asked about in one question.
    """

    field: str
    value: int
    text: str
    expected: Expected | None
    of: str = ""

    @property
    def doubt(self) -> ReadingDoubt | None:
        """Why it can hardly be meant; None where it may well be, or where nothing is known of what it should be."""
        return doubt_of(self.value, self.text, self.expected) if self.expected else None


def ask_about(read: Iterable[ReadHere], meant: Collection[int], unit: Unit) -> str:
    """Raise the questions about what can hardly be meant; what is meant all the same is told in the journal's words.

    Each is said yes to by itself, but for readings of one thing that bear each other out; what cannot be is not stored,
    whatever is said.
    """
    asked: list[list[tuple[ReadHere, ReadingDoubt]]] = []
    confirmed = False
    for one in read:
        doubt = one.doubt
        if doubt is None:
            continue
        if one.value in meant and not doubt.impossible:
            confirmed = True
            continue
        together = next((few for few in asked if _together(one, doubt, *few[0])), None)
        if together is None:
            asked.append([(one, doubt)])
        else:
            together.append((one, doubt))
    doubts: dict[str, SizeDoubt] = {}
    for few in asked:
        doubts.setdefault(few[0][0].field, _asked_of([doubt for _, doubt in few], unit))
    if doubts:
        raise Doubted(doubts)
    return _MEANT if confirmed else ""


def _together(one: ReadHere, doubt: ReadingDoubt, first: ReadHere, its: ReadingDoubt) -> bool:
    return bool(one.of) and one.of == first.of and not its.impossible and alike(doubt, its)


def _asked_of(few: Sequence[ReadingDoubt], unit: Unit) -> SizeDoubt:
    """The question about readings that say much the same, which names each."""
    texts, sizes = dict.fromkeys(f"“{one.text}”" for one in few), dict.fromkeys(one.value for one in few)
    return SizeDoubt(doubts_words(few, unit), " and ".join(texts), () if few[0].impossible else tuple(sizes))


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
