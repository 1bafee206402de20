"""A build written as its document: the same build gives the same text, on whatever machine it lies."""

from __future__ import annotations

import json
from base64 import b64encode
from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import Column, ColumnElement, Row, select
from sqlmodel import Session

from webapp.exchange.tables import (
    BUILD,
    FORMAT,
    GONE,
    NUMBER,
    VERSION,
    WORKSHOP,
    Part,
    columns_of,
    every_part,
    key_of,
    link_to,
    target_of,
)
from webapp.records.outcome import NotThere


def written(document: Mapping[str, Any]) -> str:
    """The document's text."""
    return json.dumps(document, ensure_ascii=False, indent=1) + "\n"


def when_written(at: datetime) -> str:
    """A time as RFC 3339 has it, in UTC."""
    return at.replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"


def document_of(session: Session, build_id: int) -> dict[str, Any]:
    """The build's document; NotThere without such a build."""
    return _Writer(session, build_id).document()


class _Writer:
    """One build's rows by list and by the row they stand under, and what each row is called."""

    def __init__(self, session: Session, build_id: int) -> None:
        self._session = session
        self._names: dict[str, dict[int, str | int]] = {}
        self._rows: dict[str, dict[Any, list[Row[Any]]]] = {}
        own = BUILD.table.columns.id == build_id
        self._read(BUILD, None, own)
        if not self._under(BUILD, None):
            raise NotThere("build")
        self._name_gone_axles()

    def _read(self, part: Part, above: Part | None, wanted: ColumnElement[bool]) -> None:
        table = part.table
        found = select(table).where(wanted).order_by(*table.primary_key.columns)
        if part.where is not None:
            found = found.where(part.where)
        rows = self._session.connection().execute(found).all()
        grouped: defaultdict[Any, list[Row[Any]]] = defaultdict(list)
        for row in rows:
            grouped[None if above is None else row._mapping[link_to(part, above).name]].append(row)
        self._rows[_place(part, above)] = grouped
        if part.numbered:
            self._names[table.name] = {row.id: number for number, row in enumerate(rows, start=1)}
        elif part.named:
            self._names[table.name] = {row.id: row.permanent_id for row in rows}
        for one in part.inside:
            ids = select(table.columns.id).where(wanted)
            self._read(one, part, link_to(one, part).in_(ids))

    def _under(self, part: Part, above: Part | None, row_id: int | None = None) -> list[Row[Any]]:
        return self._rows[_place(part, above)].get(row_id, [])

    def _every(self, part: Part, above: Part | None) -> Iterable[Row[Any]]:
        return (row for rows in self._rows[_place(part, above)].values() for row in rows)

    def _named_by(self, table: str) -> set[int]:
        """The rows of a table that any row of the build names."""
        return {
            row._mapping[column.name]
            for part, above in every_part()
            for column in columns_of(part, above)
            if target_of(column) == table
            for row in self._every(part, above)
        } - {None}

    def _name_gone_axles(self) -> None:
        axles = self._names["axle"]
        gone = sorted(self._named_by("axle") - axles.keys())
        axles |= {row_id: f"{GONE}{number}" for number, row_id in enumerate(gone, start=1)}

    def document(self) -> dict[str, Any]:
        workshop = {part.key: self._tools(part) for part in WORKSHOP}
        (build,) = self._under(BUILD, None)
        return {
            "format": FORMAT,
            "version": VERSION,
            "build": self._row(BUILD, None, build),
            "workshop": workshop,
        }

    def _tools(self, part: Part) -> list[dict[str, Any]]:
        """The tools that the build's rows name, in the order of their permanent ids: that is the same everywhere."""
        table = part.table
        wanted = self._named_by(table.name)
        every = self._session.connection().execute(select(table).order_by(table.columns.permanent_id)).all()
        rows = [row for row in every if row.id in wanted]
        self._names[table.name] = {row.id: row.permanent_id for row in rows}
        return [self._row(part, None, row) for row in rows]

    def _row(self, part: Part, above: Part | None, row: Row[Any]) -> dict[str, Any]:
        found: dict[str, Any] = {NUMBER: self._names[part.table.name][row.id]} if part.numbered else {}
        for column in columns_of(part, above):
            value = row._mapping[column.name]
            if value is not None:
                found[key_of(column)] = self._value(column, value)
        for one in part.inside:
            found[one.key] = [self._row(one, part, child) for child in self._under(one, part, row.id)]
        return found

    def _value(self, column: Column[Any], value: Any) -> Any:
        target = target_of(column)
        if target:
            return self._names[target][value]
        if isinstance(value, bytes):
            return b64encode(value).decode()
        return when_written(value) if isinstance(value, datetime) else value


def _place(part: Part, above: Part | None) -> str:
    return f"{above.key if above else ''}/{part.key}"
