"""Every figure that a table marks “from memory” is shown with that mark on a page that uses it.

The demo's builds do not use every figure: what they leave out is asked for, by its own form or another iron.
"""

import tomllib
from collections.abc import Iterator
from contextlib import closing
from html import unescape
from pathlib import Path
from sqlite3 import connect
from typing import Any

import pytest
from fastapi.testclient import TestClient

from domain.balance.weight import MATERIALS, WeightSegment, segment_weight
from domain.joints.materials import irons
from domain.lengths import Unit
from domain.treads.wheel_standard import presets
from tests.webapp.scenes import Bench
from webapp.app import create_app
from webapp.demo.builds import make_demo
from webapp.settings import Settings
from webapp.upgrade import prepare

ORIGIN = "http://127.0.0.1:8730"
TABLES = Path(__file__).parents[2] / "domain" / "tables"


def marked(rows: Any, where: str) -> Iterator[tuple[str, str]]:
    """Every source of a table that says its figure is from memory, and where it stands."""
    if isinstance(rows, dict):
        for name, inner in rows.items():
            yield from marked(inner, f"{where}.{rows.get('key', name) if isinstance(inner, str) else name}")
    elif isinstance(rows, list):
        for number, inner in enumerate(rows):
            yield from marked(inner, f"{where}[{number}]")
    elif isinstance(rows, str) and "memory" in rows:
        yield where, " ".join(rows.split())


FOUND = [
    one
    for path in sorted(TABLES.glob("*.toml"))
    for one in marked(tomllib.loads(path.read_text()), path.stem)
]


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    path = tmp_path_factory.mktemp("memory") / "spokeshed.db"
    prepare(path)
    app = create_app(Settings(path))
    with TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False) as client:
        make_demo(app.state.db)
        yield " ".join(unescape(" ".join(pages(Bench(client, app.state.db).sit_down()))).split())
    app.state.db.close()


def pages(bench: Bench) -> Iterator[str]:
    for build in (1, 2):
        for sheet in ("joints", "speeds", "reaming", "figures", "balance", "crankpins", "treads", "fits"):
            yield bench.whole(f"/builds/{build}/{sheet}")
    for casting in (1, 3, 5, 7):
        yield bench.whole(f"/castings/{casting}/speeds")
    yield bench.whole("/castings/1/speeds?tool=carbide&chilled=yes")
    for tools in ({"drill_tool": "carbide"}, {"reamer_tool": "hand"}):
        assert bench.send("/builds/1/figures", "/builds/1/figures", **tools).status_code == 303
        yield (
            bench.whole("/castings/1/speeds")
            + bench.whole("/builds/1/speeds")
            + bench.whole("/builds/1/reaming")
        )
    yield bench.whole("/workshop")
    for row in presets():
        yield bench.get(f"/builds/new?standard={row.key}")
    for iron in irons():
        for fit in ("press", "shrink", "bond"):
            yield from joint_of(bench, fit, iron.key)
    yield tyre_of(bench)
    yield by_a_plug(bench)


def tyre_of(bench: Bench) -> str:
    """A wheel with a steel tyre that is measured: its own sheet, and the build's figures."""
    build = bench.metric(axles="1", coupled="1")
    pattern = f"/builds/{build}/patterns/{bench.one('SELECT id FROM pattern WHERE build_id = ?', build)}"
    assert bench.send(pattern, pattern, tyre_inside="95", rim_inside="80").status_code == 303
    tyre = f"/castings/{bench.id('W1', build)}/tyre"
    for kind, size in (("tyre_inside", "94.93"), ("centre_outside", "95")):
        assert bench.send(tyre, f"{tyre}/{kind}", reading=size).status_code == 303
    return bench.whole(tyre) + bench.whole(f"/builds/{build}/figures")


# Said in the page's own words, beside the figure itself.
OTHERWISE = {
    "bond_reductions.service_source": "C: from memory, verify.",
    "cure.source": "Empty means 60 min: from memory, verify.",
    "instruments.note": "Each U is a starting point from memory",
}


