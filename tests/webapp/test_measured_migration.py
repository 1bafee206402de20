"""Files from when five tables stood for what was measured: every row is found again, to the nanometre and the letter."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Sequence
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from alembic import command

from webapp import upgrade
from webapp.datafile import APPLICATION_ID
from webapp.db import Db
from webapp.records.builds import load_build
from webapp.records.heights import heights_of
from webapp.settings import MIGRATIONS

Rows = list[tuple[Any, ...]]
READINGS = 200
(_OWN,) = (MIGRATIONS / "versions").glob("*_one_shape_for_what_was_measured.py")
REVISION = _OWN.name.split("_")[0]
BEFORE = upgrade.revisions()[upgrade.revisions().index(REVISION) - 1]

_FIRST = f"""
PRAGMA application_id = {APPLICATION_ID};
INSERT INTO instrument (id, name, kind, reach, resolution_nm, expanded_nm, zero_offset_nm, go_nm, not_go_nm, alpha_ppb,
    note, checked_on, retired, version) VALUES
    (1, 'caliper', 'value', 'both', 10000, 40000, 20000, NULL, NULL, 11500, '', '', 0, 1),
    (2, 'bore gauge', 'value', 'inside', 1000, 4000, -2000, NULL, NULL, 11500, '', '', 1, 3),
    (3, 'plugs', 'plug', 'inside', 0, 2000, 0, 19070000, 19091000, 11500, '', '', 0, 1);
