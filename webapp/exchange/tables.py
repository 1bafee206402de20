"""What a build's document holds, said once: which tables, which columns, what stands under what and what names what.

The writer, the reader, the schema that is served and its check all go by this; a column of the models is in the
document by itself, unless it is among those left out, each with its reason.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import Boolean, CheckConstraint, Column, ColumnElement, Integer, LargeBinary, Table
from sqlmodel import SQLModel, col

from domain import drawing
from domain.joints.materials import irons
from domain.lengths import NM_PER_MM
from domain.repeating.settings import TASKS, Setting
from domain.route.set_ups import SetUp
from domain.route.stages import COMPOUND_ON, Stage, ticks_there_are
from domain.treads.wheel_standard import presets
from webapp.models import (
    Axle,
    AxleItem,
    Build,
    Casting,
    DialReadingRow,
    DimensionRow,
    InstrumentRow,
    JointFigure,
    JournalLine,
    Measurement,
    NoteRow,
    PairingMove,
    PairingRow,
    PatternRow,
    PhotoRow,
    Quartering,
    Reading,
    ReamerRow,
    Receipt,
    RodFigure,
    SettingRow,
    StrokeCount,
    Stub,
    StubTurn,
    TakenBack,
    TakenBackTick,
    Tick,
    Truing,
    TruingRound,
    UtcDateTime,
    WorkBatch,
    WorkBatchWheel,
    WorkFigure,
)
from webapp.records.heights import PIN_HEIGHTS
from webapp.records.read_sizes import WEIGHT
from webapp.typed.notes import LONGEST_NOTE
from webapp.typed.photos import MOST_BYTES
from webapp.typed.sizes import BY_KEY

FORMAT, VERSION = "spokeshed build", 5
# The journal's line that tells of an import is about the file it came into, not about the build.
IMPORTED = "import"
ID, NUMBER = "permanent_id", "number"
# An axle that was taken out of the build has no row; what remembers it calls it by this and a number.
GONE = "gone-"


# A list is itself only: so what is worked out of it can be kept for it.
@dataclass(frozen=True, eq=False)
class Part:
    """A list of the document: rows of one table, under the row they belong to."""

    key: str
    model: type[SQLModel]
    inside: tuple[Part, ...] = ()
    where: ColumnElement[bool] | None = None
    # Its rows are called by their number where another names them.
    numbered: bool = False

    @property
    def table(self) -> Table:
        """Its table."""
        found: Table = self.model.__table__  # type: ignore[attr-defined]
        return found

    @property
    def named(self) -> bool:
        """Whether its rows are called by a permanent id of their own."""
        return ID in self.table.columns


# In an order in which each list names rows of earlier ones only.
BUILD = Part(
    "build",
    Build,
    (
        Part("patterns", PatternRow, numbered=True),
        Part("dimensions", DimensionRow),
        Part("joint_figures", JointFigure),
        Part("work_figures", WorkFigure),
        Part(
            "axles",
            Axle,
            (Part("rods", RodFigure), Part("quarterings", Quartering), Part("items", AxleItem)),
        ),
        Part(
            "castings",
            Casting,
            (
                Part("ticks", Tick),
                Part("truings", Truing, (Part("rounds", TruingRound, (Part("readings", DialReadingRow),)),)),
                Part("strokes", StrokeCount),
                Part("settings", SettingRow),
            ),
        ),
        Part("receipts", Receipt, numbered=True),
        Part("measurements", Measurement, (Part("readings", Reading),), numbered=True),
        Part("taken_back", TakenBack, (Part("ticks", TakenBackTick),)),
        Part("pairings", PairingRow, (Part("moves", PairingMove),)),
        Part("batches", WorkBatch, (Part("wheels", WorkBatchWheel),)),
        Part("stubs", Stub, (Part("turns", StubTurn),)),
        Part("notes", NoteRow, (Part("photos", PhotoRow),)),
        Part("journal", JournalLine, where=col(JournalLine.kind) != IMPORTED),
    ),
)
# What the build's rows name of the workshop.
WORKSHOP = (Part("instruments", InstrumentRow), Part("reamers", ReamerRow))

# Tables that are no build's, and columns that mean something in their own file only; each with its reason.
TABLES_LEFT_OUT = {
    "submission": "forms that were taken, for the pages of this file",
    "write_mark": "the mark of this file's last write",
    "jig": "of the workshop, and a build's rows have but its name, as it was set",
    "drill": "of the workshop, and no build's row names one",
    "machine": "of the workshop, and no build's row names one",
    "chuck": "of the workshop, and no build's row names one",
}
COLUMNS_LEFT_OUT = {
    "id": "counts the rows of one file",
    "build_id": "said by where the row stands",
    "version": "counts the changes that the pages of one file have seen",
    "build.archived": "whether it is in the list of builds of one file",
    "journal_line.device": "a device of one file's network",
    "journal_line.page": "a page that was open",
    "measurement.superseded": "kept by triggers, from `supersedes`",
    "photo.small": "made anew of the picture",
}
# Columns that name a row without a foreign key, for it may be gone.
_MAY_BE_GONE = {
    ("journal_line", "axle_id"): "axle",
    ("pairing_move", "from_axle_id"): "axle",
    ("pairing_move", "to_axle_id"): "axle",
}
_UNITS = (
    ("_nm", "Nanometres."),
    ("_udeg", "Millionths of a degree."),
    ("_dc", "Tenths of a degree Celsius."),
    ("_ppb", "Thousand-millionths of its length for each kelvin."),
)
_WORDS = {
    "nm": "Nanometres.",
    "text": "As typed.",
    "build.unit": "What a number alone is in.",
    "note.stage": "The last stage that was ticked then; nothing where none was.",
    "stub.swing_nm": "Nanometres that the dial swings in a whole turn.",
    "build.paint_first": "Whether the castings are painted in the rough, before any cut.",
    "setting.unit": "What `value` is in: nanometres, or thousandths a minute; nothing where words say it.",
    "measurement.unit": "What `value`, `low`, `high`, `expanded` and the readings are in: nm, mg or udeg.",
    "who": "Initials.",
    "at": "When, in UTC.",
    "supersedes": "The number of the earlier measurement that this one corrects.",
    "measured_to": "The number of the last measurement of these wheels before they were taken back.",
    "taken_back.out_on": "The day it came out of service, as 2026-11-29.",
    "receipt": "The number of the receipt it was written down with.",
    "pattern": "The number of the pattern of wheel.",
    "created_at": "When, in UTC.",
    "axle.centred": "Whether it has centres in both ends.",
    "axle_item.split": "Whether it can go on after the wheels too.",
    "axle.number": "Counted from the leading end.",
    ID: "Tells the row apart for good, in whatever file it lies.",
    NUMBER: "Its place in the list, from 1: what other rows call it by.",
}
_LONGEST = 10_000
# JSON's readers are exact up to here.
_MOST = 2**53 - 1
_WHEN = r"^(19[7-9][0-9]|2[0-9]{3})-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?Z$"
_NAMED = r"^[0-9a-f]{32}$"
_NAMED_OR_GONE = rf"^([0-9a-f]{{32}}|{GONE}[1-9][0-9]{{0,3}})$"
_OR_GONE = "An axle's permanent id, or gone- and a number for one that was taken out of the build."
# Three bytes are four signs.
_PICTURE = {
    "description": "A JPEG with nothing in it but the picture.",
    "contentEncoding": "base64",
    "contentMediaType": "image/jpeg",
    "maxLength": -(-MOST_BYTES // 3) * 4,
}
_KEY = {"pattern": "^[a-z][a-z0-9_]{0,59}$"}
_MORE_THAN_NOTHING = {"minimum": 1, "maximum": drawing.LARGEST_NM}


@cache
def _facets() -> Mapping[str, Mapping[str, Any]]:
    """What the tables leave open and the forms do not."""
    return {
        "build.name": {"minLength": 1, "maxLength": 60},
        "build.standard": {"enum": [one.key for one in presets()]},
        "build.iron": {"enum": [one.key for one in irons()]},
        "build.quarter_angle_udeg": {"minimum": 10_000_000, "maximum": 170_000_000},
        "dimension.key": {"enum": [*drawing.KEYS, *drawing.TYRE_KEYS]},
        "dimension.nm": _MORE_THAN_NOTHING,
        "pattern.name": {"minLength": 1, "maxLength": 60},
        "axle.number": {"minimum": 1, "maximum": 12},
        "axle_item.name": {"minLength": 1, "maxLength": 40},
        "axle_item.width_nm": _MORE_THAN_NOTHING,
        "casting.mark": {"minLength": 1, "maxLength": 12},
        "taken_back.out_on": {"pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
        "taken_back.nm": _MORE_THAN_NOTHING,
        "taken_back_tick.key": {"enum": [*ticks_there_are(), COMPOUND_ON]},
        "tick.key": {"enum": [*ticks_there_are(), COMPOUND_ON]},
        "note.stage": {"enum": [one.value for one in Stage]},
        "note.words": {"maxLength": LONGEST_NOTE},
        "work_batch.key": {"enum": [one.value for one in SetUp]},
        "truing.dial_unit": {"enum": ["mm", "in"]},
        "truing.division_nm": {"minimum": 1, "maximum": NM_PER_MM},
        "truing.tolerance_nm": _MORE_THAN_NOTHING,
        "truing.screw_nm": _MORE_THAN_NOTHING,
        "truing_round.radius_nm": _MORE_THAN_NOTHING,
        "joint_figure.key": _KEY,
        "work_figure.key": _KEY,
        "setting.operation": {"enum": list(TASKS)},
        "setting.key": {"enum": [one.value for one in Setting]},
        "measurement.kind": {"enum": ["bore", "throw", "seat", WEIGHT, PIN_HEIGHTS, *BY_KEY]},
        "measurement.unit": {"enum": ["nm", "mg", "udeg"]},
        "instrument.name": {"minLength": 1, "maxLength": 80},
        "reamer.name": {"minLength": 1, "maxLength": 80},
    }


@cache
def key_of(column: Column[Any]) -> str:
    """What a column is called in the document: one that names a row by what it names, unless that is a column too."""
    bare = column.name.removesuffix("_id")
    return bare if target_of(column) and bare not in column.table.columns else column.name


@cache
def target_of(column: Column[Any]) -> str:
    """The table that a column names a row of; empty where it is a figure or a text of its own."""
    if found := _MAY_BE_GONE.get((column.table.name, column.name)):
        return found
    return next((key.column.table.name for key in column.foreign_keys), "")


def may_be_gone(column: Column[Any]) -> bool:
    """Whether the row that a column names may not be there any more."""
    return (column.table.name, column.name) in _MAY_BE_GONE


@cache
def columns_of(part: Part, above: Part | None) -> tuple[Column[Any], ...]:
    """The columns that are in the document, in the model's order."""
    out = {
        column.name for column in part.table.columns if f"{part.table.name}.{column.name}" in COLUMNS_LEFT_OUT
    }
    out |= COLUMNS_LEFT_OUT.keys() | ({link_to(part, above).name} if above else set())
    return tuple(column for column in part.table.columns if column.name not in out)


