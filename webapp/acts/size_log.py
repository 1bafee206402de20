"""Logging sizes of a casting as they are now: weighed against those before, stored, and told in the journal."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from domain.lengths import Length
from webapp.acts.sizes import sizes_words, store_sizes, without_zero_offset
from webapp.db import Db
from webapp.records.builds import find_casting
from webapp.records.journal import already_answered, check_casting_seen, remember_answer, write_line
from webapp.records.outcome import WHOLE, Actor, Refused
from webapp.records.views import BuildView, CastingView
from webapp.typed.size_log import SizesLogged
from webapp.typed.texts import Sent


@dataclass(frozen=True, slots=True)
class SizeForm:
    """What one sheet's sizes have of their own.

    `weigh` raises what stands against a size, and gives the sizes before, by key, of those that have grown;
    `verdict` is what the journal adds once they are stored.
    """

    name: str
    lead: str
    weigh: Callable[[BuildView, CastingView, SizesLogged], Mapping[str, int]]
    verdict: Callable[[BuildView, CastingView, Mapping[str, Length]], str]


def log_casting_sizes(
    db: Db, casting_id: int, form: SizeForm, logged: SizesLogged, seen: int, sent: Sent, actor: Actor
) -> None:
    """Store the sizes and the journal's line in one go."""
    own = f"{form.name} of {casting_id}"
    with db.write() as session:
        build, casting = find_casting(session, casting_id)
        if already_answered(session, sent, own) is not None:
            return
        check_casting_seen(session, casting.id, casting.version, seen, actor)
        if casting.state == "scrapped":
            raise Refused(f"{casting.mark} is scrapped: undo the scrapping first.", WHOLE)
        tool = logged.instrument_id
        logged = replace(logged, sizes=without_zero_offset(build, logged.sizes, tool))
        grown = form.weigh(build, casting, logged)
        corrects = grown if logged.misread else {}
        store_sizes(
            session, build, logged.sizes, actor, casting_id=casting.id, instrument_id=tool, corrects=corrects
        )
        session.flush()
        told = f"{casting.mark}{form.lead} measured: {sizes_words(build, logged.sizes)}."
        if grown:
            told += (
                " The earlier one was misread." if corrects else " More than before, and both read with care."
            )
        told += form.verdict(*find_casting(session, casting_id), logged.sizes)
        write_line(session, actor, "size", told, build_id=build.id, casting_id=casting.id)
        remember_answer(session, sent, own)
