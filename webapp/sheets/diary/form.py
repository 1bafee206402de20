"""What the diary is asked for: all, or what was done to a build, an axle or a casting."""

from __future__ import annotations

import re

_OF = re.compile(r"(build|axle|casting)-([1-9][0-9]{0,17})")


def read_of(text: str) -> tuple[str, int] | None:
    """What it is of and its number, nothing for all; None where that cannot be.

    >>> read_of("axle-3"), read_of(""), read_of("axle-x")
    (('axle', 3), ('', 0), None)
    """
    if not text:
        return "", 0
    found = _OF.fullmatch(text) if len(text) < 30 else None
    return (found[1], int(found[2])) if found else None
