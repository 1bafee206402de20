"""Every form that is refused says why at its head, with a link that reaches each refused field, and beside the field."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from shutil import copy

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, FormOnPage, Words, every_form
from webapp.app import create_app
from webapp.db import Db
from webapp.settings import Settings

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
    "standard",
    "initials",
}


# Choices that are named more fully at the head: their own words say which pin by where they stand.
NAMED = {f"{side}_{what}" for side in ("axle", "left", "right", "inside") for what in ("way", "branch")} | {
    "confirmed"
}


class Refused(HTMLParser):
    """The refused fields of a page, and what the heads of its forms link to."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.ids: set[str] = set()
        self.order: list[str] = []
        self.links: dict[str, str] = {}
        self.labels: dict[str, str] = {}
        self._into: tuple[dict[str, str], str] | None = None
        self._choices = ""
        self.fields: list[dict[str, str]] = []
        self.heads = 0
        self._inside = 0
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.ids.add(given.get("id", ""))
        self.order.append(given.get("id", ""))
        if tag == "div" and (self._inside or "refusal" in given.get("class", "").split()):
            self.heads += not self._inside
            self._inside += 1
        if self._inside and tag == "a":
            self._into = self.links, given.get("href", "")
        if tag == "fieldset":
            self._choices = given.get("id", "")
        if tag == "legend" or "for" in given:
            self._into = self.labels, given.get("for", self._choices)
        if given.get("aria-invalid") == "true":
            self.fields.append(given)

    def handle_endtag(self, tag: str) -> None:
        if tag == "div" and self._inside:
            self._inside -= 1
        if tag in ("a", "label", "legend"):
            self._into = None

    def handle_data(self, data: str) -> None:
        if self._into is not None:
            found, key = self._into
            found[key] = " ".join((found.get(key, "") + data).split())


@pytest.fixture(scope="module")
def forms(tmp_path_factory: pytest.TempPathFactory, empty_file: Path) -> tuple[Bench, list[FormOnPage]]:
    path = tmp_path_factory.mktemp("refused") / "spokeshed.db"
    copy(empty_file, path)
    app = create_app(Settings(path))
    client = TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False)
    bench = Bench(client, app.state.db).sit_down()
    bench.metric()
    bench.quartered()
    bench.bored("W3")
    return bench, every_form(bench)


def test_every_refused_form_leads_to_each_refused_field(forms: tuple[Bench, list[FormOnPage]]) -> None:
    bench, found = forms
    tried, wrong = set(), []
    for form in {re.sub(r"\d+", "1", one.action): one for one in found if one.method == "post"}.values():
        typed = {name: NONSENSE for name in form.fields if name not in CARRIED and name not in form.choices}
        if not typed:
            continue
        answer = bench.post(form.action, {**form.fields, **typed})
        if answer.status_code != 422:
            continue
        page = Refused(answer.text)
        tried.add(form.action)
        if not page.heads:
            wrong.append(f"{form.action}: nothing at its head")
        if not page.fields and "/who" not in form.action:
            wrong.append(f"{form.action}: no field is marked")
        for field in page.fields:
            if field.get("type") != "radio" and f"#{field.get('id')}" not in page.links:
                wrong.append(f"{form.action}: no link to {field.get('name')}")
            if not set(field.get("aria-describedby", "-").split()) <= page.ids:
                wrong.append(f"{form.action}: no sentence beside {field.get('name')}")
        # Why stands once, at the field.
        for words in re.findall(r'<p class="error" id="[^"]+">([^<]+)</p>', answer.text):
            if answer.text.count(words) != len(
                re.findall(rf'<p class="error"[^>]*>{re.escape(words)}</p>', answer.text)
            ):
                wrong.append(f"{form.action}: {words!r} is said at its head too")
        # In the order of the page, and each by the words that stand at its field.
        led = [link[1:] for link in page.links if link.startswith("#") and link[1:] in page.labels]
        if led != sorted(led, key=page.order.index):
            wrong.append(f"{form.action}: not in the order of the page: {led}")
        for own in led:
            words, label = page.links[f"#{own}"], page.labels[own]
            if words != label and own not in NAMED:
                wrong.append(f"{form.action}: the head says {words!r} of {own}, the field {label!r}")
        lost = {link for link in page.links if link.startswith("#") and link[1:] not in page.ids}
        wrong += [f"{form.action}: a link to {link}, which is not there" for link in lost]
    assert len(tried) > 15, sorted(tried)
    assert wrong == [], "\n" + "\n".join(wrong)


@pytest.mark.parametrize("page", ["/axles/1", "/castings/1"])
def test_without_script_why_is_said_once_and_the_head_leads_there(
    client: TestClient, db: Db, page: str
) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric()
    bench.tick("W1", "received", "back_faced", "bored")
    due = bench.form(f"{page}?due=bore-1", "/castings/1/bores").filled(reading_front_first="19 furlongs")
    tick = bench.form(page, "/castings/1/ticks").filled(wish="yes pressed", view=page.split("/")[1][:-1])
    for action, form, why, at in (
        ("/castings/1/bores", due, "“19 furlongs” ends in something that is no unit here", "due-bore-1"),
        ("/castings/1/ticks", tick, "No bore is logged for W1: measure and log it first", "row-pressed"),
    ):
        answer = bench.post(action, form)
        assert answer.status_code in (409, 422)
        said = Words(answer.text)
        assert said.text.count(why) == 1, said.text
        assert re.findall(r'href="#([\w-]+)">Go to it', answer.text) == [at]
        assert why in said.by_id[at]
