"""The heights of crankpins as they are kept: the text is read again as what a person types is."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from domain.lengths import LengthError, Unit, parse_length
from webapp.typed.heights import CENTRE, OVER, HeightTyped, read_heights
from webapp.typed.texts import Typed

LENGTHS = st.sampled_from(("75.80", "3/8", "19,05 mm", "0.7505 in", "1 3/8 in", "750 thou", "25 mm"))


@settings(deadline=None)  # the first length that is read imports the units
@given(LENGTHS, st.none() | LENGTHS, st.sampled_from(Unit))
def test_a_kept_height_opens_as_it_was_typed(height: str, diameter: str | None, unit: Unit) -> None:
    """A bare figure comes back with the unit it was meant in, whatever the build's is by then."""
    assume(unit is Unit.INCH or "3/8" not in (height, diameter))  # a bare fraction of a millimetre is refused
    read = [parse_length(one, unit) for one in (height, diameter) if one is not None]
    typed = HeightTyped(*read)
    kept = HeightTyped.kept(typed.text(unit))
    assert (kept.height.nm, kept.diameter and kept.diameter.nm) == (
        typed.height.nm,
        typed.diameter and typed.diameter.nm,
    )
    assert kept.text(Unit.MM) == kept.text(Unit.INCH) == typed.text(unit)
    fields = kept.fields("left")
    assert fields["left_way"] == [OVER if diameter else CENTRE]
    again, errors = read_heights(
        Typed({**fields, **typed_as("axle"), "left_branch": ["front"]}), ("left",), Unit.MM
    )
    assert not errors
    assert again is not None
    assert again.pins["left"].text(Unit.MM) == typed.text(unit)


def typed_as(name: str) -> dict[str, list[str]]:
    return {f"{name}_way": [CENTRE], name: ["75.80 mm"]}


@pytest.mark.parametrize(
    "text", ["", "75.80 mm over ", "75.80 mm over the top", "75.80 mm over 9 mm over 9 mm"]
)
def test_what_is_no_kept_height_is_told(text: str) -> None:
    with pytest.raises(LengthError):
        HeightTyped.kept(text)
