"""Both systems or the build's own only: each device is shown its own choice, and what is kept is in both."""

import gc
import re
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import _lru_cache_wrapper
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from domain.lengths import Unit, show, show_offset, show_other, show_small
from domain.lengths.fine import fine_both
from domain.lengths.loads import show_force, show_torque
from domain.lengths.systems import shown_in
from tests.webapp.conftest import ORIGIN
from tests.webapp.scenes import Bench, form_on, unfolded
from webapp.app import create_app
from webapp.db import Db
from webapp.demo.builds import make_demo
from webapp.settings import Settings
from webapp.upgrade import prepare
from webapp.web.numbers import COOKIE
from webapp.web.register import SHEETS

_UNITS = r"(?:in|mm|thou|N|lbf|N m|lbf ft|g|oz|ft/min|m/min)"
BOTH = re.compile(rf"\d {_UNITS}\s*\([-+]?[\d.]+ {_UNITS}\)")
# What differs from one request to the next whatever is shown, and the words of the choice itself.
_OF_THE_MOMENT = re.compile(
    r'data-stand="[^"]*"|value="[0-9a-f]{12,32}"|<dt>Date</dt><dd>[^<]*<span class="off-paper">[^<]*'
)
# Build 1 in inches with three axles, build 2 made as far as its paint.
_PLACES = ((1, 1, 2), (2, 9, 5))
# What stands there is kept: the journal's lines, and what was let pass.
_KEPT = re.compile(r"/(journal|record|card)$|^/diary$|^/builds/[0-9]+(/made)?$|^/(axles|castings)/[0-9]+$")


def ask(client: TestClient, path: str, *, own: bool) -> str:
    """The page as a device of either kind is shown it, with everything unfolded."""
    client.cookies.clear()
    client.cookies.set(COOKIE, "own" if own else "both")
    answer = client.get(path)
    return _OF_THE_MOMENT.sub("", unfolded(client, answer.text))


def forget_all(db: Db) -> None:
    """As after a start: nothing is kept of any request before."""
    db.forget_held()
    for one in gc.get_objects():
        if isinstance(one, _lru_cache_wrapper):
            one.cache_clear()


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[TestClient, Db]]:
    """The invented builds, with something on every sheet."""
    path: Path = tmp_path_factory.mktemp("demo") / "demo.db"
    prepare(path, demo=True)
    app = create_app(Settings(path, demo=True))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        make_demo(app.state.db)
        yield client, app.state.db
    app.state.db.close()


def _addresses() -> list[str]:
    found: dict[str, None] = {}
    for sheet in SHEETS:
        for build, casting, axle in _PLACES:
            ids = {"build_id": build, "casting_id": casting, "axle_id": axle, "pattern_id": build}
            rest = dict.fromkeys(
                ("machine_id", "chuck_id", "instrument_id", "batch_id", "count_id", "jig_id"), 1
            )
            found[sheet.address.format(**ids, **rest, side="left")] = None
    return list(found)


def test_two_devices_in_turn_are_each_shown_their_own(demo: tuple[TestClient, Db]) -> None:
    client, db = demo

    def asked(*, own: bool) -> dict[str, str]:
        return {path: ask(client, path, own=own) for path in _addresses()}

    forget_all(db)
    own, both, own_again = asked(own=True), asked(own=False), asked(own=True)
    forget_all(db)
    # What the one was shown is no other for what the other has asked before, and shows nothing of it.
    assert own == own_again
    assert both == asked(own=False)
    assert sum(len(BOTH.findall(page)) for page in both.values()) > 300
    assert [path for path, page in own.items() if BOTH.search(page) and not _KEPT.search(path)] == []


@pytest.mark.parametrize("casting", [2, 5, 9])
def test_the_route_card_is_in_the_system_that_is_chosen(demo: tuple[TestClient, Db], casting: int) -> None:
    client, _ = demo
    figures = re.compile(r"\d mm\b")
    own, both = (
        ask(client, f"/castings/{casting}/card", own=own).partition("<table")[2].partition("</table>")[0]
        for own in (True, False)
    )
    assert figures.findall(own) == []
    assert len(figures.findall(both)) > 5


def test_a_line_that_was_written_before_says_why_it_is_in_both(demo: tuple[TestClient, Db]) -> None:
    client, _ = demo
    for path in ("/diary", "/diary?of=axle-1", "/axles/1/journal", "/castings/1"):
        told = [
            "Kept as it was written, in both systems." in ask(client, path, own=own) for own in (True, False)
        ]
        assert told == [True, False], path


