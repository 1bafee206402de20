"""Reading what is known of rough castings and of sizes that change as metal is taken off."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Row, bindparam, select
from sqlalchemy.orm import aliased
from sqlmodel import Session, col

from webapp.models import Receipt, Size
from webapp.records.rows import rows_of
from webapp.records.views import ReceiptView, SizeNow

_ID: Any = bindparam("id")
_later = aliased(Size)
# A corrected size counts for nothing; of the rest the last of its kind is the present one. Rough sizes come first:
# one put right after metal was taken off must not pass for the present size.
_COLUMNS = (
    col(Size.id),
    col(Size.casting_id),
    col(Size.axle_id),
    col(Size.key),
    col(Size.nm),
    col(Size.text),
    col(Size.receipt_id),
    col(Size.instrument_id),
    col(Size.expanded_nm),
    col(Size.who),
    col(Size.at),
)
_SIZES = (
    select(*_COLUMNS)
    .outerjoin(_later, col(_later.supersedes_id) == col(Size.id))
    .where(col(Size.build_id) == _ID, col(_later.id).is_(None))
    .order_by(col(Size.receipt_id).is_(None), col(Size.id))
)
_RECEIPTS = (
    select(
        col(Receipt.id),
        col(Receipt.casting_id),
        col(Receipt.weight_mg),
        col(Receipt.weight_text),
        col(Receipt.blowhole),
        col(Receipt.chill),
        col(Receipt.shift),
        col(Receipt.note),
        col(Receipt.who),
        col(Receipt.at),
    )
    .where(col(Receipt.build_id) == _ID)
    .order_by(col(Receipt.id))
)
_OF_CASTING = (
    select(*_COLUMNS, col(Size.supersedes_id)).where(col(Size.casting_id) == _ID).order_by(col(Size.id))
)


@dataclass(frozen=True, slots=True)
class SizesRead:
    """The present sizes by casting and by axle, and each casting's last receipt."""

    of_casting: Mapping[int, Mapping[str, SizeNow]]
    of_axle: Mapping[int, Mapping[str, SizeNow]]
    receipts: Mapping[int, ReceiptView]


def _size(row: Row[Any]) -> SizeNow:
    return SizeNow(row.id, row.key, row.nm, row.text, row.who, row.at, row.instrument_id, row.expanded_nm)


def _receipt(row: Row[Any], sizes: Mapping[str, SizeNow]) -> ReceiptView:
    return ReceiptView(
        row.id,
        row.weight_mg,
        row.weight_text,
        row.blowhole,
        row.chill,
        row.shift,
        row.note,
        row.who,
        row.at,
        sizes,
    )


def read_sizes_of(session: Session, build_id: int) -> SizesRead:
    """Every present size of a build, in two queries however many castings there are."""
    of_casting: defaultdict[int, dict[str, SizeNow]] = defaultdict(dict)
    of_axle: defaultdict[int, dict[str, SizeNow]] = defaultdict(dict)
    rough: defaultdict[int, dict[str, SizeNow]] = defaultdict(dict)
    received = {row.casting_id: row for row in rows_of(session, _RECEIPTS, build_id)}
    standing = {row.id for row in received.values()}
    for row in rows_of(session, _SIZES, build_id):
        size = _size(row)
        if row.receipt_id is not None:
            if row.receipt_id not in standing:
                continue
            rough[row.receipt_id][row.key] = size
        if row.casting_id is not None:
            of_casting[row.casting_id][row.key] = size
        else:
            of_axle[row.axle_id][row.key] = size
    receipts = {casting_id: _receipt(row, rough[row.id]) for casting_id, row in received.items()}
    return SizesRead(of_casting, of_axle, receipts)


@dataclass(frozen=True, slots=True)
class SizeLine:
    """One size ever logged, and whether it was received with, corrected or is a correction."""

    size: SizeNow
    rough: bool
    superseded: bool


def casting_sizes(session: Session, casting_id: int) -> list[SizeLine]:
    """Every size ever logged of a casting, oldest first, corrected ones too."""
    rows = rows_of(session, _OF_CASTING, casting_id)
    corrected = {row.supersedes_id for row in rows}
    return [SizeLine(_size(row), row.receipt_id is not None, row.id in corrected) for row in rows]
