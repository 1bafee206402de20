"""Re-turning through HTTP: wear is logged and judged, a set goes back to tread turned and lives again; all on record."""

import re
import shutil
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from sqlite3 import connect

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from tests.webapp.exchange.conftest import taken_in
from tests.webapp.facts.conftest import demo_file  # noqa: F401
from tests.webapp.scenes import Bench, Words, bands_on, form_on
from webapp.app import create_app
from webapp.db import Db
from webapp.exchange.writing import document_of
from webapp.facts.facts import facts_of
from webapp.records.builds import find_build
from webapp.settings import Settings

# Of the second invented build: W1 to W6 on axles 4 to 6, made 5.125 in, flanges 0.108 in thick 0.080 in above the tread,
# by a drawing whose flange is 0.125 in at the tread's level.
AXLE, HERE = 4, "/axles/4/returning"
MARKS = ("W1", "W2", "W3", "W4", "W5", "W6")
TODAY = datetime.now(UTC).astimezone().date()
WORN = {
    "worn_tread": "5.11",
    "worn_flange": "0.107",
    "worn_at": "0.08",
    "worn_height": "0.147",
    "worn_hollow": "0.003",
}


class Shed(Bench):
    """The second invented build, its wheels painted and run."""

    def own(self, mark: str) -> int:
        return self.id(mark, 2)

    def version(self, table: str, own: int) -> str:
        return str(self.one(f"SELECT version FROM {table} WHERE id = ?", own))

    def ticked(self, mark: str) -> set[str]:
        return {key for (key,) in self.rows("SELECT key FROM tick WHERE casting_id = ?", self.own(mark))}

    def wish_of(self, mark: str, key: str) -> Response:
        own = self.own(mark)
        fields = {"seen": self.version("casting", own), "wish": f"yes {key} confirmed", "reason": "runs well"}
        return self.post(f"/castings/{own}/ticks", fields)

    def painted(self, *marks: str) -> None:
        for mark in marks:
            assert self.wish_of(mark, "painted").status_code == 303

    def wear(self, mark: str, **changes: object) -> Response:
        """Log a wheel's wear by the form on the sheet."""
        own = self.own(mark)
        return self.send(f"{HERE}?open=wear-{own}", f"/castings/{own}/wear#log-{own}", **{**WORN, **changes})

    def worn_back(self, text: str) -> Response:
        """Log the back to back of the first axle after service."""
        action = f"/axles/{AXLE}/worn-back#log-axle-{AXLE}"
        return self.send(f"{HERE}?open=axle-{AXLE}", action, worn_back=text)

    def worn(self) -> None:
        for mark in MARKS:
            more = {"worn_tread": "5.108", "worn_flange": "0.105"} if mark == "W3" else {}
            assert self.wear(mark, **more).status_code == 303

    def allowed(self, text: str) -> None:
        """How far below the drawing a worn tread may come."""
        assert self.send("/builds/2/figures", "/builds/2/figures", tread_down=text).status_code == 303

    def take_back(self, **changes: object) -> Response:
        fields = {
            "out_on": TODAY.isoformat(),
            "service": "900 miles, flanges sharp",
            "sure": "yes",
            **changes,
        }
        return self.send(f"{HERE}?open=back", f"{HERE}#back", **fields)

    def out(self) -> Response:
        return self.send(f"{HERE}?open=again", f"{HERE}/out")

    def words(self, path: str = HERE) -> str:
        return Words(self.whole(path)).text

    def headline(self, path: str = HERE) -> str:
        found = re.search(r'class="verdict-line"[^>]*>(.*?)</p>', self.get(path), re.DOTALL)
        assert found is not None
        return Words(found[1]).text


