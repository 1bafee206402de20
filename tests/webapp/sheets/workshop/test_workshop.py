"""The workshop's own lists: instruments, reamers and drills, through HTTP."""

from datetime import UTC, date, datetime, timedelta
from functools import partial

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, Words, form_on, forms_on, opened
from tests.webapp.test_query_count import counting
from webapp.db import Db
from webapp.sheets.workshop.view import checked_words

NEW = "/workshop/instruments/new"
# A form names its own place in its address: refused, the browser comes back to it.
STARTERS = "/workshop/starters#starters"
VALUE = {
    "kind": "value", "name": "bore gauge 18-35", "unit": "mm", "reach": "inside", "resolution": "0.001",
    "expanded": "0.006 mm", "zero_offset": "-0.002", "alpha": "11.5", "checked_on": "2026-03-14",
    "note": "certificate",
}  # fmt: skip
PLUG = {
    "kind": "plug", "name": "plugs 19", "unit": "mm", "go": "19", "not_go": "19.021", "expanded": "0.002",
    "alpha": "11.5", "checked_on": "", "note": "",
}  # fmt: skip
ALL = "SELECT name, kind, reach, resolution_nm, expanded_nm, zero_offset_nm, go_nm, not_go_nm, alpha_ppb FROM instrument"


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    return Bench(client, db).sit_down()


def _form_of(path: str) -> str:
    """The address of the form that adds reamers or drills."""
    return f"{path}#add-{path.removeprefix('/workshop/').removesuffix('s')}"


def _names(bench: Bench, table: str = "instrument") -> list[str]:
    return [name for (name,) in bench.rows(f"SELECT name FROM {table} ORDER BY id")]


def _add(bench: Bench, **changes: object) -> int:
    answer = bench.post(NEW, {**VALUE, **changes})
    assert answer.status_code == 303, Words(answer.text).text
    found: int = bench.one("SELECT max(id) FROM instrument")
    return found


def test_an_empty_workshop_offers_the_usual_instruments(bench: Bench) -> None:
    page = bench.whole("/workshop")
    words = Words(page).text
    assert "No instrument yet" in words and "No reamer yet" in words and "No drill yet" in words
    assert "Put the usual instruments on the list" in words
    assert '<details class="more" id="starters" open>' in page


def test_starters_are_put_once_and_say_whose_figures_they_are(bench: Bench) -> None:
    first = bench.send("/workshop", STARTERS, plug_size="25", plug_class="H7")
    assert first.status_code == 303 and first.headers["location"] == "/workshop?put=some#instruments"
    assert _names(bench) == ["rule", "caliper", "micrometer", "bore gauge", "plug gauges 25 mm H7"]
    # ISO 286-2:2010: 25 H7 is 25.000 to 25.021.
    assert bench.rows("SELECT go_nm, not_go_nm, reach FROM instrument WHERE kind = 'plug'") == [
        (25_000_000, 25_021_000, "inside")
    ]
    words = Words(bench.get("/workshop?put=some")).text
    assert words.count("A starting point, from memory, verify") == 5
    before = bench.dump()
    again = bench.send("/workshop", STARTERS, unit="in", plug_size="25 mm", plug_class="H7")
    assert again.headers["location"] == "/workshop?put=none#instruments"
    assert bench.dump() == before
    assert "nothing was added twice" in Words(bench.get("/workshop?put=none")).text


def test_starters_whose_answer_was_lost_are_answered_again(bench: Bench) -> None:
    form = bench.form("/workshop", STARTERS).filled()
    first, again = bench.post(STARTERS, form), bench.post(STARTERS, form)
    assert first.headers["location"] == again.headers["location"] == "/workshop?put=some#instruments"
    words = bench.refused(partial(bench.post, STARTERS, {**form, "plug_size": "25"}), 409)
    assert "nothing was stored, now it says “25”" in words.text.replace("Nothing", "nothing")
    assert len(_names(bench)) == 4


