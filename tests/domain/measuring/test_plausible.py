"""What can hardly be meant, and what it may have been: worked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.lengths import Unit, parse_length
from domain.measuring.plausible import Expected, SizeRead, doubt_of, near
from domain.measuring.plausible_words import doubt_words

MM = 1_000_000


@pytest.mark.parametrize(
    ("typed", "drawn_nm", "others"),
    [
        ("0.75 thou", 19_050_000, (19_050_000,)),  # thou for inch
        ("0.75 mm", 19_050_000, (19_050_000,)),  # millimetre for inch
        ("19.05 in", 19_050_000, (19_050_000,)),  # inch for millimetre
        ("1.905 mm", 19_050_000, (19_050_000,)),  # the point
        ("190.5 mm", 19_050_000, (19_050_000,)),
        ("750 in", 19_050_000, (19_050_000,)),  # inch for thou
        ("750 mm", 19_050_000, (19_050_000,)),  # millimetre for thou
        ("3/4 in", 30_000_000, (28_575_000, 30_162_500)),  # 1 1/8 and 1 3/16 in
        ("12 mm", 19_050_000, ()),  # nothing near
    ],
)
def test_what_it_may_have_been(typed: str, drawn_nm: int, others: tuple[int, ...]) -> None:
    length = parse_length(typed, Unit.MM)
    found = doubt_of(length.nm, typed, near("bore", drawn_nm))
    assert found is not None and found.others == others


@pytest.mark.parametrize("nm", [15_240_000, 19_050_000, 19_100_000, 23_812_500])
def test_from_four_fifths_to_five_quarters_is_not_asked_about(nm: int) -> None:
    assert doubt_of(nm, "", near("bore", 19_050_000)) is None


@pytest.mark.parametrize("nm", [15_239_999, 23_812_501])
def test_just_outside_is(nm: int) -> None:
    assert doubt_of(nm, "", near("bore", 19_050_000)) is not None


@given(st.integers(1, 10**11), st.integers(1_000, 10**9))
def test_whatever_is_offered_would_not_be_asked_about(nm: int, drawn: int) -> None:
    expected = near("seat", drawn)
    found = doubt_of(nm, "1/2 in", expected)
    for other in found.others if found else ():
        assert doubt_of(other, "", expected) is None


def test_weights_are_grams_kilograms_ounces_and_pounds() -> None:
    expected = Expected("weight", 140_000, 1_260_000, 420_000, "its fellows' in the middle", SizeRead.WEIGHT)
    found = doubt_of(410_000_000, "410 kg", expected)
    assert found is not None and found.others[0] == 410_000
    assert "410 g (0.904 lb)" in doubt_words(found, Unit.MM)
    pounds = doubt_of(900, "0.9 g", expected)
    assert pounds is not None and round(0.9 * 453_592.37) in pounds.others


def test_with_nothing_near_it_says_what_to_look_at() -> None:
    found = doubt_of(12 * MM, "12", near("bore", 30 * MM))
    assert found is not None
    assert doubt_words(found, Unit.MM).endswith(
        "and the drawing's is 30.000 mm (1.1811 in). Look at the figure and its unit."
    )
