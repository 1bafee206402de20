"""Whatever a joint is asked on, the answer is the one finding: read off every sheet through HTTP and compared."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from domain.answer import Answer
from domain.joints.words import line
from domain.route.guards import next_stage
from domain.route.stages import Stage
from tests.webapp.facts.random_joints import scatter
from tests.webapp.scenes import unfolded
from webapp.app import create_app
from webapp.db import Db
from webapp.facts.facts import facts_of
from webapp.facts.wheel_joint import WheelJoint
from webapp.facts.wheels import wheel_facts
from webapp.records.builds import load_build
from webapp.records.views import AxleView, BuildView, CastingView
from webapp.settings import Settings

ORIGIN = "http://127.0.0.1:8730"
SEEDS = [None, *range(8)]
# The worst first.
LOOKS = ("not", "caution", "serves", "open")


class Sheets:
    """A data file's sheets, each asked for once."""

    def __init__(self, client: TestClient, db: Db) -> None:
        self._client, self._db = client, db
        self._pages: dict[str, str] = {}

    def page(self, path: str) -> str:
        if path not in self._pages:
            answer = self._client.get(path)
            assert answer.status_code == 200, path
            self._pages[path] = unescape(re.sub(r"\s+", " ", unfolded(self._client, answer.text)))
        return self._pages[path]

    def builds(self) -> Iterator[BuildView]:
        with self._db.read() as session:
            for (build_id,) in session.connection().exec_driver_sql("SELECT id FROM build").fetchall():
                build = load_build(session, build_id)
                assert build is not None
                yield build


@pytest.fixture(params=SEEDS, ids=[f"seed {seed}" if seed is not None else "demo" for seed in SEEDS])
def sheets(request: pytest.FixtureRequest, tmp_path: Path, demo_file: Path) -> Iterator[Sheets]:
    """Both invented builds, as they are or with other fits, sizes, doubts and figures."""
    path = tmp_path / "spokeshed.db"
    shutil.copy(demo_file, path)
    if request.param is not None:
        scatter(path, request.param)
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}) as client:
        yield Sheets(client, app.state.db)
    app.state.db.close()


def between(page: str, start: str, end: str) -> str:
    """The piece of a page from one mark up to the next."""
    assert start in page, start
    return page.partition(start)[2].partition(end)[0]


def test_every_sheet_says_what_was_found(sheets: Sheets) -> None:
    judged = 0
    for build in sheets.builds():
        for casting in build.castings:
            joint = facts_of(build).joints.of(casting)
            if joint is None:
                continue
            judged += 1
            of_slip(sheets.page(f"/castings/{casting.id}/bore"), casting, joint)
            of_head(sheets.page(f"/castings/{casting.id}"), casting, joint)
            axle = build.axle(casting.axle_id)
            if axle is not None:
                of_head(sheets.page(f"/axles/{axle.id}"), casting, joint)
                of_seat(sheets.page(f"/axles/{axle.id}/seats/{casting.side}"), casting, joint)
                of_build(sheets.page(f"/builds/{build.id}"), build, axle, casting, joint)
                of_fits(sheets.page(f"/builds/{build.id}/fits"), axle, casting, joint)
                of_joints(sheets.page(f"/builds/{build.id}/joints"), casting, joint)
                of_set(sheets.page(f"/builds/{build.id}/made"), axle, casting, joint)
            of_guard(build, casting, joint)
    assert judged >= 8


def line_of(page: str, casting: CastingView) -> tuple[str, str]:
    """How the one line at a wheel's head looks, and the link it is."""
    line = between(between(page, f'id="wheel-{casting.id}"', "</section>"), '<a class="line" ', "</a>")
    return between(line, 'data-answer="', '"'), line


def at_least_as_bad(look: str, as_one: str) -> bool:
    """Whether it looks as one thing does, or worse."""
    return LOOKS.index(look) <= LOOKS.index(as_one)


def of_head(page: str, casting: CastingView, joint: WheelJoint) -> None:
    band = between(between(page, f'id="wheel-{casting.id}"', "</section>"), '<svg class="band"', ">")
    assert f'data-answer="{joint.answer.look}"' in band
    assert f': {joint.answer.words}"' in band
    look, line = line_of(page, casting)
    # What else is known of the wheel may be worse, and then stands there instead.
    assert at_least_as_bad(look, joint.answer.look)
    if f'href="/castings/{casting.id}/bore' in line:
        assert look == joint.answer.look
        assert f"<span>{joint.answer.words.capitalize()}: " in line


