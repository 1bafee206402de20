"""Treads and flanges: what is measured of each wheel and what it is worth, and the wheels that must be alike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from domain.answer import Answer
from domain.drawing import FIGURES
from domain.lengths import NM_PER_MM, Unit, show
from domain.lengths.systems import KeptAsShown
from domain.measuring.decision_types import Conformity
from domain.measuring.plausible import Expected
from domain.returning.words import again_words
from domain.stock.sizes import Face
from domain.treads.flange import DrawnFlange, FlangePlace, drawn_flange
from domain.treads.gauges import contradictions
from domain.treads.group import (
    ForcedSlip,
    Group,
    OddOnes,
    ReachBy,
    RemainingCut,
    Spread,
    TreadReach,
    WheelTread,
    forced_slip,
    full_size_match,
    group_diameter,
    odd_ones,
    spread,
    tread_reach,
)
from domain.treads.judging import (
    FAR_UNDER_NM,
    Limits,
    MeasuredSize,
    TreadAnswer,
    TreadFigure,
    TreadVerdict,
    TyreFinding,
    at_tread,
    judge_tyre,
    must_follow_nm,
)
from domain.treads.profile import USUAL_CONE, Profile, ProfileFigures, profile, with_own_form
from domain.treads.wheel_standard import (
    TreadError,
    WheelStandard,
    as_drawn,
    hub_proud_by,
    preset,
)
from domain.treads.words import (
    THE_DRAWING,
    WAS_TO_BE,
    contradiction_words,
    cut_words,
    drawing_words,
    figure_remedy,
    figure_words,
    follow_words,
    group_words,
    hub_words,
    odd_ones_words,
    odd_ways,
    out_words,
    sets_words,
    slip_words,
    spread_words,
)
from domain.working import Working
from webapp.facts.metal_sizes import done_by, is_as_came, is_ticked, of_tread, sizes_now, terms_of
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView, CastingView, Measured

_NM_PER_M = 1_000 * NM_PER_MM
# Asked anew after every write, and seldom of other figures.
_outline, _reached = KeptAsShown(profile, 64), KeptAsShown(tread_reach, 1024)
SPREAD_WORDS = {
    Conformity.INSIDE: ("Good: the treads are alike", "serves"),
    Conformity.OUTSIDE: ("No good: the treads are not alike", "not"),
    Conformity.CANNOT_TELL: ("Cannot tell with these instruments", "caution"),
}
# The key each figure is logged by; the rim's back to front is the width of the tyre.
KEYS: Mapping[TreadFigure, str] = {
    TreadFigure.FLANGE_WIDTH: "flange_thickness",
    TreadFigure.FLANGE_DEPTH: "flange_height",
    TreadFigure.TYRE_WIDTH: "rim_height",
    TreadFigure.ROOT_RADIUS: "root_radius",
    TreadFigure.TREAD_DIAMETER: "tread",
}
# The figure of the drawing that each is to come out as.
DRAWN: Mapping[TreadFigure, str] = {
    TreadFigure.FLANGE_WIDTH: "flange_width",
    TreadFigure.FLANGE_DEPTH: "flange_depth",
    TreadFigure.TYRE_WIDTH: "tyre_width",
    TreadFigure.ROOT_RADIUS: "root_radius",
    TreadFigure.TREAD_DIAMETER: "tread_diameter",
}
# How an answer looks in the house's own answer box.
LOOKS: Mapping[TreadAnswer, str] = {
    TreadAnswer.GOOD: "serves",
    TreadAnswer.CANNOT_TELL: "caution",
    TreadAnswer.NO_GOOD: "not",
    TreadAnswer.NOT_LOGGED: "open",
    TreadAnswer.NO_LIMIT: "open",
}
_TAKES_ALL_DOWN = "A smaller one takes its whole group down."
# Where the wheel standard prints none: common practice, no source.
_USUAL_EDGE_NM = 250_000
_BY_COMMON = "common practice, no source: this wheel standard prints none"


@dataclass(frozen=True, slots=True)
class FigureLine:
    """One figure of one wheel: the size that counts, if any, and what it is worth."""

    key: str
    size: Measured | None
    verdict: TreadVerdict
    words: str
    remedy: str
    # What is to be minded though it is good; empty where nothing is.
    care: str = ""

    @property
    def name(self) -> str:
        """What it is called."""
        return self.verdict.figure.value

    @property
    def look(self) -> str:
        """How its answer looks."""
        return "caution" if self.care else LOOKS[self.verdict.answer]

    @property
    def said(self) -> str:
        """Its answer in a word or two."""
        return Answer.CAUTION.words if self.care else self.verdict.answer.value

    @property
    def above_nm(self) -> int | None:
        """How far above the tread a flange's thickness was measured."""
        place = self.verdict.place
        return place.above_nm if place is not None and self.size is not None else None


