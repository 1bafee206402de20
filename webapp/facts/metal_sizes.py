"""What is known of a casting's metal: its sizes now, the drawing's, and the cuts meant. Asks no database."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from domain.route.stages import TYRE_ON, Stage
from domain.stock.sizes import Face, FinishedSizes, RoughSizes, SizesNow
from webapp.facts.work_figures import work_figures
from webapp.records.views import BuildView, CastingView, ReceiptView, Stamp

# The stage and the step whose tick says that a face is done.
TICKS: dict[Face, tuple[Stage, str]] = {
    Face.RIM_BACK: (Stage.BACK_FACED, "back_faced.to_size"),
    Face.BOSS_BACK: (Stage.BACK_FACED, "back_faced.to_size"),
    Face.RIM_FRONT: (Stage.BORED, "bored.front_faced"),
    Face.BOSS_FRONT: (Stage.BORED, "bored.front_faced"),
    Face.CENTRE: (Stage.TREAD_TURNED, TYRE_ON),
    Face.OVER_FLANGE: (Stage.TREAD_TURNED, "tread_turned.flange"),
    Face.TREAD: (Stage.TREAD_TURNED, "tread_turned.to_size"),
}
# The size that a cut on a face changes.
KEYS = {
    Face.RIM_BACK: "rim_height",
    Face.RIM_FRONT: "rim_height",
    Face.BOSS_BACK: "boss_height",
    Face.BOSS_FRONT: "boss_height",
    Face.CENTRE: "centre_outside",
    Face.OVER_FLANGE: "over_flange",
    Face.TREAD: "tread",
}
# A size as it is known here: measured, or its nm alone.
Size = TypeVar("Size")
# What is measured of the rough rim, before anything is turned on it.
ROUGH_RIM = ("rim_least", "rim_most", "rough_tread")


@dataclass(frozen=True, slots=True)
class Terms:
    """The wheel on the drawing and the cuts it is brought there with, nm."""

    finished: FinishedSizes
    rough_cut_nm: int
    finish_cut_nm: int
    least_cut_nm: int
    tolerance_nm: int


def terms_of(build: BuildView) -> Terms:
    """The terms of a build, kept with it: every size of every casting asks."""
    found = build.kept.get("terms")
    if not isinstance(found, Terms):
        found = build.kept["terms"] = _terms(build)
    return found


def _terms(build: BuildView) -> Terms:
    figures, nm = work_figures(build), {key: length.nm for key, length in build.dimensions.items()}
    return Terms(
        FinishedSizes(
            nm.get("tread_diameter"),
            nm.get("flange_depth"),
            nm.get("tyre_width"),
            nm.get("boss_length"),
            figures.nm("boss_proud"),
            nm.get("tyre_inside"),
        ),
        figures.nm("rough_cut"),
        figures.nm("finish_cut"),
        figures.nm("least_cut"),
        figures.nm("size_tolerance"),
    )


def receipt_nm(receipt: ReceiptView | None) -> dict[str, int]:
    """The rough sizes of a receipt."""
    return {key: size.nm for key, size in receipt.sizes.items()} if receipt else {}


def rough_of(nm: Mapping[str, int]) -> RoughSizes:
    """The rough sizes by the names the sums use."""
    return RoughSizes(
        least_diameter_nm=nm.get("rim_least"),
        most_diameter_nm=nm.get("rim_most"),
        rim_height_nm=nm.get("rim_height"),
        boss_height_nm=nm.get("boss_height"),
        boss_proud_back_nm=nm.get("boss_proud"),
        tread_least_diameter_nm=nm.get("rough_tread"),
    )


def is_ticked(casting: CastingView, face: Face) -> bool:
    """Whether a tick says that this face is done."""
    stage, step = TICKS[face]
    return casting.has(stage) or step in casting.ticks


def done_by(casting: CastingView, face: Face) -> Stamp | None:
    """The first of its own ticks that says that this face is done."""
    stamps = (casting.ticks.get(key) for key in (TICKS[face][0].value, TICKS[face][1]))
    return min((one for one in stamps if one is not None), key=lambda one: one.at, default=None)


def faces_of(build: BuildView, casting: CastingView) -> tuple[Face, ...]:
    """The faces of a wheel that are cut: the seat of its tyre only where it has one."""
    tyred = build.pattern_of(casting).tyred
    return tuple(face for face in TICKS if tyred or face is not Face.CENTRE)


def is_bare_centre(build: BuildView, casting: CastingView) -> bool:
    """Whether it is a wheel centre whose tyre, with flange and tread, is not on yet."""
    return build.pattern_of(casting).tyred and not is_ticked(casting, Face.CENTRE)


def worked_at(face: Face) -> Stage:
    """The stage a face is cut at: the seat of a tyre with the front, in the setting of the bore."""
    return Stage.BORED if face is Face.CENTRE else TICKS[face][0]


def of_tread(build: BuildView, casting: CastingView, sizes: Mapping[str, Size]) -> Mapping[str, Size]:
    """Sizes without the rough rim where the tread is cut on a tyre: what was cast says nothing of that."""
    if not build.pattern_of(casting).tyred:
        return sizes
    return {key: size for key, size in sizes.items() if key not in ROUGH_RIM}


def sizes_now(build: BuildView, casting: CastingView, *, front_first: bool = False) -> SizesNow:
    """The sizes last logged; a diameter not turned yet is the rough one where it is least, which is the safe side.

    front_first: whether the front is faced before the back, so that what has gone has gone from the front.
    """
    nm: Mapping[str, int] = {key: size.nm for key, size in casting.sizes.items()}
    out = nm.get("edge_eccentricity", 0)
    centre, centre_off = _diameter(nm, "centre_outside", ("rim_least",), out)
    nm = of_tread(build, casting, nm)
    over, over_off = _diameter(nm, "over_flange", ("rim_least",), out)
    tread, tread_off = _diameter(nm, "tread", ("rough_tread", "rim_least"), out)
    # The rim is turned straight across before the tread is stepped down from it.
    if tread is not None and over is not None and "tread" not in nm:
        tread, tread_off = min((tread, tread_off), (over, over_off), key=lambda one: one[0] - 2 * one[1])
    # Taken back to be re-turned it is as service left it, and runs true.
    worn = {key: size.nm for key, size in casting.again.worn.items()} if casting.again else {}
    if "tread" not in nm and {"worn_tread", "worn_height"} <= worn.keys():
        tread, tread_off = worn["worn_tread"], 0
        if "over_flange" not in nm:
            over, over_off = tread + 2 * worn["worn_height"], 0
    faced = is_ticked(casting, Face.RIM_BACK)
    return SizesNow(
        nm.get("rim_height"),
        nm.get("boss_height"),
        nm.get("boss_proud"),
        over,
        tread,
        rim_back_faced=faced,
        boss_back_faced=faced,
        over_flange_off_nm=over_off,
        tread_off_nm=tread_off,
        front_first=front_first,
        front_faced=is_ticked(casting, Face.RIM_FRONT),
        centre_nm=centre,
        centre_off_nm=centre_off,
    )


def _diameter(
    nm: Mapping[str, int], turned: str, rough: tuple[str, ...], out_nm: int
) -> tuple[int | None, int]:
    """A diameter now, and how far it is off the centre: not at all once it is turned."""
    if turned in nm:
        return nm[turned], 0
    found = next((nm[key] for key in rough if key in nm), None)
    return found, 0 if found is None else out_nm


def with_rim_faced(casting: CastingView, now: SizesNow) -> SizesNow:
    """With the rim's back down to its share, a boss measured from it since is faced by that measure."""
    proud, came = casting.sizes.get("boss_proud"), receipt_nm(casting.receipt)
    if proud is None or now.boss_back_faced or "boss_proud" not in came:
        return now
    assert casting.receipt is not None  # a size came with it
    cut = [casting.sizes[key] for key in ("rim_height", "boss_height") if key in casting.sizes]
    fresh = proud.id != casting.receipt.sizes["boss_proud"].id and all(proud.at >= one.at for one in cut)
    return replace(now, rim_back_faced=True) if fresh else now


def is_as_came(casting: CastingView, face: Face) -> bool:
    """Whether the size a face is judged by is still the rough one."""
    if face.on_diameter:
        return KEYS[face] not in casting.sizes and not (casting.again and casting.again.worn)
    key = KEYS[face]
    came = casting.receipt.sizes.get(key) if casting.receipt else None
    return came is not None and key in casting.sizes and casting.sizes[key].id == came.id
