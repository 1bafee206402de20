"""Applying a pairing of wheels and seats in one go, and undoing it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sqlalchemy import update
from sqlmodel import Session, col

from webapp.facts.pairing import propose
from webapp.facts.places import Move, Place, move_words, place_words, rearranged
from webapp.models import Casting, PairingMove, PairingRow
from webapp.records.change import Change, change_build
from webapp.records.journal import now, write_line
from webapp.records.outcome import Actor, NotThere, OutOfDate, Refused
from webapp.records.views import SIDES, AxleView, BuildView
from webapp.sheets.pairing.view_applied import applied_pairing, latest_pairing, undo_objection


@change_build("pairing")
def apply_pairing(it: Change, seen: str) -> None:
    """Put every casting where the best pairing wants it; `seen` is the digest of the proposal that was shown."""
    proposal = propose(it.build)
    if proposal.digest != seen:
        raise OutOfDate("", "", None)
    if not proposal.moves:
        raise Refused("Today's places are already the best: there is nothing to move.")
    _keep(it.session, it.build.id, proposal.moves, it.actor)
    _carry_out(it.session, it.build, proposal.moves, "pair", it.actor)


@change_build("undoing of pairing")
def undo_pairing(it: Change, pairing_id: int) -> None:
    """Put every casting that the latest pairing moved back where it was, unless something since forbids it."""
    applied = applied_pairing(it.session, it.build, pairing_id)
    if applied is None:
        raise NotThere
    if applied.undone:
        return  # it is as wanted already: a tap that arrived twice
    latest = latest_pairing(it.session, it.build)
    if latest is None or latest.id != applied.id:
        raise Refused("Another pairing was applied after this one: undo that one first.")
    objection = undo_objection(it.build, applied)
    if objection:
        raise Refused(objection)
    back = tuple(Move(move.casting, move.end, move.start) for move in applied.moves)
    _carry_out(it.session, it.build, back, "unpair", it.actor)
    undone = update(PairingRow).where(col(PairingRow.id) == pairing_id).values(undone_by=it.actor.who)
    it.session.connection().execute(undone)


def _keep(session: Session, build_id: int, moves: Iterable[Move], actor: Actor) -> None:
    """Remember what is moved, so that it can be undone."""
    row = PairingRow(build_id=build_id, at=now(), who=actor.who)
    session.add(row)
    session.flush()
    assert row.id is not None  # the flush gave it one
    for move in moves:
        (start_axle, start_side), (end_axle, end_side) = (
            place or (None, None) for place in (move.start, move.end)
        )
        session.add(
            PairingMove(
                pairing_id=row.id,
                casting_id=move.casting.id,
                from_axle_id=start_axle,
                from_side=start_side,
                to_axle_id=end_axle,
                to_side=end_side,
            )
        )


def _carry_out(session: Session, build: BuildView, moves: Sequence[Move], kind: str, actor: Actor) -> None:
    # All places are cleared before any is given: no two castings may have one place, not even for a moment.
    for move in moves:
        _place(session, move.casting.id, None)
    for move in moves:
        _place(session, move.casting.id, move.end)
    why = "pairing wheels with seats" if kind == "pair" else "undoing the pairing"
    for move in moves:
        start, end = place_words(build, move.start), place_words(build, move.end)
        known = move.end or move.start
        write_line(
            session,
            actor,
            kind,
            f"{move.casting.mark} moved from {start} to {end}: {why}.",
            build_id=build.id,
            casting_id=move.casting.id,
            axle_id=known[0] if known else None,
        )
    after = rearranged(build, moves)
    touched = {place[0] for move in moves for place in (move.start, move.end) if place}
    for old, new in zip(build.axles, after.axles, strict=True):
        if new.id in touched:
            words = "; ".join(_side_words(old, new, side) for side in SIDES)
            sentence = f"Axle {new.number} after {why}: {words}."
            write_line(session, actor, kind, sentence, build_id=build.id, axle_id=new.id)
    done = "Pairing applied" if kind == "pair" else "Pairing undone"
    told = "; ".join(move_words(build, move) for move in moves)
    write_line(session, actor, kind, f"{done}: {told}.", build_id=build.id)


def _side_words(old: AxleView, new: AxleView, side: str) -> str:
    was, now_there = (found.mark if (found := axle.at(side)) else "empty" for axle in (old, new))
    return f"{side} {now_there}, as before" if was == now_there else f"{side} {now_there}, before {was}"


def _place(session: Session, casting_id: int, place: Place) -> None:
    axle_id, side = place or (None, None)
    state = "in_work" if place else "spare"
    session.connection().execute(
        update(Casting).where(col(Casting.id) == casting_id).values(state=state, axle_id=axle_id, side=side)
    )
