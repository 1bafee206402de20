"""The register names every sheet there is, and every sheet it names opens."""

import re
from html import unescape
from pathlib import Path

from fastapi.routing import APIRoute
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, addresses_of
from webapp.db import Db
from webapp.demo.builds import make_demo
from webapp.web.register import FIRST, FORMS, SHEETS, routers

ROOT = Path(__file__).parents[2]
# The invented builds' own rows; the count of strokes is of casting 3.
IDS = {
    "build_id": 1,
    "axle_id": 1,
    "pattern_id": 1,
    "casting_id": 3,
    "count_id": 1,
    "machine_id": 1,
    "chuck_id": 1,
    "batch_id": 1,
    "instrument_id": 1,
    "jig_id": 1,
}


def test_every_address_that_shows_a_sheet_is_registered() -> None:
    found = [route for router in routers((*FIRST, *SHEETS), FORMS) for route in router.routes]
    opened = [one.path for one in found if isinstance(one, APIRoute) and "GET" in one.methods]
    shown = {address for path in opened for address in addresses_of(path)}
    # Opened again after a form was sent there, these go to the batch: they show nothing of their own.
    shown -= {
        f"/batches/{{batch_id}}/{what}"
        for what in ("done", "end", "join", "pass", "readings", "set", "steps")
    }
    # Likewise this one, to the question on the sheet that it is asked on.
    shown -= {"/builds/{build_id}/delete"}
    # A file to be kept elsewhere.
    shown -= {"/copies/{number}/file"}
    # A label's text, which leads to its casting.
    shown -= {"/scan"}
    # A line of a form, for a reading that is half typed.
    shown = {path for path in shown if not path.endswith("/try")}
    # Files to be downloaded, and what they may hold; pictures on a sheet.
    shown = {path for path in shown if not path.endswith((".json", ".csv", ".jpg"))}
    assert shown == {sheet.address for sheet in (*FIRST, *SHEETS)}


# Sheets that are headed by what they are of: a build, a wheel, an axle, a cylinder.
_OF_ONE = re.compile("{(casting|axle|batch|instrument|jig|machine|chuck|pattern)_id}")
_HEADED_BY_ITS_OWN = {"Build", "Balance", "Quartering", "A new device"}


def test_a_sheet_is_headed_as_it_is_called(client: TestClient, db: Db) -> None:
    """The README and what leads there call a sheet by its registered name: so does the sheet itself."""
    make_demo(db)
    bench = Bench(client, db).sit_down()
    otherwise = {}
    for sheet in (FIRST[0], *SHEETS):
        if _OF_ONE.search(sheet.address) or sheet.name in _HEADED_BY_ITS_OWN:
            continue
        heads = re.findall(r"<h1[^>]*>(.*?)</h1>", bench.get(sheet.address.format(**IDS)), re.DOTALL)
        if sheet.name not in [unescape(re.sub(r"<[^>]*>", "", head)).strip() for head in heads]:
            otherwise[sheet.name] = heads
    assert otherwise == {}


def test_every_registered_sheet_opens(client: TestClient, db: Db) -> None:
    make_demo(db)
    bench = Bench(client, db).sit_down()
    bench.client.post("/workshop/starters", data={"unit": "mm", "plug_size": ""})
    plan = bench.send("/builds/1/batches", "/builds/1/batches", wish="start")
    assert plan.status_code == 303
    for sheet in (FIRST[0], *SHEETS):
        answer = bench.client.get(sheet.address.format(**IDS))
        assert answer.status_code == 200, sheet


# Drawn from the same template as an address that is looked at, or looked at by browser tests of their own.
ELSEWHERE = {
    "/device",
    "/batches/{batch_id}",
    "/batches/{batch_id}/card",
    "/workshop/instruments/{instrument_id}",
    "/workshop/jigs/{jig_id}",
    "/workshop/machines/{machine_id}",
    "/workshop/chucks/{chuck_id}",
}


def test_every_registered_sheet_is_looked_at_in_a_browser() -> None:
    """The browser's list says in which state of the invented builds each sheet is looked at."""
    text = (ROOT / "tests" / "browser" / "test_sheets.py").read_text()
    start = text.index("SHEETS = (")
    paths = re.findall(r'"(/[^"]*)"', text[start : text.index("\n)\n", start)])
    unseen = {
        sheet.address
        for sheet in (*FIRST, *SHEETS)
        if not any(re.fullmatch(re.sub(r"{\w+}", "[0-9]+", sheet.address), path) for path in paths)
    }
    assert unseen == ELSEWHERE
