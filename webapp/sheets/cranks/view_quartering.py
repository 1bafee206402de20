"""The quartering work sheet of one axle as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from domain.cranks.cylinders import Side
from domain.cranks.quartering import (
    Branch,
    VeeBlockSetUp,
    elevation_deg,
)
from domain.cranks.words import degrees, turning_words
from domain.lengths import Length, Unit, plain, show, show_in
from domain.measuring.decision_types import Conformity
from domain.measuring.instruments import Reach
from domain.route.stages import Stage
from webapp.facts.correcting import tools_for
from webapp.facts.crankpins import PinsFirst, pins_first
from webapp.facts.facts import facts_of
from webapp.facts.quartering import (
    TRIAL_U_NM,
    AngleSaid,
    QuarterResult,
    cranks_of,
    cylinders_conflict,
    loose_words,
    no_angle_words,
    pin_sides,
    quarter_result,
    quarter_said,
    throw_words,
)
from webapp.facts.work_figures import work_figures
from webapp.records.heights import HeightsView
from webapp.records.views import SIDES, AxleView, BuildView
from webapp.sheets.cranks.drawing_quartering import EndOn, PinAt, end_on
from webapp.typed.heights import CENTRE, OVER, HeightTyped
from webapp.typed.texts import Typed

CAUTIONS = (
    "The axle can roll: clamp it in its vee blocks or wedge it before you let go, and keep fingers from under the wheels.",
    "Pin heights count only with clean vee blocks and a clean plate: wipe off every chip and burr.",
)
_FIT_CAUTIONS = {
    "bond": (
        "A retaining compound may set within minutes, sooner on warm or primed metal: have blocks, gauge and this sheet"
        " ready before the parts meet, read its own data sheet for the time, and do not move a joint that has begun to set.",
        "Cleaner and compound: fresh air, gloves, no flame. A set bond freed by heat gives off harmful fumes: only in the"
        " open air or under extraction, and let it cool before you handle it.",
    ),
    "press": (
        "At the press: work behind a guard with eye protection, wheel and axle square and supported at the boss, nobody in"
        " line with the ram. A wheel drawn off and pressed on again may hold less: measure bore and seat afresh.",
    ),
    "shrink": (
        "A hot wheel grips within seconds: have the setting made with a stop before you heat, wear dry gloves and a visor,"
        " and never cool it with water.",
    ),
}
_LAST = "For an engine that carries people follow the railway's own rules and its inspector: this program only advises."
_SHOWN = 3


@dataclass(frozen=True, slots=True)
class SetUpLine:
    """One way to lay the axle: each pin's side, where it stands, how far above or below the axle, and how high then."""

    pins: tuple[tuple[str, str, str, str], ...]
    uncertainty: str
    level: str


@dataclass(frozen=True, slots=True)
class TurningWay:
    """One way to put an angle right; steep where the pin cannot be read after it as the axle lies."""

    words: str
    title: str
    steep: bool


@dataclass(frozen=True, slots=True)
class QuarterPage:
    """Everything the sheet shows; `trouble` is why stored heights give no angle any more."""

    result: QuarterResult | None
    trouble: str
    picture: EndOn
    measured: bool
    set_ups: tuple[SetUpLine, ...]
    sides: tuple[str, ...]
    side_words: dict[str, str]
    throw_words: dict[str, str]
    wanted: str
    odd: str
    tolerance: str
    loose: str
    tools: list[tuple[int, str]]
    cautions: tuple[str, ...]
    sure_words: str
    trial: str
    aim_words: str
    # Whether it is set again, however good its own angle is.
    again: bool
    cure_words: str
    throws_first: str
    pins_first: PinsFirst | None

    answers: tuple[AngleSaid, ...] = ()
    ways: tuple[TurningWay, ...] = ()


