"""The operations on the way from casting to wheel for which a speed is wanted."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from domain.cutting.speeds import CutKind, CuttingError
from domain.cutting.spindle import MachineKind
from domain.route.stages import Route, Stage, stage_of, stages


class Governing(StrEnum):
    """Which diameter the surface speed goes by: the largest that the edge touches."""

    RIM = "rim"
    BOSS = "boss"
    BORE_DRILL = "bore_drill"
    BORE = "bore"
    TREAD = "tread"
    FLANGE = "flange"
    CRANKPIN_DRILL = "crankpin_drill"
    CRANKPIN = "crankpin"
    NONE = "none"

    @property
    def words(self) -> str:
        """The diameter as it is asked for."""
        return _GOVERNING_WORDS[self]


_GOVERNING_WORDS = {
    Governing.RIM: "outside of the rim as it is now",
    Governing.BOSS: "outside of the boss",
    Governing.BORE_DRILL: "drill for the bore",
    Governing.BORE: "finished bore",
    Governing.TREAD: "tread as it is now",
    Governing.FLANGE: "outside of the flange",
    Governing.CRANKPIN_DRILL: "drill for the crankpin hole",
    Governing.CRANKPIN: "finished crankpin hole",
    Governing.NONE: "none: the spindle stands still",
}

_LATHE = (MachineKind.LATHE,)
_EITHER = (MachineKind.DRILL, MachineKind.LATHE)
# The bore is drilled and reamed in the lathe, in the setting in which the rim was set true.


@dataclass(frozen=True)
class Operation:
    """One operation: what is cut, the small step that says it is done, how, by which diameter, on which machines."""

    key: str
    words: str
    done_by: str
    kind: CutKind
    governs: Governing
    machines: tuple[MachineKind, ...] = _LATHE
    finishing: bool = False
    interrupted_by: str = ""
    coupled_only: bool = False

    @property
    def stage(self) -> Stage:
        """The stage it is part of: its small step's."""
        return stage_of(self.done_by)

    @property
    def interrupted(self) -> bool:
        """Whether the edge usually leaves the iron and strikes it again in each turn."""
        return bool(self.interrupted_by)

    @property
    def has_inner_diameter(self) -> bool:
        """Whether the surface slows towards an inner diameter during the cut."""
        return self.kind is CutKind.FACE

    @property
    def depth_words(self) -> str:
        """What the depth means here, or nothing where none is reckoned with."""
        if self.kind is CutKind.FORM:
            return "length of the forming edge in the iron"
        return "depth of cut" if self.kind.single_edge else ""


# Workshop rules: common practice, no source. Rim and tread run unbroken; spokes lie below them.
_OPERATIONS = (
    Operation("face_back", "face the back, rim and boss", "back_faced.to_size", CutKind.FACE, Governing.RIM),
    Operation(
        "face_front_rim", "face the front of the rim", "bored.front_faced", CutKind.FACE, Governing.RIM
    ),
    Operation(
        "face_front_boss",
        "face the front of the boss",
        "bored.front_faced",
        CutKind.FACE,
        Governing.BOSS,
        interrupted_by="the crank boss or the balance weight",
    ),
    Operation(
        "crank_boss",
        "face the crank boss by hand strokes",
        "bored.crank_boss",
        CutKind.HAND,
        Governing.NONE,
        coupled_only=True,
    ),
    Operation("drill_bore", "drill the bore", "bored.drilled", CutKind.DRILL, Governing.BORE_DRILL),
    Operation("ream_bore", "ream the bore", "bored.reamed", CutKind.REAM, Governing.BORE, finishing=True),
    Operation(
        "bore_bore", "bore the bore to size", "bored.reamed", CutKind.BORE, Governing.BORE, finishing=True
    ),
    Operation("rough_tread", "rough the tread", "tread_turned.to_size", CutKind.TURN, Governing.TREAD),
    Operation(
        "finish_tread",
        "finish the tread",
        "tread_turned.to_size",
        CutKind.TURN,
        Governing.TREAD,
        finishing=True,
    ),
    Operation(
        "form_root",
        "form the flange root",
        "tread_turned.flange",
        CutKind.FORM,
        Governing.FLANGE,
        finishing=True,
    ),
    Operation(
        "drill_crankpin",
        "drill the crankpin hole",
        "quartered.hole",
        CutKind.DRILL,
        Governing.CRANKPIN_DRILL,
        _EITHER,
        coupled_only=True,
    ),
    Operation(
        "ream_crankpin",
        "ream the crankpin hole",
        "quartered.hole",
        CutKind.REAM,
        Governing.CRANKPIN,
        _EITHER,
        finishing=True,
        coupled_only=True,
    ),
)


def operations(route: Route, *, coupled: bool) -> tuple[Operation, ...]:
    """The operations of a wheel in the order of its route; a carrying wheel has no crank to break the cut.

    Parameters: `route`, the order of work; `coupled`, whether the axle has crankpins.
    Returns: the operations, first to last (no unit).
    Source: common practice, no source.

    >>> [one.key for one in operations(Route.FITTED_FIRST, coupled=False)][:3]
    ['face_back', 'face_front_rim', 'face_front_boss']
    """
    order = stages(route, coupled=coupled)
    mine = [one for one in _OPERATIONS if one.stage in order and (coupled or not one.coupled_only)]
    if not coupled:
        mine = [replace(one, interrupted_by="") for one in mine]
    return tuple(sorted(mine, key=lambda one: order.index(one.stage)))


def operation(key: str) -> Operation:
    """The operation with this key.

    Parameters: `key`, such as "face_back".
    Returns: the operation (no unit).
    Raises: CuttingError, field "operation", when there is none.
    Source: our own keys.

    >>> operation("ream_bore").words
    'ream the bore'
    """
    for one in _OPERATIONS:
        if one.key == key:
            return one
    raise CuttingError(f"No operation is called {key!r}: choose one of those listed.", "operation")


def next_operation(found: Sequence[Operation], ticked: Collection[str]) -> Operation | None:
    """The first operation of a wheel that is not done: neither its stage nor its small step is ticked.

    Parameters: `found`, the operations in the order of the route; `ticked`, the keys ticked on the wheel.
    Returns: the operation, or None when all are done (no unit).
    Source: our own; the order is common practice, no source.

    >>> mine = operations(Route.FITTED_FIRST, coupled=True)
    >>> next_operation(mine, {"back_faced", "bored.front_faced"}).key
    'crank_boss'
    """
    return next((one for one in found if one.stage.value not in ticked and one.done_by not in ticked), None)
