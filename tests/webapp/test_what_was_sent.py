"""What is stored is what was sent: no form cut short, no correction passed over, no old page made young."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from shutil import copy
from sqlite3 import connect
from urllib.parse import urlencode, urlsplit

import httpx
import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import HX, Bench, FormOnPage, Words, form_on, slip_of
from webapp.db import Db

ROOT = Path(__file__).resolve().parents[2]
READING = "19.0625"


# ---- A form cut short, over a real socket ---------------------------------------------------------


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory, empty_file: Path) -> Iterator[tuple[str, Path]]:
    """The program as a program of its own, on a file of its own."""
    path = tmp_path_factory.mktemp("cut") / "spokeshed.db"
    copy(empty_file, path)
    command = (sys.executable, "-m", "webapp", "--data", str(path), "--port", "0")
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        yield process.stdout.readline().split()[1].rstrip("/"), path
        process.terminate()


def _client(address: str) -> httpx.Client:
    return httpx.Client(base_url=address, headers={"Origin": address}, cookies={"spokeshed_who": "AB"})


def _send_part(address: str, action: str, body: bytes, sent: bytes, *, chunked: bool) -> None:
    """Send the head of a request for the whole body, then only a part of it, and hang up."""
    url = urlsplit(address)
    length = "Transfer-Encoding: chunked" if chunked else f"Content-Length: {len(body)}"
    head = (
        f"POST {action} HTTP/1.1\r\nHost: {url.netloc}\r\nOrigin: {address}\r\nCookie: spokeshed_who=AB\r\n"
        f"Content-Type: application/x-www-form-urlencoded\r\n{length}\r\n\r\n"
    ).encode()
    part = b"%x\r\n%s\r\n" % (len(sent), sent) if chunked else sent
    with closing(socket.create_connection((url.hostname, url.port), timeout=30)) as line:
        line.sendall(head + part)
        line.shutdown(socket.SHUT_WR)
        with suppress(OSError):  # the program may hang up on its side first
            while line.recv(4096):
                pass


def _rows(path: Path, sql: str) -> list[tuple[object, ...]]:
    with closing(connect(path)) as connection:
        return connection.execute(sql).fetchall()


@pytest.mark.parametrize("chunked", [False, True])
def test_a_bore_cut_short_is_not_stored_and_can_be_sent_whole(
    address: tuple[str, Path], chunked: bool
) -> None:
    url, path = address
    with _client(url) as browser:
        if not _rows(path, "SELECT 1 FROM build"):
            form = form_on(browser.get("/builds/new").text, "/builds").filled(name="Shunter", who="AB")
            assert browser.post("/builds", data=form).status_code == 303
        own = 3 if chunked else 1
        for key in ("received", "back_faced", "bored"):
            action = f"/castings/{own}/ticks"
            if key not in {found for (found,) in _rows(path, f"SELECT key FROM tick WHERE casting_id={own}")}:
                tick = form_on(browser.get(f"/castings/{own}").text, action).filled(wish=f"yes {key}")
                assert browser.post(action, data=tick).status_code == 303
        action = f"/castings/{own}/bores"
        form = form_on(browser.get(slip_of(action)).text, action).filled(unit="mm")
        fields = [(name, text) for name, texts in form.items() if name != "reading" for text in texts]
        body = urlencode([*fields, ("unit", "mm"), ("reading", READING)]).encode()
        stored = f"SELECT text FROM reading JOIN measurement ON id = measurement_id WHERE casting_id = {own}"
        for lost in (2, len(READING), len(body)):
            _send_part(url, action, body, body[:-lost], chunked=chunked)
            assert _rows(path, stored) == []
        headers = {"Content-Type": "application/x-www-form-urlencoded"}
        for _ in range(2):
            assert browser.post(action, content=body, headers=headers).status_code == 303
        assert _rows(path, stored) == [(READING,)]


# ---- The same token, other content ----------------------------------------------------------------


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """Two axles; W1 and W2 bored."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    for mark in ("W1", "W2"):
        bench.tick(mark, "received", "back_faced", "bored")
    return bench


