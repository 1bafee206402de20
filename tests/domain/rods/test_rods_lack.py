"""How unsure the play is, by simulation, and what is made of it."""

import math
import random
from dataclasses import replace

import pytest

from domain.rods.engine import EngineFigure, FigureKind, RodAxle, RodEngine, RodSide, RodSpan, shape_of
from domain.rods.exact import Shape, needed_play
from domain.rods.lack import RodsAnswer, judge_lack, lack_mm

AXLE = RodAxle(25_400_000, 25_400_000, 90.0, 10_000, 10_000, 0.03)
SIDE = RodSide(150_000_000, 150_000_000, 120_000, 0, 12_000, 8_000, 5_000)


def engine_of(turn_deg: float = 0.0, longer_nm: int = 0, **changes: int | None) -> RodEngine:
    side = replace(SIDE, rod_nm=150_000_000 + longer_nm, **changes)
    return RodEngine((AXLE, replace(AXLE, quarter_deg=90.0 + turn_deg)), (RodSpan(side, side),))


def thrown(shape: Shape, rnd: random.Random) -> Shape:
    """The pair as it may truly be: each measurement off by a normal error of half its U."""
    return Shape(
        *(getattr(shape, f"c_{s}") + rnd.gauss(0, 0.006) for s in ("left", "right")),
        *(getattr(shape, f"l_{s}") + rnd.gauss(0, 0.004) for s in ("left", "right")),
        *(mm + rnd.gauss(0, 0.005) for mm in shape[4:8]),
        *(q + rnd.gauss(0, math.radians(0.015)) for q in shape[8:]),
    )


@pytest.mark.parametrize(("turn_deg", "longer_nm"), [(0.0, 0), (0.5, 0), (0.2, 30_000)])
def test_the_truth_lies_outside_once_in_twenty_on_each_side(turn_deg: float, longer_nm: int) -> None:
    """The exact play of true sizes drawn here, against the range found to first order from other draws."""
    engine = engine_of(turn_deg, longer_nm, clearance_nm=None, clearance_u_nm=0)
    lack, shape, rnd = judge_lack(engine, 0), shape_of(engine, 0), random.Random(5)
    drawn = [needed_play(thrown(shape, rnd), positions=72).worst for _ in range(600)]
    # 5 % of 600 is 30, with a standard deviation of 5.3.
    assert 12 <= sum(mm > lack.high_mm for mm in drawn) <= 52
    assert 12 <= sum(mm < lack.low_mm for mm in drawn) <= 52


def test_the_quartering_contributes_by_its_slope() -> None:
    """r U / (2 sqrt 2) where the mismatch is well away from nothing."""
    lack = judge_lack(engine_of(1.0), 0)
    effect = {str(one.figure): one.effect_mm for one in lack.contributions}
    assert effect["axle.2.quarter"] == pytest.approx(25.4 * math.radians(0.03) / (2 * math.sqrt(2)), rel=0.02)
    assert effect["axle.1.quarter"] == effect["axle.2.quarter"]
    assert effect["span.1.left.clearance"] == pytest.approx(0.0025)


def test_nothing_wrong_is_unsure_all_the_same() -> None:
    """A slope there is nothing; the play can only grow."""
    effect = {one.figure: one.effect_mm for one in judge_lack(engine_of(), 0).contributions}
    lengths = [mm for at, mm in effect.items() if at.kind in (FigureKind.CENTRE, FigureKind.ROD)]
    throws = [mm for at, mm in effect.items() if at.kind is FigureKind.THROW]
    assert len(lengths) == len(throws) == 4
    # Centre and rod of a side off by U together; throws of a side likewise, whole at its dead centre.
    assert math.hypot(*lengths) == pytest.approx(math.hypot(0.012, 0.008), rel=0.01)
    assert math.hypot(*throws) == pytest.approx(math.hypot(0.010, 0.010), rel=0.01)


