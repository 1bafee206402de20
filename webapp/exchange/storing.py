"""A checked document stored as rows of this file: new row ids, the permanent ids and the whole history kept."""

from __future__ import annotations

from base64 import b64decode
from collections import Counter, deque
from collections.abc import Iterator, Mapping
from datetime import datetime
from functools import cache
from typing import Any

from sqlalchemy import Column, Insert, LargeBinary, Table, delete, insert, select
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col

from webapp.exchange.reading import wrong
from webapp.exchange.tables import (
    BUILD,
    GONE,
    ID,
    NUMBER,
    WORKSHOP,
    Part,
    columns_of,
    key_of,
    link_to,
    target_of,
)
from webapp.models import Axle, UtcDateTime
from webapp.typed.photos import small_of

_At = tuple[str | int, ...]
# By these two tools are the same one, whatever else was noted of them.
_NOT_OF_THE_TOOL = {ID, "note", "checked_on", "retired"}


def build_here(session: Session, document: Mapping[str, Any]) -> str | None:
    """The name of the build of this file that is the document's, if it is here already."""
    table = BUILD.table
    own = table.columns.permanent_id == document["build"][ID]
    name: str | None = session.connection().execute(select(table.columns.name).where(own)).scalar()
    return name


def store(session: Session, document: Mapping[str, Any], *, as_copy: bool) -> int:
    """Store the build, in the caller's transaction; its id here. Unreadable where its rows contradict one another.

    A copy gets permanent ids of its own, for one id is one thing.
    """
    return _Storing(session, document, as_copy).store()


