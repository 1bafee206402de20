"""The form of a bore: taper, out-of-round and spread, from readings along it and round it."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import Unit, show_small
from domain.measuring.readings import summarise

LOBING = "A two-point instrument cannot see lobes: a three-lobed bore measures the same in every direction."


class BorePlace(StrEnum):
    """Where along the bore."""

    FRONT = "front"
    MIDDLE = "middle"
    BACK = "back"


class Direction(StrEnum):
    """Which of two directions at right angles to each other."""

    FIRST = "first"
    SECOND = "second"


@dataclass(frozen=True)
class PlacedReading:
    """One diameter, nm, with its place along the bore and its direction across it."""

    place: BorePlace
    direction: Direction
    nm: int


@dataclass(frozen=True)
class BoreForm:
    """Mean, taper (front less back), out-of-round (on the diameter) and spread, nm; None where it cannot be told."""

    mean_nm: int
    taper_nm: int | None
    out_of_round_nm: int | None
    spread_nm: int
    words: tuple[str, ...]
    cannot_tell: tuple[str, ...]


def bore_form(readings: Sequence[PlacedReading], unit: Unit) -> BoreForm:
    """What readings in known places say of a bore's form; missing places are said, never made up.

    Formula: mean of the positions' means; taper = front - back, over the directions measured at both;
    out-of-round = the largest |first - second| at one place; spread = largest - smallest reading.
    Several readings in one position are averaged first, so that a favourite place does not weigh more.

    Args:
        readings: one or more, nm.
        unit: the system the sentences are written in.

    Returns:
        The figures, nm; sentences for them; and sentences for what cannot be told.

    Raises:
        ValueError: there is no reading.

    Source: by definition; two-point measurement misses odd lobes: ISO 4292:1985, from memory, verify.

    >>> front = PlacedReading(BorePlace.FRONT, Direction.FIRST, 25_012_000)
    >>> back = PlacedReading(BorePlace.BACK, Direction.FIRST, 25_004_000)
    >>> bore_form([front, back], Unit.MM).words[0]
    'Tapered: wider at the front by 0.008 mm (0.0003 in).'
    """
    spread = summarise([one.nm for one in readings]).spread_nm
    means = _position_means(readings)
    mean = summarise(list(means.values())).mean_nm
    taper, no_taper = _taper(means)
    out_of_round, not_round = _out_of_round(means)
    words = []
    if taper is not None:
        words.append(_taper_words(taper, unit))
    if out_of_round is not None:
        words.append(f"Out of round by {show_small(out_of_round, unit)} on the diameter. {LOBING}")
    if len(readings) > 1:
        words.append(f"Between the largest and the smallest reading: {show_small(spread, unit)}.")
    return BoreForm(mean, taper, out_of_round, spread, tuple(words), (*no_taper, *not_round))


_Means = dict[tuple[BorePlace, Direction], int]


def _position_means(readings: Sequence[PlacedReading]) -> _Means:
    grouped: dict[tuple[BorePlace, Direction], list[int]] = {}
    for one in readings:
        grouped.setdefault((one.place, one.direction), []).append(one.nm)
    return {position: summarise(sizes).mean_nm for position, sizes in grouped.items()}


def _taper(means: _Means) -> tuple[int | None, tuple[str, ...]]:
    """Front less back; ovality read in different directions at the two ends must not pass for taper."""
    ends = {
        place: {at for at in Direction if (place, at) in means} for place in (BorePlace.FRONT, BorePlace.BACK)
    }
    missing = [place.value for place, directions in ends.items() if not directions]
    if missing:
        return None, (f"Taper cannot be told: nothing was measured at the {' or the '.join(missing)}.",)
    both = ends[BorePlace.FRONT] & ends[BorePlace.BACK]
    if not both:
        return None, ("Taper cannot be told: front and back were measured in different directions.",)
    front, back = (summarise([means[place, at] for at in both]).mean_nm for place in ends)
    return front - back, ()


def _out_of_round(means: _Means) -> tuple[int | None, tuple[str, ...]]:
    """The largest difference of the two directions at one place, and the places that lack one."""
    found = {
        place: abs(means[place, Direction.FIRST] - means[place, Direction.SECOND])
        for place in BorePlace
        if all((place, at) in means for at in Direction)
    }
    missing = [place.value for place in BorePlace if place not in found]
    if not missing:
        return max(found.values()), ()
    sentence = f"Out-of-round cannot be told at the {', '.join(missing)}: it takes two directions there."
    return max(found.values(), default=None), (sentence,)


def _taper_words(taper_nm: int, unit: Unit) -> str:
    if taper_nm == 0:
        return "No taper: front and back are alike."
    return (
        f"Tapered: wider at the {'front' if taper_nm > 0 else 'back'} by {show_small(abs(taper_nm), unit)}."
    )
