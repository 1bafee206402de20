"""Writing down a casting as it came. A receipt is never overwritten: a later one stands beside it."""

from __future__ import annotations

from collections.abc import Iterator

from domain.stock.words import FLAW_NAMES
from domain.truing.dial import HOURS
from webapp.acts.asking import InOneGo, ReadHere, ask_about, impossible
from webapp.acts.sizes import refuse_too_long, sizes_words, store_sizes
from webapp.facts.expected import of_size, weight_of
from webapp.facts.receiving import bad_figures
from webapp.models import Measurement, Receipt
from webapp.records.change import CastingChange, change_casting
from webapp.records.journal import now
from webapp.records.measured import write_measured
from webapp.records.read_sizes import WEIGHT
from webapp.records.views import BuildView, CastingView
from webapp.typed.receiving import READINGS, ReceiptTyped, box
from webapp.typed.sizes import NOWHERE


@change_casting("receiving")
def receive_casting(change: CastingChange, receipt: ReceiptTyped) -> None:
    """Store the receipt with its sizes and the journal's line."""
    meant = weigh_receipt(change.build, change.casting, receipt)
    _store(change, receipt)
    change.tell("receive", _told(change.build, change.casting, receipt) + meant)


def weigh_receipt(build: BuildView, casting: CastingView, receipt: ReceiptTyped) -> str:
    """Raise all that cannot be or can hardly be meant, each beside its field; what is meant, for the journal."""
    told, meant = InOneGo(), ""
    refuse_too_long(build, receipt.sizes, told)
    read = tuple(_read(build, casting, receipt))
    # A size that no casting has is told of itself, and not held against the others.
    cannot = told.fields | impossible(read)
    for wrong in bad_figures(build, {key: nm for key, nm in receipt.nm.items() if _box(key) not in cannot}):
        told.refuse(wrong.field, wrong.words)
    with told.weighing():
        meant = ask_about(read, receipt.meant, build.unit)
    told.tell()
    return meant


def _box(key: str) -> str:
    """Where a size stands on the form; what came of four readings stands at the first."""
    return next((box(kind, HOURS[0]) for kind, of in READINGS.items() if of == key), key)


def _read(build: BuildView, casting: CastingView, receipt: ReceiptTyped) -> Iterator[ReadHere]:
    """Each figure of the receipt with what it should be about."""
    for key, size in receipt.sizes.items():
        yield ReadHere(_box(key), size.nm, size.text, of_size(build, key))
    if receipt.weight_mg is not None:
        yield ReadHere("weight", receipt.weight_mg, receipt.weight_text, weight_of(build, casting))


def _store(change: CastingChange, receipt: ReceiptTyped) -> None:
    session, actor, build, casting = change.session, change.actor, change.build, change.casting
    row = Receipt(
        build_id=build.id,
        casting_id=casting.id,
        blowhole="blowhole" in receipt.seen,
        chill="chill" in receipt.seen,
        shift="shift" in receipt.seen,
        crack="crack" in receipt.seen,
        note=receipt.note,
        who=actor.who,
        at=now(),
    )
    session.add(row)
    session.flush()
    store_sizes(session, build, receipt.sizes, actor, casting_id=casting.id, receipt_id=row.id)
    if receipt.weight_mg is not None:
        weight = Measurement(
            build_id=build.id,
            kind=WEIGHT,
            casting_id=casting.id,
            receipt_id=row.id,
            value=receipt.weight_mg,
            who=actor.who,
        )
        write_measured(session, weight, [(receipt.weight_text, None, NOWHERE)])


def _told(build: BuildView, casting: CastingView, receipt: ReceiptTyped) -> str:
    said = [sizes_words(build, receipt.sizes)] if receipt.sizes else []
    if receipt.weight_text:
        said.append(f"weight {receipt.weight_text}")
    if receipt.seen:
        said.append("seen: " + ", ".join(FLAW_NAMES[one] for one in FLAW_NAMES if one in receipt.seen))
    if receipt.note:
        said.append(f"note: {receipt.note}")
    again = " again" if casting.receipt else ""
    return f"Looked over as it came{again}: {'; '.join(said)}."
