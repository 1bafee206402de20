"""The engine's coupled axles and rods as measured, the drawing standing in where they are not, and whether they go."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import pairwise

from domain.cranks.cylinders import Side
from domain.cranks.quartering import QuarterAngle
from domain.cranks.words import quarter_words
from domain.lengths import Unit
from domain.rods.engine import RodAxle, RodEngine, RodsError
from domain.rods.judging import RodsVerdict, judge_rods
from domain.rods.lack import RodsAnswer
from domain.rods.words import headline as headline_words
from domain.rods.words import verdict_clause
from domain.route.stages import Stage
from webapp.facts.quartering import (
    CONFLICT_CLAUSE,
    HeightsGone,
    QuarterFinding,
    Quarterings,
    conflict_hides_angle,
    cranks_of,
    sentence,
    throw_of,
)
from webapp.records.views import AxleView, BuildView
from webapp.typed.rods import (
    SIDES,
    WITHIN_CLEARANCE,
    RodFigures,
    RodPair,
    borrowed,
    clearance_of,
    figure_of,
    other_side,
    span_of,
    within_of,
)

# A picture stepped by hand asks for the same verdict at each step.
judged = lru_cache(maxsize=64)(judge_rods)
_NAMES = {
    "centre": "axle centres",
    "rod": "rod centres",
    "slack": "slack of the axle boxes",
    "clearance": "clearance of the bushes",
}


@dataclass(frozen=True, slots=True)
class MissingFigure:
    """A figure that is not measured, in words that end in a full stop, and where it is."""

    words: str
    address: str
    link: str

    @property
    def sentence(self) -> str:
        """The words where they begin a line."""
        return sentence(self.words)


@dataclass(slots=True)
class _Known:
    """What comes to light while the engine is put together."""

    missing: list[MissingFigure] = field(default_factory=list)
    throws: list[str] = field(default_factory=list)
    exact: list[str] = field(default_factory=list)
    blocked: list[MissingFigure] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class CoupledRods:
    """The coupled axles, and the engine they make; None where it cannot be put together, for what is in `blocked`.

    missing: the drawing, the other side or another figure stands in for these. exact: given, but not how sure.
    """

    axles: tuple[AxleView, ...]
    engine: RodEngine | None
    missing: tuple[MissingFigure, ...] = ()
    exact: tuple[str, ...] = ()
    blocked: tuple[MissingFigure, ...] = ()


@dataclass(frozen=True, slots=True)
class RodsLine:
    """Whether the rods go round in one line, for the build's own sheet; state is serves, caution or not."""

    words: str
    address: str
    state: str


def coupled_of(build: BuildView) -> tuple[AxleView, ...]:
    """The coupled axles from the front; carrying axles between them are passed over."""
    return tuple(sorted((axle for axle in build.axles if axle.coupled), key=lambda axle: axle.number))


def pairs_of(build: BuildView) -> tuple[RodPair, ...]:
    """Each two neighbouring coupled axles."""
    axles = coupled_of(build)
    return tuple(RodPair(one.id, one.number, two.number) for one, two in pairwise(axles))


class Rods:
    """The coupled axles and their rods, put together and judged once."""

    def __init__(self, build: BuildView, quartering: Quarterings) -> None:
        self._build = build
        self._quartering = quartering

    @cached_property
    def coupled(self) -> CoupledRods:
        """The engine put together from what is logged."""
        return _coupled(self._build, self._quartering)

    @property
    def verdict(self) -> RodsVerdict | None:
        """What the judge finds; None where the engine cannot be put together or cannot be."""
        return judge(self.coupled, self._build.unit)[0]

    @cached_property
    def line(self) -> RodsLine | None:
        """Whether the rods go round, in one line; None where there are no rods, or no figure of them yet."""
        build, found = self._build, self.coupled
        if len(found.axles) < 2 or not build.rods:
            return None
        address = f"/builds/{build.id}/rods"
        verdict, error = judge(found, build.unit)
        if verdict is not None:
            words, state = headline(verdict, found, build.unit)
            return RodsLine(f"{words}.", address, state)
        if error is not None:
            return RodsLine(str(error), address, "caution")
        return RodsLine(f"Not judged yet: {found.blocked[0].words}", address, "caution")


def _coupled(build: BuildView, quartering: Quarterings) -> CoupledRods:
    axles, known, rods = coupled_of(build), _Known(), build.rods
    if len(axles) < 2:
        return CoupledRods(axles, None)
    measured = tuple(_axle(build, quartering, axle, known) for axle in axles)
    spans = []
    for pair in pairs_of(build):
        span = span_of(rods, pair.axle_id)
        _what_is_missing(build, pair, rods, known)
        if span is not None:
            spans.append(span)
    known.exact += _not_said_how_sure(build, rods)
    if known.throws:
        known.exact.insert(0, f"the throws of {', '.join(known.throws)}")
    numbers = tuple(axle.number for axle in axles)
    cranks = cranks_of(build)
    wanted = cranks.ahead_deg(*cranks.pairs()[0])
    engine = RodEngine(measured, tuple(spans), build.lead == Side.RIGHT, numbers, wanted)
    return CoupledRods(
        axles,
        None if known.blocked else engine,
        tuple(known.missing),
        tuple(known.exact),
        tuple(known.blocked),
    )


def judge(found: CoupledRods, unit: Unit) -> tuple[RodsVerdict | None, RodsError | None]:
    """The verdict, or why there is none; neither where the engine cannot be put together."""
    if found.engine is None:
        return None, None
    try:
        return judged(found.engine, unit), None
    except RodsError as error:
        return None, error


