"""Logging sizes of a casting as they are now: weighed against those before, stored, and told in the journal."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from domain.lengths import Length
from webapp.acts.sizes import sizes_words, store_sizes, without_zero_offset
from webapp.records.builds import find_casting
from webapp.records.change import CastingChange, change_casting
from webapp.records.views import BuildView, CastingView
from webapp.typed.size_log import SizesLogged


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

    def __str__(self) -> str:
        """The form's name, for its token."""
        return self.name


@change_casting("{}")
def log_casting_sizes(it: CastingChange, form: SizeForm, logged: SizesLogged) -> None:
    """Store the sizes and the journal's line in one go."""
    build, casting, tool = it.build, it.casting, logged.instrument_id
    logged = replace(logged, sizes=without_zero_offset(build, logged.sizes, tool))
    grown = form.weigh(build, casting, logged)
    corrects = grown if logged.misread else {}
    store_sizes(
        it.session,
        build,
        logged.sizes,
        it.actor,
        casting_id=casting.id,
        instrument_id=tool,
        corrects=corrects,
    )
    it.session.flush()
    told = f"{casting.mark}{form.lead} measured: {sizes_words(build, logged.sizes)}."
    if grown:
        told += " The earlier one was misread." if corrects else " More than before, and both read with care."
    it.tell("size", told + form.verdict(*find_casting(it.session, casting.id), logged.sizes))
