"""What the handlers share: the form as typed, who is asking, and what stands in the way of a wish."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from secrets import token_hex
from textwrap import shorten
from typing import Annotated
from urllib.parse import quote

from fastapi import Depends, Request
from fastapi.responses import RedirectResponse, Response

from domain.joints.materials import irons
from webapp import render
from webapp.errors import Conflict, NotFound, NotTaken, PageError
from webapp.records.outcome import (
    WHOLE,
    Actor,
    Doubted,
    NotThere,
    OutOfDate,
    Refused,
    SentOtherwise,
    Unconfirmed,
)
from webapp.typed.texts import Errors, Question, Typed, read_initials
from webapp.typed.ticks import mark_of

render.environment.tests["question"] = lambda words: isinstance(words, Question)
# Words and an untouched form that every template may use.
render.environment.globals.update(
    fit_words={"press": "press fit", "shrink": "shrink fit", "bond": "bonded"},
    # Said after the stage's own name, "pressed".
    pressed_words={"press": ", cold", "shrink": ", hot", "bond": ", with compound"},
    range_words={"press": "interference", "shrink": "interference", "bond": "gap"},
    number_words=("one", "two", "three", "four"),
    blank=Typed(),
    iron_words={iron.key: iron.name for iron in irons()},
    iron_names=[(iron.key, iron.name) for iron in irons()],
)

YEAR_S = 365 * 24 * 3600
SEE_OTHER, CONFLICT, UNPROCESSABLE, UNAVAILABLE = 303, 409, 422, 503
UNAVAILABLE = 503


@dataclass(frozen=True)
class Upload:
    """A file that came with a form."""

    name: str
    content: bytes


async def typed_form(request: Request) -> Typed:
    """The form as typed; an uploaded file counts as an empty text, and is put down with the request by its field."""
    fields: dict[str, list[str]] = {}
    request.state.uploads = {}
    try:
        async with request.form() as data:
            for name, value in data.multi_items():
                if not isinstance(value, str):
                    named = _storable(value.filename or "")
                    request.state.uploads[name] = Upload(named, await value.read())
                text = _storable(value) if isinstance(value, str) else ""
                fields.setdefault(_storable(name), []).append(text)
    except UnicodeError:
        # A form may name the alphabet it is written in, and some of Python's cannot be read as text at all.
        raise NotTaken(
            "That form is written in an alphabet that cannot be read: use the sheet's own."
        ) from None
    return Typed(fields)


def with_file(typed: Typed, field: str, name: str, content: bytes) -> Typed:
    """The form with its file said in it: what was sent is the file too, another one with the same form is another form."""
    sent = f"{name} ({sha256(content).hexdigest()[:12]})"
    return Typed({**typed.fields, field: [sent]}) if content else typed


def _storable(text: str) -> str:
    """Text without half characters, which neither a page nor the data file can hold."""
    return text.encode("utf-8", "replace").decode("utf-8")


TypedDep = Annotated[Typed, Depends(typed_form)]


def page_of(typed: Typed) -> str:
    """The page's own mark, carried through its forms; a new one for a page drawn afresh."""
    return typed.token("page") or token_hex(6)


def fresh_token() -> str:
    """A token for a form that must be taken once only."""
    return token_hex(16)


def who_of(request: Request, typed: Typed) -> str | None:
    """The initials given with the form, else those this device remembers; None when there are none."""
    text = typed.get("who")
    return read_initials(text) if text.strip() else (render.initials(request.cookies) or None)


def actor_of(request: Request, typed: Typed) -> Actor | None:
    """Who asks, or None when nobody has said who is at the bench."""
    who = who_of(request, typed)
    return (
        None
        if who is None
        else Actor(who, request.state.device, typed.token("page"), typed.moment("device_at"))
    )


def remember_who(response: Response, who: str) -> Response:
    """Let the device remember the initials."""
    # Quoted: a header takes no letters of other scripts, and initials may well be of one.
    response.set_cookie(render.WHO_COOKIE, quote(who), max_age=YEAR_S, httponly=True, samesite="strict")
    return response


def see(request: Request, address: str, actor: Actor | None = None) -> Response:
    """Go to a sheet after something was done."""
    response = RedirectResponse(address, SEE_OTHER)
    if actor is not None and actor.who != render.initials(request.cookies):
        remember_who(response, actor.who)
    return response


def need_actor(request: Request, typed: Typed, errors: Errors) -> Actor | None:
    """Who asks; where nobody has said so, that is among the errors."""
    actor = actor_of(request, typed)
    if actor is None:
        errors["who"] = NO_WHO
    return actor


@dataclass(frozen=True)
class Trouble:
    """Why a wish was not simply done: refused, doubted, to be confirmed, out of date, taken before, or nobody said who.

    `beside` has a sentence for each field that is asked about, or that was taken otherwise before.
    """

    kind: str
    key: str
    words: str
    status: int
    affected: tuple[str, ...] = ()
    who: str = ""
    at: datetime | None = None
    beside: Mapping[str, str] = field(default_factory=dict)
    # The reason as typed, where one is asked for, and whether it must be given.
    said: str = ""
    must: bool = False

    @property
    def asked(self) -> str:
        """The mark of what is asked."""
        return mark_of(self.words)

    @property
    def sentence(self) -> str:
        """What stands in the way, in a sentence that can stand alone."""
        return stale_words(self) if self.kind == "stale" else self.words


