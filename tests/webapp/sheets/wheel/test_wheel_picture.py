"""The wheel's picture: every coordinate stays on the sheet, and the lines tell the stages."""

import dataclasses
import math
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import jinja2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.route.stages import Stage
from webapp.drawing.wheel import SIZE, Circle, DrawnLine, Outline, WheelPicture, wheel_picture

TEMPLATES = Path(__file__).parents[4] / "templates"
ORDER = [stage.value for stage in Stage]

# A 5 in gauge driving wheel: 5.25 in tread, 1.75 in boss, 3/4 in bore, 1.125 in throw.
PLAIN: dict[str, Any] = {
    "tread_diameter_nm": 133_350_000,
    "boss_diameter_nm": 44_450_000,
    "bore_nm": 19_050_000,
    "throw_nm": 28_575_000,
    "crankpin_hole_nm": 9_525_000,
    "flange_depth_nm": 3_556_000,
    "coupled": True,
    "ticked": frozenset(),
    "crank_angle_deg": 90.0,
    "scrapped": False,
    "label": "Casting W3",
}


def draw(**changes: Any) -> WheelPicture:
    return wheel_picture(**(PLAIN | changes))


def up_to(stage: str) -> frozenset[str]:
    return frozenset(ORDER[: ORDER.index(stage) + 1])


def boxes(value: object) -> Iterator[tuple[float, float, float, float]]:
    """The box round every shape in the picture (path arcs here bulge only along circles tested as such)."""
    if isinstance(value, Circle):
        yield value.x - value.r, value.y - value.r, value.x + value.r, value.y + value.r
    elif isinstance(value, DrawnLine):
        yield value.x1, value.y1, value.x2, value.y2
    elif isinstance(value, str) and value.startswith("M"):
        for x, y in path_points(value):
            yield x, y, x, y
    elif isinstance(value, tuple):
        for item in value:
            yield from boxes(item)
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from boxes(getattr(value, field.name))


def path_points(d: str) -> Iterator[tuple[float, float]]:
    """The end point of every command of path data."""
    for command, numbers in re.findall(r"([MLA])([^MLAZ]*)", d):
        values = [float(word) for word in numbers.split()]
        assert len(values) == (7 if command == "A" else 2)
        yield values[-2], values[-1]


any_length = st.one_of(st.integers(1, 10**10), st.integers(1, 10**400), st.just(1))


@given(
    st.tuples(*[any_length] * 6),
    st.booleans(),
    st.frozensets(st.sampled_from(ORDER)),
    st.floats(allow_nan=False, allow_infinity=False),
    st.booleans(),
)
def test_any_proportions_stay_on_the_sheet(
    lengths: tuple[int, ...], coupled: bool, ticked: frozenset[str], angle: float, scrapped: bool
) -> None:
    tread, boss, bore, throw, hole, flange = lengths
    picture = draw(
        tread_diameter_nm=tread,
        boss_diameter_nm=boss,
        bore_nm=bore,
        throw_nm=throw,
        crankpin_hole_nm=hole,
        flange_depth_nm=flange,
        coupled=coupled,
        ticked=ticked,
        crank_angle_deg=angle,
        scrapped=scrapped,
    )
    found = list(boxes(picture))
    assert len(found) > 10
    for box in found:
        assert all(math.isfinite(number) and 0 <= number <= SIZE for number in box)
        assert all(number == round(number, 1) for number in (round(n, 6) for n in box))
    assert picture.flange.r > picture.tread.r > picture.rim_inside.r > picture.bore.r > 0
    assert 8 <= picture.spokes.count("M") <= 22
    if coupled:
        assert_crank_clear(picture)


def assert_crank_clear(picture: WheelPicture) -> None:
    """The crankpin hole lies in the metal: outside the bore, inside the rim's inside edge."""
    assert picture.crank is not None
    hole = picture.crank.hole
    throw = math.hypot(hole.x - picture.bore.x, hole.y - picture.bore.y)
    assert throw - hole.r > picture.bore.r
    assert throw + hole.r < picture.rim_inside.r


