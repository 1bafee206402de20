"""What is known of a build, as plain frozen dataclasses: pages show it and services ask it the guards' facts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TYPE_CHECKING

from domain.drawing import COUPLED_KEYS, CRANK_KEYS, TRACK_KEYS, WheelKind
from domain.lengths import Length, Unit
from domain.lengths.systems import both_shown
from domain.measuring.instruments import Instrument
from domain.route.guards import Order, present_stage
from domain.route.set_ups import SetUp
from domain.route.stages import Pins, Route, Stage
from webapp.typed.sizes import Where

if TYPE_CHECKING:
    from webapp.records.as_set import SettingView
    from webapp.records.heights import HeightsView
    from webapp.records.stubs import StubView
    from webapp.records.workshop import DrillView, ReamerView

SIDES = ("left", "right")
_SEVERAL = 2


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who did it and when it arrived; what was in doubt and let pass, and why; when the device says it was done."""

    who: str
    at: datetime
    let_pass: str = ""
    reason: str = ""
    device_at: datetime | None = None

    @property
    def since(self) -> datetime:
        """The later of its two times: what must wait after it waits from then."""
        return self.at if self.device_at is None else max(self.at, self.device_at)

    @property
    def let_pass_words(self) -> str:
        """What was let pass, with the reason given; empty where nothing was."""
        return f"{self.let_pass} {f'Reason given: {self.reason}' if self.reason else ''}".strip()


@dataclass(frozen=True, slots=True)
class Measured:
    """A length measured, with its readings as typed; webapp/records/measured.py fills it in this order."""

    id: int
    kind: str
    mean_nm: int
    readings: tuple[Length, ...]
    instrument: str
    who: str
    at: datetime
    supersedes_id: int | None = None
    superseded: bool = False
    # Where each reading was taken; nowhere where it was not said.
    places: tuple[Where, ...] = ()
    instrument_id: int | None = None
    reamer_id: int | None = None
    # Tenths of a degree Celsius.
    work_dc: int | None = None
    gauge_dc: int | None = None
    expanded_nm: int | None = None
    # A plug gauge gives no value but what the size lies between; None is an open end.
    by_plug: bool = False
    low_nm: int | None = None
    high_nm: int | None = None
    plug_one_nm: int | None = None
    plug_two_nm: int | None = None
    # What was typed; a size read once has this and no reading of its own.
    text: str = ""
    # Whether it was written down as the casting was received.
    rough: bool = False
    # Struck out it counts for nothing; the reason given.
    struck_out_why: str | None = None

    @property
    def nm(self) -> int:
        """What it came to."""
        return self.mean_nm


@dataclass(frozen=True, slots=True)
class ReceiptView:
    """What was seen on a casting as it came, and its rough sizes by key."""

    id: int
    weight_mg: int | None
    weight_text: str
    blowhole: bool
    chill: bool
    shift: bool
    crack: bool
    note: str
    who: str
    at: datetime
    sizes: Mapping[str, Measured] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PatternView:
    """A pattern of wheel with its drawing's figures, by key."""

    id: int
    name: str
    kind: WheelKind
    figures: Mapping[str, Length] = field(default_factory=dict)

    @property
    def cranked(self) -> bool:
        """Whether its wheels have crankpins."""
        return self.kind.cranked

    @property
    def tyred(self) -> bool:
        """Whether its wheels have steel tyres."""
        return "tyre_inside" in self.figures


def in_order(patterns: Iterable[PatternView]) -> tuple[PatternView, ...]:
    """The patterns of a build, those with cranks first."""
    return tuple(sorted(patterns, key=lambda one: not one.cranked))


def drawn_of(track: Mapping[str, Length], patterns: Sequence[PatternView]) -> dict[str, Length]:
    """The figures that a whole build can be asked for: all of its only pattern, else what its wheels share."""
    first = patterns[0].figures
    own = first if len(patterns) == 1 else {key: first[key] for key in COUPLED_KEYS if key in first}
    return {**track, **own}


