"""Writing down an axle's sizes, and making and ticking the list of what goes on it before its second wheel."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, NamedTuple

from sqlmodel import col, delete, update

from domain.assembly.going_on import same_name, too_wide_by
from domain.assembly.running import journal_bars_wheel
from domain.assembly.shoulders import back_to_back_nm
from domain.assembly.words import cannot_be_words, journal_words, width_words
from domain.lengths import Length
from webapp.acts.asking import InOneGo, ReadHere, ask_about
from webapp.acts.sizes import sizes_words, store_sizes, without_zero_offset
from webapp.facts.expected import journal_of, of_size
from webapp.facts.facts import facts_of
from webapp.models import Axle, AxleItem
from webapp.records.builds import find_axle
from webapp.records.change import AxleChange, change_axle
from webapp.records.journal import now
from webapp.records.outcome import WHOLE, Refused
from webapp.records.views import AxleView, BuildView, ItemView
from webapp.sheets.assembly.form import LIES, AxleSizes, Thing, box_of
from webapp.sheets.assembly.view import answer_words, room_nm, things_missing


@change_axle("axle sizes")
def log_sizes(it: AxleChange, sizes: AxleSizes) -> None:
    """Store the sizes and the journal's line, which says what they are worth."""
    build, axle, tool = it.build, it.axle, sizes.instrument_id
    whole, ends, meant = weigh_sizes(build, axle, sizes)
    store_sizes(it.session, build, whole, it.actor, axle_id=axle.id, instrument_id=tool)
    for side, of_end in ends.items():
        store_sizes(it.session, build, of_end, it.actor, axle_id=axle.id, side=side, instrument_id=tool)
    told = [sizes_words(build, whole)] if whole else []
    told += [f"{side} end: {sizes_words(build, of_end)}" for side, of_end in ends.items()]
    if sizes.centred is not None:
        it.session.exec(update(Axle).where(col(Axle.id) == axle.id).values(centred=sizes.centred))
        told.append("centres in both ends" if sizes.centred else "no centres in both ends")
    it.session.flush()
    judged = f" {answer_words(*find_axle(it.session, axle.id))}." if whole else ""
    it.tell("size", f"Axle {axle.number} measured: {'; '.join(told)}.{meant}{judged}")


class WeighedAxle(NamedTuple):
    """Sizes that nothing stands against, without the zero offset, and the journal's words on what is meant all the same."""

    whole: dict[str, Length]
    ends: dict[str, dict[str, Length]]
    meant: str


def weigh_sizes(build: BuildView, axle: AxleView, sizes: AxleSizes) -> WeighedAxle:
    """Raise all that cannot be or can hardly be meant, each beside its field."""
    told, meant = InOneGo(), ""
    whole: dict[str, Length] = {}
    with told.weighing():
        whole = without_zero_offset(build, sizes.whole, sizes.instrument_id, told)
    ends = {
        side: _of_end(build, side, of_end, sizes.instrument_id, told) for side, of_end in sizes.ends.items()
    }
    _check(build, axle, AxleSizes(whole, ends), told)
    with told.weighing():
        meant = ask_about(_read_here(build, axle, sizes), sizes.meant, build.unit)
    told.tell()
    return WeighedAxle(whole, ends, meant)


def _of_end(
    build: BuildView, side: str, sizes: Mapping[str, Length], tool: int | None, told: InOneGo
) -> dict[str, Length]:
    """The sizes of one end without the zero offset of what they were read with, refused beside that end's box."""
    here, found = InOneGo(), {}
    with told.weighing():
        found = without_zero_offset(build, sizes, tool, here)
    for key, words in here.refused:
        told.refuse(box_of("journal" if key in dict(LIES) else key, side), words)
    return found


def _check(build: BuildView, axle: AxleView, sizes: AxleSizes, told: InOneGo) -> None:
    """Put down what cannot be."""
    over = sizes.whole.get("over_shoulders")
    if over is not None:
        left, right = facts_of(build).assembly(axle).prouds
        back = back_to_back_nm(over.nm, (left.nm, right.nm))
        if back >= build.nm("gauge"):
            told.refuse("over_shoulders", cannot_be_words(back, build.nm("gauge"), build.unit))
    for box, key, side, size in sizes.boxes():
        seat = build.of(axle).seat_nm(axle, side)
        if key == "outer_journal" and journal_bars_wheel(size.nm, seat):
            told.refuse(box, journal_words(seat, build.unit))


