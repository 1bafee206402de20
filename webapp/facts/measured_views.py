"""A measurement as a sheet shows it: as typed, corrected, its form, how sure it is, and the working of each."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import zip_longest

from domain.joints.fit import bore_window
from domain.lengths import show, show_offset, show_small
from domain.lengths.fine import fine, fine_both
from domain.lengths.parsing import system_typed
from domain.measuring.bore_form import BorePlace, Direction, PlacedReading, bore_form
from domain.measuring.decision import Conformity, Decision, decide
from domain.measuring.instruments import Instrument, InstrumentKind, Reach, caution_if_too_fine, faults
from domain.measuring.iso286 import hole_class, hole_limits, shaft_class, shaft_limits
from domain.measuring.plug_gauge import Interval
from domain.measuring.settling import Settling, which_settles
from domain.working import Working
from webapp.facts.correcting import Sized, sized_again, taken_of, temperature_words
from webapp.facts.facts import facts_of
from webapp.facts.joint_terms import at_hand, budget_of, decided
from webapp.records.views import BuildView, CastingView, Measured
from webapp.typed.sizes import BY_KEY, NOWHERE

# What an instrument must get at for each thing measured.
REACH = {"bore": Reach.INSIDE, "seat": Reach.OUTSIDE, "throw": Reach.BOTH}
TYRE_REACH = {"tyre_inside": Reach.INSIDE, "centre_outside": Reach.OUTSIDE}
_NO_INSTRUMENT = (
    "How sure this is is not known, for no instrument of the workshop's list is named: it is taken as exact. "
    "Log it again and choose the instrument."
)
_CHANGED = (
    "The instrument's figures, or the rule for few readings, were changed after this was logged: the mean and its "
    "uncertainty stand as they were worked out then. Log it again to use the present ones."
)


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """One reading: where it was taken, as typed, and corrected."""

    place: str
    text: str
    corrected: str


@dataclass(frozen=True, slots=True)
class MeasuredView:
    """What the sheet says of a measurement; a bore known by plugs has no readings and no one size."""

    typed: str
    size_words: str
    instrument: str
    corrections: tuple[str, ...]
    lines: tuple[ReadingLine, ...]
    form_words: tuple[str, ...]
    sure: str
    sure_words: str
    limits_name: str
    limits: Decision | None
    limits_settling: str
    cautions: tuple[str, ...]
    workings: tuple[Working, ...]

    @property
    def placed(self) -> bool:
        """Whether any reading says where it was taken."""
        return any(line.place for line in self.lines)


def measured_view(build: BuildView, measured: Measured) -> MeasuredView:
    """A measurement as a sheet shows it."""
    tool = build.instruments.get(measured.instrument_id) if measured.instrument_id else None
    sized = None if measured.by_plug else sized_again(build, measured)
    limits_name, limits, settling = _limits(build, measured)
    lines = _lines(build, measured, sized)
    return MeasuredView(
        typed=_typed(build, measured),
        size_words=_size_words(build, measured),
        instrument=instrument_words(measured, tool),
        corrections=tuple(_corrections(build, measured, tool, sized)),
        lines=lines if any(line.corrected or line.place for line in lines) else (),
        form_words=_form_words(build, measured, sized),
        sure=_sure(build, measured),
        sure_words=_sure_words(build, measured, tool, sized),
        limits_name=limits_name,
        limits=limits,
        limits_settling=settling,
        cautions=_cautions(build, measured, tool),
        workings=(
            *(sized.workings if sized else ()),
            *((limits.working,) if limits else ()),
            *_class_working(build, measured),
        ),
    )


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One measurement among all there ever were of a casting."""

    name: str
    typed: str
    size_words: str
    instrument: str
    corrections: tuple[str, ...] = ()


def history_line(build: BuildView, measured: Measured) -> HistoryLine:
    """A bore or a throw as its sheet shows it; a size as it was written down."""
    if measured.kind in BY_KEY:
        tool = build.instruments.get(measured.instrument_id) if measured.instrument_id else None
        came = ", as it came" if measured.rough else ""
        return HistoryLine(
            f"{BY_KEY[measured.kind].words}{came}",
            measured.text,
            show(measured.mean_nm, build.unit),
            instrument_words(measured, tool),
        )
    shown = measured_view(build, measured)
    return HistoryLine(
        measured.kind.capitalize(), shown.typed, shown.size_words, shown.instrument, shown.corrections
    )


def _typed(build: BuildView, measured: Measured) -> str:
    if measured.by_plug:
        return f"by plugs, {Interval(measured.low_nm, measured.high_nm).words(build.unit)}"
    return ", ".join(reading.text for reading in measured.readings)


def _size_words(build: BuildView, measured: Measured) -> str:
    """The size in both systems; what plugs say is never put as one size."""
    if not measured.by_plug:
        return show(measured.mean_nm, build.unit)
    low, high = (None if nm is None else show(nm, build.unit) for nm in (measured.low_nm, measured.high_nm))
    if low and high:
        return f"between {low} and {high}"
    return f"larger than {low}" if low else f"smaller than {high}"


def instrument_words(measured: Measured, tool: Instrument | None) -> str:
    """What it was measured with: the instrument as it is called now, and as it was called then."""
    if tool is None or tool.name == measured.instrument:
        return measured.instrument
    return f"{tool.name} ({measured.instrument})"


