"""The figures of a wheel's drawing, and whether a wheel can be made to them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import NM_PER_MM, Unit, show

LARGEST_NM = 3000 * NM_PER_MM


class WheelKind(StrEnum):
    """What a pattern of wheel is for."""

    DRIVING = "driving"
    COUPLED = "coupled"
    CARRYING = "carrying"
    BOGIE = "bogie"
    TENDER = "tender"

    @property
    def cranked(self) -> bool:
        """Whether it has a crankpin, and so a throw, a quartering and rods."""
        return self in (WheelKind.DRIVING, WheelKind.COUPLED)

    @property
    def other(self) -> WheelKind:
        """What it is taken for where it turns out to have cranks, or to have none after all."""
        return WheelKind.CARRYING if self.cranked else WheelKind.DRIVING

    @property
    def usual_name(self) -> str:
        """What a pattern of this kind is called unless its builder has a name for it."""
        return f"{self.value.capitalize()} wheels"

    @property
    def figures(self) -> tuple[DrawnFigure, ...]:
        """What the drawing of such a wheel gives, beside what belongs to the track."""
        return tuple(one for one in FIGURES if not one.of_track and (self.cranked or not one.of_crank))


@dataclass(frozen=True)
class DrawnFigure:
    """One figure the drawing gives.

    `of_standard` where a published wheel standard gives it; `of_track` where all wheels of an engine share it;
    `of_crank` where only a wheel with a crankpin has it.
    """

    key: str
    words: str
    of_standard: bool = False
    of_track: bool = False
    of_crank: bool = False


FIGURES: tuple[DrawnFigure, ...] = (
    DrawnFigure("gauge", "Track gauge", of_standard=True, of_track=True),
    DrawnFigure("back_to_back", "Back to back", of_standard=True, of_track=True),
    DrawnFigure("tyre_width", "Tyre width", of_standard=True),
    DrawnFigure("flange_width", "Flange width", of_standard=True),
    DrawnFigure("flange_depth", "Flange depth", of_standard=True),
    DrawnFigure("root_radius", "Root radius", of_standard=True),
    DrawnFigure("tread_diameter", "Tread diameter"),
    DrawnFigure("boss_diameter", "Boss diameter"),
    DrawnFigure("boss_length", "Length through the boss"),
    DrawnFigure("bore", "Bore"),
    DrawnFigure("seat", "Wheel seat on the axle"),
    DrawnFigure("throw", "Crank throw", of_crank=True),
    DrawnFigure("crankpin_hole", "Crankpin hole", of_crank=True),
    DrawnFigure("fit_least", "Least"),
    DrawnFigure("fit_most", "Most"),
)
# A pattern has them where its wheels have steel tyres, and none of them where they have not.
TYRE_FIGURES: tuple[DrawnFigure, ...] = (
    DrawnFigure("tyre_inside", "Tyre's inside, on the wheel centre"),
    DrawnFigure("rim_inside", "Inside of the wheel centre's rim"),
    DrawnFigure("tyre_least", "Tyre's least interference"),
    DrawnFigure("tyre_most", "Tyre's most interference"),
)
KEYS = tuple(figure.key for figure in FIGURES)
TYRE_KEYS = tuple(figure.key for figure in TYRE_FIGURES)
TRACK_KEYS = tuple(figure.key for figure in FIGURES if figure.of_track)
CRANK_KEYS = tuple(figure.key for figure in FIGURES if figure.of_crank)
# What every wheel that is joined by a rod has in common with the others.
COUPLED_KEYS = ("tread_diameter", "throw")


def faults(nm: Mapping[str, int], unit: Unit) -> dict[str, str]:
    """What is wrong with a drawing's figures: for each figure at fault, a sentence.

    Formula: 0 < every figure <= 3 m; bore < boss; seat < boss; boss < tread; throw + hole/2 < tread/2;
    throw > (bore + hole)/2, so that metal is left between them; least < most; back to back < gauge;
    |bore - seat| <= boss/4, beyond which one of the two is misread; of a tyre boss < inside < tread - 2 root radius, bore <=
    rim's inside < tyre's inside, and a tyre's and its rim's inside together or neither.
    Parameters: `nm`, the figures by key in nanometres, those that could be read; `unit`, the system shown first.
    Returns: sentences by key; empty when the drawing holds together.
    Raises: nothing; a rule whose figures are not all there is passed over.
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
    for figure in (*FIGURES, *TYRE_FIGURES):
        if figure.key in nm and nm[figure.key] <= 0:
            found[figure.key] = f"{figure.words} must be more than nothing."
        elif figure.key in nm and nm[figure.key] > LARGEST_NM:
            found[figure.key] = f"{figure.words} is more than {show(LARGEST_NM, unit)}: is the unit right?"
    if "tyre_inside" in nm:
        found |= {} if "rim_inside" in nm else {"rim_inside": _RIM_TOO}
    elif tyre := next((key for key in TYRE_KEYS if key in nm), None):
        found.setdefault(tyre, _TYRE_TOO)
    for rule in _RULES:
        if set(rule.needs) <= set(nm) and rule.key not in found and rule.broken(nm):
            found[rule.key] = rule.sentence.format(**{key: show(nm[key], unit) for key in rule.needs})
    return found


