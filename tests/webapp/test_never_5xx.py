"""Whatever is typed, in any field of any form, hidden ones among them: an answer, and never an error of ours."""

import logging
import os
import re
import shutil
from collections.abc import Iterator
from itertools import cycle, islice
from pathlib import Path
from urllib.parse import quote

import pytest
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.webapp.conftest import ORIGIN
from tests.webapp.scenes import HX, PATHS, Bench, FormOnPage, every_form, forms_on, unfolded
from tests.webapp.test_register import IDS
from webapp.app import create_app
from webapp.demo.builds import make_demo
from webapp.settings import Settings
from webapp.web.register import FIRST, FORMS, SHEETS, routers

# The same few in every run of the tests; as many others as are wanted when something about forms was changed.
EXAMPLES = int(os.environ.get("SPOKESHED_FUZZ", "120"))

NASTY = (
    "", " ", "\0", "-1", "0", "1", "2", "99", str(2**63 - 1), str(2**63), str(2**70), "1" + "0" * 30, "9" * 5000,
    "nan", "1e999",
    "²", "１", "٣", "½", "ß", "ЖД", "🛞", "\u202e", "\ufeff", "\ud7ff\ue000", "<script>", "' OR 1=1 --", '"', "%00", "../..",
    "yes received", "no received", "yes pressed confirmed", "yes quartered", "no quartered", "yes pressed_and_quartered",
    "yes quartered.hole", "19.08", "0.000001 mm", "31.999999 mm", "3 m", "3/4 in", "1/0 in", "left", "right", "mm", "in",
    "press", "shrink", "mandrel_first", "W1", "W1 W2", "cracked", "other", "casting", "axle", "1 2 3", "12", "60", "170",
    "a" * 64, "0" * 32,
)  # fmt: skip
TEXT = st.sampled_from(NASTY) | st.text(max_size=30)


# Plain numbers choose among what the pages show at that moment: which forms there are changes with what was sent.
PICK = st.integers(0, 10_000)


fuzzed = settings(
    max_examples=EXAMPLES,
    derandomize="SPOKESHED_FUZZ" not in os.environ,
    database=None,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)


@fuzzed
@given(
    which=PICK,
    button=st.none() | PICK,
    changes=st.lists(st.tuples(PICK, TEXT | st.lists(TEXT, max_size=3)), max_size=4),
    hx=st.booleans(),
)
def test_no_text_in_any_form_is_an_error(
    shed: Bench, which: int, button: int | None, changes: list[tuple[int, str | list[str]]], hx: bool
) -> None:
    _KNOWN[:] = _KNOWN or every_form(shed)
    form = _KNOWN[which % len(_KNOWN)]
    names = sorted({*form.fields, *form.choices, *(name for name, _ in form.buttons), "who", "confirmed"})
    fields: dict[str, object] = dict(form.fields)
    if form.buttons and button is not None:
        name, value = form.buttons[button % len(form.buttons)]
        fields[name] = value
    fields |= {names[number % len(names)]: text for number, text in changes}
    _check(shed, form, fields, hx)


_KNOWN: list[FormOnPage] = []


def _check(bench: Bench, form: FormOnPage, fields: dict[str, object], hx: bool) -> None:
    if form.method == "get":
        answer = bench.client.get(form.action, params=fields, headers=HX if hx else {})  # type: ignore[arg-type]
    else:
        answer = bench.client.post(form.action, data=fields, headers=HX if hx else {})
    assert answer.status_code < 500, (form.action, fields)
    answer.headers.get("location", "").encode("ascii")
    # Without initials kept from before, so that the next one starts as this one did.
    if answer.status_code == 303:
        _KNOWN.clear()


def test_after_all_that_every_sheet_still_opens(shed: Bench) -> None:
    for path in PATHS:
        assert shed.client.get(path).status_code in (200, 404), path


def test_every_field_with_nasty_texts(shed: Bench, caplog: pytest.LogCaptureFixture) -> None:
    """Each field of each form on its own, the texts dealt out among them in turn."""
    caplog.set_level(logging.ERROR, "spokeshed")
    dealt = cycle(NASTY)
    tried = 0
    for form in {re.sub(r"\d+", "1", f.method + f.action): f for f in every_form(shed)}.values():
        for name in sorted({*form.fields, *form.choices, *(name for name, _ in form.buttons)}):
            for text in islice(dealt, 3):
                tried += 1
                _check(shed, form, {**form.fields, name: text}, hx=tried % 2 == 0)
    assert tried > 3 * len(NASTY)
    assert not [record for record in caplog.records if record.name == "spokeshed"]


ROUTES = sorted(
    (method, route.path)
    for router in routers((*FIRST, *SHEETS), FORMS)
    for route in router.routes
    if isinstance(route, APIRoute)
    for method in route.methods & {"GET", "POST"}
)
# What an address asks for besides, and what forms that no sheet shows just now would send.
MORE_NAMES = (
    "axle", "before", "crank", "due", "open", "put", "steps", "view", "kept", "folded", "edit", "strike", "undo", "why",
    "who", "seen", "page", "token", "device_at", "confirmed", "asked", "reason", "meant", "grown", "pair", "wish", "from",
    "reading", "front_one", "instrument_id", "unit", "done", "total", "knew", "code", "forget", "initials", "back",
)  # fmt: skip
_IDS = st.sampled_from(("1", "2", "3", "left", "right", "machine", "chuck"))


