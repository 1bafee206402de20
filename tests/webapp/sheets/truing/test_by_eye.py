"""A point without numbers, through HTTP: high and low by eye, which jaw to slacken and tighten, stored like a round."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from tests.webapp.scenes import Bench, Words, form_on, opened, sentences
from tests.webapp.sheets.truing.test_truing import jaws, part, said, set_up, sheet
from webapp.db import Db


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A metric build with its six castings as they came."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def by_eye(bench: Bench, **changes: object) -> str:
    """Begin a set-up without a dial; gives the address its rounds are sent to."""
    # What is asked of a dial need not be answered.
    return set_up(bench, division="pointer", counts_up="", tolerance="", **changes)


def look(bench: Bench, rounds: str, **seen: object) -> Response:
    return bench.send(f"{sheet(bench)}?what=eye", rounds, **seen)


def page_after(bench: Bench, rounds: str, **seen: object) -> str:
    answer = look(bench, rounds, **seen)
    assert answer.status_code == 303, Words(answer.text).text
    return bench.get(answer.headers["location"])


# By section 8: outside, slacken the jaw opposite the high spot and tighten the one at it; inside edge the other way
# round; jaws opened inside the rim turn it round once more.
@pytest.mark.parametrize(
    ("surface", "grip", "slacken", "tighten"),
    [
        ("outside", "on_outside", 3, 1),
        ("outside", "on_inside", 1, 3),
        ("inside", "on_outside", 1, 3),
        ("inside", "on_inside", 3, 1),
    ],
)
def test_which_jaw_without_a_figure(
    bench: Bench, surface: str, grip: str, slacken: int, tighten: int
) -> None:
    words = said(page_after(bench, by_eye(bench, surface=surface, grip=grip), high="0", low="180"))
    assert f"Slacken jaw {slacken} Tighten jaw {tighten}" in words
    assert "High at jaw 1, low at jaw 3." in words and "look again" in words
    assert " mm" not in words and " in)" not in words and "division" not in words
    assert "the outside of the rim" in Words(bench.get(sheet(bench))).text or surface == "inside"


def test_it_is_stored_like_a_round_told_and_struck_out(bench: Bench) -> None:
    rounds = by_eye(bench, surface="inside", grip="on_outside")
    page_after(bench, rounds, high="0", low="180")
    page_after(bench, rounds, high="45", low="225")
    page = bench.get(opened(sheet(bench), "rounds"))
    assert bench.rows("SELECT kind, radius_nm, struck_out FROM truing_round") == [("eye", None, 0)] * 2
    assert bench.rows("SELECT angle_udeg, nm, text FROM dial_reading WHERE round_id = 2 ORDER BY ordinal") == [
        (45_000_000, None, "high"), (225_000_000, None, "low"),
    ]  # fmt: skip
    assert bench.rows("SELECT dial_unit, division_nm, tolerance_nm FROM truing") == [(None, None, None)]
    assert bench.journal("W1")[-2:] == [
        "W1, round 1 by eye on the inside edge of the rim: high at jaw 1, low at jaw 3. Slacken jaw 1, tighten jaw 3.",
        "W1, round 2 by eye on the inside edge of the rim: high between jaws 1 and 2, low between jaws 3 and 4."
        " Slacken jaw 1, tighten jaw 3; slacken jaw 2, tighten jaw 4.",
    ]
    assert "between jaws 1 and 2: high" in said(page, "rounds")
    strike = f"{rounds}/2/strike"
    assert bench.post(strike, form_on(page, strike).filled(why="looked at jaw 4")).status_code == 303
    assert "High at jaw 1, low at jaw 3." in said(bench.get(sheet(bench)))


def test_the_next_look_says_whether_it_went_far_enough(bench: Bench) -> None:
    rounds = by_eye(bench)
    page_after(bench, rounds, high="0", low="180")
    assert "The same as before the last move: move it further." in said(
        page_after(bench, rounds, high="0", low="180")
    )
    assert "went past the middle: go about half as far back" in said(
        page_after(bench, rounds, high="180", low="0")
    )


def test_no_difference_is_true_by_eye_ticked_and_closed(bench: Bench) -> None:
    rounds = by_eye(bench)
    page_after(bench, rounds, high="0", low="180")
    page = page_after(bench, rounds, look="alike")
    words = said(page)
    assert words.startswith("True by eye: go on") and "nobody has measured: a dial tells" in words
    assert "Slacken" not in words
    ticks = f"/castings/{bench.id('W1')}/ticks"
    assert ("wish", "yes back_faced.rim_true") in form_on(page, ticks).buttons
    assert bench.send(sheet(bench), rounds.replace("rounds", "close")).status_code == 303
    assert bench.journal("W1")[-1] == (
        "Set W1 true from the back: by eye, no difference to be seen, after 2 rounds."
    )
    assert "Set true from the back" in Words(bench.get(sheet(bench))).by_id["closed"]
    # The next casting is offered the same way.
    other = sheet(bench, "W2")
    assert form_on(bench.get(other), other).fields["division"] == ["pointer"]


def test_high_and_low_beside_each_other_ask_for_opposite_jaws(bench: Bench) -> None:
    words = said(page_after(bench, by_eye(bench), high="0", low="90"))
    assert words.startswith("High and low are not opposite") and "1 against 3 and 2 against 4" in words
    assert "Slacken jaw" not in words


def test_with_a_dial_a_look_by_eye_may_come_first(bench: Bench) -> None:
    rounds = set_up(bench)
    page = page_after(bench, rounds, high="90", low="270")
    assert "Slacken jaw 4 Tighten jaw 2" in said(page)
    answer = bench.send(f"{sheet(bench)}?what=radial", rounds, **jaws(12, 0, -12, 0))
    assert answer.status_code == 303
    page = bench.get(opened(answer.headers["location"], "true-working"))
    assert "swings 0.240 mm" in said(page) and "by eye" in part(bench, "rounds")


BAD: list[tuple[dict[str, Any], str, str]] = [
    ({"high": "0"}, "low", "Say where it is low"),
    ({"low": "0"}, "high", "Say where it is high"),
    ({"high": "0", "low": "0"}, "low", "cannot be high and low at one spot"),
    ({"high": "30", "low": "180"}, "high", "Say where it is high"),
    ({"high": "nan", "low": "180"}, "high", "Say where it is high"),
    ({"high": "9" * 400, "low": "\u202e"}, "low", "Say where it is low"),
]


def test_what_cannot_be_seen(bench: Bench) -> None:
    rounds = by_eye(bench)
    for seen, box, words in BAD:
        told = bench.refused(lambda seen=seen: look(bench, rounds, **seen))  # type: ignore[misc]
        assert words in told.at(box), (seen, told.by_id["next"])
    kept = form_on(look(bench, rounds, high="0", low="0").text, rounds)
    assert (kept.fields["high"], kept.fields["low"]) == (["0"], ["0"])


def test_a_set_up_without_a_dial_takes_no_readings_of_one(bench: Bench) -> None:
    rounds = by_eye(bench)
    page = bench.get(f"{sheet(bench)}?what=radial")
    assert "Dial shows" not in page and 'id="jaw_1"' not in page
    sent = form_on(page, rounds).filled(kind="radial", read="jaws", **jaws(0, 1, 2, 3))
    assert "This set-up has no dial" in bench.refused(lambda: bench.post(rounds, sent)).text
    assert sentences(
        bench.journal("W1"), "Began setting W1 true from the back: a point at the outside of the rim, by eye"
    )
