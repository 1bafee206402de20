"""A build's document: all of the build is in it, it comes back the same, and what it may hold is said by its schema."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from contextlib import closing
from copy import deepcopy
from pathlib import Path
from sqlite3 import connect
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker
from sqlmodel import SQLModel

import webapp.models  # noqa: F401  (fills SQLModel.metadata)
from tests.webapp.exchange.conftest import Document, exported, taken_in
from webapp.db import Db
from webapp.exchange import reading
from webapp.exchange.reading import Unreadable, read_document
from webapp.exchange.tables import (
    BUILD,
    COLUMNS_LEFT_OUT,
    ID,
    TABLES_LEFT_OUT,
    VERSION,
    WORKSHOP,
    columns_of,
    every_part,
    key_of,
    schema,
)
from webapp.exchange.writing import document_of, written
from webapp.records.builds import find_build

VALIDATOR = Draft202012Validator(schema(), format_checker=FormatChecker())


def _again(db: Db, build: int) -> str:
    with db.read() as session:
        return written(document_of(session, build))


def _values(tree: Any, key: str = "") -> Iterator[tuple[str, Any]]:
    """Every figure and text of a document with the name it stands under."""
    if isinstance(tree, dict):
        for name, one in tree.items():
            yield from _values(one, name)
    elif isinstance(tree, list):
        for one in tree:
            yield from _values(one, key)
    else:
        yield key, tree


# ---- All of it ------------------------------------------------------------------------------------


def test_every_column_is_exported_or_left_out_with_a_reason() -> None:
    parts = [*every_part(), *((part, None) for part in WORKSHOP)]
    exported_ones = {
        f"{part.table.name}.{column.name}" for part, above in parts for column in columns_of(part, above)
    }
    links = {
        f"{part.table.name}.{column.name}"
        for part, above in parts
        if above is not None
        for column in part.table.columns
        if column not in set(columns_of(part, above)) and column.foreign_keys
    }
    every = {
        f"{table.name}.{column.name}": column.name
        for table in SQLModel.metadata.tables.values()
        if table.name not in TABLES_LEFT_OUT
        for column in table.columns
    }
    assert len(every) > 120
    lost = [
        own
        for own, name in every.items()
        if own not in exported_ones | links and name not in COLUMNS_LEFT_OUT and own not in COLUMNS_LEFT_OUT
    ]
    assert lost == [], "give it to webapp/exchange/tables.py, or leave it out there with a reason"
    for name in (*TABLES_LEFT_OUT, *(one.split(".")[0] for one in COLUMNS_LEFT_OUT if "." in one)):
        assert name in SQLModel.metadata.tables, name
    assert all(TABLES_LEFT_OUT.values()) and all(COLUMNS_LEFT_OUT.values())


def test_the_sample_says_every_name_there_is(rich: Document) -> None:
    """What the comparisons below would not miss if it were never there."""

    def names(part: Any, above: Any) -> set[str]:
        return {f"{part.table.name}.{key_of(column)}" for column in columns_of(part, above)}

    said: set[str] = set()

    def look(part: Any, rows: list[Document]) -> None:
        for row in rows:
            said.update(f"{part.table.name}.{key}" for key in row)
            for one in part.inside:
                look(one, row[one.key])

    look(BUILD, [rich["build"]])
    for part in WORKSHOP:
        look(part, rich["workshop"][part.key])
    wanted = {name for part, above in every_part() for name in names(part, above)}
    wanted |= {name for part in WORKSHOP for name in names(part, None)}
    assert wanted - said == set()


def test_nothing_of_the_machine_is_in_it(rich: Document, rich_file: Path) -> None:
    with closing(connect(rich_file)) as connection:
        secrets = {
            text
            for sql in ("SELECT device FROM journal_line", "SELECT page FROM journal_line", "SELECT token FROM submission")
            for (text,) in connection.execute(sql)
            if text
        }  # fmt: skip
    assert len(secrets) > 1
    values = {one for _, one in _values(rich)}
    assert not secrets & values
    assert not {"device", "page", "token"} & {key for key, _ in _values(rich)}


def test_lengths_are_whole_nanometres_and_times_are_utc(rich: Document) -> None:
    for key, value in _values(rich):
        assert not isinstance(value, float)
        if key in ("at", "created_at", "struck_out_at"):
            assert value.endswith("Z") and value[10] == "T"
    bore = next(one for one in rich["build"]["dimensions"] if one["key"] == "bore")
    assert (bore["nm"], bore["text"]) == (19_050_000, "3/4 in")


# ---- There and back -------------------------------------------------------------------------------


@pytest.mark.parametrize("build", [1, 2])
def test_export_import_export_is_the_same(demo_file: Path, tmp_path: Path, other: Db, build: int) -> None:
    first = exported(demo_file, tmp_path, build)
    own = taken_in(other, read_document(written(first).encode()))
    assert own == 4
    assert _again(other, own) == written(first)


def test_with_rows_of_everything_it_is_the_same(rich: Document, other: Db) -> None:
    own = taken_in(other, read_document(written(rich).encode()))
    assert _again(other, own) == written(rich)


@pytest.mark.parametrize("seed", range(8))
def test_random_builds(seed: int, random_file: Callable[[int], Path], tmp_path: Path, other: Db) -> None:
    for build in (1, 2):
        first = exported(random_file(seed), tmp_path, build)
        VALIDATOR.validate(first)
        own = taken_in(other, read_document(written(first).encode()))
        assert _again(other, own) == written(first)


def test_a_third_machine_gets_the_same(rich: Document, other: Db, empty_file: Path, tmp_path: Path) -> None:
    own = taken_in(other, rich)
    third_file = tmp_path / "third.db"
    shutil.copy(empty_file, third_file)
    third = Db(third_file)
    again = taken_in(third, read_document(_again(other, own).encode()))
    assert again == 1 and _again(third, again) == written(rich)
    third.close()


def test_the_order_in_which_things_were_measured_is_kept(rich_file: Path, rich: Document, other: Db) -> None:
    """Of what stands the last is the present one: their row ids must go up as they did."""
    own = taken_in(other, rich)
    sql = "SELECT kind, coalesce(value, -1), at, superseded, struck_out_why FROM measurement WHERE build_id = ? ORDER BY id"
    with closing(connect(rich_file)) as was, closing(connect(other.path)) as now:
        rows = was.execute(sql, (1,)).fetchall()
        assert now.execute(sql, (own,)).fetchall() == rows
    assert any(superseded for _, _, _, superseded, _ in rows)
    assert any(why for *_, why in rows)


def test_the_triggers_hold_after_an_import(rich: Document, other: Db) -> None:
    own = taken_in(other, rich)
    with closing(connect(other.path)) as connection:
        for sql in (
            f"DELETE FROM journal_line WHERE build_id = {own}",
            f"UPDATE build SET permanent_id = 'x' WHERE id = {own}",
        ):
            with pytest.raises(Exception, match=r"append-only|never changed"):
                connection.execute(sql)
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        gone = connection.execute(
            "SELECT DISTINCT axle_id FROM journal_line WHERE axle_id IS NOT NULL AND axle_id NOT IN (SELECT id FROM axle)"
        ).fetchall()
        assert len(gone) == 2
        latest = connection.execute("SELECT seq FROM sqlite_sequence WHERE name = 'axle'").fetchone()[0]
        assert all(one <= latest for (one,) in gone)


def test_a_copy_is_another_build(rich: Document, other: Db) -> None:
    first, second = taken_in(other, rich), taken_in(other, rich, as_copy=True)
    one, two = json.loads(_again(other, first)), json.loads(_again(other, second))
    ids = {row[ID] for key in ("axles", "castings") for row in one["build"][key]} | {one["build"][ID]}
    assert not ids & {row[ID] for key in ("axles", "castings") for row in two["build"][key]}
    assert [row["mark"] for row in one["build"]["castings"]] == [
        row["mark"] for row in two["build"]["castings"]
    ]
    # The tools are the same ones.
    assert one["workshop"] == two["workshop"]


def test_a_build_twice_is_no_second_build(rich: Document, other: Db) -> None:
    taken_in(other, rich)
    with pytest.raises(Unreadable, match="is in this file already"):
        taken_in(other, rich)
    assert _count(other, "build") == 4


def _count(db: Db, table: str) -> int:
    with closing(connect(db.path)) as connection:
        found: int = connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
        return found


# ---- The workshop's tools -------------------------------------------------------------------------


def test_a_tool_that_is_here_is_taken_for_the_one(rich: Document, other: Db) -> None:
    taken_in(other, rich)
    count = _count(other, "instrument")
    again = deepcopy(rich)
    # The same tools, put down on another machine by hand: the same names and figures, another id and other notes.
    for number, tool in enumerate(again["workshop"]["instruments"]):
        was, now = tool[ID], f"{number:032x}"
        tool |= {ID: now, "note": "written otherwise"}
        for one in again["build"]["measurements"]:
            if one.get("instrument_id") == was:
                one["instrument_id"] = now
    taken_in(other, again, as_copy=True)
    assert count and _count(other, "instrument") == count


def test_a_tool_of_the_same_name_and_other_figures_is_another_one(rich: Document, other: Db) -> None:
    taken_in(other, rich)
    again = deepcopy(rich)
    (tool,) = again["workshop"]["reamers"]
    was, tool[ID] = tool[ID], "f" * 32
    tool["nominal_nm"] += 1
    for one in again["build"]["measurements"]:
        if one.get("reamer") == was:
            one["reamer"] = "f" * 32
    own = taken_in(other, again, as_copy=True)
    (added,) = json.loads(_again(other, own))["workshop"]["reamers"]
    assert (added["name"], added["nominal_nm"]) == (f"{tool['name']} (2)", tool["nominal_nm"])


# ---- Its schema -----------------------------------------------------------------------------------


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("build", [1, 2])
def test_the_invented_builds_are_as_the_schema_says(demo_file: Path, tmp_path: Path, build: int) -> None:
    VALIDATOR.validate(exported(demo_file, tmp_path, build))


def test_the_rich_build_is_as_the_schema_says(rich: Document) -> None:
    VALIDATOR.validate(rich)


def test_the_reader_follows_every_word_of_the_schema() -> None:
    """A word of JSON Schema that the reader does not know would be said and not held to."""
    known = {"type", "properties", "required", "additionalProperties", "items", "enum", "const", "pattern"}
    known |= {"minimum", "maximum", "minLength", "maxLength", "format", "description", "title", "$schema"}
    known |= {"contentEncoding", "contentMediaType"}

    def words(rule: Any) -> Iterator[str]:
        yield from rule
        for one in rule.get("properties", {}).values():
            yield from words(one)
        if "items" in rule:
            yield from words(rule["items"])

    assert set(words(schema())) <= known


# ---- Versions -------------------------------------------------------------------------------------


def _text(document: Document) -> bytes:
    return json.dumps(document).encode()


def test_a_newer_version_is_refused(rich: Document) -> None:
    with pytest.raises(Unreadable, match=f"version {VERSION + 1}.*newer spokeshed"):
        read_document(_text({**rich, "version": VERSION + 1}))


@pytest.mark.parametrize("version", [0, -3])
def test_a_version_that_never_was_is_refused(rich: Document, version: int) -> None:
    with pytest.raises(Unreadable, match="There was never"):
        read_document(_text({**rich, "version": version}))


@pytest.mark.parametrize("version", ["1", True, None, 1.0])
def test_a_version_that_is_no_number_is_refused(rich: Document, version: object) -> None:
    with pytest.raises(Unreadable):
        read_document(_text({**rich, "version": version}))


def test_older_versions_are_brought_up_one_after_the_other(
    rich: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By steps made up here, one of each kind."""

    def renamed(document: Document) -> Document:
        build = dict(document["build"])
        build["name"] = build.pop("title")
        return {**document, "build": build}

    def signed(document: Document) -> Document:
        return {key: one for key, one in document.items() if key != "made_up"}

    monkeypatch.setattr(reading, "UPGRADERS", {VERSION - 2: signed, VERSION - 1: renamed})
    old = deepcopy(rich)
    old["build"]["title"] = old["build"].pop("name")
    old |= {"version": VERSION - 2, "made_up": 1}
    assert read_document(_text(old))["build"] == rich["build"]
    del old["made_up"]
    assert read_document(_text({**old, "version": VERSION - 1}))["build"] == rich["build"]
    with pytest.raises(Unreadable, match="There was never"):
        read_document(_text({**old, "version": VERSION - 3}))


