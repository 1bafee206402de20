"""Scrapping a casting and undoing it, giving a place to a spare, and writing down castings that have come."""

from __future__ import annotations

from sqlalchemy import update
from sqlmodel import Session, col, delete

from domain.route.guards import off_the_axle
from domain.route.stages import Stage
from webapp.acts.ticks import forget_quarterings
from webapp.models import Casting, Tick
from webapp.records.change import AxleChange, CastingChange, Change, change_axle, change_casting
from webapp.records.journal import write_line
from webapp.records.outcome import Refused, Unconfirmed
from webapp.records.views import SIDES, AxleView, BuildView, CastingView


def scrap_warning(build: BuildView, casting: CastingView) -> str:
    """What scrapping this casting does to others, or an empty string."""
    axle = build.axle(casting.axle_id)
    if axle is None or not casting.has(Stage.PRESSED):
        return ""
    words = f"{casting.mark} is already on axle {axle.number}: taking it off can mark the seat, so measure the seat again."
    partner = next((w for w in axle.wheels if w.id != casting.id), None)
    if partner is not None:
        words += f" Its partner {partner.mark} stays on the axle"
        words += ", and must be quartered again with the new wheel." if axle.quartered else "."
    return words


@change_casting("scrapping", scrapped=True)
def scrap(it: CastingChange, reason: str, confirmed: bool) -> None:
    """Scrap a casting at any stage: its place empties, its history stays."""
    build, casting = it.build, it.casting
    if casting.state == "scrapped":
        return
    warning = scrap_warning(build, casting)
    if warning and not confirmed:
        raise Unconfirmed(warning)
    axle = build.axle(casting.axle_id)
    where = f" at axle {axle.number}, {casting.side}," if axle else ""
    _change(
        it.session,
        casting,
        state="scrapped",
        axle_id=None,
        side=None,
        scrap_reason=reason,
        scrapped_from_axle_id=casting.axle_id,
        scrapped_from_side=casting.side,
    )
    _tell(it, casting, axle, "scrap", f"Scrapped {casting.mark}{where} because: {reason}.")


@change_casting("undoing of scrapping", scrapped=True)
def unscrap(it: CastingChange) -> None:
    """Undo a scrapping: back to its place if that is still empty, else among the spares."""
    build, casting = it.build, it.casting
    if casting.state != "scrapped":
        return
    axle = build.axle(casting.scrapped_from_axle_id)
    side = casting.scrapped_from_side
    free = axle is not None and side is not None and axle.at(side) is None
    if axle is not None and free:
        where, place = f"at axle {axle.number}, {side}", {"axle_id": axle.id, "side": side}
    else:
        where, place = "among the spares", {"axle_id": None, "side": None}
    _change(
        it.session,
        casting,
        state="in_work" if free else "spare",
        scrap_reason="",
        scrapped_from_axle_id=None,
        scrapped_from_side=None,
        **place,
    )
    sentence = f"Undid the scrapping of {casting.mark}: it is back {where}."
    if not free:
        sentence += _take_off_axle_ticks(it.session, casting)
    _tell(it, casting, axle if free else None, "unscrap", sentence)


def _take_off_axle_ticks(session: Session, casting: CastingView) -> str:
    """A casting off its axle is neither pressed nor finished: take those ticks off, and say so."""
    forget_quarterings(session, casting.id, None)
    lost = [stage for stage in off_the_axle() if casting.has(stage)]
    if not lost:
        return ""
    session.exec(
        delete(Tick).where(col(Tick.casting_id) == casting.id, col(Tick.key).in_([s.value for s in lost]))
    )
    return f" No longer ticked {' and '.join(stage.words for stage in lost)}, as it is off its axle."


@change_axle("place")
def place_spare(it: AxleChange, side: str, casting_id: int, seen: int | None = None) -> None:
    """Give an empty place to a spare, which keeps its own history."""
    if side not in SIDES:
        raise Refused("An axle has a left and a right place only.")
    casting = it.build.casting(casting_id)
    if casting is None:
        raise Refused("That casting does not belong to this build.")
    # What can never be is told before anything of how old the page is.
    if seen is not None:
        it.check(seen)
    if (casting.axle_id, casting.side) == (it.axle.id, side):
        return
    holder = it.axle.at(side)
    if holder is not None:
        raise Refused(f"{holder.mark} has that place already.")
    if casting.state != "spare":
        raise Refused(f"{casting.mark} is not a spare: only a spare can take an empty place.")
    if casting.pattern_id != it.axle.pattern_id:
        theirs, its = (it.build.pattern_of(one).name.lower() for one in (casting, it.axle))
        raise Refused(
            f"{casting.mark} is of the {theirs}, and axle {it.axle.number} has {its}: it does not belong there."
        )
    _change(it.session, casting, state="in_work", axle_id=it.axle.id, side=side)
    sentence = f"{casting.mark} took the place at axle {it.axle.number}, {side}."
    _tell(it, casting, it.axle, "place", sentence)


@change_casting("leaving of place", scrapped=True)
def make_spare(it: CastingChange) -> None:
    """Take a casting out of its place and put it among the spares; not once it is pressed."""
    casting = it.casting
    if casting.state == "spare":
        return
    axle = it.build.axle(casting.axle_id)
    if axle is None:
        raise Refused(f"{casting.mark} is scrapped: undo the scrapping first.")
    if casting.has(Stage.PRESSED):
        raise Refused(f"{casting.mark} is on its axle: untick pressed first, if it has come off.")
    _change(it.session, casting, state="spare", axle_id=None, side=None)
    sentence = f"{casting.mark} left its place at axle {axle.number}, {casting.side}, for the spares."
    _tell(it, casting, axle, "spare", sentence)


@change_casting("pattern")
def be_of_pattern(it: CastingChange, pattern_id: int) -> None:
    """Say that a spare is a casting of another pattern."""
    casting = it.casting
    pattern = it.build.find_pattern(pattern_id)
    if pattern is None:
        raise Refused("There is no such pattern of wheel in this build.")
    if casting.pattern_id == pattern_id:
        return
    if casting.state != "spare":
        raise Refused(f"{casting.mark} has a place: take it to the spares first.")
    _change(it.session, casting, pattern_id=pattern_id)
    it.tell("change", f"{casting.mark} is a casting of the {pattern.name.lower()}.")


@change_casting("mark", scrapped=True)
def rename(it: CastingChange, mark: str) -> None:
    """Change a casting's mark."""
    casting = it.casting
    if mark == casting.mark:
        return
    if any(c.mark.casefold() == mark.casefold() and c.id != casting.id for c in it.build.whole.castings):
        raise Refused(f"The mark {mark} is taken in this build.", "mark")
    _change(it.session, casting, mark=mark)
    it.tell("mark", f"Mark changed from {casting.mark} to {mark}.")


def _change(session: Session, casting: CastingView, **values: object) -> None:
    session.connection().execute(update(Casting).where(col(Casting.id) == casting.id).values(**values))


def _tell(it: Change, casting: CastingView, axle: AxleView | None, kind: str, sentence: str) -> None:
    """A line on the casting, and one on the axle whose place it took or left."""
    own, session, actor = it.build.id, it.session, it.actor
    axle_id = axle.id if axle else None
    write_line(session, actor, kind, sentence, build_id=own, casting_id=casting.id, axle_id=axle_id)
    if axle is not None:
        write_line(session, actor, kind, sentence, build_id=own, axle_id=axle.id)
