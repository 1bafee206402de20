"""Will the rods go round, through HTTP."""

import math
import re
from contextlib import closing
from functools import partial
from sqlite3 import connect

import pytest
from fastapi.testclient import TestClient

from domain.cranks.quartering import QuarteringError
from domain.lengths import Unit
from domain.rods.lack import RodsAnswer
from tests.webapp.scenes import HX, Bench, Words, folds_on, form_on, forms_on
from webapp.db import Db
from webapp.facts.facts import facts_of
from webapp.facts.quartering import cranks_of
from webapp.records.builds import load_build

MM = 1_000_000
THROW, CENTRE, AXLE_HEIGHT = 25.4, 150.0, 60.0
PAGE = "/builds/1/rods"
AT = "2026-11-25 20:00:00.000000"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def _start(bench: Bench, axles: int = 2, **changes: object) -> None:
    numbers = " ".join(str(n) for n in range(1, axles + 1))
    figures = {"axles": str(axles), "coupled": numbers, "castings": str(2 * axles), "throw": "25.4"}
    bench.metric(**{**figures, **changes})
    _on_axles(bench, " ".join(f"W{n}" for n in range(1, 2 * axles + 1)))


def _on_axles(bench: Bench, marks: str, *keys: str, at: str = "2026-01-01 10:00:00.000000") -> None:
    """Ticked as far as pressed, without the evenings between."""
    with closing(connect(bench.db.path)) as connection, connection:
        for own in map(bench.id, marks.split()):
            for key in keys or ("received", "back_faced", "bored", "pressed"):
                connection.execute(
                    "INSERT INTO tick (casting_id, key, at, who) VALUES (?, ?, ?, 'AB')", (own, key, at)
                )


def _heights(
    bench: Bench, axle: int, quarter_deg: float, *, expanded_nm: int | None = 0, throw: float = THROW
) -> None:
    """The axle in its vee blocks, right pin 45 degrees up in front, the left one behind and above."""
    left, right = (
        round((AXLE_HEIGHT + throw * math.sin(math.radians(at))) * MM) for at in (45.0 + quarter_deg, 45.0)
    )
    bench.heights(axle, round(AXLE_HEIGHT * MM), left, right, expanded_nm=expanded_nm, at=AT)


def _throws(bench: Bench, marks: str, nm: int = 25_400_000, expanded_nm: int | None = None) -> None:
    """Throws as logged, without bringing each wheel so far first."""
    for own in map(bench.id, marks.split()):
        bench.put("throw", nm, (nm, "", None, None), casting_id=own, expanded=expanded_nm, at=AT)


def _both(*axles: int, **figures: str) -> dict[str, object]:
    """Figures of the rods, alike on both sides and for every pair."""
    return {
        f"{key}-{side}-{axle}": text
        for axle in axles
        for side in ("left", "right")
        for key, text in figures.items()
    }


def _rods(bench: Bench, *axles: int, **figures: str) -> dict[str, object]:
    """The rods' figures alike on both sides and for every pair."""
    return _both(*axles, **{"centre": "150", "rod": "150", **figures})


def _left(**figures: str) -> dict[str, object]:
    """The rods' figures of the left alone."""
    return {f"{key}-left-1": text for key, text in {"centre": "150", "rod": "150", **figures}.items()}


def _save(bench: Bench, **figures: object) -> str:
    answer = bench.send(PAGE, PAGE, **figures)
    assert answer.status_code == 303, Words(answer.text).text
    assert answer.headers["location"] == f"{PAGE}#answer"
    return bench.whole(PAGE)


def _said(page: str) -> str:
    return " ".join(Words(page).text.split())


def _at(page: str, own: str) -> str:
    return " ".join(Words(page).by_id.get(own, "").split())


