"""The crankpins' sheet: where the hole goes, the jig, the cranks, the throws, and which wheels to pair."""

from __future__ import annotations

from dataclasses import dataclass

from domain.cranks.crankpins import (
    CrankpinError,
    Edge,
    HolePosition,
    HoleRoom,
    JigReadings,
    JigThrow,
    Origin,
    PlugSize,
    boss_angle_deg,
    hole_position,
    hole_room,
    jig_readings,
    jig_throw,
    plug_for_bores,
)
from domain.cranks.cylinders import Cranks, CylindersError, Side, crank_angles
from domain.cranks.words import jig_words, plug_words, readings_words, room_words
from domain.lengths import Unit, show
from domain.lengths.fine import fine_both
from domain.measuring.plugs import PlugsError
from domain.working import Working
from webapp.facts.metal_sizes import terms_of
from webapp.records.views import BuildView
from webapp.sheets.cranks.form_crankpins import TOUCHES, CrankpinsTyped
from webapp.typed.texts import Errors


@dataclass(frozen=True, slots=True)
class HoleAnswer:
    """Where the hole goes and what is left round it; a part whose figures are not all right is not there."""

    position: HolePosition | None = None
    room: HoleRoom | None = None
    room_words: str = ""
    edge: Edge = Edge.CRANK_BOSS
    boss_words: str = ""

    @property
    def workings(self) -> tuple[Working, ...]:
        """Those of what was answered."""
        return tuple(part.working for part in (self.position, self.room) if part is not None)


@dataclass(frozen=True, slots=True)
class JigAnswer:
    """The jig's plugs, what they must read, and the throw they do read."""

    bore_plug: PlugSize | None = None
    bore_plug_words: str = ""
    bore_words: str = ""
    pin_plug: PlugSize | None = None
    pin_plug_words: str = ""
    readings: JigReadings | None = None
    readings_words: str = ""
    plugs_words: str = ""
    measured: JigThrow | None = None
    measured_words: str = ""
    throw_words: str = ""

    @property
    def workings(self) -> tuple[Working, ...]:
        """Those of what was answered."""
        parts = (self.bore_plug, self.pin_plug, self.readings)
        found = tuple(part.working for part in parts if part is not None)
        return found + (self.measured.workings if self.measured else ())


@dataclass(frozen=True, slots=True)
class CranksAnswer:
    """The crank angles, and where they are not what the drawing says."""

    cranks: Cranks | None = None
    odd: str = ""


def hole_answer(build: BuildView, typed: CrankpinsTyped, errors: Errors) -> HoleAnswer:
    """Where the hole goes; what is wrong goes among the errors, beside the figure it is about."""
    angle, boss_words = _boss_angle(typed, errors)
    room, edge = _room(build, typed, errors)
    position = None
    if typed.has("throw", "origin_x", "origin_y", "turned") and angle is not None:
        origin = Origin(typed.nm["origin_x"], typed.nm["origin_y"], typed.degrees["turned"])
        position = hole_position(typed.nm["throw"], angle, origin, build.unit)
    return HoleAnswer(
        position=None if "throw" in errors else position,
        room=room,
        room_words=room_words(room, build.unit) if room else "",
        edge=edge,
        boss_words=boss_words,
    )


def _boss_angle(typed: CrankpinsTyped, errors: Errors) -> tuple[float | None, str]:
    if not typed.has(*TOUCHES):
        return typed.degrees.get("angle"), ""
    one_x, one_y, two_x, two_y = (typed.nm[name] for name in TOUCHES)
    try:
        angle = boss_angle_deg((one_x, one_y), (two_x, two_y))
    except CrankpinError as error:
        errors["one_x"] = str(error)
        return None, ""
    return (
        angle,
        f"By the two touches the crank boss points {angle:.2f} degrees from the X axis: that is used.",
    )


def _room(build: BuildView, typed: CrankpinsTyped, errors: Errors) -> tuple[HoleRoom | None, Edge]:
    drawn = terms_of(build).finished
    iron = Edge.TREAD if drawn.centre_nm is None else Edge.CENTRE
    edge = Edge.CRANK_BOSS if "reach" in typed.nm else iron
    if not typed.has("throw", "hole", "bore") or "reach" in errors:
        return None, edge
    reach = typed.nm["reach"] if edge is Edge.CRANK_BOSS else (drawn.least_outside_nm or 0) // 2
    throw, hole, bore = (typed.nm[name] for name in ("throw", "hole", "bore"))
    try:
        return hole_room(throw, hole, bore, reach, build.unit, edge=edge), edge
    except CrankpinError as error:
        errors["throw"] = str(error)
        return None, edge


