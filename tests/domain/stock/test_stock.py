"""Sharing the metal, against trying every shift, and the outside against geometry with points."""

import math
from dataclasses import astuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.stock import words as say
from domain.stock.sharing import CleanUp, Shares, clean_up_of, radial_share, radial_stock, share_metal
from domain.stock.sizes import Face, Faces, StockError, finished_faces, rough_faces

MM = 1_000_000


def metal(rough: Faces, finished: Faces, x: int) -> list[int]:
    """Metal on each face with the finished wheel's zero at x, straight from the drawing."""
    r, f = astuple(rough), astuple(finished)
    pairs = [(0, 1), (2, 3)] if r[2] is not None and f[2] is not None else [(0, 1)]
    return [m for b, t in pairs for m in (x + f[b] - r[b], r[t] - (x + f[t]))]


@st.composite
def castings(draw: st.DrawFn) -> tuple[Faces, Faces, int, int]:
    """A casting a few nanometres long, so that every shift can be tried."""
    rim, boss = draw(st.integers(20, 60)), draw(st.integers(20, 60))
    proud = draw(st.integers(-15, 15))
    width, length = draw(st.integers(15, 55)), draw(st.integers(18, 55))
    rough = rough_faces(rim, boss, proud) if draw(st.booleans()) else rough_faces(rim)
    return (
        rough,
        finished_faces(width, length, draw(st.integers(-10, 10))),
        draw(st.integers(0, 8)),
        draw(st.integers(0, 3)),
    )


def shared(case: tuple[Faces, Faces, int, int]) -> Shares | None:
    try:
        return share_metal(*case)
    except StockError as error:
        assert error.field == "wobble"
        return None


@settings(max_examples=100, deadline=None)
@given(castings())
def test_against_trying_every_shift(case: tuple[Faces, Faces, int, int]) -> None:
    rough, finished, least, wobble = case
    poorest = {x: min(metal(rough, finished, x)) for x in range(-100, 101)}
    best, need = max(poorest.values()), least + wobble
    shares = shared(case)
    if shares is None:
        assert 0 <= best < wobble
        return
    assert not 0 <= best < wobble
    assert poorest[shares.best_nm] == best == min(one.stock_nm for one in shares.faces)
    assert shares.spare_nm == best - need
    will_do = [x for x, nm in poorest.items() if nm >= need]
    assert (shares.low_nm, shares.high_nm) == ((will_do[0], will_do[-1]) if will_do else (None, None))
    assert (shares.verdict is CleanUp.DOES_NOT) == (not will_do)
    if will_do:
        assert (shares.verdict is CleanUp.JUST) == (best - wobble < 1.5 * least)
    in_order = [Face.RIM_BACK, Face.RIM_FRONT, Face.BOSS_BACK, Face.BOSS_FRONT]
    known = metal(rough, finished, shares.best_nm)
    assert [(one.face, one.stock_nm) for one in shares.faces] == list(zip(in_order, known, strict=False))
    assert all(one.short_nm == max(0, need - one.stock_nm) for one in shares.faces)


@settings(max_examples=60, deadline=None)
@given(castings())
def test_what_it_is_short_of_is_the_metal_that_would_save_it(case: tuple[Faces, Faces, int, int]) -> None:
    shares = shared(case)
    if shares is None or shares.spare_nm >= 0:
        return
    rough, finished, least, wobble = case

    def grown(by: int) -> CleanUp:
        boss_front = None if rough.boss_front_nm is None else rough.boss_front_nm + by
        more = Faces(rough.rim_back_nm, rough.rim_front_nm + by, rough.boss_back_nm, boss_front)
        # The wobble is asked for as cut, so that it is never refused as larger than the metal.
        return share_metal(more, finished, least + wobble, 0).verdict

    # Shared by two faces, and an odd nanometre is the poorer one's.
    assert grown(-2 * shares.spare_nm) is not CleanUp.DOES_NOT
    assert grown(-2 * shares.spare_nm - 2) is CleanUp.DOES_NOT


@settings(max_examples=60, deadline=None)
@given(castings(), st.integers(-1000, 1000))
def test_where_the_zero_lies_does_not_matter(case: tuple[Faces, Faces, int, int], by: int) -> None:
    rough, finished, least, wobble = case
    moved = Faces(*(None if nm is None else nm + by for nm in astuple(rough)))
    assert shared((moved, finished, least, wobble)) == shared(case)


@settings(max_examples=60, deadline=None)
@given(castings())
def test_a_mirrored_casting_has_the_mirrored_answer(case: tuple[Faces, Faces, int, int]) -> None:
    def mirror(faces: tuple[int | None, ...]) -> list[int | None]:
        b, f, bb, bf = (None if nm is None else -2 * nm for nm in faces)
        return [f, b, bf, bb]

    rough, finished, least, wobble = case
    # Doubled, so that the middle never falls between two nanometres.
    double = (
        Faces(*(None if n is None else 2 * n for n in astuple(rough))),
        Faces(*(2 * n for n in astuple(finished))),
        2 * least,
        2 * wobble,
    )
    one = shared(double)
    other = shared(
        (
            Faces(*mirror(astuple(rough))),
            Faces(*mirror(astuple(finished))),
            2 * least,
            2 * wobble,
        )
    )
    if one is None or other is None:
        assert one is None and other is None
        return
    assert (one.verdict, one.spare_nm) == (other.verdict, other.spare_nm)
    for back, front in ((Face.RIM_BACK, Face.RIM_FRONT), (Face.BOSS_BACK, Face.BOSS_FRONT)):
        assert (one.stock(back), one.stock(front)) == (other.stock(front), other.stock(back))


