"""The sheet of treads: the profile to turn, what the group can reach, every wheel and every axle's gauges."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from domain.answer import Answer
from domain.lengths import plain, show, show_in
from domain.route.stages import Stage
from domain.treads.flange import FlangePlace
from domain.treads.profile import Profile
from domain.treads.table import FormAngles, Row, coordinates, form_angles
from domain.treads.wheel_standard import TreadError, WheelStandard
from domain.treads.words import (
    angles_words,
    dimension_words,
    flange_drawn_words,
    flange_working,
    track_words,
    wanted_words,
)
from domain.working import Working
from webapp.facts.axle_gauges import ROOM, AxleGauges, flange_aim
from webapp.facts.due import casting_due
from webapp.facts.facts import facts_of
from webapp.facts.treads import LOOKS, FigureLine, GroupView, WheelTyre, last_rim_face, rim_unfinished
from webapp.records.views import SIDES, AxleView, BuildView, CastingView
from webapp.sheets.treads.drawing import TyreSection, tyre_section
from webapp.sheets.treads.drawing_set import GaugeSaid, SetDrawn, WheelSetPicture, wheel_set
from webapp.sheets.treads.form import TableAsk


@dataclass(frozen=True, slots=True)
class ProfileSheet:
    """The profile with its picture, table and angles; what cannot be has its sentence instead."""

    cone_source: str
    edge_source: str
    below_drawing: bool
    profile: Profile | None = None
    trouble: str = ""
    picture: TyreSection | None = None
    picture_words: str = ""
    rows: tuple[Row, ...] = ()
    table_trouble: str = ""
    angles: FormAngles | None = None
    angles_words: str = ""


@dataclass(frozen=True, slots=True)
class SheetVerdict:
    """The answer of a whole sheet in one line, and how it looks."""

    words: str
    look: str


def verdict_on(judged: Iterable[tuple[str, str]]) -> SheetVerdict:
    """One answer of many, each with its name and how it looks: the worst, and whose it is.

    >>> verdict_on([("tread diameter", "serves"), ("flange width", "not")])
    SheetVerdict(words='No good: flange width', look='not')
    """
    found = list(judged)
    for look, answer in (("not", Answer.NOT), ("caution", Answer.CANNOT_TELL)):
        named = tuple(dict.fromkeys(name for name, one in found if one == look))
        if named:
            return SheetVerdict(f"{answer.words.capitalize()}: {', '.join(named)}", look)
    if not any(one == "serves" for _, one in found):
        return SheetVerdict("Nothing is measured yet", "open")
    rest = "" if all(one == "serves" for _, one in found) else ", as far as it is measured"
    return SheetVerdict(f"{Answer.SERVES.words.capitalize()}{rest}", "serves")


def _with_sets(found: SheetVerdict, sets: Iterable[str]) -> SheetVerdict:
    """With which tread sets its whole group's diameter low, which is no news that waits behind a fold."""
    said = "; ".join(sets)
    if not said:
        return found
    if found.look in ("not", "caution"):
        return replace(found, words=f"{found.words}. {said}")
    return SheetVerdict(f"{Answer.CAUTION.words.capitalize()}: {said}", "caution")


def gauges_verdict(axle: AxleGauges) -> SheetVerdict:
    """One answer on an axle's gauges."""
    return verdict_on(_gauges(axle))


def gauges_picture(build: BuildView, axle: AxleGauges) -> WheelSetPicture:
    """The wheel set on its rails by what was measured, the drawing standing in where nothing was."""
    gauges, unit = axle.gauges, build.unit
    flange, back = build.nm("flange_width"), axle.back
    left, right = axle.flanges
    # Flange 1 is the left wheel's, flange 2 the right one's.
    over = ((False, False), (True, True), (True, False), (False, True))
    judged = (gauges.back_to_back, gauges.wheel_gauge, *gauges.over_one)
    looks = {line.verdict.name: line for line in axle.lines}
    drawn = SetDrawn(
        gauge_nm=build.nm("gauge"),
        back_nm=back.nm if back else build.nm("back_to_back"),
        flanges_nm=(left.nm if left else flange, right.nm if right else flange),
        flange_depth_nm=build.nm("flange_depth"),
        tyre_width_nm=build.nm("tyre_width"),
        measured=(left is not None, right is not None),
    )
    said = []
    for sides, verdict in zip(over, judged, strict=False):
        line = looks[verdict.name]
        size = "" if verdict.nm is None else f"{show_in(verdict.nm, unit)}: {line.answer}"
        look = {"not": "red", "serves": "strong"}.get(line.look, "")
        said.append(GaugeSaid(sides, line.name, size, look))
    return wheel_set(drawn, said, f"rails {show_in(drawn.gauge_nm, unit)}")