@pytest.mark.parametrize("hx", [False, True])
@pytest.mark.parametrize("view", ["axle", "casting"])
@pytest.mark.parametrize("box", ["reading", "reading_front_first"], ids=["slip", "due"])
def test_a_reading_corrected_before_its_answer_came_is_told_and_then_taken(
    bench: Bench, hx: bool, view: str, box: str
) -> None:
    action = "/castings/1/bores"
    sheet = {"axle": "/axles/1", "casting": "/castings/1"}[view]
    form = form_on(bench.get(slip_of(action, view) if box == "reading" else sheet), action).filled()
    assert form["view"] == [view] and box in form
    assert bench.post(action, {**form, box: "19.05"}, hx=hx).status_code in (200, 303)
    before = bench.dump()
    answer = bench.post(action, {**form, box: ["19.08", ""] if box == "reading" else "19.08"}, hx=hx)
    assert answer.status_code == 409
    assert bench.dump() == before
    words = Words(answer.text)
    assert "“19.05” was stored, now it says “19.08”" in words.text
    assert "Stored already: “19.05”" in words.at(box)
    again = form_on(answer.text, action)
    # What was typed is kept, so is the version, and sent once more it is a correction.
    assert again.fields[box][0] == "19.08" and again.fields["seen"] == [form["seen"][0]]
    assert bench.post(action, again.fields, hx=hx).status_code in (200, 303)
    assert bench.rows("SELECT text, supersedes_id IS NOT NULL FROM measurement JOIN reading ON id = measurement_id") == [
        ("19.05", 0), ("19.08", 1),
    ]  # fmt: skip


# Each form that is taken once: the sheet it stands on, its address, what is typed into it, and what it is corrected to.
ONCE = [
    ("/axles/1/seats/left", "/axles/1/seats/left", {"reading": "19.05"}, {"reading": "19.03"}),
    ("/castings/1/throw", "/castings/1/throws", {"reading": "28.01"}, {"reading": "28.2"}),
    ("/builds/1/figures", "/builds/1/figures", {"rough_cut": "0.7"}, {"rough_cut": "0.8"}),
    ("/builds/1/balance", "/builds/1/balance", {"rotating": "90 g"}, {"rotating": "80 g"}),
    ("/builds/1/joints", "/builds/1/joints", {"press": "30 kN"}, {"press": "40 kN"}),
    ("/builds/1/rods", "/builds/1/rods", {"rod-left-1": "150.1"}, {"rod-left-1": "150.2"}),
    ("/castings/1/receiving", "/castings/1/receiving", {"note": "sand"}, {"note": "a blowhole"}),
    ("/castings/1/metal", "/castings/1/metal", {"rim_height": "10.2"}, {"rim_height": "10.1"}),
    ("/castings/1/tread", "/castings/1/tread", {"tread": "111"}, {"tread": "110.9"}),
    ("/castings/3/true", "/castings/3/true", {"tolerance": "0.05", "grip": "on_outside"}, {"tolerance": "0.1"}),
    ("/builds/1?open=more-castings", "/builds/1/castings", {"marks": "W8"}, {"marks": "W9"}),
    ("/workshop", "/workshop/reamers", {"size": "19 mm"}, {"size": "19.5 mm"}),
    ("/workshop/instruments/new", "/workshop/instruments/new",
     {"name": "Mic", "resolution": "0.001", "expanded": "0.004"}, {"name": "Micrometer"}),
]  # fmt: skip