def joint_of(bench: Bench, fit: str, iron: str) -> Iterator[str]:
    """A wheel measured on a seat that is measured too: its joint is worked out on its own slip and on the build's sheet."""
    figures = {} if fit == "bond" else {"fit_least": "0.005", "fit_most": "0.012"}
    build = bench.metric(curing=True, fit=fit, iron=iron, axles="1", coupled="1", **figures)
    axle = bench.one("SELECT id FROM axle WHERE build_id = ?", build)
    casting = bench.id("W1", build)
    for key in ("received", "back_faced", "bored"):
        bench.send(
            f"/castings/{casting}", f"/castings/{casting}/ticks", wish=f"yes {key} confirmed", reason="so"
        )
    bore = "19.08 mm" if fit == "bond" else "19.042 mm"
    assert (
        bench.send(f"/castings/{casting}/bore", f"/castings/{casting}/bores", reading=bore).status_code == 303
    )
    assert (
        bench.send(f"/axles/{axle}/seats/left", f"/axles/{axle}/seats/left", reading="19.05 mm").status_code
        == 303
    )
    yield (
        bench.get(f"/castings/{casting}/bore")
        + bench.whole(f"/builds/{build}/joints")
        + bench.get(f"/builds/{build}/fits")
    )
    if fit == "press":
        joints = f"/builds/{build}/joints"
        other = {"friction": "dry", "edition": "din-7190-1-2017", "bore_rz": "6 um", "seat_rz": "3 um"}
        assert bench.send(joints, joints, **other).status_code == 303
        yield bench.get(f"/castings/{casting}/bore") + bench.whole(joints)


def by_a_plug(bench: Bench) -> str:
    """A bore to be pressed that is known to be larger than a plug and no more: its loads are not reckoned."""
    build = bench.metric(fit="press", fit_least="0.005", fit_most="0.012", axles="1", coupled="1")
    casting, axle = bench.id("W1", build), bench.one("SELECT id FROM axle WHERE build_id = ?", build)
    with closing(connect(bench.db.path)) as connection, connection:
        tool = connection.execute(
            "INSERT INTO instrument (name, kind, reach, resolution_nm, expanded_nm, zero_offset_nm, go_nm, not_go_nm,"
            " alpha_ppb, note, checked_on, retired, version)"
            " VALUES ('plugs', 'plug', 'inside', 0, 2000, 0, 19020000, 19030000, 11500, '', '', 0, 1)"
        ).lastrowid
    own, seat = f"/castings/{casting}", f"/axles/{axle}/seats/left"
    for key in ("received", "back_faced", "bored"):
        assert bench.send(own, f"{own}/ticks", wish=f"yes {key} confirmed", reason="so").status_code == 303
    tried = {"instrument_id": tool, "go_enters": "yes", "not_go_enters": "yes"}
    assert bench.send(f"{own}/bore", f"{own}/bores", reading="", **tried).status_code == 303
    assert bench.send(seat, seat, reading="19.05 mm").status_code == 303
    return bench.get(f"{own}/bore")


def test_there_are_marks_to_look_for() -> None:
    assert len(FOUND) > 25


@pytest.mark.parametrize(("where", "source"), FOUND, ids=[where for where, _ in FOUND])
def test_the_mark_is_shown_where_the_figure_is_used(shown: str, where: str, source: str) -> None:
    assert OTHERWISE.get(where, source) in shown


def test_every_density_is_marked() -> None:
    """No table of densities was at hand: each is marked, and its working says the source whole."""
    for one in MATERIALS:
        assert one.source.endswith("from memory, verify"), one.key
        segment = WeightSegment(40_000_000, 20_000_000, 10_000_000, 1.0)
        assert any(one.source in found.source for found in segment_weight(segment, one, Unit.MM).workings)
