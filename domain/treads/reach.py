"""How large a tread a wheel can still be turned to, with its flange standing above it."""

from dataclasses import dataclass, replace

from domain.lengths import Unit, show
from domain.treads.group import TreadGroupError
from domain.working import Working

_ROUGH_SOURCE = "geometry of two circles; that a rough skin takes a least cut is common practice, no source"


@dataclass(frozen=True)
class TreadReach:
    """The largest tread a wheel can be turned to, nm: what decides it in a few words, and the working."""

    nm: int
    decided_by: str
    working: Working

    def working_for(self, mark: str) -> Working:
        """The working with the wheel's mark in its name."""
        return replace(self.working, name=f"{self.working.name} of {mark}")


def tread_reach(
    flange_depth_nm: int,
    least_cut_nm: int,
    unit: Unit,
    *,
    rim_least_nm: int | None = None,
    rough_tread_nm: int | None = None,
    over_flange_nm: int | None = None,
    tread_nm: int | None = None,
    eccentricity_nm: int = 0,
) -> TreadReach | None:
    """The largest diameter at which the tread cleans up and the flange above it still has its depth.

    Formula: a turned tread reaches what it is; a turned flange leaves over flange - 2 depth; a rough rim leaves
    rim - 2 (e + cut) - 2 depth; a rough rim cast with a step leaves at the tread no more than step - 2 (e + cut); the
    least of what is known decides.
    Parameters: `flange_depth_nm` > 0, the drawing's; `least_cut_nm` >= 0, on the radius, that cleans up a rough skin;
    `eccentricity_nm` e >= 0, of the rough outside when the wheel is set true; `rim_least_nm` and `rough_tread_nm`, the
    smallest rough diameters, `over_flange_nm` and `tread_nm`, the turned ones, nm, None where not measured; `unit`.
    Returns: the reach, nm, which may come out below nothing on a rim far too small; None when nothing is measured.
    Raises: TreadGroupError, field `wheels`, for a size not above zero or a cut or eccentricity below it.
    Source: geometry of two circles; the least cut is common practice, no source.

    >>> tread_reach(2_000_000, 500_000, Unit.MM, rim_least_nm=118_000_000, eccentricity_nm=300_000).nm
    112400000
    >>> tread_reach(2_000_000, 500_000, Unit.MM, rim_least_nm=118_000_000, over_flange_nm=114_000_000).nm
    110000000
    """
    sizes = (rim_least_nm, rough_tread_nm, over_flange_nm, tread_nm, flange_depth_nm)
    if any(nm is not None and nm <= 0 for nm in sizes) or min(least_cut_nm, eccentricity_nm) < 0:
        raise TreadGroupError("wheels", "A size of a rim must be more than nothing: measure it again.")
    if tread_nm is not None:
        shown = show(tread_nm, unit)
        working = Working("largest tread", "what it is turned to", f"tread {shown}", shown, "by definition")
        return TreadReach(tread_nm, "its tread as turned", working)
    skin = 2 * (eccentricity_nm + least_cut_nm)
    off = f"2 * ({show(eccentricity_nm, unit)} + {show(least_cut_nm, unit)})"
    depth = f"2 * {show(flange_depth_nm, unit)}"
    found: list[tuple[int, str, Working]] = []

    def add(nm: int, by: str, formula: str, numbers: str, source: str) -> None:
        found.append((nm, by, Working("largest tread", formula, numbers, show(nm, unit), source)))

    if over_flange_nm is not None:
        numbers = f"{show(over_flange_nm, unit)} - {depth}"
        add(
            over_flange_nm - 2 * flange_depth_nm,
            "its flange as turned",
            "over flange - 2 depth",
            numbers,
            "geometry",
        )
    elif rim_least_nm is not None:
        numbers = f"{show(rim_least_nm, unit)} - {off} - {depth}"
        nm = rim_least_nm - skin - 2 * flange_depth_nm
        formula = "rough rim - 2 (eccentricity + least cut) - 2 depth"
        add(nm, "its rough rim, for the flange", formula, numbers, _ROUGH_SOURCE)
    if rough_tread_nm is not None:
        numbers = f"{show(rough_tread_nm, unit)} - {off}"
        formula = "rough tread - 2 (eccentricity + least cut)"
        add(rough_tread_nm - skin, "its rough rim at the tread", formula, numbers, _ROUGH_SOURCE)
    if not found:
        return None
    return TreadReach(*min(found, key=lambda one: one[0]))
