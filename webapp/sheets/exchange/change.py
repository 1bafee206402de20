"""A build from another machine taken in, whole or not at all."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from typing import Any

from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session

from webapp.db import FileGone
from webapp.exchange.reading import Unreadable
from webapp.exchange.storing import build_here, store
from webapp.exchange.tables import IMPORTED
from webapp.facts.batches import running_batch
from webapp.facts.castings import progress_of, stock, tiles
from webapp.facts.due import axle_due, casting_due
from webapp.facts.facts import facts_of
from webapp.facts.measured_views import history_line, measured_view
from webapp.facts.next_work import next_work
from webapp.facts.not_right import not_right
from webapp.facts.received import received_table
from webapp.facts.running_out import risk_of
from webapp.facts.wheel_lines import joint_band, wheel_line
from webapp.records.builds import find_build
from webapp.records.change import change_workshop
from webapp.records.journal import write_line
from webapp.records.measured import history_of
from webapp.records.outcome import Actor, Refused
from webapp.records.views import BuildView

FIELD = "document"
COPY = "copy"
_log = logging.getLogger("spokeshed")


@change_workshop("import")
def import_build(
    session: Session, document: Mapping[str, Any], file_name: str, as_copy: bool, actor: Actor
) -> int:
    """Store the document's build with its whole history, and tell in its journal where it came from; its id here."""
    here = build_here(session, document)
    if here is not None and not as_copy:
        raise Refused(
            f"This build is here already, as “{here}”: nothing was stored. "
            "It can be had a second time, as a copy with permanent ids of its own.",
            COPY,
        )
    try:
        own = store(session, document, as_copy=as_copy)
    except Unreadable as error:
        raise Refused(error.sentence, FIELD) from None
    _judge(session, own)
    words = f"Imported from {file_name}{', as a copy' if as_copy else ''}."
    write_line(session, actor, IMPORTED, words, build_id=own)
    return own


def _judge(session: Session, build_id: int) -> None:
    """Ask all judges once before it is stored: what they cannot work with would stop the list of builds for good."""
    try:
        build = find_build(session, build_id)
        next_work(build, running_batch(session, build))
        _judge_wheels(session, build)
    except (SQLAlchemyError, FileGone):
        raise  # not the document's fault
    except Exception as error:
        _log.exception("a document that can be read makes a build that cannot be judged")
        raise Refused(
            "The document can be read, but what it says of the build cannot be worked out: nothing was stored. "
            "The details are in the window where spokeshed was started.",
            FIELD,
        ) from error


def _judge_wheels(session: Session, build: BuildView) -> None:
    facts = facts_of(build)
    not_right(build)
    for one in build.each_pattern:
        risk_of(one)
        stock(one)
    progress_of(build, build.axles)
    tiles(build, build.castings)
    received_table(build)
    for wheel in build.castings:
        wheel_line(build, wheel)
        casting_due(build, wheel)
        joint_band(build, wheel)
        for measured in history_of(session, wheel.id):
            history_line(build.of(wheel), measured)
    for axle in build.axles:
        axle_due(build, axle)
        facts.gauges(axle)
        for seat in axle.seats.values():
            measured_view(build.of(axle), seat)
    _ = facts.made.lines, facts.made.workings, facts.reaming
