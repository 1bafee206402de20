"""Judging every face of a received casting that is known, and naming the sizes that are not."""

from __future__ import annotations

from dataclasses import dataclass, replace

from domain.lengths import Unit, show
from domain.stock.axial import radial_stock, share_metal
from domain.stock.castings import FinishedSizes, RoughSizes
from domain.stock.faces import finished_faces, rough_faces
from domain.stock.types import Face, RadialStock, Shares, StockError, Verdict
from domain.stock.verdict import verdict_of
from domain.stock.words import join, share_words
from domain.working import Working

_ROUGH = {
    "least_diameter": "the smallest rough diameter",
    "rim_height": "the rim height",
    "boss_height": "the boss height",
    "boss_proud_back": "how much the boss stands proud at the back",
}
_DRAWN = {
    "tread_diameter": "the drawing's tread diameter",
    "flange_depth": "the drawing's flange depth",
    "rim_width": "the drawing's rim width",
    "boss_length": "the drawing's boss length",
}


@dataclass(frozen=True)
class Judged:
    """The verdict over all faces known; spare_nm is below 0 where the deciding face is short."""

    verdict: Verdict
    where: Face | None
    spare_nm: int | None
    share_words: str
    faces: tuple[tuple[Face, int], ...]
    missing: tuple[str, ...]
    advice: str
    workings: tuple[Working, ...]

    @property
    def missing_words(self) -> str:
        """The sizes still wanted, in a row."""
        return join([{**_ROUGH, **_DRAWN}[name] for name in self.missing])


def judge(
    rough: RoughSizes,
    finished: FinishedSizes,
    least_cut_nm: int,
    eccentricity_nm: int,
    wobble_nm: int,
    unit: Unit,
) -> Judged:
    """The poorest of the faces known decides; a size that is missing leaves the question open.

    Formula: least of (metal - needed) over the faces; not known to be short and something missing: cannot tell
    Parameters: as domain.stock.receiving.receive, nm.
    Returns: the verdict, lengths in nm.
    Raises: StockError for sizes that cannot be.
    Source: geometry.

    >>> judge(RoughSizes(), FinishedSizes(1, 1, 1, 1), 1, 0, 0, Unit.MM).missing
    ('least_diameter', 'rim_height', 'boss_height', 'boss_proud_back')
    """
    _check(rough, finished)
    missing = tuple(
        name
        for sizes, names in ((rough, _ROUGH), (finished, _DRAWN))
        for name in names
        if getattr(sizes, f"{name}_nm") is None
    )
    shares = _axial(rough, finished, least_cut_nm, wobble_nm, unit)
    radial = _radial(rough, finished, least_cut_nm, eccentricity_nm, unit)
    spares = [(one.spare_nm, face) for face, one in radial.items()]
    if shares is not None:
        # The odd nanometre is left on the front, so the back is never the richer of the two that decide.
        spares.insert(0, (shares.spare_nm, shares.back))
    spares += _boss_alone(shares, rough, finished, least_cut_nm + wobble_nm)
    spare, where = min(spares, key=lambda pair: pair[0]) if spares else (None, None)
    verdict = Verdict.CANNOT_TELL if spare is None else verdict_of(spare, least_cut_nm)
    if missing and verdict is not Verdict.DOES_NOT:
        verdict = Verdict.CANNOT_TELL
    axial = () if shares is None else tuple((one.face, one.stock_nm) for one in shares.faces)
    return Judged(
        verdict,
        where,
        spare,
        _share_words(shares, unit),
        axial + tuple((face, one.stock_nm) for face, one in radial.items()),
        missing,
        _advice(where, shares, radial, wobble_nm, unit),
        (shares.workings if shares else ())
        + tuple(
            replace(working, name=f"metal on the {face.words}")
            for face, one in radial.items()
            for working in one.workings
        ),
    )


