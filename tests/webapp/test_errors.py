"""Every refusal is one sentence, as a page or as a piece, and nothing of the program's inside shows."""

import logging
from collections.abc import Iterator

import pytest
from fastapi import FastAPI, Request
from fastapi.responses import StreamingResponse
from fastapi.testclient import TestClient
from sqlalchemy.exc import OperationalError
from starlette.exceptions import HTTPException

from webapp import errors, render
from webapp.db import FileBusy
from webapp.web.deps import DbDep, DeviceDep, Id

PIECE = {"HX-Request": "true", "HX-Request-Type": "partial"}
SENTENCE = "There is no such sheet."


@pytest.fixture
def probed(client: TestClient) -> TestClient:
    """The program with addresses that fail in each way."""
    app = client.app
    assert isinstance(app, FastAPI)

    @app.get("/probe/by-id/{number}")
    def by_id(number: Id, db: DbDep, device: DeviceDep) -> str:
        return f"{number} {db.path.name} {device}"

    @app.get("/probe/typed")
    def typed(count: int) -> int:
        return count

    @app.get("/probe/raise/{what}")
    def fail(what: str) -> None:
        raise {
            "conflict": errors.Conflict("Someone <b>else</b> ticked it."),
            "missing": errors.NotFound(),
            "taken": errors.NotTaken("No."),
            "titled": errors.PageError(409, "Look again.", "Changed meanwhile"),
            "header": HTTPException(503, "later", {"Retry-After": "5"}),
            "locked": FileBusy(),
            "other": OperationalError("SELECT secret", None, Exception("no such table: secret")),
            "bug": RuntimeError("secret"),
        }[what]

    return client


@pytest.mark.parametrize(
    "path",
    ["/no/such/sheet", "/probe/by-id/0", "/probe/by-id/-1", f"/probe/by-id/{2**63}", f"/probe/by-id/{2**70}",
     f"/probe/by-id/{'9' * 5000}", "/probe/by-id/one", "/probe/by-id/1.5", "/probe/by-id/%00", "/static/none",
     "/static/../pyproject.toml", "/static/%2e%2e/pyproject.toml", "/openapi.json", "/docs"],
)  # fmt: skip
def test_what_does_not_exist_is_no_sheet(probed: TestClient, path: str) -> None:
    page = probed.get(path)
    assert page.status_code == 404
    assert SENTENCE in page.text
    assert page.text.lstrip().lower().startswith("<!doctype html>")
    piece = probed.get(path, headers=PIECE)
    assert piece.status_code == 404
    assert SENTENCE in piece.text
    assert "<html" not in piece.text


def test_the_longest_id_fits(probed: TestClient) -> None:
    number, file, device = probed.get(f"/probe/by-id/{2**63 - 1}").json().split()
    assert (int(number), file) == (2**63 - 1, "spokeshed.db")
    assert len(device) == 16


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH"])
def test_a_wrong_method_is_a_sentence_too(probed: TestClient, method: str) -> None:
    answer = probed.request(method, "/probe/typed")
    assert answer.status_code == 405
    assert "does not take that" in answer.text
    assert answer.headers["allow"] == "GET"


@pytest.mark.parametrize("query", ["", "?count=", "?count=many", f"?count={'9' * 5000}"])
def test_a_field_that_cannot_be_read_is_named(probed: TestClient, query: str) -> None:
    answer = probed.get(f"/probe/typed{query}")
    assert answer.status_code == 422
    assert "“count” could not be read" in answer.text


@pytest.mark.parametrize(
    ("what", "status", "words"),
    [
        ("conflict", 409, "Someone &lt;b&gt;else&lt;/b&gt; ticked it."),
        ("missing", 404, SENTENCE),
        ("taken", 422, "No."),
        ("titled", 409, "Changed meanwhile"),
        ("header", 503, "later"),
        ("locked", 503, "nothing was stored; try again soon"),
        ("other", 500, "Something went wrong"),
        ("bug", 500, "Something went wrong"),
    ],
)
def test_each_refusal_as_page_and_piece(probed: TestClient, what: str, status: int, words: str) -> None:
    for headers in ({}, PIECE):
        answer = probed.get(f"/probe/raise/{what}", headers=headers)
        assert answer.status_code == status
        assert words in answer.text
        assert "secret" not in answer.text
        assert "Traceback" not in answer.text
        assert ("<html" in answer.text) == (headers == {})


def test_headers_of_a_refusal_are_kept(probed: TestClient) -> None:
    assert probed.get("/probe/raise/header").headers["retry-after"] == "5"


def test_what_nobody_expected_is_logged_with_its_traceback(
    probed: TestClient, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.ERROR):
        probed.get("/probe/raise/bug")
    (record,) = [record for record in caplog.records if record.name == "spokeshed"]
    assert record.exc_info is not None
    assert "/probe/raise/bug" in record.getMessage()


def test_an_error_page_that_fails_itself_still_answers(
    probed: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("no template")

    monkeypatch.setattr(render, "page", broken)
    answer = probed.get("/probe/raise/bug")
    assert (answer.status_code, answer.text[:20]) == (500, "Something went wrong")


def test_an_answer_that_breaks_off_is_not_given_a_second_beginning(probed: TestClient) -> None:
    def torn() -> Iterator[bytes]:
        yield b"the beginning"
        raise RuntimeError("and no end")

    @probed.app.get("/probe/torn")
    def stream() -> StreamingResponse:
        return StreamingResponse(torn())

    with pytest.raises(RuntimeError, match="and no end"):
        probed.get("/probe/torn")


@pytest.mark.parametrize(
    ("headers", "piece"),
    [
        ({}, False),
        ({"HX-Request": "true"}, True),
        ({"HX-Request": "true", "HX-Request-Type": "partial"}, True),
        ({"HX-Request": "true", "HX-Request-Type": "full"}, False),
        ({"HX-Request": "false"}, False),
    ],
)
def test_who_wants_a_piece(headers: dict[str, str], piece: bool) -> None:
    raw = [(name.lower().encode(), value.encode()) for name, value in headers.items()]
    assert render.wants_fragment(Request({"type": "http", "headers": raw})) is piece