def jig_answer(build: BuildView, typed: CrankpinsTyped, errors: Errors) -> JigAnswer:
    """The plugs for the bores there are, and what a micrometer must read over them."""
    logged = [
        (casting.bore.mean_nm, casting.mark)
        for casting in build.castings
        if casting.state != "scrapped"
        and casting.bore is not None
        and not casting.bore.by_plug
        and build.order_of(casting).coupled
    ]
    bores = [nm for nm, _ in logged]
    bore_plug = pin_plug = readings = measured = None
    try:
        if bores or typed.has("bore"):
            bore_plug = plug_for_bores(bores or [typed.nm["bore"]], build.unit)
        if typed.has("hole"):
            pin_plug = plug_for_bores([typed.nm["hole"]], build.unit)
    except CrankpinError as error:
        errors.setdefault("hole" if bore_plug else "bore", str(error))
    if typed.has("throw", "bore_plug", "pin_plug"):
        readings, measured = _over_plugs(build, typed, errors)
    unit, plugs = build.unit, ""
    if readings:
        plugs = f"{show(typed.nm['bore_plug'], unit)} in the bore and {show(typed.nm['pin_plug'], unit)} in the hole"
    return JigAnswer(
        bore_plug=bore_plug,
        bore_plug_words=plug_words(bore_plug, unit) if bore_plug else "",
        bore_words=_bores_words(logged, unit),
        pin_plug=pin_plug,
        pin_plug_words=plug_words(pin_plug, unit) if pin_plug else "",
        readings=readings,
        readings_words=readings_words(readings, unit) if readings else "",
        plugs_words=plugs,
        measured=measured,
        measured_words=jig_words(measured, unit) if measured else "",
        throw_words=fine_both(measured.throw_nm, unit) if measured else "",
    )


def _bores_words(logged: list[tuple[int, str]], unit: Unit) -> str:
    """Which bores the plug is for, and whose decide: the plug must enter the smallest and shakes most in the largest."""
    if not logged:
        return "For the bore as typed: no bore is logged yet."
    if len(logged) == 1:
        return f"For the one bore logged, {logged[0][1]}'s."
    (least, small), (most, large) = min(logged), max(logged)
    if least == most:
        return f"For the {len(logged)} bores logged, all alike."
    return (
        f"For the {len(logged)} bores logged: the smallest is {small}'s, {show(least, unit)}; the largest, which makes the"
        f" shake, {large}'s, {show(most, unit)}."
    )


def _over_plugs(
    build: BuildView, typed: CrankpinsTyped, errors: Errors
) -> tuple[JigReadings | None, JigThrow | None]:
    throw, bore_plug, pin_plug = (typed.nm[name] for name in ("throw", "bore_plug", "pin_plug"))
    readings = measured = None
    try:
        readings = jig_readings(throw, bore_plug, pin_plug, build.unit)
    except CrankpinError as error:
        errors.setdefault("bore_plug", str(error))
    if "over" in typed.nm:
        try:
            measured = jig_throw(typed.nm["over"], bore_plug, pin_plug, throw, build.unit)
        except (CrankpinError, PlugsError) as error:
            errors["over"] = str(error)
    return readings, measured


def cranks_answer(build: BuildView, typed: CrankpinsTyped, errors: Errors) -> CranksAnswer:
    """The crank angles for these cylinders, against the drawing's quarter angle."""
    names = ["left", "right", *(["inside"] if typed.cylinders == 3 else [])]
    if "cylinders" in errors or not typed.has(*(f"slope_{name}" for name in names)):
        return CranksAnswer()
    slopes = {Side(name): typed.degrees[f"slope_{name}"] for name in names}
    try:
        cranks = crank_angles(typed.cylinders, Side(build.lead), slopes)
    except CylindersError as error:
        errors[f"slope_{error.field or 'left'}"] = str(error)
        return CranksAnswer()
    other = Side.RIGHT if build.lead == "left" else Side.LEFT
    outside = cranks.ahead_deg(Side(build.lead), other)
    odd = ""
    if round(outside * 1_000_000) != build.quarter_angle_udeg:
        odd = (
            f"The drawing says {build.quarter_angle} degrees between the outside two, and these cylinders want"
            f" {round(outside, 6):.9g}: put right whichever is wrong."
        )
    return CranksAnswer(cranks, odd)
