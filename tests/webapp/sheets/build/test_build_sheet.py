"""The sheet of a build at first sight: what is next, what was done last, what is not right, the engine; all else folded."""

import re

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import PIN_FIGURES, Bench, Words, form_on, forms_on
from webapp.db import Db
from webapp.typed.rods import name_of

PLAN = "/builds/1/batches"
FOLDS = {"more-castings": "Their marks", "drawing": "As typed"}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def test_what_is_next_comes_first_and_all_else_in_its_order(bench: Bench) -> None:
    page = bench.get("/builds/1")
    order = [page.index(mark) for mark in (
        'class="bar"', 'id="next"', 'id="last-done"', 'class="engine"', 'id="stock"', 'class="build-sheets"',
        'id="fold-more-castings"', 'id="fold-drawing"', 'id="diary"',
    )]  # fmt: skip
    assert order == sorted(order)
    assert page.count("button primary") == 1
    assert Words(page).by_id["tally"] == "0 of 28 stages done"


def test_before_anything_is_opened_no_form_and_no_table_stands_there(bench: Bench) -> None:
    page = bench.get("/builds/1")
    assert {form.action for form in forms_on(page)} == {"/who", PLAN}
    assert "<table" not in page and "<ol" not in page.partition("<main")[2]
    for own, words in FOLDS.items():
        assert words not in Words(page).by_id[f"fold-{own}"]
        opened = bench.get(f"/builds/1?open={own}")
        assert words in Words(opened).by_id[f"slip-{own}"]
        for other in FOLDS.keys() - {own}:
            assert f"slip-{other}" not in {key for key, said in Words(opened).by_id.items() if said.strip()}


def test_begin_starts_the_batch_and_go_on_leads_back_to_it(bench: Bench) -> None:
    data = form_on(bench.get("/builds/1"), PLAN).filled(wish="start")
    assert bench.post(PLAN, data).headers["location"] == "/batches/1"
    page = bench.get("/builds/1")
    assert '<a class="button primary" href="/batches/1">Go on</a>' in page
    assert PLAN not in {form.action for form in forms_on(page)}
    said = Words(page).by_id["next"]
    assert "Next, at the bench, with stamps, chalk and rule: 0 of 6 done" in said
    assert "W1, W2, W3, W4, W5, W6: look over and mark" in said
    assert f'href="{PLAN}"' in page


def test_a_wheel_left_over_of_a_batch_is_told(bench: Bench) -> None:
    data = form_on(bench.get("/builds/1"), PLAN).filled(wish="start")
    bench.post(PLAN, data)
    bench.send("/batches/1", "/batches/1/pass")
    for mark in ("W2", "W3", "W4", "W5", "W6"):
        bench.tick(mark, "received")
    page = bench.get("/builds/1")
    assert re.search(r'href="/batches/1"><strong>Left over of the last batch: W1</strong>', page)
    assert "Begin" in Words(page).by_id["next"]


@pytest.mark.parametrize("what", ["tick", "bore", "seat", "scrap", "figures", "quartered"])
def test_whatever_was_done_last_stands_there(bench: Bench, what: str) -> None:
    """Every tick and every reading counts, of whatever it is, and is told once."""
    if what == "quartered":
        bench.quartered()
        said = "Axle 1: Ticked axle 1 quartered."
    elif what == "seat":
        assert bench.seat(2, "right", "19.05 mm").status_code == 303
        said = "Axle 2: Logged the seat at axle 2, right end"
    elif what == "scrap":
        assert bench.scrap("W3").status_code == 303
        said = "Axle 2: Scrapped W3 at axle 2, left, because: cracked."
    elif what == "figures":
        assert bench.send("/builds/1/joints", "/builds/1/joints", bore_within="0.03 mm").status_code == 303
        said = "Changed what the joints are judged by"
    else:
        bench.tick("W2", "received", "back_faced", "bored")
        said = "W2: Ticked bored."
        if what == "bore":
            assert bench.log("W2", "bore", "19.08").status_code == 303
            said = "W2: Logged the bore: read 19.08"
    line = Words(bench.get("/builds/1")).by_id["last-done"]
    assert line.startswith("Last done") and said in line
    at, who = bench.rows("SELECT at, who FROM journal_line ORDER BY id DESC")[0]
    assert f"{who}, " in line and at[:4] in line
    assert Words(bench.get("/")).text.count(said) == 1


