"""A steel tyre through HTTP: on the pattern's drawing, logged and judged, shrunk on, and asked about at the tread's tick."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from domain.route.stages import CRANKPIN_HOLE, TYRE_ON
from tests.webapp.scenes import Bench, Words, bands_on, form_on
from webapp.db import Db

PATTERN = "/builds/1/patterns/1"
# On a tread of 110 mm; the tyre is then 7.5 mm thick, the rim as much.
CALLIPERS = {
    "kind": "value", "name": "callipers", "unit": "mm", "reach": "both", "resolution": "0.01",
    "expanded": "0.03 mm", "zero_offset": "0", "alpha": "11.5", "checked_on": "", "note": "",
}  # fmt: skip
DRAWN = {"tyre_inside": "95 mm", "rim_inside": "80 mm"}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """One axle whose drawing has steel tyres."""
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="3", marks="W1 W2 W3")
    assert draw(bench, **DRAWN).status_code == 303
    return bench


def draw(bench: Bench, **figures: str) -> Response:
    return bench.send(PATTERN, PATTERN, **figures)


def here(bench: Bench, mark: str = "W1") -> str:
    return f"/castings/{bench.id(mark)}/tyre"


def log(bench: Bench, kind: str, *readings: str, mark: str = "W1", **fields: object) -> Response:
    page = here(bench, mark)
    return bench.send(page, f"{page}/{kind}", reading=list(readings), **fields)


def measured(bench: Bench, inside: str = "94.93", centre: str = "95", mark: str = "W1") -> None:
    for kind, size in (("tyre_inside", inside), ("centre_outside", centre)):
        assert log(bench, kind, size, size, mark=mark).status_code == 303


def words(bench: Bench, mark: str = "W1") -> Words:
    return Words(bench.whole(here(bench, mark)))


def kinds(bench: Bench) -> list[str]:
    return [kind for (kind,) in bench.rows("SELECT kind FROM measurement ORDER BY id")]


# --- the drawing ---


def test_without_its_figures_a_wheel_has_no_tyre_anywhere(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="3", marks="W1 W2 W3")
    bench.bored("W1")
    said = Words(bench.get(here(bench)))
    assert said.by_id["answer"] == "W1 has no steel tyre"
    for page in ("/castings/1", "/axles/1", "/builds/1/made"):
        assert "shrunk on" not in bench.whole(page) and "/tyre" not in bench.whole(page)
    assert 'name="tyre_yield"' not in bench.whole("/builds/1/figures")
    answer = bench.post(f"{here(bench)}/tyre_inside", {"seen": "1", "reading": "94.9"})
    assert answer.status_code != 303 and kinds(bench) == ["bore"]
    assert bench.wish("W1", f"yes {TYRE_ON}").status_code == 422


def test_with_them_its_step_and_its_sheet_are_there_and_stay_through_the_build_form(bench: Bench) -> None:
    bench.bored("W1")
    assert "tyre shrunk on" in bench.get("/castings/1?steps=pressed").lower()
    assert f'href="{here(bench)}"' in bench.whole("/castings/1")
    assert 'name="tyre_yield"' in bench.whole("/builds/1/figures")
    assert bench.send("/builds/1/edit", "/builds/1/edit", name="Other").status_code == 303
    assert bench.one("SELECT count(*) FROM dimension WHERE key IN ('tyre_inside', 'rim_inside')") == 2
    assert "Tyre's inside" in Words(bench.whole("/builds/1")).text


@pytest.mark.parametrize(
    ("figures", "field", "sentence"),
    [
        ({"tyre_inside": "30 mm"}, "tyre_inside", "must be larger than the boss"),
        ({"tyre_inside": "108 mm"}, "tyre_inside", "thinner than the root radius of its flange"),
        ({"rim_inside": "96 mm"}, "rim_inside", "must be smaller than the tyre's inside"),
        ({"rim_inside": "19 mm"}, "rim_inside", "no smaller than the bore"),
        ({"rim_inside": ""}, "rim_inside", "Give the inside of the centre's rim too"),
        ({"tyre_inside": ""}, "rim_inside", "Give the tyre's inside first"),
        ({"tyre_least": "0.08", "tyre_most": "0.05"}, "tyre_most", "must be larger than the least"),
        ({"tyre_most": "0.4 mm"}, "tyre_most", "would yield at that: it is 250 MPa steel"),
        ({"tyre_inside": "ninety"}, "tyre_inside", ""),
    ],
)
def test_a_tyre_that_cannot_be_is_refused_beside_its_field(
    bench: Bench, figures: dict[str, str], field: str, sentence: str
) -> None:
    before = bench.rows("SELECT key, nm FROM dimension ORDER BY key")
    answer = draw(bench, **{**DRAWN, **figures})
    assert answer.status_code == 422
    assert sentence in (found := Words(answer.text).at(field)) and found
    form = form_on(answer.text, PATTERN)
    assert {key: form.fields[key] for key in figures} == {key: [text] for key, text in figures.items()}
    assert bench.rows("SELECT key, nm FROM dimension ORDER BY key") == before


def test_an_interference_that_wants_too_much_heat_is_refused(bench: Bench) -> None:
    figures = {"tyre_hottest": "150", "tyre_yield": "700 MPa"}
    assert bench.send("/builds/1/figures", "/builds/1/figures", **figures).status_code == 303
    answer = draw(bench, **DRAWN, tyre_most="0.15 mm")
    assert answer.status_code == 422 and "150 C is the most" in Words(answer.text).at("tyre_most")


@pytest.mark.parametrize(
    ("field", "text"), [("tyre_hottest", "700"), ("tyre_yield", "20 MPa"), ("tyre_factor", "0.5")]
)
def test_a_steel_that_is_none_is_refused(bench: Bench, field: str, text: str) -> None:
    answer = bench.send("/builds/1/figures", "/builds/1/figures", **{field: text})
    assert answer.status_code == 422 and Words(answer.text).at(field)
    assert bench.rows("SELECT * FROM work_figure") == []


def test_a_tread_that_leaves_no_tyre_is_refused_on_the_builds_own_form(bench: Bench) -> None:
    answer = bench.send("/builds/1/edit", "/builds/1/edit", tread_diameter="96 mm", throw="20 mm")
    assert answer.status_code == 422 and "thinner than the root radius" in Words(answer.text).text
    assert bench.one("SELECT nm FROM dimension WHERE key = 'tread_diameter'") == 110_000_000


def test_what_changing_the_drawing_does_to_tyres_is_told_before_it_is_saved(bench: Bench) -> None:
    bench.bored("W1")
    measured(bench)
    answer = draw(bench, tyre_least="0.08 mm", tyre_most="0.1 mm")
    assert answer.status_code == 409
    assert "W1, its tyre: good now, no good then" in Words(answer.text).text
    answer = draw(bench, tyre_inside="", rim_inside="")
    assert "W1, which would have none" in Words(answer.text).text
    assert draw(bench, tyre_inside="", rim_inside="", confirmed="yes").status_code == 303
    assert "no longer given" in bench.journal()[-1]


# --- the sheet ---


def test_what_is_due_comes_one_after_the_other(bench: Bench) -> None:
    bench.bored("W1")
    said = words(bench)
    assert said.by_id["answer"].startswith("Not measured: inside of the tyre and outside of the wheel centre")
    # The rule of thumb: 0.0005 to 0.001 of 95 mm.
    assert "0.048 mm (0.0019 in) to 0.095 mm (0.0037 in), by the rule of thumb" in said.by_id["wanted"]
    assert log(bench, "tyre_inside", "94.93", "94.93").status_code == 303
    wanted = words(bench).by_id["wanted"]
    assert bands_on(bench.get(here(bench))) == []
    assert "Turn the centre to 94.978 mm" in wanted or "Turn the centre to 94.977 mm" in wanted
    assert log(bench, "centre_outside", "95", "95").status_code == 303
    said = words(bench)
    assert said.by_id["answer"] == "Good: 0.070 mm (0.0028 in) of interference"
    assert bands_on(bench.get(here(bench))) == ["serves"]
    assert "Heat the tyre to" in said.text and "once its tread is turned" in said.text
    assert "never quench" in said.text
    assert kinds(bench)[-2:] == ["tyre_inside", "centre_outside"]
    line = bench.journal("W1")[-1]
    assert "Outside of the wheel centre: read 95, 95, mean 95.000 mm" in line
    assert line.endswith("Good: 0.070 mm (0.0028 in) of interference.")


def test_readings_are_corrected_for_warmth_the_steel_by_its_own_expansion(bench: Bench) -> None:
    fields = {"work_c": "30", "gauge_c": "20"}
    assert log(bench, "tyre_inside", "95", **fields).status_code == 303
    assert log(bench, "centre_outside", "95.05", **fields).status_code == 303
    inside, centre = (value for (value,) in bench.rows("SELECT value FROM measurement ORDER BY id"))
    # 95 mm x 10 K: steel 11.5e-6, iron 10.5e-6.
    assert inside == pytest.approx(95_000_000 - 10_925, abs=5)
    assert centre == pytest.approx(95_050_000 - 9_980, abs=5)


def test_how_sure_the_instrument_is_counts_in(bench: Bench) -> None:
    tool = "/workshop/instruments/new"
    answer = bench.post(tool, CALLIPERS)
    assert answer.status_code == 303, Words(answer.text).text
    own = bench.one("SELECT max(id) FROM instrument")
    for kind, size in (("tyre_inside", "94.945"), ("centre_outside", "95")):
        assert log(bench, kind, size, size, instrument_id=str(own)).status_code == 303
    said = words(bench)
    assert said.by_id["answer"].startswith("Cannot tell: 0.055 mm")
    assert bench.one("SELECT min(expanded) FROM measurement") > 0


@pytest.mark.parametrize(
    ("kind", "readings", "box", "sentence"),
    [
        ("tyre_inside", ["oops"], "reading", ""),
        ("tyre_inside", [""], "reading", "at least one reading"),
        ("tyre_inside", ["111"], "reading", "less than the tread's diameter"),
        ("centre_outside", ["-95"], "reading", ""),
        ("centre_outside", ["3.74"], "reading", ""),
    ],
)
def test_what_cannot_be_read_stays_beside_its_box(
    bench: Bench, kind: str, readings: list[str], box: str, sentence: str
) -> None:
    answer = log(bench, kind, *readings)
    said = Words(answer.text)
    assert answer.status_code in (422, 409) and kinds(bench) == []
    assert sentence in said.at(box) and said.at(box)
    assert form_on(answer.text, f"{here(bench)}/{kind}").fields["reading"][0] == readings[0]


def test_a_tyre_larger_than_its_centre_is_asked_about_and_can_be_recorded(bench: Bench) -> None:
    assert log(bench, "centre_outside", "95").status_code == 303
    answer = log(bench, "tyre_inside", "95.1")
    assert answer.status_code == 409
    assert "no smaller than its centre, 95.000 mm" in Words(answer.text).text
    assert kinds(bench) == ["centre_outside"]
    assert log(bench, "tyre_inside", "95.1", sure="yes").status_code == 303
    assert words(bench).by_id["answer"].startswith("No good: the tyre is 0.100 mm")


@pytest.mark.parametrize(
    ("readings", "at", "beside"),
    [
        (
            ("104.01", "95.01"),
            "reading0",
            "“104.01” is 104.010 mm (4.0949 in), and the drawing's is 95.000 mm",
        ),
        (
            ("95.01", "97.01"),
            "reading1",
            "“97.01” is 97.010 mm (3.8193 in), and another reading is 95.010 mm",
        ),
    ],
)
def test_readings_far_from_each_other_are_asked_about_and_not_averaged(
    bench: Bench, readings: tuple[str, ...], at: str, beside: str
) -> None:
    answer = log(bench, "tyre_inside", *readings)
    assert answer.status_code == 409 and kinds(bench) == []
    said = Words(answer.text)
    asked = " ".join(text for own, text in said.by_id.items() if own.endswith(f"{at}-error"))
    assert "Can that be the tyre's inside?" in asked and beside in asked, said.text
    meant = str(int(float(readings[int(at[-1])]) * 1_000_000))
    assert log(bench, "tyre_inside", *readings, meant=meant).status_code == 303


def test_a_later_size_is_no_correction_for_metal_was_taken_off(bench: Bench) -> None:
    measured(bench, centre="95.06")
    assert log(bench, "centre_outside", "95").status_code == 303
    assert bench.one("SELECT count(*) FROM measurement WHERE supersedes_id IS NOT NULL") == 0
    assert words(bench).by_id["answer"].startswith("Good: 0.070 mm")
    assert "Sizes logged: 3" in words(bench).text


def test_a_hole_that_shrank_and_a_centre_that_grew_are_asked_about(bench: Bench) -> None:
    """Metal comes off: a tyre's inside only gets larger, and its centre smaller. Two readings of one size are no cut."""
    measured(bench, inside="94.93", centre="95.05")
    for kind, size, said in (
        (
            "centre_outside",
            "95.1",
            "The wheel centre was logged as 95.050 mm (3.7421 in), and metal cannot grow",
        ),
        ("tyre_inside", "94.9", "logged as 94.930 mm (3.7374 in), and metal cannot come back into a hole"),
    ):
        answer = log(bench, kind, size)
        assert answer.status_code == 409 and said in Words(answer.text).text, Words(answer.text).text
        assert len(kinds(bench)) == 2
    assert log(bench, "centre_outside", "95.055").status_code == 303
    assert log(bench, "centre_outside", "95.1", meant="95100000").status_code == 303
    assert "Asked about, and meant." in bench.journal("W1")[-1]


