"""An axle's own sizes and what they are worth, and what must go on it before its second wheel."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from domain.answer import Answer, worst
from domain.assembly.running import RunOut, judge_run_out
from domain.assembly.shoulders import Prouds, ShouldersFinding, judge_shoulders
from domain.assembly.words import count_words, open_words, run_out_words, shoulders_words
from domain.joints.words import small
from domain.lengths import Unit
from domain.measuring.decision_types import Conformity
from domain.route.stages import Stage
from domain.treads.judging import MeasuredSize
from webapp.facts.treads import Treads, measured_of
from webapp.facts.work_figures import work_figures
from webapp.records.views import SIDES, AxleView, BuildView, CastingView, ItemView, Measured


@dataclass(frozen=True, slots=True)
class Assembly:
    """An axle's own sizes, judged as far as they are logged."""

    axle: AxleView
    shoulders: ShouldersFinding
    run_out: RunOut | None
    # How far each boss stands behind its rim, left and right.
    prouds: Prouds
    # The wheels whose boss was measured at the back; of the others the drawing's stands.
    proud_of: tuple[CastingView, ...]

    @property
    def answer(self) -> Answer | None:
        """The worst of what is judged; None while nothing is."""
        found = [self.shoulders.answer, self.run_out.decision.answer if self.run_out else None]
        answers = [one.judged for one in found if one is not None]
        return worst(*answers) if answers else None


def assembly_of(treads: Treads, axle: AxleView) -> Assembly:
    """An axle's own sizes, each judged by its own judge."""
    build = treads.build
    unit, figures = build.unit, work_figures(build)
    measured = {side: _proud(axle.at(side)) for side in SIDES}
    drawn = MeasuredSize(figures.nm("boss_proud"), 0)
    left, right = (measured_of(size) or drawn for size in measured.values())
    over = measured_of(axle.sizes.get("over_shoulders"))
    swing = measured_of(axle.sizes.get("axle_run_out"))
    return Assembly(
        axle=axle,
        shoulders=judge_shoulders(treads.standard.back_to_back, over, (left, right), unit),
        prouds=(left, right),
        run_out=judge_run_out(swing, figures.nm("axle_run_out"), unit) if swing is not None else None,
        proud_of=tuple(wheel for wheel in axle.wheels if measured[wheel.side or ""] is not None),
    )


# What its sheet says and a tick asks of it.
_BAD = (Conformity.OUTSIDE, Conformity.CANNOT_TELL)


def axle_trouble(found: Assembly, unit: Unit) -> tuple[tuple[str, Conformity], ...]:
    """What an axle's own sizes do not show to be good, each in its judge's words with the axle's number."""
    shoulders, run_out = found.shoulders, found.run_out
    said = [] if shoulders.answer is None else [(shoulders_words(shoulders, unit), shoulders.answer)]
    if run_out is not None:
        said.append((run_out_words(run_out, unit), run_out.decision.answer))
    return tuple(
        (f"Axle {found.axle.number}: {small(words)}", answer) for words, answer in said if answer in _BAD
    )


def _proud(wheel: CastingView | None) -> Measured | None:
    """How far a boss stands behind its rim where that was measured of faces that are done."""
    size = wheel.sizes.get("boss_proud") if wheel is not None and wheel.has(Stage.BACK_FACED) else None
    return None if size is None or size.rough else size


def journal_kind(axle: AxleView, side: str) -> str:
    """Which of the two a journal is as last measured at this end, between the wheels or outside them; empty for none."""
    found = [size for key in ("journal", "outer_journal") if (size := axle.ends.get(side, {}).get(key))]
    return max(found, key=lambda size: size.id).kind if found else ""


def still_to_go_on(axle: AxleView) -> tuple[ItemView, ...]:
    """What is not on the axle and cannot go on after its second wheel."""
    return tuple(item for item in axle.items if item.on is None and not item.split)


def last_wheel(axle: AxleView) -> CastingView | None:
    """The wheel that is still to go on, the right one where none is on; None once both are, and while one is missing."""
    off = [wheel for wheel in axle.wheels if not wheel.has(Stage.PRESSED)]
    return off[-1] if off and len(axle.wheels) == len(SIDES) else None


def list_line(axle: AxleView) -> str:
    """The list in a line, where it matters: while its second wheel is off and something must still go on before it."""
    still, second = still_to_go_on(axle), last_wheel(axle)
    if not still or (second is None and all(wheel.has(Stage.PRESSED) for wheel in axle.wheels)):
        return ""
    first_on = any(wheel.has(Stage.PRESSED) for wheel in axle.wheels)
    mark = second.mark if second is not None and first_on else "the second wheel"
    return count_words(mark, len(still), len(axle.items))


def list_asked(build: BuildView, wheel: CastingView, key: str, now: datetime) -> str:
    """What is asked of the axle's list before this wheel is fixed as the second one; empty where nothing is.

    now: when it is fixed, for the other wheel may have gone on later.
    """
    axle = build.axle(wheel.axle_id)
    if key != Stage.PRESSED.value or axle is None:
        return ""
    others = (one.ticks.get(key) for one in axle.wheels if one.id != wheel.id)
    if not any(stamp is not None and stamp.at <= now for stamp in others):
        return ""
    return open_words(axle.number, wheel.mark, [item.name for item in still_to_go_on(axle)])
