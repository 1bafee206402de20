"""Student's t against the GUM's printed table and SciPy."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from domain.measuring.student import student_chance, student_t, student_table, student_within


@pytest.mark.parametrize(
    ("degrees", "t"),  # JCGM 100:2008 (GUM), table G.2, 95 %
    [(1, 12.71), (2, 4.30), (3, 3.18), (4, 2.78), (5, 2.57), (6, 2.45), (7, 2.36), (8, 2.31), (9, 2.26), (10, 2.23),
     (11, 2.20), (12, 2.18), (13, 2.16), (14, 2.14), (15, 2.13), (16, 2.12), (17, 2.11), (18, 2.10), (19, 2.09),
     (20, 2.09), (25, 2.06), (30, 2.04)],
)  # fmt: skip
def test_t_as_printed(degrees: int, t: float) -> None:
    # 0.0055: the print rounds 2.365 and 2.145 from their further decimals.
    assert student_t(degrees + 1) == pytest.approx(t, abs=0.0055)


def test_t_as_scipy_has_it() -> None:
    for degrees, t in enumerate(student_table()["t"], start=1):
        assert t == pytest.approx(stats.t.ppf(0.975, degrees), abs=0.00051)


def test_beyond_the_table_it_is_never_too_small() -> None:
    assert all(student_t(count) >= stats.t.ppf(0.975, count - 1) - 0.00051 for count in range(2, 2_000))


def test_one_reading_has_none() -> None:
    with pytest.raises(ValueError, match="no scatter"):
        student_t(1)


@given(st.integers(1, 400), st.floats(-1e6, 1e6))
def test_the_chance_as_scipy_has_it(degrees: int, t: float) -> None:
    both = float(stats.t.cdf(t, degrees) - stats.t.cdf(-t, degrees))
    assert student_chance(t, degrees) == pytest.approx(both, abs=1e-12)


@given(st.integers(1, 400), st.floats(0.001, 0.999))
def test_the_width_as_scipy_has_it(degrees: int, chance: float) -> None:
    t = student_within(chance, degrees)
    assert t == pytest.approx(float(stats.t.ppf((1 + chance) / 2, degrees)), rel=1e-8)
    assert student_chance(t, degrees) == pytest.approx(chance, abs=1e-12)


def test_many_degrees_come_to_the_normal_distribution() -> None:
    assert student_chance(1.0, 100_000) == pytest.approx(
        float(stats.norm.cdf(1) - stats.norm.cdf(-1)), abs=1e-5
    )


@pytest.mark.parametrize(("chance", "degrees"), [(0.0, 4), (1.0, 4), (0.5, 0), (float("nan"), 4)])
def test_what_no_t_stays_within(chance: float, degrees: int) -> None:
    with pytest.raises(ValueError, match="one degree of freedom"):
        student_within(chance, degrees)


def test_no_degree_of_freedom_has_no_chance() -> None:
    with pytest.raises(ValueError, match="one degree of freedom"):
        student_chance(1.0, 0)