@cache
def link_to(part: Part, above: Part) -> Column[Any]:
    """The column that says under which row a row stands."""
    return next(
        one for one in part.table.columns if any(key.column.table is above.table for key in one.foreign_keys)
    )


def every_part(part: Part = BUILD, above: Part | None = None) -> Iterator[tuple[Part, Part | None]]:
    """Each list with the one it stands under: a list, then what stands in its rows."""
    yield part, above
    for one in part.inside:
        yield from every_part(one, part)


@cache
def schema() -> dict[str, Any]:
    """The document's JSON Schema; it is also what a document is checked by when it is read."""
    workshop = {part.key: _list(part, None) for part in WORKSHOP}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A build of Spokeshed",
        "description": "One locomotive's wheels with all that was ever measured and done; what was not said is not there.",
        **_object(
            {
                "format": {"const": FORMAT},
                "version": {"const": VERSION},
                "build": _row(BUILD, None),
                "workshop": {
                    "description": "The tools of the workshop that the build's rows name.",
                    **_object(workshop, list(workshop)),
                },
            },
            ["format", "version", "build", "workshop"],
        ),
    }


def _object(properties: dict[str, Any], required: list[str]) -> dict[str, Any]:
    return {"type": "object", "properties": properties, "required": required, "additionalProperties": False}


