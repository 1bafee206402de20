"""How unsure a mean of readings, or a bore less a seat, is: the budget behind every verdict."""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass, replace

from domain.lengths import Unit
from domain.lengths.fine import fine
from domain.measuring.instruments import Instrument, require_value
from domain.measuring.readings import summarise
from domain.measuring.student import student_t, student_table
from domain.working import Working

COVERAGE = 2.0  # k, about 95 %: JCGM 100:2008 (GUM) 6.3.3
_FEWEST = 2  # one reading shows no scatter
_SOURCE = (
    "JCGM 100:2008 (GUM): 4.2.3 repeat readings, G.4 Student's t for few of them, F.2.2.1 resolution, 5.1.2 root sum of"
    " squares, k = 2"
)


class UncertaintyError(ValueError):
    """Figures no uncertainty can be worked out from; its text is one sentence for the page."""


@dataclass(frozen=True)
class Budget:
    """The standard uncertainties of one mean size, nm, by where they come from.

    instrument: half its U, the same in every reading, so that averaging does not lessen it.
    resolution: step / sqrt(12), taken as the same in every reading: a still bore rounds the same way each time.
    repeat: t s / (2 sqrt(count)), so that doubled it is what the few readings leave open; 0 of a single reading,
    whose repeatability is in the instrument's U. temperature: alpha L u_t.
    scatter_nm: s of one reading, or None when a single reading gave none.
    """

    mean_nm: int
    count: int
    instrument_nm: float
    resolution_nm: float
    repeat_nm: float
    temperature_nm: float
    scatter_nm: float | None

    @property
    def steady_nm(self) -> float:
        """What more readings do not lessen, nm."""
        return combined_nm([self.instrument_nm, self.resolution_nm, self.temperature_nm])

    @property
    def alone(self) -> "Budget":
        """Of any one of the readings by itself: its repeatability is the instrument's, and no other lessens it."""
        return replace(self, count=1, repeat_nm=0.0, scatter_nm=None)

    @property
    def standard_nm(self) -> float:
        """The combined standard uncertainty u, nm."""
        return combined_nm([self.steady_nm, self.repeat_nm])

    @property
    def expanded_nm(self) -> int:
        """The expanded uncertainty U = 2 u, nm, rounded up."""
        return expanded_nm(self.standard_nm)

    def with_instrument(self, other: Instrument) -> "Budget":
        """The budget had the same readings been taken with another instrument; its own scatter is not known."""
        instrument, resolution = _instrument_parts(other)
        return replace(self, instrument_nm=instrument, resolution_nm=resolution)

    def read(self, count: int) -> "Budget":
        """The budget of so many readings in all that scatter as these do; of one reading the scatter is not known.

        >>> round(Budget(25_000_000, 2, 0.0, 0.0, 9_000.0, 0.0, 2_000.0).read(4).repeat_nm)
        1591
        """
        if self.scatter_nm is None:
            return self
        return replace(self, count=count, repeat_nm=_repeat_nm(self.scatter_nm, count))

    def working(self, unit: Unit) -> Working:
        """The working of U, in the given system."""
        parts = (self.instrument_nm, self.resolution_nm, self.repeat_nm, self.temperature_nm)
        names = ("instrument", "resolution", "repeat", "temperature")
        numbers = ", ".join(
            f"{name} {fine(round(part), unit)}" for name, part in zip(names, parts, strict=True)
        )
        return Working(
            "expanded uncertainty of the mean",
            "U = 2 sqrt((U_instrument/2)^2 + (step/sqrt(12))^2 + (t s/(2 sqrt(n)))^2 + (alpha L u_t)^2)",
            f"{numbers}; n {self.count}{self._few()}",
            fine(self.expanded_nm, unit),
            _SOURCE,
        )

    def _few(self) -> str:
        """The t of so few readings, where they gave the scatter."""
        return f", t {student_t(self.count):g}" if self.count > 1 and self.repeat_nm else ""


