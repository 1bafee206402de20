"""The figures of a wheel's drawing, and whether a wheel can be made to them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from domain.length import NM_PER_MM, Unit, show

LARGEST_NM = 3000 * NM_PER_MM


@dataclass(frozen=True)
class Figure:
    """One figure the drawing gives; `of_standard` where a published wheel standard gives it."""

    key: str
    words: str
    of_standard: bool = False


FIGURES: tuple[Figure, ...] = (
    Figure("gauge", "Track gauge", of_standard=True),
    Figure("back_to_back", "Back to back", of_standard=True),
    Figure("tyre_width", "Tyre width", of_standard=True),
    Figure("flange_width", "Flange width", of_standard=True),
    Figure("flange_depth", "Flange depth", of_standard=True),
    Figure("root_radius", "Root radius", of_standard=True),
    Figure("tread_diameter", "Tread diameter"),
    Figure("boss_diameter", "Boss diameter"),
    Figure("boss_length", "Length through the boss"),
    Figure("bore", "Bore"),
    Figure("seat", "Wheel seat on the axle"),
    Figure("throw", "Crank throw"),
    Figure("crankpin_hole", "Crankpin hole"),
    Figure("fit_least", "Least"),
    Figure("fit_most", "Most"),
)
KEYS = tuple(figure.key for figure in FIGURES)


def faults(nm: Mapping[str, int], unit: Unit) -> dict[str, str]:
    """What is wrong with a drawing's figures: for each figure at fault, a sentence.

    Formula: 0 < every figure <= 3 m; bore < boss; seat < boss; boss < tread; throw + hole/2 < tread/2;
    throw > (bore + hole)/2, so that metal is left between them; least < most; back to back < gauge;
    |bore - seat| <= boss/4, beyond which one of the two is misread.
    Parameters: `nm`, the figures by key in nanometres; `unit`, the system shown first.
    Returns: sentences by key; empty when the drawing holds together.
    Raises: KeyError when a figure is missing.
    Source: geometry; the quarter-of-the-boss rule is common practice, no source.

    >>> good = dict.fromkeys(KEYS, 1_000_000) | {"gauge": 90_000_000, "back_to_back": 83_000_000,
    ...     "tread_diameter": 110_000_000, "boss_diameter": 32_000_000, "bore": 15_000_000,
    ...     "seat": 15_000_000, "throw": 20_000_000, "crankpin_hole": 8_000_000,
    ...     "fit_least": 20_000, "fit_most": 50_000}
    >>> faults(good, Unit.MM)
    {}
    >>> faults(good | {"bore": 40_000_000}, Unit.MM)["bore"]
    'The bore must be smaller than the boss: 32.000 mm (1.2598 in).'
    """
    found: dict[str, str] = {}
    for figure in FIGURES:
        if nm[figure.key] <= 0:
            found[figure.key] = f"{figure.words} must be more than nothing."
        elif nm[figure.key] > LARGEST_NM:
            found[figure.key] = f"{figure.words} is more than {show(LARGEST_NM, unit)}: is the unit right?"
    for key, wrong, sentence in _relations(nm, unit):
        if wrong and key not in found:
            found[key] = sentence
    return found


def _relations(nm: Mapping[str, int], unit: Unit) -> tuple[tuple[str, bool, str], ...]:
    boss, tread = show(nm["boss_diameter"], unit), show(nm["tread_diameter"], unit)
    return (
        ("bore", nm["bore"] >= nm["boss_diameter"], f"The bore must be smaller than the boss: {boss}."),
        ("seat", nm["seat"] >= nm["boss_diameter"], f"The seat must be smaller than the boss: {boss}."),
        (
            "seat",
            abs(nm["bore"] - nm["seat"]) * 4 > nm["boss_diameter"],
            f"The seat is far from the bore ({show(nm['bore'], unit)}): one of the two is misread.",
        ),
        (
            "boss_diameter",
            nm["boss_diameter"] >= nm["tread_diameter"],
            f"The boss must be smaller than the tread: {tread}.",
        ),
        (
            "throw",
            2 * nm["throw"] + nm["crankpin_hole"] >= nm["tread_diameter"],
            f"The crankpin would be outside the tread ({tread}): the throw is half the piston stroke.",
        ),
        (
            "throw",
            2 * nm["throw"] <= nm["bore"] + nm["crankpin_hole"],
            "The crankpin hole would run into the bore: the throw is from axle centre to crankpin centre.",
        ),
        ("fit_most", nm["fit_least"] >= nm["fit_most"], "The most must be larger than the least."),
        (
            "back_to_back",
            nm["back_to_back"] >= nm["gauge"],
            f"Back to back must be less than the gauge: {show(nm['gauge'], unit)}.",
        ),
    )
