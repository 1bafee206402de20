"""A document read strictly: text to a checked tree of lists and rows, or a sentence that names the place."""

from __future__ import annotations

import json
import re
from base64 import b64decode, b64encode
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from functools import cache
from typing import Any, NoReturn

from domain import drawing
from domain.drawing import WheelKind
from domain.lengths import Unit
from domain.truing.dial import DialReading, TruingError, check_readings
from webapp.exchange.tables import FORMAT, ID, NUMBER, VERSION, schema
from webapp.typed.photos import NoPhoto, taken_again

# The most figures of a whole number that the document can hold, and the most rows and lists: either would else be
# taken apart at length, only to be refused.
_DIGITS = 17
_MOST_ROWS = 400_000
_SHOWN = 40
_UDEG = 1_000_000
_TYPES: Mapping[str, tuple[type, str]] = {
    "object": (dict, "a row"),
    "array": (list, "a list"),
    "string": (str, "a text"),
    "integer": (int, "a whole number"),
    "boolean": (bool, "true or false"),
}


def _painted_last(document: dict[str, Any]) -> dict[str, Any]:
    """From version 1, of before castings could be painted before they are machined; what is no build is told later."""
    build = document.get("build")
    return {**document, "build": {**build, "paint_first": False}} if isinstance(build, dict) else document


def _patterned(document: dict[str, Any]) -> dict[str, Any]:
    """From version 2, of before a build had patterns of wheel: as its axles are, one or two; as migration 0014 has it."""
    build = document.get("build")
    if not isinstance(build, dict):
        return document
    axles, castings, figures = (_rows_of(build, key) for key in ("axles", "castings", "dimensions"))
    coupled = {one.get("coupled") is True for one in axles} or {True}
    kinds = [kind for kind in (WheelKind.DRIVING, WheelKind.CARRYING) if kind.cranked in coupled]
    number = {kind.cranked: place for place, kind in enumerate(kinds, start=1)}
    of_axle = {str(one.get(ID)): number[one.get("coupled") is True] for one in axles}
    track = [one for one in figures if one.get("key") in drawing.TRACK_KEYS]
    own = [
        {**one, "pattern": number[kind.cranked]}
        for kind in kinds
        for one in figures
        if one not in track and (len(kinds) == 1 or one.get("key") in {each.key for each in kind.figures})
    ]
    patterned = {
        **build,
        "stubs": [],
        "patterns": [
            {NUMBER: number[kind.cranked], "name": kind.usual_name, "kind": kind.value} for kind in kinds
        ],
        "dimensions": [*track, *own],
        "axles": [
            {
                key: value
                for key, value in {**one, "pattern": of_axle[str(one.get(ID))], "items": []}.items()
                if key != "coupled"
            }
            for one in axles
        ],
        "castings": [
            {
                **one,
                "pattern": of_axle.get(str(one.get("axle") or one.get("scrapped_from_axle")), 1),
                # Nobody wrote down yet what a wheel was set by.
                "settings": [],
            }
            for one in castings
        ],
    }
    return {**document, "build": patterned}


def _rows_of(build: dict[str, Any], key: str) -> list[dict[str, Any]]:
    """The rows of a list; what is no row is told later, as what has no list is."""
    rows = build.get(key)
    return [one for one in rows if isinstance(one, dict)] if isinstance(rows, list) else []


def _noted(document: dict[str, Any]) -> dict[str, Any]:
    """From version 3, of before wheels were taken back to be re-turned, and before notes and photos."""
    build = document.get("build")
    return (
        {**document, "build": {**build, "taken_back": [], "notes": []}}
        if isinstance(build, dict)
        else document
    )


def _uncracked(document: dict[str, Any]) -> dict[str, Any]:
    """From version 4, of before a crack could be noted as a casting came."""
    build = document.get("build")
    if not isinstance(build, dict):
        return document
    receipts = [{**one, "crack": False} for one in _rows_of(build, "receipts")]
    return {**document, "build": {**build, "receipts": receipts}}


# By the version they read: each gives the document as the next version has it.
UPGRADERS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {
    1: _painted_last,
    2: _patterned,
    3: _noted,
    4: _uncracked,
}


class Unreadable(Exception):
    """The document cannot be taken, and this is why."""

    @property
    def sentence(self) -> str:
        """Why, with the place in the document."""
        return str(self.args[0])


def read_document(content: bytes) -> dict[str, Any]:
    """The document as this version has it, every row of it checked; Unreadable says what is wrong, and where."""
    document = _brought_up(_parsed(content))
    _check(document, schema(), ())
    _check_drawing(document["build"])
    _check_rounds(document["build"])
    _check_photos(document["build"])
    return document


