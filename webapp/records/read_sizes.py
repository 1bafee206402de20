"""What is now known of castings and axles by measuring, and how each casting came."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Row, bindparam, select
from sqlmodel import Session, col

from webapp.models import Receipt
from webapp.records.measured import HEAD, LAST_RECEIPTS, as_measured, present
from webapp.records.rows import rows_of
from webapp.records.views import Measured, ReceiptView

_ID: Any = bindparam("id")
_RECEIPTS = select(
    col(Receipt.id),
    col(Receipt.casting_id),
    col(Receipt.blowhole),
    col(Receipt.chill),
    col(Receipt.shift),
    col(Receipt.crack),
    col(Receipt.note),
    col(Receipt.who),
    col(Receipt.at),
).where(col(Receipt.id).in_(LAST_RECEIPTS))
WEIGHT = "weight"


@dataclass(frozen=True, slots=True)
class Known:
    """What is present, by kind: of each casting, of each axle or one of its ends; and each casting's last receipt."""

    of_casting: dict[int, dict[str, Measured]]
    of_axle: Mapping[tuple[int, str | None], dict[str, Measured]]
    receipts: Mapping[int, ReceiptView]


def read_known(session: Session, build_id: int) -> Known:
    """All that is present of a build, in two queries however many castings there are."""
    of_casting: defaultdict[int, dict[str, Measured]] = defaultdict(dict)
    of_axle: defaultdict[tuple[int, str | None], dict[str, Measured]] = defaultdict(dict)
    rough: defaultdict[int, dict[str, Measured]] = defaultdict(dict)
    weights: dict[int, tuple[int, str]] = {}
    received = {row.casting_id: row for row in rows_of(session, _RECEIPTS, build_id)}
    for stored in present(session, build_id):
        _, casting_id, receipt_id, axle_id, side, kind, unit, value, _, _ = stored.row[HEAD]
        if unit != "nm":
            if kind == WEIGHT:
                weights[receipt_id] = value, stored.text
            continue
        measured = as_measured(stored)
        if receipt_id is not None:
            rough[receipt_id][kind] = measured
        if casting_id is not None:
            of_casting[casting_id][kind] = measured
        else:
            of_axle[axle_id, side][kind] = measured
    receipts = {
        casting_id: _receipt(row, weights.get(row.id), rough[row.id]) for casting_id, row in received.items()
    }
    return Known(of_casting, of_axle, receipts)


def _receipt(row: Row[Any], weight: tuple[int, str] | None, sizes: Mapping[str, Measured]) -> ReceiptView:
    mg, text = weight or (None, "")
    seen = row.blowhole, row.chill, row.shift, row.crack
    return ReceiptView(row.id, mg, text, *seen, row.note, row.who, row.at, sizes)
