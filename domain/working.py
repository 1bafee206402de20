"""The working of a computed figure, kept beside it so that it can be shown on request."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Working:
    """How one figure was worked out: its formula, the numbers put in, what came out, and who says so.

    >>> Working("clearance", "bore - seat", "19.080 - 19.050 mm", "0.030 mm", "by definition").name
    'clearance'
    """

    name: str
    formula: str
    numbers: str
    result: str
    source: str