@pytest.fixture(scope="module")
def yard(
    tmp_path_factory: pytest.TempPathFactory, empty_file: Path
) -> Iterator[tuple[Bench, list[FormOnPage]]]:
    """Both invented builds, a batch that runs and a workshop with something of everything; and the forms of every sheet."""
    path = tmp_path_factory.mktemp("yard") / "spokeshed.db"
    shutil.copy(empty_file, path)
    app = create_app(Settings(path))
    make_demo(app.state.db)
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        bench = Bench(client, app.state.db).sit_down()
        bench.client.post("/workshop/starters", data={"unit": "mm", "plug_size": ""})
        assert bench.send("/builds/1/batches", "/builds/1/batches", wish="start").status_code == 303
        forms = []
        for sheet in (FIRST[0], *SHEETS):
            address = sheet.address.format(**IDS)
            forms += forms_on(unfolded(client, bench.get(address)))
        yield bench, forms
    app.state.db.close()


@fuzzed
@given(
    which=PICK,
    ids=st.lists(_IDS | _IDS | TEXT, min_size=3, max_size=3),
    like=PICK,
    changes=st.lists(st.tuples(PICK, TEXT | st.lists(TEXT, max_size=3)), max_size=6),
    hx=st.booleans(),
)
def test_no_address_is_an_error(
    yard: tuple[Bench, list[FormOnPage]],
    which: int,
    ids: list[str],
    like: int,
    changes: list[tuple[int, str | list[str]]],
    hx: bool,
) -> None:
    """Every address there is with whatever numbers, and whatever is asked of it or sent to it."""
    bench, forms = yard
    method, path = ROUTES[which % len(ROUTES)]
    dealt = iter(ids)
    address = re.sub(r"{[^}]+}", lambda _: quote(next(dealt)[:300], safe="") or "1", path)
    own = [one for one in forms if one.method == method.lower() and _fits(path, one.action)]
    form = own[like % len(own)] if own else FormOnPage(method.lower(), address)
    if own and like % 2:
        address = form.action
    names = [*sorted({*form.fields, *form.choices, *(name for name, _ in form.buttons)}), *MORE_NAMES]
    fields: dict[str, object] = dict(form.fields)
    fields |= {names[number % len(names)]: text for number, text in changes}
    _check(bench, FormOnPage(form.method, address), fields, hx)


def _fits(path: str, action: str) -> bool:
    return re.fullmatch(re.sub(r"{[^}]+}", "[^/]+", path), action.split("#")[0].split("?")[0]) is not None


def test_after_that_every_sheet_of_the_yard_still_opens(yard: tuple[Bench, list[FormOnPage]]) -> None:
    bench, _ = yard
    for sheet in (FIRST[0], *SHEETS):
        answer = bench.client.get(sheet.address.format(**IDS))
        assert answer.status_code in (200, 404), sheet


BODIES = (
    ("application/x-www-form-urlencoded", b"\xff\xfe=%ff%00&&&=&wish=%zz"),
    ("application/x-www-form-urlencoded", b"wish=yes+received&who=%ED%A0%80"),
    ("application/x-www-form-urlencoded", b"wish&who"),
    ("application/json", b'{"wish": "yes received"}'),
    ("application/json", b"{"),
    ("text/plain", b"wish=yes received"),
    ("", b"wish=yes received"),
    ("multipart/form-data", b"--x"),
    ("multipart/form-data; boundary=x", b"no boundary at all"),
    (
        "multipart/form-data; boundary=x",
        b'--x\r\nContent-Disposition: form-data; name="wish"\r\n\r\nyes received',
    ),
    (
        "multipart/form-data; boundary=x",
        b'--x\r\nContent-Disposition: form-data; name="wish"\r\n\r\n\xff\r\n--x--\r\n',
    ),
    (
        "multipart/form-data; boundary=x",
        b'--x\r\nContent-Disposition: form-data; name="wish"; filename="a"\r\n\r\nyes\r\n--x--\r\n',
    ),
    ("multipart/form-data; boundary=x", b"--x\r\nContent-Disposition: form-data\r\n\r\nyes\r\n--x--\r\n"),
    (
        "multipart/form-data; boundary=x",
        b"".join(b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\nb\r\n' for _ in range(1200))
        + b"--x--\r\n",
    ),
)
# Charsets whose decoding gives lone surrogates, fails in its own way, or is no text at all.
CHARSETS = (
    "utf-7",
    "unicode_escape",
    "raw_unicode_escape",
    "undefined",
    "hex",
    "utf-16",
    "idna",
    "nonsense",
    "utf_8_sig",
)


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
@pytest.mark.parametrize(
    "path",
    [
        "/castings/1/ticks",
        "/castings/1/mark",
        "/builds",
        "/castings/1/bores",
        "/castings/1/spare",
        "/who",
        "/device",
    ],
)
def test_bodies_that_no_form_sends(shed: Bench, path: str) -> None:
    surrogate = b"\\ud800 +2AA-"
    bodies = [*BODIES]
    for charset in CHARSETS:
        for name in (b"name", b"mark", b"reading", b"wish", b"initials", b"who", b"code"):
            head = b'--x\r\nContent-Disposition: form-data; name="' + name + b'"\r\n\r\n'
            bodies.append(
                (f"multipart/form-data; boundary=x; charset={charset}", head + surrogate + b"\r\n--x--\r\n")
            )
        head = b'--x\r\nContent-Disposition: form-data; name="\\ud800 +2AA-"\r\n\r\n'
        bodies.append(
            (f"multipart/form-data; boundary=x; charset={charset}", head + surrogate + b"\r\n--x--\r\n")
        )
    for kind, body in bodies:
        headers = {"Content-Type": kind} if kind else {}
        answer = shed.client.post(path, content=body, headers=headers)
        assert answer.status_code < 500, (kind, body[:80])
        assert answer.status_code in (303, 400, 409, 422)


def test_a_body_longer_than_any_form(shed: Bench) -> None:
    before = shed.dump()
    answer = shed.client.post("/castings/1/ticks", data={"wish": "x" * 300_000})
    assert answer.status_code == 413
    assert shed.dump() == before
