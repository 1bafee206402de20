"""The sheet of cuts and allowances: what an empty field means, what is stored, what is refused."""

from __future__ import annotations

import re
from functools import partial

import pytest
from fastapi.testclient import TestClient

from domain.lengths import Unit
from tests.webapp.scenes import Bench, Words, form_on
from webapp.db import Db
from webapp.facts.work_figures import work_figures
from webapp.records.builds import load_build
from webapp.typed.fields import Figures
from webapp.typed.work_fields import FIELDS
from webapp.typed.work_figures import read_figures

PAGE = "/builds/1/figures"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A metric build."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def _figures(bench: Bench) -> Figures:
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    return work_figures(build)


def test_an_empty_form_means_the_usual_figures(bench: Bench) -> None:
    assert form_on(bench.get(PAGE), PAGE).fields["rough_cut"] == [""]
    figures = _figures(bench)
    # 0.004 in is 101 600 nm by the definition of the inch (25.4 mm).
    assert figures.nm("stroke_feed") == 101_600
    assert figures.nm("least_cut") == 500_000
    assert figures.perhaps("scrap_chance") is None
    assert figures.number("confidence") == pytest.approx(0.95)
    assert figures.source("rough_cut") == "common practice, no source"


def test_every_usual_figure_is_taken_by_its_own_field() -> None:
    texts = {one.key: one.usual.text for one in FIELDS if one.usual.text}
    assert dict(read_figures(texts, Unit.MM)[1]) == {}


def test_figures_are_kept_as_typed_with_their_unit_and_told(bench: Bench) -> None:
    answer = bench.send(PAGE, PAGE, rough_cut="0.8", boss_proud="-0.5", tool="carbide", confidence="95 %")
    assert answer.status_code == 303
    form = form_on(bench.get(PAGE), PAGE)
    assert (form.fields["rough_cut"], form.fields["boss_proud"]) == (["0.8 mm"], ["-0.5 mm"])
    figures = _figures(bench)
    assert (figures.nm("rough_cut"), figures.nm("boss_proud")) == (800_000, -500_000)
    assert figures.chosen("tool") == "carbide"
    assert figures.source("rough_cut") == "as typed for this build"
    told = bench.journal()[-1]
    assert "depth of a roughing cut now 0.8 mm" in told and "turning tools now carbide" in told
    assert bench.send(PAGE, PAGE, rough_cut="").status_code == 303
    assert "depth of a roughing cut as usual again" in bench.journal()[-1]
    assert _figures(bench).nm("rough_cut") == 1_000_000


@pytest.mark.parametrize(
    ("field", "text", "part"),
    [
        ("rough_cut", "a lot", "“a lot”"),
        ("rough_cut", "0", "above zero"),
        ("rough_cut", "-1", "has a sign"),
        ("rough_cut", "12 in", "not likely"),
        ("scrap_chance", "2", "not likely"),
        ("confidence", "100 %", "not likely"),
        ("rhythm", "1000", "not likely"),
        ("tool", "glass", "Choose one"),
        ("boss_proud", "-60", "not likely"),
        ("finish_cut", "2 mm", "not deeper"),
        ("rough_cut", "9" * 50, "40 characters"),
    ],
)
def test_what_is_refused_stands_beside_its_field_as_typed(
    bench: Bench, field: str, text: str, part: str
) -> None:
    send = partial(bench.send, PAGE, PAGE, **{field: text})
    words = bench.refused(send)
    assert part in words.at(field)
    # A list shows none of its own choices where another was sent.
    assert form_on(send().text, PAGE).fields[field] == ["" if field == "tool" else text]


def test_without_initials_nothing_is_stored(bench: Bench) -> None:
    words = bench.refused(partial(bench.send, PAGE, PAGE, rough_cut="0.8", who="!!"))
    assert "initials" in words.at("who")


def test_an_old_page_is_refused_and_the_same_form_twice_is_one(bench: Bench) -> None:
    old = form_on(bench.get(PAGE), PAGE)
    assert bench.post(PAGE, old.filled(rough_cut="0.8")).status_code == 303
    assert bench.post(PAGE, old.filled(rough_cut="0.8")).status_code == 303
    other = {**old.filled(rough_cut="0.7"), "token": "ab" * 16, "page": "cd" * 6}
    words = bench.refused(partial(bench.post, PAGE, other), 409)
    assert "AB" in words.text and sum("roughing cut" in line for line in bench.journal()) == 1


def test_a_build_that_is_not_there(bench: Bench) -> None:
    assert bench.client.get("/builds/99/figures").status_code == 404
    assert Words(bench.client.post("/builds/99/figures").text).text


def test_a_group_lies_closed_and_one_with_a_refused_figure_open(bench: Bench) -> None:
    html = bench.get(PAGE)
    assert html.count('<details class="more">') > 5 and '<details class="more" open>' not in html
    # A link that ends at a group ends inside it, which opens it.
    assert re.search(r"<details[^>]*>\s*<summary>[^<]*</summary>\s*<div[^>]* id=\"quarter\"", html)
    refused = bench.send(PAGE, PAGE, rough_cut="much").text
    assert refused.count('<details class="more" open>') == 1
    opened = refused.split('<details class="more" open>')[1].split("</details>")[0]
    assert 'id="work-rough_cut-error"' in opened


def test_a_build_in_inches_is_proposed_round_inches() -> None:
    """A shop in inches has no 0.0394: what is common practice is said in figures that are round there."""
    round_ones = {"least_cut": 508_000, "rough_cut": 1_016_000, "finish_cut": 203_200, "stroke_cut": 203_200}
    figures, errors = read_figures({}, Unit.INCH)
    assert not errors and {key: figures.nm(key) for key in round_ones} == round_ones
    assert figures.nm("rough_cut") == 40 * 25_400  # 40 thou
    metric, _ = read_figures({}, Unit.MM)
    assert (metric.nm("least_cut"), metric.nm("rough_cut"), metric.nm("finish_cut")) == (
        500_000,
        1_000_000,
        200_000,
    )
    texts = {one.key: text for one in FIELDS if (text := one.usual.of(Unit.INCH).text)}
    assert dict(read_figures(texts, Unit.INCH)[1]) == {}
