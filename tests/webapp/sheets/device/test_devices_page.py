"""The devices that are let in, as their sheet lists them: a code for another, a name, and forgetting one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from tests.webapp.test_never_5xx import BODIES, CHARSETS
from webapp.app import create_app
from webapp.devices.file import DevicesFile
from webapp.settings import Settings

CODE = "042137"
ORIGIN = "http://192.168.1.20:8730"


@pytest.fixture
def shared(settings: Settings) -> Iterator[FastAPI]:
    """The program as the shop tablet reaches it."""
    app = create_app(replace(settings, host="0.0.0.0", device_code=CODE))
    yield app
    app.state.db.close()


def _stranger(app: FastAPI, address: str = "192.168.1.30") -> TestClient:
    return TestClient(
        app,
        base_url=ORIGIN,
        headers={"Origin": ORIGIN},
        follow_redirects=False,
        client=(address, 50000),
    )


def _let_in(app: FastAPI, name: str = "", code: str = CODE) -> TestClient:
    device = _stranger(app)
    assert device.post("/device", data={"code": code, "name": name}).status_code == 303
    return device


def _text(client: TestClient) -> str:
    answer = client.get("/devices")
    assert answer.status_code == 200
    return " ".join(re.sub(r"<[^>]*>", " ", answer.text).split())


def _ids(client: TestClient) -> list[str]:
    return list(
        dict.fromkeys(re.findall(r'name="device"\s+value="([0-9a-f]{16})"', client.get("/devices").text))
    )


def test_devices_are_listed_by_name_with_this_one_marked(shared: FastAPI) -> None:
    tablet, phone = _let_in(shared, "  shop   tablet "), _let_in(shared)
    text = _text(tablet)
    assert "2 devices are let in" in text
    assert re.search(r"shop tablet This one Last seen now Let in \d+ \w+ \d{4} \d\d:\d\d", text)
    assert re.search(r"A device without a name Last seen \d+ \w+ \d{4}", text)
    assert "A device without a name This one" in _text(phone)


def test_it_is_reached_from_the_workshop(shared: FastAPI) -> None:
    assert 'href="/devices"' in _let_in(shared).get("/workshop").text


def test_a_device_that_is_forgotten_gives_the_code_again(shared: FastAPI) -> None:
    tablet, phone = _let_in(shared, "shop tablet"), _let_in(shared, "phone")
    lost = _ids(tablet)[1]
    for _ in range(2):  # the second time it is gone already, as was wished for
        answer = tablet.post("/devices", data={"wish": "forget", "device": lost})
        assert (answer.status_code, answer.headers["location"]) == (303, "/devices")
    assert "phone" not in _text(tablet)
    answer = phone.get("/devices")
    assert answer.status_code == 401
    assert "This device was let in once, and is not any more." in answer.text
    assert phone.get("/", headers={"HX-Request": "true"}).headers["hx-redirect"] == "/device"
    assert phone.post("/device", data={"code": CODE}).status_code == 303
    assert phone.get("/devices").status_code == 200


def test_the_device_in_the_hand_can_forget_itself(shared: FastAPI) -> None:
    tablet = _let_in(shared)
    (own,) = _ids(tablet)
    assert "This is the device in your hand." in _text(tablet)
    assert tablet.post("/devices", data={"wish": "forget", "device": own}).status_code == 303
    assert tablet.get("/devices").status_code == 401


def test_a_code_is_made_by_a_tap_and_shown_while_it_holds(shared: FastAPI) -> None:
    tablet = _let_in(shared)
    assert tablet.post("/devices", data={"wish": "code"}).status_code == 303
    found = re.search(r"Code for a new device (\d{6}) It ends in 10 minutes\.", _text(tablet))
    assert found
    _let_in(shared, "phone", found[1])
    if found[1] != CODE:
        assert _stranger(shared).post("/device", data={"code": CODE}).status_code == 422


def test_a_device_is_called_otherwise(shared: FastAPI) -> None:
    tablet = _let_in(shared, "shop tablet")
    (own,) = _ids(tablet)
    said = tablet.post("/devices", data={"wish": "name", "device": own, "name": "at the <lathe>"})
    assert said.status_code == 303
    assert "at the &lt;lathe&gt;" in tablet.get("/devices").text


@pytest.mark.parametrize(
    ("name", "sentence"), [("x" * 41, "at most 40"), ("a\u202eb", "can be seen"), ("\x07", "can be seen")]
)
def test_a_name_that_cannot_be_is_refused_beside_its_field(shared: FastAPI, name: str, sentence: str) -> None:
    tablet = _let_in(shared, "shop tablet")
    (own,) = _ids(tablet)
    answer = tablet.post("/devices", data={"wish": "name", "device": own, "name": name})
    assert answer.status_code == 422
    assert re.search(rf'<p class="error" id="name-{own}-error">[^<]*{sentence}', answer.text)
    assert "shop tablet" in _text(tablet)
    other = _stranger(shared).post("/device", data={"code": CODE, "name": name})
    assert other.status_code == 422
    assert sentence in other.text
    assert "set-cookie" not in other.headers


def test_wishes_that_are_none(shared: FastAPI) -> None:
    tablet = _let_in(shared)
    assert tablet.post("/devices", data={"wish": "name", "device": "0" * 16, "name": "x"}).status_code == 404
    assert tablet.post("/devices", data={"wish": "all"}).status_code == 422
    assert tablet.post("/devices").status_code == 422


def test_nobody_else_may_look_or_change(shared: FastAPI) -> None:
    tablet, stranger = _let_in(shared), _stranger(shared)
    (own,) = _ids(tablet)
    assert stranger.get("/devices").status_code == 401
    for wish in ("code", "forget", "name"):
        assert stranger.post("/devices", data={"wish": wish, "device": own}).status_code == 401
        elsewhere = tablet.post(
            "/devices", data={"wish": wish, "device": own}, headers={"Origin": "http://evil.example"}
        )
        assert elsewhere.status_code == 403
    assert tablet.get("/devices").status_code == 200


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_bodies_that_no_form_sends(shared: FastAPI) -> None:
    tablet = _let_in(shared)
    bodies = [*BODIES]
    for charset in CHARSETS:
        for name in (b"code", b"name", b"wish", b"device"):
            head = b'--x\r\nContent-Disposition: form-data; name="' + name + b'"\r\n\r\n'
            kind = f"multipart/form-data; boundary=x; charset={charset}"
            bodies.append((kind, head + b"\\ud800 +2AA-\r\n--x--\r\n"))
    for number, (kind, body) in enumerate(bodies):
        headers = {"Content-Type": kind} if kind else {}
        assert tablet.post("/devices", content=body, headers=headers).status_code in (400, 404, 422)
        # Each from an address of its own, or the gate would be shut before the form is looked at.
        stranger = _stranger(shared, f"10.0.{number}.1")
        answer = stranger.post("/device", content=body, headers=headers)
        assert answer.status_code == 422
        assert "Code for this device" in answer.text
        assert "<nav" not in answer.text
    assert tablet.get("/devices").status_code == 200


def test_a_copied_device_is_told_on_both_pages(shared: FastAPI) -> None:
    tablet, phone = _let_in(shared, "shop tablet"), _let_in(shared, "phone")
    lost = _ids(tablet)[1]
    shared.state.devices._end(lost)
    text = _text(tablet)
    assert "Take care: a device was copied" in text
    assert re.search(r"phone Ended as copied \d+ \w+ \d{4} \d\d:\d\d", text)
    assert "This device was ended: its cookie was used in two places" in phone.get("/").text
    assert tablet.post("/devices", data={"wish": "forget", "device": lost}).status_code == 303
    assert "copied" not in _text(tablet)


def test_on_this_machine_only_no_code_is_spoken_of(client: TestClient) -> None:
    text = _text(client)
    assert "Only this machine can open the sheets now" in text
    assert "Make a code" not in text
    assert client.post("/devices", data={"wish": "code"}).status_code == 422


def test_what_cannot_be_written_is_told(shared: FastAPI, monkeypatch: pytest.MonkeyPatch) -> None:
    tablet, stranger = _let_in(shared), _stranger(shared)
    (own,) = _ids(tablet)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(DevicesFile, "_make", full)
    for data in (
        {"wish": "code"},
        {"wish": "forget", "device": own},
        {"wish": "name", "device": own, "name": "x"},
    ):
        answer = tablet.post("/devices", data=data)
        assert answer.status_code == 503
        assert "cannot be written" in answer.text
    answer = stranger.post("/device", data={"code": CODE})
    assert answer.status_code == 503
    assert "cannot be written" in answer.text
    assert "<nav" not in answer.text
    assert tablet.get("/devices").status_code == 200