def _gauges(axle: AxleGauges) -> Iterator[tuple[str, str]]:
    """Each gauge with its look; one that nothing is asked of says nothing once it is measured."""
    for line in axle.lines:
        if line.look != "open" or line.verdict.nm is None:
            yield line.name, line.look
    if ROOM in axle.out:
        yield ROOM, "not"


def _figures(figures: Iterable[FigureLine]) -> Iterator[tuple[str, str]]:
    """Each figure of a tyre with its own answer's look; one without limits says nothing once it is measured."""
    for one in figures:
        look = LOOKS[one.verdict.answer]
        if look != "open" or one.size is None:
            yield one.name, look


@dataclass(frozen=True, slots=True)
class Todo:
    """The one thing to do, and where."""

    words: str
    address: str


@dataclass(frozen=True, slots=True)
class WheelLine:
    """One wheel on the sheet of all."""

    casting: CastingView
    where: str
    figures: tuple[FigureLine, ...]
    # Whether its tread is turned, or is what comes next.
    turning: bool


@dataclass(frozen=True, slots=True)
class TreadsSheet:
    """Everything on the build's sheet of treads."""

    standard: WheelStandard
    profile: ProfileSheet
    groups: tuple[GroupView, ...]
    wheels: tuple[WheelLine, ...]
    axles: tuple[AxleGauges, ...]
    warnings: tuple[str, ...]
    # What the document prints of the track, which judges no wheel.
    track_words: str
    measure_at_nm: int | None
    # How thick the drawn flange is at the tread's level and where it is measured.
    flange_words: str

    @property
    def verdict(self) -> SheetVerdict:
        """One answer on every tread, the groups and the gauges: the worst, and whose it is."""
        judged = [(wheel.casting.mark, look) for wheel in self.wheels for _, look in _figures(wheel.figures)]
        judged += [(group.name, group.spread_head[1]) for group in self.groups if group.spread]
        judged += [(mark, "not") for group in self.groups if group.odd for mark in group.odd.marks]
        judged += [(f"axle {axle.axle.number}", look) for axle in self.axles for _, look in _gauges(axle)]
        return _with_sets(verdict_on(judged), (group.low.words for group in self.groups if group.low))

    @property
    def todo(self) -> Todo | None:
        """The one thing to do: what the verdict is about, else the next tread to be measured."""
        return next(self._todo(), None)

    def _todo(self) -> Iterator[Todo]:
        for bad in ("not", "caution"):
            odd = {mark for group in self.groups if group.odd for mark in group.odd.marks if bad == "not"}
            low = {group.low.mark for group in self.groups if group.low}
            for wheel in self.wheels:
                mark = wheel.casting.mark
                if mark in low:
                    again = f"/castings/{wheel.casting.id}/tread?open=log#fold-log"
                    yield Todo(f"Measure the tread of {mark} again", again)
                if mark in odd or bad in {look for _, look in _figures(wheel.figures)}:
                    yield Todo(f"See to the tread of {mark}", f"/castings/{wheel.casting.id}/tread")
            for axle in self.axles:
                if bad in {look for _, look in _gauges(axle)}:
                    yield Todo(
                        f"See to the gauges of axle {axle.axle.number}", f"/axles/{axle.axle.id}/gauges"
                    )
        # A tread that is turned, or is turned next, before one of which only the tyre's width can be known.
        for wheel in sorted(self.wheels, key=lambda one: not one.turning):
            if wheel.casting.has(Stage.BORED) and any(line.size is None for line in wheel.figures):
                mark, own = wheel.casting.mark, wheel.casting.id
                yield Todo(f"Log the tread of {mark}", f"/castings/{own}/tread?open=log#fold-log")


@dataclass(frozen=True, slots=True)
class CastingTread:
    """One wheel's own sheet."""

    wheel: WheelTyre
    group: GroupView | None
    notes: tuple[str, ...]
    workings: tuple[Working, ...]
    # How far above the tread to measure its flange, and how the box for it is filled in.
    measure_at_nm: int | None
    measure_at_text: str
    # That its group is not alike for it, and the ways out.
    odd_words: tuple[str, ...] = ()
    # What each figure that is not measured yet is to be, by its key.
    wanted: Mapping[str, str] = field(default_factory=dict)
    # The gauges of its axle that are no good and count its flange.
    of_axle: tuple[tuple[str, str], ...] = ()

    @property
    def verdict(self) -> SheetVerdict:
        """One answer on the whole tyre, and on what its flange makes of its axle."""
        found = verdict_on((*_figures(self.wheel.figures), *self.of_axle))
        return _with_sets(found, filter(None, (self.wheel.sets,)))


