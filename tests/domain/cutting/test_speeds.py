"""Surface speeds and feeds against the printed figures."""

import math

import pytest

from domain.cutting.speeds import (
    CutKind,
    CuttingError,
    Factors,
    Tool,
    Tools,
    cutting_speed,
    cutting_table,
    iron_class,
    usual_factors,
    usual_feed,
)
from domain.joints.materials import irons
from domain.lengths import NM_PER_INCH


@pytest.mark.parametrize(
    ("key", "name"),
    [  # least tensile strength in ksi: EN 1561's 150, 200, 250 MPa are 21.8, 29.0 and 36.3
        ("a48-20", "class 20"), ("en-gjl-150", "class 25"), ("a48-30", "class 30 to 40"),
        ("en-gjl-200", "class 30 to 40"), ("en-gjl-250", "class 30 to 40"),
    ],
)  # fmt: skip
def test_the_class_of_each_iron(key: str, name: str) -> None:
    assert iron_class(key) == name


@pytest.mark.parametrize("kind", [kind for kind in CutKind if not kind.by_hand])
@pytest.mark.parametrize("tool", list(Tool))
def test_every_iron_has_a_speed_with_a_source(tool: Tool, kind: CutKind) -> None:
    for iron in irons():
        speed = cutting_speed(tool, kind, iron.key)
        assert speed.feet_a_minute > 0 and speed.source
        assert speed.metres_a_minute == pytest.approx(speed.feet_a_minute * 0.3048, rel=1e-12)


@pytest.mark.parametrize(
    ("tool", "kind", "speeds"),
    [  # class 20, 25, 30 to 40
        (Tool.HSS, CutKind.DRILL, (100, 90, 80)),  # a toolmaker's chart
        (Tool.HSS, CutKind.REAM, (50, 45, 40)),  # US TM 1-420: half the drill; the chart's most is 65, 60, 55
        (Tool.CARBIDE, CutKind.REAM, (300, 225, 180)),  # a toolmaker's chart
        (Tool.HSS, CutKind.TURN, (120, 90, 80)),  # Machinery's Handbook, memory
        (Tool.CARBIDE, CutKind.TURN, (240, 180, 160)),  # a lathe manual, memory: about double
        (Tool.CARBIDE, CutKind.DRILL, (200, 180, 160)),  # a naval training manual, number unconfirmed: memory
    ],
)
def test_speeds_as_printed(tool: Tool, kind: CutKind, speeds: tuple[float, ...]) -> None:
    keys = ("a48-20", "en-gjl-150", "en-gjl-250")
    assert tuple(cutting_speed(tool, kind, key).feet_a_minute for key in keys) == speeds


def test_facing_and_boring_say_that_they_go_by_turning() -> None:
    turning = cutting_speed(Tool.HSS, CutKind.TURN, "a48-20")
    for kind in (CutKind.FACE, CutKind.BORE, CutKind.FORM):
        other = cutting_speed(Tool.HSS, kind, "a48-20")
        assert other.feet_a_minute == turning.feet_a_minute
        assert "taken as for turning" in other.source
    assert "memory" in turning.source


def test_what_is_from_memory_says_so() -> None:
    """Figures with no copy of their source at hand: marked wherever they are shown."""
    feed = usual_feed(CutKind.DRILL, 18_000_000, finishing=False)
    for source in (
        cutting_speed(Tool.CARBIDE, CutKind.TURN, "a48-20").source.rpartition("; ")[2],
        cutting_speed(Tool.CARBIDE, CutKind.DRILL, "a48-20").source.rpartition("; ")[2],
        feed.source,
        usual_feed(CutKind.REAM, 18_000_000, finishing=True).source.rpartition("; ")[2],
        cutting_table()["force"]["chilled_source"],
    ):
        assert "from memory, verify" in source, source
    assert "14345" not in feed.source and "number unconfirmed" in feed.source


