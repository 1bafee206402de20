"""A build exported and imported through the pages: the same sheets on the other machine, and every refusal a sentence."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from random import Random
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from tests.webapp.conftest import ORIGIN
from tests.webapp.facts.conftest import demo_file  # noqa: F401
from tests.webapp.scenes import Bench, Words, form_on
from webapp.app import create_app
from webapp.db import Db
from webapp.exchange.tables import schema
from webapp.facts.facts import facts_of
from webapp.guard import LONGEST_DOCUMENT
from webapp.records.builds import find_build
from webapp.settings import Settings
from webapp.sheets.exchange.page import attachment

Document = dict[str, Any]


def _open(path: Path) -> Iterator[Bench]:
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        yield Bench(client, app.state.db, who="JD").sit_down()
    app.state.db.close()


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory, demo_file: Path) -> Iterator[Bench]:  # noqa: F811
    """A machine with both invented builds; nothing is written on it."""
    path = tmp_path_factory.mktemp("demo") / "demo.db"
    shutil.copy(demo_file, path)
    yield from _open(path)


@pytest.fixture
def other(tmp_path: Path, empty_file: Path) -> Iterator[Bench]:
    """Another machine, with a build of its own: ids differ from the first's."""
    path = tmp_path / "other.db"
    shutil.copy(empty_file, path)
    for bench in _open(path):
        bench.metric()
        yield bench


def _document(bench: Bench, build: int = 1) -> bytes:
    answer = bench.client.get(f"/builds/{build}/export/build.json")
    assert answer.status_code == 200
    return answer.content


def _send(bench: Bench, content: bytes, name: str = "tank.json", **changes: str) -> Any:
    form = form_on(bench.get("/import"), "/import")
    files = {"document": (name, content, "application/json")}
    return bench.client.post("/import", data=form.filled(who="JD", **changes), files=files)


def _taken_in(bench: Bench, content: bytes, **changes: str) -> int:
    answer = _send(bench, content, **changes)
    assert answer.status_code == 303, Words(answer.text).text
    return int(answer.headers["location"].rsplit("/", 1)[1])


# ---- There ----------------------------------------------------------------------------------------


def test_the_build_sheet_leads_to_the_export_and_the_list_to_the_import(demo: Bench) -> None:
    assert 'href="/builds/1/export"' in demo.get("/builds/1")
    sheet = demo.get("/builds/1/export")
    for address in ("/builds/1/export/build.json", "/builds/1/export/readings.csv", "/export/schema.json"):
        assert f'href="{address}"' in sheet
        assert demo.client.get(address).status_code == 200
    assert 'href="/import"' in demo.get("/")


@pytest.mark.parametrize("what", ["", "/build.json", "/readings.csv"])
def test_of_a_build_that_is_not_there(demo: Bench, what: str) -> None:
    answer = demo.client.get(f"/builds/99/export{what}")
    assert answer.status_code == 404 and "There is no such build." in answer.text


def test_the_served_schema_is_that_of_the_document(demo: Bench) -> None:
    answer = demo.client.get("/export/schema.json")
    assert answer.headers["content-type"] == "application/schema+json"
    assert answer.json() == schema()
    for build in (1, 2):
        Draft202012Validator(answer.json()).validate(json.loads(_document(demo, build)))


def test_a_download_is_a_file_with_a_name(demo: Bench) -> None:
    headers = demo.client.get("/builds/1/export/build.json").headers
    assert headers["content-type"] == "application/json"
    assert headers["content-disposition"] == (
        'attachment; filename="Invented-six-coupled-tank-engine.json"; '
        "filename*=UTF-8''Invented%20six-coupled%20tank%20engine.json"
    )


@pytest.mark.parametrize(
    "name",
    ['"; filename="x.exe', "../../etc/passwd", "a\r\nSet-Cookie: x", "", "...", "Ω ½\u202egnp", "日本"],
)
def test_no_name_gets_out_of_its_header(name: str) -> None:
    header = attachment(name, "json")
    assert re.fullmatch(
        r'attachment; filename="[A-Za-z0-9-]+\.json"; filename\*=UTF-8\'\'[A-Za-z0-9%._~-]+\.json', header
    )
    assert "%2F" not in header and "%5C" not in header and "%0" not in header and "''." not in header


