import math

import pytest

from domain.joints.bond import DEFAULT_GAP, GapFit, GapRange, bond_force_n, bond_torque_nm, judge_gap


@pytest.mark.parametrize(
    ("gap_nm", "fit"),
    [
        (-1, GapFit.TOO_SMALL),
        (0, GapFit.TOO_SMALL),
        (19_999, GapFit.TOO_SMALL),
        (20_000, GapFit.BEST),
        (50_000, GapFit.BEST),
        (50_001, GapFit.WIDE),
        (100_000, GapFit.WIDE),
        (100_001, GapFit.TOO_WIDE),
    ],
)
def test_the_default_range_from_memory_with_its_limits_inside(gap_nm: int, fit: GapFit) -> None:
    # Best 0.02-0.05 mm, 0.10 mm the most for thin grades: from memory, verify.
    assert judge_gap(gap_nm) is fit


def test_the_default_says_that_it_is_a_placeholder() -> None:
    assert "from memory, verify" in DEFAULT_GAP.source
    assert "data sheet" in DEFAULT_GAP.source


@pytest.mark.parametrize("limits", [(0, 5, 10), (6, 5, 10), (2, 11, 10)])
def test_a_range_out_of_order_is_refused(limits: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="gap range"):
        judge_gap(5, GapRange(*limits, "typed"))


def test_force_is_shear_over_the_area_less_the_reductions() -> None:
    # Unrolled, a 10 mm seat bonded over 20 mm is 628.3 mm2; 20 MPa on it is 12 566 N.
    plain = bond_force_n(20, 10, 20, [], 1)
    assert plain == pytest.approx(12_566.4, abs=0.05)
    assert bond_force_n(20, 10, 20, [0.8, 0.5], 2) == pytest.approx(plain / 5)
    assert bond_torque_nm(plain, 10) == pytest.approx(62.832, abs=0.001)


@pytest.mark.parametrize(
    ("figures", "says"),
    [
        ((0, 10, 20, [], 1), "shear"),
        ((20, -1, 20, [], 1), "seat"),
        ((20, 10, math.nan, [], 1), "length"),
        ((20, 10, 20, [1.1], 1), "reduction"),
        ((20, 10, 20, [0.0], 1), "reduction"),
        ((20, 10, 20, [math.nan], 1), "reduction"),
        ((20, 10, 20, [], 0.9), "safety"),
        ((20, 10, 20, [], math.inf), "safety"),
    ],
)
def test_bad_figures_are_refused(figures: tuple[float, float, float, list[float], float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        bond_force_n(*figures)


def test_torque_refuses_bad_figures() -> None:
    with pytest.raises(ValueError, match="force"):
        bond_torque_nm(-1, 10)
    with pytest.raises(ValueError, match="seat"):
        bond_torque_nm(1, 0)
