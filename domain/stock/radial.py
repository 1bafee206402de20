"""Will it clean up on the outside, and what setting true to one edge costs at the other."""

from __future__ import annotations

from domain.lengths import Unit, show
from domain.stock.types import JUST_SOURCE, LEAST_CUT_NM, RadialShare, RadialStock, StockError, Verdict
from domain.stock.verdict import verdict_of
from domain.stock.words import signed
from domain.working import Working


def radial_stock(
    least_diameter_nm: int,
    most_diameter_nm: int,
    finished_diameter_nm: int,
    eccentricity_nm: int,
    least_cut_nm: int = LEAST_CUT_NM,
    unit: Unit = Unit.MM,
) -> RadialStock:
    """Metal on an outside diameter where it is thinnest, once the casting is set true to another surface.

    Formula: metal = (smallest rough diameter - finished diameter) / 2 - eccentricity, a half nanometre goes down
    Parameters: rough diameters, smallest and largest, nm, above 0; `finished_diameter_nm`, above 0;
    `eccentricity_nm`, between the outside and the surface set true, 0 or more; `least_cut_nm`, 0 or more.
    Returns: metal on the radius, nm, with and without the eccentricity, and the verdict.
    Raises: StockError for a size that cannot be, or a largest diameter below the smallest.
    Source: geometry of two circles; verdict: common practice, no source.

    >>> radial_stock(104_000_000, 105_000_000, 100_000_000, 800_000).stock_nm
    1200000
    """
    _check(least_diameter_nm, most_diameter_nm, finished_diameter_nm, eccentricity_nm, unit)
    true = (least_diameter_nm - finished_diameter_nm) // 2
    stock = true - eccentricity_nm
    spare = stock - least_cut_nm
    verdict = verdict_of(spare, least_cut_nm)
    working = Working(
        "metal on the outside",
        "(smallest rough diameter - finished diameter) / 2 - eccentricity",
        f"({show(least_diameter_nm, unit)} - {show(finished_diameter_nm, unit)}) / 2"
        f" - {show(eccentricity_nm, unit)}",
        signed(stock, unit),
        f"geometry; {JUST_SOURCE}",
    )
    words = _words(verdict, stock, spare, true - least_cut_nm, eccentricity_nm, unit)
    return RadialStock(stock, true, spare, verdict, words, (working,))


def radial_share(
    least_diameter_nm: int,
    most_diameter_nm: int,
    finished_diameter_nm: int,
    eccentricity_nm: int,
    inside_diameter_nm: int | None = None,
    unit: Unit = Unit.MM,
) -> RadialShare:
    """What is left thick and thin when the rim is set true to its inside edge, and when to its outside.

    Formula: true to the inside edge, metal outside = (rough - finished) / 2 -+ eccentricity and the finished
    rim is even; true to the outside, the finished rim is (finished - inside) / 2 -+ eccentricity
    Parameters: as radial_stock; `inside_diameter_nm`, of the inside edge, smaller than the finished diameter,
    None where not measured.
    Returns: lengths on the radius, nm; halves go to the unfavourable side.
    Raises: StockError for a size that cannot be.
    Source: geometry of two circles.

    >>> share = radial_share(104_000_000, 105_000_000, 100_000_000, 800_000, 84_000_000)
    >>> share.cut_thin_nm, share.cut_thick_nm, share.rim_thin_nm, share.rim_thick_nm
    (1200000, 3300000, 7200000, 8800000)
    """
    _check(least_diameter_nm, most_diameter_nm, finished_diameter_nm, eccentricity_nm, unit)
    if inside_diameter_nm is not None and not 0 < inside_diameter_nm < finished_diameter_nm:
        raise StockError(
            "inside_diameter",
            f"The inside edge must be smaller than the finished {show(finished_diameter_nm, unit)}: measure it again.",
        )
    thin = (least_diameter_nm - finished_diameter_nm) // 2 - eccentricity_nm
    thick = -((finished_diameter_nm - most_diameter_nm) // 2) + eccentricity_nm
    rim = None if inside_diameter_nm is None else (finished_diameter_nm - inside_diameter_nm) // 2
    words = (
        f"Set true to the inside edge the rim comes out even, and the cut outside runs from {signed(thin, unit)}"
        f" to {signed(thick, unit)}. Set true to the outside the rim comes out"
        f" {show(2 * eccentricity_nm, unit)} thicker on one side than on the other."
    )
    working = Working(
        "metal outside, thinnest and thickest",
        "(smallest - finished) / 2 - eccentricity, (largest - finished) / 2 + eccentricity",
        f"{show(least_diameter_nm, unit)}, {show(most_diameter_nm, unit)}, {show(finished_diameter_nm, unit)},"
        f" {show(eccentricity_nm, unit)}",
        f"{signed(thin, unit)}, {signed(thick, unit)}",
        "geometry of two circles",
    )
    return RadialShare(
        thin,
        thick,
        2 * eccentricity_nm,
        None if rim is None else rim - eccentricity_nm,
        None if rim is None else rim + eccentricity_nm,
        words,
        (working,),
    )


def _words(verdict: Verdict, stock: int, spare: int, spare_true: int, eccentricity: int, unit: Unit) -> str:
    if verdict is not Verdict.DOES_NOT:
        head = "It just cleans up" if verdict is Verdict.JUST else "It cleans up"
        return f"{head} outside: {show(stock, unit)} on the radius at the thinnest place."
    words = f"It does not clean up outside: {show(-spare, unit)} short on the radius at the thinnest place."
    if spare_true < 0:
        return words
    return (
        f"{words} Set true to the outside it would clean up, but the rim would come out"
        f" {show(2 * eccentricity, unit)} thicker on one side than on the other."
    )


def _check(least: int, most: int, finished: int, eccentricity: int, unit: Unit) -> None:
    if least <= 0:
        raise StockError(
            "least_diameter", "The smallest rough diameter must be more than nothing: measure it again."
        )
    if most < least:
        raise StockError(
            "most_diameter",
            f"The largest rough diameter, {show(most, unit)}, is below the smallest, {show(least, unit)}:"
            " type them the other way round or measure again.",
        )
    if finished <= 0:
        raise StockError(
            "finished_diameter", "The finished diameter must be more than nothing: see the drawing."
        )
    if eccentricity < 0:
        raise StockError("eccentricity", "The eccentricity cannot be below nothing: type one such as 0.3 mm.")