def test_ordinary_proportions_are_to_scale() -> None:
    picture = draw()
    scale = picture.tread.r / (PLAIN["tread_diameter_nm"] / 2)
    assert picture.flange.r == pytest.approx(scale * (133_350_000 / 2 + 3_556_000), abs=0.1)
    assert picture.bore.r == pytest.approx(scale * 19_050_000 / 2, abs=0.1)
    assert picture.crank is not None
    assert picture.crank.hole.r == pytest.approx(scale * 9_525_000 / 2, abs=0.1)
    assert picture.crank.hole.y == pytest.approx(100 - scale * 28_575_000, abs=0.1)
    assert picture.crank.hole.x == 100


@pytest.mark.parametrize(
    ("angle", "dx", "dy"), [(0, 1, 0), (90, 0, -1), (180, -1, 0), (270, 0, 1), (-90, 0, 1), (450, 0, -1)]
)
def test_crank_turns_anticlockwise_and_the_weight_is_opposite(angle: float, dx: int, dy: int) -> None:
    crank = draw(crank_angle_deg=angle).crank
    assert crank is not None
    pin = (crank.hole.x - 100, crank.hole.y - 100)
    assert [math.copysign(1, v) if abs(v) > 0.05 else 0 for v in pin] == [dx, dy]
    for x, y in path_points(crank.weight.d):
        assert (x - 100) * dx + (y - 100) * dy < -30


def test_boss_outline_is_tangent_to_both_circles() -> None:
    """The join leaves the boss square to its radius: outer tangents of two circles."""
    picture = draw(crank_angle_deg=37.0, boss_diameter_nm=40_000_000)
    start, boss_end, crank_start, crank_end = path_points(picture.boss.d)
    for on_boss, on_crank in ((boss_end, crank_start), (start, crank_end)):
        radius = (on_boss[0] - 100, on_boss[1] - 100)
        join = (on_crank[0] - on_boss[0], on_crank[1] - on_boss[1])
        cosine = (radius[0] * join[0] + radius[1] * join[1]) / (math.hypot(*radius) * math.hypot(*join))
        assert abs(cosine) < 0.02


def test_nothing_received_is_only_a_ghost() -> None:
    picture = draw()
    assert not picture.received
    assert picture.crank is not None
    inks = {c.ink for c in (picture.flange, picture.tread, picture.rim_inside, picture.bore)}
    assert inks | {picture.boss.ink, picture.crank.hole.ink, picture.crank.weight.ink} == {"ghost"}
    assert picture.rim_as_cast is None and picture.boss_as_cast is None
    assert "not received yet" in picture.description


def inked(picture: WheelPicture) -> set[str]:
    """Which parts are drawn as machined."""
    parts: dict[str, Circle | Outline] = {
        "tread": picture.tread,
        "flange": picture.flange,
        "rim": picture.rim_inside,
        "bore": picture.bore,
        "boss": picture.boss,
    }
    if picture.crank:
        parts["hole"] = picture.crank.hole
    clean = {name for name, part in parts.items() if part.ink == "clean"}
    if picture.axle:
        clean.add("axle")
    if picture.painted:
        clean.add("paint")
    return clean


@pytest.mark.parametrize(
    ("stage", "adds"),
    [
        ("received", set()),
        ("back_faced", {"rim"}),
        ("bored", {"bore", "boss"}),
        ("pressed", {"axle"}),
        ("tread_turned", {"tread", "flange"}),
        ("quartered", {"hole"}),
        ("painted", {"paint"}),
    ],
)
def test_each_stage_inks_in_its_own_lines(stage: str, adds: set[str]) -> None:
    after = up_to(stage)
    assert inked(draw(ticked=after)) - inked(draw(ticked=after - {stage})) == adds


def test_hatching_leaves_the_surfaces_that_are_machined() -> None:
    cast = draw(ticked=up_to("received"))
    assert cast.rim_as_cast and cast.boss_as_cast
    bored = draw(ticked=up_to("bored"))
    assert bored.rim_as_cast and not bored.boss_as_cast
    assert not draw(ticked=up_to("tread_turned")).rim_as_cast


