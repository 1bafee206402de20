"""Names, origins, sizes, devices and headers: what the guard lets through, and what it does not."""

import asyncio
import shutil
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Annotated

import pytest
from fastapi import FastAPI, Form, Request
from fastapi.testclient import TestClient
from hypothesis import given
from hypothesis import strategies as st
from starlette.types import Message

from webapp.app import create_app
from webapp.guard import CSP, LONGEST_BODY
from webapp.hosts import Hosts
from webapp.settings import Settings

ORIGIN = "http://127.0.0.1:8730"
CODE = "042137"


def _probe(app: FastAPI) -> FastAPI:
    """Two addresses that answer with what reached them."""

    @app.get("/probe")
    def read(request: Request) -> str:
        return str(request.state.device)

    @app.post("/probe")
    def write(text: Annotated[str, Form()] = "") -> int:
        return len(text)

    return app


@pytest.fixture
def bare(app: FastAPI) -> Iterator[TestClient]:
    """A client on loopback that sends no Origin."""
    with TestClient(_probe(app), base_url=ORIGIN, follow_redirects=False) as client:
        yield client


@pytest.fixture
def shared(settings: Settings) -> Iterator[FastAPI]:
    """The program as the shop tablet reaches it."""
    app = _probe(create_app(replace(settings, host="0.0.0.0", device_code=CODE)))
    yield app
    app.state.db.close()


def _tablet(app: FastAPI, origin: str = "http://192.168.1.20:8730") -> TestClient:
    return TestClient(app, base_url=origin, headers={"Origin": origin}, follow_redirects=False)


@pytest.mark.parametrize("host", ["127.0.0.1:8730", "localhost:8730", "LOCALHOST:8730", "[::1]:8730"])
def test_loopback_names_are_answered(bare: TestClient, host: str) -> None:
    assert bare.get("/probe", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    ["evil.example:8730", "127.0.0.1", "127.0.0.1:80", "192.168.1.20:8730", "localhost.evil.example:8730",
     "", "127.0.0.1:8730:8730", "127.0.0.1:8730@evil.example", "user@127.0.0.1:8730", "[::1", "127.0.0.1:٣"],
)  # fmt: skip
def test_other_names_are_refused(bare: TestClient, host: str) -> None:
    answer = bare.get("/probe", headers={"Host": host.encode()})
    assert answer.status_code == 403
    assert answer.text.startswith("Refused: open spokeshed by the address")


def test_two_host_headers_are_refused(bare: TestClient) -> None:
    headers = [("Host", "127.0.0.1:8730"), ("Host", "evil.example:8730")]
    assert bare.get("/probe", headers=headers).status_code == 403


def test_an_address_open_to_all_takes_addresses_and_its_own_names(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("socket.gethostname", lambda: "Lathe.workshop.example")
    hosts = Hosts("0.0.0.0", 8730)
    for name in (
        "192.168.1.20",
        "127.0.0.1",
        "[fe80::1]",
        "localhost",
        "lathe",
        "LATHE.local",
        "lathe.local.",
    ):
        assert hosts.accepts(f"{name}:8730"), name
        assert not hosts.accepts(f"{name}:8731"), name
    for name in ("evil.example", "lathe.evil.example", "192.168.1.20.evil.example", "local"):
        assert not hosts.accepts(f"{name}:8730"), name


def test_a_name_given_with_host_is_answered() -> None:
    assert Hosts("lathe.lan", 80).accepts("lathe.lan")
    assert not Hosts("lathe.lan", 80).accepts("other.lan")


@given(st.text(max_size=60))
def test_no_host_header_breaks_the_rules(header: str) -> None:
    assert Hosts("127.0.0.1", 8730).accepts(header) in (True, False)


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": ORIGIN},
        {"Sec-Fetch-Site": "same-origin"},
        {"Sec-Fetch-Site": "none"},
        {"Referer": f"{ORIGIN}/builds/1"},
        {"Referer": ORIGIN},
        {"Origin": ORIGIN, "Sec-Fetch-Site": "same-origin"},
    ],
)
def test_a_form_of_ours_is_taken(bare: TestClient, headers: dict[str, str]) -> None:
    assert bare.post("/probe", data={"text": "four"}, headers=headers).json() == 4


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "null"},
        {"Origin": ""},
        {"Origin": "http://evil.example"},
        {"Origin": "https://127.0.0.1:8730"},
        {"Origin": "http://127.0.0.1:8731"},
        {"Origin": f"{ORIGIN}.evil.example"},
        {"Origin": "http://localhost:8730"},
        {"Origin": "null", "Referer": f"{ORIGIN}/"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "cross-site", "Referer": f"{ORIGIN}/"},
        {"Referer": f"{ORIGIN}1/"},
        {"Referer": f"http://evil.example/?{ORIGIN}/"},
    ],
)
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "BREW"])
def test_a_form_of_anyone_elses_is_refused(bare: TestClient, headers: dict[str, str], method: str) -> None:
    answer = bare.request(method, "/probe", headers=headers)
    assert answer.status_code == 403
    assert "did not come from a page" in answer.text