# ---- What is refused, and where -------------------------------------------------------------------

_A = "a" * 32


def _set(path: str, value: object) -> Callable[[Document], None]:
    def change(document: Document) -> None:
        *way, last = (int(one) if one.isdigit() else one for one in path.split("."))
        at: Any = document
        for one in way:
            at = at[one]
        if value is KeyError:
            del at[last]
        else:
            at[last] = value

    return change


WRONG: tuple[tuple[str, object, str], ...] = (
    ("build.name", 5, "In build, name: a text is wanted, not 5."),
    ("build.name", "", "In build, name: a text of 0 characters is too short."),
    ("build.name", None, "In build, name: a text is wanted, not nothing."),
    ("build.name", KeyError, "In build: name is missing."),
    ("build.colour", "red", "In build: nothing is known by the name “colour”."),
    ("colour", "red", "In the document: nothing is known by the name “colour”."),
    ("build.unit", "cubits", "In build, unit: “cubits” is none of mm, in."),
    ("build.invented", 1, "In build, invented: true or false is wanted, not 1."),
    ("build.castings.2.mark", "W\ud800", "In build, castings, row 3, mark: the text holds a character that is none."),
    ("build.castings.2.mark", "W1", "In build, castings, row 3: this is in this file already, or stands twice"),
    ("build.castings.2.side", KeyError, "In build, castings, row 3: what it says cannot all be true at once."),
    ("build.castings.2.axle", _A, f"In build, castings, row 3, axle: there is no axle “{_A}” before it"),
    ("build.castings.0.ticks.0.at", "2026-02-30T10:00:00Z", "ticks, row 1, at: “2026-02-30T10:00:00Z” is no time"),
    ("build.castings.0.ticks.0.at", "2026-02-20 10:00", "row 1, at: “2026-02-20 10:00” is not written as it must be."),
    ("build.castings.0.ticks.0.key", "polished", "key: “polished” is none of "),
    ("build.measurements.4.number", 6, "In build, measurements, row 5: the rows are not numbered in their order"),
    ("build.measurements.4.supersedes", 9, "row 5, supersedes: there is no measurement “9” before it"),
    ("build.measurements.4.value", True, "row 5, value: a whole number is wanted, not true."),
    ("build.measurements.4.value", 2**53, "row 5, value: 9007199254740992 is not between"),
    ("build.measurements.4.unit", "mg", "In build, measurements, row 5: what it says cannot all be true at once."),
    ("build.dimensions.0.key", "bore", "In build, dimensions: back_to_back is missing."),
    ("build.dimensions.2.nm", 3_000_000_000, "In build, dimensions, bore: The bore must be smaller than the boss"),
    ("build.castings.0.truings.0.rounds.0.readings.3", KeyError, "truings, row 1, rounds, row 1: All the readings lie"),
    ("build.castings.0.truings.0.rounds.0.readings.3.nm", KeyError, "rounds, row 1: a round with a dial has"),
    ("build.castings.0.truings.0.rounds.1.readings.1", KeyError, "rounds, row 2: a look by eye has two readings"),
    ("build.axles.0.number", 2, "In build, axles: they are not numbered from 1, each once."),
    ("build.axles", [], "In build, axles: they are not numbered from 1, each once."),
    ("build.axles", {}, "In build, axles: a list is wanted, not a row."),
    ("workshop.reamers.0.permanent_id", "R1", "In workshop, reamers, row 1, permanent_id: “R1” is not written"),
)  # fmt: skip


