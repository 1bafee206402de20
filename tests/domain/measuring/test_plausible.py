"""What can hardly be meant, and what it may have been: worked by hand."""

from dataclasses import replace
from fractions import Fraction

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
        ("19050 mm", 19_050_000, (19_050_000,)),  # the point forgotten
        ("7512 mm", 751_200, (751_200,)),
        ("7512.0 mm", 751_200, ()),  # it was not
        ("1.9905", 1_905_000, ()),  # in its limits as it is: nobody asks
        ("11.125 in", 28_575_000, (28_575_000,)),  # a digit twice, and likelier than the point
        ("55,12 mm", 5_125_000, (5_120_000,)),
        ("2 1/4 in", 2_250_000, (2_250_000,)),  # a fraction's unit
        ("3/4 in", 30_000_000, ()),  # no slip of unit, point or digit
        # 0.058 x 25.4 = 1.4732, but nobody meant 1.4732 in who typed 0.058 in.
        ("0.058 in", 37_000_000, ()),
        ("0.058", 1_473_200, (1_473_200,)),  # typed as millimetres it may be inches
        ("12 mm", 19_050_000, ()),  # nothing near
    ],
)
def test_what_it_may_have_been(typed: str, drawn_nm: int, others: tuple[int, ...]) -> None:
    length = parse_length(typed, Unit.MM)
    found = doubt_of(length.nm, typed, near("bore", drawn_nm))
    assert (found.others if found is not None else ()) == others


@pytest.mark.parametrize("nm", [15_240_000, 19_050_000, 19_100_000, 23_812_500])
def test_from_four_fifths_to_five_quarters_is_not_asked_about(nm: int) -> None:
    assert doubt_of(nm, "", near("bore", 19_050_000)) is None


@pytest.mark.parametrize("nm", [15_239_999, 23_812_501])
def test_just_outside_is(nm: int) -> None:
    assert doubt_of(nm, "", near("bore", 19_050_000)) is not None


def texts() -> st.SearchStrategy[str]:
    """Figures as they may be typed, in every unit and in none."""
    plain = st.decimals(min_value="0.0001", max_value="3900", places=4).map(
        lambda one: f"{one:f}".rstrip("0").rstrip(".")
    )
    fractions = st.tuples(st.integers(1, 99), st.sampled_from([2, 4, 8, 16, 32])).map(
        lambda two: f"{two[0]}/{two[1]}"
    )
    units = st.sampled_from(["", " mm", " in", " thou"])
    return st.tuples(plain, units).map("".join) | fractions.map(lambda one: f"{one} in")


@given(
    texts(),
    st.sampled_from(list(Unit)),
    st.integers(100_000, 10**9),
    st.fractions("1/4", 1),
    st.fractions(1, 4),
)
def test_whatever_is_offered_lies_nearer_and_would_not_be_asked_about(
    text: str, bare: Unit, drawn: int, least: Fraction, most: Fraction
) -> None:
    typed, expected = parse_length(text, bare), near("seat", drawn, least=least, most=most)
    found = doubt_of(typed.nm, text, expected)
    for other in found.others if found else ():
        assert doubt_of(other, "", expected) is None
        assert abs(other - drawn) < abs(typed.nm - drawn)
        assert max(other, drawn) * min(typed.nm, drawn) < max(typed.nm, drawn) * min(other, drawn)


@given(st.integers(1, 10**11), st.integers(0, 10**8), st.integers(1, 10**9))
def test_with_limits_only_what_is_offered_lies_between_them(nm: int, least: int, room: int) -> None:
    expected = Expected("height of the pin", least, least + room)
    found = doubt_of(nm, "1/2 in", expected)
    for other in found.others if found else ():
        assert least <= other <= least + room


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


def test_a_casting_many_times_its_wheel_cannot_be() -> None:
    """Five times the drawing's figure: 5 x 16 = 80 mm may still be said yes to, more not. A reading always may."""
    boss = replace(near("boss", 16_000_000, most=Fraction(3)), of_casting=True)
    just, over = (doubt_of(nm, "", boss) for nm in (80_000_000, 80_000_001))
    assert just and over and not just.impossible and over.impossible
    bore = doubt_of(900_000_000, "", near("bore", 16_000_000))
    assert bore and not bore.impossible
