"""The tread's profile: closed, smooth where it should be, true to its figures, and the table made of it."""

import math
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from domain.lengths import NM_PER_MM, Unit, parse_length
from domain.treads.profile import (
    Arc,
    EdgeBreak,
    Line,
    Profile,
    ProfileFigures,
    Segment,
    TreadError,
    figures_of,
    profile,
)
from domain.treads.table import TableOrigin, coordinates, form_angles
from domain.treads.wheel_standard import preset
from domain.treads.words import angles_words

FIVE = ProfileFigures(127_000_000, 12_827_000, 3_175_000, 3_556_000, 1_841_500, edge_break_nm=600_000)
IBLS = ["ibls-3.5", "ibls-4.75", "ibls-5", "ibls-7.25", "ibls-7.5", "gauge-1"]


class Joint(NamedTuple):
    """Where one part meets the next: how far apart, mm, how sharp the corner, degrees, and whether it is to be smooth."""

    before: str
    after: str
    gap_mm: float
    corner_deg: float
    smooth: bool


# The corners that are meant: everything else runs smoothly into its neighbour.
CORNERS = frozenset({"edge chamfer", "front face", "cut", "back face"})


def joints(made: Profile) -> list[Joint]:
    """Every place where two parts meet, the last with the first."""
    return [
        joint(before, after)
        for before, after in zip(made.segments, made.segments[1:] + made.segments[:1], strict=True)
    ]


def joint(before: Segment, after: Segment) -> Joint:
    gap = math.hypot(after.start.along_mm - before.end.along_mm, after.start.radius_mm - before.end.radius_mm)
    corner = (after.start_deg - before.end_deg + 180.0) % 360.0 - 180.0
    meant = before.name in CORNERS - {"back face"} or after.name in CORNERS
    # A rounded edge runs into the front face; a chamfer or a sharp edge makes a corner with it.
    smooth = not meant or (before.name == "edge radius" and after.name == "front face")
    return Joint(before.name, after.name, gap, corner, smooth)