@pytest.mark.parametrize(("path", "value", "sentence"), WRONG)
def test_what_is_wrong_is_said_with_its_place(
    rich: Document, other: Db, path: str, value: object, sentence: str
) -> None:
    document = deepcopy(rich)
    _set(path, value)(document)
    with closing(connect(other.path)) as connection:
        before = list(connection.iterdump())
        with pytest.raises(Unreadable) as refused:
            taken_in(other, read_document(_text(document)))
        assert sentence in refused.value.sentence
        assert list(connection.iterdump()) == before


NO_DOCUMENTS: tuple[tuple[bytes, str], ...] = (
    (b"", "line 1, column 1"),
    (b"\xff\xfe{", "no text in UTF-8"),
    (b"[]", "does not begin with the format"),
    (b"7", "does not begin with the format"),
    (b'{"format": "another"}', "does not begin with the format"),
    (b'{"format": "spokeshed build", "version": 1, "version": 1}', "“version” stands twice"),
    (b'{"format": "spokeshed build", "version": NaN}', "NaN is no whole number"),
    (b'{"format": "spokeshed build", "version": -Infinity}', "-Infinity is no whole number"),
    (b'{"format": "spokeshed build", "version": 1.5}', "1.5 is no whole number"),
    (b'{"format": "spokeshed build", "version": 1e400}', "1e400 is no whole number"),
    (b'{"format": "spokeshed build", "version": ' + b"9" * 5000 + b"}", "larger than anything"),
    (b"[" * 500_000, "more than 400000 rows and lists"),
    (b"[" * 200_000, "lists in lists without end"),
    (b'{"a":' * 200_000, "lists in lists without end"),
    (b'{"format": "spokeshed build", "version": 1}', "In the document: build is missing."),
    (b'{"format": "spokeshed build", "version": 1,', "no JSON at line 1"),
)  # fmt: skip


