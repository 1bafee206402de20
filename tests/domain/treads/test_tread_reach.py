"""The largest tread a wheel can still be turned to, worked by hand (geometry of two circles; no published source)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.treads.group import TreadError, WheelTread, group_diameter, tread_reach

MM = 1_000_000


@pytest.mark.parametrize(
    ("sizes", "reach", "by"),
    [
        # 118 - 2 (0 + 0.5) - 2 x 2
        ({"rim_least_nm": 118 * MM}, 113 * MM, "its rough rim, for the flange"),
        # 118 - 2 (0.3 + 0.5) - 4
        ({"rim_least_nm": 118 * MM, "eccentricity_nm": 300_000}, 112_400_000, "its rough rim, for the flange"),
        # A step cast 112 reaches 111, less than the 113 that the flange would leave.
        ({"rim_least_nm": 118 * MM, "rough_tread_nm": 112 * MM}, 111 * MM, "its rough rim at the tread"),
        ({"rough_tread_nm": 112 * MM}, 111 * MM, "its rough rim at the tread"),
        # A turned flange takes no cut any more.
        ({"rim_least_nm": 118 * MM, "over_flange_nm": 114 * MM}, 110 * MM, "its flange as turned"),
        ({"over_flange_nm": 114 * MM, "tread_nm": 109_900_000}, 109_900_000, "its tread as turned"),
    ],
)  # fmt: skip
def test_by_hand(sizes: dict[str, int], reach: int, by: str) -> None:
    found = tread_reach(2 * MM, 500_000, Unit.MM, **sizes)  # type: ignore[arg-type]
    assert found is not None
    assert (found.nm, found.decided_by) == (reach, by)
    assert found.working_for("W1").name == "largest tread of W1"


def test_nothing_measured_reaches_nothing_known() -> None:
    assert tread_reach(2 * MM, 500_000, Unit.MM) is None


@pytest.mark.parametrize("wrong", [{"rim_least_nm": 0}, {"over_flange_nm": -1}, {"eccentricity_nm": -1}])
def test_a_size_that_cannot_be(wrong: dict[str, int]) -> None:
    with pytest.raises(TreadError, match="more than nothing"):
        tread_reach(2 * MM, 500_000, Unit.MM, **wrong)  # type: ignore[arg-type]


@settings(max_examples=60)
@given(st.integers(60 * MM, 200 * MM), st.integers(0, 2 * MM), st.integers(0, MM))
def test_what_is_reached_can_be_turned(rim: int, eccentricity: int, cut: int) -> None:
    """Turned to its reach, the thinnest place of the rim over the flange still gives the least cut."""
    found = tread_reach(2 * MM, cut, Unit.MM, rim_least_nm=rim, eccentricity_nm=eccentricity)
    assert found is not None
    over_flange = found.nm + 2 * 2 * MM
    assert (rim - over_flange) / 2 - eccentricity == cut
    group = group_diameter(300 * MM, {"A": WheelTread(rim, found.nm)}, 0, Unit.MM)
    assert group.diameter_nm == found.nm