def test_inch_starters_and_only_the_missing_ones(bench: Bench) -> None:
    _add(bench, name="Micrometer")
    assert bench.send("/workshop", STARTERS, unit="in").status_code == 303
    assert _names(bench) == ["Micrometer", "rule", "caliper", "bore gauge"]
    assert bench.one("SELECT resolution_nm FROM instrument WHERE name = 'caliper'") == 12_700  # 0.0005 in
    assert bench.one("SELECT expanded_nm FROM instrument WHERE name = 'Micrometer'") == 6_000


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"plug_size": "red hot"}, "plug_size", "such as 19.05 mm"),
        ({"plug_size": "0"}, "plug_size", "outside the limits table"),
        ({"plug_size": "-25"}, "plug_size", "has a sign"),
        ({"plug_size": "80 mm"}, "plug_size", "Leave it empty to go without"),
    ],
)
def test_starters_with_a_bad_plug_put_nothing(
    bench: Bench, changes: dict[str, str], field: str, sentence: str
) -> None:
    words = bench.refused(partial(bench.send, "/workshop", STARTERS, **changes))
    assert sentence in words.at(field)
    assert f'value="{changes["plug_size"]}"' in bench.send("/workshop", STARTERS, **changes).text


@pytest.mark.parametrize("changes", [{"plug_size": "25", "plug_class": "Z9"}, {"unit": "ell"}])
def test_starters_take_no_choice_that_was_not_offered(bench: Bench, changes: dict[str, str]) -> None:
    asked = {"unit": "mm", "plug_size": "", "plug_class": "H7", **changes}
    assert "from the list" in bench.refused(partial(bench.post, "/workshop/starters", asked)).text


def test_an_instrument_is_stored_as_typed_and_shown_both_ways(bench: Bench) -> None:
    _add(bench)
    assert bench.rows(ALL) == [
        ("bore gauge 18-35", "value", "inside", 1_000, 6_000, -2_000, None, None, 11_500)
    ]
    words = Words(bench.whole("/workshop")).text
    assert "0.006 mm (0.000236 in)" in words and "-0.002 mm (-0.000079 in)" in words
    assert "14 Mar 2026" in words and bench.one("SELECT note FROM instrument") == "certificate"


def test_inches_thou_and_an_empty_zero_offset(bench: Bench) -> None:
    _add(bench, unit="in", resolution="0.0001", expanded="0,2 thou", zero_offset="")
    assert bench.rows(ALL)[0][3:6] == (2_540, 5_080, 0)


def test_plug_gauges(bench: Bench) -> None:
    assert bench.post(NEW, PLUG).status_code == 303
    assert bench.rows(ALL) == [("plugs 19", "plug", "inside", 0, 2_000, 0, 19_000_000, 19_021_000, 11_500)]
    page = bench.get("/workshop/instruments/1")
    assert form_on(page, "/workshop/instruments/1").fields["not_go"] == ["19.021 mm"]
    assert 'name="resolution"' not in page and 'name="zero_offset"' not in page


BAD = [
    (VALUE, "name", " ", "is empty"),
    (VALUE, "name", "x" * 41, "40 is the most"),
    (VALUE, "name", "a\u202eb", "cannot be shown"),
    (VALUE, "expanded", "-0.006", "less than nothing"),
    (VALUE, "expanded", "strong", "such as 19.05 mm"),
    (VALUE, "expanded", "", "Nothing was typed"),
    (VALUE, "resolution", "0", "above nothing"),
    (VALUE, "resolution", "-0.01", "above nothing"),
    (VALUE, "resolution", "1e-3", "exponent"),
    (VALUE, "zero_offset", "about 2", "such as 19.05 mm"),
    (VALUE, "alpha", "hot", "such as 11.5"),
    (VALUE, "alpha", "-3", "between 0 and 200"),
    (VALUE, "alpha", "201", "between 0 and 200"),
    (VALUE, "checked_on", "14.3.2026", "is no date"),
    (VALUE, "checked_on", "2026-02-30", "is no date"),
    (VALUE, "checked_on", "2026-W11-6", "is no date"),
    (VALUE, "checked_on", "20260314", "is no date"),
    (VALUE, "checked_on", "0001-01-01", "too long ago"),
    (VALUE, "checked_on", "9999-12-31", "still to come"),
    (VALUE, "note", "n" * 201, "200 is the most"),
    (VALUE, "reach", "the moon", "from the list"),
    (VALUE, "unit", "ell", "from the list"),
    (PLUG, "go", "19.021", "must be smaller"),
    (PLUG, "go", "19.5", "must be smaller"),
    (PLUG, "go", "0", "has no size"),
    (PLUG, "go", "-19", "has a sign"),
    (PLUG, "not_go", "", "Nothing was typed"),
    (PLUG, "expanded", "-1 thou", "less than nothing"),
]


