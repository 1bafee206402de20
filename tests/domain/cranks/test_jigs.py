"""Whether a drilling jig fits a pattern of wheel, reckoned by hand. The limits are common practice, no source."""

import pytest

from domain.answer import Answer
from domain.cranks.crankpins import CrankpinError
from domain.cranks.jigs import BUSH_SLACK_NM, Jig, JigPart, check_jig, judge_jig
from domain.cranks.throws import FAR_NM, NEAR_NM, UNLIKE_NM
from domain.cranks.words import fit_words
from domain.errors import TradeError
from domain.lengths import Unit

GOOD = Jig("A", 28_000_000, 19_040_000, 8_000_000)
THROW, HOLE, BORES = 28_000_000, 8_000_000, (19_050_000, 19_060_000)


def _fit(jig: Jig, bores: tuple[int, ...] = BORES, *, measured: bool = True):  # type: ignore[no-untyped-def]
    return judge_jig(jig, THROW, HOLE, bores, measured=measured)


def test_a_jig_that_fits() -> None:
    fit = _fit(GOOD)
    assert fit.answer is Answer.SERVES and fit.shake_nm == 20_000
    assert fit_words(fit, Unit.MM) == "good"
    assert fit_words(_fit(GOOD, measured=False), Unit.MM) == "good, by the drawn bore"


@pytest.mark.parametrize(
    ("plug", "measured", "answer", "words"),
    [
        (19_050_001, True, Answer.NOT, "larger than the smallest bore"),
        (19_050_001, False, Answer.CANNOT_TELL, "larger than the drawn bore"),
        (19_045_001, True, Answer.CAUTION, "no more than 0.005 mm"),
        (19_045_000, True, Answer.SERVES, ""),
        (19_060_000 - UNLIKE_NM, True, Answer.SERVES, ""),
        (19_059_999 - UNLIKE_NM, True, Answer.CAUTION, "shakes by 0.150 mm"),
    ],
)  # fmt: skip
def test_its_plug_in_the_smallest_and_the_largest_bore(
    plug: int, measured: bool, answer: Answer, words: str
) -> None:
    fit = _fit(Jig("A", THROW, plug, HOLE), measured=measured)
    assert fit.parts[JigPart.PLUG] is fit.answer is answer
    assert words in fit_words(fit, Unit.MM)


@pytest.mark.parametrize("sign", [1, -1])
def test_its_throw_is_judged_as_a_wheels_own(sign: int) -> None:
    answers = [
        _fit(Jig("A", THROW + sign * off, 19_040_000, HOLE)).parts[JigPart.THROW]
        for off in (NEAR_NM, NEAR_NM + 1, FAR_NM, FAR_NM + 1)
    ]
    assert answers == [Answer.SERVES, Answer.CAUTION, Answer.CAUTION, Answer.NOT]
    far = _fit(Jig("A", THROW + sign * 2 * FAR_NM, 19_040_000, HOLE))
    assert f"its throw is 1.000 mm (0.0394 in) {'longer' if sign > 0 else 'shorter'}" in fit_words(
        far, Unit.MM
    )


def test_its_bush_lets_no_hole_come_larger_and_a_smaller_one_guides_a_pilot() -> None:
    answers = {
        off: _fit(Jig("A", THROW, 19_040_000, HOLE + off)).parts[JigPart.BUSH]
        for off in (BUSH_SLACK_NM, BUSH_SLACK_NM + 1, -BUSH_SLACK_NM, -BUSH_SLACK_NM - 1)
    }
    assert list(answers.values()) == [Answer.SERVES, Answer.NOT, Answer.SERVES, Answer.CAUTION]
    pilot = _fit(Jig("A", THROW, 19_040_000, 6_000_000))
    assert "it guides a pilot drill" in fit_words(pilot, Unit.MM)


def test_without_a_bore_nothing_is_judged() -> None:
    with pytest.raises(CrankpinError, match="no bore"):
        _fit(GOOD, ())


@pytest.mark.parametrize(
    ("jig", "field"),
    [
        (Jig("A", 0, 19_000_000, 8_000_000), "throw"),
        (Jig("A", 28_000_000, 0, 8_000_000), "plug"),
        (Jig("A", 28_000_000, 19_000_000, 0), "bush"),
        (Jig("A", 13_500_000, 19_000_000, 8_000_000), "throw"),
    ],
)
def test_what_can_be_no_jig_is_refused_by_its_field(jig: Jig, field: str) -> None:
    with pytest.raises(TradeError) as refused:
        check_jig(jig)
    assert refused.value.field == field


def test_a_bush_that_just_clears_the_plug_can_be() -> None:
    check_jig(Jig("A", 13_500_001, 19_000_000, 8_000_000))
