"""What the rods are told to need, in words: the verdict, its reasons, what frees them, and the workings."""

import math
from collections.abc import Sequence

from domain.cranks.cylinders import Side
from domain.cranks.quartering_set import AxleTurn, axle_turn
from domain.cranks.words import order_words
from domain.lengths import NM_PER_MM, Unit, show_small
from domain.lengths.showing import shown_up
from domain.rods.engine import EngineFigure, FigureKind, RodEngine
from domain.rods.judging import PairVerdict, RodsVerdict
from domain.rods.lack import Contribution, Lack, RodsAnswer
from domain.rods.remedies import Cause, Correction, Fault, Job, Proposal
from domain.working import Working

CAUTIONS = (
    "Turn the wheels by hand with the fingers clear of the rods and spokes, and find every tight place before steam "
    "or air is let in.",
    "Bushes opened to let a fault pass knock and wear: put the fault right first where that can be done.",
)
_DERIVED = "derived here from the geometry of two cranks and a rod; no published source"
_RODS = {Job.LEFT_ROD: "the left rod", Job.RIGHT_ROD: "the right rod", Job.BOTH_RODS: "both rods"}
_SEVERAL = (Fault.LEFT_THROWS, Fault.RIGHT_THROWS, Fault.BOTH_RODS)


def shown(mm: float, unit: Unit) -> str:
    """A length in mm, in both systems.

    >>> shown(0.0471, Unit.MM)
    '0.047 mm (0.0019 in)'
    """
    return show_small(round(mm * NM_PER_MM), unit)


def figure_words(figure: EngineFigure, engine: RodEngine) -> str:
    """What was measured.

    >>> from domain.cranks.cylinders import Side
    >>> figure_words(EngineFigure(FigureKind.ROD, 1, Side.LEFT, of_rods=True), RodEngine((), ()))
    'left rod of axles 1 and 2'
    """
    if not figure.of_rods:
        what = "quarter angle" if figure.kind is FigureKind.QUARTER else f"{figure.side} throw"
        return f"{what} of axle {engine.number(figure.place)}"
    what = {
        FigureKind.CENTRE: f"axle centres on the {figure.side} of",
        FigureKind.CLEARANCE: f"bushes of the {figure.side} rod of",
    }.get(figure.kind, f"{figure.side} rod of")
    return f"{what} axles {engine.both(figure.place - 1)}"


def crank_words(theta: float) -> str:
    """A crank position, radians from front dead centre, forwards; to the whole degree.

    >>> crank_words(math.pi / 4)
    'with the left crank 45 degrees past front dead centre, turning forwards'
    """
    degrees = round(math.degrees(theta)) % 360
    if not degrees:
        return "with the left crank at front dead centre"
    return f"with the left crank {degrees} degrees past front dead centre, turning forwards"


def verdict_clause(verdict: RodsVerdict, unit: Unit) -> str:
    """The answer on the engine, to stand after a colon; without a full stop."""
    worst = verdict.worst
    axles = f"axles {worst.first} and {worst.second}"
    if verdict.answer is RodsAnswer.GOES and worst.little:
        return f"the rods go round, but {axles} have {_in_hand(worst, unit)} in hand"
    if verdict.answer is RodsAnswer.GOES:
        return "the rods go round"
    if verdict.answer is RodsAnswer.BINDS:
        return f"the rods bind: {axles} lack {_more(worst, unit)}"
    if verdict.answer is RodsAnswer.CANNOT_TELL:
        return f"cannot tell whether the rods go round: {axles} are too near the limit"
    return f"the rods need up to {_more(worst, unit)}: log the clearances to be told whether they go"


def _more(pair: PairVerdict, unit: Unit) -> str:
    """The clearance a pair lacks, as the form asks for it: typed as it is shown, it is enough."""
    return f"{_lacking(pair, unit)}, both bushes added"


def _lacking(pair: PairVerdict, unit: Unit) -> str:
    return f"{show_small(shown_up(pair.more_nm, unit), unit)} of clearance"


def _in_hand(pair: PairVerdict, unit: Unit) -> str:
    spare = -shown_up(pair.more_nm, unit)
    return f"{show_small(spare, unit)} of clearance" if spare else "no clearance"