def test_a_scrapped_wheel_gets_no_tyre(bench: Bench) -> None:
    measured(bench)
    assert bench.scrap("W1").status_code == 303
    assert "scrapped: no tyre goes on it" in words(bench).by_id["do"]


def test_there_is_no_such_size_or_casting(bench: Bench) -> None:
    assert bench.post(f"{here(bench)}/bore", {"seen": "1", "reading": "95"}).status_code == 404
    assert bench.client.get("/castings/99/tyre").status_code == 404


# --- the ticks, the record, and what is not right ---


def test_it_is_shrunk_on_from_its_sheet_and_then_left_to_cool(bench: Bench) -> None:
    bench.bored("W1")
    measured(bench)
    page, own = here(bench), bench.id("W1")
    assert bench.send(page, f"/castings/{own}/ticks", wish=f"yes {TYRE_ON}").status_code == 303
    said = words(bench)
    assert "Shrunk on at" in said.text and "turn nothing until all of it can be held in the hand" in said.text
    assert TYRE_ON in bench.ticks("W1")
    assert any("Ticked tyre shrunk on." in line for line in bench.journal("W1"))


def test_it_goes_on_a_bored_centre_and_before_the_axle(bench: Bench) -> None:
    measured(bench)
    answer = bench.wish("W1", f"yes {TYRE_ON}")
    assert answer.status_code == 422 and "not received" in Words(answer.text).text
    bench.bored("W1")
    assert bench.wish("W1", f"yes {TYRE_ON}").status_code == 303


