"""What is set for each operation, and which operations each set-up of the shop has."""

import pytest

from domain.cutting.operations import every_operation
from domain.hand.words import Craft
from domain.lengths import Unit
from domain.repeating.settings import TASKS, Setting, alike, comes_of, tasks_in
from domain.repeating.words import came_words, each_words, set_words
from domain.route.set_ups import SetUp


def test_something_can_be_set_for_every_operation_there_is() -> None:
    assert {one.key for one in every_operation()} < set(TASKS)
    assert all(one.settings for one in TASKS.values())


def test_every_thing_that_can_be_set_is_set_somewhere() -> None:
    assert {setting for one in TASKS.values() for setting in one.settings} == set(Setting)


def test_each_operation_is_done_in_some_set_up_and_away_from_the_machines_none() -> None:
    found = {set_up: [one.key for one in tasks_in(set_up)] for set_up in SetUp}
    assert {key for keys in found.values() for key in keys} == set(TASKS)
    assert {set_up for set_up, keys in found.items() if not keys} == {
        SetUp.RECEIVING,
        SetUp.ROUGH_PAINT,
        SetUp.FIXING,
        SetUp.QUARTERING,
        SetUp.PAINTING,
    }
    assert found[SetUp.BACK_OUT] == ["hold_back", "face_back"]
    assert found[SetUp.BACK_ON_MANDREL] == ["face_back", "rough_tread", "finish_tread", "form_root"]
    assert found[SetUp.CRANKPIN_JIG] == ["drill_crankpin", "ream_crankpin"]


def test_a_carrying_wheel_has_no_crank_boss_to_face() -> None:
    keys = [one.key for one in tasks_in(SetUp.FRONT_OUT, coupled=False)]
    assert "crank_boss" not in keys
    assert keys[:2] == ["hold_front", "face_front_rim"]
    assert tasks_in(SetUp.CRANKPIN_JIG, coupled=False) == ()


def test_a_bore_without_its_reamer_came_of_the_bar_where_one_was_set() -> None:
    assert comes_of("ream_bore", {"ream_bore"}) == (Craft.REAMED, Craft.BORE)
    assert comes_of("ream_bore", {"ream_bore", "bore_bore"}) == (Craft.REAMED,)
    assert comes_of("bore_bore", {"ream_bore", "bore_bore"}) == (Craft.BORE,)
    assert comes_of("finish_tread", ()) == (Craft.TREAD,)
    assert comes_of("rough_tread", ()) == comes_of("drill_crankpin", ()) == ()


def test_dials_of_both_systems_are_alike_by_what_they_come_to() -> None:
    assert alike(10_795_000, 425 * 25_400, 2_540)
    assert not alike(10_795_000, 10_797_540, 2_540)


def test_what_is_set_is_said_in_one_order_and_as_typed() -> None:
    texts = {
        Setting.DIAL: "0.4250 in",
        Setting.REAMER: "reamer A",
        Setting.FEED: "0.1 mm/rev",
        Setting.SPINDLE: "110 rpm",
        Setting.TOOL: "",
    }
    assert set_words(texts) == "110 rpm, 0.1 mm/rev, reamer A, dial 0.4250 in"
    assert set_words({}) == ""
    assert each_words([]) == ""


@pytest.mark.parametrize(
    ("off_nm", "good", "said"),
    [
        (7_620, True, "W3 came 0.3 thou larger than aimed with reamer A at 110 rpm: in limits"),
        (-7_620, False, "W3 came 0.3 thou smaller than aimed with reamer A at 110 rpm: under"),
        (127_000, False, "W3 came 5.0 thou larger than aimed with reamer A at 110 rpm: over"),
        (500, True, "W3 came as aimed with reamer A at 110 rpm: in limits"),
    ],
)
def test_what_came_is_said_as_a_workshop_says_it(off_nm: float, good: bool, said: str) -> None:
    texts = {Setting.REAMER: "A", Setting.SPINDLE: "110 rpm", Setting.DIAL: "0.4 in"}
    assert came_words("W3", off_nm, good, texts, Unit.INCH) == said


def test_what_came_with_nothing_named_is_said_alone() -> None:
    assert came_words("W3", 0, True, {Setting.FEED: "0.1 mm/rev"}, Unit.MM) == "W3 came as aimed: in limits"
