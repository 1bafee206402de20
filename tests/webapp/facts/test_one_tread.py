"""Whatever a tread, a flange or a gauge is asked on, the same wheel is out: read off every sheet through HTTP."""

from __future__ import annotations

import random
import re
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from domain.route.stages import Stage
from domain.treads.judging import TreadFigure
from tests.webapp.facts.test_one_truth import at_least_as_bad, line_of
from tests.webapp.scenes import Words, unfolded
from webapp.app import create_app
from webapp.db import Db
from webapp.demo.set import NAME as SET
from webapp.facts.treads import KEYS
from webapp.records.builds import load_build
from webapp.records.views import BuildView, CastingView
from webapp.settings import Settings

ORIGIN = "http://127.0.0.1:8730"
IN = 25_400_000
NAMES = {figure.value: key for figure, key in KEYS.items()}


@dataclass
class Data:
    """The data file of both invented builds, its sizes turned to something else."""

    connection: sqlite3.Connection

    def size(self, mark: str, kind: str, inches: float, build: str = SET) -> None:
        found = self.connection.execute(
            "UPDATE measurement SET value = ? WHERE kind = ? AND casting_id = (SELECT c.id FROM casting c JOIN build b"
            " ON b.id = c.build_id WHERE c.mark = ? AND b.name = ?)",
            (round(inches * IN), kind, mark, build),
        )
        assert found.rowcount == 1

    def back(self, axle: int, inches: float) -> None:
        found = self.connection.execute(
            "UPDATE measurement SET value = ? WHERE kind = 'back_to_back' AND axle_id = (SELECT a.id FROM axle a JOIN"
            " build b ON b.id = a.build_id WHERE a.number = ? AND b.name = ?)",
            (round(inches * IN), axle, SET),
        )
        assert found.rowcount == 1

    def without_height(self, mark: str) -> None:
        self.connection.execute(
            "UPDATE measurement SET struck_out_at = '2026-01-01 10:00:00.000000', struck_out_by = 'AB',"
            " struck_out_why = 'not so' WHERE kind = 'flange_at' AND casting_id = (SELECT c.id FROM casting c JOIN build b"
            " ON b.id = c.build_id WHERE c.mark = ? AND b.name = ?)",
            (mark, SET),
        )


def as_made(data: Data) -> None:
    """Nothing is out."""


def under(data: Data) -> None:
    """W2 is under the drawing and the five others at it: W2 is the odd one."""
    data.size("W2", "tread", 5.100)


def turned_to_it(data: Data) -> None:
    """W2 was under the drawing and the group was turned to it: nothing is out."""
    for number in range(1, 7):
        data.size(f"W{number}", "tread", 5.100)


def one_left_at_the_drawing(data: Data) -> None:
    """The group was turned to W2, but W5 was forgotten: W5 is out, and W2 is not."""
    turned_to_it(data)
    data.size("W5", "tread", 5.125)


def thick(data: Data) -> None:
    """0.080 in up a flange may be 0.1109 in; and one was measured nobody knows where."""
    data.size("W3", "flange_thickness", 0.115)
    data.without_height("W6")


def high_and_wide(data: Data) -> None:
    data.size("W4", "flange_height", 0.145)
    data.size("W4", "root_radius", 0.09)
    data.size("W1", "rim_height", 0.490)
    data.back(2, 4.73)


def scattered(seed: int) -> Callable[[Data], None]:
    """Sizes about their limits."""

    def scatter(data: Data) -> None:
        chance = random.Random(seed)
        for number in range(1, 7):
            for kind, middle, by in (
                ("tread", 5.12, 0.01),
                ("flange_thickness", 0.111, 0.004),
                ("flange_height", 0.139, 0.003),
                ("root_radius", 0.075, 0.015),
                ("rim_height", 0.506, 0.003),
            ):
                data.size(f"W{number}", kind, middle + chance.uniform(-by, by))
        for axle in (1, 2, 3):
            data.back(axle, 4.697 + chance.uniform(-0.015, 0.015))

    return scatter


# What is out in each, by hand; None where only the sheets are held against each other.
SCENES: dict[str, tuple[Callable[[Data], None], set[tuple[str, str]] | None]] = {
    "as made": (as_made, set()),
    "W2 under the drawing": (under, {("W2", "tread")}),
    "the group turned to W2": (turned_to_it, set()),
    "one left at the drawing": (one_left_at_the_drawing, {("W5", "tread")}),
    "thick": (thick, {("W3", "flange_thickness")}),
    "high and wide": (
        high_and_wide,
        {("W4", "flange_height"), ("W4", "root_radius"), ("W1", "rim_height")},
    ),
    **{f"seed {seed}": (scattered(seed), None) for seed in range(4)},
}


class Sheets:
    """The sheets of a data file, each asked for once."""

    def __init__(self, client: TestClient, db: Db) -> None:
        self.client, self.db = client, db
        self._pages: dict[str, str] = {}

    def page(self, path: str) -> str:
        if path not in self._pages:
            answer = self.client.get(path)
            assert answer.status_code == 200, path
            self._pages[path] = unescape(re.sub(r"\s+", " ", unfolded(self.client, answer.text)))
        return self._pages[path]

    def builds(self) -> Iterator[BuildView]:
        with self.db.read() as session:
            for (build_id,) in session.connection().exec_driver_sql("SELECT id FROM build").fetchall():
                build = load_build(session, build_id)
                assert build is not None
                yield build


