"""Long text takes no reader longer than its length warrants, and is refused in a short sentence.

Times are the thread's own and are compared within the run: with a short text, and with one pass over the same text.
"""

from __future__ import annotations

import importlib
import inspect
import re
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import cache, partial
from itertools import cycle
from pathlib import Path

import pytest

from domain.drawing import FIGURES
from domain.joints.fit import FitKind
from domain.lengths import LengthError, Unit
from domain.lengths import parsing as length_parsing
from domain.measuring.instruments import InstrumentKind
from domain.repeating.settings import TASKS
from domain.truing.dial import Dial
from domain.truing.setting import Grip, Surface
from domain.tyres.ring import MetalStrength
from tests.webapp.scenes import Bench, FormOnPage, every_form
from webapp.sheets.assembly import form as assembly
from webapp.sheets.balance import form as balance
from webapp.sheets.build import form as build
from webapp.sheets.build import form_patterns as patterns
from webapp.sheets.cranks import form_crankpins as crankpins
from webapp.sheets.cranks import form_pin, form_setting
from webapp.sheets.cutting import form_reaming as reaming
from webapp.sheets.cutting import form_speeds as speeds
from webapp.sheets.cutting import form_strokes as strokes
from webapp.sheets.cutting import form_swing as swing
from webapp.sheets.diary import form as diary
from webapp.sheets.finding import form as finding
from webapp.sheets.mandrel import form as mandrel
from webapp.sheets.ordering import form as ordering
from webapp.sheets.returning import form as returning
from webapp.sheets.rods import form as rods_form
from webapp.sheets.route import form as batches
from webapp.sheets.stock import form_metal as metal
from webapp.sheets.treads import form as treads
from webapp.sheets.truing import form as truing
from webapp.sheets.truing import form_rounds as truing_rounds
from webapp.sheets.wheel import form_castings as castings
from webapp.sheets.workshop import form as workshop
from webapp.sheets.workshop import form_machines as machines
from webapp.typed import (
    as_set,
    joint_figures,
    labels,
    marks,
    notes,
    power,
    quantities,
    receiving,
    rods,
    size_log,
    sizes,
    striking,
    ticks,
    tyre,
    work_figures,
)
from webapp.typed import fields as figure_fields
from webapp.typed import heights as quartering
from webapp.typed import how as how_measured
from webapp.typed import readings as measurements
from webapp.typed import texts as typed
from webapp.typed.joint_fields import JointDrawing
from webapp.typed.texts import Errors, Typed

SIZES = (1_000, 30_000)
LONGEST = 250_000  # a form as a whole may be little longer; each field is tried with one text of that length
SHORT = 8
# So many times what a short text takes and one look at each character of the long one: far from both the noise of a machine
# at work and what a pattern that goes back over its text takes.
MARGIN = 50
LONGEST_SENTENCE = 320

