"""Logging what was measured. Readings are never overwritten: a correction supersedes and both stay."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime

from domain.lengths import show
from domain.measuring.plausible import among, beside_fellows
from domain.route.guards import objection_to_measure
from domain.stock.guard import CORRECTED_SHARE, CUT_AGAIN_NM, HOLES, objection_to_size
from webapp.acts.asking import MEANT, ReadHere, ask_about, may_have_been
from webapp.acts.sized import LoggedSize, found_words, size_of
from webapp.acts.ticks import weigh
from webapp.db import Db
from webapp.facts.expected import as_drawn, plug_size, to_be_typed
from webapp.facts.facts import facts_of
from webapp.facts.joints import seat_words
from webapp.facts.mandrel import to_gauge_again
from webapp.facts.wheels import wheel_facts
from webapp.models import Measurement
from webapp.records.builds import find_casting, hand_on_casting
from webapp.records.change import AxleChange, CastingChange, Change, change_axle, change_casting
from webapp.records.measured import write_measured
from webapp.records.outcome import WHOLE, Doubted, Refused, SizeDoubt, Unconfirmed
from webapp.records.views import SIDES, BuildView, CastingView, Measured
from webapp.typed.readings import Log, read_log
from webapp.typed.sizes import BY_KEY, TYRE_SIZES
from webapp.typed.texts import Typed

_OVER_PLUGS = "Is it over both plugs? Then type the plugs too."


def loggable(build: BuildView, casting: CastingView, kind: str) -> None:
    """Raise why a bore or a throw cannot be logged for this casting now, if it cannot."""
    if casting.state == "scrapped":
        raise Refused(f"{casting.mark} is scrapped: undo the scrapping before measuring it.")
    facts = wheel_facts(build, casting, judged=False)
    weigh(objection_to_measure(kind, facts, build.order_of(casting)))


@change_casting("bore", scrapped=True)
def log_bore(it: CastingChange, log: Log, against: tuple[int, str] | None = None) -> None:
    """Log a casting's bore; `against` is the axle and side the page showed it on."""
    build, casting = it.build, it.casting
    loggable(build, casting, "bore")
    if against is not None and against != (casting.axle_id, casting.side):
        raise Refused(f"That seat is not the one {casting.mark} sits on: open the wheel's own sheet again.")
    size = size_of(it.session, build, "bore", log)
    why = "A bore must be smaller than the boss it is in: {}."
    _refuse_from(build.nm("boss_diameter"), build, "bore", log, _largest(log, size), why)
    meant = _asked(build, "bore", log) or _asked_of_change(build, "bore", log, size, casting.bore)
    # Off its stub the hole may have grown: that is no misreading of what it was before.
    again = to_gauge_again(build, casting)
    _write(it, "bore", log, size, None if again else casting.bore, casting_id=casting.id)
    it.session.flush()
    after, bored = find_casting(it.session, casting.id)
    joint = facts_of(after).joints.of(bored)
    fit = f" On {joint.seat_words}: {joint.headline}." if joint is not None else ""
    verb = "Gauged again, off its stub," if again else _verb(casting.bore)
    version = it.tell("bore", f"{verb} the bore: {_figures(log, size, build)}.{meant}{fit}")
    hand_on_casting(it.session, after, replace(bored, version=version))


@change_casting("throw", scrapped=True)
def log_throw(it: CastingChange, log: Log) -> None:
    """Log a wheel's throw."""
    build, casting = it.build, it.casting
    loggable(build, casting, "throw")
    if not build.pattern_of(casting).cranked:
        raise Refused(f"{casting.mark} has no crankpin, so it has no throw.")
    reach = build.nm("tread_diameter") // 2
    size = size_of(it.session, build, "throw", log)
    # Over plugs the readings themselves are larger than the throw.
    most = size.most_nm if log.how.plugs else _largest(log, size)
    why = "A throw must be less than the tread's radius, {}: is this a diameter?"
    _refuse_from(reach, build, "throw", log, most, why)
    try:
        meant = _asked(build, "throw", log)
    except Doubted as doubt:
        if not log.how.plugs and size.most_nm > build.nm("throw"):
            doubt.doubts = {
                box: one._replace(words=f"{one.words} {_OVER_PLUGS}") for box, one in doubt.doubts.items()
            }
        raise
    _write(it, "throw", log, size, casting.throw, casting_id=casting.id)
    it.tell("throw", f"{_verb(casting.throw)} the throw: {_figures(log, size, build)}.{meant}")


