"""Striking out through HTTP: each kind of reading, with a reason; it stays visible, and all is judged without it."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from tests.webapp.scenes import Bench, Words, form_on
from webapp.db import Db
from webapp.records.builds import load_build
from webapp.records.heights import heights_of

HEIGHTS = {
    "axle_way": "centre", "axle": "60", "right_way": "centre", "right": "79.8", "right_branch": "front",
    "left_way": "centre", "left": "79.8", "left_branch": "rear", "expanded": "",
}  # fmt: skip


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def last(bench: Bench, kind: str) -> int:
    return int(bench.one("SELECT max(id) FROM measurement WHERE kind = ?", kind))


def strike(bench: Bench, home: str, own: int, why: str = "read on the wrong wheel") -> Response:
    return bench.send(f"{home}/measured?strike={own}", f"{home}/measured", why=why)


def log(bench: Bench, kind: str) -> str:
    """Log one of this kind; the sheet it belongs to."""
    bench.quartered()
    if kind == "seat":
        assert bench.seat(1, "left", "19.05").status_code == 303
        return "/axles/1"
    if kind == "pin_heights":
        assert bench.send("/axles/1/quartering", "/axles/1/quartering", **HEIGHTS).status_code == 303
        return "/axles/1"
    if kind == "back_to_back":
        assert bench.send("/axles/1/gauges", "/axles/1/gauges#log", back_to_back="83.3").status_code == 303
        return "/axles/1"
    if kind in ("weight", "rim_least"):
        typed = {"weight": "410 g", "rim_least": "118", "rim_most": "119"}
        assert bench.send("/castings/1/receiving", "/castings/1/receiving", **typed).status_code == 303
    elif kind in ("tread", "flange_height"):
        typed = {"tread": "110", "flange_height": "2"}
        assert bench.send("/castings/1/tread", "/castings/1/tread#log", **typed).status_code == 303
    elif kind == "boss_height":
        assert bench.send("/castings/1/metal", "/castings/1/metal", boss_height="16").status_code == 303
    return "/castings/1"


def present(bench: Bench, kind: str) -> bool:
    """Whether the build as read knows one of this kind of axle 1 or of W1."""
    with bench.db.read() as session:
        build = load_build(session, 1)
        assert build is not None
        heights = heights_of(session, 1)
    axle, casting = build.axles[0], build.casting(1)
    assert casting is not None
    if kind in ("bore", "throw"):
        return getattr(casting, kind) is not None
    if kind == "seat":
        return "left" in axle.seats
    if kind == "pin_heights":
        return axle.id in heights
    if kind == "back_to_back":
        return kind in axle.sizes
    if kind == "weight":
        return casting.receipt is not None and casting.receipt.weight_mg is not None
    if kind == "rim_least":
        return casting.receipt is not None and kind in casting.receipt.sizes
    return kind in casting.sizes


@pytest.mark.parametrize(
    "kind",
    ["bore", "throw", "seat", "pin_heights", "back_to_back", "weight", "rim_least", "tread", "flange_height", "boss_height"],
)  # fmt: skip
def test_any_kind_is_struck_out_stays_visible_and_counts_for_nothing(bench: Bench, kind: str) -> None:
    home = log(bench, kind)
    own = bench.one("SELECT id FROM measurement WHERE kind = ? AND (casting_id = 1 OR axle_id = 1)", kind)
    assert present(bench, kind)
    answer = strike(bench, home, own)
    assert answer.status_code == 303 and answer.headers["location"] == f"{home}/measured"
    line = Words(bench.get(f"{home}/measured")).by_id[f"line-{own}"]
    assert "Struck out, AB" in line and line.endswith("read on the wrong wheel")
    assert not present(bench, kind)
    rows = bench.rows("SELECT struck_out_why, struck_out_by FROM measurement WHERE id = ?", own)
    assert rows == [("read on the wrong wheel", "AB")]
    journal = bench.journal() + bench.journal("W1")
    assert any("struck out the" in one and "read on the wrong wheel" in one for one in journal)
    # Every sheet still opens, judged without it.
    for path in (
        "/builds/1",
        "/axles/1",
        "/castings/1",
        "/castings/1/bore",
        "/castings/1/throw",
        "/castings/1?open=measured",
        "/axles/1/seats/left",
        "/builds/1/made",
        "/builds/1/treads",
        "/builds/1/quartering",
    ):
        assert bench.client.get(path).status_code == 200, path


def test_what_it_corrected_stands_again(bench: Bench) -> None:
    bench.bored("W1")
    assert bench.log("W1", "bore", "19.10").status_code == 303
    assert strike(bench, "/castings/1", last(bench, "bore")).status_code == 303
    text = Words(bench.get("/castings/1?open=measured")).text
    assert "struck out: read on the wrong wheel" in text
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    casting = build.casting(1)
    assert casting is not None and casting.bore is not None and casting.bore.mean_nm == 19_080_000


def test_a_reason_is_needed_and_an_old_page_is_told(bench: Bench) -> None:
    bench.bored("W1")
    own = last(bench, "bore")
    said = bench.refused(lambda: strike(bench, "/castings/1", own, "  "))
    assert said.at("why") == "The reason is empty: write it here."
    bench.refused(lambda: strike(bench, "/castings/1", own, "x" * 201))
    address = "/castings/1/measured"
    old = form_on(bench.get(f"{address}?strike={own}"), address).filled(why="late")
    assert bench.log("W1", "bore", "19.10", who="CD").status_code == 303
    bench.refused(lambda: bench.post(address, old), 409)


def test_twice_is_once_and_another_casting_s_is_not_there(bench: Bench) -> None:
    bench.bored("W1")
    own = last(bench, "bore")
    address = "/castings/1/measured"
    form = form_on(bench.get(f"{address}?strike={own}"), address).filled(why="first")
    assert bench.post(address, form).status_code == 303
    assert bench.post(address, form).status_code == 303
    assert bench.one("SELECT struck_out_why FROM measurement WHERE id = ?", own) == "first"
    for strange in (own, 99, "x", "9" * 30, "-1", ""):
        assert "Why?" not in bench.get(f"/castings/2/measured?strike={strange}")
    seen = str(bench.one("SELECT version FROM casting WHERE id = 2"))
    bench.refused(
        lambda: bench.post("/castings/2/measured", {"why": "x", "seen": seen, "strike": str(own)}), 404
    )
    bench.refused(lambda: bench.post("/axles/1/measured", {"why": "x", "seen": "1", "strike": "99"}), 404)


def test_a_scrapped_casting_s_reading_can_be_struck_out(bench: Bench) -> None:
    bench.bored("W1")
    assert bench.scrap("W1").status_code == 303
    assert strike(bench, "/castings/1", last(bench, "bore")).status_code == 303
