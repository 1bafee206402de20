"""Balance of an axle: a published example, the forces summed over a whole turn, and what symmetry demands."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from domain.balance.axle import (
    BalanceCase,
    CrankLine,
    Matters,
    Revolving,
    balance_axle,
    crank_lines,
    force_n,
    nearer_than_wheels,
    turns_per_minute,
)
from domain.balance.figures import BalanceError, mass, percent, speed
from domain.balance.words import narrow_words, verdict_words, wheel_words
from domain.cranks.cylinders import Side, crank_angles
from domain.lengths import Unit

M = 1_000_000_000  # nm in a metre
MM = 1_000_000


def book():
    """Khurmi & Gupta, Theory of Machines, example 22.1: cylinders 0.7 m apart, wheels 1.5 m apart, 300 rpm."""
    cranks = (
        CrankLine(Side.LEFT, -350 * MM, 0.0, 300 * MM, 150_000.0, 180_000.0),
        CrankLine(Side.RIGHT, 350 * MM, 90.0, 300 * MM, 150_000.0, 180_000.0),
    )
    # Any tread will do: the speed is the one at which it turns 300 times a minute.
    tread = 1_800 * MM
    return BalanceCase(cranks, 2 / 3, -750 * MM, 750 * MM, 600 * MM, math.pi * 1.8 * 5, tread)


def test_the_books_example():
    # Khurmi & Gupta, example 22.1: 105 kg at 200 and 250 degrees, 27 602 N, 25 127 N, 8797 N m. The book rounds:
    # 0.5 % of each is allowed for that.
    done = balance_axle(book(), Unit.MM)
    assert done.rpm == pytest.approx(300, rel=1e-12)
    for wheel, angle in ((done.left, 200), (done.right, 250)):
        assert wheel.mass_g == pytest.approx(105_000, rel=0.005)
        assert wheel.angle_deg == pytest.approx(angle, abs=0.5)
        assert wheel.hammer_n == pytest.approx(27_602, rel=0.005)
    assert done.tractive_n == pytest.approx(25_127, rel=0.005)
    assert done.swaying_nm == pytest.approx(8_797, rel=0.005)


def test_the_books_example_worked_exactly():
    # The same by hand without rounding: m r = 270 x 0.3 kg m, planes 0.4 and 1.1 of 1.5 m from the left wheel.
    done = balance_axle(book(), Unit.MM)
    exact = 81.0 * math.hypot(0.4, 1.1) / 1.5 / 0.6
    assert done.right.mass_g == pytest.approx(1000 * exact, rel=1e-12)
    omega = 2 * math.pi * 5
    assert done.left.hammer_n == pytest.approx(exact * (120 / 270) * 0.6 * omega**2, rel=1e-12)
    assert done.tractive_n == pytest.approx(math.sqrt(2) / 3 * 180 * 0.3 * omega**2, rel=1e-12)
    assert done.swaying_nm == pytest.approx(0.7 / math.sqrt(2) / 3 * 180 * 0.3 * omega**2, rel=1e-12)
    assert done.right.from_opposite_deg == pytest.approx(-math.degrees(math.atan(4 / 11)), abs=1e-9)
    assert done.left.from_opposite_deg == pytest.approx(math.degrees(math.atan(4 / 11)), abs=1e-9)


masses = st.floats(0, 500)
angles = st.floats(-720, 720)


@st.composite
def cases(draw):
    sides = draw(st.sampled_from([(Side.RIGHT,), (Side.RIGHT, Side.LEFT), tuple(Side)]))
    cranks = tuple(
        CrankLine(
            side,
            draw(st.integers(-120, 120)) * MM,
            draw(angles),
            draw(st.integers(5, 60)) * MM,
            draw(masses),
            draw(masses),
        )
        for side in sides
    )
    others = tuple(
        Revolving("eccentric", draw(st.integers(-60, 60)) * MM, draw(angles), 8 * MM, draw(masses))
        for _ in range(draw(st.integers(0, 3)))
    )
    return BalanceCase(
        cranks,
        draw(st.floats(0, 1)),
        draw(st.integers(-90, -30)) * MM,
        draw(st.integers(30, 90)) * MM,
        draw(st.integers(10, 60)) * MM,
        draw(st.floats(0.1, 8)),
        draw(st.integers(60, 400)) * MM,
        draw(st.floats(10, 900)),
        others,
    )


def amplitude(values):
    """The size of a sine wave sampled evenly over one turn."""
    return 2 * abs(np.fft.rfft(values)[1]) / len(values)


@settings(max_examples=60, deadline=None)
@given(cases())
def test_forces_summed_over_a_turn(case):
    # Every mass by itself, at 64 places of a turn: what goes round pulls along and up, what goes to and fro along only.
    done = balance_axle(case, Unit.MM)
    omega = case.speed_m_s / (case.tread_diameter_nm * 1e-9 / 2)
    theta = np.arange(64) * 2 * np.pi / 64

    def pull(grams, radius_nm, angle_deg):
        size = grams * 1e-3 * radius_nm * 1e-9 * omega**2
        turned = theta + math.radians(angle_deg)
        return size * np.cos(turned), size * np.sin(turned)

    along, up, sway, roll = (np.zeros(64) for _ in range(4))
    rotating = [(c.plane_nm, c.rotating_g, c.throw_nm, c.angle_deg) for c in case.cranks]
    rotating += [(o.plane_nm, o.mass_g, o.radius_nm, o.angle_deg) for o in case.others]
    rotating += [
        (case.left_plane_nm, done.left.mass_g, case.radius_nm, done.left.angle_deg),
        (case.right_plane_nm, done.right.mass_g, case.radius_nm, done.right.angle_deg),
    ]
    for plane, grams, radius, angle in rotating:
        x, z = pull(grams, radius, angle)
        along, up = along + x, up + z
        sway, roll = sway + x * plane * 1e-9, roll + z * plane * 1e-9
    size = 1e-9 + sum(
        np.abs(pull(c.rotating_g + c.reciprocating_g, c.throw_nm, 0)[0]).max() for c in case.cranks
    )
    size += sum(np.abs(pull(o.mass_g, o.radius_nm, 0)[0]).max() for o in case.others)
    for c in case.cranks:
        x, _ = pull(c.reciprocating_g, c.throw_nm, c.angle_deg)
        along, sway = along + x, sway + x * c.plane_nm * 1e-9
    assert amplitude(along) == pytest.approx(done.tractive_n, abs=1e-9 * size)
    assert amplitude(sway) == pytest.approx(done.swaying_nm, abs=1e-9 * size)
    # What is left up and down is the hammer blow of both wheels together; split it over the wheels' planes.
    left, right = case.left_plane_nm * 1e-9, case.right_plane_nm * 1e-9
    on_right = (roll - left * up) / (right - left)
    assert amplitude(on_right) == pytest.approx(done.right.hammer_n, abs=1e-7 * size)
    assert amplitude(up - on_right) == pytest.approx(done.left.hammer_n, abs=1e-7 * size)


def turned(case, by):
    return replace(
        case,
        cranks=tuple(replace(c, angle_deg=c.angle_deg + by) for c in case.cranks),
        others=tuple(replace(o, angle_deg=o.angle_deg + by) for o in case.others),
    )


def close_angles(one, two, moment):
    return moment < 1e-3 or abs(math.remainder(one - two, 360.0)) < 1e-6


@settings(max_examples=40, deadline=None)
@given(cases(), st.floats(-360, 360))
def test_turning_all_angles_turns_the_weights_and_nothing_else(case, by):
    before, after = balance_axle(case, Unit.MM), balance_axle(turned(case, by), Unit.MM)
    for one, two in ((before.left, after.left), (before.right, after.right)):
        assume(one.moment_gmm > 1e-2 or one.moment_gmm == 0)
        assert two.mass_g == pytest.approx(one.mass_g, rel=1e-6, abs=1e-6)
        assert close_angles(two.angle_deg, one.angle_deg + by, one.moment_gmm)
        assert two.hammer_n == pytest.approx(one.hammer_n, rel=1e-6, abs=1e-9)
    assert after.tractive_n == pytest.approx(before.tractive_n, rel=1e-6, abs=1e-9)
    assert after.swaying_nm == pytest.approx(before.swaying_nm, rel=1e-6, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(cases())
def test_mirroring_the_engine_swaps_the_wheels(case):
    swap = {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT, Side.INSIDE: Side.INSIDE}
    mirrored = replace(
        case,
        cranks=tuple(replace(c, side=swap[c.side], plane_nm=-c.plane_nm) for c in case.cranks),
        others=tuple(replace(o, plane_nm=-o.plane_nm) for o in case.others),
        left_plane_nm=-case.right_plane_nm,
        right_plane_nm=-case.left_plane_nm,
    )
    one, two = balance_axle(case, Unit.MM), balance_axle(mirrored, Unit.MM)
    for here, there in ((one.left, two.right), (one.right, two.left)):
        assert there.mass_g == pytest.approx(here.mass_g, rel=1e-9, abs=1e-6)
        assert close_angles(there.angle_deg, here.angle_deg, here.moment_gmm)
        assert there.hammer_n == pytest.approx(here.hammer_n, rel=1e-9, abs=1e-9)
    assert two.swaying_nm == pytest.approx(one.swaying_nm, rel=1e-9, abs=1e-9)


def test_three_like_cylinders_do_not_vary_the_pull():
    planes = {Side.RIGHT: 60 * MM, Side.LEFT: -60 * MM, Side.INSIDE: 0}
    cranks = crank_lines(crank_angles(3, Side.RIGHT), planes, 22 * MM, 90.0, 120.0)
    case = replace(book(), cranks=cranks, left_plane_nm=-40 * MM, right_plane_nm=40 * MM, radius_nm=30 * MM)
    done = balance_axle(case, Unit.MM)
    assert done.tractive_n == pytest.approx(0, abs=1e-6)
    # Two vectors 120 degrees apart, 60 mm either side: their difference is sqrt3 of one.
    omega = 2 * math.pi * 5
    assert done.swaying_nm == pytest.approx(math.sqrt(3) * 0.060 * 0.040 * 0.022 * omega**2, rel=1e-9)


def test_sharing_the_reciprocating_part_over_axles_shares_the_hammer_blow():
    one = balance_axle(book(), Unit.MM)
    three = balance_axle(replace(book(), axles_sharing=3), Unit.MM)
    assert three.left.hammer_n == pytest.approx(one.left.hammer_n / 3, rel=1e-12)
    assert three.tractive_n == pytest.approx(one.tractive_n, rel=1e-12)


def model(load=90.0, v=1.5, **changes):
    """An invented model: two cylinders, 22.225 mm throw."""
    planes = {Side.RIGHT: 62 * MM, Side.LEFT: -62 * MM}
    cranks = crank_lines(crank_angles(2, Side.RIGHT), planes, 22_225_000, 60.0, 140.0)
    case = BalanceCase(cranks, 0.5, -45 * MM, 45 * MM, 32 * MM, v, 120 * MM, load)
    return replace(case, **changes)


def verdict(case):
    return verdict_words(case, balance_axle(case, Unit.MM), Unit.MM)


def said(case, side):
    done = balance_axle(case, Unit.MM)
    return wheel_words(done.left if side is Side.LEFT else done.right, case.radius_nm, Unit.MM)


def test_whether_it_matters_goes_by_the_load_on_the_wheel():
    slow = balance_axle(model(v=0.5), Unit.MM)
    assert slow.matters is Matters.NO
    words = verdict(model(v=0.5))
    assert words.startswith("At model speeds this does not matter: at 0.50 m/s (1.8 km/h, 1.1 mph)")
    assert "up to 2.0 % is let pass" in words
    quick = balance_axle(model(v=4.0), Unit.MM)
    assert quick.matters is Matters.YES
    assert "it matters" in verdict(model(v=4.0))
    assert balance_axle(model(load=None), Unit.MM).matters is Matters.CANNOT_TELL
    assert "type the load on one wheel" in verdict(model(load=None))
    # The limit is the builder's: the same engine passes once more is let pass.
    assert balance_axle(model(v=4.0, matters_from=0.9), Unit.MM).matters is Matters.NO


def test_it_does_not_matter_just_up_to_the_limit():
    worst = balance_axle(model(v=1.0), Unit.MM).left.bare_n
    assert balance_axle(model(v=1.0, load=worst / 0.02 * 1.0001), Unit.MM).matters is Matters.NO
    assert balance_axle(model(v=1.0, load=worst / 0.02 * 0.9999), Unit.MM).matters is Matters.YES


def test_the_speed_at_which_the_wheel_lifts():
    at = balance_axle(model(), Unit.MM).lifting_m_s
    assert balance_axle(model(v=at), Unit.MM).left.hammer_n == pytest.approx(90.0, rel=1e-9)
    assert balance_axle(model(v=at * 0.999), Unit.MM).matters is Matters.YES
    lifts = balance_axle(model(v=at * 1.001), Unit.MM)
    assert lifts.matters is Matters.LIFTS
    assert "it leaves the rail once a turn" in verdict(model(v=at * 1.001))
    assert balance_axle(model(share=0.0), Unit.MM).lifting_m_s is None


def test_words_of_a_wheel_say_where_the_weight_goes():
    # By hand: with planes 62 and 45 mm out, a crank counts (62 + 45)/90 in the near wheel and (45 - 62)/90 in the far
    # one, a quarter turn away: atan(17/107) = 9.03 degrees. The right crank leads, so the left weight goes behind.
    assert said(model(), Side.LEFT).endswith(
        "9.0 degrees behind straight opposite its crankpin (running forwards)."
    )
    assert said(model(), Side.RIGHT).endswith(
        "9.0 degrees ahead of straight opposite its crankpin (running forwards)."
    )
    one = (CrankLine(Side.RIGHT, 45 * MM, 10.0, 22 * MM, 50.0, 0.0),)
    assert said(model(cranks=one), Side.RIGHT).endswith(", straight opposite its crankpin.")
    nothing = CrankLine(Side.RIGHT, 60 * MM, 0.0, 22 * MM, 0.0, 0.0)
    assert said(model(cranks=(nothing,)), Side.RIGHT) == "Right wheel: it needs no weight."


def test_every_figure_has_its_working():
    done = balance_axle(model(), Unit.INCH)
    assert [working.name for working in done.workings] == [
        "turns a minute",
        "left weight",
        "left hammer blow",
        "left share of the load",
        "right weight",
        "right hammer blow",
        "right share of the load",
        "variation of the pull",
        "swaying couple",
    ]
    assert all(w.formula and w.numbers and w.result and w.source for w in done.workings)
    assert f"{done.left.hammer_n:.4g} N" in done.workings[2].result


def test_small_helpers():
    # 1 lb is 453.592 37 g, 1 mile 1609.344 m, exactly (international yard and pound agreement, 1959).
    assert mass(453.59237, Unit.INCH) == "16 oz (453.6 g)"
    assert speed(1609.344 / 360).endswith("10.0 mph)")
    assert percent(0.005) == "0.50 %"
    # 1 kg at 1 m and 1 rad/s is 1 N.
    assert force_n(1e6, 60 / (2 * math.pi)) == pytest.approx(1.0, rel=1e-12)
    assert turns_per_minute(0.0, 120 * MM) == 0.0


LEFT = model().cranks[1]


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"cranks": ()}, "cranks"),
        ({"cranks": (LEFT, LEFT)}, "cranks"),
        ({"cranks": (replace(LEFT, throw_nm=0),)}, "throw"),
        ({"cranks": (replace(LEFT, rotating_g=-1.0),)}, "rotating"),
        ({"cranks": (replace(LEFT, reciprocating_g=math.nan),)}, "reciprocating"),
        ({"cranks": (replace(LEFT, angle_deg=math.inf),)}, "angle"),
        ({"others": (Revolving("pump", 0, 0.0, 5, -1.0),)}, "mass"),
        ({"others": (Revolving("pump", 0, 0.0, -5, 1.0),)}, "radius"),
        ({"others": (Revolving("pump", 0, math.nan, 5, 1.0),)}, "angle"),
        ({"share": 66.0}, "share"),
        ({"left_plane_nm": 45 * MM}, "planes"),
        ({"radius_nm": 0}, "balance_radius"),
        ({"speed_m_s": -1.0}, "speed"),
        ({"tread_diameter_nm": 0}, "tread"),
        ({"wheel_load_n": 0.0}, "wheel_load"),
        ({"axles_sharing": 0}, "axles_sharing"),
        ({"matters_from": 2.0}, "matters_from"),
    ],
)
def test_impossible_figures_are_refused_in_a_sentence(changes, field):
    with pytest.raises(BalanceError) as caught:
        balance_axle(model(**changes), Unit.MM)
    assert caught.value.field == field
    assert str(caught.value).endswith(".") and len(str(caught.value)) > 30


def test_a_cylinder_without_a_plane_is_asked_for():
    with pytest.raises(BalanceError, match="how far the left cylinder is"):
        crank_lines(crank_angles(2, Side.RIGHT), {Side.RIGHT: 60 * MM}, 22 * MM, 1.0, 1.0)


def test_cylinders_nearer_together_than_the_wheels_are_said_to_be_taken_for_inside_ones():
    # 4.687 in back to back and two tyres of 0.505 in: 5.697 in over the outer faces.
    back, tyre = round(4.687 * 25.4 * MM), round(0.505 * 25.4 * MM)
    apart = round(4.75 * 25.4 * MM)
    faces = nearer_than_wheels(apart, back, tyre)
    assert faces is not None
    words = narrow_words(apart, faces, Unit.INCH)
    assert "5.6970 in" in words and "4.7500 in" in words and "taken as typed" in words
    assert nearer_than_wheels(back + 2 * tyre - 1, back, tyre) is not None
    assert nearer_than_wheels(back + 2 * tyre, back, tyre) is None
    assert nearer_than_wheels(round(6.5 * 25.4 * MM), back, tyre) is None
    for sizes, field in (
        ((0, 1, 1), "cylinder_planes"),
        ((1, 0, 1), "weight_planes"),
        ((1, 1, 0), "weight_planes"),
    ):
        with pytest.raises(BalanceError) as caught:
            nearer_than_wheels(*sizes)
        assert caught.value.field == field


def test_what_the_note_says_of_the_direction():
    # Cylinders between the weights: the right weight falls behind straight opposite; beyond them, it is ahead.
    def off(plane):
        planes = {Side.RIGHT: plane * MM, Side.LEFT: -plane * MM}
        cranks = crank_lines(crank_angles(2, Side.RIGHT), planes, 22 * MM, 90.0, 120.0)
        return balance_axle(
            BalanceCase(cranks, 0.5, -60 * MM, 60 * MM, 30 * MM, 1.0, 110 * MM), Unit.MM
        ).right.from_opposite_deg

    assert off(50) < 0 < off(70) and abs(off(60)) < 1e-9