@pytest.mark.parametrize(("base", "field", "text", "sentence"), BAD)
def test_bad_fields_are_told_beside_them_and_keep_what_was_typed(
    bench: Bench, base: dict[str, str], field: str, text: str, sentence: str
) -> None:
    words = bench.refused(partial(bench.post, NEW, {**base, field: text}))
    beside = words.by_id.get(f"{field}-error", "")
    assert sentence in beside and sum(name.endswith("-error") for name in words.by_id) == 1, words.by_id
    shown = form_on(bench.post(NEW, {**base, field: text}).text, NEW).fields
    others = {key: [value] for key, value in base.items() if key != field}
    assert {key: shown[key] for key in others} == others
    if field not in ("reach", "unit"):
        assert shown[field] == [text]


def test_every_fault_is_told_at_once(bench: Bench) -> None:
    bad = {**VALUE, "name": "", "expanded": "-1", "resolution": "0", "alpha": "x", "checked_on": "soon"}
    words = bench.refused(partial(bench.post, NEW, bad))
    assert {f"{name}-error" for name in ("name", "expanded", "resolution", "alpha", "checked_on")} <= set(
        words.by_id
    )


def test_tomorrow_is_still_to_come_and_today_is_not(bench: Bench) -> None:
    today = datetime.now(UTC).astimezone().date()
    tomorrow = (today + timedelta(days=1)).isoformat()
    assert (
        "still to come"
        in bench.refused(partial(bench.post, NEW, {**VALUE, "checked_on": tomorrow})).by_id[
            "checked_on-error"
        ]
    )
    _add(bench, checked_on=today.isoformat())


@pytest.mark.parametrize(
    ("checked_on", "caution"),
    [("", "Not checked"), ("2026-05-01", ""), ("2025-05-01", ""), ("2025-04-30", "more than a year ago")],
)
def test_a_check_long_ago_or_never_is_a_caution(checked_on: str, caution: str) -> None:
    _, said = checked_words(checked_on, date(2026, 5, 1))
    assert (caution in said) if caution else said == ""


def test_a_name_is_given_once(bench: Bench) -> None:
    own = _add(bench)
    taken = {**VALUE, "name": "BORE gauge 18-35"}
    assert "is called bore gauge 18-35" in bench.refused(partial(bench.post, NEW, taken)).at("name")
    other = _add(bench, name="other")
    page = f"/workshop/instruments/{other}"
    assert "is called" in bench.refused(partial(bench.send, page, page, name="bore gauge 18-35")).at("name")
    page = f"/workshop/instruments/{own}"
    assert bench.send(page, page, name="Bore Gauge 18-35").status_code == 303
    assert bench.send("/workshop", f"{page}/retire").status_code == 303
    words = bench.refused(partial(bench.post, NEW, taken)).at("name")
    assert "A retired instrument is called Bore Gauge 18-35: take it back into use" in words


@pytest.mark.parametrize(
    "name", ["<script>alert(1)</script>", "🛞 gauge", "'; DROP TABLE instrument --", '"><b>']
)
def test_any_name_is_only_text(bench: Bench, name: str) -> None:
    own = _add(bench, name=name)
    for path in ("/workshop", f"/workshop/instruments/{own}"):
        page = bench.whole(path)
        assert name in Words(page).text
        assert "<script>alert" not in page and '"><b>' not in page
    assert form_on(page, f"/workshop/instruments/{own}").fields["name"] == [name]


