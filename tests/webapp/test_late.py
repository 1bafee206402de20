"""The first page waits for nothing that it does not need, and every other sheet is there when it is asked for."""

from __future__ import annotations

import asyncio
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from fastapi import FastAPI
from fastapi.testclient import TestClient
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp

from webapp.late import Late

ROOT = Path(__file__).parents[2]
FIRST_PAGE = """
import sys
from pathlib import Path
from fastapi.testclient import TestClient
from webapp.app import create_app
from webapp.settings import Settings
from webapp.upgrade import prepare
path = Path(sys.argv[1])
prepare(path)
with TestClient(create_app(Settings(path)), base_url="http://127.0.0.1:8730") as client:
    assert client.get("/").status_code == 200
    first = ("shelf", "bench", "device")
    late = [one for one in sys.modules if one.startswith("webapp.sheets.") and one.split(".")[2] not in first]
    print(sorted(late), [one for one in ("pint", "webapp.facts.castings") if one in sys.modules])
    assert client.get("/builds/new").status_code == 200
    print("webapp.sheets.wheel.page" in sys.modules)
"""
WARMED = """
import sys
from pathlib import Path
from webapp import render
from webapp.app import create_app
from webapp.settings import Settings
from webapp.upgrade import prepare
path = Path(sys.argv[1])
prepare(path)
app = create_app(Settings(path))
app.state.late.warm_up()
kept = {name for _, name in render.environment.cache.keys()}
print(sorted(set(render.environment.list_templates()) - kept), "pint" in sys.modules)
"""


def test_the_first_page_loads_no_other_sheet(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", FIRST_PAGE, str(tmp_path / "new.db")],
        cwd=ROOT, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert done.stdout.splitlines() == ["[] []", "True"], done.stderr


def test_the_rest_is_made_once_however_many_ask_for_it_first() -> None:
    made = []

    def make() -> ASGIApp:
        made.append(1)
        time.sleep(0.05)

        async def answer(scope, receive, send) -> None:  # type: ignore[no-untyped-def]
            await PlainTextResponse("there")(scope, receive, send)

        return answer

    app = Starlette()
    app.router.default = Late(make)
    with TestClient(app) as client, ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda _: client.get("/anywhere").text, range(8)))
    assert answers == ["there"] * 8
    assert made == [1]


def test_what_is_nowhere_and_what_takes_nothing_are_still_told_apart(
    app: FastAPI, client: TestClient
) -> None:
    assert client.get("/nowhere").status_code == 404
    assert client.post("/builds/1/made").status_code == 405
    assert "no such sheet" in client.get("/nowhere/at/all").text
    assert app.state.late.load() is app.state.late.load()


def test_steps_are_taken_in_turn_once_it_is_made_and_none_while_somebody_is_answered() -> None:
    asked, answered, seen = threading.Event(), threading.Event(), list[str]()

    def make() -> ASGIApp:
        seen.append("made")

        async def answer(scope, receive, send) -> None:  # type: ignore[no-untyped-def]
            asked.set()
            await asyncio.to_thread(answered.wait, 30)
            await PlainTextResponse("there")(scope, receive, send)

        return answer

    app = Starlette()
    app.router.default = late = Late(make, [lambda: seen.append("one"), lambda: seen.append("two")])
    with TestClient(app) as client, ThreadPoolExecutor(2) as pool:
        answer = pool.submit(client.get, "/anywhere")
        assert asked.wait(30)
        warming = pool.submit(late.warm_up)
        time.sleep(0.1)
        assert seen == ["made"]
        answered.set()
        assert answer.result(30).text == "there"
        warming.result(30)
    assert seen == ["made", "one", "two"]


def test_after_warming_up_no_template_is_left_to_read_and_units_are_there(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", WARMED, str(tmp_path / "new.db")],
        cwd=ROOT, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert done.stdout.splitlines() == ["[] True"], done.stderr
