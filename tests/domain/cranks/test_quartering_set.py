"""All axles side by side: what is shared adds nothing, and the best re-setting against trying them all."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.cranks.cylinders import Side
from domain.cranks.quartering import QuarteringError
from domain.cranks.quartering_set import AxleAngle, AxleSet, axle_turn, compare_axles, rod_play_nm
from domain.cranks.words import agree_words, order_words, set_words
from domain.lengths import Unit
from domain.measuring.decision_types import Conformity

R = 22_225_000
OFFS = st.lists(st.floats(-1, 1), min_size=2, max_size=6)


def compare(offs, wanted=90.0, allowed=None, u=0.0, lead=Side.RIGHT) -> AxleSet:  # type: ignore[no-untyped-def]
    axles = [AxleAngle(n + 1, wanted + off, u) for n, off in enumerate(offs)]
    return compare_axles(axles, wanted, lead, R, allowed)


@given(OFFS, st.floats(-5, 5))
def test_a_shared_departure_adds_nothing(offs: list[float], shared: float) -> None:
    one, two = compare(offs), compare([off + shared for off in offs])
    assert two.spread_deg == pytest.approx(one.spread_deg, abs=1e-9)
    assert abs(two.play_nm - one.play_nm) <= 1
    assert two.shared_deg == pytest.approx(one.shared_deg + shared, abs=1e-9)
    for a, b in zip(one.axles, two.axles, strict=True):
        assert b.off_fellows_deg == pytest.approx(a.off_fellows_deg, abs=1e-9)
        assert b.reset_deg == pytest.approx(a.reset_deg, abs=1e-9)


@given(OFFS, st.randoms(use_true_random=False))
def test_the_order_does_not_matter(offs: list[float], chance) -> None:  # type: ignore[no-untyped-def]
    axles = [AxleAngle(n, 90 + off) for n, off in enumerate(offs)]
    mixed = axles[:]
    chance.shuffle(mixed)
    one, two = (compare_axles(a, 90.0, Side.LEFT, R) for a in (axles, mixed))
    assert one.spread_deg == two.spread_deg
    assert (one.reset is None) is (two.reset is None)
    assert {x.axle: x.reset_deg for x in one.axles} == {x.axle: x.reset_deg for x in two.axles}


@given(OFFS)
@settings(max_examples=60)
def test_no_single_re_setting_does_better(offs: list[float]) -> None:
    found = compare(offs)
    trials = []
    for axle, at in itertools.product(range(len(offs)), np.linspace(-1.2, 1.2, 121)):
        tried = [*offs]
        tried[axle] = float(at)
        trials.append(max(tried) - min(tried))
    after = found.reset.spread_after_deg if found.reset else found.spread_deg
    assert after <= min(trials) + 1e-9
    if found.reset:
        tried = [*offs]
        tried[found.reset.axle - 1] += found.reset.reset_deg
        assert max(tried) - min(tried) == pytest.approx(after, abs=1e-9)


@given(st.lists(st.integers(-1000, 1000), min_size=2, max_size=6), st.integers(10, 1000))
def test_the_fewest_to_re_set_is_the_fewest(thousandths: list[int], allowed_thousandths: int) -> None:
    offs, allowed = [n / 1000 for n in thousandths], allowed_thousandths / 1000
    found = compare(offs, allowed=allowed)
    assert found.must_reset is not None
    assert found.must_to_deg is not None

    def lies_within(kept: tuple[float, ...]) -> bool:
        return max(kept) - min(kept) <= allowed + 1e-9  # the offs themselves are in steps of 0.001

    most = max(n for n in range(1, len(offs) + 1) for c in itertools.combinations(offs, n) if lies_within(c))
    assert len(found.must_reset) == len(offs) - most
    after = [found.must_to_deg - 90 if n + 1 in found.must_reset else off for n, off in enumerate(offs)]
    assert lies_within(tuple(after))


@given(st.floats(30, 150))
def test_the_play_is_the_largest_over_a_turn(wanted: float) -> None:
    turned = np.radians(np.arange(0, 360, 0.01) + 0.005)
    p, q = np.abs(np.sin(turned)), np.abs(np.sin(turned + math.radians(wanted)))
    largest = R * math.radians(0.3) * np.max(p * q / (p + q))
    assert rod_play_nm(0.3, R, wanted) == pytest.approx(
        largest, abs=1.01
    )  # rounded up, and the turn in steps


def test_the_play_against_the_rods_themselves() -> None:
    """Two axles 150 mm apart, throw 25.4, 0.30 degrees of mismatch: the pins' distances, exactly, at every position."""
    r, c, off = 25.4, 150.0, math.radians(0.30)
    turned = np.radians(np.arange(0, 360, 0.5))[:, None]
    phase = np.radians(np.linspace(-0.35, 0.35, 1401))[None, :]

    def error(first: np.ndarray, second: np.ndarray) -> np.ndarray:
        return np.abs(
            np.hypot(c + r * (np.cos(second) - np.cos(first)), r * (np.sin(second) - np.sin(first))) - c
        )

    right = error(turned, turned + phase)
    left = error(turned + math.pi / 2, turned + math.pi / 2 + off + phase)
    exact = float(np.max(np.min(np.maximum(right, left), axis=1)))
    assert rod_play_nm(0.30, 25_400_000) / 1e6 == pytest.approx(exact, rel=0.005)
    assert rod_play_nm(0.30, 25_400_000) / 1e6 == pytest.approx(0.04702, abs=5e-6)


