"""Writing down wear, taking finished wheels back to tread turned, and coming back out of that. Nothing is overwritten."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from datetime import date, datetime

from sqlalchemy import func, select
from sqlmodel import Session, col, delete

from domain.lengths import Length, show
from domain.returning.life import lost_ticks
from domain.returning.wear import short_at, thicker_by_nm
from domain.returning.words import asks_words, short_words, thicker_words
from domain.route.stages import Stage, tickable
from domain.treads.flange import FlangePlace
from domain.treads.judging import MeasuredSize, at_tread
from domain.treads.words import lack_words
from webapp.acts.asking import InOneGo
from webapp.acts.size_log import SizeForm, log_casting_sizes
from webapp.acts.sizes import ask_about_sizes, expanded_of, sizes_words, store_sizes, without_zero_offset
from webapp.db import Db
from webapp.facts.facts import facts_of
from webapp.facts.returning import WornGroup, is_finished, made_tread_of, wear_of, worn_group
from webapp.facts.treads import measured_of
from webapp.models import Measurement, TakenBack, TakenBackTick, Tick
from webapp.records.change import Asked, AxleChange, change_axle
from webapp.records.journal import now, today, write_line
from webapp.records.outcome import WHOLE, Refused, Unconfirmed
from webapp.records.taken_back import OF_A_LIFE, TakenBackView, taken_back_of
from webapp.records.views import AxleView, BuildView, CastingView
from webapp.sheets.returning.form import TakeBack
from webapp.typed.size_log import SizesLogged


def log_wear(db: Db, casting_id: int, asked: Asked, logged: SizesLogged) -> None:
    """Store the wear of one tyre and the journal's line, which says what it asks for."""
    log_casting_sizes(db, casting_id, asked, WEAR_FORM, logged)


def _weigh(build: BuildView, casting: CastingView, logged: SizesLogged, told: InOneGo) -> Mapping[str, int]:
    """Put down what cannot be of a worn tyre; wear corrects nothing, for the last that was logged stands."""
    if not is_finished(build, casting):
        raise Refused(
            f"{casting.mark} is not finished yet: wear is logged of a wheel that was in service.", WHOLE
        )
    own, sizes = build.of(casting), logged.sizes
    wide = own.nm("tyre_width")
    for key in ("worn_flange", "worn_height", "worn_hollow"):
        if key in sizes and sizes[key].nm > wide:
            told.refuse(
                key, f"That is more than the whole tyre is wide, {show(wide, build.unit)}: is the unit right?"
            )
    if "worn_at" in sizes:
        place = FlangePlace(facts_of(own).treads.flange, sizes["worn_at"].nm)
        if place.lack:
            told.refuse("worn_at", lack_words(place, build.unit))
    with told.weighing():
        _check_tread(build, casting, logged)
    if not told.fields:
        _check_thinner(build, casting, logged)
    return {}


def _check_tread(build: BuildView, casting: CastingView, logged: SizesLogged) -> None:
    size, made = logged.sizes.get("worn_tread"), made_tread_of(build, casting)
    if size is None:
        return
    worn = MeasuredSize(size.nm, expanded_of(build, size, logged.instrument_id) or 0)
    if worn.nm - made.nm > math.hypot(worn.expanded_nm, made.expanded_nm):
        raise Refused(
            f"That is larger than the tread was made, {show(made.nm, build.unit)}: metal does not grow. Measure it again.",
            "worn_tread",
        )


def _check_thinner(build: BuildView, casting: CastingView, logged: SizesLogged) -> None:
    """A worn flange is no thicker than it was new, once tread, thickness and height are all known."""

    def known(key: str) -> MeasuredSize | None:
        if key in logged.sizes:
            size, tool = logged.sizes[key], None if key == "worn_at" else logged.instrument_id
            return MeasuredSize(size.nm, expanded_of(build, size, tool) or 0)
        return measured_of(casting.sizes.get(key))

    treads = facts_of(build.of(casting)).treads
    tread, flange, above = known("worn_tread"), known("worn_flange"), known("worn_at")
    if tread is None or flange is None or above is None or treads.flange is None:
        return
    drawn = MeasuredSize(build.of(casting).nm("flange_width"), 0)
    made = at_tread(measured_of(casting.sizes.get("flange_thickness")), treads.place(casting)) or drawn
    by = thicker_by_nm(treads.flange, made, made_tread_of(build, casting).nm, flange, above.nm, tread.nm)
    if by:
        field = "worn_flange" if "worn_flange" in logged.sizes else "worn_tread"
        raise Refused(thicker_words(by, build.unit), field)


