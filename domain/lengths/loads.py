"""Forces and torques to text, in newtons and pounds-force: the build's own system first."""

from domain.lengths.systems import both_shown
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
    return both_loads(_figure(newtons, 0) + " N", _figure(newtons / N_PER_LBF, 0) + " lbf", first)


def show_torque(newton_metres: float, first: Unit) -> str:
    """A torque in both systems.

    Source: NIST SP 811, appendix B.8: 1 lbf ft = 1.355 818 N m.

    >>> show_torque(18.355, Unit.MM), show_torque(18.355, Unit.INCH)
    ('18.4 N m (13.5 lbf ft)', '13.5 lbf ft (18.4 N m)')
    >>> show_torque(0.07, Unit.MM)
    '0.07 N m (0.05 lbf ft)'
    """
    return both_loads(
        _figure(newton_metres, 1) + " N m", _figure(newton_metres / NM_PER_LBF_FT, 1) + " lbf ft", first
    )


def _figure(value: float, places: int) -> str:
    """So many decimals, and one more of what would be shown as next to nothing."""
    step = 10**-places
    small = step / 20 <= abs(value) < step
    return f"{value:.{places + 1}f}" if small else f"{value:.{places}f}"


def both_loads(metric: str, imperial: str, first: Unit) -> str:
    """What is written in each system, the build's own first, and the other one where both are shown.

    >>> both_loads("12 N", "2.7 lbf", Unit.INCH)
    '2.7 lbf (12 N)'
    """
    own, other = (metric, imperial) if first is Unit.MM else (imperial, metric)
    return f"{own} ({other})" if both_shown() else own
