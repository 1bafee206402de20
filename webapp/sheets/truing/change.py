"""Setting a casting true: a set-up begun and closed, rounds of readings stored and struck out."""

from __future__ import annotations

from sqlalchemy import update
from sqlmodel import Session, col

from webapp.models import DialReadingRow, Truing, TruingRound
from webapp.records.change import CastingChange, change_casting
from webapp.records.journal import now
from webapp.records.outcome import WHOLE, NotThere, Refused
from webapp.sheets.truing.form import Held
from webapp.sheets.truing.form_rounds import NO_DIAL, RoundTyped
from webapp.sheets.truing.view_stored import TruingView, truings_of
from webapp.sheets.truing.view_words import closed_sentence, round_sentence, set_up_sentence

_KIND = "true"
_MICRO = 1_000_000


@change_casting("setting true")
def begin(change: CastingChange, held: Held) -> None:
    """Begin a set-up; one at a time is open on a casting."""
    casting = change.casting
    if any(not one.done for one in truings_of(change.session, casting.id)):
        raise Refused(
            f"A set-up of {casting.mark} is open: go on with it, or close it before you begin another.", WHOLE
        )
    by = held.by_dial
    change.session.add(
        Truing(
            casting_id=casting.id,
            outward=held.outward,
            surface=held.surface.value,
            grip=held.grip.value,
            dial_unit=by.dial.unit.value if by else None,
            division_nm=by.dial.division_nm if by else None,
            tolerance_nm=by.tolerance_nm if by else None,
            screw_nm=by.screw_nm if by else None,
            counts_up=by.dial.counts_up_when_pushed_in if by else True,
            who=change.actor.who,
            at=now(),
        )
    )
    change.tell(_KIND, set_up_sentence(casting.mark, held))


@change_casting("round")
def add_round(change: CastingChange, truing_id: int, typed: RoundTyped) -> None:
    """Store a round of readings with the texts as typed."""
    session, casting = change.session, change.casting
    truing = _truing(session, casting.id, truing_id)
    _must_be_open(truing)
    if truing.held.by_dial is None and typed.kind != "eye":
        raise Refused(NO_DIAL, WHOLE)
    row = TruingRound(
        truing_id=truing_id,
        kind=typed.kind,
        radius_nm=None if typed.radius is None else typed.radius.nm,
        who=change.actor.who,
        at=now(),
    )
    session.add(row)
    session.flush()
    assert row.id is not None  # it was just written
    for ordinal, ((angle_deg, nm), text) in enumerate(zip(typed.spots, typed.texts, strict=True), 1):
        angle = round(angle_deg * _MICRO)
        session.add(DialReadingRow(round_id=row.id, ordinal=ordinal, angle_udeg=angle, nm=nm, text=text))
    session.flush()
    change.tell(_KIND, round_sentence(casting.mark, _truing(session, casting.id, truing_id)))


@change_casting("round struck out")
def strike(change: CastingChange, truing_id: int, round_id: int, why: str) -> None:
    """Strike out a round of readings: it stays on record and counts for nothing."""
    session, casting = change.session, change.casting
    truing = _truing(session, casting.id, truing_id)
    found = next((one for one in truing.rounds if one.id == round_id), None)
    if found is None:
        raise NotThere
    if found.struck_out:
        return
    _must_be_open(truing)
    session.connection().execute(
        update(TruingRound).where(col(TruingRound.id) == round_id).values(struck_out=True)
    )
    read = ", ".join(one.text for one in found.readings)
    change.tell(_KIND, f"Struck out a round of dial readings of {casting.mark} ({read}): {why}")


@change_casting("set-up closed", scrapped=True)
def close(change: CastingChange, truing_id: int) -> None:
    """Close a set-up, true or not."""
    session, casting = change.session, change.casting
    truing = _truing(session, casting.id, truing_id)
    if truing.done:
        return
    session.connection().execute(update(Truing).where(col(Truing.id) == truing_id).values(done=True))
    change.tell(_KIND, closed_sentence(casting.mark, truing))


def _truing(session: Session, casting_id: int, truing_id: int) -> TruingView:
    found = next((one for one in truings_of(session, casting_id) if one.id == truing_id), None)
    if found is None:
        raise NotThere
    return found


def _must_be_open(truing: TruingView) -> None:
    if truing.done:
        raise Refused("This set-up is closed, so nothing was stored: begin another.", WHOLE)
