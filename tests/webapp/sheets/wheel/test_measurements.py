"""Logging bores, throws and seats through HTTP: notations, verdicts, corrections, and what is refused."""

import re
from functools import partial

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, form_on, is_whole, sentences, slip_of
from webapp.db import Db

HUGE = "1" + "0" * 30
NO_READINGS = (
    "abc", "-19.08", "+19.08", "0", "0 mm", "19.08 bananas", "19.08 kg", "19 m", "nineteen", HUGE, "9" * 10_000,
    "1,234", "19.08 mm 19.09 mm", "1e1", "nan", "inf", "3/4", "1/0 in", "<b>19</b>", "19\0", "🛞", "mm", "0.0000001 mm",
    "４", "19.08 mil",
)  # fmt: skip
PRESS = {"fit": "press", "fit_least": "0.019", "fit_most": "0.038"}
LIGHT_PRESS = {"fit": "press", "fit_least": "0.009", "fit_most": "0.038", "iron": "en-gjl-250"}
SHRINK = {"fit": "shrink", "fit_least": "0.0095", "fit_most": "0.019"}


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def _faced(bench: Bench, **figures: object) -> Bench:
    bench.metric(**figures)
    bench.tick("W1", "received", "back_faced", "bored")
    return bench


@pytest.mark.parametrize(
    ("typed", "nm"),
    [
        ("19.08", 19_080_000),
        ("19.08 mm", 19_080_000),
        ("19,08 mm", 19_080_000),
        ("19,08", 19_080_000),
        ("0.7512 in", 19_080_480),
        ('3/4"', 19_050_000),
        ("3/4 in", 19_050_000),
        ("751.2 thou", 19_080_480),
        ("1.908 cm", 19_080_000),
        ("1 1/8 in", 28_575_000),
        ("1-1/8 in", 28_575_000),
        ("  19.08   mm ", 19_080_000),
    ],
)
def test_each_notation(bench: Bench, typed: str, nm: int) -> None:
    _faced(bench)
    # 1 1/8 in is asked about beside a drawing of 19.05 mm, and is meant here.
    answer = bench.log("W1", "bore", typed, instrument="bore gauge", meant=str(nm))
    assert answer.status_code == 303
    assert bench.rows("SELECT value, text, ordinal FROM reading") == [(nm, typed.strip(), 1)]
    assert bench.rows("SELECT value, kind, instrument, who, casting_id FROM measurement") == [
        (nm, "bore", "bore gauge", "AB", 1)
    ]
    text = Words(bench.get("/castings/1/bore")).text
    assert f"{nm / 1e6:.3f} mm ({nm / 25.4e6:.4f} in)" in text
    assert "with bore gauge" in text


@pytest.mark.parametrize("typed", ["19,084", "19,084 mm", "0,751 in"])
def test_a_decimal_comma_with_three_figures_is_taken_where_only_decimals_make_sense(
    bench: Bench, typed: str
) -> None:
    """By 19.05 mm drawn nobody means nineteen metres; how it was understood is said with the reading."""
    _faced(bench)
    page = bench.send("/axles/1", f"/castings/{bench.id('W1')}/bores", hx=True, reading=typed)
    assert page.status_code == 200
    shown = "19.084 mm" if "19" in typed else "0.7510 in"
    assert shown in Words(page.text).text
    assert bench.rows("SELECT text FROM reading") == [(typed,)]
    assert "could be" not in Words(page.text).text


@pytest.mark.parametrize("typed", ["1,905", "190,840"])
def test_a_comma_that_makes_no_sense_either_way_is_refused_as_before(bench: Bench, typed: str) -> None:
    _faced(bench)
    words = bench.refused(lambda: bench.log("W1", "bore", typed))
    assert f"could be {typed.replace(',', '.')} or {typed.replace(',', '')}" in words.text


def test_a_bare_number_takes_the_unit_chosen(bench: Bench) -> None:
    _faced(bench)
    assert bench.log("W1", "bore", "0.7512", unit="in").status_code == 303
    assert bench.one("SELECT value FROM reading") == 19_080_480
    words = bench.refused(partial(bench.log, "W1", "bore", "19.08", unit="furlong"))
    assert "Choose mm or in" in words.text


