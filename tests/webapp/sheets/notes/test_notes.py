"""Notes and photos through HTTP: kept, shown beside the history, served, taken away; what is no photo is refused."""

from __future__ import annotations

import json
import re
import shutil
import sqlite3
from base64 import b64decode, b64encode
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx import Response
from sqlalchemy import event

from tests.webapp.conftest import ORIGIN
from tests.webapp.photos import PLACE_WORDS, file_of, jpeg, noise, on_its_side, opened
from tests.webapp.scenes import Bench, Words, form_on
from webapp.app import create_app
from webapp.backup import back_up
from webapp.db import Db
from webapp.guard import LONGEST_BODY, LONGEST_PHOTO
from webapp.records.paged import MOST
from webapp.settings import Settings
from webapp.sheets.notes import change

HOMES = ("/castings/1", "/axles/1")
WORDS = "Chill at the rim"
_PHOTOS = re.compile(r'src="(/photos/[0-9a-f]{32})/small\.jpg"')


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def note(bench: Bench, home: str, words: str = "", file: bytes | None = None, **changes: object) -> Response:
    """Fill the form in as a browser does: an empty file without a name where none is chosen."""
    data = bench.form(f"{home}/notes", f"{home}/notes").filled(words=words, **changes)
    data.pop("photo")
    files = {"photo": ("", b"") if file is None else ("camera.jpg", file, "image/jpeg")}
    return bench.client.post(f"{home}/notes", data=data, files=files)


def kept(bench: Bench) -> int:
    return int(bench.one("SELECT count(*) FROM note"))


def photo_on(bench: Bench, home: str) -> str:
    """The address of the newest photo, without its end."""
    return _PHOTOS.findall(bench.get(f"{home}/notes"))[0]


@pytest.mark.parametrize("home", HOMES)
def test_a_photo_with_its_note_is_kept_and_shown(bench: Bench, home: str) -> None:
    answer = note(bench, home, WORDS, on_its_side(3200, 2400))
    assert answer.status_code == 303 and answer.headers["location"] == f"{home}/notes#notes"
    at = photo_on(bench, home)
    large, small = bench.client.get(f"{at}.jpg"), bench.client.get(f"{at}/small.jpg")
    assert opened(large.content).size == (1200, 1600) and opened(small.content).size == (120, 160)
    for picture in (large, small):
        assert PLACE_WORDS.encode() not in picture.content and not opened(picture.content).getexif()
        assert picture.headers["content-type"] == "image/jpeg"
        assert picture.headers["x-content-type-options"] == "nosniff"
        assert picture.headers["content-security-policy"].startswith("default-src 'none'")
        assert picture.headers["cross-origin-resource-policy"] == "same-origin"
        assert picture.headers["cache-control"] == "private, max-age=31536000, immutable"
        assert "content-encoding" not in picture.headers
    beside = "/castings/1?open=done" if home == "/castings/1" else "/axles/1/journal"
    for page in (f"{home}/notes", beside):
        text = Words(bench.get(page)).text
        assert f"{WORDS} AB" in text and f'src="{at}/small.jpg"' in bench.get(page)
    own = at.rpartition("/")[2]
    seen = bench.get(f"{home}/notes?photo={own}")
    assert f'href="{home}/notes?photo={own}#photo-seen"' in bench.get(beside) and f'src="{at}.jpg"' in seen
    elsewhere = bench.get(f"/castings/2/notes?photo={own}")
    assert f'src="{at}.jpg"' not in elsewhere and "Nothing noted yet." in elsewhere
    assert bench.journal()[-1] == f"Kept a photo “{WORDS}”."


def test_the_axle_sheet_itself_is_as_light_as_before(bench: Bench) -> None:
    assert note(bench, "/axles/1", WORDS, jpeg(80, 60)).status_code == 303
    page = bench.get("/axles/1")
    assert "photos" not in page and "notes" not in page


def test_a_note_says_at_which_stage_it_was_written(bench: Bench) -> None:
    note(bench, "/castings/1", "as it came")
    bench.bored("W1")
    note(bench, "/castings/1", "cut well")
    note(bench, "/axles/1", "one wheel only")
    bench.bored("W2")
    note(bench, "/axles/1", "both wheels")
    stages = bench.rows("SELECT words, stage FROM note ORDER BY id")
    assert stages == [
        ("as it came", None), ("cut well", "bored"), ("one wheel only", None), ("both wheels", "bored"),
    ]  # fmt: skip
    assert re.search(r"cut well AB [^,]+, bored", Words(bench.get("/castings/1/notes")).text)