@pytest.mark.parametrize(("page", "action", "first", "second"), ONCE, ids=[one[1] for one in ONCE])
def test_every_form_that_is_taken_once_says_when_it_says_something_else(
    bench: Bench, page: str, action: str, first: dict[str, str], second: dict[str, str]
) -> None:
    form = _form(bench, page, action, first)
    assert bench.post(action, form).status_code == 303, Words(bench.post(action, form).text).text
    assert bench.post(action, form).status_code == 303
    words = bench.refused(lambda: bench.post(action, {**form, **second}), 409)
    (name, text), *_ = second.items()
    assert f"“{text}”" in words.text and "Nothing was stored this time" in words.text
    if form.get(name) not in ("", [""], [], None):
        (typed,) = form[name] if isinstance(form[name], list) else [form[name]]
        assert f"“{typed}” was stored" in words.text


def test_a_build_started_twice_under_two_names_is_one(bench: Bench) -> None:
    form = form_on(bench.get("/builds/new"), "/builds").filled(name="Tank", who="AB")
    assert bench.post("/builds", form).headers["location"] == "/builds/2"
    assert bench.post("/builds", form).headers["location"] == "/builds/2"
    words = bench.refused(lambda: bench.post("/builds", {**form, "name": "Tender"}), 409)
    assert "“Tank” was stored, now it says “Tender”" in words.text


def test_what_was_taken_before_contents_were_kept_is_answered_as_before(bench: Bench) -> None:
    form = _form(bench, "/castings/1/bore", "/castings/1/bores", {"reading": "19.05"})
    assert bench.post("/castings/1/bores", form).status_code == 303
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("UPDATE submission SET content = ''")
    assert bench.post("/castings/1/bores", {**form, "reading": "19.08"}).status_code == 303
    assert bench.one("SELECT count(*) FROM measurement") == 1


def _form(bench: Bench, page: str, action: str, changes: dict[str, str]) -> dict[str, object]:
    """The form of a sheet with something typed, addressed as the sheet does, with or without a mark to land at."""
    html = bench.whole(page)
    found = _address(html, action)
    form: dict[str, object] = form_on(html, found).filled(**{"who": "AB", **changes})
    return form


# ---- An old page stays an old page ----------------------------------------------------------------


VERSIONED = [
    ("/castings/1/bore", "/castings/1/bores", {"reading": "19.05"}),
    # The one reading that is due, on the sheet itself.
    ("/castings/1", "/castings/1/bores", {"reading_front_first": "19.05"}),
    ("/axles/1?due=seat-right", "/axles/1/seats/right", {"reading": "19.05"}),
    ("/castings/1/throw", "/castings/1/throws", {"reading": "28"}),
    ("/castings/1?open=mark", "/castings/1/mark", {"mark": "X1"}),
    ("/castings/1/scrap", "/castings/1/scrap", {"reason": "cracked"}),
    ("/axles/1/seats/left", "/axles/1/seats/left", {"reading": "19.05"}),
    *[(page, action, first) for page, action, first, _ in ONCE if "workshop" not in page and "more-castings" not in page],
    ("/builds/1/edit", "/builds/1/edit", {"name": "Other"}),
    ("/castings/1/strokes?radial_width=20+mm&feed=0.1+mm&depth=1+mm&cut_depth=0.5+mm", "/castings/1/strokes", {}),
]  # fmt: skip


@pytest.mark.parametrize(("page", "action", "typed"), VERSIONED)
def test_after_an_out_of_date_answer_the_form_is_as_old_as_before(
    bench: Bench, page: str, action: str, typed: dict[str, str]
) -> None:
    """Pressed again it is refused again: what somebody else did is never wiped by the same page."""
    form = _form(bench, page, action, typed)
    _somebody_else(bench)
    for _ in range(3):
        before = bench.dump()
        answer = bench.post(action, form)
        assert answer.status_code == 409, (answer.status_code, Words(answer.text).text[:400])
        assert bench.dump() == before
        kept = _same_form(answer.text, action)
        assert kept.fields["seen"] == _list(form["seen"])
        for name, text in typed.items():
            assert text in kept.fields[name], name
        form = {**form, **kept.fields}


