"""The published wheel standards, and the sanity of the starting figures beside them."""

import math

import pytest

from domain.lengths import NM_PER_MM, Unit, parse_length
from domain.measuring.iso286 import hole_limits
from domain.treads.gauges import contradictions
from domain.treads.starting_figures import LENGTHS, notice, starting_figures
from domain.treads.wheel_standard import (
    Figure,
    TreadError,
    WheelStandard,
    drawn_outside,
    hub_proud_by,
    preset,
    presets,
)

KEYS = [row.key for row in presets()]


def _in(text: str) -> int:
    return parse_length(text, Unit.INCH).nm


def _mm(text: str) -> int:
    return parse_length(text, Unit.MM).nm


# International Brotherhood of Live Steamers, Wheel Standard, typed a second time: gauge, tyre width min,
# flange width max, flange depth max, root radius, back to back, wheel gauge, check gauge.
IBLS = [
    ("ibls-3.5", "3.500", "0.406", "0.094", "0.094", "0.047", "0.063", "3.281", "3.470", "3.375"),
    ("ibls-4.75", "4.750", "0.505", "0.125", "0.140", "0.062", "0.083", "4.437", "4.690", "4.562"),
    ("ibls-5", "5.000", "0.505", "0.125", "0.140", "0.062", "0.083", "4.687", "4.940", "4.812"),
    ("ibls-7.25", "7.250", "0.750", "0.156", "0.187", "0.094", "0.125", "6.870", "7.190", "7.031"),
    ("ibls-7.5", "7.500", "0.750", "0.156", "0.187", "0.094", "0.125", "7.120", "7.440", "7.281"),
]


@pytest.mark.parametrize("printed", IBLS, ids=lambda row: row[0])
def test_ibls_rows_as_printed(printed: tuple[str, ...]) -> None:
    gauge, tyre, flange, depth, root_low, root_high, back, wheel, check = map(_in, printed[1:])
    row = preset(printed[0])
    assert row.gauge_nm == gauge
    assert row.tyre_width == Figure(tyre, tyre, None)
    assert row.flange_width == Figure(flange, None, flange)
    assert row.flange_depth == Figure(depth, None, depth)
    assert row.root_radius == Figure(root_low, root_low, root_high)
    assert row.back_to_back == Figure(back, back, back + _in("0.020"))
    assert row.wheel_gauge == Figure(wheel, wheel - _in("0.020"), wheel)
    assert row.back_and_flange == Figure(check, None, None)
    assert row.tread_taper == 20


@pytest.mark.parametrize(("key", "short"), [(row[0], "0.005" if row[0] > "ibls-7" else "0") for row in IBLS])
def test_ibls_check_gauge_is_back_to_back_and_flange_but_for_the_short_rows(key: str, short: str) -> None:
    row = preset(key)
    assert row.back_and_flange is not None and row.flange_width_nm is not None
    assert row.back_and_flange.nm - row.back_to_back_nm - row.flange_width_nm == _in(short)
    assert [one.nm[0] for one in contradictions(row)] == [_in(short)] * (short != "0")


# NMRA S-4.2 prints each figure in inches and again in millimetres to three figures.
@pytest.mark.parametrize(
    ("key", "check", "back", "tyre", "depth", "millimetres"),
    [
        ("nmra-1-in-scale", "4.581", "4.438", "0.500", "0.156", ("116.4", "112.7", "12.7", "3.96")),
        ("nmra-3-4-in-scale", "3.349", "3.219", "0.406", "0.125", ("85.1", "81.8", "10.3", "3.18")),
    ],
)
def test_nmra_rows_are_limits_only(
    key: str, check: str, back: str, tyre: str, depth: str, millimetres: tuple[str, str, str, str]
) -> None:
    row = preset(key)
    assert row.back_and_flange == Figure(_in(check), None, _in(check))
    assert row.back_to_back == Figure(_in(back), _in(back), None)
    assert row.tyre_width == Figure(_in(tyre), _in(tyre), None)
    assert row.flange_depth == Figure(_in(depth), None, _in(depth))
    assert row.back_to_back.high_nm is None and row.back_to_back.low_nm == row.back_to_back.nm
    for figure, mm in zip(
        (row.back_and_flange, row.back_to_back, row.tyre_width, row.flange_depth), millimetres, strict=True
    ):
        assert abs(figure.nm - _mm(mm)) <= 60_000
    assert row.flange_width is None and row.root_radius is None
    assert row.wheel_gauge is None and row.tread_taper is None
    assert row.flange_width_nm is None and row.root_radius_nm is None
    assert "from memory, verify" in row.note


