"""Pictures of builds that nobody chose: every drawing of the program, with figures drawn by lot."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from random import Random
from types import SimpleNamespace
from typing import Any

from domain.assembly.going_on import Along, ThingKind
from domain.cranks.crankpins import Origin, hole_position
from domain.cutting.swing import (
    Grips,
    JawReach,
    Jaws,
    SwingChuck,
    SwingLathe,
    SwingSetUp,
    will_it_swing,
)
from domain.hand.spread import hand_of
from domain.hand.words import Craft, Made
from domain.lengths import Unit, show_in, shown_small
from domain.measuring.decision import decide
from domain.ordering.advice import order_table
from domain.rods.engine import RodAxle, RodEngine, RodSide, RodSpan
from domain.rods.picture import positions, turn_series
from domain.stock.sizes import Face, Faces
from domain.treads.profile import ProfileFigures, profile
from domain.truing.by_eye import look
from domain.truing.dial import Dial, from_jaws
from domain.truing.setting import Grip, Surface, advise
from domain.truing.wobble import find_wobble
from webapp.drawing.band import band_of
from webapp.render import environment
from webapp.sheets.assembly.drawing import EndDrawn, ThingDrawn, WheelDrawn, axle_picture
from webapp.sheets.balance.drawing import BalanceFace, balance_picture
from webapp.sheets.cranks.drawing_crankpin import crankpin_picture
from webapp.sheets.cranks.drawing_quartering import PinAt, end_on
from webapp.sheets.cutting.drawing_swing import swing_picture
from webapp.sheets.hand.drawing import hand_picture
from webapp.sheets.mandrel.drawing import Drawn, mandrel_picture
from webapp.sheets.ordering.drawing import chances_picture
from webapp.sheets.rods.drawing import engine_picture
from webapp.sheets.rods.drawing_plot import rods_plot
from webapp.sheets.stock.drawing import Outside, Words, centre_outside, section
from webapp.sheets.treads.drawing import tyre_section
from webapp.sheets.treads.drawing_set import GaugeSaid, SetDrawn, wheel_set
from webapp.sheets.truing.drawing import clock_of_edge, clock_of_face, clock_of_look
from webapp.sheets.tyres.drawing import DrawnTyre, tyre_picture

MM = 1_000_000


def _macro(template: str, name: str, *of: Any) -> str:
    return str(getattr(environment.get_template(template).module, name)(*of))


def _unit(by: Random) -> Unit:
    return by.choice(list(Unit))


def _band(by: Random) -> str:
    low = by.randint(-200_000, 100_000)
    high = low + by.randint(2_000, 200_000)
    if by.random() < 0.5:
        ends = by.choice([(low, high), (low, None), (None, high)])
        found = decide(by.randint(low - 200_000, high + 200_000), by.randint(0, 30_000), *ends, _unit(by))
        return _macro("parts/_band.html", "decided", found)
    at = None if by.random() < 0.2 else (by.randint(low - 200_000, high + 200_000), by.randint(1_000, 30_000))
    return _macro("parts/_band.html", "band", band_of(low, high, _unit(by), "said", at, "serves"))


def _crankpin(by: Random) -> str:
    throw = by.randint(12, 60) * MM
    at = hole_position(throw, by.choice([by.uniform(0, 360), by.randrange(0, 360, 45)]), Origin(), Unit.MM)
    bore = by.uniform(0.3, 1.1) * throw
    nm = {"bore": round(bore), "hole": round(by.uniform(0.2, 0.7) * (2 * throw - bore))}
    picture = crankpin_picture(at, nm if by.random() < 0.8 else {}, _unit(by))
    return _macro("sheets/cranks/_crankpin_picture.html", "crankpin_picture", picture)


def _quarter(by: Random) -> str:
    sides = by.choice([("right", "left"), ("right", "left", "inside")])
    said = ("12.3456 in", "45° above level", "123.456 mm", "12.50° below level")
    # However badly an axle is quartered, no pin stands where another does.
    first, apart = by.uniform(0, 360), by.choice([90, -90] if len(sides) == 2 else [120, -120])
    pins = [
        PinAt(
            side, first + at * apart + by.uniform(-10, 10), by.randint(15, 30) * MM, "said", by.choice(said)
        )
        for at, side in enumerate(sides)
    ]
    return _macro("sheets/cranks/_quarter_picture.html", "end_on_picture", end_on(pins))


def _clock(by: Random) -> str:
    unit, grip = _unit(by), by.choice(list(Grip))
    step = 10_000 if unit is Unit.MM else 25_400
    dial, surface = Dial(step, unit), by.choice(list(Surface))
    readings = from_jaws({jaw: step * by.randint(-60, 60) for jaw in (1, 2, 3, 4)}, unit)
    kind = by.randrange(3)
    if kind == 0:
        clock = clock_of_edge(advise(readings, surface, grip, dial, 20_000), 40_000)
    elif kind == 1:
        clock = clock_of_face(readings, find_wobble(readings, by.randint(30, 90) * MM, dial), grip, 40_000)
    else:
        high = 45.0 * by.randrange(8)
        low = (high + by.choice([135.0, 180.0, 225.0])) % 360
        clock = clock_of_look(look(high, low, surface, grip))
    return _macro("sheets/truing/_clock.html", "clock_picture", clock, "said")


def _chances(by: Random) -> str:
    needed, lost, wanted = by.randint(1, 24), by.uniform(0.01, 0.4), by.choice([0.6, 0.905, 0.95, 0.995])
    found = order_table(needed, lost, wanted)
    picture = chances_picture(found.rows, wanted, found.number, by.choice([None, found.number, needed]))
    return _macro("sheets/ordering/_chances_picture.html", "chances_picture", picture)


def _rod_engine(by: Random) -> RodEngine:
    axles = by.randint(2, 6)
    span = by.randint(110, 200) * MM

    def rod() -> RodSide:
        clearance = by.choice([None, by.randint(10_000, 120_000)])
        return RodSide(span + by.randint(-60_000, 60_000), span + by.randint(-60_000, 60_000), clearance)

    wheels = tuple(
        RodAxle(
            25 * MM + by.randint(-40_000, 40_000), 25 * MM + by.randint(-40_000, 40_000), by.uniform(89, 91)
        )
        for _ in range(axles)
    )
    return RodEngine(wheels, tuple(RodSpan(rod(), rod()) for _ in range(axles - 1)))


def _rods(by: Random) -> str:
    engine, crank = _rod_engine(by), by.uniform(0, 360)
    numbers = range(1, len(engine.axles) + 1)
    binding = [
        (span, side) for span in range(len(engine.spans)) for side in ("left", "right") if by.random() < 0.5
    ]
    picture = engine_picture(positions(engine, crank), by.uniform(30, 70), numbers, binding, "somewhere")
    return _macro("sheets/rods/_rods_picture.html", "rods_picture", picture)


def _plot(by: Random) -> str:
    engine = _rod_engine(by)
    gives = by.choice([(None, None), (0.04, 0.04), (by.uniform(0, 0.1), by.uniform(0, 0.1)), (None, 0.02)])
    plot = rods_plot(turn_series(engine, 0), gives, by.uniform(0, 360), by.uniform(0, 360), _unit(by), "said")
    return _macro("sheets/rods/_rods_picture.html", "rods_plot", plot)


def _axle(by: Random) -> str:
    kinds, places = list(ThingKind), list(Along)
    things = [
        ThingDrawn(
            number + 1, by.choice(kinds), by.choice(places), by.choice([None, by.randint(3, 14) * MM]),
            by.random() < 0.3, by.random() < 0.5,
        )
        for number in range(by.randint(0, 6))
    ]  # fmt: skip
    tread = by.randint(40, 260) * MM
    wheel = WheelDrawn(
        tread,
        by.randint(2, 5) * MM,
        by.randint(2, 5) * MM,
        by.randint(10, 25) * MM,
        tread // 4,
        by.randint(10, 30) * MM,
    )
    ends = tuple(
        EndDrawn(
            tread // 8, by.random() < 0.5, by.randint(10, 30) * MM, by.randint(0, 3) * MM,
            by.choice([None, tread // 7]), by.choice([None, tread // 9]), mark, by.random() < 0.5,
        )
        for mark in ("W10", "W12")
    )  # fmt: skip
    over = by.randint(40, 160) * MM
    words = ("back to back 3.2810 in (83.337 mm)", "over the shoulders, not measured")
    picture = axle_picture(over, by.random() < 0.5, (ends[0], ends[1]), wheel, things, words)
    return _macro("sheets/assembly/_axle_picture.html", "axle_picture", picture)


def _tread(by: Random) -> str:
    width = by.randint(8, 30) * MM
    depth = by.randint(width // 10, width // 4)
    figures = ProfileFigures(
        by.randint(50, 300) * MM, width, by.randint(width // 6, width // 3), depth, round(depth * by.uniform(0.3, 0.6)),
        edge_break_nm=by.choice([0, width // 25]),
    )  # fmt: skip
    return _macro(
        "sheets/treads/_tread_picture.html",
        "tread_picture",
        tyre_section(profile(figures), _unit(by)),
        "said",
    )


def _hand(by: Random) -> str:
    found = tuple(float(by.randint(-60_000, 60_000)) for _ in range(by.randint(5, 20)))
    made = Made(Craft.BORE, found, 0, by.uniform(1_000, 90_000), 1, hand_of(found, 1_000))
    picture = hand_picture(made, [by.random() < 0.7 for _ in found], _unit(by), "said")
    assert picture is not None
    return _macro("sheets/hand/_hand_picture.html", "hand_picture", picture)


def _balance(by: Random) -> str:
    tread = by.randint(60, 240) * MM
    throw = round(tread * by.uniform(0.15, 0.3))
    outer = round(tread * by.uniform(0.35, 0.46))
    face = BalanceFace(
        by.choice(["left", "right"]),
        tread, tread // by.randint(5, 9), throw, tread // 14, round(outer * by.uniform(0.6, 0.9)),
        by.choice([None, by.uniform(-40, 40)]), by.choice([None, (outer, round(outer * by.uniform(0.3, 0.8)))]),
    )  # fmt: skip
    return _macro("sheets/balance/_balance_picture.html", "balance_picture", balance_picture(face, "said"))


def _mandrel(by: Random) -> str:
    tread = by.randint(40, 260) * MM
    drawn = Drawn(
        tread, by.randint(2, 5) * MM, by.randint(2, 5) * MM, by.randint(10, 25) * MM, tread // 4, by.randint(10, 30) * MM,
        tread // 8, by.random() < 0.5, by.random() < 0.7, by.random() < 0.5,
    )  # fmt: skip
    return _macro("sheets/mandrel/_picture.html", "mandrel_picture", mandrel_picture(drawn))


def _swing(by: Random) -> str:
    gap = by.choice([None, by.randint(90, 200)])
    centre = by.randint(40, 85 if gap else 140)
    lathe = SwingLathe(centre * MM, gap and gap * MM, gap and 100 * MM)
    chuck = SwingChuck(
        by.randint(80, 160) * MM, 60 * MM, JawReach(by.randint(20, 60) * MM), JawReach(12 * MM), 60 * MM
    )
    held, unit = by.randint(30, 160), _unit(by)
    set_up = SwingSetUp(Jaws.NORMAL, Grips.OUTSIDE, held * MM, (held + 4) * MM, 20 * MM)
    picture = swing_picture(lathe, chuck, set_up, will_it_swing(lathe, chuck, set_up, unit), unit)
    return _macro("sheets/cutting/_swing_picture.html", "swing_picture", picture)


def _section(by: Random) -> str:
    rim, boss = by.randint(8, 25), by.randint(8, 40)
    proud, (back, front) = by.randint(0, 3), (by.uniform(-0.5, 3), by.uniform(-0.5, 3))
    finished = Faces(0, rim * MM, -proud * MM, (boss - proud) * MM)
    rough = Faces(
        round(-back * MM),
        round((rim + front) * MM),
        round((-proud - back) * MM),
        round((boss - proud + front) * MM),
    )
    if by.random() < 0.2:
        rough = Faces(rough.rim_back_nm, rough.rim_front_nm)
    if by.random() < 0.3:
        outside, others = centre_outside(by.randint(-MM, 4 * MM)), {Face.OVER_FLANGE, Face.TREAD}
    else:
        outside, others = (
            Outside(
                by.randint(-MM, 4 * MM), by.randint(-MM, 6 * MM), by.randint(2, 4) * MM, by.randint(2, 4) * MM
            ),
            {Face.CENTRE},
        )
    unit = _unit(by)
    words = {
        face: Words(
            "over the flange" if face is Face.OVER_FLANGE else face.words,
            shown_small(by.randint(0, 5 * MM), unit),
            f"{shown_small(by.randint(1_000, 500_000), unit)} short" if by.random() < 0.3 else "",
        )
        for face in Face
        if face not in others
    }
    done = {face for face in words if by.random() < 0.5}
    return _macro(
        "sheets/stock/_stock_picture.html",
        "stock_picture",
        section(rough, finished, 0, outside, words, done),
        "",
    )


def _wheel_set(by: Random) -> str:
    unit, tyre = _unit(by), by.randint(8, 25) * MM
    back = tyre * by.randint(3, 10)
    flange = tyre // 5
    drawn = SetDrawn(
        back + round(2.4 * flange), back, (flange, flange + by.randint(-200_000, 200_000)), tyre // 5, tyre,
        (by.random() < 0.5, by.random() < 0.5),
    )  # fmt: skip
    size = show_in(back, unit)
    names = (
        "back to back",
        "wheel gauge",
        "back to back and the left flange",
        "back to back and the right flange",
    )
    over = ((False, False), (True, True), (True, False), (False, True))
    said = [
        GaugeSaid(
            sides,
            name,
            f"{size}: {by.choice(['good', 'no limit to judge it by'])}",
            by.choice(["", "strong", "red"]),
        )
        for sides, name in zip(over, names, strict=True)
    ]
    picture = wheel_set(drawn, said, f"rails {size}")
    return _macro("sheets/treads/_set_picture.html", "set_picture", picture, "said")


def _tyre(by: Random) -> str:
    tread = by.randint(60, 250) * MM
    depth = round(by.uniform(0.02, 0.04) * tread)
    width = round(by.uniform(0.09, 0.16) * tread)
    inside = round(by.uniform(0.84, 0.92) * tread)
    picture = tyre_picture(
        DrawnTyre(
            tread_nm=tread,
            rough_nm=tread + 2 * depth,
            inside_nm=inside,
            hole_nm=round(by.uniform(0.84, 0.92) * inside),
            tyre_nm=width,
            flange_width_nm=round(by.uniform(0.2, 0.35) * width),
            flange_depth_nm=depth,
            cone=by.choice([None, 20.0]),
            on=by.random() < 0.5,
            turned=by.random() < 0.5,
        )
    )
    template = environment.get_template("sheets/tyres/_picture.html")
    return template.render(sheet=SimpleNamespace(picture=picture))


KINDS: dict[str, Callable[[Random], str]] = {
    "band": _band,
    "crankpin-picture": _crankpin,
    "quarter-picture": _quarter,
    "clock": _clock,
    "chances": _chances,
    "rods-picture": _rods,
    "rods-plot": _plot,
    "axle-picture": _axle,
    "tread-picture": _tread,
    "wheel-set": _wheel_set,
    "hand": _hand,
    "balance-picture": _balance,
    "mandrel-picture": _mandrel,
    "swing-picture": _swing,
    "section-picture": _section,
    "tyre-picture": _tyre,
}


def random_pictures(kind: str, many: int) -> Iterator[str]:
    """So many pictures of a kind, the same at every run."""
    by = Random(kind)
    for _ in range(many):
        yield KINDS[kind](by)
