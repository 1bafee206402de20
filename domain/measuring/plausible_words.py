"""What is asked about a reading that can hardly be meant."""

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
    said = f"Can that be the {expected.name}? “{found.text}” is {_shown(found.value, expected, unit)}"
    if expected.figure is not None:
        said += f", and {expected.whose} is {_shown(expected.figure, expected, unit)}."
    else:
        low, high = (_shown(one, expected, unit) for one in (expected.least, expected.most))
        said += f", and it should lie between {low} and {high}."
    look = meant_words(found, unit) or "Look at the figure and its unit."
    return " ".join(filter(None, (said, expected.why, look)))


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
