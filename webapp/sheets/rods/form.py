"""The figures of the rods as typed, and a crank position."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from domain.drawing import LARGEST_NM
from domain.lengths import Length, LengthError, Unit, parse_length, plain, show, such
from domain.rods.engine import EngineFigure, FigureKind, RodAxle, RodEngine, RodsError, check_engine
from webapp.typed.fields import FigureField, unit_left_out
from webapp.typed.rods import (
    BUSHES,
    FIELDS,
    SIDES,
    WITHINS,
    RodField,
    RodFigures,
    RodPair,
    name_of,
    other_side,
    span_of,
)
from webapp.typed.texts import Errors, Typed

_MOST_PLAY_NM = 10_000_000
_MOST_WITHIN_NM = 1_000_000
_AS_LENGTH = FigureField("", "", "")
_DEGREES = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{1,6})?")
_TURN = 360.0
# Where the figure that stands in for another may have been typed.
_STANDS_IN = {
    FigureKind.ROD: ("rod", "centre"),
    FigureKind.CENTRE: ("centre", "rod"),
    FigureKind.CLEARANCE: ("clearance", *BUSHES),
}


def read_rods(
    typed: Typed,
    pairs: Sequence[RodPair],
    unit: Unit,
    pins: Mapping[int, tuple[int, int]] = MappingProxyType({}),
) -> tuple[dict[tuple[int, str, str], Length], Errors]:
    """Every figure that was typed; an empty field is passed over, and one in error has its sentence.

    `pins`: of the axle in front, its pin and the next one's, nm: taken off a bush that was typed as bored.
    """
    errors, found = Errors(), {}
    for pair in pairs:
        for side in SIDES:
            for one in FIELDS:
                name = name_of(pair.axle_id, side, one.key)
                if one.key in BUSHES and pair.axle_id in pins:
                    size = _read_bush(typed, name, pins[pair.axle_id][BUSHES.index(one.key)], unit, errors)
                else:
                    size = _read(typed, name, one, unit, errors)
                if size is not None:
                    found[pair.axle_id, side, one.key] = size
            _check_bushes(found, pair.axle_id, side, unit, errors)
    for key in WITHINS if pairs else ():
        if not typed.get(key).strip():
            continue
        within = _read_play(typed, key, _MOST_WITHIN_NM, unit, errors)
        if within is not None:
            # One figure for all of them, kept with the first rod.
            found[pairs[0].axle_id, "left", key] = within
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
        errors[name] = f"That is more than nothing: type it such as {such(unit, '150 mm', '6 in')}."
    elif size.nm > LARGEST_NM:
        errors[name] = f"That is more than {show(LARGEST_NM, unit)}: is the unit right?"
    else:
        return size
    return None


def _read_bush(typed: Typed, name: str, pin_nm: int, unit: Unit, errors: Errors) -> Length | None:
    """What a bush is larger than its pin: no play is half a pin, so a figure from there on is the bore itself."""
    size = _parse(typed, name, unit, errors) if typed.get(name).strip() else None
    if size is None:
        return None
    if 2 * size.nm < pin_nm:
        return _read_play(typed, name, _MOST_PLAY_NM, unit, errors)
    play = size.nm - pin_nm
    if not 0 <= play <= _MOST_PLAY_NM:
        errors[name] = f"Its pin is {show(pin_nm, unit)}: type the bush as bored, a little larger than that."
        return None
    return Length(play, f"{plain(play, unit)}{unit_left_out(_AS_LENGTH, plain(play, unit), unit)}")


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


def _check_bushes(found: RodFigures, axle_id: int, side: str, unit: Unit, errors: Errors) -> None:
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


def impossible(figures: RodFigures, pairs: Sequence[RodPair], throw_nm: int, unit: Unit) -> Errors:
    """What no rods can be, beside the field it was typed in; judged against the drawing's throw."""
    errors, axle = Errors(), RodAxle(throw_nm, throw_nm, 90.0)
    for pair in pairs:
        span = span_of(figures, pair.axle_id)
        if span is None:
            continue
        try:
            check_engine(RodEngine((axle, axle), (span,), numbers=(pair.front, pair.rear)), unit)
        except RodsError as error:
            errors[_field_of(figures, pair.axle_id, error.figure)] = str(error)
    return errors


def _field_of(figures: RodFigures, axle_id: int, figure: EngineFigure) -> str:
    """The form's field for a figure of the rods: where the figure that stands in for it was typed."""
    side = str(figure.side)
    for key in _STANDS_IN.get(figure.kind, (figure.kind.value,)):
        for which in (side, other_side(side)):
            if (axle_id, which, key) in figures:
                return name_of(axle_id, which, key)
    return name_of(axle_id, side, figure.kind.value)


def read_crank(text: str, errors: Errors) -> float | None:
    """Degrees past front dead centre, 0 up to 360; None for an empty text, or with the reason among the errors."""
    bare = text.strip().removesuffix("°").strip()
    if not bare:
        return None
    degrees = float(bare.replace(",", ".")) if _DEGREES.fullmatch(bare) else _TURN + 1
    if degrees > _TURN:
        errors["crank"] = "Type the crank position in degrees, from 0 to 360, such as 45."
        return None
    return degrees % _TURN