def test_the_same_form_sent_twice_adds_one(bench: Bench) -> None:
    form = form_on(bench.get(NEW), NEW).filled(**VALUE)
    assert [bench.post(NEW, form).status_code for _ in range(2)] == [303, 303]
    assert _names(bench) == ["bore gauge 18-35"]


def test_a_change_keeps_every_figure_that_was_not_touched(bench: Bench) -> None:
    own = _add(bench, unit="in", resolution="1/128", expanded="0.0033", zero_offset="-0.00013", alpha="8.125")
    before = bench.rows(ALL)
    page = f"/workshop/instruments/{own}"
    assert bench.send(page, page).status_code == 303
    assert bench.rows(ALL) == before
    assert bench.one("SELECT version FROM instrument") == 2


def test_a_stale_form_is_a_conflict_that_keeps_what_was_typed(bench: Bench) -> None:
    own = _add(bench)
    page = f"/workshop/instruments/{own}"
    old = form_on(bench.get(page), page)
    assert bench.send(page, page, expanded="0.004").status_code == 303
    late = old.filled(expanded="0.009")
    assert "out of date" in bench.refused(partial(bench.post, page, late), 409).text
    answer = bench.post(page, late).text
    assert form_on(answer, page).fields["expanded"] == ["0.009"]
    # The form that was refused stays out of date: sent again it is refused again.
    assert bench.post(page, form_on(answer, page).filled()).status_code == 409
    for seen in ("", "0", "x", str(2**70)):
        assert bench.post(page, {**late, "seen": seen, "token": ""}).status_code == 409
    assert bench.one("SELECT expanded_nm FROM instrument") == 4_000


def test_a_starter_stays_marked_until_its_u_is_replaced(bench: Bench) -> None:
    assert bench.send("/workshop", STARTERS).status_code == 303
    page = "/workshop/instruments/4"
    assert "Nobody's certificate yet" in bench.get(page)
    assert bench.send(page, page, zero_offset="0.001").status_code == 303
    assert "starting point" in bench.one("SELECT note FROM instrument WHERE id = 4")
    assert bench.send(page, page, expanded="0.004").status_code == 303
    assert bench.one("SELECT note FROM instrument WHERE id = 4") == ""
    assert "Nobody's certificate yet" not in bench.get(page)


def test_retiring_and_taking_back(bench: Bench) -> None:
    own = _add(bench)
    action = f"/workshop/instruments/{own}/retire"
    stale = bench.form("/workshop", action).filled()
    assert bench.send("/workshop", action).status_code == 303
    assert "Retired instruments (1)" in Words(bench.whole("/workshop")).text
    assert bench.post(action, stale).status_code == 303  # it is so already: nothing to do
    assert bench.one("SELECT version FROM instrument") == 2
    assert "not offered for new readings" in bench.get(f"/workshop/instruments/{own}")
    assert bench.refused(partial(bench.post, action, {"retired": "no", "seen": "1"}), 409)
    assert bench.send("/workshop", action).status_code == 303
    assert bench.one("SELECT retired FROM instrument") == 0


@pytest.mark.parametrize("number", ["0", "-1", "99", "x", str(2**63), str(2**70)])
def test_what_does_not_exist_is_not_found(bench: Bench, number: str) -> None:
    page = f"/workshop/instruments/{number}"
    assert bench.client.get(page).status_code == 404
    for path in (
        page,
        f"{page}/retire",
        f"/workshop/reamers/{number}/retire",
        f"/workshop/drills/{number}/retire",
    ):
        bench.refused(partial(bench.post, path, VALUE), 404)


@pytest.mark.parametrize("kind", ["", "laser", "<b>"])
def test_a_kind_is_one_of_the_two(bench: Bench, kind: str) -> None:
    bench.refused(partial(bench.post, NEW, {**VALUE, "kind": kind}), 404)
    assert bench.client.get(NEW, params={"kind": kind}).status_code == 404


TOOLS = [("reamer", "/workshop/reamers"), ("drill", "/workshop/drills")]