def test_the_table_of_the_readings(demo: Bench) -> None:
    answer = demo.client.get("/builds/1/export/readings.csv")
    assert answer.headers["content-type"] == "text/csv; charset=utf-8; header=present"
    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"), newline="")))
    assert len(rows) >= demo.one(
        "SELECT count(*) FROM reading r JOIN measurement m ON m.id = measurement_id WHERE build_id = 1"
    )
    bore = next(row for row in rows if (row["of"], row["kind"]) == ("W1", "bore"))
    assert (bore["as typed"], bore["read"], bore["unit"], bore["state"]) == (
        "0.7511 in",
        "19.07794",
        "mm",
        "stands",
    )


# ---- And back -------------------------------------------------------------------------------------


def _same(text: str) -> str:
    """What a page says, without what is told of the machine and its ids."""
    text = re.sub(r"Last done .*?(Start a build|$)", "", text)
    return re.sub(r"Date\d+ \w+ \d{4} [\d:]+|axle [0-9]+ of|/\d+", "", text)


@pytest.mark.parametrize("build", [1, 2])
def test_the_other_machine_shows_the_same_sheets(demo: Bench, other: Bench, build: int) -> None:
    own = _taken_in(other, _document(demo, build))
    with demo.db.read() as here, other.db.read() as there:
        was, now = find_build(here, build), find_build(there, own)
    pairs = [
        (f"/builds/{build}{end}", f"/builds/{own}{end}")
        for end in ("/made", "/fits", "/rods", "/treads", "/balance")
    ]
    pairs += [
        (f"/axles/{a.id}{end}", f"/axles/{b.id}{end}")
        for a, b in zip(was.axles, now.axles, strict=True)
        for end in ("", "/journal", "/measured")
    ]
    pairs += [
        (f"/castings/{a.id}{end}", f"/castings/{b.id}{end}")
        for a, b in zip(was.castings, now.castings, strict=True)
        for end in ("", "/measured")
    ]
    for first, second in pairs:
        one, two = demo.client.get(first), other.client.get(second)
        assert one.status_code == two.status_code == 200, (first, second)
        assert _same(Words(two.text).text) == _same(Words(one.text).text), (first, second)
    assert len(pairs) > 20


@pytest.mark.parametrize("build", [1, 2])
def test_the_judges_find_the_same(demo: Bench, other: Bench, build: int) -> None:
    own = _taken_in(other, _document(demo, build))
    with demo.db.read() as here, other.db.read() as there:
        was, now = find_build(here, build), find_build(there, own)
    one, two = facts_of(was), facts_of(now)
    first, second = ([(m.line.words, m.line.answer) for m in facts.made.lines] for facts in (one, two))
    assert first and first == second
    assert one.made.trouble == two.made.trouble
    joints = [
        [
            joint and (joint.finding.kind, joint.headline, joint.reason, joint.doubt)
            for joint in map(facts.joints.of, build.castings)
        ]
        for facts, build in ((one, was), (two, now))
    ]
    assert any(joints[0]) and joints[0] == joints[1]


def test_the_import_is_told_with_the_whole_history_before_it(demo: Bench, other: Bench) -> None:
    own = _taken_in(other, _document(demo))
    sql = "SELECT sentence, who, at FROM journal_line WHERE build_id = ? ORDER BY id"
    was, now = demo.rows(sql, 1), other.rows(sql, own)
    assert now[:-1] == was
    assert now[-1][:2] == ("Imported from tank.json.", "JD")
    assert "Imported from tank.json." in other.get(f"/diary?of=build-{own}")
    assert _document(other, own) == _document(demo)


def test_the_imported_build_goes_on(demo: Bench, other: Bench) -> None:
    own = _taken_in(other, _document(demo))
    wheel = other.id("W8", own)
    page = f"/castings/{wheel}"
    answer = other.send(page, f"{page}/ticks", wish="yes received confirmed", reason="seen")
    assert answer.status_code == 303, Words(answer.text).text
    count = other.one("SELECT count(*) FROM journal_line WHERE casting_id = ?", wheel)
    assert other.one("SELECT version FROM casting WHERE id = ?", wheel) == count + 1
    # And back home, where it is told to be there already.
    assert "W8" in _document(other, own).decode()


# ---- Refused --------------------------------------------------------------------------------------


