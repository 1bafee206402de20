"""Starting a build and changing it."""

from __future__ import annotations

from typing import Any

from sqlalchemy import update
from sqlmodel import Session, col, delete

from webapp.models import Axle, Build, Casting, DimensionRow
from webapp.records.change import Change, change_build, change_workshop
from webapp.records.journal import now, write_line
from webapp.records.outcome import Actor, Refused, Unconfirmed
from webapp.records.views import SIDES, AxleView, BuildView
from webapp.sheets.build.form import Draft
from webapp.sheets.build.view_changes import affected_by


@change_workshop("build")
def start_build(session: Session, draft: Draft, actor: Actor, *, invented: bool = False) -> int:
    """Store a new build with its axles and castings; the castings fill the places, the rest are spares."""
    build = Build(created_at=now(), invented=invented, version=0, **_row(draft))
    session.add(build)
    session.flush()
    assert build.id is not None  # the flush gave it one
    _store_dimensions(session, build.id, draft)
    places = _add_axles(session, build.id, draft.coupled, first=1)
    _add_castings(session, build.id, draft, places)
    words = f"Started the build {draft.name}: {len(draft.coupled)} axles, {len(draft.marks)} castings."
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


def _store_dimensions(session: Session, build_id: int, draft: Draft) -> None:
    session.exec(delete(DimensionRow).where(col(DimensionRow.build_id) == build_id))
    for key, length in draft.dimensions.items():
        session.add(DimensionRow(build_id=build_id, key=key, nm=length.nm, text=length.text))


def _add_axles(
    session: Session, build_id: int, coupled: tuple[bool, ...], first: int
) -> list[tuple[int, str]]:
    places = []
    for number, is_coupled in enumerate(coupled, start=first):
        axle = Axle(build_id=build_id, number=number, coupled=is_coupled)
        session.add(axle)
        session.flush()
        assert axle.id is not None  # the flush gave it one
        places += [(axle.id, side) for side in SIDES]
    return places


def _add_castings(session: Session, build_id: int, draft: Draft, places: list[tuple[int, str]]) -> None:
    for index, mark in enumerate(draft.marks):
        axle_id, side = places[index] if index < len(places) else (None, None)
        state = "spare" if axle_id is None else "in_work"
        session.add(Casting(build_id=build_id, mark=mark, state=state, axle_id=axle_id, side=side))


@change_build("drawing")
def redraw(it: Change, draft: Draft, confirmed: bool) -> None:
    """Change a build's figures; what that does to logged work is told first, and then wants to be confirmed."""
    effect = affected_by(it.build, draft)
    if effect.refused:
        raise Refused(effect.refused)
    if effect.affected and not confirmed:
        raise Unconfirmed("This change touches work already logged:", effect.affected)
    if not effect.changed:
        return
    changed = update(Build).where(col(Build.id) == it.build.id).values(**_row(draft))
    it.session.connection().execute(changed)
    _store_dimensions(it.session, it.build.id, draft)
    _change_axles(it.session, it.build, draft, it.actor)
    it.tell("change", "Changed the build: " + "; ".join(effect.changed) + ".")


def _change_axles(session: Session, build: BuildView, draft: Draft, actor: Actor) -> None:
    for axle in build.axles:
        if axle.number > len(draft.coupled):
            _remove_axle(session, build, axle, actor)
        elif draft.coupled[axle.number - 1] != axle.coupled:
            coupled = draft.coupled[axle.number - 1]
            session.connection().execute(update(Axle).where(col(Axle.id) == axle.id).values(coupled=coupled))
            words = f"Axle {axle.number} is now {'coupled' if coupled else 'carrying'}."
            write_line(session, actor, "change", words, build_id=build.id, axle_id=axle.id)
    first = len(build.axles) + 1
    _add_axles(session, build.id, draft.coupled[first - 1 :], first)


def _remove_axle(session: Session, build: BuildView, axle: AxleView, actor: Actor) -> None:
    for wheel in axle.wheels:
        session.connection().execute(
            update(Casting).where(col(Casting.id) == wheel.id).values(state="spare", axle_id=None, side=None)
        )
        words = f"{wheel.mark} went to the spares, as axle {axle.number} was taken out of the build."
        write_line(session, actor, "spare", words, build_id=build.id, casting_id=wheel.id)
    session.exec(delete(Axle).where(col(Axle.id) == axle.id))


@change_build("castings")
def add_castings(it: Change, marks: tuple[str, ...]) -> None:
    """Write down castings that have come since, as spares."""
    taken = {c.mark.casefold() for c in it.build.castings}
    twice = [mark for mark in marks if mark.casefold() in taken]
    if twice:
        raise Refused(f"The mark {twice[0]} is taken in this build: give the new casting another.", "marks")
    own = it.build.id
    for mark in marks:
        row = Casting(build_id=own, mark=mark, state="spare", version=0)
        it.session.add(row)
        it.session.flush()
        words = f"{mark} bought, a spare."
        write_line(it.session, it.actor, "add", words, build_id=own, casting_id=row.id)
    it.tell("add", f"{', '.join(marks)} bought, for the spares.")
