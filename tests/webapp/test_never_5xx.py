"""Whatever is typed, in any field of any form, hidden ones among them: an answer, and never an error of ours."""

import logging
import re
from itertools import cycle, islice

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.webapp.scenes import HX, PATHS, Bench, FormOnPage, every_form

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


@settings(max_examples=120, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
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