@pytest.mark.parametrize(("content", "sentence"), NO_DOCUMENTS, ids=range(len(NO_DOCUMENTS)))
def test_what_is_no_document(content: bytes, sentence: str) -> None:
    with pytest.raises(Unreadable) as refused:
        read_document(content)
    assert sentence in refused.value.sentence
    assert len(refused.value.sentence) < 200


def test_a_byte_order_mark_does_no_harm(rich: Document) -> None:
    assert read_document(b"\xef\xbb\xbf" + _text(rich)) == rich


def test_a_document_of_version_1_is_read_as_painted_last(other: Db) -> None:
    """It was written by the program as it was then, and lies beside this test."""
    content = Path(__file__).with_name("version_1.json").read_bytes()
    assert json.loads(content)["version"] == 1
    document = read_document(content)
    assert document["build"]["paint_first"] is False
    own = taken_in(other, document)
    with other.read() as session:
        found = document_of(session, own)["build"]
    assert (found["route"], found["paint_first"]) == ("mandrel_first", False)
    castings = [{**one, "pattern": 1, "settings": []} for one in json.loads(content)["build"]["castings"]]
    assert found["castings"] == castings


def test_a_document_of_version_2_gets_patterns_as_its_axles_are(other: Db) -> None:
    """One carrying and one coupled axle, written by the program before there were patterns of wheel."""
    content = Path(__file__).with_name("version_2.json").read_bytes()
    before = json.loads(content)
    assert before["version"] == 2
    assert [one["coupled"] for one in before["build"]["axles"]] == [False, True]
    own = taken_in(other, read_document(content))
    with other.read() as session:
        build, found = find_build(session, own), document_of(session, own)["build"]
    driving, carrying = build.patterns
    assert (driving.name, carrying.name) == ("Driving wheels", "Carrying wheels")
    assert [build.pattern_of(axle).name for axle in build.axles] == ["Carrying wheels", "Driving wheels"]
    marks = {pattern.name: [c.mark for c in build.of(pattern).castings] for pattern in build.patterns}
    assert marks == {"Carrying wheels": ["W1", "W2"], "Driving wheels": ["W3", "W4", "W5"]}
    figures = {one["key"]: one["nm"] for one in before["build"]["dimensions"]}
    assert {key: length.nm for key, length in build.of(driving).dimensions.items()} == figures
    of_crank = {"throw", "crankpin_hole"}
    assert {key: length.nm for key, length in build.of(carrying).dimensions.items()} == {
        key: nm for key, nm in figures.items() if key not in of_crank
    }
    assert found["work_figures"] == before["build"]["work_figures"]