@pytest.fixture
def shed(tmp_path: Path, demo_file: Path) -> Iterator[Shed]:  # noqa: F811
    path = tmp_path / "spokeshed.db"
    shutil.copy(demo_file, path)
    with closing(connect(path)) as connection, connection:
        connection.execute(
            "UPDATE dimension SET nm = 3175000, text = '0.125 in' WHERE build_id = 2 AND key = 'flange_width'"
        )
    app = create_app(Settings(path))
    with TestClient(app, base_url="http://127.0.0.1:8730", follow_redirects=False) as client:
        client.headers["origin"] = "http://127.0.0.1:8730"
        shed = Shed(client, app.state.db)
        shed.sit_down()
        yield shed


@pytest.fixture
def run(shed: Shed) -> Shed:
    """Finished and worn."""
    shed.painted(*MARKS)
    shed.worn()
    return shed


# --- what it says ---


def test_an_unfinished_set_has_nothing_to_re_turn(shed: Shed) -> None:
    assert shed.headline() == "Nothing to re-turn: no wheel here is finished."
    assert "Re-turn" not in shed.get(f"/axles/{AXLE}") and "Re-turn" not in shed.get("/builds/2/made")
    own = shed.own("W1")
    form = {"seen": shed.version("casting", own), **WORN}
    refused = shed.refused(partial(shed.post, f"/castings/{own}/wear", form))
    assert "W1 is not finished yet: wear is logged of a wheel that was in service." in refused.text
    back = {"seen": shed.version("axle", AXLE), "worn_back": "4.69"}
    assert (
        "W1 and W2 are not finished yet"
        in shed.refused(partial(shed.post, f"/axles/{AXLE}/worn-back", back)).text
    )
    take = {
        "seen": shed.version("axle", AXLE),
        "out_on": TODAY.isoformat(),
        "service": "x",
        "diameter": "5 in",
    }
    assert "No wheel of this group is finished" in shed.refused(partial(shed.post, HERE, take)).text


def test_the_worst_wheel_decides_and_the_rest_is_asked_for(shed: Shed) -> None:
    shed.painted(*MARKS)
    assert shed.headline() == "No wear is logged yet."
    assert f'href="/axles/{AXLE}/returning"' in shed.get("/builds/2/made")
    assert "Re-turn" in shed.get(f"/axles/{AXLE}")
    assert shed.wear("W1").status_code == 303
    assert shed.headline().startswith("Still to be measured: W2, W3, W4, W5 and W6. So far W1 decides: ")
    shed.worn()
    # W3: drawn 0.125 in - 0.080 in tan(10) = 0.1109 in, 5.9 thou thicker than 0.105 in; 5.9 thou / tan(10) is 33.4.
    said = "W3's flange thickness takes the most, 33.4 thou (0.849 mm) off the radius"
    assert shed.headline() == (
        f"Cannot tell: {said}, which leaves 5.0411 in (128.044 mm), but nobody said how small the tread may be."
    )
    assert bands_on(shed.get(HERE)) == []
    shed.allowed("0.1 in")
    assert bands_on(shed.get(HERE)) == ["serves"]
    assert shed.headline() == f"Good: can be turned to 5.0411 in (128.044 mm); {said}."
    assert (
        "The rim then has 8.1 thou (0.205 mm) left on the radius, down to the smallest allowed, 5.0250 in"
        in shed.words()
    )
    assert "33.4 thou (0.849 mm) for its flange thickness" in shed.words()
    assert "A hint only, and no rule for models" in shed.words()
    told = shed.rows(
        "SELECT sentence FROM journal_line WHERE casting_id = ? ORDER BY id DESC", shed.own("W3")
    )[0][0]
    assert "To turn off the radius: 33.4 thou (0.849 mm) for its flange thickness" in told


def test_the_form_proposes_the_diameter_that_was_said(run: Shed) -> None:
    """One number, and never more than the metal allows: 4.9588 in said and 4.9587 proposed are two."""
    # The metal allows 5.04119 in.
    assert run.wear("W3", worn_tread="5.10805", worn_flange="0.105").status_code == 303
    said = re.search(r"which leaves ([0-9.]+ in) ", run.headline())
    proposed = form_on(run.get(f"{HERE}?open=back"), HERE + "#back").fields["diameter"]
    assert said is not None and proposed == [said[1]] == ["5.0411 in"]


