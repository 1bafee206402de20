"""The workshop's drilling jigs, through HTTP: put down, judged for each build, chosen for a hole, retired."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime, timedelta
from functools import partial
from sqlite3 import connect

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words
from webapp.db import Db

NEW, PAGE = "/workshop/jigs/new", "/builds/1/crankpins"
JIG = {
    "name": "28 throw",
    "unit": "mm",
    "throw": "28",
    "plug": "19.04",
    "bush": "8",
    "checked_on": "2026-01-02",
}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def _add(bench: Bench, **changes: str) -> int:
    answer = bench.send(NEW, NEW, **{**JIG, **changes})
    assert answer.status_code == 303, Words(answer.text).text
    found: int = bench.one("SELECT max(id) FROM jig")
    return found


def _card(bench: Bench, jig: int = 1) -> str:
    return " ".join(Words(bench.get("/workshop?open=jigs")).by_id[f"jig-{jig}"].split())


def test_a_jig_is_stored_as_typed_and_shown(bench: Bench) -> None:
    assert "No drilling jig yet" in Words(bench.get("/workshop?open=jigs")).text
    _add(bench, throw="1 1/8 in", unit="in", plug="0.75", bush="3/8")
    sizes = "SELECT name, throw_nm, plug_nm, bush_nm, checked_on, retired FROM jig"
    assert bench.rows(sizes) == [("28 throw", 28_575_000, 19_050_000, 9_525_000, "2026-01-02", 0)]
    assert "1.1250 in (28.575 mm)" in _card(bench) and "2 Jan 2026" in _card(bench)
    assert 'value="1.125 in"' in bench.get("/workshop/jigs/1")


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"throw": "0"}, "throw", "A throw is more than nothing"),
        ({"throw": "13"}, "throw", "would run into the plug"),
        ({"plug": ""}, "plug", ""),
        ({"plug": "nineteen"}, "plug", "nineteen"),
        ({"bush": "0"}, "bush", "has a diameter"),
        ({"throw": "500"}, "throw", "more than 200"),
        ({"checked_on": (datetime.now(UTC) + timedelta(days=3)).date().isoformat()}, "checked_on", "still to come"),
        ({"checked_on": "last week"}, "checked_on", "is no date"),
        ({"name": ""}, "name", ""),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_beside_its_field(
    bench: Bench, changes: dict[str, str], field: str, words: str
) -> None:
    refused = bench.refused(partial(bench.send, NEW, NEW, **{**JIG, **changes}))
    assert words in refused.by_id[f"{field}-error"] and refused.by_id[f"{field}-error"]


def test_a_name_that_is_taken_is_refused_a_retired_one_too(bench: Bench) -> None:
    _add(bench)
    refused = bench.refused(partial(bench.send, NEW, NEW, **{**JIG, "name": "28 Throw"}))
    assert "A jig is called 28 throw" in refused.by_id["name-error"]
    assert bench.send("/workshop?open=jigs", "/workshop/jigs/1/retire").status_code == 303
    refused = bench.refused(partial(bench.send, NEW, NEW, **JIG))
    assert "A retired jig is called 28 throw: take it back into use" in refused.by_id["name-error"]


def test_a_plug_larger_than_any_bore_is_refused(bench: Bench) -> None:
    _add(bench, plug="22")  # with no build there is nothing to hold it against
    bench.metric()
    refused = bench.refused(partial(bench.send, NEW, NEW, **{**JIG, "name": "B", "plug": "19.06"}))
    assert "goes in no wheel: the largest bore of any build is 19.050 mm" in refused.by_id["plug-error"]
    bench.bored("W1", bore="19.08 mm")
    _add(bench, name="B", plug="19.06")
    refused = bench.refused(partial(bench.send, "/workshop/jigs/2", "/workshop/jigs/2", plug="19.081"), 422)
    assert "the largest bore of any build is 19.080 mm" in refused.by_id["plug-error"]


def test_each_build_says_whether_it_fits_by_drawn_and_by_measured_bores(bench: Bench) -> None:
    bench.metric()
    _add(bench)
    assert _card(bench).count("Good, by the drawn bore") == 1
    bench.bored("W1", bore="19.03 mm")
    said = "o good: its plug is 0.010 mm (0.0004 in) larger than the smallest bore"
    assert f"N{said}" in _card(bench)
    jig = " ".join(Words(bench.get(f"{PAGE}?open=jig")).by_id["jig"].split())
    assert jig.startswith(f"28 throw : n{said}") or jig.startswith(f"28 throw: n{said}")


def test_a_carrying_pattern_asks_nothing_of_a_jig(bench: Bench) -> None:
    bench.metric()
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("UPDATE pattern SET kind = 'carrying'")
    _add(bench, plug="19.06")
    assert "bore" not in _card(bench)


def test_a_build_that_is_put_away_asks_nothing_of_a_jig(bench: Bench) -> None:
    bench.metric()
    _add(bench, plug="19.04")
    build = bench.one("SELECT name FROM build")
    assert build in _card(bench)
    assert bench.send("/builds/1/away", "/builds/1/archive").status_code == 303
    assert build not in _card(bench)


def test_the_jig_that_fits_is_kept_with_a_wheel_in_one_tap_and_told(bench: Bench) -> None:
    bench.metric()
    _add(bench, name="other throw", throw="31")
    _add(bench)
    bench.bored("W1", "W2", bore="19.08 mm")
    own = bench.id("W1")
    page = f"{PAGE}?open=pin-{own}"
    at = " ".join(Words(bench.get(page)).by_id[f"pin-{own}"].split())
    assert "Keep with W1: jig 28 throw" in at and "other throw" not in at
    kept = bench.send(page, f"/castings/{own}/settings")
    assert kept.status_code == 303 and f"open=pin-{own}" in kept.headers["location"]
    assert "Set on W1 to drill the crankpin hole: jig 28 throw." in bench.journal("W1")
    at = " ".join(Words(bench.get(page)).by_id[f"pin-{own}"].split())
    assert "Set on W1: jig 28 throw AB, " in at and "Keep with W1" not in at
    assert "jig 28 throw" in Words(bench.get(f"/castings/{own}/throw")).text
    other = bench.id("W2")
    assert "as on W1 : jig 28 throw" in " ".join(
        Words(bench.get(f"{PAGE}?open=pin-{other}")).by_id[f"pin-{other}"].split()
    ).replace("W1:", "W1 :")
    # Out of use it is proposed for no other hole; what was drilled with it keeps its name.
    assert bench.send("/workshop?open=jigs", "/workshop/jigs/2/retire").status_code == 303
    assert "Keep with W3" not in Words(bench.get(f"{PAGE}?open=pin-{bench.id('W3')}")).text
    assert "Set on W1: jig 28 throw" in " ".join(Words(bench.get(page)).text.split())


def test_an_old_page_changes_nothing(bench: Bench) -> None:
    _add(bench)
    form = bench.form("/workshop/jigs/1", "/workshop/jigs/1").filled(bush="8.2")
    assert bench.post("/workshop/jigs/1", {**form, "token": "b" * 32}).status_code == 303
    refused = bench.refused(lambda: bench.post("/workshop/jigs/1", {**form, "bush": "8.3"}), 409)
    assert refused.text
    assert bench.client.get("/workshop/jigs/7").status_code == 404
