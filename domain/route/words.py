"""Batches, turns and waiting wheels in words."""

from __future__ import annotations

from collections.abc import Sequence

from domain.route.guards import (
    next_stage,
    objection_to_fix_and_quarter,
    objection_to_quarter,
    objection_to_tick,
)
from domain.route.shop import Done, Shop, State, stage_held
from domain.route.stages import Stage
from domain.route.types import PLANNED_STAGES, Batch, SetUp, Turn, Waiting, Work


def batch_of(shop: Shop, set_up: SetUp, done: Sequence[Done], goal: State) -> Batch:
    """One set-up and what is done in it, with its reason."""
    turns = turns_of(shop, set_up, done)
    works = tuple(dict.fromkeys(work for work in set_up.works if any(work is w for _, w in done)))
    words = f"{set_up.words[0].upper()}{set_up.words[1:]}: {', then '.join(work.words for work in works)}."
    why = set_up.why
    if Work.TURN_TREAD in works:
        left_out = [wheel.mark for wheel in goal if not wheel.has(Stage.TREAD_TURNED)]
        if left_out:
            them = ("it", "its tread") if len(left_out) == 1 else ("them", "their treads")
            why += (
                f" Not ready for this: {', '.join(left_out)}. Wait for {them[0]} if you can,"
                f" or {them[1]} will be turned in another set-up."
            )
    return Batch(set_up, works[-1].stage, turns, words, why)


def turns_of(shop: Shop, set_up: SetUp, done: Sequence[Done]) -> tuple[Turn, ...]:
    """One turn for each wheel; in quartering one for each axle, so that no casting has two turns in a batch.

    They are in axle order, but for fixing: there the wheels with a bore to measure come before the others.
    """
    groups: dict[int, list[Done]] = {}
    for at, work in done:
        group = shop.wheels[at].axle if set_up is SetUp.QUARTERING else at
        groups.setdefault(group, []).append((at, work))
    turns = []
    for _, mine in sorted(groups.items()):
        touched = {at for at, _ in mine}
        if any(work in (Work.QUARTER, Work.FIX_AND_QUARTER) for _, work in mine):
            touched |= {fellow for at in touched if (fellow := shop.fellow(at)) is not None}
        wheels = [shop.wheels[at] for at in sorted(touched)]
        works = tuple(dict.fromkeys(work for _, work in mine))
        where = wheels[0].where if len(wheels) == 1 else f"axle {wheels[0].axle}"
        marks = tuple(wheel.facts.mark for wheel in wheels)
        words = f"{' and '.join(marks)} ({where}): {_turn_words(shop, mine)}."
        turns.append(Turn(tuple(wheel.key for wheel in wheels), marks, where, works, words))
    if set_up is SetUp.FIXING:
        # The fits are to be known before the first wheel goes on, so what is not measured comes first.
        turns.sort(key=lambda turn: Work.LOG_BORE not in turn.works)
    return tuple(turns)


def _turn_words(shop: Shop, mine: Sequence[Done]) -> str:
    said = []
    for at, work in mine:
        if work is Work.FIX_AND_QUARTER:
            said.append(f"bond {shop.wheels[at].facts.mark} and quarter the axle in one go")
        elif work is Work.LOG_THROW:
            said.append(f"measure and log the throw of {shop.wheels[at].facts.mark}")
        else:
            said.append(work.words)
    return ", then ".join(said)


def waiting_of(shop: Shop, goal: State) -> tuple[Waiting, ...]:
    """The wheels that are not finished when all that can be done is done, and why."""
    waiting = []
    for at, wheel in enumerate(shop.wheels):
        stage = next_stage(goal[at].ticked, shop.order(at))
        if stage is not None:
            why = _why_waiting(shop, goal, at, stage)
            waiting.append(Waiting(wheel.key, wheel.facts.mark, wheel.where, why))
    return tuple(waiting)


def _why_waiting(shop: Shop, goal: State, at: int, stage: Stage) -> str:
    wheel, order, fellow = goal[at], shop.order(at), shop.fellow(at)
    hold = shop.holds.get(shop.wheels[at].key)
    second = stage is Stage.PRESSED and shop.together(at) and at not in shop.firsts
    if hold and (stage_held(shop, at, stage) or (second and stage_held(shop, at, Stage.QUARTERED))):
        return hold.why
    if stage is not Stage.QUARTERED and (doubt := objection_to_tick(stage.value, wheel, order)) is not None:
        return doubt.words
    if stage not in PLANNED_STAGES:
        return (
            f"{wheel.mark} waits to be {stage.words}, and no set-up here is for that: tick it on its checklist when it"
            " is done."
        )
    if fellow is not None and (hold := shop.holds.get(shop.wheels[fellow].key)) is not None:
        return f"{wheel.mark} waits for {goal[fellow].mark} on the same axle: {hold.why}"
    if second and fellow is not None and not goal[fellow].has(Stage.PRESSED):
        return f"{wheel.mark} waits for {goal[fellow].mark} on the same axle, which must be fixed first."
    if second and fellow is not None:
        objection = objection_to_fix_and_quarter(goal[fellow], wheel, order)
    else:
        objection = objection_to_quarter(*shop.axle(at, goal), order)
    return f"{wheel.mark} cannot be {stage.words} yet." if objection is None else objection.words
