"""The mandrel: a stub turned and tried, a wheel put on it, taken off and cleaned; each is told in the wheel's history."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy import update
from sqlmodel import col

from domain.answer import Answer
from domain.joints.cure import UNTIMED_BOND
from domain.joints.words import held_headline
from domain.lengths import Length, show_small
from domain.mandrel.stub import goes_on, run_out_answer
from domain.mandrel.words import (
    hold_words,
    moment,
    moment_from,
    run_out_words,
    stub_words,
    too_large_words,
)
from domain.measuring.plausible import near
from domain.route.guards import asked
from domain.route.stages import Stage
from webapp.acts.asking import ReadHere, ask_about
from webapp.acts.ticks import let_pass
from webapp.facts.clock import clock_doubted
from webapp.facts.cure import clock_from, off_stub_asked
from webapp.facts.mandrel import allowed_swing_nm, last_turn, present_stub, stub_bond
from webapp.models import Stub, StubTurn
from webapp.records.change import CastingChange, change_casting
from webapp.records.journal import now
from webapp.records.outcome import WHOLE, NotThere, Refused, Unconfirmed
from webapp.records.stubs import StubTurnView, StubView
from webapp.sheets.mandrel.form import NewStub, PutOn
from webapp.typed.ticks import TickWish

_KIND = "mandrel"


@change_casting("stub")
def turn_stub(it: CastingChange, new: NewStub) -> None:
    """A stub was turned; it takes the place of the one before."""
    build, casting, size = it.build, it.casting, new.size
    bore = casting.bore
    if bore is None:
        raise Refused(_no_bore(casting.mark), "size" if new.hold.turned else "hold")
    if size is not None and not goes_on(size.nm, bore.nm):
        raise Refused(too_large_words(size.nm, bore.nm, casting.mark, build.unit), "size")
    meant = ""
    if size is not None:
        expected = replace(near("stub", bore.nm), whose="the bore's own")
        meant = ask_about([ReadHere("size", size.nm, size.text, expected)], new.meant, build.unit)
    before = present_stub(build)
    if before is not None:
        _must_be_free(it, before, "hold")
        _change_stub(it, before.id, ended=True)
    it.session.add(
        Stub(
            build_id=build.id,
            pattern_id=it.casting.pattern_id,
            hold=new.hold.value,
            nm=size.nm if size else None,
            text=size.text if size else "",
            who=it.actor.who,
            at=now(),
        )
    )
    it.tell(_KIND, f"Made ready: {stub_words(new.hold, size.nm if size else None, build.unit)}.{meant}")


@change_casting("run-out of stub {}")
def log_swing(it: CastingChange, stub_id: int, swing: Length) -> None:
    """The dial was read on the stub."""
    stub = _present(it, stub_id)
    _change_stub(it, stub.id, swing_nm=swing.nm, swing_text=swing.text, put_back=False)
    allowed = allowed_swing_nm(it.build)
    answer = run_out_answer(swing.nm, allowed, put_back=False)
    words = run_out_words(answer, swing.nm, allowed, it.build.unit, put_back=False)
    it.tell(_KIND, f"Read the dial on the stub, {swing.text}. {words}")


@change_casting("stub {} put back")
def put_back(it: CastingChange, stub_id: int) -> None:
    """The stub was taken out of the spindle and put back: it is doubted from now on."""
    stub = _present(it, stub_id)
    if not stub.put_back:
        _change_stub(it, stub.id, put_back=True)
        it.tell(_KIND, "The stub was taken out and put back: doubted until its run-out is logged again.")


@change_casting("dial at stub {}")
def keep_dial(it: CastingChange, stub_id: int, dial: str) -> None:
    """The dial's reading that this and every further finishing cut is taken at."""
    stub = _present(it, stub_id)
    if stub.dial_text != dial:
        _change_stub(it, stub.id, dial_text=dial)
        it.tell(_KIND, f"Finishing cut of the treads on this stub: dial reading at size {dial}.")


@change_casting("on stub {}")
def put_on(it: CastingChange, stub_id: int, on: PutOn) -> None:
    """A wheel went on the stub: where a compound holds it, its cure is counted from now or from when it says."""
    build, casting, stub = it.build, it.casting, _present(it, stub_id)
    if casting.bore is None:
        raise Refused(_no_bore(casting.mark), "at")
    if casting.has(Stage.PRESSED):
        raise Refused(f"{casting.mark} is ticked as fixed on its axle, so it goes on no stub.", "at")
    _must_be_free(it, stub, "at")
    if stub.nm is not None and not goes_on(stub.nm, casting.bore.nm):
        raise Refused(too_large_words(stub.nm, casting.bore.nm, casting.mark, build.unit), "at")
    arrived = now()
    untimed = stub.hold.cures and clock_doubted(build, arrived)
    doubts = tuple(_doubts(it, stub, untimed=untimed))
    if doubts and not on.sure:
        raise Unconfirmed(" ".join(doubts), doubts)
    # What could be sent only later is cured for less long than the device's clock says, never for longer.
    at = on.at or max(arrived, it.actor.device_at or arrived)
    row = StubTurn(
        stub_id=stub.id, casting_id=casting.id, on_at=at, on_by=it.actor.who, untimed=untimed, off_by=""
    )
    it.session.add(row)
    begun = "compound on" if stub.hold.cures else "on"
    passed = f" Asked about, and gone on with: {' '.join(doubts)}" if doubts else ""
    it.tell(_KIND, f"{_on_the(stub, it)}, {begun} at {_at(at)}.{_gap_words(it, stub)}{passed}")