def _axial(
    rough: RoughSizes, finished: FinishedSizes, least_cut_nm: int, wobble_nm: int, unit: Unit
) -> Shares | None:
    if rough.rim_height_nm is None or finished.rim_width_nm is None:
        return None
    came = rough_faces(rough.rim_height_nm, rough.boss_height_nm, rough.boss_proud_back_nm, unit)
    drawn = finished_faces(finished.rim_width_nm, finished.boss_length_nm, finished.boss_proud_back_nm, unit)
    return share_metal(came, drawn, least_cut_nm, wobble_nm, unit)


def _boss_alone(
    shares: Shares | None, rough: RoughSizes, finished: FinishedSizes, need_nm: int
) -> list[tuple[int, Face]]:
    """A boss too short for its length is too short wherever it stands."""
    if rough.boss_height_nm is None or finished.boss_length_nm is None:
        return []
    if shares is not None and shares.stock(Face.BOSS_FRONT) is not None:
        return []
    spare = (rough.boss_height_nm - finished.boss_length_nm) // 2 - need_nm
    return [(spare, Face.BOSS_FRONT)] if spare < 0 else []


def _radial(
    rough: RoughSizes, finished: FinishedSizes, least_cut_nm: int, eccentricity_nm: int, unit: Unit
) -> dict[Face, RadialStock]:
    least, found = rough.least_diameter_nm, {}
    if least is None:
        return {}
    most = least if rough.most_diameter_nm is None else rough.most_diameter_nm
    if finished.over_flange_nm is not None:
        found[Face.OVER_FLANGE] = radial_stock(
            least, most, finished.over_flange_nm, eccentricity_nm, least_cut_nm, unit
        )
    if finished.tread_diameter_nm is not None:
        at_tread = rough.tread_least_diameter_nm
        smallest = least if at_tread is None else at_tread
        found[Face.TREAD] = radial_stock(
            smallest, max(smallest, most), finished.tread_diameter_nm, eccentricity_nm, least_cut_nm, unit
        )
    return found


def _share_words(shares: Shares | None, unit: Unit) -> str:
    if shares is None:
        return ""
    share = share_words(shares.faces, unit)
    if shares.verdict is Verdict.DOES_NOT:
        return f"The best that can be done is to {share}; some of the skin will stay."
    return f"{share.capitalize()}."


def _advice(
    where: Face | None, shares: Shares | None, radial: dict[Face, RadialStock], wobble_nm: int, unit: Unit
) -> str:
    """What could still save a casting that is short: setting it truer, or nothing."""
    if where is None:
        return ""
    if where.on_diameter:
        one = radial[where]
        need = one.stock_nm - one.spare_nm
        return (
            " Set true to the outside it would clean up, at the cost of an uneven rim."
            if one.stock_true_nm >= need
            else ""
        )
    if shares is not None and wobble_nm and shares.spare_nm + wobble_nm >= 0:
        return f" Without its wobble of {show(wobble_nm, unit)} it would clean up: set it true front to back again."
    return ""


def _check(rough: RoughSizes, finished: FinishedSizes) -> None:
    for sizes, names in ((rough, _ROUGH), (finished, _DRAWN)):
        for name, words in names.items():
            nm = getattr(sizes, f"{name}_nm")
            if nm is None or name == "boss_proud_back":
                continue
            if nm < 0 or (nm == 0 and name != "flange_depth"):
                raise StockError(name, f"A size must be more than nothing: measure {words} again.")
    least, most = rough.least_diameter_nm, rough.most_diameter_nm
    if most is not None and most <= 0:
        raise StockError(
            "most_diameter", "The largest rough diameter must be more than nothing: measure it again."
        )
    if least is not None and most is not None and most < least:
        raise StockError(
            "most_diameter",
            "The largest rough diameter is below the smallest: type them the other way round or measure again.",
        )
    tread = rough.tread_least_diameter_nm
    if tread is not None and tread <= 0:
        raise StockError(
            "tread_least_diameter",
            "The rough diameter at the tread must be more than nothing: measure it again.",
        )
