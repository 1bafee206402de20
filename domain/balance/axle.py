"""Balancing an axle: the weight each wheel needs and where, and what remains of hammer blow, shuffling and swaying.

Angles are degrees ahead of the right crank, running forwards, as in domain/cranks/cylinders.py. Planes are distances
from the engine's centre line, nm, to the right above 0 and to the left below. Masses are grams, moments gram
millimetres.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from domain.balance.figures import BalanceError, check_number, figure, mass, percent, speed
from domain.cranks.cylinders import Cranks, Side
from domain.lengths import NM_PER_MM, Unit, show
from domain.working import Working

# Out-of-balance force up to this share of what stands on the wheel is let pass: common practice, no source; editable.
MATTERS_FROM = 0.02
NEWTON_PER_GMM = 1e-6  # 1 g mm (rad/s)^2 = 1e-6 N
_SOURCE = "Khurmi & Gupta, Theory of Machines, chapter 22 (balancing of reciprocating masses)"
_TWO_PLANES = "vector sums in two planes: Khurmi & Gupta, Theory of Machines, chapters 21 and 22"
_MATTERS = "common practice, no source; editable"


class Matters(StrEnum):
    """Whether the balance matters at the speed asked for."""

    NO = "no"
    YES = "yes"
    LIFTS = "lifts"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True)
class CrankLine:
    """One cylinder's crank: its side, plane, direction and throw, and the masses at its pin.

    rotating_g: what goes round with the pin (pin, its boss beyond the wheel's own roundness, its part of the rods).
    reciprocating_g: what goes to and fro (piston, crosshead, their part of the connecting rod).
    """

    side: Side
    plane_nm: int
    angle_deg: float
    throw_nm: int
    rotating_g: float
    reciprocating_g: float


@dataclass(frozen=True)
class Revolving:
    """Any other mass that goes round with the axle out of its middle, such as an eccentric."""

    name: str
    plane_nm: int
    angle_deg: float
    radius_nm: int
    mass_g: float


@dataclass(frozen=True)
class BalanceCase:
    """One axle to balance.

    share: part of the reciprocating masses that is balanced, 0 to 1, over all axles together.
    left_plane_nm, right_plane_nm: planes of the weights, that is the middle of the rims' weights.
    radius_nm: where the weights' middle is, from the axle.
    axles_sharing: over how many axles the reciprocating share is spread evenly.
    speed_m_s: of the track. tread_diameter_nm: of the wheels.
    wheel_load_n: what stands on one wheel, None when not known.
    matters_from: out-of-balance force as a share of the wheel's load from which it matters.
    """

    cranks: tuple[CrankLine, ...]
    share: float
    left_plane_nm: int
    right_plane_nm: int
    radius_nm: int
    speed_m_s: float
    tread_diameter_nm: int
    wheel_load_n: float | None = None
    others: tuple[Revolving, ...] = ()
    axles_sharing: int = 1
    matters_from: float = MATTERS_FROM


@dataclass(frozen=True)
class WheelBalance:
    """What one wheel needs.

    moment_gmm: mass times radius wanted. mass_g: at the case's radius. angle_deg: 0 up to 360.
    from_opposite_deg: how far ahead of straight opposite its own crankpin; None without a crank on this side.
    hammer_n: the hammer blow, either way, from the part for reciprocating masses.
    bare_n: the force that goes round when the wheel has no weight at all.
    hammer_share, bare_share: those as a share of the wheel's load, None when it is not known.
    """

    side: Side
    moment_gmm: float
    mass_g: float
    angle_deg: float
    from_opposite_deg: float | None
    hammer_n: float
    bare_n: float
    hammer_share: float | None
    bare_share: float | None


@dataclass(frozen=True)
class Balance:
    """The balance of an axle at a speed: both wheels, what is left of the engine's shuffling and swaying, a verdict.

    rpm: turns a minute. tractive_n: variation of the pull, either way. swaying_nm: swaying couple, newton metres.
    lifting_m_s: the speed at which the hammer blow equals the wheel's load, None when not known or never.
    """

    left: WheelBalance
    right: WheelBalance
    rpm: float
    tractive_n: float
    swaying_nm: float
    lifting_m_s: float | None
    matters: Matters
    workings: tuple[Working, ...]


def weight_planes(back_to_back_nm: int, tyre_width_nm: int, unit: Unit) -> tuple[int, Working]:
    """How far apart the weights of two wheels are when they lie in the middle of the tyres.

    Formula: back to back + tyre width
    Source: geometry; that the weight is in the middle of the tyre is common practice, no source.

    >>> weight_planes(83_300_000, 10_000_000, Unit.MM)[0]
    93300000
    """
    check_number("weight_planes", back_to_back_nm, "back to back", "83.3 mm")
    check_number("weight_planes", tyre_width_nm, "tyre width", "10 mm")
    apart = back_to_back_nm + tyre_width_nm
    return apart, Working(
        "from weight to weight",
        "back to back + tyre width",
        f"{show(back_to_back_nm, unit)} + {show(tyre_width_nm, unit)}",
        show(apart, unit),
        "the drawing; the weight in the middle of the tyre is common practice, no source",
    )


def planes(apart_nm: int) -> Mapping[Side, int]:
    """The planes of left and right, as far from the centre line as each other, and the one between the frames.

    Formula: half the distance to either side; the inside one on the centre line
    Returns: nm by side, to the right above 0.

    >>> planes(700_000_000)[Side.LEFT]
    -350000000
    """
    check_number("cylinder_planes", apart_nm, "distance from side to side", "120 mm")
    half = apart_nm // 2
    return {Side.RIGHT: apart_nm - half, Side.LEFT: -half, Side.INSIDE: 0}


def wheel_load(axle_load_n: float) -> tuple[float, Working]:
    """What stands on one wheel of an axle that is loaded alike on both.

    Formula: load on one axle / 2

    >>> wheel_load(240.0)[0]
    120.0
    """
    check_number("wheel_load", axle_load_n, "load on one axle", "25 kg")
    half = axle_load_n / 2.0
    return half, Working(
        "load on one wheel",
        "load on one axle / 2",
        f"{figure(axle_load_n, 4)} N / 2",
        f"{figure(half, 4)} N",
        "the load on one axle as typed for the joints",
    )


def nearer_than_wheels(planes_nm: int, back_to_back_nm: int, tyre_width_nm: int) -> int | None:
    """How far apart the outer faces of the wheels are, where the cylinders stand nearer together than those.

    Formula: apart < back to back + 2 x tyre width
    Parameters: `planes_nm`, from the middle of one cylinder to the other's; all above 0.
    Returns: nm; None for cylinders that stand as far apart as the faces or farther.
    Source: geometry; that outside cylinders stand outside the wheels is common practice, no source.

    >>> nearer_than_wheels(120_000_000, 83_300_000, 10_000_000) is None
    True
    """
    check_number("cylinder_planes", planes_nm, "distance from side to side", "120 mm")
    check_number("weight_planes", back_to_back_nm, "back to back", "83.3 mm")
    check_number("weight_planes", tyre_width_nm, "tyre width", "10 mm")
    faces = back_to_back_nm + 2 * tyre_width_nm
    return faces if planes_nm < faces else None


def crank_lines(
    cranks: Cranks,
    planes_nm: Mapping[Side, int],
    throw_nm: int,
    rotating_g: float,
    reciprocating_g: float,
) -> tuple[CrankLine, ...]:
    """The cranks of an engine with like cylinders, set out as the drawing wants them.

    Parameters: `cranks`, from crank_angles(); `planes_nm`, each cylinder's middle from the centre line, nm, right
    above 0; `throw_nm` > 0; `rotating_g`, `reciprocating_g`, masses of each, grams, 0 or more.
    Raises: BalanceError when a crank has no plane.

    >>> from domain.cranks.cylinders import crank_angles
    >>> planes = {Side.RIGHT: 60_000_000, Side.LEFT: -60_000_000}
    >>> [line.angle_deg for line in crank_lines(crank_angles(2, Side.LEFT), planes, 22_000_000, 90, 120)]
    [0.0, 90.0]
    """
    bare = [side for side, _ in cranks.before_right if side not in planes_nm]
    if bare:
        raise BalanceError(
            f"Say how far the {bare[0]} cylinder is from the engine's centre line, such as 60 mm.",
            field="plane",
        )
    return tuple(
        CrankLine(
            side=side,
            plane_nm=planes_nm[side],
            angle_deg=angle,
            throw_nm=throw_nm,
            rotating_g=rotating_g,
            reciprocating_g=reciprocating_g,
        )
        for side, angle in cranks.before_right
    )


def turns_per_minute(speed_m_s: float, tread_diameter_nm: int) -> float:
    """How fast a wheel turns on the track.

    Formula: rpm = 60 v / (pi D)

    >>> round(turns_per_minute(math.pi, 100_000_000), 9)
    600.0
    """
    check_number("speed", speed_m_s, "speed", "2.5 m/s", zero=True)
    check_number("tread", tread_diameter_nm, "tread diameter", "120 mm")
    return 60.0 * speed_m_s / (math.pi * tread_diameter_nm * 1e-9)


def force_n(moment_gmm: float, rpm: float) -> float:
    """The force with which an unbalanced moment pulls while it goes round.

    Formula: F = m r w^2, w = 2 pi rpm / 60
    Source: centripetal force, any textbook.

    >>> round(force_n(1e6, 30 / math.pi), 9)
    1.0
    """
    return moment_gmm * NEWTON_PER_GMM * (2.0 * math.pi * rpm / 60.0) ** 2


def balance_axle(case: BalanceCase, unit: Unit) -> Balance:
    """The weight each wheel of an axle needs and where, and what is left of the forces at a speed.

    Formula: with q the right plane's share (x - xl) / (xr - xl) of a mass in plane x: B_right = -sum q m r e^(i angle),
    B_left = -sum (1 - q) m r e^(i angle), m = rotating + c reciprocating / axles; weight = |B| / b; hammer blow =
    |B of the reciprocating part| w^2; pull varies by |sum (1 - c) m r e^(i angle)| w^2; swaying couple =
    |sum (1 - c) m r x e^(i angle)| w^2. It does not matter when hammer blow and |B| w^2 are both at most
    `matters_from` of the wheel's load.
    Parameters: `case`: one or more cranks, throws, radius and tread above 0, masses 0 or more, share 0 to 1, left
    plane left of the right one, speed 0 or more, load above 0 or None, axles_sharing 1 or more, matters_from above 0
    and below 1; `unit`, for the words.
    Returns: masses in g, moments in g mm, angles in degrees ahead of the right crank, forces in N, couple in N m.
    Source: Khurmi & Gupta, Theory of Machines, chapter 22; long connecting rods (first order only). What is let pass
    is common practice, no source.

    >>> line = lambda side, x, angle: CrankLine(side, x, angle, 300_000_000, 150_000, 180_000)
    >>> case = BalanceCase((line(Side.LEFT, -350_000_000, 0), line(Side.RIGHT, 350_000_000, 90)), 2 / 3,
    ...     -750_000_000, 750_000_000, 600_000_000, math.pi * 9, 1_800_000_000)
    >>> done = balance_axle(case, Unit.MM)
    >>> round(done.rpm), round(done.left.mass_g / 1000, 2), round(done.left.angle_deg), round(done.right.angle_deg)
    (300, 105.34, 200, 250)
    """
    _check(case)
    rpm = turns_per_minute(case.speed_m_s, case.tread_diameter_nm)
    hammer = _needed(case, [_part(line, 0.0, _balanced(case, line)) for line in case.cranks])
    rotating = [_part(line, line.rotating_g, 0.0) for line in case.cranks]
    whole = _needed(case, [*rotating, *(_other(one) for one in case.others)])
    wheels = tuple(
        _wheel(case, side, whole[side] + hammer[side], hammer[side], rpm) for side in (Side.LEFT, Side.RIGHT)
    )
    left, right = wheels
    tractive, swaying = _left_over(case, rpm)
    return Balance(
        left=left,
        right=right,
        rpm=rpm,
        tractive_n=tractive,
        swaying_nm=swaying,
        lifting_m_s=_lifting(case, max(abs(hammer[Side.LEFT]), abs(hammer[Side.RIGHT]))),
        matters=_matters(case, (left, right)),
        workings=_workings(case, (left, right), (tractive, swaying, rpm), unit),
    )


def _balanced(case: BalanceCase, line: CrankLine) -> float:
    """What of a crank's reciprocating mass this axle balances, g."""
    return case.share * line.reciprocating_g / case.axles_sharing


def _part(line: CrankLine, rotating_g: float, reciprocating_g: float) -> tuple[float, complex]:
    """Plane in mm and m r as a vector in g mm."""
    moment = (rotating_g + reciprocating_g) * line.throw_nm / NM_PER_MM
    return line.plane_nm / NM_PER_MM, cmath.rect(moment, math.radians(line.angle_deg))


def _other(one: Revolving) -> tuple[float, complex]:
    moment = one.mass_g * one.radius_nm / NM_PER_MM
    return one.plane_nm / NM_PER_MM, cmath.rect(moment, math.radians(one.angle_deg))


def _needed(case: BalanceCase, parts: Sequence[tuple[float, complex]]) -> dict[Side, complex]:
    """The vectors, g mm, that the two wheels need so that forces and couples of the parts vanish."""
    left, right = case.left_plane_nm / NM_PER_MM, case.right_plane_nm / NM_PER_MM
    to_right = sum(((x - left) / (right - left) * moment for x, moment in parts), 0j)
    whole = sum((moment for _, moment in parts), 0j)
    return {Side.RIGHT: -to_right, Side.LEFT: to_right - whole}


def _wheel(case: BalanceCase, side: Side, needed: complex, hammer: complex, rpm: float) -> WheelBalance:
    grams = abs(needed) / (case.radius_nm / NM_PER_MM)
    # Twice, because a hair below nothing comes out of the first as 360 itself.
    angle = math.degrees(cmath.phase(needed)) % 360.0 % 360.0
    own = next((line.angle_deg for line in case.cranks if line.side is side), None)
    # Opposite means nothing where the weight itself is only the rounding of floats.
    off = None if own is None or grams <= 1e-6 else math.remainder(angle - own - 180.0, 360.0)
    hammer_n, bare_n = force_n(abs(hammer), rpm), force_n(abs(needed), rpm)
    load = case.wheel_load_n
    return WheelBalance(
        side=side,
        moment_gmm=abs(needed),
        mass_g=grams,
        angle_deg=angle,
        from_opposite_deg=off,
        hammer_n=hammer_n,
        bare_n=bare_n,
        hammer_share=None if load is None else hammer_n / load,
        bare_share=None if load is None else bare_n / load,
    )


def _left_over(case: BalanceCase, rpm: float) -> tuple[float, float]:
    """Variation of the pull, N, and swaying couple about the centre line, N m."""
    rest = [_part(line, 0.0, (1.0 - case.share) * line.reciprocating_g) for line in case.cranks]
    pull = abs(sum((moment for _, moment in rest), 0j))
    couple = abs(sum((x * moment for x, moment in rest), 0j))
    return force_n(pull, rpm), force_n(couple, rpm) / 1000.0


def _lifting(case: BalanceCase, hammer_gmm: float) -> float | None:
    if case.wheel_load_n is None or hammer_gmm < 1e-6:
        return None
    turn = math.sqrt(case.wheel_load_n / (hammer_gmm * NEWTON_PER_GMM))
    return turn * case.tread_diameter_nm * 1e-9 / 2.0


def _matters(case: BalanceCase, wheels: Sequence[WheelBalance]) -> Matters:
    if case.wheel_load_n is None:
        return Matters.CANNOT_TELL
    if max(wheel.hammer_n for wheel in wheels) > case.wheel_load_n:
        return Matters.LIFTS
    worst = max(max(wheel.hammer_n, wheel.bare_n) for wheel in wheels)
    return Matters.NO if worst <= case.matters_from * case.wheel_load_n else Matters.YES


def _check(case: BalanceCase) -> None:
    if not case.cranks:
        raise BalanceError(
            "There is no crank to balance: give at least one cylinder.",
            field="cranks",
        )
    for line in case.cranks:
        whose = f"{line.side} crank's"
        check_number("throw", line.throw_nm, f"{whose} throw", "22.225 mm")
        check_number("rotating", line.rotating_g, f"{whose} rotating mass", "150 g", zero=True)
        check_number("reciprocating", line.reciprocating_g, f"{whose} reciprocating mass", "180 g", zero=True)
        _check_angle(line.angle_deg, f"{whose} angle")
    if len({line.side for line in case.cranks}) < len(case.cranks):
        raise BalanceError(
            "Two cranks are on one side: give each side one crank.",
            field="cranks",
        )
    for one in case.others:
        check_number("mass", one.mass_g, f"mass of “{one.name}”", "20 g", zero=True)
        check_number("radius", one.radius_nm, f"radius of “{one.name}”", "8 mm", zero=True)
        _check_angle(one.angle_deg, f"angle of “{one.name}”")
    if not (math.isfinite(case.share) and 0.0 <= case.share <= 1.0):
        raise BalanceError(
            "The share of the reciprocating masses must be between 0 and 100 %: type 50, say.",
            field="share",
        )
    if case.left_plane_nm >= case.right_plane_nm:
        raise BalanceError(
            "The left weight must be to the left of the right one: check both distances.",
            field="planes",
        )
    check_number("balance_radius", case.radius_nm, "weights' distance from the axle", "30 mm")
    if case.wheel_load_n is not None:
        check_number("wheel_load", case.wheel_load_n, "load on one wheel", "120 N")
    if case.axles_sharing < 1:
        raise BalanceError(
            "At least one axle must carry the balance: type 1 or more.",
            field="axles_sharing",
        )
    if not (math.isfinite(case.matters_from) and 0.0 < case.matters_from < 1.0):
        raise BalanceError(
            "What is let pass must be above 0 and below 100 %: type 2, say.",
            field="matters_from",
        )


def _check_angle(angle_deg: float, what: str) -> None:
    if not math.isfinite(angle_deg):
        raise BalanceError(
            f"The {what} must be a number of degrees, such as 90.",
            field="angle",
        )


def _workings(
    case: BalanceCase,
    wheels: Sequence[WheelBalance],
    forces: tuple[float, float, float],
    unit: Unit,
) -> tuple[Working, ...]:
    tractive, swaying, rpm = forces
    omega = 2.0 * math.pi * rpm / 60.0
    cranks = "; ".join(
        f"{line.side} {mass(line.rotating_g, unit)} + {case.share:.3g} x {mass(line.reciprocating_g, unit)}"
        f"{f' / {case.axles_sharing} axles' if case.axles_sharing > 1 else ''}"
        f" at {show(line.throw_nm, unit)}, {line.angle_deg % 360:.2f} degrees, plane {show(line.plane_nm, unit)}"
        for line in case.cranks
    )
    others = "".join(
        f"; {one.name} {mass(one.mass_g, unit)} at {show(one.radius_nm, unit)}, {one.angle_deg % 360:.2f} degrees,"
        f" plane {show(one.plane_nm, unit)}"
        for one in case.others
    )
    planes = f"; weights in planes {show(case.left_plane_nm, unit)} and {show(case.right_plane_nm, unit)}"
    found = [
        Working(
            "turns a minute",
            "60 v / (pi D)",
            f"{speed(case.speed_m_s)}, D {show(case.tread_diameter_nm, unit)}",
            f"{rpm:.1f} turns a minute, w {omega:.3f} rad/s",
            "by definition",
        )
    ]
    for wheel in wheels:
        found += _wheel_workings(case, wheel, cranks + others + planes, omega, unit)
    rest = f"c {case.share:.3g}, w {omega:.3f} rad/s; {cranks}"
    found += [
        Working(
            "variation of the pull",
            "|sum (1 - c) m r e^(i angle)| w^2; two cylinders: sqrt2 (1 - c) m r w^2",
            rest,
            f"{figure(tractive, 4)} N either way",
            _SOURCE,
        ),
        Working(
            "swaying couple",
            "|sum (1 - c) m r x e^(i angle)| w^2; two cylinders a apart: a (1 - c) m r w^2 / sqrt2",
            rest,
            f"{figure(swaying, 4)} N m either way",
            _SOURCE,
        ),
    ]
    return tuple(found)


def _wheel_workings(
    case: BalanceCase, wheel: WheelBalance, numbers: str, omega: float, unit: Unit
) -> list[Working]:
    found = [
        Working(
            f"{wheel.side} weight",
            "|sum of m r e^(i angle) x plane's share| / b",
            f"{numbers}; b {show(case.radius_nm, unit)}",
            f"{mass(wheel.mass_g, unit)} at {wheel.angle_deg:.2f} degrees ({figure(wheel.moment_gmm, 4)} g mm)",
            _TWO_PLANES,
        ),
        Working(
            f"{wheel.side} hammer blow",
            "|part of B for reciprocating masses| w^2",
            f"c {case.share:.3g}, w {omega:.3f} rad/s",
            f"{figure(wheel.hammer_n, 4)} N either way",
            _SOURCE,
        ),
    ]
    load = case.wheel_load_n
    if load is not None and wheel.hammer_share is not None and wheel.bare_share is not None:
        found.append(
            Working(
                f"{wheel.side} share of the load",
                "hammer blow / load; |B| w^2 / load",
                f"{figure(wheel.hammer_n, 4)} N and {figure(wheel.bare_n, 4)} N of {figure(load, 4)} N",
                f"{percent(wheel.hammer_share)} and {percent(wheel.bare_share)};"
                f" up to {percent(case.matters_from)} is let pass",
                _MATTERS,
            )
        )
    return found
