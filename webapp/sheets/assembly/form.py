"""The forms of an axle's card: its sizes, end by end, and one thing of its list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from domain.assembly.going_on import Along, Starter, ThingKind, proposed
from domain.drawing import LARGEST_NM
from domain.lengths import MAX_TEXT, Length, LengthError, Unit, parse_length, show
from webapp.typed.size_log import read_log
from webapp.typed.sizes import BY_KEY, SizeKind
from webapp.typed.texts import Errors, Typed, read_choice, read_line

OF_AXLE = ("over_shoulders", "axle_run_out")
OF_END = ("seat_length", "journal")
ENDS = ("left", "right")
LIES = (("journal", "between the wheels"), ("outer_journal", "outside the wheels"))
CENTRES = (("yes", "in both ends"), ("no", "not in both"))
ALONG = (
    (Along.LEFT.value, "at the left"),
    (Along.MIDDLE.value, "in the middle"),
    (Along.RIGHT.value, "at the right"),
)
LONGEST_NAME = 40
_OFTEN = ("unit", "instrument_id", "meant")
_CENTRED = {"": None, "yes": True, "no": False}


def box_of(key: str, side: str) -> str:
    """The name of the box for a size of one end."""
    return f"{key}_{side}"


@dataclass(frozen=True, slots=True)
class AxleSizes:
    """Sizes of an axle as typed: of the whole and of each end, by kind; what they were read with; what was looked at."""

    whole: Mapping[str, Length] = field(default_factory=dict)
    ends: Mapping[str, Mapping[str, Length]] = field(default_factory=dict)
    instrument_id: int | None = None
    centred: bool | None = None
    meant: frozenset[int] = frozenset()

    def boxes(self) -> Iterator[tuple[str, str, str, Length]]:
        """Each size with its box, its kind and its end, which is empty for the whole axle."""
        for key, size in self.whole.items():
            yield key, key, "", size
        for side, sizes in self.ends.items():
            for key, size in sizes.items():
                yield box_of("journal" if key in dict(LIES) else key, side), key, side, size


def size_boxes() -> list[SizeKind]:
    """The boxes of the form as it asks for them."""
    whole: list[SizeKind] = [BY_KEY[key] for key in OF_AXLE]
    named = {"seat_length": "seat's length", "journal": "journal"}
    return whole + [
        SizeKind(box_of(key, side), f"{side.capitalize()} {named[key]}", BY_KEY[key].how)
        for key in OF_END
        for side in ENDS
    ]


def read_axle_sizes(typed: Typed, unit: Unit) -> tuple[AxleSizes, Errors]:
    """The sizes typed, or a sentence for each box that cannot be taken."""
    errors = Errors()
    logged, wrong = read_log(typed, OF_AXLE, unit)
    nothing = wrong.pop("", "")
    errors.update(wrong)
    lies = typed.get("lies") or LIES[0][0]
    if lies not in dict(LIES):
        errors["lies"] = "Choose where the journals are from the list."
        lies = LIES[0][0]
    centres = typed.get("centres")
    if centres not in _CENTRED:
        errors["centres"] = "Say of the centres: in both ends, not in both, or leave it."
    ends = {}
    for side in ENDS:
        sent = {name: typed.all(name) for name in _OFTEN} | {
            key: typed.all(box_of(key, side)) for key in OF_END
        }
        of_end, wrong = read_log(Typed(sent), OF_END, unit)
        errors.update({box_of(key, side): words for key, words in wrong.items() if key in OF_END})
        if of_end.sizes:
            ends[side] = {lies if key == "journal" else key: size for key, size in of_end.sizes.items()}
    if not logged.sizes and not ends and not centres and not errors:
        errors[""] = nothing
    return AxleSizes(logged.sizes, ends, logged.instrument_id, _CENTRED.get(centres), logged.meant), errors


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing of the list as typed."""

    name: str
    kind: str
    along: str
    split: bool = False
    width: Length | None = None


def read_thing(typed: Typed, unit: Unit) -> tuple[Thing | None, Errors]:
    """A thing as typed, or a sentence for each field."""
    errors = Errors()
    name = read_line(typed, "name", "The name", LONGEST_NAME, errors)
    along = read_choice(typed, "along", "where it sits", dict(ALONG), errors)
    width = _width(typed, unit, errors)
    if errors or name is None or along is None:
        return None, errors
    return Thing(name, ThingKind.OTHER.value, along, typed.yes("split"), width), errors


def _width(typed: Typed, unit: Unit, errors: Errors) -> Length | None:
    text = typed.get("width").strip()
    if not text:
        return None
    try:
        width = parse_length(text, unit)
    except LengthError as error:
        errors["width"] = str(error)
        return None
    if not 0 < width.nm <= LARGEST_NM or len(width.text) > MAX_TEXT:
        errors["width"] = f"A width is more than nothing and at most {show(LARGEST_NM, unit)}."
        return None
    return width


def read_starter(typed: Typed, names: tuple[str, ...]) -> tuple[Thing | None, Errors]:
    """The starter that was tapped, as the list proposes it now."""
    found = next((one for one in proposed(names) if one.kind.value == typed.get("starter")), None)
    if found is None:
        return None, Errors({"": "All of that kind are on the list already: write the next one's name."})
    return thing_of(found), Errors()


def thing_of(starter: Starter) -> Thing:
    """A starter as a thing of the list."""
    return Thing(starter.name, starter.kind.value, starter.along.value)
