"""A standard's limits on the drawing's own figures. The printed figures: IBLS Wheel Standard, 5 in row."""

from domain.treads.wheel_standard import Figure, as_drawn, preset

IN = 25_400_000
PRINTED = {
    "gauge": 5 * IN,
    "back_to_back": 4_687 * IN // 1000,
    "tyre_width": 505 * IN // 1000,
    "flange_width": 125 * IN // 1000,
    "flange_depth": 140 * IN // 1000,
    "root_radius": 62 * IN // 1000,
}


def test_a_drawing_by_the_standard_is_judged_by_the_very_row() -> None:
    assert as_drawn(preset("ibls-5"), PRINTED) is preset("ibls-5")
    assert as_drawn(preset("ibls-5"), {}) is preset("ibls-5")


def test_a_size_drawn_inside_the_limits_leaves_them() -> None:
    inside = {"flange_width": 3_000_000, "tyre_width": 13_000_000, "root_radius": 1_800_000}
    assert as_drawn(preset("ibls-5"), PRINTED | inside) is preset("ibls-5")


def test_a_size_drawn_outside_them_keeps_the_deviations() -> None:
    # Root 0.062 to 0.083 is 0.021 apart; 2.2 mm is past both.
    own = as_drawn(preset("ibls-5"), PRINTED | {"root_radius": 2_200_000, "back_to_back": 118_000_000})
    assert own.root_radius == Figure(2_200_000, 2_200_000, 2_200_000 + 21 * IN // 1000)
    assert own.back_to_back == Figure(118_000_000, 118_000_000, 118_000_000 + 20 * IN // 1000)
    assert own.flange_width == preset("ibls-5").flange_width
    assert own.wheel_gauge == preset("ibls-5").wheel_gauge
    assert own.source == "the drawing's own figures with the deviations of " + preset("ibls-5").source


def test_another_track_takes_every_figure_along() -> None:
    own = as_drawn(preset("ibls-5"), PRINTED | {"gauge": 89_000_000, "flange_width": 2_000_000})
    assert own.gauge_nm == 89_000_000
    assert own.flange_width == Figure(2_000_000, None, 2_000_000)
    assert own.wheel_gauge is None and own.back_and_flange is None


def test_what_the_document_does_not_print_stays_without_limits() -> None:
    own = as_drawn(preset("nmra-1-in-scale"), {"flange_width": 3_000_000, "tyre_width": 12_000_000})
    assert own.flange_width is None
    # 0.500 in at least is printed; 12 mm is drawn narrower.
    assert own.tyre_width == Figure(12_000_000, 12_000_000, None)


def test_a_figure_written_in_the_other_system_is_the_same() -> None:
    # 45 mm is 1.7717 in to the last figure shown.
    assert as_drawn(preset("gauge-1"), {"gauge": 45_000_180}) is preset("gauge-1")