@dataclass(frozen=True, slots=True)
class WheelTyre:
    """One wheel's tread and flange: the figures, what its tread is to be, and what is said of it on every sheet."""

    casting: CastingView
    target_nm: int
    finding: TyreFinding
    figures: tuple[FigureLine, ...]
    # What is no good or cannot be told, with its figures; empty where nothing is.
    trouble: str
    # That its whole group would have to follow its tread; empty where it need not, or does already.
    follow: str
    # Which tread of its group takes all of it below what it was to be, before another follows; empty where none does.
    sets: str

    @property
    def known_words(self) -> str:
        """What is measured of it is worth this, and whether that is all of it."""
        missing = self.finding.of(TreadAnswer.NOT_LOGGED)
        if not missing:
            return f"Tread and flange: {self.answer.value}"
        known = [one.figure.value for one in self.finding.verdicts if one not in missing]
        return f"{', '.join(known).capitalize()}: {self.answer.value}; the rest is not measured"

    @property
    def out(self) -> tuple[str, ...]:
        """The figures that are no good: with one of them the wheel is out."""
        return tuple(one.figure.value for one in self.finding.out)

    @property
    def tread(self) -> TreadVerdict:
        """What its tread's diameter is worth."""
        return next(one for one in self.finding.verdicts if one.figure is TreadFigure.TREAD_DIAMETER)

    @property
    def answer(self) -> TreadAnswer:
        """The tyre in a word."""
        return self.finding.answer

    @property
    def look(self) -> str:
        """How that looks."""
        cares = any(one.care for one in self.figures) and not self.trouble
        return "caution" if cares else LOOKS[self.answer]

    @property
    def line(self) -> str:
        """What is said of it in a line: what is no good or cannot be told first, and who sets its group's diameter."""
        if self.tread.answer is TreadAnswer.NOT_LOGGED or not self.sets:
            return self.trouble or self.known_words
        return f"{self.trouble} {self.sets}." if self.trouble else f"Take care: {self.sets}"

    @property
    def address(self) -> str:
        """Its own sheet."""
        return f"/castings/{self.casting.id}/tread"

    @property
    def workings(self) -> tuple[Working, ...]:
        """How each answer came about."""
        return tuple(one.decision.working for one in self.finding.verdicts if one.decision)


@dataclass(frozen=True, slots=True)
class DrawnForm:
    """The sizes of the profile, and who gives those that stand on no drawing."""

    figures: ProfileFigures
    cone_source: str
    edge_source: str


