"""What is asked about a reading that can hardly be meant."""

from collections.abc import Sequence

from domain.lengths import Unit, show
from domain.measuring.plausible import MOST_OF_CASTING, Expected, ReadingDoubt, SizeRead

_MG_PER_POUND = 453_592.37  # by definition


def doubt_words(found: ReadingDoubt, unit: Unit) -> str:
    """The question, with what it may have been; of what cannot be, that it cannot.

    >>> from domain.measuring.plausible import doubt_of, near
    >>> doubt_words(doubt_of(19_050, "0.75 thou", near("bore", 19_050_000)), Unit.MM)
    "Can that be the bore? “0.75 thou” is 0.019 mm (0.0008 in), and the drawing's is 19.050 mm (0.7500 in). \
Was 19.050 mm (0.7500 in) meant?"
    """
    expected = found.expected
    if found.impossible and expected.figure is not None:
        said = (
            f"That cannot be the {expected.name}: “{found.text}” is {_shown(found.value, expected, unit)}, more than"
            f" {MOST_OF_CASTING} times {expected.whose} {_shown(expected.figure, expected, unit)}."
        )
        return f"{said} {meant_words(found, unit) or 'Look at the figure and its unit.'}"
    said = (
        f"Can that be the {expected.name}? “{found.text}” is {_shown(found.value, expected, unit)}, and"
        f" {_about(expected, unit)}."
    )
    look = meant_words(found, unit) or "Look at the figure and its unit."
    return " ".join(filter(None, (said, expected.why, look)))


def doubts_words(found: Sequence[ReadingDoubt], unit: Unit) -> str:
    """One question about several readings of the same thing that say much the same, each named once.

    >>> from domain.measuring.plausible import doubt_of, near
    >>> bore = near("bore", 19_050_000)
    >>> doubts_words([doubt_of(nm, f"{nm / 1e6:g} mm", bore) for nm in (1_750_000, 1_760_000)], Unit.MM)
    "Can these be the bore? “1.75 mm” is 1.750 mm (0.0689 in) and “1.76 mm” is 1.760 mm (0.0693 in), and the drawing's \
is 19.050 mm (0.7500 in). Were 17.500 mm (0.6890 in) and 17.600 mm (0.6929 in) meant?"
    """
    first, *more = {one.value: one for one in found}.values()
    if not more or first.impossible:
        return doubt_words(first, unit)
    expected = first.expected
    *said, last = (f"“{one.text}” is {_shown(one.value, expected, unit)}" for one in (first, *more))
    asks = f"Can these be the {expected.name}? {', '.join(said)} and {last}, and {_about(expected, unit)}."
    others = [_shown(other, expected, unit) for one in (first, *more) for other in one.others]
    *few, end = dict.fromkeys(others) or [""]
    look = f"Were {', '.join(few)} and {end} meant?" if few else f"Was {end} meant?" if end else ""
    return " ".join(filter(None, (asks, expected.why, look or "Look at the figures and their unit.")))


def _about(expected: Expected, unit: Unit) -> str:
    """What a reading should be, as the question says it."""
    if expected.figure is not None:
        return f"{expected.whose} is {_shown(expected.figure, expected, unit)}"
    low, high = (_shown(one, expected, unit) for one in (expected.least, expected.most))
    return f"it should lie between {low} and {high}"


def meant_words(found: ReadingDoubt, unit: Unit) -> str:
    """What it may have been; empty where nothing near is found."""
    others = " or ".join(_shown(one, found.expected, unit) for one in found.others)
    return f"Was {others} meant?" if others else ""


def _shown(value: int, expected: Expected, unit: Unit) -> str:
    return show(value, unit) if expected.measure is SizeRead.LENGTH else _weight(value, unit)


def _weight(mg: int, unit: Unit) -> str:
    metric, pounds = (
        f"{mg / 1000:.4g} g" if mg < 10**7 else f"{mg / 10**6:.4g} kg",
        f"{mg / _MG_PER_POUND:.3g} lb",
    )
    return f"{pounds} ({metric})" if unit is Unit.INCH else f"{metric} ({pounds})"
