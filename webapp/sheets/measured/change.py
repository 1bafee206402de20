"""Striking out what was misread: it stays on record and counts for nothing, and all is judged without it."""

from __future__ import annotations

from webapp.records.change import AxleChange, CastingChange, Change, change_axle, change_casting
from webapp.records.measured import Whose, one_of, strike_out
from webapp.records.outcome import NotThere
from webapp.sheets.measured.view import line_of


@change_casting("strike {}", scrapped=True)
def strike_of_casting(it: CastingChange, own: int, why: str) -> None:
    """Strike out a measurement of a casting."""
    _strike(it, Whose(casting_id=it.casting.id), own, why, it.casting.mark)


@change_axle("strike {}")
def strike_of_axle(it: AxleChange, own: int, why: str) -> None:
    """Strike out a measurement of an axle."""
    _strike(it, Whose(axle_id=it.axle.id), own, why, f"Axle {it.axle.number}")


def _strike(it: Change, whose: Whose, own: int, why: str, name_of: str) -> None:
    stored = one_of(it.session, whose, own)
    if stored is None:
        raise NotThere("measurement")
    line = line_of(it.build, stored)
    if line.struck_why:
        return
    strike_out(it.session, own, why, it.actor.who)
    size = f" ({line.size})" if line.size else ""
    name = f"{line.name[:1].lower()}{line.name[1:]}"
    it.tell("strike", f"{name_of}: struck out the {name} of {line.typed}{size}: {why}")
