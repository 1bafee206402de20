"""No page says an id twice: a label, a link or the script that brings an answer into sight would find the wrong one."""

import re
from collections import Counter
from collections.abc import Iterator
from html.parser import HTMLParser
from itertools import product
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from tests.webapp.scenes import HX, Bench, FormOnPage, forms_on
from webapp.app import create_app
from webapp.demo.builds import make_demo
from webapp.settings import Settings
from webapp.upgrade import prepare
from webapp.web.register import FIRST, SHEETS

ORIGIN = "http://127.0.0.1:8730"
NONSENSE = "@@@"
# What no form shows as a box to type into.
CARRIED = {
    "token",
    "page",
    "seen",
    "view",
    "from",
    "folded",
    "axle",
    "side",
    "pair",
    "turn",
    "castings",
    "set_up",
    "wish",
    "kind",
    "back",
}


class Ids(HTMLParser):
    """The ids of a page and where its links go."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.ids: Counter[str] = Counter()
        self.links: list[str] = []
        # The page, or nothing for this one, and the id on it.
        self.marks: list[tuple[str, str]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if "id" in given:
            self.ids[given["id"]] += 1
        if tag == "a" and given.get("href", "").startswith("/"):
            self.links.append(given["href"].split("#")[0])
        if tag == "a" and "#" in given.get("href", ""):
            page, _, mark = given["href"].partition("#")
            self.marks.append((page, mark))

    @property
    def twice(self) -> list[str]:
        return sorted(one for one, times in self.ids.items() if times > 1)


def test_an_id_said_twice_is_found() -> None:
    assert Ids('<p id="a"></p><p id="b"/><div><p id="a">x</p></div>').twice == ["a"]


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """Both invented builds, a running batch, and a workshop with something of everything."""
    path = tmp_path_factory.mktemp("ids") / "spokeshed.db"
    prepare(path)
    app: FastAPI = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        make_demo(app.state.db)
        bench = Bench(client, app.state.db).sit_down()
        client.post("/workshop/starters", data={"unit": "mm", "plug_size": ""})
        assert bench.send("/builds/1/batches", "/builds/1/batches", wish="start").status_code == 303
        yield bench
    app.state.db.close()


@pytest.fixture(scope="module")
def pages(bench: Bench) -> dict[str, str]:
    """Every page that a link leads to, from the list of builds on, and every registered sheet of both builds."""
    waiting, found = ["/"], {}
    for sheet in (*FIRST, *SHEETS):
        for one in (1, 2):
            ids = {
                name: 3 if name == "casting_id" and one == 1 else one
                for name in re.findall(r"{(\w+)}", sheet.address)
            }
            waiting.append(sheet.address.format(**ids))
    while waiting:
        address = waiting.pop()
        if address in found:
            continue
        answer = bench.client.get(address)
        if answer.status_code == 303:
            waiting.append(answer.headers["location"].split("#")[0])
        if answer.status_code != 200 or "html" not in answer.headers["content-type"]:
            continue
        found[address] = answer.text
        waiting += Ids(answer.text).links
    return found


def test_no_page_says_an_id_twice(pages: dict[str, str]) -> None:
    # Shown only where the program is opened to the network.
    opened = {sheet.address for sheet in (*FIRST, *SHEETS)} - {"/device"}
    seen = {
        address
        for address in opened
        if any(re.fullmatch(re.sub(r"{\w+}", "[0-9]+", address), page.split("?")[0]) for page in pages)
    }
    assert seen == opened
    assert {page: twice for page, html in pages.items() if (twice := Ids(html).twice)} == {}


def test_every_link_to_a_place_on_a_page_finds_it_there(pages: dict[str, str]) -> None:
    found = {page: Ids(html) for page, html in pages.items()}
    lost = {
        f"{page} leads to {target}#{mark}"
        for page, here in found.items()
        for target, mark in here.marks
        if (there := found.get(target or page)) is not None and mark not in there.ids
    }
    assert not lost, "\n".join(sorted(lost))
    assert sum(bool(target) for here in found.values() for target, _ in here.marks) > 20


def _tries(form: FormOnPage) -> Iterator[dict[str, Any]]:
    """Nonsense in every box; the form as it stands with each of its buttons; nobody at the bench."""
    typed = {name: NONSENSE for name in form.fields if name not in CARRIED and name not in form.choices}
    yield {**form.fields, **typed}
    yield {**form.fields, "who": ""}
    for name, value in form.buttons:
        if name:
            yield {**form.fields, name: value}


def test_no_answer_says_an_id_twice(bench: Bench, pages: dict[str, str]) -> None:
    """What is refused, asked about, or has nobody at the bench: as a page, and as the piece that is swapped in."""
    tried: set[int] = set()
    wrong: dict[str, list[str]] = {}
    found = [form for html in pages.values() for form in forms_on(html) if form.method == "post"]
    for form in {re.sub("[0-9]+", "1", one.action): one for one in found}.values():
        for data, headers in product(_tries(form), ({}, HX)):
            answer = bench.client.post(form.action, data=data, headers=headers)
            tried.add(answer.status_code)
            twice = Ids(answer.text).twice
            if twice:
                wrong[form.action] = twice
    assert {409, 422} <= tried
    assert wrong == {}
