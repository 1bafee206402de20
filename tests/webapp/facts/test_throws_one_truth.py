"""Whatever sheet is asked about the throws, the answer is the one finding: read off every sheet and compared.

The rule is worked out here anew, from what is stored: the throws of a side good up to 0.05 mm apart, with care up to
0.15 mm; a throw good up to 0.25 mm off the drawing, with care up to 0.5 mm (common practice, no source); the larger of
each with a guard band of 0.825 U (ISO 14253-1:2017).
"""

from __future__ import annotations

import math
import re
import shutil
from collections.abc import Iterator
from contextlib import closing
from itertools import combinations
from pathlib import Path
from random import Random
from sqlite3 import connect
from statistics import median, median_high, median_low

import pytest
from fastapi.testclient import TestClient

from domain.route.stages import Stage
from tests.webapp.facts.test_one_truth import ORIGIN, Sheets, at_least_as_bad, between, line_of
from webapp.app import create_app
from webapp.facts.wheels import wheel_facts
from webapp.records.views import BuildView, CastingView
from webapp.settings import Settings

SEEDS = [None, *range(10)]
RANK = ("serves", "caution", "cannot tell", "not")


def scatter(path: Path, seed: int) -> None:
    """Give the throws of every build other sizes and doubts; each side has its own jig, and some are not logged."""
    chance = Random(seed)
    with closing(connect(path)) as connection, connection:
        for build, drawn in connection.execute(
            "SELECT build_id, nm FROM dimension WHERE key = 'throw'"
        ).fetchall():
            jig = {side: chance.choice((0, 0, 200_000, -300_000, 600_000)) for side in ("left", "right")}
            step = chance.choice((5_000, 30_000, 40_000, 90_000))
            of_build = (
                "SELECT m.id, c.side FROM measurement m JOIN casting c ON c.id = m.casting_id"
                " WHERE m.build_id = ? AND m.kind = 'throw'"
            )
            for own, side in connection.execute(of_build, (build,)).fetchall():
                if chance.random() < 0.1:
                    connection.execute("DELETE FROM reading WHERE measurement_id = ?", (own,))
                    connection.execute("DELETE FROM measurement WHERE id = ?", (own,))
                    continue
                nm = drawn + jig.get(side, 0) + step * chance.randint(-2, 2)
                expanded = chance.choice((None, None, 2_000, 20_000, 90_000))
                connection.execute(
                    "UPDATE measurement SET value = ?, expanded = ? WHERE id = ?", (nm, expanded, own)
                )


@pytest.fixture(params=SEEDS, ids=[f"seed {seed}" if seed is not None else "demo" for seed in SEEDS])
def sheets(request: pytest.FixtureRequest, tmp_path: Path, demo_file: Path) -> Iterator[Sheets]:
    """Both invented builds, with their own throws or with others."""
    path = tmp_path / "spokeshed.db"
    shutil.copy(demo_file, path)
    if request.param is not None:
        scatter(path, request.param)
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}) as client:
        yield Sheets(client, app.state.db)
    app.state.db.close()


def weighed(apart: int, expanded: int, care: int, most: int) -> str:
    guard = math.ceil(0.825 * expanded - 1e-9)
    if apart > most + guard:
        return "not"
    if apart > most - guard:
        return "cannot tell"
    return "caution" if apart > care else "serves"


def worst(*answers: str) -> str:
    return max(answers, key=RANK.index)


def looks(answer: str) -> str:
    return "caution" if answer == "cannot tell" else answer


def on_side(build: BuildView, side: str) -> list[CastingView]:
    wheels = [one for axle in build.axles if axle.coupled and (one := axle.at(side))]
    return [one for one in wheels if one.throw]


def of_side(build: BuildView, side: str) -> str:
    return worst(
        "serves",
        *(
            weighed(
                abs(one.throw.mean_nm - two.throw.mean_nm),
                math.ceil(math.hypot(one.throw.expanded_nm or 0, two.throw.expanded_nm or 0)),
                50_000,
                150_000,
            )
            for one, two in combinations(on_side(build, side), 2)
            if one.throw and two.throw
        ),
    )


def odd(build: BuildView, wheel: CastingView) -> bool:
    """Whether it is 0.025 mm or more from the middle of its side; of an even number the middle one nearer to all; with
    no such wheel there each one is as odd as another."""
    every = [one.throw.mean_nm for side in ("left", "right") for one in on_side(build, side) if one.throw]
    here = {one.mark: one.throw.mean_nm for one in on_side(build, str(wheel.side)) if one.throw}
    low, high = median_low(here.values()), median_high(here.values())
    near, far = sorted((low, high), key=lambda one: abs(one - median(every)))
    alike = abs(near - median(every)) == abs(far - median(every))
    middle = (low + high) // 2 if alike else near
    found = [mark for mark, nm in here.items() if abs(nm - middle) >= 25_000]
    return wheel.mark in found or not found


def of_wheel(build: BuildView, wheel: CastingView) -> str:
    assert wheel.throw is not None
    off = abs(wheel.throw.mean_nm - build.nm("throw"))
    return weighed(off, wheel.throw.expanded_nm or 0, 250_000, 500_000)