def _list(part: Part, above: Part | None) -> dict[str, Any]:
    return {"type": "array", "items": _row(part, above)}


def _row(part: Part, above: Part | None) -> dict[str, Any]:
    columns = columns_of(part, above)
    properties = {NUMBER: _number(NUMBER)} if part.numbered else {}
    properties |= {key_of(one): _value(one) for one in columns}
    properties |= {one.key: _list(one, part) for one in part.inside}
    optional = {key_of(one) for one in columns if one.nullable}
    words = (part.model.__doc__ or "").partition("\n")[0]
    return {"description": words, **_object(properties, [key for key in properties if key not in optional])}


def _number(key: str) -> dict[str, Any]:
    return {"type": "integer", "minimum": 1, "maximum": _MOST, "description": _WORDS[key]}


def _value(column: Column[Any]) -> dict[str, Any]:
    own, key, target = f"{column.table.name}.{column.name}", key_of(column), target_of(column)
    words = _OR_GONE if may_be_gone(column) else _WORDS.get(own) or _WORDS.get(key)
    words = words or next((said for end, said in _UNITS if column.name.endswith(end)), "")
    said = {"description": words} if words else {}
    if target in ("receipt", "measurement", "pattern"):
        return _number(key)
    if target or column.name == ID:
        return {"type": "string", "pattern": _NAMED_OR_GONE if may_be_gone(column) else _NAMED, **said}
    if isinstance(column.type, UtcDateTime):
        return {"type": "string", "format": "date-time", "pattern": _WHEN, **said}
    if isinstance(column.type, Boolean):
        return {"type": "boolean", **said}
    if isinstance(column.type, LargeBinary):
        return {"type": "string", **_PICTURE}
    facets = {**_choices(column.table).get(column.name, {}), **_facets().get(own, {})}
    if isinstance(column.type, Integer):
        return {"type": "integer", "minimum": -_MOST, "maximum": _MOST, **facets, **said}
    return {"type": "string", **({} if "enum" in facets else {"maxLength": _LONGEST}), **facets, **said}


_ONE_OF = re.compile(r"(\w+) IN \(('\w+'(?:, '\w+')*)\)")


def _choices(table: Table) -> dict[str, dict[str, list[str]]]:
    """The choices that the tables themselves hold a column to."""
    checks = (str(one.sqltext) for one in table.constraints if isinstance(one, CheckConstraint))
    found = (_ONE_OF.fullmatch(one) for one in checks)
    return {one[1]: {"enum": re.findall(r"\w+", one[2])} for one in found if one}
