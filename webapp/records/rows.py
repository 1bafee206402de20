"""Statements put together once and run by the driver: SQLAlchemy takes several times as long as SQLite to answer."""

from __future__ import annotations

from collections import namedtuple
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any, NamedTuple

from sqlalchemy import Executable, Select
from sqlalchemy.dialects.sqlite.pysqlite import dialect
from sqlalchemy.sql.compiler import SQLCompiler
from sqlalchemy.types import TypeEngine
from sqlmodel import Session

from webapp.db import driver

_DIALECT = dialect()


class _Driven(NamedTuple):
    """A statement as the driver takes it: its text, what is bound in which order, and what its rows are made of."""

    text: str
    start: Mapping[str, Any]
    bound: Sequence[tuple[str, Callable[[Any], Any] | None]]
    made: Callable[[Sequence[Any]], Any]


def rows_of(session: Session, statement: Executable, row_id: int) -> Sequence[Any]:
    """The rows of a statement whose only parameter is `id`."""
    return rows_by(session, statement, {"id": row_id})


def rows_by(session: Session, statement: Executable, values: Mapping[str, Any]) -> Sequence[Any]:
    """Run a statement that stays as long as the program does, with its values; its rows, columns by name."""
    driven = _driven(statement, tuple(values))
    given = {**driven.start, **values}
    bound = [given[name] if into is None else into(given[name]) for name, into in driven.bound]
    return [driven.made(row) for row in driver(session).execute(driven.text, bound)]


@cache
def _driven(statement: Executable, names: tuple[str, ...]) -> _Driven:
    compiled = statement.compile(  # type: ignore[attr-defined]
        dialect=_DIALECT, column_keys=names, compile_kwargs={"render_postcompile": True}
    )
    assert isinstance(compiled, SQLCompiler)
    order = compiled.positiontup or ()
    bound = [(name, _own(compiled.binds[name].type).bind_processor(_DIALECT)) for name in order]
    return _Driven(str(compiled), compiled.params, bound, _made(statement))


def _made(statement: Executable) -> Callable[[Sequence[Any]], Any]:
    """What makes a row of what the driver gives: its columns by name, each by its type."""
    if not isinstance(statement, Select):
        return tuple
    columns = statement.selected_columns
    row = namedtuple("row", columns.keys(), rename=True)  # type: ignore[misc]
    own = [_own(one.type).result_processor(_DIALECT, None) for one in columns]
    read = [(at, one) for at, one in enumerate(own) if one is not None]

    def made(values: Sequence[Any]) -> Any:
        found = list(values)
        for at, one in read:
            found[at] = one(found[at])
        return row._make(found)

    return made if read else row._make


def _own(one: TypeEngine[Any]) -> TypeEngine[Any]:
    """A type as SQLite has it."""
    return one.dialect_impl(_DIALECT)