def _corrections(
    build: BuildView, measured: Measured, tool: Instrument | None, sized: Sized | None
) -> list[str]:
    said = []
    if sized is not None and tool is not None and tool.zero_offset_nm:
        said.append(f"zero offset {show_offset(tool.zero_offset_nm, build.unit)} taken off")
    if measured.work_dc is not None and measured.gauge_dc is not None:
        said.append(
            f"work {measured.work_dc / 10:g} C and gauge {measured.gauge_dc / 10:g} C, brought to 20 C"
        )
    if measured.plug_one_nm is not None and measured.plug_two_nm is not None:
        plugs = " and ".join(show(nm, build.unit) for nm in (measured.plug_one_nm, measured.plug_two_nm))
        said.append(f"measured over plugs of {plugs}")
    if sized is not None and sized.correction_nm:
        said.append(f"{show_offset(sized.correction_nm, build.unit)} on the mean in all")
    return said


def _lines(build: BuildView, measured: Measured, sized: Sized | None) -> tuple[ReadingLine, ...]:
    corrected = sized.sizes_nm if sized else ()
    return tuple(
        ReadingLine(
            " ".join(where or NOWHERE).strip(),
            reading.text,
            fine(nm, build.unit) if nm is not None and nm != reading.nm else "",
        )
        for reading, where, nm in zip_longest(
            measured.readings, measured.places, corrected[: len(measured.readings)]
        )
    )


def _form_words(build: BuildView, measured: Measured, sized: Sized | None) -> tuple[str, ...]:
    """Taper, out-of-round and spread, for a bore with places said."""
    if measured.kind != "bore":
        return ()
    sizes = sized.sizes_nm if sized else tuple(reading.nm for reading in measured.readings)
    placed = [
        PlacedReading(BorePlace(place), Direction(way), nm)
        for nm, (place, way) in zip(sizes, measured.places, strict=True)
        if place
    ]
    if not placed:
        return ()
    form = bore_form(placed, build.unit)
    return (*form.words, *form.cannot_tell)


def _sure(build: BuildView, measured: Measured) -> str:
    if measured.by_plug:
        return "as sure as the plugs"
    return (
        "not known"
        if measured.expanded_nm is None
        else f"give or take {show_small(measured.expanded_nm, build.unit)}"
    )


def _sure_words(build: BuildView, measured: Measured, tool: Instrument | None, sized: Sized | None) -> str:
    if measured.by_plug:
        u = f", each to {fine_both(tool.expanded_nm, build.unit)}" if tool and tool.expanded_nm else ""
        return f"As sure as the plugs' own sizes{u}; a burr or a bell mouth deceives them."
    if measured.expanded_nm is None:
        return _NO_INSTRUMENT
    words = f"U {fine_both(measured.expanded_nm, build.unit)}, about 95 times in a hundred (k = 2)."
    if sized is None:
        return f"{words} {_CHANGED}"
    once = (
        " One reading shows no scatter: the instrument's U is taken to cover it."
        if len(measured.readings) == 1
        else ""
    )
    return f"{words} {temperature_words(taken_of(build, measured))}{once}"


def _cautions(build: BuildView, measured: Measured, tool: Instrument | None) -> tuple[str, ...]:
    """Readings finer than the instrument can show."""
    if tool is None or tool.kind is not InstrumentKind.VALUE or faults(tool):
        return ()
    found = (
        caution_if_too_fine(reading.nm, tool, build.unit, system_typed(reading.text, build.unit))
        for reading in measured.readings
    )
    return tuple(dict.fromkeys(words for words in found if words))


def _limits(build: BuildView, measured: Measured) -> tuple[str, Decision | None, str]:
    """Whether a bore is shown to be of the size wanted for the drawing's seat, and what would settle it.

    On a measured seat the fit itself is decided, with how sure both are, and is not said a second time here.
    """
    casting = next((c for c in build.castings if c.bore is not None and c.bore.id == measured.id), None)
    budget = None if measured.by_plug else budget_of(build, measured)
    if measured.kind != "bore" or casting is None or _seated(build, casting) or budget is None:
        return "", None, ""
    window = bore_window(facts_of(build).joints.wanted, build.nm("seat"), build.unit)
    if window is None:
        return "", None, ""
    decision = decided(build, measured, window)
    low, high = (show(nm, build.unit) for nm in window)
    of = budget.alone if decision.of_end else budget
    found = which_settles(decision, at_hand(build), of, REACH[measured.kind])
    name = f"The size wanted for the drawing's seat, {low} to {high}"
    return name, decision, _settling(found, decision)


def _seated(build: BuildView, casting: CastingView) -> bool:
    """Whether the seat it sits on is measured."""
    axle = build.axle(casting.axle_id)
    return axle is not None and casting.side in axle.seats


def _settling(found: Settling, decision: Decision) -> str:
    if decision.answer is not Conformity.CANNOT_TELL:
        return ""
    if not found.names and found.readings is None:
        return "No instrument of the list settles it: a finer one would."
    return found.words


def _class_working(build: BuildView, measured: Measured) -> tuple[Working, ...]:
    """The ISO class the mean falls in, for the working only: nobody asked for it. Plugs give no size to class."""
    budget = budget_of(build, measured)
    if measured.kind == "throw" or measured.by_plug or budget is None:
        return ()
    bore = measured.kind == "bore"
    nominal = build.nm("bore" if bore else "seat")
    name = (hole_class if bore else shaft_class)(nominal, measured.mean_nm)
    if name is None:
        return ()
    limits = hole_limits(nominal, int(name[1:])) if bore else shaft_limits(nominal, name)
    decision = decide(
        measured.mean_nm, budget.expanded_nm, limits.low_nm, limits.high_nm, build.unit, measured.kind
    )
    row, answer = decision.working, decision.answer.words
    return (replace(row, name=f"ISO 286 class {name}", result=f"{name}: {answer}"),)
