"""Which fault causes most of the play, and what puts it right."""

import math
import random
from dataclasses import replace

import pytest

from domain.rods.engine import RodAxle, RodEngine, RodSide, RodSpan, shape_of
from domain.rods.exact import Shape, needed_play
from domain.rods.remedies import (
    Correction,
    Fault,
    Job,
    alone,
    causes_of,
    corrected,
    main_cause,
    plan_of,
    proposals_of,
    righted,
    size_of,
)

QUARTER = math.pi / 2
PLAIN = Shape(150.0, 150.0, 150.0, 150.0, 25.4, 25.4, 25.4, 25.4, QUARTER, QUARTER)
WRONG = {
    Fault.LEFT_THROWS: {"r2_left": 25.5},
    Fault.RIGHT_THROWS: {"r2_right": 25.3},
    Fault.QUARTERING: {"q2": QUARTER + math.radians(0.4)},
    Fault.LEFT_ROD: {"l_left": 150.1},
    Fault.RIGHT_ROD: {"l_right": 149.9},
    Fault.BOTH_RODS: {"l_left": 150.1, "l_right": 150.1},
}


def engine_of(
    angles: list[float], rods: list[tuple[int, int]] | None = None, clearance: int | None = 60_000
) -> RodEngine:
    """Axles of these quarter angles; rods: by how many nm left and right are longer than their axle centres."""
    axles = tuple(RodAxle(25_400_000, 25_400_000, angle) for angle in angles)
    longer = rods or [(0, 0)] * (len(angles) - 1)
    spans = tuple(
        RodSpan(*(RodSide(c, c + more, clearance) for more in both))
        for c, both in zip(
            (150_000_000, 180_000_000, 140_000_000, 160_000_000, 150_000_000), longer, strict=False
        )
    )
    return RodEngine(axles, spans)


@pytest.mark.parametrize("fault", Fault)
def test_a_single_fault_is_found_and_is_all_of_it(fault: Fault) -> None:
    shape = PLAIN._replace(**WRONG[fault])
    found = main_cause(causes_of(shape))
    assert found is not None and found.fault is fault
    assert found.without_mm == pytest.approx(0.0, abs=1e-9)
    assert found.alone_mm == pytest.approx(needed_play(shape).worst)
    assert found.share == pytest.approx(1.0)


@pytest.mark.parametrize("fault", Fault)
def test_alone_keeps_that_fault_only(fault: Fault) -> None:
    everything = PLAIN
    for changes in (WRONG[one] for one in Fault if one is not Fault.BOTH_RODS):
        everything = everything._replace(**changes)
    left = alone(everything, fault)
    assert size_of(left, fault) == pytest.approx(size_of(everything, fault))
    assert righted(left, fault) == pytest.approx(alone(righted(everything, fault), fault))


def test_the_largest_of_several_is_named() -> None:
    shape = PLAIN._replace(q2=QUARTER + math.radians(0.5), l_left=150.02, r2_right=25.41)
    found = main_cause(causes_of(shape))
    assert found is not None and found.fault is Fault.QUARTERING
    assert found.gain_mm == pytest.approx(
        needed_play(shape).worst - needed_play(shape._replace(q1=shape.q2)).worst, rel=1e-3
    )


def test_equal_throw_errors_on_both_sides_have_no_single_cause() -> None:
    assert main_cause(causes_of(PLAIN._replace(r2_left=25.45, r2_right=25.45))) is None


def test_without_a_fault_there_is_no_cause() -> None:
    assert causes_of(PLAIN) == ()
    assert main_cause(()) is None


@pytest.mark.parametrize("seed", range(4))
def test_no_other_angle_serves_better_than_the_neighbours(seed: int) -> None:
    """With rods of the right length and any throws: to first order the play is the same for +turn and -turn."""
    rnd = random.Random(seed)
    throws = [25.4 + rnd.gauss(0, 0.02) for _ in range(4)]
    q1 = QUARTER + rnd.gauss(0, 0.01)
    chosen = needed_play(Shape(150, 150, 150, 150, *throws, q1, q1)).worst
    for turn in (-0.3, -0.1, -0.03, 0.03, 0.1, 0.3):
        other = needed_play(Shape(150, 150, 150, 150, *throws, q1, q1 + math.radians(turn))).worst
        assert other > chosen - 0.0003