def headline(verdict: RodsVerdict, unit: Unit) -> str:
    """The answer on the engine in a line, without a full stop."""
    clause = verdict_clause(verdict, unit)
    return clause[0].upper() + clause[1:]


def pair_headline(pair: PairVerdict, unit: Unit) -> str:
    """The answer on two axles in a line, without a full stop."""
    axles, lack = f"Axles {pair.first} and {pair.second}", pair.lack
    if pair.answer is RodsAnswer.GOES:
        return f"{axles}: go round, {_in_hand(pair, unit)} in hand"
    if pair.answer is RodsAnswer.BINDS:
        return f"{axles}: bind, {_lacking(pair, unit)} lacking"
    if pair.answer is RodsAnswer.CANNOT_TELL:
        apart = f"{shown(2 * abs(lack.mm), unit)} of clearance {'lacking' if lack.mm > 0 else 'in hand'}"
        unsure = shown(2 * max(lack.high_mm - lack.mm, lack.mm - lack.low_mm), unit)
        return f"{axles}: cannot tell, {apart} but unsure by {unsure}"
    return f"{axles}: each rod needs {_lacking(pair, unit)}"


def pair_reasons(
    engine: RodEngine, pair: PairVerdict, unit: Unit, *, sure: bool = True, cured: bool = False
) -> tuple[str, ...]:
    """The sentences under the headline of a pair; not sure where it was not said how sure some figure is.

    `cured`: some setting or boring frees the engine.
    """
    to_be_sure = f", to be sure {show_small(pair.clearance_sure_nm, unit)}" if sure else ""
    said = [
        f"Each rod needs {show_small(pair.needed_nm, unit)} of play either way, most {crank_words(pair.lack.theta)}: "
        f"its two bushes together {show_small(pair.clearance_nm, unit)} over their pins{to_be_sure}."
    ]
    if pair.needed_nm:
        said.append(cause_words(pair.main, pair.first, pair.second, unit, cured=cured))
    if pair.answer is RodsAnswer.CANNOT_TELL:
        said.append(settling_words(engine, pair.lack, unit))
    if pair.with_slack_nm is not None and pair.against_slack_nm is not None and pair.lacking_nm is not None:
        said += _slack_words(pair.answer, pair.with_slack_nm, pair.against_slack_nm, unit)
    return tuple(said)


def _slack_words(answer: RodsAnswer, given_nm: int, against_nm: int, unit: Unit) -> list[str]:
    if answer is RodsAnswer.BINDS and given_nm > 0:
        return [
            f"Even with the slack of the axle boxes {show_small(2 * given_nm, unit)} of clearance is lacking."
        ]
    if answer is RodsAnswer.BINDS:
        return [
            "The slack of the axle boxes would take it up, but then the rods drag the axles to and fro at every turn: "
            "do not count on it."
        ]
    if against_nm > 0:
        return [
            f"With the boxes pushed to the ends of their slack {show_small(2 * against_nm, unit)} of clearance is lacking: "
            "there the boxes give way and knock."
        ]
    return []


def cause_words(cause: Cause | None, first: int, second: int, unit: Unit, *, cured: bool = False) -> str:
    """Which error of two axles causes most of the play, and what would do without it; None where no single one does.

    >>> print(cause_words(Cause(Fault.QUARTERING, math.radians(0.23), 0.036, 0.036, 0.0), 1, 2, Unit.MM))
    Most of it is the quartering: axle 2 is 0.23 degrees wider than axle 1. With that right none would do.
    """
    if cause is None:
        return "No single error causes most of it."
    mm = 2 * max(0.0, cause.without_mm)
    without = f"{shown(mm, unit)} of clearance" if round(mm * NM_PER_MM) else "none"
    much = "Most of it is" if cause.share > 0.5 else "The largest of several errors is"
    words = f"{much} {_fault_words(cause, first, second, unit)}. With that right {without} would do."
    if cause.fault in (Fault.LEFT_THROWS, Fault.RIGHT_THROWS) and not cured:
        words += " No setting and no boring of a rod cures throws that differ: exchange a wheel, or open the bushes."
    return words