@dataclass(frozen=True, slots=True)
class Again:
    """That a wheel was taken back to be re-turned: to what diameter, after which measurement, and how worn it was."""

    taken_back_id: int
    nm: int
    measured_to: int
    at: datetime
    worn: Mapping[str, Measured] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CastingView:
    """One casting with its ticks and its present measurements."""

    id: int
    build_id: int
    mark: str
    state: str
    axle_id: int | None
    side: str | None
    version: int
    scrap_reason: str = ""
    scrapped_from_axle_id: int | None = None
    scrapped_from_side: str | None = None
    ticks: Mapping[str, Stamp] = field(default_factory=dict)
    bore: Measured | None = None
    throw: Measured | None = None
    # The sizes as they last were, by key; see webapp/typed/sizes.py.
    sizes: Mapping[str, Measured] = field(default_factory=dict)
    receipt: ReceiptView | None = None
    pattern_id: int = 0
    # What was set for each operation, by its key and that of the thing set.
    settings: Mapping[str, Mapping[str, SettingView]] = field(default_factory=dict)
    # Since it was last taken back to be re-turned; its sizes are those of this life.
    again: Again | None = None
    # Left for later in the batch that runs.
    skipped: bool = False

    @property
    def ticked(self) -> frozenset[str]:
        """The keys ticked."""
        return frozenset(self.ticks)

    def has(self, stage: Stage) -> bool:
        """Whether a stage is ticked."""
        return stage.value in self.ticks


@dataclass(frozen=True, slots=True)
class ItemView:
    """One thing of an axle's list of what goes on before its second wheel."""

    id: int
    name: str
    kind: str
    along: str
    split: bool
    width: Length | None
    # Who put it on and when; None while it is not on.
    on: Stamp | None


@dataclass(frozen=True, slots=True)
class AxleView:
    """One axle with its two places and the measured seats."""

    id: int
    number: int
    coupled: bool
    version: int
    left: CastingView | None = None
    right: CastingView | None = None
    seats: Mapping[str, Measured] = field(default_factory=dict)
    quartered: Stamp | None = None
    sizes: Mapping[str, Measured] = field(default_factory=dict)
    # The present heights of the crankpins of the two wheels now on it.
    heights: HeightsView | None = None
    pattern_id: int = 0
    # What is measured of its left and of its right end besides the seats, by kind.
    ends: Mapping[str, Mapping[str, Measured]] = field(default_factory=dict)
    # Whether it has centres in both ends; None while nobody said so.
    centred: bool | None = None
    # What goes on it before its second wheel, in the order it was listed.
    items: tuple[ItemView, ...] = ()

    def at(self, side: str) -> CastingView | None:
        """The casting at a side, if any."""
        return self.left if side == "left" else self.right

    def place_words(self, side: str) -> str:
        """One of its two places in words."""
        return f"axle {self.number}, {side}"

    def with_casting(self, casting: CastingView) -> AxleView:
        """The axle with this casting at its own side."""
        return replace(self, left=casting) if casting.side == "left" else replace(self, right=casting)

    @property
    def wheels(self) -> tuple[CastingView, ...]:
        """The castings on or for this axle."""
        return tuple(w for w in (self.left, self.right) if w is not None)