@change_casting("{}")
def log_tyre(it: CastingChange, kind: str, log: Log, sure: bool) -> None:
    """Log the inside of a wheel's tyre or the outside of its centre, cut to each other, so that no later one corrects."""
    build, casting = it.build, it.casting
    if not build.pattern_of(casting).tyred:
        raise Refused(
            f"The drawing gives {casting.mark} no tyre: say so on its pattern of wheel first.", WHOLE
        )
    size = size_of(it.session, build, kind, log)
    why = "A tyre's inside is less than the tread's diameter: {}."
    _refuse_from(build.nm("tread_diameter"), build, kind, log, _largest(log, size), why)
    meant = _asked(build, kind, log) or _asked_of_change(build, kind, log, size, casting.sizes.get(kind))
    drops_off = _drops_off(build, casting, kind, size)
    if drops_off and not sure:
        raise Unconfirmed(drops_off, (drops_off,))
    _write(it, kind, log, size, None, casting_id=casting.id)
    it.session.flush()
    after, own = find_casting(it.session, casting.id)
    state = facts_of(after.of(own)).tyres.of(own)
    words = f" {state.words}." if state.finding is not None else ""
    it.tell(kind, f"{BY_KEY[kind].words}: {_figures(log, size, build)}.{meant}{words}")


def _drops_off(build: BuildView, casting: CastingView, kind: str, size: LoggedSize) -> str:
    """That a tyre with this size would not grip at all; empty where it would, or where the other size is not known."""
    sizes = {key: one.nm for key, one in casting.sizes.items() if key in TYRE_SIZES} | {kind: size.mean_nm}
    if len(sizes) < len(TYRE_SIZES) or sizes["tyre_inside"] < sizes["centre_outside"]:
        return ""
    inside, centre = (show(sizes[key], build.unit) for key in TYRE_SIZES)
    return f"The tyre's inside, {inside}, is no smaller than its centre, {centre}: it would drop off again."


@change_axle("seat {}")
def log_seat(it: AxleChange, side: str, log: Log) -> None:
    """Log the wheel seat at one end of an axle."""
    build, axle = it.build, it.axle
    if side not in SIDES:
        raise Refused("An axle has a left and a right end only.")
    size = size_of(it.session, build, "seat", log)
    why = "A seat must be smaller than the boss it goes into: {}."
    _refuse_from(build.nm("boss_diameter"), build, "seat", log, _largest(log, size), why)
    before = axle.seats.get(side)
    meant = _asked(build, "seat", log) or _asked_of_change(build, "seat", log, size, before)
    _write(it, "seat", log, size, before, axle_id=axle.id, side=side)
    it.tell(
        "seat", f"{_verb(before)} the seat at {seat_words(axle, side)}: {_figures(log, size, build)}.{meant}"
    )


def try_reading(db: Db, build: BuildView, kind: str, typed: Typed) -> Measured | None:
    """The measurement that readings as typed would be; None while they are none yet, or cannot be meant. Writes nothing."""
    log, errors = read_log(typed, build.unit, to_be_typed(build, kind))
    if log is None or errors or not log.readings:
        return None
    try:
        with db.read() as session:
            size = size_of(session, build, kind, log)
        _asked(build, kind, log)
    except (Refused, Doubted):
        return None
    if size.interval is not None or not 0 < size.most_nm < build.nm(
        "boss_diameter" if kind != "throw" else "tread_diameter"
    ):
        return None
    one, two = log.how.plugs or (None, None)
    return Measured(
        id=0,
        kind=kind,
        mean_nm=size.mean_nm,
        readings=log.readings,
        instrument=size.instrument,
        who="",
        at=datetime.now(UTC),
        places=tuple(at for _, at in log.placed),
        instrument_id=log.how.instrument_id,
        work_dc=log.how.work_dc,
        gauge_dc=log.how.gauge_dc,
        expanded_nm=size.expanded_nm,
        plug_one_nm=one.nm if one else None,
        plug_two_nm=two.nm if two else None,
    )


def _asked(build: BuildView, kind: str, log: Log) -> str:
    """Ask about readings and plugs that can hardly be meant; what was meant all the same, for the journal."""
    return ask_about(_read_here(build, kind, log), log.meant, build.unit)