def _fault_words(cause: Cause, first: int, second: int, unit: Unit) -> str:
    size, more = shown(abs(cause.size), unit), cause.size > 0
    length = f"{size} {'longer' if more else 'shorter'}"
    if cause.fault is Fault.QUARTERING:
        degrees = f"{abs(math.degrees(cause.size)):.2f} degrees {'wider' if more else 'narrower'}"
        return f"the quartering: axle {second} is {degrees} than axle {first}"
    if cause.fault is Fault.BOTH_RODS:
        return f"both rods together: up to {length} than their axle centres"
    if cause.fault in (Fault.LEFT_ROD, Fault.RIGHT_ROD):
        return f"the {cause.fault}: {length} than its axle centres"
    return f"the {cause.fault}: that of axle {second} is {length} than that of axle {first}"


def throws_words(odd: str, only: bool) -> str:
    """That unlike throws cause most of it: `odd` how far they lie apart and whose stand out; `only` where nothing else
    frees the rods.

    >>> throws_words("the left throws lie 0.254 mm (0.0100 in) apart", False)
    'The left throws lie 0.254 mm (0.0100 in) apart: most of it comes from there.'
    """
    if not odd:
        return ""
    said = f"{odd[0].upper()}{odd[1:]}"
    if only:
        return f"{said}: nothing else frees the rods. Exchange what differs, or open the bushes."
    return f"{said}: most of it comes from there."


def settling_words(engine: RodEngine, lack: Lack, unit: Unit) -> str:
    """Which measurement would settle a verdict that cannot be told; the U wanted is rounded down.

    >>> from domain.rods.lack import RodsSettling
    >>> what = EngineFigure(FigureKind.QUARTER, 2)
    >>> part = Contribution(what, 0.05, 0.01)
    >>> lack = Lack(0.0, 0.0, -0.1, 0.1, (part,), RodsAnswer.CANNOT_TELL, RodsSettling((what,), 0.5))
    >>> settling_words(RodEngine((), ()), lack, Unit.MM)
    'Measure the quarter angle of axle 2 again: to 0.025 degrees in place of 0.05 degrees it would be settled.'
    """
    settling = lack.settling
    if settling is None:
        return (
            "No better measurement would settle it: open the bushes a little, or put the largest error right."
        )
    names = [figure_words(figure, engine) for figure in settling.figures]
    if len(names) == 1:
        part = next(one for one in lack.contributions if one.figure == settling.figures[0])
        return (
            f"Measure the {names[0]} again: to {_u_words(part, settling.share, unit)} "
            f"in place of {_u_words(part, 1.0, unit)} it would be settled."
        )
    percent = math.floor(100 * settling.share)
    return f"Measure again, to {percent} % of today's uncertainty: {', '.join(names[:-1])} and {names[-1]}."


def _u_words(part: Contribution, share: float, unit: Unit) -> str:
    u = part.u * share
    if part.figure.kind is not FigureKind.QUARTER:
        return show_small(math.floor(u), unit)
    for places in (2, 3, 4):
        cut = math.floor(u * 10**places + 1e-9) / 10**places
        if cut >= 0.8 * u:
            return f"{cut:.{places}f} degrees"
    return f"{u:.5f} degrees"


def turn_of(engine: RodEngine, correction: Correction, side: Side = Side.RIGHT) -> AxleTurn:
    """A correction of an axle as the turn of its wheel on a side, by that wheel's throw as measured.

    >>> from domain.rods.engine import RodAxle
    >>> axle = RodAxle(25_400_000, 25_400_000, 90.0)
    >>> turn_of(RodEngine((axle, axle), ()), Correction(Job.SET_AXLE, 2, turn_deg=0.23)).arc_nm
    101962
    """
    axle, lead = engine.axles[correction.place - 1], Side.RIGHT if engine.right_leads else Side.LEFT
    return axle_turn(engine.number(correction.place), correction.turn_deg, axle.throw_nm(side), side, lead)


def correction_words(engine: RodEngine, correction: Correction, unit: Unit, side: Side = Side.RIGHT) -> str:
    """What to do to the engine as it is, as an order without a full stop; an axle by its wheel on a side.

    >>> from domain.rods.engine import RodAxle
    >>> axle = RodAxle(25_400_000, 25_400_000, 90.0)
    >>> correction_words(RodEngine((axle, axle), ()), Correction(Job.SET_AXLE, 2, turn_deg=0.23), Unit.MM)
    'Axle 2: set its right wheel forwards by 0.23 degrees, 0.102 mm (0.0040 in) at the crankpin'
    """
    place = correction.place
    if correction.job is Job.SET_AXLE:
        words = order_words(turn_of(engine, correction, side), unit)
        return words[0].upper() + words[1:]
    parts = [
        f"the {name} {show_small(abs(nm), unit)} {'longer' if nm > 0 else 'shorter'}"
        for name, nm in (("left", correction.left_nm), ("right", correction.right_nm))
        if nm
    ]
    bushes = "a bush in each of" if correction.job is Job.BOTH_RODS else "one bush of"
    return (
        f"Bore {bushes} {_RODS[correction.job]} of axles {engine.both(place - 1)} again, between centres "
        f"{' and '.join(parts)}"
    )


