"""A point without numbers: which jaw to slacken and which to tighten, against a wheel in the hand and the dial's advice."""

import itertools
import math

import pytest

from domain.lengths import Unit
from domain.truing.by_eye import SPOTS, EyeMove, Seen, Since, look, since
from domain.truing.dial import Dial, DialReading, TruingError
from domain.truing.setting import Grip, JawLabel, Surface, advise
from domain.truing.words import after_look, eye_move_words, look_words, spot_between

OUT, IN = Surface.OUTSIDE, Surface.INSIDE
CLOSE, OPEN = Grip.ON_OUTSIDE, Grip.ON_INSIDE


# Reasoned with a wheel in the hand, as section 8 has it: on the outside the work is displaced towards the high spot, so
# the jaw opposite is slackened and the one at the high spot tightened; on the inside edge the other way round. Jaws that
# open inside the rim turn it round once more.
@pytest.mark.parametrize(
    ("surface", "grip", "slacken", "tighten"),
    [(OUT, CLOSE, 3, 1), (OUT, OPEN, 1, 3), (IN, CLOSE, 1, 3), (IN, OPEN, 3, 1)],
)
def test_the_right_jaw_for_every_surface_and_grip(
    surface: Surface, grip: Grip, slacken: int, tighten: int
) -> None:
    found = look(0.0, 180.0, surface, grip)
    assert found.moves == (EyeMove(slacken, tighten),)
    assert found.towards_deg == (0.0 if surface is OUT else 180.0)
    assert dict(found.labels) == {
        slacken: JawLabel.SLACK,
        tighten: JawLabel.TIGHT,
        2: JawLabel.LEAVE,
        4: JawLabel.LEAVE,
    }
    assert eye_move_words(found.moves[0]) == (
        f"Slacken jaw {slacken} a little, then tighten jaw {tighten}, until the gap looks alike at jaws 1 and 3."
    )


@pytest.mark.parametrize(("surface", "grip"), list(itertools.product(Surface, Grip)))
@pytest.mark.parametrize("high", SPOTS)
def test_it_names_the_jaws_that_a_dial_would(surface: Surface, grip: Grip, high: float) -> None:
    readings = [
        DialReading(float(a), round(200_000 * math.cos(math.radians(a - high)))) for a in range(0, 360, 45)
    ]
    dial = advise(readings, surface, grip, Dial(10_000, Unit.MM), 20_000)
    eye = look(high, (high + 180) % 360, surface, grip)
    assert {(one.slacken, one.tighten) for one in eye.moves} == {
        (one.slacken, one.tighten) for one in dial.moves
    }
    assert eye.towards_deg == pytest.approx(dial.direction_deg, abs=1e-3)


def test_nearly_opposite_moves_the_pair_that_is_farther_out() -> None:
    # High at jaw 1, low between 2 and 3: 1 + 0.7 along jaws 1 and 3, and only 0.7 along 2 and 4.
    assert look(0.0, 135.0, OUT, CLOSE).moves == (EyeMove(3, 1),)


@pytest.mark.parametrize("low", [45.0, 90.0, 270.0, 315.0])
def test_high_and_low_beside_each_other_are_the_rims_own_shape(low: float) -> None:
    found = look(0.0, low, IN, CLOSE)
    assert (found.seen, found.moves, found.towards_deg) == (Seen.SHAPE, (), None)
    assert "Look at opposite jaws alone" in after_look(found, None)[1]


def test_no_difference_is_true_by_eye_and_says_what_it_does_not_know() -> None:
    found = look(None, None, IN, CLOSE)
    assert (found.seen, found.moves) == (Seen.ALIKE, ())
    assert look_words(found) == "no difference to be seen"
    assert "nobody has measured" in after_look(found, None)[0]


def test_beside_the_look_before() -> None:
    first = look(0.0, 180.0, IN, CLOSE)
    again, past, other = (look(a, (a + 180) % 360, IN, CLOSE) for a in (0.0, 180.0, 90.0))
    assert (since(None, first), since(first, again), since(first, past), since(first, other)) == (
        None, Since.SAME, Since.PAST, None,
    )  # fmt: skip
    assert since(first, look(None, None, IN, CLOSE)) is None
    assert "move it further" in after_look(again, Since.SAME)[0]
    assert "half as far back" in after_look(past, Since.PAST)[0]


def test_spots_in_words() -> None:
    assert [spot_between(one) for one in SPOTS[:3]] == ["jaw 1", "between jaws 1 and 2", "jaw 2"]
    assert look_words(look(0.0, 180.0, IN, CLOSE)) == "high at jaw 1, low at jaw 3"


@pytest.mark.parametrize(
    ("high", "low", "box", "says"),
    [
        (0.0, 0.0, "low", "cannot be high and low at one spot"),
        (None, 180.0, "high", "Say where it is high"),
        (0.0, None, "low", "Say where it is low"),
        (30.0, 180.0, "high", "at a jaw, or between two"),
        (0.0, math.inf, "low", "at a jaw, or between two"),
    ],
)
def test_what_cannot_be_seen(high: float | None, low: float | None, box: str, says: str) -> None:
    with pytest.raises(TruingError, match=says) as caught:
        look(high, low, IN, CLOSE)
    assert caught.value.field == box
