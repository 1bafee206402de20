"""One figure by one name on the sheet for setting true: the swing of the dial in a whole turn."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, form_on, opened
from tests.webapp.sheets.truing.test_truing import jaws, part, read, said, set_up, sheet
from webapp.db import Db


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A metric build with its six castings as they came."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def test_out_between_two_jaws_it_shows_the_whole_turn_everywhere(bench: Bench) -> None:
    # 0.35 mm off half way between jaws 1 and 2: each jaw reads 0.2475, the whole turn swings 0.70 (twice 0.35).
    rounds = set_up(bench)
    page = read(bench, rounds, "0.2475", "0.2475", "-0.2475", "-0.2475")
    figure = "0.700 mm (0.0276 in)"
    assert f"(total indicator reading, TIR) {figure}" in said(page)
    assert f"The dial swings {figure} in a whole turn." in said(page)
    assert f"Round 1: the dial swings {figure} in a whole turn." in part(bench, "rounds")
    assert f"the dial swings {figure} in a whole turn. Slacken jaw" in bench.journal("W1")[-1]
    # Neither half of it nor the difference of two readings is shown as how true it runs.
    assert "0.495 mm" not in page
    assert "(eccentricity)" not in page and "off the middle" not in said(page)
    assert bench.send(opened(sheet(bench), "finish"), rounds.replace("rounds", "close")).status_code == 303
    assert (
        bench.journal("W1")[-1]
        == f"Stopped setting W1 true from the back: the dial swings {figure} in a whole turn after 1 round."
    )
    assert f"the dial swings {figure} in a whole turn after 1 round" in part(bench, "past")


def test_within_the_allowance_it_asks_for_no_move(bench: Bench) -> None:
    # Off by 0.049 between the jaws, with 0.10 allowed: the swing is 0.098.
    rounds = set_up(bench, tolerance="0.1 mm")
    page = read(bench, rounds, "0.0346", "0.0346", "-0.0346", "-0.0346")
    words = said(page)
    assert words.startswith("Good: true enough, go on") and "What you allow 0.100 mm" in words
    assert "Slacken jaw" not in words and "read all the spots again" not in words
    # The form for another round is folded away, and still there.
    assert re.search(r'<details class="more" id="read-again">.*id="round-form"', page, re.DOTALL)


def test_a_face_within_the_allowance_asks_for_no_tap(bench: Bench) -> None:
    rounds = set_up(bench, tolerance="0.1 mm")
    form = form_on(bench.get(f"{sheet(bench)}?what=face"), rounds)
    answer = bench.post(rounds, form.filled(radius="50 mm", **jaws(0, 4, 0, -4)))
    assert answer.status_code == 303, Words(answer.text).text
    words = said(bench.get(answer.headers["location"]))
    assert words.startswith("Good: the face is true enough, go on") and "Tap at" not in words
    assert "swings 0.080 mm (0.0031 in) in a whole turn: it is within what you allow" in words