def budget_of_mean(
    readings_nm: Sequence[int],
    instrument: Instrument,
    alpha_per_k: float,
    temperature_u_k: float,
    scatter_nm: float | None = None,
) -> Budget:
    """The uncertainty budget of the mean of readings taken with one instrument.

    Formula: U^2 = (U_instrument)^2 + (2 step/sqrt(12))^2 + (t s/sqrt(n))^2 + (2 alpha L u_t)^2; u = U/2

    The instrument's own part is systematic and not lessened by averaging. s is taken from the readings,
    n - 1 in its divisor, unless it is given; few readings give an unsure s (GUM E.4.3: of 3 it is unsure by 52 %),
    which Student's t at n - 1 degrees of freedom makes good: at a limit "inside" is then said wrongly in at most one
    of twenty. Readings in different places carry the bore's form in s: then it is the mean bore's uncertainty, on the
    safe side.

    Args:
        readings_nm: one or more corrected readings, nm, above 0.
        instrument: one that shows a value, U at k = 2.
        alpha_per_k: expansion of the work, or its difference from the gauge's when both share the
            temperature; per kelvin, any sign.
        temperature_u_k: standard uncertainty of the temperature, K, 0 or more.
        scatter_nm: standard deviation of one reading known from elsewhere, nm, 0 or more; None to take s. What is
            known needs no t: k = 2 does.

    Returns:
        The budget, nm. One reading with no scatter given has no repeat part: its repeatability is the instrument's.

    Raises:
        UncertaintyError: no reading, one not above 0, or a figure below 0 or not finite.
        InstrumentError: plug gauges, or a faulty instrument.

    Source: JCGM 100:2008 (GUM) 4.2.3, 4.3, 5.1.2, F.2.2.1, G.4.

    >>> from domain.measuring.instruments import Instrument, InstrumentKind
    >>> gauge = Instrument(InstrumentKind.VALUE, "bore gauge", 1_000, 6_000)
    >>> budget_of_mean([25_010_000, 25_012_000, 25_011_000], gauge, 10.5e-6, 1.0).expanded_nm
    6541
    """
    instrument_nm, resolution_nm = _instrument_parts(instrument)
    if not readings_nm or min(readings_nm) <= 0:
        raise UncertaintyError(
            "There is no reading, or one that is not more than nothing: type each as read, such as 25.01 mm."
        )
    if not math.isfinite(alpha_per_k):
        raise UncertaintyError("The expansion is not a number: type one such as 10.5 for grey iron.")
    if not (math.isfinite(temperature_u_k) and temperature_u_k >= 0):
        raise UncertaintyError("How unsure the temperature is cannot be below nothing: type such as 1 C.")
    if scatter_nm is not None and not (math.isfinite(scatter_nm) and scatter_nm >= 0):
        raise UncertaintyError("The scatter of a reading cannot be below nothing: type such as 0.002 mm.")
    count = len(readings_nm)
    if scatter_nm is not None:
        repeat_nm = scatter_nm / math.sqrt(count)
    elif count > 1:
        scatter_nm = statistics.stdev(readings_nm)
        repeat_nm = _repeat_nm(scatter_nm, count)
    else:
        repeat_nm = 0.0
    mean_nm = summarise(readings_nm).mean_nm
    temperature_nm = abs(alpha_per_k) * mean_nm * temperature_u_k
    return Budget(mean_nm, count, instrument_nm, resolution_nm, repeat_nm, temperature_nm, scatter_nm)


def combined_nm(parts_nm: Sequence[float]) -> float:
    """The combined standard uncertainty of independent parts.

    Formula: u = sqrt(u1^2 + u2^2 + ...)

    Args:
        parts_nm: standard uncertainties, each times its sensitivity, nm.

    Returns:
        The combined one, nm.

    Source: JCGM 100:2008 (GUM) 5.1.2.

    >>> combined_nm([3.0, 4.0])
    5.0
    """
    return math.hypot(*parts_nm)


