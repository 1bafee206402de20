"""The joints' sheet through HTTP: its form, what is refused beside which field, and the hold of a curing bond."""

from __future__ import annotations

from functools import partial

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, form_on, forms_on, opened
from webapp.db import Db
from webapp.typed.joint_fields import FIELDS
from webapp.typed.quantities import (
    CELSIUS,
    FORCE,
    HOURS,
    LOAD,
    MINUTES,
    NUMBER,
    PRESSURE,
    SHARE,
    STRESS,
    QuantityError,
    QuantityKind,
    parse_quantity,
)

PAGE = "/builds/1/joints"
FORM = f"{PAGE}?open=figures"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric(curing=True)
    return bench


def _stored(bench: Bench) -> dict[str, str]:
    return dict(bench.rows("SELECT key, text FROM joint_figure WHERE build_id = 1"))


# --- typed figures ---

READ = [
    (FORCE, "20 kN", 20_000), (FORCE, "5000N", 5000), (FORCE, "1,5 kN", 1500), (LOAD, "25 kg", 245.16625),
    (FORCE, "1 lbf", 4.4482216152605), (LOAD, "250 N", 250), (LOAD, "0 kg", 0),
    (PRESSURE, "5.5 bar", 0.55), (PRESSURE, "100 psi", 0.6894757), (PRESSURE, "0.6 MPa", 0.6),
    (STRESS, "15", 15), (STRESS, "15 N/mm²", 15), (STRESS, "1 psi", 0.006894757), (CELSIUS, "-5 °C", -5),
    (CELSIUS, "−5", -5), (CELSIUS, "20 c", 20), (MINUTES, "1 h", 60), (MINUTES, "40", 40), (HOURS, "90 min", 1.5),
    (HOURS, "24", 24), (SHARE, "80 %", 0.8), (SHARE, ".8", 0.8), (SHARE, "0,8", 0.8), (NUMBER, "1.5", 1.5),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "text", "worth"), READ)
def test_figures_are_read(kind: QuantityKind, text: str, worth: float) -> None:
    """Pound, pound-force and psi by the international pound (0.45359237 kg), 25.4 mm and 9.80665 m/s2."""
    assert parse_quantity(text, kind) == pytest.approx(worth, rel=1e-6)


REFUSED = [
    (FORCE, "5000", "has no unit"), (FORCE, "-5 kN", "has a sign"), (FORCE, "5 tons", "not known here"),
    (FORCE, "1,500 N", "two ways"), (FORCE, "1e3 N", "not known here"), (FORCE, "5 kN 3", "not known here"),
    (FORCE, "kN", "is not a force"), (FORCE, "", "is not a force"), (FORCE, "nan N", "is not a force"),
    (CELSIUS, "68 F", "is in F: give it in C, which is 20 C"), (CELSIUS, "20 K", "not known here"),
    (PRESSURE, "80", "has no unit"), (MINUTES, "1:30", "not known here"), (NUMBER, "2 x", "not known here"),
    (NUMBER, "٣", "is not a number"), (NUMBER, "1" * 41, "is too long for a number"),
    (STRESS, "<script>", "is not a strength"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "text", "why"), REFUSED)
def test_figures_are_refused_in_one_sentence(kind: QuantityKind, text: str, why: str) -> None:
    with pytest.raises(QuantityError, match=why) as caught:
        parse_quantity(text, kind)
    assert str(caught.value).count(". ") == 0
    assert str(caught.value).endswith(".")


# --- the form ---


def test_an_empty_form_is_all_usual_and_stores_nothing(bench: Bench) -> None:
    html = bench.whole(PAGE)
    text = Words(html).text
    for field in FIELDS:
        assert f'name="{field.key}"' in html
    assert "Placeholder. Empty means 15 MPa: the least that is usual, from memory, verify." in text
    assert "Empty means 0.020 mm (0.0008 in): the drawing." in text
    before = bench.dump()
    assert bench.send(FORM, PAGE).status_code == 303
    assert bench.dump() == before


