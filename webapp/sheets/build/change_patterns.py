"""Adding a pattern of wheel to a build, changing it, taking it out, and a spare that is of another one."""

from __future__ import annotations

from collections.abc import Collection

from sqlalchemy import update
from sqlmodel import col, delete

from webapp.models import Axle, PatternRow
from webapp.records.change import Change, change_build
from webapp.records.journal import write_line
from webapp.records.outcome import NotThere, Refused
from webapp.records.views import SIDES, PatternView
from webapp.sheets.build.change import (
    add_axle,
    add_pattern,
    change_pattern,
    empty_axle,
    expect_agreed,
    expect_meant,
    fill_places,
    refuse_taken,
    remove_axle,
)
from webapp.sheets.build.form_patterns import PatternDraft
from webapp.sheets.build.view_patterns import (
    as_drafted,
    effect_of,
    gone_words,
    left_by,
    pattern_doubts,
    taken_over,
    why_it_stays,
)


@change_build("pattern")
def start_pattern(it: Change, draft: PatternDraft, confirmed: bool, meant: Collection[int] = ()) -> int:
    """A new pattern, with its axles and the castings that came for it; the build's id."""
    effect = effect_of(it.build, None, draft)
    if not effect.refused:
        expect_meant(pattern_doubts(it.build, None, draft), draft.figures, meant)
    expect_agreed(effect, confirmed, "This touches work already logged:", "axles")
    refuse_taken(it.build, draft.marks)
    own = add_pattern(it.session, it.build.id, draft.name, draft.kind, draft.figures)
    axles = _give_axles(it, None, own, draft)
    places = [(axle, side, own) for axle in axles for side in SIDES]
    fill_places(it.session, it.build.id, draft.marks, places, own)
    it.tell(
        "change",
        f"{draft.name} added: axles {', '.join(map(str, draft.axles))}, castings {', '.join(draft.marks)}.",
    )
    return it.build.id


@change_build("pattern {}")
def redraw_pattern(
    it: Change, pattern_id: int, draft: PatternDraft, confirmed: bool, meant: Collection[int] = ()
) -> None:
    """Change a pattern's figures or axles; what that does to logged work is told first."""
    own = _find(it, pattern_id)
    effect = effect_of(it.build, own, draft)
    if not effect.refused:
        expect_meant(pattern_doubts(it.build, own, draft), draft.figures, meant)
    expect_agreed(effect, confirmed, "This change touches work already logged:")
    if not effect.changed:
        return
    change_pattern(it.session, it.build.id, as_drafted(own, draft))
    _give_axles(it, own, own.id, draft)
    it.tell("change", f"Changed {own.name}: {'; '.join(effect.changed)}.")


def _find(it: Change, pattern_id: int) -> PatternView:
    found = it.build.find_pattern(pattern_id)
    if found is None:
        raise NotThere("pattern of wheel")
    return found


def _give_axles(it: Change, own: PatternView | None, own_id: int, draft: PatternDraft) -> list[int]:
    """The axles that the form names become of this pattern; wheels on them go to the spares. The axles' ids, in order."""
    for axle in left_by(it.build, own, draft):
        remove_axle(it.session, it.build, axle, it.actor)
    for axle in taken_over(it.build, own, draft):
        empty_axle(it.session, it.build, axle, it.actor, f"is to have {draft.name}", stays=True)
        given = update(Axle).where(col(Axle.id) == axle.id).values(pattern_id=own_id)
        it.session.connection().execute(given)
        words = f"Axle {axle.number} is to have {draft.name}{gone_words(axle)}."
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
