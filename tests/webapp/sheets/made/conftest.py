"""The scene of the set as made and of its record."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench
from webapp.db import Db


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """One axle, W1 and W2, quartered: bores 19.08 on a drawn seat of 19.05, throws 28.01 against 28."""
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="2")
    bench.quartered()
    return bench
