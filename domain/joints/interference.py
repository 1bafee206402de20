"""The thick-ring sums of an interference fit: a solid or a hollow axle in a round boss (Lame).

Lengths are millimetres, stresses MPa, elastic moduli GPa, forces newtons, torques newton metres.
"""

import math


def _positive(name: str, value: float) -> None:
    if not math.isfinite(value) or value <= 0:
        raise ValueError(f"The {name} must be a number above zero, such as 19.05, not {value}.")


def _not_negative(name: str, value: float) -> None:
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"The {name} must be zero or more, such as 0.010, not {value}.")


def _poisson(name: str, value: float) -> None:
    if not math.isfinite(value) or not 0 <= value < 0.5:
        raise ValueError(f"The {name} must be from 0 to below 0.5, such as 0.26, not {value}.")


def _ring(inside_mm: float, outside_mm: float) -> float:
    """(D^2 + d^2) / (D^2 - d^2) of a ring; 1 without a hole."""
    return (outside_mm**2 + inside_mm**2) / ((outside_mm - inside_mm) * (outside_mm + inside_mm))


def _boss_ring(seat_mm: float, boss_mm: float) -> float:
    """The boss's ring, after checking that there is one at all."""
    _positive("seat diameter", seat_mm)
    _positive("boss diameter", boss_mm)
    if boss_mm <= seat_mm:
        raise ValueError(f"The boss ({boss_mm} mm) must be larger than the seat ({seat_mm} mm).")
    return _ring(seat_mm, boss_mm)


def pressure_mpa(
    seat_mm: float,
    boss_mm: float,
    interference_mm: float,
    hub_young_gpa: float,
    hub_poisson: float,
    shaft_young_gpa: float,
    shaft_poisson: float,
    shaft_bore_mm: float = 0.0,
) -> float:
    """The pressure between a boss and the axle forced into it.

    Formula: p = delta / { (d/Eh) [(D^2+d^2)/(D^2-d^2) + nuh] + (d/Es) [(d^2+di^2)/(d^2-di^2) - nus] }
    seat_mm: seat diameter d, mm, above 0.
    boss_mm: outside diameter D of the sound metal round the bore, mm, larger than d.
    interference_mm: seat less bore on the diameter, delta, mm, 0 or more.
    hub_young_gpa, shaft_young_gpa: E of boss and axle, GPa, above 0.
    hub_poisson, shaft_poisson: Poisson's ratios, from 0 to below 0.5.
    shaft_bore_mm: hole through the axle di, mm, 0 (solid: the last bracket is 1 - nus) up to below d.
    Returns: the pressure p, MPa.
    Raises: ValueError on a boss not larger than the seat, or a figure outside its limits.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.

    >>> round(pressure_mpa(15, 32, 0.010, 100, 0.26, 210, 0.30), 3)
    30.914
    >>> round(pressure_mpa(15, 32, 0.010, 100, 0.26, 210, 0.30, 6), 3)
    28.515
    """
    ring = _boss_ring(seat_mm, boss_mm)
    _not_negative("hole through the axle", shaft_bore_mm)
    if shaft_bore_mm >= seat_mm:
        raise ValueError(
            f"The hole through the axle ({shaft_bore_mm} mm) must be smaller than the seat ({seat_mm} mm)."
        )
    _not_negative("interference", interference_mm)
    _positive("boss's E", hub_young_gpa)
    _positive("axle's E", shaft_young_gpa)
    _poisson("boss's Poisson's ratio", hub_poisson)
    _poisson("axle's Poisson's ratio", shaft_poisson)
    hub = seat_mm / (hub_young_gpa * 1000) * (ring + hub_poisson)
    shaft = seat_mm / (shaft_young_gpa * 1000) * (_ring(shaft_bore_mm, seat_mm) - shaft_poisson)
    return interference_mm / (hub + shaft)


