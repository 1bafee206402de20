"""Starting a build and changing it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from sqlalchemy import update
from sqlmodel import Session, col, delete

from domain import drawing
from domain.drawing import WheelKind
from domain.lengths import Length
from domain.treads.wheel_standard import preset
from webapp.models import Axle, Build, Casting, DimensionRow, PatternRow
from webapp.records.change import Change, change_build, change_workshop
from webapp.records.journal import now, write_line
from webapp.records.outcome import Actor, Doubted, Refused, SizeDoubt, Unconfirmed
from webapp.records.views import SIDES, AxleView, BuildView, PatternView
from webapp.sheets.build.form import Draft
from webapp.sheets.build.view_changes import (
    NEW,
    Effect,
    affected_by,
    counted,
    drawing_doubts,
    patterns_of,
    started_doubts,
    with_draft,
)

# What a new build may have, as its axles are: coupled or not.
_STARTED = ((WheelKind.DRIVING, True), (WheelKind.CARRYING, False))


@change_workshop("build")
def start_build(
    session: Session,
    draft: Draft,
    actor: Actor,
    *,
    invented: bool = False,
    meant: Collection[int] = (),
) -> int:
    """Store a new build with its axles and castings; the castings fill the places, the rest are spares."""
    expect_meant(started_doubts(draft), draft.dimensions, meant)
    build = Build(created_at=now(), invented=invented, version=0, **_row(draft))
    session.add(build)
    session.flush()
    assert build.id is not None  # the flush gave it one
    store_figures(session, build.id, None, draft.dimensions)
    kinds = [kind for kind, coupled in _STARTED if coupled in draft.coupled]
    patterns = {
        kind.cranked: add_pattern(session, build.id, kind.usual_name, kind, draft.own(kind, len(kinds)))
        for kind in kinds
    }
    places = [
        (axle_id, side, patterns[coupled])
        for number, coupled in enumerate(draft.coupled, start=1)
        for axle_id in [add_axle(session, build.id, patterns[coupled], number)]
        for side in SIDES
    ]
    fill_places(session, build.id, draft.marks, places, next(iter(patterns.values())))
    words = f"Started the build {draft.name}: {counted(len(draft.coupled), 'axle')}, {counted(len(draft.marks), 'casting')}."
    if draft.chosen_after:
        words += f" What was proposed, and left so, is now by {preset(draft.standard).name}."
    write_line(session, actor, "start", words, build_id=build.id)
    return build.id


def _row(draft: Draft) -> dict[str, Any]:
    return {
        "name": draft.name,
        "standard": draft.standard,
        "unit": draft.unit.value,
        "quarter_angle_udeg": draft.quarter_angle_udeg,
        "lead": draft.lead,
        "fit": draft.fit,
        "route": draft.route.value,
        "paint_first": draft.paint_first,
        "iron": draft.iron,
    }


def add_pattern(
    session: Session, build_id: int, name: str, kind: WheelKind, figures: Mapping[str, Length]
) -> int:
    """A new pattern with its figures; its id."""
    row = PatternRow(build_id=build_id, name=name, kind=kind.value)
    session.add(row)
    session.flush()
    assert row.id is not None  # the flush gave it one
    store_figures(session, build_id, row.id, figures)
    return row.id


def change_pattern(session: Session, build_id: int, pattern: PatternView) -> None:
    """A pattern becomes as it is here."""
    row = update(PatternRow).where(col(PatternRow.id) == pattern.id)
    session.connection().execute(row.values(name=pattern.name, kind=pattern.kind.value))
    store_figures(session, build_id, pattern.id, pattern.figures)


def store_figures(
    session: Session, build_id: int, pattern_id: int | None, figures: Mapping[str, Length]
) -> None:
    """The figures of a pattern, or of none, those of the track: written anew in the order of their keys."""
    mine = col(DimensionRow.build_id) == build_id, col(DimensionRow.pattern_id) == pattern_id
    session.exec(delete(DimensionRow).where(*mine))
    for key in sorted(figures):
        if (key in drawing.TRACK_KEYS) is (pattern_id is None):
            length = figures[key]
            row = DimensionRow(
                build_id=build_id, pattern_id=pattern_id, key=key, nm=length.nm, text=length.text
            )
            session.add(row)


def add_axle(session: Session, build_id: int, pattern_id: int, number: int) -> int:
    """A new axle; its id."""
    axle = Axle(build_id=build_id, pattern_id=pattern_id, number=number)
    session.add(axle)
    session.flush()
    assert axle.id is not None  # the flush gave it one
    return axle.id


def add_casting(
    session: Session, build_id: int, mark: str, place: tuple[int | None, str | None, int], version: int = 1
) -> Casting:
    """A new casting at an axle's side, or among the spares of a pattern."""
    axle_id, side, pattern_id = place
    state = "spare" if axle_id is None else "in_work"
    row = Casting(
        build_id=build_id,
        pattern_id=pattern_id,
        mark=mark,
        state=state,
        axle_id=axle_id,
        side=side,
        version=version,
    )
    session.add(row)
    return row


def fill_places(
    session: Session,
    build_id: int,
    marks: Iterable[str],
    places: Iterable[tuple[int, str, int]],
    spares_of: int,
) -> None:
    """New castings in these places, one after the other; those left over are spares of a pattern."""
    free = iter(places)
    for mark in marks:
        add_casting(session, build_id, mark, next(free, (None, None, spares_of)))