def quarter_page(build: BuildView, axle: AxleView) -> QuarterPage:
    """The sheet of a coupled axle that has both its wheels."""
    result, trouble, heights = None, "", axle.heights
    found, turn = facts_of(build).quartering.of(axle), facts_of(build).resetting.of(axle)
    if found.error is not None:
        trouble = no_angle_words(build, found.error)
    elif heights is not None and found.sheet is not None:
        result = quarter_result(build, axle, heights, found.sheet, turn.turn_deg if turn else None)
    ways, figures = facts_of(build).quartering.set_ups(axle)[:_SHOWN], work_figures(build)
    wheels = {"left": axle.left, "right": axle.right}
    pins = {side: f"{side.capitalize()} pin, {wheel.mark}" for side, wheel in wheels.items() if wheel}
    within = figures.number("quarter_within")
    return QuarterPage(
        result=result,
        trouble=trouble,
        picture=end_on(_measured_pins(build, result) if result else _laid_pins(build, axle)),
        measured=result is not None,
        set_ups=_set_up_lines(build, ways, heights.centre if heights else None),
        sides=pin_sides(build),
        side_words=pins | {"inside": "Inside pin"},
        throw_words={side: throw_words(build, axle, side) for side in wheels},
        wanted=cranks_of(build).words,
        odd=cylinders_conflict(build),
        tolerance=f"{within:g} degrees either way ({figures.source('quarter_within')})",
        loose=loose_words(build, axle),
        tools=tools_for(build, Reach.OUTSIDE),
        cautions=(*_FIT_CAUTIONS[build.fit], *CAUTIONS, _LAST),
        sure_words=_sure_words(build, heights),
        trial=show(TRIAL_U_NM, build.unit),
        aim_words=_aim_words(build, axle, result),
        again=turn is not None,
        cure_words=_cure_words(build, axle),
        throws_first=facts_of(build).throws.first,
        pins_first=pins_first(build, axle),
        answers=quarter_said(result.sheet) if result else (),
        ways=_turning_ways(build, result) if result else (),
    )


def _turning_ways(build: BuildView, result: QuarterResult) -> tuple[TurningWay, ...]:
    return tuple(
        TurningWay(turning_words(way, build.unit), turning.title, not way.height_serves and way.turn_deg > 0)
        for turning in result.turnings
        for way in turning.ways
    )


def _set_up_lines(
    build: BuildView, ways: tuple[VeeBlockSetUp, ...], centre: Length | None
) -> tuple[SetUpLine, ...]:
    """The set-ups in words; with the height of the axle known, how high each pin's centre then is."""
    return tuple(
        SetUpLine(
            tuple(_set_up_pin(build, pin, centre) for pin in way.pins),
            degrees(way.expanded_deg),
            " and ".join(f"{abs(one):.0f}" for one in way.from_level_deg),
        )
        for way in ways
    )


def _set_up_pin(
    build: BuildView, pin: tuple[Side, Branch, int], centre: Length | None
) -> tuple[str, str, str, str]:
    side, branch, above_nm = pin
    where = "in front of the axle" if branch is Branch.FRONT else "behind the axle"
    way = f"{show(abs(above_nm), build.unit)} {'above' if above_nm >= 0 else 'below'} the axle's centre"
    return side.value, where, way, show(centre.nm + above_nm, build.unit) if centre else ""


def _aim_words(build: BuildView, axle: AxleView, result: QuarterResult | None) -> str:
    """What the turn on this sheet aims at, and whether the rods ask for it; the turn itself is the facts'."""
    again = facts_of(build).resetting
    if result is None or again.compared is None:
        return ""
    if again.of(axle) is not None:
        return "So that it agrees with its fellows, as the rods ask."
    drawn = f"This brings it to the {result.quarter.wanted_deg:g} degrees drawn."
    if again.turns:
        return f"{drawn} For the rods it may stay as it is. {again.orders[0]}"
    if again.rods_go or again.compared.answer is Conformity.INSIDE:
        return f"{drawn} For the rods it may stay as it is."
    return f"{drawn} The rods ask only that all axles agree."


def _cure_words(build: BuildView, axle: AxleView) -> str:
    """A bond that was broken to turn a wheel cures anew, and the clock must know."""
    if build.fit != "bond" or not all(wheel.has(Stage.PRESSED) for wheel in axle.wheels):
        return ""
    return (
        "If the bond was broken to turn it: untick “Pressed”, bond again and tick it, so that the cure clock starts"
        " again; then measure once more."
    )


def _sure_words(build: BuildView, heights: HeightsView | None) -> str:
    if heights is None:
        return ""
    if heights.expanded_nm is None:
        return "How sure a height is was not said: the heights are taken as exact, so the uncertainty is too small."
    words = f"Each height is sure to {show(heights.expanded_nm, build.unit)}"
    tool = build.instruments.get(heights.instrument_id) if heights.instrument_id else None
    return f"{words}, with {tool.name}." if tool else f"{words}, as typed."