@dataclass(frozen=True)
class Attempt:
    """A form that was not taken: where it stands, what was typed, and what is wrong."""

    place: str
    typed: Typed = field(default_factory=Typed)
    errors: Errors = field(default_factory=Errors)
    trouble: Trouble | None = None
    status: int = UNPROCESSABLE

    @property
    def anchor(self) -> str:
        """Where on its sheet the form stands: readings by their place; a tick in the list, whose sheet knows its row."""
        if self.place == "mark":
            return "change-mark"
        if not self.place.startswith(("wheel-", "axle-")):
            return f"{'due' if self.typed.get('from') == 'due' else 'readings'}-{self.place}"
        return "list"


NO_WHO = "Who is at the bench? Write your initials, one to four letters."


def trouble_from(act: Callable[[], object], key: str) -> Trouble | None:
    """Do it; what stands in the way comes back as trouble, and what does not exist is not found."""
    try:
        act()
    except NotThere as missing:
        raise NotFound(missing.sentence) from None
    except Refused as refused:
        where = "" if refused.field == WHOLE else refused.field or key
        return Trouble("refused", where, refused.words, UNPROCESSABLE)
    except Doubted as doubted:
        beside, sole = {}, len(doubted.doubts) == 1
        for name, one in doubted.doubts.items():
            beside[name] = (
                Question(one.words, one.sizes, "" if sole else one.text) if one.sizes else one.words
            )
        # While anything cannot be, no yes stores it.
        yes = all(one.sizes for one in doubted.doubts.values())
        return Trouble("doubt", key, str(doubted), CONFLICT if yes else UNPROCESSABLE, beside=beside)
    except Unconfirmed as doubt:
        beside = {"reason": doubt.wrong} if doubt.wrong else {}
        said, must = doubt.said, doubt.must
        return Trouble(
            "confirm", key, doubt.words, CONFLICT, doubt.affected, beside=beside, said=said, must=must
        )
    except OutOfDate as old:
        return Trouble("stale", key, old.sentence, CONFLICT, (), old.who, old.at)
    except SentOtherwise as sent:
        return _sent_otherwise(sent)
    return None


_MOST_NAMED = 3


def _sent_otherwise(sent: SentOtherwise) -> Trouble:
    """Both values are shown, in the sentence and beside their fields; nothing is stored until it is sent once more."""
    both = [
        f"{_quoted(before)} was stored, now it says {_quoted(now)}" for before, now in sent.differs.values()
    ]
    more = len(both) - _MOST_NAMED
    said = "; ".join(both[:_MOST_NAMED]) + (f"; and {more} more" if more > 0 else "")
    words = (
        f"This form was taken already at {render.when(sent.at)}, though its answer may not have reached you: {said}. "
        "Nothing was stored this time. If what you see now is right, send it once more."
    )
    beside = {name: f"Stored already: {_quoted(before)}." for name, (before, _) in sent.differs.items()}
    return Trouble("sent", "", words, CONFLICT, beside=beside)


def _quoted(text: str) -> str:
    return f"“{shorten(text, 60, placeholder=' …')}”" if text else "nothing"


def tell(errors: Errors, trouble: Trouble, *, confirm: str = "") -> None:
    """Put what stands in the way among the errors: a refusal beside its field, else at the head of the form.

    `confirm` names the box that says yes to what must be confirmed; without one the page asks in its own way.
    """
    if trouble.kind == "confirm" and not confirm:
        return
    if trouble.kind == "doubt":
        errors.update(trouble.beside)
        return
    errors[{"refused": trouble.key, "confirm": confirm}.get(trouble.kind, "")] = trouble.sentence
    for name, sentence in trouble.beside.items():
        errors.setdefault(name, sentence)
    errors.spent = trouble.kind == "sent"


def do_or_page(act: Callable[[], object]) -> None:
    """Do it; what stands in the way becomes a page of its own."""
    trouble = trouble_from(act, "")
    if trouble is not None:
        raise stands_in_the_way(trouble)


def stands_in_the_way(trouble: Trouble) -> PageError:
    """What stands in the way, as a page of its own."""
    return NotTaken(trouble.words) if trouble.kind == "refused" else Conflict(trouble.sentence)


def stale_words(trouble: Trouble) -> str:
    """An out-of-date page in one sentence."""
    if trouble.at is None:
        return "This page is out of date: nothing was stored. Open the sheet again and look at the present state."
    return (
        f"{trouble.who} changed this at {render.when(trouble.at)}: {trouble.words} Nothing of yours was stored; "
        "open the sheet again and look at the present state."
    )


def ask_who(request: Request, typed: Typed, bad: bool) -> Response:
    """A page that asks for the initials and then sends the same form again."""
    kept = [(name, text) for name, texts in typed.fields.items() for text in texts if name != "who"]
    return render.page(
        request,
        "sheets/bench/who.html",
        UNPROCESSABLE,
        kept=kept,
        typed_who=typed.get("who"),
        words=NO_WHO if bad else "",
    )