def _asked_of_the_tread(bench: Bench, mark: str = "W1") -> str:
    answer = bench.wish(mark, "yes tread_turned")
    assert answer.status_code == 409, Words(answer.text).text
    return Words(answer.text).text


def test_the_treads_tick_asks_for_a_tyre_that_is_not_on(bench: Bench) -> None:
    bench.bored("W1")
    measured(bench)
    bench.tick("W1", "pressed")
    said = _asked_of_the_tread(bench)
    assert "The tyre of W1 is not ticked as shrunk on." in said
    bench.tick("W1", TYRE_ON)
    assert bench.wish("W1", "yes tread_turned").status_code == 303


def test_a_wheel_is_not_fixed_unasked_while_its_tyre_is_not_on(bench: Bench) -> None:
    bench.bored("W1", "W2")
    for mark in ("W1", "W2"):
        bench.tick(mark, CRANKPIN_HOLE)
    bench.seats(axles=(1,))
    measured(bench)
    said = (
        "The tyre of W1 is not ticked as shrunk on: it goes on the bare wheel, for its heat loosens a bond."
    )
    assert said in bench.refused(lambda: bench.wish("W1", "yes pressed"), 409).text
    assert bench.wish("W1", "yes pressed confirmed", reason="cold tyre").status_code == 303
    assert f"Let pass: {said} Reason given: cold tyre." in bench.journal("W1")[-1]
    # On a bond that is made it asks too, and the record says so.
    late = "W1 is bonded on its axle already, and the heat of its tyre loosens a bond."
    assert late in bench.refused(lambda: bench.wish("W1", f"yes {TYRE_ON}"), 409).text
    bench.tick("W1", TYRE_ON)
    assert f"Let pass: {late}" in bench.journal("W1")[-1]
    # On the bare wheel neither asks.
    measured(bench, mark="W2")
    assert bench.wish("W2", f"yes {TYRE_ON}").status_code == 303
    assert "The tyre of W2" not in Words(bench.wish("W2", "yes pressed").text).text