@pytest.mark.parametrize("hx", [False, True])
def test_several_readings_and_the_answer_at_once(bench: Bench, hx: bool) -> None:
    """Mean (19.076 + 19.084 + 19.080 + 19.088) / 4 = 19.082, spread 0.012; 19.082 - 19.05 = 0.032 of gap."""
    _faced(bench)
    answer = bench.log(
        "W1", "bore", "19.076", "", "19.084", "19.080", "19.088 mm", hx=hx, instrument="bore gauge"
    )
    html = answer.text if hx else bench.get("/castings/1/bore")
    assert answer.status_code == (200 if hx else 303)
    assert is_whole(html) is not hx
    text = Words(html).text
    for said in ("mean of 4", "19.082 mm (0.7513 in)", "0.012 mm (0.0005 in)", "19.050 mm (0.7500 in)",
                 "Clearance 0.032 mm (0.0013 in): in limits for the bond", "from the drawing", "axle 1, left end",
                 "19.076, 19.084, 19.080, 19.088 mm"):  # fmt: skip
        assert said in text, said
    assert 'data-answer="serves"' in html
    assert "Clearance 0.032 mm (0.0013 in): in limits for the bond" in bench.journal("W1")[-1]


@pytest.mark.parametrize(
    ("figures", "bore", "answer", "said"),
    [
        # A bond wants 0.02 to 0.05 mm of gap on the drawing's seat of 19.05.
        ({}, "19.08", "serves", "in limits for the bond"),
        ({}, "19.06", "not", "the compound is wiped out"),
        ({}, "19.05", "not", "the same size"),
        ({}, "19.00", "not", "Interference 0.050 mm (0.0020 in)"),
        ({}, "19.10", "serves", "in limits for the bond"),
        ({}, "19.101", "caution", "wide for the bond"),
        ({}, "19.5", "not", "too wide for the bond"),
        # A press fit wants 0.019 to 0.038 mm of interference.
        (PRESS, "19.03", "caution", "Interference 0.020 mm (0.0008 in)"),
        (PRESS, "19.045", "not", "too little, the press fit will not hold"),
        (PRESS, "19.10", "not", "Clearance 0.050 mm (0.0020 in): no good where a press fit was wanted"),
        (PRESS, "18.95", "not", "too tight, the boss may crack"),
        (SHRINK, "19.038", "serves", "in limits for the shrink fit"),
        # The fit serves, but by the placeholder loads the joint has less in hand than is wanted.
        (LIGHT_PRESS, "19.034", "caution", "in limits for the press fit"),
        (
            LIGHT_PRESS,
            "19.034",
            "caution",
            "less in hand against slipping than is wanted, by placeholder figures",
        ),
        (SHRINK, "19.045", "not", "too little, the shrink fit will not hold"),
        (SHRINK, "18.95", "not", "too tight, the boss may crack"),
    ],
)
def test_whether_it_serves_and_what_to_do(
    bench: Bench, figures: dict[str, str], bore: str, answer: str, said: str
) -> None:
    _faced(bench, **figures)
    assert bench.log("W1", "bore", bore).status_code == 303
    html = bench.get("/castings/1/bore")
    assert said in Words(html).text
    assert f'data-answer="{answer}"' in html
    # Both sheets say it at their head, in the line that opens the slip.
    for page in ("/axles/1", "/castings/1"):
        assert re.search(
            rf'class="line" data-answer="{answer}" href="/castings/1/bore[^"]*"', bench.get(page)
        )
    assert ("What to do" in html) == (answer == "not") or answer == "caution"


def test_the_stress_of_a_press_fit_is_shown_with_its_source(bench: Bench) -> None:
    _faced(bench, **PRESS)
    assert bench.log("W1", "bore", "19.02").status_code == 303
    text = Words(bench.get("/castings/1/bore")).text
    for said in ("hoop stress", "factor against cracking", "Lame", "MPa"):
        assert said in text


def test_the_measured_seat_is_taken_before_the_drawings(bench: Bench) -> None:
    _faced(bench)
    assert bench.log("W1", "bore", "19.08").status_code == 303
    assert bench.seat(1, "left", "19.00", "19.02", instrument="micrometer").status_code == 303
    text = Words(bench.get("/castings/1/bore")).text
    assert "Clearance 0.070 mm (0.0028 in)" in text
    assert "Seat, measured" in text
    assert bench.rows("SELECT axle_id, side, casting_id FROM measurement WHERE kind = 'seat'") == [
        (1, "left", None)
    ]
    assert sentences(
        bench.journal(), "Logged the seat at axle 1, left end: read 19.00, 19.02 with micrometer"
    )


