"""What was measured of a tyre, against the standard's limits or the drawing's own."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import Unit, show
from domain.measuring.decision import Conformity, Decision, decide
from domain.treads.wheel_standard import Figure, WheelStandard
from domain.working import Working


class TreadFigure(StrEnum):
    """The figures of a tyre that are logged; the value is how the page names it."""

    FLANGE_WIDTH = "flange thickness"
    FLANGE_DEPTH = "flange height"
    TYRE_WIDTH = "tyre width"
    ROOT_RADIUS = "root radius"
    TREAD_DIAMETER = "tread diameter"


class TreadAnswer(StrEnum):
    """What is known of one figure."""

    DOES_NOT = "does not conform"
    CANNOT_TELL = "cannot tell with this instrument"
    NOT_LOGGED = "not logged yet"
    NO_LIMIT = "no limit to judge it by"
    CONFORMS = "conforms"


class TreadJudgingError(ValueError):
    """A figure that no tyre can have; its text is one sentence for the page, its field says where it was typed."""

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True)
class Measured:
    """A measured size and its expanded uncertainty U (k = 2), nm."""

    nm: int
    expanded_nm: int


@dataclass(frozen=True)
class Limits:
    """The least and the most allowed, nm, each None where there is none, and who says so."""

    low_nm: int | None
    high_nm: int | None
    source: str


@dataclass(frozen=True)
class TreadVerdict:
    """One figure judged: the answer, one or more sentences, what to do about it ("" when nothing), the working."""

    figure: TreadFigure
    answer: TreadAnswer
    words: str
    remedy: str
    limits: Limits | None
    decision: Decision | None
    working: Working | None


_ANSWERS = {
    Conformity.INSIDE: TreadAnswer.CONFORMS,
    Conformity.OUTSIDE: TreadAnswer.DOES_NOT,
    Conformity.CANNOT_TELL: TreadAnswer.CANNOT_TELL,
}

# What a turner can do about a figure that is (too small, too large): common practice, no source.
_REMEDIES = {
    TreadFigure.FLANGE_WIDTH: (
        "Metal cannot be put back: ask the track's owner, or make this wheel again.",
        "Take the flange face down with the form tool, and try the root again.",
    ),
    TreadFigure.FLANGE_DEPTH: (
        "A smaller tread diameter makes the flange higher, but then the whole group must follow.",
        "Turn the flange's top down and round it again.",
    ),
    TreadFigure.TYRE_WIDTH: (
        "Metal cannot be put back: ask the track's owner, or make this wheel again.",
        "Face the front of the tyre down and break its edge again.",
    ),
    TreadFigure.ROOT_RADIUS: (
        "Form the root again with a rounder tool, while flange and tread still have metal for it.",
        "Form the root again with a tool of less radius, while flange and tread still have metal for it.",
    ),
    TreadFigure.TREAD_DIAMETER: (
        "Metal cannot be put back: work out the group's diameter again with this wheel's own.",
        "Take another cut on the tread, then measure again.",
    ),
}


def limits_of(standard: WheelStandard) -> dict[TreadFigure, Limits]:
    """The limits a published standard prints for a tyre.

    Formula: none; a figure printed for reference only, or not at all, is left out.
    Parameters: `standard`, one row.
    Returns: limits by figure, nm; the tread diameter is never among them.
    Source: the standard's own.

    >>> from domain.treads.wheel_standard import preset
    >>> limits_of(preset("ibls-5"))[TreadFigure.FLANGE_WIDTH].high_nm
    3175000
    """
    printed: dict[TreadFigure, Figure | None] = {
        TreadFigure.FLANGE_WIDTH: standard.flange_width,
        TreadFigure.FLANGE_DEPTH: standard.flange_depth,
        TreadFigure.TYRE_WIDTH: standard.tyre_width,
        TreadFigure.ROOT_RADIUS: standard.root_radius,
    }
    return {
        what: Limits(one.low_nm, one.high_nm, standard.source)
        for what, one in printed.items()
        if one is not None and (one.low_nm, one.high_nm) != (None, None)
    }


def judge_figure(
    figure: TreadFigure, measured: Measured | None, limits: Limits | None, unit: Unit
) -> TreadVerdict:
    """One measured figure of a tyre against its limits.

    Formula: conforms if low + g <= size <= high - g; does not if size < low - g or size > high + g; g = 0.825 U.
    Parameters: `figure`; `measured`, nm, None when it is not logged; `limits`, nm, None when nobody sets any; `unit`,
    shown first.
    Returns: the verdict; a remedy only where the figure is shown to be wrong.
    Raises: TreadJudgingError, field the figure's name with `_`, for a size not above zero; DecisionError for limits the
    wrong way round or U below zero.
    Source: ISO 14253-1:2017; remedies are common practice, no source.

    >>> judge_figure(TreadFigure.TYRE_WIDTH, Measured(12_700_000, 20_000),
    ...     Limits(12_827_000, None, "drawing"), Unit.MM).answer.value
    'does not conform'
    """
    name = figure.value
    if measured is None:
        wanted = f": the limits are {_span(limits, unit)}" if limits else ""
        words = f"The {name} is not logged yet{wanted}."
        return TreadVerdict(figure, TreadAnswer.NOT_LOGGED, words, "", limits, None, None)
    if measured.nm <= 0:
        raise TreadJudgingError(
            name.replace(" ", "_"), f"The {name} must be more than nothing: measure it again."
        )
    if limits is None:
        words = f"The {name} is {show(measured.nm, unit)}; nothing limits it here, so go by the drawing."
        return TreadVerdict(figure, TreadAnswer.NO_LIMIT, words, "", None, None, None)
    found = decide(measured.nm, measured.expanded_nm, limits.low_nm, limits.high_nm, unit, name)
    answer = _ANSWERS[found.answer]
    remedy = _remedy(figure, measured.nm, limits) if answer is TreadAnswer.DOES_NOT else ""
    words = f"{found.words} The limits are {_span(limits, unit)}, by {limits.source}."
    return TreadVerdict(figure, answer, words, remedy, limits, found, found.working)


def judge_tyre(
    standard: WheelStandard,
    logged: Mapping[TreadFigure, Measured],
    unit: Unit,
    own: Mapping[TreadFigure, Limits] | None = None,
) -> tuple[TreadVerdict, ...]:
    """Every figure of one tyre, judged.

    Formula: as judge_figure does; the build's own limits go before the standard's.
    Parameters: `standard`; `logged`, what was measured, nm; `unit`, shown first; `own`, limits the builder or the
    track's owner sets instead, and the tread diameter's.
    Returns: a verdict for each of the five figures, in their order.
    Raises: as judge_figure does.
    Source: ISO 14253-1:2017.

    >>> from domain.treads.wheel_standard import preset
    >>> [one.answer.value for one in judge_tyre(preset("gauge-1"), {}, Unit.MM)][:2]
    ['not logged yet', 'not logged yet']
    """
    limits = limits_of(standard) | dict(own or {})
    return tuple(judge_figure(what, logged.get(what), limits.get(what), unit) for what in TreadFigure)


def _remedy(figure: TreadFigure, nm: int, limits: Limits) -> str:
    small, large = _REMEDIES[figure]
    return small if limits.low_nm is not None and nm < limits.low_nm else large


def _span(limits: Limits, unit: Unit) -> str:
    low, high = limits.low_nm, limits.high_nm
    if low is not None and high is not None:
        return f"{show(low, unit)} to {show(high, unit)}"
    if low is not None:
        return f"at least {show(low, unit)}"
    return f"at most {show(high or 0, unit)}"
