"""Forces and torques in both systems, against NIST SP 811 (2008), appendix B.8."""

import pytest

from domain.lengths import Unit
from domain.lengths.loads import N_PER_LBF, NM_PER_LBF_FT, show_force, show_torque


def test_the_factors_are_those_of_the_guide() -> None:
    assert pytest.approx(4.448222, abs=5e-7) == N_PER_LBF
    assert pytest.approx(1.355818, abs=5e-7) == NM_PER_LBF_FT


def test_the_builds_own_system_comes_first() -> None:
    assert show_force(100, Unit.INCH) == "22 lbf (100 N)"
    assert show_force(100, Unit.MM) == "100 N (22 lbf)"
    assert show_torque(27.9, Unit.INCH) == "20.6 lbf ft (27.9 N m)"
    assert show_torque(0, Unit.MM) == "0.0 N m (0.0 lbf ft)"
