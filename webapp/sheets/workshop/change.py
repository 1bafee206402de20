"""Changing the workshop's own lists. They are of no one build, so they write no line in a build's journal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import update
from sqlmodel import Session, col, select

from domain.measuring.instruments import Instrument
from webapp.db import Db
from webapp.models import DrillRow, InstrumentRow, Measurement, ReamerRow
from webapp.records.change import change_workshop
from webapp.records.outcome import NotThere, OutOfDate, Refused
from webapp.sheets.workshop.form import InstrumentDraft, ToolDraft, is_starting_note

ToolRow = ReamerRow | DrillRow
_TOOLS: dict[str, type[ReamerRow] | type[DrillRow]] = {"reamer": ReamerRow, "drill": DrillRow}


def add_starters(db: Db, found: tuple[Instrument, ...]) -> int:
    """Put the usual instruments on the list, but none whose name is there; returns how many were put."""
    with db.write() as session:
        taken = {row.name.casefold() for row in session.exec(select(InstrumentRow)).all()}
        fresh = [one for one in found if one.name.casefold() not in taken]
        session.add_all([InstrumentRow(**_row(InstrumentDraft(one, ""))) for one in fresh])
        return len(fresh)


@change_workshop("instrument")
def add_instrument(session: Session, draft: InstrumentDraft) -> None:
    """Put one instrument on the list."""
    _refuse_taken(session, draft.instrument.name, None)
    session.add(InstrumentRow(**_row(draft)))


@change_workshop("change of instrument {}")
def change_instrument(session: Session, instrument_id: int, draft: InstrumentDraft, seen: int) -> None:
    """Change an instrument's figures."""
    row = _find(session, instrument_id)
    if row.version != seen:
        raise OutOfDate("", "", None)
    _refuse_taken(session, draft.instrument.name, instrument_id)
    if not draft.instrument.note and is_starting_note(row.note):
        draft = _still_starting(row, draft)
    _set(session, row, **_row(draft))


def _still_starting(row: InstrumentRow, draft: InstrumentDraft) -> InstrumentDraft:
    """Until its U is replaced, a starter stays marked as nobody's certificate."""
    if draft.instrument.expanded_nm != row.expanded_nm:
        return draft
    return InstrumentDraft(replace(draft.instrument, note=row.note), draft.checked_on)


def retire_instrument(db: Db, instrument_id: int, retired: bool, seen: int) -> None:
    """Take an instrument out of use, or back into it; what was measured with it keeps its name."""
    with db.write() as session:
        row = _find(session, instrument_id)
        if row.retired == retired:
            return
        if row.version != seen:
            raise OutOfDate("", "", None)
        _set(session, row, retired=retired)


def _find(session: Session, instrument_id: int) -> InstrumentRow:
    row = session.get(InstrumentRow, instrument_id)
    if row is None:
        raise NotThere
    return row


def _set(session: Session, row: InstrumentRow, **values: object) -> None:
    changed = update(InstrumentRow).where(col(InstrumentRow.id) == row.id)
    session.connection().execute(changed.values(version=row.version + 1, **values))


def _row(draft: InstrumentDraft) -> dict[str, Any]:
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


def _refuse_taken(session: Session, name: str, own: int | None) -> None:
    for row in session.exec(select(InstrumentRow)).all():
        if row.id != own and row.name.casefold() == name.casefold():
            hint = "take it back into use, or give this one" if row.retired else "give this one"
            kind = "A retired instrument" if row.retired else "An instrument"
            raise Refused(f"{kind} is called {row.name}: {hint} another name, such as {name[:30]} 2.", "name")


@change_workshop("{}")
def add_tools(session: Session, what: str, drafts: tuple[ToolDraft, ...]) -> None:
    """Put reamers or drills on the list; a retired one of the same name comes back into use."""
    table = _TOOLS[what]
    listed: Sequence[ToolRow] = session.exec(select(table)).all()  # type: ignore[assignment]
    rows = {row.name.casefold(): row for row in listed}
    for draft in drafts:
        before = rows.get(draft.name.casefold())
        if before is None:
            session.add(table(name=draft.name, nominal_nm=draft.size.nm, text=draft.size.text))
        else:
            _bring_back(session, what, before, draft)


def _bring_back(session: Session, what: str, row: ToolRow, draft: ToolDraft) -> None:
    if not row.retired:
        raise Refused(f"A {what} called {row.name} is on the list already.", "size")
    if row.nominal_nm != draft.size.nm and _has_cut(session, row):
        raise Refused(
            f"A retired {what} of another size is called {row.name}, and bores are logged as cut by it: "
            "give this one another name.",
            "size",
        )
    row.name, row.nominal_nm, row.text, row.retired = draft.name, draft.size.nm, draft.size.text, False
    session.add(row)


def _has_cut(session: Session, row: ToolRow) -> bool:
    logged = select(Measurement.id).where(col(Measurement.reamer_id) == row.id)
    return isinstance(row, ReamerRow) and session.exec(logged).first() is not None


def retire_tool(db: Db, what: str, tool_id: int, retired: bool) -> None:
    """Take a reamer or a drill out of use, or back into it; what a reamer has cut stays known."""
    with db.write() as session:
        row = session.get(_TOOLS[what], tool_id)
        if row is None:
            raise NotThere
        row.retired = retired
        session.add(row)