# Each made as long as asked for; the ends keep blanks from being stripped off.
ROOT = Path(__file__).parents[2]
HOSTILE: dict[str, Callable[[int], str]] = {
    "blanks": lambda n: " " * n,
    "blanks between": lambda n: f"1{' ' * n}x",
    "no-break blanks between": lambda n: "1" + "\u00a0" * n + "x",
    "digits": lambda n: "1" * n,
    "digits and a letter": lambda n: f"{'1' * n}x",
    "figures": lambda n: "1 " * (n // 2),
    "strokes": lambda n: "/" * n,
    "signs": lambda n: "+-" * (n // 2),
    "points": lambda n: "." * n,
    "decimals": lambda n: "1," * (n // 2),
    "letters": lambda n: "a" * n,
    "fractions": lambda n: " 1/" * (n // 3),
    "other digits": lambda n: "٣" * n,
    "vulgar fractions": lambda n: "1½" * (n // 2),
    "semicolons": lambda n: "1;" * (n // 2),
}


@dataclass(frozen=True)
class Listening(Typed):
    """A form that notes what it is asked for."""

    asked: set[str] = field(default_factory=set)

    def get(self, name: str, default: str = "") -> str:
        self.asked.add(name)
        return super().get(name, default)

    def all(self, name: str) -> list[str]:
        self.asked.add(name)
        return super().all(name)


def form(**texts: str) -> Typed:
    return Typed({name: [text] for name, text in texts.items()})


MM = Unit.MM
DIAL = Dial(10_000, MM)
REPEATED = TASKS["finish_tread"]
HELD = truing.Held("back", Surface.INSIDE, Grip.ON_OUTSIDE, truing.ByDial(DIAL, 100_000, None))
DRAWING = JointDrawing(
    MM, FitKind.BOND, 89_000_000, 19_050_000, 15_000_000, 8_000_000, 28_000_000, 20_000, 50_000, 19_050_000, (1, 2)
)  # fmt: skip
HEIGHTS = {f"{name}_way": "over" for name in ("axle", "left", "right", "inside")}
HEIGHTS |= dict.fromkeys(("axle", "left", "right", "inside"), "75.8")
SPOTS = {f"reading_{row}": "12" for row in range(1, 7)} | {
    f"angle_{row}": str(row * 60) for row in range(1, 7)
}
INSTRUMENT = form(unit="mm", name="gauge", expanded="0.005", alpha="11.5", resolution="0.01", reach="both")
PLUGS = form(unit="mm", name="gauge", expanded="0.005", alpha="11.5", go="19.05", not_go="19.07")
TODAY = date(2026, 11, 24)
NOW = datetime(2026, 11, 24, 21, 5, tzinfo=UTC)


@dataclass(frozen=True)
class Reader:
    """A reader of typed text, how it is called, and a form that it takes or nearly takes."""

    function: Callable[..., object]
    call: Callable[[Typed], object]
    start: Typed = field(default_factory=Typed)


def one_text(function: Callable[..., object], call: Callable[[str], object]) -> Reader:
    return Reader(function, lambda typed: call(typed.get("text")), form(text="1"))


_TRACK = {"gauge": 89_000_000, "back_to_back": 83_300_000}
_STEEL = MetalStrength(250, 1.25, 2, 300)
_BESIDE = patterns.Beside(MM, FitKind.BOND, "en-gjl-200", _TRACK, None, 3, (), 20.0, _STEEL)
READERS = (
    Reader(quartering.read_plate, lambda t: quartering.read_plate(t, MM)),
    Reader(form_setting.read_way, form_setting.read_way),
    Reader(
        form_setting.read_went_on,
        lambda t: form_setting.read_went_on(t, datetime(2026, 11, 28, 20, 14, tzinfo=UTC)),
        form(on_at="20:10"),
    ),
    Reader(balance.balance_texts, lambda t: balance.balance_texts(t, {}, MM)),
    one_text(balance.read_axle, balance.read_axle),
    Reader(batches.read_start, batches.read_start, form(set_up=next(iter(batches.SetUp)), castings="1 2")),
    Reader(batches.read_castings, batches.read_castings, form(castings="1 2")),
    Reader(build.read_more_marks, lambda t: build.read_more_marks(t, [1, 2]), form(marks="W9", pattern="2")),
    Reader(
        build.read_figures,
        lambda t: noted(lambda errors: build.read_figures(t, FIGURES, Unit.MM, errors)),
        form(bore="19", boss_diameter="32"),
    ),
    Reader(
        patterns.read_pattern,
        lambda t: patterns.read_pattern(t, _BESIDE, new=True),
        form(name="Tender wheels", kind="tender", axles="4 5", marks="T1 T2"),
    ),
    Reader(
        build.read_build,
        lambda t: build.read_build(t, with_marks=True),
        build.starting_text("ibls-5", "Tank"),
    ),
    Reader(
        castings.read_reason,
        lambda t: noted(lambda errors: castings.read_reason(t, errors)),
        form(reason="other", words="so"),
    ),
    Reader(
        castings.read_mark, lambda t: noted(lambda errors: castings.read_mark(t, errors)), form(mark="W1")
    ),
    one_text(rods_form.read_crank, lambda text: noted(lambda errors: rods_form.read_crank(text, errors))),
    Reader(crankpins.read_crankpins, lambda t: crankpins.read_crankpins(t, MM)),
    Reader(how_measured.read_how, lambda t: noted(lambda errors: how_measured.read_how(t, MM, errors))),
    Reader(joint_figures.typed_texts, lambda t: joint_figures.typed_texts(t, DRAWING)),
    Reader(
        machines.read_machine, machines.read_machine, form(unit="mm", name="lathe", kind="lathe", speeds="60")
    ),
    Reader(machines.read_chuck, machines.read_chuck, form(unit="mm", name="chuck", body="160", depth="70")),
    Reader(
        workshop.read_jig,
        lambda t: workshop.read_jig(t, date(2026, 1, 1)),
        form(unit="mm", name="jig", throw="28", plug="19.04", bush="8", checked_on="2025-12-01"),
    ),
    Reader(
        marks.read_marks,
        lambda t: noted(lambda errors: marks.read_marks(t, "marks", errors)),
        form(marks="W1 W2"),
    ),
    Reader(measurements.read_log, lambda t: measurements.read_log(t, MM), form(unit="mm", reading="19.05")),
    Reader(mandrel.read_stub, lambda t: mandrel.read_stub(t, MM), form(hold="bond", size="19.04")),
    Reader(mandrel.read_swing, lambda t: mandrel.read_swing(t, MM), form(swing="0.02")),
    Reader(mandrel.read_put_on, lambda t: mandrel.read_put_on(t, NOW), form(at="10:00")),
    Reader(mandrel.read_dial, mandrel.read_dial, form(dial="2.35")),
    Reader(
        returning.read_wear, lambda t: returning.read_wear(t, MM), form(worn_tread="126", worn_flange="2.5")
    ),
    Reader(
        returning.read_take_back,
        lambda t: returning.read_take_back(t, MM),
        form(out_on="2026-11-28", service="900 miles", diameter="125"),
    ),
    Reader(metal.read_cut, lambda t: metal.read_cut(t, MM), form(cut="0.5", touch="1", turn="2")),
    one_text(labels.id_on_label, labels.id_on_label),
    Reader(notes.read_note, lambda t: notes.read_note(t, None), form(words="chill")),
    Reader(ordering.read_order, ordering.read_order, form(needed="6")),
    one_text(power.read_power, lambda text: told(power.read_power, text)),
    one_text(power.read_power, lambda text: told(power.read_power, f"{text} hp")),
    *(
        one_text(
            quantities.parse_quantity, lambda text, kind=kind: told(quantities.parse_quantity, text, kind)
        )
        for kind in (quantities.CELSIUS, quantities.SHARE, quantities.LOAD)
    ),
    Reader(
        quartering.read_heights,
        lambda t: quartering.read_heights(t, ("left", "right", "inside"), MM),
        form(**HEIGHTS),
    ),
    Reader(
        quartering.read_so_far, lambda t: quartering.read_so_far(t, MM), form(stood="front front", **HEIGHTS)
    ),
    Reader(receiving.read_receipt, lambda t: receiving.read_receipt(t, MM)),
    Reader(rods_form.read_rods, lambda t: rods_form.read_rods(t, (rods.RodPair(1, 1, 2),), MM)),
    Reader(size_log.read_log, lambda t: size_log.read_log(t, sizes.BY_KEY, MM)),
    Reader(tyre.read_tread, lambda t: tyre.read_tread(t, MM)),
    Reader(assembly.read_axle_sizes, lambda t: assembly.read_axle_sizes(t, MM)),
    Reader(assembly.read_thing, lambda t: assembly.read_thing(t, MM), form(name="gear", along="left")),
    Reader(assembly.read_starter, lambda t: assembly.read_starter(t, ())),
    Reader(form_pin.read_pin, lambda t: form_pin.read_pin(t, MM)),
    Reader(sizes.read_sizes, lambda t: noted(lambda errors: sizes.read_sizes(t, sizes.BY_KEY, MM, errors))),
    Reader(sizes.read_unit, lambda t: noted(lambda errors: sizes.read_unit(t, MM, errors))),
    Reader(
        as_set.read_settings,
        lambda t: as_set.read_settings(t, REPEATED),
        form(spindle="110 rpm", feed="0.1 mm/rev", tool="round nose", dial="0.425 in"),
    ),
    Reader(speeds.read_tried, lambda t: speeds.read_tried(t, ("bore",), (1,), MM), form(op="bore")),
    Reader(strokes.read_strokes, lambda t: strokes.read_strokes(t, MM, 100_000)),
    Reader(strokes.read_tally, strokes.read_tally, form(done="3", top="4")),
    Reader(swing.read_swing, lambda t: swing.read_swing(t, (1,), (1,), MM)),
    Reader(ticks.read_wish, ticks.read_wish, form(wish="yes bored confirmed")),
    Reader(treads.read_table, lambda t: treads.read_table(t, MM), form(size="0.01")),
    Reader(truing.read_set_up, truing.read_set_up, form(division="own", division_own="0.01 mm", screw="3")),
    Reader(
        truing_rounds.read_round,
        lambda t: truing_rounds.read_round(t, HELD),
        form(kind="radial", jaw_1="1", jaw_2="2", jaw_3="3", jaw_4="4", jaw_5="5"),
    ),
    Reader(
        truing_rounds.read_round,
        lambda t: truing_rounds.read_round(t, HELD),
        form(kind="face", radius="50", read="6", **SPOTS),
    ),
    Reader(striking.read_why, lambda t: noted(lambda errors: striking.read_why(t, errors)), form(why="dirt")),
    Reader(
        typed.read_length,
        lambda t: noted(lambda errors: typed.read_length(t, "size", MM, errors)),
        form(size="1"),
    ),
    Reader(
        typed.read_whole,
        lambda t: noted(lambda errors: typed.read_whole(t, "n", "It", 1, 9, errors)),
        form(n="1"),
    ),
    Reader(
        typed.read_choice,
        lambda t: noted(lambda errors: typed.read_choice(t, "one", "it", ("a",), errors)),
        form(one="a"),
    ),
    Reader(
        typed.read_short,
        lambda t: noted(lambda errors: typed.read_short(t, "line", "It", 40, errors)),
        form(line="a"),
    ),
    Reader(
        typed.read_line,
        lambda t: noted(lambda errors: typed.read_line(t, "line", "It", 40, errors)),
        form(line="a"),
    ),
    one_text(typed.read_initials, typed.read_initials),
    one_text(diary.read_of, diary.read_of),
    Reader(finding.read_asked, lambda t: noted(lambda errors: finding.read_asked(t, errors)), form(q="W3")),
    Reader(Typed.token, lambda t: t.token("token"), form(token="0" * 32)),
    Reader(Typed.version, lambda t: t.version(), form(seen="1")),
    Reader(work_figures.typed_texts, lambda t: work_figures.typed_texts(t, MM)),
    Reader(workshop.read_unit, lambda t: noted(lambda errors: workshop.read_unit(t, errors))),
    Reader(
        workshop.read_instrument,
        lambda t: workshop.read_instrument(t, InstrumentKind.VALUE, TODAY),
        INSTRUMENT,
    ),
    Reader(
        workshop.read_instrument, lambda t: workshop.read_instrument(t, InstrumentKind.PLUG, TODAY), PLUGS
    ),
    Reader(workshop.sure_of_typed, workshop.sure_of_typed, INSTRUMENT),
    Reader(
        workshop.read_starters, workshop.read_starters, form(unit="mm", plug_size="19.05", plug_class="H7")
    ),
    Reader(
        workshop.read_tools,
        lambda t: workshop.read_tools(t, "reamer"),
        form(unit="mm", size="19; 20", name=""),
    ),
    Reader(reaming.read_trial, lambda t: reaming.read_trial(t, 19_050_000, MM), form(trial="19.06")),
    one_text(length_parsing.parse_length, lambda text: told(length_parsing.parse_length, text, MM)),
    one_text(length_parsing.system_typed, lambda text: length_parsing.system_typed(text, MM)),
    *(
        one_text(
            figure_fields.unit_left_out, lambda text, one=one: figure_fields.unit_left_out(one, text, MM)
        )
        for one in (
            figure_fields.FigureField("", "", ""),
            figure_fields.FigureField("", "", "", quantities.CELSIUS),
        )
    ),
    *(
        one_text(
            figure_fields.read_figure, lambda text, one=one: told(figure_fields.read_figure, one, text, MM)
        )
        for one in (*strokes.FIELDS.values(), *ordering.FIGURES)
    ),
    one_text(quartering.with_unit, lambda text: quartering.with_unit(text, MM)),
)
# Read what the data file holds, through read_figure, as typed_texts does with what is typed.
STORED = {joint_figures.read_figures, work_figures.read_figures}


def noted(read: Callable[[Errors], object]) -> Errors:
    """The sentences that a reader puts among the errors it is handed."""
    errors = Errors()
    read(errors)
    return errors


def told(read: Callable[..., object], *given: object) -> object:
    """What is read, or the sentence it is refused with."""
    try:
        return read(*given)
    except (LengthError, quantities.QuantityError) as error:
        return Errors({"text": str(error)})


def _public(module: object) -> list[Callable[..., object]]:
    found = inspect.getmembers(module, inspect.isfunction)
    return [one for name, one in found if one.__module__ == module.__name__ and not name.startswith("_")]


def test_every_reader_is_here() -> None:
    """By their names, or because a pattern stands in them."""
    files = [*ROOT.glob("webapp/typed/*.py"), *ROOT.glob("webapp/sheets/*/form*.py")]
    names = [".".join(file.relative_to(ROOT).with_suffix("").parts) for file in files]
    modules = [length_parsing, *map(importlib.import_module, names)]
    readers = {
        one
        for module in modules
        for one in _public(module)
        if re.match(r"(read|parse)_|.*typed_texts$", one.__name__)
        or re.search(r"match\(|search\(", inspect.getsource(one))
    }
    assert len(readers) > 40
    assert readers - STORED <= {one.function for one in READERS}


def _time(act: Callable[[], object], limit: float, clock: Callable[[], float] = time.thread_time) -> float:
    """How long it takes; tried again while that is over the limit, for what the machine did meanwhile."""
    least = float("inf")
    for _ in range(3):
        before = clock()
        act()
        least = min(least, clock() - before)
        if least <= limit:
            break
    return least


@cache
def _text(words: str, size: int) -> str:
    return HOSTILE[words](size)


@cache
def _one_look(words: str, size: int) -> float:
    """How long it takes to look at each character of a text once."""
    text = _text(words, size)
    return _time(lambda: sum(map(str.isspace, text)), 0)


def _slow(read: Callable[[str], object], words: str, sizes: Iterable[int]) -> str:
    """By how much a text takes longer than it may, at the first length where it does; empty where none does."""
    short = _time(lambda: read(_text(words, SHORT)), 0)
    for size in sizes:
        text, floor = _text(words, size), short + _one_look(words, size)
        took = _time(partial(read, text), MARGIN * floor)
        if took > MARGIN * floor:
            return f"{size} characters take {took / floor:.0f} times the floor"
    return ""


def _fields(reader: Reader) -> list[str]:
    listening = Listening(dict(reader.start.fields))
    reader.call(listening)
    return sorted(listening.asked | set(reader.start.fields))


def test_no_reader_goes_back_over_its_text() -> None:
    slow, dealt = [], cycle(HOSTILE)
    for reader in READERS:
        for name in _fields(reader):

            def read(text: str, reader: Reader = reader, name: str = name) -> object:
                return reader.call(Typed({**reader.start.fields, name: [text]}))

            longest = next(dealt)
            for words in HOSTILE:
                found = _slow(read, words, (*SIZES, LONGEST) if words == longest else SIZES)
                if found:
                    slow.append(f"{reader.function.__module__}, {name}, {words}: {found}")
                    break
    assert not slow, "\n".join(slow)


def _errors(answer: object) -> Errors:
    """The sentences among what a reader answers."""
    parts = answer if isinstance(answer, tuple) else (answer,)
    return next((one for one in parts if isinstance(one, Errors)), Errors())


def test_a_refusal_does_not_say_the_whole_text_again() -> None:
    refused = 0
    for reader in READERS:
        for name in _fields(reader):
            for words in HOSTILE:
                text = _text(words, 400)
                errors = _errors(reader.call(Typed({**reader.start.fields, name: [text]})))
                refused += len(errors)
                assert all(len(one) < LONGEST_SENTENCE for one in errors.values()), (name, words)
    assert refused > 1_000


@pytest.mark.parametrize(
    "read",
    [
        lambda t: measurements.read_log(t, MM)[1],
        lambda t: reaming.read_trial(t, 19_050_000, MM)[1],
    ],
)
def test_boxes_past_counting_are_counted_only(read: Callable[[Typed], Errors]) -> None:
    def many(count: int) -> Typed:
        return Typed({name: ["19.06"] * count for name in ("reading", "trial")})

    few = _time(lambda: read(many(2)), 0)
    form = many(20_000)
    assert "That is more than" in " ".join(read(form).values())
    assert _time(lambda: read(form), MARGIN * few) <= MARGIN * few


def _send(bench: Bench, form: FormOnPage, texts: Mapping[str, str]) -> None:
    fields = {**form.fields, **texts}
    if form.method == "get":
        answer = bench.client.get(form.action, params=fields)
    else:
        answer = bench.client.post(form.action, data=fields)
    assert answer.status_code < 500, form.action
    assert answer.status_code != 413, "the form was not read at all"


def test_no_form_takes_longer_than_its_text_warrants(shed: Bench) -> None:
    """The whole way, from the bytes of a form to the page that shows it again; of all threads, for it takes several."""
    slow, dealt = [], cycle(HOSTILE)
    for form in {re.sub(r"\d+", "1", f.method + f.action): f for f in every_form(shed)}.values():
        names = {*form.fields, *form.choices, *(name for name, _ in form.buttons)}
        words = {name: next(dealt) for name in sorted(names)}
        # An address takes less text than a form; and each character may stand as six bytes in either.
        longest = 8_000 if form.method == "get" else 40_000
        short, *tried = ({name: _text(words[name], size) for name in names} for size in (SHORT, 1_000))
        tried += [{name: _text(words[name], longest)} for name in names]
        limit = MARGIN * _time(partial(_send, shed, form, short), 0, time.process_time)
        for texts in tried:
            took = _time(partial(_send, shed, form, texts), limit, time.process_time)
            if took > limit:
                slow.append(f"{form.action}, {sorted(texts)}: {MARGIN * took / limit:.0f} times a short text")
                break
    assert not slow, "\n".join(slow)


@pytest.mark.parametrize(
    ("page", "action", "name", "text", "sentence"),
    [
        (
            "/castings/3/bore",
            "/castings/3/bores",
            "work_c",
            "2" * 30_000,
            "30000 characters long: 40 is the most",
        ),
        ("/castings/3/bore", "/castings/3/bores", "work_c", f"1{' ' * 400}x", "Type the temperature in C"),
        ("/castings/3/bore", "/castings/3/bores", "reading", "2" * 30_000, "is too long for one length"),
        ("/workshop/machines/new", "/workshop/machines/new", "speeds", "6" * 30_000, "480 is the most"),
        (
            "/workshop/machines/new",
            "/workshop/machines/new",
            "motor",
            "5" * 30_000,
            "is too long for a power",
        ),
        ("/castings/1/receiving", "/castings/1/receiving", "note", "so " * 9_000, "400 is the most"),
    ],
)
def test_a_long_text_is_told_beside_its_field_and_kept(
    shed: Bench, page: str, action: str, name: str, text: str, sentence: str
) -> None:
    fields = shed.form(page, action).filled(**{name: text})
    assert sentence in shed.refused(partial(shed.post, action, fields)).at(name)
    assert text in shed.post(action, fields).text