def apart(nm: Mapping[str, int], unit: Unit) -> dict[str, str]:
    """A bore and a seat that no fit joins, as a sentence beside the seat; empty where one may, or either is missing.

    Asked as a drawing is typed; a build that was stored with such figures can still be read.

    Formula: |bore - seat| <= bore/50; a press fit has 0.002 of the diameter at the most, a bond's gap is less than a
    fiftieth of any axle, and where a sleeve is bonded in, its hole is the bore.
    Parameters: `nm`, the figures by key in nanometres; `unit`, the system shown first.
    Source: our own rule, no source.

    >>> apart({"bore": 19_050_000, "seat": 19_000_000}, Unit.MM)
    {}
    >>> apart({"bore": 15_875_000, "seat": 19_050_000}, Unit.MM)["seat"]
    'No fit joins this seat to a bore of 15.875 mm (0.6250 in), for the two are to be nearly alike. Change the wrong one.'
    """
    bore, seat = nm.get("bore"), nm.get("seat")
    if bore is None or seat is None or abs(bore - seat) * _ALIKE_WITHIN <= bore:
        return {}
    return {
        "seat": f"No fit joins this seat to a bore of {show(bore, unit)}, for the two are to be nearly alike. "
        "Change the wrong one."
    }


# As near as a seat is turned to suit a bore that came out otherwise.
_ALIKE_WITHIN = 50
_RIM_TOO = "Give the inside of the centre's rim too, its bore where it is a solid disc: a tyre grips by how stiff that is."
_TYRE_TOO = "Give the tyre's inside first: without it the wheel has no tyre."


@dataclass(frozen=True)
class _Rule:
    """How two or more figures must stand to each other; the sentence is for the figure at fault."""

    key: str
    needs: tuple[str, ...]
    broken: Callable[[Mapping[str, int]], bool]
    sentence: str


_RULES = (
    _Rule(
        "bore",
        ("bore", "boss_diameter"),
        lambda nm: nm["bore"] >= nm["boss_diameter"],
        "The bore must be smaller than the boss: {boss_diameter}.",
    ),
    _Rule(
        "seat",
        ("seat", "boss_diameter"),
        lambda nm: nm["seat"] >= nm["boss_diameter"],
        "The seat must be smaller than the boss: {boss_diameter}.",
    ),
    _Rule(
        "seat",
        ("seat", "bore", "boss_diameter"),
        lambda nm: abs(nm["bore"] - nm["seat"]) * 4 > nm["boss_diameter"],
        "The seat is far from the bore, {bore}: one of the two is misread.",
    ),
    _Rule(
        "boss_diameter",
        ("boss_diameter", "tread_diameter"),
        lambda nm: nm["boss_diameter"] >= nm["tread_diameter"],
        "The boss must be smaller than the tread: {tread_diameter}.",
    ),
    _Rule(
        "crankpin_hole",
        ("crankpin_hole", "boss_diameter"),
        lambda nm: nm["crankpin_hole"] >= nm["boss_diameter"],
        "The crankpin hole must be smaller than the boss: {boss_diameter}.",
    ),
    _Rule(
        "throw",
        ("throw", "crankpin_hole", "tread_diameter", "boss_diameter"),
        lambda nm: (
            nm["crankpin_hole"] < nm["boss_diameter"]
            and 2 * nm["throw"] + nm["crankpin_hole"] >= nm["tread_diameter"]
        ),
        "The crankpin would be outside the tread, {tread_diameter}: the throw is half the piston stroke.",
    ),
    _Rule(
        "throw",
        ("throw", "crankpin_hole", "bore", "boss_diameter"),
        lambda nm: (
            nm["crankpin_hole"] < nm["boss_diameter"] and 2 * nm["throw"] <= nm["bore"] + nm["crankpin_hole"]
        ),
        "The crankpin hole would run into the bore: the throw is from axle centre to crankpin centre.",
    ),
    _Rule(
        "fit_most",
        ("fit_least", "fit_most"),
        lambda nm: nm["fit_least"] >= nm["fit_most"],
        "The most must be larger than the least.",
    ),
    _Rule(
        "back_to_back",
        ("back_to_back", "gauge"),
        lambda nm: nm["back_to_back"] >= nm["gauge"],
        "Back to back must be less than the gauge: {gauge}.",
    ),
    _Rule(
        "tyre_inside",
        ("tyre_inside", "boss_diameter"),
        lambda nm: nm["tyre_inside"] <= nm["boss_diameter"],
        "The tyre's inside must be larger than the boss: {boss_diameter}.",
    ),
    _Rule(
        "tyre_inside",
        ("tyre_inside", "tread_diameter", "root_radius"),
        lambda nm: nm["tyre_inside"] + 2 * nm["root_radius"] >= nm["tread_diameter"],
        "Under a tread of {tread_diameter} the tyre would be thinner than the root radius of its flange, {root_radius}.",
    ),
    _Rule(
        "rim_inside",
        ("rim_inside", "tyre_inside"),
        lambda nm: nm["rim_inside"] >= nm["tyre_inside"],
        "The inside of the rim must be smaller than the tyre's inside: {tyre_inside}.",
    ),
    _Rule(
        "rim_inside",
        ("rim_inside", "bore"),
        lambda nm: nm["rim_inside"] < nm["bore"],
        "The inside of the rim is no smaller than the bore: {bore}.",
    ),
    _Rule(
        "tyre_most",
        ("tyre_least", "tyre_most"),
        lambda nm: nm["tyre_least"] >= nm["tyre_most"],
        "The most must be larger than the least.",
    ),
)