def test_another_seat_that_would_serve_is_named(bench: Bench) -> None:
    _faced(bench)
    assert bench.seat(2, "right", "19.12").status_code == 303
    assert bench.log("W1", "bore", "19.15").status_code == 303
    text = Words(bench.get("/castings/1/bore")).text
    assert "axle 2, right end" in text


def test_a_correction_supersedes_and_both_stay(bench: Bench) -> None:
    _faced(bench)
    assert bench.log("W1", "bore", "19.18", "19.19").status_code == 303
    first = bench.rows("SELECT * FROM reading"), bench.rows("SELECT * FROM measurement")
    # A hole does not shrink: one read so much smaller is asked about first.
    assert bench.log("W1", "bore", "19.08").status_code == 409
    assert bench.log("W1", "bore", "19.08", meant="19080000").status_code == 303
    assert bench.log("W1", "bore", "19.07").status_code == 303
    assert bench.rows("SELECT * FROM reading LIMIT 2") == first[0]
    # Nothing of it changes but the mark, the last column, that a correction stands in for it.
    assert bench.rows("SELECT * FROM measurement LIMIT 1") == [(*first[1][0][:-1], 1)]
    linked = bench.rows("SELECT id, supersedes_id, superseded FROM measurement")
    assert linked == [(1, None, 1), (2, 1, 1), (3, 2, 0)]
    assert "Bore 19.070 mm" in Words(bench.get("/castings/1/bore")).text
    html = bench.get("/castings/1?open=measured")
    text = Words(html).text
    for said in ("19.18, 19.19", "corrected since", "stands, a correction", "19.07"):
        assert said in text, said
    assert html.count('data-state="superseded"') == 2
    assert [s.split(" the bore")[0] for s in bench.journal("W1")[-3:]] == ["Logged", "Corrected", "Corrected"]


@pytest.mark.parametrize("kind", ["bore", "throw", "seat"])
@pytest.mark.parametrize("hx", [False, True])
def test_what_is_no_reading(bench: Bench, kind: str, hx: bool) -> None:
    _faced(bench)
    action = "/axles/1/seats/left" if kind == "seat" else f"/castings/1/{kind}s"
    place = "seat-left" if kind == "seat" else f"{kind}-1"
    form = form_on(bench.get(slip_of(action)), action)
    for typed in NO_READINGS:
        data = form.filled(reading=["", typed], instrument="ring & <pin>")
        words = bench.refused(partial(bench.post, action, data, hx=hx))
        sentence = words.by_id.get(f"{place}-reading1-error", "")
        assert len(sentence) > 20, (typed, sentence)
    answer = bench.post(action, form.filled(reading=["19.08", "abc <b>"], instrument="ring & <pin>"), hx=hx)
    again = form_on(answer.text, action).fields
    assert again["reading"][:2] == ["19.08", "abc <b>"]
    assert again["instrument"] == ["ring & <pin>"]


@pytest.mark.parametrize("readings", [[], [""], ["", " ", "", ""]])
def test_no_reading_at_all(bench: Bench, readings: list[str]) -> None:
    _faced(bench)
    words = bench.refused(partial(bench.log, "W1", "bore", *readings))
    assert "at least one reading, such as" in words.by_id["bore-1-reading0-error"]


def test_more_readings_than_a_form_has(bench: Bench) -> None:
    _faced(bench)
    words = bench.refused(partial(bench.log, "W1", "bore", *["19.08"] * 13))
    assert "more than 12 readings" in words.text


@pytest.mark.parametrize("instrument", ["x" * 41, "x" * 10_000, "a\0b", "a\u202eb"])
def test_an_instrument_that_cannot_be_taken(bench: Bench, instrument: str) -> None:
    _faced(bench)
    words = bench.refused(partial(bench.log, "W1", "bore", "19.08", instrument=instrument))
    assert "Name the instrument" in words.at("instrument")