@pytest.fixture(params=SCENES, ids=str)
def scene(
    request: pytest.FixtureRequest, tmp_path: Path, demo_file: Path
) -> Iterator[tuple[Sheets, set[tuple[str, str]] | None]]:
    path = tmp_path / "spokeshed.db"
    shutil.copy(demo_file, path)
    change, out = SCENES[request.param]
    with closing(sqlite3.connect(path)) as connection, connection:
        change(Data(connection))
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        client.post("/who", data={"initials": "AB", "back": "/"})
        yield Sheets(client, app.state.db), out
    app.state.db.close()


def between(page: str, start: str, end: str) -> str:
    """The piece of a page from one mark up to the next."""
    assert start in page, start
    return page.partition(start)[2].partition(end)[0]


def named_no_good(words: str) -> set[str]:
    """The figures that a sentence calls no good."""
    return {key for name, key in NAMES.items() if f"{name} no good" in words.lower()}


def on_tread_sheet(sheets: Sheets, casting: CastingView) -> dict[str, str]:
    """Each figure's answer, as it looks."""
    rows = re.findall(
        r'<tr data-answer="(\w+)" id="figure-(\w+)"', sheets.page(f"/castings/{casting.id}/tread")
    )
    assert len(rows) == len(KEYS)
    return {key: look for look, key in rows}


def on_treads_sheet(sheets: Sheets, build: BuildView, casting: CastingView) -> dict[str, str]:
    wheels = between(sheets.page(f"/builds/{build.id}/treads"), 'id="wheels"', "</table>")
    row = between(wheels, f'href="/castings/{casting.id}/tread"', "</tr>")
    looks = re.findall(r'<td data-answer="(\w+)"', row)
    return dict(zip((KEYS[figure] for figure in TreadFigure), looks, strict=True))


def on_set_as_made(sheets: Sheets, build: BuildView, casting: CastingView) -> dict[str, str]:
    rows = re.findall(
        rf'<tr data-answer="(\w+)"> <th><a class="to-row" href="/castings/{casting.id}/tread">([^<]+)</a>',
        sheets.page(f"/builds/{build.id}/made"),
    )
    return {NAMES[name.lower()]: look for look, name in rows}


def on_build_sheet(sheets: Sheets, build: BuildView, who: str) -> set[str]:
    """What the build sheet calls no good of a wheel or an axle."""
    lines = re.findall(
        r'data-state="amiss"[^>]*><strong>Not right: (.*?)</strong>', sheets.page(f"/builds/{build.id}")
    )
    own = rf"{re.escape(who)}(?:, axle \d+ \w+)?: (angle|.+?)(?: [\d.]+ (?:mm|thou|in))? (?:over|under|no good|of .*)"
    return {found[1] for line in lines if (found := re.fullmatch(own, line, re.IGNORECASE))}


def at_the_head(sheets: Sheets, path: str, casting: CastingView, worst_of_it: str, out: set[str]) -> None:
    """The one line at a wheel's head: the tread's where nothing known is worse, and then it names what is out."""
    look, line = line_of(sheets.page(path), casting)
    assert at_least_as_bad(look, worst_of_it)
    of_the_tread = f'href="/castings/{casting.id}/tread"' in line
    # Of things as bad the latest work is told, and the tread is the last.
    assert of_the_tread is (look == worst_of_it != "open")
    assert named_no_good(line) == (out if of_the_tread else set())
    # A tread that its group was turned to is under no drawing either.
    if "tread" not in out:
        assert "the tread by" not in line


def by_paint_guard(sheets: Sheets, build: BuildView, casting: CastingView) -> str:
    """What is asked before the paint is ticked; nothing where the tick is simply taken."""
    with sheets.db.read() as session:
        now = load_build(session, build.id)
    assert now is not None
    version = next(one.version for one in now.castings if one.id == casting.id)
    sent = {"seen": str(version), "wish": "yes painted", "view": "casting"}
    answer = sheets.client.post(f"/castings/{casting.id}/ticks", data=sent)
    if answer.status_code == 303:
        return ""
    assert answer.status_code in (409, 422)
    return Words(answer.text).text.partition("Are you sure?")[2].partition("If not, leave it")[0]


def worst(looks: dict[str, str]) -> str:
    return next((one for one in ("not", "caution", "serves") if one in looks.values()), "open")


