"""Back to back, wheel gauge and back to back with one flange of an axle, from what is logged of it and its wheels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from domain.lengths import Unit
from domain.measuring.decision_types import Conformity
from domain.route.stages import Stage
from domain.treads.gauges import GaugeVerdict, WheelGauges, flange_window, gauge_remedies, wheel_gauges
from domain.treads.words import (
    GAUGE_ANSWERS,
    flange_aim_words,
    flange_at_tread_words,
    gauge_words,
    gauges_out_words,
    lack_words,
    remedy_words,
    remedy_workings,
    room_words,
)
from domain.working import Working
from webapp.facts.treads import Treads, measured_of
from webapp.records.views import SIDES, AxleView, CastingView, Measured

ROOM = "room between the rails"


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
            return "cannot tell"
        return GAUGE_ANSWERS[self.verdict.answer] if self.verdict.answer else "no limit to judge it by"

    @property
    def look(self) -> str:
        """How it looks."""
        return self.verdict.answer.judged.look if self.verdict.answer else "open"


@dataclass(frozen=True, slots=True)
class AxleGauges:
    """The gauges of one axle; `old` is a back to back that counts no more, and why."""

    axle: AxleView
    unit: Unit
    back: Measured | None
    old: str
    flanges: tuple[Measured | None, Measured | None]
    gauges: WheelGauges
    room_words: str
    lines: tuple[GaugeLine, ...]
    notes: tuple[str, ...]
    workings: tuple[Working, ...]

    @property
    def out(self) -> tuple[str, ...]:
        """The gauges that are no good."""
        named = tuple(line.name for line in self.lines if line.look == "not")
        return (*named, ROOM) if self.gauges.room_answer is Conformity.OUTSIDE else named

    @property
    def trouble(self) -> str:
        """What is no good or cannot be told, with what is said of it; empty where nothing is."""
        unit = self.unit
        said = gauges_out_words(((line.name, line.verdict) for line in self.lines), unit)
        named = [f"Axle {self.axle.number}: {said}."] if said else []
        if self.gauges.room_answer in (Conformity.OUTSIDE, Conformity.CANNOT_TELL):
            named.append(self.room_words)
        return " ".join(named)

    @property
    def look(self) -> str:
        """How the worst of them looks."""
        room = self.gauges.room_answer
        looks = [line.look for line in self.lines] + ([room.judged.look] if room else [])
        return next((look for look in ("not", "caution", "serves") if look in looks), "open")

    @property
    def answer(self) -> str:
        """The worst of them in a word."""
        return next((GAUGE_ANSWERS[one] for one in Conformity if one.judged.look == self.look), "cannot tell")

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
    back = [wheel.mark for wheel in axle.wheels if wheel.again is not None and wheel.again.at > size.at]
    if back:
        return (
            None,
            f"{' and '.join(back)} {'was' if len(back) == 1 else 'were'} taken back to be re-turned after the back to back "
            "was logged: log it again.",
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


def axle_gauges(treads: Treads, axle: AxleView) -> AxleGauges:
    """The gauges of an axle as far as they are known."""
    unit = treads.build.unit
    back, old = back_to_back_of(axle)
    left, right = (_flange(axle.at(side)) for side in SIDES)
    flanges = treads.flange_at_tread(axle.left), treads.flange_at_tread(axle.right)
    found = wheel_gauges(treads.standard, measured_of(back), flanges, unit)
    one, two = (wheel.mark if (wheel := axle.at(side)) else f"the {side} wheel" for side in SIDES)
    marks = (one, two)
    lower = [
        flange.nm - size.nm if flange and size else 0
        for flange, size in zip(flanges, (left, right), strict=True)
    ]
    remedies = gauge_remedies(found, flanges, unit, (lower[0], lower[1]))
    cure = {one.name: remedy_words(one, marks, unit) for one in remedies}
    names = (
        "back to back",
        "wheel gauge",
        "back to back and the left flange",
        "back to back and the right flange",
    )
    return AxleGauges(
        axle=axle,
        unit=unit,
        back=back,
        old=old,
        flanges=(left, right),
        gauges=found,
        room_words=room_words(found, unit),
        lines=tuple(
            GaugeLine(name, verdict, gauge_words(verdict, unit), cure.get(verdict.name, ""))
            for name, verdict in zip(names, found.every, strict=True)
        ),
        notes=(*_notes(back, left, right), *_counted(treads, axle)),
        workings=(
            *found.workings,
            *(working for one in remedies for working in remedy_workings(one, marks, unit)),
        ),
    )


def flange_aim(treads: Treads, axle: AxleView | None, casting: CastingView) -> str:
    """What a flange that is not measured yet is to be where it will be, by its axle's back to back, else as drawn."""
    at, drawn, unit = treads.measure_at_nm, treads.flange, treads.build.unit
    if at is None or drawn is None or "flange_thickness" in casting.sizes:
        return ""
    back = back_to_back_of(axle)[0] if axle is not None else None
    least = most = treads.build.nm("flange_width")
    ends: tuple[int | None, int | None] = (least, most)
    if back is not None and axle is not None:
        other = next((one for one in axle.wheels if one.id != casting.id), None)
        beside = treads.flange_at_tread(other)
        found = flange_window(treads.standard, back.nm, beside.nm if beside else None)
        ends = ends if found == (None, None) else found
    by_axle, less = ends != (least, most), drawn.less_nm(at)
    low, high = (None if nm is None else nm - less for nm in ends)
    return flange_aim_words(low, high, at, unit, by_axle=by_axle)


def _flange(casting: CastingView | None) -> Measured | None:
    return casting.sizes.get("flange_thickness") if casting else None


def _counted(treads: Treads, axle: AxleView) -> Iterator[str]:
    """How each flange counts, which was measured above the tread; and one that does not, for nobody knows where."""
    unit = treads.build.unit
    for wheel in axle.wheels:
        size, place = _flange(wheel), treads.place(wheel)
        if size is not None and place.lack:
            yield f"{wheel.mark}'s flange does not count. {lack_words(place, unit)}"
        elif size is not None:
            yield flange_at_tread_words(wheel.mark, size.nm, place, unit)


def _notes(back: Measured | None, left: Measured | None, right: Measured | None) -> tuple[str, ...]:
    named = {"the back to back": back, "the left flange": left, "the right flange": right}
    bare = [name for name, size in named.items() if size is not None and size.expanded_nm is None]
    if not bare:
        return ()
    return (f"Logged without an instrument of the workshop's list, so taken as exact: {', '.join(bare)}.",)
