"""Random joints in a data file: other fits, sizes, doubts and figures than anybody would think of."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from random import Random
from sqlite3 import Connection, connect

FIGURES: dict[str, tuple[str, ...]] = {
    "load": ("10 N", "200 N", "20 kg"),
    "pressure": ("0.1 bar", "5 bar"),
    "piston": ("10 mm", "38 mm"),
    "friction": ("oiled", "dry"),
    "bore_rz": ("1 um", "6 um"),
    "seat_rz": ("1 um",),
    "crack_factor": ("2.5", "4"),
    "press": ("1 kN", "30 kN"),
    "shear": ("2 MPa", "25 MPa"),
    "gap_least": ("0.01 mm", "0.03 mm"),
    "gap_most": ("0.06 mm", "0.02 mm"),
    "gap_limit": ("0.12 mm",),
    "hottest": ("90 C",),
    "service_limit": ("60 C",),
    # As an older version stored it, and as it is stored now.
    "factor": ("1.2", "3"),
    "reserve": ("1.2", "3"),
    "rod": ("120 mm",),
    "drive": ("inside",),
    "driven_axle": ("1", "2"),
    "axle_bore": ("4 mm",),
    "bore_within": ("2 um", "0.03 mm"),
}
RANGES = {"bond": (20_000, 50_000), "press": (3_000, 20_000), "shrink": (3_000, 15_000)}


def scatter(path: Path, seed: int) -> None:
    """Give every build of a data file another fit, other bores and seats, and some of its joints' figures."""
    chance = Random(seed)
    with closing(connect(path)) as connection, connection:
        for (build,) in connection.execute("SELECT id FROM build").fetchall():
            _build(connection, build, chance)


def _build(connection: Connection, build: int, chance: Random) -> None:
    fit = chance.choice(list(RANGES))
    iron = chance.choice(("en-gjl-150", "en-gjl-250", "a48-30"))
    run = connection.execute
    run("UPDATE build SET fit = ?, iron = ? WHERE id = ?", (fit, iron, build))
    for key, nm in zip(("fit_least", "fit_most"), RANGES[fit], strict=True):
        run(
            "UPDATE dimension SET nm = ?, text = ? WHERE build_id = ? AND key = ?",
            (nm, f"{nm / 1e6:g} mm", build, key),
        )
    (seat,) = run("SELECT nm FROM dimension WHERE build_id = ? AND key = 'seat'", (build,)).fetchone()
    for measurement, kind in run(
        "SELECT id, kind FROM measurement WHERE build_id = ? AND kind IN ('bore', 'seat')", (build,)
    ).fetchall():
        _measurement(connection, measurement, kind, seat, fit, chance)
    run("DELETE FROM joint_figure WHERE build_id = ?", (build,))
    for key, texts in FIGURES.items():
        if chance.random() < 0.35:
            run("INSERT INTO joint_figure VALUES (?, ?, ?)", (build, key, chance.choice(texts)))


def _measurement(
    connection: Connection, measurement: int, kind: str, seat: int, fit: str, chance: Random
) -> None:
    least, most = RANGES[fit]
    sign = 1 if fit == "bond" else -1
    off = chance.randint(-3, 3) if kind == "seat" else sign * chance.randint(-least // 1000, 2 * most // 1000)
    nm = seat + off * 1_000
    expanded = chance.choice((None, 1_000, 4_000, 15_000))
    low, high = chance.choice(((nm - 4_000, nm + 4_000), (nm, None), (None, nm)))
    plug = kind == "bore" and chance.random() < 0.2
    # A plug gauge gives an interval instead of a value.
    found = (None, None, low, high) if plug else (nm, expanded, None, None)
    connection.execute(
        "UPDATE measurement SET value = ?, expanded = ?, low = ?, high = ? WHERE id = ?",
        (*found, measurement),
    )
    spread = chance.choice((0, 0, 2_000, 40_000))
    for ordinal, size in enumerate((nm - spread, nm + spread, nm, nm), start=1):
        connection.execute(
            "UPDATE reading SET value = ?, text = ? WHERE measurement_id = ? AND ordinal = ?",
            (size, f"{size / 1e6:.3f} mm", measurement, ordinal),
        )
