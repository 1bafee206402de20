"""Quartering as a setting, as its page shows it: the clock of the open time, and one number a line."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime

from domain.cranks.cylinders import Side
from domain.cranks.quartering import Branch, Pin, QuarteringError, elevation_deg, pin_to_set
from domain.cranks.setting import (
    INSIDE_WORDS,
    PinToSet,
    SettingWay,
    between_pins_nm,
    height_worth_deg,
    stop_and_square,
    to_step,
)
from domain.joints.open_time import open_words
from domain.lengths import plain, show, show_in, show_other
from domain.lengths.showing import small_parts
from domain.measuring.instruments import Instrument, InstrumentError, Reach
from domain.measuring.uncertainty import UncertaintyError
from domain.route.stages import Stage
from webapp.facts.correcting import tools_for
from webapp.facts.crankpins import PinsFirst, pins_first
from webapp.facts.due_box import last_over
from webapp.facts.facts import facts_of
from webapp.facts.heights import centre_of, shown_nm
from webapp.facts.open_time import WetWheel, wet_wheel
from webapp.facts.quartering import (
    TRIAL_U_NM,
    conflict_hides_angle,
    cranks_of,
    cylinders_conflict,
    has_three_cylinders,
    loose_words,
    throw_of,
)
from webapp.facts.work_figures import work_figures
from webapp.records.views import SIDES, AxleView, BuildView, CastingView
from webapp.sheets.cranks.drawing_quartering import EndOn, PinAt, end_on
from webapp.typed.heights import LIES, PLATE, HeightTyped, PlateTyped
from webapp.typed.texts import Errors, Typed


@dataclass(frozen=True, slots=True)
class SettingLine:
    """One number: of what, where it is measured, its figure large, and in the other system small."""

    mark: str
    words: str
    figure: str
    unit: str
    also: str


@dataclass(frozen=True, slots=True)
class ClockShown:
    """The open time as it stands: what it says, the seconds left, and the moments a script counts by."""

    words: str
    left_s: int
    over: bool
    told: bool
    ends_ms: int
    now_ms: int

    @property
    def left(self) -> str:
        """What is left, as a clock shows it."""
        minutes, seconds = divmod(self.left_s, 60)
        return f"{minutes}:{seconds:02}"


@dataclass(frozen=True, slots=True)
class SettingPage:
    """Everything the sheet shows; `why` is why there are no numbers."""

    way: SettingWay
    ways: tuple[SettingWay, ...]
    wet: WetWheel | None
    clock: ClockShown | None
    minutes: str
    lines: tuple[SettingLine, ...]
    why: str
    under: str
    picture: EndOn | None
    fast: str
    odd: str
    throws_first: str
    pins_first: PinsFirst | None
    unlogged: tuple[CastingView, ...]
    wanted: str
    # Of a third crank, which is not set here.
    inside: str
    loose: str
    on: bool
    tools: list[tuple[int, str]]
    # On which side of the axle each pin stands once it is set to its height.
    stand: tuple[tuple[Side, Branch], ...]
    # The pin that is fast, whose reading as it stands is the height that is logged of it.
    fast_side: Side


@dataclass(frozen=True, slots=True)
class _Set:
    lines: tuple[SettingLine, ...] = ()
    pins: tuple[PinToSet, ...] = ()
    why: str = ""
    under: str = ""


@dataclass(frozen=True)
class _Bench:
    """The axle as it lies, and what it is read with."""

    build: BuildView
    axle: AxleView
    plate: PlateTyped
    tool: Instrument | None
    # The pin that is fast, and the one that is brought to it.
    fast: Side
    loose: Side
    errors: Errors = field(default_factory=Errors)

    @property
    def centre_nm(self) -> int:
        """The axle's height; 0 while it is not known, so that heights count from it."""
        return centre_of("axle", self.plate.axle, self.tool, None).nm if self.plate.axle else 0

    def throw_nm(self, side: Side) -> int:
        """A pin's own throw."""
        return throw_of(self.build, self.axle, side.value).nm

    def mark(self, side: Side) -> str:
        """A pin by its wheel."""
        wheel = self.axle.at(side.value)
        return f"{wheel.mark if wheel else ''} {side}".strip()

    def laid(self) -> dict[Side, PinToSet]:
        """Where the pins stand with the axle laid as is best."""
        found = facts_of(self.build).quartering.laid(self.axle)
        return {pin.side: replace(pin, height_nm=self.centre_nm + pin.height_nm) for pin in found}

    def line(self, side: Side, words: str, nm: int) -> SettingLine:
        """One number of one pin."""
        figure, unit = small_parts(nm, self.build.unit)
        return SettingLine(self.mark(side), words, figure, unit, show_other(nm, self.build.unit))

    def height(self, pin: PinToSet, do: str) -> SettingLine:
        """A pin's height as the instrument shows it; from the axle's centre while that is not known."""
        where = f"pin {'in front' if pin.branch is Branch.FRONT else 'behind'}: {do}"
        if self.plate.axle is None:
            side = "above" if pin.height_nm >= 0 else "below"
            return self.line(pin.side, f"{where}, centre {side} the axle's", abs(pin.height_nm))
        across = self.plate.across
        nm = shown_nm(pin.height_nm, across, self.tool)
        over = f"over the pin, diameter {show_in(across.nm, self.build.unit)}" if across else "to its centre"
        return self.line(
            pin.side, f"{where}, {over}", to_step(nm, self.tool.resolution_nm if self.tool else 0)
        )


