"""The quartering work sheet of one axle as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from domain.cranks.quartering_types import QuarteringError, SetUp, elevation_deg
from domain.lengths import plain, show
from domain.measuring.decision_types import Conformity
from domain.route.stages import Stage
from webapp.facts.quarter_angles import no_angle_words
from webapp.facts.quartering import (
    TRIAL_U_NM,
    QuarterResult,
    angles_wanted,
    loose_words,
    pin_sides,
    quarter_result,
    throw_words,
)
from webapp.facts.throws import throws_first
from webapp.facts.work_figures import work_figures
from webapp.records.heights import HeightsView
from webapp.records.views import AxleView, BuildView
from webapp.sheets.cranks.drawing_quartering import EndOn, PinAt, end_on
from webapp.sheets.cranks.form_quartering import CENTRE, typed_again
from webapp.sheets.cranks.view_centres import tools_for_heights
from webapp.sheets.cranks.view_set_ups import SetUpLine, set_up_lines, set_ups
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
_ANSWERS = {
    Conformity.INSIDE: ("serves", "Right"),
    Conformity.OUTSIDE: ("not", "Not right"),
    Conformity.CANNOT_TELL: ("caution", "Cannot tell"),
}


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
    cure_words: str
    throws_first: str

    @property
    def answers(self) -> tuple[tuple[str, str], ...]:
        """For each angle the kind of answer and its word."""
        return tuple(_ANSWERS[one.answer] for one in self.result.sheet.angles) if self.result else ()


def quarter_page(build: BuildView, axle: AxleView, heights: HeightsView | None) -> QuarterPage:
    """The sheet of a coupled axle that has both its wheels."""
    result, trouble = None, ""
    if heights is not None:
        try:
            result = quarter_result(build, axle, heights)
        except QuarteringError as error:
            trouble = no_angle_words(build, error)
    ways, wanted = set_ups(build, axle, heights), angles_wanted(build)
    sides = pin_sides(build)
    wheels = {"left": axle.left, "right": axle.right}
    within = work_figures(build).number("quarter_within")
    return QuarterPage(
        result,
        trouble,
        end_on(_measured_pins(build, result) if result else _set_up_pins(build, ways)),
        result is not None,
        set_up_lines(build, ways, heights.centre if heights else None),
        sides,
        {side: f"{side.capitalize()} pin, {wheel.mark}" for side, wheel in wheels.items() if wheel}
        | {"inside": "Inside pin"},
        {side: throw_words(build, axle, side) for side in wheels},
        wanted["words"],
        wanted["odd"],
        f"{within:g} degrees either way ({work_figures(build).source('quarter_within')})",
        loose_words(build, axle),
        tools_for_heights(build),
        (*_FIT_CAUTIONS[build.fit], *CAUTIONS, _LAST),
        _sure_words(build, heights),
        show(TRIAL_U_NM, build.unit),
        _aim_words(build, result),
        _cure_words(build, axle),
        throws_first(build),
    )


def _aim_words(build: BuildView, result: QuarterResult | None) -> str:
    """Why this sheet's turn is not quite that of the sheet of the rods."""
    if result is None or sum(axle.coupled for axle in build.axles) < 2:
        return ""
    return (
        f"This brings the axle to the {result.quarter.wanted_deg:g} degrees wanted; the sheet of the rods brings it to the"
        " angle its fellows have, so there the turn may be a little different: the rods ask only that all axles agree."
    )


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
    drawn = build.nm("throw")
    return [
        PinAt(pin.side.value, pin.elevation_deg, drawn, show(heights[pin.side.value].nm, build.unit))
        for pin in result.sheet.pins
    ]


def _set_up_pins(build: BuildView, ways: tuple[SetUp, ...]) -> list[PinAt]:
    if not ways:
        return []
    # The first is nowhere near the throw's end: best set-ups stay within 75 degrees of level.
    first, throw = ways[0], build.nm("throw")
    return [
        PinAt(
            side.value,
            elevation_deg(_held(above, throw), 0, throw, branch),
            throw,
            f"{show(abs(above), build.unit)} {'above' if above >= 0 else 'below'}",
        )
        for side, branch, above in first.pins
    ]


def _held(above_nm: int, throw_nm: int) -> int:
    """Logged throws may be a little longer than the drawing's, by which the picture is drawn."""
    return max(-throw_nm, min(throw_nm, above_nm))


def start_texts(build: BuildView, heights: HeightsView | None) -> Typed:
    """What the form opens with: the heights as they last were, else the drawing's figures and the best set-up."""
    seat = plain(build.nm("seat"), build.unit)
    fields = {"axle_diameter": [seat]}
    if heights is None:
        fields |= {f"{name}_way": [CENTRE] for name in ("axle", "left", "right", "inside")}
        fields["inside_throw"] = [plain(build.nm("throw"), build.unit)]
        return Typed(fields)
    pins = {"left": heights.left, "right": heights.right, "inside": heights.inside}
    fields |= typed_again("axle", heights.centre.text)
    for side, pin in pins.items():
        if pin is None:
            fields[f"{side}_way"] = [CENTRE]
        else:
            fields |= typed_again(side, pin.height.text)
            fields[f"{side}_branch"] = [pin.branch]
    throw = heights.inside_throw
    fields["inside_throw"] = [throw.text if throw else plain(build.nm("throw"), build.unit)]
    fields["instrument_id"] = [str(heights.instrument_id or "")]
    if heights.instrument_id is None and heights.expanded_nm is not None:
        fields["expanded"] = [plain(heights.expanded_nm, build.unit)]
    return Typed(fields)
