"""Whole nanometres to text, in millimetres and inches."""

from fractions import Fraction
from functools import lru_cache

from domain.lengths.systems import both_shown
from domain.lengths.units import NM_PER_INCH, Unit, decimal, nm_in

# A sheet writes the same few lengths hundreds of times.
_MANY = 4096
_TENTH_NM = NM_PER_INCH // 10
# The last figure shown of a difference: a micrometre, or a tenth of a thou.
_STEP_NM = {Unit.MM: 1_000, Unit.INCH: 2_540}


def show_in(nm: int, unit: Unit) -> str:
    """Write a length in one system: 3 decimals of a millimetre or 4 of an inch, rounded half to even.

    Args:
        nm: the length in nanometres.
        unit: the system to write it in.

    >>> show_in(19_050_000, Unit.MM)
    '19.050 mm'
    """
    return f"{figure_in(nm, unit)} {unit}"


def figure_in(nm: int, unit: Unit) -> str:
    """The figure of show_in without its unit.

    >>> figure_in(19_050_000, Unit.INCH)
    '0.7500'
    """
    return decimal(nm, nm_in(unit), 3 if unit is Unit.MM else 4)


def show(nm: int, first: Unit) -> str:
    """Write a length in the systems shown, the given one first, rounded as show_in does.

    Args:
        nm: the length in nanometres.
        first: the system to write first.

    >>> show(19_050_000, Unit.MM), show(19_050_000, Unit.INCH)
    ('19.050 mm (0.7500 in)', '0.7500 in (19.050 mm)')
    """
    return _show_both(nm, first) if both_shown() else show_in(nm, first)


@lru_cache(maxsize=_MANY)
def _show_both(nm: int, first: Unit) -> str:
    return f"{show_in(nm, first)} ({show_in(nm, other_unit(first))})"


def show_other(nm: int, first: Unit) -> str:
    """The same length in the other system alone, for a place of its own; empty where that one is not shown.

    >>> show_other(19_050_000, Unit.MM)
    '0.7500 in'
    """
    return show_in(nm, other_unit(first)) if both_shown() else ""


def show_offset(nm: int, first: Unit) -> str:
    """Write a difference in the systems shown with its sign; one that rounds to nothing has no sign.

    Args:
        nm: the difference in nanometres.
        first: the system to write first.

    >>> show_offset(10_000, Unit.MM), show_offset(-101_600, Unit.INCH)
    ('+0.010 mm (+0.0004 in)', '-0.0040 in (-0.102 mm)')
    """
    own, other = f"{_signed(nm, first)} {first}", other_unit(first)
    return f"{own} ({_signed(nm, other)} {other})" if both_shown() else own


def show_small(nm: int, first: Unit, *, signed: bool = False) -> str:
    """Write a difference as a workshop says it: in an inch build what is under a tenth of an inch is thou.

    Args:
        nm: the difference in nanometres: a gap, an interference, a runout, a spread, how far something is out.
        first: the system to write first.
        signed: whether a plus is written.

    >>> show_small(33_020, Unit.INCH), show_small(-101_600, Unit.INCH, signed=True), show_small(33_020, Unit.MM)
    ('1.3 thou (0.033 mm)', '-4.0 thou (-0.102 mm)', '0.033 mm (0.0013 in)')
    >>> show_small(800, Unit.INCH), show_small(300, Unit.MM)
    ('less than 0.1 thou (0.003 mm)', 'less than 0.001 mm (0.0000 in)')
    """
    if not signed and nm and shown_small(nm, first) == shown_small(0, first):
        return f"less than {show_small(_STEP_NM[first], first)}"
    other = other_unit(first)
    plus = "+" if signed and shown_small(nm, first).strip("-0.") != shown_small(0, first).strip("-0.") else ""
    plus = plus if nm > 0 else ""
    own = f"{plus}{shown_small(nm, first)}"
    if not both_shown():
        return own
    mark = "+" if plus and figure_in(nm, other).strip("0.") else ""
    return f"{own} ({mark}{figure_in(nm, other)} {other})"


