"""The figures of how a build is machined: what each is called, what it may be, and what an empty field means."""

from __future__ import annotations

from dataclasses import dataclass, field

from domain.balance.weight import MATERIALS
from domain.cranks.setting import SettingWay
from domain.lengths import Unit, show_in
from domain.ordering.advice import EXPERIENCE
from domain.route.stages import Pins
from domain.tyres.ring import table as tyre_table
from webapp.typed import quantities as q
from webapp.typed.fields import FigureField, Usual, foreign_nm

_COMMON = "common practice, no source"
_ASKED = "not given"
_MM = 1_000_000
_TYRE = tyre_table()


@dataclass(frozen=True)
class WorkField(FigureField):
    """One field; what it means left empty is the same for every build."""

    usual: Usual = field(kw_only=True)

    @property
    def nothing_instead(self) -> bool:
        """Whether nothing is taken for it while it is empty."""
        return self.usual == Usual("", _ASKED)

    def example(self, unit: Unit) -> str:
        """The usual figure, where there is one."""
        usual = self.usual.of(unit)
        if not usual.text:
            return super().example(unit)
        nm = foreign_nm(self, usual.text, unit)
        return usual.text if nm is None else show_in(nm, unit)


ORDER, METAL, TRUE, SPEED, STROKES = "order", "metal", "true", "speed", "strokes"
TREADS, TYRES, QUARTER, BALANCE = "treads", "tyres", "quarter", "balance"
GROUPS = {
    ORDER: "How many castings to buy",
    METAL: "Metal and cuts",
    TRUE: "Setting true",
    SPEED: "Speeds and feeds",
    STROKES: "Hand strokes",
    TREADS: "Treads",
    TYRES: "Tyres",
    QUARTER: "Cylinders and quartering",
    BALANCE: "Balance",
}