def proposal_words(engine: RodEngine, proposal: Proposal, unit: Unit, side: Side = Side.RIGHT) -> str:
    """What to do to the engine as it is, and what comes of it.

    >>> from domain.rods.engine import RodAxle
    >>> axle = RodAxle(25_400_000, 25_400_000, 90.0)
    >>> one = Proposal(Correction(Job.SET_AXLE, 2, turn_deg=0.23), 0.036, 0.0, True)
    >>> print(proposal_words(RodEngine((axle, axle), ()), one, Unit.MM))
    Axle 2: set its right wheel forwards by 0.23 degrees, 0.102 mm (0.0040 in) at the crankpin. Then all rods go round.
    """
    then = {True: " Then all rods go round.", False: " That alone is not enough.", None: ""}[proposal.frees]
    return f"{correction_words(engine, proposal.correction, unit, side)}.{then}"


def plan_title(plan: Sequence[Proposal]) -> str:
    """What the steps of a plan are together, before they are told; empty for no step.

    >>> plan_title([Proposal(Correction(Job.SET_AXLE, 2, turn_deg=0.23), 0.036, 0.0, True)])
    'One correction frees them'
    """
    if not plan:
        return ""
    if plan[-1].frees is None:
        return "What would help most, one after another"
    if not plan[-1].frees:
        return "These help, but are not enough: then open the bushes"
    return (
        "One correction frees them" if len(plan) == 1 else f"These {len(plan)}, one after another, free them"
    )


def gain_words(proposal: Proposal, unit: Unit) -> str:
    """What a correction gains.

    >>> gain_words(Proposal(Correction(Job.SET_AXLE, 2, turn_deg=0.23), 0.036, 0.0, True), Unit.MM)
    'The clearance a rod needs falls from 0.072 mm (0.0028 in) to 0.000 mm (0.0000 in).'
    """
    before, after = (shown(2 * mm, unit) for mm in (proposal.before_mm, proposal.after_mm))
    return f"The clearance a rod needs falls from {before} to {after}."


def pair_workings(pair: PairVerdict, unit: Unit) -> tuple[Working, ...]:
    """How the figures of a pair came about."""
    needed = show_small(pair.needed_nm, unit)
    figures = [
        Working(
            "play a rod needs",
            "max over a turn of the least over the phase of the worse side's |pin distance - rod|",
            f"exact; to first order |eR bL - eL bR| / (|bR| + |bL|) gives {shown(pair.first_order_mm, unit)} there",
            f"{needed}, {crank_words(pair.lack.theta)}",
            _DERIVED,
        ),
        Working(
            "clearance of a rod's two bushes",
            "2 x play",
            f"2 x {needed}; shared alike, {needed} in each bush",
            show_small(pair.clearance_nm, unit),
            _DERIVED,
        ),
        Working(
            "uncertainty of the play",
            "the play worked 1000 times over, each measurement drawn about its value with u = U / 2",
            f"{len(pair.lack.contributions)} measurements, taken as independent",
            f"{show_small(pair.guard_nm, unit)} more is exceeded once in twenty",
            "JCGM 101:2008, propagation by drawing; ISO 14253-1:2017 for the risk of 5 %",
        ),
    ]
    figures += [
        Working(
            f"what the {cause.fault} {'add' if cause.fault in _SEVERAL else 'adds'}",
            "play needed as it is, less play needed with this one right",
            f"alone it needs {shown(cause.alone_mm, unit)}, without it {shown(max(0.0, cause.without_mm), unit)} is needed",
            f"{100 * cause.share:.0f} % of {shown(cause.needed_mm, unit)}",
            _DERIVED,
        )
        for cause in pair.causes
    ]
    return tuple(figures)