def test_another_sites_script_may_not_even_read(bare: TestClient) -> None:
    assert bare.get("/probe", headers={"Origin": "http://evil.example"}).status_code == 403
    assert bare.get("/probe").status_code == 200


def test_a_body_of_the_longest_length_is_taken_and_a_longer_one_is_not(client: TestClient) -> None:
    _probe(client.app)
    room = LONGEST_BODY - len("text=")
    assert client.post("/probe", data={"text": "x" * room}).json() == room
    answer = client.post("/probe", data={"text": "x" * (room + 1)})
    assert answer.status_code == 413
    assert "more than a form can hold" in answer.text


def test_a_streamed_body_is_counted_too(client: TestClient) -> None:
    def parts() -> Iterator[bytes]:
        yield b"text="
        for _ in range(300):
            yield b"x" * 1024

    _probe(client.app)
    assert client.post("/probe", content=parts()).status_code == 413


@pytest.mark.parametrize("claimed", ["-1", "1e9", "9" * 40, "٣", ""])
def test_a_length_that_is_none(client: TestClient, claimed: str) -> None:
    answer = client.post("/probe", content=b"x", headers={"Content-Length": claimed.encode()})
    assert answer.status_code == 413


@pytest.mark.parametrize("path", ["/", "/probe", "/static/app.css", "/no/such/sheet"])
def test_every_answer_carries_the_headers(client: TestClient, path: str) -> None:
    _probe(client.app)
    _check_headers(client.get(path).headers)


def test_refusals_and_failures_carry_them_too(client: TestClient, bare: TestClient) -> None:
    @client.app.get("/broken")
    def broken() -> None:
        raise RuntimeError("as expected by the test")

    assert client.get("/broken").status_code == 500
    _check_headers(client.get("/broken").headers)
    _check_headers(bare.post("/probe").headers)
    _check_headers(bare.get("/probe", headers={"Host": "evil.example"}).headers)


def _check_headers(headers: object) -> None:
    assert headers["content-security-policy"] == CSP
    assert "data:" not in CSP
    assert "unsafe" not in CSP
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert "cache-control" in headers


def test_pages_are_not_kept_and_versioned_files_are(client: TestClient) -> None:
    assert client.get("/").headers["cache-control"] == "no-store"
    plain = client.get("/static/app.css")
    assert plain.headers["cache-control"] == "no-cache"
    assert plain.headers["etag"]
    assert "immutable" in client.get("/static/app.css?v=1").headers["cache-control"]
    assert client.get("/static/none.css?v=1").headers["cache-control"] == "no-store"


def test_each_device_has_one_id_from_the_first_write_on(client: TestClient) -> None:
    _probe(client.app)
    assert "set-cookie" not in client.get("/probe").headers
    assert "set-cookie" not in client.get("/static/app.css").headers
    cookie = client.post("/probe", data={"text": "four"}).headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert "Max-Age=31536000" in cookie
    first = client.get("/probe").json()
    assert len(first) == 16
    again = client.post("/probe", data={"text": "four"})
    assert "set-cookie" not in again.headers
    assert client.get("/probe").json() == first
    client.cookies.clear()
    client.post("/probe", data={"text": "four"})
    assert client.get("/probe").json() != first


@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS", "POST"])
def test_a_page_elsewhere_makes_no_new_device(bare: TestClient, client: TestClient, method: str) -> None:
    """A link from another page comes without the cookie: were it answered with a new one, that would take its place."""
    assert "set-cookie" not in bare.request(method, "/probe").headers
    assert "set-cookie" not in bare.request(method, "/").headers


@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS", "POST"])
def test_a_page_elsewhere_un_pairs_nobody(shared: FastAPI, method: str) -> None:
    tablet = _let_in(shared)
    led_here = TestClient(shared, base_url="http://192.168.1.20:8730", follow_redirects=False)
    for path in ("/", "/device", "/probe", "/static/app.css"):
        assert "set-cookie" not in led_here.request(method, path).headers, path
    assert tablet.get("/probe").status_code == 200


def _let_in(app: FastAPI, origin: str = "http://192.168.1.20:8730") -> TestClient:
    tablet = _tablet(app, origin)
    assert tablet.post("/device", data={"code": CODE}).status_code == 303
    return tablet


