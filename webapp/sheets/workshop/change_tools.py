"""Putting reamers and drills on the workshop's lists."""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import Session, col, select

from webapp.models import DrillRow, Measurement, ReamerRow
from webapp.records.change import change_workshop
from webapp.records.outcome import Refused
from webapp.sheets.workshop.form import ToolDraft

Tool = ReamerRow | DrillRow
_TOOLS: dict[str, type[Tool]] = {"reamer": ReamerRow, "drill": DrillRow}


@change_workshop("{}")
def add_tools(session: Session, what: str, drafts: tuple[ToolDraft, ...]) -> None:
    """Put reamers or drills on the list; a retired one of the same name comes back into use."""
    table = _TOOLS[what]
    listed: Sequence[Tool] = session.exec(select(table)).all()  # type: ignore[assignment]
    rows = {row.name.casefold(): row for row in listed}
    for draft in drafts:
        before = rows.get(draft.name.casefold())
        if before is None:
            session.add(table(name=draft.name, nominal_nm=draft.size.nm, text=draft.size.text))
        else:
            _bring_back(session, what, before, draft)


def _bring_back(session: Session, what: str, row: Tool, draft: ToolDraft) -> None:
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


def _has_cut(session: Session, row: Tool) -> bool:
    logged = select(Measurement.id).where(col(Measurement.reamer_id) == row.id)
    return isinstance(row, ReamerRow) and session.exec(logged).first() is not None