class Treads:
    """What the treads, flanges and tyres of a build are worth: each is judged once."""

    def __init__(self, build: BuildView) -> None:
        self.build = build
        self._found: dict[int, WheelTyre] = {}

    @cached_property
    def standard(self) -> WheelStandard:
        """The standard as this build's drawing uses it."""
        return as_drawn(preset(self.build.standard), self._drawn)

    @property
    def _drawn(self) -> dict[str, int]:
        return {key: length.nm for key, length in self.build.dimensions.items()}

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """Where the standard contradicts itself, and where the drawing is outside it."""
        build, unit, printed = self.build, self.build.unit, preset(self.build.standard)
        names = {figure.key: figure.words.lower() for figure in FIGURES}
        said = [contradiction_words(one, unit) for one in contradictions(self.standard)]
        said += drawing_words(printed, self._drawn, names, unit).values()
        most = printed.hub_proud.high_nm if printed.hub_proud else None
        proud = hub_proud_by(
            printed, build.nm("boss_length"), build.nm("tyre_width"), work_figures(build).nm("boss_proud")
        )
        return (*said, *(hub_words(face, nm, most or 0, unit) for face, nm in proud))

    def form(self, diameter_nm: int) -> DrawnForm:
        """The sizes of the profile at a tread diameter: the drawing's, the builder's own, or the standard's."""
        build, figures, standard = self.build, work_figures(self.build), self.standard
        edge, cone = figures.perhaps("edge_break"), figures.perhaps("cone")
        wanted = ProfileFigures(
            tread_diameter_nm=diameter_nm,
            tyre_width_nm=build.nm("tyre_width"),
            flange_width_nm=build.nm("flange_width"),
            flange_depth_nm=build.nm("flange_depth"),
            root_radius_nm=build.nm("root_radius"),
            cone=cone or standard.tread_taper or USUAL_CONE,
            edge_break_nm=round(edge) if edge is not None else _or(standard.edge_break_nm, _USUAL_EDGE_NM),
        )
        return DrawnForm(
            with_own_form(wanted, standard),
            self._source("cone", cone, standard.tread_taper),
            self._source("edge_break", edge, standard.edge_break_nm),
        )

    def _source(self, key: str, typed: float | None, printed: float | None) -> str:
        if typed is not None:
            return work_figures(self.build).source(key)
        return _BY_COMMON if printed is None else self.standard.source

    def profile(self, diameter_nm: int) -> Profile:
        """The profile to turn. Raises TreadError for one that cannot be."""
        wanted = self.form(diameter_nm).figures
        try:
            return _outline(wanted, self.build.unit)
        except TreadError as error:
            if error.field != "flange_tip_radius":
                raise
        # The standard's tip is too large for the drawing's own flange, so it is rounded as far as it will go.
        return _outline(replace(wanted, flange_tip_radius_nm=None), self.build.unit)

    @cached_property
    def flange(self) -> DrawnFlange | None:
        """The drawing's flange above its root; None where the profile cannot be turned."""
        try:
            return drawn_flange(self.profile(self.build.nm("tread_diameter")))
        except TreadError:
            return None

    @cached_property
    def measure_at_nm(self) -> int | None:
        """How far above the tread to measure a flange: as the last one was, else half way up its straight part."""
        if self.flange is None:
            return None
        logged = [one.sizes["flange_at"] for one in self.build.castings if "flange_at" in one.sizes]
        last = max(logged, key=lambda size: size.id, default=None)
        if last is not None and self.flange.tells_at(last.nm):
            return last.nm
        return self.flange.usual_nm(self.build.unit)

    def place(self, casting: CastingView) -> FlangePlace:
        """Where a wheel's flange was measured: the height written down together with its thickness."""
        size, above = casting.sizes.get("flange_thickness"), casting.sizes.get("flange_at")
        together = size is not None and above is not None and above.id == size.id + 1
        return FlangePlace(self.flange, above.nm if together and above is not None else None)

    def flange_at_tread(self, casting: CastingView | None) -> MeasuredSize | None:
        """A wheel's flange as the gauges count it, at the tread's level; None where that is not known."""
        if casting is None:
            return None
        return at_tread(measured_of(casting.sizes.get("flange_thickness")), self.place(casting))

    @cached_property
    def groups(self) -> tuple[GroupView, ...]:
        """The coupled wheels as one group, and each carrying axle as one of its own."""
        return groups_of(self.build)

    def group_of(self, casting: CastingView) -> GroupView | None:
        """The group a wheel belongs to; a spare has none."""
        return next((one for one in self.groups if any(wheel.id == casting.id for wheel in one.wheels)), None)

    def target_nm(self, casting: CastingView) -> int:
        """The diameter a wheel's tread is to be turned to; a spare's is that of the first group whose place it may take."""
        group = self.group_of(casting) or next((one for one in self.groups if one.takes(casting)), None)
        return group.target_nm if group else self.build.nm("tread_diameter")

    def aim_nm(self, casting: CastingView) -> int:
        """What a tread was to come out as: the drawing's, or what the rough castings of its group let all of it have.

        Unlike the target it does not follow a wheel that came out smaller: that one was not aimed at.
        """
        group = self.group_of(casting)
        return group.aim_nm if group else _aim_nm(self.build, (casting,), None)

    def expected(self, casting: CastingView, drawn: Expected) -> Expected:
        """What a tread should be: not far under what its group was to come to, or under the least it is turned to."""
        group, aim = self.group_of(casting), self.aim_nm(casting)
        fellows = [one for one in group.wheels if one.id != casting.id] if group else []
        odd = group.odd.marks if group and group.odd else ()
        turned = [one.sizes["tread"].nm for one in fellows if "tread" in one.sizes and one.mark not in odd]
        least = min([aim, *turned])
        whose = "the drawing's" if least == drawn.figure else "its group's"
        return replace(drawn, least=least - FAR_UNDER_NM, figure=least, whose=whose, why=_TAKES_ALL_DOWN)

    def of(self, casting: CastingView) -> WheelTyre:
        """One wheel, judged once."""
        if casting.id not in self._found:
            self._found[casting.id] = self._judged(casting)
        return self._found[casting.id]

    def tread_due(self, casting: CastingView) -> bool:
        """Whether its tread is still to be measured, or again since it is no good: after the next cut, or as a check."""
        size = casting.sizes.get("tread")
        return size is None or size.rough or self.of(casting).tread.answer is TreadAnswer.NO_GOOD

    def _judged(self, casting: CastingView) -> WheelTyre:
        build, unit, target = self.build, self.build.unit, self.target_nm(casting)
        sizes = {figure: size_of(build, casting, figure) for figure in TreadFigure}
        logged = {figure: found for figure, size in sizes.items() if (found := measured_of(size)) is not None}
        group = self.group_of(casting)
        low = group.low if group else None
        own = {TreadFigure.TREAD_DIAMETER: self._tread_limits(casting, target, group)}
        finding = judge_tyre(self.standard, logged, unit, own, self.place(casting))
        follow = follow_words(low.below_nm, unit, low.whose) if low and low.mark == casting.mark else ""
        sets = low.words if low else ""
        lines = tuple(self._line(one, sizes[one.figure], follow, sets) for one in finding.verdicts)
        return WheelTyre(casting, target, finding, lines, out_words(finding, unit), follow, sets)

    def _line(self, one: TreadVerdict, size: Measured | None, follow: str, sets: str) -> FigureLine:
        unit, care = self.build.unit, ""
        if one.figure is TreadFigure.TREAD_DIAMETER and one.answer is TreadAnswer.GOOD:
            care = follow or (f"{sets}. Measure that one again first." if sets else "")
        return FigureLine(
            KEYS[one.figure], size, one, figure_words(one, unit), figure_remedy(one) or care, care
        )

    def _tread_limits(self, casting: CastingView, target: int, group: GroupView | None) -> Limits:
        """What its tread is judged by: its group's diameter; while one alone takes that down, also what it was to be."""
        within, tread = work_figures(self.build).nm("tread_match"), casting.sizes.get("tread")
        at, source = target, "the group's diameter and how far treads may differ"
        if group is not None and group.low is not None and tread is not None:
            as_meant = abs(tread.nm - group.aim_nm) <= within
            if as_meant and casting.mark != group.low.mark:
                at, source = group.aim_nm, "what its group was to be and how far treads may differ"
        return Limits(at - within, at + within, source)


