"""Finished wheels after service: how worn each is, what its group can be turned to again, and the lives of a set."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from domain.answer import Answer
from domain.returning.wear import Common, ToTurn, Wear, common_diameter, to_turn
from domain.returning.words import (
    asks_words,
    back_moved_words,
    common_words,
    left_words,
    so_far_words,
    taken_words,
)
from domain.route.castings import finished
from domain.route.stages import Stage
from domain.treads.judging import MeasuredSize
from domain.treads.wheel_standard import TreadError
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.treads import GroupView, measured_of, wanted_nm
from webapp.facts.work_figures import work_figures
from webapp.records.taken_back import LifeSize, TakenBackView
from webapp.records.views import AxleView, BuildView, CastingView, Measured, Stamp
from webapp.typed.sizes import BY_KEY
from webapp.typed.tyre import WORN


@dataclass(frozen=True, slots=True)
class WornWheel:
    """One finished wheel: its wear as far as it is measured, and what that asks for."""

    casting: CastingView
    sizes: tuple[tuple[str, Measured | None], ...]
    wear: Wear | None
    off: ToTurn | None
    # What is still to be measured, and what cannot be judged.
    missing: tuple[str, ...]
    trouble: str
    words: str = ""

    @property
    def bare(self) -> bool:
        """Whether something was logged without an instrument."""
        return any(
            one is not None and one.expanded_nm is None and not BY_KEY[key].is_set for key, one in self.sizes
        )


@dataclass(frozen=True, slots=True)
class WornBack:
    """The back to back of one axle: as it was made, after service, and what is said of it."""

    axle: AxleView
    made: Measured | None
    now: Measured | None
    words: str


@dataclass(frozen=True, slots=True)
class WornGroup:
    """The wheels that are re-turned together; `making` are those of the group that are not finished."""

    name: str
    axles: tuple[AxleView, ...]
    wheels: tuple[WornWheel, ...]
    making: tuple[CastingView, ...]
    found: Common | None
    backs: tuple[WornBack, ...]
    least_nm: int
    down_said: bool
    headline: str
    look: str
    left_words: str
    workings: tuple[Working, ...]

    @property
    def judged(self) -> dict[str, tuple[Wear, ToTurn]]:
        """What each wheel asks for, by its mark."""
        return _judged(self.wheels)

    @property
    def again(self) -> tuple[CastingView, ...]:
        """The wheels that are in another life, finished or not."""
        every = (*(one.casting for one in self.wheels), *self.making)
        return tuple(one for one in every if one.again is not None)

    @property
    def again_at(self) -> datetime | None:
        """When it was last taken back."""
        return max((one.again.at for one in self.again if one.again is not None), default=None)


def is_finished(build: BuildView, casting: CastingView) -> bool:
    """Whether every stage of a wheel is ticked."""
    return casting.state == "in_work" and finished(casting.ticked, build.order_of(casting))


def was_in_service(build: BuildView, axle: AxleView) -> bool:
    """Whether a wheel of an axle is finished, or was before it was taken back."""
    return any(wheel.again is not None or is_finished(build, wheel) for wheel in axle.wheels)


def in_service(build: BuildView) -> tuple[tuple[str, AxleView], ...]:
    """Each group of which a wheel is finished, or was, by its name, with an axle of it."""
    found: dict[str, AxleView] = {}
    for axle in build.whole.axles:
        if was_in_service(build, axle):
            group = _group_of(build, axle)
            found.setdefault(group.name if group else f"axle {axle.number}", axle)
    return tuple(found.items())


def worn_group(build: BuildView, axle: AxleView) -> WornGroup:
    """The group of an axle: all coupled wheels, or the two of a carrying axle."""
    own = _group_of(build, axle)
    wheels = own.wheels if own else axle.wheels
    axles = tuple(one for one in build.whole.axles if any(wheel.axle_id == one.id for wheel in wheels))
    worn = tuple(_worn(build, one) for one in wheels if is_finished(build, one))
    making = tuple(one for one in wheels if not is_finished(build, one))
    down = work_figures(build).perhaps("tread_down")
    drawn = build.of(axle).nm("tread_diameter")
    judged = _judged(worn)
    least = 0 if down is None else drawn - round(down)
    found = common_diameter(judged, None if down is None else least, build.unit) if judged else None
    headline, look = _headline(build, worn, making, found)
    return WornGroup(
        name=own.name if own else f"axle {axle.number}",
        axles=axles or (axle,),
        wheels=worn,
        making=making,
        found=found,
        backs=tuple(_back(build, one) for one in axles),
        least_nm=least,
        down_said=down is not None,
        headline=headline,
        look=look,
        left_words=left_words(found, build.unit) if found else "",
        workings=tuple(_workings(worn, found)),
    )


def _judged(worn: Iterable[WornWheel]) -> dict[str, tuple[Wear, ToTurn]]:
    return {
        one.casting.mark: (one.wear, one.off) for one in worn if one.wear is not None and one.off is not None
    }


def _group_of(build: BuildView, axle: AxleView) -> GroupView | None:
    mine = {wheel.id for wheel in axle.wheels}
    groups = facts_of(build.of(axle)).treads.groups
    return next((one for one in groups if any(wheel.id in mine for wheel in one.wheels)), None)


def _headline(
    build: BuildView, worn: tuple[WornWheel, ...], making: tuple[CastingView, ...], found: Common | None
) -> tuple[str, str]:
    """The answer in a line; with something still to be measured that comes first."""
    if not worn:
        back = [one for one in making if one.again is not None]
        if back:
            return taken_words([one.mark for one in back], wanted_nm(build, back), build.unit), "open"
        return "Nothing to re-turn: no wheel here is finished.", "open"
    trouble = next((one.trouble for one in worn if one.trouble), "")
    if trouble:
        return trouble, "caution"
    bare = [one.casting.mark for one in worn if one.wear is None]
    if found is None:
        return "No wear is logged yet.", "open"
    deepest = {one.casting.mark: one.off for one in worn if one.off is not None}
    if bare and found.answer is not Answer.NOT:
        return so_far_words(found, bare, build.unit), "open"
    return common_words(found, deepest, build.unit), found.answer.look


def _workings(worn: Iterable[WornWheel], found: Common | None) -> Iterator[Working]:
    for one in worn:
        for working in one.off.workings if one.off else ():
            yield Working(
                f"{one.casting.mark}: {working.name}",
                working.formula,
                working.numbers,
                working.result,
                working.source,
            )
    if found is not None:
        yield found.working
        if found.decision is not None:
            yield found.decision.working


def _worn(build: BuildView, casting: CastingView) -> WornWheel:
    sizes = tuple((key, casting.sizes.get(key)) for key in WORN)
    missing = tuple(BY_KEY[key].words for key, one in sizes if one is None)
    wear = wear_of(casting.sizes)
    if wear is None:
        return WornWheel(casting, sizes, None, None, missing, "")
    treads = facts_of(build.of(casting)).treads
    try:
        off = to_turn(treads.profile(build.of(casting).nm("tread_diameter")), wear, build.unit)
    except TreadError as error:
        return WornWheel(casting, sizes, wear, None, (), f"{casting.mark} cannot be judged: {error}")
    return WornWheel(casting, sizes, wear, off, (), "", asks_words(off, build.unit))


def wear_of(sizes: Mapping[str, Measured]) -> Wear | None:
    """The wear that was measured; None until all of it is."""
    found = {key: measured_of(sizes.get(key)) for key in WORN}
    tread, flange, at = found["worn_tread"], found["worn_flange"], found["worn_at"]
    height, hollow = found["worn_height"], found["worn_hollow"]
    if tread is None or flange is None or at is None or height is None or hollow is None:
        return None
    return Wear(tread, flange, at.nm, height, hollow)


def _back(build: BuildView, axle: AxleView) -> WornBack:
    """A back to back since its wheels were last taken back, or from the first on."""
    since = max((wheel.again.at for wheel in axle.wheels if wheel.again is not None), default=None)

    def of(key: str) -> Measured | None:
        size = axle.sizes.get(key)
        return None if size is None or (since is not None and size.at <= since) else size

    made, now = of("back_to_back"), of("worn_back")
    words = ""
    if made is not None and now is not None:
        sure = round(math.hypot(made.expanded_nm or 0, now.expanded_nm or 0))
        words = back_moved_words(made.nm, now.nm, sure, build.unit)
    return WornBack(axle, made, now, words)


def made_tread_of(build: BuildView, casting: CastingView) -> MeasuredSize:
    """What a finished wheel's tread was turned to in this life, else what it was to be turned to."""
    target = facts_of(build.of(casting)).treads.target_nm(casting)
    return measured_of(casting.sizes.get("tread")) or MeasuredSize(target, 0)


