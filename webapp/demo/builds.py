"""Invented builds to look round in. Nothing in them is, or is after, a real engine or person."""

from __future__ import annotations

from domain.cranks.jigs import Jig
from domain.route.stages import Stage
from webapp.db import Db
from webapp.demo.bench import ASKED, WHO, Bench, sound, typed
from webapp.demo.set import NAME as SET_NAME
from webapp.demo.set import ready_for_rods
from webapp.facts.work_figures import work_figures
from webapp.records.change import Asked
from webapp.sheets.cutting import change_strokes as strokes
from webapp.sheets.cutting.form_strokes import Tally, read_strokes
from webapp.sheets.shelf.view import list_builds
from webapp.sheets.wheel.change_castings import place_spare, scrap
from webapp.sheets.workshop.change import put_starters
from webapp.sheets.workshop.form import JigDraft
from webapp.sheets.workshop.form_machines import USUAL
from webapp.typed.texts import NOTHING_SENT

NAME = "Invented six-coupled tank engine"
# Its plug goes in the least bore of the half-made engine, and shakes in the one that came out too large.
_JIG = JigDraft(Jig("1 1/8 throw, invented", 28_575_000, 19_062_700, 11_112_500))
_TO_BORED = (Stage.RECEIVED, Stage.BACK_FACED, Stage.BORED)


def make_demo(db: Db) -> None:
    """Make the invented builds, unless the file has one already."""
    with db.read() as session:
        if list_builds(session).lines:
            return
    put_starters(db, NOTHING_SENT, (*USUAL, _JIG))
    half_made(Bench(db, NAME))
    ready_for_rods(Bench(db, SET_NAME))


def half_made(bench: Bench) -> None:
    """Six wheels at every stage, one casting lost, one that will not clean up."""
    bench.handled_at_once()
    _rough(bench)
    _first_axle(bench)
    _second_axle(bench)
    _third_axle(bench)


def _rough(bench: Bench) -> None:
    """The castings as they came: most of them good, W6 too thin."""
    good = {
        "rim_least": "5.52",
        "rim_most": "5.56",
        "rim_height": "0.60",
        "boss_height": "0.86",
        "boss_proud": "0.03",
    }
    for mark, weight in (("W1", "2.03 lb"), ("W2", "2.01 lb"), ("W3", "2.00 lb"), ("W7", "2.02 lb")):
        bench.receive(mark, **good, weight=weight)
    edge = {f"edge_{hour}": text for hour, text in ((12, "0.31"), (3, "0.30"), (6, "0.29"), (9, "0.30"))}
    bench.receive("W5", **good, **edge, weight="2.00 lb")
    thin = {
        "rim_least": "5.47",
        "rim_most": "5.52",
        "rim_height": "0.53",
        "boss_height": "0.80",
        "boss_proud": "0.03",
    }
    # Ticked before anybody measured it, as happens.
    bench.tick("W6", Stage.RECEIVED, with_steps=False)
    bench.receive("W6", **thin, weight="1.70 lb", blowhole="yes", note="hole beside a spoke")
    other = {
        "rim_least": "5.52",
        "rim_most": "5.55",
        "rim_height": "0.575",
        "boss_height": "0.83",
        "boss_proud": "0.02",
    }
    bench.receive("W8", **other, weight="2.02 lb")


def _first_axle(bench: Bench) -> None:
    """On its axle, treads turned, both throws logged and quartered."""
    for side, seat in (("left", "0.7499 in"), ("right", "0.7500 in")):
        bench.seat(1, side, seat)
    for mark, bore in (("W1", ("0.7511 in", "0.7512 in")), ("W2", ("0.7513 in", "0.7512 in"))):
        bench.tick(mark, *_TO_BORED)
        bench.set(mark, "bore_bore", spindle="210 rpm", feed="0.002 in/rev", tool="boring bar")
        bench.bore(mark, *bore)
        bench.size(mark, rim_height="0.505", boss_height="0.75")
        bench.throw(mark, "1.1253 in" if mark == "W1" else "1.1251 in")
    bench.list_of(1, "axlebox", "axlebox", "pump_drive", on=3)
    bench.tick("W1", Stage.PRESSED, with_steps=False)
    bench.fix_second(1, why="set to the square, heights to follow")
    for mark in ("W1", "W2"):
        bench.tick(mark, Stage.TREAD_TURNED, with_steps=False, why="light cuts")
        bench.set(
            mark, "finish_tread", spindle="70 rpm", feed="0.004 in/rev", tool="round nose", dial="0.425 in"
        )
        bench.size(mark, over_flange="5.405", tread="5.125")


def _second_axle(bench: Bench) -> None:
    """One bored and good; the other was lost, and a spare has its place, bored too large."""
    bench.seat(2, "left", "0.7498 in")
    bench.seat(2, "right", "0.7500 in")
    bench.list_of(2, "axlebox", "axlebox", "eccentric", "eccentric", on=1)
    bench.tick("W3", *_TO_BORED)
    bench.set("W3", "bore_bore", spindle="210 rpm", feed="0.002 in/rev", tool="boring bar")
    bench.bore("W3", "0.7511 in", "0.7510 in", "0.7512 in")
    bench.size("W3", rim_height="0.506", boss_height="0.751")
    bench.tick("W4", Stage.RECEIVED, Stage.BACK_FACED, with_steps=False)
    lost = bench.wheel("W4")
    scrap(bench.db, lost.id, ASKED, "bored from the back, out of the middle", False)
    axle, spare = bench.axle(2), bench.wheel("W7")
    place_spare(bench.db, axle.id, ASKED, "right", spare.id)
    bench.tick("W7", *_TO_BORED)
    bench.bore("W7", "0.7562 in", "0.7564 in")


def _third_axle(bench: Bench) -> None:
    """Hardly begun: one is being faced, the other will not clean up; a spare is in the chuck instead."""
    bench.tick("W5", Stage.RECEIVED)
    bench.true("W5", ("0", "-11", "-24", "-13"), ("0", "2", "-1", "-2"), ("0", "0", "-1", "-1"), close=True)
    bench.step("W5", "back_faced.rim_true", "back_faced.face_true")
    bench.size("W5", rim_height="0.59")
    bench.true("W8", ("47", "35", "23", "33"), close=False)
    wish, errors = read_strokes(
        typed(radial_width="1.1875", feed="0.004", depth="0.02", cut_depth="0.008", rhythm="20"), bench.build.unit,
        work_figures(bench.build).nm("stroke_cut"),
    )  # fmt: skip
    sound(errors)
    assert wish is not None  # it has no errors
    wheel = bench.wheel("W3")
    count = strokes.begin(bench.db, wheel.id, Asked(WHO, wheel.version), wish)
    strokes.keep(bench.db, wheel.id, ASKED, count, Tally(16, 16))