def test_figures_are_kept_as_typed_with_a_line(bench: Bench) -> None:
    answer = bench.send(
        FORM, PAGE, load="55 lb", gap_most="0,04", bore_rz="6.3 um", edition="din-7190-1-2017"
    )
    assert (answer.status_code, answer.headers["location"]) == (303, f"{PAGE}#held")
    # A bare length has its unit put to it, for the build's unit may change.
    assert _stored(bench) == {
        "load": "55 lb", "gap_most": "0,04 mm", "bore_rz": "6.3 um", "edition": "din-7190-1-2017"
    }  # fmt: skip
    assert bench.journal()[-1] == (
        "Changed what the joints are judged by: load on one axle now 55 lb; roughness Rz of the bore now 6.3 um;"
        " smoothing by now DIN 7190-1:2017, k 0.4; best gap, most now 0,04 mm."
    )
    form = form_on(bench.whole(PAGE), PAGE)
    assert form.fields["load"] == ["55 lb"]
    assert form.fields["edition"] == ["din-7190-1-2017"]
    assert bench.send(FORM, PAGE, load="").status_code == 303
    assert "load on one axle as usual again" in bench.journal()[-1]
    assert "load" not in _stored(bench)


WRONG = [
    ("gap_most", {"gap_least": "0.05", "gap_most": "0.02"}, "The gap range is upside down"),
    ("gap_limit", {"gap_limit": "0.03"}, "The gap range is upside down"),
    ("gap_least", {"gap_least": "0.05", "gap_most": "0.02", "load": "25"}, "The gap range is upside down"),
    ("gap_most", {"gap_most": "0.04", "gap_limit": "0.03", "shear": "strong"}, "The gap range is upside down"),
    ("full_cure", {"handling": "3 h", "full_cure": "2 h", "gap_least": "thin"}, "must not come before handling"),
    ("shear", {"shear": "0"}, "must be above zero"), ("shear", {"shear": "-5"}, "has a sign"),
    ("shear", {"shear": "3000"}, "is not likely"), ("shear", {"shear": "strong"}, "is not a strength"),
    ("room", {"room": "68"}, "give it in C, not F"), ("room", {"room": "68 F"}, "which is 20 C"),
    ("service_limit", {"service_limit": "300"}, "give it in C, not F"), ("hottest", {"hottest": "150"}, "not F"),
    ("load", {"load": "-5 kg"}, "has a sign"), ("load", {"load": "25"}, "has no unit"),
    ("pressure", {"pressure": "80"}, "has no unit"), ("press", {"press": "0 N"}, "must be above zero"),
    ("adhesion", {"adhesion": "35"}, "is not likely"), ("adhesion", {"adhesion": "0"}, "must be above zero"),
    ("for_gap", {"for_gap": "1.2"}, "is not likely"), ("reserve", {"reserve": "0.5"}, "is not likely"),
    ("rod", {"rod": "28 mm"}, "must be longer than the throw"), ("driven_axle", {"driven_axle": "3"}, "has no cranks"),
    ("axle_bore", {"axle_bore": "19.05 mm"}, "must be smaller than the seat"), ("drive", {"drive": "steam"}, "Choose one"),

    ("crack_factor", {"crack_factor": "0.9"}, "is not likely"), ("piston", {"piston": "-3 mm"}, "has a sign"),
    ("piston", {"piston": "0"}, "must be above zero"), ("piston", {"piston": "9 km"}, "km"),
    ("bore_rz", {"bore_rz": "6.3"}, "is not likely"), ("edition", {"edition": "2038"}, "Choose one"),
    ("friction", {"friction": "wet"}, "Choose one"),
    ("full_cure", {"handling": "3 h", "full_cure": "2 h"}, "must not come before handling"),
    ("full_cure", {"full_cure": "0"}, "must be above zero"), ("handling", {"handling": "soon"}, "is not a time"),
    ("pin_boss", {"pin_boss": "7 mm"}, "must be wider"), ("pin_seat", {"pin_seat": "12 mm"}, "far apart"),
    ("load", {"load": "9" * 60}, "more than 40 characters"), ("press", {"press": "2,000 N"}, "two ways"),
]  # fmt: skip


@pytest.mark.parametrize(("field", "changes", "why"), WRONG)
def test_a_wrong_figure_has_its_sentence_beside_it(
    bench: Bench, field: str, changes: dict[str, str], why: str
) -> None:
    form = form_on(bench.whole(PAGE), PAGE).filled(**changes)
    words = bench.refused(partial(bench.post, PAGE, form))
    assert why in words.at(field), words.at(field)
    assert form_on(bench.post(PAGE, form).text, PAGE).fields[field] == [changes[field]] or field in (
        "edition",
        "friction",
        "drive",
        "driven_axle",
    )


