"""The shortest row of set-ups that brings every wheel as far as it can come.

Wheels of one axle depend on each other, but no axle on another. So what a set-up does to an axle is worked out once
for each way that axle can stand, not once for each way the whole engine can.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

from domain.route.shop import Done, Shop, State, do_all
from domain.route.stages import Route, Stage
from domain.route.types import SetUp, Work

Row = tuple[tuple[SetUp, tuple[Done, ...]], ...]
# How each axle stands, by the number its standing has in the search's own list.
_Stand = tuple[int, ...]


class _Axle:
    """One axle: the ways it can stand, numbered as they are met, and what each set-up does to it."""

    def __init__(self, shop: Shop, wheels: Sequence[int], start: State, goal: State) -> None:
        self._shop, self._wheels = shop, wheels
        self._states: list[State] = []
        self._numbers: dict[State, int] = {}
        self._gone: dict[tuple[int, SetUp], tuple[int, tuple[Done, ...]]] = {}
        self._to_turn = [at for at in wheels if goal[at].has(Stage.TREAD_TURNED)]
        self._blank = start
        self.start, self.goal = self._number(start), self._number(goal)

    def _number(self, state: State) -> int:
        mine = tuple(state[at] for at in self._wheels)
        found = self._numbers.setdefault(mine, len(self._states))
        if found == len(self._states):
            whole = list(self._blank)
            for at, wheel in zip(self._wheels, mine, strict=True):
                whole[at] = wheel
            self._states.append(tuple(whole))
        return found

    def gone(self, stand: int, set_up: SetUp) -> tuple[int, tuple[Done, ...]]:
        """How it stands after a set-up did all it could, and what was done."""
        if (stand, set_up) not in self._gone:
            after, done = do_all(self._shop, self._states[stand], set_up.works, self._wheels)
            self._gone[stand, set_up] = (self._number(after), done)
        return self._gone[stand, set_up]

    def treads_left(self, stand: int) -> bool:
        """Whether a tread is still to be turned that can be turned at all."""
        return not all(self._states[stand][at].has(Stage.TREAD_TURNED) for at in self._to_turn)


def fewest(shop: Shop, start: State, goal: State, standing: SetUp | None) -> Row:
    """The shortest row of set-ups from start to goal; SetUp's own order decides between equally short ones."""
    axles = tuple(_Axle(shop, wheels, start, goal) for wheels in shop.by_axle())
    first, last = tuple(axle.start for axle in axles), tuple(axle.goal for axle in axles)
    frontier: list[tuple[_Stand, Row]] = []
    free = _in_set_up(shop, axles, first, standing) if standing else None
    if standing and free:
        frontier.append((free[0], ((standing, free[1]),)))
    frontier.append((first, ()))
    seen = {stand for stand, _ in frontier}
    while frontier:
        further: list[tuple[_Stand, Row]] = []
        for stand, row in frontier:
            if stand == last:
                return row
            for set_up in SetUp:
                gone = _in_set_up(shop, axles, stand, set_up)
                if gone and gone[0] not in seen:
                    seen.add(gone[0])
                    further.append((gone[0], (*row, (set_up, gone[1]))))
        frontier = further
    raise AssertionError("what can be done at all can be done in some order of set-ups")


def _in_set_up(
    shop: Shop, axles: Sequence[_Axle], stand: _Stand, set_up: SetUp
) -> tuple[_Stand, tuple[Done, ...]] | None:
    """All that one set-up can do now, or None when that is nothing or would split the treads over two set-ups."""
    tread = SetUp.MANDREL if shop.route is Route.MANDREL_FIRST else SetUp.BETWEEN_CENTRES
    turning = Work.TURN_TREAD in set_up.works
    if turning and set_up is not tread:
        return None
    gone = [axle.gone(now, set_up) for axle, now in zip(axles, stand, strict=True)]
    after = tuple(number for number, _ in gone)
    if after == stand or (
        turning and any(axle.treads_left(now) for axle, now in zip(axles, after, strict=True))
    ):
        return None
    return after, tuple(chain.from_iterable(done for _, done in gone))
