import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.joints.friction import Friction, friction, frictions
from domain.joints.kinds import FitKind
from domain.joints.roughness import Roughness, edition, editions, effective_interference_nm, smoothing_nm

rough = st.builds(Roughness, st.integers(0, 60_000), st.integers(0, 60_000))


def test_each_edition_takes_its_own_share() -> None:
    # DIN 7190:2001 takes 0.8 (RzA + RzI), DIN 7190-1:2017 takes 0.4. Rz 10 and 6.3 um: 13.04 and 6.52 um.
    surfaces = Roughness(10_000, 6_300)
    assert smoothing_nm(surfaces, edition("din-7190-2001")) == 13_040
    assert smoothing_nm(surfaces, edition("din-7190-1-2017")) == 6_520
    assert effective_interference_nm(30_000, surfaces, edition("din-7190-2001")) == 16_960


def test_the_share_is_from_memory_and_says_so() -> None:
    # DIN 7190:2001 and DIN 7190-1:2017, k from memory, verify: no copy of either is at hand.
    assert all("from memory, verify" in one.source for one in editions())


def test_the_default_claims_the_least_grip() -> None:
    surfaces = Roughness(10_000, 6_300)
    assert effective_interference_nm(30_000, surfaces) == min(
        effective_interference_nm(30_000, surfaces, one) for one in editions()
    )


@given(st.integers(-200_000, 200_000), rough, st.sampled_from(editions()))
def test_what_is_left_is_never_below_zero_nor_more_than_was_measured(
    delta: int, surfaces: Roughness, rule
) -> None:
    left = effective_interference_nm(delta, surfaces, rule)
    assert 0 <= left <= max(0, delta)
    assert left in (0, delta - smoothing_nm(surfaces, rule))


@given(st.integers(-200_000, 200_000))
def test_a_mirror_takes_nothing_off(delta: int) -> None:
    assert effective_interference_nm(delta) == max(0, delta)


@pytest.mark.parametrize(("surfaces", "says"), [(Roughness(-1, 0), "bore"), (Roughness(0, -1), "seat")])
def test_a_roughness_below_zero_is_refused(surfaces: Roughness, says: str) -> None:
    with pytest.raises(ValueError, match=f"roughness Rz of the {says}"):
        smoothing_nm(surfaces)


def test_an_unknown_edition_is_refused_with_those_known() -> None:
    with pytest.raises(ValueError, match="din-7190-2001, din-7190-1-2017"):
        edition("1972")


def test_shrink_friction_is_the_standard_s() -> None:
    # DIN 7190-1, shrink fit, steel in cast iron: 0.16 degreased, 0.10 with oil.
    assert friction(FitKind.SHRINK, "degreased").least == friction(FitKind.SHRINK, "degreased").most == 0.16
    assert friction(FitKind.SHRINK, "oiled").least == friction(FitKind.SHRINK, "oiled").most == 0.10


def test_press_friction_is_from_memory_and_says_so() -> None:
    # Steel pressed into EN-GJL-250, dry 0.11-0.12, oiled 0.05-0.06: from memory, verify.
    dry, oiled = friction(FitKind.PRESS, "dry"), friction(FitKind.PRESS, "oiled")
    assert (dry.least, dry.most, oiled.least, oiled.most) == (0.11, 0.12, 0.05, 0.06)
    assert dry.middle == pytest.approx(0.115)
    assert all("from memory, verify" in one.source for one in frictions(FitKind.PRESS))


def test_a_bond_and_an_unknown_state_have_no_friction() -> None:
    with pytest.raises(ValueError, match="not by friction"):
        frictions(FitKind.BOND)
    with pytest.raises(ValueError, match="degreased, oiled"):
        friction(FitKind.SHRINK, "dry")


@pytest.mark.parametrize(
    ("least", "most"), [(0.0, 0.1), (0.2, 0.1), (-0.1, 0.1), (0.1, float("inf")), (float("nan"), 0.1)]
)
def test_friction_out_of_order_is_refused(least: float, most: float) -> None:
    with pytest.raises(ValueError, match="least to most"):
        Friction("own", "as typed", least, most, "typed")
