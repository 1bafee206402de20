"""The forms' readers on their own: whatever is typed, an answer or a sentence, and never an error."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.drawing import KEYS
from domain.lengths import Unit
from webapp.sheets.build.form import read_build, standard_keys, starting_text
from webapp.sheets.wheel.form_castings import OTHER, REASONS, read_mark, read_reason
from webapp.typed.marks import proposed, read_marks
from webapp.typed.readings import read_log
from webapp.typed.texts import Errors, Typed, read_initials, read_line, read_whole
from webapp.typed.ticks import read_wish

TEXT = st.text(max_size=40) | st.sampled_from(
    ["", " ", "\0", "9" * 5000, "-1", "²", "１", "٣", "0x10", "1_0", "🛞"]
)
BUILD_FIELDS = tuple(starting_text("ibls-5").fields)


def typed(**fields: str) -> Typed:
    return Typed({name: [text] for name, text in fields.items()})


@pytest.mark.parametrize("standard", standard_keys())
def test_the_form_that_is_offered_can_be_saved(standard: str) -> None:
    fields = starting_text(standard).fields | {"name": ["Tank engine"]}
    draft, errors = read_build(Typed(fields), with_marks=True)
    assert not errors
    assert draft is not None
    assert set(draft.dimensions) == set(KEYS)
    assert len(draft.marks) == 2 * len(draft.coupled) + 2


@settings(max_examples=150, derandomize=True, deadline=None)
@given(st.dictionaries(st.sampled_from(BUILD_FIELDS), st.lists(TEXT, max_size=2), max_size=6))
def test_a_build_is_read_or_refused_field_by_field(changes: dict[str, list[str]]) -> None:
    fields = {**starting_text("ibls-5").fields, "name": ["Tank engine"], **changes}
    draft, errors = read_build(Typed(fields), with_marks=True)
    assert (draft is None) == bool(errors)
    assert all(sentence.endswith((".", "?")) for sentence in errors.values())
    # Only what stands in the form is blamed.
    assert set(errors) <= set(BUILD_FIELDS)


@settings(max_examples=100, derandomize=True, deadline=None)
@given(st.lists(TEXT, max_size=5), TEXT, TEXT, st.sampled_from(Unit))
def test_readings_are_read_or_refused_box_by_box(
    texts: list[str], instrument: str, unit: str, own: Unit
) -> None:
    log, errors = read_log(Typed({"reading": texts, "instrument": [instrument], "unit": [unit]}), own)
    assert (log is None) == bool(errors)
    if log is not None:
        assert len(log.readings) == sum(bool(text.strip()) for text in texts) > 0
        assert all(reading.nm > 0 for reading in log.readings)


@given(TEXT)
@settings(max_examples=100, derandomize=True)
def test_a_wish_is_three_words_at_most(text: str) -> None:
    wish = read_wish(typed(wish=text))
    assert wish is None or text.split(" ")[0] in ("yes", "no")


@pytest.mark.parametrize(
    ("text", "wish"),
    [("yes bored", ("bored", True, False)), ("no bored", ("bored", False, False)),
     ("yes pressed confirmed", ("pressed", True, True)), ("yes", None), ("yes  bored", None), ("", None),
     ("yes bored Confirmed", None), ("YES bored", None), ("yes bored confirmed ", None)],
)  # fmt: skip
def test_wishes(text: str, wish: tuple[str, bool, bool] | None) -> None:
    found = read_wish(typed(wish=text, seen="7"))
    assert (found and (found.key, found.wanted, found.confirmed)) == wish
    assert found is None or found.seen == 7


@pytest.mark.parametrize(
    ("text", "marks"),
    [("W1 W2", ("W1", "W2")), ("W1,W2;W3\nW4", ("W1", "W2", "W3", "W4")), (" a/1 ", ("a/1",)), ("É-1_2.3", ("É-1_2.3",)),
     ("x" * 12, ("x" * 12,))],
)  # fmt: skip
def test_marks_are_read(text: str, marks: tuple[str, ...]) -> None:
    errors = Errors()
    assert read_marks(typed(marks=text), "marks", errors) == marks
    assert not errors


@pytest.mark.parametrize(
    "text", ["", " , ;", "W1 w1", "ẞ ss", "-1", "_1", ".1", "a b! c", "x" * 13, "a\u200bb", "a'b"]
)
def test_marks_that_are_none(text: str) -> None:
    errors = Errors()
    read_marks(typed(marks=text), "marks", errors)
    assert errors["marks"]


def test_sixty_marks_at_a_time() -> None:
    for count, fine in ((60, True), (61, False)):
        errors = Errors()
        read_marks(typed(marks=" ".join(proposed(count))), "marks", errors)
        assert bool(errors) is not fine


def test_one_mark_is_one() -> None:
    errors = Errors()
    assert read_mark(typed(mark=" W1 "), errors) == "W1"
    assert read_mark(typed(mark="W1 W2"), errors) is None


def test_reasons() -> None:
    for reason in REASONS:
        assert read_reason(typed(reason=reason, words=""), Errors()) == reason
        assert read_reason(typed(reason=reason, words=" a  b "), Errors()) == f"{reason}, a b"
    assert read_reason(typed(reason=OTHER, words="fell off"), Errors()) == "fell off"


@pytest.mark.parametrize(
    ("text", "found"),
    [("ab", "AB"), (" a1 ", "A1"), ("", None), ("ABCDE", None), ("A B", None), ("A.", None), ("A\n", "A"), ("\0", None),
     ("жд", "ЖД"), ("ßßß", "SSSS"), ("½", "½"), ("_", None)],
)  # fmt: skip
def test_initials(text: str, found: str | None) -> None:
    assert read_initials(text) == found


@pytest.mark.parametrize(
    "text", ["", "0", "13", "-1", "+1", "1.0", "1e1", "²", "１", "0x1", "1 2", "9" * 5000, "1_0"]
)
def test_whole_numbers_that_are_none(text: str) -> None:
    errors = Errors()
    assert read_whole(typed(n=text), "n", "The number", 1, 12, errors) is None
    assert "whole number from 1 to 12" in errors["n"]


def test_a_line_is_one_line() -> None:
    errors = Errors()
    assert read_line(typed(n=" a \n b\t"), "n", "The name", 3, errors) == "a b"
    assert not errors


@pytest.mark.parametrize("text", ["", "abc", "-1", "1.5", "9" * 13, "²", "１", " 1"])
def test_a_version_that_is_none_is_nobodys(text: str) -> None:
    assert typed(seen=text).version() == 0


@pytest.mark.parametrize(
    ("text", "token"),
    [
        ("0" * 12, True),
        ("f" * 64, True),
        ("0" * 11, False),
        ("f" * 65, False),
        ("G" * 12, False),
        ("0" * 12 + "\n", False),
    ],
)
def test_tokens(text: str, token: bool) -> None:
    assert typed(token=text).token("token") == (text if token else "")
