"""What few readings may say: at a limit, "in limits" is said wrongly in at most one of twenty, by trying it out."""

import math
from random import Random

import pytest

from domain.joints.judge import decide_fit
from domain.lengths import Unit
from domain.measuring.decision import Conformity, decide
from domain.measuring.instruments import Instrument, InstrumentKind
from domain.measuring.uncertainty import Budget, budget_of_mean, difference_u_nm, expanded_nm, readings_wanted

LOW, HIGH, TRIES = 25_000_000, 25_400_000, 8_000
GAUGE = Instrument(InstrumentKind.VALUE, "bore gauge", 1_000, 6_000)
# One of twenty, and twice the standard deviation of a count of so many tries.
ONE_OF_TWENTY = 0.05 + 2 * math.sqrt(0.05 * 0.95 / TRIES)


def _read(chance: Random, true: int, count: int, scatter: float) -> list[int]:
    """Readings of one size as a shop takes them: the gauge's own error in all of them, each scattered and rounded.

    A single reading's scatter is part of what the gauge's U (k = 2) covers; of several it comes on top.
    """
    own = chance.gauss(0, GAUGE.expanded_nm / 2)
    step = GAUGE.resolution_nm
    spread = 0.0 if count == 1 else scatter
    return [round((true + own + chance.gauss(0, spread)) / step) * step for _ in range(count)]


@pytest.mark.parametrize("scatter", [0.0, 1_000.0, 3_000.0, 10_000.0])
@pytest.mark.parametrize("count", [1, 2, 3, 10])
def test_in_limits_at_a_limit_is_said_wrongly_in_at_most_one_of_twenty(count: int, scatter: float) -> None:
    chance, wrong = Random(1000 * count + int(scatter)), 0
    for _ in range(TRIES):
        # The limit lies anywhere between two marks of the scale, or the rounding would favour one side.
        low = LOW + chance.randrange(GAUGE.resolution_nm)
        budget = budget_of_mean(_read(chance, low, count, scatter), GAUGE, 10.5e-6, 0)
        found = decide(budget.mean_nm, budget.expanded_nm, low, HIGH, Unit.MM)
        wrong += found.answer is Conformity.INSIDE
    assert wrong / TRIES <= ONE_OF_TWENTY


@pytest.mark.parametrize(("bores", "seats"), [(2, 2), (2, 10), (3, 1)])
def test_a_fit_at_its_limit_is_called_right_in_at_most_one_of_twenty(bores: int, seats: int) -> None:
    chance, wrong = Random(100 * bores + seats), 0
    for _ in range(TRIES):
        bore, seat = (
            budget_of_mean(_read(chance, true, count, 8_000), GAUGE, 10.5e-6, 0)
            for true, count in ((LOW, bores), (LOW - 20_000, seats))
        )
        unsure = expanded_nm(difference_u_nm(bore, seat))
        found = decide_fit(bore.mean_nm - seat.mean_nm, unsure, 20_000, 400_000, Unit.MM)
        wrong += found.answer is Conformity.INSIDE
    assert wrong / TRIES <= ONE_OF_TWENTY


def test_two_readings_by_hand() -> None:
    # GUM G.4: 0.010 mm apart, s = 0.0070711, s / sqrt 2 = 0.005, t = 12.706; U = sqrt(6^2 + 0.577^2 + 63.53^2) um.
    found = budget_of_mean([25_000_000, 25_010_000], GAUGE, 10.5e-6, 0)
    assert found.expanded_nm == pytest.approx(63_816, abs=2)


@pytest.mark.parametrize("scatter", [100.0, 2_000.0, 30_000.0])
def test_the_number_of_readings_advised_is_enough_by_the_same_t(scatter: float) -> None:
    two = Budget(25_000_000, 2, 3_000.0, 289.0, 12.706 / 2 * scatter / math.sqrt(2), 0.0, scatter)
    wanted = 8_000
    count = readings_wanted(two, wanted)
    assert count is not None and count >= 2
    # As many readings with just this scatter: half of them above and half below.
    up = scatter * math.sqrt((count - 1) / count)
    readings = [25_000_000 + round(up if n % 2 else -up) for n in range(count - count % 2)]
    readings += [25_000_000] * (count % 2)
    assert budget_of_mean(readings, GAUGE, 10.5e-6, 0).expanded_nm <= wanted + 60