def test_a_build_that_is_here_is_asked_about_and_may_be_had_as_a_copy(demo: Bench, other: Bench) -> None:
    content = _document(demo)
    _taken_in(other, content)
    words = other.refused(lambda: _send(other, content))
    assert words.at("copy").startswith("This build is here already, as “Invented six-coupled tank engine”")
    own = _taken_in(other, content, copy="yes")
    assert other.journal()[-1] == "Imported from tank.json, as a copy."
    assert _document(other, own) != content


def test_the_same_form_twice_is_one_build_and_with_another_file_it_is_told(demo: Bench, other: Bench) -> None:
    form = form_on(other.get("/import"), "/import").filled(who="JD")
    files = {"document": ("tank.json", _document(demo), "application/json")}
    first = other.client.post("/import", data=form, files=files)
    assert (
        other.client.post("/import", data=form, files=files).headers["location"] == first.headers["location"]
    )
    assert other.one("SELECT count(*) FROM build") == 2
    changed = {"document": ("set.json", _document(demo, 2), "application/json")}
    words = other.refused(lambda: other.client.post("/import", data=form, files=changed), 409)
    assert "“tank.json" in words.text and "now it says “set.json" in words.text


def test_without_a_file_and_without_initials(demo: Bench, other: Bench) -> None:
    form = form_on(other.get("/import"), "/import")
    words = other.refused(lambda: other.client.post("/import", data=form.filled(who="???")))
    assert words.at("document").startswith("Choose the file")
    assert words.at("who").startswith("Who is at the bench?")
    other.refused(
        lambda: other.client.post("/import", data=form.filled(who="JD"), files={"document": ("x", b"")})
    )


def test_a_refusal_names_the_place_and_stores_nothing(demo: Bench, other: Bench) -> None:
    document = json.loads(_document(demo))
    document["build"]["castings"][3]["state"] = "lost"
    words = other.refused(lambda: _send(other, json.dumps(document).encode()))
    assert (
        words.at("document")
        == "In build, castings, row 4, state: “lost” is none of in_work, spare, scrapped."
    )


def test_what_no_judge_can_work_with_is_refused(demo: Bench, other: Bench) -> None:
    document = json.loads(_document(demo, 2))
    heights = [one for one in document["build"]["measurements"] if one["kind"] == "pin_heights"]
    for one in heights:
        one["readings"] = one["readings"][1:]
    words = other.refused(lambda: _send(other, json.dumps(document).encode()))
    assert words.at("document").startswith(
        "The document can be read, but what it says of the build cannot be worked out"
    )


def test_a_document_longer_than_other_forms_is_taken_and_one_without_end_is_not(
    demo: Bench, other: Bench
) -> None:
    content = _document(demo) + b" " * 400_000
    _taken_in(other, content)
    assert _send(other, b" " * (LONGEST_DOCUMENT + 1)).status_code == 413
    # No other address takes more for it.
    for path in ("/builds", "/import/", "//import", "/imports"):
        assert other.client.post(path, data={"who": "x" * 300_000}).status_code == 413, path


# ---- Whatever comes -------------------------------------------------------------------------------

_POOL = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(2**70), 2**70),
    st.integers(-3, 3),
    st.floats(),
    st.text(max_size=20),
    st.sampled_from(["", "left", "right", "in_work", "bore", "seat", "pin_heights", "weight", "2026-01-01T00:00:00Z", "\0"]),
    st.sampled_from([[], {}, [[]], [{}], "0" * 32, "gone-1", "1/0", "nan", "-1 mm", "9" * 50]),
)  # fmt: skip