def last_figure_nm(unit: Unit) -> int:
    """The last figure that is shown of a difference, nm: a micrometre, or a tenth of a thou.

    >>> last_figure_nm(Unit.MM), last_figure_nm(Unit.INCH)
    (1000, 2540)
    """
    return _STEP_NM[unit]


def shown_small(nm: int, unit: Unit, *, signed: bool = False) -> str:
    """A difference in one system, as show_small writes it.

    >>> shown_small(33_020, Unit.INCH), shown_small(2_540_000, Unit.INCH), shown_small(33_020, Unit.MM)
    ('1.3 thou', '0.1000 in', '0.033 mm')
    >>> shown_small(33_020, Unit.INCH, signed=True), shown_small(100, Unit.INCH, signed=True)
    ('+1.3 thou', '0.0 thou')
    """
    said = " ".join(small_parts(nm, unit))
    return f"+{said}" if signed and nm > 0 and said != shown_small(0, unit) else said


def small_parts(nm: int, unit: Unit) -> tuple[str, str]:
    """The figure and the unit of shown_small, for a page that shows them in two sizes.

    >>> small_parts(33_020, Unit.INCH), small_parts(33_020, Unit.MM)
    (('1.3', 'thou'), ('0.033', 'mm'))
    """
    if unit is Unit.INCH and abs(nm) < _TENTH_NM:
        return decimal(nm, NM_PER_INCH // 1_000, 1), "thou"
    return figure_in(nm, unit), str(unit)


def plain(nm: int, unit: Unit) -> str:
    """Write the shortest decimal that parse_length reads back to exactly this many nanometres.

    Args:
        nm: the length in nanometres; a negative one is read back only as an offset (signed=True).
        unit: the system to write it in.

    >>> plain(19_050_000, Unit.MM), plain(396_875, Unit.INCH)
    ('19.05 mm', '0.015625 in')
    """
    return f"{exact_figure(nm, unit)} {unit}"


def shown_up(nm: int, unit: Unit) -> int:
    """The length up to the next one that is shown in this system, so that whoever types what is shown has no less.

    >>> shown_up(33_001, Unit.MM), shown_up(33_001, Unit.INCH), shown_up(-400, Unit.MM)
    (34000, 33020, 0)
    """
    step = _STEP_NM[unit]
    return -(-nm // step) * step


def exact_figure(nm: int, unit: Unit) -> str:
    """The figure of plain without its unit."""
    per = nm_in(unit)
    # 8 decimals of an inch step by 0.254 nm, so some number of decimals up to 8 always comes back.
    for places in range(9):
        digits = decimal(nm, per, places)
        if round(Fraction(digits) * per) == nm:
            return digits
    raise AssertionError("eight decimals resolve a nanometre in both systems")


def shortest(nm: int, unit: Unit) -> str:
    """Write it exactly in whichever system takes fewer figures, as a screw of 3 mm is not one of 0.11811024 in.

    Args:
        nm: the length in nanometres.
        unit: the system taken where both are as short.

    >>> shortest(3_000_000, Unit.INCH), shortest(25_400, Unit.MM), shortest(25_400_000, Unit.MM)
    ('3 mm', '0.001 in', '1 in')
    """
    return min((plain(nm, one) for one in (unit, other_unit(unit))), key=len)


def such(unit: Unit, mm: str, inch: str) -> str:
    """Of two examples as they would be typed, the one that a person who works in this unit would type.

    >>> "such as " + such(Unit.INCH, "19.05 mm", "0.75 in")
    'such as 0.75 in'
    """
    return inch if unit is Unit.INCH else mm


def other_unit(unit: Unit) -> Unit:
    """The other system.

    >>> other_unit(Unit.MM)
    <Unit.INCH: 'in'>
    """
    return Unit.INCH if unit is Unit.MM else Unit.MM


def _signed(nm: int, unit: Unit) -> str:
    text = figure_in(nm, unit)
    return f"+{text}" if nm > 0 and text.strip("0.") else text
