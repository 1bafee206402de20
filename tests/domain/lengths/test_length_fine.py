from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.lengths import NM_PER_INCH, NM_PER_MM, Unit
from domain.lengths.fine import fine, fine_both


@pytest.mark.parametrize(
    ("nm", "unit", "text"),
    [
        (25_016_050, Unit.MM, "25.01605 mm"),
        (25_021_000, Unit.MM, "25.021 mm"),
        (25_020_500, Unit.MM, "25.0205 mm"),
        (-1_575, Unit.MM, "-0.00158 mm"),
        (0, Unit.MM, "0.000 mm"),
        (-4, Unit.MM, "0.000 mm"),
        (25_400_000, Unit.INCH, "1.0000 in"),
        (2_540, Unit.INCH, "0.0001 in"),
        (6_350, Unit.INCH, "0.00025 in"),
    ],
)
def test_as_many_decimals_as_are_needed(nm: int, unit: Unit, text: str) -> None:
    assert fine(nm, unit) == text


def test_both_systems() -> None:
    assert fine_both(6_350, Unit.INCH) == "0.00025 in (0.00635 mm)"


@given(st.integers(-(10**9), 10**9), st.sampled_from(Unit))
def test_cut_off_it_never_says_more(nm: int, unit: Unit) -> None:
    per, places = (NM_PER_MM, 5) if unit is Unit.MM else (NM_PER_INCH, 6)
    said = Fraction(fine(nm, unit, down=True).split()[0]) * per
    assert 0 <= nm - said < Fraction(per, 10**places)