def test_rods_are_on_in_the_picture_of_the_engine_when_they_go_round(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    engine = "/builds/1"
    assert 'class="rod"' not in bench.get(engine)
    _save(bench, **_rods(bench, 1))
    _save(bench, **_both(1, clearance="0.06"))
    # They bind, so they are not on; the wheels stand at the centres that were typed.
    page = bench.get(engine)
    assert 'class="rod"' not in page and "axle centres are not given" not in page
    _save(bench, **_both(1, clearance="0.2"))
    # One rod a side, in each of the two pieces of its side.
    assert bench.get(engine).count('class="rod"') == 4


def test_quartering_that_differs_asks_for_the_play_of_the_worked_figure(bench: Bench) -> None:
    """0.30 degrees at a throw of 25.4 mm: r D / (2 sqrt 2) = 25.4 x 0.0052360 / 2.8284 = 0.0470 mm, exactly 0.0471."""
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    page = _save(bench, **_rods(bench, 1))
    assert "need up to 0.095 mm (0.0037 in) of clearance" in _at(page, "answer")
    page = _save(bench, **_both(1, clearance="0.06"))
    # Twice 0.0471 needed, 0.060 given.
    assert (
        "By the figures as typed, the rods bind: axles 1 and 2 lack 0.035 mm (0.0014 in) of clearance"
        in _at(page, "answer")
    )
    # 25.4 x 0.3 degrees in radians; of the two the one that is not at 90 is set again.
    order = "set its right wheel {} by 0.30 degrees, 0.133 mm (0.0052 in) at the crankpin. Then all rods go round."
    assert f"Axle 1: {order.format('forwards')}" in _at(page, "remedies")
    assert f"Axle 2: {order.format('backwards')}" in _at(page, "remedies")
    assert _at(page, "again") == f"Axle 2: {order.format('backwards')}"
    assert "Their quarter angles do not agree: to set axle 1 or 2 right is enough." in _at(page, "answer")
    page = _save(bench, **_both(1, clearance="0.0944"))
    # half of 0.0944 is 0.0472, just more than the 0.0471 needed
    assert "By the figures as typed, the rods go round" in _at(page, "answer")
    assert "Axles 1 and 2: go round" in _at(page, "fold-pair-1")


def test_one_axle_of_three_binds_and_set_right_it_goes(bench: Bench) -> None:
    _start(bench, 3)
    _throws(bench, "W1 W2 W3 W4 W5 W6")
    for axle, angle in enumerate((90.02, 90.34, 90.02), 1):
        _heights(bench, axle, angle, expanded_nm=1_000)
    page = _save(bench, **_rods(bench, 1, 2, clearance="0.05"), within="0.001")
    assert "By the figures as typed, the rods bind" in _at(page, "answer")
    assert _at(page, "again").startswith("Axle 2: set its right wheel backwards by 0.32 degrees")
    assert _at(page, "again").endswith("Then all rods go round.")
    assert 'href="/axles/2/quartering?open=log#fold-log"' in page
    # Set again, and measured again on the quartering sheet: 60 + 25.4 sin 135.02 = 77.9542, 60 + 25.4 sin 45 = 77.9605.
    heights = {
        "axle": "60",
        "left": "77.9542",
        "right": "77.9605",
        "left_branch": "rear",
        "right_branch": "front",
    }
    answer = bench.send("/axles/2/quartering", "/axles/2/quartering", **heights, expanded="0.001")
    assert answer.status_code == 303, Words(answer.text).text
    page = bench.whole(PAGE)
    assert "By the figures as typed, the rods go round" in _at(page, "answer")
    assert "fold-plan" not in Words(page).by_id


def test_a_rod_bored_wrong_is_said_and_bored_again_it_goes(bench: Bench) -> None:
    """A rod 0.05 mm long on both sides asks for just that, at the dead centres of either."""
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    for axle in (1, 2):
        _heights(bench, axle, 90.0)
    page = _save(bench, **_rods(bench, 1, rod="150.05", clearance="0.08"))
    assert "lack 0.020 mm" in _at(page, "answer")
    assert "Bore a bush in each of both rods of axles 1 and 2 again" in _at(page, "again")
    assert "0.050 mm (0.0020 in) shorter" in _at(page, "plan")
    page = _save(bench, **_both(1, rod="150"))
    assert "By the figures as typed, the rods go round" in _at(page, "answer")


def test_what_is_not_measured_is_listed_with_a_way_to_it_and_never_called_sure(bench: Bench) -> None:
    _start(bench)
    page = bench.whole(PAGE)
    assert "Type the axle centres and the rods of axles 1 and 2" in _at(page, "answer")
    assert "There is nothing to turn yet" not in _said(page)
    page = _save(bench, **_rods(bench, 1, clearance="0.06"))
    assert "They would go round, if what is not measured yet is as taken here" in _at(page, "answer")
    assert 'data-answer="serves"' not in page
    missing = _at(page, "missing")
    assert "Throw of W1 (axle 1, left)." in missing
    assert "Quarter angle of axle 2." in missing
    # The throw is logged where its form stands, and not at the head of a long sheet.
    for address in (f"/castings/{bench.id('W1')}/throw", "/axles/2/quartering"):
        assert f'href="{address}"' in page
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0)
    assert "Throw of" not in _at(bench.whole(PAGE), "missing")
    _heights(bench, 2, 90.5)
    page = bench.whole(PAGE)
    assert "fold-missing" not in Words(page).by_id
    assert "By the figures as typed, the rods bind" in _at(page, "answer")
    page = _save(bench, **_both(1, centre="", clearance="1"))
    assert "Axle centres of axles 1 and 2, taken as long as the rods." in _at(page, "missing")
    assert "would go round" in _at(page, "answer")


def test_a_bind_by_the_drawing_s_figures_is_not_called_sure_either(bench: Bench) -> None:
    _start(bench)
    page = _save(bench, **_rods(bench, 1, rod="150.2", clearance="0.02"))
    assert "Not all is measured; as taken here, the rods bind" in _at(page, "answer")
    assert 'class="verdict-line" data-answer="caution"' in page


def test_the_sides_are_taken_alike_only_where_one_is_empty(bench: Bench) -> None:
    _start(bench)
    right = {
        "centre-right-1": "150",
        "rod-right-1": "150.02",
        "bush_front-right-1": "0.02",
        "bush_rear-right-1": "0.03",
    }
    page = _save(bench, **right)
    assert "Taken as on the right: 150.02 mm." in page
    with bench.db.read() as session:
        build = load_build(session, 1)
        assert build is not None
        found = facts_of(build).rods.coupled
    engine, missing = found.engine, (*found.blocked, *found.missing)
    assert engine is not None
    assert engine.spans[0].left == engine.spans[0].right
    assert engine.spans[0].left.rod_nm == 150_020_000
    assert engine.spans[0].left.clearance_nm == 50_000
    # Four throws and two angles; and by name the three that nobody measured on the left.
    words = [one.words for one in missing]
    assert len(words) == 6 + 3
    for what in ("axle centres", "rod centres", "clearance of the bushes"):
        assert f"{what} of axles 1 and 2, left: taken as on the right." in words
    _save(bench, **{"rod-left-1": "150.04", "clearance-left-1": "0.1", "within": "0.01"})
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    engine = facts_of(build).rods.coupled.engine
    assert engine is not None
    left, right_side = engine.spans[0].left, engine.spans[0].right
    assert (left.rod_nm, left.clearance_nm, left.rod_u_nm, left.centre_u_nm) == (
        150_040_000,
        100_000,
        10_000,
        10_000,
    )
    assert (right_side.rod_nm, right_side.clearance_nm, right_side.centre_nm) == (
        150_020_000,
        50_000,
        150_000_000,
    )