@change_casting("running centre at stub {}")
def centre(it: CastingChange, stub_id: int) -> None:
    """The running centre took the place of the tailstock's barrel."""
    stub, turn = _here(it, stub_id)
    if turn.centred_at is not None:
        return
    if stub.hold.cures and not turn.untimed:
        from_when = clock_from(it.build, turn.on_at).handle_after
        if now() < from_when:
            raise Refused(
                f"The bond on the stub may not be handled before {_from(from_when)}: leave the barrel where it is.",
                WHOLE,
            )
    _change_turn(it, turn.id, centred_at=now())
    it.tell(_KIND, f"Running centre in the end of the {_name(stub, it)}.")


@change_casting("off stub {}", scrapped=True)
def take_off(it: CastingChange, stub_id: int, wish: TickWish) -> None:
    """A wheel came off the stub; one whose bond has not cured is asked about, unless it is scrapped anyway."""
    build, casting, (stub, turn), at = it.build, it.casting, _here(it, stub_id), now()
    doubts = off_stub_asked(build, casting, stub, turn, at, doubted=clock_doubted(build, at))
    passed = let_pass(asked([doubts]) if doubts and casting.state != "scrapped" else None, wish)
    _change_turn(it, turn.id, off_at=at, off_by=it.actor.who)
    it.tell(_KIND, f"Off the {_name(stub, it)}, on since {_at(turn.on_at)} ({turn.on_by}).{passed.told}")


@change_casting("cleaned after stub {}")
def clean(it: CastingChange, stub_id: int) -> None:
    """The last of the compound is out of the bore, and its edges are broken."""
    found = last_turn(it.build, it.casting)
    if found is None or found[0].id != stub_id or found[1].off_at is None:
        raise Refused(f"{it.casting.mark} did not come off this stub.", WHOLE)
    if found[1].cleaned_at is None:
        _change_turn(it, found[1].id, cleaned_at=now())
        it.tell(_KIND, "Bore cleaned after the stub, edges broken.")


def _no_bore(mark: str) -> str:
    return f"The bore of {mark} is not logged yet: gauge it first, so that it can be compared afterwards."


def _stub(it: CastingChange, stub_id: int) -> StubView:
    stub = next((one for one in it.build.stubs if one.id == stub_id), None)
    if stub is None:
        raise NotThere("stub")
    return stub


def _present(it: CastingChange, stub_id: int) -> StubView:
    stub = _stub(it, stub_id)
    if stub.ended:
        raise Refused("Another stub was turned since: open this sheet again.", WHOLE)
    return stub


def _here(it: CastingChange, stub_id: int) -> tuple[StubView, StubTurnView]:
    """The stub with this wheel's turn on it, which is under way."""
    stub = _stub(it, stub_id)
    if stub.on is None or stub.on.casting_id != it.casting.id:
        raise Refused(f"{it.casting.mark} is not on this stub.", WHOLE)
    return stub, stub.on


def _must_be_free(it: CastingChange, stub: StubView, field: str) -> None:
    if stub.on is None:
        return
    other = it.build.casting(stub.on.casting_id)
    mark = other.mark if other else "Another wheel"
    raise Refused(
        f"{mark} is on the stub since {_at(stub.on.on_at)}: log it off first, on its own sheet.", field
    )


def _doubts(it: CastingChange, stub: StubView, *, untimed: bool) -> Iterator[str]:
    """What is asked about before a wheel goes on: a stub that may not run true, a gap that does not serve, a clock."""
    allowed = allowed_swing_nm(it.build)
    answer = run_out_answer(stub.swing_nm, allowed, put_back=stub.put_back)
    if stub.hold.turned and answer is not Answer.SERVES:
        yield run_out_words(answer, stub.swing_nm, allowed, it.build.unit, put_back=stub.put_back)
    bond = stub_bond(it.build, stub, it.casting)
    if bond is not None and bond.kind.answer is Answer.NOT:
        yield f"{held_headline(bond, it.build.unit)}."
    if untimed:
        yield UNTIMED_BOND


def _gap_words(it: CastingChange, stub: StubView) -> str:
    bond = stub_bond(it.build, stub, it.casting)
    return f" Gap {show_small(bond.gap_nm, it.build.unit)}." if bond else ""


def _name(stub: StubView, it: CastingChange) -> str:
    return stub_words(stub.hold, stub.nm, it.build.unit)


def _on_the(stub: StubView, it: CastingChange) -> str:
    if stub.nm is None:
        return f"Set up {hold_words(stub.hold)}"
    return f"On the {_name(stub, it)}"


def _at(when: datetime) -> str:
    return moment(when.astimezone(), now().astimezone())


def _from(when: datetime) -> str:
    return moment_from(when.astimezone(), now().astimezone())


def _change_stub(it: CastingChange, own: int, **values: Any) -> None:
    it.session.connection().execute(update(Stub).where(col(Stub.id) == own).values(**values))


def _change_turn(it: CastingChange, own: int, **values: Any) -> None:
    it.session.connection().execute(update(StubTurn).where(col(StubTurn.id) == own).values(**values))
