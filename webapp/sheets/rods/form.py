"""A crank position as typed."""

from __future__ import annotations

import re

from webapp.typed.texts import Errors

_DEGREES = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{1,6})?")
_TURN = 360.0


def read_crank(text: str, errors: Errors) -> float | None:
    """Degrees past front dead centre, 0 up to 360; None for an empty text, or with the reason among the errors."""
    bare = text.strip().removesuffix("°").strip()
    if not bare:
        return None
    degrees = float(bare.replace(",", ".")) if _DEGREES.fullmatch(bare) else _TURN + 1
    if degrees > _TURN:
        errors["crank"] = "Type the crank position in degrees, from 0 to 360, such as 45."
        return None
    return degrees % _TURN
