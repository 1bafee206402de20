"""The sheet for setting a casting true: what to do now, the rounds so far, and the set-ups before."""

from __future__ import annotations

from dataclasses import dataclass

from domain.lengths import show_small
from domain.repeating.settings import Setting
from domain.route.guards import Order
from domain.route.stages import Step, tickable
from domain.stock.sizes import Face, StockError
from domain.truing import words as say
from domain.truing.by_eye import EyeMove, Look, since
from domain.truing.rounds import Trend, judge_rounds
from domain.truing.setting import Advice, JawMove, Stop
from domain.truing.wobble import Wobble
from domain.truing.workings import advice_workings, wobble_workings
from domain.working import Working
from webapp.facts.as_set import SetBox, set_box
from webapp.facts.metal_ask import ask_metal
from webapp.records.views import BuildView, CastingView
from webapp.sheets.truing.drawing import Clock, clock_of_edge, clock_of_face, clock_of_look
from webapp.sheets.truing.form import Held
from webapp.sheets.truing.view_stored import RoundView, TruingView
from webapp.sheets.truing.view_words import (
    GRIP_WORDS,
    SEEN_WORDS,
    STOP_WORDS,
    EdgeOutcome,
    dial_words,
    divisions,
    edge_outcome,
    held_words,
    jaws_words,
    look_of,
    wobble_of,
)

