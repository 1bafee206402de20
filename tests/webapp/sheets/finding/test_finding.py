"""A thing is found again by its mark, its build's name, a figure as typed, a note or a reason, and is a tap away."""

from __future__ import annotations

import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from html import unescape
from pathlib import Path
from urllib.parse import quote

import pytest
from fastapi.testclient import TestClient
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.webapp.conftest import ORIGIN
from tests.webapp.scenes import Bench, Words
from tests.webapp.test_query_count import counting
from webapp.app import create_app
from webapp.records.finding import SOURCES
from webapp.records.paged import MOST
from webapp.settings import Settings
from webapp.typed.labels import label_text

_HIT = re.compile(r'<li><a href="([^"]+)"><strong>((?:(?!</a>).)*)</a></li>', re.DOTALL)
_GROUP = re.compile(r'<section id="(\w+)"><h2>[^<]+</h2>((?:(?!</section>).)*)</section>', re.DOTALL)
AT = "2026-01-01 10:00:00.000000"


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory, empty_file: Path) -> Iterator[Bench]:
    """Two builds; only looked at."""
    path = tmp_path_factory.mktemp("finding") / "spokeshed.db"
    shutil.copy(empty_file, path)
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        bench = Bench(client, app.state.db).sit_down()
        bench.metric()
        bench.tick("W1", "received", "back_faced", "bored")
        assert bench.log("W1", "bore", "19.043", "19.047").status_code == 303
        assert bench.log("W1", "throw", "28.01").status_code == 303
        assert bench.seat(1, "left", "19.043").status_code == 303
        assert bench.scrap("W5", reason="other", words="dropped on the anvil").status_code == 303
        note = {"note": "50% chill_spot, see W2/W3 \\ Änderung", "who": "AB"}
        assert bench.send("/castings/3/receiving", "/castings/3/receiving", **note).status_code == 303
        first = bench.one("SELECT min(id) FROM measurement WHERE kind = 'throw'")
        measured = "/castings/1/measured"
        answer = bench.send(f"{measured}?strike={first}", measured, strike=str(first), why="dirt in the hole")
        assert answer.status_code == 303
        assert bench.start(axles="1", marks="Ölkopf Q2 Q3 Q4") == 2
        yield bench
    app.state.db.close()


def _find(bench: Bench, text: str, more: str = "") -> dict[str, list[tuple[str, str]]]:
    """What is found, by place: where each leads and what it says."""
    page = bench.get(f"/find?q={quote(text, safe='')}{more}")
    return {
        key: [(unescape(address), Words(said).text) for address, said in _HIT.findall(inside)]
        for key, inside in _GROUP.findall(page)
    }


def test_each_place_leads_to_the_sheet_that_tells_it(bench: Bench) -> None:
    assert [one for one, _ in _find(bench, "tank")["builds"]] == ["/builds/2", "/builds/1"]
    assert _find(bench, "w3")["castings"] == [("/castings/3", "W3, Tank engine")]
    seat, bore = _find(bench, "19.043")["readings"]
    own = bench.one("SELECT id FROM measurement WHERE kind = 'bore'")
    assert bore[0] == f"/castings/1/measured?before={own + 1}#line-{own}"
    assert bore[1].startswith("W1, Tank engine Bore: 19.043, 19.047 AB, ")
    assert seat[0].startswith("/axles/1/measured?") and "Wheel seat, left end: 19.043" in seat[1]
    assert f'id="line-{own}"' in bench.get(bore[0].partition("#")[0])
    (struck,) = _find(bench, "28.01")["readings"]
    assert "Throw: 28.01, struck out" in struck[1]
    (note,) = _find(bench, "chill_spot")["received"]
    assert note[0] == "/castings/3/receiving" and "50% chill_spot" in note[1]
    bench.send("/castings/3/notes", "/castings/3/notes", words="sandhole seven by the third spoke")
    ((address, said),) = _find(bench, "sandhole seven")["notes"]
    assert address == "/castings/3/notes" and "sandhole seven by the third spoke" in said
    # Reasons: of a scrapping, of a reading struck out.
    (reason,) = _find(bench, "anvil")["done"]
    assert reason[0] == "/castings/5" and "dropped on the anvil" in reason[1]
    assert [one for one, _ in _find(bench, "dirt in the hole")["done"]] == ["/castings/1"]
    for text in ("W", "19.0", "tank", "chill", "started"):
        for hits in _find(bench, text).values():
            for address, _ in hits:
                bench.get(address.partition("#")[0])


def test_every_word_is_met_in_whatever_column_of_the_line(bench: Bench) -> None:
    assert [one for one, _ in _find(bench, "w3 tank")["castings"]] == ["/castings/3"]
    assert _find(bench, "tank w3")["castings"] == _find(bench, "w3 tank")["castings"]
    assert [one for one, _ in _find(bench, "Q2 engine")["castings"]] != []
    (bore,) = _find(bench, "W1 19.043")["readings"]
    assert bore[0].startswith("/castings/1/measured")
    (seat,) = _find(bench, "axle 19.043 tank")["readings"]
    assert seat[0].startswith("/axles/1/measured")
    (reason,) = _find(bench, "anvil W5 AB")["done"]
    assert reason[0] == "/castings/5"
    # Each of them must be met, and a build's name alone finds no wheel of it.
    assert _find(bench, "w3 zz") == _find(bench, "tank zz") == {}
    assert "castings" not in _find(bench, "tank engine")


