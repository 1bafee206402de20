"""The scene of the set as made and of its record."""

from __future__ import annotations

import pytest

from tests.webapp.scenes import Bench


@pytest.fixture
def bench(one_axle: Bench) -> Bench:
    """The axle that all of this is about."""
    return one_axle