def test_a_note_alone_and_a_photo_alone(bench: Bench) -> None:
    assert note(bench, "/castings/1", f"  {WORDS}\n twice ").status_code == 303
    assert note(bench, "/castings/1", "", jpeg(80, 60)).status_code == 303
    assert bench.rows("SELECT words FROM note ORDER BY id") == [(f"{WORDS} twice",), ("",)]
    assert bench.journal("W1")[-2:] == [f"Kept a note “{WORDS} twice”.", "Kept a photo."]
    # As a script sends it, which leaves the file out.
    form = bench.form("/castings/1/notes", "/castings/1/notes").filled(words="more")
    form.pop("photo")
    assert bench.post("/castings/1/notes", form).status_code == 303


def test_a_scrapped_casting_takes_a_note(bench: Bench) -> None:
    assert bench.scrap("W5").status_code == 303
    assert note(bench, f"/castings/{bench.id('W5')}", "for the sections").status_code == 303


@pytest.mark.parametrize(
    ("file", "sentence"),
    [
        (b"", "is empty"),
        (b"%PDF-1.7 and so on", "no picture that can be read here"),
        (b"\0\0\0\x18ftypheic\0\0\0\0", "send the picture as JPEG"),
        (jpeg(900, 900)[:3000], "cut short"),
        (file_of(noise(8, 8).resize((7200, 7200), 0).convert("1"), "PNG"), "50 million points"),
    ],
)
def test_what_is_no_photo_is_refused_beside_its_field(bench: Bench, file: bytes, sentence: str) -> None:
    before = bench.journal()
    refused = note(bench, "/castings/1", WORDS, file)
    assert refused.status_code == 422 and sentence in Words(refused.text).at("photo")
    assert f">{WORDS}</textarea>" in refused.text
    assert kept(bench) == 0 and bench.journal() == before


def test_what_is_no_note_is_refused_beside_its_field(bench: Bench) -> None:
    refused = note(bench, "/castings/1", "  ")
    assert refused.status_code == 422 and "Write a note" in Words(refused.text).at("words")
    refused = note(bench, "/castings/1", "x" * 501, jpeg(80, 60))
    assert refused.status_code == 422 and "500 is the most" in Words(refused.text).at("words")
    # A browser does not give the file back, and the form says so.
    assert "Take or choose it once more." in refused.text
    refused = note(bench, "/castings/1", WORDS, jpeg(80, 60), who="?!")
    assert refused.status_code == 422 and "initials" in Words(refused.text).at("who")
    assert kept(bench) == 0


def test_only_its_upload_may_be_as_large_as_a_photo(bench: Bench) -> None:
    large = file_of(noise(2600, 2600), "PNG")
    assert 10 * LONGEST_BODY < len(large) < LONGEST_PHOTO
    assert note(bench, "/castings/1", WORDS, large).status_code == 303
    assert len(bench.client.get(f"{photo_on(bench, '/castings/1')}.jpg").content) <= 1_000_000
    too_large = note(bench, "/castings/1", WORDS, large + b"\0" * LONGEST_PHOTO)
    assert too_large.status_code == 413 and "more than 20 MB" in too_large.text
    assert kept(bench) == 1
    for path in (
        "/castings/1/bores", "/castings/1/notes/away", "/castings/1/notes/", "/builds/1/notes", "/castings/x/notes",
        "//castings/1/notes",
    ):  # fmt: skip
        assert bench.client.post(path, files={"photo": ("x.jpg", large)}).status_code == 413, path


