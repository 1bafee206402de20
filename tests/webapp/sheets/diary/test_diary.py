"""The diary tells everything once, by day on this machine's clock, and leads to each thing."""

from __future__ import annotations

import re
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from html import unescape

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words
from webapp.db import Db
from webapp.records.diary import SHOWN, DiaryEntry
from webapp.sheets.diary.view import devices_told

_TOLD = re.compile(r"</span>(?:<p>|<div>)((?:(?!</li>).)*)(?:</p>|</div>)</li>", re.DOTALL)


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


@pytest.fixture
def far_east(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A machine whose clock is ten hours before UTC."""
    monkeypatch.setenv("TZ", "XXX-10")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def _told(page: str) -> list[str]:
    return [Words(one).text for one in _TOLD.findall(page)]


def _line(bench: Bench, sentence: str, at: str, casting: int | None = None, axle: int | None = None) -> None:
    with closing(sqlite3.connect(bench.db.path)) as connection, connection:
        connection.execute(
            "INSERT INTO journal_line (build_id, casting_id, axle_id, kind, sentence, at, who, device, page, version)"
            " VALUES (1, ?, ?, 'tick', ?, ?, 'AB', 'd', '', 1)",
            (casting, axle, sentence, at),
        )


def test_it_has_every_tick_and_reading_once_and_turns_its_pages(bench: Bench) -> None:
    bench.quartered()
    once = bench.one("SELECT count(*) FROM journal_line WHERE casting_id IS NULL OR axle_id IS NULL")
    told: list[str] = []
    address = "/diary?of=build-1"
    for _ in range(9):
        page = bench.get(address)
        told += _told(page)
        older = re.search(r'href="(/diary\?of=build-1&(?:amp;)?before=\d+)#days">Older', page)
        if older is None:
            break
        address = unescape(older[1])
        assert "The newest" in bench.get(address)
    assert len(told) == once == len(bench.journal()) - 2
    assert sum("Ticked axle 1 quartered." in one for one in told) == 1
    assert told[-1].startswith("Started the build")


def test_a_long_diary_is_paged(bench: Bench) -> None:
    for count in range(25):
        for mark in ("W1", "W2"):
            wish = "yes received.marked" if count % 2 == 0 else "no received.marked"
            assert bench.wish(mark, wish).status_code == 303
    page = bench.get("/diary?of=build-1")
    assert page.count('class="who">') == SHOWN == 14 and ">Older</a>" in page
    for shown in (14, 14, 9):
        (before,) = re.findall(r"before=(\d+)", page)
        page = bench.get(f"/diary?of=build-1&before={before}")
        assert page.count('class="who">') == shown
    assert "Started the build" in page and ">Older</a>" not in page
    for strange in ("0", "-1", "x", "9" * 40, "%00"):
        bench.get(f"/diary?of=build-1&before={strange}")


def test_days_and_times_are_this_machines(bench: Bench, far_east: None) -> None:
    _line(bench, "Late in the evening.", "2026-11-24 13:50:00.000000")
    _line(bench, "Past midnight.", "2026-11-24 14:05:00.000000")
    page = bench.get("/diary")
    assert re.findall(r"<h2>([^<]+)</h2>", page)[:2] == ["Wed 25 Nov 2026", "Tue 24 Nov 2026"]
    shown = re.findall(r'<time datetime="([^"]+)">([\d:]+)</time>', page)
    assert shown[:2] == [("2026-11-24T14:05:00+00:00", "00:05"), ("2026-11-24T13:50:00+00:00", "23:50")]


def test_it_is_of_a_build_an_axle_or_a_casting(bench: Bench) -> None:
    assert bench.metric() == 2
    at = "2026-11-24 13:50:00.000000"
    with closing(sqlite3.connect(bench.db.path)) as connection, connection:
        # W1 is taken off axle 1: what is done to it is no more of that axle's.
        connection.execute("UPDATE casting SET state = 'spare', axle_id = NULL, side = NULL WHERE id = 1")
    for sentence, casting, axle in (
        ("Of the build.", None, None),
        ("Of W1.", 1, None),
        ("Of W2.", 2, None),
        ("Of W3.", 3, None),
        ("Of axle 1.", None, 1),
        ("Of axle 1.", 2, 1),
        ("Of axle 1.", 1, 1),
        ("Of axle 2.", None, 2),
    ):
        _line(bench, sentence, at, casting, axle)

    def of(what: str) -> list[str]:
        told = _told(bench.get(f"/diary{what}"))
        return [one.rsplit(": ", 1)[-1] for one in told if "Of " in one][::-1]

    every = ["Of the build.", "Of W1.", "Of W2.", "Of W3.", "Of axle 1.", "Of axle 2."]
    assert of("") == every
    assert of("?of=build-1") == every
    assert of("?of=build-2") == []
    assert of("?of=axle-1") == ["Of W2.", "Of axle 1."]
    assert of("?of=axle-2") == ["Of W3.", "Of axle 2."]
    assert of("?of=casting-1") == ["Of W1.", "Of axle 1."]
    assert of("?of=casting-3") == ["Of W3."]


def test_each_line_leads_to_what_it_tells_of(bench: Bench) -> None:
    at = "2026-11-24 13:50:00.000000"
    _line(bench, "Done to the wheel.", at, 3)
    _line(bench, "Done to the axle.", at, None, 2)
    page = bench.get("/diary")
    told = [re.findall(r'<a href="([^"]+)">([^<]+)</a>', one) for one in _TOLD.findall(page)]
    build = ("/diary?of=build-1", "Tank engine")
    assert told == [[build, ("/axles/2", "Axle 2")], [build, ("/castings/3", "W3")], [build]]
    # Of one build its name is not said again and again; what else it can be asked for is chosen.
    page = bench.get("/diary?of=casting-3")
    assert _told(page) == ["W3: Done to the wheel."]
    assert re.findall(r'<option value="([^"]+)" selected>', page) == ["casting-3"]
    for address in re.findall(r'<option value="([^"]+)"', page):
        bench.get(f"/diary?of={address}")
    for sheet in ("/", "/builds/1"):
        assert 'href="/diary' in bench.get(sheet)


@pytest.mark.parametrize(
    "of",
    [
        "x",
        "build-",
        "build-0",
        "build-99",
        "axle-9",
        "casting-77",
        "casting-1x",
        "casting-" + "9" * 40,
        "%00",
    ],
)
def test_a_diary_of_nothing_is_not_there(bench: Bench, of: str) -> None:
    assert bench.client.get(f"/diary?of={of}").status_code == 404


def _by(who: str, device: str) -> DiaryEntry:
    return DiaryEntry(datetime(2026, 11, 24, tzinfo=UTC), who, None, None, "Ticked.", device=device)


def test_the_same_initials_on_two_devices_are_told_apart_by_the_devices_names(bench: Bench) -> None:
    names = {"a": "shop tablet", "b": "telephone"}
    assert devices_told([_by("AB", "a"), _by("AB", "a"), _by("CD", "b")], names) == {}
    told = devices_told([_by("AB", "a"), _by("AB", "c"), _by("CD", "b")], names)
    assert told == {"a": "shop tablet", "c": "this machine"}
    assert "this machine" not in Words(bench.get("/diary")).text
    _line(bench, "Ticked by somebody else.", "2026-11-24 10:00:00.000000")
    assert "AB, this machine" in Words(bench.get("/diary")).text