def _or(nm: int | None, other_nm: int) -> int:
    return other_nm if nm is None else nm


def size_of(build: BuildView, casting: CastingView, figure: TreadFigure) -> Measured | None:
    """The size that counts."""
    if figure is TreadFigure.TYRE_WIDTH and rim_unfinished(build, casting):
        return None
    return casting.sizes.get(KEYS[figure])


def rim_unfinished(build: BuildView, casting: CastingView) -> bool:
    """Whether the rim is logged, but from before its last face was cut: that is no tyre's width yet.

    As the sheet of the metal has it: what was ticked since the size was logged may have taken off all that was left.
    """
    size = casting.sizes.get("rim_height")
    last = last_rim_face(build, casting)
    if size is None or is_as_came(casting, last):
        return size is not None
    left, done = size.nm - build.of(casting).nm("tyre_width"), done_by(casting, last)
    if left <= 0:
        return False
    return done is None or (done.at >= size.at and left > terms_of(build).tolerance_nm)


def last_rim_face(build: BuildView, casting: CastingView) -> Face:
    """The face of the rim that is cut last: with it the tyre has its width."""
    return Face.RIM_BACK if build.order_of(casting).front_first else Face.RIM_FRONT


def measured_of(size: Measured | None) -> MeasuredSize | None:
    """A size with its U; one logged without an instrument is taken as exact, and the pages say so."""
    return None if size is None else MeasuredSize(size.nm, size.expanded_nm or 0)


