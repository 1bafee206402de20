"""What is left on one face at the sizes now known."""

from __future__ import annotations

from dataclasses import dataclass

from domain.lengths import Unit, show
from domain.stock.axial import share_metal
from domain.stock.castings import FinishedSizes, RoughSizes
from domain.stock.faces import finished_faces, rough_faces
from domain.stock.types import Face, Shares, StockError


@dataclass(frozen=True)
class SizesNow:
    """The sizes last measured, nm; None where not known.

    A face counts as faced once its back is done and the wheel may be turned round. A diameter still as it came may
    run out: over_flange_off_nm and tread_off_nm are its eccentricity to the surface that is set true.
    """

    rim_thickness_nm: int | None = None
    boss_thickness_nm: int | None = None
    boss_proud_back_nm: int | None = None
    over_flange_nm: int | None = None
    tread_nm: int | None = None
    rim_back_faced: bool = False
    boss_back_faced: bool = False
    over_flange_off_nm: int = 0
    tread_off_nm: int = 0


@dataclass(frozen=True)
class Left:
    """Metal on one face, nm, below 0 where the size is lost, and the size it is read from.

    least_size_nm is the finished size that must not be lost; back_in_all_nm and front_nm are the
    rim's or boss's metal at the back from rough, and at the front, and front_best_nm what the front would
    have by the best share; None on a diameter or once faced. off_nm is the eccentricity taken off a diameter: size_nm
    is then the largest it can be turned to all round.
    """

    size_nm: int
    stock_nm: int
    least_size_nm: int
    back_in_all_nm: int | None = None
    front_nm: int | None = None
    front_best_nm: int | None = None
    off_nm: int = 0


def left_on(
    face: Face,
    now: SizesNow,
    finished: FinishedSizes,
    rough: RoughSizes,
    unit: Unit = Unit.MM,
) -> Left:
    """Metal left on a face.

    Formula: diameter: (now - finished) / 2 - eccentricity, half a nanometre goes down; thickness: now - finished is
    left in all; with the back faced all of it is at the front; before that the back has its best share of the rough
    casting (share_metal) less what has gone; a boss behind a faced rim: proud now - proud on the drawing
    Parameters: `now`, `finished`, `rough` (heights not known are taken from `now`), nm; what has gone
    before the back is faced has gone from the back.
    Returns: depth of metal, nm.
    Raises: StockError naming the size that is wanted or cannot be.
    Source: derived here; no published source.

    >>> now, drawn = SizesNow(rim_thickness_nm=19_000_000), FinishedSizes(None, None, 17_000_000, None)
    >>> left_on(Face.RIM_BACK, now, drawn, RoughSizes(rim_height_nm=20_000_000)).stock_nm
    500000
    """
    size, least = _sizes(face, now, finished)
    if face.on_diameter:
        off = now.tread_off_nm if face is Face.TREAD else now.over_flange_off_nm
        if off < 0:
            raise StockError("eccentricity", "The eccentricity cannot be below nothing: read it again.")
        return Left(size - 2 * off, (size - 2 * off - least) // 2, least, off_nm=off)
    in_all = size - least
    if now.rim_back_faced if face in (Face.RIM_BACK, Face.RIM_FRONT) else now.boss_back_faced:
        return Left(size, min(0, in_all) if face.is_back else in_all, least)
    back, gone = _back(face, now, finished, rough, size, unit)
    if in_all <= 0:
        return Left(size, in_all, least)
    # What is past its figure at the back is missing at the front; the back has no more than there is.
    best = in_all - back
    back = max(0, min(back, in_all))
    stock = back if face.is_back else in_all - back
    return Left(size, stock, least, gone + back, in_all - back, best)


def _back(
    face: Face,
    now: SizesNow,
    finished: FinishedSizes,
    rough: RoughSizes,
    size_nm: int,
    unit: Unit,
) -> tuple[int, int]:
    """Metal still to come off at the back, and what has gone there."""
    on_rim = face in (Face.RIM_BACK, Face.RIM_FRONT)
    came = rough.rim_height_nm if on_rim else rough.boss_height_nm
    came = size_nm if came is None else came
    if size_nm > came:
        name = "rim" if on_rim else "boss"
        raise StockError(
            f"{name}_thickness",
            f"The {name} cannot be thicker than it came, {show(came, unit)}: measure it again.",
        )
    gone = came - size_nm
    if not on_rim and now.rim_back_faced:
        if now.boss_proud_back_nm is None:
            raise _wanted("boss_proud_back", "how much the boss stands proud of the faced rim at the back")
        return now.boss_proud_back_nm - finished.boss_proud_back_nm, gone
    planned = _shares(on_rim, now, finished, rough, unit).stock(Face.RIM_BACK if on_rim else Face.BOSS_BACK)
    if planned is None:
        raise _wanted("boss_proud_back", "how much the boss stood proud of the rim at the back as it came")
    return planned - gone, gone


def _shares(on_rim: bool, now: SizesNow, finished: FinishedSizes, rough: RoughSizes, unit: Unit) -> Shares:
    rim = now.rim_thickness_nm if rough.rim_height_nm is None else rough.rim_height_nm
    boss = now.boss_thickness_nm if rough.boss_height_nm is None else rough.boss_height_nm
    proud = now.boss_proud_back_nm if rough.boss_proud_back_nm is None else rough.boss_proud_back_nm
    if rim is None:
        raise _wanted("rim_thickness", "the rim's thickness")
    if finished.rim_width_nm is None:
        raise _wanted("rim_width", "the drawing's rim width")
    drawn = finished_faces(finished.rim_width_nm, finished.boss_length_nm, finished.boss_proud_back_nm, unit)
    # The best place does not depend on what is needed, so nothing is asked for here.
    return share_metal(rough_faces(rim, boss, proud, unit), drawn, 0, 0, unit)


def _sizes(face: Face, now: SizesNow, finished: FinishedSizes) -> tuple[int, int]:
    rim = (now.rim_thickness_nm, finished.rim_width_nm, "rim_thickness", "rim_width")
    boss = (now.boss_thickness_nm, finished.boss_length_nm, "boss_thickness", "boss_length")
    size, least, field, drawn = {
        Face.RIM_BACK: rim,
        Face.RIM_FRONT: rim,
        Face.BOSS_BACK: boss,
        Face.BOSS_FRONT: boss,
        Face.OVER_FLANGE: (now.over_flange_nm, finished.over_flange_nm, "over_flange", "flange_depth"),
        Face.TREAD: (now.tread_nm, finished.tread_diameter_nm, "tread", "tread_diameter"),
    }[face]
    if size is None:
        raise _wanted(field, f"the {field.replace('_', ' ')}")
    if least is None:
        raise _wanted(drawn, f"the drawing's {drawn.replace('_', ' ')}")
    for name, nm in ((field, size), (drawn, least)):
        if nm <= 0:
            raise StockError(
                name, f"The {name.replace('_', ' ')} must be more than nothing: measure it again."
            )
    return size, least


def _wanted(field: str, words: str) -> StockError:
    return StockError(field, f"Cannot tell the metal left: type {words} first.")
