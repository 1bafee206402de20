"""The invented set is what its name says: every pin is in, and one axle set again is all that is left before paint."""

from __future__ import annotations

from domain.route.stages import CRANKPIN_HOLE, CRANKPIN_IN
from webapp.db import Db
from webapp.demo.bench import Bench
from webapp.demo.set import NAME, ready_for_rods
from webapp.facts.crankpins import pin_of
from webapp.facts.next_work import next_work
from webapp.facts.not_right import not_right


def test_the_set_is_ready_for_its_rods(db: Db) -> None:
    bench = Bench(db, NAME)
    ready_for_rods(bench)
    build = bench.build
    wheels = [wheel for axle in build.axles for wheel in axle.wheels]
    assert len(wheels) == 6
    for wheel in wheels:
        assert {CRANKPIN_HOLE, CRANKPIN_IN} <= wheel.ticks.keys(), wheel.mark
        pin = pin_of(build, wheel)
        assert list(pin.doubts) == [], pin.words
    axle, rods = not_right(build)
    assert axle.words.startswith("axle 2: set its right wheel backwards")
    assert "the rods bind" in rods.words
    first = next_work(build).first_thing
    assert first.mend == axle and first.where == "Next, before any paint"
