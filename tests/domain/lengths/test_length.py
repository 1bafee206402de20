"""The grammar of typed lengths, the way back to text, and pint against whole-number arithmetic."""

import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.lengths import (
    MAX_NM,
    NM_PER_INCH,
    NM_PER_MM,
    Length,
    LengthError,
    Unit,
    bare_doubt,
    parse_length,
    plain,
    show,
    show_in,
    show_offset,
    show_typed,
)
from domain.lengths.parsing import system_typed
from domain.lengths.systems import shown_in

THREE_QUARTERS = 19_050_000
INCH_AND_A_QUARTER = 31_750_000
units = st.sampled_from(Unit)


def _refusal(text: str, bare: Unit = Unit.MM, *, signed: bool = False) -> str:
    with pytest.raises(LengthError) as caught:
        parse_length(text, bare, signed=signed)
    sentence = str(caught.value)
    ours = sentence.rpartition("”")[2]  # after the typed text, which may hold anything
    assert ours.endswith(".") and ". " not in ours, "one sentence"
    return sentence


@pytest.mark.parametrize("bare", list(Unit))
@pytest.mark.parametrize(
    ("text", "nm"),
    [
        ("19.05 mm", THREE_QUARTERS),
        ("19.05mm", THREE_QUARTERS),
        ("19.05 MM", THREE_QUARTERS),
        ("1.905 cm", THREE_QUARTERS),
        ('3/4"', THREE_QUARTERS),
        ("3/4 in", THREE_QUARTERS),
        ("¾ in", THREE_QUARTERS),
        ("3⁄4 in", THREE_QUARTERS),
        ("750 thou", THREE_QUARTERS),
        ("750\u00a0thou", THREE_QUARTERS),
        ("0,75 inch", THREE_QUARTERS),
        ("0,750 in", THREE_QUARTERS),
        (".75 inches", THREE_QUARTERS),
        ("1 1/4 in", INCH_AND_A_QUARTER),
        ("1  1/4 in", INCH_AND_A_QUARTER),
        ('1-1/4"', INCH_AND_A_QUARTER),
        ("1-1/4″", INCH_AND_A_QUARTER),
        ("1-1/4”", INCH_AND_A_QUARTER),
        ("1¼ in", INCH_AND_A_QUARTER),
        ("1 ¼ in", INCH_AND_A_QUARTER),
        ("1-¼ in", INCH_AND_A_QUARTER),
        ("5/4 in", INCH_AND_A_QUARTER),
        ("9,5 mm", 9_500_000),
        ("1234,567 mm", 1_234_567_000),
        ("1/2 mm", 500_000),
        ("1/64 in", 396_875),
        ("1 in", NM_PER_INCH),  # international yard and pound agreement, 1959: 25.4 mm exactly
        ("0 mm", 0),
        ("10000000 mm", MAX_NM),
        ("6.3 um", 6_300),
        ("6,3um", 6_300),
        ("6.3 \u00b5m", 6_300),  # micro sign
        ("6.3 \u03bcm", 6_300),  # Greek mu
        ("1 micron", 1_000),
        ("25.4 Microns", 25_400),
    ],
)
def test_accepted_with_a_unit(text: str, nm: int, bare: Unit) -> None:
    assert parse_length(text, bare) == Length(nm, text)


@pytest.mark.parametrize(
    ("text", "bare", "nm"),
    [
        ("19.05", Unit.MM, THREE_QUARTERS),
        ("0.7505", Unit.INCH, 19_062_700),
        ("0.7505", Unit.MM, 750_500),
        (".75", Unit.INCH, THREE_QUARTERS),
        ("9,5", Unit.MM, 9_500_000),
        ("3/4", Unit.INCH, THREE_QUARTERS),
        ("1-1/4", Unit.INCH, INCH_AND_A_QUARTER),
        ("1¼", Unit.INCH, INCH_AND_A_QUARTER),
    ],
)
def test_a_bare_figure_takes_the_unit_of_the_build(text: str, bare: Unit, nm: int) -> None:
    assert parse_length(text, bare).nm == nm


@pytest.mark.parametrize(
    ("text", "nm"),
    [
        ("+4 thou", 101_600),
        ("-4 thou", -101_600),
        ("−4 thou", -101_600),
        ("- 4 thou", -101_600),
        ("4 thou", 101_600),
        ("-1-1/4 in", -INCH_AND_A_QUARTER),
        ("-¼ in", -6_350_000),
        ("-0", 0),
    ],
)
def test_an_offset_may_have_a_sign(text: str, nm: int) -> None:
    assert parse_length(text, Unit.MM, signed=True) == Length(nm, text)