def test_a_wheel_with_no_metal_left_is_no_good_and_the_others_are_told(run: Shed) -> None:
    run.allowed("0.06 in")
    assert run.headline() == "No good: W3 has no metal left for it. A new tyre or a new wheel is wanted."
    assert "Without W3 the others can be turned to" in run.words()
    refused = run.refused(partial(run.take_back, diameter="5.0411"))
    assert "That is below the smallest allowed, 5.0650 in" in refused.text


# --- what cannot be ---


@pytest.mark.parametrize(
    "typed, says",
    [
        ({"worn_flange": "0.113"}, "thicker than the flange was there when new"),
        ({"worn_tread": "5.126"}, "That is larger than the tread was made, 5.1250 in"),
        ({"worn_at": "0.02"}, "is on the root radius of the drawn flange"),
        ({"worn_at": ""}, "Say how far above the worn tread the flange was measured."),
        ({"worn_hollow": "3"}, "That is more than the whole tyre is wide"),
        ({"worn_tread": "nought"}, "nought"),
        (dict.fromkeys(WORN, ""), "Nothing was typed"),
    ],
)
def test_wear_that_cannot_be_is_refused_and_keeps_what_was_typed(
    shed: Shed, typed: dict[str, str], says: str
) -> None:
    shed.painted("W1", "W2")
    refused = shed.refused(partial(shed.wear, "W1", **typed))
    assert says in refused.text
    # What was typed is kept.
    own = shed.own("W1")
    answer = shed.wear("W1", **typed)
    assert (
        all(f'value="{text}"' in answer.text for text in typed.values()) and f'id="log-{own}"' in answer.text
    )


def test_a_flange_that_was_thicker_by_less_than_the_instrument_says_is_taken(shed: Shed) -> None:
    shed.painted("W1", "W2")
    # Where the tread has worn the same height lies lower on the flange: 7.5 thou down, 1.3 thou thicker there.
    assert shed.wear("W1", worn_flange="0.1092").status_code == 303
    assert shed.refused(partial(shed.wear, "W2", worn_flange="0.1096")).text


@pytest.mark.parametrize(
    "typed, says",
    [
        ({"out_on": (TODAY + timedelta(days=1)).isoformat()}, "That day is still to come"),
        ({"out_on": "2020-01-01"}, "so it was in service no sooner: write a later day."),
        ({"out_on": "last week"}, "Write the day with year, month and day, such as"),
        ({"out_on": "20261129"}, "Write the day with year, month and day, such as"),
        ({"service": " "}, "is empty: write it here."),
        (
            {"diameter": "5.12 in"},
            "W3 is worn to 5.1080 in (129.743 mm) already: it cannot be turned to more.",
        ),
        ({"diameter": "5.01 in"}, "That is below the smallest allowed, 5.0250 in"),
        ({"diameter": "0"}, "A tread is more than nothing"),
        ({"diameter": "big"}, "big"),
    ],
)
def test_a_taking_back_that_cannot_be_is_refused(run: Shed, typed: dict[str, str], says: str) -> None:
    run.allowed("0.1 in")
    assert says in run.refused(partial(run.take_back, **typed)).text


def test_the_whole_wear_must_be_known(shed: Shed) -> None:
    shed.painted(*MARKS)
    assert shed.wear("W1").status_code == 303
    form = {
        "seen": shed.version("axle", AXLE),
        "out_on": TODAY.isoformat(),
        "service": "x",
        "diameter": "5 in",
        "sure": "yes",
    }
    refused = shed.refused(partial(shed.post, HERE, form))
    assert "Log the whole wear of W2, W3, W4, W5, W6 first" in refused.text


def test_it_is_asked_once_by_name_with_what_is_in_doubt(run: Shed) -> None:
    asked = run.refused(partial(run.take_back, diameter="5.05", sure=""), 409).text
    assert "W1, W2, W3, W4, W5, W6: back to tread turned, to be turned to 5.0500 in" in asked
    assert "W3 by 4.4 thou (0.112 mm) on the radius too little" in asked
    assert "Nobody said how small the tread may be." in asked


