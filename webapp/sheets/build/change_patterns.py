"""Adding a pattern of wheel to a build, changing it, taking it out, and a spare that is of another one."""

from __future__ import annotations

from sqlalchemy import update
from sqlmodel import col, delete

from webapp.models import Axle, Casting, PatternRow
from webapp.records.change import Change, change_build
from webapp.records.journal import write_line
from webapp.records.outcome import NotThere, Refused, Unconfirmed
from webapp.records.views import SIDES, PatternView
from webapp.sheets.build.change import (
    add_axle,
    add_casting,
    add_pattern,
    refuse_taken,
    remove_axle,
    store_figures,
)
from webapp.sheets.build.form_patterns import PatternDraft
from webapp.sheets.build.view_patterns import effect_of, kept_figures, left_by, taken_over, why_it_stays


@change_build("pattern")
def start_pattern(it: Change, draft: PatternDraft, confirmed: bool) -> int:
    """A new pattern, with its axles and the castings that came for it; the build's id."""
    effect = effect_of(it.build, None, draft)
    if effect.refused:
        raise Refused(effect.refused, "axles")
    if effect.affected and not confirmed:
        raise Unconfirmed("This touches work already logged:", effect.affected)
    refuse_taken(it.build, draft.marks)
    own = add_pattern(it.session, it.build.id, draft.name, draft.kind, draft.figures)
    axles = _give_axles(it, None, own, draft)
    places = [(axle, side, own) for axle in axles for side in SIDES]
    for index, mark in enumerate(draft.marks):
        place = places[index] if index < len(places) else (None, None, own)
        add_casting(it.session, it.build.id, mark, place)
    it.tell(
        "change",
        f"{draft.name} added: axles {', '.join(map(str, draft.axles))}, castings {', '.join(draft.marks)}.",
    )
    return it.build.id


@change_build("pattern {}")
def redraw_pattern(it: Change, pattern_id: int, draft: PatternDraft, confirmed: bool) -> None:
    """Change a pattern's figures or axles; what that does to logged work is told first."""
    own = _find(it, pattern_id)
    effect = effect_of(it.build, own, draft)
    if effect.refused:
        raise Refused(effect.refused)
    if effect.affected and not confirmed:
        raise Unconfirmed("This change touches work already logged:", effect.affected)
    if not effect.changed:
        return
    named = update(PatternRow).where(col(PatternRow.id) == own.id)
    it.session.connection().execute(named.values(name=draft.name, kind=draft.kind.value))
    store_figures(it.session, it.build.id, own.id, kept_figures(own, draft))
    _give_axles(it, own, own.id, draft)
    it.tell("change", f"Changed {own.name}: {'; '.join(effect.changed)}.")


def _find(it: Change, pattern_id: int) -> PatternView:
    found = next((one for one in it.build.patterns if one.id == pattern_id), None)
    if found is None:
        raise NotThere("pattern of wheel")
    return found


def _give_axles(it: Change, own: PatternView | None, own_id: int, draft: PatternDraft) -> list[int]:
    """The axles that the form names become of this pattern; wheels on them go to the spares. The axles' ids, in order."""
    for axle in left_by(it.build, own, draft):
        remove_axle(it.session, it.build, axle, it.actor)
    for axle in taken_over(it.build, own, draft):
        for wheel in axle.wheels:
            spare = update(Casting).where(col(Casting.id) == wheel.id)
            it.session.connection().execute(spare.values(state="spare", axle_id=None, side=None))
            words = f"{wheel.mark} went to the spares, as axle {axle.number} is to have {draft.name}."
            write_line(it.session, it.actor, "spare", words, build_id=it.build.id, casting_id=wheel.id)
        given = update(Axle).where(col(Axle.id) == axle.id).values(pattern_id=own_id)
        it.session.connection().execute(given)
        words = f"Axle {axle.number} is to have {draft.name}."
        write_line(it.session, it.actor, "change", words, build_id=it.build.id, axle_id=axle.id)
    there = {axle.number: axle.id for axle in it.build.axles}
    return [
        there[number] if number in there else add_axle(it.session, it.build.id, own_id, number)
        for number in draft.axles
    ]


@change_build("pattern out {}")
def take_out_pattern(it: Change, pattern_id: int) -> None:
    """Take a pattern out that no casting is of, with its empty axles."""
    own = _find(it, pattern_id)
    why = why_it_stays(it.build, own)
    if why:
        raise Refused(why)
    for axle in it.build.of(own).axles:
        remove_axle(it.session, it.build, axle, it.actor)
    it.session.exec(delete(PatternRow).where(col(PatternRow.id) == own.id))
    it.tell("change", f"{own.name} taken out of the build.")