@st.composite
def _figures(draw: st.DrawFn) -> ProfileFigures:
    """Figures that fit by construction: the root within half the depth, the flange within a third of the tyre."""
    width = draw(st.integers(4_000_000, 30_000_000))
    flange = draw(st.integers(width // 8, width // 3))
    depth = draw(st.integers(flange * 3 // 4, flange * 3 // 2))
    root = draw(st.integers(depth // 8, depth // 3))
    return ProfileFigures(
        draw(st.integers(30_000_000, 400_000_000)),
        width,
        flange,
        depth,
        root,
        draw(st.sampled_from([None, 20.0, 40.0, 16.0])),
        draw(st.integers(0, width // 12)),
        draw(st.sampled_from(EdgeBreak)),
        draw(st.one_of(st.none(), st.integers(depth // 50, depth // 10))),
        draw(st.sampled_from([0.0, 5.0, 10.0])),
    )


@settings(max_examples=80, deadline=None)
@given(_figures())
def test_closed_and_smooth_and_true_to_its_figures(figures: ProfileFigures) -> None:
    made = profile(figures)
    for joint in joints(made):
        assert joint.gap_mm < 1e-9
        if joint.smooth:
            assert abs(joint.corner_deg) < 1e-6, joint
        elif not (joint.before == "tread" and joint.after == "front face" and figures.cone is None):
            assert abs(joint.corner_deg) > 1
    tread = made.segment("tread")
    at = tread.at(tread.share_at(made.gauge_point.along_mm))  # type: ignore[union-attr]
    assert abs(2 * at.radius_mm - figures.tread_diameter_nm / NM_PER_MM) < 1e-9
    half_way = (figures.flange_width_nm + figures.tyre_width_nm) / 2 / NM_PER_MM
    assert made.gauge_point.along_mm == pytest.approx(half_way, abs=1e-12)
    before = made.figures.tyre_width_nm / NM_PER_MM - tread.end.along_mm
    # A radius meets a falling tread a little beyond its own centre.
    slant = math.sin(math.atan(1 / figures.cone)) if figures.cone else 0.0
    share = 1 - slant if figures.edge_break is EdgeBreak.RADIUS else 1
    assert before == pytest.approx(share * figures.edge_break_nm / NM_PER_MM, abs=1e-6)
    top = max(point.radius_mm for part in made.segments for point in (part.start, part.end))
    assert abs(top - (figures.tread_diameter_nm / 2 + figures.flange_depth_nm) / NM_PER_MM) < 1e-9
    assert abs(max(part.end.along_mm for part in made.segments) - figures.tyre_width_nm / NM_PER_MM) < 1e-9
    assert abs(_winding_area(made) - _quad_area(made)) < 2e-5 * _quad_area(made)


def _winding_area(made: Profile) -> float:
    """Area of the outline drawn as a fine polygon (shoelace); clockwise, so the sign is turned."""
    points = [part.at(share) for part in made.segments for share in np.arange(400) / 400]
    x = np.array([point.along_mm for point in points])
    y = np.array([point.radius_mm for point in points])
    return float(-(x * np.roll(y, -1) - y * np.roll(x, -1)).sum() / 2)


def _quad_area(made: Profile) -> float:
    """The same by integrating the height along the axle, part by part, written out without the parts' own sums."""
    foot = made.segment("cut").start.radius_mm
    area = 0.0
    for part in made.turned:
        low, high = part.start.along_mm, part.end.along_mm
        if isinstance(part, Line):
            area += (high - low) * ((part.start.radius_mm + part.end.radius_mm) / 2 - foot)
            continue
        up = 1 if part.clockwise else -1

        def height(x: float, part: Arc = part, up: int = up) -> float:
            inside = max(0.0, part.radius_mm**2 - (x - part.centre.along_mm) ** 2)
            return part.centre.radius_mm + up * math.sqrt(inside) - foot

        area += quad(height, low, high, epsabs=1e-10)[0]
    return area


@pytest.mark.parametrize("edge", EdgeBreak)
def test_directions_are_those_of_the_points_themselves(edge: EdgeBreak) -> None:
    """The smoothness is judged by the parts' own directions; here those are taken from close points instead."""
    for part in profile(replace(FIVE, edge_break=edge)).segments:
        for near, far, said in ((0.0, 1e-5, part.start_deg), (1 - 1e-5, 1.0, part.end_deg)):
            a, b = part.at(near), part.at(far)
            run = math.degrees(math.atan2(b.radius_mm - a.radius_mm, b.along_mm - a.along_mm))
            assert abs((run - said + 180) % 360 - 180) < 0.01, part.name


def test_joints_tell_corners_from_smooth_runs() -> None:
    sharp = {(one.before, one.after) for one in joints(profile(FIVE)) if not one.smooth}
    assert sharp == {
        ("tread", "edge chamfer"),
        ("edge chamfer", "front face"),
        ("front face", "cut"),
        ("cut", "back face"),
    }
    rounded = profile(replace(FIVE, edge_break=EdgeBreak.RADIUS))
    assert [one.after for one in joints(rounded) if not one.smooth] == ["cut", "back face"]
    assert "edge chamfer" not in [one.name for one in profile(replace(FIVE, edge_break_nm=0)).segments]


def test_cone_falls_one_in_twenty_towards_the_front() -> None:
    tread = profile(FIVE).segment("tread")
    fall = tread.start.radius_mm - tread.end.radius_mm
    assert fall > 0
    assert math.isclose(fall * 20, tread.end.along_mm - tread.start.along_mm, rel_tol=1e-12)
    straight = profile(replace(FIVE, cone=None)).segment("tread")
    assert straight.start.radius_mm == pytest.approx(straight.end.radius_mm, abs=1e-12)


# 1 in 20 is 2 degrees 51 minutes 45 seconds (any table of tapers: Machinery's Handbook, rules for figuring tapers).
def test_form_angles() -> None:
    angles = form_angles(20.0, 10.0)
    assert angles.top_slide_deg == pytest.approx(2 + 51 / 60 + 44.66 / 3600, abs=1e-5)
    assert angles.included_deg == pytest.approx(5.7248, abs=5e-5)
    assert "2.86 degrees" in angles_words(angles) and "80 degrees from the bed" in angles_words(angles)
    assert form_angles(None, 0.0).top_slide_deg == 0 and "straight" in angles_words(form_angles(None, 0.0))


@pytest.mark.parametrize("key", IBLS)
def test_every_printed_standard_with_its_own_flange_makes_a_profile(key: str) -> None:
    row = preset(key)
    made = profile(figures_of(row, 100 * NM_PER_MM))
    sizes = {one.name: one.nm for one in made.dimensions}
    assert sizes["flange width"] == row.flange_width_nm and sizes["flange depth"] == row.flange_depth_nm
    assert row.root_radius is not None
    assert row.root_radius.nm <= sizes["root radius"] <= (row.root_radius.high_nm or 10**9)
    for one in made.dimensions:
        length = math.hypot(one.end.along_mm - one.start.along_mm, one.end.radius_mm - one.start.radius_mm)
        half = 2 if one.name == "tread diameter" else 1
        assert half * length == pytest.approx(one.nm / NM_PER_MM, abs=1e-6), one


def test_a_standard_without_flange_or_root_asks_for_them() -> None:
    row = preset("nmra-1-in-scale")
    with pytest.raises(TreadError, match="no flange width") as told:
        figures_of(row, 100 * NM_PER_MM)
    assert told.value.field == "flange_width"
    flange, root = parse_length("0.125", Unit.INCH).nm, parse_length("0.062", Unit.INCH).nm
    with pytest.raises(TreadError, match="no root radius"):
        figures_of(row, 100 * NM_PER_MM, flange_width_nm=flange)
    assert profile(figures_of(row, 100 * NM_PER_MM, flange_width_nm=flange, root_radius_nm=root)).segments


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"tread_diameter_nm": 0}, "tread_diameter"),
        ({"tyre_width_nm": -1}, "tyre_width"),
        ({"flange_width_nm": 0}, "flange_width"),
        ({"flange_width_nm": 12_827_000}, "flange_width"),
        ({"flange_depth_nm": 64_000_000}, "flange_depth"),
        ({"root_radius_nm": 5_000_000}, "root_radius"),
        ({"root_radius_nm": 0}, "root_radius"),
        ({"tyre_width_nm": 4_500_000}, "tyre_width"),
        ({"edge_break_nm": 9_000_000}, "tyre_width"),
        ({"edge_break_nm": -1}, "edge_break"),
        ({"cone": 0.0}, "cone"),
        ({"cone": math.nan}, "cone"),
        ({"flange_face_deg": 46.0}, "flange_face_deg"),
        ({"flange_face_deg": 44.0, "flange_width_nm": 2_000_000, "root_radius_nm": 500_000}, "flange_width"),
        ({"flange_tip_radius_nm": 3_000_000}, "flange_tip_radius"),
        ({"flange_tip_radius_nm": 0}, "flange_tip_radius"),
        ({"rim_depth_nm": 1}, "rim_depth"),
        ({"rim_depth_nm": 63_500_000}, "rim_depth"),
    ],
)
def test_what_does_not_fit_is_one_sentence(change: dict[str, object], field: str) -> None:
    with pytest.raises(TreadError) as told:
        profile(replace(FIVE, **change))  # type: ignore[arg-type]
    assert told.value.field == field
    assert str(told.value).endswith(".") and "\n" not in str(told.value)


def _off(made: Profile, along_mm: float, radius_mm: float) -> float:
    """Distance of a point from the nearest part, by plain geometry."""
    best = math.inf
    for part in made.turned:
        if isinstance(part, Arc):
            out = math.hypot(along_mm - part.centre.along_mm, radius_mm - part.centre.radius_mm)
            off = abs(out - part.radius_mm)
        else:
            run, rise = part.end.along_mm - part.start.along_mm, part.end.radius_mm - part.start.radius_mm
            off = abs(run * (radius_mm - part.start.radius_mm) - rise * (along_mm - part.start.along_mm))
            off /= math.hypot(run, rise)
        best = min(best, off)
    return best


@settings(max_examples=25, deadline=None)
@given(_figures(), st.sampled_from(TableOrigin), st.integers(200_000, 2_000_000))
def test_table_points_lie_on_the_profile(figures: ProfileFigures, origin: TableOrigin, step: int) -> None:
    made = profile(figures)
    zero = {"back face": 0.0, "gauge point": made.gauge_point.along_mm}.get(
        origin, figures.tyre_width_nm / NM_PER_MM
    )
    way = -1 if origin is TableOrigin.FRONT_FACE else 1
    for rows in (
        coordinates(made, step_nm=step, origin=origin),
        coordinates(made, chord_nm=5_000, origin=origin),
    ):
        for row in rows:
            assert abs(row.diameter_nm - 2 * row.radius_nm) <= 1
            assert _off(made, zero + way * row.along_nm / NM_PER_MM, row.radius_nm / NM_PER_MM) < 2e-6
        along = [way * row.along_nm for row in rows]
        # Two places nearer than a nanometre may be rounded past each other.
        assert all(later - earlier >= -1 for earlier, later in pairwise(along))
        assert rows[0].part == "back of flange tip"
        assert abs(round(zero * NM_PER_MM) + along[-1] - figures.tyre_width_nm) <= 1
    stepped = coordinates(made, step_nm=step, origin=origin)
    inside = {row.along_nm for row in stepped if row.along_nm % step == 0}
    wanted = {
        round(number * step)
        for number in range(-200, 201)
        if 1 < way * number * step + zero * NM_PER_MM < figures.tyre_width_nm - 1
    }
    assert wanted <= inside


@pytest.mark.parametrize("chord", [1_000, 10_000, 100_000])
def test_chord_tolerance_is_kept_and_not_wasted(chord: int) -> None:
    made = profile(FIVE)
    rows = coordinates(made, chord_nm=chord)
    worst = 0.0
    for part in (one for one in made.turned if isinstance(one, Arc)):
        count = sum(row.part == part.name for row in rows)
        for step in range(count):
            a, b = part.at(step / count), part.at((step + 1) / count)
            middle = ((a.along_mm + b.along_mm) / 2, (a.radius_mm + b.radius_mm) / 2)
            out = math.hypot(middle[0] - part.centre.along_mm, middle[1] - part.centre.radius_mm)
            worst = max(worst, part.radius_mm - out)
    assert chord / 4 / NM_PER_MM < worst <= chord / NM_PER_MM + 1e-9


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({}, "step"),
        ({"step_nm": 1000, "chord_nm": 1000}, "step"),
        ({"step_nm": 0}, "step"),
        ({"chord_nm": -5}, "chord"),
        ({"step_nm": 10}, "step"),
        ({"chord_nm": 0}, "chord"),
        ({"step_nm": 12_000}, "step"),
    ],
)
def test_a_table_nobody_could_use_is_refused(asked: dict[str, int], field: str) -> None:
    with pytest.raises(TreadError) as told:
        coordinates(profile(FIVE), **asked)  # type: ignore[arg-type]
    assert told.value.field == field
