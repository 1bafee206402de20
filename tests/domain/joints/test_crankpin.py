"""A crankpin in its wheel: its fit is asked round, along and across, and the pin itself is asked in bending."""

import math
from dataclasses import replace

import pytest

from domain.answer import Answer
from domain.joints.crankpin import PinCase, judge_pin
from domain.joints.demand import CrankpinSizes
from domain.joints.friction import friction
from domain.joints.kinds import FitKind
from domain.joints.materials import iron
from domain.joints.terms import BondedJoint, BondSheet, ForcedJoint
from domain.joints.words import pin_side

PIN = CrankpinSizes(9_535_000, 14_000_000, 9_525_000, 9_000_000)
PRESSED = ForcedJoint(
    FitKind.PRESS, 9_535_000, 20_000_000, 14_000_000, iron("en-gjl-250"), friction(FitKind.PRESS, "dry")
)
CASE = PinCase(9_525_000, PIN, PRESSED, 600.0, 0.3, 250.0, 1.5, 1.5)


def test_holding_by_turning_alone_is_not_the_answer() -> None:
    # 900 N at 9 + 7 mm is 14 400 N mm: 169 MPa in a hole of 9.535 mm, 1.47 times under 250 MPa.
    found = judge_pin(replace(CASE, thrust_n=900.0))
    assert (found.turning.answer, found.pulling.answer) == (Answer.SERVES, Answer.SERVES)
    stress = 32 * 14_400 / (math.pi * 9.535**3)
    assert found.demand.seat_mpa == pytest.approx(stress)
    assert found.inside.factor == pytest.approx(250 / stress)
    assert found.answer is Answer.CAUTION
    assert judge_pin(replace(CASE, thrust_n=1_500.0)).inside.answer is Answer.NOT
    assert judge_pin(replace(CASE, thrust_n=1_500.0)).answer is Answer.NOT


def test_the_root_of_the_journal_is_asked_too() -> None:
    # 600 N x 20 mm on a journal of 7 mm is 356 MPa: bent, while the thicker seat stands it.
    thin = judge_pin(replace(CASE, pin=CrankpinSizes(12_000_000, 8_000_000, 7_000_000, 20_000_000)))
    assert thin.demand.root_mpa == pytest.approx(32 * 12_000 / (math.pi * 343))
    assert (thin.root.answer, thin.inside.answer, thin.answer) == (Answer.NOT, Answer.SERVES, Answer.NOT)


def test_no_invented_figure_condemns_a_pin() -> None:
    assert (
        judge_pin(replace(CASE, thrust_n=1_500.0, invented=("piston diameter",))).answer is Answer.CANNOT_TELL
    )


def test_a_fit_that_opens_at_its_mouth_wants_care() -> None:
    # Interference 10 um: 0.010 / (9.535/103e3 x (1.5883 + 0.26) + 9.535/210e3 x 0.7) = 49.3 MPa at least.
    found = judge_pin(CASE)
    k = (20**2 + 9.535**2) / (20**2 - 9.535**2)
    grip = 0.010 / (9.535 / 103e3 * (k + 0.26) + 9.535 / 210e3 * 0.7)
    assert found.grip_mpa == pytest.approx(grip)
    # Side: 600 / (9.535 x 14) + 6 x 9600 / (9.535 x 14^2) = 4.495 + 30.82 MPa.
    assert found.demand.side_mpa == pytest.approx(35.3, abs=0.05)
    assert not found.works
    assert pin_side(found).endswith("it stays closed.")
    far = judge_pin(replace(CASE, thrust_n=600.0, pin=replace(PIN, overhang_nm=18_000_000), yield_mpa=900.0))
    assert far.works
    assert all(one.answer is Answer.SERVES for one in far.factors)
    assert far.answer is Answer.CAUTION
    assert "it may open at its mouth" in pin_side(far)
    assert "derived here, no published source" in pin_side(far)


def test_a_bond_has_no_figure_for_pressure_on_its_side() -> None:
    bond = BondedJoint(9_525_000, 14_000_000, BondSheet(20.0))
    found = judge_pin(
        replace(CASE, hole_nm=9_555_000, pin=replace(PIN, seat_nm=9_525_000), holding=bond, wanted=1.0)
    )
    assert found.grip_mpa is None
    assert not found.works
    assert "A data sheet gives no figure for that" in pin_side(found)
