"""The one way of a write: what it is about is loaded, a form taken before is answered, an old page is refused.

A change is told in the journal and the form's token kept in the transaction that stores it, and the commit comes
before the answer is drawn. What a change says is said in both systems, whatever the device is shown: it is kept, and
what is asked before it is kept word for word.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial, wraps
from typing import Concatenate, ParamSpec, TypeVar

from sqlmodel import Session

from domain.lengths.systems import shown_in
from webapp.db import Db, driver
from webapp.records.builds import find_axle, find_build, find_casting
from webapp.records.journal import (
    already_answered,
    check_axle_seen,
    check_build_seen,
    check_casting_seen,
    remember_answer,
    write_line,
)
from webapp.records.outcome import WHOLE, Actor, Refused
from webapp.records.views import AxleView, BuildView, CastingView
from webapp.typed.texts import NOTHING_SENT, Sent


@dataclass(frozen=True, slots=True)
class Asked:
    """Who asks for a change, which version the page had seen, and the form as sent."""

    actor: Actor
    # None where nothing is asked about a version: what is done then cannot undo what somebody else did.
    seen: int | None = None
    sent: Sent = NOTHING_SENT


@dataclass(frozen=True)
class Change:
    """A change under way of a build's own figures or lists: the transaction, who makes it, and the build."""

    session: Session
    actor: Actor
    build: BuildView

    def check(self, seen: int) -> None:
        """Raise OutOfDate when anyone but this very page changed it after the page was drawn."""
        check_build_seen(self.session, self.build.id, self.build.version, seen, self.actor)

    def tell(self, kind: str, sentence: str) -> int:
        """Write the journal's line of what is changed, and count its version up; the version."""
        return write_line(self.session, self.actor, kind, sentence, build_id=self.build.id)


@dataclass(frozen=True)
class AxleChange(Change):
    """A change under way of an axle, or of what is on it."""

    axle: AxleView

    def check(self, seen: int) -> None:
        """Raise OutOfDate when anyone but this very page changed it after the page was drawn."""
        check_axle_seen(self.session, self.axle.id, self.axle.version, seen, self.actor)

    def tell(self, kind: str, sentence: str) -> int:
        """Write the journal's line of the axle, and count its version up; the version."""
        return write_line(
            self.session, self.actor, kind, sentence, build_id=self.build.id, axle_id=self.axle.id
        )

    def tell_wheels(self, kind: str, sentence: str) -> None:
        """A line for the axle and one for each of its wheels, so that each sheet tells the whole story."""
        self.tell(kind, sentence)
        own, build = self.axle.id, self.build.id
        for wheel in self.axle.wheels:
            write_line(
                self.session, self.actor, kind, sentence, build_id=build, axle_id=own, casting_id=wheel.id
            )


@dataclass(frozen=True)
class CastingChange(Change):
    """A change under way of a casting."""

    casting: CastingView

    def check(self, seen: int) -> None:
        """Raise OutOfDate when anyone but this very page changed it after the page was drawn."""
        check_casting_seen(self.session, self.casting.id, self.casting.version, seen, self.actor)

    def tell(self, kind: str, sentence: str) -> int:
        """Write the journal's line of the casting, and count its version up; the version."""
        own, build = self.casting.id, self.build.id
        return write_line(self.session, self.actor, kind, sentence, build_id=build, casting_id=own)


# Each way is named for its form, so that a token counts for its own form only; `{}` in the name stands for what the
# change is called with, in order.
P = ParamSpec("P")
C = TypeVar("C", bound=Change)
Act = Callable[Concatenate[C, P], int | None]
# Called with the data file, the id of what is changed and who asks; gives the id that came of it, or 0.
Called = Callable[Concatenate[Db, int, Asked, P], int]


def _once(session: Session, sent: Sent, form: str, act: Callable[[], int | None]) -> int:
    before = already_answered(session, sent, form)
    if before is not None:
        return int(before) if before.isdigit() else 0
    changes = _rows_changed(session)
    answer = act() or 0
    session.flush()
    # A form that changed nothing may be sent again: there is nothing that it could do twice.
    if _rows_changed(session) != changes:
        remember_answer(session, sent, form, str(answer) if answer else "")
    return answer


def _rows_changed(session: Session) -> int:
    """How many rows this connection has changed since it was opened."""
    return driver(session).total_changes


def _way(
    form: str, begin: Callable[[Session, int, Asked], C], may: Callable[[C], None], *, archived: bool = False
) -> Callable[[Act[C, P]], Called[P]]:
    def wrap(act: Act[C, P]) -> Called[P]:
        @wraps(act)
        def called(db: Db, row_id: int, asked: Asked, /, *args: P.args, **kwargs: P.kwargs) -> int:
            with shown_in(both=True), db.write() as session:
                change = begin(session, row_id, asked)

                def checked() -> int | None:
                    if not archived:
                        _not_archived(change)
                    if asked.seen is not None:
                        change.check(asked.seen)
                    may(change)
                    return act(change, *args, **kwargs)

                return _once(session, asked.sent, f"{form.format(*args)} of {row_id}", checked)

        return called

    return wrap


def change_build(form: str, *, archived: bool = False) -> Callable[[Act[Change, P]], Called[P]]:
    """For a change of a build's own figures or lists; `archived` says that this may be done to one that is put away."""
    return _way(
        form,
        lambda s, own, asked: Change(s, asked.actor, find_build(s, own)),
        _anything,
        archived=archived,
    )


def change_axle(form: str) -> Callable[[Act[AxleChange, P]], Called[P]]:
    """For a change of an axle, or of what is on it."""
    return _way(form, lambda s, own, asked: AxleChange(s, asked.actor, *find_axle(s, own)), _anything)


def change_casting(form: str, *, scrapped: bool = False) -> Callable[[Act[CastingChange, P]], Called[P]]:
    """For a change of a casting; a scrapped one is left alone, unless `scrapped` says that this may be done to it."""
    may = _anything if scrapped else _not_scrapped
    return _way(form, lambda s, own, asked: CastingChange(s, asked.actor, *find_casting(s, own)), may)


def _anything(_change: Change) -> None:
    """Nothing is forbidden from the outset."""


def _not_archived(change: Change) -> None:
    if change.build.archived:
        raise Refused(f"{change.build.name} is archived: bring it back first, on its own sheet.", WHOLE)


def _not_scrapped(change: CastingChange) -> None:
    if change.casting.state == "scrapped":
        raise Refused(f"{change.casting.mark} is scrapped: undo the scrapping first.", WHOLE)


def change_workshop(
    form: str,
) -> Callable[[Callable[Concatenate[Session, P], int | None]], Callable[Concatenate[Db, Sent, P], int]]:
    """For a change of the workshop's lists, or a new build: of no build yet, so without version and journal's line."""

    def wrap(act: Callable[Concatenate[Session, P], int | None]) -> Callable[Concatenate[Db, Sent, P], int]:
        @wraps(act)
        def called(db: Db, sent: Sent, /, *args: P.args, **kwargs: P.kwargs) -> int:
            with shown_in(both=True), db.write() as session:
                return _once(session, sent, form.format(*args), partial(act, session, *args, **kwargs))

        return called

    return wrap