def test_a_point_and_a_comma_are_the_same_in_a_figure(bench: Bench) -> None:
    bench.send("/castings/2/notes", "/castings/2/notes", words="bar of 19,55 used")
    assert _find(bench, "19.55")["notes"] == _find(bench, "19,55")["notes"] != []
    assert _find(bench, "28,01")["readings"] == _find(bench, "28.01")["readings"] != []
    assert _find(bench, ",043").get("readings") == _find(bench, ".043").get("readings") != []


def test_a_figure_is_found_with_and_without_its_nought(bench: Bench) -> None:
    assert bench.seat(1, "right", ".7499 in").status_code == 303
    for asked in (".7499", "0.7499", "0,7499"):
        assert len(_find(bench, asked)["readings"]) == 1, asked
    assert "received" not in _find(bench, "chill,spot")


def test_what_like_takes_for_signs_is_meant_as_written(bench: Bench) -> None:
    assert "received" in _find(bench, "50%")
    assert "received" in _find(bench, "W2/W3 \\")
    for text in ("%", "_"):
        # A sign alone finds just where it stands, which is in the one note and where that is told.
        assert set(_find(bench, text)) == {"received"} | ({"done"} & set(_find(bench, text)))
    assert _find(bench, "5_%") == _find(bench, "%%") == _find(bench, "W_") == {}


def test_capitals_of_other_languages_too(bench: Bench) -> None:
    assert _find(bench, "ölkopf")["castings"] == _find(bench, "ÖLKOPF")["castings"] != []
    assert "received" in _find(bench, "änderung")


@pytest.mark.parametrize("text", ["", " ", "%20%20", "x" * 61, "a" * 4_000, "%00", "a%07b", "\u202e"])
def test_what_cannot_be_looked_for_is_told_beside_the_field(bench: Bench, text: str) -> None:
    answer = bench.client.get(f"/find?q={text}")
    assert answer.status_code == 422
    assert Words(answer.text).at("q").endswith((".", "again."))
    assert _HIT.findall(answer.text) == []
    if len(text) > 60:
        assert text in answer.text and f"{len(text)} characters long: 60 is the most" in answer.text


def test_nothing_found_is_said(bench: Bench) -> None:
    assert "Nothing has “<b>zz” in it." in Words(bench.get("/find?q=%3Cb%3Ezz")).text
    assert "Nothing has" not in bench.get("/find")
    # A place that there is none of is passed over.
    assert _find(bench, "W3", "&place=x") == _find(bench, "W3")


def test_a_label_opens_its_casting(bench: Bench) -> None:
    label = bench.one("SELECT permanent_id FROM casting WHERE id = 4")
    whole = quote(label_text("http://a-shed-with-a-long-name-of-its-own.local:8730", label))
    assert bench.client.get(f"/find?q={whole}").headers["location"] == "/castings/4"
    assert bench.client.get(f"/find?q=%20{label}").headers["location"] == "/castings/4"
    assert bench.client.get(f"/find?q={label[:-1]}").status_code == 200
    assert bench.client.get(f"/find?q={'0' * 32}").status_code == 200


def test_few_of_many_are_shown_and_all_are_a_link_away(bench: Bench) -> None:
    many = 2 * MOST + 3
    with closing(sqlite3.connect(bench.db.path)) as connection, connection:
        connection.executemany(
            "INSERT INTO journal_line (build_id, casting_id, kind, sentence, at, who, device, page, version)"
            " VALUES (1, 2, 'tick', ?, ?, 'AB', 'd', '', 1)",
            [(f"Paged & told {n:03}.", AT) for n in range(many)],
        )
    page = bench.get("/find?q=Paged+%26+told")
    assert len(_HIT.findall(page)) == 5
    (address,) = re.findall(r'href="(/find\?place=done[^"]+)"', page)
    seen: list[str] = []
    while address:
        page = bench.get(unescape(address).partition("#")[0])
        found = re.findall(r"Paged &amp; told \d{3}", page)
        assert 0 < len(found) <= MOST
        seen += found
        older = re.search(r'href="([^"]+)">Older<', page)
        address = older[1] if older else ""
    assert seen == [f"Paged &amp; told {n:03}" for n in range(many - 1, -1, -1)]


def test_it_asks_as_often_whatever_there_is(bench: Bench) -> None:
    with counting(bench.db) as said:
        bench.get("/find?q=W")
    # One for each place, and the two that begin and end the reading.
    assert len(said) == len(SOURCES) + 2


_MARKS = st.text(st.sampled_from("%_\\/'\"*?[]^aZ0. ½äÄß$"), min_size=1, max_size=12)


@settings(max_examples=60, deadline=None)
@given(mark=_MARKS, asked=_MARKS)
def test_just_what_has_the_text_in_it_is_found(bench: Bench, mark: str, asked: str) -> None:
    """Whatever signs stand in either: as Python finds them, with English capitals for the same."""
    mark, asked = " ".join(mark.split()), " ".join(asked.split())
    if not mark or not asked:
        return
    with closing(sqlite3.connect(bench.db.path)) as connection, connection:
        connection.execute("UPDATE casting SET mark = ? WHERE id = 6", (mark,))
    hits = [address for address, _ in _find(bench, asked).get("castings", [])]

    def plain(text: str) -> str:
        return "".join(sign.lower() if sign.isascii() else sign for sign in text)

    def met(word: str, text: str) -> bool:
        ways = {word} if word.isascii() else {word, word.lower(), word.upper(), word.capitalize()}
        return any(plain(one) in plain(text) for one in ways)

    # One word at least in the mark; every other there or in its build's name.
    words = asked.split()
    wanted = any(met(word, mark) for word in words) and all(
        met(word, mark) or met(word, "Tank engine") for word in words
    )
    assert ("/castings/6" in hits) == wanted
