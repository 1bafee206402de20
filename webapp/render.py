"""Templates to answers, and the words that templates use for lengths and times."""

import re
from collections.abc import Mapping, MutableMapping
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache, partial
from hashlib import blake2b
from typing import Any
from urllib.parse import unquote, urlencode

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from sqlalchemy.exc import SQLAlchemyError

from domain import lengths as length
from domain.clock import ClockDoubt
from domain.lengths.systems import both_shown
from webapp.db import Db
from webapp.drawing.band import decided_band
from webapp.faults import FileTrouble
from webapp.settings import STATIC, TEMPLATES

WHO_COOKIE = "spokeshed_who"
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_LONGEST_INITIALS = 4


def page(request: Request, template: str, status: int = 200, **context: Any) -> HTMLResponse:
    """A whole page."""
    return _answer(request, template, status, context)


def fragment(request: Request, template: str, status: int = 200, **context: Any) -> HTMLResponse:
    """A piece that htmx swaps in; its template's name begins with _."""
    if not template.rsplit("/", 1)[-1].startswith("_"):
        raise ValueError(f"{template} is a page, not a fragment")
    return _answer(request, template, status, context)


def wants_fragment(request: Request) -> bool:
    """Whether htmx asked for a piece; it says "full" when it will replace the whole body."""
    headers = request.headers
    return headers.get("hx-request") == "true" and headers.get("hx-request-type") != "full"


def initials(cookies: Mapping[str, str]) -> str:
    """Who is at this device: at most four letters or digits; a signature after a dot is left off."""
    typed = unquote(cookies.get(WHO_COOKIE, "")).split(".")[0]
    return "".join(sign for sign in typed if sign.isalnum())[:_LONGEST_INITIALS]


def both(nm: int, first: str) -> str:
    """A length in the systems shown."""
    return length.show(nm, length.Unit(first))


def one(nm: int, unit: str) -> str:
    """A length in one system."""
    return length.show_in(nm, length.Unit(unit))


def other(nm: int, first: str) -> str:
    """A length in the other system alone; empty where that one is not shown."""
    return length.show_other(nm, length.Unit(first))


def numbers_words() -> str:
    """Which systems this device is shown."""
    return "in both systems" if both_shown() else "the build's own only"


def offset(nm: int, first: str) -> str:
    """A signed difference in the systems shown."""
    return length.show_offset(nm, length.Unit(first))


def small(nm: int, first: str, signed: bool = False) -> str:
    """A difference in the systems shown, as a workshop says it."""
    return length.show_small(nm, length.Unit(first), signed=signed)


def one_small(nm: int, unit: str, signed: bool = False) -> str:
    """A difference in one system, as a workshop says it."""
    return length.shown_small(nm, length.Unit(unit), signed=signed)


def such(unit: str, mm: str, inch: str) -> str:
    """Of two examples the one in this unit, which may be a text that somebody typed."""
    return length.such(length.Unit.INCH if unit == length.Unit.INCH else length.Unit.MM, mm, inch)


def when(moment: datetime) -> str:
    """An aware time on this machine's clock, such as 24 Nov 2026 21:05."""
    if moment.tzinfo is None:
        raise ValueError("a shown time must be aware")
    local = moment.astimezone()
    return f"{local.day} {_MONTHS[local.month - 1]} {local.year} {local:%H:%M}"


def day(moment: datetime) -> str:
    """The day of an aware time on this machine's clock, such as Tue 24 Nov 2026."""
    return f"{_DAYS[moment.astimezone().weekday()]} {dated(moment)}"


def dated(moment: datetime) -> str:
    """The same as a record has it, such as 24 Nov 2026."""
    local = moment.astimezone()
    return f"{local.day} {_MONTHS[local.month - 1]} {local.year}"


def clock(moment: datetime) -> str:
    """The time of day of an aware time, such as 21:05."""
    return f"{moment.astimezone():%H:%M}"


def stamp(done: Any) -> str:
    """Who did it and when."""
    return f"{done.who}, {when(done.at)}"


def initialled(done: Any) -> str:
    """Who did it and on which day, for a row of a list."""
    local = done.at.astimezone()
    return f"{done.who} {local.day} {_MONTHS[local.month - 1]}"


def capitalize(words: str) -> str:
    """Words with a capital at their head; Jinja's own filter would make a mark in them small, such as w7."""
    return f"{words[:1].upper()}{words[1:]}"


@dataclass(frozen=True)
class DoubtedClock:
    """Why the machine's clock cannot be trusted, and the latest time that was written down."""

    why: ClockDoubt
    newest: datetime | None