@pytest.mark.parametrize(("what", "path"), TOOLS)
def test_tools_are_named_by_their_size_or_by_hand(bench: Bench, what: str, path: str) -> None:
    assert bench.send("/workshop", _form_of(path), size="18,5; 3/4 in ;; 750.5 thou").status_code == 303
    assert bench.send("/workshop", _form_of(path), size="19", name="19, the <old> one 🛞").status_code == 303
    found = bench.rows(f"SELECT name, nominal_nm, text FROM {what} ORDER BY id")
    assert found == [
        ("18,5 mm", 18_500_000, "18,5"), ("3/4 in", 19_050_000, "3/4 in"), ("750.5 thou", 19_062_700, "750.5 thou"),
        ("19, the <old> one 🛞", 19_000_000, "19"),
    ]  # fmt: skip
    page = bench.whole("/workshop")
    assert "19, the <old> one 🛞" in Words(page).text and "<old>" not in page


@pytest.mark.parametrize(("what", "path"), TOOLS)
@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"size": ""}, "size", "Type the size"),
        ({"size": " ; "}, "size", "Type the size"),
        ({"size": "0"}, "size", "more than nothing"),
        ({"size": "-19"}, "size", "has a sign"),
        ({"size": "19; nineteen"}, "size", "such as 19.05 mm"),
        ({"size": "750"}, "size", "check the figure and its unit"),
        ({"size": "3/4"}, "size", "fraction without a unit"),
        ({"size": "19; 19"}, "size", "twice"),
        ({"size": "; ".join(str(n) for n in range(1, 32))}, "size", "two goes"),
        ({"size": "19", "name": "n" * 41}, "name", "40 is the most"),
        ({"size": "19; 20", "name": "pair"}, "name", "One name cannot"),
    ],
)
def test_bad_tools(
    bench: Bench, what: str, path: str, changes: dict[str, str], field: str, sentence: str
) -> None:
    words = bench.refused(partial(bench.send, "/workshop", _form_of(path), **changes))
    assert sentence in words.by_id[f"{what}-{field}-error"]
    kept = form_on(bench.send("/workshop", _form_of(path), **changes).text, _form_of(path)).fields
    assert all(kept[key] == [text] for key, text in changes.items())


@pytest.mark.parametrize(("what", "path"), TOOLS)
def test_a_tool_is_there_once_and_comes_back(bench: Bench, what: str, path: str) -> None:
    assert bench.send("/workshop", _form_of(path), size="19 mm").status_code == 303
    again = bench.refused(partial(bench.send, "/workshop", _form_of(path), size="20 mm; 19 MM"))
    assert "is on the list already" in again.by_id[f"{what}-size-error"]
    form = bench.form("/workshop", _form_of(path)).filled(size="21 mm")
    assert [bench.post(path, form).status_code for _ in range(2)] == [303, 303]
    assert _names(bench, what) == ["19 mm", "21 mm"]
    retire = f"{path}/1/retire"
    assert bench.send("/workshop", retire).status_code == 303
    assert f"Retired {what}s (1)" in Words(bench.whole("/workshop")).text
    assert bench.send("/workshop", _form_of(path), size="19 mm").status_code == 303
    assert bench.rows(f"SELECT id, retired FROM {what} ORDER BY id") == [(1, 0), (2, 0)]
    assert bench.post(retire, {"retired": "yes"}).status_code == 303
    assert bench.post(retire, {"retired": "no"}).status_code == 303
    assert bench.one(f"SELECT retired FROM {what} WHERE id = 1") == 0


def _reamed(bench: Bench, mark: str, nm: int, *, reamer: int = 1, instrument: int | None = None) -> None:
    """A bore logged as cut by a reamer."""
    bench.put("bore", nm, casting_id=bench.id(mark), instrument_id=instrument, reamer_id=reamer)


def test_a_reamer_tells_what_it_has_cut_so_far(bench: Bench) -> None:
    bench.metric()
    assert bench.send("/workshop", _form_of("/workshop/reamers"), size="19.05").status_code == 303
    assert "no bore is logged from it" in Words(bench.whole("/workshop")).text
    _reamed(bench, "W1", 19_058_000)
    assert "One bore is logged, +0.008 mm" in Words(bench.whole("/workshop")).text
    _reamed(bench, "W2", 19_061_000)
    _reamed(bench, "W3", 19_059_000)
    # Mean 19.0593, s 1.528 um, t 4.303 for two degrees of freedom: 4.303 x 1.528 x sqrt(4/3) = 7.59 um each way.
    words = Words(bench.whole("/workshop")).text
    assert "Cuts +0.009 mm (+0.0004 in) on its marked size in 3 bores" in words
    assert "between 19.052 mm (0.7501 in) and 19.067 mm (0.7507 in)" in words