@pytest.mark.parametrize(
    ("path", "link"),
    [("/probe", "/probe"), ("/axles/3?open=steps", "/axles/3?open=steps"), ("/device", "/"), ("/", "/"),
     ("//evil.example/x", "/"), ("/\\evil.example", "/%5Cevil.example"), ("/a\"><b>", "/a%22%3E%3Cb%3E"),
     ("/x?a=1&b=%22", "/x?a=1&amp;b=%22")],
)  # fmt: skip
def test_a_device_led_here_goes_on_with_one_tap(shared: FastAPI, path: str, link: str) -> None:
    tablet = _tablet(shared)
    answer = tablet.get(f"http://192.168.1.20:8730{path}")
    assert f'href="{link}"' in answer.text
    assert answer.text.count("href=") == 2, "the stylesheet, and the way on"


@pytest.mark.parametrize("days", [-4000, -1, 1, 300, 4000])
def test_a_clock_that_is_wrong_un_pairs_nobody(
    shared: FastAPI, settings: Settings, monkeypatch: pytest.MonkeyPatch, days: int
) -> None:
    tablet = _tablet(shared)
    given = tablet.post("/device", data={"code": CODE}).headers["set-cookie"].split(";")[0]
    elsewhen = time.time() + days * 24 * 3600
    monkeypatch.setattr(time, "time", lambda: elsewhen)
    # Sent by hand: the clock of the browser is not the one that is wrong.
    assert _tablet(shared).get("/probe", headers={"Cookie": given}).status_code == 200, "while it runs"
    again = _probe(create_app(Settings(settings.data, host="0.0.0.0", device_code=CODE)))
    assert _tablet(again).get("/probe", headers={"Cookie": given}).status_code == 200, "after a start"
    again.state.db.close()


def test_five_wrong_codes_shut_out_no_other_address(shared: FastAPI) -> None:
    origin = "http://192.168.1.20:8730"
    guesser, builder = (
        TestClient(
            shared,
            base_url=origin,
            headers={"Origin": origin},
            follow_redirects=False,
            client=(address, 50000),
        )
        for address in ("192.168.1.66", "192.168.1.30")
    )
    for _ in range(6):
        assert guesser.post("/device", data={"code": "000000"}).status_code == 422
    assert "wait a minute" in guesser.post("/device", data={"code": CODE}).text
    assert builder.post("/device", data={"code": CODE}).status_code == 303


def test_two_programs_on_one_machine_do_not_take_each_others_devices(
    shared: FastAPI, tmp_path: Path, empty_file: Path
) -> None:
    """A browser has one jar of cookies for all ports of a machine: as for the demo beside a person's own data."""
    (tmp_path / "demo").mkdir()
    shutil.copy(empty_file, tmp_path / "demo" / "demo.db")
    demo = _probe(create_app(Settings(tmp_path / "demo" / "demo.db", port=8731)))
    tablet = _let_in(shared, "http://127.0.0.1:8730")
    other = TestClient(demo, base_url="http://127.0.0.1:8731", headers={"Origin": "http://127.0.0.1:8731"})
    other.cookies = tablet.cookies
    assert other.post("/probe", data={"text": "four"}).json() == 4
    assert len(other.cookies) == 2
    tablet.cookies = other.cookies
    assert tablet.get("/probe").status_code == 200
    demo.state.db.close()


FORGED = ["x", "a.b.c", "....", '"', "é", "0" * 5000, "a.AAAAAA.é", ".."]


@pytest.mark.parametrize("forged", FORGED)
def test_a_forged_cookie_is_the_same_as_none(shared: FastAPI, forged: str) -> None:
    name = shared.state.devices.cookie_name
    answer = _tablet(shared).get("/probe", headers={"Cookie": f"{name}={forged}".encode()})
    assert answer.status_code == 401
    assert "let in once" not in answer.text


def test_the_id_of_this_machine_lets_nobody_in(settings: Settings, client: TestClient, app: FastAPI) -> None:
    """A device that was asked for no code has an id, and no more than that once a code is asked for."""
    _probe(app)
    client.post("/probe", data={"text": "four"})
    again = _probe(create_app(replace(settings, host="0.0.0.0", device_code=CODE)))
    other = _tablet(again, ORIGIN)
    other.cookies = client.cookies
    assert len(other.cookies) == 1
    assert other.get("/probe").status_code == 401
    again.state.db.close()


@pytest.mark.parametrize(
    ("method", "path"),
    [("GET", "/"), ("GET", "/probe"), ("POST", "/probe"), ("GET", "/no/such"), ("GET", "/static/app.js"),
     ("GET", "/static/htmx.min.js"), ("GET", "/static/../webapp/app.py"), ("DELETE", "/device"),
     ("GET", "/device/"), ("GET", "//device"), ("GET", "/static/app.css/../app.js"), ("OPTIONS", "/")],
)  # fmt: skip
def test_an_unknown_device_sees_the_form_and_nothing_else(shared: FastAPI, method: str, path: str) -> None:
    answer = _tablet(shared).request(method, path)
    assert answer.status_code == 401
    assert "Code for this device" in answer.text
    assert "<nav" not in answer.text
    assert "<script" not in answer.text


