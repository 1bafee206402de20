"""Logging sizes of a casting as they are now: weighed against those before, stored, and told in the journal."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

from domain.lengths import Length, Unit
from domain.route.guards import Strength
from domain.stock.guard import objection_to_size
from webapp.acts.asking import InOneGo
from webapp.acts.sizes import ask_about_sizes, sizes_words, store_sizes, without_zero_offset
from webapp.records.builds import find_casting
from webapp.records.change import CastingChange, change_casting
from webapp.records.outcome import Unconfirmed
from webapp.records.views import BuildView, CastingView, Measured
from webapp.typed.size_log import SizesLogged


@dataclass(frozen=True, slots=True)
class SizeForm:
    """What one sheet's sizes have of their own.

    `weigh` puts down what stands against each size, and gives the sizes before, by key, of those that have grown;
    `verdict` is what the journal adds once they are stored.
    """

    name: str
    lead: str
    weigh: Callable[[BuildView, CastingView, SizesLogged, InOneGo], Mapping[str, int]]
    verdict: Callable[[BuildView, CastingView, Mapping[str, Length]], str]

    def __str__(self) -> str:
        """The form's name, for its token."""
        return self.name


@dataclass(frozen=True, slots=True)
class Bounds:
    """What one size is weighed against, nm: the one before, and as it came; None where nothing is."""

    key: str
    name: str
    before: Measured | None
    came_nm: int | None


def outgrown(logged: SizesLogged, bounds: Iterable[Bounds], unit: Unit, told: InOneGo) -> dict[str, int]:
    """The sizes before, by key, of those that have grown; what cannot be is refused, growth asked about once."""
    grown, doubts = {}, []
    for one in bounds:
        objection = objection_to_size(
            name=one.name,
            size_nm=logged.sizes[one.key].nm,
            before_nm=one.before.nm if one.before else None,
            came_nm=one.came_nm,
            unit=unit,
        )
        if objection is None:
            continue
        if objection.strength is Strength.REFUSE:
            told.refuse(one.key, objection.words)
            continue
        assert one.before is not None  # only a size before can be outgrown
        grown[one.key] = one.before.id
        doubts.append(objection.words)
    if doubts and not logged.grown:
        raise Unconfirmed(" ".join(doubts), tuple(doubts))
    return grown


class WeighedSizes(NamedTuple):
    """Sizes that nothing stands against: without the zero offset, those before that have grown, and the journal's words on
    what is meant all the same."""

    sizes: dict[str, Length]
    grown: Mapping[str, int]
    meant: str


def weigh_sizes(build: BuildView, casting: CastingView, form: SizeForm, logged: SizesLogged) -> WeighedSizes:
    """Raise all that cannot be or can hardly be meant, each beside its field; then it is asked about what has grown."""
    told, grown, growth, meant = InOneGo(), {}, None, ""
    sizes: dict[str, Length] = {}
    with told.weighing():
        sizes = without_zero_offset(build, logged.sizes, logged.instrument_id, told)
    with told.weighing():
        try:
            grown = dict(form.weigh(build, casting, replace(logged, sizes=sizes), told))
        except Unconfirmed as asked:
            growth = asked
    with told.weighing():
        meant = ask_about_sizes(build, logged.sizes, logged.meant, casting)
    told.tell()
    if growth is not None:
        raise growth
    return WeighedSizes(sizes, grown, meant)


@change_casting("{}")
def log_casting_sizes(it: CastingChange, form: SizeForm, logged: SizesLogged) -> None:
    """Store the sizes and the journal's line in one go."""
    build, casting, tool = it.build, it.casting, logged.instrument_id
    sizes, grown, meant = weigh_sizes(build, casting, form, logged)
    corrects = grown if logged.misread else {}
    store_sizes(
        it.session,
        build,
        sizes,
        it.actor,
        casting_id=casting.id,
        instrument_id=tool,
        corrects=corrects,
    )
    it.session.flush()
    # Whose it is stands beside the line wherever it is told.
    told = f"{form.lead}: {sizes_words(build, sizes)}."
    if grown:
        told += " The earlier one was misread." if corrects else " More than before, and both read with care."
    it.tell("size", told + meant + form.verdict(*find_casting(it.session, casting.id), sizes))
