"""Lengths: typed workshop text to whole nanometres and back to text, in millimetres and inches.

Everything others need of a length is imported from here.
"""

from domain.lengths.parsing import MAX_NM, MAX_TEXT, Length, LengthError, bare_doubt, parse_length, show_typed
from domain.lengths.showing import (
    exact_figure,
    figure_in,
    last_figure_nm,
    plain,
    shortest,
    show,
    show_in,
    show_offset,
    show_other,
    show_small,
    shown_small,
    such,
)
from domain.lengths.units import NM_PER_INCH, NM_PER_MM, Unit

__all__ = [
    "MAX_NM",
    "MAX_TEXT",
    "NM_PER_INCH",
    "NM_PER_MM",
    "Length",
    "LengthError",
    "Unit",
    "bare_doubt",
    "exact_figure",
    "figure_in",
    "last_figure_nm",
    "parse_length",
    "plain",
    "shortest",
    "show",
    "show_in",
    "show_offset",
    "show_other",
    "show_small",
    "show_typed",
    "shown_small",
    "such",
]