def _told(build: BuildView, casting: CastingView, _sizes: Mapping[str, Length]) -> str:
    """What the journal says once the wear of a tyre is known as a whole."""
    axle = build.axle(casting.axle_id)
    if axle is None or wear_of(casting.sizes) is None:
        return ""
    own = next(one for one in worn_group(build, axle).wheels if one.casting.id == casting.id)
    return f" To turn off the radius: {asks_words(own.off, build.unit)}." if own.off else ""


WEAR_FORM = SizeForm("wear", "Wear measured", _weigh, _told)


@change_axle("worn back to back")
def log_worn_back(it: AxleChange, logged: SizesLogged) -> None:
    """Store the back to back after service; what it says of the joints is told."""
    build, axle = it.build, it.axle
    off = [wheel.mark for wheel in axle.wheels if not is_finished(build, wheel)]
    if off or not axle.wheels:
        raise Refused(
            f"{' and '.join(off) or 'No wheel'} {'are' if len(off) > 1 else 'is'} not finished yet: this is measured of a "
            "set that was in service.",
            WHOLE,
        )
    told = InOneGo()
    sizes = without_zero_offset(build, logged.sizes, logged.instrument_id, told)
    told.tell()
    gauge = build.nm("gauge")
    if sizes["worn_back"].nm >= gauge:
        raise Refused(
            f"That is no less than the track's gauge, {show(gauge, build.unit)}: measure between the backs of the tyres.",
            "worn_back",
        )
    meant = ask_about_sizes(build, logged.sizes, logged.meant)
    store_sizes(it.session, build, sizes, it.actor, axle_id=axle.id, instrument_id=logged.instrument_id)
    it.tell("size", f"Axle {axle.number} measured: {sizes_words(build, sizes)}.{meant}")


# --- back to tread turned, and out of that again ---


@change_axle("taking back")
def take_back(it: AxleChange, wish: TakeBack) -> None:
    """Take the finished wheels of the axle's group back to tread turned; what they were ticked stays in the record."""
    build, group = it.build, worn_group(it.build, it.axle)
    _check_wear(group)
    _check_day(group, wish.out_on)
    _check_diameter(build, group, wish.diameter)
    wheels = [one.casting for one in group.wheels]
    marks = ", ".join(one.mark for one in wheels)
    doubts = tuple(_doubts(build, group, wish.diameter.nm))
    question = (
        f"{marks}: back to tread turned, to be turned to {show(wish.diameter.nm, build.unit)}. Tread turned and painted are"
        " no longer ticked, and stay in the record.",
        *doubts,
    )
    if not wish.sure:
        raise Unconfirmed(" ".join(question), question)
    at = now()
    row = TakenBack(
        build_id=build.id,
        out_on=wish.out_on.isoformat(),
        service=wish.service,
        nm=wish.diameter.nm,
        text=wish.diameter.text,
        measured_to_id=_last_measured(it.session, wheels),
        who=it.actor.who,
        at=at,
    )
    it.session.add(row)
    it.session.flush()
    assert row.id is not None  # the flush gave it one
    let_pass = f" Let pass: {' '.join(doubts)}" if doubts else ""
    told = (
        f"Taken back to tread turned after service until {row.out_on}: {wish.service}. New diameter "
        f"{show(row.nm, build.unit)}.{let_pass}"
    )
    for wheel in wheels:
        lost = lost_ticks(wheel.ticked, build.order_of(wheel))
        for key in lost:
            kept = asdict(wheel.ticks[key])
            it.session.add(TakenBackTick(taken_back_id=row.id, casting_id=wheel.id, key=key, **kept))
        it.session.exec(delete(Tick).where(col(Tick.casting_id) == wheel.id, col(Tick.key).in_(lost)))
    _tell(it, wheels, group.axles, told, at)


def _check_wear(group: WornGroup) -> None:
    if not group.wheels:
        raise Refused("No wheel of this group is finished, so none can be taken back.", WHOLE)
    trouble = next((one.trouble for one in group.wheels if one.trouble), "")
    if trouble:
        raise Refused(trouble, WHOLE)
    bare = [one.casting.mark for one in group.wheels if one.wear is None]
    if bare:
        raise Refused(
            f"Log the whole wear of {', '.join(bare)} first: the smallest wheel decides for all.", WHOLE
        )


def _check_day(group: WornGroup, day: date) -> None:
    if day > today():
        raise Refused("That day is still to come: write the day it came out of service.", "out_on")
    done = {one.casting.mark: _finished_on(one.casting) for one in group.wheels}
    last = max(done, key=lambda mark: done[mark])
    if day < done[last]:
        raise Refused(
            f"{last} was finished on {done[last].isoformat()}, so it was in service no sooner: write a later day.",
            "out_on",
        )


