"""Setting true through HTTP: the page's own words are followed on a simulated lathe, and every refusal is read."""

import math
import random
import re
from contextlib import closing
from html import unescape
from sqlite3 import connect

import pytest
from fastapi.testclient import TestClient

from domain.lengths import Unit
from domain.truing.dial import Dial, from_jaws
from domain.truing.setting import Grip, JawMove, Surface, advise
from domain.truing.wobble import find_wobble
from tests.domain.truing.test_setting_true_simulated import Casting, Chuck, Lathe
from tests.webapp.scenes import Bench, Words, form_on, forms_on, opened, sentences
from webapp.db import Db
from webapp.sheets.truing.drawing import CENTRE, MOST_OUT, RIM, clock_of_edge, clock_of_face

NM = {"mm": 1_000_000, "in": 25_400_000, "thou": 25_400}
MOVE = re.compile(
    r"Turn jaw (\d) under the plunger[^.]*(?:\.\d+[^.]*)*\.\s+Slacken jaw (\d)\s+Tighten jaw (\d)\s+"
    r"until the dial at jaw (\d) (reads|has gone up by|has gone down by) (-?[\d.]+) (mm|in|thou)"
)
# The same in full, where it is asked for.
IN_FULL = re.compile(
    r"Slacken jaw (\d), then tighten jaw (\d), until the dial at jaw (\d) has gone (up|down) by"
)


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    """A metric build with its six castings as they came."""
    bench = Bench(client, db).sit_down()
    bench.metric()
    return bench


def sheet(bench: Bench, mark: str = "W1") -> str:
    return f"/castings/{bench.id(mark)}/true"


def set_up(bench: Bench, mark: str = "W1", **changes: object) -> str:
    """Begin a set-up; gives the address its rounds are sent to."""
    path = sheet(bench, mark)
    answer = bench.send(
        opened(path, "set-up"), path, **{"surface": "outside", "grip": "on_outside", **changes}
    )
    assert answer.status_code == 303, Words(answer.text).text
    return f"{path}/{bench.one('SELECT max(id) FROM truing')}/rounds"


def jaws(*readings: object) -> dict[str, str]:
    return {f"jaw_{number}": str(text) for number, text in enumerate(readings, 1)}


def rows(*pairs: tuple[object, object]) -> dict[str, str]:
    found = {}
    for number, (angle, text) in enumerate(pairs, 1):
        found |= {f"angle_{number}": str(angle), f"reading_{number}": str(text)}
    return found


def read(bench: Bench, rounds: str, *readings: object, **changes: object) -> str:
    """Send a round at the jaws; gives the page that answers it, with the sums open."""
    path = rounds.rsplit("/", 2)[0]
    answer = bench.send(path, rounds, **{**jaws(*readings), **changes})
    assert answer.status_code == 303, Words(answer.text).text
    return bench.get(opened(answer.headers["location"], "true-working"))


def said(html: str, where: str = "now", end: str = "</section>") -> str:
    """The words of one part of a page."""
    begin = html.index(f'id="{where}"')
    part = html[html.index(">", begin) + 1 : html.index(end, begin)]
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", part)).split())


def part(bench: Bench, name: str, mark: str = "W1") -> str:
    """The words of a folded part of the sheet, asked for."""
    return said(bench.get(opened(sheet(bench, mark), name)), name)


# ---- The right jaw --------------------------------------------------------------------------------


def _lathe(seed: int, surface: Surface, grip: Grip, dial: Dial) -> Lathe:
    rng = random.Random(f"page {seed} {surface} {grip}")
    radius, off, towards = rng.uniform(45, 100), rng.uniform(0.3, 2.5), rng.uniform(0, 2 * math.pi)
    lean = math.tan(math.radians(rng.uniform(0, 1)))
    casting = Casting(radius, rng.uniform(0, 0.2), rng.uniform(0, math.pi), (lean, -lean / 2))
    held = Chuck.holding(grip, radius + rng.uniform(-8, 8), off * math.cos(towards), off * math.sin(towards))
    return Lathe(rng, held, casting, surface, dial, 0.003)


