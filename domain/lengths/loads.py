"""Forces and torques to text, in newtons and pounds-force: the build's own system first."""

from domain.lengths.units import Unit

# By the 1959 pound of 0.453 592 37 kg and the standard acceleration of 9.806 65 m/s2, both exact.
N_PER_LBF = 0.45359237 * 9.80665
NM_PER_LBF_FT = N_PER_LBF * 0.3048


def show_force(newtons: float, first: Unit) -> str:
    """A force in both systems.

    Source: NIST SP 811, appendix B.8: 1 lbf = 4.448 222 N.

    >>> show_force(2447.4, Unit.MM), show_force(2447.4, Unit.INCH)
    ('2447 N (550 lbf)', '550 lbf (2447 N)')
    """
    return _both(f"{newtons:.0f} N", f"{newtons / N_PER_LBF:.0f} lbf", first)


def show_torque(newton_metres: float, first: Unit) -> str:
    """A torque in both systems.

    Source: NIST SP 811, appendix B.8: 1 lbf ft = 1.355 818 N m.

    >>> show_torque(18.355, Unit.MM), show_torque(18.355, Unit.INCH)
    ('18.4 N m (13.5 lbf ft)', '13.5 lbf ft (18.4 N m)')
    """
    return _both(f"{newton_metres:.1f} N m", f"{newton_metres / NM_PER_LBF_FT:.1f} lbf ft", first)


def _both(metric: str, imperial: str, first: Unit) -> str:
    return f"{metric} ({imperial})" if first is Unit.MM else f"{imperial} ({metric})"