def test_every_sheet_calls_the_same_wheel_out(scene: tuple[Sheets, set[tuple[str, str]] | None]) -> None:
    sheets, by_hand = scene
    found: set[tuple[str, str]] = set()
    judged = 0
    for build in sheets.builds():
        for axle in build.axles:
            for casting in axle.wheels:
                if not casting.has(Stage.TREAD_TURNED):
                    continue
                judged += 1
                own = on_tread_sheet(sheets, casting)
                out = {key for key, look in own.items() if look == "not"}
                found |= {(casting.mark, key) for key in out} if build.name == SET else set()
                assert on_treads_sheet(sheets, build, casting) == own
                assert on_set_as_made(sheets, build, casting) == own
                assert {
                    NAMES[name] for name in on_build_sheet(sheets, build, casting.mark) if name in NAMES
                } == out
                for path in (f"/axles/{axle.id}", f"/castings/{casting.id}"):
                    at_the_head(sheets, path, casting, worst(own), out)
    assert judged == 8
    if by_hand is not None:
        assert found == by_hand


def test_every_sheet_calls_the_same_gauge_out(scene: tuple[Sheets, set[tuple[str, str]] | None]) -> None:
    sheets, _ = scene
    for build in sheets.builds():
        for axle in build.axles:
            own = between(sheets.page(f"/axles/{axle.id}/gauges"), 'id="judged"', "</tbody>")
            rows = {
                name.lower(): look
                for look, name in re.findall(r'<tr data-answer="(\w+)"><th>([^<]+)</th>', own)
            }
            assert len(rows) == 4
            out = {name for name, look in rows.items() if look == "not"}
            line = re.search(
                rf'href="/axles/{axle.id}/gauges" data-answer="(\w+)">Gauges(?:: ([^<]+))?</a>',
                sheets.page(f"/axles/{axle.id}"),
            )
            assert line is not None and line[1] == worst(rows)
            assert ("no good" in (line[2] or "")) is bool(out)
            axles = between(sheets.page(f"/builds/{build.id}/treads"), 'id="axles"', "</table>")
            looks = re.findall(
                r'<td data-answer="(\w+)"', between(axles, f'href="/axles/{axle.id}/gauges"', "</tr>")
            )
            assert looks == list(rows.values())
            made = re.findall(
                rf'<tr data-answer="(\w+)"> <th><a class="to-row" href="/axles/{axle.id}/gauges">([^<]+)</a>',
                sheets.page(f"/builds/{build.id}/made"),
            )
            assert {name.lower() for look, name in made if look == "not"} == out
            if all(wheel.has(Stage.TREAD_TURNED) for wheel in axle.wheels):
                assert (
                    on_build_sheet(sheets, build, f"Axle {axle.number}")
                    - {"quarter angle", "room between the rails"}
                    == out
                )


def test_the_paint_is_asked_about_for_the_same(scene: tuple[Sheets, set[tuple[str, str]] | None]) -> None:
    sheets, _ = scene
    for build in sheets.builds():
        for axle in build.axles:
            gauges = between(sheets.page(f"/axles/{axle.id}/gauges"), 'id="judged"', "</tbody>")
            looks = {
                name.lower(): look
                for look, name in re.findall(r'<tr data-answer="(\w+)"><th>([^<]+)</th>', gauges)
            }
            for casting in axle.wheels:
                if not casting.has(Stage.QUARTERED) and axle.quartered is None:
                    continue
                own = on_tread_sheet(sheets, casting)
                asked = by_paint_guard(sheets, build, casting)
                assert named_no_good(asked) == {key for key, look in own.items() if look == "not"}
                # One that is good and takes its group down is minded on its sheet: that is no doubt of it.
                doubted = "Cannot tell" in between(
                    sheets.page(f"/castings/{casting.id}/tread"), "<tbody>", "</tbody>"
                )
                assert ("cannot tell" in asked.lower()) is (doubted or "caution" in looks.values())
                for name, look in looks.items():
                    assert (f"{name} no good (" in asked) is (look == "not")
                # The figure stands with its size and its limits.
                for key in (key for key, look in own.items() if look == "not"):
                    name = next(name for name, other in NAMES.items() if other == key)
                    assert re.search(
                        rf"{name} no good \([\d.]+ in \([\d.]+ mm\).*?the limits are", asked, re.I
                    )


def test_a_paint_all_the_same_is_recorded(tmp_path: Path, demo_file: Path) -> None:
    path = tmp_path / "spokeshed.db"
    shutil.copy(demo_file, path)
    with closing(sqlite3.connect(path)) as connection, connection:
        under(Data(connection))
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        client.post("/who", data={"initials": "AB", "back": "/"})
        sheets = Sheets(client, app.state.db)
        build = next(one for one in sheets.builds() if one.name == SET)
        casting = next(one for one in build.castings if one.mark == "W2")
        assert "Tread diameter no good" in by_paint_guard(sheets, build, casting)
        sent = {"seen": str(casting.version), "wish": "yes painted confirmed", "view": "casting"}
        # A set that something is called out of is finished with a reason only.
        assert client.post(f"/castings/{casting.id}/ticks", data=sent).status_code == 409
        why = {"reason": "kept for the yard"}
        assert client.post(f"/castings/{casting.id}/ticks", data=sent | why).status_code == 303
        row = Words(sheets.page(f"/castings/{casting.id}")).by_id["row-painted"]
        assert "W2 let pass: kept for the yard" in row
        assert "Tread diameter no good" in row and "Reason given: kept for the yard" in row
    app.state.db.close()