def _type(bench: Bench, rounds: str, lathe: Lathe, spots: int) -> str:
    """Read the simulated dial as a person does, in whole divisions, and use the key for those below zero."""
    angles = [360 * k // spots for k in range(spots)]
    counts = [lathe.read(angle).nm // lathe.dial.division_nm for angle in angles]
    name = "jaw" if spots == 4 else "reading"
    typed = {f"{name}_{k}": str(abs(count)) for k, count in enumerate(counts, 1)}
    typed |= {f"below_{k}": "yes" for k, count in enumerate(counts, 1) if count < 0}
    path = rounds.rsplit("/", 2)[0]
    answer = bench.send(f"{path}?read={'jaws' if spots == 4 else spots}", rounds, **typed)
    assert answer.status_code == 303, Words(answer.text).text
    return said(bench.get(opened(answer.headers["location"], "true-working")))


def _obey(lathe: Lathe, words: str, hand: float, *, agrees: bool = True) -> int:
    """Do what the page says, knowing nothing but its words; the dial must agree with them, or must not."""
    moves = MOVE.findall(words)
    in_full = IN_FULL.findall(words)
    assert [(slacken, tighten, watch) for watch, slacken, tighten, *_ in moves] == [
        one[:3] for one in in_full
    ]
    for (watch, slacken, tighten, at, verb, figure, unit), (*_, way) in zip(moves, in_full, strict=True):
        assert watch == at
        nm = round(float(figure) * NM[unit])
        shown = round(lathe.shows({1: 0.0, 2: 90.0, 3: 180.0, 4: 270.0}[int(watch)]) * 1e6)
        target = nm if verb == "reads" else None
        by = nm if target is None else abs(target - shown)
        change = by if way == "up" else -by
        move = JawMove(int(slacken), int(tighten), by, 0.0, None, int(watch), change, target)
        lathe.make(move, hand, to_target=True)
        assert lathe.last_change_agrees is agrees
    return len(moves)


@pytest.mark.parametrize("surface", list(Surface))
@pytest.mark.parametrize("grip", list(Grip))
def test_whoever_follows_the_page_has_a_true_wheel_after_two_rounds(
    bench: Bench, surface: Surface, grip: Grip
) -> None:
    dials = [(10_000, Unit.MM, "0.01 mm"), (25_400, Unit.INCH, "0.001 in"), (12_700, Unit.INCH, "0.0005 in")]
    for seed in range(6):
        division, unit, name = dials[seed % 3]
        dial = Dial(division, unit, counts_up_when_pushed_in=seed % 2 == 0)
        lathe = _lathe(seed, surface, grip, dial)
        rounds = set_up(
            bench, f"W{seed + 1}", surface=surface.value, grip=grip.value, division=name,
            counts_up="no" if seed % 2 else "yes", tolerance=name,
        )  # fmt: skip
        before, hand = lathe.casting.off(lathe.chuck.middle), 0.92 + 0.03 * seed
        for number in range(2):
            moved = _obey(lathe, _type(bench, rounds, lathe, 8 if seed > 3 else 4), hand)
            assert moved or number, "nothing to move on a wheel far out"
        after = lathe.casting.off(lathe.chuck.middle)
        # Half a division on each slide and in each figure, 3 sigma of noise; a hand out by a tenth leaves a tenth of a
        # tenth, and of what an arc sliding across the plunger hides from the first round, e^2 / 2r.
        allowed = division / 1e6 + 0.009 + 0.1 * (0.1 * before + before**2 / (2 * lathe.casting.radius))
        assert after <= allowed < before / 3
        assert "wrong way" not in _type(bench, rounds, lathe, 4)


def test_a_muddled_sheet_is_told_that_it_went_the_wrong_way(bench: Bench) -> None:
    lathe = _lathe(1, Surface.INSIDE, Grip.ON_OUTSIDE, Dial(10_000, Unit.MM))
    rounds = set_up(bench, surface="inside", grip="on_inside")
    _obey(lathe, _type(bench, rounds, lathe, 4), 1.0, agrees=False)
    words = _type(bench, rounds, lathe, 4)
    assert words.startswith("The last move went the wrong way")
    assert "Push the plunger in with a finger" in words
    # The way out: close it, and the form for a new one stands there as it was filled in.
    answer = bench.send(sheet(bench), rounds.replace("rounds", "close"), again="yes")
    assert answer.headers["location"].endswith("#set-up")
    again = form_on(bench.get(opened(sheet(bench), "set-up")), sheet(bench))
    assert again.fields["grip"] == ["on_inside"]
    assert sentences(bench.journal("W1"), "Stopped setting W1 true from the back", "after 2 rounds")


def test_figures_and_words_of_a_round_worked_by_hand(bench: Bench) -> None:
    # (R1 - R3) / 2 = 0.12 mm; largest - smallest = 0.24 mm; the middle figure, 0.35, is where the dial must come to.
    page = read(bench, set_up(bench), 47, 35, 23, 35)
    words = said(page)
    assert MOVE.findall(words) == [("1", "3", "1", "1", "reads", "0.350", "mm")]
    assert IN_FULL.findall(words) == [("3", "1", "1", "down")]
    assert "reads 0.350 mm (35 divisions)" in words
    assert "(total indicator reading, TIR) 0.240 mm (0.0094 in)" in words
    # Half a division unseen on each pair: 0.005 x sqrt(2) = 0.007 mm off, and twice that in the swing.
    assert "To expect after these moves, about 0.014 mm" in words
    assert "The jaws close on the outside here: tighten means winding a jaw in" in words
    assert "Jaws 2 and 4: leave them as they are." in words
    assert "(R1 - R3)/2" in page
    picture = re.findall(r'data-word="(\w+)" x="[\d.]+" y="[\d.]+"[^>]*>(\w+)<', page)
    assert [word for word, _ in picture] == ["tighten", "leave", "slacken", "leave"]
    stored = bench.rows("SELECT angle_udeg, nm, text FROM dial_reading ORDER BY ordinal")
    assert stored == [
        (0, 470_000, "47"), (90_000_000, 350_000, "35"), (180_000_000, 230_000, "23"), (270_000_000, 350_000, "35"),
    ]  # fmt: skip
    assert bench.journal("W1")[-1] == (
        "W1, round 1 on the outside of the rim: the dial swings 0.240 mm (0.0094 in) in a whole turn."
        " Slacken jaw 3, tighten jaw 1."
    )
    assert "Round 2: dial on the outside of the rim" in Words(page).text


@pytest.mark.parametrize(
    ("division", "texts", "nm"),
    [
        ("0.01 mm", ("12", "0.12", "0,12 mm", "120 um"), 120_000),
        ("0.001 in", ("12", "0.012", ".012", "12 thou"), 304_800),
        ("0.0005 in", ("12", "0.006", "6 thou", "+12"), 152_400),
    ],
)
def test_what_a_number_alone_means(bench: Bench, division: str, texts: tuple[str, ...], nm: int) -> None:
    rounds = set_up(bench, division=division)
    for text in texts:
        read(bench, rounds, text, 0, "0", 0)
    read(bench, rounds, 12, 0, 0, 0, below_1="yes")
    stored = bench.rows("SELECT nm, text FROM dial_reading WHERE ordinal = 1 ORDER BY round_id")
    assert stored == [*((nm, text) for text in texts), (-nm, "-12")]


def test_a_dial_with_a_division_of_its_own(bench: Bench) -> None:
    read(bench, set_up(bench, division="own", division_own="0.0001 in"), 50, 0, 0, 0)
    assert bench.one("SELECT max(nm) FROM dial_reading") == 50 * 2540
    assert bench.rows("SELECT dial_unit, division_nm FROM truing") == [("in", 2540)]


def test_turns_of_the_key_where_the_screw_is_known(bench: Bench) -> None:
    # 0.75 mm with a screw of 3 mm a turn is a quarter of a turn.
    words = said(read(bench, set_up(bench, screw="3 mm"), 150, 0, 0, 0))
    assert "a quarter turn of the key" in words


def test_readings_at_angles_of_ones_own(bench: Bench) -> None:
    # R = 0.2 + 0.1 cos(angle - 90) mm: highest at jaw 2, so on the outside the wheel lies 0.1 mm towards jaw 2.
    rounds = set_up(bench)
    path = rounds.rsplit("/", 2)[0]
    pairs = [(angle, f"{0.2 + 0.1 * math.sin(math.radians(angle)):.6f} mm") for angle in range(0, 360, 30)]
    form = form_on(bench.get(f"{path}?read=12"), rounds)
    assert [form.fields[f"angle_{k}"] for k in (1, 2, 12)] == [["0"], ["30"], ["330"]]
    answer = bench.post(rounds, form.filled(**rows(*pairs)))
    words = said(bench.get(opened(answer.headers["location"], "true-working")))
    assert [found[:4] for found in MOVE.findall(words)] == [("2", "4", "2", "2")]
    assert "(total indicator reading, TIR) 0.200 mm" in words
    # The form for the next round has as many boxes again.
    assert form_on(bench.get(answer.headers["location"]), rounds).fields["read"] == ["12"]


def test_three_spots_are_enough_and_say_what_they_cannot_tell(bench: Bench) -> None:
    rounds = set_up(bench)
    page = bench.send(f"{sheet(bench)}?read=6", rounds, **rows((0, 9), (120, 0), (240, 0)), **{"angle_4": ""})
    words = said(bench.get(opened(page.headers["location"], "true-working")))
    assert "cannot be told from three spots" in words and "Read a fourth spot" in words


def test_the_picture_lies_as_the_words_say() -> None:
    # Jaw 1 reads 0.12 mm high on the outside: the wheel lies up, towards jaw 1, and must go down, towards jaw 3.
    readings = from_jaws({1: 120_000, 2: 0, 3: -120_000, 4: 0})
    dial = Dial(10_000, Unit.MM)
    for grip, is_outside in ((Grip.ON_OUTSIDE, True), (Grip.ON_INSIDE, False)):
        advice = advise(readings, Surface.OUTSIDE, grip, dial, 20_000)
        clock = clock_of_edge(advice, 0)
        assert (clock.work_x, clock.work_y) == (clock.centre, clock.centre - MOST_OUT)
        assert clock.arrow == f"M{CENTRE:g} {CENTRE:g}L{CENTRE:g} {CENTRE + 56:g}", "straight down"
        at = {jaw.number: (jaw.x, jaw.y) for jaw in clock.jaws}
        assert at[1][1] < at[2][1] == at[4][1] < at[3][1] and at[4][0] < at[1][0] < at[2][0]
        tops = [float(y) for y in re.findall(r" ([\d.]+)(?= [LZ])", clock.jaws[0].block)]
        assert all((y < clock.centre - clock.rim) is is_outside for y in tops)
        first = clock.points[0]
        assert (first.x, first.y) == (CENTRE, clock.centre - clock.rim - MOST_OUT)
    # As good as true it is drawn as good as true.
    assert clock_of_edge(advice, 1_200_000).work_y == CENTRE - MOST_OUT / 10
    # On a face jaw 2 stands proud: drawn to the right, and tapped there.
    readings = from_jaws({1: 0, 2: 300_000, 3: 0, 4: -300_000})
    face = clock_of_face(readings, find_wobble(readings, 50_000_000, dial), Grip.ON_INSIDE, 0)
    assert (face.work_x, face.work_y) == (CENTRE + MOST_OUT, CENTRE) and (face.tap_x, face.tap_y) == (
        CENTRE + RIM,
        CENTRE,
    )
    assert face.tap and not face.arrow


# ---- Rounds, striking out, finishing --------------------------------------------------------------


def test_rounds_come_together_are_ticked_and_closed(bench: Bench) -> None:
    bench.tick("W3", "received")
    rounds = set_up(bench, "W3")
    assert "It is coming true" in said(read(bench, rounds, 60, 0, 0, 0) and read(bench, rounds, 14, 0, 0, 0))
    page = read(bench, rounds, 2, 1, 0, 1)
    assert said(page).startswith("Good: true enough, go on")
    page = bench.get(opened(sheet(bench, "W3"), "rounds"))
    words = Words(page).text
    assert all(
        f"Round {n}: the dial swings {s} mm" in words for n, s in ((1, "0.600"), (2, "0.140"), (3, "0.020"))
    )
    assert re.findall(r'<progress class="bar" value="(\d+)"', page) == ["100", "23", "3"]
    ticks = f"/castings/{bench.id('W3')}/ticks"
    form = form_on(page, ticks)
    assert form.buttons == [("wish", "yes back_faced.rim_true")]
    assert bench.post(ticks, form.filled(wish="yes back_faced.rim_true")).status_code == 303
    assert "back_faced.rim_true" in bench.ticks("W3")
    assert "Ticked on the checklist" in bench.get(sheet(bench, "W3"))
    close = rounds.replace("rounds", "close")
    assert (
        bench.send(opened(sheet(bench, "W3"), "finish"), close).headers["location"]
        == f"{sheet(bench, 'W3')}#closed"
    )
    assert bench.journal("W3")[-1] == (
        "Set W3 true from the back: the dial swings 0.020 mm (0.0008 in) in a whole turn after 3 rounds."
    )
    # A second set-up, from the front once the back is faced, and the first one folded below it.
    bench.tick("W3", "back_faced")
    form = form_on(bench.get(opened(sheet(bench, "W3"), "set-up")), sheet(bench, "W3"))
    assert form.fields["outward"] == ["front"]
    rounds = set_up(bench, "W3", grip="on_inside", surface="inside")
    page = read(bench, rounds, 1, 1, 1, 0)
    assert ("wish", "yes bored.rim_true") in form_on(page, ticks).buttons
    assert "from the back, the dial swings 0.020 mm (0.0008 in) in a whole turn after 3 rounds" in part(
        bench, "past", "W3"
    )
    page = bench.get(opened(sheet(bench, "W3"), "past"))
    assert "<b>14</b>" in page[page.index('id="past"') :]


def test_stops_when_the_rest_is_the_castings_own_shape(bench: Bench) -> None:
    # An oval of 0.3 mm in the middle of the chuck: nothing that a jaw can cure.
    rounds = set_up(bench)
    pairs = [(angle, round(30 + 15 * math.cos(math.radians(2 * angle)))) for angle in range(0, 360, 45)]
    answer = bench.send(f"{sheet(bench)}?read=8", rounds, **rows(*pairs))
    words = said(bench.get(opened(answer.headers["location"], "true-working")))
    assert words.startswith("Stop here: the rest is the casting's own shape")
    assert "no jaw can cure it" in words and not MOVE.findall(words)


def test_a_mistyped_round_is_struck_out_and_stays_on_record(bench: Bench) -> None:
    rounds = set_up(bench)
    read(bench, rounds, 60, 0, 0, 0)
    read(bench, rounds, 600, 0, 0, 0)
    page = bench.get(opened(sheet(bench), "rounds"))
    strike = f"{rounds}/2/strike"
    said_of = bench.refused(lambda: bench.post(strike, form_on(page, strike).filled(why=" ")))
    assert said_of.by_id["why-2-error"] == "The reason is empty: write it here."
    answer = bench.post(strike, form_on(page, strike).filled(why="the dial was knocked"))
    assert answer.status_code == 303
    page = bench.get(opened(answer.headers["location"], "true-working"))
    assert "(total indicator reading, TIR) 0.600 mm" in said(page) and "struck out" in part(bench, "rounds")
    assert "Round 2: dial on" in Words(page).text
    assert bench.rows("SELECT id, struck_out FROM truing_round") == [(1, 0), (2, 1)]
    assert bench.one("SELECT count(*) FROM dial_reading") == 8
    assert sentences(bench.journal("W1"), "Struck out a round", "(600, 0, 0, 0): the dial was knocked")
    page = bench.get(opened(sheet(bench), "rounds"))
    assert bench.post(strike, form_on(page, f"{rounds}/1/strike").filled(why="again")).status_code == 303
    assert len([line for line in bench.journal("W1") if "Struck out" in line]) == 1


def test_the_form_is_filled_in_from_what_is_known(bench: Bench) -> None:
    form = form_on(bench.get(opened(sheet(bench), "set-up")), sheet(bench))
    assert "grip" not in form.fields, "guessed wrong it would name the wrong jaw"
    assert [form.fields[name] for name in ("outward", "surface", "counts_up", "division", "tolerance")] == [
        ["back"], ["inside"], ["yes"], ["0.01 mm"], ["0.1 mm"],
    ]  # fmt: skip
    set_up(
        bench, "W2", grip="on_inside", surface="inside", division="0.001 in", counts_up="no", screw="0.1 in"
    )
    form = form_on(bench.get(opened(sheet(bench), "set-up")), sheet(bench))
    assert [form.fields[name] for name in ("grip", "counts_up", "division", "screw")] == [
        ["on_inside"], ["no"], ["0.001 in"], ["0.1 in"],
    ]  # fmt: skip
    bench.tick("W4", "received", "back_faced")
    other = form_on(bench.get(sheet(bench, "W4")), sheet(bench, "W4"))
    assert other.fields["outward"] == ["front"] and "grip" not in other.fields
    assert other.fields["division"] == ["0.001 in"]


def test_an_old_set_up_of_the_back_warns_once_the_back_is_faced(bench: Bench) -> None:
    set_up(bench)
    assert "Turned round since?" not in bench.get(sheet(bench))
    bench.tick("W1", "received", "back_faced")
    assert "Turned round since?" in bench.get(sheet(bench))


# ---- The face -------------------------------------------------------------------------------------


def test_the_face_tells_where_to_tap_and_what_it_takes(bench: Bench) -> None:
    # Swings 0.6 mm from jaw 4 to jaw 2: leans 0.3 mm each way, 0.3 / 50 = 0.3438 degrees at 50 mm.
    rounds = set_up(bench)
    page = bench.get(f"{sheet(bench)}?what=face")
    form = form_on(page, rounds)
    assert form.fields["radius"] == ["55 mm"], "half the drawing's tread diameter of 110 mm"
    answer = bench.post(rounds, form.filled(radius="50 mm", **jaws(0, 30, 0, 30), below_4="yes"))
    page = bench.get(opened(answer.headers["location"], "true-working"))
    words = said(page)
    assert "Tap at jaw 2" in words and "has gone down by 0.300 mm (0.0118 in)" in words
    assert "0.344 degrees" in page
    assert "takes 0.300 mm (0.0118 in) from the metal on each face" in words
    assert "the rim's height is not" in words
    assert bench.rows("SELECT kind, radius_nm FROM truing_round") == [("face", 50_000_000)]
    assert bench.journal("W1")[-1].endswith(
        "on the face: the dial swings 0.600 mm (0.0236 in) in a whole turn; tap it at jaw 2."
    )
    assert form_on(page, rounds).fields["radius"] == ["50 mm"]
    assert "Good: the face is true enough, go on" in said(
        read(bench, rounds, 0, 0, 0, 0, kind="face", radius="50")
    )


def test_a_wobble_larger_than_the_metal_says_stop_and_still_where_to_tap(bench: Bench) -> None:
    # 11 mm as it came, 10 mm on the drawing: half a millimetre for the back by the best share.
    path = f"/castings/{bench.id('W1')}/receiving"
    assert bench.send(path, path, rim_height="11 mm").status_code == 303
    rounds = set_up(bench)
    page = read(bench, rounds, 0, 80, 0, -80, kind="face", radius="50 mm")
    assert "The wobble takes 0.800 mm (0.0315 in) and only 0.500 mm (0.0197 in) is there" in said(
        page, "stock-error"
    )
    assert said(page).startswith(
        "No good: it leans by more than there is metal, do not cut"
    ) and "Tap at jaw 2" in said(page)
    assert 'clock-tap"' in page
    assert "only" not in said(read(bench, rounds, 0, 40, 0, -40, kind="face", radius="50 mm"))


# ---- What cannot be taken -------------------------------------------------------------------------


NO_SET_UPS = [
    ({"grip": ""}, "grip", "Look at the jaws and choose"),
    ({"grip": "sideways"}, "grip", "Look at the jaws and choose"),
    ({"outward": "up"}, "outward", "Choose which side"),
    ({"surface": "spoke"}, "surface", "Choose where the plunger rides"),
    ({"counts_up": "maybe"}, "counts_up", "Push the plunger in"),
    ({"division": "0.5 m"}, "division", "printed on its face"),
    ({"division": "own", "division_own": ""}, "division_own", "with its unit"),
    ({"division": "own", "division_own": "0.002"}, "division_own", "with its unit"),
    ({"division": "own", "division_own": "2 mm"}, "division_own", "cannot be"),
    ({"division": "own", "division_own": "0 mm"}, "division_own", "cannot be"),
    ({"division": "own", "division_own": "-0.01 mm"}, "division_own", "has a sign"),
    ({"division": "own", "division_own": "furlong"}, "division_own", "does not begin with a figure"),
    ({"tolerance": "0"}, "tolerance", "type the swing that is good enough"),
    ({"tolerance": ""}, "tolerance", "Nothing was typed"),
    ({"tolerance": "6 mm"}, "tolerance", "is not true"),
    ({"tolerance": "nan"}, "tolerance", "does not begin with a figure"),
    ({"screw": "0"}, "screw", "cannot move its jaw"),
    ({"screw": "30 mm"}, "screw", "cannot move its jaw"),
]


def test_a_set_up_that_cannot_be(bench: Bench) -> None:
    path = sheet(bench)
    form = form_on(bench.get(path), path)
    for changes, field, words in NO_SET_UPS:
        wanted = {"grip": "on_outside", **changes}
        told = bench.refused(lambda wanted=wanted: bench.post(path, form.filled(**wanted)))  # type: ignore[misc]
        assert words in told.at(field), (changes, told.at(field))


NO_JAWS = [
    (jaws(0, 1, 2, ""), "jaw_4", "Jaw 4 has no reading"),
    (jaws("", "", "", ""), "jaw_1", "Jaw 1 has no reading"),
    (jaws(0, "x", 2, 3), "jaw_2", "Type what the dial shows"),
    (jaws(0, "3 furlongs", 2, 3), "jaw_2", "no unit here"),
    (jaws(0, "26 mm", 2, 3), "jaw_2", "No dial shows 26.000 mm"),
    (jaws(0, "99999", 2, 3), "jaw_2", "No dial shows"),
    (jaws(0, "9" * 300, 2, 3), "jaw_2", "Type what the dial shows"),
    (jaws(0, "nan", 2, 3), "jaw_2", "Type what the dial shows"),
    (jaws(0, "²", 2, 3), "jaw_2", "Type what the dial shows"),
    (jaws("0.85", "1", "0.70", "0"), "jaw_2", "Write all alike, or write the unit after this one: 1 "),
]


def test_readings_at_the_jaws_that_cannot_be(bench: Bench) -> None:
    rounds = set_up(bench)
    form = form_on(bench.get(sheet(bench)), rounds)
    for readings, field, words in NO_JAWS:
        sent = form.filled(**readings)
        told = bench.refused(lambda sent=sent: bench.post(rounds, sent))  # type: ignore[misc]
        assert words in told.at(field), (readings, told.at(field))
        assert "Not stored yet" in told.text


def test_a_jaw_that_does_not_exist(bench: Bench) -> None:
    rounds = set_up(bench)
    form = form_on(bench.get(sheet(bench)), rounds)
    for jaw in (5, 0, 999_999):
        sent = form.filled(**jaws(0, 1, 2, 3), **{f"jaw_{jaw}": "4"})
        told = bench.refused(lambda sent=sent: bench.post(rounds, sent))  # type: ignore[misc]
        assert f"There is no jaw {jaw}: number the jaws 1 to 4" in told.by_id["next"]
    sent = form.filled(**jaws(0, 1, 2, 3), kind="sideways")
    assert "Choose where the plunger rides" in bench.refused(lambda: bench.post(rounds, sent)).by_id["next"]


NO_ANGLES = [
    (rows((0, 1), (120, 2)), "", "2 of at least three readings"),
    (rows(), "", "0 of at least three readings"),
    (rows((0, 1), (120, 2), (240, 3), (120.4, 4)), "angle_4", "Two readings at one spot, 120.4 degrees"),
    (rows((0, 1), (120, 2), (240, 3), (360, 4)), "angle_4", "Two readings at one spot"),
    (rows((0, 1), (60, 2), (120, 3)), "", "in one half of the circle: read a spot near 240 degrees"),
    (rows((0, 1), (1, 2), (180.5, 3)), "", "bunched"),
    (rows((0, 1), ("", ""), (120, 3), ("here", 4)), "angle_4", "degrees clockwise from jaw 1"),
    (rows((0, 1), ("", 2), (120, 3), (240, 4)), "angle_2", "degrees clockwise from jaw 1"),
    (rows((0, 1), (90, ""), (120, "30 mm"), (240, 4)), "reading_3", "No dial shows 30.000 mm"),
    (rows((0, 1), (90, "inf"), (120, 3), (240, 4)), "reading_2", "Type what the dial shows"),
]


def test_readings_at_angles_that_cannot_be(bench: Bench) -> None:
    rounds = set_up(bench)
    form = form_on(bench.get(f"{sheet(bench)}?read=6"), rounds)
    for readings, field, words in NO_ANGLES:
        sent = form.filled(**readings)
        told = bench.refused(lambda sent=sent: bench.post(rounds, sent))  # type: ignore[misc]
        assert words in (told.at(field) if field else told.by_id["next"]), (readings, told.by_id["next"])


def test_a_radius_that_cannot_be(bench: Bench) -> None:
    rounds = set_up(bench)
    form = form_on(bench.get(f"{sheet(bench)}?what=face"), rounds)
    for radius in ("0", "-5", "2 m", "2000 mm", "", "nan"):
        sent = form.filled(radius=radius, **jaws(0, 1, 2, 3))
        told = bench.refused(lambda sent=sent: bench.post(rounds, sent))  # type: ignore[misc]
        assert told.at("radius"), radius


def test_what_was_typed_stays_in_its_box(bench: Bench) -> None:
    rounds = set_up(bench)
    answer = bench.send(sheet(bench), rounds, **jaws(0, "x", 2, 3), below_4="yes")
    form = form_on(answer.text, rounds)
    assert [form.fields[f"jaw_{n}"] for n in (1, 2, 3, 4)] == [["0"], ["x"], ["2"], ["3"]]
    assert form.fields["below_4"] == ["yes"]
    path = sheet(bench, "W2")
    answer = bench.send(path, path, grip="on_inside", tolerance="soon", outward="front")
    form = form_on(answer.text, path)
    assert [form.fields[n] for n in ("grip", "tolerance", "outward")] == [["on_inside"], ["soon"], ["front"]]


def test_whoever_has_no_initials_is_asked(bench: Bench) -> None:
    rounds = set_up(bench)
    bench.client.cookies.clear()
    form = form_on(bench.get(sheet(bench)), rounds)
    told = bench.refused(lambda: bench.post(rounds, form.filled(who="", **jaws(0, 1, 2, 3))))
    assert "Who is at the bench?" in told.at("who")
    assert bench.post(rounds, form.filled(who="CD", **jaws(0, 1, 2, 3))).status_code == 303
    assert bench.one("SELECT who FROM truing_round") == "CD"


# ---- Twice, too late, elsewhere -------------------------------------------------------------------


def test_a_form_sent_twice_is_done_once(bench: Bench) -> None:
    path = sheet(bench)
    begun = form_on(bench.get(path), path).filled(grip="on_outside")
    assert [bench.post(path, begun).status_code for _ in range(2)] == [303, 303]
    rounds = f"{path}/1/rounds"
    form = form_on(bench.get(path), rounds).filled(**jaws(0, 1, 2, 3))
    assert [bench.post(rounds, form).status_code for _ in range(2)] == [303, 303]
    assert [bench.one(f"SELECT count(*) FROM {name}") for name in ("truing", "truing_round")] == [1, 1]


def test_a_page_out_of_date_stores_nothing(bench: Bench) -> None:
    rounds = set_up(bench)
    old = form_on(bench.get(sheet(bench)), rounds).filled(**jaws(0, 1, 2, 3))
    bench.tick("W1", "received")
    told = bench.refused(lambda: bench.post(rounds, old), 409)
    assert "Ticked received" in told.text
    path = sheet(bench, "W2")
    old = form_on(bench.get(path), path).filled(grip="on_outside")
    bench.tick("W2", "received")
    bench.refused(lambda: bench.post(path, old), 409)


def test_one_set_up_at_a_time_and_none_once_closed(bench: Bench) -> None:
    path = sheet(bench)
    late = form_on(bench.get(path), path).filled(grip="on_outside", token="")
    rounds = set_up(bench)
    late["seen"] = [str(bench.one("SELECT version FROM casting WHERE id = ?", bench.id("W1")))]
    assert "A set-up of W1 is open" in bench.refused(lambda: bench.post(path, late)).text
    form = form_on(bench.get(path), rounds).filled(**jaws(0, 1, 2, 3))
    assert bench.send(opened(path, "finish"), rounds.replace("rounds", "close")).status_code == 303
    assert sentences(bench.journal("W1"), "Stopped setting W1 true", "no round on the rim's edge was read")
    form["seen"] = [str(bench.one("SELECT version FROM casting WHERE id = ?", bench.id("W1")))]
    assert "This set-up is closed" in bench.refused(lambda: bench.post(rounds, form)).text
    # Closing it once more changes nothing and is no error.
    before = bench.dump()
    assert bench.post(rounds.replace("rounds", "close"), {"seen": "1"}).status_code == 303
    assert bench.dump() == before


def test_a_scrapped_casting_is_not_set_true(bench: Bench) -> None:
    rounds = set_up(bench)
    form = form_on(bench.get(sheet(bench)), rounds).filled(**jaws(0, 1, 2, 3))
    other = form_on(bench.get(sheet(bench, "W2")), sheet(bench, "W2")).filled(grip="on_outside")
    for mark in ("W1", "W2"):
        assert bench.scrap(mark).status_code == 303
        assert "is scrapped" in bench.get(sheet(bench, mark))
    assert not [one for one in forms_on(bench.get(sheet(bench))) if one.action == rounds]
    # A page from before is out of date; one that knows of it is told that it is scrapped.
    for mark, address, sent in (("W1", rounds, form), ("W2", sheet(bench, "W2"), other)):
        assert (
            f"Scrapped {mark}" in bench.refused(lambda to=address, what=sent: bench.post(to, what), 409).text
        )  # type: ignore[misc]
        sent["seen"] = [str(bench.one("SELECT version FROM casting WHERE id = ?", bench.id(mark)))]
        told = bench.refused(lambda to=address, what=sent: bench.post(to, what)).text  # type: ignore[misc]
        assert f"{mark} is scrapped: undo the scrapping first." in told


def test_what_belongs_to_another_casting_is_not_there(bench: Bench) -> None:
    bench.metric()
    mine = set_up(bench)
    read(bench, mine, 0, 1, 2, 3)
    strange = bench.id("W1", build=2)
    data = {"seen": "1", "kind": "radial", "read": "jaws", **jaws(0, 1, 2, 3)}
    for address in (
        f"/castings/{bench.id('W2')}/true/1/rounds",
        f"/castings/{strange}/true/1/rounds",
        f"/castings/{strange}/true/1/close",
        f"/castings/{bench.id('W2')}/true/1/rounds/1/strike",
        f"{mine}/99/strike",
        f"{sheet(bench)}/99/close",
        "/castings/999/true/1/rounds",
        "/castings/999/true",
    ):
        assert bench.refused(lambda to=address: bench.post(to, data), 404)  # type: ignore[misc]
    assert bench.client.get("/castings/999/true").status_code == 404


@pytest.mark.parametrize(
    "query", ["?what=x&read=y", "?read=99999999999999999999", "?what=%00&read=%f0%9f%9b%9e"]
)
def test_an_address_that_was_meddled_with(bench: Bench, query: str) -> None:
    rounds = set_up(bench)
    assert "Jaw 1" in bench.get(sheet(bench) + query)
    form = form_on(bench.get(sheet(bench)), rounds).filled(read="\u202e", **jaws(0, 1, 2, 3))
    assert bench.post(rounds, form).headers["location"].endswith("?what=radial#now")


# ---- What lies folded ------------------------------------------------------------------------------


def test_the_answer_and_the_next_reading_lie_open_and_the_rest_is_asked_for(bench: Bench) -> None:
    rounds = set_up(bench)
    page = Words(bench.get(sheet(bench)))
    assert page.text.index("Nothing read yet") < page.text.index("Round 1: dial on")
    read(bench, rounds, 47, 35, 23, 35)
    html = bench.get(sheet(bench))
    page = Words(html)
    # Between the move and the next reading there is nothing to open.
    assert page.text.index("Move these jaws") < page.text.index("Round 2: dial on")
    assert form_on(html, rounds).fields["read"] == ["jaws"]
    assert "<table" not in html and "Why?" not in html and 'id="close-set-up"' not in html
    assert "switch the lathe off at the wall" in page.text and "A heavy casting can drop" not in page.text
    for name, words in (
        ("true-working", "To expect after these moves"),
        ("rounds", "Readings as typed"),
        ("finish", "Done: close this set-up"),
        ("before", "A heavy casting can drop"),
    ):
        assert f'href="{opened(sheet(bench), name)}#fold-{name}"' in html
        assert words not in page.text and words in Words(bench.get(opened(sheet(bench), name))).text


def test_an_inch_build_is_proposed_inches(bench: Bench) -> None:
    with closing(connect(bench.db.path)) as connection, connection:
        connection.execute("UPDATE build SET unit = 'in'")
    form = form_on(bench.get(opened(sheet(bench), "set-up")), sheet(bench))
    # 0.1 mm is 3.937 thou.
    assert form.fields["tolerance"] == ["0.0039 in"]


@pytest.mark.parametrize(
    ("route", "first", "then"),
    [
        ("fitted_first", "Back outwards first: the back is faced", "Front outwards after the back is faced"),
        ("front_first", "Front outwards first: bore and front", "Back outwards after the front is faced"),
    ],
)
def test_the_side_that_faces_out_first_is_the_routes(
    client: TestClient, db: Db, route: str, first: str, then: str
) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric(route=route)
    said = Words(bench.whole(sheet(bench))).text
    said = re.sub(r"(outwards) ?", r"\1 ", said)
    assert first in said and then in said and said.index(first) < said.index(then)