def _places(tree: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    if way:
        yield way
    pairs = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    for key, one in pairs:
        yield from _places(one, (*way, key))


def _tables(tree: Any) -> Iterator[Document]:
    """Every row of a document."""
    if isinstance(tree, dict):
        yield tree
    for one in tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else ():
        yield from _tables(one)


def _mutate(document: Document, chance: Random, value: Any) -> None:
    """Change one thing anywhere: put, taken away, doubled, moved, or another row's."""
    places = list(_places(document))
    # As often in a short list as in a long one.
    kinds = sorted({tuple(one for one in way if isinstance(one, str)) for way in places})
    kind = chance.choice(kinds)
    *way, last = chance.choice([w for w in places if tuple(one for one in w if isinstance(one, str)) == kind])
    at: Any = document
    for one in way:
        at = at[one]
    act = chance.choice(("put", "take", "double", "nudge", "nudge", "same", "same", "same", "swap", "name"))
    if act == "put":
        at[last] = value
    elif act == "take":
        del at[last]
    elif act == "same" and isinstance(last, str):
        # What another row says under the same name.
        at[last] = deepcopy(chance.choice([one[last] for one in _tables(document) if last in one]))
    elif act == "double" and isinstance(at, list):
        at.insert(last, deepcopy(at[last]))
    elif act == "nudge" and isinstance(at[last], int):
        at[last] += chance.choice((-1, 1, 1000, 10**6, -(10**9), 10**12))
    elif act == "swap" and isinstance(at, list):
        chance.shuffle(at)
    elif act == "name" and isinstance(at, dict):
        at[f"{last}x"] = at.pop(last)
    else:
        at[last] = value


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory, empty_file: Path) -> Iterator[tuple[Bench, Path, Path]]:
    """A machine whose data file is laid anew before each document."""
    folder = tmp_path_factory.mktemp("trial")
    path = folder / "trial.db"
    shutil.copy(empty_file, path)
    for bench in _open(path):
        yield bench, folder, empty_file


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    build=st.sampled_from([1, 2]),
    seed=st.integers(0, 2**32),
    values=st.lists(_POOL, min_size=1, max_size=3),
)
def test_a_document_changed_at_random_is_taken_or_refused(
    demo: Bench, trial: tuple[Bench, Path, Path], build: int, seed: int, values: list[Any]
) -> None:
    document = json.loads(_DOCUMENTS.setdefault(build, _document(demo, build)))
    chance = Random(seed)
    for value in values:
        _mutate(document, chance, value)
    _check_taken_or_refused(trial, json.dumps(document).encode())


_DOCUMENTS: dict[int, bytes] = {}


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(at=st.integers(0, 60_000), length=st.integers(0, 40), instead=st.binary(max_size=30))
def test_a_file_torn_anywhere_is_taken_or_refused(
    demo: Bench, trial: tuple[Bench, Path, Path], at: int, length: int, instead: bytes
) -> None:
    content = _DOCUMENTS.setdefault(1, _document(demo))
    _check_taken_or_refused(trial, content[:at] + instead + content[at + length :])


def _check_taken_or_refused(trial: tuple[Bench, Path, Path], content: bytes) -> None:
    bench, folder, empty_file = trial
    app: FastAPI = bench.client.app  # type: ignore[assignment]
    before: Db = app.state.db
    before.close()
    for old in folder.glob("laid*"):
        old.unlink()
    path = folder / "laid.db"
    shutil.copy(empty_file, path)
    app.state.db = bench.db = Db(path)
    answer = _send(bench, content)
    event(str(answer.status_code))
    if answer.status_code == 422:
        assert len(Words(answer.text).at("document")) > 20, Words(answer.text).text
        assert bench.one("SELECT count(*) FROM build") == bench.one("SELECT count(*) FROM instrument") == 0
        return
    assert answer.status_code == 303, Words(answer.text).text
    _every_sheet_opens(bench)
    exported = json.loads(_document(bench))
    Draft202012Validator(schema()).validate(exported)


_ENDS = {
    "builds": (
        "", "/edit", "/figures", "/batches", "/ordering", "/receiving", "/speeds", "/reaming", "/fits", "/joints",
        "/treads", "/crankpins", "/quartering", "/rods", "/balance", "/made", "/export", "/export/readings.csv",
        "?open=drawing", "/away",
    ),
    "axles": ("", "/seats/left", "/journal", "/cautions", "/measured", "/gauges", "/quartering"),
    "castings": (
        "", "/receiving", "/metal", "/true", "/speeds", "/swing", "/strokes", "/bore", "/throw", "/cautions", "/scrap",
        "/measured", "/tread",
    ),
}  # fmt: skip


def _every_sheet_opens(bench: Bench) -> None:
    assert bench.client.get("/").status_code == 200
    for table, ends in (("build", _ENDS["builds"]), ("axle", _ENDS["axles"]), ("casting", _ENDS["castings"])):
        for (own,) in bench.rows(f"SELECT id FROM {table}"):
            for end in ends:
                answer = bench.client.get(f"/{table}s/{own}{end}")
                assert answer.status_code < 500, (f"/{table}s/{own}{end}", Words(answer.text).text[:300])