def _asked_of_change(build: BuildView, kind: str, log: Log, size: LoggedSize, before: Measured | None) -> str:
    """Ask about a size that cutting cannot have made of the one before; what is meant all the same, for the journal."""
    if before is None or before.by_plug or size.interval is not None:
        return ""
    name = as_drawn(build, kind).name
    # A later reading of a bore or a seat stands in for the one before; a tyre and its centre are cut again.
    give_nm = CUT_AGAIN_NM if kind in TYRE_SIZES else before.mean_nm // CORRECTED_SHARE
    found = objection_to_size(
        name, size.mean_nm, before.mean_nm, None, build.unit, hole=kind in HOLES, give_nm=give_nm
    )
    if found is None or size.mean_nm in log.meant:
        return MEANT if found is not None else ""
    box = log.boxes[0] if log.boxes else "reading"
    raise Doubted({box: SizeDoubt(found.words, show(size.mean_nm, build.unit), (size.mean_nm,))})


def _read_here(build: BuildView, kind: str, log: Log) -> list[ReadHere]:
    """Each plug and reading with what it should be about."""
    boxes = log.boxes or ("reading",) * len(log.readings)
    plugs = dict(zip(("plug_one", "plug_two"), log.how.plugs or (), strict=False))
    read = [ReadHere(name, one.nm, one.text, plug_size(build, name)) for name, one in plugs.items()]
    # Over plugs half of each is in the reading too.
    expected = as_drawn(build, kind, sum(one.nm for one in plugs.values()) // 2)
    read_nm = [one.nm for one in log.readings]
    # A mean of what cannot all be true is no size: of a tyre and its centre they are held against each other too.
    each = [among(nm, expected, read_nm) if kind in TYRE_SIZES else expected for nm in read_nm]
    readings = [
        ReadHere(box, one.nm, one.text, own, kind)
        for box, one, own in zip(boxes, log.readings, each, strict=True)
    ]
    return read + [_beside(one, readings[:at] + readings[at + 1 :]) for at, one in enumerate(readings)]


def _beside(one: ReadHere, others: Sequence[ReadHere]) -> ReadHere:
    """A reading that may be meant by the drawing, but stands far from all its fellows, with what these say of it."""
    if one.expected is None or one.doubt is not None:
        return one
    odd = beside_fellows(one.expected.name, one.value, [other.value for other in others])
    return one if odd is None else one._replace(expected=odd)


def _verb(before: Measured | None) -> str:
    return "Logged" if before is None else "Corrected"


def _largest(log: Log, size: LoggedSize) -> int:
    """The largest size that was read or came of it."""
    return max([size.most_nm, *(reading.nm for reading in log.readings)])


def _refuse_from(limit_nm: int, build: BuildView, kind: str, log: Log, most_nm: int, why: str) -> None:
    """Refuse what comes to this or more, with what the reading may have been."""
    if most_nm >= limit_nm:
        other = may_have_been(_read_here(build, kind, log), build.unit)
        raise Refused(f"{why.format(show(limit_nm, build.unit))}{other}", "reading")


def _figures(log: Log, size: LoggedSize, build: BuildView) -> str:
    tool = f" with {size.instrument}" if size.instrument else ""
    if size.interval is not None:
        return f"tried{tool}{size.how_words}, {found_words(size, build)}"
    typed = ", ".join(
        reading.text + (f" ({place} {way})" if place else "") for reading, (place, way) in log.placed
    )
    return f"read {typed}{tool}{size.how_words}, {found_words(size, build)}"


def _write(
    it: Change,
    kind: str,
    log: Log,
    size: LoggedSize,
    before: Measured | None,
    *,
    casting_id: int | None = None,
    axle_id: int | None = None,
    side: str | None = None,
) -> None:
    one, two = log.how.plugs or (None, None)
    interval = size.interval
    row = Measurement(
        build_id=it.build.id,
        kind=kind,
        casting_id=casting_id,
        axle_id=axle_id,
        side=side,
        value=size.mean_nm if interval is None else None,
        low=interval.low_nm if interval else None,
        high=interval.high_nm if interval else None,
        expanded=size.expanded_nm,
        instrument=size.instrument,
        instrument_id=log.how.instrument_id,
        reamer_id=log.how.reamer_id,
        work_dc=log.how.work_dc,
        gauge_dc=log.how.gauge_dc,
        plug_one_nm=one.nm if one else None,
        plug_two_nm=two.nm if two else None,
        who=it.actor.who,
        supersedes_id=before.id if before else None,
    )
    write_measured(it.session, row, [(one.text, one.nm, at) for one, at in log.placed])