def test_this_machine_too_gives_the_code_when_others_can_reach_it(shared: FastAPI) -> None:
    assert _tablet(shared, "http://127.0.0.1:8730").get("/probe").status_code == 401


def test_a_piece_asked_for_by_an_unknown_device_leads_to_the_form(shared: FastAPI) -> None:
    answer = _tablet(shared).get("/probe", headers={"HX-Request": "true"})
    assert (answer.status_code, answer.headers["hx-redirect"], answer.text) == (401, "/device", "")


@pytest.mark.parametrize("typed", [CODE, "042 137", " 042-137 "])
def test_the_right_code_lets_a_device_in_for_good(shared: FastAPI, typed: str) -> None:
    tablet = _tablet(shared)
    form = tablet.get("/device")
    assert form.status_code == 200
    answer = tablet.post("/device", data={"code": typed})
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert "Max-Age=31536000" in answer.headers["set-cookie"]
    assert tablet.get("/probe").status_code == 200
    assert tablet.get("/device").status_code == 303
    assert _tablet(shared).get("/probe").status_code == 401


@pytest.mark.parametrize("typed", ["", "42137", "0421370", "042138", "٠٤٢١٣٧", "x" * 40, "\x00"])
def test_a_wrong_code_is_refused_in_place(shared: FastAPI, typed: str) -> None:
    tablet = _tablet(shared)
    answer = tablet.post("/device", data={"code": typed})
    assert answer.status_code == 422
    assert "That is not the code" in answer.text
    assert "set-cookie" not in answer.headers
    assert tablet.get("/probe").status_code == 401


def test_no_field_and_a_field_too_long_are_refused(shared: FastAPI) -> None:
    tablet = _tablet(shared)
    assert tablet.post("/device").status_code == 422
    assert tablet.post("/device", data={"code": CODE + " " * 5000}).status_code == 422
    plain = {"Content-Type": "text/plain"}
    assert tablet.post("/device", content=b"\xff\xfe", headers=plain).status_code == 422
    assert tablet.get("/probe").status_code == 401


def test_the_code_is_asked_from_our_own_form_only(shared: FastAPI) -> None:
    tablet = _tablet(shared)
    answer = tablet.post("/device", data={"code": CODE}, headers={"Origin": "http://evil.example"})
    assert answer.status_code == 403
    assert tablet.get("/probe").status_code == 401


def test_whoever_is_not_let_in_is_shown_one_page_whatever_is_sent(shared: FastAPI) -> None:
    tablet = _tablet(shared)
    for body, kind in (
        (b"x" * (LONGEST_BODY + 1), "application/x-www-form-urlencoded"),
        (b"code=" + b"a" * 70, "application/x-www-form-urlencoded; charset=idna"),
        (b"--x\r\nbroken", "multipart/form-data; boundary=x"),
        (b"--x", "multipart/form-data"),
        (b"code=" + b"1" * 100_000, "application/x-www-form-urlencoded"),
    ):
        answer = tablet.post("/device", content=body, headers={"Content-Type": kind})
        assert answer.status_code in (413, 422)
        assert "Code for this device" in answer.text
        assert "<nav" not in answer.text


def test_an_open_address_without_a_code_is_a_mistake(settings: Settings) -> None:
    with pytest.raises(ValueError, match="needs a code"):
        create_app(replace(settings, host="0.0.0.0"))


def test_deleting_the_key_forgets_every_device(settings: Settings, shared: FastAPI) -> None:
    tablet = _tablet(shared)
    tablet.post("/device", data={"code": CODE})
    assert tablet.get("/probe").status_code == 200
    settings.key_file.unlink()
    copy = settings.data.with_name("copy.db")
    shutil.copy(settings.data, copy)
    again = _probe(create_app(Settings(copy, host="0.0.0.0", device_code=CODE)))
    other = _tablet(again)
    other.cookies = tablet.cookies
    assert other.get("/probe").status_code == 401
    again.state.db.close()


async def _never() -> Message:
    raise AssertionError("nothing is read")


def test_a_websocket_is_closed(app: FastAPI) -> None:
    sent: list[Message] = []

    async def send(message: Message) -> None:
        sent.append(message)

    async def ask() -> None:
        await app({"type": "websocket", "path": "/", "headers": []}, _never, send)

    # In a thread of its own: the browser tests of the same run keep a loop running in this one.
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, ask()).result()
    assert sent == [{"type": "websocket.close", "code": 1008}]