def _read_here(build: BuildView, axle: AxleView, sizes: AxleSizes) -> Iterator[ReadHere]:
    """Each size with what it should be about."""
    own = build.of(axle)
    for box, key, side, size in sizes.boxes():
        expected = journal_of(own.seat_nm(axle, side)) if key == "journal" else of_size(own, key)
        yield ReadHere(box, size.nm, size.text, expected)


@change_axle("list")
def add_thing(it: AxleChange, thing: Thing) -> None:
    """Put one thing on the list."""
    _check_thing(it, thing, it.axle.items)
    _add(it, thing)
    it.tell("list", f"Put on axle {it.axle.number}'s list: {thing.name}.")


@change_axle("same list")
def copy_list(it: AxleChange, other: AxleView) -> None:
    """Put on the list whatever is on another axle's and not on this one's; nothing of it is on this axle yet."""
    here, there = it.axle, it.build.axle(other.id)
    missing = things_missing(here.items, there.items if there else ())
    if not missing:
        return
    for one in missing:
        _add(it, _thing(one))
    names = ", ".join(one.name for one in missing)
    it.tell("list", f"Put on axle {here.number}'s list, as on axle {other.number}'s: {names}.")


@change_axle("list item {}")
def change_thing(it: AxleChange, item_id: int, thing: Thing) -> None:
    """Call it otherwise, or say otherwise where it sits."""
    item = _find(it, item_id)
    thing = replace(thing, kind=item.kind)
    if thing == _thing(item):
        return
    _check_thing(it, thing, [one for one in it.axle.items if one.id != item.id])
    it.session.exec(update(AxleItem).where(col(AxleItem.id) == item.id).values(**_columns(thing)))
    renamed = f" is now {thing.name}" if thing.name != item.name else ""
    it.tell("list", f"Changed on axle {it.axle.number}'s list: {item.name}{renamed}.")


@change_axle("list item {} out")
def take_out(it: AxleChange, item_id: int) -> None:
    """Take it off the list."""
    item = next((one for one in it.axle.items if one.id == item_id), None)
    if item is None:
        return  # it is as wanted already: a tap that arrived twice
    it.session.exec(delete(AxleItem).where(col(AxleItem.id) == item.id))
    it.tell("list", f"Taken off axle {it.axle.number}'s list: {item.name}.")


@change_axle("list item {} on")
def put_on(it: AxleChange, item_id: int, wanted: bool) -> None:
    """Tick it as on the axle, or not."""
    item = _find(it, item_id)
    if (item.on is not None) == wanted:
        return
    values = {"on_who": it.actor.who, "on_at": now()} if wanted else {"on_who": None, "on_at": None}
    it.session.exec(update(AxleItem).where(col(AxleItem.id) == item.id).values(**values))
    it.tell("list", f"{item.name} is {'on' if wanted else 'not on'} axle {it.axle.number}.")


def _thing(item: ItemView) -> Thing:
    return Thing(item.name, item.kind, item.along, item.split, item.width)


def _find(it: AxleChange, item_id: int) -> ItemView:
    item = next((one for one in it.axle.items if one.id == item_id), None)
    if item is None:
        raise Refused("That is not on the list any more.", WHOLE)
    return item


def _check_thing(it: AxleChange, thing: Thing, others: Iterable[ItemView]) -> None:
    beside = list(others)
    twin = next((one for one in beside if same_name(one.name, thing.name)), None)
    if twin is not None:
        raise Refused(f"{twin.name} is on the list already: give this one another name.", "name")
    if thing.width is None:
        return
    room = room_nm(it.build, it.axle)
    over = too_wide_by([thing.width.nm, *(one.width.nm for one in beside if one.width)], room)
    if over:
        raise Refused(width_words(over, room, it.build.unit), "width")


def _add(it: AxleChange, thing: Thing) -> None:
    it.session.add(AxleItem(axle_id=it.axle.id, **_columns(thing)))
    it.session.flush()


def _columns(thing: Thing) -> dict[str, Any]:
    return {
        "name": thing.name,
        "kind": thing.kind,
        "along": thing.along,
        "split": thing.split,
        "width_nm": thing.width.nm if thing.width else None,
        "width_text": thing.width.text if thing.width else None,
    }
