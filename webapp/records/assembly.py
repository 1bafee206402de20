"""Reading what goes on each axle before its second wheel."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from sqlalchemy import bindparam, select
from sqlmodel import Session, col

from domain.lengths import Length
from webapp.models import Axle, AxleItem
from webapp.records.rows import rows_of
from webapp.records.views import ItemView, Stamp

_ID: Any = bindparam("id")
_ITEMS = (
    select(
        col(AxleItem.axle_id),
        col(AxleItem.id),
        col(AxleItem.name),
        col(AxleItem.kind),
        col(AxleItem.along),
        col(AxleItem.split),
        col(AxleItem.width_nm),
        col(AxleItem.width_text),
        col(AxleItem.on_who),
        col(AxleItem.on_at),
    )
    .join(Axle, col(Axle.id) == col(AxleItem.axle_id))
    .where(col(Axle.build_id) == _ID)
    .order_by(col(AxleItem.id))
)


def items_of(session: Session, build_id: int) -> dict[int, tuple[ItemView, ...]]:
    """The list of each axle that has one, in the order it was made."""
    found: defaultdict[int, list[ItemView]] = defaultdict(list)
    for axle, own, name, kind, along, split, nm, text, who, at in rows_of(session, _ITEMS, build_id):
        width = Length(nm, text) if nm is not None else None
        on = Stamp(who, at) if who is not None else None
        found[axle].append(ItemView(own, name, kind, along, split, width, on))
    return {axle: tuple(items) for axle, items in found.items()}
