"""Typed workshop text to whole nanometres."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from domain.lengths.showing import figure_in, show
from domain.lengths.systems import both_shown
from domain.lengths.units import NM_PER_MM, Unit, decimal

if TYPE_CHECKING:
    import pint

MAX_TEXT = 40
# 10 km: a size whose point was forgotten (51250 in) is still read, so that its form asks by what it expects there.
MAX_NM = 10_000_000 * NM_PER_MM


@dataclass(frozen=True)
class Length:
    """A length in whole nanometres beside the text it was typed as."""

    nm: int
    text: str


class LengthError(ValueError):
    """A typed length that cannot be taken; its text is one sentence for the page."""


# Spelling accepted after a figure -> the name pint knows it by.
_UNITS = {
    "mm": "millimeter",
    "cm": "centimeter",
    "in": "inch",
    "inch": "inch",
    "inches": "inch",
    '"': "inch",
    "thou": "thou",
    "um": "micrometer",
    "\u00b5m": "micrometer",  # micro sign
    "\u03bcm": "micrometer",  # Greek mu, which looks the same
    "micron": "micrometer",
    "microns": "micrometer",
}
_INCHES = {"inch", "thou"}
_BARE = {Unit.MM: "millimeter", Unit.INCH: "inch"}
_ACCEPTED = {
    Unit.MM: 'such as 19.05 mm, 0.75 in, 3/4", 1 1/4 in or 750 thou',
    Unit.INCH: 'such as 0.75 in, 3/4", 1 1/4 in, 750 thou or 19.05 mm',
}

_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8"}
_VULGAR |= {"⅝": "5/8", "⅞": "7/8", "⅙": "1/6", "⅚": "5/6", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5"}
_SAME = str.maketrans(
    {"−": "-", "″": '"', "”": '"', "“": '"', "⁄": "/", "\u00a0": " ", "\u2009": " ", "\u202f": " ", "\t": " "}
)

# Only 0-9 count as digits: \d would take other scripts' digits as well.
_PARTS = re.compile(r"(?P<sign>[+-]? ?)(?P<figure>[0-9.,/ +-]*)(?P<unit>.*)", re.DOTALL)
_DECIMAL = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+")
_FRACTION = re.compile(r"(?:(?P<whole>[0-9]+)(?: +|-))?(?P<top>[0-9]+)/(?P<bottom>[0-9]+)")
_GROUPED = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_MANY_MARKS = re.compile(r"[0-9]*(?:[.,][0-9]+){2,}")


def parse_length(
    text: str,
    bare: Unit,
    *,
    signed: bool = False,
    only_decimals: Callable[[int, int], bool] | None = None,
) -> Length:
    """Read one typed length.

    nm = figure x nanometres per unit (1 in = 25.4 mm exactly), rounded half to even.

    A comma is a decimal comma, except where it could also part thousands (1,234): that is refused, unless what is
    asked for says which alone it can be, while 0,750 cannot be thousands and is taken. A bare fraction takes the
    build's unit only in an inch build.

    Args:
        text: as typed, at most 40 characters, for instance 19.05 mm, 3/4", 1-1/4 in, 9,5 mm, 750 thou, 6.3 um.
        bare: the unit of a figure typed without one.
        signed: True for an offset such as +4 thou; a size has no sign.
        only_decimals: given both sizes, nm, whether the one with decimals is likely where this is asked and the other
            is not; None where nobody knows.

    Returns:
        The length in nanometres, with the text as typed less the blanks round it; at most 10 km either way.

    Raises:
        LengthError: the text is empty, ambiguous or no single length.

    Source: international yard and pound agreement, 1959, for the inch; the grammar is this program's own.

    >>> parse_length("1 1/4 in", Unit.MM)
    Length(nm=31750000, text='1 1/4 in')
    >>> parse_length("-4 thou", Unit.MM, signed=True).nm
    -101600
    >>> parse_length("28,044", Unit.MM, only_decimals=lambda decimals, thousands: thousands > 10**9).nm
    28044000
    """
    typed = text.strip()
    if not typed:
        raise LengthError(f"Nothing was typed: write a length, {_ACCEPTED[bare]}.")
    if len(typed) > MAX_TEXT:
        raise LengthError(
            f"{_quoted(typed)} is too long for one length: write it shortly, {_ACCEPTED[bare]}."
        )
    parts = _PARTS.fullmatch(_plain_characters(typed))
    assert parts is not None  # every group may be empty, so the pattern takes any text
    figure, unit = parts["figure"].strip(), parts["unit"].strip().lower()
    _check_unit(typed, figure, unit, bare)
    sign = parts["sign"].strip()
    if sign and not signed:
        raise LengthError(
            f"{_quoted(typed)} has a sign, but a size has none: write it without, {_ACCEPTED[bare]}."
        )
    per = _nm_per(_UNITS[unit] if unit else _BARE[bare])
    if only_decimals is not None and _GROUPED.fullmatch(figure):
        decimals, thousands = (round(Fraction(figure.replace(",", by)) * per) for by in (".", ""))
        figure = figure.replace(",", ".") if only_decimals(decimals, thousands) else figure
    value = _figure_value(typed, figure, bare)
    if "/" in figure and not unit and bare is Unit.MM:
        raise LengthError(_bare_fraction(typed, figure, value))
    nm = round(value * per)
    if nm > MAX_NM:
        raise LengthError(
            f"{_quoted(typed)} is more than 10 km: check its point and its unit, {_ACCEPTED[bare]}."
        )
    return Length(-nm if sign == "-" else nm, typed)


def system_typed(text: str, bare: Unit) -> Unit:
    """The system a length was typed in: inches for in, " and thou, millimetres for mm, cm and um.

    Formula: none, the unit is read as parse_length reads it.

    Args:
        text: as typed and taken by parse_length.
        bare: the unit of a figure typed without one.

    Returns:
        The system; bare when no known unit is there.

    Source: none; the grammar is this program's own.

    >>> system_typed("750 thou", Unit.MM), system_typed("19.05", Unit.MM)
    (<Unit.INCH: 'in'>, <Unit.MM: 'mm'>)
    """
    parts = _PARTS.fullmatch(_plain_characters(text.strip()))
    unit = _UNITS.get(parts["unit"].strip().lower()) if parts else None
    if unit is None:
        return bare
    return Unit.INCH if unit in _INCHES else Unit.MM


def show_typed(size: Length, first: Unit) -> str:
    """A typed length as `show` says it; before that as it was typed, where the same figure is not said anyway.

    >>> show_typed(parse_length("4.695 in", Unit.INCH), Unit.INCH)
    '4.6950 in (119.253 mm)'
    >>> show_typed(parse_length("3/4", Unit.INCH), Unit.INCH)
    'typed 3/4: 0.7500 in (19.050 mm)'
    """
    said, system = show(size.nm, first), system_typed(size.text, first)
    shown = both_shown() or system is first
    return said if shown and _is_figure_of(size, system) else f"typed {size.text}: {said}"


def _is_figure_of(size: Length, system: Unit) -> bool:
    """Whether what was typed is the very figure that is said of the size in its system, and so is the size."""
    parts = _PARTS.fullmatch(_plain_characters(size.text.strip()))
    figure = parts["figure"].strip().replace(",", ".") if parts else ""
    if parts is None or not _DECIMAL.fullmatch(figure):
        return False
    unit = parts["unit"].strip().lower()
    sign = -1 if parts["sign"].strip() == "-" else 1
    plainly = not unit or _UNITS.get(unit) == _BARE[system]
    return plainly and sign * Fraction(figure) == Fraction(figure_in(size.nm, system))


def _plain_characters(typed: str) -> str:
    """Typographic minus, primes, blanks and vulgar fractions as plain characters."""
    text = typed.translate(_SAME)
    for sign, fraction in _VULGAR.items():
        # The blanks keep a neighbouring digit from joining the fraction: 1¾ is 1 3/4, ¾5 stays two figures.
        text = re.sub(rf"(?<=[0-9]){sign}", f" {fraction}", text)
        text = re.sub(rf"{sign}(?=[0-9])", f"{fraction} ", text)
        text = text.replace(sign, fraction)
    return text


def _check_unit(typed: str, figure: str, unit: str, bare: Unit) -> None:
    """Refuse text that is no figure followed by nothing or by one known unit."""
    said = _quoted(typed)
    if not any(mark in "0123456789" for mark in figure):
        if unit in _UNITS:
            raise LengthError(f"{said} is a unit without a figure: write both, {_ACCEPTED[bare]}.")
        raise LengthError(
            f"{said} does not begin with a figure in plain digits: write a length, {_ACCEPTED[bare]}."
        )
    if re.match(r"e ?[+-]?[0-9]", unit):
        raise LengthError(f"{said} has an exponent: write the figure out in full, {_ACCEPTED[bare]}.")
    if any(mark.isdigit() for mark in unit):
        raise LengthError(f"{said} is more than one figure: write a single length, {_ACCEPTED[bare]}.")
    if unit in ("mil", "mils"):
        raise LengthError(
            f"{said} could mean thousandths of an inch or millimetres: write thou or mm, "
            "such as 4 thou or 0.1 mm."
        )
    if unit and unit not in _UNITS:
        raise LengthError(
            f'{said} ends in something that is no unit here: mm, cm, um, in, " and thou are accepted, '
            f"{_ACCEPTED[bare]}."
        )


def _figure_value(typed: str, figure: str, bare: Unit) -> Fraction:
    """The exact value of a decimal, a fraction or a mixed number."""
    said = _quoted(typed)
    if _GROUPED.fullmatch(figure):
        raise LengthError(
            f"{said} could be {figure.replace(',', '.')} or {figure.replace(',', '')}: "
            "write the one that is meant, with a point for decimals and nothing between thousands."
        )
    if _MANY_MARKS.fullmatch(figure):
        raise LengthError(
            f"{said} has more than one point or comma: write one point for decimals and nothing between "
            "thousands, such as 1234.5 mm."
        )
    if _DECIMAL.fullmatch(figure):
        return Fraction(figure.replace(",", "."))
    parts = _FRACTION.fullmatch(figure)
    if parts is None:
        raise LengthError(f"{said} is not one plain figure: write a single length, {_ACCEPTED[bare]}.")
    top, bottom = int(parts["top"]), int(parts["bottom"])
    if bottom == 0:
        raise LengthError(f"{said} divides by zero: write a fraction such as 3/4 in.")
    if parts["whole"] and top >= bottom:
        raise LengthError(
            f"{said} has a fraction of one or more after its whole number: write such as 1 1/4 in."
        )
    return int(parts["whole"] or 0) + Fraction(top, bottom)


def _bare_fraction(typed: str, figure: str, value: Fraction) -> str:
    """Why a fraction alone is not taken in a millimetre build."""
    decimals = decimal(value.numerator, value.denominator, 4)
    short = decimals.rstrip("0").rstrip(".")
    said = _quoted(typed)
    return f"{said} is a fraction without a unit in a millimetre build: write {figure} in or {short} mm."


def bare_doubt(size: Length, would_do: Callable[[int], bool]) -> str:
    """What a bare figure was read in and how to write what else it may be; empty where that, in nm, would not do either.

    >>> bare_doubt(parse_length("19.07", Unit.INCH), lambda nm: nm < 32_000_000)
    '19.07 in was read, for a bare number is in inches here: write 19.07 mm if it is millimetres.'
    """
    text = size.text
    if system_typed(text, Unit.MM) is system_typed(text, Unit.INCH):
        return ""
    in_inches = parse_length(text, Unit.INCH, signed=True).nm == size.nm
    if not would_do(round(size.nm * (Fraction(5, 127) if in_inches else Fraction(127, 5)))):
        return ""
    if in_inches:
        return (
            f"{text} in was read, for a bare number is in inches here: write {text} mm if it is millimetres."
        )
    return f"{text} mm was read, for a bare number is in millimetres here: write {text} in if it is inches."


@cache
def _nm_per(pint_name: str) -> Fraction:
    """Exact nanometres in one of pint's units."""
    return Fraction(_registry().convert(Fraction(1), pint_name, "nanometer"))


@cache
def _registry() -> "pint.UnitRegistry[Fraction]":
    """Pint's units in exact fractions: no float ever touches a length."""
    import pint  # a third of a second to import and set up: only when a length is first read

    return pint.UnitRegistry(non_int_type=Fraction)


def _quoted(typed: str) -> str:
    """The typed text between quotes, short and printable enough for a sentence."""
    clean = "".join(mark if mark.isprintable() else " " for mark in typed)
    return f"“{clean}”" if len(clean) <= 24 else f"“{clean[:23]}…”"
