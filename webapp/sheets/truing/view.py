"""The sheet for setting a casting true: what to do now, the rounds so far, and the set-ups before."""

from __future__ import annotations

from dataclasses import dataclass

from domain.lengths import Unit, show
from domain.route.stages import Stage, Step, tickable
from domain.truing.dial_readings import spot_words
from domain.truing.rounds import Convergence, Trend, judge_rounds
from domain.truing.types import Advice, JawMove, Stop
from domain.truing.words import move_words
from webapp.records.views import BuildView, CastingView
from webapp.sheets.truing.drawing import Clock, clock_of_edge
from webapp.sheets.truing.form import SetUp
from webapp.sheets.truing.view_face import FaceNow, face_now
from webapp.sheets.truing.view_stored import RoundView, TruingView
from webapp.sheets.truing.view_words import (
    STOP_WORDS,
    advice_of,
    dial_words,
    divisions,
    held_words,
    leaning_of,
    off_words,
)

_SURE = (Stop.TRUE, Stop.SHAPE)
_STEP = {
    ("back", "radial"): "back_faced.rim_true",
    ("front", "radial"): "bored.rim_true",
    ("back", "face"): "back_faced.face_true",
}


@dataclass(frozen=True, slots=True)
class MoveView:
    """One pair of jaws as large words."""

    move: JawMove
    shows: str
    way: str
    by: str
    target: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Tick:
    """The step of the checklist that this set-up serves."""

    key: str
    words: str
    done: bool


@dataclass(frozen=True, slots=True)
class EdgeNow:
    """What the last round on the edge says to do."""

    one: RoundView
    advice: Advice
    moves: tuple[MoveView, ...]
    convergence: Convergence
    clock: Clock
    answer: str
    headline: str
    wrong_way: bool
    next: int
    said: tuple[str, ...]
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RoundLine:
    """One round in the table of rounds; `share` of the largest swing is in hundredths, for its bar."""

    one: RoundView
    off: str
    swing: str
    said: str
    share: int


@dataclass(frozen=True, slots=True)
class SetUpSheet:
    """An open set-up, or one of before."""

    truing: TruingView
    words: str
    outcome: str
    edge: EdgeNow | None
    face: FaceNow | None
    latest: str
    lines: tuple[RoundLine, ...]
    tick: Tick | None
    # The back is ticked as faced, so the wheel has most likely been turned round since.
    turned: bool

    @property
    def held(self) -> SetUp:
        """How it is held."""
        return self.truing.held


def set_up_sheet(build: BuildView, casting: CastingView, truing: TruingView) -> SetUpSheet:
    """Everything the page shows of a set-up."""
    held = truing.held
    edges, faces = truing.live("radial"), truing.live("face")
    edge = _edge(edges, held) if edges else None
    face = face_now(build, casting, faces[-1], held) if faces else None
    live = [one for one in truing.rounds if not one.struck_out]
    latest = live[-1].kind if live else ""
    return SetUpSheet(
        truing=truing,
        words=held_words(held),
        outcome=_outcome(edge, edges, face, held.dial.unit),
        edge=edge,
        face=face,
        latest=latest,
        lines=_lines(truing),
        tick=_tick(casting, held, edge, face, latest),
        turned=held.outward == "back" and casting.has(Stage.BACK_FACED),
    )


def _edge(rounds: tuple[RoundView, ...], held: SetUp) -> EdgeNow:
    found = [advice_of(one, held) for one in rounds]
    last = found[-1]
    convergence = judge_rounds(found)
    wrong = convergence.trend is Trend.WRONG_WAY
    reason = last.stop_reason
    if reason is None:
        answer, headline = (
            ("not", "The last move went the wrong way") if wrong else ("caution", "Move these jaws")
        )
    else:
        answer, headline = "serves" if reason in _SURE else "caution", STOP_WORDS[reason]
    shown = {one.reading.angle_deg % 360: one.reading.nm for one in rounds[-1].readings}
    moves = tuple(_move(move, shown, held) for move in last.moves)
    told = {move.sentence for move in moves}
    return EdgeNow(
        one=rounds[-1],
        advice=last,
        moves=moves,
        convergence=convergence,
        clock=clock_of_edge(last.picture, last.along_nm, held.grip, 2 * held.tolerance_nm),
        answer=answer,
        headline=headline,
        wrong_way=wrong,
        next=len(rounds) + 1,
        # Below the moves stand how the last one went, and what is neither a move nor said above them.
        said=convergence.words[len(rounds) :],
        after=tuple(words for words in last.words[2:] if words not in told),
    )


def _move(move: JawMove, shown: dict[float, int], held: SetUp) -> MoveView:
    at = shown.get((move.watch - 1) * 90.0)
    dial = held.dial
    return MoveView(
        move=move,
        shows="" if at is None else dial_words(at, dial),
        way="down" if move.dial_change_nm < 0 else "up",
        by=f"{show(move.by_nm, dial.unit)}, {divisions(move.by_nm, dial)}",
        target="" if move.target_nm is None else dial_words(move.target_nm, dial),
        sentence=move_words(move, dial),
    )


def _outcome(edge: EdgeNow | None, edges: tuple[RoundView, ...], face: FaceNow | None, unit: Unit) -> str:
    if edge is not None:
        return off_words(edge.advice, len(edges), unit)
    if face is not None:
        return f"the face leans {show(face.leaning.wobble.amplitude_nm, unit)} each way"
    return "nothing read"


def _lines(truing: TruingView) -> tuple[RoundLine, ...]:
    held, unit = truing.held, truing.held.dial.unit
    found = []
    for one in truing.rounds:
        if one.kind == "radial":
            advice = advice_of(one, held)
            said = STOP_WORDS[advice.stop_reason] if advice.stop_reason else ""
            found.append((one, advice.eccentricity_nm, advice.tir_nm, said))
        else:
            wobble = leaning_of(one, held).wobble
            said = f"Tap at {spot_words(wobble.tap_deg)}" if wobble.tap else "Runs true"
            found.append((one, wobble.amplitude_nm, wobble.swing_nm, said))
    most = max((swing for _, _, swing, _ in found), default=0) or 1
    return tuple(
        RoundLine(one, show(off, unit), show(swing, unit), said, round(100 * swing / most))
        for one, off, swing, said in found
    )


def _tick(
    casting: CastingView,
    held: SetUp,
    edge: EdgeNow | None,
    face: FaceNow | None,
    latest: str,
) -> Tick | None:
    """The step to tick once the last round says to stop."""
    key = _STEP.get((held.outward, latest), "")
    true = (latest == "radial" and edge is not None and edge.advice.stop) or (
        latest == "face" and face is not None and face.answer == "serves"
    )
    if not key or not true:
        return None
    step = tickable(key)
    return Tick(key, step.words, key in casting.ticks) if isinstance(step, Step) else None