def hoop_stress_mpa(pressure: float, seat_mm: float, boss_mm: float) -> float:
    """The greatest tension in the boss, round the bore: what cracks it.

    Formula: hoop = p (D^2+d^2)/(D^2-d^2)
    pressure: pressure between boss and axle, MPa, 0 or more.
    seat_mm, boss_mm: diameters d and D, mm, D larger than d.
    Returns: hoop stress at the bore, MPa, tension positive.
    Raises: ValueError on a boss not larger than the seat, or a negative pressure.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.

    >>> round(hoop_stress_mpa(30.914, 15, 32), 2)
    48.32
    """
    _not_negative("pressure", pressure)
    return pressure * _boss_ring(seat_mm, boss_mm)


def interference_at_hoop_mm(
    hoop_mpa: float,
    seat_mm: float,
    boss_mm: float,
    hub_young_gpa: float,
    hub_poisson: float,
    shaft_young_gpa: float,
    shaft_poisson: float,
    shaft_bore_mm: float = 0.0,
) -> float:
    """The interference that strains the boss to a given hoop stress: the Lame sum turned round.

    Formula: delta = hoop / (hoop stress of 1 mm of interference), the stress being proportional to delta.
    hoop_mpa: hoop stress at the bore, MPa, 0 or more.
    The other figures: as for pressure_mpa, same units and limits.
    Returns: interference on the diameter, mm.
    Raises: ValueError on a boss not larger than the seat, or a figure outside its limits.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.

    >>> round(interference_at_hoop_mm(48.325, 15, 32, 100, 0.26, 210, 0.30), 5)
    0.01
    """
    _not_negative("hoop stress", hoop_mpa)
    shaft = shaft_young_gpa, shaft_poisson, shaft_bore_mm
    per_mm = pressure_mpa(seat_mm, boss_mm, 1.0, hub_young_gpa, hub_poisson, *shaft)
    return hoop_mpa / hoop_stress_mpa(per_mm, seat_mm, boss_mm)


def axial_force_n(pressure: float, seat_mm: float, length_mm: float, friction: float) -> float:
    """The push along the axle that the fit holds.

    Formula: F = mu pi d l p
    pressure: MPa, 0 or more.
    seat_mm, length_mm: seat diameter d and length of boss l, mm, above 0.
    friction: coefficient mu, 0 or more, such as 0.12.
    Returns: force, N.
    Raises: ValueError on a figure outside its limits.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.

    >>> round(axial_force_n(30.914, 15, 14, 0.12), 1)
    2447.4
    """
    _not_negative("pressure", pressure)
    _positive("seat diameter", seat_mm)
    _positive("length of the boss", length_mm)
    _not_negative("friction", friction)
    return friction * math.pi * seat_mm * length_mm * pressure


def torque_nm(pressure: float, seat_mm: float, length_mm: float, friction: float) -> float:
    """The torque that the fit holds before the wheel turns on its axle.

    Formula: T = mu pi d^2 l p / 2
    pressure: MPa, 0 or more.
    seat_mm, length_mm: seat diameter d and length of boss l, mm, above 0.
    friction: coefficient mu, 0 or more, such as 0.12.
    Returns: torque, N m.
    Raises: ValueError on a figure outside its limits.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.

    >>> round(torque_nm(30.913755, 15, 14, 0.12), 3)
    18.355
    """
    return axial_force_n(pressure, seat_mm, length_mm, friction) * seat_mm / 2 / 1000


def heating_k(interference_mm: float, assembly_clearance_mm: float, alpha: float, seat_mm: float) -> float:
    """How much hotter than the axle the wheel must be to slip on.

    Formula: rise = (delta + assembly clearance) / (alpha d)
    interference_mm: delta on the diameter, mm, 0 or more.
    assembly_clearance_mm: room wanted while sliding on, mm on the diameter, 0 or more.
    alpha: the wheel's expansion per kelvin, above 0, such as 10.5e-6.
    seat_mm: seat diameter d, mm, above 0.
    Returns: temperature rise over the axle, K.
    Raises: ValueError on a figure outside its limits.
    Source: Shigley's Mechanical Engineering Design, 9th ed., section 7-8; thermal expansion.

    >>> round(heating_k(0.010, 0.015, 10.5e-6, 15), 1)
    158.7
    """
    _not_negative("interference", interference_mm)
    _not_negative("assembly clearance", assembly_clearance_mm)
    _positive("expansion", alpha)
    _positive("seat diameter", seat_mm)
    return (interference_mm + assembly_clearance_mm) / (alpha * seat_mm)