def test_every_sheet_says_what_was_found_of_the_throws(sheets: Sheets) -> None:
    judged = 0
    for build in sheets.builds():
        sides = {side: of_side(build, side) for side in ("left", "right")}
        wheels = [one for side in sides for one in on_side(build, side)]
        for wheel in wheels:
            judged += 1
            own, side = of_wheel(build, wheel), sides[str(wheel.side)]
            # What its side is worth is said of the odd wheels alone.
            side = side if odd(build, wheel) else "serves"
            of_wheel_sheets(sheets, wheel, worst(own, side), side)
            of_set(sheets.page(f"/builds/{build.id}/made"), build, wheel, own)
            asked = wheel_facts(build, wheel).doubted(Stage.QUARTERED.value)
            assert bool(asked) is (worst(own, side) in ("cannot tell", "not"))
        of_all(sheets, build, sides, worst(*sides.values(), *(of_wheel(build, one) for one in wheels)))
    # Eight are logged in the two of them, and few of those are taken away.
    assert judged >= 4


def of_wheel_sheets(sheets: Sheets, wheel: CastingView, answer: str, side: str) -> None:
    own = between(sheets.page(f"/castings/{wheel.id}/throw"), f'id="throw-{wheel.id}"', "</details></div>")
    verdict = between(own, 'class="verdict" ', "</p>")
    assert verdict.startswith(f'data-answer="{looks(answer)}"')
    assert "rods will bind" not in verdict, "that is said by what judges the rods"
    if answer in ("cannot tell", "not"):
        assert wheel_trouble(verdict)
    for path in (f"/castings/{wheel.id}", f"/axles/{wheel.axle_id}"):
        look, line = line_of(sheets.page(path), wheel)
        assert at_least_as_bad(look, looks(answer))
        if f'href="/castings/{wheel.id}/throw' in line:
            assert look == looks(answer) != "serves"
            assert between(line, "<span>", "</span>") in verdict


def wheel_trouble(verdict: str) -> bool:
    return any(words in verdict for words in ("No good", "Cannot tell"))


def of_set(page: str, build: BuildView, wheel: CastingView, own: str) -> None:
    axle = build.axle(wheel.axle_id)
    assert axle is not None
    said = row_of(page, "Throw", f"{wheel.mark}, axle {axle.number} {wheel.side}")
    same_in_the_set(said, own)


def row_of(page: str, what: str, where: str) -> str:
    rows = [row for row in page.split("<tr") if f">{what}</a><br><small>{where}</small>" in row]
    (row,) = rows
    return between(row, 'class="answer">', "</td>")


def same_in_the_set(cell: str, answer: str) -> None:
    # A throw is past a limit on one side or the other.
    words = {"not": "(Over|Under)", "cannot tell": "Cannot tell", "caution": "Take care"}
    assert re.search(f"<strong>{words.get(answer, 'Good')}</strong>", cell)


def of_all(sheets: Sheets, build: BuildView, sides: dict[str, str], answer: str) -> None:
    alike = worst(*sides.values())
    crankpins = between(sheets.page(f"/builds/{build.id}/crankpins"), 'id="throws"', "</section>")
    assert f'data-answer="{looks(answer)}" id="alike"' in crankpins
    assert "rods will bind" not in crankpins
    for side, found in sides.items():
        assert (f"he {side} throws lie " in crankpins) is (found != "serves")
    quartering = sheets.page(f"/builds/{build.id}/quartering")
    assert ('id="throws-first"' in quartering) is (alike != "serves")
    made, front = sheets.page(f"/builds/{build.id}/made"), sheets.page(f"/builds/{build.id}")
    for side, found in sides.items():
        if len(on_side(build, side)) > 1:
            same_in_the_set(row_of(made, "Throws apart", f"{side} side"), found)
            assert (f"Not right: the {side} throws lie " in front) is (found == "not")
    rods = sheets.page(f"/builds/{build.id}/rods")
    if alike == "serves" and 'id="throws-first"' in rods:
        # Wheels that are alike as throws go may still want more play than tight bushes give: never by more than that.
        for much in re.findall(r"throws lie ([\d.]+) mm", between(rods, 'id="throws-first"', "</p>")):
            assert float(much) <= 0.05


def test_left_and_right_that_differ_bind_nothing(tmp_path: Path, demo_file: Path) -> None:
    """Left 28.0 and right 28.2: each side's rods join throws that are alike."""
    path = tmp_path / "spokeshed.db"
    shutil.copy(demo_file, path)
    with closing(connect(path)) as connection, connection:
        connection.execute("UPDATE dimension SET nm = 28100000, text = '28.1 mm' WHERE key = 'throw'")
        for side, nm in (("left", 28_000_000), ("right", 28_200_000)):
            connection.execute(
                "UPDATE measurement SET value = ? WHERE kind = 'throw' AND casting_id IN"
                " (SELECT id FROM casting WHERE side = ?)", (nm, side),
            )  # fmt: skip
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}) as client:
        found = Sheets(client, app.state.db)
        build = next(one for one in found.builds() if len(on_side(one, "left")) == 3)
        for axle in build.axles:
            slips = [f"/castings/{wheel.id}/throw" for wheel in axle.wheels]
            assert not any("will bind" in found.page(path) for path in (f"/axles/{axle.id}", *slips))
            assert not any(wheel_facts(build, one).doubted(Stage.QUARTERED.value) for one in axle.wheels)
        here = f"/builds/{build.id}"
        for page in (here, f"{here}/crankpins", f"{here}/quartering", f"{here}/rods"):
            assert "will bind" not in found.page(page) and 'id="throws-first"' not in found.page(page)
        assert "Good: the sides differ, but each is alike in itself" in found.page(f"{here}/crankpins")
        for side, mark in (("left", "W1"), ("right", "W2")):
            same_in_the_set(row_of(found.page(f"{here}/made"), "Throw", f"{mark}, axle 1 {side}"), "serves")
            same_in_the_set(row_of(found.page(f"{here}/made"), "Throws apart", f"{side} side"), "serves")
    app.state.db.close()