# --- the lives of a set ---


@dataclass(frozen=True, slots=True)
class LifeLine:
    """One wheel, or one axle, in one life: as made and as worn, by kind, and when it was finished."""

    name: str
    sizes: Mapping[str, int]
    finished: Stamp | None = None
    let_pass: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Life:
    """One life of some wheels: how it ended, None of the one that goes on."""

    number: int
    ended: TakenBackView | None
    turned_to_nm: int | None
    wheels: tuple[LifeLine, ...]
    axles: tuple[LifeLine, ...]

    @property
    def name(self) -> str:
        """Which life it is, in words."""
        names = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth")
        return f"{names[self.number - 1]} life" if self.number <= len(names) else f"Life {self.number}"

    @property
    def let_pass(self) -> tuple[tuple[str, str], ...]:
        """What was let pass in it, with the wheel."""
        return tuple((one.name, words) for one in self.wheels for words in one.let_pass)


def lives_of(
    build: BuildView, taken: tuple[TakenBackView, ...], sizes: tuple[LifeSize, ...]
) -> tuple[Life, ...]:
    """Every life of the wheels that were ever taken back, the first one first."""
    found: list[Life] = []
    number: dict[int, int] = {}
    begun: dict[int, TakenBackView] = {}
    for one in taken:
        number_now = max(number.get(own, 0) for own in one.ticks) + 1
        found.append(_life(build, number_now, one, begun, sizes))
        for own in one.ticks:
            number[own], begun[own] = number_now, one
    last = {one.id: one for one in begun.values()}
    for one in last.values():
        living = [casting for casting, since in begun.items() if since.id == one.id]
        found.append(_life(build, number[living[0]] + 1, None, dict.fromkeys(living, one), sizes))
    return tuple(found)