def test_the_text_is_kept_without_the_blanks_round_it() -> None:
    assert parse_length("  ¾  in ", Unit.MM).text == "¾  in"


def test_rounding_is_to_the_nearest_nanometre_half_to_even() -> None:
    assert parse_length("0.0000005 mm", Unit.MM).nm == 0
    assert parse_length("0.0000015 mm", Unit.MM).nm == 2
    assert parse_length("0.0000025 mm", Unit.MM).nm == 2
    assert parse_length("1/3 in", Unit.MM).nm == 8_466_667


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("mm", "a unit without a figure"),
        ('"', "a unit without a figure"),
        ("-", "does not begin with a figure"),
        (".", "does not begin with a figure"),
        ("nan", "does not begin with a figure"),
        ("inf", "does not begin with a figure"),
        ("ten mm", "does not begin with a figure"),
        ("１９", "does not begin with a figure"),  # full-width digits
        ("٣ mm", "does not begin with a figure"),  # Arabic-Indic digit
        ('"3/4', "does not begin with a figure"),
        ("1,234", "could be 1.234 or 1234"),
        ("12,500 mm", "could be 12.500 or 12500"),
        ("1,234.5", "more than one point or comma"),
        ("1.234,5", "more than one point or comma"),
        ("1,234,567", "more than one point or comma"),
        ("1 234.5 mm", "not one plain figure"),
        ("3 4", "not one plain figure"),
        ("19. mm", "not one plain figure"),
        ("1.5 1/2 in", "not one plain figure"),
        ("1 - 1/4 in", "not one plain figure"),
        ("1--1/4 in", "not one plain figure"),
        ("3/-4 in", "not one plain figure"),
        ("3/4/5 in", "not one plain figure"),
        ("¾5 in", "not one plain figure"),
        ("½¾ in", "not one plain figure"),
        ("3 in 4", "more than one figure"),
        ("1 ft 2 in", "more than one figure"),
        ("5²", "more than one figure"),
        ("3/0 in", "divides by zero"),
        ("1 3/2 in", "fraction of one or more"),
        ("1 2/2 in", "fraction of one or more"),
        ("1e3 mm", "exponent"),
        ("1E-3", "exponent"),
        ("1e+3 mm", "exponent"),
        ("+4 thou", "a size has none"),
        ("-4 mm", "a size has none"),
        ("4 mil", "thousandths of an inch or millimetres"),
        ("5 ft", "no unit here: mm, cm, um, in,"),
        ("5'", "no unit here"),
        ("5 m", "no unit here"),
        ("2 mm mm", "no unit here"),
        ("3 \x00", "no unit here"),
        ("10000001 mm", "more than 10 km"),
        ("9" * 40, "more than 10 km"),
        ("1" + " " * 38 + "mm", "too long"),
        ("9" * 5000, "too long"),
    ],
)
@pytest.mark.parametrize("bare", list(Unit))
def test_refused_in_a_sentence_that_quotes_the_text(text: str, says: str, bare: Unit) -> None:
    sentence = _refusal(text, bare)
    assert says in sentence
    quoted = sentence[1 : sentence.index("”")]
    assert text.replace("\x00", " ").startswith(quoted.rstrip("…"))
    assert len(sentence) < 200


@pytest.mark.parametrize("text", ["", " ", "\t\n", "\u3000"])
def test_nothing_typed_is_refused_with_an_example(text: str) -> None:
    assert _refusal(text).startswith("Nothing was typed: write a length, such as 19.05 mm")


@pytest.mark.parametrize(
    ("text", "instead"),
    [
        ("3/4", "write 3/4 in or 0.75 mm."),
        ("1-1/4", "write 1-1/4 in or 1.25 mm."),
        ("¾", "write 3/4 in or 0.75 mm."),
        ("1/3", "write 1/3 in or 0.3333 mm."),
    ],
)
def test_a_bare_fraction_is_ambiguous_in_a_millimetre_build(text: str, instead: str) -> None:
    assert _refusal(text, Unit.MM).endswith(instead)
    assert parse_length(text, Unit.INCH).nm > 0


def test_two_signs_are_refused_even_for_an_offset() -> None:
    for text in ("+-4 thou", "--4 thou", "4- thou"):
        assert "not one plain figure" in _refusal(text, signed=True)


@given(st.text(max_size=60), units, st.booleans())
def test_any_text_is_a_length_or_one_sentence(text: str, bare: Unit, signed: bool) -> None:
    try:
        length = parse_length(text, bare, signed=signed)
    except LengthError as error:
        assert str(error).endswith(".") and "\n" not in str(error)
    else:
        assert abs(length.nm) <= MAX_NM and (signed or length.nm >= 0)


