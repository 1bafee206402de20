"""Castings that will not clean up or are cracked: they are in the box, and count for nothing."""

from __future__ import annotations

from functools import lru_cache

from domain.route.stages import Stage
from domain.stock import words as say
from domain.stock.receiving import receive
from domain.stock.sharing import CleanUp
from domain.stock.sizes import FinishedSizes, RoughSizes, StockError
from webapp.facts.metal_sizes import receipt_nm, rough_of, terms_of
from webapp.records.views import BuildView, CastingView


def unfit(build: BuildView, casting: CastingView) -> bool:
    """Whether its rough sizes say that it will not clean up, and nothing since says otherwise; or a crack was seen.

    Since then a size logged after a cut does, and so does a tread that came out, or a wheel on its axle.
    """
    if casting.receipt is None or casting.state == "scrapped":
        return False
    if casting.has(Stage.TREAD_TURNED) or casting.has(Stage.PRESSED):
        return False
    if casting.receipt.crack:
        return True
    if casting.has(build.order_of(casting).first_cut) and any(
        not size.rough for size in casting.sizes.values()
    ):
        return False
    nm, terms = receipt_nm(casting.receipt), terms_of(build.of(casting))
    off, wobble = nm.get("edge_eccentricity"), nm.get("face_wobble")
    return _does_not(rough_of(nm), terms.finished, terms.least_cut_nm, off, wobble)


def why_unfit(casting: CastingView) -> str:
    """Why it is unfit, as it follows its mark; asked of one that is."""
    return say.unfit(cracked=casting.receipt is not None and casting.receipt.crack)


def usable_spares(build: BuildView) -> tuple[CastingView, ...]:
    """The spares that may be given a place, most advanced first."""
    return tuple(one for one in build.spares if not unfit(build, one))


# The build sheet and every axle sheet ask this of every casting.
@lru_cache(maxsize=512)
def _does_not(
    rough: RoughSizes,
    finished: FinishedSizes,
    least_cut_nm: int,
    eccentricity_nm: int | None,
    wobble_nm: int | None,
) -> bool:
    try:
        received = receive(
            rough, finished, least_cut_nm, eccentricity_nm=eccentricity_nm, wobble_nm=wobble_nm
        )
    except StockError:
        # Figures that contradict each other say nothing; the receiving sheet tells what is wrong with them.
        return False
    return received.verdict is CleanUp.DOES_NOT
