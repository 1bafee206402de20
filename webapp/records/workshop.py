"""Reading the workshop's own lists: instruments, reamers and drills."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from sqlalchemy import select
from sqlmodel import Session, col

from domain.cranks.jigs import Jig
from domain.cutting.reaming import Drill, Reamer
from domain.measuring.instruments import Instrument, InstrumentKind, Reach
from webapp.db import held
from webapp.models import DrillRow, InstrumentRow, JigRow, Measurement, ReamerRow
from webapp.records.measured import STANDS
from webapp.records.rows import rows_by

_PPB = 1e-9
# For a bore logged without naming an instrument: the last figure that is shown.
USUAL_RESOLUTION_NM = 1_000

_INSTRUMENTS = select(
    col(InstrumentRow.id),
    col(InstrumentRow.name),
    col(InstrumentRow.kind),
    col(InstrumentRow.reach),
    col(InstrumentRow.resolution_nm),
    col(InstrumentRow.expanded_nm),
    col(InstrumentRow.zero_offset_nm),
    col(InstrumentRow.go_nm),
    col(InstrumentRow.not_go_nm),
    col(InstrumentRow.alpha_ppb),
    col(InstrumentRow.note),
    col(InstrumentRow.checked_on),
    col(InstrumentRow.retired),
    col(InstrumentRow.version),
).order_by(col(InstrumentRow.id))
_REAMERS = (
    select(col(ReamerRow.id), col(ReamerRow.name), col(ReamerRow.nominal_nm), col(ReamerRow.text))
    .where(col(ReamerRow.retired).is_(False))
    .order_by(col(ReamerRow.nominal_nm), col(ReamerRow.id))
)
_REAMED = (
    select(col(Measurement.reamer_id), col(Measurement.value), col(InstrumentRow.resolution_nm))
    .outerjoin(InstrumentRow, col(InstrumentRow.id) == col(Measurement.instrument_id))
    # A bore that plugs were tried in has no value.
    .where(col(Measurement.reamer_id).is_not(None), col(Measurement.value).is_not(None), STANDS)
)
_RETIRED = {
    "reamer": select(col(ReamerRow.id), col(ReamerRow.name), col(ReamerRow.nominal_nm))
    .where(col(ReamerRow.retired).is_(True))
    .order_by(col(ReamerRow.nominal_nm), col(ReamerRow.id)),
    "drill": select(col(DrillRow.id), col(DrillRow.name), col(DrillRow.nominal_nm))
    .where(col(DrillRow.retired).is_(True))
    .order_by(col(DrillRow.nominal_nm), col(DrillRow.id)),
}
_JIGS = select(
    col(JigRow.id),
    col(JigRow.name),
    col(JigRow.throw_nm),
    col(JigRow.plug_nm),
    col(JigRow.bush_nm),
    col(JigRow.checked_on),
    col(JigRow.retired),
    col(JigRow.version),
).order_by(col(JigRow.id))
_DRILLS = (
    select(col(DrillRow.id), col(DrillRow.name), col(DrillRow.nominal_nm), col(DrillRow.text))
    .where(col(DrillRow.retired).is_(False))
    .order_by(col(DrillRow.nominal_nm), col(DrillRow.id))
)


@dataclass(frozen=True, slots=True)
class InstrumentView:
    """An instrument of the workshop, and what the domain knows it as."""

    id: int
    instrument: Instrument
    checked_on: str
    retired: bool
    version: int

    @property
    def name(self) -> str:
        """What it is called."""
        return self.instrument.name


@dataclass(frozen=True, slots=True)
class ReamerView:
    """A reamer of the workshop, with the bores logged as cut by it."""

    id: int
    text: str
    reamer: Reamer
    # The coarsest step of the instruments its bores were taken with.
    resolution_nm: int = USUAL_RESOLUTION_NM


@dataclass(frozen=True, slots=True)
class RetiredTool:
    """A reamer or a drill out of use."""

    id: int
    name: str
    nominal_nm: int


@dataclass(frozen=True, slots=True)
class DrillView:
    """A drill of the workshop."""

    id: int
    text: str
    drill: Drill


@dataclass(frozen=True, slots=True)
class JigView:
    """A drilling jig of the workshop."""

    id: int
    jig: Jig
    checked_on: str
    retired: bool
    version: int

    @property
    def name(self) -> str:
        """What it is called."""
        return self.jig.name


def list_jigs(session: Session) -> tuple[JigView, ...]:
    """Every drilling jig, retired ones too."""
    rows = rows_by(session, _JIGS, {})
    return tuple(
        JigView(own, Jig(*figures), checked_on, retired, version)
        for own, *figures, checked_on, retired, version in rows
    )


def list_instruments(session: Session) -> tuple[InstrumentView, ...]:
    """Every instrument, retired ones too; read once for each state of the file, as the other lists are."""
    return held(session, "instruments", lambda: _instruments(session))


def _instruments(session: Session) -> tuple[InstrumentView, ...]:
    rows = rows_by(session, _INSTRUMENTS, {})
    return tuple(
        InstrumentView(
            row.id,
            Instrument(
                kind=InstrumentKind(row.kind),
                name=row.name,
                resolution_nm=row.resolution_nm,
                expanded_nm=row.expanded_nm,
                zero_offset_nm=row.zero_offset_nm,
                go_nm=row.go_nm,
                not_go_nm=row.not_go_nm,
                alpha_per_k=row.alpha_ppb * _PPB,
                reach=Reach(row.reach),
                note=row.note,
            ),
            row.checked_on,
            row.retired,
            row.version,
        )
        for row in rows
    )


def list_reamers(session: Session) -> tuple[ReamerView, ...]:
    """The reamers in use, each with the bores that were logged as cut by it."""
    return held(session, "reamers", lambda: _reamers(session))


def _reamers(session: Session) -> tuple[ReamerView, ...]:
    cut: defaultdict[int, list[int]] = defaultdict(list)
    coarsest: defaultdict[int, int] = defaultdict(lambda: USUAL_RESOLUTION_NM)
    for reamer_id, mean_nm, resolution_nm in rows_by(session, _REAMED, {}):
        cut[reamer_id].append(mean_nm)
        coarsest[reamer_id] = max(coarsest[reamer_id], resolution_nm or 0)
    return tuple(
        ReamerView(row.id, row.text, Reamer(row.name, row.nominal_nm, tuple(cut[row.id])), coarsest[row.id])
        for row in rows_by(session, _REAMERS, {})
    )


def list_retired(session: Session, what: str) -> tuple[RetiredTool, ...]:
    """The reamers or the drills out of use."""
    rows = rows_by(session, _RETIRED[what], {})
    return tuple(RetiredTool(*row) for row in rows)


def list_drills(session: Session) -> tuple[DrillView, ...]:
    """The drills in use."""
    rows = rows_by(session, _DRILLS, {})
    return tuple(DrillView(row.id, row.text, Drill(row.name, row.nominal_nm)) for row in rows)
