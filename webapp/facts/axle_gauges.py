"""Back to back, wheel gauge and check gauges of an axle, from what is logged of it and its wheels."""

from __future__ import annotations

from dataclasses import dataclass

from domain.measuring.decision_types import Conformity
from domain.route.stages import Stage
from domain.treads.gauge_remedies import GaugeRemedy, gauge_remedies
from domain.treads.wheel_gauges import GaugeVerdict, WheelGauges, wheel_gauges
from domain.working import Working
from webapp.facts.tread_figures import measured_of, standard_of
from webapp.records.views import SIDES, AxleView, BuildView, CastingView, Measured

_LOOKS = {Conformity.INSIDE: "serves", Conformity.OUTSIDE: "not", Conformity.CANNOT_TELL: "caution"}
ANSWERS = {
    Conformity.INSIDE: "conforms",
    Conformity.OUTSIDE: "does not conform",
    Conformity.CANNOT_TELL: "cannot tell with this instrument",
}


@dataclass(frozen=True, slots=True)
class GaugeLine:
    """One gauge as the page names it, and what puts it right where it is wrong."""

    name: str
    verdict: GaugeVerdict
    remedy: str = ""

    @property
    def answer(self) -> str:
        """The answer in words."""
        if self.verdict.nm is None:
            return "not known yet"
        return ANSWERS[self.verdict.answer] if self.verdict.answer else "no limit to judge it by"

    @property
    def look(self) -> str:
        """How it looks."""
        return _LOOKS[self.verdict.answer] if self.verdict.answer else "open"


@dataclass(frozen=True, slots=True)
class AxleGauges:
    """The gauges of one axle; `old` is a back to back that counts no more, and why."""

    axle: AxleView
    back: Measured | None
    old: str
    flanges: tuple[Measured | None, Measured | None]
    gauges: WheelGauges
    lines: tuple[GaugeLine, ...]
    notes: tuple[str, ...]
    remedies: tuple[GaugeRemedy, ...] = ()

    @property
    def workings(self) -> tuple[Working, ...]:
        """How each figure came about."""
        thinned = [one.thinning for one in self.remedies if one.thinning is not None]
        return (*self.gauges.workings, *(one.working for one in self.remedies), *thinned)

    @property
    def not_yet(self) -> str:
        """Why no back to back can be measured yet; empty when it can."""
        off = not_pressed(self.axle)
        return f"Both wheels must be on the axle first: {off} not ticked as on it." if off else ""

    @property
    def off(self) -> tuple[CastingView, ...]:
        """The wheels that have this axle for their place and are not on it yet."""
        wheels = (self.axle.at(side) for side in SIDES)
        return tuple(wheel for wheel in wheels if wheel is not None and not wheel.has(Stage.PRESSED))

    @property
    def exact(self) -> bool:
        """Whether a part of what is known was logged without an instrument."""
        return any(size is not None and size.expanded_nm is None for size in (self.back, *self.flanges))


def back_to_back_of(axle: AxleView) -> tuple[Measured | None, str]:
    """The back to back of the wheels now on the axle, and why an older one counts no more."""
    size = axle.sizes.get("back_to_back")
    if size is None:
        return None, ""
    off = not_pressed(axle)
    if off:
        return (
            None,
            f"A back to back was logged, but {off} not on the axle now: log it again once both wheels are on it.",
        )
    since = [wheel.mark for wheel in axle.wheels if wheel.ticks[Stage.PRESSED.value].at > size.at]
    if since:
        return (
            None,
            f"{' and '.join(since)} went on the axle after the back to back was logged: log it again.",
        )
    return size, ""


def not_pressed(axle: AxleView) -> str:
    """Which wheels are not on the axle, in words that end a sentence's subject; empty when both are."""
    missing = [axle.at(side) for side in SIDES]
    names = [wheel.mark for wheel in missing if wheel is not None and not wheel.has(Stage.PRESSED)]
    names += [f"the {side} wheel" for side, wheel in zip(SIDES, missing, strict=True) if wheel is None]
    if not names:
        return ""
    return f"{' and '.join(names)} {'is' if len(names) == 1 else 'are'}"


def axle_gauges(build: BuildView, axle: AxleView) -> AxleGauges:
    """The gauges of an axle as far as they are known."""
    back, old = back_to_back_of(axle)
    left, right = (_flange(axle.at(side)) for side in SIDES)
    standard, flanges = standard_of(build), (measured_of(left), measured_of(right))
    found = wheel_gauges(standard, measured_of(back), flanges, build.unit)
    one, two = (wheel.mark if (wheel := axle.at(side)) else f"the {side} wheel" for side in SIDES)
    remedies = gauge_remedies(standard, found, flanges, build.unit, (one, two))
    cure = {one.name: one.words for one in remedies}
    names = (
        "Back to back",
        "Wheel gauge",
        "Check gauge at the left flange",
        "Check gauge at the right flange",
    )
    verdicts = (found.back_to_back, found.wheel_gauge, *found.check_gauges)
    lines = tuple(
        GaugeLine(name, verdict, cure.get(verdict.name, ""))
        for name, verdict in zip(names, verdicts, strict=True)
    )
    return AxleGauges(axle, back, old, (left, right), found, lines, _notes(back, left, right), remedies)


def _flange(casting: CastingView | None) -> Measured | None:
    return casting.sizes.get("flange_thickness") if casting else None


def _notes(back: Measured | None, left: Measured | None, right: Measured | None) -> tuple[str, ...]:
    named = {"the back to back": back, "the left flange": left, "the right flange": right}
    bare = [name for name, size in named.items() if size is not None and size.expanded_nm is None]
    if not bare:
        return ()
    return (f"Logged without an instrument of the workshop's list, so taken as exact: {', '.join(bare)}.",)