def of_slip(page: str, casting: CastingView, joint: WheelJoint) -> None:
    own = between(page, f'id="bore-and-fit-{casting.id}"', "</section>")
    assert f'class="verdict" data-answer="{joint.answer.look}"' in own
    held = between(own, "What the joint holds: ", "</h3>")
    assert held in (joint.word, joint.answer.words, joint.holds_words)
    # A few words of what is wrong are said only where the whole is no good.
    assert (joint.answer is Answer.NOT) is (held not in ("good", "take care", "cannot tell"))
    if joint.answer is not Answer.NOT:
        assert held == joint.answer.words


def of_seat(page: str, casting: CastingView, joint: WheelJoint) -> None:
    on_it = between(page, f"<p>{casting.mark} on it. ", "</p>")
    assert on_it == f"{joint.opening}. {joint.headline}." if joint.opening else f"{joint.headline}."


def of_build(page: str, build: BuildView, axle: AxleView, casting: CastingView, joint: WheelJoint) -> None:
    tile = between(page, f'href="/axles/{axle.id}#wheel-{casting.id}"', "</a>")
    to_press = next_stage(casting.ticked, build.order_of(casting)) is Stage.PRESSED
    assert ("settle the fit" in tile) is (to_press and joint.answer is Answer.NOT)
    lines = between(page, 'aria-label="Last done, and what is not right"', "</nav>")
    wrong = casting.has(Stage.BORED) and joint.answer is Answer.NOT
    assert (f'href="/castings/{casting.id}/bore"' in lines) is wrong
    assert bool(re.search(rf"Not right:\s+{casting.mark} .*on axle {axle.number}\b", lines)) is wrong


def of_fits(page: str, axle: AxleView, casting: CastingView, joint: WheelJoint) -> None:
    row = between(page, f'id="seat-{axle.number}-{casting.side}"', "</tr>")
    today = between(row, f">{casting.mark}</a>", "</strong>")
    assert f'data-answer="{joint.answer.look}"' in today
    assert today.endswith(f"<strong>{joint.word.capitalize()}")


def of_joints(page: str, casting: CastingView, joint: WheelJoint) -> None:
    row = between(between(page, 'id="held"', "</section>"), f"#wheel-{casting.id}", "</tr>")
    assert f"<td><strong>{joint.answer.words.capitalize()}</strong></td>" in row
    failing = between(between(page, 'id="held"', "</section>"), 'class="verdict-line"', "</p>")
    assert bool(re.search(rf"\b{casting.mark}\b", failing)) is (joint.answer is Answer.NOT)


def of_set(page: str, axle: AxleView, casting: CastingView, joint: WheelJoint) -> None:
    where = f"<small>{casting.mark}, axle {axle.number} {casting.side}</small>"
    rows = [row for row in page.split("<tr") if where in row and " of the fit</a>" in row]
    if casting.bore is not None and casting.bore.by_plug:
        assert not rows
        assert f"The bore of {casting.mark} was tried with plugs" in page
        return
    (row,) = rows
    cell = between(row, 'class="answer">', "</td>")
    if not joint.seat_measured:
        assert "Not measured" in cell
        return
    # One verdict: the joint's own, or of one that is no good by how far its size is past a limit.
    verdict = between(cell, "<strong>", "</strong>").lower()
    if joint.answer is Answer.NOT:
        assert verdict in ("no good", "over", "under")
        assert verdict == joint.word or f"joint: {joint.word}<" in cell
    else:
        assert verdict == joint.answer.words
    assert (line(joint.finding).partition(": ")[2] in cell) is (joint.answer is not Answer.SERVES)


def of_guard(build: BuildView, casting: CastingView, joint: WheelJoint) -> None:
    """The guard asks about every joint that is no good or cannot be told, and never about one that is good."""
    asked = " ".join(wheel_facts(build, casting).doubted(Stage.PRESSED.value))
    about = f"The logged bore of {casting.mark}"
    if casting.has(Stage.PRESSED):
        assert asked == ""
        return
    assert (about in asked) is (joint.answer in (Answer.NOT, Answer.CANNOT_TELL))
    assert ("No seat is measured" in asked) is not joint.seat_measured
    if joint.finding.by_size.answer is Answer.NOT:
        assert joint.headline in asked