@dataclass(frozen=True, slots=True)
class ReachLine:
    """One wheel of a group: what it is now, what it can reach, and what is still to come off."""

    casting: CastingView
    present_nm: int | None
    reach: TreadReach | None
    cut: RemainingCut | None
    cut_words: str
    turned: bool


@dataclass(frozen=True, slots=True)
class SetLow:
    """The turned tread that takes its group below what it was to come to while no other is down to it: whose, how far
    in nm, under what, and so in words."""

    mark: str
    below_nm: int
    whose: str
    words: str


@dataclass(frozen=True, slots=True)
class GroupView:
    """One group; group is None until a wheel of it is measured, spread until two treads are.

    odd: the few wheels that fall short of what most are turned to, which `group` then leaves out; odd_ways: both ways
    out, the one that touches fewer wheels first.
    """

    name: str
    wheels: tuple[CastingView, ...]
    lines: tuple[ReachLine, ...]
    group: Group | None
    spread: Spread | None
    slip: ForcedSlip | None
    tolerance_nm: int
    target_nm: int
    # What it was to come to before any was turned: that follows no wheel that came out small.
    aim_nm: int
    low: SetLow | None
    full_size: tuple[int, Working]
    notes: tuple[str, ...]
    workings: tuple[Working, ...]
    odd: OddOnes | None = None
    words: str = ""
    spread_words: str = ""
    slip_words: str = ""
    odd_words: str = ""
    odd_ways: tuple[str, ...] = ()

    def takes(self, casting: CastingView) -> bool:
        """Whether a casting may take a place of it."""
        return any(wheel.pattern_id == casting.pattern_id for wheel in self.wheels)

    @property
    def spread_head(self) -> tuple[str, str]:
        """The answer on the spread in a word or two, and how it looks."""
        return SPREAD_WORDS[self.spread.answer] if self.spread else ("", "open")


def groups_of(build: BuildView) -> tuple[GroupView, ...]:
    """The coupled wheels as one group, and each carrying axle as one of its own; with a pattern, those it has part in."""
    own = build.axles
    # Rods join the coupled wheels, of whatever pattern they are.
    coupled = [axle for axle in build.whole.axles if axle.coupled] if any(one.coupled for one in own) else []
    wheels = tuple(wheel for axle in coupled for wheel in axle.wheels)
    found = [_group(build.of(coupled[0]), "coupled wheels", wheels)] if coupled else []
    found += [
        _group(build.of(axle), f"axle {axle.number}, {build.pattern_of(axle).kind.value}", axle.wheels)
        for axle in own
        if not axle.coupled
    ]
    return tuple(found)


