"""The stubs of a build, each with the time every wheel was on it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import bindparam, select
from sqlmodel import Session, col

from domain.mandrel.stub import StubHold
from webapp.models import Stub, StubTurn
from webapp.records.rows import rows_of

_ID: Any = bindparam("id")
# Named as StubTurnView and StubView name them.
_TURNS = (
    select(
        col(StubTurn.stub_id),
        col(StubTurn.id),
        col(StubTurn.casting_id),
        col(StubTurn.on_at),
        col(StubTurn.on_by),
        col(StubTurn.untimed),
        col(StubTurn.centred_at),
        col(StubTurn.off_at),
        col(StubTurn.off_by),
        col(StubTurn.cleaned_at),
    )
    .join(Stub, col(Stub.id) == col(StubTurn.stub_id))
    .where(col(Stub.build_id) == _ID)
    .order_by(col(StubTurn.id))
)
_STUBS = (
    select(
        col(Stub.id),
        col(Stub.pattern_id),
        col(Stub.hold),
        col(Stub.nm),
        col(Stub.text),
        col(Stub.swing_nm),
        col(Stub.put_back),
        col(Stub.dial_text),
        col(Stub.ended),
        col(Stub.who),
        col(Stub.at),
    )
    .where(col(Stub.build_id) == _ID)
    .order_by(col(Stub.id))
)


@dataclass(frozen=True, slots=True)
class StubTurnView:
    """A wheel's time on a stub."""

    id: int
    casting_id: int
    on_at: datetime
    on_by: str
    untimed: bool
    centred_at: datetime | None
    off_at: datetime | None
    off_by: str
    cleaned_at: datetime | None


@dataclass(frozen=True, slots=True)
class StubView:
    """A stub, and the wheels that were on it, the first one first."""

    id: int
    pattern_id: int
    hold: StubHold
    nm: int | None
    text: str
    swing_nm: int | None
    put_back: bool
    dial_text: str
    ended: bool
    who: str
    at: datetime
    turns: tuple[StubTurnView, ...] = ()

    @property
    def on(self) -> StubTurnView | None:
        """The turn of the wheel that is on it now."""
        return next((one for one in self.turns if one.off_at is None), None)

    def last_of(self, casting_id: int) -> StubTurnView | None:
        """A wheel's last turn on it."""
        return next((one for one in reversed(self.turns) if one.casting_id == casting_id), None)


def stubs_of(session: Session, build_id: int) -> tuple[StubView, ...]:
    """Every stub of a build, the first one first; two queries however many there are."""
    turns: defaultdict[int, list[StubTurnView]] = defaultdict(list)
    for stub_id, *turn in rows_of(session, _TURNS, build_id):
        turns[stub_id].append(StubTurnView(*turn))
    return tuple(
        StubView(**{**row._asdict(), "hold": StubHold(row.hold), "turns": tuple(turns[row.id])})
        for row in rows_of(session, _STUBS, build_id)
    )