def headline(verdict: RodsVerdict, found: CoupledRods, unit: Unit) -> tuple[str, str]:
    """The answer in a line and as serves, caution or not; never sure while something is not measured."""
    if found.missing and verdict.answer is RodsAnswer.GOES:
        return "They would go round, if what is not measured yet is as taken here", "caution"
    clause = verdict_clause(verdict, unit)
    if found.missing:
        return f"Not all is measured; as taken here, {clause}", "caution"
    states = {RodsAnswer.GOES: "serves", RodsAnswer.BINDS: "not"}
    said = f"By the figures as typed, {clause}" if found.exact else headline_words(verdict, unit)
    state = "caution" if verdict.worst.little else states.get(verdict.answer, "caution")
    return said, state


def _axle(build: BuildView, quartering: Quarterings, axle: AxleView, known: _Known) -> RodAxle:
    for side in SIDES:
        _look_at_throw(axle, side, known)
    left, right = (throw_of(build, axle, side) for side in SIDES)
    quarter = _quarter(build, quartering.of(axle), axle, known)
    if quarter is None:
        cranks = cranks_of(build)
        angle, expanded = cranks.ahead_deg(*cranks.pairs()[0]), 0.0
    else:
        angle, expanded = quarter.angle_deg, quarter.expanded_deg
    return RodAxle(
        left_throw_nm=left.nm,
        right_throw_nm=right.nm,
        quarter_deg=angle,
        left_throw_u_nm=left.expanded_nm,
        right_throw_u_nm=right.expanded_nm,
        quarter_u_deg=expanded,
    )


def _look_at_throw(axle: AxleView, side: str, known: _Known) -> None:
    casting = axle.at(side)
    if casting is None:
        words = f"throw of axle {axle.number}, {side}: no wheel stands there."
        known.missing.append(MissingFigure(words, f"/axles/{axle.id}", f"To axle {axle.number}"))
    elif casting.throw is None:
        words = f"throw of {casting.mark} (axle {axle.number}, {side})"
        if casting.has(Stage.BORED):
            words += "."
            address, link = f"/castings/{casting.id}/throw", f"Log the throw of {casting.mark}"
        else:
            # Its sheet takes a throw only once it is bored: say what comes first.
            words += f": {casting.mark} is not bored yet, bore it first."
            address, link = f"/castings/{casting.id}", f"To {casting.mark}"
        known.missing.append(MissingFigure(words, address, link))
    elif casting.throw.expanded_nm is None:
        known.throws.append(casting.mark)


def _quarter(build: BuildView, found: QuarterFinding, axle: AxleView, known: _Known) -> QuarterAngle | None:
    """The angle measured; without one it is missing, and with the wrong crank ahead no rods can be put on."""
    words, address = f"quarter angle of axle {axle.number}", f"/axles/{axle.id}/quartering"
    link = f"Measure the quartering of axle {axle.number}"
    sheet, error = found.sheet, found.error
    if isinstance(error, HeightsGone):
        known.missing.append(MissingFigure(f"{words}: {error.clause}", address, link))
        return None
    if error is not None and conflict_hides_angle(build):
        cylinders = f"/builds/{build.id}/figures#quarter"
        known.missing.append(MissingFigure(f"{words}: {CONFLICT_CLAUSE}", cylinders, "Cylinders"))
        return None
    if error is not None:
        cannot = f"{words}, for the heights logged cannot be: {error}"
        known.missing.append(MissingFigure(cannot, address, link))
        return None
    if sheet is None or axle.heights is None:
        known.missing.append(MissingFigure(f"{words}.", address, link))
        return None
    if not sheet.quarter.lead_right:
        known.blocked.append(
            MissingFigure(f"axle {axle.number}: {quarter_words(sheet.quarter)}", address, link)
        )
    if axle.heights.expanded_nm is None:
        known.exact.append(f"the heights of axle {axle.number}")
    return sheet.quarter


def _what_is_missing(build: BuildView, pair: RodPair, rods: RodFigures, known: _Known) -> None:
    address, link = f"/builds/{build.id}/rods?open=figures#rods-{pair.axle_id}", "Type the rods' figures"
    axles = f"axles {pair.front} and {pair.rear}"
    has = {key: figure_of(rods, pair.axle_id, "left", key) is not None for key in ("centre", "rod")}
    if not any(has.values()):
        known.blocked.append(MissingFigure(f"type the axle centres and the rods of {axles}.", address, link))
    elif not has["centre"]:
        known.missing.append(
            MissingFigure(f"axle centres of {axles}, taken as long as the rods.", address, link)
        )
    elif not has["rod"]:
        known.missing.append(
            MissingFigure(f"rods of {axles}, taken as long as the axle centres.", address, link)
        )
    for side in SIDES:
        known.missing += [
            MissingFigure(
                f"{_NAMES[key]} of {axles}, {side}: taken as on the {other_side(side)}.", address, link
            )
            for key in borrowed(rods, pair.axle_id, side)
        ]


def _not_said_how_sure(build: BuildView, rods: RodFigures) -> list[str]:
    """The figures of the rods that were given without how sure they are."""
    fronts = [pair.axle_id for pair in pairs_of(build)]
    found = []
    lengths = any(figure_of(rods, axle, "left", key) for axle in fronts for key in ("centre", "rod"))
    if lengths and within_of(rods) is None:
        found.append("the axle centres and rods")
    clearances = any(clearance_of(rods, axle, "left") is not None for axle in fronts)
    if clearances and within_of(rods, WITHIN_CLEARANCE) is None:
        found.append("the clearances of the bushes")
    return found