def treads_sheet(build: BuildView, ask: TableAsk) -> TreadsSheet:
    """The whole sheet."""
    facts = facts_of(build)
    treads = facts.treads
    groups = treads.groups
    diameter = groups[0].target_nm if groups else build.nm("tread_diameter")
    return TreadsSheet(
        standard=treads.standard,
        profile=profile_sheet(build, diameter, ask),
        groups=groups,
        wheels=tuple(_wheel(build, one) for one in _shown(build)),
        axles=tuple(facts.gauges(axle) for axle in build.axles),
        warnings=treads.warnings,
        track_words=track_words(treads.standard.track, build.unit) if treads.standard.track else "",
        measure_at_nm=treads.measure_at_nm,
        flange_words=flange_drawn_words(
            build.nm("flange_width"), FlangePlace(treads.flange, treads.measure_at_nm), build.unit
        ),
    )


def profile_sheet(build: BuildView, diameter_nm: int, ask: TableAsk) -> ProfileSheet:
    """The profile of the drawing at the diameter the group is turned to."""
    treads = facts_of(build).treads
    form = treads.form(diameter_nm)
    blank = ProfileSheet(form.cone_source, form.edge_source, diameter_nm < build.nm("tread_diameter"))
    try:
        made = treads.profile(diameter_nm)
        angles = form_angles(made.figures.cone, made.figures.flange_face_deg)
    except TreadError as error:
        return replace(blank, trouble=str(error))
    rows: tuple[Row, ...] = ()
    trouble = ""
    try:
        rows = coordinates(made, chord_nm=ask.chord_nm, step_nm=ask.step_nm, origin=ask.origin)
    except TreadError as error:
        trouble = str(error)
    sizes = "; ".join(dimension_words(one, build.unit) for one in made.dimensions)
    return replace(
        blank,
        profile=made,
        picture=tyre_section(made, build.unit),
        picture_words=f"Section through the tyre: {sizes}",
        rows=rows,
        table_trouble=trouble,
        angles=angles,
        angles_words=angles_words(angles),
    )


def casting_tread(build: BuildView, casting: CastingView) -> CastingTread:
    """One wheel judged."""
    treads = facts_of(build.of(casting)).treads
    wheel, own = treads.of(casting), treads.group_of(casting)
    bare = [one.name for one in wheel.figures if one.size is not None and one.size.expanded_nm is None]
    notes = []
    if bare:
        notes.append(
            f"Logged without an instrument of the workshop's list, so taken as exact: {', '.join(bare)}."
        )
    if rim_unfinished(build, casting):
        rim = show(casting.sizes["rim_height"].nm, build.unit)
        side = "back" if last_rim_face(build, casting).is_back else "front"
        notes.append(f"The rim was logged as {rim} before its {side} was faced: no tyre's width yet.")
    odd: tuple[str, ...] = ()
    if own is not None and own.odd is not None:
        odd = (own.odd_words, *(own.odd_ways if casting.mark in own.odd.marks else ()))
    thinner = [
        working for one in wheel.finding.verdicts if (working := flange_working(one, build.unit)) is not None
    ]
    at, axle = treads.measure_at_nm, build.axle(casting.axle_id)
    return CastingTread(
        wheel,
        own,
        tuple(notes),
        (*thinner, *wheel.workings),
        measure_at_nm=at,
        measure_at_text="" if at is None else plain(at, build.unit),
        odd_words=odd,
        wanted={
            one.key: wanted_words(one.verdict.limits, build.unit) for one in wheel.figures if one.size is None
        }
        | {"flange_thickness": flange_aim(treads, axle, casting)},
        of_axle=tuple(_counting(build, axle, casting)) if axle is not None else (),
    )


def _counting(build: BuildView, axle: AxleView, casting: CastingView) -> Iterator[tuple[str, str]]:
    """The gauges of an axle that are no good and count this wheel's flange, which may be good by itself."""
    gauges = facts_of(build).gauges(axle)
    if "flange_thickness" not in casting.sizes:
        return
    beside = gauges.lines[-1 if casting.side == SIDES[0] else -2]
    for line in gauges.lines[1:]:
        if line is not beside and line.look == "not":
            yield f"{line.name} of axle {axle.number}", line.look
    if ROOM in gauges.out:
        yield f"{ROOM} of axle {axle.number}", "not"


def _shown(build: BuildView) -> list[CastingView]:
    """The wheels in their places, then spares that have a tread of their own."""
    placed = [wheel for axle in build.axles for wheel in axle.wheels]
    keys = {"tread", "flange_thickness", "flange_height", "root_radius"}
    return placed + [one for one in build.spares if keys & one.sizes.keys()]


def _wheel(build: BuildView, casting: CastingView) -> WheelLine:
    turning = casting.has(Stage.TREAD_TURNED) or any(
        one.kind == "tread" for one in casting_due(build, casting)
    )
    figures = facts_of(build.of(casting)).treads.of(casting).figures
    return WheelLine(casting, build.where(casting), figures, turning)
