"""What was set, as typed: a figure without its unit is refused, and so is what can hardly be meant."""

import pytest

from domain.lengths import Unit
from domain.repeating.settings import TASKS, Setting
from webapp.typed.as_set import SetTo, example, read_settings
from webapp.typed.texts import Typed

TURN, REAM, STROKES = TASKS["finish_tread"], TASKS["ream_bore"], TASKS["crank_boss"]


def typed(**texts: str) -> Typed:
    return Typed({name: [text] for name, text in texts.items()})


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("spindle", "110 rpm", 110_000),
        ("spindle", "71,9 RPM", 71_900),
        ("feed", "0.1 mm/rev", 100_000),
        ("feed", "4 thou per turn", 101_600),
        ("feed", "0.004 in", 101_600),
        ("dial", "0.4250 in", 10_795_000),
        ("dial", "10.795 mm", 10_795_000),
        ("dial", "-0.002 in", -50_800),
        ("dial", "0 mm", 0),
        ("tool", "round nose", None),
    ],
)
def test_what_is_typed_is_kept_with_what_it_comes_to(key: str, text: str, value: int | None) -> None:
    said, errors = read_settings(typed(**{key: text}), TURN)
    assert not errors
    assert said == {Setting(key): SetTo(text, value)}


def test_the_rhythm_and_the_feed_of_strokes() -> None:
    said, errors = read_settings(typed(rhythm="20 strokes/min", feed="0.004 in/stroke"), STROKES)
    assert not errors
    assert said == {
        Setting.RHYTHM: SetTo("20 strokes/min", 20_000),
        Setting.FEED: SetTo("0.004 in/stroke", 101_600),
    }


@pytest.mark.parametrize(
    ("key", "text", "sentence"),
    [
        ("spindle", "110", "“110” has no unit: write it too, such as 110 rpm."),
        ("feed", "0.1", "“0.1” has no unit: write it too, such as 0.1 mm/rev or 0.004 in/rev."),
        ("feed", "0.1/rev", "“0.1/rev” has no unit: write it too, such as 0.1 mm/rev or 0.004 in/rev."),
        ("dial", "0.4250", "“0.4250” has no unit: write it too, such as 10.80 mm or 0.4250 in."),
        ("dial", "3/4", "“3/4” has no unit: write it too, such as 10.80 mm or 0.4250 in."),
    ],
)
def test_no_figure_is_taken_without_its_unit(key: str, text: str, sentence: str) -> None:
    said, errors = read_settings(typed(**{key: text}), TURN)
    assert said is None
    assert errors == {key: sentence}


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("spindle", "fast"),
        ("spindle", "110 mm"),
        ("spindle", "0 rpm"),
        ("spindle", "99999 rpm"),
        ("feed", "0 mm/rev"),
        ("feed", "8 mm/rev"),
        ("feed", "/rev"),
        ("dial", "2 in 3 in"),
        ("dial", "5000 mm"),
        ("tool", "x" * 61),
        ("tool", "round\x00nose"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(key: str, text: str) -> None:
    said, errors = read_settings(typed(**{key: text}), TURN)
    assert said is None
    assert list(errors) == [key]
    assert errors[key].endswith(".")


def test_a_field_that_was_not_sent_says_nothing_and_an_empty_one_takes_back() -> None:
    said, errors = read_settings(typed(spindle="110 rpm", feed=" "), REAM)
    assert not errors
    assert said == {Setting.SPINDLE: SetTo("110 rpm", 110_000), Setting.FEED: SetTo("")}


def test_what_an_operation_does_not_have_is_not_read() -> None:
    said, errors = read_settings(typed(dial="0.4", spindle="110 rpm"), REAM)
    assert not errors
    assert said == {Setting.SPINDLE: SetTo("110 rpm", 110_000)}


def test_a_form_that_says_nothing_is_refused_beside_its_first_field() -> None:
    for form in (typed(), typed(spindle="", reamer=" ")):
        said, errors = read_settings(form, REAM)
        assert said is None
        assert errors == {"spindle": "Nothing is said here: write what was set, such as 110 rpm."}
    said, errors = read_settings(typed(spindle="", reamer=" "), REAM, stands=True)
    assert not errors
    assert said == {Setting.SPINDLE: SetTo(""), Setting.REAMER: SetTo("")}


@pytest.mark.parametrize("one", Setting)
def test_each_example_is_taken(one: Setting) -> None:
    task = next(task for task in TASKS.values() if one in task.settings)
    for text in (text for unit in Unit for text in example(one, unit).split(" or ")):
        assert not read_settings(typed(**{one.value: text}), task)[1]
