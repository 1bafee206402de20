"""Changing the workshop's own lists. They are of no one build, so they write no line in a build's journal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sqlmodel import Session, select

from domain.lengths import show
from webapp.db import Db
from webapp.facts.jigs import bores_of
from webapp.models import Chuck, DrillRow, InstrumentRow, JigRow, Machine, ReamerRow
from webapp.records.builds import every_build
from webapp.records.change import Asked, change_workshop
from webapp.records.outcome import NotThere, OutOfDate, Refused
from webapp.sheets.workshop.form import InstrumentDraft, JigDraft, is_starting_note
from webapp.sheets.workshop.form_machines import ChuckDraft, MachineDraft, speeds_text

Draft = InstrumentDraft | MachineDraft | ChuckDraft | JigDraft
# What is described by a form of its own, which may be out of date.
Described = InstrumentRow | Machine | Chuck | JigRow
Listed = Described | ReamerRow | DrillRow
TABLES: dict[str, type[Listed]] = {
    "instrument": InstrumentRow,
    "machine": Machine,
    "chuck": Chuck,
    "reamer": ReamerRow,
    "drill": DrillRow,
    "jig": JigRow,
}


@change_workshop("starters")
def put_starters(session: Session, drafts: Sequence[Draft]) -> int:
    """Put these on their lists, but none whose name is there; returns how many were put."""
    fresh = [one for one in drafts if _called(session, one.what, one.name) is None]
    session.add_all([TABLES[one.what](**_columns(one)) for one in fresh])
    return len(fresh)


@change_workshop("{0.what}")
def add_thing(session: Session, draft: Draft) -> None:
    """Put one instrument, machine or chuck on its list."""
    _refuse_taken(session, draft, None)
    _refuse_plug(session, draft)
    session.add(TABLES[draft.what](**_columns(draft)))


@change_workshop("change of {1.what} {0}")
def change_thing(session: Session, row_id: int, draft: Draft, seen: int) -> None:
    """Change the figures of an instrument, a machine or a chuck."""
    row = _find(session, draft.what, row_id)
    _check_seen(row, seen)
    _refuse_taken(session, draft, row_id)
    _refuse_plug(session, draft)
    _set(row, **_columns(_still_starting(row, draft)))


def put_thing(db: Db, asked: Asked, draft: Draft, row_id: int | None) -> int:
    """Put a thing on its list, or change the one that is there."""
    if row_id is None:
        return add_thing(db, asked.sent, draft)
    return change_thing(db, asked.sent, row_id, draft, asked.seen or 0)


def _still_starting(row: Listed, draft: Draft) -> Draft:
    """Until its U is replaced, a starter stays marked as nobody's certificate."""
    if (
        not isinstance(row, InstrumentRow)
        or not isinstance(draft, InstrumentDraft)
        or draft.instrument.note
        or not is_starting_note(row.note)
        or draft.instrument.expanded_nm != row.expanded_nm
    ):
        return draft
    return InstrumentDraft(replace(draft.instrument, note=row.note), draft.checked_on)


@change_workshop("retiring of {} {}")
def retire(session: Session, what: str, row_id: int, retired: bool, seen: int) -> None:
    """Take something out of use, or back into it; what was measured with it or cut by it keeps its name."""
    row = _find(session, what, row_id)
    if row.retired != retired:
        _check_seen(row, seen)
        _set(row, retired=retired)


def _find(session: Session, what: str, row_id: int) -> Listed:
    row = session.get(TABLES[what], row_id)
    if not isinstance(row, Listed):
        raise NotThere(what)
    return row


def _check_seen(row: Listed, seen: int) -> None:
    if isinstance(row, Described) and row.version != seen:
        raise OutOfDate("", "", None)


def _set(row: Listed, **values: object) -> None:
    if isinstance(row, Described):
        values["version"] = row.version + 1
    row.sqlmodel_update(values)


def _columns(draft: Draft) -> dict[str, Any]:
    if isinstance(draft, InstrumentDraft):
        one = draft.instrument
        return {
            "name": one.name,
            "kind": one.kind.value,
            "reach": one.reach.value,
            "resolution_nm": one.resolution_nm,
            "expanded_nm": one.expanded_nm,
            "zero_offset_nm": one.zero_offset_nm,
            "go_nm": one.go_nm,
            "not_go_nm": one.not_go_nm,
            "alpha_ppb": round(one.alpha_per_k * 1e9),
            "note": one.note,
            "checked_on": draft.checked_on,
        }
    if isinstance(draft, JigDraft):
        jig = draft.jig
        return {
            "name": jig.name,
            "throw_nm": jig.throw_nm,
            "plug_nm": jig.plug_nm,
            "bush_nm": jig.bush_nm,
            "checked_on": draft.checked_on,
        }
    if isinstance(draft, ChuckDraft):
        chuck = draft.chuck
        return {
            "name": draft.name,
            "body_nm": chuck.body_nm,
            "depth_nm": chuck.depth_nm,
            "jaw_length_nm": chuck.jaw_length_nm,
            "normal_outside_nm": chuck.normal.outside_nm,
            "normal_inside_nm": chuck.normal.inside_nm,
            "reversed_outside_nm": chuck.reversed.outside_nm,
            "reversed_inside_nm": chuck.reversed.inside_nm,
            "screw_nm": draft.screw_nm,
        }
    tool, lathe = draft.tool, draft.lathe
    return {
        "name": tool.name,
        "kind": tool.kind.value,
        "speeds": speeds_text(tool.speeds),
        "motor_w": None if tool.motor_w is None else round(tool.motor_w),
        "least_feed_nm": tool.least_feed_nm or None,
        "centre_height_nm": None if lathe is None else lathe.centre_height_nm,
        "gap_radius_nm": None if lathe is None else lathe.gap_radius_nm,
        "gap_width_nm": None if lathe is None else lathe.gap_width_nm,
    }


def _called(session: Session, what: str, name: str, but: int | None = None) -> Listed | None:
    rows: Sequence[Listed] = session.exec(select(TABLES[what])).all()  # type: ignore[assignment]
    return next((row for row in rows if row.id != but and row.name.casefold() == name.casefold()), None)


def _refuse_taken(session: Session, draft: Draft, own: int | None) -> None:
    row = _called(session, draft.what, draft.name, own)
    if row is not None:
        one, hint = ("An" if draft.what == "instrument" else "A"), "give this one"
        if row.retired:
            one, hint = "A retired", f"take it back into use, or {hint}"
        name = f"{draft.name[:30]} 2"
        raise Refused(
            f"{one} {draft.what} is called {row.name}: {hint} another name, such as {name}.", "name"
        )


def _refuse_plug(session: Session, draft: Draft) -> None:
    """A jig's plug goes in the bore of some wheel with a crank; with no build there is nothing to hold it against."""
    if not isinstance(draft, JigDraft):
        return
    bores = [nm for build in every_build(session) for seen in build.each_pattern for nm in bores_of(seen)]
    if bores and draft.jig.plug_nm > max(bores):
        unit = every_build(session)[0].unit
        raise Refused(
            f"That plug goes in no wheel: the largest bore of any build is {show(max(bores), unit)}. Check the figure and"
            " its unit.",
            "plug",
        )