def _parsed(content: bytes) -> dict[str, Any]:
    if content.count(b"{") + content.count(b"[") > _MOST_ROWS:
        raise Unreadable(f"This is no document of a build: it has more than {_MOST_ROWS} rows and lists.")
    try:
        found = json.loads(
            content.decode("utf-8-sig"),
            object_pairs_hook=_once,
            parse_float=_no_fraction,
            parse_int=_whole,
            parse_constant=_no_fraction,
        )
    except UnicodeDecodeError:
        raise Unreadable("This is no text in UTF-8: choose the file that was downloaded as JSON.") from None
    except json.JSONDecodeError as error:
        raise Unreadable(
            f"This is no document of a build: it is no JSON at line {error.lineno}, column {error.colno}."
        ) from None
    except RecursionError:
        raise Unreadable("This is no document of a build: it has lists in lists without end.") from None
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        raise Unreadable(f"This is no document of a build: it does not begin with the format “{FORMAT}”.")
    return found


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        twice, _ = Counter(name for name, _ in pairs).most_common(1)[0]
        raise Unreadable(f"The name {_shown(twice)} stands twice in one row: which is meant cannot be told.")
    return found


def _no_fraction(text: str) -> NoReturn:
    raise Unreadable(f"{_shown(text, '')} is no whole number, and a build's document has no other.")


def _whole(text: str) -> int:
    if len(text) > _DIGITS:
        raise Unreadable(f"{_shown(text, '')} is larger than anything that a build has.")
    return int(text)


def _brought_up(document: dict[str, Any]) -> dict[str, Any]:
    """The document brought to this version, one version after the other."""
    version = document.get("version")
    if not isinstance(version, int) or isinstance(version, bool):
        raise Unreadable("The document does not say its version, a whole number.")
    if version > VERSION:
        raise Unreadable(
            f"The document is of version {version}, and this program reads up to {VERSION}: "
            "import it with a newer spokeshed."
        )
    while version < VERSION:
        if version not in UPGRADERS:
            raise Unreadable(f"There was never a version {version} of a build's document.")
        document = UPGRADERS[version](document)
        version += 1
    return document


@cache
def _pattern(text: str) -> re.Pattern[str]:
    return re.compile(text)


def _check(value: Any, rule: Mapping[str, Any], at: tuple[str | int, ...]) -> None:
    """The served schema, followed: it uses these words of JSON Schema and no others."""
    if "const" in rule:
        return  # asked before anything else was
    kind, words = _TYPES[rule["type"]]
    if not isinstance(value, kind) or (kind is int and isinstance(value, bool)):
        raise wrong(at, f"{words} is wanted, not {_shown(value)}")
    if isinstance(value, dict):
        _check_row(value, rule, at)
    elif isinstance(value, list):
        for number, one in enumerate(value, start=1):
            _check(one, rule["items"], (*at, number))
    elif not isinstance(value, bool):
        for problem in _problems(value, rule):
            raise wrong(at, problem)


def _check_row(row: Mapping[str, Any], rule: Mapping[str, Any], at: tuple[str | int, ...]) -> None:
    known = rule["properties"]
    for key in row:
        if key not in known:
            raise wrong(at, f"nothing is known by the name {_shown(key)}")
    for key in rule["required"]:
        if key not in row:
            raise wrong(at, f"{key} is missing")
    for key, one in row.items():
        _check(one, known[key], (*at, key))


def _problems(value: Any, rule: Mapping[str, Any]) -> Iterator[str]:
    if isinstance(value, int):
        if not rule["minimum"] <= value <= rule["maximum"]:
            yield f"{value} is not between {rule['minimum']} and {rule['maximum']}"
        return
    if "enum" in rule:
        if value not in rule["enum"]:
            yield f"{_shown(value)} is none of {', '.join(rule['enum'])}"
        return
    if "contentEncoding" in rule and len(value) <= rule["maxLength"]:
        try:
            b64decode(value, validate=True)
        except ValueError:
            yield "the text is no base64"
        return
    if not rule.get("minLength", 0) <= len(value) <= rule.get("maxLength", len(value)):
        yield f"a text of {len(value)} characters is too {'long' if value else 'short'}"
    if "\0" in value or any("\ud800" <= sign <= "\udfff" for sign in value):
        yield "the text holds a character that is none"
    if "pattern" in rule and not _pattern(rule["pattern"]).fullmatch(value):
        yield f"{_shown(value)} is not written as it must be"
    elif rule.get("format") == "date-time":
        try:
            datetime.fromisoformat(value)
        except ValueError:
            yield f"{_shown(value)} is no time of any day"