def test_temperatures_say_that_they_are_in_c(bench: Bench) -> None:
    text = Words(bench.whole(PAGE)).text
    for label in ("Room temperature, C", "Hottest the compound stands, C", "Hottest the wheel will run, C"):
        assert label in text
    assert {one.key for one in FIELDS if one.kind is CELSIUS} == {
        one.key for one in FIELDS if one.words.endswith(", C")
    }
    assert bench.send(FORM, PAGE, hottest="68", room="21 °C").status_code == 303
    assert _stored(bench)["hottest"] == "68 C" and _stored(bench)["room"] == "21 °C"
    assert "hottest the wheel will run now 68 C" in bench.journal()[-1]


@pytest.mark.parametrize("text", ["6.3 um", "6.3 \u00b5m", "6.3 \u03bcm", "6.3 micron"])
def test_roughness_in_micrometres(bench: Bench, text: str) -> None:
    assert bench.send(FORM, PAGE, bore_rz=text).status_code == 303
    assert _stored(bench)["bore_rz"] == text
    assert form_on(bench.whole(PAGE), PAGE).fields["bore_rz"] == [text]


def test_who_is_asked_and_the_typed_text_kept(bench: Bench) -> None:
    bench.client.cookies.delete("spokeshed_who")
    words = bench.refused(partial(bench.send, FORM, PAGE, load="25 kg"))
    assert "Write your initials" in words.text
    assert bench.send(FORM, PAGE, load="25 kg", who="CD").status_code == 303
    assert bench.one("SELECT who FROM journal_line ORDER BY id DESC LIMIT 1") == "CD"


def test_a_page_that_is_out_of_date(bench: Bench) -> None:
    old = form_on(bench.whole(PAGE), PAGE).filled(load="25 kg", page="")
    assert bench.send(FORM, PAGE, load="30 kg").status_code == 303
    words = bench.refused(partial(bench.post, PAGE, old), 409)
    assert "AB changed this at" in words.text
    assert "load on one axle now 30 kg" in words.text


def test_the_same_form_twice_is_one_line(bench: Bench) -> None:
    form = form_on(bench.whole(PAGE), PAGE).filled(load="25 kg")
    assert [bench.post(PAGE, form).status_code for _ in range(2)] == [303, 303]
    assert sum("joints are judged by" in line for line in bench.journal()) == 1


@pytest.mark.parametrize("build", ["2", "999", "0", "x", str(2**63)])
def test_a_build_that_is_not_there(bench: Bench, build: str) -> None:
    for answer in (bench.client.get(f"/builds/{build}/joints"), bench.post(f"/builds/{build}/joints", {})):
        assert answer.status_code in (404, 422)


# --- the table ---


def test_every_joint_stands_below_the_form(bench: Bench) -> None:
    bench.bored("W1")
    assert bench.seat(1, "left", "19.05").status_code == 303
    text = " ".join(Words(bench.whole(PAGE)).by_id["held"].split())
    assert "W1axle 1, leftGap 0.030 mm (0.0012 in)" in text
    assert "strength left after ageing" in text
    assert "data sheet" in text
    assert text.count("No bore logged yet.") == 3
    assert "Take care, worked with placeholders:" in text
    pins = " ".join(Words(bench.whole(PAGE)).by_id["pins"].split())
    assert "The crankpin at its root is bent to" in pins
    assert "The crankpin in its hole is bent to" in pins


def test_a_change_says_which_joints_no_longer_hold(bench: Bench) -> None:
    bench.bored("W1", "W2")
    typed = {"load": "20 kg", "piston": "38 mm", "pressure": "5 bar", "shear": "25 MPa"}
    assert bench.send(FORM, PAGE, **typed).status_code == 303
    assert "no longer hold" not in bench.journal()[-1]
    assert bench.send(FORM, PAGE, shear="2 MPa").status_code == 303
    assert bench.journal()[-1].endswith("By these figures W1 and W2 no longer hold.")
    assert "No good: W1, W2 do not hold" in Words(bench.whole(PAGE)).by_id["held"]


def test_what_voids_any_bound_is_said_once(bench: Bench) -> None:
    bench.bored("W1", "W2")
    text = Words(bench.whole(PAGE)).text
    assert text.count("Water trapped in a cylinder") == 1
    assert "a locked wheel or rods that bind can ask more than any figure here" in text


def test_figures_from_memory_are_marked_on_the_sheet(bench: Bench) -> None:
    text = Words(bench.whole(PAGE)).text
    assert "k is from memory, verify" in text
    assert "Empty means 0 mm: the axle is solid." in text
    edit = "/builds/1/edit"
    changed = {"fit": "shrink", "fit_least": "0.005", "fit_most": "0.02", "iron": "en-gjl-200"}
    assert bench.send(edit, edit, **changed).status_code == 303
    bench.bored("W1", bore="19.04 mm")
    text = Words(bench.whole(PAGE)).text
    assert "smoothing 0.8 (RzA + RzI): from memory, verify" in text
    assert "expansion taken as ASTM class 20's: from memory for this grade, verify" in text


