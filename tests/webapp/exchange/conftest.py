"""Builds to be exported: both invented ones, with a row of everything added that a document can hold."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from random import Random
from sqlite3 import Connection, connect
from typing import Any

import pytest
from sqlmodel import SQLModel

from tests.webapp.facts.conftest import demo_file  # noqa: F401
from tests.webapp.facts.random_joints import scatter
from tests.webapp.photos import jpeg
from webapp.db import Db
from webapp.exchange.storing import store
from webapp.exchange.writing import document_of
from webapp.models import UtcDateTime
from webapp.typed.photos import small_of, taken

Document = dict[str, Any]
_TEXTS = (
    "plain",
    "ünïcödé “½”",
    "=cmd|' /C calc'!A0",
    'a "quoted", comma',
    "two\nlines",
    "-19.05",
    "😀 \u200d x",
)


def put(connection: Connection, table: str, **row: object) -> int:
    """A row straight into the data file; its id."""
    marks = ", ".join("?" * len(row))
    sql = f"INSERT INTO {table} ({', '.join(row)}) VALUES ({marks})"
    found = connection.execute(sql, tuple(row.values())).lastrowid
    assert found is not None
    return found


def enrich(path: Path, seed: int) -> None:
    """Give the first build rows of every list, with odd texts and times, and an axle that was taken out."""
    chance = Random(seed)
    with closing(connect(path)) as connection, connection:
        connection.execute("PRAGMA foreign_keys = ON")
        _Richer(connection, chance).all()


class _Richer:
    def __init__(self, connection: Connection, chance: Random) -> None:
        self.connection, self.chance = connection, chance
        rows = connection.execute("SELECT id FROM casting WHERE build_id = 1 ORDER BY id").fetchall()
        self.castings = [own for (own,) in rows]
        self.axles = [own for (own,) in connection.execute("SELECT id FROM axle WHERE build_id = 1")]

    def stamp(self) -> dict[str, object]:
        day, part = self.chance.randint(10, 28), self.chance.choice(("000000", "123456", "000001", "900000"))
        return {"who": self.chance.choice(("AB", "Ω")), "at": f"2026-11-{day} 18:00:00.{part}"}

    def times(self, table: str) -> dict[str, object]:
        """Every time that a row of a table may have besides the one it always has."""
        columns = SQLModel.metadata.tables[table].columns
        return {
            one.name: self.stamp()["at"]
            for one in columns
            if isinstance(one.type, UtcDateTime) and one.nullable
        }

    def text(self) -> str:
        return self.chance.choice(_TEXTS)

    def all(self) -> None:
        tools = self._tools()
        for _ in range(self.chance.randint(1, 3)):
            self._measured(*tools)
        self._heights(tools[0])
        self._axles_that_are_gone()
        pairing = put(self.connection, "pairing", build_id=1, undone_by="CD", **self.stamp())
        for casting in self.castings[:2]:
            put(
                self.connection, "pairing_move", pairing_id=pairing, casting_id=casting,
                from_axle_id=self.gone, from_side="left", to_axle_id=self.axles[0], to_side="right",
            )  # fmt: skip
        batch = put(
            self.connection, "work_batch", build_id=1, key="back_out", words=self.text(), ended=True, **self.stamp()
        )  # fmt: skip
        put(
            self.connection,
            "work_batch_wheel",
            batch_id=batch,
            ordinal=1,
            casting_id=self.castings[0],
            passed=True,
        )
        stub = put(
            self.connection, "stub", build_id=1, pattern_id=1, hold="bond", nm=19_045_000, text="19.045", swing_nm=20_000,
            swing_text=self.text(), put_back=True, dial_text=self.text(), ended=False, **self.stamp(),
        )  # fmt: skip
        put(
            self.connection, "stub_turn", stub_id=stub, casting_id=self.castings[0], on_at=self.stamp()["at"],
            on_by="AB", untimed=True, off_by="CD", **self.times("stub_turn"),
        )  # fmt: skip
        put(self.connection, "work_figure", build_id=1, key="face_allowance", text=self.text())
        put(
            self.connection, "rod_figure", axle_id=self.axles[0], side="left", key="centres", build_id=1, nm=120_000_000,
            text="120 mm",
        )  # fmt: skip
        for number, put_on in enumerate(({"on_who": "AB"}, {}), start=1):
            put(
                self.connection, "axle_item", axle_id=self.axles[0], name=f"{number} {self.text()}", kind="other",
                along="middle", split=not put_on, width_nm=12_700_000 if put_on else None,
                width_text=self.text() if put_on else None, **put_on, **(self.times("axle_item") if put_on else {}),
            )  # fmt: skip
        self.connection.execute("UPDATE axle SET centred = 1 WHERE id = ?", (self.axles[0],))
        measured = self.connection.execute("SELECT max(id) FROM measurement WHERE build_id = 1").fetchone()[0]
        life = put(
            self.connection, "taken_back", build_id=1, out_on="2026-11-28", service=self.text(), nm=125_000_000,
            text="125", measured_to_id=measured, **self.stamp(),
        )  # fmt: skip
        put(
            self.connection, "taken_back_tick", taken_back_id=life, casting_id=self.castings[0], key="painted",
            let_pass=self.text(), reason=self.text(), **self.stamp(), **self.times("taken_back_tick"),
        )  # fmt: skip
        self._truing()
        put(
            self.connection, "stroke_count", casting_id=self.castings[1], wanted=9, width_text=self.text(), feed_text="",
            done=0, depth_text="", cut_text="", closed=True, **self.stamp(),
        )  # fmt: skip
        for value, unit in ((110_000, "milli_per_min"), (None, None)):
            put(
                self.connection, "setting", casting_id=self.castings[1], operation="ream_bore", key="spindle",
                text=self.text(), value=value, unit=unit, **self.stamp(),
            )  # fmt: skip
        for of in ({"casting_id": self.castings[0]}, {"axle_id": self.axles[0], "stage": "bored"}):
            note = put(self.connection, "note", build_id=1, words=self.text(), **of, **self.stamp())
            picture = taken(jpeg(self.chance.randint(1, 900), 300))
            put(self.connection, "photo", note_id=note, small=small_of(picture.jpeg), jpeg=picture.jpeg)
        put(
            self.connection, "tick", casting_id=self.castings[-1], key="received", let_pass=self.text(),
            reason=self.text(), **self.stamp(), **self.times("tick"),
        )  # fmt: skip

    def _tools(self) -> tuple[int, int]:
        own = self.chance.randint(0, 10**6)
        plug = put(
            self.connection, "instrument", name=f"plugs {own} {self.text()}", kind="plug", reach="inside",
            resolution_nm=0, expanded_nm=2_000, zero_offset_nm=-5, go_nm=19_070_000, not_go_nm=19_091_000,
            alpha_ppb=11_500, note=self.text(), checked_on="2026-01-02", retired=True, version=4,
        )  # fmt: skip
        reamer = put(
            self.connection, "reamer", name=f"R {own}", nominal_nm=19_050_000, text="19.05", retired=False
        )
        return plug, reamer

    def _measured(self, plug: int, reamer: int) -> None:
        casting = self.chance.choice(self.castings)
        receipt = put(
            self.connection, "receipt", build_id=1, casting_id=casting, blowhole=True, chill=False, shift=True,
            note=self.text(), **self.stamp(),
        )  # fmt: skip
        of: dict[str, object] = {"build_id": 1, "instrument": self.text(), "instrument_id": plug}
        put(
            self.connection, "measurement", casting_id=casting, kind="weight", unit="mg", value=900_001,
            receipt_id=receipt, **of, **self.stamp(),
        )  # fmt: skip
        misread = put(
            self.connection, "measurement", casting_id=casting, kind="bore", unit="nm", low=19_070_000,
            reamer_id=reamer, work_dc=215, gauge_dc=-30, **of, **self.stamp(),
        )  # fmt: skip
        struck = {
            "struck_out_why": self.text(),
            "struck_out_by": "CD",
            "struck_out_at": "2026-11-29 01:00:00.000000",
        }
        for more in (struck, {}):
            right = put(
                self.connection, "measurement", casting_id=casting, kind="bore", unit="nm", high=19_091_000,
                supersedes_id=misread, **of, **more, **self.stamp(),
            )  # fmt: skip
        put(
            self.connection, "measurement", casting_id=casting, kind="throw", unit="nm", value=-28_000_001, expanded=7,
            plug_one_nm=19_050_000, plug_two_nm=9_525_000, supersedes_id=None, **of, **self.stamp(),
        )  # fmt: skip
        for ordinal, value in ((1, None), (2, -5)):
            put(
                self.connection, "reading", measurement_id=right, ordinal=ordinal, value=value, text=self.text(),
                place=None if value is None else "front", direction=None if value is None else "first",
            )  # fmt: skip

    def _heights(self, plug: int) -> None:
        pair = self.connection.execute(
            "SELECT axle_id, min(CASE side WHEN 'left' THEN id END), min(CASE side WHEN 'right' THEN id END)"
            " FROM casting WHERE axle_id = ? GROUP BY axle_id",
            (self.axles[0],),
        ).fetchone()
        own = put(
            self.connection, "measurement", build_id=1, axle_id=pair[0], left_casting_id=pair[1],
            right_casting_id=pair[2], kind="pin_heights", unit="nm", expanded=3_000, instrument="", instrument_id=plug,
            **self.stamp(),
        )  # fmt: skip
        for ordinal, (place, way) in enumerate(
            (("centre", None), ("left", "rear"), ("right", "front")), start=1
        ):
            put(
                self.connection, "reading", measurement_id=own, ordinal=ordinal, value=60_000_000 + ordinal, text="60",
                place=place, direction=way,
            )  # fmt: skip

    def _axles_that_are_gone(self) -> None:
        """As `redraw` takes an axle out: what was measured of it goes with it, the journal remembers."""
        for number in (91, 92):
            self.gone = put(self.connection, "axle", build_id=1, number=number, pattern_id=1, version=3)
            put(
                self.connection, "journal_line", build_id=1, axle_id=self.gone, kind="seat", sentence=self.text(),
                device="device-7", page="page-7", version=2, **self.stamp(), **self.times("journal_line"),
            )  # fmt: skip
            self.connection.execute("DELETE FROM axle WHERE id = ?", (self.gone,))
        scrapped = self.connection.execute("SELECT id FROM casting WHERE state = 'scrapped'").fetchone()
        assert scrapped is not None

    def _truing(self) -> None:
        dial: dict[str, object] = {
            "dial_unit": "in",
            "division_nm": 25_400,
            "tolerance_nm": 50_800,
            "screw_nm": 2_000_000,
        }
        truing = put(
            self.connection, "truing", casting_id=self.castings[0], outward="front", surface="outside",
            grip="on_outside", counts_up=False, done=True, **dial, **self.stamp(),
        )  # fmt: skip
        for kind, nm in (("face", -25_400), ("eye", None)):
            own = put(
                self.connection, "truing_round", truing_id=truing, kind=kind, radius_nm=None if nm is None else 50_000_000,
                struck_out=nm is None, **self.stamp(),
            )  # fmt: skip
            for ordinal, quarter in enumerate((0, 1, 2, 3) if nm else (0, 2), start=1):
                put(
                    self.connection, "dial_reading", round_id=own, ordinal=ordinal, angle_udeg=90_000_000 * quarter,
                    nm=nm and nm * quarter, text=self.text(),
                )  # fmt: skip


@pytest.fixture(scope="session")
def rich_file(tmp_path_factory: pytest.TempPathFactory, demo_file: Path) -> Path:  # noqa: F811
    """A data file whose first build has rows of every list; copied, never opened."""
    path = tmp_path_factory.mktemp("rich") / "rich.db"
    shutil.copy(demo_file, path)
    enrich(path, 13)
    return path


@pytest.fixture(scope="session")
def rich(rich_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Document:
    """The document of the build that has rows of every list."""
    return exported(rich_file, tmp_path_factory.mktemp("rich export"))


def exported(file: Path, folder: Path, build: int = 1) -> Document:
    """A build's document, of a copy of the file."""
    path = folder / "exported.db"
    shutil.copy(file, path)
    db = Db(path)
    with db.read() as session:
        found = document_of(session, build)
    db.close()
    return found