@pytest.mark.parametrize(
    ("kind", "typed", "said"),
    [
        ("bore", "32", "smaller than the boss it is in: 32.000 mm (1.2598 in)"),
        ("bore", "19.08 in", "smaller than the boss"),
        ("throw", "55", "less than the tread's radius"),
        ("throw", "28 in", "less than the tread's radius"),
    ],
)
@pytest.mark.parametrize("hx", [False, True])
def test_sizes_that_cannot_be(bench: Bench, kind: str, typed: str, said: str, hx: bool) -> None:
    _faced(bench)
    words = bench.refused(partial(bench.log, "W1", kind, typed, hx=hx))
    assert said in words.by_id[f"{kind}-1-reading0-error"]
    words = bench.refused(partial(bench.log, "W1", kind, "19", typed, hx=hx))
    assert said in words.text


def test_a_size_that_cannot_be_is_refused_with_what_it_may_have_been(bench: Bench) -> None:
    _faced(bench)
    log = partial(bench.log, "W1", unit="in")
    said = "Was 19.070 mm (0.7508 in) meant?"
    assert said in bench.refused(partial(log, "bore", "19.07")).by_id["bore-1-reading0-error"]
    assert (
        "Was 28.500 mm (1.1220 in) meant?"
        in bench.refused(partial(log, "throw", "28.5")).by_id["throw-1-reading0-error"]
    )
    words = bench.refused(partial(bench.seat, 1, "left", "19.05", unit="in"))
    assert "Was 19.050 mm (0.7500 in) meant?" in words.by_id["seat-left-reading0-error"]


@pytest.mark.parametrize(
    ("kind", "typed", "meant"),
    [
        ("bore", "751", "0.7510 in (19.075 mm)"),
        ("bore", "7514", "0.7514 in (19.086 mm)"),
        ("bore", "75140", "0.7514 in (19.086 mm)"),
        ("tread", "5125", "5.1250 in (130.175 mm)"),
        ("tread", "51350", "5.1350 in (130.429 mm)"),
        ("flange_thickness", "110", "0.1100 in (2.794 mm)"),
    ],
)
def test_a_forgotten_point_is_asked_about_however_long_the_figure_then_is(
    bench: Bench, kind: str, typed: str, meant: str
) -> None:
    bench.start()
    bench.tick("W1", "received", "back_faced", "bored", "pressed")
    if kind == "bore":
        answer = bench.log("W1", "bore", typed)
    else:
        answer = bench.send("/castings/1/tread", "/castings/1/tread#log", **{kind: typed})
    said = Words(answer.text).text
    assert answer.status_code == 422 and f"Was {meant} meant?" in said
    assert not bench.rows("SELECT 1 FROM measurement WHERE kind = ?", kind)


def test_a_seat_larger_than_the_boss(bench: Bench) -> None:
    bench.metric()
    words = bench.refused(partial(bench.seat, 1, "left", "32.1"))
    assert "smaller than the boss it goes into" in words.by_id["seat-left-reading0-error"]


@pytest.mark.parametrize("hx", [False, True])
@pytest.mark.parametrize(
    ("axle", "side"), [("2", "left"), ("1", "right"), ("99", "left"), (str(2**70), "left"), ("-1", "left"), ("1", "middle"),
                       ("x", ""), ("", "left"), ("1", "<b>")],
)  # fmt: skip
def test_a_seat_of_another_axle(bench: Bench, axle: str, side: str, hx: bool) -> None:
    _faced(bench)
    words = bench.refused(partial(bench.log, "W1", "bore", "19.08", hx=hx, axle=axle, side=side))
    assert "That seat is not the one W1 sits on" in words.text


@pytest.mark.parametrize("side", ["middle", "Left", "%00", "9" * 1000])
@pytest.mark.parametrize("hx", [False, True])
def test_a_seat_that_no_axle_has(bench: Bench, side: str, hx: bool) -> None:
    bench.metric()
    words = bench.refused(
        partial(bench.post, f"/axles/1/seats/{side}", {"reading": "19", "seen": "1"}, hx=hx), 404
    )
    assert "There is no such seat" in words.text


