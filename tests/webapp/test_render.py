"""Words for lengths and times, initials from a cookie, and addresses of static files."""

import re
import time
from datetime import UTC, datetime
from hashlib import sha256

import pytest
from jinja2 import UndefinedError
from starlette.requests import Request

from webapp import render
from webapp.settings import STATIC

ZONES = {"UTC0": "4 Mar 2026 23:05", "EST5": "4 Mar 2026 18:05", "EET-2": "5 Mar 2026 01:05"}


def _written(source: str, **context: object) -> str:
    return render.environment.from_string(source).render(context)


def test_lengths_in_a_template() -> None:
    assert _written("{{ n|both('mm') }}", n=19_050_000) == "19.050 mm (0.7500 in)"
    assert _written("{{ n|one('in') }}", n=19_050_000) == "0.7500 in"
    assert _written("{{ n|offset('mm') }}", n=-10_000) == "-0.010 mm (-0.0004 in)"


def test_a_capital_at_the_head_leaves_a_mark_as_it_is() -> None:
    said = [_written("{{ words|capitalize }}", words=words) for words in ("cracked like W7", "W7", "")]
    assert said == ["Cracked like W7", "W7", ""]


def test_what_is_typed_stays_text() -> None:
    assert _written("{{ text }}", text="<b>&'\"") == "&lt;b&gt;&amp;&#39;&#34;"


def test_a_name_that_is_missing_is_an_error() -> None:
    with pytest.raises(UndefinedError):
        _written("{{ nothing }}")


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="the zone cannot be set for a test here")
def test_a_time_is_shown_on_this_machines_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    moment = datetime(2026, 3, 4, 23, 5, 59, tzinfo=UTC)
    try:
        for zone, shown in ZONES.items():
            monkeypatch.setenv("TZ", zone)
            time.tzset()
            assert render.when(moment) == shown
    finally:
        monkeypatch.undo()
        time.tzset()


def test_a_time_without_a_zone_is_an_error() -> None:
    with pytest.raises(ValueError, match="aware"):
        render.when(datetime(2026, 3, 4))  # noqa: DTZ001


@pytest.mark.parametrize(
    ("cookie", "who"),
    [("AB", "AB"), ("", ""), ("AB.signature", "AB"), ("<b>x", "bx"), ("ABCDEFG", "ABCD"), ("%C3%85B", "ÅB")],
)  # fmt: skip
def test_initials_are_four_letters_or_digits(cookie: str, who: str) -> None:
    assert render.initials({render.WHO_COOKIE: cookie}) == who


def test_a_fragment_is_named_as_one() -> None:
    with pytest.raises(ValueError, match="not a fragment"):
        render.fragment(Request({"type": "http", "headers": []}), "error.html", title="", sentence="")


def test_a_static_address_changes_with_the_file() -> None:
    assert re.fullmatch(r"/static/htmx\.min\.js\?v=[0-9a-f]{12}", render.static_url("htmx.min.js"))
    assert render.static_url("htmx.min.js") != render.static_url("htmx.LICENSE.txt")


def test_the_script_written_elsewhere_is_the_one_on_record() -> None:
    found = sha256((STATIC / "htmx.min.js").read_bytes()).hexdigest()
    assert found in (STATIC / "VENDORED.md").read_text()
