"""The builder's own hand, through its page: what counts, what is said of it, and what is not known."""

from __future__ import annotations

import re
import shutil
import statistics
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from scipy import stats

from tests.webapp.conftest import ORIGIN
from tests.webapp.facts.conftest import demo_file  # noqa: F401 the two invented builds
from tests.webapp.scenes import Bench, Words
from webapp.app import create_app
from webapp.db import Db
from webapp.settings import Settings

HAND = "/builds/1/hand"
MIDDLE = 19.085  # of 19.070 to 19.100: the seat of 19.05 and a gap of 0.02 to 0.05 for the compound


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A metric build of four axles: W1 to W8 on them, W9 and W10 spare."""
    bench = Bench(client, db).sit_down()
    bench.metric(axles="4", coupled="1 2 3 4", castings="10")
    return bench


@pytest.fixture
def demo(tmp_path: Path, demo_file: Path) -> Iterator[Bench]:  # noqa: F811
    """Both invented builds, which are in inches."""
    path = tmp_path / "demo.db"
    shutil.copy(demo_file, path)
    app = create_app(Settings(path, demo=True))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        yield Bench(client, app.state.db).sit_down()
    app.state.db.close()


def said(bench: Bench, part: str, path: str = HAND) -> str:
    """The line of one operation."""
    return Words(bench.get(path)).by_id[part]


def each(bench: Bench, path: str = HAND) -> str:
    return Words(bench.get(f"{path}?open=each").replace("<", " <")).by_id["slip-each"]


def bore(bench: Bench, mark: str, microns: float) -> None:
    """Bore a wheel so far from the middle of what is wanted, and tick it."""
    bench.bored(mark, bore=f"{MIDDLE + microns / 1000:.4f} mm")


def bores(bench: Bench, *microns: float) -> None:
    for number, one in enumerate(microns, start=1):
        bore(bench, f"W{number}", one)


def tenths(chance: float) -> str:
    return f"{chance * 10:.0f} times in 10"


# --- what is not known ---


def test_with_nothing_made_it_says_so(bench: Bench) -> None:
    page = bench.get(HAND)
    for key, name in (("bore", "Bores"), ("throw", "Throws"), ("tread", "Treads")):
        assert Words(page).by_id[key] == f"{name}: not enough to tell: none so far, five are needed."
    assert "<circle" not in page
    assert 'id="reamed"' not in page
    assert "Nothing is measured yet." in bench.whole(HAND)


def test_below_five_it_does_not_know(bench: Bench) -> None:
    bores(bench, 12, 14, 16, 18)
    assert said(bench, "bore") == "Bores: not enough to tell: four so far, five are needed."
    page = bench.whole(HAND)
    assert "times in 10" not in page and "<circle" not in page
    assert each(bench).count("19.") == 4


def test_a_build_that_is_not_there(bench: Bench) -> None:
    assert bench.client.get("/builds/99/hand").status_code == 404
    assert bench.client.get(f"/builds/{2**63}/hand").status_code in (404, 422)


# --- what is said ---


def test_the_next_one_and_where_to_aim(bench: Bench) -> None:
    found = [12.0, 14.0, 6.0, 10.0, 18.0, 11.0]
    bores(bench, *found)
    off, spread, n = statistics.fmean(found), statistics.stdev(found), len(found)
    expected = stats.t(n - 1, loc=off, scale=spread * (1 + 1 / n) ** 0.5)
    aimed = stats.t(n - 1, loc=0, scale=spread * (1 + 1 / n) ** 0.5)
    now, best = (float(one.cdf(15) - one.cdf(-15)) for one in (expected, aimed))
    assert 0.5 < now < 0.85 and best > 0.95
    assert said(bench, "bore") == (
        f"Bores: 6 made, {off / 1000:.3f} mm over the middle, spread {spread / 1000:.3f} mm; "
        f"the next one comes good {tenths(now)}, aimed {off / 1000:.3f} mm lower nearly every time."
    )
    page = bench.get(HAND)
    assert page.count('<circle class="thick inked" data-good="yes"') == 5
    assert page.count('<circle class="thick paper" data-good="no"') == 1


def test_under_the_middle_it_is_aimed_higher(bench: Bench) -> None:
    bores(bench, -12, -14, -6, -10, -18, -11)
    assert "0.012 mm under the middle" in said(bench, "bore")
    assert "aimed 0.012 mm higher nearly every time" in said(bench, "bore")


def test_where_no_other_aim_is_better_none_is_said(bench: Bench) -> None:
    bores(bench, 1, -1, 2, -2, 0)
    line = said(bench, "bore")
    assert "on the middle" in line and "aimed" not in line
    assert line.endswith("the next one comes good nearly every time.")


def test_all_alike_are_no_surer_than_the_last_figure(bench: Bench) -> None:
    bores(bench, 1, 1, 1, 1, 1)
    assert "spread less than 0.001 mm" in said(bench, "bore")


def test_counting_alone(bench: Bench) -> None:
    bores(bench, 12, 14, 6, 10, 18, 11)
    text = Words(bench.get(f"{HAND}?open=counted")).by_id["slip-counted"]
    # Beta-binomial of SciPy: 5 of 6 with one and one before; two of eight wheels are to come.
    one, both = float(stats.betabinom.sf(0, 1, 6, 2)), float(stats.betabinom.sf(1, 2, 6, 2))
    assert f"5 of 6 came good, so the next one does {one * 10 + 1e-9:.0f} times in 10" in text
    assert f"all of the 2 to come {both * 10:.0f} times in 10" in text
    assert "Abramowitz" in text


def test_a_slip_is_named_and_is_no_spread(bench: Bench) -> None:
    bores(bench, 1, -1, 2, -2, 0, 120)
    line = said(bench, "bore")
    # Five of six were no slip, (5 + 1) / (6 + 2); the others are -2 to 2 from a middle that may be missed by 15.
    t = stats.t(4, scale=statistics.stdev((1, -1, 2, -2, 0)) * 1.2**0.5)
    chance = 6 / 8 * float(t.cdf(15) - t.cdf(-15))
    assert line == (
        "Bores: 6 made, W6 a slip, the others on the middle, spread 0.002 mm; "
        f"the next one comes good {tenths(chance)}."
    )


# --- what counts ---


def test_of_several_passes_the_last_bore_counts(bench: Bench) -> None:
    bores(bench, 12, 14, 6, 10)
    bench.tick("W5", "received", "back_faced")
    assert bench.log("W5", "bore", "18.5 mm").status_code == 303
    # Metal is still to come off.
    assert "four so far" in said(bench, "bore")
    assert bench.log("W5", "bore", f"{MIDDLE + 0.009} mm").status_code == 303
    assert "Bores: 5 made" in said(bench, "bore")
    assert "18.5" not in each(bench)


def test_a_bore_struck_out_does_not_count(bench: Bench) -> None:
    bores(bench, 12, 14, 6, 10, 18)
    assert "Bores: 5 made" in said(bench, "bore")
    own = bench.one("SELECT max(id) FROM measurement WHERE kind = 'bore'")
    page = "/castings/5/measured"
    assert bench.send(f"{page}?strike={own}", page, why="misread").status_code == 303
    assert "four so far" in said(bench, "bore")


def test_a_scrapped_casting_counts_as_made(bench: Bench) -> None:
    bores(bench, 12, 14, 6, 10, 18)
    before = said(bench, "bore")
    assert bench.scrap("W5").status_code == 303
    assert said(bench, "bore") == before


def test_a_scrapped_casting_is_judged_on_the_seat_it_had(bench: Bench) -> None:
    assert bench.seat(3, "left", "19.06 mm").status_code == 303
    bores(bench, 12, 14, 6, 10, 18)
    before = each(bench)
    # W5 is on axle 3, where the middle is 0.01 mm higher.
    assert "W5 19.103 mm (0.7521 in) +0.008 mm" in " ".join(before.split())
    assert bench.scrap("W5").status_code == 303
    assert each(bench) == before


def test_a_bore_by_plugs_has_no_size_to_count(bench: Bench) -> None:
    bores(bench, 12, 14, 6, 10)
    bench.tick("W5", "received", "back_faced", "bored")
    bench.put("bore", None, casting_id=bench.id("W5"), low=19_070_000, high=19_100_000)
    assert "four so far" in said(bench, "bore")


def test_reamed_bores_are_apart_and_are_not_aimed(bench: Bench) -> None:
    bores(bench, 1, -1, 2, -2, 0)
    alone = said(bench, "bore")
    with bench.db.write() as session:
        from webapp.models import ReamerRow

        session.add(ReamerRow(name="reamer of 19.08 mm", nominal_nm=19_080_000, text="19.08 mm"))
    for number in range(6, 11):
        bench.tick(f"W{number}", "received", "back_faced", "bored")
        bench.put("bore", 19_097_000 + number * 500, casting_id=bench.id(f"W{number}"), reamer_id=1)
    assert said(bench, "bore") == alone
    line = said(bench, "reamed")
    assert re.fullmatch(
        r"Reamed bores: 5 made, 0\.016 mm over the middle, spread 0\.001 mm; the next one comes good .*\.",
        line,
    )
    assert "aimed" not in line


def test_throws_are_against_the_drawing(bench: Bench) -> None:
    for number, off in enumerate((4, 8, 12, 16, 20), start=1):
        bench.put("throw", 28_000_000 + off * 1000, casting_id=bench.id(f"W{number}"))
    line = said(bench, "throw")
    assert line.startswith("Throws: 5 made, 0.012 mm over the middle, spread 0.006 mm;")
    scale = statistics.stdev((4, 8, 12, 16, 20)) * 1.2**0.5
    known = stats.t(4, loc=12, scale=scale)
    assert f"comes good {tenths(float(known.cdf(25) - known.cdf(-25)))}, aimed 0.012 mm lower" in line


def test_treads_are_against_the_drawing_not_against_one_that_came_out_small(bench: Bench) -> None:
    for number, off in enumerate((4, 8, 12, 16, -40), start=1):
        bench.tick(f"W{number}", "received", "back_faced", "bored", "pressed", "tread_turned")
        bench.put(
            "tread", 110_000_000 + off * 1000, (None, "", None, None), casting_id=bench.id(f"W{number}")
        )
    assert said(bench, "tread").startswith("Treads: 5 made, on the middle, spread 0.023 mm;")


def test_treads_follow_what_the_rough_castings_allow(bench: Bench) -> None:
    # A rough rim of 113 mm leaves 113 - 2 * 2 of flange - 2 * 0.5 of the least cut: all are to follow it.
    bench.put("rim_least", 113_000_000, (None, "", None, None), casting_id=bench.id("W8"))
    for number in range(1, 6):
        bench.tick(f"W{number}", "received", "back_faced", "bored", "pressed", "tread_turned")
        bench.put("tread", 108_000_000, (None, "", None, None), casting_id=bench.id(f"W{number}"))
    assert said(bench, "tread").startswith("Treads: 5 made, on the middle")


def test_all_builds_of_the_file_count_but_no_invented_one_with_own(bench: Bench) -> None:
    bores(bench, 12, 14, 6, 10, 18)
    second = bench.metric(axles="1", coupled="1", castings="2")
    assert "Bores: 5 made" in said(bench, "bore", f"/builds/{second}/hand")
    assert "Bores, Tank engine" in each(bench, f"/builds/{second}/hand")
    assert "Bores, Tank engine" not in each(bench)
    assert "all of the 2 to come" in bench.whole(f"/builds/{second}/hand")
    with bench.db.write() as session:
        from sqlalchemy import text

        session.connection().execute(text("UPDATE build SET invented = 1 WHERE id = 2"))
    assert "none so far" in said(bench, "bore", f"/builds/{second}/hand")
    assert "Bores: 5 made" in said(bench, "bore")


def test_by_instrument(bench: Bench) -> None:
    bores(bench, 12, 14, 6, 10, 18)
    for number in (6, 7):
        bench.tick(f"W{number}", "received", "back_faced", "bored")
        bench.put("bore", 19_090_000, casting_id=bench.id(f"W{number}"), instrument="telescopic gauge")
    text = Words(bench.get(f"{HAND}?open=instruments")).by_id["slip-instruments"]
    assert "no instrument named. Bores: 5 made" in text
    assert "telescopic gauge. Bores: not enough to tell: two so far, five are needed." in text


# --- the invented builds, and the ways to it ---


def test_the_invented_builds(demo: Bench) -> None:
    line = said(demo, "bore")
    assert line == (
        "Bores: 10 made, W7 a slip, the others 0.1 thou under the middle, spread less than 0.1 thou; "
        "the next one comes good 8 times in 10."
    )
    rows = [nm for (nm,) in demo.rows("SELECT value FROM measurement WHERE kind = 'throw'")]
    thou = [(nm - 28_575_000) / 25_400 for nm in rows]
    assert (
        f"Throws: 8 made, {statistics.fmean(thou):.1f} thou over the middle, spread {statistics.stdev(thou):.1f} thou"
        in said(demo, "throw")
    )
    assert "W7 0.7563 in (19.210 mm) +5.0 thou (+0.126 mm) no" in " ".join(each(demo).split())
    assert said(demo, "bore", "/builds/2/hand") == line


def test_it_is_reached_from_the_build_and_from_ordering(bench: Bench) -> None:
    assert f'href="{HAND}"' in bench.get("/builds/1")
    assert f'href="{HAND}"' in bench.get("/builds/1/ordering")
    assert "/hand" not in bench.get("/ordering")


def test_bores_are_told_by_reamer_and_speed_once_there_are_five(bench: Bench) -> None:
    def kept(*marks: str, reamer: str, spindle: str) -> None:
        for mark in marks:
            action = f"/castings/{bench.id(mark)}/settings"
            answer = bench.post(action, {"op": "ream_bore", "reamer": reamer, "spindle": spindle})
            assert answer.status_code == 303

    def edges() -> str:
        return Words(bench.get(f"{HAND}?open=edges")).by_id["slip-edges"]

    kept("W1", "W2", "W3", "W4", reamer="A", spindle="110 rpm")
    kept("W5", "W6", reamer="A", spindle="60 rpm")
    bores(bench, 10, 10, 10, 10, 0, 0)
    assert edges().startswith("Nothing yet")
    kept("W7", reamer="a", spindle="110 RPM")
    bore(bench, "W7", 10)
    assert edges() == (
        "Reamer A at 110 rpm. Bores: 5 made, 0.010 mm over the middle, spread less than 0.001 mm;"
        " the next one comes good nearly every time."
    )
