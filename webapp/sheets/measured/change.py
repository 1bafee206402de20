"""Striking out what was misread: it stays on record and counts for nothing, and all is judged without it."""

from __future__ import annotations

from collections.abc import Iterable

from webapp.records.change import AxleChange, CastingChange, Change, change_axle, change_casting
from webapp.records.measured import Stored, everything_of, strike_out
from webapp.records.outcome import NotThere
from webapp.sheets.measured.view import every_line


@change_casting("strike {}", scrapped=True)
def strike_of_casting(it: CastingChange, own: int, why: str) -> None:
    """Strike out a measurement of a casting."""
    _strike(it, everything_of(it.session, casting_id=it.casting.id), own, why, it.casting.mark)


@change_axle("strike {}")
def strike_of_axle(it: AxleChange, own: int, why: str) -> None:
    """Strike out a measurement of an axle."""
    _strike(it, everything_of(it.session, axle_id=it.axle.id), own, why, f"Axle {it.axle.number}")


def _strike(it: Change, stored: Iterable[Stored], own: int, why: str, whose: str) -> None:
    line = next((one for one in every_line(it.build, stored) if one.id == own), None)
    if line is None:
        raise NotThere("measurement")
    if line.struck_why:
        return
    strike_out(it.session, own, why, it.actor.who)
    size = f" ({line.size})" if line.size else ""
    name = f"{line.name[:1].lower()}{line.name[1:]}"
    it.tell("strike", f"{whose}: struck out the {name} of {line.typed}{size}: {why}")