def test_a_wheel_to_be_turned_again_has_no_cast_rim() -> None:
    before, worn = draw(ticked=up_to("pressed")), draw(ticked=up_to("pressed"), worn=True)
    assert before.rim_as_cast and before.tread.ink == before.flange.ink == "rough"
    assert worn.rim_as_cast is None and worn.tread.ink == worn.flange.ink == "clean"
    assert worn.description == before.description


def test_pin_and_throw_line_come_with_quartering() -> None:
    before, after = draw(ticked=up_to("tread_turned")).crank, draw(ticked=up_to("quartered")).crank
    assert before and after
    assert before.pin is None and before.throw_line is None
    assert after.pin and after.throw_line
    assert (after.throw_line.x2, after.throw_line.y2) == (after.hole.x, after.hole.y)


def test_carrying_wheel_has_no_crank_and_needs_no_throw() -> None:
    picture = draw(coupled=False, throw_nm=0, crankpin_hole_nm=0, ticked=up_to("bored"))
    assert picture.crank is None
    assert picture.bore.ink == "clean"


def test_taller_wheel_on_the_same_stroke_has_more_spokes() -> None:
    low = draw(tread_diameter_nm=110_000_000).spokes.count("M")
    tall = draw(tread_diameter_nm=180_000_000).spokes.count("M")
    assert low < tall


def test_descriptions_say_the_state_in_words() -> None:
    assert draw(ticked=up_to("bored")).description == "Casting W3: received, back faced and bored."
    assert draw(ticked=frozenset({"received"})).description == "Casting W3: received."
    assert draw(ticked=up_to("painted")).description.endswith("quartered and painted; finished.")
    lost = draw(ticked=up_to("back_faced"), scrapped=True)
    assert lost.description == "Casting W3: scrapped, after it was received and back faced."
    assert lost.crossing_out is not None
    assert draw(label=" ").description.startswith("A wheel:")


@pytest.mark.parametrize(
    "changes",
    [
        {"bore_nm": 0},
        {"tread_diameter_nm": -1},
        {"throw_nm": 0},
        {"ticked": frozenset({"polished"})},
        {"crank_angle_deg": math.nan},
        {"crank_angle_deg": math.inf},
    ],
)
def test_nonsense_is_refused(changes: dict[str, Any]) -> None:
    with pytest.raises(ValueError):
        draw(**changes)


def svg_of(picture: WheelPicture) -> ElementTree.Element:
    loader = jinja2.FileSystemLoader(TEMPLATES)
    env = jinja2.Environment(loader=loader, autoescape=True, undefined=jinja2.StrictUndefined)
    page = env.from_string(
        '{% from "parts/_wheel_picture.html" import wheel_picture %}{{ wheel_picture(p) }}'
    )
    return ElementTree.fromstring(page.render(p=picture))


@pytest.mark.parametrize("stage", [None, *ORDER])
@pytest.mark.parametrize("coupled", [True, False])
@pytest.mark.parametrize("scrapped", [True, False])
def test_macro_renders_well_formed_without_inline_style(
    stage: str | None, coupled: bool, scrapped: bool
) -> None:
    ticked = up_to(stage) if stage else frozenset()
    picture = draw(ticked=ticked, coupled=coupled, scrapped=scrapped, label='Casting <"W3">')
    svg = svg_of(picture)
    assert svg.get("role") == "img"
    assert svg.get("aria-label") == picture.description
    assert not [node for node in svg.iter() if node.get("style")]
    assert ("scrapped" in "".join(svg.itertext())) is scrapped


def test_patterns_the_macro_points_at_are_in_the_page_frame() -> None:
    used = set(re.findall(r"url\(#([\w-]+)\)", (TEMPLATES / "parts/_wheel_picture.html").read_text()))
    base = (TEMPLATES / "base.html").read_text()
    assert used
    for name in used:
        assert base.count(f'id="{name}"') == 1