@pytest.mark.parametrize("hx", [False, True])
@pytest.mark.parametrize("view", ["axle", "casting"])
@pytest.mark.parametrize("sent_from", ["", "slip", "due"])
def test_measuring_before_it_can_be_there(bench: Bench, hx: bool, view: str, sent_from: str) -> None:
    """The form is not on the page then; sent all the same, it is answered in words."""
    bench.metric(coupled="2")
    data = {"reading": "19.08", "seen": "1", "view": view, "from": sent_from}
    for kind, missing in (("bore", "received and back faced"), ("throw", "received, back faced and bored")):
        said = f"W3 is not {missing} yet"
        words = bench.refused(partial(bench.post, f"/castings/3/{kind}s", data, hx=hx))
        assert said in words.text
    words = bench.refused(partial(bench.post, "/castings/1/throws", {**data, "reading": ""}, hx=hx))
    assert "W1 is a carrying wheel" in words.text
    assert bench.scrap("W5").status_code == 303
    words = bench.refused(partial(bench.post, "/castings/5/bores", data, hx=hx))
    assert "W5 is scrapped" in words.text


def test_the_same_form_sent_twice_is_one_measurement(bench: Bench) -> None:
    _faced(bench, throw="19.05")
    for action in ("/castings/1/bores", "/castings/1/throws", "/axles/1/seats/left"):
        form = form_on(bench.get(slip_of(action, "axle")), action).filled(reading="19.08")
        for hx in (False, True, False):
            assert bench.post(action, form, hx=hx).status_code in (200, 303)
    assert bench.rows("SELECT kind, count(*) FROM measurement GROUP BY kind ORDER BY kind") == [
        ("bore", 1), ("seat", 1), ("throw", 1),
    ]  # fmt: skip


def test_a_token_is_good_for_its_own_form_only(bench: Bench) -> None:
    """A token that came from elsewhere must not make a reading vanish."""
    _faced(bench, throw="19.05")
    form = form_on(bench.get("/castings/1/bore"), "/castings/1/bores").filled(reading="19.08")
    assert bench.post("/castings/1/bores", form).status_code == 303
    assert bench.post("/castings/1/throws", form).status_code == 303
    for action in ("/axles/1/seats/left", "/axles/1/seats/right", "/axles/2/seats/left"):
        assert bench.post(action, {**form, "seen": "1"}).status_code == 303
    assert bench.one("SELECT count(*) FROM measurement") == 5


@pytest.mark.parametrize("token", ["", "abc", "<b>", "0" * 10_000, "\0"])
def test_a_token_that_is_none_is_no_token(bench: Bench, token: str) -> None:
    _faced(bench)
    for _ in range(2):
        assert bench.log("W1", "bore", "19.08", token=token).status_code == 303
    assert bench.one("SELECT count(*) FROM measurement") == 2
    assert bench.one("SELECT count(*) FROM submission WHERE token LIKE 'bore%'") == 0


@pytest.mark.parametrize("hx", [False, True])
@pytest.mark.parametrize("kind", ["bore", "throw", "seat"])
def test_logging_from_an_old_page(bench: Bench, kind: str, hx: bool) -> None:
    _faced(bench, throw="19.05")
    action = "/axles/1/seats/left" if kind == "seat" else f"/castings/1/{kind}s"
    old = form_on(bench.get(slip_of(action, "axle")), action).filled(reading="19.08")
    newer = form_on(bench.get(slip_of(action, "axle")), action).filled(reading="19.02", who="CD")
    assert bench.post(action, newer).status_code == 303
    words = bench.refused(partial(bench.post, action, {**old, "who": "AB"}, hx=hx), 409)
    assert "CD, " in words.text
    assert f"Logged the {kind}" in words.text
    assert "nothing of yours was stored" in words.text


def test_nobody_at_the_bench(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    _faced(bench)
    client.cookies.delete("spokeshed_who")
    words = bench.refused(partial(bench.log, "W1", "bore", "19.08"))
    assert "Who is at the bench?" in words.by_id["bore-1-who-error"]
    assert bench.log("W1", "bore", "19.08", who="q1").status_code == 303
    assert bench.one("SELECT who FROM measurement") == "Q1"


def test_a_spare_is_measured_against_the_drawing(bench: Bench) -> None:
    bench.metric()
    bench.bored("W5")
    assert "no place yet" in Words(bench.get("/castings/5/bore")).text
    assert "On no place yet: Clearance 0.030 mm" in bench.journal("W5")[-1]


def test_an_axle_of_one_build_is_not_another_builds(bench: Bench) -> None:
    bench.metric()
    bench.metric()
    assert bench.id("W5", 2) == 11
    data = {"casting": "11", "seen": "1"}
    assert bench.scrap("W1").status_code == 303
    words = bench.refused(partial(bench.post, "/axles/1/places/left", data))
    assert "does not belong to this build" in words.text
