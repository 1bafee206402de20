"""The figures of how a build is machined: what each is called, what it may be, and what an empty field means."""

from __future__ import annotations

from dataclasses import dataclass, field

from webapp.forms import quantities as q
from webapp.forms.figure_fields import FigureField, Usual

_COMMON = "common practice, no source"
_MM = 1_000_000


@dataclass(frozen=True)
class WorkField(FigureField):
    """One field; what it means left empty is the same for every build."""

    usual: Usual = field(kw_only=True)


ORDER, METAL, TRUE, SPEED, STROKES = "order", "metal", "true", "speed", "strokes"
TREADS, QUARTER, BALANCE = "treads", "quarter", "balance"
GROUPS = {
    ORDER: "How many castings to buy",
    METAL: "Metal and cuts",
    TRUE: "Setting true",
    SPEED: "Speeds and feeds",
    STROKES: "Hand strokes",
    TREADS: "Treads",
    QUARTER: "Cylinders and quartering",
    BALANCE: "Balance",
}

FIELDS: tuple[WorkField, ...] = (
    WorkField(
        "experience",
        ORDER,
        "How practised you are at wheels",
        options=(("first", "a first attempt"), ("some", "a few wheels made"), ("many", "many wheels made")),
        usual=Usual("some", _COMMON),
    ),
    WorkField(
        "scrap_chance",
        ORDER,
        "Or the chance that one casting is lost",
        q.SHARE,
        most=0.95,
        slip="if it is per cent, write the % too",
        usual=Usual("", "not given: it is taken from how practised you are"),
    ),
    WorkField(
        "confidence",
        ORDER,
        "How sure of having enough",
        q.SHARE,
        0.01,
        0.9999,
        above=True,
        slip="if it is per cent, write the % too",
        usual=Usual("90 %", _COMMON),
    ),
    WorkField(
        "least_cut",
        METAL,
        "Least cut that cleans up a rough face",
        most=10 * _MM,
        above=True,
        usual=Usual("0.5 mm", _COMMON),
    ),
    WorkField(
        "rough_cut", METAL, "Depth of a roughing cut", most=10 * _MM, above=True, usual=Usual("1 mm", _COMMON)
    ),
    WorkField(
        "finish_cut",
        METAL,
        "Depth of the finishing cut",
        most=5 * _MM,
        above=True,
        usual=Usual("0.2 mm", _COMMON),
    ),
    WorkField(
        "size_tolerance",
        METAL,
        "A finished size may be under by",
        most=2 * _MM,
        usual=Usual("0.05 mm", _COMMON),
    ),
    WorkField(
        "boss_proud",
        METAL,
        "Finished boss proud of the rim at the back (less than nothing where it is sunk)",
        least=-50 * _MM,
        most=50 * _MM,
        usual=Usual("0 mm", "the boss level with the rim at the back"),
    ),
    WorkField(
        "true_within",
        TRUE,
        "True enough when no further off than",
        most=2 * _MM,
        above=True,
        usual=Usual("0.05 mm", _COMMON),
    ),
    WorkField(
        "tool",
        SPEED,
        "Turning tools",
        options=(("hss", "high-speed steel"), ("carbide", "carbide")),
        usual=Usual("hss", "the slower of the two"),
    ),
    WorkField(
        "interrupted",
        SPEED,
        "Speed kept where the cut is interrupted",
        q.SHARE,
        0.1,
        1,
        above=True,
        usual=Usual("0.7", _COMMON),
    ),
    WorkField(
        "chilled",
        SPEED,
        "Speed kept in a chilled skin",
        q.SHARE,
        0.1,
        1,
        above=True,
        usual=Usual("0.5", _COMMON),
    ),
    WorkField(
        "rough_feed",
        SPEED,
        "Roughing feed for each turn",
        most=2 * _MM,
        above=True,
        usual=Usual("0.008 in", "from memory, verify"),
    ),
    WorkField(
        "finish_feed",
        SPEED,
        "Finishing feed for each turn",
        most=2 * _MM,
        above=True,
        usual=Usual("0.004 in", _COMMON),
    ),
    WorkField(
        "stroke_feed",
        STROKES,
        "Feed for each stroke",
        most=2 * _MM,
        above=True,
        usual=Usual("0.004 in", _COMMON),
    ),
    WorkField(
        "stroke_cut",
        STROKES,
        "Depth taken in one pass",
        most=5 * _MM,
        above=True,
        usual=Usual("0.2 mm", _COMMON),
    ),
    WorkField(
        "tread_match",
        TREADS,
        "Coupled treads alike within, on diameter",
        most=5 * _MM,
        above=True,
        usual=Usual("0.05 mm", _COMMON),
    ),
    WorkField(
        "cone",
        TREADS,
        "Tread cone, 1 in",
        q.NUMBER,
        5,
        200,
        usual=Usual("20", "49 CFR 230 and IBLS: about 1 in 20"),
    ),
    WorkField("edge_break", TREADS, "Edge broken by", most=5 * _MM, usual=Usual("0.25 mm", _COMMON)),
    WorkField(
        "lap",
        TREADS,
        "Length of a lap of your track",
        most=100_000_000 * _MM,
        usual=Usual("", "not given: only the slip for each turn is said"),
    ),
    WorkField(
        "cylinders",
        QUARTER,
        "Cylinders",
        options=(("2", "two"), ("3", "three")),
        usual=Usual("2", "one on each side"),
    ),
    WorkField(
        "inside_slope",
        QUARTER,
        "Slope of the inside cylinder, degrees (less than nothing where it slopes up to the rear)",
        q.SLOPE,
        -45,
        45,
        usual=Usual("0", "level with the outside ones"),
    ),
    WorkField(
        "quarter_within",
        QUARTER,
        "A quarter angle is right within, degrees",
        q.NUMBER,
        0.001,
        5,
        above=True,
        usual=Usual("0.1", _COMMON),
    ),
    WorkField("rhythm", STROKES, "Strokes in a minute", q.NUMBER, 1, 120, usual=Usual("20", _COMMON)),
)
BY_KEY = {one.key: one for one in FIELDS}
