"""The band of a size: the window keeps its place, the size lies in it just where it is, and never off the sheet."""

from hypothesis import given
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.measuring.decision import Conformity, decide, decide_interval
from domain.measuring.plug_gauge import Interval
from webapp.drawing.band import WIDTH, band_of, decided_band

LOW, HIGH = 20_000, 50_000


def test_the_ends_and_the_middle_of_what_is_wanted() -> None:
    for nm, x in ((LOW, 96.0), (HIGH, 224.0), (35_000, 160.0)):
        band = band_of(LOW, HIGH, Unit.MM, "", (nm, 0), "serves")
        assert (band.at, band.beyond) == (x, 0)
    assert (band_of(LOW, HIGH, Unit.MM, "").low_words, band_of(LOW, HIGH, Unit.INCH, "").high_words) == (
        "0.020 mm",
        "2.0 thou",
    )


def test_nothing_measured_is_a_window_alone() -> None:
    band = band_of(LOW, HIGH, Unit.MM, "the gap wanted")
    assert band.at is None and band.sure is None and band.look == "open"


@given(st.integers(-10_000_000, 10_000_000), st.integers(0, 1_000_000), st.integers(1_000, 500_000))
def test_any_size_is_on_the_sheet_and_on_its_side(nm: int, sure: int, wide: int) -> None:
    band = band_of(0, wide, Unit.MM, "", (nm, sure), "not")
    assert band.at is not None and band.sure is not None
    assert 0 <= band.sure[0] <= band.at <= band.sure[1] <= WIDTH
    if nm > wide:
        assert band.at >= band.right and band.beyond >= 0
    elif nm < 0:
        assert band.at <= band.left and band.beyond <= 0
    else:
        assert band.left <= band.at <= band.right and band.beyond == 0


@given(st.integers(-200_000, 200_000), st.integers(-200_000, 200_000))
def test_a_larger_size_never_lies_further_left(one: int, other: int) -> None:
    small, large = sorted((one, other))
    at = [band_of(LOW, HIGH, Unit.MM, "", (nm, 0)).at for nm in (small, large)]
    assert at[0] is not None and at[1] is not None and at[0] <= at[1]


def test_a_window_of_no_width_is_drawn_all_the_same() -> None:
    assert band_of(LOW, LOW, Unit.MM, "", (LOW, 0)).at == 96.0
    assert band_of(LOW, LOW, Unit.MM, "", (HIGH, 0)).beyond == 1


@given(st.integers(0, 100_000), st.integers(0, 20_000), st.sampled_from(["both", "low", "high"]))
def test_a_decided_size_lies_where_it_was_decided(nm: int, sure: int, given: str) -> None:
    low, high = (None if given == "high" else LOW), (None if given == "low" else HIGH)
    found = decide(nm, sure, low, high, Unit.MM, "flange height")
    band = decided_band(found)
    assert band is not None and band.at is not None and band.sure is not None
    assert bool(band.low_words) == (low is not None) and bool(band.high_words) == (high is not None)
    assert 0 < band.left < band.right < WIDTH and 0 <= band.sure[0] <= band.at <= band.sure[1] <= WIDTH
    outside = (low is not None and nm < low) or (high is not None and nm > high)
    assert outside == (not band.left <= band.at <= band.right) or band.at in (band.left, band.right)
    assert band.said == found.words
    wanted = {Conformity.INSIDE: "serves", Conformity.OUTSIDE: "not", Conformity.CANNOT_TELL: "caution"}
    assert band.look == wanted[found.answer]


@given(st.integers(1, 1_000_000), st.integers(1, 100_000), st.booleans())
def test_with_one_limit_only_the_size_that_is_good_is_in_the_picture(
    in_hand: int, sure: int, low: bool
) -> None:
    nm = HIGH + in_hand if low else HIGH - in_hand
    band = decided_band(decide(nm, sure, HIGH if low else None, None if low else HIGH, Unit.MM))
    assert band is not None and band.beyond == 0


def test_what_is_not_decided_or_by_plugs_alone_has_no_band() -> None:
    assert decided_band(None) is None
    assert decided_band(decide_interval(Interval(LOW, HIGH), LOW, HIGH, Unit.MM)) is None
