"""Labels: each has the code of its casting's permanent id under the machine's own name, and scanned it opens its sheet."""

from __future__ import annotations

import re
import shutil
import socket
from html import unescape
from pathlib import Path

import pytest
import segno
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words
from webapp.app import create_app
from webapp.db import Db
from webapp.exchange.storing import store
from webapp.exchange.writing import document_of
from webapp.records.labels import casting_of_label
from webapp.settings import Settings
from webapp.sheets.labels.drawing import qr_code
from webapp.sheets.labels.view import ON_A_SHEET
from webapp.typed.labels import id_on_label, label_text

_LABEL = re.compile(r'<li class="label-cut">.*?>([^<]+)</strong>.*?d="([^"]+)"', re.DOTALL)


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def permanent(bench: Bench, mark: str) -> str:
    return str(bench.one("SELECT permanent_id FROM casting WHERE mark = ? AND build_id = 1", mark))


def dark_of(path: str) -> set[tuple[int, int]]:
    """The squares that the bars of a path cover."""
    bars = re.findall(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z", path)
    assert "".join(f"M{x} {y}h{one}v1h-{two}z" for x, y, one, two in bars) == path
    return {(int(x) + at, int(y)) for x, y, width, _ in bars for at in range(int(width))}


def test_each_casting_but_a_scrapped_one_has_a_label_that_says_where_it_is(bench: Bench) -> None:
    assert bench.scrap("W2").status_code == 303
    page = bench.get("/builds/1/labels")
    found = dict(_LABEL.findall(page))
    assert list(found) == ["W1", "W3", "W4", "W5", "W6"]
    told = re.findall(r'class="mark">(\w+)</strong>.*?<span><strong>([^<]+)</strong>', page, re.DOTALL)
    assert told == [
        ("W1", "Axle 1, left"), ("W3", "Axle 2, left"), ("W4", "Axle 2, right"), ("W5", "Spare"), ("W6", "Spare"),
    ]  # fmt: skip
    name = f"{socket.gethostname().lower().split('.')[0]}.local:8730"
    assert f"http://{name}" in Words(page).text
    for mark, path in found.items():
        wanted = qr_code(f"http://{name}/scan?q={permanent(bench, mark)}")
        assert unescape(path) == wanted.path
        assert f'viewBox="0 0 {wanted.size} {wanted.size}"' in page
    assert 'href="/builds/1/labels"' in bench.get("/builds/1")


@pytest.mark.parametrize(
    "text", ["", "W1", label_text("http://a-long-name-of-a-machine.example:65535", "e" * 32)]
)
def test_the_picture_is_the_code_with_its_margin(text: str) -> None:
    code, whole = qr_code(text or "x"), segno.make_qr(text or "x", error="m")
    assert code.size == len(whole.matrix) + 8
    dark = {(x + 4, y + 4) for y, row in enumerate(whole.matrix) for x, square in enumerate(row) if square}
    assert dark_of(code.path) == dark


def test_a_scanned_label_opens_its_casting(bench: Bench) -> None:
    own = permanent(bench, "W3")
    for text in (
        label_text("http://shed.local:8730", own),
        f" {own.upper()} ",
        f"HTTPS://Other/scan?q={own}",
    ):
        answer = bench.client.get("/scan", params={"q": text})
        assert answer.status_code == 303 and answer.headers["location"] == f"/castings/{bench.id('W3')}"
    # As a phone opens it that read the label.
    assert bench.client.get(f"/scan?q={own}").status_code == 303


@pytest.mark.parametrize(
    "text",
    [
        "", "3", "W3", "/castings/3", "0" * 32, "http://shed.local:8730/castings/3",
        f"http://shed.local/scan?q={'0' * 31}", f"javascript:x/scan?q={'0' * 32}", "q" * 250_0, "\0", "é" * 32,
    ],
)  # fmt: skip
def test_what_is_no_label_of_a_casting_here_is_said_so(bench: Bench, text: str) -> None:
    answer = bench.client.get("/scan", params={"q": text})
    assert answer.status_code == 404 and "No casting here has such a label" in answer.text
    assert bench.client.get("/scan").status_code == 404


def test_a_label_is_its_castings_in_whatever_file_it_lies(
    bench: Bench, tmp_path: Path, empty_file: Path
) -> None:
    text = label_text("http://shed.local:8730", permanent(bench, "W3"))
    with bench.db.read() as session:
        document = document_of(session, 1)
    path = tmp_path / "other.db"
    shutil.copy(empty_file, path)
    other = Db(path)
    with other.write() as session:
        store(session, document, as_copy=True)
    with other.read() as session:
        # A copy is another thing, with a label of its own.
        assert casting_of_label(session, text) is None
    with other.write() as session:
        store(session, document, as_copy=False)
    with other.read() as session:
        own = casting_of_label(session, text)
        assert own is not None and own != bench.id("W3")
        mark = session.connection().exec_driver_sql("SELECT mark FROM casting WHERE id = ?", (own,)).scalar()
    assert mark == "W3"
    other.close()


@pytest.mark.parametrize(
    ("host", "named"), [("0.0.0.0", None), ("shed.lan", "http://shed.lan:8730"), ("192.168.1.7", None)]
)
def test_it_names_the_machine_and_never_its_number(
    tmp_path: Path, empty_file: Path, host: str, named: str | None
) -> None:
    path = tmp_path / "spokeshed.db"
    shutil.copy(empty_file, path)
    app = create_app(Settings(path, host=host, device_code="123456"))
    wanted = named or f"http://{socket.gethostname().lower().split('.')[0]}.local:8730"
    assert app.state.named == wanted
    # What stands on a label is answered.
    with TestClient(app, base_url=wanted, headers={"Origin": wanted}, follow_redirects=False) as client:
        assert client.get(f"/scan?q={'0' * 32}").status_code == 401
    app.state.db.close()


@pytest.mark.parametrize(("castings", "papers"), [(ON_A_SHEET, 1), (ON_A_SHEET + 1, 2)])
def test_a_sheet_of_paper_has_so_many(client: TestClient, db: Db, castings: int, papers: int) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(castings=str(castings), marks=" ".join(f"N{one}" for one in range(1, castings + 1)))
    page = bench.get("/builds/1/labels")
    assert page.count('class="labels-paper"') == papers
    assert len(_LABEL.findall(page)) == castings
    assert (f"sheet {papers} of {papers}" in Words(page).text) == (papers > 1)


def test_a_build_that_is_not_there_has_no_labels(bench: Bench) -> None:
    assert bench.client.get("/builds/99/labels").status_code == 404


def test_a_text_that_never_ends_is_no_label() -> None:
    assert id_on_label("http://" + "a" * 100_000 + f"/scan?q={'0' * 32}") == ""
