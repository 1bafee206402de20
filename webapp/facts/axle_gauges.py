"""Back to back, wheel gauge and check gauges of an axle, from what is logged of it and its wheels."""

from __future__ import annotations

from dataclasses import dataclass

from domain.measuring.decision_types import Conformity
from domain.route.stages import Stage
from domain.treads.gauges import GaugeVerdict, WheelGauges, contradictions, gauge_remedies, wheel_gauges
from domain.treads.words import contradiction_words, gauge_words, remedy_words, remedy_workings, room_words
from domain.working import Working
from webapp.facts.treads import measured_of, standard_of
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
    words: str
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
    room_words: str
    lines: tuple[GaugeLine, ...]
    notes: tuple[str, ...]
    workings: tuple[Working, ...]

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
    flanges = measured_of(left), measured_of(right)
    found = wheel_gauges(standard_of(build), measured_of(back), flanges, build.unit)
    one, two = (wheel.mark if (wheel := axle.at(side)) else f"the {side} wheel" for side in SIDES)
    marks, unit = (one, two), build.unit
    remedies = gauge_remedies(found, flanges, unit)
    cure = {one.name: remedy_words(one, marks, unit) for one in remedies}
    names = (
        "back to back",
        "wheel gauge",
        "check gauge at the left flange",
        "check gauge at the right flange",
    )
    return AxleGauges(
        axle=axle,
        back=back,
        old=old,
        flanges=(left, right),
        gauges=found,
        room_words=room_words(found, unit),
        lines=tuple(
            GaugeLine(name, verdict, gauge_words(verdict, unit), cure.get(verdict.name, ""))
            for name, verdict in zip(names, found.every, strict=True)
        ),
        notes=_notes(back, left, right),
        workings=(
            *found.workings,
            *(working for one in remedies for working in remedy_workings(one, marks, unit)),
        ),
    )


def standard_warnings(build: BuildView) -> tuple[str, ...]:
    """Where the figures of the build's standard contradict one another."""
    return tuple(contradiction_words(one, build.unit) for one in contradictions(standard_of(build)))


def _flange(casting: CastingView | None) -> Measured | None:
    return casting.sizes.get("flange_thickness") if casting else None


def _notes(back: Measured | None, left: Measured | None, right: Measured | None) -> tuple[str, ...]:
    named = {"the back to back": back, "the left flange": left, "the right flange": right}
    bare = [name for name, size in named.items() if size is not None and size.expanded_nm is None]
    if not bare:
        return ()
    return (f"Logged without an instrument of the workshop's list, so taken as exact: {', '.join(bare)}.",)
