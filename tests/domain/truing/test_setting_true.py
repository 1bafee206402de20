import dataclasses
import math

import pytest
from scipy.stats import f as f_distribution

from domain.lengths import Unit
from domain.truing import words as say
from domain.truing.dial import Dial, DialReading, TruingError, from_jaws
from domain.truing.rounds import Trend, judge_rounds
from domain.truing.setting import Advice, Grip, JawLabel, Stop, Surface, advise
from domain.truing.workings import advice_workings

DIAL = Dial(10_000, Unit.MM)
DOWN = Dial(10_000, Unit.MM, counts_up_when_pushed_in=False)
OUT, IN = Surface.OUTSIDE, Surface.INSIDE
CLOSE, OPEN = Grip.ON_OUTSIDE, Grip.ON_INSIDE


def _jaws(r1: int, r2: int, r3: int, r4: int) -> tuple[DialReading, ...]:
    """Readings in hundredths of a millimetre."""
    return from_jaws({1: r1 * 10_000, 2: r2 * 10_000, 3: r3 * 10_000, 4: r4 * 10_000})


def _advise(readings, surface=OUT, grip=CLOSE, dial=DIAL, tolerance=20_000, pitch=None) -> Advice:
    return advise(readings, surface, grip, dial, tolerance, pitch)


def _words(advice: Advice) -> tuple[str, ...]:
    """The advice in the order in which it is followed."""
    lead = say.stop_words(advice) or say.GRIP[advice.grip]
    moves = (say.move_words(move, advice.dial) for move in advice.moves)
    return (say.lies_words(advice), lead, *moves, *say.after_words(advice), *say.limit_words(advice))


# Reasoned with a wheel in the hand. Jaw 1 reads highest. On the outside it has come towards the plunger, so it must go
# towards jaw 3; on the inside edge the wheel has come down towards jaw 3, so it must go towards jaw 1. Jaws that close
# on the outside push the wheel away from themselves; jaws that open inside its rim carry it with them.
@pytest.mark.parametrize(
    ("surface", "grip", "dial", "slacken", "tighten", "lies_towards"),
    [
        (OUT, CLOSE, DIAL, 3, 1, 0.0),
        (OUT, OPEN, DIAL, 1, 3, 0.0),
        (IN, CLOSE, DIAL, 1, 3, 180.0),
        (IN, OPEN, DIAL, 3, 1, 180.0),
        (OUT, CLOSE, DOWN, 1, 3, 180.0),
        (OUT, OPEN, DOWN, 3, 1, 180.0),
        (IN, CLOSE, DOWN, 3, 1, 0.0),
        (IN, OPEN, DOWN, 1, 3, 0.0),
    ],
)
def test_the_right_jaw_for_every_surface_grip_and_dial(
    surface, grip, dial, slacken, tighten, lies_towards
) -> None:
    advice = _advise(_jaws(47, 35, 23, 35), surface, grip, dial)
    (move,) = advice.moves
    assert (move.slacken, move.tighten, move.by_nm) == (slacken, tighten, 120_000)
    assert advice.direction_deg == lies_towards
    assert advice.picture.arrow_deg == (lies_towards + 180) % 360
    # Whatever the signs: the middle figure, 0.35, is where each dial must come to.
    assert move.watch == tighten and move.target_nm == 350_000
    assert move.dial_change_nm == (-120_000 if tighten == 1 else 120_000)
    labels = dict(advice.picture.labels)
    assert labels == {slacken: JawLabel.SLACK, tighten: JawLabel.TIGHT, 2: JawLabel.LEAVE, 4: JawLabel.LEAVE}


@pytest.mark.parametrize(("high", "opposite"), [(1, 3), (2, 4), (3, 1), (4, 2)])
def test_every_jaw_in_turn(high: int, opposite: int) -> None:
    readings = from_jaws({jaw: {high: 100_000, opposite: -100_000}.get(jaw, 0) for jaw in (1, 2, 3, 4)})
    for surface, grip, tighten in (
        (OUT, CLOSE, high),
        (OUT, OPEN, opposite),
        (IN, CLOSE, opposite),
        (IN, OPEN, high),
    ):
        (move,) = _advise(readings, surface, grip).moves
        assert {move.slacken, move.tighten} == {high, opposite}
        assert move.tighten == tighten


