"""Whatever sheet is asked which axle to set again and by how much, it says the same: over the demo and over made sets."""

from __future__ import annotations

import math
import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from domain.cranks.words import degrees, order_words
from domain.lengths import Length, show_small
from domain.rods.remedies import Job
from tests.webapp.facts.test_one_truth import ORIGIN, Sheets
from webapp.app import create_app
from webapp.db import Db
from webapp.demo.set import NAME as SET
from webapp.facts.facts import facts_of
from webapp.facts.not_right import not_right
from webapp.records.builds import load_build
from webapp.records.views import AxleView, BuildView
from webapp.settings import Settings
from webapp.sheets.cranks.view_quartering import quarter_page
from webapp.sheets.cranks.view_quarterings import quartering_set
from webapp.sheets.rods.view import rods_sheet

IN = 25_400_000


@pytest.fixture
def demo(tmp_path: Path, demo_file: Path) -> Iterator[Sheets]:
    path = tmp_path / "spokeshed.db"
    shutil.copy(demo_file, path)
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}) as client:
        yield Sheets(client, app.state.db)
    app.state.db.close()


def test_of_the_demo_all_sheets_say_one_figure(demo: Sheets) -> None:
    build = next(one for one in demo.builds() if one.name == SET)
    (turn,) = facts_of(build).resetting.turns
    clause = order_words(turn, build.unit)
    sentence = f"{clause[0].upper()}{clause[1:]}. Then all rods go round."
    for sheet in ("rods", "quartering", "made"):
        assert sentence in demo.page(f"/builds/{build.id}/{sheet}"), sheet
    assert f"Put right: {clause}" in demo.page(f"/builds/{build.id}")
    axle = next(one for one in build.axles if one.number == turn.axle)
    by = f"by {degrees(abs(turn.turn_deg))}, {show_small(turn.arc_nm, build.unit)} at the crankpin"
    own = demo.page(f"/axles/{axle.id}/quartering")
    assert by in own
    # No sheet has another figure that reads as a turn of an axle.
    for sheet in ("", "/rods", "/quartering", "/made"):
        page = demo.page(f"/builds/{build.id}{sheet}")
        turns = re.findall(
            rf"Axle {turn.axle}: set its \w+ wheel \w+ (by [^.]+\.\d+ degrees, [^)]+\) at the crankpin)", page
        )
        assert set(turns) <= {by}, sheet


@pytest.fixture(scope="module")
def ready(tmp_path_factory: pytest.TempPathFactory, demo_file: Path) -> BuildView:
    """The demo's set on its axles, as read."""
    path = tmp_path_factory.mktemp("set") / "spokeshed.db"
    shutil.copy(demo_file, path)
    db = Db(path)
    with db.read() as session:
        found = session.connection().exec_driver_sql("SELECT id FROM build WHERE name = ?", (SET,))
        build = load_build(session, found.scalar_one())
    db.close()
    assert build is not None
    return build


def turned(axle: AxleView, off_deg: float) -> AxleView:
    """Its left pin where it makes an angle that is off by so much, the right one 45 degrees up in front."""
    heights = axle.heights
    assert heights is not None
    throw = 1.125 * IN
    left, right = (
        heights.centre.nm + round(throw * math.sin(math.radians(at))) for at in (45.0 + off_deg, 45.0)
    )
    stood = {
        side: replace(getattr(heights, side), height=Length(nm, ""))
        for side, nm in (("left", left), ("right", right))
    }
    return replace(axle, heights=replace(heights, **stood, expanded_nm=2_000))


OFF = st.floats(-0.6, 0.6).map(lambda value: round(value, 3))


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    offs=st.tuples(OFF, OFF, OFF),
    clearance_nm=st.sampled_from([None, 20_000, 76_200, 400_000]),
    measured=st.sampled_from([3, 3, 3, 2, 1]),
    rods=st.booleans(),
)
def test_of_made_sets_the_sheets_agree(
    ready: BuildView,
    offs: tuple[float, float, float],
    clearance_nm: int | None,
    measured: int,
    rods: bool,
) -> None:
    axles = tuple(
        turned(axle, off) if place < measured else replace(axle, heights=None)
        for place, (axle, off) in enumerate(zip(ready.axles, offs, strict=True))
    )
    figures = {
        key: replace(size, nm=(clearance_nm or 0) // 2) if key[2].startswith("bush") else size
        for key, size in ready.rods.items()
        if rods and (clearance_nm is not None or not key[2].startswith("bush"))
    }
    build = replace(ready, axles=axles, rods=figures)
    again = facts_of(build).resetting
    of_set, of_rods = quartering_set(build), rods_sheet(build, None)
    assert len({turn.axle for turn in again.turns}) == len(again.turns), "an axle is named once"
    assert [row.axle.number for row in of_set.rows if row.again] == sorted(t.axle for t in again.turns)
    if of_rods.verdict is not None and measured == len(axles):
        assert of_set.orders == tuple(one.words for one in of_rods.plan)
        assert of_set.title == of_rods.title
        steps = [one for one in of_rods.verdict.plan if one.correction.job is Job.SET_AXLE]
        assert not again.turns or [turn.turn_deg for turn in again.turns] == [
            one.correction.turn_deg for one in steps
        ]
    elif measured < len(axles):
        assert not of_rods.plan
    for axle in axles:
        turn, page = again.of(axle), None if axle.heights is None else quarter_page(build, axle)
        if turn is None:
            continue
        assert page is not None and page.again
        way = "forwards" if turn.forwards else "backwards"
        by = (
            f"({way}) by {degrees(abs(turn.turn_deg))}, {show_small(turn.arc_nm, build.unit)} at the crankpin"
        )
        assert by in page.ways[0].words or by in page.ways[1].words
        clause = order_words(turn, build.unit)
        assert f"{clause[0].upper()}{clause[1:]}." in " ".join(of_set.orders)
        assert all(
            line.words == clause
            for line in not_right(build)
            if line.words.startswith(f"axle {axle.number}: ")
        )