def setting_page(
    build: BuildView, axle: AxleView, plate: PlateTyped, now: datetime, errors: Errors
) -> SettingPage:
    """The sheet of a coupled axle that has both its wheels; what cannot be is put among the errors, beside its field."""
    way, wet = SettingWay(work_figures(build).chosen("quarter_way")), wet_wheel(build, axle)
    fast = _fast(build, axle)
    loose = Side.LEFT if fast is Side.RIGHT else Side.RIGHT
    tools = tools_for(build, Reach.OUTSIDE)
    known = plate.instrument_id in [own for own, _ in tools]
    tool = build.instruments[plate.instrument_id] if known and plate.instrument_id else None
    bench = _Bench(build, axle, plate, tool, fast, loose, errors)
    found = _numbers(bench, way)
    wheels = [wheel for side in SIDES if (wheel := axle.at(side))]
    return SettingPage(
        way=way,
        ways=tuple(SettingWay),
        wet=wet,
        clock=_clock(wet, now),
        minutes=f"{wet.minutes:g}" if wet else "",
        lines=found.lines,
        why=found.why,
        under=found.under,
        picture=end_on([_drawn(bench, pin) for pin in found.pins]) if found.pins else None,
        fast=bench.mark(fast),
        odd="" if found.why else cylinders_conflict(build),
        throws_first=facts_of(build).throws.first,
        pins_first=pins_first(build, axle),
        unlogged=tuple(wheel for wheel in wheels if wheel.throw is None),
        wanted=cranks_of(build).words,
        inside=INSIDE_WORDS if has_three_cylinders(build) else "",
        loose=loose_words(build, axle),
        on=all(wheel.has(Stage.PRESSED) for wheel in wheels),
        tools=tools,
        stand=tuple((pin.side, pin.branch) for pin in found.pins) if way is SettingWay.HEIGHTS else (),
        fast_side=fast,
    )


def _numbers(bench: _Bench, way: SettingWay) -> _Set:
    if conflict_hides_angle(bench.build):
        return _Set(why=cylinders_conflict(bench.build))
    try:
        return {SettingWay.HEIGHTS: _heights, SettingWay.STOP: _stop, SettingWay.JIG: _jig}[way](bench)
    except (InstrumentError, UncertaintyError) as error:
        bench.errors["instrument_id"] = str(error)
    except QuarteringError as error:
        if not error.field:
            return _Set(why=str(error))
        bench.errors[error.field] = str(error)
    return _Set(why="With that put right the numbers stand here.")


