"""What each reamer really cuts, learned from the bores it cut, and which one to use: or the boring bar."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from domain.cutting.reaming import ReamingError, table
from domain.joints.fit import inward
from domain.lengths import Unit, show, show_offset
from domain.measuring.readings import summarise
from domain.working import Working

_FEWEST = 2  # one bore shows no spread, so nothing can be expected of the next


@dataclass(frozen=True)
class Reamer:
    """A reamer that is owned: its marked size and the bores logged from it, nm on the diameter."""

    name: str
    nominal_nm: int
    bores_nm: tuple[int, ...] = ()


@dataclass(frozen=True)
class Cut:
    """What a reamer cuts over (or, below zero, under) its marked size, nm; None where nothing is known yet.

    spread_nm: standard deviation of its bores; error_nm: standard error of the mean;
    low_nm, high_nm: between them its next bore is expected, 95 times in a hundred.
    """

    count: int
    offset_nm: int | None
    spread_nm: float | None
    error_nm: float | None
    low_nm: int | None
    high_nm: int | None
    words: str
    working: Working | None = None


class Way(StrEnum):
    """How to come to the finished bore."""

    REAM = "ream"
    TRY = "try"
    BORE = "bore"


@dataclass(frozen=True)
class Prospect:
    """One reamer against the bore wanted."""

    reamer: Reamer
    cut: Cut
    way: Way
    words: str


@dataclass(frozen=True)
class ReamerChoice:
    """Ream, try in scrap first, or bore; the reamer to take, and every reamer's prospect in the order given."""

    way: Way
    reamer: Reamer | None
    words: str
    prospects: tuple[Prospect, ...]


def learn(reamer: Reamer, unit: Unit, resolution_nm: int = 1_000) -> Cut:
    """What a reamer cuts, from the bores logged from it.

    Formula: offset = mean(bore) - nominal; s^2 = sum (bore - mean)^2 / (n - 1); standard error = s / sqrt n;
    next bore = mean +- t s sqrt(1 + 1/n), t Student's for n - 1 degrees of freedom (30 when there are more).
    s is never taken below resolution / sqrt 12: bores alike to the last figure may still differ by less.
    Nothing is supposed beforehand: with fewer than two bores nothing is expected.
    reamer: sizes in nm, above 0; bores taken at one speed and by one way of reaming, or the range means little.
    resolution_nm: the last figure of the instrument, nm, 0 or more.
    Returns: lengths in nm, the ends of the range moved out to whole nm.
    Raises: ReamingError for a size not above zero or a resolution below zero.
    Source: mean and standard deviation of the mean, JCGM 100:2008 (GUM) 4.2; t, its table G.2; resolution, its
    F.2.2.1; the range for one more bore is a prediction interval, ISO 16269-8.

    >>> cut = learn(Reamer("3/4 in", 19_050_000, (19_058_000, 19_061_000, 19_059_000)), Unit.MM)
    >>> cut.words.partition(";")[0], cut.low_nm, cut.high_nm
    ('Cuts +0.009 mm (+0.0004 in) on its marked size in 3 bores', 19051743, 19066924)
    """
    for size in (reamer.nominal_nm, *reamer.bores_nm):
        if size <= 0:
            raise ReamingError(f"The sizes of the reamer {reamer.name} must be above zero, such as 19.05 mm.")
    if resolution_nm < 0:
        raise ReamingError("The last figure of the instrument must be zero or more, such as 0.001 mm.")
    count = len(reamer.bores_nm)
    if count < _FEWEST:
        return _little_known(reamer, unit)
    mean = summarise(reamer.bores_nm).mean_nm
    total = sum(reamer.bores_nm)
    # n^2 times the sum of squares in whole numbers: differences of nanometre counts lose nothing on the way.
    squares = sum((count * bore - total) ** 2 for bore in reamer.bores_nm)
    spread = max(math.sqrt(squares / (count - 1)) / count, resolution_nm / math.sqrt(12))
    quantiles = table()["student"]["t"]
    student = quantiles[min(count - 1, len(quantiles)) - 1]
    reach = student * spread * math.sqrt(1 + 1 / count)
    low, high = math.floor(total / count - reach), math.ceil(total / count + reach)
    offset = mean - reamer.nominal_nm
    words = (
        f"Cuts {show_offset(offset, unit)} on its marked size in {count} bores;"
        f" the next is expected between {show(low, unit)} and {show(high, unit)}."
    )
    working = Working(
        "what the reamer cuts",
        "mean +- t s sqrt(1 + 1/n)",
        f"n {count}, mean {show(mean, unit)}, s {spread / 1000:.1f} um, t {student:g}",
        f"{show(low, unit)} to {show(high, unit)}",
        table()["student"]["source"],
    )
    return Cut(count, offset, spread, spread / math.sqrt(count), low, high, words, working)