def test_a_side_nobody_measured_is_listed_and_never_called_sure(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4", expanded_nm=2_000)
    for axle in (1, 2):
        _heights(bench, axle, 90.0, expanded_nm=1_000)
    sure = {"within": "0.002", "within_clearance": "0.002"}
    page = _save(bench, **_left(clearance="0.06", slack="0.1"), **sure)
    assert "They would go round, if what is not measured yet is as taken here" in _at(page, "answer")
    assert 'class="verdict-line" data-answer="caution"' in page and "to be sure" not in _said(page)
    missing = _at(page, "missing")
    for what in ("Axle centres", "Rod centres", "Clearance of the bushes", "Slack of the axle boxes"):
        assert f"{what} of axles 1 and 2, right: taken as on the left." in missing
    assert 'href="/builds/1/rods?open=figures#rods-1"' in page
    page = _save(
        bench,
        **{f"{key}-right-1": text for key, text in (("centre", "150"), ("rod", "150"), ("slack", "0.1"))},
    )
    missing = _at(page, "missing")
    assert "Clearance of the bushes of axles 1 and 2, right: taken as on the left." in missing
    assert "Rod centres" not in missing and "Axle centres" not in missing and "Slack" not in missing
    page = _save(bench, **{"bush_front-right-1": "0.03", "bush_rear-right-1": "0.03"})
    assert "fold-missing" not in Words(page).by_id and 'class="verdict-line" data-answer="serves"' in page


def test_without_a_known_uncertainty_nothing_is_said_to_be_allowed_for(bench: Bench) -> None:
    """Throws, heights, lengths and clearances each carry their own; the answer allows for them once all are known."""
    _start(bench)
    for axle in (1, 2):
        _heights(bench, axle, 90.0, expanded_nm=1_000)
    _throws(bench, "W1 W2 W3 W4", expanded_nm=2_000)
    page = _save(bench, **_rods(bench, 1, clearance="0.06"))
    assert "By the figures as typed, the rods go round" in _at(page, "answer")
    assert "the axle centres and rods, the clearances of the bushes" in _at(page, "exact")
    page = _save(bench, within="0.002")
    assert "By the figures as typed, the rods go round" in _at(page, "answer")
    assert _at(page, "exact").endswith("the clearances of the bushes.")
    for words in ("allowed for", "to be sure", "surely", "How sure: the play"):
        assert words not in _said(page)
    page = _save(bench, within_clearance="0.002")
    assert "The rods go round" in _at(page, "answer") and "as typed" not in _at(page, "answer")
    assert "with what is not sure about the measurements allowed for" in _at(page, "answer")
    assert "exact" not in Words(page).by_id and "to be sure" in _at(page, "pair-1")
    _throws(bench, "W2")
    page = bench.whole(PAGE)
    assert "By the figures as typed" in _at(page, "answer") and "the throws of W2" in _at(page, "exact")
    with bench.db.read() as session:
        build = load_build(session, 1)
        assert build is not None
        line = facts_of(build).rods.line
    assert line is not None and line.words == "By the figures as typed, the rods go round."


def test_a_clearance_can_be_unsure(bench: Bench) -> None:
    """0.0471 mm is needed at 0.30 degrees, 0.0944 / 2 = 0.0472 given: with the clearance sure to 0.02 that is not sure."""
    _start(bench)
    _throws(bench, "W1 W2 W3 W4", expanded_nm=0)
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    sure = {"within": "0", "within_clearance": "0"}
    page = _save(bench, **_rods(bench, 1, clearance="0.0944"), **sure)
    assert "The rods go round" in _at(page, "answer")
    page = _save(bench, within_clearance="0.02")
    assert "Cannot tell whether the rods go round" in _at(page, "answer")
    assert "Bushes of the left rod of axles 1 and 2" in _at(page, "pair-1")
    assert "clearances known to within 0.020 mm (0.0008 in)" in bench.journal()[-1]
    assert 'name="within_clearance" value="0.02 mm"' in page
    # 0.130 less all of 0.02 is still more than the 0.0942 that the two bushes must have.
    page = _save(bench, **_both(1, clearance="0.13"))
    assert "The rods go round" in _at(page, "answer")


def test_the_figures_are_kept_as_typed_and_the_journal_says_so(bench: Bench) -> None:
    _start(bench)
    page = _save(bench, **_left(centre="5.9055 in", rod="150", slack="0"))
    assert 'value="5.9055 in"' in page
    assert 'value="150 mm"' in page
    rows = bench.rows("SELECT side, key, nm, text FROM rod_figure ORDER BY key")
    assert rows == [("left", "centre", 149_999_700, "5.9055 in"), ("left", "rod", 150_000_000, "150 mm"),
                    ("left", "slack", 0, "0 mm")]  # fmt: skip
    assert "axles 1 and 2, left, rod centres 150.000 mm (5.9055 in);" in bench.journal()[-1]
    count = len(bench.journal())
    _save(bench)  # nothing changed: no line
    assert len(bench.journal()) == count
    _save(bench, **{"slack-left-1": ""})
    assert bench.journal()[-1] == "Rods: axles 1 and 2, left, slack of the axle boxes not given any more."


def test_a_wheel_not_bored_yet_is_to_be_bored_first(bench: Bench) -> None:
    bench.metric(throw="25.4")
    _save(bench, **_rods(bench, 1, clearance="0.06"))
    html, own = bench.whole(PAGE), bench.id("W3")
    assert "Throw of W3 (axle 2, left): W3 is not bored yet, bore it first." in _at(html, "missing")
    assert f'href="/castings/{own}">To W3</a>' in html and "Log the throw of W3" not in html
    _on_axles(bench, "W3", "bored")
    assert f'href="/castings/{own}/throw">Log the throw of W3</a>' in bench.whole(PAGE)
    assert f'id="throw-{own}"' in bench.get(f"/castings/{own}/throw")


def test_heights_from_before_a_wheel_was_pressed_again_are_not_measured(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    page = _save(bench, **_rods(bench, 1, clearance="0.06"))
    assert "fold-missing" not in Words(page).by_id
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute(
            "UPDATE tick SET at = '2999-01-01 10:00:00.000000' WHERE key = 'pressed' AND casting_id = 3"
        )
    page = bench.whole(PAGE)
    words = "Quarter angle of axle 2: measured before W3 was last ticked “Pressed”: measure again."
    assert words in _at(page, "missing")
    # By the drawing's 90 degrees there is nothing to bind.
    assert "They would go round, if what is not measured yet is as taken here" in _at(page, "answer")


def test_an_axle_set_again_has_a_height_to_come_to_the_same_on_its_own_sheet(bench: Bench) -> None:
    """Axle 2 comes from 90.45 to its fellows' 90.02: its right pin, 45 degrees up in front, goes back, that is up, by
    0.43 degrees: from 60 + 25.4 sin 45 = 77.9605 to 60 + 25.4 sin 45.43 = 78.0948."""
    _start(bench, 3)
    _throws(bench, "W1 W2 W3 W4 W5 W6")
    for axle, angle in enumerate((90.02, 90.45, 90.02), 1):
        _heights(bench, axle, angle)
    plan = _at(_save(bench, **_rods(bench, 1, 2, clearance="0.05")), "plan")
    then = 60 + 25.4 * math.sin(math.radians(45.43))
    turn = (
        "Seen from the right side, turn the right wheel anticlockwise (backwards) by 0.43 degrees, 0.191 mm (0.0075 in)"
        f" at the crankpin: with the axle as it lies the pin goes from 77.961 mm (3.0693 in) to {then:.3f} mm"
    )
    assert turn in plan and turn in _said(bench.whole("/axles/2/quartering"))
    # Axle 1 is within 0.1 degrees of 90 and not to be set again: its own sheet turns nothing.
    assert "Nothing needs turning." in _said(bench.get("/axles/1/quartering"))


def test_an_axle_good_by_itself_is_turned_where_its_fellows_stand_otherwise(bench: Bench) -> None:
    """Two at 90.40 and one at the drawing's 90: it is that one which frees the rods, and its own sheet says so too."""
    _start(bench, 3)
    _throws(bench, "W1 W2 W3 W4 W5 W6")
    for axle, angle in enumerate((90.4, 90.0, 90.4), 1):
        _heights(bench, axle, angle)
    order = "Axle 2: set its right wheel forwards by 0.40 degrees, 0.177 mm (0.0070 in) at the crankpin."
    assert _at(_save(bench, **_rods(bench, 1, 2, clearance="0.05")), "again").startswith(order)
    assert _at(bench.get("/builds/1/quartering"), "again").startswith(order)
    own = _said(bench.get("/axles/2/quartering"))
    assert "Good: 90.00°" in own and "Nothing needs turning" not in own
    assert "(forwards) by 0.40 degrees, 0.177 mm (0.0070 in) at the crankpin" in own
    # Its fellow is outside the drawing's limits, and is told whose turn it is.
    assert f"For the rods it may stay as it is. {order}" in _said(bench.get("/axles/1/quartering"))


def test_axles_that_do_not_agree_are_let_be_where_the_rods_go(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4", expanded_nm=0)
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    assert _at(bench.get("/builds/1/quartering"), "again").startswith("Axle 2: set its right wheel backwards")
    _save(bench, **_rods(bench, 1, clearance="0.2"), within="0", within_clearance="0")
    page = bench.get("/builds/1/quartering")
    assert "Take care: the axles do not quite agree, 0.30°" in _said(page)
    assert _at(page, "again") == "The rods go round as the axles stand: none needs to be set again."
    assert "Set it again" not in page


def test_while_an_angle_is_missing_no_axle_is_set_to_the_drawing_s(bench: Bench) -> None:
    """Two axles stand alike; the third is taken from the drawing, so nothing says that it, or they, are out."""
    _start(bench, 3)
    _throws(bench, "W1 W2 W3 W4 W5 W6")
    for axle in (1, 2):
        _heights(bench, axle, 90.4)
    page = _save(bench, **_rods(bench, 1, 2, clearance="0.05"))
    assert "Not all is measured; as taken here, the rods bind" in _at(page, "answer")
    assert "again" not in Words(page).by_id
    assert "Good: the axles agree" in _said(bench.get("/builds/1/quartering"))


def test_the_height_is_said_for_the_wheel_that_is_loose(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("DELETE FROM tick WHERE key = 'pressed' AND casting_id = ?", (bench.id("W3"),))
    said = _at(_save(bench, **_rods(bench, 1, clearance="0.06")), "remedies")
    assert "turn the left wheel anticlockwise (forwards) by 0.30 degrees" in said
    assert "Axle 2: set its left wheel forwards by 0.30 degrees" in said
    assert "Axle 2: set its left wheel forwards" in _at(bench.whole("/builds/1/quartering"), "again")


NONSENSE: tuple[tuple[dict[str, str], str, str], ...] = (
    ({"rod-left-1": "20"}, "rod-left-1", "no longer than the throw of 25.400 mm (1.0000 in)"),
    ({"rod-right-1": "25.4"}, "rod-right-1", "type the distance between its bush centres"),
    ({"centre-left-1": "25", "rod-left-1": ""}, "centre-left-1", "no longer than the throw"),
    ({"rod-left-1": "0"}, "rod-left-1", "more than nothing"),
    ({"rod-left-1": "-150"}, "rod-left-1", "has a sign"),
    ({"rod-left-1": "nan"}, "rod-left-1", "nan"),
    ({"rod-left-1": "９９９"}, "rod-left-1", "such as"),
    ({"rod-left-1": "4 m"}, "rod-left-1", "such as"),
    ({"rod-left-1": "3001"}, "rod-left-1", "is the unit right"),
    ({"rod-left-1": "152"}, "rod-left-1", "from the axle centres: measure both again"),
    ({"slack-left-1": "2"}, "slack-left-1", "measure it again"),
    ({"clearance-right-1": "2"}, "clearance-right-1", "measure it again"),
    ({"clearance-left-1": "", "bush_front-left-1": "0.02"}, "bush_rear-left-1", "Type this bush too"),
    ({"bush_front-left-1": "0.02", "bush_rear-left-1": "0.02"}, "clearance-left-1", "come to 0.040 mm"),
    ({"within": "2"}, "within", "is the unit right"),
    ({"within": "about"}, "within", "such as"),
    ({"within_clearance": "2"}, "within_clearance", "is the unit right"),
    ({"within_clearance": "-0.1"}, "within_clearance", "has a sign"),
)  # fmt: skip


def test_nonsense_is_refused_beside_its_field(bench: Bench) -> None:
    _start(bench)
    _save(bench, **_left(clearance="0.06"))
    form = form_on(bench.whole(PAGE), PAGE)
    for changes, field, words in NONSENSE:
        typed = form.filled(**changes)
        assert words in bench.refused(partial(bench.post, PAGE, typed)).at(field), changes
    page = bench.post(PAGE, form.filled(**_both(1, rod="20"))).text
    assert 'name="rod-left-1" value="20"' in page


def test_nobody_is_at_the_bench(bench: Bench) -> None:
    _start(bench)
    bench.client.cookies.clear()
    said = bench.refused(partial(bench.send, PAGE, PAGE, **_rods(bench, 1), who=""))
    assert "initials" in said.at("who")


def test_sent_twice_it_is_stored_once_and_an_old_page_is_refused(bench: Bench) -> None:
    _start(bench)
    form = form_on(bench.whole(PAGE), PAGE).filled(**_rods(bench, 1))
    assert bench.post(PAGE, form).status_code == 303
    count = len(bench.journal())
    assert bench.post(PAGE, form).status_code == 303
    other = bench.refused(lambda: bench.post(PAGE, {**form, "rod-left-1": "151"}), 409)
    assert "“150” was stored, now it says “151”" in other.text
    assert len(bench.journal()) == count
    assert bench.one("SELECT nm FROM rod_figure WHERE key = 'rod'") == 150_000_000
    old = {**form, "token": "0" * 32, "page": "f" * 12, "rod-left-1": "150.1"}
    said = bench.refused(lambda: bench.post(PAGE, old), 409)
    assert "Nothing of yours was stored" in said.text


def test_a_forged_axle_is_passed_over_and_another_build_is_not_found(bench: Bench) -> None:
    _start(bench)
    _save(bench, **_rods(bench, 1), **{"rod-left-99": "150", "rod-up-1": "3", "nonsense": "1"})
    assert {axle for (axle,) in bench.rows("SELECT axle_id FROM rod_figure")} == {1}
    assert bench.client.get("/builds/99/rods").status_code == 404
    assert bench.post("/builds/99/rods", {"who": "AB"}).status_code == 404


@pytest.mark.parametrize(("coupled", "words"), [("1", "One coupled axle has no rods."), ("1 2", "")])
def test_one_coupled_axle_has_no_rods(bench: Bench, coupled: str, words: str) -> None:
    _start(bench, coupled=coupled)
    page = bench.whole(PAGE)
    assert words in _said(page)
    assert ("One coupled axle has no rods." in _said(page)) == bool(words)
    if words:
        assert bench.post(PAGE, {"who": "AB", "seen": "1"}).status_code == 303
        assert bench.rows("SELECT * FROM rod_figure") == []


def test_carrying_axles_are_passed_over_and_every_number_is_the_engine_s_own(bench: Bench) -> None:
    _start(bench, 4, coupled="2 4")
    _throws(bench, "W3 W4 W7 W8")
    _heights(bench, 2, 90.0)
    _heights(bench, 4, 90.3)
    page = bench.whole(PAGE)
    assert "rods-2" in page
    assert "rods-4" not in page
    page = _save(bench, **_rods(bench, 2, clearance="0.06"))
    assert "axles 2 and 4 lack 0.035 mm" in _at(page, "answer")
    assert "Axle 4: set its right wheel backwards by 0.30 degrees" in _at(page, "again")
    assert "axle 4 is 0.30 degrees wider than axle 2" in _said(page)
    assert not re.search(r"\b[Aa]xles? (1|3)\b", _said(page))
    said = bench.refused(partial(bench.send, PAGE, PAGE, **{"rod-left-2": "20"}))
    assert "left rod of axles 2 and 4" in said.at("rod-left-2")


def test_more_than_six_coupled_axles_are_said_not_judged(bench: Bench) -> None:
    _start(bench, 7)
    page = _save(bench, **_rods(bench, *range(1, 7)))
    assert "rods couple two to six" in _at(page, "answer")
    assert "There is nothing to turn yet" not in page


def test_how_unsure_the_measurements_are_can_leave_it_open(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0, expanded_nm=20_000)
    _heights(bench, 2, 90.3, expanded_nm=20_000)
    page = _save(bench, **_rods(bench, 1, clearance="0.09"), within="0.02")
    assert "By the figures as typed, cannot tell whether the rods go round" in _at(page, "answer")
    assert "again" in _at(page, "pair-1")
    assert "Quarter angle of axle 2" in _at(page, "pair-1")
    assert "the throws of W1, W2, W3, W4" in _at(page, "exact")
    assert "heights of axle 1" not in _at(page, "exact")


def test_heights_that_cannot_be_or_the_wrong_crank_ahead(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _save(bench, **_rods(bench, 1, clearance="0.06"))
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.0, throw=40.0)  # the pins further off the axle than their throw
    page = bench.whole(PAGE)
    assert "Quarter angle of axle 2, for the heights logged cannot be" in _at(page, "missing")
    assert "would go round" in _at(page, "answer")
    _heights(bench, 2, 90.0)
    with closing(connect(bench.db.path)) as connection, connection:
        swap = "UPDATE reading SET direction = CASE direction WHEN 'front' THEN 'rear' ELSE 'front' END WHERE place = ? AND"
        last = (
            " measurement_id = (SELECT max(id) FROM measurement WHERE kind = 'pin_heights' AND axle_id = 2)"
        )
        connection.executemany(swap + last, [("left",), ("right",)])
    page = bench.whole(PAGE)
    assert "Axle 2: The left pin is 90.00 degrees ahead and should be behind" in _at(page, "answer")


def test_quarter_angles_too_far_apart_lead_to_the_quartering(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _save(bench, **_rods(bench, 1, clearance="0.06"))
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 94.0)
    answer = _at(bench.whole(PAGE), "answer")
    assert "more than 3 degrees apart: read both again" in answer
    assert 'href="/axles/2/quartering">To the quartering of axle 2</a>' in bench.get(PAGE)


def test_three_cylinders_at_120_degrees(bench: Bench) -> None:
    _start(bench, quarter_angle="120")
    _throws(bench, "W1 W2 W3 W4")
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("INSERT INTO work_figure VALUES (1, 'cylinders', '3')")
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    assert cranks_of(build).before_right[1][1] == 240.0
    left, right = (round((60 + THROW * math.sin(math.radians(at))) * MM) for at in (30 + 120.1, 30.0))
    for axle in (1, 2):
        bench.heights(axle, 60 * MM, left, right, expanded_nm=0, at=AT)
    page = _save(bench, **_rods(bench, 1, clearance="0.01"))
    assert "By the figures as typed, the rods go round" in _at(page, "answer")


def test_the_angle_from_the_heights_and_its_uncertainty(bench: Bench) -> None:
    """By hand: pins 45 degrees from level, U of a height 10 um: each pin 0.010 / (25.4 cos 45) = 0.03 degrees, and
    the axle's own height in both pins, which stand on opposite sides of it: 0.0638; together hypot = 0.0781."""
    _start(bench)
    _throws(bench, "W1 W2")
    _heights(bench, 1, 90.0, expanded_nm=10_000)
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    sheet = facts_of(build).quartering.of(build.axles[0]).sheet
    assert sheet is not None
    assert sheet.quarter.angle_deg == pytest.approx(90.0, abs=1e-5)
    assert sheet.quarter.expanded_deg == pytest.approx(0.0781, abs=1e-4)
    assert facts_of(build).quartering.of(build.axles[1]).sheet is None
    assert build.unit is Unit.MM
    _heights(bench, 1, 90.0, throw=40.0)
    with bench.db.read() as session:
        build = load_build(session, 1)
    assert build is not None
    found = facts_of(build).quartering.of(build.axles[0])
    assert found.sheet is None and isinstance(found.error, QuarteringError)


def test_the_picture_is_stepped_by_links_and_by_a_figure(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    page = _save(bench, **_rods(bench, 1, clearance="0.06"))
    # A wider second axle is tightest where both sides' lever arms are alike: 45 degrees from the dead centres.
    shown = re.search(r"([\d.]+) degrees:", _at(page, "turn"))
    assert shown is not None
    assert float(shown.group(1)) % 90 == pytest.approx(45.0, abs=0.6)
    assert "Binds here: " in _at(page, "turn")
    page = bench.get(f"{PAGE}?crank=0")
    assert "0 degrees: with the left crank at front dead centre" in _at(page, "turn")
    assert "Binds here" not in _at(page, "turn")
    for crank in ("15", "1", "359", "345"):
        assert f'href="{PAGE}?crank={crank}#turn"' in page
    piece = bench.client.get(f"{PAGE}?crank=45,5&open=now", headers=HX)
    assert piece.status_code == 200
    assert piece.text.lstrip().startswith("<section")
    assert "45.5 degrees:" in _at(piece.text, "turn")
    assert "is lacking" in _at(piece.text, "rods-now")


def test_a_crank_position_that_is_none(bench: Bench) -> None:
    _start(bench)
    _save(bench, **_rods(bench, 1))
    for crank in ("abc", "-1", "361", "1e9", "９", "nan", "1" * 500):
        for headers in ({}, HX):
            answer = bench.client.get(PAGE, params={"crank": crank}, headers=headers)
            assert answer.status_code == 422
            assert "from 0 to 360" in Words(answer.text).at("crank")


def test_unlike_bushes_bind_in_the_picture_only_where_the_verdict_says_so(bench: Bench) -> None:
    """The close left bushes are helped by the free right ones: the best phase is the one that serves both."""
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    figures = {**_rods(bench, 1), "clearance-left-1": "0.06", "clearance-right-1": "0.134"}
    page = _save(bench, **figures)
    assert "By the figures as typed, the rods go round" in _at(page, "answer")
    for crank in range(0, 360, 15):
        assert "Binds here" not in bench.get(f"{PAGE}?crank={crank}")


def test_the_line_for_the_build_s_sheet(bench: Bench) -> None:
    _start(bench)

    def line() -> tuple[str, str]:
        with bench.db.read() as session:
            build = load_build(session, 1)
            assert build is not None
            found = facts_of(build).rods.line
        assert found is not None
        assert found.address == PAGE
        return found.words, found.state

    _save(bench, **{"clearance-left-1": "0.06"})
    assert line() == ("Not judged yet: type the axle centres and the rods of axles 1 and 2.", "caution")
    _save(bench, **_rods(bench, 1, clearance="0.06"))
    assert line()[1] == "caution"
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    assert line() == (
        "By the figures as typed, the rods bind: axles 1 and 2 lack 0.035 mm (0.0014 in) of clearance, "
        "both bushes added.",
        "not",
    )
    _heights(bench, 2, 90.0)
    assert line() == ("By the figures as typed, the rods go round.", "serves")
    assert RodsAnswer.GOES.value == "goes"


def _unlike(bench: Bench) -> None:
    """Three axles whose W1 is 0.254 mm longer and W6 0.127 mm shorter, rods 0.002 mm too long, play 0.02 mm."""
    _start(bench, 3)
    _throws(bench, "W1", 25_654_000)
    _throws(bench, "W6", 25_273_000)
    _throws(bench, "W2 W3 W4 W5")
    for axle, left, right in ((1, 25.654, 25.4), (2, 25.4, 25.4), (3, 25.4, 25.273)):
        heights = [
            round((60 + throw * math.sin(math.radians(at))) * MM) for throw, at in ((left, 135), (right, 45))
        ]
        bench.heights(axle, 60 * MM, heights[0], heights[1], expanded_nm=0, at=AT)


def test_unlike_throws_are_named_first_and_no_trifle_is_a_cure(bench: Bench) -> None:
    """A rod between two throws needs their difference in play: 0.254 less 0.020 lacks, boring gains no 0.01."""
    _unlike(bench)
    page = _save(bench, **_rods(bench, 1, 2, rod="150.003", clearance="0.04"))
    answer = _at(page, "answer")
    words = (
        "The left throws lie 0.254 mm (0.0100 in) apart, W1 longer than its fellows; the right throws lie"
        " 0.127 mm (0.0050 in) apart, W6 shorter than its fellows: nothing else frees the rods."
    )
    assert words in answer and page.index('id="throws-first"') < page.index("Axles 1 and 2: bind")
    assert 'href="/builds/1/crankpins#throws"' in page
    assert 'id="fold-plan"' not in page and "One correction" not in page


def test_throws_are_not_blamed_for_a_quartering_that_differs(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1", 25_402_000)
    _throws(bench, "W2 W3 W4")
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    page = _save(bench, **_rods(bench, 1, clearance="0.06"))
    assert "The throws differ" not in _at(page, "answer") and "Then all rods go round." in _at(page, "again")


def test_three_cylinders_against_the_drawing_are_said_first(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.0)
    _save(bench, **_rods(bench, 1, clearance="0.06"))
    assert 'id="odd"' not in bench.whole(PAGE)
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("INSERT INTO work_figure VALUES (1, 'cylinders', '3')")
    page = bench.whole(PAGE)
    assert (
        "three cylinders, which stand 120 degrees apart; the drawing says 90: change one of the two."
        in _at(page, "odd")
    )
    assert page.index('id="odd"') < page.index('id="answer"')
    assert "read the heights again" not in _said(page) and ".." not in _said(page)
    assert 'href="/builds/1/figures#quarter"' in page and 'href="/builds/1/edit"' in page


def test_no_sentence_ends_in_two_full_stops(bench: Bench) -> None:
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _save(bench, **_rods(bench, 1, clearance="0.06"))
    _heights(bench, 1, 90.0, throw=40.0)
    page = bench.whole(PAGE)
    assert "for the heights logged cannot be" in _at(page, "missing") and ".." not in _said(page)


def test_the_answer_comes_first_and_the_rest_is_folded(bench: Bench) -> None:
    _unlike(bench)
    _save(bench, **_rods(bench, 1, 2, rod="150.003", clearance="0.04"))
    page = bench.get(PAGE)
    main = page.index('<main class="sheet"')
    assert (
        main
        < page.index('class="verdict-line"')
        < page.index("<svg", main)
        < page.index('class="fold"', main)
    )
    folds = folds_on(page)
    assert set(folds) == {
        f"slip-{name}"
        for name in ("now", "play", "remedies", "pair-1", "pair-2", "boring", "figures", "cautions")
    }
    assert "<table" not in page and not [form for form in forms_on(page) if form.action == PAGE]
    assert page.count("<svg", main) == 1
    for own, address in folds.items():
        assert Words(bench.get(address)).by_id[own]


def test_what_is_open_stays_open_while_the_wheels_are_turned(bench: Bench) -> None:
    _start(bench)
    _save(bench, **_rods(bench, 1))
    page = bench.get(f"{PAGE}?crank=30&open=play")
    assert f'href="{PAGE}?crank=45&amp;open=play#turn"' in page and "now 30" in page
    # Other things are folded with it: htmx takes them from the whole page.
    piece = bench.client.get(f"{PAGE}?open=figures", headers=HX)
    assert 'id="slip-figures"' in piece.text and form_on(piece.text, PAGE)
    piece = bench.client.get(f"{PAGE}?crank=30&open=play", headers=HX)
    assert piece.text.lstrip().startswith("<section") and "now 30" in piece.text


def test_what_is_not_measured_is_a_count_and_the_first_of_it_the_thing_to_do(bench: Bench) -> None:
    """Two axles: four throws and two angles; the first is logged where the button leads."""
    _start(bench)
    page = _save(bench, **_rods(bench, 1, clearance="0.06"))
    assert _at(page, "fold-missing").startswith("Not measured, so taken from the drawing or as said: 6")
    own = bench.id("W1")
    assert f'class="button primary" href="/castings/{own}/throw">Log the throw of W1</a>' in bench.get(PAGE)


def test_what_the_rods_are_bored_to(bench: Bench) -> None:
    """Centres as measured, not the rods' own; 0.0471 mm of play over a pin of 9 mm for 0.30 degrees at 25.4 mm."""
    _start(bench)
    _throws(bench, "W1 W2 W3 W4")
    _heights(bench, 1, 90.0)
    _heights(bench, 2, 90.3)
    page = _save(bench, **_left(rod="150.06", centre=""))
    assert "Bore the rods to" not in _said(page)  # nobody measured the axle centres
    page = _save(bench, **{**_left(centre="150.02", rod="150.06"), "centre-right-1": "149.98"})
    boring = _at(page, "boring")
    assert "1 and 2, left150.020 mm (5.9063 in)8.047 mm (0.3168 in)8.047 mm (0.3168 in)" in boring
    assert "1 and 2, right149.980 mm (5.9047 in)8.047 mm" in boring
    assert "as large as the drawing's crankpin hole" in boring
    assert bench.send("/builds/1/joints", "/builds/1/joints", pin_journal="9.5 mm").status_code == 303
    boring = _at(bench.whole(PAGE), "boring")
    assert "9.547 mm (0.3759 in)9.547 mm" in boring
    assert "Pins as typed for the joints" in boring


def test_a_bush_is_typed_as_it_was_bored(bench: Bench) -> None:
    """Its pin of 9.5 mm is taken off by the sheet; one below its pin is refused beside its field."""
    _start(bench)
    assert bench.send("/builds/1/joints", "/builds/1/joints", pin_journal="9.5 mm").status_code == 303
    _save(bench, **_rods(bench, 1), **_both(1, bush_front="9.547", bush_rear="0.05"))
    kept = "SELECT DISTINCT nm FROM rod_figure WHERE key = ?"
    assert [bench.one(kept, key) for key in ("bush_front", "bush_rear")] == [47_000, 50_000]
    answer = bench.send(PAGE, PAGE, **{"bush_front-left-1": "9.4"})
    assert answer.status_code == 422
    assert "Its pin is 9.500 mm" in Words(answer.text).by_id["bush_front-left-1-error"]


def test_figures_that_agree_with_no_drawing_are_said_in_place_of_a_table(bench: Bench) -> None:
    """No sound metal is left round a hole of 8 mm by a ring of 5."""
    _start(bench)
    _save(bench, **_rods(bench, 1))
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("INSERT INTO joint_figure (build_id, key, text) VALUES (1, 'pin_boss', '5 mm')")
    boring = _at(bench.whole(PAGE), "boring")
    assert "The metal round the crankpin's hole, 5.000 mm" in boring
    assert "Front bush" not in boring


def test_an_engine_that_cannot_be_is_told_once_and_has_no_table(bench: Bench) -> None:
    """A throw logged a fifth larger than its fellow's: told at the head, and nothing is bored to it."""
    _start(bench)
    _save(bench, **_rods(bench, 1))
    _throws(bench, "W1", 30_480_000)
    page = bench.whole(PAGE)
    assert "measure both again" in _at(page, "answer")
    assert 'id="boring"' not in page


def test_where_boring_a_rod_frees_them_nothing_else_is_blamed(bench: Bench) -> None:
    """The right throws are 0.020 mm apart and the right rod is as much too short: the rod cures it, and is what is told."""
    _start(bench)
    _throws(bench, "W1 W3 W4")
    _throws(bench, "W2", 25_420_000)
    for axle in (1, 2):
        _heights(bench, axle, 90.0)
    figures = {**_both(1, centre="150", rod="150", clearance="0.05"), "centre-right-1": "150.02"}
    page = _save(bench, **figures)
    assert "right 0.020 mm (0.0008 in) longer. Then all rods go round." in _at(page, "again")
    assert "throws-first" not in page and "comes from there" not in _said(page)
    assert "No setting and no boring of a rod cures" not in _said(page)
    # What is lacking, added to what stands in the field, is enough.
    told = re.search(r"lack ([\d.]+) mm", _at(page, "answer"))
    assert told is not None
    more = f"{0.05 + float(told[1]):.3f}"
    page = _save(bench, **{**figures, **_both(1, clearance=more)})
    assert "the rods go round" in _at(page, "answer")
    # Next to nothing is in hand then, so it is no plain yes.
    assert 'data-answer="caution"' in page and "in hand" in _at(page, "answer")