@pytest.mark.parametrize(
    ("turn_deg", "answer"), [(0.0, RodsAnswer.GOES), (0.38, RodsAnswer.CANNOT_TELL), (0.8, RodsAnswer.BINDS)]
)
def test_the_three_answers(turn_deg: float, answer: RodsAnswer) -> None:
    assert judge_lack(engine_of(turn_deg), 0).answer is answer


def test_without_clearance_there_is_no_answer_but_a_play() -> None:
    lack = judge_lack(engine_of(0.5, clearance_nm=None), 0)
    assert lack.answer is RodsAnswer.NO_CLEARANCE
    assert lack.mm == pytest.approx(needed_play(shape_of(engine_of(0.5), 0)).worst)


def test_exact_measurements_always_tell() -> None:
    axle = RodAxle(25_400_000, 25_400_000, 90.0)
    side = RodSide(150_000_000, 150_050_000, 100_000)
    for clearance, answer in ((100_500, RodsAnswer.GOES), (99_500, RodsAnswer.BINDS)):
        exact = replace(side, clearance_nm=clearance)
        assert judge_lack(RodEngine((axle, axle), (RodSpan(exact, exact),)), 0).answer is answer


def test_making_the_settling_measurement_better_settles_it() -> None:
    engine = engine_of(0.34)
    lack = judge_lack(engine, 0)
    assert lack.answer is RodsAnswer.CANNOT_TELL and lack.settling is not None
    better = engine
    for field in lack.settling.figures:
        better = _with_u(better, field, 0.97 * lack.settling.share)
    assert judge_lack(better, 0).answer is not RodsAnswer.CANNOT_TELL
    worse = engine
    for field in lack.settling.figures:
        worse = _with_u(worse, field, min(1.0, 1.05 * lack.settling.share))
    assert judge_lack(worse, 0).answer is RodsAnswer.CANNOT_TELL


def _with_u(engine: RodEngine, figure: EngineFigure, share: float) -> RodEngine:
    at, side = figure.place - 1, str(figure.side)
    if not figure.of_rods:
        name = "quarter_u_deg" if figure.kind is FigureKind.QUARTER else f"{side}_throw_u_nm"
        axles = list(engine.axles)
        axles[at] = replace(axles[at], **{name: getattr(axles[at], name) * share})
        return replace(engine, axles=tuple(axles))
    name, rod = f"{figure.kind}_u_nm", getattr(engine.spans[at], side)
    spans = list(engine.spans)
    spans[at] = replace(spans[at], **{side: replace(rod, **{name: round(getattr(rod, name) * share)})})
    return replace(engine, spans=tuple(spans))


def test_unlike_clearances_are_each_counted() -> None:
    """A rod 0.06 mm too long on the left needs its 0.06 there; the right needs none at the left's dead centre."""
    axle = RodAxle(25_400_000, 25_400_000, 90.0)
    loose, tight = RodSide(150_000_000, 150_060_000, 130_000), RodSide(150_000_000, 150_000_000, 20_000)
    mm, _ = lack_mm(RodEngine((axle, axle), (RodSpan(loose, tight),)), 0)
    assert mm == pytest.approx(0.06 - 0.065, abs=2e-4)
    mm, _ = lack_mm(
        RodEngine(
            (axle, axle),
            (RodSpan(replace(loose, clearance_nm=20_000), replace(tight, clearance_nm=130_000)),),
        ),
        0,
    )
    assert mm == pytest.approx(0.06 - 0.01, abs=2e-4)


def test_a_play_measured_as_in_hand_is_never_said_to_bind() -> None:
    """Of an engine with no fault found, nearly every draw needs some play; the measurements still say it goes."""
    lack = judge_lack(engine_of(clearance_nm=2_000), 0)
    assert lack.mm < 0 < lack.low_mm
    assert lack.answer is RodsAnswer.CANNOT_TELL


def test_the_same_answer_every_time() -> None:
    assert judge_lack(engine_of(0.3), 0) == judge_lack(engine_of(0.3), 0)


def test_play_is_half_the_summed_clearance() -> None:
    assert SIDE.play_mm == 0.06
    assert replace(SIDE, clearance_nm=None).play_mm == 0.0