def test_a_back_to_back_that_moved_is_told_and_asked_about(run: Shed) -> None:
    assert run.worn_back("4.705").status_code == 303
    assert (
        "The back to back is 10.0 thou (0.254 mm) wider than it was made: a wheel has moved on its seat."
        in run.words()
    )
    assert "a wheel has moved" in run.refused(partial(run.take_back, sure=""), 409).text
    assert "no less than the track's gauge" in run.refused(partial(run.worn_back, "5.1")).text


# --- a second life ---


def test_taken_back_it_is_to_be_turned_to_the_new_diameter_and_its_earlier_sizes_count_no_more(
    run: Shed,
) -> None:
    before = {mark: run.ticked(mark) for mark in MARKS}
    assert run.take_back(diameter="5.04").status_code == 303
    for mark in MARKS:
        assert run.ticked(mark) == before[mark] - {"tread_turned", "painted"}
    assert run.one("SELECT count(*) FROM taken_back_tick") == 12
    assert run.one("SELECT count(*) FROM quartering WHERE axle_id = ?", AXLE) == 1
    assert run.headline() == "Taken back: W1, W2, W3, W4, W5 and W6, to be turned to 5.0400 in (128.016 mm)."
    with run.db.read() as session:
        build = find_build(session, 2)
    wheel = next(one for one in build.castings if one.mark == "W1")
    assert not {"tread", "flange_thickness", "flange_at", "flange_height", "root_radius"} & wheel.sizes.keys()
    assert "rim_height" in wheel.sizes and wheel.bore is not None and wheel.throw is not None
    treads = facts_of(build).treads
    assert treads.target_nm(wheel) == treads.aim_nm(wheel) == 128_016_000
    assert (
        "taken back to be re-turned after the back to back was logged: log it again"
        in facts_of(build).gauges(build.axles[0]).old
    )
    # Due again, with what it is to come to, and what is still to come off: from the worn size.
    assert "tread diameter To be 5.0400 in" in run.words(f"/axles/{AXLE}")
    assert "35.0 thou (0.889 mm) still to come off the radius" in run.words("/builds/2/treads")
    assert "0.0420 in (1.067 mm) on the radius is left" in run.words(f"/castings/{run.own('W1')}/metal")
    # Nothing of it is lost.
    assert "5.1250 in" in run.words(f"/castings/{run.own('W1')}/measured")
    told = run.rows("SELECT sentence FROM journal_line WHERE casting_id = ? ORDER BY id DESC", run.own("W1"))[
        0
    ][0]
    assert "Taken back to tread turned after service until" in told and "900 miles, flanges sharp" in told


@pytest.mark.parametrize("route", ["fitted_first", "mandrel_first", "front_first", "between_centres"])
def test_whatever_its_route_a_set_taken_back_stays_on_its_axle_and_is_turned_between_centres(
    client: TestClient,
    db: Db,
    route: str,
) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(route=route, axles="1", coupled="1", castings="3", marks="W1 W2 W3")
    bench.bored("W1", "W2")
    treads_last = route in ("fitted_first", "between_centres")
    for mark in ("W1", "W2"):
        assert bench.log(mark, "throw", "28.01 mm").status_code == 303
        bench.tick(mark, *(() if treads_last else ("tread_turned",)), "pressed")
    answer = bench.send("/axles/1", "/axles/1/ticks", wish="yes quartered confirmed")
    assert answer.status_code in (303, 409), Words(answer.text).text
    for mark in ("W1", "W2"):
        bench.tick(mark, *(("tread_turned",) if treads_last else ()), "painted")
        own = bench.id(mark)
        wear = {"worn_tread": "109.5", "worn_flange": "1.7", "worn_height": "2.2", "worn_hollow": "0"}
        page, action = f"/axles/1/returning?open=wear-{own}", f"/castings/{own}/wear#log-{own}"
        # How far above the tread is proposed.
        assert bench.send(page, action, **wear).status_code == 303
    page, action = "/axles/1/returning?open=back", "/axles/1/returning#back"
    assert bench.send(page, action, service="x", sure="yes").status_code == 303
    plan = Words(bench.get("/builds/1")).text
    assert "Next, in the lathe, between centres on the axle W1, W2: turn the tread" in plan
    assert "Quartered; next: tread turned" in plan
    assert {"pressed", "bored"} <= bench.ticks("W1") and not {"tread_turned", "painted"} & bench.ticks("W1")