# Gauge One Model Railway Association, standard dimensions, 2009. Wheels: back to back 40.0 +0.5/-0, back to back and one
# flange 41.5 +-0.5, width 6.0 +0/-0.5, flange 1.5 +0/-0.5, depth 2.0 max (1.5 sprung or equalised), root 0.5 min, hub at
# most 0.5 proud. Track: gauge 45.0 +0/-0.5, check gauge 42.0 +0.5/-0, over check rails 39.5 max, flangeway 3.0 +0/-0.5.
@pytest.mark.parametrize(("key", "depth"), [("gauge-1", "2"), ("gauge-1-sprung", "1.5")])
def test_gauge_1_as_printed(key: str, depth: str) -> None:
    row = preset(key)
    assert row.unit is Unit.MM and row.gauge_nm == 45 * NM_PER_MM
    assert row.back_to_back == Figure(_mm("40"), _mm("40"), _mm("40.5"))
    assert row.back_and_flange == Figure(_mm("41.5"), _mm("41"), _mm("42"))
    assert row.tyre_width == Figure(_mm("6"), _mm("5.5"), _mm("6"))
    assert row.flange_width == Figure(_mm("1.5"), _mm("1"), _mm("1.5"))
    assert row.flange_depth == Figure(_mm(depth), None, _mm(depth))
    assert row.root_radius == Figure(_mm("0.5"), _mm("0.5"), None)
    assert row.hub_proud == Figure(_mm("0.5"), None, _mm("0.5"))
    assert row.wheel_gauge is None and row.tread_taper is None
    assert row.track is not None
    assert row.track.gauge == Figure(_mm("45"), _mm("44.5"), _mm("45"))
    assert row.track.check_gauge == Figure(_mm("42"), _mm("42"), _mm("42.5"))
    assert row.track.over_check_rails == Figure(_mm("39.5"), None, _mm("39.5"))
    assert row.track.flangeway == Figure(_mm("3"), _mm("2.5"), _mm("3"))


# British club practice as tabulated privately from published club and author figures (verify with your club). 3 1/2 in:
# width 0.375 min, flange depth 0.110, flange 0.080, root 0.050, tip 0.030, edge 0.020 at 45, flange face 20 degrees,
# cone 2 degrees, back to back 3.281. 5 in: back to back 4.687.
def test_british_rows_as_tabulated_and_marked() -> None:
    row = preset("british-3.5")
    assert row.gauge_nm == _in("3.500")
    assert row.tyre_width == Figure(_in("0.375"), _in("0.375"), None)
    free = {name: Figure(_in(text), None, None) for name, text in (
        ("flange_depth", "0.110"), ("flange_width", "0.080"), ("root_radius", "0.050"), ("back_to_back", "3.281"),
    )}  # fmt: skip
    assert {name: getattr(row, name) for name in free} == free
    assert (row.flange_tip_radius_nm, row.edge_break_nm) == (_in("0.030"), _in("0.020"))
    assert row.flange_face_deg == 20
    assert row.tread_taper == pytest.approx(1 / math.tan(math.radians(2)))
    five = preset("british-5")
    assert five.gauge_nm == _in("5.000") and five.back_to_back == Figure(_in("4.687"), None, None)
    assert five.tyre_width is five.flange_depth is five.flange_width is five.root_radius is None
    assert "4.625 in" in five.note and "0.0025 in" in five.note and "unverified" in five.note
    for one in (row, five):
        assert "verify with your club" in one.name and "verify with your club" in one.source
        assert one.back_and_flange is None and one.wheel_gauge is None and one.track is None


def test_every_preset_is_restated_here() -> None:
    restated = [row[0] for row in IBLS] + ["nmra-1-in-scale", "nmra-3-4-in-scale"]
    assert [*restated, "british-3.5", "british-5", "gauge-1", "gauge-1-sprung"] == KEYS


# Only the Gauge 1 document prints figures of the track; no other row has them, or a hub.
def test_only_gauge_1_prints_the_track_and_the_hub() -> None:
    assert {row.key for row in presets() if row.track or row.hub_proud} == {"gauge-1", "gauge-1-sprung"}


def test_a_boss_that_stands_out_of_its_tyre() -> None:
    row = preset("gauge-1")
    # 6.5 - 6 = 0.5 at the front is allowed; with 0.6 at the back the front has -0.1.
    assert hub_proud_by(row, _mm("6.5"), _mm("6"), 0) == ()
    assert hub_proud_by(row, _mm("6.5"), _mm("6"), _mm("0.6")) == (("back", _mm("0.6")),)
    assert hub_proud_by(row, _mm("7.2"), _mm("6"), _mm("0.6")) == (
        ("back", _mm("0.6")),
        ("front", _mm("0.6")),
    )
    assert hub_proud_by(preset("ibls-5"), _in("2"), _in("0.5"), 0) == ()


