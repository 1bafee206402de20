"""What was measured of a tyre, against the standard's limits or the drawing's own."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from domain.lengths import Unit
from domain.measuring.decision import Conformity, Decision, decide
from domain.treads.flange import FlangePlace
from domain.treads.wheel_standard import Figure, TreadError, WheelStandard


class TreadFigure(StrEnum):
    """The figures of a tyre that are logged; the value is how the page names it."""

    FLANGE_WIDTH = "flange thickness"
    FLANGE_DEPTH = "flange height"
    TYRE_WIDTH = "tyre width"
    ROOT_RADIUS = "root radius"
    TREAD_DIAMETER = "tread diameter"


class TreadAnswer(StrEnum):
    """What is known of one figure."""

    NO_GOOD = "no good"
    CANNOT_TELL = "cannot tell"
    NOT_LOGGED = "not logged yet"
    NO_LIMIT = "no limit to judge it by"
    GOOD = "good"


@dataclass(frozen=True)
class MeasuredSize:
    """A measured size and its expanded uncertainty U (k = 2), nm."""

    nm: int
    expanded_nm: int


@dataclass(frozen=True)
class Limits:
    """The least and the most allowed, nm, each None where there is none, and who says so."""

    low_nm: int | None
    high_nm: int | None
    source: str

    def lowered(self, by_nm: int) -> "Limits":
        """The same limits where the metal is thinner, nm."""
        low, high = (None if nm is None else nm - by_nm for nm in (self.low_nm, self.high_nm))
        return Limits(low, high, self.source)


@dataclass(frozen=True)
class TreadVerdict:
    """One figure judged: the answer, what was measured, and the decision where there are limits.

    A flange's thickness has the place where it was measured, whose limits these then are.
    """

    figure: TreadFigure
    answer: TreadAnswer
    measured: MeasuredSize | None
    limits: Limits | None
    decision: Decision | None = None
    place: FlangePlace | None = None

    @property
    def too_small(self) -> bool:
        """Whether it is under its least limit."""
        low = self.limits.low_nm if self.limits else None
        return self.measured is not None and low is not None and self.measured.nm < low


_ANSWERS = {
    Conformity.INSIDE: TreadAnswer.GOOD,
    Conformity.OUTSIDE: TreadAnswer.NO_GOOD,
    Conformity.CANNOT_TELL: TreadAnswer.CANNOT_TELL,
}


def at_tread(measured: MeasuredSize | None, place: FlangePlace) -> MeasuredSize | None:
    """What a flange's thickness comes to at the tread's level, where gauges count it; None where it tells nothing.

    Formula: measured + height tan(lean). Source: geometry.
    """
    if measured is None or place.lack:
        return None
    return MeasuredSize(measured.nm + place.less_nm, measured.expanded_nm)


def limits_of(standard: WheelStandard) -> dict[TreadFigure, Limits]:
    """The limits a published standard prints for a tyre; what is printed for reference only is left out.

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
        if one is not None and one.limited
    }


@dataclass(frozen=True)
class TyreFinding:
    """One tyre judged, figure by figure: what every sheet and guard says of it."""

    verdicts: tuple[TreadVerdict, ...]

    def of(self, *answers: TreadAnswer) -> tuple[TreadVerdict, ...]:
        """The figures with one of these answers."""
        return tuple(one for one in self.verdicts if one.answer in answers)

    @property
    def out(self) -> tuple[TreadVerdict, ...]:
        """The figures shown to be no good: with one of them the wheel is out."""
        return self.of(TreadAnswer.NO_GOOD)

    @property
    def answer(self) -> TreadAnswer:
        """What is known of the tyre: the worst of what was measured, nothing logged while nothing is."""
        return min((one.answer for one in self.verdicts), key=_RANK.index, default=TreadAnswer.NOT_LOGGED)


# What weighs more comes first; a figure without limits or not logged says nothing against the others.
_RANK = (
    TreadAnswer.NO_GOOD,
    TreadAnswer.CANNOT_TELL,
    TreadAnswer.GOOD,
    TreadAnswer.NO_LIMIT,
    TreadAnswer.NOT_LOGGED,
)


# A turn of a micrometer's thimble, 0.5 mm or 0.025 in, is what is misread: a tread this far under, on diameter, is asked
# about. Common practice, no source.
FAR_UNDER_NM = 400_000


