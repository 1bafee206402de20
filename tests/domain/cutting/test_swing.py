"""Will it swing? Checked by geometry: corners of real shapes turned round an axis, and what must always hold."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.cutting.speeds import CuttingError
from domain.cutting.swing import (
    Grips,
    JawReach,
    Jaws,
    Swing,
    SwingAnswer,
    SwingChuck,
    SwingLathe,
    SwingSetUp,
    will_it_swing,
)
from domain.cutting.words import swing_cautions, swing_words
from domain.lengths import Unit

MM = 1_000_000
LATHE = SwingLathe(89 * MM)
GAPPED = SwingLathe(89 * MM, 120 * MM, 110 * MM)
CHUCK = SwingChuck(125 * MM, 60 * MM, JawReach(50 * MM, 6 * MM), JawReach(12 * MM, 0), 54 * MM)
HELD = SwingSetUp(Jaws.REVERSED, Grips.OUTSIDE, 90 * MM, 96 * MM)

mm = st.integers(1, 200).map(lambda whole: whole * MM)
ways = st.sampled_from(Jaws)
grips = st.sampled_from(Grips)


def ask(lathe: SwingLathe = LATHE, chuck: SwingChuck = CHUCK, set_up: SwingSetUp = HELD) -> Swing:
    return will_it_swing(lathe, chuck, set_up, Unit.MM)


def test_the_chuck_stands_out_furthest() -> None:
    # By hand: work 48, jaws 45 + 12 = 57, body 62.5 mm; 89 - 62.5 = 26.5 mm.
    swing = ask()
    assert (swing.answer, swing.furthest) == (SwingAnswer.YES, "the chuck")
    assert (swing.largest_radius_nm, swing.clearance_nm) == (62_500_000, 26_500_000)
    assert not swing.barely
    assert swing_words(swing, Unit.MM) == (
        "It swings: the chuck stands out furthest, 62.500 mm (2.4606 in) from the axis,"
        " 26.500 mm (1.0433 in) clear of the bed."
    )


def test_jaws_the_other_way_round_foul() -> None:
    # 45 + 50 = 95 mm, 6 mm below the bed.
    swing = ask(set_up=replace(HELD, jaws=Jaws.NORMAL))
    assert (swing.answer, swing.furthest, swing.clearance_nm) == (SwingAnswer.NO, "the jaws", -6 * MM)
    assert "6.000 mm (0.2362 in) too far for the bed. Do not mount it" in swing_words(swing, Unit.MM)


def test_the_work_fouls() -> None:
    swing = ask(set_up=replace(HELD, work_nm=180 * MM))
    assert (swing.answer, swing.furthest, swing.clearance_nm) == (SwingAnswer.NO, "the work", -1 * MM)


def test_what_just_touches_does_not_clear() -> None:
    swing = ask(set_up=replace(HELD, work_nm=178 * MM))
    assert (swing.answer, swing.clearance_nm) == (SwingAnswer.NO, 0)
    assert "it touches" in swing_words(swing, Unit.MM)


@pytest.mark.parametrize(("work_mm", "barely"), [(174, False), (175, True), (177, True)])
def test_less_than_two_millimetres_is_barely(work_mm: int, barely: bool) -> None:
    swing = ask(set_up=replace(HELD, work_nm=work_mm * MM))
    assert swing.answer is SwingAnswer.YES
    assert swing.barely is barely
    assert ("Barely: turn it by hand first." in swing_words(swing, Unit.MM)) is barely
    assert ("less than 2 mm" in swing_cautions(swing)[0]) is barely


def test_gripped_inside_the_jaws_reach_is_the_inside_one() -> None:
    # 70 / 2 + 6 = 41 mm, less than the work's 48 mm and the body's 62.5 mm.
    set_up = SwingSetUp(Jaws.NORMAL, Grips.INSIDE, 70 * MM, 96 * MM)
    small = replace(CHUCK, body_nm=80 * MM)
    swing = ask(chuck=small, set_up=set_up)
    assert (swing.furthest, swing.largest_radius_nm) == ("the work", 48 * MM)
    assert swing.workings[0].result == "41.000 mm (1.6142 in)"


def test_only_in_the_gap() -> None:
    # 190 / 2 = 95 > 89, 120 - 95 = 25 mm; 60 + 40 = 100 <= 110 mm along the bed.
    swing = ask(GAPPED, set_up=replace(HELD, work_nm=190 * MM, along_nm=40 * MM))
    assert (swing.answer, swing.clearance_nm) == (SwingAnswer.ONLY_IN_GAP, 25 * MM)
    assert "Take the gap piece out first." in swing_words(swing, Unit.MM)
    assert swing.workings[-2].result == "10.000 mm (0.3937 in)"


def test_the_gap_just_long_enough_and_just_too_short() -> None:
    large = replace(HELD, work_nm=190 * MM)
    assert ask(GAPPED, set_up=replace(large, along_nm=50 * MM)).answer is SwingAnswer.ONLY_IN_GAP
    short = ask(GAPPED, set_up=replace(large, along_nm=51 * MM))
    assert (short.answer, short.clearance_nm) == (SwingAnswer.NO, -6 * MM)
    assert "the gap is 1.000 mm (0.0394 in) too short" in swing_words(short, Unit.MM)


def test_too_large_for_the_gap_too() -> None:
    swing = ask(GAPPED, set_up=replace(HELD, work_nm=244 * MM, along_nm=40 * MM))
    assert (swing.answer, swing.clearance_nm) == (SwingAnswer.NO, -2 * MM)
    assert "too far for the gap too" in swing_words(swing, Unit.MM)
    assert "it touches" in swing_words(ask(GAPPED, set_up=replace(HELD, work_nm=240 * MM)), Unit.MM)


def test_a_chuck_too_large_for_the_bed_needs_only_its_own_depth_of_gap() -> None:
    large = replace(CHUCK, body_nm=200 * MM)
    swing = ask(GAPPED, chuck=large)
    assert (swing.answer, swing.furthest, swing.clearance_nm) == (
        SwingAnswer.ONLY_IN_GAP,
        "the chuck",
        20 * MM,
    )
    assert ask(GAPPED, chuck=replace(large, depth_nm=111 * MM)).answer is SwingAnswer.NO


def test_a_gap_that_is_not_needed_is_not_asked_about() -> None:
    assert ask(GAPPED).answer is SwingAnswer.YES


def test_a_third_of_a_jaw_out_of_the_body() -> None:
    # A jaw 54 mm long may stand 18 mm out: radius 62.5 + 18 = 80.5 mm, reach 12, so held 137 mm.
    for held_mm, too_far in ((137, False), (138, True)):
        swing = ask(set_up=replace(HELD, held_nm=held_mm * MM, work_nm=140 * MM))
        assert swing.jaws_too_far_out is too_far
        assert ("More than one third" in swing_cautions(swing)[0]) is too_far
    assert ask(chuck=replace(CHUCK, jaw_length_nm=None)).jaws_too_far_out is None


def test_cautions_are_always_there() -> None:
    for swing in (ask(), ask(set_up=replace(HELD, work_nm=180 * MM))):
        for word in ("Chuck key out", "by hand through one whole turn", "cross-slide", "one third"):
            assert any(word in caution for caution in swing_cautions(swing)), word


@given(mm, mm, mm, mm, mm, ways, grips)
def test_by_corners_turned_round_the_axis(
    height: int, body: int, held: int, reach: int, work: int, jaws: Jaws, grip: Grips
) -> None:
    work = held + work  # the work is larger than where it is held
    way = JawReach(reach, reach)
    swing = ask(SwingLathe(height), SwingChuck(body, MM, way, way), SwingSetUp(jaws, grip, held, work))
    # Four jaw ends and the rims of work and body, turned a degree at a time: the lowest against the bed.
    points = [(held / 2 + reach, 90.0 * jaw) for jaw in range(4)] + [(work / 2, 0.0), (body / 2, 0.0)]
    lowest = min(
        radius * math.sin(math.radians(angle + turn)) for radius, angle in points for turn in range(360)
    )
    assert swing.clearance_nm == pytest.approx(height + lowest, abs=1)
    assert (swing.answer is SwingAnswer.YES) == (height + lowest > 0.5)


@given(mm, mm, mm, mm, mm, ways, grips)
def test_larger_work_never_has_more_room(
    height: int, held: int, work: int, more: int, reach: int, jaws: Jaws, grip: Grips
) -> None:
    way = JawReach(reach, reach)
    chuck = SwingChuck(100 * MM, 60 * MM, way, way)
    lathe = SwingLathe(height)
    small = SwingSetUp(jaws, grip, held, held + work)
    first, second = ask(lathe, chuck, small), ask(lathe, chuck, replace(small, work_nm=held + work + more))
    assert second.clearance_nm <= first.clearance_nm
    assert not (second.answer is SwingAnswer.YES and first.answer is SwingAnswer.NO)


@given(mm, mm, mm, mm, grips)
def test_a_gap_never_makes_it_worse(height: int, deeper: int, work: int, along: int, grip: Grips) -> None:
    set_up = SwingSetUp(Jaws.REVERSED, grip, 10 * MM, 10 * MM + work, along)
    without = ask(SwingLathe(height), set_up=set_up)
    gapped = ask(SwingLathe(height, height + deeper, 110 * MM), set_up=set_up)
    if without.answer is SwingAnswer.YES:
        assert gapped == replace(without, workings=gapped.workings)
    else:
        assert gapped.answer is not SwingAnswer.YES


@given(mm, mm, mm, mm, mm, grips)
def test_reversed_jaws_of_a_chuck_turned_end_for_end_are_the_normal_ones(
    height: int, held: int, work: int, first: int, second: int, grip: Grips
) -> None:
    chuck = SwingChuck(100 * MM, 60 * MM, JawReach(first, second), JawReach(second, first))
    swapped = replace(chuck, normal=chuck.reversed, reversed=chuck.normal)
    lathe = SwingLathe(height)
    set_up = SwingSetUp(Jaws.NORMAL, grip, held, held + work)
    assert ask(lathe, chuck, set_up) == ask(lathe, swapped, replace(set_up, jaws=Jaws.REVERSED))


def test_half_a_nanometre_goes_to_the_larger_radius() -> None:
    assert ask(set_up=replace(HELD, work_nm=160 * MM + 1)).largest_radius_nm == 80 * MM + 1


@pytest.mark.parametrize(
    ("lathe", "chuck", "set_up", "field", "says"),
    [
        (SwingLathe(0), CHUCK, HELD, "centre_height", "no centre height"),
        (SwingLathe(89 * MM, 89 * MM, 110 * MM), CHUCK, HELD, "gap_radius", "deeper than the bed"),
        (SwingLathe(89 * MM, None, 110 * MM), CHUCK, HELD, "gap_radius", "deeper than the bed"),
        (SwingLathe(89 * MM, 120 * MM), CHUCK, HELD, "gap_width", "no length"),
        (SwingLathe(89 * MM, 120 * MM, 0), CHUCK, HELD, "gap_width", "no length"),
        (LATHE, replace(CHUCK, body_nm=0), HELD, "body", "no size"),
        (LATHE, replace(CHUCK, depth_nm=0), HELD, "depth", "no depth"),
        (LATHE, replace(CHUCK, jaw_length_nm=0), HELD, "jaw_length", "no length"),
        (
            LATHE,
            replace(CHUCK, reversed=JawReach()),
            HELD,
            "jaw_reach",
            "reversed jaws .* outside is not known",
        ),
        (LATHE, replace(CHUCK, reversed=JawReach(-1)), HELD, "jaw_reach", "below nothing"),
        (LATHE, CHUCK, replace(HELD, held_nm=0), "held", "cannot be nothing"),
        (LATHE, CHUCK, replace(HELD, work_nm=0), "work", "no size"),
        (LATHE, CHUCK, replace(HELD, work_nm=90 * MM - 1), "work", "cannot be less"),
        (LATHE, CHUCK, replace(HELD, grips=Grips.INSIDE, work_nm=90 * MM), "work", "must be more"),
        (LATHE, CHUCK, replace(HELD, along_nm=-1), "along", "below nothing"),
        (GAPPED, CHUCK, replace(HELD, work_nm=190 * MM), "along", "measure from the chuck's face"),
        (
            GAPPED,
            CHUCK,
            replace(HELD, work_nm=190 * MM, along_nm=0),
            "along",
            "measure from the chuck's face",
        ),
    ],
)
def test_sizes_that_cannot_be(
    lathe: SwingLathe, chuck: SwingChuck, set_up: SwingSetUp, field: str, says: str
) -> None:
    with pytest.raises(CuttingError, match=says) as caught:
        ask(lathe, chuck, set_up)
    assert caught.value.field == field


def test_held_as_large_as_the_work_outside() -> None:
    assert ask(set_up=replace(HELD, work_nm=90 * MM)).answer is SwingAnswer.YES


def test_a_gap_that_ends_before_the_chucks_face_is_no_help_however_thin_the_work() -> None:
    # 190 / 2 = 95 > 89 mm over the bed; the chuck's face is 60 mm from the spindle's nose and the gap 45 mm long.
    short = replace(GAPPED, gap_width_nm=45 * MM)
    swing = ask(short, set_up=replace(HELD, work_nm=190 * MM, along_nm=None))
    assert swing.answer is SwingAnswer.NO
    assert "gap ends before the chuck's face" in swing_words(swing, Unit.MM)