def test_the_engine_is_seen_from_the_right_its_front_to_the_right(bench: Bench) -> None:
    page = bench.get("/builds/1")
    engine = page[page.index('class="engine"') : page.index('id="stock"')]
    assert re.findall(r'<span class="mark">(\w+)</span>', engine) == ["W4", "W2", "W3", "W1"]
    assert re.findall(r"<span>([^<]+)</span> <span>front →", engine) == [
        "right side", "left side, seen through",
    ]  # fmt: skip
    for own in range(1, 5):
        assert f'href="/axles/{(own + 1) // 2}#wheel-{own}"' in engine


def test_the_wheel_that_is_next_and_the_one_that_is_not_right_are_marked(bench: Bench) -> None:
    bench.bored("W1", bore="19.60 mm")
    for mark in ("W2", "W3"):
        bench.tick(mark, "received")
    page = bench.get("/builds/1")
    places = dict(re.findall(r'#wheel-(\d)"\s*data-state="([\w-]+)"', page))
    assert places == {"1": "amiss", "2": "in-work", "3": "in-work", "4": "in-work"}
    # W4 and the spares are still to be looked over.
    assert re.findall(r'#wheel-(\d)"\s*data-state="[\w-]+" data-next', page) == ["4"]


@pytest.mark.parametrize("route", ["fitted_first", "front_first"])
def test_a_bore_that_came_out_too_large_is_not_bored_again(client: TestClient, db: Db, route: str) -> None:
    """Ticked bored or not, no wheel that is not right is on next, and its own line says what is to be done."""
    bench = Bench(client, db).sit_down()
    bench.metric(route=route)
    for mark in ("W1", "W2", "W3", "W4", "W5", "W6"):
        bench.tick(mark, "received", *(("back_faced",) if route == "fitted_first" else ()))
    assert bench.log("W1", "bore", "19.60 mm").status_code == 303
    page = bench.get("/builds/1")
    assert "Not right:\nW1 is 0.500 mm too slack on axle 1</strong>" in page
    tile = page.partition('#wheel-1"')[2].partition("</a>")[0]
    assert 'data-state="amiss"' in tile and "data-next" not in tile and "On next" not in tile
    assert "next: settle the fit" in tile
    assert "W2, W3, W4: set true" in Words(page).by_id["next"]
    plan = Words(bench.whole(PLAN)).text
    assert plan.index("W2axle 1") < plan.index("First put right") < plan.index("W1 is 0.500 mm too slack")
    assert "W1axle 1, left" not in plan
    # Misread, and too small: it only wants another cut.
    assert bench.log("W1", "bore", "19.04 mm", meant="19040000").status_code == 303
    page = bench.get("/builds/1")
    assert "Not right" not in page and page.count("next: bored") == 4
    assert "W1, W2, W3, W4: set true" in Words(page).by_id["next"]


def _next_of(page: str, own: int) -> str:
    found = re.search(r"; next: ([^<]+)<", page.partition(f'#wheel-{own}"')[2].partition("</a>")[0])
    return found[1] if found else ""


def _hole_at_head(bench: Bench) -> set[int]:
    """The wheels that the axle's sheet says a crankpin hole is next of."""
    page = Words(bench.get("/axles/1"))
    return {own for own in (1, 2) if "; next crankpin hole" in page.by_id[f"wheel-{own}"]}


@pytest.mark.parametrize("route", ["fitted_first", "mandrel_first", "front_first", "between_centres"])
@pytest.mark.parametrize("way", ["before", "after", "jig"])
def test_a_wheel_says_its_crankpin_hole_where_the_plan_drills_it_first(
    client: TestClient, db: Db, route: str, way: str
) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(route=route, axles="1", coupled="1", castings="2")
    assert bench.send("/builds/1/figures", "/builds/1/figures", pins=way).status_code == 303
    bench.tick("W1", "received", *(("bored",) if route == "front_first" else ("back_faced", "bored")))
    bench.tick("W2", "received", *(("bored",) if route == "front_first" else ("back_faced", "bored")))
    for mark in ("W1", "W2"):
        assert bench.log(mark, "bore", "19.08 mm").status_code == 303
    page = bench.get("/builds/1")
    drilled = {own for own in (1, 2) if _next_of(page, own) == "crankpin hole"}
    # The second hole of an axle is left to the quartering jig.
    assert drilled == ({1} if way == "jig" else {1, 2}) == _hole_at_head(bench)
    first = Words(page).by_id["next"]
    assert ", ".join(f"W{own}" for own in sorted(drilled)) + ": drill the crankpin hole" in first
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28.01 mm").status_code == 303
    page = bench.get("/builds/1")
    assert "crankpin hole" not in {_next_of(page, 1), _next_of(page, 2)}
    assert _hole_at_head(bench) == set()


