"""Batches, turns and waiting wheels in words."""

from __future__ import annotations

from domain.route.planning import Batch, Turn, Waiting, WaitsFor
from domain.route.set_ups import SetUp, Work


def set_up_title(set_up: SetUp) -> str:
    """A set-up as a heading.

    >>> set_up_title(SetUp.MANDREL)
    'In the lathe, on the stub mandrel'
    """
    return f"{set_up.words[0].upper()}{set_up.words[1:]}"


def batch_words(batch: Batch) -> str:
    """The set-up and what is done in it."""
    return f"{set_up_title(batch.set_up)}: {', then '.join(work.words for work in batch.works)}."


def why_words(batch: Batch) -> str:
    """Why the work is done so, and which treads are not ready for it."""
    if not batch.left_out:
        return batch.set_up.why
    it, its = ("it", "its tread") if len(batch.left_out) == 1 else ("them", "their treads")
    return (
        f"{batch.set_up.why} Not ready for this: {', '.join(batch.left_out)}. Wait for {it} if you can, or {its} will"
        f" be turned in another set-up."
    )


def turn_words(turn: Turn) -> str:
    """Whose turn it is, where, and what is done.

    >>> turn_words(Turn((1,), ("W1",), "axle 1, left", (("W1", Work.LOG_BORE),)))
    'W1 (axle 1, left): measure and log the bore.'
    """
    said = ", then ".join(_job(mark, work) for mark, work in turn.jobs)
    return f"{' and '.join(turn.marks)} ({turn.where}): {said}."


def _job(mark: str, work: Work) -> str:
    if work is Work.FIX_AND_QUARTER:
        return f"fix {mark} and quarter the axle in one go"
    if work is Work.LOG_THROW:
        return f"measure and log the throw of {mark}"
    if work is Work.HOLE_ON_AXLE:
        return f"drill the crankpin hole of {mark} on its axle with the quartering jig and log the throw"
    return work.words


def waiting_words(one: Waiting) -> str:
    """Why a wheel waits."""
    for_fellow = f"{one.mark} waits for {one.fellow} on the same axle"
    return {
        WaitsFor.CHECKLIST: f"{one.mark} waits to be {one.stage.words}, and no set-up here is for that: tick it on its"
        " checklist when it is done.",
        WaitsFor.FELLOW_HELD: f"{for_fellow}: {one.reason}",
        WaitsFor.FELLOW_FIRST: f"{for_fellow}, which must be fixed first.",
        WaitsFor.NOTHING_KNOWN: f"{one.mark} cannot be {one.stage.words} yet.",
    }.get(one.waits_for, one.reason)


def waiting_line(one: Waiting) -> str:
    """Why a wheel waits, in a list of several: with its mark and place where the reason does not name it."""
    words = waiting_words(one)
    return words if one.named else f"{one.mark} ({one.where}): {words}"
