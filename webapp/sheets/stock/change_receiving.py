"""Writing down a casting as it came. A receipt is never overwritten: a later one stands beside it."""

from __future__ import annotations

from sqlmodel import Session

from webapp.acts.sizes import sizes_words, store_sizes
from webapp.db import Db
from webapp.facts.receiving import bad_figure
from webapp.models import Receipt
from webapp.records.builds import find_casting
from webapp.records.journal import already_answered, check_casting_seen, now, remember_answer, write_line
from webapp.records.outcome import WHOLE, Actor, Refused
from webapp.records.views import BuildView, CastingView
from webapp.typed.receiving import ReceiptTyped
from webapp.typed.texts import Sent

_FLAW_WORDS = {"blowhole": "blowhole", "chill": "chilled skin", "shift": "mould shift"}


def receive_casting(
    db: Db, casting_id: int, receipt: ReceiptTyped, seen: int, sent: Sent, actor: Actor
) -> None:
    """Store the receipt with its sizes and the journal's line."""
    form = f"receiving of {casting_id}"
    with db.write() as session:
        build, casting = find_casting(session, casting_id)
        if already_answered(session, sent, form) is not None:
            return
        check_casting_seen(session, casting.id, casting.version, seen, actor)
        if casting.state == "scrapped":
            raise Refused(f"{casting.mark} is scrapped: undo the scrapping first.", WHOLE)
        wrong = bad_figure(build, casting, receipt)
        if wrong is not None:
            raise Refused(wrong.words, wrong.field or WHOLE)
        _store(session, build, casting, receipt, actor)
        sentence = _told(build, casting, receipt)
        write_line(session, actor, "receive", sentence, build_id=build.id, casting_id=casting.id)
        remember_answer(session, sent, form)


def _store(
    session: Session, build: BuildView, casting: CastingView, receipt: ReceiptTyped, actor: Actor
) -> None:
    row = Receipt(
        build_id=build.id,
        casting_id=casting.id,
        weight_mg=receipt.weight_mg,
        weight_text=receipt.weight_text,
        blowhole="blowhole" in receipt.seen,
        chill="chill" in receipt.seen,
        shift="shift" in receipt.seen,
        note=receipt.note,
        who=actor.who,
        at=now(),
    )
    session.add(row)
    session.flush()
    store_sizes(session, build, receipt.sizes, actor, casting_id=casting.id, receipt_id=row.id)


def _told(build: BuildView, casting: CastingView, receipt: ReceiptTyped) -> str:
    said = [sizes_words(build, receipt.sizes)] if receipt.sizes else []
    if receipt.weight_text:
        said.append(f"weight {receipt.weight_text}")
    if receipt.seen:
        said.append("seen: " + ", ".join(_FLAW_WORDS[name] for name in _FLAW_WORDS if name in receipt.seen))
    if receipt.note:
        said.append(f"note: {receipt.note}")
    again = " again" if casting.receipt else ""
    return f"{casting.mark} looked over as it came{again}: {'; '.join(said)}."
