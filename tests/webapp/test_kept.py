"""What a device could send only later: stored once, with both times, and seen by the pages of others."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import HX, Bench, form_on
from webapp.db import Db
from webapp.facts.cure import hold_words
from webapp.records.views import Stamp
from webapp.web.load import get_casting

LATE = "2026-03-01T18:00:00.000Z"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def _tick(bench: Bench, wish: str, **more: str) -> int:
    page = bench.get("/axles/1")
    form = form_on(page, "/castings/1/ticks")
    sent = form.filled(wish=wish, **more)
    return bench.client.post(form.action, data=sent, headers=HX).status_code


def test_a_tick_sent_again_with_its_token_is_stored_once(bench: Bench) -> None:
    """Ticked, the answer lost, taken off again by the same page, and the first sent once more."""
    form = form_on(bench.get("/axles/1"), "/castings/1/ticks")
    on = form.filled(wish="yes received", token="a" * 32)
    off = form.filled(wish="no received", token="b" * 32)
    for sent in (on, off, on, off, on):
        assert bench.client.post(form.action, data=sent, headers=HX).status_code == 200
    assert "received" not in bench.ticks("W1")
    assert len([one for one in bench.journal("W1") if "icked received" in one]) == 2


def test_a_tick_that_was_kept_has_both_times(bench: Bench) -> None:
    assert _tick(bench, "yes received", device_at=LATE) == 200
    (told, arrived), (stored, at) = (
        bench.rows("SELECT device_at, at FROM tick")[0],
        bench.rows("SELECT device_at, at FROM journal_line WHERE kind = 'tick'")[0],
    )
    assert told == stored == "2026-03-01 18:00:00.000000"
    assert arrived == at > told


@pytest.mark.parametrize(
    "text", ["", "yesterday", "2026-02-30T10:00:00.000Z", "2026-03-01T18:00:00", "9" * 300]
)
def test_what_is_no_time_counts_as_not_said(bench: Bench, text: str) -> None:
    assert _tick(bench, "yes received", device_at=text) == 200
    assert bench.one("SELECT device_at FROM tick") is None


def test_a_reading_that_was_kept_tells_both_times_in_the_journal(bench: Bench) -> None:
    bench.bored("W1")
    form = form_on(bench.get("/axles/1?due=throw-1"), "/castings/1/throws")
    late = form.filled(reading="28.0", device_at=LATE)
    assert bench.post(form.action, late).status_code == 303
    assert bench.one("SELECT device_at FROM journal_line WHERE kind = 'throw'") is not None
    assert "By the device's clock done 1 Mar 2026" in " ".join(bench.whole("/castings/1").split())
    # Sent once more it is the same reading, whatever time it says.
    assert bench.post(form.action, {**late, "device_at": "2026-03-01T19:00:00.000Z"}).status_code == 303
    assert bench.one("SELECT count(*) FROM measurement WHERE kind = 'throw'") == 1


def test_a_cure_counts_from_the_later_of_the_two_times(bench: Bench, db: Db) -> None:
    now = datetime.now(UTC)
    earlier, later = now - timedelta(hours=30), now - timedelta(minutes=2)
    assert Stamp("AB", now, device_at=earlier).since == now
    assert Stamp("AB", earlier, device_at=later).since == later
    assert Stamp("AB", earlier).since == earlier
    bench.bored("W1")
    bench.tick("W1", "pressed")
    build, wheel = get_casting(db, 1)
    # With the usual times: an hour or so to handle it, a day to full cure.
    build = replace(build, joint_texts={})
    assert hold_words(build, wheel, None, now + timedelta(hours=25)) == ""
    ahead = replace(wheel.ticks["pressed"], device_at=now + timedelta(hours=20))
    wheel = replace(wheel, ticks={**wheel.ticks, "pressed": ahead})
    assert hold_words(build, wheel, None, now + timedelta(hours=25)) != ""


def test_where_a_form_leads_is_told_to_a_script_that_asks(bench: Bench) -> None:
    form = form_on(bench.get("/castings/5/scrap"), "/castings/5/scrap")
    sent = form.filled(reason="cracked")
    told = bench.client.post(form.action, data=sent, headers={"Spokeshed-Told": "go"})
    assert told.status_code == 200 and "location" not in told.headers and told.text == ""
    assert told.headers["spokeshed-then"].startswith("/")
    # A refusal is a page, as it is without a script.
    empty = bench.client.post(form.action, data={}, headers={"Spokeshed-Told": "go"})
    assert empty.status_code in (409, 422) and "spokeshed-then" not in empty.headers and "<main" in empty.text


def test_a_page_knows_whether_it_is_the_present_one(bench: Bench) -> None:
    page = bench.get("/axles/1")
    mark = f'"{page.partition("data-stand=")[2].split(chr(34))[1]}"'
    same = bench.client.get("/stand", headers={"If-None-Match": mark})
    assert same.status_code == 304 and same.headers["etag"] == mark
    assert _tick(bench, "yes received") == 200
    changed = bench.client.get("/stand", headers={"If-None-Match": mark})
    assert changed.status_code == 200 and changed.headers["etag"] != mark
    assert bench.client.get("/stand", headers={"If-None-Match": changed.headers["etag"]}).status_code == 304


def _stand(page: str) -> str:
    return page.partition("data-stand=")[2].split(chr(34))[1]


def _told(bench: Bench, page: str, **fields: str) -> str | None:
    """The stand that the answer to a form of this page tells it that it has now."""
    form = form_on(page, "/castings/1/ticks")
    headers = HX | {"Spokeshed-Stand": _stand(page)}
    answer = bench.client.post(form.action, data=form.filled(**fields), headers=headers)
    return answer.headers.get("spokeshed-stand")


@pytest.mark.parametrize("wish", ["yes received", "yes received.marked"])
def test_after_its_own_tick_a_sheet_is_told_that_it_is_the_present_one(bench: Bench, wish: str) -> None:
    page = bench.get("/axles/1")
    told = _told(bench, page, wish=wish)
    assert told not in (None, "", _stand(page))
    assert bench.client.get("/stand", headers={"If-None-Match": f'"{told}"'}).status_code == 304


def test_a_sheet_that_lacks_what_another_did_is_not_told_so(bench: Bench, db: Db) -> None:
    page = bench.get("/axles/1")
    # Another page's tick, then another program's.
    assert _tick(bench, "yes received.looked_over") == 200
    assert _told(bench, page, wish="yes received.marked") is None
    page = bench.get("/axles/1")
    with closing(sqlite3.connect(db.path)) as other, other:
        other.execute("UPDATE casting SET mark = 'X2' WHERE mark = 'W2'")
    assert _told(bench, page, wish="no received.marked") is None


def test_what_another_program_does_right_after_is_not_passed_over(
    bench: Bench, db: Db, monkeypatch: pytest.MonkeyPatch
) -> None:
    page, asked = bench.get("/axles/1"), db._version

    def late() -> int | None:
        if db._turn.locked() and bench.one("SELECT count(*) FROM tick WHERE key = 'received.marked'"):
            with closing(sqlite3.connect(db.path)) as other, other:
                other.execute("UPDATE casting SET mark = 'X2' WHERE mark = 'W2'")
        return asked()

    monkeypatch.setattr(db, "_version", late)
    assert _told(bench, page, wish="yes received.marked") is None
    assert bench.one("SELECT count(*) FROM casting WHERE mark = 'X2'") == 1


def test_an_answer_that_stored_nothing_tells_of_no_other_stand(bench: Bench) -> None:
    page = bench.get("/axles/1")
    form = form_on(page, "/castings/1/ticks")
    headers = HX | {"Spokeshed-Stand": _stand(page)}
    sent = form.filled(wish="yes received", token="a" * 32)
    first, again = (bench.client.post(form.action, data=sent, headers=headers) for _ in range(2))
    assert first.headers["spokeshed-stand"] != _stand(page) and "spokeshed-stand" not in again.headers
    page = bench.get("/axles/1")
    # Refused, for the back is not faced yet.
    assert _told(bench, page, wish="yes bored") in (None, _stand(page))


def test_a_sheet_drawn_anew_keeps_its_rows_where_they_were(bench: Bench) -> None:
    """So that nothing moves under a finger when others have ticked."""
    bench.bored("W1", "W2")
    assert 'id="rows-done"' in bench.get("/axles/1")
    assert 'id="rows-done"' not in bench.get("/axles/1?folded=0")
    assert 'id="rows-done"' in bench.get("/axles/1?folded=99")
    assert 'id="rows-done"' not in bench.get("/castings/1?folded=0")