def test_the_photos_of_a_build_end_where_its_document_would_be_too_long(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert note(bench, "/castings/1", "", jpeg(800, 600)).status_code == 303
    monkeypatch.setattr(change, "MOST_PHOTO_BYTES", bench.one("SELECT length(jpeg) FROM photo") + 10)
    refused = note(bench, "/castings/2", WORDS, jpeg(800, 600))
    assert refused.status_code == 422 and "take one away" in Words(refused.text).at("photo")
    assert note(bench, "/castings/2", WORDS).status_code == 303
    # Another build has room of its own.
    assert bench.metric() == 2
    assert note(bench, f"/castings/{bench.id('W1', 2)}", "", jpeg(800, 600)).status_code == 303


@pytest.mark.parametrize("home", HOMES)
def test_it_is_asked_before_one_is_taken_away(bench: Bench, home: str) -> None:
    note(bench, home, WORDS, jpeg(80, 60))
    at = photo_on(bench, home)
    own = at.rpartition("/")[2]
    asked = bench.get(f"{home}/notes?away={own}")
    assert f"{WORDS}; AB," in Words(asked).text and f'href="{home}/notes?away={own}#away"' in asked
    assert kept(bench) == 1
    form = form_on(asked, f"{home}/notes/away")
    nobody = bench.post(form.action, form.filled(who="?!"))
    assert nobody.status_code == 422 and "Take it away?" in nobody.text and kept(bench) == 1
    gone = bench.post(form.action, form.filled())
    assert gone.status_code == 303 and kept(bench) == 0
    assert bench.one("SELECT count(*) FROM photo") == 0
    for picture in (f"{at}.jpg", f"{at}/small.jpg"):
        answer = bench.client.get(picture)
        assert answer.status_code == 404 and answer.headers["cache-control"] == "no-store"
    assert WORDS not in bench.get(f"{home}/notes")
    assert bench.journal()[-1] == f"Took away AB's photo “{WORDS}”."
    # Sent again it is done already; from another page there is nothing to be taken away.
    assert bench.post(form.action, form.filled()).status_code == 303
    assert bench.post(form.action, form.filled(token="b" * 32, seen="99")).status_code in (404, 409)
    assert len([line for line in bench.journal() if "Took away" in line]) == 1


def test_one_of_another_casting_is_not_taken_away(bench: Bench) -> None:
    note(bench, "/castings/1", WORDS)
    own = bench.one("SELECT permanent_id FROM note")
    assert "Take it away?" not in bench.get(f"/castings/2/notes?away={own}")
    for home in ("/castings/2", "/axles/1"):
        table = "casting" if home == "/castings/2" else "axle"
        seen = bench.one(f"SELECT version FROM {table} WHERE id = ?", home[-1])
        answer = bench.post(f"{home}/notes/away", {"away": own, "who": "AB", "seen": str(seen)})
        assert answer.status_code == 404 and "There is no such note." in answer.text
    assert kept(bench) == 1


def test_a_form_sent_twice_is_kept_once_and_another_photo_is_another_form(bench: Bench) -> None:
    for _ in range(2):
        assert note(bench, "/castings/1", WORDS, jpeg(80, 60), token="a" * 32).status_code == 303
    assert kept(bench) == 1
    other = note(bench, "/castings/1", WORDS, jpeg(90, 60), token="a" * 32)
    assert other.status_code == 409 and "was taken already" in other.text and kept(bench) == 1


@pytest.mark.parametrize("at", ["0" * 32, "1", "x", "..%2f", "0" * 31 + "G"])
def test_a_photo_that_is_not_there(bench: Bench, at: str) -> None:
    for address in (f"/photos/{at}.jpg", f"/photos/{at}/small.jpg"):
        assert bench.client.get(address).status_code == 404


def test_a_long_list_of_notes_is_shown_a_page_at_a_time(bench: Bench) -> None:
    for number in range(MOST + 2):
        note(bench, "/castings/1", f"note {number}")
    first = bench.get("/castings/1/notes")
    assert first.count("<li id=") == MOST and "note 0<" not in first
    (older,) = re.findall(r'href="(/castings/1/notes\?before=\d+)#notes"', first)
    assert bench.get(older).count("<li id=") == 2 and "note 0<" in bench.get(older)
    assert f"notes and photos: {MOST} and more" in bench.get("/castings/1")


# ---- A list reads no pictures ----------------------------------------------------------------------


@contextmanager
def told(db: Db) -> Iterator[list[str]]:
    """Every statement that SQLite is given meanwhile."""
    said: list[str] = []

    def out(connection: sqlite3.Connection, *_: object) -> None:
        connection.set_trace_callback(said.append)

    def back(connection: sqlite3.Connection, *_: object) -> None:
        connection.set_trace_callback(None)

    event.listen(db.engine, "checkout", out)
    event.listen(db.engine, "checkin", back)
    try:
        yield said
    finally:
        event.remove(db.engine, "checkout", out)
        event.remove(db.engine, "checkin", back)


def test_no_list_reads_a_picture(bench: Bench) -> None:
    note(bench, "/castings/1", WORDS, jpeg(80, 60))
    note(bench, "/axles/1", WORDS, jpeg(80, 60))
    at = photo_on(bench, "/castings/1")
    with told(bench.db) as said:
        for page in (
            "/castings/1",
            "/castings/1?open=done",
            "/castings/1/notes",
            "/axles/1/notes",
            "/axles/1/journal",
        ):
            bench.get(page)
        assert any("FROM note" in one for one in said)
        assert [one for one in said if "photo.jpeg" in one or "photo.small" in one] == []
        bench.client.get(f"{at}/small.jpg")
        assert any("photo.small" in one for one in said) and not any("photo.jpeg" in one for one in said)


# ---- Copies and exports ----------------------------------------------------------------------------


@pytest.fixture
def other(tmp_path: Path, empty_file: Path) -> Iterator[Bench]:
    """Another machine, with a build of its own."""
    path = tmp_path / "other" / "other.db"
    path.parent.mkdir()
    shutil.copy(empty_file, path)
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        bench = Bench(client, app.state.db, who="JD").sit_down()
        bench.metric()
        yield bench
    app.state.db.close()


def _document(bench: Bench, build: int = 1) -> dict[str, Any]:
    found: dict[str, Any] = bench.client.get(f"/builds/{build}/export/build.json").json()
    return found


def _import(bench: Bench, document: dict[str, Any], **changes: str) -> Response:
    data = form_on(bench.get("/import"), "/import").filled(who="JD", **changes)
    data.pop("document")
    files = {"document": ("tank.json", json.dumps(document).encode(), "application/json")}
    return bench.client.post("/import", data=data, files=files)


def _stored(bench: Bench, build: int) -> list[tuple[Any, ...]]:
    return bench.rows(
        "SELECT words, stage, who, at, note.permanent_id, jpeg FROM note LEFT JOIN photo ON note_id = note.id"
        " WHERE build_id = ? ORDER BY note.id",
        build,
    )


def test_they_go_along_with_the_builds_document(bench: Bench, other: Bench) -> None:
    note(bench, "/castings/1", WORDS, on_its_side(2000, 1500))
    note(bench, "/axles/1", "no photo")
    document = _document(bench)
    assert [len(one["photos"]) for one in document["build"]["notes"]] == [1, 0]
    assert _import(other, document).status_code == 303
    assert _stored(other, 2) == _stored(bench, 1)
    assert _document(other, 2)["build"]["notes"] == document["build"]["notes"]
    at = photo_on(other, f"/castings/{other.id('W1', 2)}")
    assert max(opened(other.client.get(f"{at}/small.jpg").content).size) == 160
    # As a copy it is another note, with the same picture.
    assert _import(other, document, copy="yes").status_code == 303
    again = _stored(other, 3)
    assert [one[-1] for one in again] == [one[-1] for one in _stored(bench, 1)]
    assert {one[-2] for one in again}.isdisjoint(one[-2] for one in _stored(bench, 1))


def test_an_imported_picture_is_taken_as_if_it_were_new(bench: Bench, other: Bench) -> None:
    note(bench, "/castings/1", WORDS, jpeg(300, 200))
    document = _document(bench)
    (photo,) = document["build"]["notes"][0]["photos"]
    photo["jpeg"] = b64encode(on_its_side(900, 600)).decode()
    assert _import(other, document).status_code == 303
    stored = opened(_stored(other, 2)[0][-1])
    assert stored.size == (600, 900) and not stored.getexif()
    assert PLACE_WORDS.encode() not in b64decode(
        _document(other, 2)["build"]["notes"][0]["photos"][0]["jpeg"]
    )


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (b64encode(b"#!/bin/sh").decode(), "In build, notes, row 1, photos, row 1: This is no picture"),
        (b64encode(jpeg(900, 900)[:3000]).decode(), "damaged or was cut short"),
        ("", "is empty"),
        ("no base64 ", "the text is no base64"),
        ("ü", "the text is no base64"),
        ("A" * 1_400_000, "is too long"),
        (7, "a text is wanted, not 7"),
    ],
)
def test_an_imported_picture_that_is_none_is_refused(
    bench: Bench, other: Bench, text: object, sentence: str
) -> None:
    note(bench, "/castings/1", WORDS, jpeg(300, 200))
    document = _document(bench)
    document["build"]["notes"][0]["photos"][0]["jpeg"] = text
    refused = _import(other, document)
    assert refused.status_code == 422 and sentence in Words(refused.text).at("document")
    assert other.one("SELECT count(*) FROM build") == 1


