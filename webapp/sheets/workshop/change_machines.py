"""Changing the workshop's machines and chucks. They are of no one build, so they write no line in a journal."""

from __future__ import annotations

from typing import Any

from sqlalchemy import update
from sqlmodel import Session, col, select

from domain.cutting.spindle import MachineKind, MachineTool
from domain.cutting.swing import JawReach, SwingChuck, SwingLathe
from webapp.db import Db
from webapp.models import Chuck, Machine
from webapp.records.change import change_workshop
from webapp.records.outcome import NotThere, OutOfDate, Refused
from webapp.sheets.workshop.form_machines import ChuckDraft, MachineDraft, speeds_text

Table = type[Machine] | type[Chuck]
MachineOrChuck = MachineDraft | ChuckDraft
TABLES: dict[str, Table] = {"machine": Machine, "chuck": Chuck}

# Invented figures, of no maker's machine, and named so that nobody takes them for one's own.
_MM = 1_000_000
_USUAL: tuple[tuple[str, MachineOrChuck], ...] = (
    (
        "machine",
        MachineDraft(
            MachineTool(
                "small lathe, invented figures",
                MachineKind.LATHE,
                (26.0, 45.0, 75.0, 125.0, 210.0, 350.0, 580.0, 960.0),
                550,
                50_000,
            ),
            SwingLathe(115 * _MM, 165 * _MM, 140 * _MM),
        ),
    ),
    (
        "machine",
        MachineDraft(
            MachineTool(
                "drilling machine, invented figures",
                MachineKind.DRILL,
                (180.0, 300.0, 520.0, 900.0, 1500.0),
                375,
            ),
            None,
        ),
    ),
    (
        "chuck",
        ChuckDraft(
            "independent chuck, invented figures",
            SwingChuck(160 * _MM, 75 * _MM, JawReach(58 * _MM, 30 * _MM), JawReach(22 * _MM, 0), 64 * _MM),
            3 * _MM,
        ),
    ),
)


def put_usual(db: Db) -> int:
    """Put a small lathe, a drilling machine and a chuck on the lists, none twice; returns how many were put."""
    with db.write() as session:
        count = 0
        for what, draft in _USUAL:
            if _taken(session, what, _name(draft), None) is None:
                session.add(TABLES[what](**_row(draft)))
                count += 1
        return count


@change_workshop("{}")
def add_thing(session: Session, what: str, draft: MachineOrChuck) -> None:
    """Put one machine or chuck on its list."""
    _refuse_taken(session, what, _name(draft), None)
    session.add(TABLES[what](**_row(draft)))


@change_workshop("change of {} {}")
def change_thing(session: Session, what: str, row_id: int, draft: MachineOrChuck, seen: int) -> None:
    """Change a machine's or a chuck's figures."""
    row = _find(session, what, row_id)
    if row.version != seen:
        raise OutOfDate("", "", None)
    _refuse_taken(session, what, _name(draft), row_id)
    _set(session, what, row, **_row(draft))


def retire_thing(db: Db, what: str, row_id: int, retired: bool, seen: int) -> None:
    """Take a machine or a chuck out of use, or back into it."""
    with db.write() as session:
        row = _find(session, what, row_id)
        if row.retired == retired:
            return
        if row.version != seen:
            raise OutOfDate("", "", None)
        _set(session, what, row, retired=retired)


def _find(session: Session, what: str, row_id: int) -> Machine | Chuck:
    row = session.get(TABLES[what], row_id)
    if not isinstance(row, Machine | Chuck):
        raise NotThere
    return row


def _set(session: Session, what: str, row: Machine | Chuck, **values: object) -> None:
    table = TABLES[what]
    changed = update(table).where(col(table.id) == row.id)
    session.connection().execute(changed.values(version=row.version + 1, **values))


def _name(draft: MachineOrChuck) -> str:
    return draft.name if isinstance(draft, ChuckDraft) else draft.tool.name


def _row(draft: MachineOrChuck) -> dict[str, Any]:
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


def _taken(session: Session, what: str, name: str, own: int | None) -> Machine | Chuck | None:
    rows: list[Machine | Chuck] = list(session.exec(select(TABLES[what])).all())  # type: ignore[arg-type]
    return next((row for row in rows if row.id != own and row.name.casefold() == name.casefold()), None)


def _refuse_taken(session: Session, what: str, name: str, own: int | None) -> None:
    row = _taken(session, what, name, own)
    if row is not None:
        hint = "take it back into use, or give this one" if row.retired else "give this one"
        kind = f"A retired {what}" if row.retired else f"A {what}"
        raise Refused(f"{kind} is called {row.name}: {hint} another name, such as {name[:30]} 2.", "name")
