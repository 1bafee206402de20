"""What a slow wireless would feel is sent smaller; the strict headers are on it all the same."""

import pytest
from fastapi.testclient import TestClient

from webapp.guard import CSP

PACKED = ("/builds/new", "/static/htmx.min.js", "/static/app.css", "/nowhere")


@pytest.mark.parametrize("path", PACKED)
def test_a_long_answer_is_packed_for_whoever_takes_it(client: TestClient, path: str) -> None:
    plain = client.get(path, headers={"Accept-Encoding": "identity"})
    packed = client.get(path, headers={"Accept-Encoding": "gzip"})
    assert "content-encoding" not in plain.headers
    assert packed.headers["content-encoding"] == "gzip"
    assert int(packed.headers["content-length"]) < len(plain.content) / 2
    # A cache must not hand a packed answer to whoever cannot unpack it.
    assert packed.headers["vary"] == plain.headers["vary"] == "Accept-Encoding"
    assert packed.status_code == plain.status_code
    if path.startswith("/static/"):
        assert packed.content == plain.content
    for answer in (plain, packed):
        assert answer.headers["content-security-policy"] == CSP
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] in ("no-store", "no-cache")


def test_a_small_answer_is_sent_as_it_is(client: TestClient) -> None:
    answer = client.get("/static/icon.svg", headers={"Accept-Encoding": "gzip"})
    assert len(answer.content) < 1400
    assert "content-encoding" not in answer.headers


def test_a_file_that_is_known_is_not_sent_again(client: TestClient) -> None:
    first = client.get("/static/app.css", headers={"Accept-Encoding": "gzip"})
    again = {"Accept-Encoding": "gzip", "If-None-Match": first.headers["etag"]}
    assert client.get("/static/app.css", headers=again).status_code == 304