def test_a_casting_by_hand() -> None:
    # Rim 20 for 17, boss 24 for 21 and 0.5 proud: the back of the rim and the front of the boss decide,
    # 2.5 between them, so 1.25 each; the boss has 1.75 at the back, the rim 1.75 at the front.
    shares = share_metal(
        rough_faces(20 * MM, 24 * MM, MM // 2), finished_faces(17 * MM, 21 * MM), MM // 2, 100_000
    )
    assert [one.stock_nm for one in shares.faces] == [1_250_000, 1_750_000, 1_750_000, 1_250_000]
    assert (shares.low_nm, shares.high_nm, shares.best_nm) == (600_000, 1_900_000, 1_250_000)
    assert (shares.back, shares.verdict) == (Face.RIM_BACK, CleanUp.CLEANS_UP)
    assert say.sharing(shares, Unit.MM) == (
        "Take 1.250 mm (0.0492 in) off the back of the rim and 1.750 mm (0.0689 in) off its front;"
        " off the boss 1.750 mm (0.0689 in) at the back and 1.250 mm (0.0492 in) at the front."
    )


def test_each_face_that_fails_says_by_how_much() -> None:
    shares = share_metal(rough_faces(18 * MM - 200_000), finished_faces(17 * MM), MM // 2, 0)
    assert shares.verdict is CleanUp.DOES_NOT and shares.spare_nm == -100_000
    assert [(one.face, one.short_nm) for one in shares.faces] == [
        (Face.RIM_BACK, 100_000),
        (Face.RIM_FRONT, 100_000),
    ]
    assert say.sharing(shares, Unit.MM) == (
        "The best that can be done is to take 0.400 mm (0.0157 in) off the back of the rim and"
        " 0.400 mm (0.0157 in) off its front; some of the skin will stay."
    )


@pytest.mark.parametrize(
    ("metal_nm", "verdict"),
    [
        (499_999, CleanUp.DOES_NOT),
        (500_000, CleanUp.JUST),
        (749_999, CleanUp.JUST),
        (750_000, CleanUp.CLEANS_UP),
    ],
)
def test_just_lies_below_one_and_a_half_least_cuts(metal_nm: int, verdict: CleanUp) -> None:
    assert (
        share_metal(rough_faces(17 * MM + 2 * metal_nm), finished_faces(17 * MM), 500_000, 0).verdict
        is verdict
    )
    spare = radial_stock(Face.TREAD, MM + 2 * metal_nm, MM, 0, 500_000).spare_nm
    assert clean_up_of(spare, 500_000) is verdict


def test_a_wobble_larger_than_the_metal_says_what_to_do() -> None:
    with pytest.raises(StockError, match="set the casting true front to back") as caught:
        share_metal(rough_faces(18 * MM), finished_faces(17 * MM), 200_000, 600_000)
    assert caught.value.field == "wobble"


@pytest.mark.parametrize(
    ("sizes", "field"),
    [
        ((0,), "rim_height"),
        ((20, 0, 0), "boss_height"),
        ((20, 5, 5), "boss_height"),
        ((20, 9, -20), "boss_proud_back"),
    ],
)
def test_faces_that_cannot_be(sizes: tuple[int, ...], field: str) -> None:
    with pytest.raises(StockError) as caught:
        rough_faces(*sizes)
    assert caught.value.field == field


@settings(max_examples=50, deadline=None)
@given(st.floats(40, 60), st.floats(0, 3), st.floats(30, 39))
def test_outside_metal_against_points_on_two_circles(radius: float, off: float, finished: float) -> None:
    # Walk round the rough circle, displaced by the eccentricity, and find where the finished one is nearest.
    around = [
        math.hypot(off + radius * math.cos(a), radius * math.sin(a))
        for a in (math.tau * i / 720 for i in range(720))
    ]
    rough_nm, finished_nm, off_nm = round(2 * radius * MM), round(2 * finished * MM), round(off * MM)
    share = radial_share(rough_nm, rough_nm, finished_nm, off_nm)
    assert share.cut_thin_nm == pytest.approx((min(around) - finished) * MM, abs=3)
    assert share.cut_thick_nm == pytest.approx((max(around) - finished) * MM, abs=3)
    assert radial_stock(Face.TREAD, rough_nm, finished_nm, off_nm).stock_nm == share.cut_thin_nm
    assert share.uneven_nm == 2 * off_nm


def test_what_setting_true_to_the_outside_would_give() -> None:
    one = radial_stock(Face.OVER_FLANGE, 102 * MM, 100 * MM, 700_000)
    assert (one.stock_nm, one.stock_true_nm, one.spare_nm) == (300_000, MM, -200_000)
    words = say.outside(radial_share(102 * MM, 103 * MM, 100 * MM, 700_000), Unit.MM)
    assert words == (
        "Set true to the inside edge the rim comes out even, and the cut outside runs from 0.300 mm (0.0118 in)"
        " to 2.200 mm (0.0866 in). Set true to the outside the rim comes out 1.400 mm (0.0551 in) thicker on one"
        " side than on the other."
    )


@pytest.mark.parametrize(
    ("sizes", "field"),
    [((0, 5, 3, 0), "least_diameter"), ((5, 4, 3, 0), "most_diameter"), ((5, 5, 0, 0), "finished_diameter"),
     ((5, 5, 3, -1), "eccentricity")],
)  # fmt: skip
def test_diameters_that_cannot_be(sizes: tuple[int, int, int, int], field: str) -> None:
    least, _, finished, eccentricity = sizes
    calls = [lambda: radial_share(*sizes)]
    if field != "most_diameter":
        calls.append(lambda: radial_stock(Face.TREAD, least, finished, eccentricity))
    for call in calls:
        with pytest.raises(StockError) as caught:
            call()
        assert caught.value.field == field
