"""The trade's words, one tap from where they are used."""

from __future__ import annotations

import re

import pytest

from domain.glossary import SUBJECTS, subject_of
from tests.webapp.scenes import Bench
from webapp.demo.builds import make_demo
from webapp.settings import TEMPLATES

ROOMS = sorted(path.name for path in (TEMPLATES / "sheets").iterdir() if path.is_dir())
SHEETS = {
    "/builds/2/rods": "rods",
    "/axles/2": "wheel",
    "/castings/5/mandrel": "mandrel",
    "/workshop": "workshop",
}


@pytest.fixture
def bench(client, db) -> Bench:  # type: ignore[no-untyped-def]
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


@pytest.mark.parametrize("room", ROOMS)
def test_every_room_of_sheets_has_its_words(room: str) -> None:
    assert subject_of(room) is not None


def test_a_word_is_explained_once() -> None:
    names = [word.name for subject in SUBJECTS for word in subject.words]
    rooms = [room for subject in SUBJECTS for room in subject.rooms]
    assert len(names) == len(set(names))
    assert len(rooms) == len(set(rooms))


def test_every_sheet_leads_to_the_words_of_its_subject(client, db) -> None:  # type: ignore[no-untyped-def]
    make_demo(db)
    bench = Bench(client, db).sit_down()
    words = bench.get("/words")
    for address, room in SHEETS.items():
        assert f'href="/words?of={room}"' in bench.get(address)
        subject = subject_of(room)
        assert subject is not None
        (opened,) = re.findall(
            r"<details[^>]* open><summary><h2>([^<]+)</h2>", bench.get(f"/words?of={room}")
        )
        assert opened == subject.name
    assert " open>" not in bench.get("/words?of=cellar")
    for subject in SUBJECTS:
        for word in subject.words:
            assert f"<dt>{word.name}</dt>" in words


def test_a_slip_leads_to_the_words_of_what_it_is_about(client, db) -> None:  # type: ignore[no-untyped-def]
    make_demo(db)
    bench = Bench(client, db).sit_down()
    for address, name in {
        "/castings/2/bore": "Bore, seat and joint",
        "/axles/1/seats/left": "Bore, seat and joint",
        "/castings/2/throw": "Cranks, rods and balance",
    }.items():
        (room,) = re.findall(r'href="/words\?of=(\w+)"', bench.get(address))
        subject = subject_of(room)
        assert subject is not None and subject.name == name


def test_the_words_lead_back_to_where_one_came_from(bench: Bench) -> None:
    own = "http://127.0.0.1:8730"

    def back(referer: str) -> list[str]:
        page = bench.client.get("/words?of=rods", headers={"Referer": referer} if referer else {}).text
        return re.findall(r'href="([^"]+)">Back to where you were', page)

    for address in ("/", "/builds/1", "/axles/1", "/castings/1/bore?view=casting", "/workshop"):
        assert back(own + address) == [address]
    # Nowhere, a page elsewhere, the words themselves, what only takes a form, and no sheet at all.
    for referer in (
        "",
        "http://elsewhere.invalid/builds/1",
        f"{own}/words?of=rods",
        f"{own}/castings/1/bores",
    ):
        assert back(referer) == []
    for nasty in (
        f"{own}//elsewhere.invalid",
        "javascript:alert(1)",
        "http://[",
        "\\x00",
        f"{own}/builds/1/x",
    ):
        assert back(nasty) == []
    assert "title-block-build" not in bench.get("/words")


@pytest.mark.parametrize("word", ["Driven axle", "Spare", "Scrap", "Reserve", "Stub", "Thou"])
def test_words_that_the_sheets_say_in_passing_are_explained(word: str) -> None:
    assert word in {one.name for subject in SUBJECTS for one in subject.words}


def test_no_word_is_explained_that_no_sheet_says() -> None:
    source = " ".join(
        path.read_text(encoding="utf-8").lower()
        for folder in (TEMPLATES, TEMPLATES.parent / "domain", TEMPLATES.parent / "webapp")
        for path in folder.rglob("*.*")
        if path.suffix in (".html", ".py") and path.name != "glossary.py"
    )
    unsaid = [
        word.name
        for subject in SUBJECTS
        for word in subject.words
        if not re.search(r"\b" + re.escape(word.name.lower()), source)
    ]
    assert unsaid == []
