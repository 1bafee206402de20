"""A QR code drawn: each run of dark squares in a row is one bar."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

# ISO/IEC 18004: so many light squares all round.
_MARGIN = 4


@dataclass(frozen=True, slots=True)
class QrCode:
    """A QR code in squares of one: how wide it is with its margin, and the path of what is dark."""

    size: int
    path: str


def qr_code(text: str) -> QrCode:
    """The code of a text, readable with a seventh of it spoilt."""
    import segno  # here, for a start does without it

    matrix = segno.make_qr(text, error="m").matrix
    bars: list[str] = []
    for y, row in enumerate(matrix, start=_MARGIN):
        x = _MARGIN
        for dark, run in groupby(row):
            width = len(list(run))
            if dark:
                bars.append(f"M{x} {y}h{width}v1h-{width}z")
            x += width
    return QrCode(len(matrix) + 2 * _MARGIN, "".join(bars))