def _stored_by_an_older_version(bench: Bench, **texts: str) -> None:
    with bench.db.write() as session:
        for key, text in texts.items():
            session.connection().exec_driver_sql("INSERT INTO joint_figure VALUES (1, ?, ?)", (key, text))


def test_a_build_of_two_reserves_opens_with_the_greater_and_keeps_it(bench: Bench) -> None:
    _stored_by_an_older_version(bench, service="1.5", factor="2.5")
    assert form_on(bench.whole(PAGE), PAGE).fields["reserve"] == ["2.5"]
    before = bench.dump()
    assert bench.send(FORM, PAGE).status_code == 303
    assert bench.dump() == before
    assert bench.send(FORM, PAGE, load="25 kg").status_code == 303
    assert _stored(bench) == {"load": "25 kg", "reserve": "2.5"}
    assert "reserve" not in bench.journal()[-1]


def test_a_reserve_that_cannot_be_read_is_refused_by_name(bench: Bench) -> None:
    _stored_by_an_older_version(bench, service="1.5", factor="a lot")
    words = Words(bench.whole(PAGE))
    assert "is not a number" in words.at("reserve")


def test_the_first_line_says_that_a_window_is_too_narrow_and_names_the_bond(bench: Bench) -> None:
    edit = "/builds/1/edit"
    narrow = {"fit": "press", "fit_least": "0.02", "fit_most": "0.06", "iron": "en-gjl-250"}
    assert bench.send(edit, edit, **narrow).status_code == 303
    assert "fit to aim for" not in Words(bench.whole(PAGE)).text
    assert (
        bench.send(
            FORM, PAGE, bore_within="0.02 mm", load="1 kg", piston="5 mm", pressure="1 bar"
        ).status_code
        == 303
    )
    words = Words(bench.whole(PAGE))
    assert words.by_id["narrow-1"].startswith(
        "Before you bore or turnW1, W2, W3, W4: No press fit to aim for"
    )
    assert "Bond it." in words.by_id["narrow-1"]
    assert words.text.index("No press fit to aim for") < words.text.index("Load on one axle")
    assert "No press fit to aim for" in Words(bench.get("/castings/1/bore")).by_id["bore-target-1"]