def test_what_the_drawing_has_outside_the_standard() -> None:
    drawn = {
        "gauge": _mm("45"),
        "flange_width": _mm("1.8"),
        "flange_depth": _mm("2"),
        "back_to_back": _mm("39.9"),
    }
    assert drawn_outside(preset("gauge-1"), drawn) == (
        ("back_to_back", _mm("39.9"), preset("gauge-1").back_to_back),
        ("flange_width", _mm("1.8"), preset("gauge-1").flange_width),
    )
    assert drawn_outside(preset("gauge-1"), drawn | {"gauge": _mm("44")}) == ()


@pytest.mark.parametrize("row", presets(), ids=KEYS)
def test_every_row_hangs_together(row: WheelStandard) -> None:
    assert row.name and row.source
    assert 0 < row.back_to_back_nm < row.gauge_nm
    tyre = row.tyre_width_nm
    if tyre is not None and row.flange_depth_nm is not None:
        assert 0 < row.flange_depth_nm < tyre
    if row.flange_width_nm is not None and tyre is not None:
        # Two flanges fit between the rails, and the tread is left of the tyre beside its flange.
        assert row.back_to_back_nm + 2 * row.flange_width_nm < row.gauge_nm
        assert row.flange_width_nm < tyre
    if row.wheel_gauge is not None:
        assert row.gauge_nm - row.wheel_gauge.nm in (_in("0.030"), _in("0.060"))


def test_keys_are_unique_and_an_unknown_one_is_refused() -> None:
    assert len(set(KEYS)) == len(KEYS) == 11
    for key in ("", "IBLS-5", "ibls-2.5", "x" * 999):
        for ask in (preset, starting_figures):
            with pytest.raises(TreadError, match=r"choose one of ibls-3\.5, .*gauge-1-sprung\.$"):
                ask(key)


def test_figures_in_words() -> None:
    assert Figure(NM_PER_MM, NM_PER_MM, None).words(Unit.MM) == "at least 1.000 mm (0.0394 in)"
    assert Figure(NM_PER_MM, None, NM_PER_MM).words(Unit.INCH) == "at most 0.0394 in (1.000 mm)"
    assert Figure(NM_PER_MM, None, None).words(Unit.MM) == "1.000 mm (0.0394 in) for reference"
    both = Figure(NM_PER_MM, NM_PER_MM, 2 * NM_PER_MM).words(Unit.MM)
    assert both == "1.000 mm (0.0394 in) to 2.000 mm (0.0787 in)"


@pytest.mark.parametrize("key", KEYS)
def test_starting_figures_make_a_wheel(key: str) -> None:
    texts, row = starting_figures(key), preset(key)
    assert set(texts) == {"unit", "coupled_axles", *LENGTHS}
    unit = Unit(texts["unit"])
    assert unit is row.unit and int(texts["coupled_axles"]) == 3
    size = {name: parse_length(texts[name], unit).nm for name in LENGTHS}
    # Each text carries its own unit, so it means the same in the other build.
    assert all(parse_length(texts[name], other).nm == size[name] for name in LENGTHS for other in Unit)
    assert size["bore"] == size["seat"]
    assert hole_limits(size["bore"], 7).high_nm > size["bore"], "the limits table holds the bore"
    assert 0 < size["bore"] < size["boss_diameter"] < size["tread_diameter"]
    assert size["boss_diameter"] >= 1.7 * size["bore"], "iron enough round the bore"
    assert size["boss_length"] >= (row.tyre_width_nm or 0)
    assert hub_proud_by(row, size["boss_length"], row.tyre_width_nm or 0, 0) == ()
    wall = size["crankpin_hole"] / 2
    hole_inner = size["throw"] - size["crankpin_hole"] / 2
    hole_outer = size["throw"] + size["crankpin_hole"] / 2
    assert hole_inner - size["bore"] / 2 > wall, "iron enough between the bore and the crankpin hole"
    assert hole_outer + wall < size["tread_diameter"] / 2 - (row.flange_depth_nm or 0), "inside the rim"


def test_starting_figures_are_marked_and_cannot_be_changed_for_others() -> None:
    assert "of our own" in notice() and "drawing" in notice()
    starting_figures("ibls-5")["bore"] = "1 in"
    assert starting_figures("ibls-5")["bore"] == "3/4 in"
    assert [key for key in KEYS if starting_figures(key)] == KEYS