def expect_agreed(effect: Effect, confirmed: bool, words: str, field: str = "") -> None:
    """Raise what stands in the way of a change: that it cannot be, or that it touches work and was not agreed to."""
    if effect.refused:
        raise Refused(effect.refused, field)
    if effect.affected and not confirmed:
        raise Unconfirmed(words, effect.affected)


def expect_meant(doubts: Mapping[str, str], figures: Mapping[str, Length], meant: Collection[int]) -> None:
    """Ask, beside its field, about each figure of a drawing that is doubted; one that is meant is stored."""
    asked = {
        key: SizeDoubt(words, f"“{figures[key].text}”", (figures[key].nm,))
        for key, words in doubts.items()
        if key in figures and figures[key].nm not in meant
    }
    if asked:
        raise Doubted(asked)


@change_build("drawing")
def redraw(it: Change, draft: Draft, confirmed: bool, meant: Collection[int] = ()) -> None:
    """Change a build's figures; what that does to logged work is told first, and then wants to be confirmed."""
    effect = affected_by(it.build, draft)
    if not effect.refused:
        expect_meant(drawing_doubts(it.build, with_draft(it.build, draft)), draft.dimensions, meant)
    expect_agreed(effect, confirmed, "This change touches work already logged:")
    if not effect.changed:
        return
    changed = update(Build).where(col(Build.id) == it.build.id).values(**_row(draft))
    it.session.connection().execute(changed)
    store_figures(it.session, it.build.id, None, draft.dimensions)
    if draft.coupled:
        _change_axles(it.session, it.build, draft, it.actor)
    it.tell("change", "Changed the build: " + "; ".join(effect.changed) + ".")


def _change_axles(session: Session, build: BuildView, draft: Draft, actor: Actor) -> None:
    """Of a build of one pattern: its figures, its axles, and a second pattern where only some are coupled now."""
    patterns = {}
    for one in patterns_of(build, draft):
        if one.id == NEW:
            patterns[one.cranked] = add_pattern(session, build.id, one.name, one.kind, one.figures)
        else:
            change_pattern(session, build.id, one)
            patterns[one.cranked] = one.id
    for axle in build.axles:
        if axle.number > len(draft.coupled):
            remove_axle(session, build, axle, actor)
            continue
        coupled = draft.coupled[axle.number - 1]
        give_pattern(session, axle, patterns[coupled])
        if coupled != axle.coupled:
            words = f"Axle {axle.number} is now {'coupled' if coupled else 'carrying'}."
            write_line(session, actor, "change", words, build_id=build.id, axle_id=axle.id)
    for number in range(len(build.axles) + 1, len(draft.coupled) + 1):
        add_axle(session, build.id, patterns[draft.coupled[number - 1]], number)


def give_pattern(session: Session, axle: AxleView, pattern_id: int) -> None:
    """An axle and the wheels on it become of another pattern."""
    if axle.pattern_id == pattern_id:
        return
    connection = session.connection()
    connection.execute(update(Axle).where(col(Axle.id) == axle.id).values(pattern_id=pattern_id))
    on = col(Casting.axle_id) == axle.id
    connection.execute(update(Casting).where(on).values(pattern_id=pattern_id))


def remove_axle(session: Session, build: BuildView, axle: AxleView, actor: Actor) -> None:
    """Take an axle out of the build; its wheels go to the spares."""
    empty_axle(session, build, axle, actor, "was taken out of the build")
    session.exec(delete(Axle).where(col(Axle.id) == axle.id))


def empty_axle(
    session: Session, build: BuildView, axle: AxleView, actor: Actor, why: str, *, stays: bool = False
) -> None:
    """The wheels of an axle go to the spares; where the axle `stays`, it knows them again (`stood_at`)."""
    for wheel in axle.wheels:
        spare = update(Casting).where(col(Casting.id) == wheel.id)
        session.connection().execute(spare.values(state="spare", axle_id=None, side=None))
        words = f"{wheel.mark} went to the spares, as axle {axle.number} {why}."
        own = axle.id if stays else None
        write_line(session, actor, "spare", words, build_id=build.id, casting_id=wheel.id, axle_id=own)


@change_build("castings")
def add_castings(it: Change, marks: tuple[str, ...], pattern_id: int) -> None:
    """Write down castings that have come since, as spares of a pattern."""
    refuse_taken(it.build, marks)
    own = it.build.id
    for mark in marks:
        row = add_casting(it.session, own, mark, (None, None, pattern_id), version=0)
        it.session.flush()
        words = f"{mark} bought, a spare."
        write_line(it.session, it.actor, "add", words, build_id=own, casting_id=row.id)
    it.tell("add", f"{', '.join(marks)} bought, for the spares.")


def refuse_taken(build: BuildView, marks: tuple[str, ...]) -> None:
    """Refuse a mark that a casting of the build has."""
    taken = {c.mark.casefold() for c in build.whole.castings}
    twice = [mark for mark in marks if mark.casefold() in taken]
    if twice:
        raise Refused(f"The mark {twice[0]} is taken in this build: give the new casting another.", "marks")
