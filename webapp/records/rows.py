"""Asking a statement that was put together once, at the start, about one thing by its id."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Executable
from sqlmodel import Session


def rows_of(session: Session, statement: Executable, row_id: int) -> Sequence[Any]:
    """The rows of a statement whose only parameter is `id`."""
    return session.connection().execute(statement, {"id": row_id}).all()