def _measured_pins(build: BuildView, result: QuarterResult) -> list[PinAt]:
    heights = {line.side: line.height for line in result.pins}
    drawn = build.crank_nm("throw")
    return [
        PinAt(
            pin.side.value,
            pin.elevation_deg,
            drawn,
            words=show(heights[pin.side.value].nm, build.unit),
            short=show_in(heights[pin.side.value].nm, build.unit),
        )
        for pin in result.sheet.pins
    ]


def _laid_pins(build: BuildView, axle: AxleView) -> list[PinAt]:
    """The pins with the axle laid as is best, as the setting sheet leaves them too."""
    return _pins_at(
        build,
        tuple((pin.side, pin.branch, pin.height_nm) for pin in facts_of(build).quartering.laid(axle)),
    )


def _pins_at(build: BuildView, pins: tuple[tuple[Side, Branch, int], ...]) -> list[PinAt]:
    throw = build.crank_nm("throw")
    return [
        PinAt(
            side.value,
            elevation_deg(_held(above, throw), 0, throw, branch),
            throw,
            words=f"{show(abs(above), build.unit)} {'above' if above >= 0 else 'below'}",
            short=show_in(abs(above), build.unit),
        )
        for side, branch, above in pins
    ]


def _held(above_nm: int, throw_nm: int) -> int:
    """Logged throws may be a little longer than the drawing's, by which the picture is drawn."""
    return max(-throw_nm, min(throw_nm, above_nm))


def _typed(height: Length, unit: Unit) -> HeightTyped:
    """A kept height as it was typed; one that was not typed, as its figure."""
    return HeightTyped.kept(height.text or plain(height.nm, unit))


def start_texts(build: BuildView, heights: HeightsView | None, lies: Typed) -> Typed:
    """What the form opens with: what was typed as it was set (`lies`), else the heights as they last were, else the
    drawing's figures.

    Set anew, its pins stand elsewhere: of the heights before only what it was read with stays.
    """
    fields = {"axle_diameter": [plain(build.nm("seat"), build.unit)]}
    fields["inside_throw"] = [plain(build.crank_nm("throw"), build.unit)]
    if heights is None or proposed(lies):
        fields |= {f"{name}_way": [CENTRE] for name in ("axle", "left", "right", "inside")}
        return Typed(fields | _read_with(build, heights) | _as_set(lies))
    pins = {"left": heights.left, "right": heights.right, "inside": heights.inside}
    fields |= _typed(heights.centre, build.unit).fields("axle")
    for side, pin in pins.items():
        if pin is None:
            fields[f"{side}_way"] = [CENTRE]
        else:
            fields |= _typed(pin.height, build.unit).fields(side)
            fields[f"{side}_branch"] = [pin.branch]
    return Typed(fields | _read_with(build, heights))


def _read_with(build: BuildView, heights: HeightsView | None) -> dict[str, list[str]]:
    if heights is None:
        return {}
    fields = {"instrument_id": [str(heights.instrument_id or "")]}
    if heights.inside_throw:
        fields["inside_throw"] = [heights.inside_throw.text]
    if heights.instrument_id is None and heights.expanded_nm is not None:
        fields["expanded"] = [plain(heights.expanded_nm, build.unit)]
    return fields


def proposed(lies: Typed) -> frozenset[str]:
    """The fields that are filled in with what was typed as the axle was set, each said to be proposed."""
    return frozenset(_as_set(lies))


def _as_set(lies: Typed) -> dict[str, list[str]]:
    """What was typed as the axle was set, by the fields of the heights."""
    names = ("axle", *SIDES, "instrument_id", *(f"{side}_branch" for side in SIDES))
    fields = {name: [text] for name in names if (text := lies.get(name))}
    for over, reads in (("axle_diameter", ("axle",)), ("pin_diameter", SIDES)):
        for name in reads if lies.get(over) else ():
            fields |= {f"{name}_way": [OVER], f"{name}_diameter": [lies.get(over)]}
    if fields.get("instrument_id"):
        fields["expanded"] = [""]
    return fields