def _finished_on(casting: CastingView) -> date:
    return casting.ticks[Stage.PAINTED.value].at.astimezone().date()


def _check_diameter(build: BuildView, group: WornGroup, size: Length) -> None:
    unit, found = build.unit, group.found
    assert found is not None  # every wheel's wear is known
    treads = {mark: wear.tread.nm for mark, (wear, _) in group.judged.items()}
    smallest = min(treads, key=lambda mark: treads[mark])
    if size.nm > treads[smallest]:
        raise Refused(
            f"{smallest} is worn to {show(treads[smallest], unit)} already: it cannot be turned to more.",
            "diameter",
        )
    if found.least_nm is not None and size.nm < found.least_nm:
        raise Refused(
            f"That is below the smallest allowed, {show(found.least_nm, unit)}: a new tyre or a new wheel is wanted.",
            "diameter",
        )


def _doubts(build: BuildView, group: WornGroup, diameter_nm: int) -> Iterator[str]:
    short = short_words(short_at(group.judged, diameter_nm), build.unit)
    if short:
        yield short
    if group.found is not None and group.found.least_nm is None:
        yield "Nobody said how small the tread may be."
    yield from (f"Axle {one.axle.number}: {one.words}" for one in group.backs if one.words)


def _last_measured(session: Session, wheels: list[CastingView]) -> int:
    own = [wheel.id for wheel in wheels]
    found = session.connection().execute(
        select(func.max(col(Measurement.id))).where(col(Measurement.casting_id).in_(own))
    )
    return int(found.scalar_one() or 0)


def _tell(
    it: AxleChange, wheels: list[CastingView], axles: tuple[AxleView, ...], words: str, at: datetime
) -> None:
    """A line for each axle and each wheel, so that every sheet tells it and an old page of any is refused."""
    for axle in axles:
        write_line(it.session, it.actor, "taken_back", words, build_id=it.build.id, axle_id=axle.id, at=at)
    for wheel in wheels:
        write_line(
            it.session,
            it.actor,
            "taken_back",
            words,
            build_id=it.build.id,
            axle_id=wheel.axle_id,
            casting_id=wheel.id,
            at=at,
        )


@change_axle("coming back out")
def come_back_out(it: AxleChange) -> None:
    """Undo the last taking back of these wheels, as long as nothing was done to them in the new life."""
    build, group = it.build, worn_group(it.build, it.axle)
    last = max((one.again.taken_back_id for one in group.again if one.again is not None), default=None)
    taken = next((one for one in taken_back_of(it.session, build.id) if one.id == last), None)
    if taken is None:
        return  # it is as wanted already: a tap that arrived twice
    wheels = [one for one in build.whole.castings if one.id in taken.ticks]
    for wheel in wheels:
        _check_untouched(build, wheel, taken)
    _check_backs(group, taken)
    for wheel in wheels:
        for key, stamp in taken.ticks[wheel.id].items():
            it.session.add(Tick(casting_id=wheel.id, key=key, **asdict(stamp)))
    it.session.exec(delete(TakenBack).where(col(TakenBack.id) == taken.id))
    axles = tuple(one for one in build.whole.axles if any(wheel.axle_id == one.id for wheel in wheels))
    told = "Not taken back after all: tread turned and painted are ticked again as they were."
    _tell(it, wheels, axles, told, now())


def _check_untouched(build: BuildView, wheel: CastingView, taken: TakenBackView) -> None:
    order = build.order_of(wheel)
    since = lost_ticks(wheel.ticked, order)
    if since:
        what = tickable(since[-1])
        raise Refused(
            f"{wheel.mark} is ticked “{what.words if what else since[-1]}” since: untick that first.", WHOLE
        )
    if any(key in wheel.sizes for key in OF_A_LIFE):
        raise Refused(
            f"The tyre of {wheel.mark} was measured since: strike that out first, where it was written down by mistake.",
            WHOLE,
        )
    if wheel.state != "in_work":
        raise Refused(f"{wheel.mark} has no place any more, so it cannot be finished again as it was.", WHOLE)
    ticked = wheel.ticked | taken.ticks[wheel.id].keys()
    lost = next((stage for stage in order.stages if stage.value not in ticked), None)
    if lost is not None:
        raise Refused(
            f"{wheel.mark} is not {lost.state} any more, so it cannot be finished again as it was.", WHOLE
        )


def _check_backs(group: WornGroup, taken: TakenBackView) -> None:
    for one in group.backs:
        size = one.axle.sizes.get("back_to_back")
        if size is not None and size.at > taken.at:
            raise Refused(
                f"The back to back of axle {one.axle.number} was measured since: strike that out first, where it was "
                "written down by mistake.",
                WHOLE,
            )