def test_the_treads_tick_asks_for_a_tyre_that_nobody_measured(bench: Bench) -> None:
    bench.bored("W1")
    bench.tick("W1", "pressed", TYRE_ON)
    assert (
        "The tyre of W1: cannot tell, for inside of the tyre and outside of the wheel centre is not measured."
        in _asked_of_the_tread(bench)
    )


def test_both_ticks_ask_for_a_tyre_that_is_no_good_and_the_record_says_so(bench: Bench) -> None:
    bench.bored("W1")
    measured(bench, inside="94.85")
    answer = bench.wish("W1", f"yes {TYRE_ON}")
    doubt = "The tyre of W1: no good: at 0.150 mm (0.0059 in) of interference the tyre may yield."
    assert answer.status_code == 409 and doubt in Words(answer.text).text
    bench.tick("W1", TYRE_ON, "pressed")
    assert doubt in _asked_of_the_tread(bench)
    bench.tick("W1", "tread_turned")
    assert bench.one("SELECT let_pass FROM tick WHERE key = 'tread_turned'").startswith(doubt)
    assert "Let pass: " + doubt in bench.journal("W1")[-1]
    assert "Tyre of W1: no good" in Words(bench.get("/builds/1")).text
    made = Words(bench.whole("/builds/1/made")).text
    assert "interference of the tyre" in made.lower() and doubt in made


