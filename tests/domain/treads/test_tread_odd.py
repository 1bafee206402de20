"""The few wheels that fall short of a group most of which is finished, and both ways out."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.lengths import Unit, parse_length
from domain.treads.group import OddOnes, TreadError, WheelTread, odd_ones
from domain.treads.words import odd_ones_words, odd_ways


def _in(text: str) -> int:
    return parse_length(text, Unit.INCH).nm


DRAWING, WITHIN = _in("5.125"), _in("0.001")


def _odd(*inches: str, rough: tuple[str, ...] = ()) -> OddOnes | None:
    sizes = {f"W{number}": _in(text) for number, text in enumerate(inches, 1)}
    wheels = {mark: WheelTread(nm + _in("0.1") if mark in rough else nm, nm) for mark, nm in sizes.items()}
    return odd_ones(DRAWING, wheels, [mark for mark in sizes if mark not in rough], WITHIN, Unit.INCH)


def test_the_one_bad_tread_and_both_ways_out() -> None:
    found = _odd("5.125", "5.1255", "5.100", "5.1245", "5.125", "5.125")
    assert found is not None
    assert (found.marks, found.diameter_nm, found.down_to_nm) == (("W3",), _in("5.1245"), _in("5.100"))
    assert found.to_turn == ("W1", "W2", "W4", "W5", "W6")
    assert odd_ones_words(found, Unit.INCH).startswith("W3 is the odd one: 5.1000 in")
    assert "24.5 thou" in odd_ones_words(found, Unit.INCH)
    # One wheel made again before five turned down; half of 0.0245 on each flange.
    again, down = odd_ways(found, Unit.INCH)
    assert again == ("Make W3 again, or use another casting: then the group stays at 5.1245 in (130.162 mm).")
    assert "Turn W1, W2, W4, W5, W6 down to 5.1000 in" in down and "5 wheels" in down
    assert "12.2 thou" in down or "12.3 thou" in down


@pytest.mark.parametrize(
    ("inches", "rough", "odd"),
    [
        # Two of two: nobody can say which is the odd one, and turning one down is the lesser work.
        (("5.125", "5.100"), (), None),
        (("5.125", "5.125", "5.1245"), (), None),
        (("5.125", "5.125", "5.100"), (), ("W3",)),
        (("5.125", "5.125", "5.100"), ("W3",), ("W3",)),
        # With nothing turned yet the group simply follows its smallest.
        (("5.125", "5.125", "5.100"), ("W1", "W2"), None),
        (("5.125", "5.125", "5.125", "5.125", "5.100", "5.110"), (), ("W5", "W6")),
        (("5.125", "5.125", "5.125", "5.100", "5.100", "5.100"), (), None),
        (("5.100", "5.100", "5.100", "5.125"), (), None),
    ],
)
def test_who_is_odd(inches: tuple[str, ...], rough: tuple[str, ...], odd: tuple[str, ...] | None) -> None:
    found = _odd(*inches, rough=rough)
    assert (found.marks if found else None) == odd


def test_two_odd_ones_against_three() -> None:
    found = _odd("5.125", "5.125", "5.125", "5.100", "5.101")
    assert found is not None and found.marks == ("W4", "W5")
    assert found.to_turn == ("W1", "W2", "W3") and odd_ways(found, Unit.INCH)[0].startswith(
        "Make W4 and W5 again"
    )


@settings(max_examples=80, deadline=None)
@given(st.lists(st.integers(0, 10), min_size=1, max_size=7), st.integers(0, 3))
def test_the_odd_are_fewer_than_the_finished_they_are_held_against(steps: list[int], within: int) -> None:
    wheels = {
        f"W{n}": WheelTread(DRAWING - 1_000 * step, DRAWING - 1_000 * step) for n, step in enumerate(steps)
    }
    found = odd_ones(DRAWING, wheels, wheels, 1_000 * within, Unit.MM)
    if found is None:
        return
    rest = [wheel.largest_nm for mark, wheel in wheels.items() if mark not in found.marks]
    alike = [nm for nm in rest if nm - found.diameter_nm <= 1_000 * within]
    assert found.diameter_nm == min(rest) and len(alike) > len(found.marks)
    assert found.diameter_nm - found.down_to_nm > 1_000 * within
    assert max(wheels[mark].largest_nm for mark in found.marks) < found.diameter_nm


def test_nonsense_is_a_sentence() -> None:
    with pytest.raises(TreadError, match="no wheel"):
        odd_ones(DRAWING, {}, (), WITHIN, Unit.MM)