def test_words_in_order_for_a_first_time() -> None:
    advice = _advise(_jaws(47, 35, 23, 35), pitch=3_000_000)
    assert _words(advice)[:4] == (
        "The dial swings 0.240 mm (0.0094 in) in a whole turn. The work lies towards jaw 1.",
        "The jaws close on the outside here: tighten means winding a jaw in, towards the middle of the chuck;"
        " slacken means winding it out.",
        "Jaws 1 and 3: turn jaw 1 under the plunger. Slacken jaw 3, then tighten jaw 1, until the dial at jaw 1 has gone"
        " down by 0.120 mm (0.0047 in), 12 divisions: wind until it reads 0.350 mm (0.0138 in)."
        " That is about 14 degrees of the key.",
        "Jaws 2 and 4: leave them as they are.",
    )
    assert "read all the spots again" in _words(advice)[4]
    assert any("chuck key" in one for one in say.CAUTIONS)
    inside = _advise(_jaws(47, 35, 23, 35), grip=OPEN)
    assert "tighten means winding a jaw OUT, against the rim" in _words(inside)[1]


def test_an_inch_dial_counts_in_its_own_divisions() -> None:
    readings = from_jaws({1: 254_000, 2: 0, 3: -254_000, 4: 0})
    (move,) = _advise(readings, dial=Dial(25_400, Unit.INCH)).moves
    assert move.dial_divisions == 10
    assert "10.0 thou (0.254 mm), 10 divisions" in _words(_advise(readings, dial=Dial(25_400, Unit.INCH)))[2]


@pytest.mark.parametrize(
    ("pitch", "says"),
    [
        (1_000_000, "about an eighth of a turn"),
        (720_000, "about a sixth of a turn"),
        (500_000, "about a quarter turn"),
        (120_000, "about one turn of"),
        (80_000, "about 1.5 turns"),
        (12_000_000, "about 4 degrees"),
    ],
)
def test_turns_of_the_key(pitch: int, says: str) -> None:
    advice = _advise(_jaws(12, 0, -12, 0), pitch=pitch)
    assert advice.moves[0].key_turns == pytest.approx(120_000 / pitch)
    assert says in _words(advice)[2]


def test_readings_between_the_jaws_are_resolved_onto_them() -> None:
    # By hand: 0.2 mm towards 30 degrees is 0.2 cos 30 = 0.1732 along jaw 1 and 0.2 sin 30 = 0.1 along jaw 2.
    spots = (30.0, 120.0, 210.0, 300.0)
    readings = [DialReading(a, round(200_000 * math.cos(math.radians(a - 30)))) for a in spots]
    advice = _advise(readings)
    assert (advice.eccentricity_nm, round(advice.direction_deg, 3)) == (200_000, 30)
    assert [(m.slacken, m.tighten, m.by_nm) for m in advice.moves] == [(3, 1, 173_205), (4, 2, 100_000)]
    assert all(m.target_nm is None for m in advice.moves)
    assert "17.5 divisions from what it shows then." in _words(advice)[2]


def test_the_jaw_that_was_read_is_the_one_to_watch() -> None:
    readings = [DialReading(a, round(300_000 * math.cos(math.radians(a)))) for a in (60, 180, 300)]
    (move,) = _advise(readings).moves
    assert (move.slacken, move.tighten, move.watch, move.dial_change_nm) == (3, 1, 3, 300_000)
    assert move.target_nm == 0


def test_a_long_first_move_takes_away_the_second_figure_to_wind_to() -> None:
    long_way = _advise(_jaws(200, 50, -200, -50))
    assert [m.target_nm for m in long_way.moves] == [0, None]
    assert "short steps" in _words(long_way)[2] and "short steps" not in _words(long_way)[3]
    assert [m.target_nm for m in _advise(_jaws(20, 10, -20, -10)).moves] == [0, 0]


