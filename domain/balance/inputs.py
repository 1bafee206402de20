"""What the balance of an axle takes from the drawing: the planes of weights and cylinders, and a wheel's load."""

from __future__ import annotations

from collections.abc import Mapping

from domain.balance.types import check_number
from domain.balance.words import figure
from domain.cranks.cylinders import Side
from domain.lengths import Unit, show
from domain.working import Working


def weight_planes(back_to_back_nm: int, tyre_width_nm: int, unit: Unit) -> tuple[int, Working]:
    """How far apart the weights of two wheels are when they lie in the middle of the tyres.

    Formula: back to back + tyre width
    Parameters: `back_to_back_nm`, `tyre_width_nm`, above 0; `unit`, for the words.
    Returns: nm, with its working.
    Raises: BalanceError for a size not above 0.
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
    Parameters: `apart_nm`, from left to right, above 0.
    Returns: nm by side, to the right above 0.
    Raises: BalanceError for a distance not above 0.
    Source: by definition.

    >>> planes(700_000_000)[Side.LEFT]
    -350000000
    """
    check_number("cylinder_planes", apart_nm, "distance from side to side", "120 mm")
    half = apart_nm // 2
    return {Side.RIGHT: apart_nm - half, Side.LEFT: -half, Side.INSIDE: 0}


def wheel_load(axle_load_n: float) -> tuple[float, Working]:
    """What stands on one wheel of an axle that is loaded alike on both.

    Formula: load on one axle / 2
    Parameters: `axle_load_n`, newtons, above 0.
    Returns: newtons, with its working.
    Raises: BalanceError for a load not above 0.
    Source: by definition.

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


def nearer_than_wheels(planes_nm: int, back_to_back_nm: int, tyre_width_nm: int, unit: Unit) -> str | None:
    """What cylinders are taken for that stand nearer together than the outer faces of the wheels.

    Formula: apart < back to back + 2 x tyre width
    Parameters: `planes_nm`, from the middle of one cylinder to the other's; `back_to_back_nm`, `tyre_width_nm`, above
    0; `unit`, for the words.
    Returns: a sentence or two, None for cylinders that stand as far apart as the faces or farther.
    Raises: BalanceError for a size not above 0.
    Source: geometry; that outside cylinders stand outside the wheels is common practice, no source.

    >>> nearer_than_wheels(120_000_000, 83_300_000, 10_000_000, Unit.MM) is None
    True
    """
    check_number("cylinder_planes", planes_nm, "distance from side to side", "120 mm")
    check_number("weight_planes", back_to_back_nm, "back to back", "83.3 mm")
    check_number("weight_planes", tyre_width_nm, "tyre width", "10 mm")
    faces = back_to_back_nm + 2 * tyre_width_nm
    if planes_nm >= faces:
        return None
    return (
        f"Inside cylinders? They are {show(planes_nm, unit)} apart, nearer together than the outer faces of the wheels,"
        f" {show(faces, unit)}. They are taken as typed, with all that goes round in their planes, and that turns the"
        " weights to the other side of straight opposite when they stand nearer than the weights themselves. For"
        " outside cylinders measure again, from the middle of one to the middle of the other."
    )
