"""The figures of the rods as typed: axle centres, rod centres, the bushes' clearance and the slack of the boxes."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from domain.drawing import LARGEST_NM
from domain.lengths import Length, LengthError, Unit, parse_length, show
from domain.rods.judging import RodAxle, RodEngine, RodsError, RodSide, RodSpan
from domain.rods.types import check_engine
from webapp.typed.fields import FigureField, unit_left_out
from webapp.typed.texts import Errors, Typed

SIDES = ("left", "right")
WITHIN = "within"
_MOST_PLAY_NM = 10_000_000
_MOST_WITHIN_NM = 1_000_000
_NAMED = re.compile(r"\b([Aa]xles?) ([1-6])\b(?: and ([1-6])\b)?")
_AS_LENGTH = FigureField("", "", "")

# By the axle in front, the side and the key.
Figures = Mapping[tuple[int, str, str], Length]


@dataclass(frozen=True)
class RodField:
    """One figure of one rod; a length that must be more than nothing, or a play that may be nothing."""

    key: str
    words: str
    hint: str
    is_play: bool = False


FIELDS = (
    RodField("centre", "Axle centres", "From the middle of one axle to the middle of the next."),
    RodField("rod", "Rod centres", "From bush centre to bush centre."),
    RodField(
        "clearance",
        "Clearance, both bushes added",
        "How much larger than their pins the two bushes are bored. Empty while it is not decided.",
        is_play=True,
    ),
    RodField("bush_front", "Front bush alone", "Bored larger than its pin by.", is_play=True),
    RodField("bush_rear", "Rear bush alone", "Bored larger than its pin by.", is_play=True),
    RodField(
        "slack",
        "Slack of the axle boxes",
        "How far the boxes in their horns let the centres go longer, or shorter, both boxes together.",
        is_play=True,
    ),
)
BY_KEY = {one.key: one for one in FIELDS}
BUSHES = ("bush_front", "bush_rear")


@dataclass(frozen=True)
class RodPair:
    """Two neighbouring coupled axles: the id of the one in front, which its rods are kept under, and both numbers."""

    axle_id: int
    front: int
    rear: int


def name_of(axle_id: int, side: str, key: str) -> str:
    """What a figure's field is called on the form."""
    return f"{key}-{side}-{axle_id}"


def by_number(words: str, numbers: Sequence[int]) -> str:
    """A sentence that counts the coupled axles from the front, with the numbers the axles have on this engine."""

    def named(found: re.Match[str]) -> str:
        places = [int(place) for place in found.groups()[1:] if place is not None]
        if max(places) > len(numbers):
            return found.group()
        return f"{found.group(1)} {' and '.join(str(numbers[place - 1]) for place in places)}"

    return _NAMED.sub(named, words)


def read_rods(
    typed: Typed, pairs: Sequence[RodPair], unit: Unit
) -> tuple[dict[tuple[int, str, str], Length], Errors]:
    """Every figure that was typed; an empty field is passed over, and one in error has its sentence."""
    errors, found = Errors(), {}
    for pair in pairs:
        for side in SIDES:
            for one in FIELDS:
                size = _read(typed, name_of(pair.axle_id, side, one.key), one, unit, errors)
                if size is not None:
                    found[pair.axle_id, side, one.key] = size
            _check_bushes(found, pair.axle_id, side, unit, errors)
    if pairs and typed.get(WITHIN).strip():
        within = _read_play(typed, WITHIN, _MOST_WITHIN_NM, unit, errors)
        if within is not None:
            # One figure for all of them, kept with the first rod.
            found[pairs[0].axle_id, "left", WITHIN] = within
    return found, errors


def _read(typed: Typed, name: str, one: RodField, unit: Unit, errors: Errors) -> Length | None:
    if not typed.get(name).strip():
        return None
    if one.is_play:
        return _read_play(typed, name, _MOST_PLAY_NM, unit, errors)
    size = _parse(typed, name, unit, errors)
    if size is None:
        return None
    if size.nm <= 0:
        errors[name] = "That is more than nothing: type it such as 150 mm."
    elif size.nm > LARGEST_NM:
        errors[name] = f"That is more than {show(LARGEST_NM, unit)}: is the unit right?"
    else:
        return size
    return None


def _read_play(typed: Typed, name: str, most_nm: int, unit: Unit, errors: Errors) -> Length | None:
    size = _parse(typed, name, unit, errors)
    if size is not None and size.nm > most_nm:
        errors[name] = f"That is more than {show(most_nm, unit)}: is the unit right?"
        return None
    return size


