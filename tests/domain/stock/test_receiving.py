"""Receiving castings: the verdict, the face that decides, the order and the spares."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.stock import words as say
from domain.stock.ranking import propose_spares, rank
from domain.stock.receiving import Flaw, Received, against_fellows, receive
from domain.stock.sharing import CleanUp
from domain.stock.sizes import Face, FinishedSizes, RoughSizes, StockError

MM = 1_000_000
DRAWN = FinishedSizes(96 * MM, 2 * MM, 17 * MM, 21 * MM)
GOOD = RoughSizes(104 * MM, 105 * MM, 20 * MM, 24 * MM, 0)
READ = {"eccentricity_nm": 0, "wobble_nm": 0}


def words(got: Received) -> str:
    return say.received(got, Unit.MM)


def test_a_good_casting_by_hand() -> None:
    # Rim and boss 3 mm over: 1.5 on each face. Outside 104 for 96 + 2 x 2: 2 on the radius, 4 at the tread.
    got = receive(GOOD, DRAWN, **READ)
    assert got.verdict is CleanUp.CLEANS_UP and got.where is Face.RIM_BACK and got.spare_nm == MM
    assert {one.face.words: one.stock_nm for one in got.faces} == {
        "rim back": 1_500_000,
        "rim front": 1_500_000,
        "boss back": 1_500_000,
        "boss front": 1_500_000,
        "diameter over the flange": 2 * MM,
        "tread": 4 * MM,
    }
    assert say.sharing(got.shares, Unit.MM).startswith(
        "Take 1.500 mm (0.0591 in) off the back of the rim and 1.500 mm"
    )
    assert say.cautions(got) == () and got.missing == ()
    assert len({working.name for working in got.workings}) == len(got.workings) == 8


@pytest.mark.parametrize(
    ("change", "verdict", "where", "by_nm"),
    [
        ({"rim_height_nm": 18 * MM}, CleanUp.JUST, Face.RIM_BACK, 0),
        ({"rim_height_nm": 17_800_000}, CleanUp.DOES_NOT, Face.RIM_BACK, 100_000),
        ({"least_diameter_nm": 101_400_000}, CleanUp.JUST, Face.OVER_FLANGE, 200_000),
        ({"least_diameter_nm": 100_400_000}, CleanUp.DOES_NOT, Face.OVER_FLANGE, 300_000),
        ({"tread_least_diameter_nm": 96_800_000}, CleanUp.DOES_NOT, Face.TREAD, 100_000),
        # Rim back and boss back are as poor: the boss is the thin lump, and is named.
        ({"boss_height_nm": 22_200_000}, CleanUp.JUST, Face.BOSS_BACK, 100_000),
        # 5 mm proud and 24 long: the boss would have to end 21 before a back that has metal on the rim too.
        ({"boss_proud_back_nm": 5 * MM}, CleanUp.DOES_NOT, Face.RIM_BACK, 1_500_000),
    ],
)
def test_the_poorest_face_decides(change: dict[str, int], verdict: CleanUp, where: Face, by_nm: int) -> None:
    got = receive(replace(GOOD, **change), DRAWN, **READ)
    assert got.verdict is verdict and got.spare_nm == (-by_nm if verdict is CleanUp.DOES_NOT else by_nm)
    assert got.where is where
    assert where.words in words(got)


@pytest.mark.parametrize("name", ["least_diameter", "rim_height", "boss_height", "boss_proud_back"])
def test_a_size_not_measured_is_named(name: str) -> None:
    got = receive(replace(GOOD, **{f"{name}_nm": None}), DRAWN, **READ)
    assert got.verdict is CleanUp.CANNOT_TELL and got.missing == (name,)
    assert "measure" in words(got)


@pytest.mark.parametrize("name", ["tread_diameter", "flange_depth", "rim_width", "boss_length"])
def test_a_size_not_on_the_drawing_is_named(name: str) -> None:
    got = receive(GOOD, replace(DRAWN, **{f"{name}_nm": None}), **READ)
    assert got.verdict is CleanUp.CANNOT_TELL and got.missing == (name,)


@pytest.mark.parametrize(
    "rough",
    [
        RoughSizes(rim_height_nm=17 * MM),
        RoughSizes(least_diameter_nm=99 * MM),
        RoughSizes(boss_height_nm=21 * MM),
        RoughSizes(rim_height_nm=20 * MM, boss_height_nm=21 * MM),
    ],
)
def test_one_face_known_to_be_short_is_enough(rough: RoughSizes) -> None:
    got = receive(rough, DRAWN, **READ)
    assert got.verdict is CleanUp.DOES_NOT and got.missing


def test_nothing_measured_at_all() -> None:
    got = receive(RoughSizes(), DRAWN)
    assert (got.verdict, got.where, got.spare_nm, got.faces) == (CleanUp.CANNOT_TELL, None, None, ())
    assert "the smallest rough diameter, the rim height, the boss height and how much" in words(got)


def test_eccentricity_and_wobble_cost_metal() -> None:
    assert receive(GOOD, DRAWN, eccentricity_nm=1_600_000, wobble_nm=0).where is Face.OVER_FLANGE
    short = receive(GOOD, DRAWN, eccentricity_nm=1_600_000, wobble_nm=0)
    assert short.verdict is CleanUp.DOES_NOT and "Set true to the outside it would clean up" in words(short)
    nodding = receive(GOOD, DRAWN, eccentricity_nm=0, wobble_nm=1_200_000)
    assert nodding.verdict is CleanUp.DOES_NOT and nodding.spare_nm == -200_000
    assert "Without its wobble of 1.200 mm" in words(nodding)
    with pytest.raises(StockError, match="set the casting true") as caught:
        receive(GOOD, DRAWN, eccentricity_nm=0, wobble_nm=1_600_000)
    assert caught.value.field == "wobble"


def test_what_was_not_read_is_said() -> None:
    (said,) = say.cautions(receive(GOOD, DRAWN))
    assert "how far the inside edge is out and the wobble" in said


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"most_diameter_nm": 103 * MM}, "most_diameter"),
        ({"most_diameter_nm": 0}, "most_diameter"),
        ({"rim_height_nm": 0}, "rim_height"),
        ({"least_diameter_nm": -1}, "least_diameter"),
        ({"boss_height_nm": 2 * MM, "boss_proud_back_nm": 3 * MM}, "boss_height"),
        ({"boss_proud_back_nm": -20 * MM}, "boss_proud_back"),
        ({"tread_least_diameter_nm": 0}, "tread_least_diameter"),
    ],
)
def test_sizes_that_cannot_be(change: dict[str, int], field: str) -> None:
    with pytest.raises(StockError) as caught:
        receive(replace(GOOD, **change), DRAWN, **READ)
    assert caught.value.field == field


def test_other_figures_that_cannot_be() -> None:
    for kwargs, field in (
        ({"least_cut_nm": 0}, "least_cut"),
        ({"weight_mg": 0}, "weight"),
        ({"wobble_nm": -1}, "wobble"),
        ({"eccentricity_nm": -1}, "eccentricity"),
    ):
        with pytest.raises(StockError) as caught:
            receive(GOOD, DRAWN, **kwargs)
        assert caught.value.field == field


@pytest.mark.parametrize(
    ("weight", "others", "said"),
    [(949, [1000, 1001], "hidden hole"), (951, [1000, 1001], ""), (1051, [1000, 999], "mould shift"),
     (1050, [1000, 999], ""), (500, [1000], "")],
)  # fmt: skip
def test_weight_against_its_fellows(weight: int, others: list[int], said: str) -> None:
    got = receive(GOOD, DRAWN, **READ, weight_mg=weight, weights_mg=[weight, *others])
    assert (said in "".join(say.cautions(got))) if said else not say.cautions(got)


def test_weights() -> None:
    # The middle one of 380, 400 and 420 is 400; 380 is 20 in 400 less.
    beside = against_fellows(380_000, [400_000, 380_000, 420_000])
    assert beside is not None
    assert say.beside(beside) == "5.0 % less than the middle one"
    assert float(beside.off) == pytest.approx(-0.05)
    assert say.weight_working(beside).numbers == "(380 g - 400 g) / 400 g, of 3 weighed"
    # Of an even number the middle is half way between two: 405 of 400 and 410; 410 is 5 in 405 more, 1.23 %.
    even = against_fellows(410_000, [380_000, 400_000, 410_000, 420_000])
    assert even is not None
    assert say.beside(even) == "1.2 % more than the middle one"
    assert against_fellows(1, [1, 1]) is None
    alike = against_fellows(400_000, [400_000, 380_000, 420_000])
    assert alike is not None and say.beside(alike) == "as the middle one"
    with pytest.raises(StockError):
        against_fellows(0, [1, 1, 1])
    assert say.grams(1_234_567) == "1234.6 g"


def test_each_flaw_has_its_caution_and_lowers_the_casting() -> None:
    best = receive(GOOD, DRAWN, **READ)
    for name in ("blowhole", "chill", "shift"):
        flawed = receive(GOOD, DRAWN, **READ, flaws=[Flaw(name)])
        assert len(say.cautions(flawed)) == 1 and flawed.score < best.score
        assert flawed.verdict is best.verdict
    cracked = receive(GOOD, DRAWN, **READ, flaws=[Flaw.CRACK])
    assert cracked.verdict is CleanUp.DOES_NOT and cracked.rescue is None and cracked.score[0] == 0
    assert say.received(cracked, Unit.MM).startswith("A crack was seen") and say.cautions(cracked) == ()


def some() -> list[tuple[str, Received]]:
    return [
        ("1", receive(replace(GOOD, rim_height_nm=17 * MM), DRAWN, **READ)),
        ("2", receive(replace(GOOD, rim_height_nm=18_200_000), DRAWN, **READ)),
        ("3", receive(GOOD, DRAWN, **READ, flaws=[Flaw.BLOWHOLE, Flaw.SHIFT])),
        ("4", receive(replace(GOOD, rim_height_nm=None), DRAWN, **READ)),
        ("5", receive(replace(GOOD, rim_height_nm=21 * MM, boss_height_nm=25 * MM), DRAWN, **READ)),
        ("6", receive(GOOD, DRAWN, **READ)),
    ]


def test_best_first_with_the_reason() -> None:
    order = rank(some())
    assert [one.mark for one in order] == ["5", "6", "2", "4", "3", "1"]
    assert [one.rank for one in order] == [1, 2, 3, 4, 5, 6]
    assert say.ranked(order[4].received, Unit.MM).endswith("It stands lower for 2 flaws.")


def test_the_poorest_are_proposed_as_spares() -> None:
    order = rank(some())
    got = propose_spares(order, 3)
    assert (got.in_work, got.spares, got.unfit, got.short) == (("5", "6", "2"), ("4", "3"), ("1",), 0)
    assert say.spares(got) == (
        "4 and 3 are proposed as spares: the poorest. 1 does not clean up and should not be put in work."
    )
    assert propose_spares(order, 6).short == 1
    assert say.spares(propose_spares(rank(some()[5:]), 1)) == "Every casting is wanted: there is no spare."
    with pytest.raises(StockError):
        propose_spares(order, -1)
    with pytest.raises(StockError, match="Two castings"):
        rank(some() + some()[:1])


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.integers(17_500_000, 21_000_000), st.booleans(), st.booleans()), max_size=8),
    st.integers(0, 8),
)
def test_no_spare_is_better_than_a_wheel_in_work(rows: list[tuple[int, bool, bool]], places: int) -> None:
    castings = [
        (
            str(i),
            receive(
                replace(GOOD, rim_height_nm=rim),
                DRAWN,
                **READ,
                flaws=[Flaw.BLOWHOLE] * hole + [Flaw.CHILL] * chill,
            ),
        )
        for i, (rim, hole, chill) in enumerate(rows)
    ]
    by_mark = dict(castings)
    got = propose_spares(rank(castings), places)
    assert sorted(got.in_work + got.spares + got.unfit) == sorted(by_mark)
    assert len(got.in_work) + got.short == places
    for mark in got.in_work:
        assert by_mark[mark].verdict is not CleanUp.DOES_NOT
        assert all(by_mark[mark].score >= by_mark[spare].score for spare in got.spares)


@settings(max_examples=60, deadline=None)
@given(st.integers(17_000_000, 22_000_000), st.integers(0, 500_000))
def test_more_metal_is_never_worse(rim: int, more: int) -> None:
    thin = receive(replace(GOOD, rim_height_nm=rim), DRAWN, **READ)
    thick = receive(replace(GOOD, rim_height_nm=rim + more), DRAWN, **READ)
    assert thick.score >= thin.score
