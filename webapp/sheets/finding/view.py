"""What was found, by where it was found; each with the sheet that tells it."""

from __future__ import annotations

from dataclasses import dataclass

from sqlmodel import Session

from webapp.facts.measured_names import measured_name
from webapp.records.finding import SOURCES, FoundRow, Source, find
from webapp.records.paged import MOST, Paged

# So many of each place at first: a screen has them all.
_FEW = 5


@dataclass(frozen=True, slots=True)
class Hit:
    """A thing that was found: whose it is, what it says, and where it is told."""

    subject: str
    words: str
    found: FoundRow
    address: str


@dataclass(frozen=True, slots=True)
class FoundGroup:
    """What was found in one place; more than is shown where it is cut short."""

    source: Source
    page: Paged[Hit]


def found(session: Session, asked: str, place: str, before: int | None) -> tuple[FoundGroup, ...]:
    """The places where the text was found, a few of each; of the one that is asked for alone a page of it."""
    wanted = [one for one in SOURCES if one.key == place] or SOURCES
    alone = len(wanted) == 1
    groups = []
    for source in wanted:
        page = find(session, source, asked, MOST if alone else _FEW, before if alone else None)
        if page.lines or page.newer:
            groups.append(FoundGroup(source, page.told([_hit(source, one) for one in page.lines])))
    return tuple(groups)


def _hit(source: Source, one: FoundRow) -> Hit:
    words = one.words
    if one.kind:
        name = measured_name(one.kind, one.side, rough=one.rough)
        state = ", struck out" if one.struck_out else ", corrected since" if one.superseded else ""
        words = f"{name}: {one.words}{state}"
    return Hit(_subject(one), words, one, _address(source, one))


def _subject(one: FoundRow) -> str:
    thing = one.mark or (f"Axle {one.axle}" if one.axle else "")
    return f"{thing}, {one.build}" if thing else one.build


def _address(source: Source, one: FoundRow) -> str:
    if not one.mark and not one.axle:
        return f"/builds/{one.build_id}"
    home = f"/castings/{one.casting_id}" if one.mark else f"/axles/{one.axle_id}"
    # Just that measurement is the first of its page then.
    at = f"?before={one.row_id + 1}#line-{one.row_id}" if one.row_id else ""
    return f"{home}{source.sheet}{at}"
