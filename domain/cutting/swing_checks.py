"""Sizes that no lathe, chuck or set-up can have, each refused in one sentence."""

from domain.cutting.swing_types import Grips, SwingChuck, SwingError, SwingLathe, SwingSetUp
from domain.lengths import Unit, show


def check_lathe(lathe: SwingLathe) -> None:
    """Refuse a lathe that cannot be.

    Formula: centre height > 0; a gap has both its sizes, its radius above the centre height.
    Parameters: `lathe`, lengths in nm.
    Raises: SwingError, field "centre_height", "gap_radius" or "gap_width".
    Source: geometry.

    >>> check_lathe(SwingLathe(89_000_000, 130_000_000, 80_000_000))
    """
    if lathe.centre_height_nm <= 0:
        raise SwingError(
            "centre_height", "The lathe has no centre height: measure from its axis down to the bed."
        )
    if lathe.gap_radius_nm is None and lathe.gap_width_nm is None:
        return
    if lathe.gap_radius_nm is None or lathe.gap_radius_nm <= lathe.centre_height_nm:
        raise SwingError(
            "gap_radius",
            "The gap must be deeper than the bed: measure from the lathe's axis down to its floor.",
        )
    if lathe.gap_width_nm is None or lathe.gap_width_nm <= 0:
        raise SwingError(
            "gap_width",
            "The gap has no length: measure along the bed from the spindle's nose to its far end.",
        )


def check_chuck(chuck: SwingChuck) -> None:
    """Refuse a chuck that cannot be.

    Formula: body, depth and, where known, the length of a jaw > 0.
    Parameters: `chuck`, lengths in nm.
    Raises: SwingError, field "body", "depth" or "jaw_length".
    Source: geometry.

    >>> from domain.cutting.swing_types import JawReach
    >>> check_chuck(SwingChuck(125_000_000, 60_000_000, JawReach(), JawReach()))
    """
    if chuck.body_nm <= 0:
        raise SwingError("body", "The chuck has no size: measure the diameter of its body.")
    if chuck.depth_nm <= 0:
        raise SwingError(
            "depth", "The chuck has no depth: measure from the spindle's nose to the chuck's face."
        )
    if chuck.jaw_length_nm is not None and chuck.jaw_length_nm <= 0:
        raise SwingError(
            "jaw_length", "The jaw has no length: measure it from end to end, or leave it empty."
        )


def check_set_up(set_up: SwingSetUp, unit: Unit) -> None:
    """Refuse work that cannot be held so.

    Formula: every length > 0; the work is larger than an inside, and no smaller than an outside, the jaws grip.
    Parameters: `set_up`, lengths in nm; `unit`, the system of the words.
    Raises: SwingError, field "held", "work" or "along".
    Source: geometry.

    >>> from domain.cutting.swing_types import Jaws
    >>> check_set_up(SwingSetUp(Jaws.NORMAL, Grips.OUTSIDE, 90_000_000, 96_000_000), Unit.MM)
    """
    if set_up.held_nm <= 0:
        raise SwingError("held", "The diameter the jaws grip cannot be nothing: measure it where they grip.")
    if set_up.work_nm <= 0:
        raise SwingError("work", "The work has no size: measure its largest diameter, flange and all.")
    if set_up.along_nm is not None and set_up.along_nm < 0:
        raise SwingError(
            "along", "The length along the bed cannot be below nothing: measure it from the chuck's face."
        )
    if set_up.grips is Grips.OUTSIDE and set_up.work_nm < set_up.held_nm:
        raise SwingError(
            "work",
            f"The work's largest diameter, {show(set_up.work_nm, unit)}, cannot be less than the outside the jaws"
            f" grip, {show(set_up.held_nm, unit)}: measure both again.",
        )
    if set_up.grips is Grips.INSIDE and set_up.work_nm <= set_up.held_nm:
        raise SwingError(
            "work",
            f"The work's largest diameter, {show(set_up.work_nm, unit)}, must be more than the inside the jaws"
            f" grip, {show(set_up.held_nm, unit)}: measure both again.",
        )
