"""The joint of each wheel of a build: the judge is asked once for each wheel on each seat."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from domain.answer import Answer
from domain.hand.spread import FEWEST
from domain.joints.fit import Ends, Margin, bore_window, seat_window
from domain.joints.held import gripping_interference_nm, hold, safe_interference_nm
from domain.joints.judge import Case, Load, judge
from domain.joints.kinds import FitError, FitKind
from domain.joints.margin import Aim, best_aim, margins, too_narrow
from domain.joints.terms import ForcedJoint, HeldBy, Joint, Size, uncertainty_nm
from domain.joints.words import aim_sizes, aim_words, never_holds, no_fit_to_aim_for, slips_by_guess, small
from domain.lengths import Unit, last_figure_nm, show
from domain.lengths.systems import KeptAsShown
from domain.measuring.instruments import InstrumentKind, Reach
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


def _spread_of(bore: Size, seat: Size) -> Ends | None:
    """Where a bore's ends lie, as its judge takes them; None where it has none."""
    if bore.ends_nm is None or bore.plugs is not None:
        return None
    alone = uncertainty_nm(replace(bore, expanded_nm=bore.alone_nm), seat)
    return Ends(bore.nm - bore.ends_nm[0], bore.ends_nm[1] - bore.nm, alone)


def _least_wide(unit: Unit, margin: Margin) -> int:
    """How wide a range of sizes must be to be aimed at: two of the last figures, or what is unsure."""
    return max(2 * last_figure_nm(unit), margin.unsure_nm)


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
        measured = seat if seat.expanded_nm is not None else self._to_come(Reach.OUTSIDE)
        unsure, spread = uncertainty_nm(bore, measured), _spread_of(bore, measured)
        if isinstance(holding, str):
            return (Margin(unsure, spread=spread),)
        return tuple(replace(one, spread=spread) for one in margins(holding, load, unsure))

    def _to_come(self, reach: Reach) -> Size:
        """A size that is not measured yet: as surely as the best instrument at hand will tell it."""
        tools = (
            one for one in at_hand(self._build) if one.kind is InstrumentKind.VALUE and one.measures(reach)
        )
        return Size(0, min((one.expanded_nm for one in tools), default=None))

    def margin(self, casting: CastingView) -> Margin:
        """The best margin that some size to bore to keeps; the one that asks least where none does."""
        found = self._bore_aim(casting)
        return found.margin if found else self.margins(casting)[-1]

    def seat_margin(self, casting: CastingView) -> Margin:
        """The same of the sizes to turn a seat to for the bore that is there."""
        found = self._seat_aim(casting)
        return found.margin if found else self.margins(casting)[-1]

    def _bore_aim(self, casting: CastingView) -> Aim | None:
        seat_nm, unit = self._seat_here(casting).nm, self._build.unit
        known = tuple(replace(one, spread=None) for one in self.margins(casting))
        return best_aim(
            known, lambda one: bore_window(self.wanted, seat_nm, unit, one), _least_wide(unit, known[0])
        )

    def _seat_aim(self, casting: CastingView) -> Aim | None:
        if casting.bore is None:
            return None
        known, unit, bore_nm = self.margins(casting), self._build.unit, casting.bore.mean_nm
        return best_aim(
            known, lambda one: seat_window(self.wanted, bore_nm, unit, one), _least_wide(unit, known[0])
        )

    def bore_sizes(self, casting: CastingView) -> tuple[int, int] | None:
        """Least and most to bore a casting to for its seat, nm; None where no bore is safe."""
        found = self._bore_aim(casting)
        return found.window if found else None

    def bore_target(self, casting: CastingView) -> str:
        """The sizes to bore a casting to for its seat, in words."""
        unit, seat, aim = self._build.unit, self._seat_here(casting), self._bore_aim(casting)
        whose = "the measured seat" if seat.measured else "the drawing's seat"
        narrow = self.too_narrow(casting)
        if aim is None:
            none = (
                f"No bore is good for {whose}, {show(seat.nm, unit)}, with this boss and this range. Bond it."
            )
            return narrow or none
        bore, high = casting.bore, show(aim.window[1], unit)
        if bore is not None and not bore.by_plug and bore.mean_nm > aim.window[1] and self.fails(casting):
            return f"The hole is past the {high} that suits {whose} of {show(seat.nm, unit)}."
        to = aim_sizes("Bore to", aim.window, unit)
        suits = "" if seat.measured else " If it is not turned yet, it can be made to suit a reamed hole."
        clear = f"{aim_words(aim, self.wanted, unit)}{self._guessed(casting)}"
        said = f"{to}, for {whose} of {show(seat.nm, unit)}.{clear}{suits}"
        return f"{narrow} If you press it all the same: {small(said)}" if narrow else said

    def seat_sizes(self, casting: CastingView) -> tuple[int, int] | None:
        """Least and most to turn its seat to for its bore as measured, nm; None where that is not known, or none is good."""
        if casting.bore is None or casting.bore.by_plug:
            return None
        aim = self._seat_aim(casting)
        return aim.window if aim else None

    def seat_target(self, axle: AxleView, side: str) -> str:
        """The sizes to turn a seat to for the measured bore of its wheel, and what a logged seat is beside them."""
        wheel, seat, unit = axle.at(side), axle.seats.get(side), self._build.unit
        if wheel is None or wheel.bore is None or wheel.bore.by_plug or wheel.has(Stage.PRESSED):
            return ""
        narrow, aim = self.too_narrow(wheel), self._seat_aim(wheel)
        if aim is None:
            none = f"No seat is good for the bore of {wheel.mark} with this boss and this range."
            return narrow or none
        to = aim_sizes("the seat is to be", aim.window, unit)
        words = f"For the bore of {wheel.mark} {to}.{aim_words(aim, self.wanted, unit)}{self._guessed(wheel)}"
        words = f"{narrow} If you press it all the same: {small(words)}" if narrow else words
        if seat is None or seat.expanded_nm is None:
            return words
        # What is logged is decided with its own uncertainty, so against the sizes that serve with nothing in doubt.
        sure = replace(
            aim.margin,
            unsure_nm=0,
            spread=replace(aim.margin.spread, unsure_nm=0) if aim.margin.spread else None,
        )
        exact = seat_window(self.wanted, wheel.bore.mean_nm, unit, sure) or aim.window
        decision = decided(self._build, seat, exact)
        return f"{words} Measured: {decision.answer.words}."

    def _guessed(self, casting: CastingView) -> str:
        """What slips by loads that nobody typed: they narrow no size that is asked for, but the joint is told of them."""
        seat_nm = self._seat_here(casting).nm
        holding, load = self._terms(self._build.axle(casting.axle_id), casting.throw, seat_nm)
        if not isinstance(holding, ForcedJoint) or load is None or not load.invented:
            return ""
        grip = gripping_interference_nm(holding, load.demand.torque_nm)
        return slips_by_guess(grip, self._build.unit) if grip > self.wanted.least_nm else ""

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
        """How far apart the builder's bores come out: as typed, or as those here did; of a few it is not known.

        Each counts from its own seat, for a bore is made for that. The readings of one bore are its taper, and no hand.
        """
        figures = self.figures
        if not isinstance(figures, str) and figures.perhaps("bore_within") is not None:
            return figures.nm("bore_within")
        off = [
            one.bore.mean_nm - self._seat_here(one).nm
            for one in self._build.castings
            if one.bore is not None and not one.bore.by_plug and one.has(Stage.BORED)
        ]
        return max(off) - min(off) if len(off) >= FEWEST else None

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