def _group(build: BuildView, name: str, wheels: tuple[CastingView, ...]) -> GroupView:
    figures, drawing, unit = work_figures(build), wanted_nm(build, wheels), build.unit
    within = figures.nm("tread_match")
    reaches = {wheel.mark: reach for wheel in wheels if (reach := _reach(build, wheel)) is not None}
    present = {wheel.mark: sizes_now(build, wheel).tread_nm for wheel in wheels}
    treads = {
        mark: WheelTread(now, reaches[mark].nm)
        for mark, now in present.items()
        if now is not None and mark in reaches and 0 < reaches[mark].nm <= now
    }
    odd = _odd(build, wheels, treads, within)
    rest = {mark: one for mark, one in treads.items() if odd is None or mark not in odd.marks}
    group = group_diameter(drawing, rest, within, build.unit) if rest else None
    aim = _aim_nm(build, wheels, odd)
    cuts = {cut.mark: cut for cut in group.cuts} if group else {}
    said = {mark: cut_words(cut, unit) for mark, cut in cuts.items()}
    lines = tuple(
        ReachLine(
            casting=one,
            present_nm=present[one.mark],
            reach=reaches.get(one.mark),
            cut=cuts.get(one.mark),
            cut_words=said.get(one.mark, ""),
            turned=is_ticked(one, Face.TREAD),
        )
        for one in wheels
    )
    apart = _spread(build, wheels, within)
    full_size = full_size_match(build.nm("gauge"), build.unit)
    slip = _slip(build, wheels, apart)
    workings = [reach.working_for(mark) for mark, reach in reaches.items()]
    workings += [odd.working] if odd else []
    workings += [*(group.workings if group else ()), *(apart.workings if apart else ())]
    workings += [*(slip.workings if slip else ()), full_size[1]]
    return GroupView(
        name=name,
        wheels=wheels,
        lines=lines,
        group=group,
        spread=apart,
        slip=slip,
        tolerance_nm=within,
        target_nm=group.diameter_nm if group else drawing,
        aim_nm=aim,
        low=_low(build, wheels, group, aim, within) if group else None,
        full_size=full_size,
        notes=_notes(lines, treads),
        workings=tuple(workings),
        odd=odd,
        words=_group_words(group, wheels, drawing, unit) if group else "",
        spread_words=spread_words(apart, unit) if apart else "",
        slip_words=slip_words(slip, unit) if slip else "",
        odd_words=odd_ones_words(odd, unit) if odd else "",
        odd_ways=odd_ways(odd, unit) if odd else (),
    )


def wanted_nm(build: BuildView, wheels: Iterable[CastingView]) -> int:
    """What the treads of a group are wanted at: as drawn, or as they were taken back to after service."""
    back = [wheel.again.nm for wheel in wheels if wheel.again is not None]
    return min(back, default=build.nm("tread_diameter"))


def _aim_nm(build: BuildView, wheels: tuple[CastingView, ...], odd: OddOnes | None) -> int:
    """What the treads of a group were to come out as: as wanted, or as its rough castings let all of it be."""
    rest = [wheel for wheel in wheels if odd is None or wheel.mark not in odd.marks]
    reaches = [_reach(build, wheel, as_it_came=True) for wheel in rest]
    return min([wanted_nm(build, rest), *(one.nm for one in reaches if one is not None and one.nm > 0)])


def _low(
    build: BuildView, wheels: tuple[CastingView, ...], group: Group, aim_nm: int, within_nm: int
) -> SetLow | None:
    """The tread that decides a group alone, below what it was to come to."""
    treads = {wheel.mark: wheel.sizes["tread"].nm for wheel in wheels if "tread" in wheel.sizes}
    tolerance = work_figures(build).nm("size_tolerance")
    for mark in group.decided_by:
        if mark not in treads:
            return None  # one that is still rough can reach no more either
        others = [nm for other, nm in treads.items() if other != mark]
        below = must_follow_nm(treads[mark], aim_nm, others, tolerance, within_nm)
        if below:
            whose = THE_DRAWING if aim_nm == build.nm("tread_diameter") else WAS_TO_BE
            return SetLow(mark, below, whose, sets_words(mark, treads[mark], below, build.unit, whose))
    return None