INSERT INTO reamer (id, name, nominal_nm, text, retired) VALUES (1, '19.05 mm', 19050000, '19.05 mm', 0);
"""
_BUILD = """INSERT INTO build (id, name, standard, unit, quarter_angle_udeg, lead, fit, route, iron, invented, version,
    created_at) VALUES (?, ?, 'own', ?, 90000000, 'right', 'bond', 'fitted_first', 'EN-GJL-200', 1, 1, ?)"""
_SIZES = (
    "rim_height",
    "boss_height",
    "boss_proud",
    "tread",
    "rim_most",
    "flange_height",
    "edge_eccentricity",
)


class _Filler:
    """Writes rows as the program of that time did: by plain SQL, the same ones every time."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.chance = random.Random(12)
        self.connection = connection
        self.minute = 0
        self.castings: list[tuple[int, int, int | None]] = []
        self.axles: list[tuple[int, int, int, int]] = []

    def put(self, table: str, **row: object) -> int:
        marks = ", ".join("?" * len(row))
        sql = f"INSERT INTO {table} ({', '.join(row)}) VALUES ({marks})"
        found = self.connection.execute(sql, tuple(row.values())).lastrowid
        assert found is not None
        return found

    def stamp(self) -> dict[str, object]:
        """Who and when; the clock was set back once."""
        self.minute += 1
        at = datetime(2026, 11, 3, 18, tzinfo=UTC) + timedelta(
            minutes=self.minute - (90 if self.minute > 100 else 0), microseconds=self.minute
        )
        return {"who": self.chance.choice(("AB", "CD", "Ω")), "at": at.strftime("%Y-%m-%d %H:%M:%S.%f")}

    def builds(self) -> None:
        for build, unit in ((1, "in"), (2, "mm")):
            self.connection.execute(
                _BUILD, (build, f"Invented engine {build}", unit, "2026-11-01 10:00:00.000000")
            )
            for number in (1, 2, 3):
                axle = self.put("axle", build_id=build, number=number, coupled=number < 3, version=1)
                pair = [self.casting(build, axle, side) for side in ("left", "right")]
                self.axles.append((axle, build, *pair))
            for _ in range(2):
                self.casting(build, None, None)

    def casting(self, build: int, axle: int | None, side: str | None) -> int:
        state = "spare" if axle is None else "in_work"
        mark = f"W{len(self.castings) + 1}"
        own = self.put(
            "casting",
            build_id=build,
            mark=mark,
            state=state,
            axle_id=axle,
            side=side,
            scrap_reason="",
            version=1,
        )
        self.castings.append((own, build, axle))
        return own

    def length(self) -> tuple[int, str]:
        nm = self.chance.randint(-7_000_000, 120_000_000)
        return nm, self.chance.choice(
            (f"{nm / 1e6:.3f}", f"{nm / 25.4e6:.4f} in", f" 3/4 in + {nm} nm ", "17·½ “")
        )

    def unsure(self) -> dict[str, object]:
        tool = self.chance.choice((None, 1, 2))
        return {
            "instrument_id": tool,
            "expanded_nm": None if tool is None else self.chance.randint(1, 90_000),
        }

    def logged(self) -> None:
        """A bore, a throw or a seat: each stands in for the one before of its kind."""
        kind = self.chance.choice(("bore", "throw", "seat"))
        casting, build, _ = self.chance.choice(self.castings)
        axle, axle_build, _, _ = self.chance.choice(self.axles)
        side = self.chance.choice(("left", "right")) if kind == "seat" else None
        of: dict[str, object] = {"build_id": build, "casting_id": casting}
        if kind == "seat":
            of = {"build_id": axle_build, "axle_id": axle, "side": side}
        before = self.connection.execute(
            "SELECT max(id) FROM measurement WHERE kind = ? AND casting_id IS ? AND axle_id IS ? AND side IS ?",
            (kind, of.get("casting_id"), of.get("axle_id"), side),
        ).fetchone()[0]
        how: dict[str, object] = {"mean_nm": self.length()[0], **self.unsure(), "by_plug": False}
        if kind == "bore" and self.chance.random() < 0.5:
            low, high = self.chance.choice(((19_070_000, 19_091_001), (None, 19_070_000), (19_091_000, None)))
            ends = [end for end in (low, high) if end is not None]
            how = {
                "mean_nm": sum(ends) // len(ends),
                "by_plug": True,
                "low_nm": low,
                "high_nm": high,
                "instrument_id": 3,
            }
        if kind == "bore":
            how["reamer_id"] = self.chance.choice((None, 1))
        if kind == "throw" and self.chance.random() < 0.5:
            how |= {"plug_one_nm": 19_050_000, "plug_two_nm": 9_525_001}
        if self.chance.random() < 0.5:
            how |= {"work_dc": self.chance.randint(100, 300), "gauge_dc": 200}
        name = self.chance.choice(("", "bore gauge", "a friend's"))
        own = self.put(
            "measurement", kind=kind, **of, **how, instrument=name, supersedes_id=before, **self.stamp()
        )
        for ordinal in range(1, 0 if how["by_plug"] else self.chance.randint(2, 7)):
            nm, text = self.length()
            place = self.chance.choice((None, "front", "back"))
            way = None if place is None else self.chance.choice(("first", "second"))
            self.put(
                "reading", measurement_id=own, ordinal=ordinal, nm=nm, text=text, place=place, direction=way
            )

    def size(self) -> None:
        """A size after a cut, or one that was misread and is put right."""
        casting, build, _ = self.chance.choice(self.castings)
        axle, axle_build, _, _ = self.chance.choice(self.axles)
        of_axle = self.chance.random() < 0.2
        of: dict[str, object] = {"build_id": build, "casting_id": casting}
        if of_axle:
            of = {"build_id": axle_build, "axle_id": axle}
        key = "back_to_back" if of_axle else self.chance.choice(_SIZES)
        nm, text = self.length()
        before = self.connection.execute(
            "SELECT max(id) FROM size WHERE key = ? AND casting_id IS ? AND axle_id IS ?",
            (key, of.get("casting_id"), of.get("axle_id")),
        ).fetchone()[0]
        misread = before if self.chance.random() < 0.5 else None
        self.put(
            "size", **of, key=key, nm=nm, text=text, **self.unsure(), supersedes_id=misread, **self.stamp()
        )

    def receipt(self) -> None:
        casting, build, _ = self.chance.choice(self.castings)
        weight = self.chance.choice(((None, ""), (920_533, "2.03 lb"), (1, "1 mg")))
        stamp = self.stamp()
        own = self.put(
            "receipt", build_id=build, casting_id=casting, weight_mg=weight[0], weight_text=weight[1],
            blowhole=self.chance.random() < 0.5, chill=True, shift=False, note=self.chance.choice(("", "hard")), **stamp,
        )  # fmt: skip
        for key in self.chance.sample(_SIZES, 3):
            nm, text = self.length()
            self.put(
                "size", build_id=build, casting_id=casting, key=key, nm=nm, text=text, receipt_id=own, **stamp
            )

    def heights(self) -> None:
        axle, build, left, right = self.chance.choice(self.axles)
        if self.chance.random() < 0.2:
            # As found with a wheel that is not on the axle any more.
            left = next(own for own, of, at in self.castings if of == build and at is None)
        row: dict[str, object] = {"inside_text": "", "inside_throw_text": ""}
        for place in ("centre", "left", "right", *(("inside",) if self.chance.random() < 0.3 else ())):
            row[f"{place}_nm"], row[f"{place}_text"] = self.length()
            if place != "centre":
                row[f"{place}_branch"] = self.chance.choice(("front", "rear"))
        if "inside_nm" in row and self.chance.random() < 0.7:
            row["inside_throw_nm"], row["inside_throw_text"] = self.length()
        self.put(
            "quarter_heights", build_id=build, axle_id=axle, left_casting_id=left, right_casting_id=right,
            **row, **self.unsure(), **self.stamp(),
        )  # fmt: skip

    def dial(self) -> None:
        casting, _, _ = self.chance.choice(self.castings)
        truing = self.put(
            "truing", casting_id=casting, outward="back", surface="inside", grip="on_outside", dial_unit="in",
            division_nm=25_400, tolerance_nm=101_600, counts_up=True, done=False, **self.stamp(),
        )  # fmt: skip
        own = self.put("truing_round", truing_id=truing, kind="radial", struck_out=False, **self.stamp())
        for ordinal in (1, 2, 3, 4):
            self.put(
                "dial_reading",
                round_id=own,
                ordinal=ordinal,
                angle_udeg=ordinal,
                nm=25_400 * ordinal,
                text="1",
            )

    def rod(self) -> None:
        axle, build, _, _ = self.chance.choice(self.axles)
        key = f"clearance {self.minute}"
        nm, text = self.length()
        self.put("rod_figure", axle_id=axle, side="left", key=key, build_id=build, nm=nm, text=text)
        self.minute += 1


