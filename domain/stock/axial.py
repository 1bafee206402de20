"""Will it clean up, and how is the metal shared: along the axle."""

from __future__ import annotations

from domain.lengths import Unit, show
from domain.stock.radial import radial_share, radial_stock
from domain.stock.types import (
    Face,
    FaceStock,
    FinishedFaces,
    RadialShare,
    RadialStock,
    RoughFaces,
    Shares,
    StockError,
    Verdict,
)
from domain.stock.verdict import verdict_of
from domain.stock.words import shares_words, shares_workings

__all__ = [
    "Face",
    "FaceStock",
    "FinishedFaces",
    "RadialShare",
    "RadialStock",
    "RoughFaces",
    "Shares",
    "StockError",
    "Verdict",
    "radial_share",
    "radial_stock",
    "share_metal",
]


def share_metal(
    rough: RoughFaces, finished: FinishedFaces, least_cut_nm: int, wobble_nm: int, unit: Unit = Unit.MM
) -> Shares:
    """Where the finished wheel lies in its casting so that the poorest face has as much metal as can be.

    Formula: with x from rough to finished rim back, metal on a back face = x + finished - rough, on a front face
    = rough - finished - x; need = least cut + wobble; x lies from (most of rough - finished, back) + need to
    (least of rough - finished, front) - need; the best x is the middle, an odd nanometre is left on the front
    Parameters: `rough`, `finished`, nm, the boss left out where either lacks it; `least_cut_nm`, 0 or more;
    `wobble_nm`, the amplitude by which a face nods as it turns (half the total reading), 0 or more, asked
    of the boss as of the rim, which is the safe side; `unit`, for the words.
    Returns: the verdict (just: the poorest face has less than the wobble and 1.5 times the least cut), lengths in nm.
    Raises: StockError for a negative figure, faces the wrong way round, or a wobble larger than the metal.
    Source: derived here; no published source. Verdict's 1.5: common practice, no source.

    >>> from domain.stock.faces import finished_faces, rough_faces
    >>> rough, finished = rough_faces(20_000_000), finished_faces(17_000_000)
    >>> share_metal(rough, finished, 500_000, 100_000).words[:88]
    'It cleans up: take 1.500 mm (0.0591 in) off the back of the rim and 1.500 mm (0.0591 in)'
    """
    _check_figures(least_cut_nm, wobble_nm)
    backs, fronts = _gaps(rough, finished)
    back, front = _deciding(backs, fronts)
    edges, need = (backs[back], fronts[front]), least_cut_nm + wobble_nm
    room = edges[1] - edges[0]
    if 0 <= room < 2 * wobble_nm:
        raise StockError(
            "wobble",
            f"A wobble of {show(wobble_nm, unit)} is more than the {show(room // 2, unit)} of metal on the poorest"
            " face: set the casting true front to back, then read it again.",
        )
    best = (edges[0] + edges[1]) // 2
    stocks = {**{f: best - at for f, at in backs.items()}, **{f: at - best for f, at in fronts.items()}}
    faces = tuple(FaceStock(f, stocks[f], max(0, need - stocks[f])) for f in Face if f in stocks)
    spare, short = room // 2 - need, max(0, 2 * need - room)
    verdict = verdict_of(spare, least_cut_nm)
    fits = verdict is not Verdict.DOES_NOT
    zero = rough.rim_back_nm
    return Shares(
        verdict,
        best - zero,
        edges[0] + need - zero if fits else None,
        edges[1] - need - zero if fits else None,
        need,
        faces,
        back,
        front,
        spare,
        short,
        shares_words(verdict, faces, (back, front), short, unit),
        shares_workings((edges[0] - zero, edges[1] - zero), need, best - zero, faces, unit),
    )


def _gaps(rough: RoughFaces, finished: FinishedFaces) -> tuple[dict[Face, int], dict[Face, int]]:
    """Rough less finished position of each known face: the shift that would leave it no metal at all."""
    backs = {Face.RIM_BACK: rough.rim_back_nm - finished.rim_back_nm}
    fronts = {Face.RIM_FRONT: rough.rim_front_nm - finished.rim_front_nm}
    for faces in (rough, finished):
        if faces.rim_front_nm <= faces.rim_back_nm:
            raise StockError("rim_height", "The front of the rim must lie before its back: measure it again.")
        boss = (faces.boss_back_nm, faces.boss_front_nm)
        if boss[0] is not None and boss[1] is not None and boss[1] <= boss[0]:
            raise StockError(
                "boss_height", "The front of the boss must lie before its back: measure it again."
            )
    if rough.boss_back_nm is not None and finished.boss_back_nm is not None:
        backs[Face.BOSS_BACK] = rough.boss_back_nm - finished.boss_back_nm
    if rough.boss_front_nm is not None and finished.boss_front_nm is not None:
        fronts[Face.BOSS_FRONT] = rough.boss_front_nm - finished.boss_front_nm
    return backs, fronts


def _deciding(backs: dict[Face, int], fronts: dict[Face, int]) -> tuple[Face, Face]:
    """The back face and the front face with the least between them."""
    poor_backs = [face for face, at in backs.items() if at == max(backs.values())]
    poor_fronts = [face for face, at in fronts.items() if at == min(fronts.values())]
    # Of faces alike, two of one lump say it plainest: that lump is the thin one.
    for pair in ((Face.RIM_BACK, Face.RIM_FRONT), (Face.BOSS_BACK, Face.BOSS_FRONT)):
        if pair[0] in poor_backs and pair[1] in poor_fronts:
            return pair
    return poor_backs[0], poor_fronts[0]


def _check_figures(least_cut_nm: int, wobble_nm: int) -> None:
    if least_cut_nm < 0:
        raise StockError("least_cut", "The least cut cannot be below nothing: type one such as 0.5 mm.")
    if wobble_nm < 0:
        raise StockError("wobble", "The wobble cannot be below nothing: type one such as 0.1 mm.")