def _doubted_clock(request: Request) -> DoubtedClock | None:
    if not getattr(request.state, "known", True):
        return None  # whoever asks to be let in is told nothing, and costs the file no look
    # Here, for a start does without them.
    from webapp.facts.clock import doubt_at
    from webapp.records.journal import newest_time

    db: Db = request.app.state.db
    try:
        with db.read() as session:
            newest = newest_time(session)
    except (FileTrouble, SQLAlchemyError):
        newest = None  # the page that tells of a file past reading is drawn without it
    why = doubt_at(datetime.now(UTC), newest)
    return None if why is None else DoubtedClock(why, newest)


def _way_back(request: Request, context: Mapping[str, Any]) -> str:
    """Where the batch that runs has the turn of the wheel that this page is of; empty where it has none."""
    build, casting = context.get("build"), context.get("casting")
    of = (casting,) if casting is not None else getattr(context.get("sheet"), "wheels", ())
    # The build as it was read knows whether a batch runs: without one nothing is asked of the file.
    if build is None or build.standing is None:
        return ""
    # Here, for a start does without it.
    from webapp.facts.batches import way_back
    from webapp.records.views import CastingView

    # A sheet may have lines of its own by that name, and is then not of its wheels alone.
    wheels = [one for one in of if isinstance(one, CastingView)]
    if not wheels:
        return ""
    db: Db = request.app.state.db
    with db.read() as session:
        return way_back(session, build, wheels)


def _asked_with(request: Request) -> str:
    rest = [(name, text) for name, text in request.query_params.multi_items() if name != "open"]
    return f"{urlencode(rest, errors='replace')}&" if rest and request.method == "GET" else ""


@cache
def static_url(name: str) -> str:
    """The address of a static file, with its content's sum so that a browser may keep it for good."""
    return f"/static/{name}?v={blake2b((STATIC / name).read_bytes(), digest_size=6).hexdigest()}"


def _answer(request: Request, template: str, status: int, context: Mapping[str, Any]) -> HTMLResponse:
    own: dict[str, Any] = {
        "who": initials(request.cookies),
        "now": datetime.now(UTC),
        "path": request.url.path,
        # Which state of the data file it is drawn from; empty for a page that is of none.
        "stand": getattr(request.state, "stand", ""),
        # The folded part that is asked for; templates/parts/_fold.html knows their names.
        "opened_part": request.query_params.get("open", ""),
        "asked_pattern": asked if (asked := request.query_params.get("pattern", "")).isdecimal() else "",
        # What else was asked for in the address, so that a fold opens of the same answer; see its `also`.
        "asked_with": _asked_with(request),
    }
    if not template.rsplit("/", 1)[-1].startswith("_"):
        # The words of its subject are one tap away.
        folder, _, rest = template.partition("/")
        own["words_at"] = f"/words?of={rest.partition('/')[0]}" if folder == "sheets" else "/words"
        own["doubted_clock"] = partial(_doubted_clock, request)
        own["way_back"] = partial(_way_back, request, context)
    return HTMLResponse(environment.get_template(template).render(own | dict(context)), status)


# The sheets that are opened at the bench come first.
_FIRST_FOLDERS = ("parts/", "sheets/wheel/", "sheets/build/")


def template_names() -> list[str]:
    """Every template, those that are wanted first at the head."""
    return sorted(environment.list_templates(), key=lambda name: (not name.startswith(_FIRST_FOLDERS), name))


# After a tag, whose line's end Jinja takes away, one blank still parts what stands before and after it.
_INDENT = re.compile(r"(?<![%#]})(\n)[ \t]+|(?<=[%#]})(\n )[ \t]+")


class _Environment(Environment):
    """No template has globals of its own; Jinja would compare a chain of two maps at every import of a macro."""

    def preprocess(self, source: str, name: str | None = None, filename: str | None = None) -> str:
        """How a template is indented is not sent: a browser has no use for it, and every tick would carry it."""
        return super().preprocess(
            _INDENT.sub(lambda found: found[1] or found[2], str(source)), name, filename
        )

    def make_globals(self, d: MutableMapping[str, Any] | None) -> MutableMapping[str, Any]:
        """Those of all."""
        return super().make_globals(d) if d else self.globals


environment = _Environment(
    loader=FileSystemLoader(TEMPLATES),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
    auto_reload=False,
)
environment.filters.update(
    stamp=stamp,
    both=both,
    one=one,
    other=other,
    offset=offset,
    small=small,
    one_small=one_small,
    such=such,
    when=when,
    day=day,
    clock=clock,
    dated=dated,
    initialled=initialled,
    capitalize=capitalize,
    band=decided_band,
)
environment.globals.update(static_url=static_url, numbers_words=numbers_words, both_shown=both_shown)