def _migrate(path: Path, revision: str) -> None:
    engine = upgrade._engine(path)
    with engine.begin() as connection:
        command.upgrade(upgrade._config(connection), revision)
    engine.dispose()


@pytest.fixture(scope="module")
def old(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file at the tables before, with two builds and two hundred readings of every kind."""
    path = tmp_path_factory.mktemp("old") / "spokeshed.db"
    path.touch()
    _migrate(path, BEFORE)
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(_FIRST)
        filler = _Filler(connection)
        filler.builds()
        ways = (filler.logged, filler.size, filler.receipt, filler.heights, filler.dial, filler.rod)
        for number in range(READINGS):
            filler.chance.choices(ways, (8, 8, 3, 4, 1, 1))[0]()
            filler.put(
                "journal_line", build_id=1, kind="size", sentence=f"Line {number}.", device="d", page="/", version=1,
                **filler.stamp(),
            )  # fmt: skip
        connection.commit()
    return path


@pytest.fixture
def pair(old: Path, tmp_path: Path) -> tuple[Path, Path]:
    """The file as it was, and a copy of it brought to the tables after."""
    new = tmp_path / "spokeshed.db"
    new.write_bytes(old.read_bytes())
    _migrate(new, REVISION)
    return old, new


def _rows(path: Path, sql: str) -> Rows:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(sql).fetchall()


def _places(rows: Sequence[tuple[Any, ...]]) -> Rows:
    """Rows whose first column is an id and whose last names another row's: both as places in the list."""
    places = {row[0]: place for place, row in enumerate(rows)}
    return [(*row[1:-1], None if row[-1] is None else places[row[-1]]) for row in rows]


def test_the_old_file_has_something_of_everything(old: Path) -> None:
    """What the comparisons below would not miss if it were never there."""
    for sql in (
        *(f"SELECT id FROM measurement WHERE kind = '{kind}'" for kind in ("bore", "throw", "seat")),
        "SELECT a.id FROM measurement a JOIN measurement b ON b.supersedes_id = a.id WHERE a.supersedes_id IS NOT NULL",
        "SELECT id FROM measurement WHERE by_plug AND low_nm IS NULL",
        "SELECT id FROM measurement WHERE by_plug AND low_nm + high_nm > 0",
        "SELECT id FROM measurement WHERE plug_one_nm IS NOT NULL AND work_dc IS NOT NULL",
        "SELECT id FROM measurement WHERE reamer_id IS NOT NULL AND instrument_id IS NOT NULL AND expanded_nm IS NOT NULL",
        "SELECT measurement_id FROM reading WHERE ordinal > 4 AND place IS NOT NULL",
        "SELECT id FROM size WHERE axle_id IS NOT NULL AND supersedes_id IS NOT NULL",
        "SELECT a.id FROM size a JOIN size b ON b.supersedes_id = a.id WHERE a.supersedes_id IS NOT NULL",
        "SELECT id FROM size WHERE receipt_id IS NOT NULL",
        "SELECT id FROM size WHERE nm < 0",
        "SELECT id FROM quarter_heights WHERE inside_nm IS NOT NULL AND inside_throw_nm IS NULL",
        "SELECT id FROM quarter_heights WHERE inside_throw_nm IS NOT NULL",
        "SELECT id FROM receipt WHERE weight_mg IS NULL",
        "SELECT id FROM receipt WHERE weight_mg IS NOT NULL",
        "SELECT a.id FROM size a JOIN size b ON a.id < b.id AND a.at > b.at",
    ):
        assert len(_rows(old, sql)) > 0, sql
    every = sum(
        len(_rows(old, f"SELECT 1 FROM {table}"))
        for table in ("measurement", "size", "quarter_heights", "truing_round", "rod_figure")
    )
    assert every >= READINGS


def test_bores_throws_and_seats(pair: tuple[Path, Path]) -> None:
    old, new = pair
    same = "id, build_id, kind, casting_id, axle_id, side, {}, instrument, instrument_id, reamer_id, work_dc, gauge_dc,"
    same += " plug_one_nm, plug_two_nm, who, at, supersedes_id"
    was = _rows(
        old,
        f"SELECT {same.format('mean_nm, by_plug, low_nm, high_nm, expanded_nm')} FROM measurement ORDER BY id",
    )
    middle = (
        "coalesce(value, (coalesce(low, high) + coalesce(high, low)) / 2), value IS NULL, low, high, expanded"
    )
    now = _rows(
        new,
        f"SELECT {same.format(middle)} FROM measurement WHERE kind IN ('bore', 'throw', 'seat') ORDER BY id",
    )
    assert now == was


def test_their_readings(pair: tuple[Path, Path]) -> None:
    old, new = pair
    was = _rows(old, "SELECT measurement_id, ordinal, nm, text, place, direction FROM reading ORDER BY 1, 2")
    now = _rows(
        new,
        "SELECT measurement_id, ordinal, r.value, text, place, direction FROM reading r JOIN measurement m"
        " ON m.id = measurement_id WHERE kind IN ('bore', 'throw', 'seat') ORDER BY 1, 2",
    )
    assert now == was


def test_sizes(pair: tuple[Path, Path]) -> None:
    old, new = pair
    was = _rows(
        old,
        "SELECT id, build_id, casting_id, axle_id, key, nm, text, receipt_id, instrument_id, expanded_nm, who, at,"
        " supersedes_id FROM size ORDER BY id",
    )
    now = _rows(
        new,
        "SELECT id, build_id, casting_id, axle_id, kind, m.value, text, receipt_id, instrument_id, expanded, who, at,"
        " supersedes_id FROM measurement m JOIN reading ON id = measurement_id"
        " WHERE kind NOT IN ('bore', 'throw', 'seat', 'weight', 'pin_heights') ORDER BY id",
    )
    assert _places(now) == _places(was)


def test_heights(pair: tuple[Path, Path]) -> None:
    old, new = pair
    row = "build_id, axle_id, left_casting_id, right_casting_id, {}, instrument_id, who, at"
    was = _rows(old, f"SELECT {row.format('expanded_nm')} FROM quarter_heights ORDER BY id")
    heights = "FROM measurement WHERE kind = 'pin_heights' ORDER BY id"
    assert _rows(new, f"SELECT {row.format('expanded')} {heights}") == was
    assert {unit for (unit,) in _rows(new, f"SELECT unit {heights}")} == {"nm"}
    places = ("centre", "left", "right", "inside", "inside_throw")
    branch = {"left": "left_branch", "right": "right_branch", "inside": "inside_branch"}
    for place in places:
        was = _rows(
            old,
            f"SELECT {place}_nm, {place}_text, {branch.get(place, 'NULL')} FROM quarter_heights ORDER BY id",
        )
        now = _rows(
            new,
            "SELECT r.value, coalesce(text, ''), direction FROM measurement m LEFT JOIN reading r"
            f" ON r.measurement_id = m.id AND r.place = '{place}' WHERE kind = 'pin_heights' ORDER BY m.id",
        )
        assert now == was, place


def test_receipts_and_weights(pair: tuple[Path, Path]) -> None:
    old, new = pair
    row = "r.id, r.build_id, r.casting_id, {}, blowhole, chill, shift, note, r.who, r.at"
    was = _rows(old, f"SELECT {row.format('weight_mg, weight_text')} FROM receipt r ORDER BY id")
    weighed = row.format("m.value, coalesce(text, '')")
    now = _rows(
        new,
        f"SELECT {weighed} FROM receipt r LEFT JOIN measurement m ON m.receipt_id = r.id AND m.unit = 'mg'"
        " AND m.kind = 'weight' AND m.casting_id = r.casting_id AND m.who = r.who AND m.at = r.at"
        " LEFT JOIN reading ON m.id = measurement_id ORDER BY r.id",
    )
    assert now == was


def test_nothing_is_there_that_was_not(pair: tuple[Path, Path]) -> None:
    old, new = pair
    count = (
        "SELECT (SELECT count(*) FROM measurement) + (SELECT count(*) FROM {}) + (SELECT count(*) FROM {})"
    )
    weights = "SELECT count(*) FROM receipt WHERE weight_mg IS NOT NULL"
    (was,), (weighed,) = _rows(old, count.format("size", "quarter_heights"))[0], _rows(old, weights)[0]
    assert _rows(new, "SELECT count(*) FROM measurement") == [(was + weighed,)]
    untouched = (
        "truing",
        "truing_round",
        "dial_reading",
        "rod_figure",
        "journal_line",
        "casting",
        "axle",
        "instrument",
    )
    for table in untouched:
        assert _rows(new, f"SELECT * FROM {table} ORDER BY 1, 2") == _rows(
            old, f"SELECT * FROM {table} ORDER BY 1, 2"
        )
    left = {name for (name,) in _rows(new, "SELECT name FROM sqlite_master WHERE type = 'table'")}
    assert not left & {"size", "quarter_heights", "old_measurement", "old_reading"}


def test_the_journal_is_still_append_only(pair: tuple[Path, Path]) -> None:
    _, new = pair
    for sql in ("UPDATE journal_line SET sentence = ''", "DELETE FROM journal_line"):
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            _rows(new, sql)


def test_the_program_opens_it_and_shows_what_stood(old: Path, tmp_path: Path) -> None:
    """By the rules of the tables before: corrected counts for nothing, the last stands, rough sizes come first."""
    path = tmp_path / "spokeshed.db"
    path.write_bytes(old.read_bytes())
    upgrade.prepare(path)
    db = Db(path)
    for build_id in (1, 2):
        with db.read() as session:
            build, heights = load_build(session, build_id), heights_of(session, build_id)
        assert build is not None
        logged = _rows(
            old,
            "SELECT kind, coalesce(casting_id, axle_id), side, mean_nm, id FROM measurement m WHERE NOT EXISTS"
            f" (SELECT 1 FROM measurement WHERE supersedes_id = m.id) AND build_id = {build_id}",
        )
        found = [
            (m.kind, c.id, None, m.mean_nm, m.id) for c in build.castings for m in (c.bore, c.throw) if m
        ]
        found += [("seat", a.id, side, m.mean_nm, m.id) for a in build.axles for side, m in a.seats.items()]
        assert sorted(map(str, found)) == sorted(map(str, logged))
        last = _rows(
            old,
            f"SELECT casting_id, max(id), weight_mg, weight_text FROM receipt WHERE build_id = {build_id} GROUP BY 1",
        )
        receipts = {c.id: c.receipt for c in build.castings if c.receipt}
        weights = [(own, one.id, one.weight_mg, one.weight_text) for own, one in receipts.items()]
        assert sorted(weights) == sorted(last)
        standing = tuple(receipt for _, receipt, _, _ in last)
        sizes: dict[tuple[str, int, str], tuple[Any, ...]] = {}
        rough: dict[tuple[int, str], tuple[Any, ...]] = {}
        for casting, axle, key, receipt, *size in _rows(
            old,
            "SELECT casting_id, axle_id, key, receipt_id, nm, text, who, instrument_id, expanded_nm FROM size s"
            f" WHERE build_id = {build_id} AND NOT EXISTS (SELECT 1 FROM size WHERE supersedes_id = s.id)"
            " ORDER BY receipt_id IS NULL, id",
        ):
            if receipt is not None and receipt not in standing:
                continue
            sizes["axle" if casting is None else "casting", axle or casting, key] = tuple(size)
            if receipt is not None:
                rough[casting, key] = tuple(size)
        shown = {("casting", c.id): c.sizes for c in build.castings}
        shown |= {("axle", a.id): a.sizes for a in build.axles}
        assert sizes == {
            (*of, key): (m.nm, m.text, m.who, m.instrument_id, m.expanded_nm)
            for of, by_key in shown.items()
            for key, m in by_key.items()
        }
        assert rough == {
            (own, key): (m.nm, m.text, m.who, m.instrument_id, m.expanded_nm)
            for own, receipt in receipts.items()
            for key, m in receipt.sizes.items()
        }
        pairs = {a.id: (a.left and a.left.id, a.right and a.right.id) for a in build.axles}
        stood = {}
        for axle, left, right, *figures in _rows(
            old,
            "SELECT axle_id, left_casting_id, right_casting_id, centre_nm, centre_text, left_nm, left_branch, right_nm,"
            f" right_branch, inside_nm, inside_throw_nm, expanded_nm, who FROM quarter_heights WHERE build_id = {build_id}"
            " ORDER BY id",
        ):
            if pairs[axle] == (left, right):
                stood[axle] = tuple(figures)
        assert stood == {
            axle: (
                h.centre.nm, h.centre.text, h.left.height.nm, h.left.branch, h.right.height.nm, h.right.branch,
                h.inside and h.inside.height.nm, h.inside_throw and h.inside_throw.nm, h.expanded_nm, h.who,
            )
            for axle, h in heights.items()
        }  # fmt: skip
    db.close()