def _fast(build: BuildView, axle: AxleView) -> Side:
    """The pin that the other is brought to: of the wheel that is on, else of the crank that is ahead."""
    on = [side for side in SIDES if (wheel := axle.at(side)) and wheel.has(Stage.PRESSED)]
    return Side(on[0] if len(on) == 1 else build.lead)


def _clock(wet: WetWheel | None, now: datetime) -> ClockShown | None:
    if wet is None or wet.clock is None:
        return None
    clock = wet.clock
    return ClockShown(
        open_words(clock, now),
        clock.left_s(now),
        clock.over(now),
        clock.told(now),
        round(clock.until.timestamp() * 1000),
        round(now.timestamp() * 1000),
    )


def _heights(it: _Bench) -> _Set:
    """Both pins to heights; with the fast one read as it stands, the other to where it then belongs."""
    throws = {side: it.throw_nm(side) for side in (it.fast, it.loose)}
    cranks, centre = cranks_of(it.build), it.centre_nm
    of = it.laid()
    first, second = of[it.fast], of[it.loose]
    under = _under(it, second)
    if it.plate.stands is not None and it.plate.axle is None:
        it.errors["axle"] = "The fast pin's reading tells nothing without the axle's height: type that too."
    if it.plate.stands is None or it.plate.axle is None:
        return _Set(
            (it.height(first, "roll the axle and clamp it"), it.height(second, "turn the wheel")),
            (first, second),
            under=under,
        )
    stands = centre_of("stands", it.plate.stands, it.tool, None)
    throw = throw_of(it.build, it.axle, it.fast.value)
    try:
        branch, nm = pin_to_set(
            Pin(it.fast, first.branch, stands, throw), centre, it.loose, throws[it.loose], cranks
        )
    except QuarteringError as error:
        raise QuarteringError(str(error), field="stands") from error
    level = elevation_deg(nm, centre, throws[it.loose], Branch.FRONT)
    stood = PinToSet(
        it.fast, first.branch, stands.nm, elevation_deg(stands.nm, centre, throw.nm, Branch.FRONT)
    )
    second = PinToSet(it.loose, branch, nm, level)
    return _Set(
        (it.height(stood, "as it stands"), it.height(second, "turn the wheel")), (stood, second), under=under
    )


def _under(it: _Bench, pin: PinToSet) -> str:
    """What a little of height is worth, and what the heights are read with."""
    step = it.tool.resolution_nm if it.tool else TRIAL_U_NM
    worth = height_worth_deg(step, it.throw_nm(pin.side), pin.from_level_deg)
    with_what = f" Read with {it.tool.name}, its zero counted." if it.tool else ""
    return f"{show(step, it.build.unit)} of height is {worth:.2f} degrees here.{with_what}"


def _stop(it: _Bench) -> _Set:
    """The fast pin straight over the axle by the square, the other resting on a stop."""
    across, touched = it.plate.across, it.plate.touched
    if across is None or touched is None:
        return _Set(why="Type the diameters that square and stop touch: of the pin, and of the axle.")
    throw = it.throw_nm(it.loose)
    found = stop_and_square(
        it.fast, it.loose, throw, it.centre_nm, touched.nm, across.nm, cranks_of(it.build)
    )
    thicker = "pin" if found.packing_nm >= 0 else "axle"
    where = "in front" if found.pin.branch is Branch.FRONT else "behind"
    stop = f"{where}: resting on a stop, its top"
    if it.plate.axle is None:
        stop = (
            f"{stop} below the axle's centre by"
            if found.stop_nm < 0
            else f"{stop} above the axle's centre by"
        )
        nm = abs(found.stop_nm)
    else:
        stop, nm = f"{stop} over the plate", shown_nm(found.stop_nm, None, it.tool)
        nm = to_step(nm, it.tool.resolution_nm if it.tool else 0)
    over = PinToSet(it.fast, Branch.FRONT, it.centre_nm + it.throw_nm(it.fast), 90.0)
    packing = f"straight up by the square: packing between blade and {thicker}"
    worth = height_worth_deg(TRIAL_U_NM, throw, found.pin.from_level_deg)
    return _Set(
        (it.line(it.fast, packing, abs(found.packing_nm)), it.line(it.loose, stop, nm)),
        (over, found.pin),
        under=f"{show(TRIAL_U_NM, it.build.unit)} at blade or stop is {worth:.2f} degrees here.",
    )