def _little_known(reamer: Reamer, unit: Unit) -> Cut:
    if not reamer.bores_nm:
        return Cut(0, None, None, None, None, None, "Nothing is known of its cut: no bore is logged from it.")
    offset = reamer.bores_nm[0] - reamer.nominal_nm
    words = (
        f"One bore is logged, {show_offset(offset, unit)} on its marked size:"
        " a second is needed before a range can be expected."
    )
    return Cut(1, offset, None, None, None, None, words)


def choose(
    reamers: Sequence[Reamer], low_nm: int, high_nm: int, unit: Unit, resolution_nm: int = 1_000
) -> ReamerChoice:
    """Which reamer gives a bore inside the limits, or the boring bar when none does.

    Formula: ream when low <= expected low and expected high <= high; of several, the one with most room to the
    nearer limit. Try in scrap first when only the mean (of the marked size, when no bore is logged) lies inside;
    of several, the one nearest to the middle. Else bore. Ties go to the one first by name.
    reamers: owned; low_nm, high_nm: limits of the finished bore, nm, 0 < low <= high.
    unit: the system to show first; resolution_nm: as for learn.
    Returns: the way, the reamer, and every reamer's prospect.
    Raises: ReamingError for limits out of order, or as learn does.
    Source: learn; the choice is our own.

    >>> owned = [Reamer("3/4 in", 19_050_000, (19_058_000, 19_060_000, 19_058_000)), Reamer("19 mm", 19_000_000)]
    >>> choose(owned, 19_050_000, 19_071_000, Unit.MM).words
    'Ream with 3/4 in: its next bore is expected inside the limits.'
    >>> choose(owned, 19_070_000, 19_090_000, Unit.MM).words
    'Use the boring bar, to between 19.070 mm (0.7508 in) and 19.090 mm (0.7516 in): no reamer owned cuts that.'
    """
    if not 0 < low_nm <= high_nm:
        raise ReamingError("The limits of the bore must rise from above zero, such as 19.05 to 19.07 mm.")
    prospects = tuple(_prospect(one, low_nm, high_nm, unit, resolution_nm) for one in reamers)
    for way in (Way.REAM, Way.TRY):
        found = [one for one in prospects if one.way is way]
        if found:
            best = min(found, key=lambda one: (-_room(one, low_nm, high_nm), one.reamer.name))
            words = {
                Way.REAM: f"Ream with {best.reamer.name}: its next bore is expected inside the limits.",
                Way.TRY: f"Try {best.reamer.name} in scrap iron first. {best.words}",
            }[way]
            return ReamerChoice(way, best.reamer, words, prospects)
    low, high = inward(unit, low_nm, high_nm)
    if low > high:  # limits closer than can be shown
        low, high = low_nm, high_nm
    limits = f"to between {show(low, unit)} and {show(high, unit)}"
    why = "no reamer owned cuts that" if reamers else "no reamer is listed"
    return ReamerChoice(Way.BORE, None, f"Use the boring bar, {limits}: {why}.", prospects)


def _middle_nm(one: Prospect) -> int:
    """Where the reamer is thought to cut: at its mean, or at its marked size when no bore is logged."""
    return one.reamer.nominal_nm + (one.cut.offset_nm or 0)


def _room(one: Prospect, low_nm: int, high_nm: int) -> int:
    """From what is expected to the nearer limit, nm."""
    if one.way is Way.REAM and one.cut.low_nm is not None and one.cut.high_nm is not None:
        return min(one.cut.low_nm - low_nm, high_nm - one.cut.high_nm)
    return min(_middle_nm(one) - low_nm, high_nm - _middle_nm(one))


def _prospect(reamer: Reamer, low_nm: int, high_nm: int, unit: Unit, resolution_nm: int) -> Prospect:
    cut = learn(reamer, unit, resolution_nm)
    middle = reamer.nominal_nm + (cut.offset_nm or 0)
    if not low_nm <= middle <= high_nm:
        side = "under" if middle < low_nm else "over"
        known = "It cuts" if cut.count else "Its marked size is"
        return Prospect(reamer, cut, Way.BORE, f"{known} {side} the limits, at {show(middle, unit)}.")
    if not cut.count and middle == high_nm:
        words = f"It may serve, but only if it cuts no larger than marked: that is the largest allowed. {cut.words}"
        return Prospect(reamer, cut, Way.TRY, words)
    if cut.low_nm is None or cut.high_nm is None:
        return Prospect(reamer, cut, Way.TRY, f"It may serve. {cut.words}")
    if low_nm <= cut.low_nm and cut.high_nm <= high_nm:
        return Prospect(reamer, cut, Way.REAM, cut.words)
    return Prospect(reamer, cut, Way.TRY, f"It cuts inside the limits on the whole, not surely. {cut.words}")
