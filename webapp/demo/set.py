"""An invented set of wheels on their axles, ready for its rods; they bind, and one axle set again frees them."""

from __future__ import annotations

from collections.abc import Mapping

from domain.route.stages import CRANKPIN_HOLE, CRANKPIN_IN, Stage
from webapp.acts.heights import pair_key, store_heights
from webapp.acts.treads import log_back_to_back, log_tread
from webapp.acts.work_figures import save_work_figures
from webapp.demo.bench import ASKED, WHO, Bench, sound, typed
from webapp.facts.rods import pairs_of
from webapp.records.change import Asked
from webapp.sheets.balance.form import balance_texts
from webapp.sheets.cranks.change_pin import log_pin
from webapp.sheets.cranks.form_pin import read_pin
from webapp.sheets.rods.change import save_rods
from webapp.sheets.rods.form import read_rods
from webapp.typed.heights import read_heights
from webapp.typed.rods import name_of
from webapp.typed.size_log import read_log
from webapp.typed.tyre import AXLE_KEYS, CASTING_KEYS

NAME = "Invented six-coupled set, ready for its rods"
_SIDES = ("left", "right")
_THROWS = {"W1": "1.1251", "W2": "1.1250", "W3": "1.1250", "W4": "1.1252", "W5": "1.1249", "W6": "1.1250"}
_TREADS = {"W1": "5.125", "W2": "5.1255", "W3": "5.125", "W4": "5.1245", "W5": "5.125", "W6": "5.125"}
_PIN = {"pin_hole": "0.4376", "pin_seat": "0.4362", "pin_near": "0", "pin_far": "0.0002", "pin_over": "0.7"}
# Right and left pin over the surface plate, the axle's centre at 3 in: axle 2 is nearly half a degree out.
_HEIGHTS = {1: ("3.7955", "3.7952"), 2: ("3.7955", "3.7895"), 3: ("3.7953", "3.7956")}


def ready_for_rods(bench: Bench) -> None:
    """Every wheel on its axle, its pin in, turned, quartered and measured; the paint and the rods are still to come."""
    bench.handled_at_once()
    for number, marks in ((1, ("W1", "W2")), (2, ("W3", "W4")), (3, ("W5", "W6"))):
        for side, mark in zip(_SIDES, marks, strict=True):
            bench.seat(number, side, "0.7499 in")
            bench.tick(mark, Stage.RECEIVED, Stage.BACK_FACED, Stage.BORED, with_steps=False)
            bench.bore(mark, "0.7511 in", "0.7512 in")
            bench.throw(mark, f"{_THROWS[mark]} in")
            _pin(bench, mark)
        bench.tick(marks[0], Stage.PRESSED, with_steps=False)
        bench.fix_second(number, why="set to the square, heights to follow")
        for mark in marks:
            bench.tick(mark, Stage.TREAD_TURNED, with_steps=False, why="light cuts")
            _tread(bench, mark)
        _axle(bench, number)
    _rods(bench)
    _balance(bench)


def _pin(bench: Bench, mark: str) -> None:
    """Its crankpin, in before the wheel is fixed: its fit and how square it stands."""
    read, errors = read_pin(typed(**_PIN), bench.build.unit)
    sound(errors)
    wheel = bench.wheel(mark)
    log_pin(bench.db, wheel.id, Asked(WHO, wheel.version), read)
    bench.step(mark, CRANKPIN_HOLE, CRANKPIN_IN)


def _tread(bench: Bench, mark: str) -> None:
    sizes = {
        "flange_thickness": "0.108",
        "flange_at": "0.080",
        "flange_height": "0.138",
        "rim_height": "0.508",
        "root_radius": "0.070",
    }
    logged, errors = read_log(typed(**sizes, tread=_TREADS[mark]), CASTING_KEYS, bench.build.unit)
    sound(errors)
    wheel = bench.wheel(mark)
    log_tread(bench.db, wheel.id, Asked(WHO, wheel.version), logged)


def _axle(bench: Bench, number: int) -> None:
    logged, errors = read_log(typed(back_to_back="4.695"), AXLE_KEYS, bench.build.unit)
    sound(errors)
    axle = bench.axle(number)
    log_back_to_back(bench.db, axle.id, ASKED, logged)
    right, left = _HEIGHTS[number]
    heights, errors = read_heights(
        typed(axle="3.000", axle_way="centre", right=right, right_way="centre", right_branch="front", left=left,
              left_way="centre", left_branch="rear", expanded="0.0002"), ("right", "left"), bench.build.unit,
    )  # fmt: skip
    sound(errors)
    assert heights is not None  # it has no errors
    axle = bench.axle(number)
    store_heights(bench.db, axle.id, ASKED, heights, pair_key(axle))


def _rods(bench: Bench) -> None:
    build = bench.build
    pairs = pairs_of(build)
    texts: dict[str, str] = {"within": "0.0002", "within_clearance": "0.0001"}
    for pair in pairs:
        for key, text in (
            ("centre", "6.0000"),
            ("rod", "6.0001"),
            ("bush_front", "0.0015"),
            ("bush_rear", "0.0015"),
        ):
            texts |= {name_of(pair.axle_id, side, key): text for side in _SIDES}
    figures, errors = read_rods(typed(**texts), pairs, build.unit)
    sound(errors)
    save_rods(bench.db, bench.build_id, ASKED, figures)


def _balance(bench: Bench) -> None:
    build = bench.build
    figures: Mapping[str, str] = {
        "rotating": "90 g", "rotating_coupled": "40 g", "reciprocating": "120 g", "cylinder_planes": "6.5 in",
        "track_speed": "4 km/h", "wheel_load": "120 N", "weight_outer": "1.8 in", "weight_chord": "0.7 in",
        "weight_thickness": "0.3 in", "hole_diameter": "0.5 in", "hole_depth": "0.25 in",
    }  # fmt: skip
    texts, errors = balance_texts(typed(**figures), build.work_texts, build.unit)
    sound(errors)
    save_work_figures(bench.db, bench.build_id, ASKED, texts)
