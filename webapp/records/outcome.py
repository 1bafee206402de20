"""What a service may answer besides doing the thing, and who asks for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple


@dataclass(frozen=True, slots=True)
class Actor:
    """Who does it: initials, the device's own number, the page it was done from, and when where it was sent only later."""

    who: str
    device: str
    page: str
    device_at: datetime | None = None


# For what no journal tells.
NOBODY = Actor("", "", "")


class NotThere(Exception):
    """The build, axle or casting does not exist; what it was to be stands in the text, where that is known."""

    @property
    def sentence(self) -> str:
        """What is not there."""
        return f"There is no such {self.args[0] if self.args else 'sheet'}."


WHOLE = "whole"


class Refused(Exception):
    """It is not done, and this is why; `field` says beside what it is told, WHOLE that it is beside nothing."""

    def __init__(self, words: str, field: str = "") -> None:
        super().__init__(words)
        self.words = words
        self.field = field


class Unconfirmed(Exception):
    """It is done only when the person says so knowing what it means; `affected` says it one by one, `said` is the
    reason typed, `wrong` what is the matter with it, `must` whether one must be given."""

    def __init__(
        self,
        words: str,
        affected: tuple[str, ...] = (),
        *,
        wrong: str = "",
        said: str = "",
        must: bool = False,
    ) -> None:
        super().__init__(words)
        self.words = words
        self.affected = affected
        self.wrong = wrong
        self.said = said
        self.must = must


class SizeDoubt(NamedTuple):
    """What is said beside one field that can hardly be meant: the words, the text typed, and the sizes that a yes means.

    Without a size there is no yes to it: it cannot be.
    """

    words: str
    text: str
    sizes: tuple[int, ...]


class Doubted(Exception):
    """What was read can hardly be meant, or cannot be: what is said beside each field. A yes is to one of them alone."""

    def __init__(self, doubts: Mapping[str, SizeDoubt]) -> None:
        super().__init__(" ".join(one.words for one in doubts.values()))
        self.doubts = doubts


class OutOfDate(Exception):
    """Someone else changed it after the page was drawn."""

    def __init__(self, sentence: str, who: str, at: datetime | None) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.who = who
        self.at = at


class SentOtherwise(Exception):
    """This very form was taken before, with other content: by field, what was stored and what it says now."""

    def __init__(self, at: datetime, differs: dict[str, tuple[str, str]]) -> None:
        super().__init__("sent before with other content")
        self.at = at
        self.differs = differs