def test_a_copy_of_the_data_has_them(bench: Bench, tmp_path: Path) -> None:
    note(bench, "/castings/1", WORDS, jpeg(300, 200))
    at = photo_on(bench, "/castings/1")
    picture = bench.client.get(f"{at}.jpg").content
    back_up(bench.db.path, tmp_path / "copy.db")
    with sqlite3.connect(tmp_path / "copy.db") as copy:
        assert copy.execute("SELECT words, jpeg FROM note JOIN photo ON note_id = note.id").fetchall() == [
            (WORDS, picture)
        ]


def test_the_table_itself_takes_no_larger_photo(bench: Bench) -> None:
    note(bench, "/castings/1", WORDS, jpeg(300, 200))
    with sqlite3.connect(bench.db.path) as file, pytest.raises(sqlite3.IntegrityError):
        file.execute("UPDATE photo SET jpeg = zeroblob(1000001)")


def test_nobody_at_the_bench(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric()
    client.cookies.delete("spokeshed_who")
    refused = note(bench, "/castings/1", WORDS, jpeg(80, 60), who="")
    assert refused.status_code == 422 and kept(bench) == 0
    send = partial(note, bench, "/castings/1", WORDS, jpeg(80, 60), who="JD")
    assert send().status_code == 303 and bench.one("SELECT who FROM note") == "JD"
