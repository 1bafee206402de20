"""Drawing figures of our own for each wheel standard, so that a new build can be saved and looked at."""

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from domain.treads.wheel_standard import TreadError

_TABLE = Path(__file__).parents[1] / "tables" / "starting_figures.toml"

# The lengths every set holds, in the order a drawing is read.
LENGTHS = ("tread_diameter", "bore", "seat", "boss_diameter", "boss_length", "throw", "crankpin_hole")


def starting_figures(key: str) -> dict[str, str]:
    """Figures to fill a new build's form with, as a person would type them.

    They come from no drawing and no standard: notice() says so on the page.

    Raises: TreadError, there is no set for that key.

    Source: common practice, no source.

    >>> starting_figures("ibls-5")["tread_diameter"]
    '5 1/8 in'
    """
    sets = _table()["figures"]
    if key not in sets:
        raise TreadError(f"“{key[:24]}” has no starting figures: choose one of {', '.join(sets)}.")
    return dict(sets[key])


def notice() -> str:
    """The sentence that tells whose figures these are.

    >>> notice()
    "A starting point of our own: replace it by your drawing's figures."
    """
    return str(_table()["notice"])


@cache
def _table() -> dict[str, Any]:
    with _TABLE.open("rb") as file:
        return tomllib.load(file)