_SURE = (Stop.TRUE, Stop.SHAPE)
_STEP = {
    ("back", "radial"): "back_faced.rim_true",
    ("front", "radial"): "bored.rim_true",
    ("back", "eye"): "back_faced.rim_true",
    ("front", "eye"): "bored.rim_true",
    ("back", "face"): "back_faced.face_true",
    ("front", "face"): "bored.face_true",
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
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepToTick:
    """The step of the checklist that this set-up serves."""

    key: str
    words: str
    done: bool


@dataclass(frozen=True, slots=True)
class EdgeNow:
    """What the last round on the edge says to do.

    `lies` is where the work lies, `lead` how the jaws hold it or why to stop; `said` is how the last move went,
    `limits` what so few readings cannot tell.
    """

    advice: Advice
    moves: tuple[MoveView, ...]
    number: int
    next: int
    clock: Clock
    answer: str
    headline: str
    wrong_way: bool
    swings: tuple[str, ...]
    said: tuple[str, ...]
    lies: str
    lead: str
    after: tuple[str, ...]
    limits: tuple[str, ...]
    workings: tuple[Working, ...]


@dataclass(frozen=True, slots=True)
class EyeMoveView:
    """One pair of jaws as large words."""

    move: EyeMove
    sentence: str


@dataclass(frozen=True, slots=True)
class EyeNow:
    """What the last look by eye says to do."""

    look: Look
    moves: tuple[EyeMoveView, ...]
    next: int
    clock: Clock
    answer: str
    headline: str
    saw: str
    lead: str
    after: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaceNow:
    """What the last round on the face says to do."""

    wobble: Wobble
    too_large: str
    clock: Clock
    answer: str
    headline: str
    where: str
    words: tuple[str, ...]
    workings: tuple[Working, ...]


@dataclass(frozen=True, slots=True)
class RoundLine:
    """One round in the table of rounds; `share` of the largest swing is in hundredths, for its bar; none by eye."""

    one: RoundView
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
    eye: EyeNow | None
    latest: str
    # Whether the rim's edge was left true enough, and whether the last round asks for nothing more.
    true: bool
    enough: bool
    lines: tuple[RoundLine, ...]
    tick: StepToTick | None
    # The back is ticked as faced, so the wheel has most likely been turned round since.
    turned: bool

    @property
    def held(self) -> Held:
        """How it is held."""
        return self.truing.held


def set_up_sheet(build: BuildView, casting: CastingView, truing: TruingView) -> SetUpSheet:
    """Everything the page shows of a set-up."""
    held = truing.held
    edges, faces = truing.live("radial"), truing.live("face")
    edge = _edge(edges, held) if edges else None
    looks = truing.live("eye")
    eye = _eye(looks, held) if looks else None
    outcome = edge_outcome(truing)
    face = face_now(build, casting, faces[-1], held) if faces else None
    order = build.order_of(casting)
    first = "front" if order.front_first else "back"
    return SetUpSheet(
        truing=truing,
        words=held_words(held),
        outcome=_outcome(outcome, face),
        edge=edge,
        face=face,
        eye=eye,
        latest=truing.latest,
        true=outcome is not None and outcome.true,
        enough=_enough(truing.latest, outcome, face),
        lines=_lines(truing),
        tick=_tick(order, casting, truing, outcome, face),
        turned=held.outward == first and casting.has(order.first_cut),
    )


def held_box(build: BuildView, casting: CastingView, outward: str, held: SetUpSheet | None) -> SetBox:
    """How the jaws hold it, to be kept with the wheel once it runs true."""
    true = held is not None and (held.enough or held.true)
    texts = {Setting.JAWS: GRIP_WORDS[held.held.grip]} if held is not None and true else {}
    return set_box(build, casting, f"hold_{outward}", "true", texts)


def _edge(rounds: tuple[RoundView, ...], held: Held) -> EdgeNow:
    found = [held.advise(one.dial_readings) for one in rounds]
    last = found[-1]
    convergence = judge_rounds(found)
    wrong = convergence.trend is Trend.WRONG_WAY
    if last.stop:
        answer, headline = "serves" if last.stop in _SURE else "caution", STOP_WORDS[last.stop]
    elif wrong:
        answer, headline = "not", "The last move went the wrong way"
    else:
        answer, headline = "caution", "Move these jaws"
    return EdgeNow(
        advice=last,
        moves=tuple(_move(move, last) for move in last.moves),
        number=len(rounds),
        next=len(rounds) + 1,
        clock=clock_of_edge(last, 2 * held.tolerance_nm),
        answer=answer,
        headline=headline,
        wrong_way=wrong,
        swings=say.swing_words(found),
        said=say.trend_words(convergence, last),
        lies=say.lies_words(last),
        lead=say.stop_words(last) or say.GRIP[held.grip],
        after=say.after_words(last),
        limits=say.limit_words(last),
        workings=advice_workings(last),
    )


def _eye(rounds: tuple[RoundView, ...], held: Held) -> EyeNow:
    found = [look_of(one, held) for one in rounds]
    last = found[-1]
    stands = since(found[-2], last) if len(found) > 1 else None
    return EyeNow(
        look=last,
        moves=tuple(EyeMoveView(one, say.eye_move_words(one)) for one in last.moves),
        next=len(rounds) + 1,
        clock=clock_of_look(last),
        # How far it is out nobody knows, so it is never said to be good.
        answer="caution",
        headline=SEEN_WORDS[last.seen],
        saw=f"{say.look_words(last).capitalize()}.",
        lead=say.GRIP[held.grip] if last.moves else "",
        after=say.after_look(last, stands),
    )


def _move(move: JawMove, advice: Advice) -> MoveView:
    dial, at = advice.dial, advice.shown_at(move.watch)
    return MoveView(
        move=move,
        shows="" if at is None else dial_words(at, dial),
        way="down" if move.dial_change_nm < 0 else "up",
        by=f"{show_small(move.by_nm, dial.unit)}, {divisions(move.by_nm, dial)}",
        target="" if move.target_nm is None else dial_words(move.target_nm, dial),
        sentence=say.move_words(move, dial),
        notes=say.move_notes(move),
    )


def face_now(build: BuildView, casting: CastingView, one: RoundView, held: Held) -> FaceNow:
    """The last round on the face, judged against the metal there is."""
    stock = face_stock(build, casting, held.outward)
    wobble = wobble_of(one, held, stock)
    if wobble.too_large:
        answer, headline = "not", "No good: it leans by more than there is metal, do not cut"
    elif wobble.tap:
        answer, headline = "caution", "Tap the face true"
    else:
        answer, headline = "serves", "Good: the face is true enough, go on"
    return FaceNow(
        wobble=wobble,
        too_large=say.too_large_words(wobble),
        clock=clock_of_face(one.dial_readings, wobble, held.grip, 2 * held.tolerance_nm),
        answer=answer,
        headline=headline,
        where=say.spot_words(wobble.tap_deg),
        words=say.wobble_words(wobble),
        workings=wobble_workings(wobble),
    )


def face_stock(build: BuildView, casting: CastingView, outward: str) -> int | None:
    """Metal still to come off the side of the rim that faces out; None where it was not measured since it was cut."""
    if casting.sizes.get("rim_height") is None:
        return None
    try:
        return ask_metal(build, casting, Face.RIM_BACK if outward == "back" else Face.RIM_FRONT).stock_nm
    except StockError:
        # Not measured since the cut, or sizes that contradict each other: the metal sheet tells which.
        return None


def _outcome(edge: EdgeOutcome | None, face: FaceNow | None) -> str:
    if edge is not None:
        return edge.words
    if face is not None:
        return f"the face {say.swing(face.wobble.swing_nm, face.wobble.dial.unit)}"
    return "nothing read"


def _lines(truing: TruingView) -> tuple[RoundLine, ...]:
    held = truing.held
    found: list[tuple[RoundView, int | None, str]] = []
    for one in truing.rounds:
        if one.kind == "eye":
            look = look_of(one, held)
            found.append((one, None, jaws_words(look.moves) if look.moves else SEEN_WORDS[look.seen]))
        elif one.kind == "radial":
            advice = held.advise(one.dial_readings)
            found.append((one, advice.tir_nm, STOP_WORDS[advice.stop] if advice.stop else ""))
        else:
            wobble = wobble_of(one, held)
            said = f"Tap at {say.spot_words(wobble.tap_deg)}" if wobble.tap else "True enough"
            found.append((one, wobble.swing_nm, said))
    most = max((swing for _, swing, _ in found if swing is not None), default=0) or 1
    return tuple(
        RoundLine(one, "by eye", said, 0)
        if swing is None
        else RoundLine(one, show_small(swing, held.dial.unit), said, round(100 * swing / most))
        for one, swing, said in found
    )


def _enough(latest: str, edge: EdgeOutcome | None, face: FaceNow | None) -> bool:
    """Whether the last round, on the edge or on the face, asks for nothing more."""
    if latest == "face":
        return face is not None and face.answer == "serves"
    return edge is not None and edge.true


def _tick(
    order: Order, casting: CastingView, truing: TruingView, edge: EdgeOutcome | None, face: FaceNow | None
) -> StepToTick | None:
    """The step to tick once the last round says to stop."""
    key = _STEP.get((truing.held.outward, truing.latest), "")
    if not key or not _enough(truing.latest, edge, face):
        return None
    step = tickable(key)
    # Of a back that is faced on a mandrel nothing is set true in the jaws.
    if not isinstance(step, Step) or step not in order.steps(step.stage):
        return None
    return StepToTick(key, step.words, key in casting.ticks)
