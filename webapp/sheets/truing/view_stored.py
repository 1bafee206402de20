"""Set-ups in the independent chuck as stored, each with its rounds and readings."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, select

from domain.lengths import Unit, plain, shortest, show_in
from domain.truing.dial import JAWS, Dial, DialReading
from domain.truing.setting import Grip, Surface
from domain.truing.words import spot_between, spot_words
from webapp.facts.work_figures import work_figures
from webapp.models import Casting, Chuck, DialReadingRow, Truing, TruingRound
from webapp.records.views import BuildView, CastingView
from webapp.sheets.truing.form import DIALS, OWN, POINTER, ByDial, Held
from webapp.typed.texts import Typed

_MICRO = 1_000_000


@dataclass(frozen=True, slots=True)
class ReadingView:
    """One reading: where, as typed, and in nm; by eye it has no figure."""

    where: str
    text: str
    angle_deg: float
    nm: int | None


@dataclass(frozen=True, slots=True)
class RoundView:
    """One round as stored; `number` counts those of its kind that are not struck out, 0 for one that is."""

    id: int
    number: int
    kind: str
    radius_nm: int | None
    struck_out: bool
    who: str
    at: datetime
    readings: tuple[ReadingView, ...]

    @property
    def dial_readings(self) -> tuple[DialReading, ...]:
        """The readings of a dial alone."""
        return tuple(DialReading(one.angle_deg, one.nm) for one in self.readings if one.nm is not None)

    @property
    def high_and_low(self) -> tuple[float | None, float | None]:
        """Where a look by eye was high and where low; None where no difference was seen."""
        high, low = (one.angle_deg for one in self.readings) if self.readings else (None, None)
        return high, low


@dataclass(frozen=True, slots=True)
class TruingView:
    """One set-up with its rounds, oldest first."""

    id: int
    held: Held
    done: bool
    who: str
    at: datetime
    rounds: tuple[RoundView, ...]

    def live(self, kind: str) -> tuple[RoundView, ...]:
        """The rounds of a kind that count."""
        return tuple(one for one in self.rounds if one.kind == kind and not one.struck_out)

    @property
    def latest(self) -> str:
        """The kind of the last round that counts; empty where there is none."""
        return next((one.kind for one in reversed(self.rounds) if not one.struck_out), "")


def truings_of(session: Session, casting_id: int) -> tuple[TruingView, ...]:
    """Every set-up of a casting, the newest first; three queries however many there are."""
    rows = session.exec(
        select(Truing).where(col(Truing.casting_id) == casting_id).order_by(col(Truing.id).desc())
    ).all()
    rounds = _rounds(session, casting_id) if rows else {}
    return tuple(_view(row, rounds) for row in rows)


def _rounds(session: Session, casting_id: int) -> dict[int, tuple[RoundView, ...]]:
    mine = select(Truing.id).where(col(Truing.casting_id) == casting_id)
    rows = session.exec(
        select(TruingRound).where(col(TruingRound.truing_id).in_(mine)).order_by(col(TruingRound.id))
    ).all()
    ids = select(TruingRound.id).where(col(TruingRound.truing_id).in_(mine))
    found = session.exec(
        select(DialReadingRow)
        .where(col(DialReadingRow.round_id).in_(ids))
        .order_by(col(DialReadingRow.round_id), col(DialReadingRow.ordinal))
    ).all()
    readings: dict[int, list[ReadingView]] = defaultdict(list)
    for one in found:
        angle = one.angle_udeg / _MICRO
        where = spot_between(angle) if one.nm is None else _where(angle)
        readings[one.round_id].append(ReadingView(where, one.text, angle, one.nm))
    counted: dict[tuple[int, str], int] = defaultdict(int)
    views: dict[int, list[RoundView]] = defaultdict(list)
    for row in rows:
        assert row.id is not None  # it was read
        of_kind = row.truing_id, row.kind
        counted[of_kind] += not row.struck_out
        views[row.truing_id].append(
            RoundView(
                row.id,
                number=0 if row.struck_out else counted[of_kind],
                kind=row.kind,
                radius_nm=row.radius_nm,
                struck_out=row.struck_out,
                who=row.who,
                at=row.at,
                readings=tuple(readings[row.id]),
            )
        )
    return {truing: tuple(of_it) for truing, of_it in views.items()}


def _where(angle_deg: float) -> str:
    """A spot in a table: a jaw by its number, any other by its angle."""
    return spot_words(angle_deg) if angle_deg in JAWS.values() else f"{angle_deg:g}°"


def _view(row: Truing, rounds: dict[int, tuple[RoundView, ...]]) -> TruingView:
    assert row.id is not None  # it was read
    return TruingView(row.id, _held(row), row.done, who=row.who, at=row.at, rounds=rounds.get(row.id, ()))


def _held(row: Truing) -> Held:
    by_dial = None
    if row.dial_unit is not None and row.division_nm is not None and row.tolerance_nm is not None:
        dial = Dial(row.division_nm, Unit(row.dial_unit), row.counts_up)
        by_dial = ByDial(dial, row.tolerance_nm, row.screw_nm)
    return Held(row.outward, Surface(row.surface), Grip(row.grip), by_dial)


def start_texts(session: Session, build: BuildView, casting: CastingView) -> Typed:
    """A new set-up's form filled in: which side by the ticks, the dial as it was last said, the rest by the build.

    How the jaws grip is filled in only where a wheel of this build was held the same way round: guessed wrong it
    would name the wrong jaw.
    """
    order = build.order_of(casting)
    first, second = ("front", "back") if order.front_first else ("back", "front")
    outward = second if casting.has(order.first_cut) else first
    figures = work_figures(build)
    # The dial swings by twice what the work is off the middle.
    swing = 2 * figures.nm("true_within")
    texts = {
        "outward": outward,
        "surface": Surface.INSIDE.value,
        "counts_up": "yes",
        "division": "0.01 mm" if build.unit is Unit.MM else "0.001 in",
        # Exact where that is short, else as the shop reads it; always in the build's own system.
        "tolerance": min(plain(swing, build.unit), show_in(swing, build.unit), key=len),
        "screw": _screw_text(session, build.unit),
    }
    alike = _last(session, build.id, outward)
    last = alike or _last(session)
    if last is not None and last.by_dial is None:
        texts |= {"division": POINTER}
    elif last is not None and last.by_dial is not None:
        dial = last.dial
        known = next((name for name, is_ in DIALS.items() if is_ == (dial.division_nm, dial.unit)), "")
        texts |= {"division": known or OWN, "counts_up": "yes" if dial.counts_up_when_pushed_in else "no"}
        if not known:
            texts["division_own"] = plain(dial.division_nm, dial.unit)
        if last.by_dial.screw_nm is not None:
            texts["screw"] = shortest(last.by_dial.screw_nm, dial.unit)
    if alike is not None:
        texts |= {"surface": alike.surface.value, "grip": alike.grip.value}
    return Typed({name: [text] for name, text in texts.items()})


def _last(session: Session, build_id: int | None = None, outward: str = "") -> Held | None:
    wanted = select(Truing).order_by(col(Truing.id).desc()).limit(1)
    if build_id is not None:
        wanted = wanted.join(Casting, col(Casting.id) == col(Truing.casting_id)).where(
            col(Casting.build_id) == build_id, col(Truing.outward) == outward
        )
    row = session.exec(wanted).first()
    return None if row is None else _held(row)


def _screw_text(session: Session, unit: Unit) -> str:
    """The workshop's own chuck, where just one has its screw measured."""
    found = session.exec(
        select(Chuck.screw_nm).where(col(Chuck.screw_nm).is_not(None), col(Chuck.retired).is_(False))
    ).all()
    return shortest(found[0], unit) if len(found) == 1 and found[0] is not None else ""
