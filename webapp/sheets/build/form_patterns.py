"""The form for a pattern of wheel: what it is for, which axles have it, and its drawing's figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from domain import drawing
from domain.drawing import WheelKind
from domain.joints.friction import friction
from domain.joints.kinds import FitKind
from domain.joints.materials import iron
from domain.lengths import Length, Unit, show
from domain.tyres.ring import MetalStrength, drawn_tyre
from domain.tyres.words import too_much_words
from webapp.sheets.build.form import (
    LONGEST_NAME,
    MOST_AXLES,
    USUAL,
    fill_in_usual_range,
    read_figures,
)
from webapp.typed.marks import read_marks
from webapp.typed.texts import Errors, Typed, read_choice, read_line

KINDS = tuple(
    (kind.value, kind.value.capitalize(), words)
    for kind, words in (
        (WheelKind.DRIVING, "with crankpins, turned by the connecting rod"),
        (WheelKind.COUPLED, "with crankpins, turned by the coupling rods only"),
        (WheelKind.CARRYING, "no crankpins"),
        (WheelKind.BOGIE, "no crankpins, in a bogie or a pony truck"),
        (WheelKind.TENDER, "no crankpins, under the tender"),
    )
)


@dataclass(frozen=True)
class PatternDraft:
    """A pattern as the form gives it, checked and ready to be stored."""

    name: str
    kind: WheelKind
    axles: tuple[int, ...]
    figures: dict[str, Length]
    marks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Beside:
    """What the form is read beside: the build's choices, the track's figures, what rods join, how many axles there are."""

    unit: Unit
    fit: FitKind
    iron: str
    track: Mapping[str, int]
    # Of the other patterns with cranks: the name of one, and its figures.
    coupled: tuple[str, Mapping[str, int]] | None
    axles: int
    names: Sequence[str]
    # Of tyres: the tread's cone, N of 1 in N, and what is asked of the metal.
    cone: float | None
    strength: MetalStrength


def read_pattern(typed: Typed, beside: Beside, *, new: bool) -> tuple[PatternDraft | None, Errors]:
    """The pattern a form describes, or what is wrong with it; marks are asked for once, when it is new."""
    errors = Errors()
    kind_text = read_choice(
        typed, "kind", "what the wheels are for", [one.value for one in WheelKind], errors
    )
    kind = WheelKind(kind_text) if kind_text else WheelKind.CARRYING
    if new and not typed.get("name").strip():
        # Called by what it is for, whatever was tapped last.
        name: str | None = kind.usual_name
    else:
        name = read_line(typed, "name", "The name", LONGEST_NAME, errors)
    if name and name.casefold() in {one.casefold() for one in beside.names}:
        errors["name"] = f"There is a pattern {name} already: give this one another name."
    axles = _read_axles(typed, beside.axles, errors)
    every = (*kind.figures, *drawing.TYRE_FIGURES)
    figures = read_figures(typed, every, beside.unit, errors, beside.track)
    fill_in_usual_range(typed, beside.fit, beside.iron, figures, errors)
    if "tyre_inside" in figures and not errors:
        _expect_stood(figures, beside, errors)
    if kind.cranked and beside.coupled is not None:
        _expect_alike(figures, beside, errors)
    marks = read_marks(typed, "marks", errors) if new else ()
    if errors or name is None:
        return None, errors
    return PatternDraft(name, kind, axles, figures, marks), errors


def _read_axles(typed: Typed, there: int, errors: Errors) -> tuple[int, ...]:
    words = typed.get("axles").replace(",", " ").split()
    numbers = {int(word) for word in words if word.isascii() and word.isdigit() and len(word) <= 3}
    if len(numbers) != len(words) or not words:
        errors["axles"] = "Write the numbers of its axles, counted from the leading end, such as 4 5."
    elif min(numbers) < 1 or max(numbers) > MOST_AXLES:
        errors["axles"] = f"Axles are numbered from 1 to {MOST_AXLES}."
    elif gap := sorted(set(range(there + 1, max(numbers))) - numbers):
        errors["axles"] = (
            f"Axle {gap[0]} would be missing: the build has {there}, so the next one is {there + 1}."
        )
    return tuple(sorted(numbers))


def _expect_stood(figures: Mapping[str, Length], beside: Beside, errors: Errors) -> None:
    """The most interference wanted must be one that the tyre stands."""
    if "tyre_most" not in figures:
        return
    nm = {key: length.nm for key, length in figures.items()}
    tyre = drawn_tyre(nm, beside.cone, iron(beside.iron), friction(FitKind.SHRINK, "oiled"))
    why = too_much_words(tyre, nm["tyre_most"], beside.strength, beside.unit)
    if why:
        errors["tyre_most"] = why


def _expect_alike(figures: Mapping[str, Length], beside: Beside, errors: Errors) -> None:
    """Wheels that are joined by rods turn together: one diameter and one throw."""
    assert beside.coupled is not None  # the caller asked
    name, others = beside.coupled
    for figure in drawing.FIGURES:
        if figure.key not in drawing.COUPLED_KEYS or figure.key not in figures:
            continue
        if figures[figure.key].nm != others[figure.key]:
            as_theirs = show(others[figure.key], beside.unit)
            errors.setdefault(
                figure.key,
                f"Rods join these to the {name[:1].lower()}{name[1:]}, whose {figure.words.lower()} is {as_theirs}:"
                " they must have the same.",
            )


def text_of_figures(figures: Mapping[str, Length]) -> dict[str, str]:
    """The figures as they were typed; a usual range is left empty, so that it is worked out anew."""
    return {key: "" if length.text == USUAL else length.text for key, length in figures.items()}
