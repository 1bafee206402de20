"""A fresh data file and a client that behaves like a browser on one of our own pages."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench
from webapp.app import create_app
from webapp.db import Db
from webapp.facts import clock
from webapp.settings import Settings
from webapp.upgrade import prepare

ORIGIN = "http://127.0.0.1:8730"


@pytest.fixture(scope="session", autouse=True)
def system_that_says_nothing_of_its_clock() -> Iterator[None]:
    """Whether the machine that runs the tests has its clock set is nothing to a scene."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(clock, "kept_by_system", lambda: None)
        yield


@pytest.fixture(scope="session")
def empty_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data file with the newest tables and nothing in them; copied, never opened."""
    path = tmp_path_factory.mktemp("empty") / "empty.db"
    prepare(path)
    return path


@pytest.fixture
def settings(tmp_path: Path, empty_file: Path) -> Settings:
    """A run on loopback with an empty data file of its own."""
    path = tmp_path / "spokeshed.db"
    shutil.copy(empty_file, path)
    return Settings(path)


@pytest.fixture
def app(settings: Settings) -> Iterator[FastAPI]:
    """The whole program."""
    app = create_app(settings)
    yield app
    app.state.db.close()


@pytest.fixture
def db(app: FastAPI) -> Db:
    """The program's own data file, to arrange and to look."""
    found = app.state.db
    assert isinstance(found, Db)
    return found


@pytest.fixture
def client(app: FastAPI) -> Iterator[TestClient]:
    """A browser on one of our pages: it sends the right Origin and follows no redirect by itself."""
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        yield client


@pytest.fixture
def one_axle(client: TestClient, db: Db) -> Bench:
    """One axle, W1 and W2, quartered, and W3 spare: bores 19.08 on a drawn seat of 19.05, throws 28.01 against 28."""
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="3")
    bench.quartered()
    return bench


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory, empty_file: Path) -> Iterator[Bench]:
    """One build with something of everything; it is not put back between examples."""
    path = tmp_path_factory.mktemp("shed") / "spokeshed.db"
    shutil.copy(empty_file, path)
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        bench = Bench(client, app.state.db).sit_down()
        bench.metric()
        bench.quartered()
        bench.bored("W3")
        assert bench.seat(1, "left", "19.05").status_code == 303
        assert bench.scrap("W5").status_code == 303
        yield bench
    app.state.db.close()
