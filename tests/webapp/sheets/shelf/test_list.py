"""The list of builds: of each how far it is, what was done last and what is next, a line each, and nothing else."""

import re
from html import unescape

from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words
from tests.webapp.test_query_count import counting
from webapp.db import Db
from webapp.sheets.shelf.view import SHOWN


def test_each_build_has_its_lines_newest_first(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric()
    assert bench.start(axles="1") == 2
    bench.tick("W1", "received", "back_faced")
    page = bench.get("/")
    cards = [Words(card).text for card in re.findall(r'<a class="build-card".*?</a>', page, re.DOTALL)]
    assert len(cards) == 2
    assert cards[0].startswith(
        "Tank engine 0 of 14 stages done Last done Started the build Tank engine: 1 axles, 4"
    )
    assert cards[0].endswith("Next W1, W2, W3, W4: look over and mark")
    assert cards[1].startswith("Tank engine 2 of 28 stages done Last done W1: Ticked back faced. AB, ")
    assert cards[1].endswith("Next W2, W3, W4, W5, W6: look over and mark")
    assert re.findall(r'<a class="build-card" href="([^"]+)"', page) == ["/builds/2", "/builds/1"]


def test_what_goes_on_is_said_of_a_running_batch_and_of_a_finished_build(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="2")
    bench.quartered()
    assert "Next W1, W2: paint" in Words(bench.get("/")).text
    bench.tick("W1", "painted")
    bench.tick("W2", "painted")
    assert "14 of 14 stages done" in Words(bench.get("/")).text
    assert "Next Every wheel is finished" in Words(bench.get("/")).text


def test_a_page_asks_no_more_the_more_builds_there_are_and_all_are_a_link_away(
    client: TestClient, db: Db
) -> None:
    bench = Bench(client, db).sit_down()
    for _ in range(SHOWN + 1):
        bench.start(axles="1")
    asked = _asked(bench)
    for _ in range(2 * SHOWN):
        bench.start(axles="1")
    assert _asked(bench) == asked
    seen, address = [], "/"
    while address:
        page = bench.get(address)
        cards = re.findall(r'<a class="build-card" href="([^"]+)"', page)
        assert len(cards) <= SHOWN
        seen += cards
        assert ("The newest" in page) == (address != "/")
        older = re.search(r'href="([^"]+)">Older<', page)
        address = unescape(older[1]) if older else ""
    assert seen == [f"/builds/{own}" for own in range(3 * SHOWN + 1, 0, -1)]


def test_a_page_of_builds_that_cannot_be_is_the_newest(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.start(axles="1")
    for before in ("x", "-1", "9" * 30, "", "%00"):
        assert "/builds/1" in bench.get(f"/?before={before}")
    assert "Nothing older." in bench.get("/?before=1")


def _asked(bench: Bench) -> int:
    """How many statements the list takes when nothing is held."""
    bench.db.forget_held()
    with counting(bench.db) as said:
        bench.get("/")
    return len(said)