class _Storing:
    """The rows stored so far, by what the document calls them."""

    def __init__(self, session: Session, document: Mapping[str, Any], as_copy: bool) -> None:
        self._connection = session.connection()
        self._document = document
        self._as_copy = as_copy
        self._ids: dict[str, dict[str | int, int]] = {}
        self._build_id = 0
        # How often each thing was changed, all told and so far.
        self._changes = Counter(_subject(line) for line in document["build"]["journal"])
        self._told: Counter[tuple[str, str]] = Counter()

    def store(self) -> int:
        for part in WORKSHOP:
            self._tools(part)
        build = self._document["build"]
        self._build_id = self._put(BUILD, None, build, ("build",), {})
        # List after list, so that what a row names is there before it.
        top: tuple[int, Mapping[str, Any], _At] = (self._build_id, build, ("build",))
        waiting = deque((part, BUILD, *top) for part in BUILD.inside)
        while waiting:
            part, above, above_id, row, at = waiting.popleft()
            if part.model is Axle:
                self._gone_axles(build)
            for place, one in _rows(row[part.key], (*at, part.key)):
                own = self._put(part, above, one, place, {link_to(part, above).name: above_id})
                waiting.extend((inside, part, own, one, place) for inside in part.inside)
        return self._build_id

    def _tools(self, part: Part) -> None:
        """A tool that is here already, by its permanent id or else by its name and figures, is taken for that one."""
        table = part.table
        here = [dict(row._mapping) for row in self._connection.execute(select(table))]
        for at, tool in _rows(self._document["workshop"][part.key], ("workshop", part.key)):
            found = next((one for one in here if one[ID] == tool[ID]), None)
            found = found or next((one for one in here if _same_tool(part, one, tool)), None)
            if found is None:
                names = {one["name"] for one in here}
                own = self._put(part, None, tool, at, {"name": _free(tool["name"], names)})
                here.append({**tool, "id": own})
            else:
                self._ids.setdefault(table.name, {})[tool[ID]] = found["id"]

    def _gone_axles(self, build: Mapping[str, Any]) -> None:
        """Give an axle that was taken out an id which no other axle will ever have, as it had on its own machine."""
        every = [*build["journal"], *(move for one in build["pairings"] for move in one["moves"])]
        said = {row.get(key, "") for row in every for key in ("axle", "from_axle", "to_axle")}
        gone = {name for name in said if name.startswith(GONE)}
        for name in sorted(gone, key=lambda one: (len(one), one)):
            pattern = self._ids["pattern"][1]
            row = {"build_id": self._build_id, "number": 0, "pattern_id": pattern, "version": 0, ID: ""}
            own = self._insert(Axle.__table__, row)  # type: ignore[attr-defined]
            self._connection.execute(delete(Axle).where(col(Axle.id) == own))
            self._ids.setdefault("axle", {})[name] = own

    def _put(
        self, part: Part, above: Part | None, row: Mapping[str, Any], at: _At, given: Mapping[str, Any]
    ) -> int:
        table = part.table
        values: dict[str, Any] = {}
        for column in columns_of(part, above):
            values[column.name] = self._value(column, row.get(key_of(column)), at)
        called = row.get(NUMBER) if part.numbered else row.get(ID)
        if part.numbered and called != len(self._ids.get(table.name, ())) + 1:
            raise wrong(at, "the rows are not numbered in their order, from 1")
        if part.named and self._as_copy and part not in WORKSHOP:
            values[ID] = ""  # the file gives it another
        if "build_id" in table.columns:
            values["build_id"] = self._build_id
        values |= self._own_to_this_file(part, row)
        values |= given
        try:
            own = self._insert(table, values)
        except IntegrityError as error:
            raise wrong(at, _why(str(error.orig), part)) from None
        if called is not None:
            self._ids.setdefault(table.name, {})[called] = own
        return own

    def _insert(self, table: Table, values: Mapping[str, Any]) -> int:
        key = self._connection.execute(_insert_into(table), values).inserted_primary_key
        assert key is not None  # one row was put in
        return int(key[0])

    def _own_to_this_file(self, part: Part, row: Mapping[str, Any]) -> dict[str, Any]:
        table = part.table.name
        if table == "journal_line":
            subject = _subject(row)
            self._told[subject] += 1
            return {"device": "", "page": "", "version": 1 + self._told[subject]}
        if table == "photo":
            return {"small": small_of(b64decode(row["jpeg"]))}
        if "version" not in part.table.columns:
            return {}
        return {"version": 1 + self._changes[table, "" if part is BUILD else row[ID]]}

    def _value(self, column: Column[Any], value: Any, at: _At) -> Any:
        if value is None:
            return None
        if target := target_of(column):
            found = self._ids.get(target, {}).get(value)
            if found is None:
                raise wrong(
                    (*at, key_of(column)), f"there is no {target} “{value}” before it in the document"
                )
            return found
        if isinstance(column.type, LargeBinary):
            return b64decode(value)
        return datetime.fromisoformat(value) if isinstance(column.type, UtcDateTime) else value


@cache
def _insert_into(table: Table) -> Insert:
    """Put together once: that takes longer than putting a row in."""
    return insert(table)


def _rows(rows: list[Mapping[str, Any]], at: _At) -> Iterator[tuple[_At, Mapping[str, Any]]]:
    return (((*at, number), row) for number, row in enumerate(rows, start=1))


def _subject(line: Mapping[str, Any]) -> tuple[str, str]:
    """What a line tells of: a casting, else an axle, else the build."""
    for table in ("casting", "axle"):
        if table in line:
            return table, line[table]
    return "build", ""


def _same_tool(part: Part, here: Mapping[str, Any], tool: Mapping[str, Any]) -> bool:
    keys = [column.name for column in columns_of(part, None) if column.name not in _NOT_OF_THE_TOOL]
    return all(here.get(key) == tool.get(key) for key in keys)


def _free(name: str, taken: set[str]) -> str:
    """The name, or where another tool has it the name with a number."""
    tries = (name if number == 1 else f"{name} ({number})" for number in range(1, len(taken) + 2))
    return next(one for one in tries if one not in taken)


def _why(said: str, part: Part) -> str:
    if "UNIQUE" in said:
        there = "is in this file already, or " if part.named else ""
        return f"this {there}stands twice in the document"
    return "what it says cannot all be true at once"
