"""The operations that want a speed, in the order of the route."""

import pytest

from domain.cutting.operations import Governing, next_operation, operation, operations
from domain.cutting.speeds import CutKind, CuttingError
from domain.cutting.spindle import MachineKind
from domain.route.stages import Route, stages


@pytest.mark.parametrize("coupled", [True, False])
@pytest.mark.parametrize("route", list(Route))
def test_operations_follow_the_route(route: Route, coupled: bool) -> None:
    order = stages(route, coupled=coupled)
    places = [order.index(one.stage) for one in operations(route, coupled=coupled)]
    assert places == sorted(places)
    keys = [one.key for one in operations(route, coupled=coupled)]
    assert len(keys) == len(set(keys))
    # The bore is never put through while the back is outward: it follows the front, in the same setting.
    assert keys.index("face_front_rim") < keys.index("drill_bore") < keys.index("ream_bore")
    if route is Route.FRONT_FIRST:
        assert keys.index("ream_bore") < keys.index("face_back")
    else:
        assert keys.index("face_back") < keys.index("face_front_rim")


def test_a_carrying_wheel_has_no_crank() -> None:
    carrying = operations(Route.FITTED_FIRST, coupled=False)
    coupled = operations(Route.FITTED_FIRST, coupled=True)
    assert {one.key for one in coupled} - {one.key for one in carrying} == {
        "crank_boss", "drill_crankpin", "ream_crankpin",
    }  # fmt: skip
    assert not any(one.interrupted for one in carrying)
    assert [one.key for one in coupled if one.interrupted] == ["face_front_boss"]


def test_every_operation_says_its_diameter_machine_and_depth() -> None:
    for one in operations(Route.MANDREL_FIRST, coupled=True):
        assert one.words and one.governs.words and one.machines
        assert operation(one.key) == one
        assert bool(one.depth_words) == (one.kind in (CutKind.FACE, CutKind.TURN, CutKind.BORE, CutKind.FORM))
        # What is set true in the lathe stays in it; only the crankpin holes go under a drill with their jig.
        assert (MachineKind.DRILL in one.machines) == (one.done_by == "quartered.hole")
        assert (one.governs is Governing.NONE) == (one.kind is CutKind.HAND)


def test_a_strange_operation_is_refused() -> None:
    with pytest.raises(CuttingError, match="choose one of those listed") as caught:
        operation("polish")
    assert caught.value.field == "operation"


def test_the_crankpin_hole_is_drilled_after_the_bore_and_is_not_done_with_it() -> None:
    """The jig's plug sits in the bore, so the hole comes next; the tick on “bored” does not say that it is there."""
    mine = operations(Route.MANDREL_FIRST, coupled=True)
    keys = [one.key for one in mine]
    assert keys.index("ream_bore") < keys.index("drill_crankpin") < keys.index("rough_tread")
    assert next_operation(mine, {"back_faced", "bored"}).key == "drill_crankpin"
    assert next_operation(mine, {"back_faced", "bored", "quartered.hole"}).key == "rough_tread"
    assert next_operation(mine, {"back_faced", "bored", "quartered"}).key == "rough_tread"