def test_an_inch_build_reads_bare_figures_in_inches(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.start()
    assert bench.send(FORM, PAGE, piston="1 1/2", pin_hole="½").status_code == 303
    stored = _stored(bench)
    assert (stored["piston"], stored["pin_hole"]) == ("1 1/2 in", "½ in")
    assert "38.100 mm" in Words(bench.whole(PAGE)).text


def test_a_drawing_that_changed_under_the_figures_is_said(bench: Bench) -> None:
    assert bench.send(FORM, PAGE, gap_most="0.03").status_code == 303
    edit = "/builds/1/edit"
    assert bench.send(edit, edit, fit_least="0.04", fit_most="0.05").status_code == 303
    words = Words(bench.whole(PAGE))
    assert "upside down" in words.at("gap_most")
    assert "no longer agrees with the drawing" in words.text


# --- the cure clock ---


def test_a_newcomer_is_told_until_when_and_can_go_on(bench: Bench) -> None:
    bench.bored("W1", "W2")
    bench.tick("W1", "pressed")
    for hx in (False, True):
        words = bench.refused(partial(bench.wish, "W1", "yes tread_turned", hx=hx), 409)
        told = words.by_id["row-tread_turned"]
        assert "Wait until " in told and "it holds 0.0 N m (0.0 lbf ft) at this hour." in told
        assert "If it was bonded earlier" in told
        assert "Tick it all the same" in told
    assert bench.wish("W1", "yes tread_turned confirmed").status_code == 303
    assert bench.journal("W1")[-1].startswith("Ticked tread turned. Let pass: W1: Wait until ")
    assert bench.wish("W2", "yes tread_turned").status_code == 422


@pytest.mark.parametrize("step", ["to_size", "flange", "edge"])
def test_a_small_step_that_cuts_the_tyre_is_asked_about_as_its_stage_is(bench: Bench, step: str) -> None:
    bench.bored("W1")
    # Not on its axle yet, the wheel is held by no joint.
    assert "cut asks" not in Words(bench.wish("W1", f"yes tread_turned.{step}").text).text
    bench.tick("W1", "pressed")
    assert bench.wish("W1", "yes tread_turned.same_set_up").status_code == 303
    for hx in (False, True):
        words = bench.refused(partial(bench.wish, "W1", f"yes tread_turned.{step}", hx=hx), 409)
        assert "Are you sure?W1: Wait until " in words.text
    assert bench.wish("W1", f"yes tread_turned.{step} confirmed", reason="a light cut").status_code == 303
    assert "Let pass: W1: Wait until " in bench.journal("W1")[-1]
    assert "Next: tread turned, but not yet" not in Words(bench.get("/castings/1")).text
    # The same is not asked twice, and stays told of the step that let it pass.
    assert bench.wish("W1", "yes tread_turned").status_code == 303
    assert bench.journal("W1")[-1] == "Ticked tread turned."
    told = Words(bench.whole("/builds/1/made")).by_id["let-pass"]
    assert told.count("the cut asks") == 1 and "a light cut" in told
    # With the stage ticked, the steps left over say nothing new.
    left = {"to_size", "flange", "edge"} - {step}
    assert [bench.wish("W1", f"yes tread_turned.{one}").status_code for one in left] == [303, 303]


def test_a_yes_at_a_small_step_is_none_to_what_has_changed_since(bench: Bench) -> None:
    bench.bored("W1")
    bench.tick("W1", "pressed")
    assert bench.wish("W1", "yes tread_turned.to_size confirmed").status_code == 303
    assert bench.send(PAGE, PAGE, full_cure="48 h").status_code == 303
    for key in ("tread_turned.flange", "tread_turned"):
        assert "48 hours to full cure" in bench.refused(partial(bench.wish, "W1", f"yes {key}"), 409).text


def test_no_quartering_is_told_to_wait_for_a_bond(bench: Bench) -> None:
    bench.bored("W1", "W2")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28.01").status_code == 303
    bench.tick("W1", "pressed")
    axle = partial(bench.send, "/axles/1", "/axles/1/ticks")
    assert axle(wish="yes pressed_and_quartered confirmed").status_code == 303
    assert axle(wish="no quartered").status_code == 303
    words = bench.refused(partial(axle, wish="yes quartered"), 409)
    assert "do not quarter the axle before" not in words.text
    assert "no heights of its crankpins are logged" in words.text
    assert axle(wish="yes quartered confirmed").status_code == 303
    assert bench.journal("W1")[-1].startswith("Ticked axle 1 quartered. Let pass: Axle 1: no heights")


def test_an_old_bond_holds_nothing(bench: Bench) -> None:
    bench.bored("W1")
    bench.tick("W1", "pressed")
    with bench.db.write() as session:
        session.connection().exec_driver_sql(
            "UPDATE tick SET at = '2026-01-01 10:00:00' WHERE key = 'pressed'"
        )
    bench.tick("W1", "tread_turned")


def test_a_typed_handling_time_is_the_one_that_counts(bench: Bench) -> None:
    assert bench.send(FORM, PAGE, handling="90 min").status_code == 303
    bench.bored("W1")
    bench.tick("W1", "pressed")
    words = bench.refused(partial(bench.wish, "W1", "yes tread_turned"), 409)
    assert (
        "90 minutes are allowed before it is handled and 24 hours to full cure (placeholders)" in words.text
    )


def test_a_pressed_wheel_waits_for_nothing(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(curing=True, fit="press", fit_least="0.005", fit_most="0.038")
    bench.bored("W1", bore="19.03 mm")
    bench.tick("W1", "pressed", "tread_turned")


def test_the_answer_stands_first_and_the_rest_is_asked_for(bench: Bench) -> None:
    assert "No joint to judge yet" in Words(bench.get(PAGE)).text
    bench.bored("W1")
    html = bench.get(PAGE)
    page = Words(html).text
    assert (
        page.index("Good: every joint measured holds")
        < page.index("Must carry")
        < page.index("Type the figures")
    )
    assert [form for form in forms_on(html) if form.action == PAGE] == []
    assert f'href="{FORM}#fold-figures">Type the figures' in html
    for name, words in (
        ("figures", "Load on one axle"),
        ("why", "Formula and numbers"),
        ("pins", "Hole and pin, as typed or by the drawing"),
        ("not-judged", "The side force of flange"),
    ):
        assert words not in page and words in Words(bench.get(opened(PAGE, name))).text