def test_one_axle_stands_out_in_words() -> None:
    found = compare([0.05, 0.35, 0.07], allowed=0.1, u=0.03)
    assert found.answer is Conformity.OUTSIDE
    assert (found.worst.axle, found.must_reset) == (2, (2,))
    assert found.worst.off_fellows_deg == pytest.approx(0.29)
    assert found.worst.expanded_deg == pytest.approx(math.hypot(0.03, 0.015, 0.015))
    assert found.spread_expanded_deg == pytest.approx(0.03 * math.sqrt(2))
    # 22.225 x 0.3 degrees / (2 sqrt 2) = 0.04114 mm
    assert set_words(found, Unit.MM) == (
        "The axles lie within 0.30 degrees of each other (uncertainty 0.04 degrees), which asks for"
        " 0.041 mm (0.0016 in) of length play in each rod. That is more than is allowed. On average they are"
        " 0.16 degrees more than the drawing. A shared departure from the drawing does not bind the rods."
    )
    ((axle, turn),) = found.to_set
    assert (axle, turn) == (2, pytest.approx(-0.29))
    assert agree_words(found) == "Then all agree within 0.02 degrees."
    # 22.225 x 0.29 degrees in radians
    order = order_words(axle_turn(axle, turn, R, Side.RIGHT, Side.RIGHT), Unit.MM)
    assert (
        order == "axle 2: set its right wheel backwards by 0.29 degrees, 0.112 mm (0.0044 in) at the crankpin"
    )


@pytest.mark.parametrize(
    ("turn", "side", "lead", "forwards"),
    [
        (0.3, Side.RIGHT, Side.RIGHT, True),
        (-0.3, Side.RIGHT, Side.RIGHT, False),
        (0.3, Side.LEFT, Side.RIGHT, False),
        (0.3, Side.RIGHT, Side.LEFT, False),
        (-0.3, Side.RIGHT, Side.LEFT, True),
        (0.3, Side.LEFT, Side.LEFT, True),
    ],
)
def test_the_angle_grows_when_the_crank_ahead_goes_forwards(
    turn: float, side: Side, lead: Side, forwards: bool
) -> None:
    """As the turn that the axle's own sheet works out by the heights of its pins."""
    found = axle_turn(1, turn, R, side, lead)
    assert (found.forwards, found.arc_nm) == (forwards, round(R * math.radians(0.3)))


def test_two_against_two_need_two() -> None:
    found = compare([0.0, 0.0, 0.3, 0.3], allowed=0.1)
    assert found.reset is None
    assert found.must_reset is not None
    assert len(found.must_reset) == 2
    assert agree_words(found) == "One axle alone will not do it."
    assert [axle for axle, _ in found.to_set] == list(found.must_reset)
    assert [abs(turn) for _, turn in found.to_set] == pytest.approx([0.3, 0.3])


def test_of_two_the_one_further_from_the_drawing_is_re_set() -> None:
    found = compare([0.02, -0.3], allowed=0.1)
    assert found.reset is not None
    assert found.reset.axle == 2
    assert found.reset.spread_after_deg == 0
    assert found.to_set == ((2, pytest.approx(0.32)),)
    assert agree_words(found) == "Then all agree within 0.00 degrees."


def test_within_the_uncertainty_nothing_is_re_set() -> None:
    unsure = compare([0.0, 0.05, 0.0], u=0.1, allowed=0.06)
    assert unsure.answer is Conformity.CANNOT_TELL
    assert unsure.to_set == () and agree_words(unsure) == "Measure more finely before setting one again."
    # 0.2 less 0.825 x 0.165 sqrt 2 is more than 0.005; yet 0.2 is less than 0.165 sqrt 1.5.
    none = compare([0.0, 0.2, 0.0], u=0.165, allowed=0.005)
    assert none.answer is Conformity.OUTSIDE and none.to_set == ()
    assert agree_words(none).startswith("None stands out by more than the uncertainty")
    good = compare([0.2, 0.21, 0.2], u=0.001, allowed=0.1)
    assert good.answer is Conformity.INSIDE
    assert set_words(good, Unit.MM).endswith("A shared departure from the drawing does not bind the rods.")
    assert good.to_set == () and agree_words(good) == ""


@pytest.mark.parametrize(
    ("angles", "more", "says"),
    [
        ([AxleAngle(1, 90)], {}, "One axle has no fellow"),
        ([AxleAngle(1, 90), AxleAngle(1, 90)], {}, "given twice"),
        ([AxleAngle(1, 90), AxleAngle(2, math.nan)], {}, "must be a number"),
        ([AxleAngle(1, 90), AxleAngle(2, 270)], {}, "Axle 2 has the other side ahead"),
        ([AxleAngle(1, 90), AxleAngle(2, 90, -1)], {}, "below nothing"),
        ([AxleAngle(1, 90), AxleAngle(2, 90)], {"lead": Side.INSIDE}, "choose left or right"),
        ([AxleAngle(1, 90), AxleAngle(2, 90)], {"throw_nm": 0}, "throw must be"),
        ([AxleAngle(1, 90), AxleAngle(2, 90)], {"wanted_deg": 180.0}, "between 0 and 180"),
        ([AxleAngle(1, 90), AxleAngle(2, 90)], {"allowed_deg": 0.0}, "must be more than nothing"),
    ],
)
def test_what_cannot_be_is_refused(angles: list[AxleAngle], more: dict[str, object], says: str) -> None:
    given = {"wanted_deg": 90.0, "lead": Side.RIGHT, "throw_nm": R, **more}
    with pytest.raises(QuarteringError, match=says):
        compare_axles(angles, **given)  # type: ignore[arg-type]