def expanded_nm(standard_nm: float) -> int:
    """The expanded uncertainty, in whole nanometres.

    Formula: U = 2 u, rounded up

    Args:
        standard_nm: combined standard uncertainty, nm, 0 or more and finite.

    Returns:
        U, nm.

    Raises:
        UncertaintyError: below 0 or not finite.

    Source: JCGM 100:2008 (GUM) 6.2.1, k = 2.

    >>> expanded_nm(3_000.2)
    6001
    """
    if not (math.isfinite(standard_nm) and standard_nm >= 0):
        raise UncertaintyError("An uncertainty cannot be below nothing: type one such as 0.006 mm.")
    return math.ceil(COVERAGE * standard_nm)


def difference_u_nm(bore: Budget, seat: Budget, *, same: bool = False) -> float:
    """The standard uncertainty of bore less seat.

    Formula: u^2 = u_bore^2 + u_seat^2; with the same instrument its own part is (u_i_bore - u_i_seat)^2 instead

    The instruments' own errors are taken as independent, on the safe side. same=True says that one and the same
    instrument, used in the same way, read both, so that its error is in both and goes out; a caliper's inside and
    outside jaws are not the same way. The temperatures stay independent.

    Args:
        bore: budget of the bore, nm.
        seat: budget of the seat, nm.
        same: whether one instrument's error is in both.

    Returns:
        The standard uncertainty, nm.

    Source: JCGM 100:2008 (GUM) 5.1.2 (independent) and 5.2.2 (fully correlated).

    >>> part = Budget(25_000_000, 1, 3_000.0, 0.0, 0.0, 0.0, None)
    >>> round(difference_u_nm(part, part)), difference_u_nm(part, part, same=True)
    (4243, 0.0)
    """
    if not same:
        return combined_nm([bore.standard_nm, seat.standard_nm])
    rest = [one for part in (bore, seat) for one in (part.resolution_nm, part.repeat_nm, part.temperature_nm)]
    return combined_nm([bore.instrument_nm - seat.instrument_nm, *rest])


def readings_wanted(budget: Budget, wanted_expanded_nm: int) -> int | None:
    """How many readings in all would bring the expanded uncertainty of the mean down to this.

    Formula: the least n with (t s / sqrt(n))^2 <= U^2 - U_steady^2, t at n - 1 degrees of freedom

    Args:
        budget: of the mean so far, nm.
        wanted_expanded_nm: the U wanted, nm, 0 or more.

    Returns:
        The number, 2 or more; None when no number would do, or the scatter is not known.

    Source: JCGM 100:2008 (GUM) 4.2.3 and G.4, solved for n.

    >>> readings_wanted(Budget(25_000_000, 2, 0.0, 300.0, 9_000.0, 400.0, 2_000.0), 2_000)
    8
    """
    room = (wanted_expanded_nm / COVERAGE) ** 2 - budget.steady_nm**2
    if budget.scatter_nm is None or room < 0:
        return None
    if budget.scatter_nm == 0:
        return _FEWEST
    if room == 0:
        return None
    # From the end of the table on t stays as it is, and the sum can be turned round.
    end = len(student_table()["t"]) + 1
    for count in range(_FEWEST, end):
        if _repeat_nm(budget.scatter_nm, count) ** 2 <= room:
            return count
    return max(end, math.ceil((student_t(end) * budget.scatter_nm / COVERAGE) ** 2 / room))


def _repeat_nm(scatter_nm: float, count: int) -> float:
    """What the scatter of so few readings adds to the standard uncertainty of their mean, nm."""
    return student_t(count) * scatter_nm / (COVERAGE * math.sqrt(count))


def _instrument_parts(instrument: Instrument) -> tuple[float, float]:
    """The standard uncertainties of an instrument: its own and its resolution's, nm."""
    require_value(instrument)
    return instrument.expanded_nm / COVERAGE, instrument.resolution_nm / math.sqrt(12)