def must_follow_nm(
    tread_nm: int, drawn_nm: int, others_nm: Iterable[int], tolerance_nm: int, match_nm: int
) -> int:
    """How far below what it was to be a turned tread that is right for its group takes that group, nm.

    Formula: drawn - tread; 0 where that is within `tolerance_nm`, or where one of `others_nm`, the turned treads of the
    group, is down to it within `match_nm` already.
    Parameters: `drawn_nm`, what the group was to come to, by the drawing or by its rough castings.
    Source: derived here from coupled wheels having to match; no published source.

    >>> must_follow_nm(109_900_000, 110_000_000, [110_000_000], 50_000, 50_000)
    100000
    >>> must_follow_nm(109_900_000, 110_000_000, [109_900_000], 50_000, 50_000)
    0
    """
    below = drawn_nm - tread_nm
    followed = any(nm - tread_nm <= match_nm for nm in others_nm)
    return 0 if followed or below <= tolerance_nm else below


def judge_figure(
    figure: TreadFigure, measured: MeasuredSize | None, limits: Limits | None, unit: Unit
) -> TreadVerdict:
    """One measured figure of a tyre against its limits.

    Formula: conforms if low + g <= size <= high - g; does not if size < low - g or size > high + g; g = 0.825 U.
    Parameters: `figure`; `measured`, nm, None when it is not logged; `limits`, nm, None when nobody sets any; `unit`,
    shown first.
    Raises: TreadError, its field such as `tyre_width`, for a size not above zero; DecisionError for limits the wrong
    way round or U below zero.
    Source: ISO 14253-1:2017.

    >>> judge_figure(TreadFigure.TYRE_WIDTH, MeasuredSize(12_700_000, 20_000),
    ...     Limits(12_827_000, None, "drawing"), Unit.MM).answer.value
    'no good'
    """
    if measured is None:
        return TreadVerdict(figure, TreadAnswer.NOT_LOGGED, None, limits)
    if measured.nm <= 0:
        raise TreadError(
            f"The {figure} must be more than nothing: measure it again.", field=figure.name.lower()
        )
    if limits is None:
        return TreadVerdict(figure, TreadAnswer.NO_LIMIT, measured, None)
    found = decide(
        value_nm=measured.nm,
        expanded_nm=measured.expanded_nm,
        low_nm=limits.low_nm,
        high_nm=limits.high_nm,
        unit=unit,
        what=figure.value,
    )
    return TreadVerdict(figure, _ANSWERS[found.answer], measured, limits, found)


def judge_tyre(
    standard: WheelStandard,
    logged: Mapping[TreadFigure, MeasuredSize],
    unit: Unit,
    own: Mapping[TreadFigure, Limits] | None = None,
    place: FlangePlace | None = None,
) -> TyreFinding:
    """Every figure of one tyre, judged.

    Formula: as judge_figure does; the build's own limits go before the standard's; those of the flange's thickness hold
    at the tread's level, and are less by height tan(lean) where it was measured.
    Parameters: `standard`; `logged`, what was measured, nm; `unit`, shown first; `own`, limits the builder or the
    track's owner sets instead, and the tread diameter's; `place`, where the flange's thickness was measured.
    Returns: a verdict for each of the five figures, in their order.
    Source: ISO 14253-1:2017; the drawn profile.

    >>> from domain.treads.wheel_standard import preset
    >>> judge_tyre(preset("gauge-1"), {}, Unit.MM).answer.value
    'not logged yet'
    """
    limits = limits_of(standard) | dict(own or {})
    found = tuple(
        _judge_flange(logged.get(what), limits.get(what), unit, place)
        if what is TreadFigure.FLANGE_WIDTH
        else judge_figure(what, logged.get(what), limits.get(what), unit)
        for what in TreadFigure
    )
    return TyreFinding(found)


def _judge_flange(
    measured: MeasuredSize | None, limits: Limits | None, unit: Unit, place: FlangePlace | None
) -> TreadVerdict:
    what = TreadFigure.FLANGE_WIDTH
    if measured is None or limits is None:
        return replace(judge_figure(what, measured, limits, unit), place=place)
    if place is None or place.lack:
        return TreadVerdict(what, TreadAnswer.CANNOT_TELL, measured, limits, place=place)
    return replace(judge_figure(what, measured, limits.lowered(place.less_nm), unit), place=place)