def _second_life(shed: Shed) -> None:
    for mark in MARKS:
        own = shed.own(mark)
        sizes = {
            "flange_thickness": "0.110",
            "flange_at": "0.08",
            "flange_height": "0.139",
            "root_radius": "0.07",
        }
        form = {"seen": shed.version("casting", own), "tread": "5.04", "unit": "in", **sizes}
        assert shed.post(f"/castings/{own}/tread", form).status_code == 303
        assert shed.wish_of(mark, "tread_turned").status_code == 303
    for axle in (4, 5, 6):
        form = {"seen": shed.version("axle", axle), "back_to_back": "4.693", "unit": "in"}
        assert shed.post(f"/axles/{axle}/gauges", form).status_code == 303
    shed.painted(*MARKS)


def test_the_set_as_made_shows_both_lives(run: Shed) -> None:
    assert run.take_back(diameter="5.04").status_code == 303
    _second_life(run)
    page = run.words("/builds/2/made")
    first = page[page.index("First life: W1, W2, W3, W4, W5, W6, until") :]
    first, second = first.split("Second life: ")
    for said in (
        "900 miles, flanges sharp",
        "5.1250 in",
        "0.1080 in",
        "5.1100 in",
        "0.1050 in",
        "4.6950 in",
        "3.0 thou",
    ):
        assert said in first, said
    assert "First life, let pass then" in first
    assert second.startswith("W1, W2, W3, W4, W5, W6, turned to 5.0400 in")
    assert (
        "5.0400 in" in second
        and "0.1100 in" in second
        and "4.6930 in" in second
        and "5.1250 in" not in second
    )
    # Judged by the second life's figures.
    assert "not measured" not in run.headline("/builds/2/made")
    with run.db.read() as session:
        build = find_build(session, 2)
    assert facts_of(build).treads.of(build.castings[0]).tread.answer.value == "good"


def test_a_third_life_begins_where_the_second_was_worn(run: Shed) -> None:
    assert run.take_back(diameter="5.04").status_code == 303
    _second_life(run)
    assert run.headline() == "No wear is logged yet."
    for mark in MARKS:
        assert run.wear(mark, worn_tread="5.035", worn_flange="0.11", worn_height="0.142").status_code == 303
    assert (
        "larger than the tread was made, 5.0400 in"
        in run.refused(partial(run.wear, "W1", worn_tread="5.05")).text
    )
    assert run.take_back(diameter="5.02", service="another 400 miles").status_code == 303
    page = run.words("/builds/2/made")
    assert re.search(
        "First life.*900 miles.*Second life.*another 400 miles.*Third life.*turned to 5.0200 in",
        page,
        re.DOTALL,
    )


# --- and out of it again ---


def test_pressed_by_mistake_all_is_as_it_was(run: Shed) -> None:
    columns = "casting_id, key, at, who, let_pass, reason, device_at"
    ticks = run.rows(f"SELECT {columns} FROM tick ORDER BY casting_id, key")
    made = run.words("/builds/2/made")
    assert run.take_back(diameter="5.04").status_code == 303
    assert run.words("/builds/2/made") != made
    assert run.out().status_code == 303
    assert run.rows(f"SELECT {columns} FROM tick ORDER BY casting_id, key") == ticks
    assert run.words("/builds/2/made") == made
    assert run.rows("SELECT * FROM taken_back") == run.rows("SELECT * FROM taken_back_tick") == []
    assert "Not taken back after all" in run.rows("SELECT sentence FROM journal_line ORDER BY id DESC")[0][0]
    # A tap that arrived twice changes nothing.
    before = run.dump()
    assert run.post(f"{HERE}/out", {"seen": run.version("axle", AXLE)}).status_code == 303
    assert run.dump() == before


