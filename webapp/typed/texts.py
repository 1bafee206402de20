"""What a person typed, kept as typed; and what is wrong with it, field by field."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime

from domain.lengths import Length, LengthError, Unit, parse_length

_TOKEN = re.compile(r"[0-9a-f]{12,64}")
_WHOLE = re.compile(r"-?[0-9]{1,16}")
_LONGEST_MEANT = 1000
# As browsers write it, in UTC (ECMA-262, Date.prototype.toISOString).
_MOMENT = re.compile(r"2[0-9]{3}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{3}Z")
_INITIALS = re.compile(r"[^\W_]{1,4}")
_LONGEST_VERSION = 12
# The sizes that were asked about and are meant, as the form sends them back.
MEANT = "meant"
# What a form carries besides what a person says with it: by it alone the same form is not another one.
_CARRIED = frozenset({"token", "page", "seen", "view", "who", "device_at", MEANT})


@dataclass(frozen=True, slots=True)
class Sent:
    """One sending of a form: the token that came with it, and what was in it, as a line that can be kept."""

    token: str = ""
    content: str = ""

    def differs(self, kept: str) -> dict[str, tuple[str, str]]:
        """What this form says otherwise than the one kept: by field, what was kept and what is said now."""
        before, now = _fields(kept), _fields(self.content)
        names = [name for name in {**before, **now} if before.get(name) != now.get(name)]
        return {name: (_said(before.get(name)), _said(now.get(name))) for name in names}


def _fields(content: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = json.loads(content) if content else {}
    return found


def _said(texts: list[str] | None) -> str:
    return " and ".join(text for text in texts or () if text)


NOTHING_SENT = Sent()


@dataclass(frozen=True)
class Typed:
    """The fields of a form, each with one or more texts."""

    fields: dict[str, list[str]] = field(default_factory=dict)

    @classmethod
    def of_query(cls, pairs: Iterable[tuple[str, str]]) -> Typed:
        """The fields of an address, which asks and changes nothing."""
        fields: dict[str, list[str]] = {}
        for name, text in pairs:
            fields.setdefault(name, []).append(text)
        return cls(fields)

    def get(self, name: str, default: str = "") -> str:
        """The last text of a field, as typed."""
        values = self.fields.get(name)
        return values[-1] if values else default

    def all(self, name: str) -> list[str]:
        """Every text of a field, as typed."""
        return self.fields.get(name, [])

    def token(self, name: str) -> str:
        """A token the program itself put in the form, or an empty text when it is not one."""
        text = self.get(name)
        return text if _TOKEN.fullmatch(text) else ""

    def moment(self, name: str) -> datetime | None:
        """A moment as a device's script writes it, with its offset; None when it is none."""
        text = self.get(name)
        if not _MOMENT.fullmatch(text):
            return None
        try:
            return datetime.fromisoformat(text).astimezone(UTC)
        except (ValueError, OverflowError):
            return None  # such as the 30th of February: as good as not said

    @property
    def sent(self) -> Sent:
        """The form as something to be taken once only; boxes left empty say nothing."""
        said = {
            name: texts for name, texts in sorted(self.fields.items()) if name not in _CARRIED and any(texts)
        }
        return Sent(self.token("token"), json.dumps(said, ensure_ascii=False))

    def version(self, name: str = "seen") -> int:
        """The version the page showed; 0, which no row has, when the form does not say."""
        text = self.get(name)
        return int(text) if text.isascii() and text.isdigit() and len(text) <= _LONGEST_VERSION else 0

    @property
    def meant(self) -> frozenset[int]:
        """The sizes that can hardly be meant, and are: each counts for that very size only."""
        words = " ".join(self.all(MEANT))[:_LONGEST_MEANT].split()
        return frozenset(int(word) for word in words if _WHOLE.fullmatch(word))

    def yes(self, name: str) -> bool:
        """Whether a box was ticked."""
        return self.get(name) == "yes"


class Question(str):
    """A sentence beside a field that asks, and the sizes that its yes sends back.

    `text` is the text it asks about, where other fields are asked about too: its yes is to this one alone.
    """

    __slots__ = ("many", "meant", "text")

    def __new__(cls, sentence: str, meant: Sequence[int], text: str = "") -> Question:
        """The sentence with its answer."""
        made = super().__new__(cls, sentence)
        made.meant = " ".join(map(str, meant))
        made.many = len(meant) > 1
        made.text = text
        return made

    meant: str
    many: bool
    text: str


class Errors(dict[str, str]):
    """A sentence per field that is wrong; the empty key is for the form as a whole.

    `spent` says that the form's token was taken already with other content: sent again, it is another form.
    `places` has the id and the label of each refused field that is drawn, in the order of the page.
    """

    spent = False

    def __init__(self, found: Mapping[str, str] | Iterable[tuple[str, str]] = (), **more: str) -> None:
        super().__init__(found, **more)
        self.places: dict[str, tuple[str, str]] = {}

    def __bool__(self) -> bool:
        """True when anything is wrong."""
        return len(self) > 0


def read_length(typed: Typed, name: str, unit: Unit, errors: Errors) -> Length | None:
    """A length that must be there, or None with the reason put among the errors."""
    try:
        return parse_length(typed.get(name), unit)
    except LengthError as error:
        errors[name] = str(error)
        return None


def read_whole(typed: Typed, name: str, words: str, least: int, most: int, errors: Errors) -> int | None:
    """A whole number between two limits."""
    text = typed.get(name).strip()
    if (
        not (text.isascii() and text.isdigit() and len(text) <= _LONGEST_VERSION)
        or not least <= int(text) <= most
    ):
        errors[name] = f"{words} is a whole number from {least} to {most}, such as {max(least, 3)}."
        return None
    return int(text)


def read_choice(typed: Typed, name: str, words: str, choices: Iterable[str], errors: Errors) -> str | None:
    """One of the choices offered."""
    text = typed.get(name)
    if text not in set(choices):
        errors[name] = f"Choose {words} from the list."
        return None
    return text


def read_short(typed: Typed, name: str, words: str, longest: int, errors: Errors) -> str | None:
    """A text with one blank at most between its words, or None where it is longer than this field can mean.

    To be asked before a pattern is tried on the text, for a form may send a quarter of a million characters.
    """
    text = " ".join(typed.get(name).split())
    if len(text) > longest:
        errors[name] = f"{words} is {len(text)} characters long: {longest} is the most."
        return None
    return text


def read_line(typed: Typed, name: str, words: str, longest: int, errors: Errors) -> str | None:
    """A line of text that must be there and must fit."""
    text = read_short(typed, name, words, longest, errors)
    if text is None:
        return None
    if not text:
        errors[name] = f"{words} is empty: write it here."
        return None
    if not text.isprintable():
        errors[name] = f"{words} holds a character that cannot be shown: type it again."
        return None
    return text


def read_initials(text: str) -> str | None:
    """One to four letters or digits, in capitals; None when it is anything else."""
    text = text.strip()
    return text.upper()[:4] if _INITIALS.fullmatch(text) else None