def _parse(typed: Typed, name: str, unit: Unit, errors: Errors) -> Length | None:
    text = " ".join(typed.get(name).split())
    try:
        size = parse_length(text, unit)
    except LengthError as error:
        errors[name] = str(error)
        return None
    # A bare figure gets the unit it was meant in: the build's may change, and nobody should have to guess.
    return Length(size.nm, text + unit_left_out(_AS_LENGTH, text, unit))


def _check_bushes(found: Figures, axle_id: int, side: str, unit: Unit, errors: Errors) -> None:
    given = [key for key in BUSHES if (axle_id, side, key) in found]
    names = [name_of(axle_id, side, key) for key in BUSHES]
    if errors.keys() & set(names) or not given:
        return
    if len(given) == 1:
        empty = names[1] if given == ["bush_front"] else names[0]
        errors[empty] = "Type this bush too, or leave both empty and type the two added."
        return
    both = sum(found[axle_id, side, key].nm for key in BUSHES)
    added = found.get((axle_id, side, "clearance"))
    if added is not None and added.nm != both:
        errors[name_of(axle_id, side, "clearance")] = (
            f"The two bushes typed one by one come to {show(both, unit)}: leave this empty, or make them agree."
        )


def figure_of(figures: Figures, axle_id: int, side: str, key: str) -> Length | None:
    """A figure of one side; one left empty is taken from the other side."""
    return figures.get((axle_id, side, key)) or figures.get((axle_id, _other(side), key))


def clearance_of(figures: Figures, axle_id: int, side: str) -> int | None:
    """Both bushes of a rod added, nm: as typed, or the two typed one by one, or as on the other side."""
    for which in (side, _other(side)):
        added = figures.get((axle_id, which, "clearance"))
        if added is not None:
            return added.nm
        bushes = [figures.get((axle_id, which, key)) for key in BUSHES]
        known = [bush.nm for bush in bushes if bush is not None]
        if len(known) == len(BUSHES):
            return sum(known)
    return None


def within_of(figures: Figures) -> Length | None:
    """How sure centres and rods are measured: one figure for all."""
    return next((figures[at] for at in sorted(figures) if at[2] == WITHIN), None)


def side_of(figures: Figures, axle_id: int, side: str) -> RodSide | None:
    """A rod and what it couples; a centre or rod not typed is taken as the other. None with neither."""
    centre, rod = (figure_of(figures, axle_id, side, key) for key in ("centre", "rod"))
    one = centre or rod
    if one is None:
        return None
    slack, within = figure_of(figures, axle_id, side, "slack"), within_of(figures)
    sure = within.nm if within else 0
    return RodSide(
        (centre or one).nm,
        (rod or one).nm,
        clearance_of(figures, axle_id, side),
        slack.nm if slack else 0,
        sure,
        sure,
    )


def span_of(figures: Figures, axle_id: int) -> RodSpan | None:
    """The two rods behind an axle; None while nothing of their length was typed."""
    left, right = (side_of(figures, axle_id, side) for side in SIDES)
    return None if left is None or right is None else RodSpan(left, right)


def impossible(figures: Figures, pairs: Sequence[RodPair], throw_nm: int, unit: Unit) -> Errors:
    """What no rods can be, beside the field it was typed in; judged against the drawing's throw."""
    errors, axle = Errors(), RodAxle(throw_nm, throw_nm, 90.0)
    for pair in pairs:
        span = span_of(figures, pair.axle_id)
        if span is None:
            continue
        try:
            check_engine(RodEngine((axle, axle), (span,)), unit)
        except RodsError as error:
            words = by_number(str(error), (pair.front, pair.rear))
            errors[field_of(figures, pair.axle_id, error.field)] = words
    return errors


def field_of(figures: Figures, axle_id: int, field: str) -> str:
    """The form's field for one such as `span.1.left.rod`: where the figure that stands in for it was typed."""
    _, _, side, key = field.split(".")
    keys = {"rod": ("rod", "centre"), "centre": ("centre", "rod"), "clearance": ("clearance", *BUSHES)}
    for at in keys.get(key, (key,)):
        for which in (side, _other(side)):
            if (axle_id, which, at) in figures:
                return name_of(axle_id, which, at)
    return name_of(axle_id, side, key)


def _other(side: str) -> str:
    return "right" if side == "left" else "left"
