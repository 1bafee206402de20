"""A reading that can hardly be meant is asked about before it is stored, with what it may have been.

What stands against several fields of one form is told in one go.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import NamedTuple

from domain.lengths import Unit
from domain.measuring.plausible import Expected, ReadingDoubt, alike, doubt_of
from domain.measuring.plausible_words import doubt_words, doubts_words, meant_words
from webapp.records.outcome import WHOLE, Doubted, Refused, SizeDoubt

MEANT = " Asked about, and meant."


class InOneGo:
    """What stands against the fields of one form, each told beside its own in one go; of one field the first stands."""

    def __init__(self) -> None:
        self._found: dict[str, SizeDoubt] = {}

    @property
    def fields(self) -> frozenset[str]:
        """The fields that something stands against."""
        return frozenset(self._found)

    @property
    def refused(self) -> tuple[tuple[str, str], ...]:
        """What cannot be, by its field."""
        return tuple((field, one.words) for field, one in self._found.items() if not one.sizes)

    def refuse(self, field: str, words: str) -> None:
        """Put down what cannot be."""
        self._found.setdefault(field, SizeDoubt(words, "", ()))

    @contextmanager
    def weighing(self) -> Iterator[None]:
        """Put down what is refused or asked about here beside a field; what is beside none is refused at once."""
        try:
            yield
        except Refused as refused:
            if refused.field in ("", WHOLE):
                raise
            self.refuse(refused.field, refused.words)
        except Doubted as doubted:
            for field, one in doubted.doubts.items():
                self._found.setdefault(field, one)

    def tell(self) -> None:
        """Raise all of it."""
        if len(self._found) == 1:
            ((field, one),) = self._found.items()
            if not one.text:
                raise Refused(one.words, field)
        if self._found:
            raise Doubted(self._found)


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
    return MEANT if confirmed else ""


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


def impossible(read: Iterable[ReadHere]) -> frozenset[str]:
    """The fields of those that cannot be at all."""
    return frozenset(one.field for one in read if (doubt := one.doubt) is not None and doubt.impossible)


def may_have_been(read: Iterable[ReadHere], unit: Unit) -> str:
    """What the first reading that can hardly be meant may have been, to end a refusal with; empty where nothing is near."""
    found = next((doubt for one in read if (doubt := one.doubt) is not None), None)
    words = meant_words(found, unit) if found else ""
    return f" {words}" if words else ""