@pytest.mark.parametrize("hx", [False, True])
@pytest.mark.parametrize(
    ("page", "box"), [("/axles/1", "reading_front_first"), ("/castings/1/bore?view=axle", "reading")]
)
def test_a_reading_on_an_old_axle_sheet_stays_old_beside_the_present_state(
    bench: Bench, page: str, box: str, hx: bool
) -> None:
    form = form_on(bench.get(page), "/castings/1/bores").filled(**{box: "19.05"})
    _somebody_else(bench)
    answer = bench.post("/castings/1/bores", form, hx=hx)
    assert answer.status_code == 409
    again = form_on(answer.text, "/castings/1/bores").fields
    assert again["seen"] == _list(form["seen"])
    assert again[box][0] == "19.05"


@pytest.mark.parametrize("hx", [False, True])
@pytest.mark.parametrize(
    ("page", "action", "box"),
    [
        ("/axles/1", "/castings/1/bores", "reading_front_first"),
        ("/castings/1", "/castings/1/bores", "reading_front_first"),
        ("/castings/1?due=throw-1", "/castings/1/throws", "reading"),
        ("/axles/1?due=seat-left", "/axles/1/seats/left", "reading"),
    ],
)
def test_a_due_reading_that_somebody_else_took_comes_back_as_typed(
    bench: Bench, page: str, action: str, box: str, hx: bool
) -> None:
    """It is due no more, and its boxes are still there: what was typed is not lost, and who was first is said."""
    size = "28.01" if "throws" in action else "19.05"
    form = form_on(bench.get(page), action).filled(**{box: size})
    slip = slip_of(action)
    assert bench.send(slip, action, reading=size, who="CD").status_code == 303
    before = bench.dump()
    answer = bench.post(action, {**form, "who": "AB"}, hx=hx)
    assert answer.status_code == 409
    assert bench.dump() == before
    assert "CD, " in Words(answer.text).by_id["due" if not hx else f"due-{_key(action)}"]
    again = form_on(answer.text, action).fields
    assert again[box][0] == size and again["from"] == ["due"] and again["seen"] == _list(form["seen"])


def _key(action: str) -> str:
    """The key of the reading that an address takes."""
    *_, of, kind = action.split("/")
    return f"{kind.removesuffix('s')}-{of}" if of.isdigit() else f"seat-{kind}"


def _somebody_else(bench: Bench) -> None:
    """Another page changes the build, axle 1 and every casting."""
    with closing(connect(bench.db.path)) as connection, connection:
        for table, column in (("build", ""), ("axle", "axle_id"), ("casting", "casting_id")):
            connection.execute(f"UPDATE {table} SET version = version + 1")
            own = ", ".join(("id" if column == name else "NULL") for name in ("casting_id", "axle_id"))
            build = "id" if table == "build" else "build_id"
            connection.execute(
                "INSERT INTO journal_line"
                " (build_id, casting_id, axle_id, kind, sentence, at, who, device, page, version)"
                f" SELECT {build}, {own}, 'other', 'Did something else.', '2026-01-02 03:04:05', 'XY', 'd',"
                f" 'ffffffffffff', version FROM {table}"
            )


def _address(html: str, action: str) -> str:
    found = re.search(rf'method="post" action="({re.escape(action)}(?:#[^"]*)?)"', html)
    assert found, f"no form for {action} on the page"
    return found[1]


def _same_form(html: str, action: str) -> FormOnPage:
    return form_on(html, _address(html, action))


def _list(value: object) -> list[str]:
    return value if isinstance(value, list) else [str(value)]


def test_ticks_on_an_old_sheet_show_the_present_state(bench: Bench) -> None:
    """A tick has nothing typed to keep: its answer is the wheel as it is now."""
    form = form_on(bench.get("/axles/1"), "/castings/1/ticks").filled(wish="no bored")
    _somebody_else(bench)
    answer = bench.client.post("/castings/1/ticks", data=form, headers=HX)
    assert answer.status_code == 409 and "XY" in answer.text