def _group_words(group: Group, wheels: tuple[CastingView, ...], wanted: int, unit: Unit) -> str:
    if any(wheel.again is not None for wheel in wheels):
        return again_words(group.diameter_nm, wanted, group.decided_by, unit)
    return group_words(group, unit)


def _odd(
    build: BuildView, wheels: tuple[CastingView, ...], treads: dict[str, WheelTread], within_nm: int
) -> OddOnes | None:
    if not treads:
        return None
    turned = [wheel.mark for wheel in wheels if "tread" in wheel.sizes]
    return odd_ones(wanted_nm(build, wheels), treads, turned, within_nm, build.unit)


def _reach(build: BuildView, casting: CastingView, *, as_it_came: bool = False) -> TreadReach | None:
    again = casting.again
    if again is not None and not as_it_came and "tread" not in casting.sizes:
        shown = show(again.nm, build.unit)
        working = Working(
            "largest tread", "what it was taken back to", shown, shown, "as it was decided then"
        )
        return TreadReach(again.nm, ReachBy.TAKEN_BACK, working)
    turned = ("over_flange", "tread") if as_it_came else ()
    cut_on = of_tread(build, casting, casting.sizes)
    nm = {key: size.nm for key, size in cut_on.items() if key not in turned}
    return _reached(
        build.of(casting).nm("flange_depth"),
        work_figures(build).nm("least_cut"),
        build.unit,
        rim_least_nm=nm.get("rim_least"),
        rough_tread_nm=nm.get("rough_tread"),
        over_flange_nm=nm.get("over_flange"),
        tread_nm=nm.get("tread"),
        eccentricity_nm=nm.get("edge_eccentricity", 0),
    )


def _treads(wheels: tuple[CastingView, ...]) -> dict[str, MeasuredSize]:
    found = {wheel.mark: measured_of(wheel.sizes.get("tread")) for wheel in wheels}
    return {mark: tread for mark, tread in found.items() if tread is not None}


def _spread(build: BuildView, wheels: tuple[CastingView, ...], within_nm: int) -> Spread | None:
    treads = _treads(wheels)
    return spread(treads, within_nm, build.unit) if len(treads) > 1 else None


def _slip(build: BuildView, wheels: tuple[CastingView, ...], apart: Spread | None) -> ForcedSlip | None:
    if apart is None:
        return None
    treads, lap_m = _treads(wheels), work_figures(build).perhaps("lap")
    lap = round(lap_m * _NM_PER_M) if lap_m else None
    return forced_slip(treads[apart.largest].nm, treads[apart.smallest].nm, lap, build.unit)


def _notes(lines: tuple[ReachLine, ...], treads: dict[str, WheelTread]) -> tuple[str, ...]:
    """What the figures of a group leave open."""
    notes = []
    unknown = [one.casting.mark for one in lines if one.reach is None]
    if unknown:
        notes.append(
            f"Not measured, so left out: {', '.join(unknown)}. The group may come out smaller with them."
        )
    lost = [one.casting.mark for one in lines if one.reach is not None and one.casting.mark not in treads]
    if lost:
        notes.append(f"No metal is left for a tread on {', '.join(lost)}: measure again, or take a spare.")
    logged = [one for one in lines if "tread" in one.casting.sizes]
    unticked = [one.casting.mark for one in logged if not one.turned]
    if unticked:
        notes.append(f"Not ticked as turned to size yet, so still to come down: {', '.join(unticked)}.")
    bare = [one.casting.mark for one in logged if one.casting.sizes["tread"].expanded_nm is None]
    if bare:
        notes.append(
            f"Logged without an instrument of the workshop's list, so taken as exact: the tread of {', '.join(bare)}."
        )
    return tuple(notes)