def _life(
    build: BuildView,
    number: int,
    ended: TakenBackView | None,
    begun: Mapping[int, TakenBackView],
    sizes: tuple[LifeSize, ...],
) -> Life:
    own = list(ended.ticks) if ended else list(begun)
    castings = [one for one in build.whole.castings if one.id in own]
    since = {casting: begun[casting] for casting in own if casting in begun}
    axle_ids = {one.axle_id for one in castings if one.axle_id is not None}
    first = max((one.at for one in since.values()), default=None)
    return Life(
        number,
        ended,
        max((one.nm for one in since.values()), default=None),
        tuple(_wheel_line(one, ended, since.get(one.id), sizes) for one in castings),
        tuple(
            LifeLine(f"Axle {axle.number}", _between(sizes, axle.id, first, ended.at if ended else None))
            for axle in build.whole.axles
            if axle.id in axle_ids
        ),
    )


def _wheel_line(
    casting: CastingView,
    ended: TakenBackView | None,
    since: TakenBackView | None,
    sizes: tuple[LifeSize, ...],
) -> LifeLine:
    low, high = since.measured_to if since else 0, ended.measured_to if ended else None
    known = {
        one.kind: one.nm
        for one in sizes
        if one.casting_id == casting.id and one.id > low and (high is None or one.id <= high)
    }
    ticks = ended.ticks[casting.id] if ended else casting.ticks
    passed = tuple(stamp.let_pass_words for stamp in ticks.values() if stamp.let_pass) if ended else ()
    return LifeLine(casting.mark, known, ticks.get(Stage.PAINTED.value), passed)


def _between(
    sizes: tuple[LifeSize, ...], axle_id: int, since: datetime | None, until: datetime | None
) -> dict[str, int]:
    return {
        one.kind: one.nm
        for one in sizes
        if one.axle_id == axle_id and (since is None or one.at > since) and (until is None or one.at <= until)
    }