@given(st.text(alphabet='0123456789.,/ +-"¾mincthoue', min_size=1, max_size=12), units)
def test_text_close_to_a_length_never_breaks_the_parser(text: str, bare: Unit) -> None:
    try:
        length = parse_length(text, bare, signed=True)
    except LengthError as error:
        assert str(error).endswith(".")
    else:
        assert abs(length.nm) <= MAX_NM


@given(st.integers(0, MAX_NM), units, units)
def test_plain_text_comes_back_to_the_same_nanometre(nm: int, unit: Unit, bare: Unit) -> None:
    assert parse_length(plain(nm, unit), bare).nm == nm


@given(st.integers(-MAX_NM, MAX_NM), units)
def test_plain_offsets_come_back_too(nm: int, unit: Unit) -> None:
    assert parse_length(plain(nm, unit), unit, signed=True).nm == nm


@given(st.integers(0, 3_000), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_workshop_fractions_are_exact(whole: int, top: int, bottom: int) -> None:
    top %= bottom
    expected = whole * NM_PER_INCH + Fraction(top * NM_PER_INCH, bottom)
    assert expected.denominator == 1
    assert parse_length(f"{whole} {top}/{bottom} in", Unit.MM).nm == expected


@given(st.integers(0, 10**8), st.integers(0, 6))
def test_pint_and_whole_numbers_agree(digits: int, places: int) -> None:
    text = f"{digits // 10**places}.{digits % 10**places:0{places}d}" if places else str(digits)
    for unit, per in (("mm", NM_PER_MM), ("in", NM_PER_INCH), ("thou", NM_PER_INCH // 1000)):
        expected = round(Fraction(digits * per, 10**places))
        if expected <= MAX_NM:
            assert parse_length(f"{text} {unit}", Unit.MM).nm == expected


@pytest.mark.parametrize(
    ("nm", "unit", "text"),
    [
        (THREE_QUARTERS, Unit.MM, "19.05 mm"),
        (THREE_QUARTERS, Unit.INCH, "0.75 in"),
        (396_875, Unit.INCH, "0.015625 in"),
        (1_000_000, Unit.MM, "1 mm"),
        (1, Unit.MM, "0.000001 mm"),
        (0, Unit.INCH, "0 in"),
        (-101_600, Unit.INCH, "-0.004 in"),
    ],
)
def test_plain_is_short(nm: int, unit: Unit, text: str) -> None:
    assert plain(nm, unit) == text


def test_shown_in_both_systems() -> None:
    assert show(THREE_QUARTERS, Unit.MM) == "19.050 mm (0.7500 in)"
    assert show(THREE_QUARTERS, Unit.INCH) == "0.7500 in (19.050 mm)"
    assert show_in(THREE_QUARTERS, Unit.MM) == "19.050 mm"
    assert show_in(THREE_QUARTERS, Unit.INCH) == "0.7500 in"
    assert show(0, Unit.MM) == "0.000 mm (0.0000 in)"
    assert show_in(-10_000, Unit.MM) == "-0.010 mm"
    assert show_in(500, Unit.MM) == "0.000 mm"  # half to even
    assert show_in(1_500, Unit.MM) == "0.002 mm"


@given(st.integers(0, 10**8), st.sampled_from(["um", "\u00b5m", "\u03bcm", "micron"]), units)
def test_micrometres_come_back_to_the_same_nanometre(nm: int, spelling: str, bare: Unit) -> None:
    text = f"{nm // 1000}.{nm % 1000:03d} {spelling}"  # 1 um is 1000 nm: the SI prefixes
    assert parse_length(text, bare).nm == nm
    assert parse_length(plain(nm, Unit.MM), bare).nm == nm
    assert parse_length(f"-{text}", bare, signed=True).nm == -nm


@pytest.mark.parametrize(
    ("text", "system"),
    [("19.05 mm", Unit.MM), ("1 cm", Unit.MM), ("6 \u00b5m", Unit.MM), ("750 thou", Unit.INCH), ('1-1/4"', Unit.INCH),
     ("\u00be in", Unit.INCH), ("-4 thou", Unit.INCH)],
)  # fmt: skip
@pytest.mark.parametrize("bare", list(Unit))
def test_the_system_a_length_was_typed_in(text: str, system: Unit, bare: Unit) -> None:
    assert system_typed(text, bare) is system
    assert system_typed("0.75", bare) is bare and system_typed("old, worn", bare) is bare


def test_a_length_below_zero_shows_its_sign_in_both_systems() -> None:
    # 0.003 in is 0.0762 mm.
    assert show(-76_200, Unit.INCH) == "-0.0030 in (-0.076 mm)"
    assert show(-76_200, Unit.MM) == "-0.076 mm (-0.0030 in)"
    assert show_offset(-76_200, Unit.INCH) == "-0.0030 in (-0.076 mm)"


@given(st.integers(-MAX_NM, -1270 * 2), units)
def test_both_figures_of_a_length_below_zero_are_below_zero(nm: int, unit: Unit) -> None:
    for shown in (show(nm, unit), show_offset(nm, unit)):
        first, second = shown.rstrip(")").split(" (")
        assert first.startswith("-") and second.startswith("-")


def test_offsets_have_a_sign_unless_they_round_to_nothing() -> None:
    assert show_offset(10_000, Unit.MM) == "+0.010 mm (+0.0004 in)"
    assert show_offset(-10_000, Unit.MM) == "-0.010 mm (-0.0004 in)"
    assert show_offset(1_000, Unit.MM) == "+0.001 mm (0.0000 in)"
    for nm in (0, 100, -100):
        assert show_offset(nm, Unit.INCH) == "0.0000 in (0.000 mm)"


@given(st.integers(-MAX_NM, MAX_NM))
def test_shown_figures_are_within_half_a_step(nm: int) -> None:
    assert abs(Fraction(show_in(nm, Unit.MM).split()[0]) * NM_PER_MM - nm) <= 500
    assert abs(Fraction(show_in(nm, Unit.INCH).split()[0]) * NM_PER_INCH - nm) <= 1270


def test_pint_is_imported_only_when_a_length_is_read() -> None:
    code = (
        "import sys, domain.lengths as l; assert 'pint' not in sys.modules;"
        "l.parse_length('1 in', l.Unit.MM); assert 'pint' in sys.modules"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@settings(deadline=None)  # the first length that is read imports the units
@given(st.integers(1, 3_000), st.integers(1, 400) | st.just(None), units)
def test_a_bare_figure_is_told_as_what_else_it_may_be(top: int, bottom: int | None, unit: Unit) -> None:
    """An inch is 25.4 mm: what the sentence says to write comes to what was asked whether it would do."""
    text = f"{top / 100:g}" if bottom is None or unit is Unit.MM else f"{top}/{bottom}"
    asked: list[int] = []
    said = bare_doubt(parse_length(text, unit), lambda nm: not asked.append(nm))
    other = Unit.MM if unit is Unit.INCH else Unit.INCH
    assert said.startswith(f"{text} {unit} was read")
    assert f"write {text} {other} if" in said
    figure = Fraction(top, bottom) if bottom and "/" in text else Fraction(top, 100)
    assert abs(asked[0] - figure * (1_000_000 if other is Unit.MM else 25_400_000)) <= 1
    assert bare_doubt(parse_length(f"{text} {unit}", unit), lambda _: True) == ""
    assert bare_doubt(parse_length(text, unit), lambda _: False) == ""


@pytest.mark.parametrize(
    ("typed", "first", "said"),
    [
        ("4.695", Unit.INCH, "4.6950 in (119.253 mm)"),
        ("0,750 in", Unit.INCH, "0.7500 in (19.050 mm)"),
        ("19.05 mm", Unit.INCH, "0.7500 in (19.050 mm)"),
        ("-0.02 mm", Unit.MM, "-0.020 mm (-0.0008 in)"),
        ("3/4", Unit.INCH, "typed 3/4: 0.7500 in (19.050 mm)"),
        ("¾ in", Unit.MM, "typed ¾ in: 19.050 mm (0.7500 in)"),
        ("750 thou", Unit.INCH, "typed 750 thou: 0.7500 in (19.050 mm)"),
        ("4.69512 in", Unit.INCH, "typed 4.69512 in: 4.6951 in (119.256 mm)"),
    ],
)
def test_what_was_typed_is_said_beside_the_size_where_it_is_another_figure(
    typed: str, first: Unit, said: str
) -> None:
    assert show_typed(parse_length(typed, first, signed=True), first) == said


def test_a_size_less_a_zero_offset_is_said_with_what_was_read() -> None:
    read = Length(19_040_000, "19.05 mm")
    assert show_typed(read, Unit.MM) == "typed 19.05 mm: 19.040 mm (0.7496 in)"
    with shown_in(both=False):
        assert show_typed(parse_length("19.05 mm", Unit.MM), Unit.INCH) == "typed 19.05 mm: 0.7500 in"
    # Over a top: what was read is no one length.
    assert show_typed(Length(56_000_000, "60 mm over 8 mm"), Unit.MM).startswith(
        "typed 60 mm over 8 mm: 56.000"
    )
