"""Whatever stands against the figures of one form is told in one go, each beside its own field, and nothing is stored."""

from __future__ import annotations

from functools import partial

import pytest
from fastapi.testclient import TestClient

from tests.webapp.scenes import Bench, opened
from webapp.db import Db

# Longer than any part of an engine, and what nobody can read.
TOO_LONG = "9000 mm"
LONG, UNREAD = (TOO_LONG, "9000.000 mm"), ("twelve", "does not begin with a figure")
# The sheet, its form, and of each field a figure that cannot be with a part of what is said of it.
FORMS: tuple[tuple[str, str, dict[str, tuple[str, str]]], ...] = (
    (
        "/castings/1/receiving", "/castings/1/receiving",
        {"rim_least": LONG, "boss_height": LONG, "weight": ("-1 g", "has a sign")},
    ),
    (
        "/castings/1/receiving", "/castings/1/receiving",
        {"rim_most": ("117", "is below the smallest"), "boss_height": ("18", "cannot stand 19.000 mm"),
         "weight": ("heavy", "is not a weight")},
    ),
    (
        "/castings/1/metal", "/castings/1/metal",
        {"rim_height": LONG, "boss_height": LONG, "tread": UNREAD},
    ),
    (
        "/castings/3/tread", "/castings/3/tread#log",
        {"flange_height": ("30 mm", "than the whole tyre"), "root_radius": ("31 mm", "than the whole tyre"),
         "tread": UNREAD},
    ),
    (
        opened("/builds/1/crankpins", "pin-1"), "/castings/1/crankpin#log-1",
        {"pin_seat": LONG, "pin_whole": ("900 mm", "That is longer than"), "pin_near": UNREAD},
    ),
    (
        "/builds/1/figures", "/builds/1/figures",
        {"least_cut": ("1" * 50, "more than 40 characters"), "rough_cut": (TOO_LONG, "not likely")},
    ),
    (
        opened("/axles/1/assembly", "sizes"), "/axles/1/assembly",
        {"over_shoulders": ("95", "no less than the track's gauge"), "journal_left": ("40", "Can that be the journal"),
         "seat_length_left": LONG, "seat_length_right": UNREAD},
    ),
)  # fmt: skip


@pytest.fixture
def bench(client: TestClient, db: Db) -> Bench:
    bench = Bench(client, db).sit_down()
    bench.metric()
    bench.tick("W3", "received", "back_faced", "bored")
    return bench


@pytest.mark.parametrize(("page", "action", "figures"), FORMS)
def test_every_bad_figure_has_its_sentence(
    bench: Bench, page: str, action: str, figures: dict[str, tuple[str, str]]
) -> None:
    typed: dict[str, object] = {name: text for name, (text, _) in figures.items()}
    if "rim_most" in typed:
        typed |= {"rim_least": "118", "rim_height": "13", "boss_proud": "19"}
    said = bench.refused(partial(bench.send, page, action, **typed))
    for name, (_, words) in figures.items():
        assert words in said.at(name), (name, said.at(name))


def test_it_is_so_where_every_figure_can_be_read(bench: Bench) -> None:
    page = opened("/axles/1/assembly", "sizes")
    typed = {"over_shoulders": "95", "seat_length_left": TOO_LONG, "journal_right": "40"}
    said = bench.refused(partial(bench.send, page, "/axles/1/assembly", **typed))
    assert all(said.at(name) for name in typed)


def test_who_is_at_the_bench_is_no_reason_to_keep_a_figure_quiet(client: TestClient, db: Db) -> None:
    bench = Bench(client, db).sit_down()
    bench.metric()
    client.cookies.clear()
    page = "/castings/1/receiving"
    said = bench.refused(partial(bench.send, page, page, rim_least=TOO_LONG))
    assert "initials" in said.at("who") and "9000.000 mm" in said.at("rim_least")


def test_a_yes_stands_beside_what_cannot_be(bench: Bench) -> None:
    """What can hardly be meant keeps its own yes, though nothing is stored as long as another figure cannot be."""
    page = "/castings/1/receiving"
    typed = {"rim_least": "118", "rim_most": "119", "rim_height": "40", "boss_height": TOO_LONG}
    said = bench.refused(partial(bench.send, page, page, **typed))
    assert "Can that be the rim?" in said.at("rim_height") and "9000.000 mm" in said.at("boss_height")
    assert "Write “40 mm” down all the same" in said.text