def test_once_something_was_done_it_must_be_undone_first(run: Shed) -> None:
    assert run.take_back(diameter="5.04").status_code == 303
    own = run.own("W2")
    assert run.wish_of("W2", "tread_turned.edge").status_code == 303
    assert (
        "W2 is ticked “sharp edge of the tread broken” since: untick that first." in run.refused(run.out).text
    )
    fields = {"seen": run.version("casting", own), "wish": "no tread_turned.edge"}
    assert run.post(f"/castings/{own}/ticks", fields).status_code == 303
    form = {"seen": run.version("axle", 5), "back_to_back": "4.693", "unit": "in"}
    assert run.post("/axles/5/gauges", form).status_code == 303
    assert "The back to back of axle 2 was measured since" in run.refused(run.out).text
    form = {"seen": run.version("casting", own), "tread": "5.05", "unit": "in"}
    assert run.post(f"/castings/{own}/tread", form).status_code == 303
    assert "The tyre of W2 was measured since: strike that out first" in run.refused(run.out).text


def test_a_wheel_that_left_its_axle_cannot_be_finished_again(run: Shed) -> None:
    assert run.take_back(diameter="5.04").status_code == 303
    own = run.own("W2")
    scrap = {"seen": run.version("casting", own), "reason": "cracked", "confirmed": "yes"}
    assert run.post(f"/castings/{own}/scrap", scrap).status_code == 303
    assert (
        "W1 is not quartered any more, so it cannot be finished again as it was." in run.refused(run.out).text
    )


def test_an_old_page_takes_nothing_back(run: Shed) -> None:
    form = run.form(f"{HERE}?open=back", f"{HERE}#back").filled(service="x", sure="yes")
    assert run.worn_back("4.694").status_code == 303
    assert "changed this at" in run.refused(partial(run.post, HERE, form | {"page": ""}), 409).text


def test_the_same_form_sent_twice_takes_back_once(run: Shed) -> None:
    form = run.form(f"{HERE}?open=back", f"{HERE}#back").filled(service="x", sure="yes", diameter="5.04")
    assert run.post(HERE, form).status_code == 303
    assert run.post(HERE, form).status_code == 303
    assert run.one("SELECT count(*) FROM taken_back") == 1


# --- what leaves the file ---


def test_both_lives_go_through_an_export(run: Shed, tmp_path: Path, empty_file: Path) -> None:
    assert run.take_back(diameter="5.04").status_code == 303
    with run.db.read() as session:
        document = document_of(session, 2)
    assert len(document["build"]["taken_back"]) == 1
    path = tmp_path / "other.db"
    shutil.copy(empty_file, path)
    other = Db(path)
    own = taken_in(other, document)
    with other.read() as session:
        there = document_of(session, own)
        build = find_build(session, own)
    other.close()
    assert there["build"] == document["build"]
    wheel = next(one for one in build.castings if one.mark == "W1")
    assert wheel.again is not None and wheel.again.worn["worn_tread"].nm == 129_794_000
    assert facts_of(build).treads.target_nm(wheel) == 128_016_000 and "tread" not in wheel.sizes


def test_wear_reads_the_same_in_a_copy_of_the_file(run: Shed, tmp_path: Path) -> None:
    assert run.take_back(diameter="5.04").status_code == 303
    copy = tmp_path / "copy.db"
    with closing(connect(run.db.path)) as here, closing(connect(copy)) as there:
        here.backup(there)
    db = Db(copy)
    with db.read() as session:
        assert facts_of(find_build(session, 2)).treads.groups[0].target_nm == 128_016_000
    db.close()
