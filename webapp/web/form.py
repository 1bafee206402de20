"""The one way of a form: shown, taken, refused or stored, alike on every sheet.

A page hands its template `**form.context`, writes `carried(...)` in the form and calls `refused(errors)` round its fields;
its handler for the sent form is one call of `take`:

    return take(
        request,
        typed,
        read=lambda: read_receipt(typed, build.unit),          # (value, errors), nothing stored
        act=lambda receipt, asked: receive_casting(db, casting_id, asked, receipt),
        then=f"/castings/{casting_id}/receiving#verdict",      # or a function of what act gave
        show=lambda form: _page(request, build, casting, form),
    )
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import Any, TypeVar

from fastapi import Request
from fastapi.responses import Response

from domain.lengths.systems import shown_in
from webapp.faults import FileTrouble
from webapp.records.change import Asked
from webapp.records.outcome import NOBODY
from webapp.typed.texts import Errors, Typed
from webapp.web.common import (
    UNAVAILABLE,
    UNPROCESSABLE,
    Trouble,
    actor_of,
    ask_who,
    fresh_token,
    need_actor,
    page_of,
    see,
    stands_in_the_way,
    tell,
    trouble_from,
)

Given = TypeVar("Given")


@dataclass(frozen=True)
class Form:
    """A form as it stands on its page: what was typed, what is wrong with it, and what stands in its way."""

    typed: Typed = field(default_factory=Typed)
    errors: Errors = field(default_factory=Errors)
    status: int = 200
    trouble: Trouble | None = None

    @property
    def context(self) -> dict[str, Any]:
        """What its template needs: `typed`, `errors`, and what the form carries unseen, `page_id` and `token`."""
        # Its own token as long as it was not taken; a new one for a form drawn afresh.
        own = "" if self.errors.spent else self.typed.token("token")
        return {
            "typed": self.typed,
            "errors": self.errors,
            "page_id": page_of(self.typed),
            "token": own or fresh_token(),
        }

    @property
    def told(self) -> Form:
        """The form of a button: nothing was typed, and what stood in its way is at the head of its sheet."""
        errors = Errors({"": self.trouble.sentence} if self.trouble else {})
        return Form(Typed({"page": [page_of(self.typed)]}), errors, self.status, self.trouble)


def alone(reader: Callable[[Typed, Errors], Given | None], typed: Typed) -> tuple[Given | None, Errors]:
    """Read a form of one field, by a reader that is also used among others."""
    errors = Errors()
    return reader(typed, errors), errors


def take(
    request: Request,
    typed: Typed,
    *,
    read: Callable[[], tuple[Given | None, Errors]],
    act: Callable[[Given, Asked], int | None],
    then: str | Callable[[int], str],
    show: Callable[[Form], Response],
    weigh: Callable[[Given], object] | None = None,
    confirm: str = "",
    signed: bool = True,
) -> Response:
    """Read what was typed, do it, and go to the sheet; what is refused is shown again with what was typed.

    `weigh` raises what stands against what could be read, where something else of the form could not: all is told in one
    go, and nobody is sent back to the same form twice.
    `confirm` names the box that says yes to what must be confirmed. `signed` is whether the journal will name who
    did it; the workshop's lists have no journal.
    """
    # Words that are read off a form may be kept with it; what is kept is said in both systems.
    with shown_in(both=True):
        value, errors = read()
    actor = need_actor(request, typed, errors) if signed else NOBODY
    if errors or value is None or actor is None:
        if weigh is not None and value is not None:
            _tell_too(errors, partial(weigh, value))
        return show(Form(typed, errors, UNPROCESSABLE))
    asked = Asked(actor, typed.version(), typed.sent)
    given: list[int] = []
    try:
        trouble = trouble_from(lambda: given.append(act(value, asked) or 0), "")
    except FileTrouble as error:
        # Shown with what was typed, under its own token: sent again, it is stored once, whatever became of it.
        trouble = Trouble("file", "", str(error), UNAVAILABLE)
    if trouble is not None:
        tell(errors, trouble, confirm=confirm)
        return show(Form(typed, errors, trouble.status, trouble))
    address = then if isinstance(then, str) else then(given[0])
    return see(request, address, actor if signed else None)


def _tell_too(errors: Errors, weigh: Callable[[], object]) -> None:
    """What stands against the fields that could be read, beside each."""
    with shown_in(both=True):
        trouble = trouble_from(weigh, "")
    if trouble is None:
        return
    beside = {trouble.key: trouble.words} if trouble.kind == "refused" and trouble.key else trouble.beside
    for name, sentence in beside.items():
        errors.setdefault(name, sentence)


def press(
    request: Request,
    typed: Typed,
    *,
    act: Callable[[Asked], int | None],
    then: str | Callable[[int], str],
    show: Callable[[Form], Response] | None = None,
) -> Response:
    """The way of a button with nothing to type: who presses is asked on a page of its own.

    What stands in the way is shown on the sheet by `show`, else it is a page of its own too.
    """
    actor = actor_of(request, typed)
    if actor is None:
        return ask_who(request, typed, "who" in typed.fields)
    asked = Asked(actor, typed.version(), typed.sent)
    given: list[int] = []
    trouble = trouble_from(lambda: given.append(act(asked) or 0), "")
    if trouble is None:
        return see(request, then if isinstance(then, str) else then(given[0]), actor)
    if show is None:
        raise stands_in_the_way(trouble)
    return show(Form(typed, Errors(), trouble.status, trouble))
