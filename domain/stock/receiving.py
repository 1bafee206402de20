"""Receiving a casting: does it clean up, where and by how much, and how it stands among its fellows."""

from __future__ import annotations

from collections.abc import Sequence

from domain.lengths import Unit, show
from domain.stock.castings import FinishedSizes, Flaws, Ranked, Received, RoughSizes, SparesProposal
from domain.stock.cautions import flaw_cautions, weight_caution
from domain.stock.judging import Judged, judge
from domain.stock.ranking import propose_spares, rank
from domain.stock.types import LEAST_CUT_NM, Face, StockError, Verdict
from domain.stock.words import join

__all__ = [
    "Face",
    "FinishedSizes",
    "Flaws",
    "Ranked",
    "Received",
    "RoughSizes",
    "SparesProposal",
    "StockError",
    "Verdict",
    "propose_spares",
    "rank",
    "receive",
]

# Where a flaw was seen the casting stands one step lower; one known to be too small is always last.
_STEPS = {Verdict.CLEANS_UP: 4, Verdict.JUST: 3, Verdict.CANNOT_TELL: 2, Verdict.DOES_NOT: 0}


def receive(
    rough: RoughSizes,
    finished: FinishedSizes,
    least_cut_nm: int = LEAST_CUT_NM,
    *,
    eccentricity_nm: int | None = None,
    wobble_nm: int | None = None,
    flaws: Flaws | None = None,
    weight_mg: int | None = None,
    weights_mg: Sequence[int] = (),
    unit: Unit = Unit.MM,
) -> Received:
    """Whether a casting cleans up, the face that decides, and how to share the metal.

    Formula: along the axle share_metal, on the outside radial_stock; the poorest face decides
    Parameters: `rough`, `finished`, nm; `least_cut_nm`, above 0; `eccentricity_nm`, between the inside edge that
    is set true and the outside, and `wobble_nm`, amplitude, 0 or more, None where not read yet (then taken
    as nothing, with a caution); `flaws` seen; `weight_mg` and `weights_mg`, see weight_caution.
    Returns: the verdict, lengths in nm. A face known to be short decides even where other sizes are missing.
    Raises: StockError, with its field, for sizes that no casting can have.
    Source: geometry; least cut and the limit of just: common practice, no source.

    >>> came = RoughSizes(104_000_000, 105_000_000, 20_000_000, 24_000_000, 500_000)
    >>> drawn = FinishedSizes(96_000_000, 2_000_000, 17_000_000, 21_000_000)
    >>> receive(came, drawn).words
    'It cleans up: rim back decides, with 0.750 mm (0.0295 in) more than is needed.'
    """
    if least_cut_nm <= 0:
        raise StockError("least_cut", "The least cut must be more than nothing: type one such as 0.5 mm.")
    flaws = flaws or Flaws()
    judged = judge(rough, finished, least_cut_nm, eccentricity_nm or 0, wobble_nm or 0, unit)
    weighs, said = weight_caution(weight_mg, weights_mg)
    seen = flaw_cautions(flaws)
    cautions = seen + ((said,) if said else ()) + _not_read(eccentricity_nm, wobble_nm)
    verdict = judged.verdict
    spare = judged.spare_nm
    return Received(
        verdict,
        judged.where,
        None if spare is None else abs(spare),
        _words(judged, unit),
        judged.share_words,
        tuple((face.words, nm) for face, nm in judged.faces),
        judged.missing,
        cautions,
        _score(verdict, len(seen) + (weighs < 0), spare),
        judged.workings,
    )


def _score(verdict: Verdict, flaws: int, spare_nm: int | None) -> tuple[int, int, int]:
    step = _STEPS[verdict]
    return (max(1, step - flaws) if step else 0, -flaws, spare_nm or 0)


def _not_read(eccentricity_nm: int | None, wobble_nm: int | None) -> tuple[str, ...]:
    names = [
        name
        for name, nm in (("how far the inside edge is out", eccentricity_nm), ("the wobble", wobble_nm))
        if nm is None
    ]
    if not names:
        return ()
    return (
        f"Not read yet: {join(names)}. Until then it counts as nothing here, and it will cost metal: put the dial on.",
    )


def _words(judged: Judged, unit: Unit) -> str:
    if judged.where is None or judged.spare_nm is None:
        return f"Cannot tell yet: measure {judged.missing_words}."
    face, by = judged.where.words, show(abs(judged.spare_nm), unit)
    if judged.verdict is Verdict.DOES_NOT:
        return f"It does not clean up: {face} is {by} short of what is needed.{judged.advice}"
    if judged.verdict is Verdict.CANNOT_TELL:
        return f"Cannot tell yet, measure {judged.missing_words}; so far {face} decides, with {by} to spare."
    head = "It just cleans up" if judged.verdict is Verdict.JUST else "It cleans up"
    return f"{head}: {face} decides, with {by} more than is needed."