def test_oval_is_kept_apart_from_eccentricity() -> None:
    # 0.10 off towards jaw 1, and 0.04 oval: plus at 1 and 3, minus at 2 and 4.
    advice = _advise(_jaws(14, -4, -6, -4))
    assert advice.eccentricity_nm == 100_000
    assert advice.tir_nm == 200_000
    assert advice.out_of_round_nm == 80_000
    # Half a division unseen on each of two pairs, on both sides: 2 x 5 um x sqrt 2 = 14.142 um.
    assert (advice.expected_eccentricity_nm, advice.expected_tir_nm) == (7_071, 80_000 + 2 * 7_071)
    # The oval stays: jaw 1 is wound to 0.04, not to the middle of all figures, 0.
    assert advice.moves[0].target_nm == 40_000
    assert [p.residual_nm for p in advice.picture.points] == [40_000, -40_000, 40_000, -40_000]


def test_the_picture_puts_the_surface_where_it_is() -> None:
    outs = [p.out_nm for p in _advise(_jaws(10, 0, -10, 0), OUT).picture.points]
    assert outs == [100_000, 0, -100_000, 0]
    assert [p.out_nm for p in _advise(_jaws(10, 0, -10, 0), IN).picture.points] == [-out for out in outs]


def test_stop_where_it_is_true_enough() -> None:
    advice = _advise(_jaws(1, 0, -1, 0))
    assert (advice.stop, advice.moves, advice.picture.arrow_deg) == (Stop.TRUE, (), None)
    assert "within what you allow" in _words(advice)[1] and "go on" in _words(advice)[1]
    assert advice.expected_tir_nm == advice.tir_nm == 20_000
    still = _advise(_jaws(3, 3, 3, 3))
    assert (still.eccentricity_nm, still.direction_deg, still.stop) == (0, 0.0, Stop.TRUE)


def test_stop_where_the_rest_is_the_castings_own_shape() -> None:
    advice = _advise(_jaws(16, -15, 14, -15))
    assert (advice.stop, advice.eccentricity_nm) == (Stop.SHAPE, 10_000)
    assert "casting's own shape, and no jaw can cure it" in _words(advice)[1]


def test_stop_where_the_dial_can_show_no_less() -> None:
    advice = _advise(_jaws(1, 0, 0, 0), dial=Dial(20_000, Unit.MM), tolerance=5_000)
    assert advice.stop is Stop.DIAL
    assert not _advise(_jaws(1, 0, 0, 0), tolerance=5_000).stop


@pytest.mark.parametrize(("share", "stops"), [(0.98, True), (1.02, False)])
def test_stop_where_roughness_hides_the_rest(share: float, stops: bool) -> None:
    # Eight spots, roughness 0.1 cos 3 phi: sum of squares 8 x 0.1^2 / 2 = 0.04 on 8 - 5 = 3 degrees of freedom;
    # the middle is known to s sqrt(2 / 8). Told from 0 at 5 % by F(2, 3), as any text on regression has it.
    error = math.sqrt(0.04 / 3) * math.sqrt(2 / 8)
    off = share * math.sqrt(2 * f_distribution.ppf(0.95, 2, 3)) * error
    readings = [
        DialReading(a, round(1e6 * (off * math.cos(math.radians(a)) + 0.1 * math.cos(math.radians(3 * a)))))
        for a in range(0, 360, 45)
    ]
    assert (_advise(readings).stop is Stop.ROUGHNESS) is stops


def test_three_readings_say_what_they_cannot_tell() -> None:
    advice = _advise([DialReading(0, 100_000), DialReading(120, -50_000), DialReading(240, -50_000)])
    assert (advice.out_of_round_nm, advice.expected_tir_nm) == (None, None)
    assert "Three readings always lie on some circle" in _words(advice)[-1]


