"""The figures a build's joints are judged by: what each is called, what it may be, and what an empty field means."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from domain.joints.bond import DEFAULT_GAP, DEFAULT_SAFETY
from domain.joints.cure import CureTimes
from domain.joints.demand import demand_table
from domain.joints.kinds import FitKind
from domain.joints.open_time import open_table
from domain.joints.roughness import DEFAULT_EDITION, editions
from domain.joints.terms import (
    BondedJoint,
    BondSheet,
    default_range,
    heating_table,
    placeholder_reductions,
    table,
)
from domain.lengths import Unit, plain
from webapp.typed import quantities as q
from webapp.typed.fields import FigureField, Usual, Values

_OURS = "a placeholder of our own, no source"
_UM = 1_000


@dataclass(frozen=True)
class JointDrawing:
    """What the drawing says of the joints, nm: an empty field falls back on it."""

    unit: Unit
    kind: FitKind
    gauge_nm: int
    seat_nm: int
    boss_length_nm: int
    crankpin_hole_nm: int
    throw_nm: int
    fit_least_nm: int
    fit_most_nm: int
    # The smallest seat there is, drawn or measured, and the numbers of the coupled axles.
    least_seat_nm: int
    coupled: tuple[int, ...]


Rule = Callable[[JointDrawing, Values], Usual]


@dataclass(frozen=True)
class JointField(FigureField):
    """One field; what it means left empty hangs on the drawing and on the fields before it."""

    usual: Rule = field(kw_only=True)


def _is(text: str, source: str, placeholder: bool = False) -> Rule:
    return lambda _drawing, _values: Usual(text, source, placeholder)


def _scaled(nm_per_gauge: float) -> Rule:
    return lambda drawing, _: Usual(
        plain(round(drawing.gauge_nm * nm_per_gauge / 100_000) * 100_000, Unit.MM), _OURS, True
    )


def _load(drawing: JointDrawing, _values: Values) -> Usual:
    # Models of one shape weigh as the cube of their gauge; 20 kg an axle at 127 mm is our own guess.
    return Usual(f"{20 * (drawing.gauge_nm / 127_000_000) ** 3:.2g} kg", _OURS, True)


def _drawn(key: str) -> Rule:
    return lambda drawing, _: Usual(plain(getattr(drawing, f"{key}_nm"), drawing.unit), "the drawing")


def _gap(index: int) -> Rule:
    def rule(drawing: JointDrawing, values: Values) -> Usual:
        ends = [DEFAULT_GAP.least_nm, DEFAULT_GAP.most_nm, DEFAULT_GAP.limit_nm]
        most = values.get("gap_most")
        if index == 2:
            ends[2] = max(ends[2], most) if isinstance(most, int) else ends[2]
        elif drawing.kind is FitKind.BOND:
            return Usual(
                plain((drawing.fit_least_nm, drawing.fit_most_nm)[index], drawing.unit), "the drawing"
            )
        return Usual(plain(ends[index], drawing.unit), DEFAULT_GAP.source, True)

    return rule


def _clearance(drawing: JointDrawing, _values: Values) -> Usual:
    rule = table()["shrink"]
    room = round(drawing.seat_nm * rule["assembly_clearance_per_diameter"] / _UM) * _UM
    return Usual(plain(room, drawing.unit), rule["assembly_source"])


def _rod(drawing: JointDrawing, _values: Values) -> Usual:
    rule = demand_table()["rod"]
    return Usual(plain(round(drawing.throw_nm * rule["throws"]), drawing.unit), rule["source"])


def _driven(drawing: JointDrawing, _values: Values) -> Usual:
    if len(drawing.coupled) == 1:
        return Usual(str(drawing.coupled[0]), "the only axle with cranks")
    return Usual("", "not said: every coupled axle is asked for all of the pistons' torque")


def _overhang(drawing: JointDrawing, values: Values) -> Usual:
    journal = values.get("pin_journal")
    nm = journal if isinstance(journal, int) else drawing.crankpin_hole_nm
    return Usual(plain(nm, drawing.unit), f"as long as the journal is thick, {_OURS}", True)


def _pin_fit(drawing: JointDrawing, _values: Values) -> Usual:
    return Usual(drawing.kind.value, "as the wheels are held; a placeholder of our own, no source", True)


def _pin_seat(drawing: JointDrawing, values: Values) -> Usual:
    hole, kind = values.get("pin_hole"), FitKind(str(values.get("pin_fit") or drawing.kind))
    hole_nm = hole if isinstance(hole, int) else drawing.crankpin_hole_nm
    least, most = default_range(kind, hole_nm)
    seat = hole_nm - (least + most) // 2 if kind is FitKind.BOND else hole_nm + least
    where = "in the middle" if kind is FitKind.BOND else "at the least end"
    return Usual(
        plain(seat // 100 * 100, drawing.unit),
        f"{where} of the usual range of its fit, no measured pin",
        True,
    )


def _pin_boss(drawing: JointDrawing, values: Values) -> Usual:
    hole = values.get("pin_hole")
    return Usual(
        plain(2 * (hole if isinstance(hole, int) else drawing.crankpin_hole_nm), drawing.unit), _OURS, True
    )


def _open(_drawing: JointDrawing, values: Values) -> Usual:
    # What is handled sooner than that cannot be turned for as long.
    handling, usual = values.get("handling"), open_table()["minutes"]
    least = min(usual, handling) if isinstance(handling, int | float) and handling > 0 else usual
    return Usual(f"{least:g} min", open_table()["source"], True)


def _figure(key: str, name: str) -> Rule:
    return _is(f"{demand_table()[key][name]:g}", demand_table()[key]["source"])


_CURE, _SHEET = CureTimes(), BondSheet(1.0)
_NOT_F = "give it in C, not F"

CARRY, FORCED, BOND, PIN = "carry", "forced", "bond", "pin"
GROUPS = {
    CARRY: "What each wheel must carry",
    FORCED: "Press and shrink fits",
    BOND: "The retaining compound, from its data sheet",
    PIN: "Crankpins in their wheels",
}

FIELDS: tuple[JointField, ...] = (
    JointField("load", CARRY, "Load on one axle", q.LOAD, most=100_000, usual=_load),
    JointField("adhesion", CARRY, "Adhesion of wheel on rail", q.SHARE, most=1, above=True,
               usual=_figure("adhesion", "most")),
    JointField("piston", CARRY, "Piston diameter", most=1_000_000_000, above=True, usual=_scaled(0.3)),
    JointField("pressure", CARRY, "Boiler pressure", q.PRESSURE, most=5, usual=_is("5.5 bar", _OURS, True)),
    JointField("rod", CARRY, "Length of the connecting rod", most=10_000_000_000, above=True, usual=_rod),
    JointField("drive", CARRY, "Two cylinders drive",
               options=(("outside", "the crankpins, outside"), ("inside", "a crank axle, between the frames")),
               usual=_is("outside", "the usual way; three are taken from cylinders and quartering")),
    JointField("driven_axle", CARRY, "The axle they drive",
               options=tuple((str(n), f"axle {n}") for n in range(1, 13)), usual=_driven),
    JointField("reserve", CARRY, "Reserve against slipping", q.NUMBER, 1, 20, usual=_figure("safety", "wanted")),
    JointField("friction", FORCED, "Surfaces when fitting",
               options=(("oiled", "with oil"), ("dry", "dry or degreased")),
               usual=_is("oiled", "the least grip, to be on the safe side")),
    JointField("bore_rz", FORCED, "Roughness Rz of the bore", most=1_000_000,
               usual=_is("0 um", "not known: nothing is taken off the grip for smoothing")),
    JointField("seat_rz", FORCED, "Roughness Rz of the seat", most=1_000_000,
               usual=_is("0 um", "not known: nothing is taken off the grip for smoothing")),
    JointField("edition", FORCED, "Smoothing by",
               options=tuple((one.key, f"{one.name}, k {one.k:g}") for one in editions()),
               usual=_is(DEFAULT_EDITION.key, "takes more off, so claims less grip; k is from memory, verify")),
    JointField("crack_factor", FORCED, "Factor against cracking wanted", q.NUMBER, 1, 20,
               usual=_is(f"{table()['factor']['wanted']:g}", table()["factor"]["source"])),
    JointField("axle_bore", FORCED, "Hole through the axle", most=1_000_000_000,
               usual=_is("0 mm", "the axle is solid")),
    JointField("bore_within", FORCED, "Your bores come out alike within", most=2_000_000, above=True,
               usual=_is("", "as the readings of each bore here differ")),
    JointField("clearance", FORCED, "Shrink fit: room while sliding on", most=2_000_000, usual=_clearance),
    JointField("room", FORCED, "Room temperature", q.CELSIUS,
               heating_table()["coldest_room_c"], heating_table()["hottest_room_c"], slip=_NOT_F,
               usual=_is("20 C", "ISO 1, the reference temperature")),
    JointField("press", FORCED, "What the press or vice gives",
               q.FORCE, most=10_000_000, above=True, usual=_is("", "not known: you are told what it takes")),
    JointField("shear", BOND, "Shear strength", q.STRESS, most=100, above=True,
               slip="check the figure and its unit",
               usual=_is("15 MPa", "the least that is usual, from memory, verify", True)),
    JointField("gap_least", BOND, "Best gap, least", most=2_000_000, above=True, usual=_gap(0)),
    JointField("gap_most", BOND, "Best gap, most", most=2_000_000, above=True, usual=_gap(1)),
    JointField("gap_limit", BOND, "Most gap it fills", most=2_000_000, above=True, usual=_gap(2)),
    *(
        JointField(f"for_{one.key}", BOND, f"Left of its strength {one.words}", q.SHARE, most=1, above=True,
                   usual=_is(f"{one.factor:g}", one.source, True))
        for one in placeholder_reductions()
    ),
    JointField("service_limit", BOND, "Hottest the compound stands", q.CELSIUS, 20,
               heating_table()["caution_above_c"], slip=_NOT_F,
               usual=_is(f"{_SHEET.service_limit_c:g} C", "from memory, verify", True)),
    JointField("hottest", BOND, "Hottest the wheel will run", q.CELSIUS, 0, 120, slip=_NOT_F,
               usual=_is(f"{BondedJoint(1, 1, _SHEET).hottest_c:g} C", _OURS, True)),
    JointField("handling", BOND, "May be handled after", q.MINUTES, 0, 60 * 24 * 30,
               usual=_is(f"{_CURE.handling_minutes:g} min", "from memory, verify", True)),
    JointField("open_time", BOND, "Once it is on, the wheel may be turned for", q.MINUTES, most=60 * 24, above=True,
               usual=_open),
    JointField("full_cure", BOND, "Fully cured after",
               q.HOURS, most=24 * 30, above=True, usual=_is(f"{_CURE.full_cure_hours:g} h", "from memory, verify", True)),
    JointField("bond_safety", BOND, "Safety taken off the bond's strength", q.NUMBER, 1, 20,
               usual=_is(f"{DEFAULT_SAFETY:g}", "a bond's one reserve: common practice, no source")),
    JointField("pin_fit", PIN, "How the crankpin is held",
               options=tuple((one.value, one.words) for one in FitKind), usual=_pin_fit),
    JointField("pin_hole", PIN, "Its hole in the wheel", most=1_000_000_000, above=True, usual=_drawn("crankpin_hole")),
    JointField("pin_seat", PIN, "The pin where it is held", most=1_000_000_000, above=True, usual=_pin_seat),
    JointField("pin_length", PIN, "Length held", most=1_000_000_000, above=True, usual=_drawn("boss_length")),
    JointField("pin_boss", PIN, "Sound metal round the hole, diameter", most=1_000_000_000, above=True, usual=_pin_boss),
    JointField("pin_journal", PIN, "Diameter where the rod's bush runs",
               most=1_000_000_000, above=True, usual=_drawn("crankpin_hole")),
    JointField("pin_overhang", PIN, "From the wheel's face to the middle of the connecting rod's bush",
               most=1_000_000_000, usual=_overhang),
    JointField("pin_yield", PIN, "What the pin's steel stands in bending", q.STRESS, most=3000, above=True,
               usual=_is(f"{demand_table()['pin_steel']['yield_mpa']:g} MPa", demand_table()["pin_steel"]["source"])),
    JointField("bush", PIN, "Friction of the rod's bush", q.SHARE, most=1,
               above=True, usual=_figure("bush_friction", "usual")),
)  # fmt: skip
BY_KEY = {one.key: one for one in FIELDS}
