"""The list of builds: of each how far it is, what was done last and what is next, a line each, and nothing else."""

import re
from html import unescape

from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words
from tests.webapp.test_query_count import counting
from webapp.db import Db
from webapp.demo.builds import make_demo
from webapp.facts.castings import progress_of
from webapp.records.builds import every_build
from webapp.records.several import cards
from webapp.sheets.shelf.view import AT_WORK, SHOWN


def test_each_build_has_its_lines_newest_first(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric()
    assert bench.start(axles="1") == 2
    bench.tick("W1", "received", "back_faced")
    page = bench.get("/")
    told = _cards(page)
    assert len(told) == 2
    assert told[0].startswith(
        "Tank engine 0 of 14 stages done Last done Started the build Tank engine: 1 axle, 4"
    )
    assert told[0].endswith("Next W1, W2, W3, W4: look over and mark")
    assert told[1].startswith("Tank engine 2 of 28 stages done Last done W1: Ticked back faced. AB, ")
    assert told[1].endswith("Next W2, W3, W4, W5, W6: look over and mark")
    assert re.findall(r'<a class="build-card" href="([^"]+)"', page) == ["/builds/2", "/builds/1"]
    own = bench.one("SELECT min(id) FROM casting WHERE build_id = 2")
    seen = bench.one("SELECT version FROM casting WHERE id = ?", own)
    assert (
        bench.post(f"/castings/{own}/ticks", {"wish": "yes received", "seen": str(seen)}, hx=True).status_code
        == 200
    )
    told = _cards(bench.get("/"))
    assert told[0].startswith("Tank engine 1 of 14 stages done Last done W1: Ticked received.")
    assert told[0].endswith("Next W2, W3, W4: look over and mark")
    # What is next is said of those worked on last, and of no more.
    bench.start(axles="1")
    bench.start(axles="1")
    assert [("Next" in one) for one in _cards(bench.get("/"))] == [True] * AT_WORK + [False]


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


def _cards(page: str) -> list[str]:
    return [Words(card).text for card in re.findall(r'<a class="build-card".*?</a>', page, re.DOTALL)]


def _asked(bench: Bench) -> int:
    """How many statements the list takes when nothing is held."""
    bench.db.forget_held()
    with counting(bench.db) as said:
        bench.get("/")
    return len(said)


def test_the_cards_count_as_the_builds_own_sheets_do(client: TestClient, db: Db) -> None:
    make_demo(db)
    bench = Bench(client, db).sit_down()
    # Beside the invented builds one with carrying wheels, another route, and a quartered axle that lost a wheel.
    own = bench.start(axles="3", coupled="2 3", route="front_first")
    assert own == 3
    first = bench.one("SELECT min(id) FROM casting WHERE build_id = 3")
    seen = bench.one("SELECT version FROM casting WHERE id = ?", first)
    assert bench.post(
        f"/castings/{first}/ticks", {"wish": "yes received", "seen": str(seen)}, hx=True
    ).is_success
    quartered = bench.rows("SELECT axle_id, left_casting_id FROM quartering ORDER BY id")
    assert len({axle for axle, _ in quartered}) > 2
    assert (
        bench.send(
            f"/castings/{quartered[-1][1]}/scrap",
            f"/castings/{quartered[-1][1]}/scrap",
            reason="cracked",
            confirmed="yes",
        ).status_code
        == 303
    )
    with db.read() as session:
        of_builds = {one.id: progress_of(one, one.axles) for one in every_build(session)}
        of_cards = {one.id: one.progress for one in cards(session, [3, 1, 2])}
    assert of_cards == of_builds
    assert (
        len({one.done for one in of_cards.values()}) == 3 and min(one.done for one in of_cards.values()) == 1
    )


def test_an_archived_build_is_out_of_the_list_and_found_under_archived(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    for _ in range(2):
        bench.start(axles="1")
    assert "/archived" not in bench.get("/")
    assert bench.send("/builds/1/away", "/builds/1/archive").headers["location"] == "/archived"
    assert _listed(bench.get("/")) == ["/builds/2"]
    assert _listed(bench.get("/archived")) == ["/builds/1"]
    assert 'href="/archived"' in bench.get("/")
    assert bench.send("/builds/2/away", "/builds/2/archive").status_code == 303
    assert "Every build is archived." in bench.get("/")
    assert bench.send("/builds/1", "/builds/1/bring-back").headers["location"] == "/builds/1"
    assert _listed(bench.get("/")) == ["/builds/1"]
    assert _listed(bench.get("/archived")) == ["/builds/2"]


def _listed(page: str) -> list[str]:
    return re.findall(r'<a class="build-card" href="([^"]+)"', page)