def test_a_document_of_version_3_has_no_notes_and_nothing_taken_back(other: Db) -> None:
    """Written by the program before finished wheels could be taken back, and before notes and photos."""
    content = Path(__file__).with_name("version_3.json").read_bytes()
    before = json.loads(content)
    assert before["version"] == 3
    assert not {"notes", "taken_back"} & before["build"].keys()
    own = taken_in(other, read_document(content))
    with other.read() as session:
        found = document_of(session, own)["build"]
    assert found == {**before["build"], "notes": [], "taken_back": []}


def test_a_document_of_version_4_has_no_crack(other: Db) -> None:
    """Written by the program before a crack could be noted as a casting came."""
    content = Path(__file__).with_name("version_4.json").read_bytes()
    before = json.loads(content)
    assert before["version"] == 4 and "crack" not in before["build"]["receipts"][0]
    own = taken_in(other, read_document(content))
    with other.read() as session:
        found = document_of(session, own)["build"]
    receipts = [{**one, "crack": False} for one in before["build"]["receipts"]]
    assert found == {**before["build"], "receipts": receipts}


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda build: build["castings"][0].update(pattern=1), "it is of another pattern than its axle"),
        (lambda build: build["patterns"][1].update(kind="driving"), "throw is missing"),
        (lambda build: build.update(patterns=[]), "there is none, and every wheel is of one"),
    ],
)
def test_patterns_that_contradict_the_rest_are_refused(change: Callable[[Any], None], said: str) -> None:
    read = read_document(Path(__file__).with_name("version_2.json").read_bytes())
    change(read["build"])
    with pytest.raises(Unreadable, match=said):
        read_document(_text({**read, "version": VERSION}))


@pytest.mark.parametrize("build", [None, [], "a build"])
def test_a_document_of_version_1_without_a_build_is_refused(build: object) -> None:
    with pytest.raises(Unreadable, match="build"):
        read_document(_text({"format": "spokeshed build", "version": 1, "build": build, "workshop": {}}))


@pytest.mark.parametrize("route", ["front_first", "between_centres"])
def test_the_newer_routes_and_the_paint_go_out_and_come_in(rich: Document, other: Db, route: str) -> None:
    build = {**rich["build"], "route": route, "paint_first": True}
    own = taken_in(other, read_document(_text({**rich, "build": build})))
    with other.read() as session:
        found = document_of(session, own)["build"]
    assert (found["route"], found["paint_first"]) == (route, True)
