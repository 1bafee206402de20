"""Setting a casting true: a set-up begun and closed, rounds of readings stored and struck out."""

from __future__ import annotations

from sqlalchemy import update
from sqlmodel import Session, col

from webapp.db import Db
from webapp.models import DialReading, Truing, TruingRound
from webapp.records.builds import find_casting
from webapp.records.journal import already_answered, check_casting_seen, now, remember_answer, write_line
from webapp.records.outcome import WHOLE, Actor, NotThere, Refused
from webapp.records.views import BuildView, CastingView
from webapp.sheets.truing.form import Held
from webapp.sheets.truing.form_rounds import RoundTyped
from webapp.sheets.truing.view_stored import TruingView, truings_of
from webapp.sheets.truing.view_words import closed_sentence, round_sentence, set_up_sentence
from webapp.typed.texts import Sent

_KIND = "true"
_MICRO = 1_000_000


def begin(db: Db, casting_id: int, held: Held, seen: int, sent: Sent, actor: Actor) -> None:
    """Begin a set-up; one at a time is open on a casting."""
    form = f"setting true of {casting_id}"
    with db.write() as session:
        build, casting = find_casting(session, casting_id)
        if already_answered(session, sent, form) is not None:
            return
        _check(session, casting, seen, actor)
        if any(not one.done for one in truings_of(session, casting_id)):
            raise Refused(
                f"A set-up of {casting.mark} is open: go on with it, or close it before you begin another.",
                WHOLE,
            )
        session.add(
            Truing(
                casting_id=casting_id,
                outward=held.outward,
                surface=held.surface.value,
                grip=held.grip.value,
                dial_unit=held.dial.unit.value,
                division_nm=held.dial.division_nm,
                tolerance_nm=held.tolerance_nm,
                screw_nm=held.screw_nm,
                counts_up=held.dial.counts_up_when_pushed_in,
                who=actor.who,
                at=now(),
            )
        )
        _tell(session, build, casting, set_up_sentence(casting.mark, held), actor)
        remember_answer(session, sent, form)


def add_round(
    db: Db, casting_id: int, truing_id: int, typed: RoundTyped, seen: int, sent: Sent, actor: Actor
) -> None:
    """Store a round of readings with the texts as typed."""
    form = f"round of {truing_id}"
    with db.write() as session:
        build, casting = find_casting(session, casting_id)
        truing = _truing(session, casting_id, truing_id)
        if already_answered(session, sent, form) is not None:
            return
        _check(session, casting, seen, actor)
        _must_be_open(truing)
        row = TruingRound(
            truing_id=truing_id,
            kind=typed.kind,
            radius_nm=None if typed.radius is None else typed.radius.nm,
            who=actor.who,
            at=now(),
        )
        session.add(row)
        session.flush()
        assert row.id is not None  # it was just written
        for ordinal, (one, text) in enumerate(zip(typed.readings, typed.texts, strict=True), 1):
            angle = round(one.angle_deg * _MICRO)
            session.add(DialReading(round_id=row.id, ordinal=ordinal, angle_udeg=angle, nm=one.nm, text=text))
        session.flush()
        sentence = round_sentence(casting.mark, _truing(session, casting_id, truing_id))
        _tell(session, build, casting, sentence, actor)
        remember_answer(session, sent, form)


def strike(db: Db, casting_id: int, truing_id: int, round_id: int, seen: int, actor: Actor) -> None:
    """Strike out a mistyped round: it stays on record and counts for nothing."""
    with db.write() as session:
        build, casting = find_casting(session, casting_id)
        truing = _truing(session, casting_id, truing_id)
        found = next((one for one in truing.rounds if one.id == round_id), None)
        if found is None:
            raise NotThere
        if found.struck_out:
            return
        _check(session, casting, seen, actor)
        _must_be_open(truing)
        session.connection().execute(
            update(TruingRound).where(col(TruingRound.id) == round_id).values(struck_out=True)
        )
        sentence = f"Struck out a round of dial readings of {casting.mark}: it was mistyped."
        _tell(session, build, casting, sentence, actor)


def close(db: Db, casting_id: int, truing_id: int, seen: int, actor: Actor) -> None:
    """Close a set-up, true or not; one that is closed already stays as it is."""
    with db.write() as session:
        build, casting = find_casting(session, casting_id)
        truing = _truing(session, casting_id, truing_id)
        if truing.done:
            return
        check_casting_seen(session, casting.id, casting.version, seen, actor)
        session.connection().execute(update(Truing).where(col(Truing.id) == truing_id).values(done=True))
        _tell(session, build, casting, closed_sentence(casting.mark, truing), actor)


def _truing(session: Session, casting_id: int, truing_id: int) -> TruingView:
    found = next((one for one in truings_of(session, casting_id) if one.id == truing_id), None)
    if found is None:
        raise NotThere
    return found


def _must_be_open(truing: TruingView) -> None:
    if truing.done:
        raise Refused("This set-up is closed, so nothing was stored: begin another.", WHOLE)


def _check(session: Session, casting: CastingView, seen: int, actor: Actor) -> None:
    if casting.state == "scrapped":
        raise Refused(f"{casting.mark} is scrapped: undo the scrapping before you work on it.", WHOLE)
    check_casting_seen(session, casting.id, casting.version, seen, actor)


def _tell(session: Session, build: BuildView, casting: CastingView, sentence: str, actor: Actor) -> None:
    write_line(session, actor, _KIND, sentence, build_id=build.id, casting_id=casting.id)
