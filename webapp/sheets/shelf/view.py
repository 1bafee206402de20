"""Reading the list of builds. The first page waits for this, so it knows nothing of what is in a build."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlmodel import Session, col

from webapp.models import Build

_BUILDS = select(col(Build.id), col(Build.name), col(Build.invented), col(Build.created_at)).order_by(
    col(Build.id).desc()
)


@dataclass(frozen=True, slots=True)
class BuildLine:
    """A build in the list of builds."""

    id: int
    name: str
    invented: bool
    created_at: datetime


def list_builds(session: Session) -> list[BuildLine]:
    """Every build, newest first."""
    rows: Sequence[Any] = session.connection().execute(_BUILDS).all()
    return [BuildLine(*row) for row in rows]