FIELDS: tuple[WorkField, ...] = (
    WorkField(
        "experience",
        ORDER,
        "How practised you are at wheels",
        options=tuple((key, one.words) for key, one in EXPERIENCE.items()),
        usual=Usual("some", _COMMON),
    ),
    WorkField(
        "scrap_chance",
        ORDER,
        "The chance that one casting is lost, if you know it",
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
        usual=Usual("95 %", _COMMON),
    ),
    WorkField(
        "least_cut",
        METAL,
        "Least cut that cleans up a rough face",
        most=10 * _MM,
        above=True,
        usual=Usual("0.5 mm", _COMMON, inches="0.020 in"),
    ),
    WorkField(
        "rough_cut",
        METAL,
        "Depth of a roughing cut",
        most=10 * _MM,
        above=True,
        usual=Usual("1 mm", _COMMON, inches="0.040 in"),
    ),
    WorkField(
        "finish_cut",
        METAL,
        "Depth of the finishing cut",
        most=5 * _MM,
        above=True,
        usual=Usual("0.2 mm", _COMMON, inches="0.008 in"),
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
        "True enough when no further off the middle than (the dial swings twice that)",
        most=2 * _MM,
        above=True,
        usual=Usual("0.05 mm", _COMMON),
    ),
    WorkField(
        "axle_run_out",
        TRUE,
        "An axle runs true when its run-out between centres, the full reading of the dial, is no more than",
        most=2 * _MM,
        above=True,
        # Read off either dial, 0.025 mm or 0.001 in, it is within.
        usual=Usual("0.001 in", _COMMON),
    ),
    WorkField(
        "tool",
        SPEED,
        "Turning tools",
        options=(("hss", "high-speed steel"), ("carbide", "carbide")),
        usual=Usual("hss", "the slower of the two"),
    ),
    WorkField(
        "drill_tool",
        SPEED,
        "Drills",
        options=(("hss", "high-speed steel"), ("carbide", "carbide")),
        usual=Usual("hss", f"beside carbide inserts too, {_COMMON}"),
    ),
    WorkField(
        "reamer_tool",
        SPEED,
        "Reamers",
        options=(
            ("hss", "high-speed steel"),
            ("carbide", "carbide"),
            ("hand", "hand reamers"),
        ),
        usual=Usual("hss", f"beside carbide inserts too, {_COMMON}"),
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
        "Most depth of a pass",
        most=5 * _MM,
        above=True,
        usual=Usual("0.2 mm", _COMMON, inches="0.008 in"),
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
        "tread_down",
        TREADS,
        "Worn treads may be re-turned below the drawing by, on diameter",
        most=100 * _MM,
        usual=Usual("", "not given: nobody can then say whether the rim still allows it"),
    ),
    WorkField(
        "cone",
        TREADS,
        "Tread cone, 1 in",
        q.NUMBER,
        5,
        200,
        usual=Usual(
            "",
            "the wheel standard's own, about 1 in 20 in the IBLS Wheel Standard; where it prints none 1 in 20, "
            f"{_COMMON}",
        ),
    ),
    WorkField(
        "edge_break",
        TREADS,
        "Edge broken by",
        most=5 * _MM,
        usual=Usual(
            "",
            f"the wheel standard's own; where it prints none 0.25 mm, {_COMMON}",
            source_inches=f"the wheel standard's own; where it prints none 0.0098 in, {_COMMON}",
        ),
    ),
    WorkField(
        "lap",
        TREADS,
        "Length of a lap of your track",
        q.TRACK,
        1,
        100_000,
        usual=Usual("", "not given: only the slip for each turn is said"),
    ),
    WorkField(
        "tyre_yield",
        TYRES,
        "The tyre's steel yields at",
        q.STRESS,
        100,
        1500,
        slip="a strength without a unit is in MPa",
        usual=Usual(f"{_TYRE['yield']['mpa']:g} MPa", _TYRE["yield"]["source"]),
    ),
    WorkField(
        "tyre_factor",
        TYRES,
        "Factor against yielding",
        q.NUMBER,
        1,
        10,
        usual=Usual(f"{_TYRE['factor']['wanted']:g}", _TYRE["factor"]["source"]),
    ),
    WorkField(
        "tyre_hottest",
        TYRES,
        "A tyre is heated to no more than",
        q.CELSIUS,
        80,
        450,
        slip="give it in C, not F; hotter than 450 C steel scales and its temper is gone",
        usual=Usual(f"{_TYRE['hottest']['c']:g} C", _TYRE["hottest"]["source"]),
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
        "pins",
        QUARTER,
        "Crankpin holes and pins",
        options=tuple((one.value, one.words) for one in Pins),
        usual=Usual(Pins.BEFORE.value, _COMMON),
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
    WorkField(
        "quarter_way",
        QUARTER,
        "How the pins are set",
        options=tuple((one.value, one.words) for one in SettingWay),
        usual=Usual(SettingWay.HEIGHTS.value, _COMMON),
    ),
    WorkField("rhythm", STROKES, "Strokes in a minute", q.NUMBER, 1, 120, usual=Usual("20", _COMMON)),
    WorkField(
        "rotating",
        BALANCE,
        "What goes round with a crankpin of the driven axle",
        q.MASS,
        most=2_000_000,
        usual=Usual("", _ASKED),
    ),
    WorkField(
        "rotating_coupled",
        BALANCE,
        "What goes round with a crankpin of another coupled axle",
        q.MASS,
        most=2_000_000,
        usual=Usual("", _ASKED),
    ),
    WorkField(
        "reciprocating",
        BALANCE,
        "What goes to and fro in one cylinder",
        q.MASS,
        most=2_000_000,
        usual=Usual("", _ASKED),
    ),
    WorkField(
        "balanced_share",
        BALANCE,
        "Share of it that is balanced",
        q.SHARE,
        most=1,
        usual=Usual("66.67 %", f"two thirds, {_COMMON}"),
    ),
    WorkField(
        "axles_sharing",
        BALANCE,
        "Axles that share that part",
        options=tuple((str(n), "one alone" if n == 1 else f"{n} axles") for n in range(1, 13)),
        usual=Usual("", f"not given: every coupled axle alike, {_COMMON}"),
    ),
    WorkField(
        "cylinder_planes",
        BALANCE,
        "From the middle of one outside cylinder to the middle of the other",
        most=10_000 * _MM,
        above=True,
        usual=Usual("", _ASKED),
    ),
    WorkField(
        "weight_planes",
        BALANCE,
        "From the middle of one wheel's weight to the middle of the other's",
        most=10_000 * _MM,
        above=True,
        usual=Usual(
            "", "not given: the middles of the tyres by the drawing, back to back and one tyre width"
        ),
    ),
    WorkField(
        "balance_radius",
        BALANCE,
        "From the axle to the middle of the weight",
        most=5_000 * _MM,
        above=True,
        usual=Usual("", "not given: worked out from the weight as cast, where its sizes are there"),
    ),
    WorkField(
        "track_speed",
        BALANCE,
        "Speed on the track",
        q.SPEED,
        most=100,
        above=True,
        usual=Usual("", _ASKED),
    ),
    WorkField(
        "wheel_load",
        BALANCE,
        "Load on one wheel",
        q.LOAD,
        most=1_000_000,
        above=True,
        usual=Usual("", "not given: half the load on one axle, where that was typed for the joints"),
    ),
    WorkField(
        "matters_from",
        BALANCE,
        "Let pass up to this share of the load",
        q.SHARE,
        0.0001,
        0.9,
        above=True,
        usual=Usual("2 %", _COMMON),
    ),
    WorkField(
        "weight_outer",
        BALANCE,
        "From the axle to the weight's outside",
        most=5_000 * _MM,
        above=True,
        usual=Usual("", _ASKED),
    ),
    WorkField(
        "weight_chord",
        BALANCE,
        "From the axle to the weight's straight edge",
        most=5_000 * _MM,
        usual=Usual("", _ASKED),
    ),
    WorkField(
        "weight_thickness",
        BALANCE,
        "Thickness of the weight",
        most=1_000 * _MM,
        above=True,
        usual=Usual("", _ASKED),
    ),
    WorkField(
        "weight_added",
        BALANCE,
        "Share of the weight that is no spoke",
        q.SHARE,
        most=1,
        above=True,
        usual=Usual("100 %", "no spokes run through it, a placeholder of our own"),
    ),
    WorkField(
        "weight_material",
        BALANCE,
        "The weight is made of",
        options=tuple((one.key, one.name) for one in MATERIALS if one.key in ("iron", "steel")),
        usual=Usual("iron", "cast in one with the wheel"),
    ),
    WorkField(
        "hole_diameter",
        BALANCE,
        "Diameter of the drill",
        most=500 * _MM,
        above=True,
        usual=Usual("", _ASKED),
    ),
    WorkField(
        "hole_depth",
        BALANCE,
        "Depth of a hole",
        most=1_000 * _MM,
        above=True,
        usual=Usual("", _ASKED),
    ),
    WorkField(
        "hole_distance",
        BALANCE,
        "From the axle to the middle of a hole",
        most=5_000 * _MM,
        above=True,
        usual=Usual("", "not given: at the middle of the weight"),
    ),
    WorkField(
        "hole_fill",
        BALANCE,
        "Fill for a weight that is under",
        options=tuple((one.key, one.name) for one in MATERIALS if one.key not in ("iron", "steel")),
        usual=Usual("bismuth", "a placeholder of our own"),
    ),
)
BY_KEY = {one.key: one for one in FIELDS}