def _check_drawing(build: Mapping[str, Any]) -> None:
    """What no row can say by itself: a drawing that is whole and can be made, axles counted from the first."""
    sizes: dict[int, dict[str, int]] = {}
    for one in build["dimensions"]:
        sizes.setdefault(one.get("pattern", 0), {})[one["key"]] = one["nm"]
    kinds = {one[NUMBER]: WheelKind(one["kind"]) for one in build["patterns"]}
    if not kinds:
        raise wrong(("build", "patterns"), "there is none, and every wheel is of one")
    for number, kind in kinds.items():
        own = sizes.get(0, {}) | sizes.get(number, {})
        for key in (*drawing.TRACK_KEYS, *(one.key for one in kind.figures)):
            if key not in own:
                raise wrong(("build", "dimensions"), f"{key} is missing")
        for key, sentence in drawing.faults(own, Unit(build["unit"])).items():
            raise Unreadable(f"In build, dimensions, {key}: {sentence}")
    for key in drawing.COUPLED_KEYS:
        if len({sizes[number][key] for number, kind in kinds.items() if kind.cranked}) > 1:
            raise wrong(("build", "dimensions"), f"{key} differs between patterns that rods join")
    of_axle = {one[ID]: one["pattern"] for one in build["axles"]}
    for place, one in enumerate(build["castings"], start=1):
        if "axle" in one and of_axle.get(one["axle"], one["pattern"]) != one["pattern"]:
            raise wrong(("build", "castings", place), "it is of another pattern than its axle")
    numbers = [one["number"] for one in build["axles"]]
    if not numbers or sorted(numbers) != list(range(1, len(numbers) + 1)):
        raise wrong(("build", "axles"), "they are not numbered from 1, each once")


def _check_rounds(build: Mapping[str, Any]) -> None:
    """A round of readings in which the dial found a circle, or of a look by eye, which has no figures."""
    for casting, row in enumerate(build["castings"], start=1):
        for number, truing in enumerate(row["truings"], start=1):
            for place, one in enumerate(truing["rounds"], start=1):
                at = ("build", "castings", casting, "truings", number, "rounds", place)
                _check_round(truing.get("dial_unit", ""), one, at)


def _check_round(dial_unit: str, one: Mapping[str, Any], at: tuple[str | int, ...]) -> None:
    figures = ["nm" in reading for reading in one["readings"]]
    if one["kind"] == "eye":
        if any(figures) or len(figures) not in (0, 2):
            raise wrong(at, "a look by eye has two readings without a figure, or none")
        return
    if not dial_unit or not all(figures) or (one["kind"] == "face" and "radius_nm" not in one):
        raise wrong(
            at, "a round with a dial has the dial's unit, a figure for each reading, and on the face a radius"
        )
    try:
        check_readings(
            [DialReading(reading["angle_udeg"] / _UDEG, reading["nm"]) for reading in one["readings"]],
            Unit(dial_unit),
        )
    except TruingError as error:
        raise Unreadable(f"In {_place(at)}: {error}") from None


def _check_photos(build: Mapping[str, Any]) -> None:
    """Each picture as it would be kept had it just been taken: who wrote the document is not known."""
    for place, note in enumerate(build["notes"], start=1):
        for number, one in enumerate(note["photos"], start=1):
            try:
                kept = taken_again(b64decode(one["jpeg"]))
            except NoPhoto as error:
                at = ("build", "notes", place, "photos", number)
                raise Unreadable(f"In {_place(at)}: {error.sentence}") from None
            one["jpeg"] = b64encode(kept).decode()


def _place(at: tuple[str | int, ...]) -> str:
    return ", ".join(f"row {one}" if isinstance(one, int) else one for one in at) or "the document"


def wrong(at: tuple[str | int, ...], what: str) -> Unreadable:
    """What is wrong at a place of the document."""
    return Unreadable(f"In {_place(at)}: {what}.")


def _shown(value: object, quote: str = "“") -> str:
    """A value to be named in a sentence, short and fit to be shown."""
    if value is None:
        return "nothing"
    if isinstance(value, dict | list):
        return "a row" if isinstance(value, dict) else "a list"
    text = json.dumps(value) if isinstance(value, bool) else str(value)
    short = "".join(sign if sign.isprintable() else "?" for sign in text[:_SHOWN])
    short += "…" if len(text) > _SHOWN else ""
    return f"“{short}”" if quote and isinstance(value, str) else short