@dataclass(frozen=True, slots=True)
class BuildView:
    """A build, whole or as one of its patterns of wheel sees it.

    Seen by a pattern it has that pattern's figures, axles and castings; any other axle or casting is still found by
    its id. A build of one pattern is whole and seen by it at once. Of a whole build with several patterns only what
    its wheels share, or those that rods join, can be asked by `nm`.
    """

    id: int
    name: str
    standard: str
    unit: Unit
    quarter_angle_udeg: int
    lead: str
    fit: str
    route: Route
    iron: str
    invented: bool
    version: int
    # What all its wheels share, and with a pattern that one's.
    dimensions: Mapping[str, Length] = field(default_factory=dict)
    # The first one is that of the wheels that are coupled, if any are.
    patterns: tuple[PatternView, ...] = ()
    # The one it is seen by; none of a whole build with several.
    pattern: PatternView | None = None
    axles: tuple[AxleView, ...] = ()
    castings: tuple[CastingView, ...] = ()
    # The workshop's instruments by id, retired ones too: old readings name them.
    instruments: Mapping[int, Instrument] = field(default_factory=dict)
    retired: frozenset[int] = frozenset()
    # The workshop's reamers and drills in use.
    reamers: tuple[ReamerView, ...] = ()
    drills: tuple[DrillView, ...] = ()
    # The joint's own figures as typed, by key; webapp/typed/joint_figures.py reads them.
    joint_texts: Mapping[str, str] = field(default_factory=dict)
    # The figures of how it is machined as typed, by key; webapp/typed/work_figures.py reads them.
    work_texts: Mapping[str, str] = field(default_factory=dict)
    # The figures of the rods: by the axle in front, the side and the key.
    rods: Mapping[tuple[int, str, str], Length] = field(default_factory=dict)
    # Whether the castings are painted in the rough, before any cut.
    paint_first: bool = False
    # Put away, and not written to until it is brought back.
    archived: bool = False
    # The set-up of the batch that runs, if one does.
    standing: SetUp | None = None
    # The stubs that its treads are turned on, the first one first.
    stubs: tuple[StubView, ...] = ()
    # The latest time in the journal of the whole file: a clock that is behind it is wrong.
    newest: datetime | None = field(default=None, compare=False)
    # What was worked out from this view and from no other: webapp/facts keeps it here.
    # What holds sentences is not for whoever is shown another system.
    kept_both: dict[str, object] = field(default_factory=dict, init=False, compare=False, repr=False)
    kept_own: dict[str, object] = field(default_factory=dict, init=False, compare=False, repr=False)
    # The whole build, where this is as a pattern sees it.
    seen_of: BuildView | None = field(default=None, compare=False, repr=False)

    @property
    def kept(self) -> dict[str, object]:
        """What was worked out from this view, said in the systems that are shown now."""
        return self.kept_both if both_shown() else self.kept_own

    @property
    def whole(self) -> BuildView:
        """The build with all its patterns, from whichever of them it is seen."""
        return self.seen_of or self

    def of(self, thing: CastingView | AxleView | PatternView) -> BuildView:
        """The build as this pattern, or that of this wheel or axle, sees it."""
        own = thing.id if isinstance(thing, PatternView) else thing.pattern_id
        whole = self.whole
        if len(whole.patterns) < _SEVERAL or (self.pattern is not None and self.pattern.id == own):
            return self
        seen = whole.kept.setdefault("seen", {})
        assert isinstance(seen, dict)  # only this puts it there
        if own not in seen:
            seen[own] = whole._seen_by(next(one for one in whole.patterns if one.id == own))
        found: BuildView = seen[own]
        return found

    def find_pattern(self, pattern_id: int) -> PatternView | None:
        """The pattern with this id, if it is of this build."""
        return next((one for one in self.patterns if one.id == pattern_id), None)

    def _seen_by(self, pattern: PatternView) -> BuildView:
        return replace(
            self,
            dimensions={key: self.dimensions[key] for key in TRACK_KEYS} | dict(pattern.figures),
            pattern=pattern,
            axles=tuple(one for one in self.axles if one.pattern_id == pattern.id),
            castings=tuple(one for one in self.castings if one.pattern_id == pattern.id),
            stubs=tuple(one for one in self.stubs if one.pattern_id == pattern.id),
            seen_of=self,
        )

    @property
    def each_pattern(self) -> tuple[BuildView, ...]:
        """The build as each of its patterns sees it."""
        return tuple(self.of(one) for one in self.patterns)

    def pattern_of(self, thing: CastingView | AxleView) -> PatternView:
        """The pattern of a wheel or an axle."""
        return next(one for one in self.patterns if one.id == thing.pattern_id)

    def nm(self, key: str) -> int:
        """A figure of the drawing in nanometres."""
        return self.dimensions[key].nm

    def crank_nm(self, key: str) -> int:
        """As `nm`; a figure of the cranks also of a pattern that has none: that of the wheels that have."""
        if key in CRANK_KEYS and key not in self.dimensions:
            return self.whole.patterns[0].figures[key].nm
        return self.nm(key)

    def axle(self, axle_id: int | None) -> AxleView | None:
        """The axle with this id, if it is of this build."""
        return next((a for a in self.whole.axles if a.id == axle_id), None)

    def where(self, casting: CastingView) -> str:
        """Where a casting stands, in words: its axle and side, else whether it is scrapped or a spare."""
        axle = self.axle(casting.axle_id)
        if axle is not None:
            return axle.place_words(casting.side or "")
        return "scrapped" if casting.state == "scrapped" else "spare"

    def casting(self, casting_id: int) -> CastingView | None:
        """The casting with this id, if it is of this build."""
        return next((c for c in self.whole.castings if c.id == casting_id), None)

    def with_casting(self, casting: CastingView) -> BuildView:
        """The build with this casting in place of the one it was; what was worked out from the old one is left behind."""
        whole = self.whole
        axles = tuple(
            axle.with_casting(casting) if axle.id == casting.axle_id else axle for axle in whole.axles
        )
        castings = tuple(casting if one.id == casting.id else one for one in whole.castings)
        after = replace(whole, axles=axles, castings=castings)
        return after if self.seen_of is None else after.of(casting)

    @property
    def pins(self) -> Pins:
        """When its crankpin holes are drilled and the pins go in."""
        return Pins(self.work_texts.get("pins") or Pins.BEFORE)

    @property
    def route_now(self) -> Route:
        """The order of work: a set taken back stays on its axles, so it is turned between centres whatever its route.

        That is while nothing else of the build is still to be turned.
        """
        whole = self.whole
        found = whole.kept.get("route now")
        if not isinstance(found, Route):
            back = [one.again is not None and one.has(Stage.PRESSED) for one in whole.castings]
            others = (
                one.state == "in_work" and not one.has(Stage.TREAD_TURNED)
                for one, own in zip(whole.castings, back, strict=True)
                if not own
            )
            found = Route.BETWEEN_CENTRES if any(back) and not any(others) else whole.route
            whole.kept["route now"] = found
        return found

    def order(self, coupled: bool) -> Order:
        """The order of work on a coupled or a carrying axle of this build."""
        return Order(self.route_now, coupled, self.paint_first, self.pins)

    def order_of(self, thing: CastingView | AxleView) -> Order:
        """The order of work of a casting, or of an axle's wheels."""
        kept, key = self.whole.kept, f"order of {thing.pattern_id}"
        found = kept.get(key)
        if not isinstance(found, Order):
            own = self.pattern_of(thing)
            found = kept[key] = replace(self.order(own.cranked), tyred=own.tyred)
        return found

    @property
    def quarter_angle(self) -> str:
        """The quarter angle in degrees, as short as it is exact."""
        whole, part = divmod(self.quarter_angle_udeg, 1_000_000)
        return f"{whole}.{part:06d}".rstrip("0").rstrip(".")

    def seat_nm(self, axle: AxleView, side: str) -> int:
        """The seat at one end of an axle: measured if logged, else the drawing's."""
        measured = axle.seats.get(side)
        return measured.mean_nm if measured else self.of(axle).nm("seat")

    @property
    def spares(self) -> tuple[CastingView, ...]:
        """The spares, most advanced first."""
        spare = [c for c in self.castings if c.state == "spare"]
        return tuple(sorted(spare, key=lambda c: (-self.reached(c), c.id)))

    @property
    def scrapped(self) -> tuple[CastingView, ...]:
        """The scrapped castings."""
        return tuple(c for c in self.castings if c.state == "scrapped")

    def reached(self, casting: CastingView) -> int:
        """How many stages a casting has come without a gap."""
        order = self.order_of(casting)
        stage = present_stage(casting.ticked, order)
        return 0 if stage is None else order.stages.index(stage) + 1
