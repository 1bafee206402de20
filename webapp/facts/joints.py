"""The joint of each wheel of a build: the judge is asked once for each wheel on each seat."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from statistics import median_low

from domain.answer import Answer
from domain.joints.fit import Margin, bore_window, seat_window
from domain.joints.held import hold, safe_interference_nm
from domain.joints.judge import Case, Load, judge
from domain.joints.kinds import FitError, FitKind
from domain.joints.margin import margins, too_narrow
from domain.joints.terms import HeldBy, Joint, Size, uncertainty_nm
from domain.joints.words import never_holds, no_fit_to_aim_for, room_words
from domain.lengths import show
from domain.lengths.systems import KeptAsShown
from domain.measuring.instruments import InstrumentKind, Reach
from domain.measuring.readings import summarise
from domain.route.stages import Stage
from webapp.facts.joint_terms import (
    at_hand,
    decided,
    demand_of,
    figures_of,
    forced_joint,
    holding_keys,
    holding_of,
    joint_of,
    size_of,
    wanted_of,
)
from webapp.facts.places import Place, place_of
from webapp.facts.wheel_joint import WheelJoint
from webapp.records.views import AxleView, BuildView, CastingView, Measured
from webapp.typed.fields import Figures
from webapp.typed.joint_figures import placeholders

# A joint that nothing has changed of is the same joint in the next request, and after a write in the same one.
judged = KeptAsShown(judge, 1024)


def seat_words(axle: AxleView, side: str) -> str:
    """Where a seat is."""
    return f"axle {axle.number}, {side} end"


class Joints:
    """What the wheels of a build make of their seats, and would make of others."""

    def __init__(self, build: BuildView) -> None:
        self._build = build
        self._found: dict[tuple[int, Place], WheelJoint | None] = {}
        # Every wheel on every seat has few sizes between them, and is mostly asked for the same.
        self._sizes: dict[int, Size] = {}
        self._asked: dict[tuple[int | None, int | None, int], tuple[HeldBy | str, Load | None]] = {}

    @cached_property
    def wanted(self) -> Joint:
        """The joint the drawing asks for."""
        return joint_of(self._build)

    @cached_property
    def figures(self) -> Figures | str:
        """The figures the joints are judged by, or the sentence why they do not hold together."""
        try:
            return figures_of(self._build)
        except FitError as error:
            return str(error)

    def of(self, casting: CastingView) -> WheelJoint | None:
        """The joint of a casting where it is; a spare is judged on the drawing's seat; None without a logged bore."""
        return self.on(casting, place_of(casting))

    def on(self, casting: CastingView, place: Place) -> WheelJoint | None:
        """The joint a casting would make of a seat; None without a logged bore."""
        key = casting.id, place
        if key not in self._found:
            self._found[key] = self._judged(casting, place, casting.bore) if casting.bore else None
        found = self._found[key]
        # Asked of the same wheel as if without a tick: the judgement is the same, what it still waits for is not.
        if found is not None and found.casting is not casting:
            found = self._found[key] = replace(found, casting=casting)
        return found

    def _judged(self, casting: CastingView, place: Place, bore: Measured) -> WheelJoint:
        build = self._build
        axle = build.axle(place[0]) if place else None
        seat = self._seat(axle, place[1] if place else None)
        holding, load = self._terms(axle, casting.throw, seat.nm)
        case = Case(self.wanted, self._size(bore), seat, holding, load, build.unit, at_hand(build))
        where = seat_words(axle, place[1]) if axle and place else "no place yet"
        return WheelJoint(build, casting, judged(case), where, self.figures)

    def _seat(self, axle: AxleView | None, side: str | None) -> Size:
        measured = axle.seats.get(side) if axle and side else None
        return self._size(measured) if measured else Size(self._build.nm("seat"), measured=False)

    def _size(self, measured: Measured) -> Size:
        if measured.id not in self._sizes:
            self._sizes[measured.id] = size_of(self._build, measured)
        return self._sizes[measured.id]

    def _terms(
        self, axle: AxleView | None, throw: Measured | None, seat_nm: int
    ) -> tuple[HeldBy | str, Load | None]:
        key = axle.id if axle else None, throw.mean_nm if throw else None, seat_nm
        if key not in self._asked:
            self._asked[key] = self._terms_of(axle, throw, seat_nm)
        return self._asked[key]

    def _terms_of(
        self, axle: AxleView | None, throw: Measured | None, seat_nm: int
    ) -> tuple[HeldBy | str, Load | None]:
        build, figures = self._build, self.figures
        if isinstance(figures, str):
            return figures, None
        try:
            demand = demand_of(build, figures, axle, throw)
            wanted = wanted_of(figures, FitKind(build.fit))
            load = Load(demand, *wanted, placeholders(figures, *holding_keys(build)))
            return holding_of(build, figures, seat_nm), load
        except ValueError as error:
            return str(error), None

    def fails(self, casting: CastingView) -> bool:
        """Whether its joint is known to be no good."""
        joint = self.of(casting)
        return joint is not None and joint.answer is Answer.NOT

    def spoilt(self, casting: CastingView) -> WheelJoint | None:
        """One that fails and no cut to come mends: too large, or ticked bored; till then one too small is not done."""
        joint = self.of(casting)
        if joint is None or joint.answer is not Answer.NOT:
            return None
        return joint if casting.has(Stage.BORED) or joint.finding.fit.too_large else None

    # --- before the cut ---

    def _seat_here(self, casting: CastingView) -> Size:
        return self._seat(self._build.axle(casting.axle_id), casting.side)

    def margins(self, casting: CastingView) -> tuple[Margin, ...]:
        """What sizes to cut for a casting keep clear of, the best first; the last asks least."""
        axle, seat = self._build.axle(casting.axle_id), self._seat_here(casting)
        holding, load = self._terms(axle, casting.throw, seat.nm)
        bore = self._size(casting.bore) if casting.bore else self._to_come(Reach.INSIDE)
        unsure = uncertainty_nm(bore, seat if seat.expanded_nm is not None else self._to_come(Reach.OUTSIDE))
        return (Margin(unsure),) if isinstance(holding, str) else margins(holding, load, unsure)

    def _to_come(self, reach: Reach) -> Size:
        """A size that is not measured yet: as surely as the best instrument at hand will tell it."""
        tools = (
            one for one in at_hand(self._build) if one.kind is InstrumentKind.VALUE and one.measures(reach)
        )
        return Size(0, min((one.expanded_nm for one in tools), default=None))

    def margin(self, casting: CastingView) -> Margin:
        """The best margin that some size keeps; the one that asks least where none does."""
        known, seat_nm, unit = self.margins(casting), self._seat_here(casting).nm, self._build.unit
        return next((one for one in known if bore_window(self.wanted, seat_nm, unit, one)), known[-1])

    def bore_sizes(self, casting: CastingView) -> tuple[int, int] | None:
        """Least and most to bore a casting to for its seat, nm; None where no bore is good, or no fit to aim for."""
        if self.too_narrow(casting):
            return None
        return bore_window(self.wanted, self._seat_here(casting).nm, self._build.unit, self.margin(casting))

    def bore_target(self, casting: CastingView) -> str:
        """The sizes to bore a casting to for its seat, in words."""
        unit, seat, margin = self._build.unit, self._seat_here(casting), self.margin(casting)
        narrow = self.too_narrow(casting)
        if narrow:
            return narrow
        window = bore_window(self.wanted, seat.nm, unit, margin)
        whose = "the measured seat" if seat.measured else "the drawing's seat"
        if window is None:
            return f"No bore is good for {whose}, {show(seat.nm, unit)}, with this boss and this range."
        low, high = (show(nm, unit) for nm in window)
        bore = casting.bore
        if bore is not None and not bore.by_plug and bore.mean_nm > window[1] and self.fails(casting):
            return f"The hole is past the {high} that suits {whose} of {show(seat.nm, unit)}."
        suits = "" if seat.measured else " If it is not turned yet, it can be made to suit a reamed hole."
        return f"Bore to between {low} and {high}, for {whose} of {show(seat.nm, unit)}.{room_words(margin, unit)}{suits}"

    def seat_sizes(self, casting: CastingView) -> tuple[int, int] | None:
        """Least and most to turn its seat to for its bore as measured, nm; None where that is not known, or none is good."""
        bore = casting.bore
        if bore is None or bore.by_plug or self.too_narrow(casting):
            return None
        return seat_window(self.wanted, bore.mean_nm, self._build.unit, self.margin(casting))

    def seat_target(self, axle: AxleView, side: str) -> str:
        """The sizes to turn a seat to for the measured bore of its wheel, and what a logged seat is beside them."""
        wheel, seat, unit = axle.at(side), axle.seats.get(side), self._build.unit
        if wheel is None or wheel.bore is None or wheel.bore.by_plug or wheel.has(Stage.PRESSED):
            return ""
        narrow, margin = self.too_narrow(wheel), self.margin(wheel)
        if narrow:
            return narrow
        window = self.seat_sizes(wheel)
        if window is None:
            return f"No seat is good for the bore of {wheel.mark} with this boss and this range."
        low, high = (show(nm, unit) for nm in window)
        words = f"For the bore of {wheel.mark} the seat is to be between {low} and {high}.{room_words(margin, unit)}"
        if seat is None or seat.expanded_nm is None:
            return words
        # What is logged is decided with its own uncertainty, so against the sizes that serve with nothing in doubt.
        exact = seat_window(self.wanted, wheel.bore.mean_nm, unit, Margin(0, margin.grip_nm)) or window
        decision = decided(self._build, seat, exact)
        return f"{words} Measured: {decision.answer.words}."

    def too_narrow(self, casting: CastingView) -> str:
        """That the safe window of a press or shrink fit is narrower than can be worked to, and to bond it; or empty.

        Of a joint that is there already and is known to serve it need not be said.
        """
        joint = self.of(casting)
        if joint is not None and joint.answer in (Answer.SERVES, Answer.CAUTION):
            return ""
        found = too_narrow(
            self.wanted, self._seat_here(casting).nm, self.margins(casting)[-1], self._bores_nm
        )
        return no_fit_to_aim_for(found, self._build.unit) if found else ""

    @cached_property
    def _bores_nm(self) -> int | None:
        """How much the builder's bores spread: as typed, or as the readings of each bore here differ, the middle one."""
        figures = self.figures
        if not isinstance(figures, str) and figures.perhaps("bore_within") is not None:
            return figures.nm("bore_within")
        bores = [one.bore for one in self._build.castings if one.bore is not None and not one.bore.by_plug]
        spreads = [
            summarise([one.nm for one in bore.readings]).spread_nm for bore in bores if len(bore.readings) > 1
        ]
        return median_low(spreads) if spreads else None

    def never_holds(self, casting: CastingView) -> str:
        """Said before boring where no interference that is wanted, and that the boss stands, carries what it must."""
        build, figures, kind = self._build, self.figures, FitKind(self._build.fit)
        if kind is FitKind.BOND or isinstance(figures, str):
            return ""  # what the joint holds says which figure is wrong
        seat_nm, wanted = self._seat_here(casting).nm, (build.nm("fit_least"), build.nm("fit_most"))
        boss = build.nm("boss_diameter"), build.nm("boss_length")
        try:
            joint = forced_joint(build, figures, kind, seat_nm, *boss, None)
            safe = safe_interference_nm(joint)
            demand = demand_of(build, figures, build.axle(casting.axle_id), casting.throw)
            if safe is None or safe < 1:
                return ""  # the size to bore to says so already
            most = min(safe, wanted[1])
            held = hold(joint, seat_nm - most, seat_nm, 0)
        except ValueError:
            return ""
        torque = held.as_measured_nm
        if torque >= demand.torque_nm:
            return ""
        invented = bool(placeholders(figures, *holding_keys(build)))
        return never_holds(kind, most, safe <= wanted[1], (torque, demand.torque_nm), invented, build.unit)


def no_longer_hold(before: BuildView, texts: dict[str, str]) -> tuple[str, ...]:
    """The marks of the wheels in work that these joint figures would make fail."""
    after = replace(before.whole, joint_texts=texts)
    return tuple(
        wheel.mark
        for pattern in before.patterns
        for old, new in [(Joints(before.of(pattern)), Joints(after.of(pattern)))]
        for axle in before.of(pattern).axles
        for wheel in axle.wheels
        if new.fails(wheel) and not old.fails(wheel)
    )