def test_drills_and_reamers_keep_their_own_material() -> None:
    # Common practice: high-speed steel drills and reamers beside carbide inserts are the usual shop.
    shop = Tools(turning=Tool.CARBIDE)
    for kind in (CutKind.FACE, CutKind.TURN, CutKind.BORE, CutKind.FORM):
        assert shop.of(kind) is Tool.CARBIDE
    assert shop.of(CutKind.DRILL) is shop.of(CutKind.REAM) is Tool.HSS
    assert Tools(drill=Tool.CARBIDE).of(CutKind.DRILL) is Tool.CARBIDE
    assert Tools(reamer=Tool.CARBIDE).of(CutKind.REAM) is Tool.CARBIDE


def test_a_hand_reamer_has_no_spindle_speed() -> None:
    with pytest.raises(CuttingError, match="wrench") as caught:
        cutting_speed(Tool.HSS, CutKind.HAND_REAM, "a48-20")
    assert caught.value.field == "operation"
    with pytest.raises(CuttingError, match="wrench"):
        usual_feed(CutKind.HAND_REAM, 1, finishing=True)


def test_a_hand_stroke_and_a_strange_iron_are_refused() -> None:
    with pytest.raises(CuttingError, match="switch off") as caught:
        cutting_speed(Tool.HSS, CutKind.HAND, "a48-20")
    assert caught.value.field == "operation"
    with pytest.raises(CuttingError, match="choose one of the irons") as caught:
        cutting_speed(Tool.HSS, CutKind.TURN, "brass")
    assert caught.value.field == "iron"


@pytest.mark.parametrize(
    ("drill", "least"),
    [  # A naval training manual, from memory, verify (its number is unconfirmed): 0.001-0.002 to 1/8, 0.002-0.004 to 1/4,
        # 0.004-0.007 to 1/2, 0.007-0.015 to 1, 0.015-0.025 over
        (0.1, 0.001), (0.125, 0.001), (0.126, 0.002), (0.25, 0.002), (0.3, 0.004), (0.5, 0.004),
        (0.72, 0.007), (1.0, 0.007), (1.01, 0.015), (3.0, 0.015),
    ],
)  # fmt: skip
def test_drill_feeds_as_printed(drill: float, least: float) -> None:
    nm = round(drill * NM_PER_INCH)
    feed = usual_feed(CutKind.DRILL, nm, finishing=False)
    assert feed.nm == round(least * NM_PER_INCH)
    reaming = usual_feed(CutKind.REAM, nm, finishing=True)
    assert 2 * feed.nm <= reaming.nm <= 3 * feed.nm


def test_turning_feeds() -> None:
    assert usual_feed(CutKind.TURN, 1, finishing=True).nm == 101_600  # 0.004 in
    assert usual_feed(CutKind.FACE, 1, finishing=False).nm == 203_200  # 0.008 in
    assert usual_feed(CutKind.FORM, 1, finishing=True).nm < 101_600
    for kind, diameter, field in ((CutKind.HAND, 1, "operation"), (CutKind.DRILL, 0, "diameter")):
        with pytest.raises(CuttingError) as caught:
            usual_feed(kind, diameter, finishing=True)
        assert caught.value.field == field


@pytest.mark.parametrize("value", [0, -0.5, 0.09, 1.01, math.nan, math.inf])
def test_a_factor_slows_and_never_hurries(value: float) -> None:
    for name in ("interrupted", "chilled", "form"):
        figures = {"interrupted": 1.0, "chilled": 1.0, "form": 1.0, name: value}
        with pytest.raises(CuttingError, match="slowing factor") as caught:
            Factors(**figures)
        assert caught.value.field == f"{name}_factor"


def test_the_usual_factors_own_up_to_having_no_source() -> None:
    usual = usual_factors()
    assert (usual.interrupted, usual.chilled) == (0.7, 0.5)
    assert "no source" in usual.source