def test_two_devices_at_once_are_each_shown_their_own(demo: tuple[TestClient, Db]) -> None:
    client, db = demo
    paths = ("/castings/2/bore", "/builds/1/joints", "/axles/1/seats/left")
    wanted = {(path, own): ask(client, path, own=own) for path in paths for own in (True, False)}
    forget_all(db)

    def asked(turn: tuple[str, bool]) -> bool:
        path, own = turn
        # A client of its own, as a cookie stays with one.
        other = TestClient(client.app, base_url=ORIGIN, headers={"Origin": ORIGIN})
        return ask(other, path, own=own) == wanted[turn]

    with ThreadPoolExecutor(4) as pool:
        assert all(pool.map(asked, [*wanted] * 6))


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A metric build at the bench of a device that is shown its own system only."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    client.cookies.set(COOKIE, "own")
    return bench


def test_what_is_kept_is_in_both_whoever_writes_it(bench: Bench) -> None:
    bench.tick("W1", "received", "back_faced", "bored")
    assert bench.log("W1", "bore", "19.08").status_code == 303
    assert bench.seat(1, "left", "19.05").status_code == 303
    assert "mean 19.080 mm (0.7512 in)" in " ".join(bench.journal("W1"))
    assert not BOTH.findall(bench.whole("/castings/1/bore"))
    assert "0.030 mm" in bench.whole("/castings/1/bore")
    # Bored far too wide: what the tick asks about is let pass, word for word, and in both.
    assert bench.log("W1", "bore", "19.48", meant="19480000").status_code in (303, 409)
    bench.client.cookies.set(COOKIE, "both")
    assert BOTH.findall(bench.whole("/castings/1/bore"))


def test_what_a_tick_asks_is_answered_by_the_yes_to_it(bench: Bench) -> None:
    bench.bored("W1", bore="19.30 mm")
    assert bench.seat(1, "left", "19.05").status_code == 303
    asked = bench.wish("W1", "yes pressed")
    assert asked.status_code == 409
    mark = re.findall(r'name="asked" value="([0-9a-f]+)"', asked.text)[0]
    # The mark is that of the very words: a yes to them is taken at once, though the sheet says all else otherwise.
    said = {
        "wish": "yes pressed confirmed",
        "asked": mark,
        "seen": str(bench.one("SELECT version FROM casting WHERE id = 1")),
        "reason": "as told",
    }
    assert bench.post("/castings/1/ticks", said).status_code == 303
    (kept,) = bench.rows("SELECT let_pass FROM tick WHERE key = 'pressed'")
    assert BOTH.findall(kept[0])


def test_a_count_of_strokes_is_told_in_both(bench: Bench) -> None:
    page = "/castings/1/strokes"
    plan = "radial_width=8&depth=0.15&feed=0.5&cut_depth=0.15"
    begun = bench.send(f"{page}?{plan}", page)
    assert begun.status_code == 303
    assert "0.150 mm (0.0059 in) deep" in bench.journal("W1")[-1]


def test_an_export_is_the_same_for_every_device(bench: Bench) -> None:
    bench.bored("W1")
    own, both = (
        bench.client.get("/builds/1/export/build.json", headers={"Cookie": f"{COOKIE}={one}"}).text
        for one in ("own", "both")
    )
    assert own == both


def test_a_device_chooses_in_the_workshop(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric()
    for value in ("own", "both"):
        told = "<dd>the build&#39;s own only</dd>" in bench.get("/builds/1")
        assert told == (value == "both")
        page = bench.get("/workshop")
        assert f'name="numbers" value="{value}"' in page
        form = form_on(page, "/numbers")
        answer = bench.post("/numbers", form.filled(numbers=value))
        assert (answer.status_code, answer.headers["location"]) == (303, "/workshop#numbers")
        assert ("<dd>the build&#39;s own only</dd>" in bench.get("/builds/1")) == (value == "own")
        assert bool(BOTH.findall(bench.whole("/builds/1/joints"))) == (value == "both")
    assert bench.post("/numbers", {"numbers": "none"}).status_code == 422


def test_each_way_of_saying_leaves_the_other_system_out() -> None:
    ways: dict[Callable[[], str], tuple[str, str]] = {
        lambda: show(19_050_000, Unit.INCH): ("0.7500 in (19.050 mm)", "0.7500 in"),
        lambda: show_offset(10_000, Unit.MM): ("+0.010 mm (+0.0004 in)", "+0.010 mm"),
        lambda: show_small(33_020, Unit.INCH, signed=True): ("+1.3 thou (+0.033 mm)", "+1.3 thou"),
        lambda: show_small(800, Unit.INCH): ("less than 0.1 thou (0.003 mm)", "less than 0.1 thou"),
        lambda: show_other(19_050_000, Unit.MM): ("0.7500 in", ""),
        lambda: fine_both(4_950, Unit.MM): ("0.00495 mm (0.000195 in)", "0.00495 mm"),
        lambda: show_force(100, Unit.INCH): ("22 lbf (100 N)", "22 lbf"),
        lambda: show_torque(27.9, Unit.INCH): ("20.6 lbf ft (27.9 N m)", "20.6 lbf ft"),
    }
    for say, (both, own) in ways.items():
        for wanted in ((True, both), (False, own)) * 2:
            with shown_in(both=wanted[0]):
                assert say() == wanted[1]
