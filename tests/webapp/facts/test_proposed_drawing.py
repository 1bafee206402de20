"""Every drawing that is proposed satisfies the wheel standard it is proposed by, to both judges of it."""

from __future__ import annotations

import pytest

from domain.drawing import apart, faults
from domain.lengths import NM_PER_MM, Unit, parse_length
from domain.measuring.decision import Conformity
from domain.treads.flange import FlangePlace, drawn_flange
from domain.treads.gauges import drawn_apart, wheel_gauges
from domain.treads.judging import MeasuredSize, TreadAnswer, TreadFigure, judge_tyre
from domain.treads.profile import USUAL_CONE, ProfileFigures, profile, with_own_form
from domain.treads.wheel_standard import as_drawn, drawn_outside, preset, presets
from webapp.sheets.build.form import starting_text

# A calliper's: what is measured of a flange made to the drawing must be told to be good, not only be so.
_CALLIPER_NM = 20_000


@pytest.mark.parametrize("key", [one.key for one in presets()])
def test_wheels_made_just_as_proposed_are_good_on_both_sheets(key: str) -> None:
    texts = starting_text(key).fields
    unit = Unit(texts["unit"][0])
    names = ("gauge", "back_to_back", "tyre_width", "flange_width", "flange_depth", "root_radius")
    nm = {name: parse_length(texts[name][0], unit).nm for name in (*names, "tread_diameter", "bore", "seat")}
    printed = preset(key)
    standard = as_drawn(printed, nm)
    assert (
        standard is printed and drawn_outside(printed, nm) == () and apart(nm, unit) == faults(nm, unit) == {}
    )
    assert drawn_apart(standard, nm["back_to_back"], nm["flange_width"]) == ()

    figures = ProfileFigures(
        nm["tread_diameter"], nm["tyre_width"], nm["flange_width"], nm["flange_depth"], nm["root_radius"],
        cone=standard.tread_taper or USUAL_CONE, edge_break_nm=standard.edge_break_nm or NM_PER_MM // 4,
    )  # fmt: skip
    drawn = drawn_flange(profile(with_own_form(figures, standard), unit))
    place = FlangePlace(drawn, drawn.usual_nm(unit))
    measured = MeasuredSize(nm["flange_width"] - place.less_nm, _CALLIPER_NM)
    logged = {
        TreadFigure.FLANGE_WIDTH: measured,
        TreadFigure.FLANGE_DEPTH: MeasuredSize(nm["flange_depth"], 0),
        TreadFigure.TYRE_WIDTH: MeasuredSize(nm["tyre_width"], 0),
        TreadFigure.ROOT_RADIUS: MeasuredSize(nm["root_radius"], 0),
    }
    found = judge_tyre(standard, logged, unit, place=place)
    assert {one.answer for one in found.verdicts if one.measured} <= {TreadAnswer.GOOD, TreadAnswer.NO_LIMIT}

    back, flange = MeasuredSize(nm["back_to_back"], 0), MeasuredSize(nm["flange_width"], _CALLIPER_NM)
    gauges = wheel_gauges(standard, back, (flange, flange), unit)
    assert {one.answer for one in gauges.every} <= {Conformity.INSIDE, None}
    assert gauges.room_answer is Conformity.INSIDE