def _jig(it: _Bench) -> _Set:
    """A jig has its own angle: what it must have between its centres to take these two wheels."""
    cranks = cranks_of(it.build)
    ahead, behind = next(pair for pair in cranks.pairs() if Side.INSIDE not in pair)
    wanted = cranks.ahead_deg(ahead, behind)
    throws = {side: it.throw_nm(side) for side in (it.fast, it.loose)}
    across = between_pins_nm(throws[it.fast], throws[it.loose], wanted)
    lines = [it.line(side, "axle's centre to pin's centre", nm) for side, nm in throws.items()]
    figure, unit = small_parts(across, it.build.unit)
    also = show_other(across, it.build.unit)
    both = SettingLine("Both", "from pin's centre to pin's centre, seen end on", figure, unit, also)
    return _Set(
        (*lines, both),
        tuple(pin for side, pin in it.laid().items() if side in throws),
        under=f"The angle is the jig's own, and must be {wanted:g} degrees: log the heights of the first axle it sets.",
    )


def _drawn(it: _Bench, pin: PinToSet) -> PinAt:
    drawn = it.build.of(it.axle).nm("throw")
    elevation = pin.from_level_deg if pin.branch is Branch.FRONT else 180.0 - pin.from_level_deg
    side = f"{abs(pin.from_level_deg):.0f}° {'above' if pin.from_level_deg >= 0 else 'below'} level"
    return PinAt(pin.side.value, elevation, drawn, words=side, short=side)


def start_plate(build: BuildView, axle: AxleView) -> Typed:
    """What the fields begin with: how the axle, or the last one that was read, lay and was read."""
    read = [one.heights for one in build.axles if one.heights]
    last = axle.heights or max(read, key=lambda one: one.at, default=None)
    fields = {"touched": [plain(build.of(axle).nm("seat"), build.unit)]}
    fields |= {name: [text] for name, text in last_over(build)}
    if last is not None and last.centre.text:
        kept = HeightTyped.kept(last.centre.text)
        fields["axle"] = [kept.height.text]
        fields["axle_diameter"] = [kept.diameter.text if kept.diameter else ""]
        usable = last.instrument_id in [own for own, _ in tools_for(build, Reach.OUTSIDE)]
        fields["instrument_id"] = [str(last.instrument_id)] if usable else [""]
    return Typed(fields)


def as_it_lies(typed: Typed, sheet: SettingPage | None) -> list[tuple[str, str]]:
    """What the form of the heights takes from this sheet: how the axle lies, what is read over and with what, where the
    pins were set to stand, and the fast one's height as it was read."""
    stand = [(f"{side}_branch", branch.value) for side, branch in sheet.stand] if sheet else []
    if sheet and stand and typed.get("stands"):
        stand.append((sheet.fast_side.value, typed.get("stands")))
    return [(name, typed.get(name)) for name in LIES if typed.get(name)] + stand


def carried_plate(typed: Typed) -> list[tuple[str, str]]:
    """The fields of the axle as it lies, empty ones too, to stay in the address as something else is done."""
    return [(name, typed.get(name)) for name in PLATE if name in typed.fields]