@pytest.mark.parametrize("seed", range(4))
def test_no_other_pair_of_rods_serves_better_than_the_axle_centres(seed: int) -> None:
    """With any throws and angles: half a turn on, both rods wrong pull the other way, so right is least."""
    rnd = random.Random(seed)
    throws = [25.4 + rnd.gauss(0, 0.02) for _ in range(4)]
    angles = [QUARTER + rnd.gauss(0, 0.004) for _ in range(2)]
    chosen = needed_play(Shape(150, 150, 150, 150, *throws, *angles)).worst
    for left in (-0.05, -0.01, 0.0, 0.01, 0.05):
        for right in (-0.05, 0.0, 0.02):
            assert (
                needed_play(Shape(150, 150, 150 + left, 150 + right, *throws, *angles)).worst
                > chosen - 0.0003
            )


def test_one_axle_off_is_the_one_to_set() -> None:
    best = proposals_of(engine_of([90.02, 90.02, 90.45, 90.02]))[0]
    assert (best.correction.job, best.correction.place) == (Job.SET_AXLE, 3)
    assert best.correction.turn_deg == pytest.approx(-0.43)
    assert best.before_mm == pytest.approx(25.4 * math.radians(0.43) / (2 * math.sqrt(2)), rel=0.01)
    assert best.after_mm == pytest.approx(0.0, abs=1e-6)
    assert best.frees is True


def test_a_proposal_keeps_what_it_promises() -> None:
    engine = engine_of([90.0, 90.4, 90.1], [(30_000, -10_000), (5_000, 60_000)])
    for one in proposals_of(engine):
        after = corrected(engine, one.correction)
        touched = one.correction.touched(3)
        assert one.before_mm == max(needed_play(shape_of(engine, span)).worst for span in touched)
        assert one.after_mm == max(needed_play(shape_of(after, span)).worst for span in touched)


def test_two_rods_wrong_alike_are_both_bored() -> None:
    best = proposals_of(engine_of([90.0, 90.0], [(80_000, 80_000)]))[0]
    assert best.correction == Correction(Job.BOTH_RODS, 1, left_nm=-80_000, right_nm=-80_000)
    assert best.frees is True


def test_between_two_neighbours_that_differ_the_worse_span_is_least() -> None:
    engine = engine_of([90.0, 90.5, 90.2], clearance=None)
    second = next(one.correction for one in proposals_of(engine) if one.correction.place == 2)
    assert 90.5 + second.turn_deg == pytest.approx(90.1, abs=0.01)


def test_throws_that_differ_have_no_cure_here() -> None:
    engine = engine_of([90.0, 90.0])
    first = engine.axles[0]
    wrong = replace(
        engine, axles=(first, replace(first, left_throw_nm=25_500_000, right_throw_nm=25_500_000))
    )
    assert proposals_of(wrong) == ()
    assert plan_of(wrong) == ()


def test_a_plan_goes_on_until_the_rods_go() -> None:
    engine = engine_of([90.0, 90.5, 90.0], [(0, 0), (120_000, 120_000)])
    plan = plan_of(engine)
    assert [step.frees for step in plan] == [False, True]
    assert {step.correction.job for step in plan} == {Job.SET_AXLE, Job.BOTH_RODS}


@pytest.mark.parametrize("wanted", [90.0, 90.3])
def test_of_two_that_differ_the_one_further_from_the_drawing_is_set_again(wanted: float) -> None:
    """To set either frees the rods alike: it is the drawing's angle that says which of the two is out."""
    engine = replace(engine_of([90.0, 90.3]), wanted_deg=wanted)
    first, second = proposals_of(engine)[:2]
    assert first.correction.place == (2 if wanted == 90.0 else 1)
    assert first.after_mm == pytest.approx(second.after_mm)
    # Throws that differ by less than a hundredth of a millimetre change nothing of it.
    uneven = replace(engine, axles=(engine.axles[0], replace(engine.axles[1], right_throw_nm=25_401_000)))
    assert proposals_of(uneven)[0].correction.place == first.correction.place
