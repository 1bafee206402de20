"""Metal left: cuts that add up, a dial to wind to, and a stop sign before the size is lost."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.lengths import Unit
from domain.stock import words as say
from domain.stock.cuts import CutPurpose, DialTo, FeedDial, StopKind, cut_depths, cut_guard
from domain.stock.metal_left import MetalLeft, left_on, metal_left
from domain.stock.sharing import badly_shared, radial_stock
from domain.stock.sizes import Face, FinishedSizes, RoughSizes, SizesNow, StockError

MM = 1_000_000
DRAWN = FinishedSizes(96 * MM, 2 * MM, 17 * MM, 21 * MM, centre_nm=80 * MM)
CAME = RoughSizes(104 * MM, 105 * MM, 20 * MM, 24 * MM, 0)
NOW = SizesNow(20 * MM, 24 * MM, 0, 104 * MM, 104 * MM)
SIZE = {
    Face.RIM_BACK: "rim_thickness_nm",
    Face.RIM_FRONT: "rim_thickness_nm",
    Face.BOSS_BACK: "boss_thickness_nm",
    Face.BOSS_FRONT: "boss_thickness_nm",
    Face.OVER_FLANGE: "over_flange_nm",
    Face.TREAD: "tread_nm",
    Face.CENTRE: "centre_nm",
}
LEAST = {
    "rim_thickness_nm": 17 * MM,
    "boss_thickness_nm": 21 * MM,
    "over_flange_nm": 100 * MM,
    "tread_nm": 96 * MM,
    "centre_nm": 80 * MM,
}


def left(face: Face, size: int, *, faced: bool = True, **more: object) -> MetalLeft:
    now = replace(NOW, **{SIZE[face]: size}, rim_back_faced=faced, boss_back_faced=faced)
    return metal_left(face, now, DRAWN, 500_000, 100_000, rough=CAME, **more)


def ends_at(got: MetalLeft) -> int:
    """The size that the last of the cuts comes to."""
    return got.cuts[-1].size_after_nm if got.cuts else got.size_nm


def words(got: MetalLeft) -> str:
    return say.left(got, Unit.MM)


@pytest.mark.parametrize(
    ("face", "stock", "to"),
    [
        (Face.RIM_BACK, 1_500_000, 18_500_000),
        (Face.RIM_FRONT, 1_500_000, 18_500_000),
        (Face.BOSS_BACK, 1_500_000, 22_500_000),
        (Face.OVER_FLANGE, 2 * MM, 100 * MM),
        (Face.TREAD, 4 * MM, 96 * MM),
    ],
)
def test_a_rough_casting_by_hand(face: Face, stock: int, to: int) -> None:
    got = left(face, getattr(NOW, SIZE[face]), faced=False)
    assert (got.stock_nm, ends_at(got), got.stop, got.warning) == (stock, to, None, None)


def test_cuts_and_dial_by_hand() -> None:
    # 1.3 mm at 0.5 a time with 0.1 for finish: 0.5, 0.5, 0.2, 0.1; a dial of 2 mm a turn standing at 1.2.
    got = left(Face.RIM_FRONT, 18_300_000, dial=FeedDial(1_200_000, 2 * MM))
    assert [cut.depth_nm for cut in got.cuts] == [500_000, 500_000, 200_000, 100_000]
    assert [cut.size_after_nm for cut in got.cuts] == [17_800_000, 17_300_000, 17_100_000, 17_000_000]
    assert (
        sum(cut.kind is CutPurpose.ROUGHING for cut in got.cuts) == 3
        and got.cuts[-1].kind is CutPurpose.FINISHING
    )
    assert tuple(cut.dial for cut in got.cuts) == (
        DialTo(1_700_000, 0, 1_700_000),
        DialTo(2_200_000, 1, 200_000),
        DialTo(2_400_000, 1, 400_000),
        DialTo(2_500_000, 1, 500_000),
    )
    assert words(got) == (
        "1.300 mm (0.0512 in) is left on the rim front: 3 roughing cuts and one for finish."
        " Measure before the last cut."
    )


def test_a_diametral_dial_reads_what_comes_off_the_diameter() -> None:
    direct = left(Face.TREAD, 97 * MM, dial=FeedDial(0))
    twice = left(Face.TREAD, 97 * MM, dial=FeedDial(0, diametral=True))
    assert direct.cuts[-1].dial == DialTo(500_000)
    assert twice.cuts[-1].dial == DialTo(MM)
    assert (
        [cut.size_after_nm for cut in direct.cuts]
        == [cut.size_after_nm for cut in twice.cuts]
        == [
            96_200_000,
            96 * MM,
        ]
    )


def test_the_back_keeps_its_figure_while_it_is_cut() -> None:
    for size, stock in ((20 * MM, 1_500_000), (19 * MM, 500_000), (18_500_000, 0)):
        got = left(Face.RIM_BACK, size, faced=False)
        assert (got.stock_nm, ends_at(got)) == (stock, 18_500_000)
    assert got.stop is not None and got.stop.kind is StopKind.AT_SIZE and "belongs to the front" in words(got)


def test_the_boss_behind_a_faced_rim_follows_the_rim() -> None:
    now = SizesNow(18 * MM, 24 * MM, 2 * MM, rim_back_faced=True)
    got = metal_left(Face.BOSS_BACK, now, DRAWN, 500_000, 100_000, rough=CAME)
    assert (got.stock_nm, ends_at(got)) == (2 * MM, 22 * MM)
    front = metal_left(Face.BOSS_FRONT, now, DRAWN, 500_000, 100_000, rough=CAME)
    assert front.stock_nm == MM
    with pytest.raises(StockError) as caught:
        metal_left(Face.BOSS_BACK, replace(now, boss_proud_back_nm=None), DRAWN, 500_000, 100_000, rough=CAME)
    assert caught.value.field == "boss_proud_back"


def test_an_uneven_share_that_the_boss_asks_for_is_no_bad_share() -> None:
    # The boss is 1 mm sunk: its back needs the rim's back deeper. Back 2, front 1 on the rim; boss 1 and 2.
    came = replace(CAME, boss_proud_back_nm=-MM)
    got = metal_left(Face.RIM_BACK, NOW, DRAWN, 500_000, 100_000, rough=came)
    assert (got.stock_nm, ends_at(got), got.warning) == (2 * MM, 18 * MM, None)


def test_a_back_cut_too_deep_is_warned_of() -> None:
    got = left(Face.RIM_BACK, 17_700_000, faced=False)
    assert got.warning is not None and got.warning.face_to_nm is None
    assert "already past its share" in say.bad_share(got.warning, Unit.MM)
    assert left(Face.RIM_FRONT, 17_700_000, faced=False).stock_nm == 700_000


@pytest.mark.parametrize(
    ("size", "cut", "kind", "depth_left"),
    [
        (17_050_000, None, StopKind.LAST_CUT, 50_000),
        (17_300_000, None, StopKind.WOULD_GO_UNDER, 300_000),
        (17_300_000, 300_001, StopKind.WOULD_GO_UNDER, 300_000),
        (17_300_000, 300_000, None, 0),
        (17 * MM, None, StopKind.AT_SIZE, 0),
        (16_990_000, None, StopKind.UNDER_SIZE, 0),
    ],
)
def test_stop_signs_at_the_front(size: int, cut: int | None, kind: StopKind | None, depth_left: int) -> None:
    stop = left(Face.RIM_FRONT, size, proposed_cut_nm=cut).stop
    assert (stop.kind if stop else None) is kind
    if stop is not None:
        assert stop.left_nm == depth_left


def test_stop_words_say_what_to_do() -> None:
    assert "this is the last cut: take 0.050 mm (0.0020 in) only" in words(left(Face.RIM_FRONT, 17_050_000))
    assert "0.100 mm (0.0039 in) off the diameter" in words(left(Face.TREAD, 96_100_000))
    under = words(left(Face.TREAD, 95_980_000))
    assert "under size by 0.020 mm" in under and "scrap" in under and "whole set" in under
    # Less than a full cut is nothing to stop for.
    lighter = words(left(Face.RIM_FRONT, 17_300_000))
    assert "A full roughing cut of 0.500 mm (0.0197 in) would go 0.200 mm (0.0079 in) under size." in lighter
    assert "Stop" not in lighter


def test_the_back_stops_at_its_share_and_not_only_at_the_finished_size() -> None:
    past = left(Face.RIM_BACK, 18_700_000, faced=False).stop
    assert past is not None and (past.kind, past.left_nm, past.under_nm) == (
        StopKind.PAST_SHARE,
        200_000,
        300_000,
    )
    lost = left(Face.RIM_BACK, 18_700_000, faced=False, proposed_cut_nm=2 * MM).stop
    assert lost is not None and (lost.kind, lost.left_nm, lost.under_nm) == (
        StopKind.WOULD_GO_UNDER,
        200_000,
        300_000,
    )


def test_tolerance_is_room_under_the_size() -> None:
    assert left(Face.TREAD, 95_980_000, tolerance_nm=20_000).stop.kind is StopKind.AT_SIZE
    assert left(Face.TREAD, 95_980_000, tolerance_nm=19_999).stop.kind is StopKind.UNDER_SIZE


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 9_000_000), st.integers(50_000, 900_000), st.integers(1, 50_000))
def test_cuts_add_up_and_none_is_too_deep(stock: int, depth: int, finishing: int) -> None:
    cuts = cut_depths(stock, depth, finishing)
    assert sum(nm for _, nm in cuts) == stock
    assert all(0 < nm <= depth for _, nm in cuts)
    assert [kind for kind, _ in cuts] == [CutPurpose.ROUGHING] * (len(cuts) - 1) + [
        CutPurpose.FINISHING
    ] * bool(cuts)
    assert all(nm >= cuts[-1][1] for _, nm in cuts)
    if stock > finishing:
        rest = (stock - finishing) % depth
        evened = 0 < rest < finishing
        # Too small a remainder goes with the finishing cut, or the two are even to the nanometre.
        together = evened and rest + finishing <= depth
        assert len(cuts) == -(-(stock - finishing) // depth) + 1 - together
        if not evened:
            assert cuts[-1][1] == finishing
        elif together:
            assert cuts[-1][1] == rest + finishing
        else:
            assert 0 <= cuts[-2][1] - cuts[-1][1] <= 1


@pytest.mark.parametrize(
    ("stock", "depth", "finishing", "cuts"),
    [
        # No roughing cut of 0.05 before a finishing cut of 0.2: all in one, or after whole ones with the last.
        (250_000, 1_000_000, 200_000, [250_000]),
        (1_250_000, 1_000_000, 200_000, [1_000_000, 250_000]),
        (400_000, 1_000_000, 200_000, [200_000, 200_000]),
        (399_999, 1_000_000, 200_000, [399_999]),
        # The two together are deeper than a pass may be.
        (250_001, 200_000, 200_000, [125_001, 125_000]),
        (450_000, 200_000, 200_000, [200_000, 125_000, 125_000]),
    ],
)
def test_no_roughing_cut_is_smaller_than_the_last(
    stock: int, depth: int, finishing: int, cuts: list[int]
) -> None:
    assert [nm for _, nm in cut_depths(stock, depth, finishing)] == cuts


def test_one_cut_for_all_is_said_so() -> None:
    assert words(left(Face.RIM_FRONT, 17_150_000)).startswith(
        "0.150 mm (0.0059 in) is left on the rim front: one last cut takes it all."
    )


@pytest.mark.parametrize(("cut", "many"), [(501_271, 2), (1_000_000, 2), (1_300_000, 4), (1_200_000, 3)])
def test_too_deep_for_one_pass(cut: int, many: int) -> None:
    # 1.3 mm are left; in all 0.5, 0.5, 0.2 and 0.1.
    got = left(Face.RIM_FRONT, 18_300_000, proposed_cut_nm=cut)
    stop, said = got.stop, say.stop(got, Unit.MM)
    assert stop is not None and (stop.kind, stop.left_nm) == (StopKind.TOO_DEEP, 500_000)
    assert said.startswith(
        "Stop: too deep for one pass: at most 0.500 mm (0.0197 in) at a time"
    ) and said.endswith(f"in {many} cuts, and measure before the last.")


def test_a_depth_typed_as_it_was_shown_is_not_too_deep() -> None:
    # 0.5 mm is shown as 0.0197 in, which is 0.50038 mm.
    assert left(Face.RIM_FRONT, 18_300_000, proposed_cut_nm=500_380).stop is None


def test_what_runs_out_is_taken_off_twice() -> None:
    # A rim of 104 mm 0.4 mm off the centre cleans up all round at 103.2 mm: (103.2 - 100) / 2 = 1.6 mm.
    now = replace(NOW, over_flange_off_nm=400_000)
    got = metal_left(Face.OVER_FLANGE, now, DRAWN, 500_000, 100_000, rough=CAME)
    assert (got.size_nm, got.stock_nm, ends_at(got), got.off_nm) == (
        103_200_000,
        1_600_000,
        100 * MM,
        400_000,
    )
    assert got.cuts[-1].size_after_nm == 100 * MM
    shown = got.workings[0].numbers
    assert "104.000 mm" in shown and "2 x 0.400 mm" in shown
    assert got.stock_nm == radial_stock(Face.OVER_FLANGE, 104 * MM, 100 * MM, 400_000).stock_nm


def test_a_rim_too_far_off_its_centre_is_no_lost_size() -> None:
    now = replace(NOW, over_flange_off_nm=2_100_000)
    got = metal_left(Face.OVER_FLANGE, now, DRAWN, 500_000, 100_000, rough=CAME)
    assert got.stop is not None and got.stop.kind is StopKind.UNDER_SIZE
    assert "does not clean up: 0.200 mm (0.0079 in) short on the diameter" in say.stop(got, Unit.MM)


@pytest.mark.parametrize("face", [Face.RIM_FRONT, Face.BOSS_FRONT])
def test_a_face_with_no_more_left_than_may_be_over_is_at_size(face: Face) -> None:
    """By hand: 17 and 21 mm on the drawing, 0.05 left is at size where 0.05 may be over, a micrometre more is not."""
    least = LEAST[SIZE[face]]
    at = left(face, least + 50_000, over_nm=50_000)
    assert at.stop is not None and at.stop.kind is StopKind.AT_SIZE and not at.cuts
    assert words(at) == f"Stop: the {face.words} is at size: do not cut."
    over = left(face, least + 51_000, over_nm=50_000)
    assert over.stop is not None and over.stop.kind is StopKind.LAST_CUT
    # Unless it is said, nothing may be over; and a diameter is brought to its figure.
    assert left(face, least + 1_000).stop.kind is StopKind.LAST_CUT
    assert left(Face.TREAD, 96 * MM + 2_000, over_nm=50_000).stop.kind is StopKind.LAST_CUT


def test_a_first_side_within_what_may_be_over_leaves_the_rest_to_the_other() -> None:
    """20 mm came and 17 is drawn: 1.5 is the back's, so at 18.53 mm 0.03 of it is left, and 1.53 for both."""
    at = left(Face.RIM_BACK, 18_530_000, faced=False, over_nm=50_000)
    assert words(at) == (
        "Stop: the rim back is faced far enough; what is left, 1.530 mm (0.0602 in), belongs to the front."
    )


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(list(Face)), st.integers(-300_000, 3_000_000), st.booleans(), st.integers(0, 50_000))
def test_following_the_advice_never_ends_under_size(
    face: Face, over: int, faced: bool, tolerance: int
) -> None:
    least = LEAST[SIZE[face]]
    size = least + over
    for _ in range(60):
        got = left(face, size, faced=faced, tolerance_nm=tolerance)
        if not got.cuts:
            break
        assert cut_guard(size, got.cuts[0].depth_nm, least, face.on_diameter, tolerance) is None
        assert got.cuts[-1].size_after_nm == ends_at(got) >= least
        size = got.cuts[0].size_after_nm
    else:
        pytest.fail("it never ends")
    assert got.stop is not None
    assert size >= min(least, least + over)
    if over >= 0 and (face.on_diameter or (faced and not face.is_back)):
        assert least <= size <= least + 1
    # Whoever cuts on regardless is told to stop, whatever the cut.
    assert left(face, size, faced=faced, tolerance_nm=tolerance, proposed_cut_nm=1).stop is not None


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(list(Face)), st.integers(1, 3_000_000), st.integers(1, 3_000_000), st.booleans())
def test_no_cut_goes_under_size_without_a_stop(face: Face, over: int, cut: int, faced: bool) -> None:
    size, least = LEAST[SIZE[face]] + over, LEAST[SIZE[face]]
    times = 2 if face in (Face.TREAD, Face.OVER_FLANGE, Face.CENTRE) else 1
    lost = size - times * cut < least
    assert (cut_guard(size, cut, least, face.on_diameter) is not None) == lost
    if lost:
        assert left(face, size, faced=faced, proposed_cut_nm=cut).stop is not None


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(list(Face)), st.integers(0, 2_900_000), st.integers(0, 100_000), st.booleans())
def test_a_larger_size_never_has_less_metal(face: Face, over: int, more: int, faced: bool) -> None:
    least = LEAST[SIZE[face]]
    small, large = (left(face, least + nm, faced=faced) for nm in (over, over + more))
    assert large.stock_nm >= small.stock_nm and len(large.cuts) >= len(small.cuts)