def test_a_coarse_instrument_widens_what_is_expected(bench: Bench) -> None:
    bench.metric()
    assert bench.send("/workshop", STARTERS).status_code == 303
    assert bench.send("/workshop", _form_of("/workshop/reamers"), size="19.05").status_code == 303
    for mark in ("W1", "W2"):
        _reamed(bench, mark, 19_060_000, instrument=2)  # the caliper, steps of 0.010 mm
    # s = 10 / sqrt 12 = 2.887 um, t 12.706 for one degree: 12.706 x 2.887 x sqrt(3/2) = 44.9 um each way.
    assert "between 19.015 mm (0.7486 in) and 19.105 mm (0.7522 in)" in Words(bench.whole("/workshop")).text


def test_a_retired_reamer_that_has_cut_keeps_its_size(bench: Bench) -> None:
    bench.metric()
    assert bench.send("/workshop", _form_of("/workshop/reamers"), size="19", name="hand").status_code == 303
    _reamed(bench, "W1", 19_010_000)
    assert bench.send("/workshop", "/workshop/reamers/1/retire").status_code == 303
    again = partial(bench.send, "/workshop", _form_of("/workshop/reamers"), name="Hand")
    assert (
        "of another size is called hand"
        in bench.refused(partial(again, size="20")).by_id["reamer-size-error"]
    )
    assert again(size="19.000 mm").status_code == 303
    assert bench.rows("SELECT name, nominal_nm, retired FROM reamer") == [("Hand", 19_000_000, 0)]


def _unit(bench: Bench, page: str, action: str) -> list[str]:
    return bench.form(page, action).fields["unit"]


def test_a_number_alone_is_in_millimetres_until_the_person_says_otherwise(bench: Bench) -> None:
    places = [("/workshop", STARTERS), ("/workshop", _form_of("/workshop/drills")), (NEW, NEW)]
    assert [_unit(bench, *place) for place in places] == [["mm"]] * 3
    bench.start()  # in inches: what a build is drawn in says nothing of the workshop's instruments
    assert [_unit(bench, *place) for place in places] == [["mm"]] * 3
    assert bench.send("/workshop", _form_of("/workshop/drills"), size="3/4", unit="in").status_code == 303
    assert [_unit(bench, *place) for place in places] == [["in"]] * 3
    bench.client.cookies.set("spokeshed_unit", "<b>")
    assert bench.client.get("/workshop").status_code == 200


@pytest.mark.parametrize("spelling", ["6 um", "6 \u00b5m", "6 \u03bcm", "6 micron"])
def test_micrometres_are_taken(bench: Bench, spelling: str) -> None:
    _add(bench, expanded=spelling, resolution="1 um", zero_offset="-2 um")
    assert bench.rows(ALL)[0][3:6] == (1_000, 6_000, -2_000)


def test_a_metric_gauge_stays_metric_whatever_the_builds_are_in(bench: Bench) -> None:
    own = _add(bench)
    bench.start()
    page = f"/workshop/instruments/{own}"
    fields = form_on(bench.get(page), page).fields
    assert (
        fields["unit"] == ["mm"]
        and fields["resolution"] == ["0.001 mm"]
        and fields["expanded"] == ["0.006 mm"]
    )
    assert bench.send(page, page, expanded="0.008").status_code == 303
    assert bench.one("SELECT expanded_nm FROM instrument") == 8_000


