"""Reading the workshop's own lists: instruments, reamers and drills."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlmodel import Session, col

from domain.instruments import Instrument, Kind, Reach
from domain.reamers import Reamer as TriedReamer
from domain.reaming import Drill as OwnedDrill
from webapp.models import Drill, Measurement, Reamer
from webapp.models import Instrument as InstrumentRow

_PPB = 1e-9

_INSTRUMENTS = select(
    *(getattr(InstrumentRow, name) for name in InstrumentRow.model_fields if name != "none")
).order_by(col(InstrumentRow.id))
_REAMERS = select(col(Reamer.id), col(Reamer.name), col(Reamer.nominal_nm), col(Reamer.text)).where(
    col(Reamer.retired).is_(False)
)
_DRILLS = select(col(Drill.id), col(Drill.name), col(Drill.nominal_nm), col(Drill.text)).where(
    col(Drill.retired).is_(False)
)
_later = InstrumentRow  # replaced below


@dataclass(frozen=True, slots=True)
class InstrumentView:
    """An instrument of the workshop, and what the domain knows it as."""

    id: int
    instrument: Instrument
    checked_on: str
    retired: bool
    version: int


@dataclass(frozen=True, slots=True)
class ReamerView:
    """A reamer of the workshop, with the bores logged as cut by it."""

    id: int
    text: str
    reamer: TriedReamer


@dataclass(frozen=True, slots=True)
class DrillView:
    """A drill of the workshop."""

    id: int
    text: str
    drill: OwnedDrill