@pytest.fixture
def random_file(tmp_path: Path, demo_file: Path) -> Callable[[int], Path]:  # noqa: F811
    """Makes another data file for each seed: other fits, bores, seats and figures, other rows of everything."""

    def made(seed: int) -> Path:
        path = tmp_path / f"random-{seed}.db"
        shutil.copy(demo_file, path)
        scatter(path, seed)
        enrich(path, seed)
        return path

    return made


@pytest.fixture
def other(tmp_path: Path, empty_file: Path) -> Iterator[Db]:
    """Another machine's data file, which has seen other builds before: its row ids are not those of the first."""
    path = tmp_path / "other.db"
    shutil.copy(empty_file, path)
    with closing(connect(path)) as connection, connection:
        for own in (1, 2, 3):
            put(
                connection, "build", name="Another", standard="ibls-5", unit="mm", quarter_angle_udeg=90_000_000,
                lead="left", fit="bond", route="fitted_first", iron="en-gjl-200", invented=0, version=1,
                created_at="2026-01-01 10:00:00.000000",
            )  # fmt: skip
            pattern = put(connection, "pattern", build_id=own, name="Driving wheels", kind="driving")
            put(connection, "axle", build_id=own, pattern_id=pattern, number=1, version=1)
            put(
                connection,
                "casting",
                build_id=own,
                pattern_id=pattern,
                mark="W1",
                state="spare",
                scrap_reason="",
                version=1,
            )
        put(
            connection, "journal_line", build_id=1, kind="start", sentence="Started.", device="d", page="", version=1,
            who="AB", at="2026-01-01 10:00:00.000000",
        )  # fmt: skip
    db = Db(path)
    yield db
    db.close()


def taken_in(db: Db, document: Document, *, as_copy: bool = False) -> int:
    """Store a document; the build's id."""
    with db.write() as session:
        return store(session, document, as_copy=as_copy)
