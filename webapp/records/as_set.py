"""What was set for the operations on each casting: what stands, and all of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import bindparam, func, select
from sqlmodel import Session, col

from webapp.models import Casting, SettingRow
from webapp.records.rows import rows_of


@dataclass(frozen=True, slots=True)
class SettingView:
    """One thing as it is set, with its value where it has one; `changed` where it was set otherwise before."""

    text: str
    value: int | None
    who: str
    at: datetime
    changed: bool = False


@dataclass(frozen=True, slots=True)
class SettingEntry:
    """One thing that was set at some time."""

    operation: str
    key: str
    text: str
    who: str
    at: datetime


_ID: Any = bindparam("id")
_MOST = 200
_LAST = (
    select(func.max(col(SettingRow.id)).label("id"), func.count().label("times"))
    .join(Casting, col(Casting.id) == col(SettingRow.casting_id))
    .where(col(Casting.build_id) == _ID)
    .group_by(col(SettingRow.casting_id), col(SettingRow.operation), col(SettingRow.key))
    .subquery()
)
_STANDING = select(
    col(SettingRow.casting_id),
    col(SettingRow.operation),
    col(SettingRow.key),
    col(SettingRow.text),
    col(SettingRow.value),
    col(SettingRow.who),
    col(SettingRow.at),
    _LAST.c.times,
).join(_LAST, _LAST.c.id == col(SettingRow.id))
_EVERY = (
    select(
        col(SettingRow.operation),
        col(SettingRow.key),
        col(SettingRow.text),
        col(SettingRow.who),
        col(SettingRow.at),
    )
    .where(col(SettingRow.casting_id) == _ID)
    .order_by(col(SettingRow.id).desc())
    .limit(_MOST)
)


def settings_of(session: Session, build_id: int) -> Mapping[int, Mapping[str, Mapping[str, SettingView]]]:
    """What stands of a build's castings, by casting, operation and key."""
    found: dict[int, dict[str, dict[str, SettingView]]] = {}
    for casting, operation, key, text, value, who, at, times in rows_of(session, _STANDING, build_id):
        one = SettingView(text, value, who, at, times > 1)
        found.setdefault(casting, {}).setdefault(operation, {})[key] = one
    return found


def every_setting(session: Session, casting_id: int) -> Sequence[SettingEntry]:
    """The last things that were set on a casting, the newest first."""
    return [SettingEntry(*row) for row in rows_of(session, _EVERY, casting_id)]