def test_the_set_as_made_has_each_tyre(bench: Bench) -> None:
    bench.bored("W1", "W2")
    measured(bench)
    made = Words(bench.whole("/builds/1/made")).text
    good = made[made.index("Good:") :]
    assert "Interference of the tyre W1, axle 1 left" in good or "Interference of the tyre" in good
    assert "Interference of the tyre" in made[made.index("Not measured:") : made.index("Good:")]


def test_a_tread_turned_too_far_thins_the_tyre(bench: Bench) -> None:
    """Re-turned down to little more than its inside, it is strained more, and at last there is none left."""
    bench.bored("W1")
    measured(bench)
    bench.tick("W1", TYRE_ON, "pressed", "tread_turned")
    own = bench.id("W1")
    page = f"/castings/{own}/tread"
    to = f"{page}#log"
    assert bench.send(page, to, tread="101 mm", meant="101000000").status_code == 303
    thin = words(bench).text
    assert bench.send(page, to, tread="95.2 mm", meant="95200000").status_code == 303
    assert "No tyre is left" in words(bench).by_id["answer"]
    assert "once its tread is turned" in thin


def test_a_copy_of_the_build_has_its_tyres(bench: Bench) -> None:
    bench.bored("W1")
    measured(bench)
    bench.tick("W1", TYRE_ON)
    document = bench.client.get("/builds/1/export/build.json")
    assert document.status_code == 200
    keys = {one["key"] for one in document.json()["build"]["dimensions"]}
    assert {"tyre_inside", "rim_inside"} <= keys
    files = {"document": ("build.json", document.content, "application/json")}
    form = form_on(bench.get("/import"), "/import")
    answer = bench.client.post("/import", data=form.filled(who="AB", copy="yes"), files=files)
    assert answer.status_code == 303, Words(answer.text).text
    assert bench.rows("SELECT count(*) FROM tick WHERE key = ?", TYRE_ON) == [(2,)]
    assert bench.rows("SELECT count(*) FROM measurement WHERE kind = 'tyre_inside'") == [(2,)]


@pytest.mark.parametrize(
    ("route", "stage", "batch"),
    [
        ("front_first", "back_faced", "back_on_mandrel"),
        # Here nothing is cut before the tread, and the batch of the treads waits for the tyre.
        ("mandrel_first", "tread_turned", ""),
    ],
)
def test_its_step_stands_where_the_wheel_goes_on_its_mandrel(
    client: TestClient, db: Db, route: str, stage: str, batch: str
) -> None:
    """Before the tread's own lines, on the checklist, in the batch and on the card."""
    bench = Bench(client, db).sit_down()
    bench.metric(axles="1", coupled="1", castings="3", marks="W1 W2 W3", route=route)
    assert draw(bench, **DRAWN).status_code == 303
    bench.tick("W1", "received", *(("bored",) if route == "front_first" else ("back_faced", "bored")))
    if batch:
        bench.put_batch(batch, bench.id("W1"))
    for page in (f"/castings/1?steps={stage}", "/castings/1/card", *(["/batches/1"] if batch else [])):
        said = Words(bench.get(page)).text.lower()
        assert "tyre shrunk on" in said, page
        if "steps" not in page:
            assert said.index("tyre shrunk on") < said.index("tread at the group's diameter"), page


# --- on paper ---


def test_the_card_and_the_record_have_the_interference_of_a_tyre(bench: Bench) -> None:
    bench.tick("W1", "received", "back_faced", "bored")
    assert "Outside of the wheel centre: not measured yet" in words(bench).text
    measured(bench)
    assert "0.070 mm, " in Words(bench.get(f"/castings/{bench.id('W1')}/card")).text
    record = Words(bench.get("/builds/1/record")).text
    assert "Tyre, interferenceTread diameter" in record
    assert "0.070 mm –" in record[record.index("W1 axle 1") : record.index("W2 axle 1")]