def test_with_the_mandrel_set_up_the_line_says_the_tread_that_the_plan_turns(
    client: TestClient, db: Db
) -> None:
    """Hole and tread can both come first: line and plan ask the same, on the build's sheet and on the casting's."""
    bench = Bench(client, db).sit_down()
    bench.metric(route="mandrel_first", axles="1", coupled="1", castings="2")
    bench.bored("W1", "W2")
    assert "next crankpin hole" in Words(bench.get("/castings/1")).text
    bench.put_batch("mandrel", 1, 2)
    page = bench.get("/builds/1")
    assert "W1, W2: turn the tread" in Words(page).by_id["next"]
    assert [_next_of(page, own) for own in (1, 2)] == ["tread turned"] * 2
    assert "next tread turned" in Words(bench.get("/castings/1")).text
    # One that is left for later is not on the mandrel: its hole comes first again.
    assert bench.send("/batches/1?at=1", "/batches/1/pass").status_code == 303
    page = bench.get("/builds/1")
    assert "W2: turn the tread" in Words(page).by_id["next"]
    assert [_next_of(page, own) for own in (1, 2)] == ["crankpin hole", "tread turned"]
    assert _hole_at_head(bench) == {1}
    assert bench.send("/batches/1", "/batches/1/end").status_code == 303
    assert [_next_of(bench.get("/builds/1"), own) for own in (1, 2)] == ["crankpin hole"] * 2


def test_a_wheel_pressed_without_its_hole_is_not_sent_to_the_crankpin_jig(bench: Bench) -> None:
    bench.bored("W1", "W2", "W3", "W4")
    bench.tick("W1", "pressed")
    page = bench.get("/builds/1")
    assert _next_of(page, 1) == "tread turned" and _next_of(page, 2) == "crankpin hole"
    assert _hole_at_head(bench) == {2}
    assert "W2, W3, W4: drill the crankpin hole and log the throw" in Words(page).by_id["next"]
    plan = " ".join(Words(bench.whole(PLAN)).text.split())
    assert "drill the crankpin hole of W1 on its axle with the quartering jig and log the throw" in plan


def test_of_a_form_with_many_figures_it_is_said_that_it_was_changed(bench: Bench) -> None:
    """Last done is read at a glance, on the list too: the diary has each figure."""
    joints = "/builds/1/joints"
    assert bench.send(joints, joints, pin_boss="18 mm").status_code == 303
    one = "Changed what the joints are judged by: "
    assert bench.journal()[-1].startswith(one)
    for page in ("/", "/builds/1"):
        assert bench.journal()[-1] in Words(bench.get(page)).text
    assert bench.send(joints, joints, **PIN_FIGURES).status_code == 303
    for page in ("/", "/builds/1"):
        text = Words(bench.get(page)).text
        assert "Changed what the joints are judged by" in text and one not in text
    assert bench.journal()[-1] in Words(bench.get("/diary?of=build-1")).text


@pytest.fixture
def to_paint(bench: Bench) -> Bench:
    bench.quartered(1, ("W1", "W2"))
    bench.quartered(2, ("W3", "W4"))
    for mark in ("W5", "W6"):
        bench.tick(mark, "received")
    page = bench.get("/builds/1")
    assert "W1, W2, W3, W4: paint" in Words(page).by_id["next"] and page.count("next: painted") == 4
    return bench