@pytest.mark.parametrize(
    ("back", "front", "bad", "to"),
    [
        (1_500_000, 1_500_000, False, None),
        (2_000_000, 1_000_000, False, None),
        (2_000_001, 1_000_000, True, 18_500_000),
        (1_000_000, 2_000_001, True, 18_500_000),
        (600_000, 499_999, True, 17_549_999),
        (400_000, 400_000, True, 17_400_000),
    ],
)
def test_badly_shared_by_hand(back: int, front: int, bad: bool, to: int | None) -> None:
    got = badly_shared(back, front, 500_000, 17 * MM)
    assert (got is not None) == bad
    if got is not None:
        assert got.face_to_nm == to


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 3_000_000), st.integers(0, 3_000_000))
def test_facing_to_the_figure_said_is_a_good_share(back: int, front: int) -> None:
    got = badly_shared(back, front, 500_000, 17 * MM)
    if got is None or back + front < 1_000_000:
        return
    assert got.face_to_nm is not None
    leaves = got.face_to_nm - 17 * MM
    assert badly_shared(back + front - leaves, leaves, 500_000, 17 * MM) is None


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: left(Face.RIM_BACK, 20_000_001, faced=False), "rim_thickness"),
        (lambda: left(Face.TREAD, 97 * MM, dial=FeedDial(3 * MM, 2 * MM)), "touch_off"),
        (lambda: left(Face.TREAD, 97 * MM, dial=FeedDial(-1)), "touch_off"),
        (lambda: left(Face.TREAD, 97 * MM, dial=FeedDial(0, 0)), "per_turn"),
        (lambda: left(Face.TREAD, 97 * MM, tolerance_nm=-1), "tolerance"),
        (lambda: left(Face.TREAD, 97 * MM, proposed_cut_nm=0), "cut"),
        (lambda: left(Face.TREAD, 0), "tread"),
        (lambda: metal_left(Face.TREAD, SizesNow(), DRAWN, 5, 1), "tread"),
        (lambda: metal_left(Face.RIM_FRONT, NOW, replace(DRAWN, rim_width_nm=None), 5, 1), "rim_width"),
        (lambda: metal_left(Face.OVER_FLANGE, NOW, replace(DRAWN, flange_depth_nm=None), 5, 1), "flange_depth"),
        (lambda: metal_left(Face.TREAD, NOW, DRAWN, 0, 1), "roughing_depth"),
        (lambda: metal_left(Face.TREAD, NOW, DRAWN, 5, 0), "finishing_cut"),
        (lambda: metal_left(Face.TREAD, NOW, DRAWN, 5, 6), "finishing_cut"),
        (lambda: metal_left(Face.TREAD, NOW, DRAWN, 5, 1), "roughing_depth"),
        (lambda: metal_left(Face.TREAD, replace(NOW, tread_off_nm=-1), DRAWN, 5, 1), "eccentricity"),
        (lambda: cut_guard(5, 0, 4, False), "cut"),
        (lambda: cut_guard(5, 1, 4, False, -1), "tolerance"),
        (lambda: badly_shared(1, 1, 0, 1), "least_cut"),
        (lambda: badly_shared(1, 1, 1, 0), "finished"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_one_sentence(call: object, field: str) -> None:
    with pytest.raises(StockError) as caught:
        call()  # type: ignore[operator]
    assert caught.value.field == field
    assert str(caught.value).endswith(".")


@given(st.integers(11 * MM, 25 * MM), st.integers(0, 6 * MM), st.integers(10 * MM, 20 * MM), st.booleans())
def test_faced_first_from_the_front_is_the_mirror_of_faced_first_from_the_back(
    came: int, gone: int, drawn: int, faced: bool
) -> None:
    """A rim alone has no back nor front: what is said of one side first is said of the other, but for an odd nanometre."""
    size = came - gone
    if size <= 0:
        return
    finished, rough = FinishedSizes(None, None, drawn, None), RoughSizes(rim_height_nm=came)
    back = SizesNow(rim_thickness_nm=size, rim_back_faced=faced)
    front = SizesNow(rim_thickness_nm=size, front_first=True, front_faced=faced)
    for face, mirror in ((Face.RIM_BACK, Face.RIM_FRONT), (Face.RIM_FRONT, Face.RIM_BACK)):
        one, other = left_on(face, back, finished, rough), left_on(mirror, front, finished, rough)
        assert abs(one.stock_nm - other.stock_nm) <= 1
        assert (one.last_nm is None) == (other.last_nm is None) == (faced or size <= drawn)
    # What has gone has gone from the front alone: the back keeps its share, and loses what the front took too much.
    if not faced and size > drawn:
        whole = left_on(Face.RIM_BACK, replace(front, rim_thickness_nm=came), finished, rough).stock_nm
        assert left_on(Face.RIM_BACK, front, finished, rough).stock_nm == min(whole, size - drawn)


def test_a_front_past_its_share_is_said_of_the_front() -> None:
    now = SizesNow(rim_thickness_nm=18 * MM, front_first=True)
    drawn, came = FinishedSizes(None, None, 17 * MM, None), RoughSizes(rim_height_nm=21 * MM)
    got = metal_left(Face.RIM_FRONT, now, drawn, 500_000, 100_000, rough=came)
    assert got.stop is not None and got.stop.kind is StopKind.AT_SIZE
    assert "belongs to the back." in say.stop(got, Unit.MM)
    assert got.warning is not None
    words = say.bad_share(got.warning, Unit.MM)
    assert (
        "off the front would leave 1.000 mm (0.0394 in) for the back. The front is already past its share"
        in words
    )
    assert words.endswith("turn the wheel round, and face the back.")