def test_an_inch_reading_with_a_metric_gauge_is_no_cause_for_doubt(bench: Bench) -> None:
    _add(bench)
    bench.start(axles="2", coupled="1 2", castings="6")  # in inches
    bench.tick("W1", "received", "back_faced", "bored")
    for text, doubted in (("0.7490", False), ("0.7475 in", False), ("19.0246 mm", True)):
        assert bench.log("W1", "bore", text, instrument_id="1", remeasure="yes").status_code == 303
        assert ("between two of them" in Words(bench.get("/castings/1/bore")).text) is doubted, text


def test_each_instrument_and_tool_is_shown_in_its_own_system_first(bench: Bench) -> None:
    _add(bench)
    _add(bench, name="inch micrometer", resolution="0.0001 in", expanded="0.0002 in", zero_offset="")
    assert _unit(bench, "/workshop/instruments/2", "/workshop/instruments/2") == ["in"]
    assert bench.send("/workshop", _form_of("/workshop/reamers"), size="19; 3/4 in").status_code == 303
    bench.client.cookies.set("spokeshed_unit", "in")
    words = Words(bench.whole("/workshop")).text
    assert "0.006 mm (0.000236 in)" in words and "0.0001 in (0.00254 mm)" in words
    assert "Marked 19.000 mm (0.7480 in)" in words and "Marked 0.7500 in (19.050 mm)" in words


@pytest.mark.parametrize(("expanded", "stored"), [("0.008 in", 203_200), ("0.00009 mm", 90)])
def test_an_uncertainty_that_hardly_fits_the_step_is_asked_about(
    bench: Bench, expanded: str, stored: int
) -> None:
    own = _add(bench)
    page = f"/workshop/instruments/{own}"
    for path in (NEW, page):
        name = "another" if path == NEW else VALUE["name"]
        typed = form_on(bench.get(path), path).filled(**{**VALUE, "name": name, "expanded": expanded})
        words = bench.refused(partial(bench.post, path, typed))
        assert "is the unit right?" in words.by_id["sure-error"]
        answer = form_on(bench.post(path, typed).text, path)
        assert answer.fields["expanded"] == [expanded]
        ticked = f"{stored} of 1000"
        # The box counts for the figures it stood beside, and for no others.
        other = answer.filled(sure=ticked, expanded="0.5 mm")
        assert "500 steps" in bench.refused(partial(bench.post, path, other)).by_id["sure-error"]
        assert bench.post(path, answer.filled(sure=ticked)).status_code == 303
        assert bench.one("SELECT count(*) FROM instrument WHERE expanded_nm = ?", stored) == 1 + (
            path == page
        )
    # What was confirmed once is not asked again.
    assert bench.send(page, page, note="tried on a ring").status_code == 303
    assert bench.one("SELECT note FROM instrument WHERE id = ?", own) == "tried on a ring"


def test_the_sheet_asks_the_database_as_often_with_many_tools(bench: Bench) -> None:
    def asked() -> int:
        with counting(bench.db) as said:
            bench.whole("/workshop")
        return len(said)

    before = asked()
    assert bench.send("/workshop", STARTERS).status_code == 303
    for path in ("reamers", "drills"):
        sizes = "; ".join(str(n) for n in range(1, 31))
        assert bench.send("/workshop", _form_of(f"/workshop/{path}"), size=sizes).status_code == 303
    assert asked() == before


def test_each_list_lies_folded_with_its_count(bench: Bench) -> None:
    assert (
        "Nothing listed yet: instruments, reamers, drills, machines, chucks"
        in Words(bench.get("/workshop")).text
    )
    assert bench.send("/workshop", STARTERS).status_code == 303
    assert bench.send("/workshop", _form_of("/workshop/reamers"), size="19 mm; 3/4 in").status_code == 303
    html = bench.get("/workshop")
    page = Words(html).text
    assert (
        "Nothing listed yet: drills, machines, chucks" in page
        and "Reamers: 2" in page
        and "Drills: 0" in page
    )
    assert not [form for form in forms_on(html) if form.action.startswith("/workshop")]
    for name, words in (
        ("instruments", "The usual instruments"),
        ("reamers", "Add a reamer"),
        ("drills", "Add a drill"),
        ("machines", "Add a lathe"),
        ("chucks", "Add a chuck"),
    ):
        assert words not in page and words in Words(bench.get(opened("/workshop", name))).text