def test_paint_waits_for_what_is_not_right(to_paint: Bench) -> None:
    bench = to_paint
    bench.put("bore", 19_600_000, (19_600_000, "19.6", None, None), casting_id=1)
    page = bench.get("/builds/1")
    said = Words(page).by_id["next"]
    assert (
        "Next, before any paint Put right: W1 is 0.500 mm too slack on axle 1 Paint waits for it: W1" in said
    )
    assert '<a class="button primary" href="/castings/1/bore">See to it</a>' in page
    assert page.count("button primary") == 1 and PLAN not in {form.action for form in forms_on(page)}
    # No wheel that is drawn as not right is said to be next for its paint.
    tile = page.partition('#wheel-1"')[2].partition("</a>")[0]
    assert 'data-state="amiss"' in tile and "next: put it right" in tile
    assert page.count("next: painted") == 3
    plan = bench.whole(PLAN)
    assert Words(plan).text.index("First put right") < Words(plan).text.index("W2axle 1, right")
    assert "W1axle 1, left" not in Words(plan).text and "button primary" not in plan
    assert "Put right: W1 is 0.500 mm too slack" in Words(bench.get("/")).text


def test_an_axle_quartered_wrong_is_set_again_before_its_paint(to_paint: Bench) -> None:
    bench = to_paint
    # 28.01 sin 45 is 19.806: the left pin as it should be, the right one 2 mm too high.
    bench.heights(2, 60_000_000, 79_806_000, 81_806_000, at="2099-01-01 10:00:00.000000")
    page = bench.get("/builds/1")
    said = Words(page).by_id["next"]
    assert "Put right: axle 2: set its right wheel forwards by " in said
    assert "Paint waits for it: W3, W4" in said
    assert '<a class="button primary" href="/axles/2/quartering' in page
    assert page.count("next: painted") == 2 and page.count("next: put it right") == 2


def _rods(bench: Bench, length: str) -> None:
    figures = {"centre": "140", "rod": length, "bush_front": "0.05", "bush_rear": "0.05"}
    typed = {name_of(1, side, key): text for side in ("left", "right") for key, text in figures.items()}
    assert bench.send("/builds/1/rods", "/builds/1/rods", **typed).status_code == 303


@pytest.mark.parametrize("wrong", [True, False])
def test_where_the_rods_bind_only_what_is_to_blame_is_put_right(to_paint: Bench, wrong: bool) -> None:
    """Axle 2 quartered wrong, or the rods a millimetre too long: no wheel of another axle is told to be put right."""
    bench = to_paint
    bench.heights(1, 60_000_000, 79_806_000, 79_806_000, at="2099-01-01 10:00:00.000000")
    right = 80_006_000 if wrong else 79_806_000
    bench.heights(2, 60_000_000, 79_806_000, right, at="2099-01-01 10:00:00.000000")
    _rods(bench, "140" if wrong else "141")
    page = bench.get("/builds/1")
    assert "the rods bind" in Words(page).text.lower()
    said = {own: re.findall(rf'#wheel-{own}".*?next: ([^<]+)<', page, re.S) for own in range(1, 5)}
    good, bad = ["painted, waits for axle 2"], ["put it right"]
    waits = ["painted, waits for the rods"]
    bench.put_batch("painting", 1, 2, 3, 4)
    turns = re.findall(r"</strong><span>axle \d, \w+</span>\s*<span>([^<]+)<", bench.whole("/batches/1"))
    own, other = "first to be put right", "waits for axle 2" if wrong else "waits for the rods"
    assert turns == ([other] * 2 + [own] * 2 if wrong else [other] * 4)
    assert said == ({1: good, 2: good, 3: bad, 4: bad} if wrong else dict.fromkeys(range(1, 5), waits))
    assert "Paint waits for it: W1, W2, W3, W4" in Words(page).by_id["next"]


def test_a_batch_of_paint_that_runs_waits_too(to_paint: Bench) -> None:
    bench = to_paint
    bench.post(PLAN, form_on(bench.get("/builds/1"), PLAN).filled(wish="start"))
    for own in (1, 2, 3, 4):
        bench.put("bore", 19_600_000, (19_600_000, "19.6", None, None), casting_id=own)
    page = bench.get("/builds/1")
    assert "Paint waits for it: W1, W2, W3, W4" in Words(page).by_id["next"]
    assert "Left over of the last batch: W1, W2, W3, W4" in Words(page).text
    batch = bench.get("/batches/1")
    assert "First put right" in Words(batch).text and "/batches/1/done" not in {
        one.action for one in forms_on(batch)
    }
    # Who paints it all the same is asked for a reason, as on its checklist.
    assert "/batches/1/done" in {one.action for one in forms_on(bench.get("/batches/1?at=1"))}