def test_workings_stand_beside_the_figures() -> None:
    names = [one.name for one in advice_workings(_advise(_jaws(14, 3, -6, -4)))]
    assert names == [
        "swing of the dial in a whole turn (TIR)",
        "the circle in the readings",
        "eccentricity",
        "which way it lies",
        "jaws 1 and 3",
        "jaws 2 and 4",
        "out of round",
        "swing to expect",
    ]


@pytest.mark.parametrize(
    ("change", "field"),
    [({"tolerance": 0}, "tolerance"), ({"pitch": 0}, "pitch"), ({"pitch": 30_000_000}, "pitch")],
)
def test_what_cannot_be_typed(change, field: str) -> None:
    with pytest.raises(TruingError) as caught:
        _advise(_jaws(1, 0, -1, 0), **change)
    assert caught.value.field == field and str(caught.value).endswith(".")


@pytest.mark.parametrize("division", [0, -10_000, 2_000_000])
def test_a_dial_that_cannot_be(division: int) -> None:
    with pytest.raises(TruingError, match="division") as caught:
        Dial(division, Unit.MM)
    assert caught.value.field == "division"


def test_bad_readings_are_refused_in_the_dials_own_system() -> None:
    with pytest.raises(TruingError, match="at least three"):
        _advise(_jaws(1, 2, 3, 4)[:2])
    with pytest.raises(TruingError, match=r"1\.1811 in"):
        _advise([*_jaws(1, 2, 3, 4), DialReading(45, 30_000_000)], dial=Dial(25_400, Unit.INCH))


def _rounds(*along: tuple[int, int]) -> list[Advice]:
    """Rounds in which the work lies so many hundredths towards jaw 1 and jaw 2."""
    return [_advise(_jaws(x, y, -x, -y)) for x, y in along]


@pytest.mark.parametrize(
    ("along", "trend"),
    [
        ([(30, 20)], Trend.FIRST),
        ([(0, 0)], Trend.DONE),
        ([(30, 20), (3, -2)], Trend.BETTER),
        ([(30, 20), (1, 0)], Trend.DONE),
        ([(30, 20), (60, 40)], Trend.WRONG_WAY),
        ([(30, 20), (3, 40)], Trend.WRONG_WAY),
        ([(30, 20), (15, 10)], Trend.SHORT),
        ([(30, 20), (29, 1)], Trend.STUCK),
        ([(30, 20), (-20, 0)], Trend.OVER),
        ([(0, 0), (30, 20)], Trend.NOT_MOVED),
        ([(100, 5), (5, 9)], Trend.BETTER),  # the small pair is not judged beside a move twenty times its own
    ],
)
def test_how_the_rounds_go(along, trend: Trend) -> None:
    rounds = _rounds(*along)
    found = judge_rounds(rounds)
    assert found.trend is trend
    assert len(say.swing_words(rounds)) == len(along)
    assert say.trend_words(found, rounds[-1])


def test_words_for_a_move_that_went_amiss_name_the_jaws() -> None:
    rounds = _rounds((30, 20), (60, 1))
    assert say.swing_words(rounds) == (
        # 0.3 along jaws 1 and 3 and 0.2 along 2 and 4: the whole turn swings twice the square root of 0.09 + 0.04,
        # then of 0.36 + 0.0001, which is 1.20017 mm.
        "Round 1: the dial swings 0.721 mm (0.0284 in) in a whole turn.",
        "Round 2: the dial swings 1.200 mm (0.0473 in) in a whole turn.",
    )
    (wrong,) = say.trend_words(judge_rounds(rounds), rounds[-1])
    assert wrong.startswith(
        "The last move of jaws 1 and 3 went the wrong way: the dial may count the other way, or the wrong jaw was slackened."
    )
    rounds = _rounds((30, 20), (15, 0))
    found = judge_rounds(rounds)
    assert "about 5 tenths of what was asked" in say.trend_words(found, rounds[-1])[0]
    assert [share.share for share in found.shares] == [0.5, 1.0]


def test_no_round_is_no_question() -> None:
    with pytest.raises(ValueError, match="no round"):
        judge_rounds([])


def test_an_answer_cannot_be_changed() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        _advise(_jaws(1, 0, -1, 0)).tir_nm = 0
