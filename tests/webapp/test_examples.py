"""An example beside a field is in the build's own unit, or begins with it; a figure of the other system stands after it."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import PATHS, Bench, every_form, unfolded
from webapp.db import Db

# A figure with a unit of length behind it, as a hint writes one. Feed of a turn and speeds are lengths too.
# Roughness is named in micrometres everywhere, a standard by its gauge, and a slope is 1 in so many.
LENGTH = re.compile(r"[0-9](?:[0-9.,/ ]*[0-9])? ?(mm|in|thou)\b(?! gauge| [0-9]| the\b)")
SYSTEM = {"mm": "mm", "in": "in", "thou": "in"}


class Beside(HTMLParser):
    """What stands beside the fields of a page: their hints and placeholders, and the notes of their forms."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self._open: list[tuple[str, bool]] = []
        self._forms = 0
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self._forms += tag == "form"
        if "placeholder" in given:
            self.found.append(given["placeholder"])
        named = {"hint", "small"} & set(given.get("class", "").split())
        beside = "hint" in named or ("small" in named and self._forms > 0)
        if tag == "p":
            if beside:
                self.found.append("")
            self._open.append((tag, beside))

    def handle_endtag(self, tag: str) -> None:
        self._forms -= tag == "form"
        if self._open and self._open[-1][0] == tag:
            self._open.pop()

    def handle_data(self, data: str) -> None:
        if self._open and self._open[-1][1]:
            self.found[-1] += data


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_an_example_begins_with_the_builds_own_unit(client: TestClient, db: Db, unit: str) -> None:
    bench = Bench(client, db).sit_down()
    if unit == "mm":
        bench.metric()
    else:
        bench.start()
    # On the workshop's own sheets a number alone is in what this device has chosen.
    client.cookies.set("spokeshed_unit", unit)
    foreign = {}
    # A new build's form has its own unit to choose.
    for path in (one for one in PATHS if one != "/builds/new"):
        for words in Beside(unfolded(client, bench.get(path))).found:
            first = LENGTH.search(words)
            if first is not None and SYSTEM[first[1]] != unit:
                foreign[" ".join(words.split())] = path
    assert not foreign, "\n" + "\n".join(f"{path}: {words}" for words, path in foreign.items())


# What no form shows as a box to type into.
CARRIED = {"token", "page", "seen", "view", "from", "folded", "wish", "kind", "pair", "who", "unit"}
_SUCH = re.compile(r"such as (.*)")


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_refusal_gives_an_example_in_the_builds_own_unit(client: TestClient, db: Db, unit: str) -> None:
    bench = Bench(client, db).sit_down()
    if unit == "mm":
        bench.metric()
    else:
        bench.start()
    bench.tick("W1", "received", "back_faced", "bored")
    client.cookies.set("spokeshed_unit", unit)
    foreign, tried = {}, 0
    for form in {one.action: one for one in every_form(bench) if one.method == "post"}.values():
        if form.action == "/builds":
            continue
        boxes = [name for name in form.fields if name not in CARRIED and name not in form.choices]
        for text in ("@@@", "0", ""):
            answer = bench.post(form.action, {**form.fields, **dict.fromkeys(boxes, text)})
            for words in re.findall(r'<p class="error"[^>]*>([^<]+)</p>', answer.text):
                example = _SUCH.search(words)
                first = LENGTH.search(example[1]) if example else None
                tried += first is not None
                if first is not None and SYSTEM[first[1]] != unit:
                    foreign[words] = form.action
    assert tried > 20
    assert not foreign, "\n" + "\n".join(f"{path}: {words}" for words, path in foreign.items())
