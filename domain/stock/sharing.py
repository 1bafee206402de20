"""Will it clean up, and how is the metal shared: along the axle and on the outside."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from domain.lengths import Unit, show, show_offset
from domain.stock.sizes import LEAST_CUT_NM, Face, Faces, StockError
from domain.working import Working

DERIVED = "derived here; no published source"
_JUST = "just: less than 1.5 times the least cut is left; common practice, no source"


class CleanUp(StrEnum):
    """Whether a casting is large enough for the wheel."""

    CLEANS_UP = "cleans_up"
    JUST = "just"
    DOES_NOT = "does_not"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True)
class FaceStock:
    """Metal on one face, nm, and how far that is short of what is needed (0 if not)."""

    face: Face
    stock_nm: int
    short_nm: int


@dataclass(frozen=True)
class Shares:
    """The metal shared between back and front.

    best_nm is where the finished rim back lies, from the rough rim back; low_nm and high_nm are the ends of
    the interval that will do, None where there is none. back is the back face that decides.
    spare_nm is what the poorest face has beyond what is needed; below 0 it is short.
    """

    verdict: CleanUp
    best_nm: int
    low_nm: int | None
    high_nm: int | None
    faces: tuple[FaceStock, ...]
    back: Face
    spare_nm: int
    workings: tuple[Working, ...]

    def stock(self, face: Face) -> int | None:
        """Metal on a face at the best share, nm; None where that face is not known."""
        return next((one.stock_nm for one in self.faces if one.face is face), None)


@dataclass(frozen=True)
class RadialStock:
    """Metal on an outside diameter, nm on the radius at its thinnest place, and if it were set true to it."""

    stock_nm: int
    stock_true_nm: int
    spare_nm: int
    working: Working


@dataclass(frozen=True)
class RadialShare:
    """What setting true to the inside edge costs outside, and the other way about; nm on the radius.

    cut_thin_nm and cut_thick_nm: metal outside where the rough rim is thinnest and thickest, set true to the
    inside edge. uneven_nm: how much thicker one side of the finished rim is than the other, set true to the outside.
    """

    cut_thin_nm: int
    cut_thick_nm: int
    uneven_nm: int
    working: Working


@dataclass(frozen=True)
class BadShare:
    """Back and front badly shared: what comes off each in all, and what the poorer has by the best share, nm.

    first_nm is of the side that is faced first, which is the back unless front_first; face_to_nm is the thickness to stop
    at there, None where it is past that.
    """

    first_nm: int
    last_nm: int
    poorest_nm: int
    least_cut_nm: int
    face_to_nm: int | None
    front_first: bool = False


def clean_up_of(spare_nm: int, least_cut_nm: int) -> CleanUp:
    """Whether the poorest face cleans up: one rule for every face.

    Formula: does not below 0 to spare; just below half the least cut to spare (1.5 times the least cut in all)
    Source: common practice, no source.

    >>> clean_up_of(249_999, 500_000).value, clean_up_of(250_000, 500_000).value
    ('just', 'cleans_up')
    """
    if spare_nm < 0:
        return CleanUp.DOES_NOT
    return CleanUp.JUST if 2 * spare_nm < least_cut_nm else CleanUp.CLEANS_UP


def share_metal(
    rough: Faces, finished: Faces, least_cut_nm: int, wobble_nm: int, unit: Unit = Unit.MM
) -> Shares:
    """Where the finished wheel lies in its casting so that the poorest face has as much metal as can be.

    Formula: with x from rough to finished rim back, metal on a back face = x + finished - rough, on a front face
    = rough - finished - x; need = least cut + wobble; x lies from (most of rough - finished, back) + need to
    (least of rough - finished, front) - need; the best x is the middle, an odd nanometre is left on the front
    Parameters: `rough`, `finished`, the boss left out where either lacks it; `least_cut_nm`, 0 or more;
    `wobble_nm`, the amplitude by which a face nods as it turns (half the total reading), 0 or more, asked
    of the boss as of the rim, which is the safe side.
    Raises: StockError for a negative figure, faces the wrong way round, or a wobble larger than the metal.
    Source: derived here; no published source. Just or not: common practice, no source.

    >>> from domain.stock.sizes import finished_faces, rough_faces
    >>> shares = share_metal(rough_faces(20_000_000), finished_faces(17_000_000), 500_000, 100_000)
    >>> shares.stock(Face.RIM_BACK), shares.low_nm, shares.high_nm
    (1500000, 600000, 2400000)
    """
    _check_figures(least_cut_nm, wobble_nm)
    backs, fronts = _gaps(rough, finished)
    edges, need = (max(backs.values()), min(fronts.values())), least_cut_nm + wobble_nm
    room = edges[1] - edges[0]
    if 0 <= room < 2 * wobble_nm:
        raise StockError(
            f"A wobble of {show(wobble_nm, unit)} is more than the {show(room // 2, unit)} of metal on the poorest"
            " face: set the casting true front to back, then read it again.",
            "wobble",
        )
    best = (edges[0] + edges[1]) // 2
    stocks = {**{f: best - at for f, at in backs.items()}, **{f: at - best for f, at in fronts.items()}}
    faces = tuple(FaceStock(f, stocks[f], max(0, need - stocks[f])) for f in Face if f in stocks)
    spare = room // 2 - need
    verdict = clean_up_of(spare, least_cut_nm)
    fits = verdict is not CleanUp.DOES_NOT
    zero = rough.rim_back_nm
    return Shares(
        verdict,
        best_nm=best - zero,
        low_nm=edges[0] + need - zero if fits else None,
        high_nm=edges[1] - need - zero if fits else None,
        faces=faces,
        back=_deciding_back(backs, fronts),
        spare_nm=spare,
        workings=_share_workings((edges[0] - zero, edges[1] - zero), need, best - zero, faces, unit),
    )


def _gaps(rough: Faces, finished: Faces) -> tuple[dict[Face, int], dict[Face, int]]:
    """Rough less finished position of each known face: the shift that would leave it no metal at all."""
    backs = {Face.RIM_BACK: rough.rim_back_nm - finished.rim_back_nm}
    fronts = {Face.RIM_FRONT: rough.rim_front_nm - finished.rim_front_nm}
    for faces in (rough, finished):
        if faces.rim_front_nm <= faces.rim_back_nm:
            raise StockError("The front of the rim must lie before its back: measure it again.", "rim_height")
        back, front = faces.boss_back_nm, faces.boss_front_nm
        if back is not None and front is not None and front <= back:
            raise StockError(
                "The front of the boss must lie before its back: measure it again.", "boss_height"
            )
    if rough.boss_back_nm is not None and finished.boss_back_nm is not None:
        backs[Face.BOSS_BACK] = rough.boss_back_nm - finished.boss_back_nm
    if rough.boss_front_nm is not None and finished.boss_front_nm is not None:
        fronts[Face.BOSS_FRONT] = rough.boss_front_nm - finished.boss_front_nm
    return backs, fronts


def _deciding_back(backs: dict[Face, int], fronts: dict[Face, int]) -> Face:
    """The back face of the two with the least between them."""
    poor_backs = [face for face, at in backs.items() if at == max(backs.values())]
    poor_fronts = [face for face, at in fronts.items() if at == min(fronts.values())]
    # Of faces alike, two of one lump say it plainest: that lump is the thin one.
    for back, front in ((Face.RIM_BACK, Face.RIM_FRONT), (Face.BOSS_BACK, Face.BOSS_FRONT)):
        if back in poor_backs and front in poor_fronts:
            return back
    return poor_backs[0]


def _check_figures(least_cut_nm: int, wobble_nm: int) -> None:
    if least_cut_nm < 0:
        raise StockError("The least cut cannot be below nothing: type one such as 0.5 mm.", "least_cut")
    if wobble_nm < 0:
        raise StockError("The wobble cannot be below nothing: type one such as 0.1 mm.", "wobble")


def _share_workings(
    edges: tuple[int, int], need_nm: int, best_nm: int, faces: tuple[FaceStock, ...], unit: Unit
) -> tuple[Working, ...]:
    """The interval, the best place in it, and the metal on each face there."""
    low, high = edges[0] + need_nm, edges[1] - need_nm
    back, front = (signed(edge, unit) for edge in edges)
    interval = Working(
        "where the finished wheel may lie",
        "back faces: x at least rough - finished + need; front faces: x at most rough - finished - need",
        f"back {back}, front {front}, need {show(need_nm, unit)}",
        f"{signed(low, unit)} to {signed(high, unit)}" if low <= high else "none",
        DERIVED,
    )
    best = Working(
        "best place",
        "x = (most back + least front) / 2, the poorest face as rich as can be",
        f"({back} + {front}) / 2",
        signed(best_nm, unit),
        DERIVED,
    )
    return (interval, best, *(_face_working(one, best_nm, unit) for one in faces))


def _face_working(one: FaceStock, best_nm: int, unit: Unit) -> Working:
    """The finished wheel's place and the place where this face would have no metal at all."""
    x = signed(best_nm, unit)
    if one.face.is_back:
        formula, numbers = "x - (rough - finished)", f"{x} - ({signed(best_nm - one.stock_nm, unit)})"
    else:
        formula, numbers = "(rough - finished) - x", f"({signed(best_nm + one.stock_nm, unit)}) - {x}"
    name, result = f"metal on the {one.face.words}", signed(one.stock_nm, unit)
    return Working(name, formula, numbers, result, f"geometry; {_JUST}")


def radial_stock(
    face: Face,
    least_diameter_nm: int,
    finished_diameter_nm: int,
    eccentricity_nm: int,
    least_cut_nm: int = LEAST_CUT_NM,
    unit: Unit = Unit.MM,
) -> RadialStock:
    """Metal on an outside diameter where it is thinnest, once the casting is set true to another surface.

    Formula: metal = (smallest rough diameter - finished diameter) / 2 - eccentricity, a half nanometre goes down
    Parameters: diameters above 0; `eccentricity_nm`, between the outside and the surface set true, 0 or more;
    `least_cut_nm`, 0 or more.
    Raises: StockError for a size that cannot be.
    Source: geometry of two circles.

    >>> radial_stock(Face.TREAD, 104_000_000, 100_000_000, 800_000).stock_nm
    1200000
    """
    _check_round(least_diameter_nm, finished_diameter_nm, eccentricity_nm)
    true = (least_diameter_nm - finished_diameter_nm) // 2
    stock = true - eccentricity_nm
    working = Working(
        f"metal on the {face.words}",
        "(smallest rough diameter - finished diameter) / 2 - eccentricity",
        f"({show(least_diameter_nm, unit)} - {show(finished_diameter_nm, unit)}) / 2"
        f" - {show(eccentricity_nm, unit)}",
        signed(stock, unit),
        f"geometry; {_JUST}",
    )
    return RadialStock(stock, true, stock - least_cut_nm, working)


def radial_share(
    least_diameter_nm: int,
    most_diameter_nm: int,
    finished_diameter_nm: int,
    eccentricity_nm: int,
    unit: Unit = Unit.MM,
) -> RadialShare:
    """What is left thick and thin when the rim is set true to its inside edge, and when to its outside.

    Formula: true to the inside edge, metal outside = (rough - finished) / 2 -+ eccentricity and the finished
    rim is even; true to the outside, the finished rim is thicker on one side by twice the eccentricity
    Parameters: as radial_stock. Halves of a nanometre go to the unfavourable side.
    Raises: StockError for a size that cannot be, or a largest diameter below the smallest.
    Source: geometry of two circles.

    >>> share = radial_share(104_000_000, 105_000_000, 100_000_000, 800_000)
    >>> share.cut_thin_nm, share.cut_thick_nm, share.uneven_nm
    (1200000, 3300000, 1600000)
    """
    _check_round(least_diameter_nm, finished_diameter_nm, eccentricity_nm)
    check_largest(least_diameter_nm, most_diameter_nm)
    thin = (least_diameter_nm - finished_diameter_nm) // 2 - eccentricity_nm
    thick = -((finished_diameter_nm - most_diameter_nm) // 2) + eccentricity_nm
    sizes = (least_diameter_nm, most_diameter_nm, finished_diameter_nm, eccentricity_nm)
    working = Working(
        "metal outside, thinnest and thickest",
        "(smallest - finished) / 2 - eccentricity, (largest - finished) / 2 + eccentricity",
        ", ".join(show(nm, unit) for nm in sizes),
        f"{signed(thin, unit)}, {signed(thick, unit)}",
        "geometry of two circles",
    )
    return RadialShare(thin, thick, 2 * eccentricity_nm, working)


def check_largest(least_nm: int, most_nm: int) -> None:
    """Refuse a largest rough diameter below the smallest."""
    if most_nm < least_nm:
        raise StockError(
            "The largest rough diameter is below the smallest: type them the other way round or measure again.",
            "most_diameter",
        )


def _check_round(least: int, finished: int, eccentricity: int) -> None:
    if least <= 0:
        raise StockError(
            "The smallest rough diameter must be more than nothing: measure it again.", "least_diameter"
        )
    if finished <= 0:
        raise StockError(
            "The finished diameter must be more than nothing: see the drawing.", "finished_diameter"
        )
    if eccentricity < 0:
        raise StockError("The eccentricity cannot be below nothing: type one such as 0.3 mm.", "eccentricity")


def badly_shared(
    stock_first_nm: int,
    stock_last_nm: int,
    least_cut_nm: int,
    finished_nm: int,
    now_nm: int | None = None,
    last_best_nm: int | None = None,
    *,
    front_first: bool = False,
) -> BadShare | None:
    """The warning, before the first side is faced, that back and front share the metal badly; None where they do not.

    Formula: bad where one has more than twice the other, or either less than the least cut; the thickness to face the
    first side to = finished + the other's best share (half the metal in all where the boss asks for nothing else)
    Parameters: metal that comes off the side that is faced first and off the other in all; `least_cut_nm`, above 0;
    `finished_nm`, the finished thickness, above 0; `now_nm`, the thickness now, None where nothing is cut yet;
    `last_best_nm`, from share_metal: a share that leaves the other side that much is good however uneven;
    `front_first`, whether the front is the first side.
    Raises: StockError for a figure that cannot be.
    Source: common practice, no source.

    >>> badly_shared(2_500_000, 500_000, 500_000, 17_000_000).face_to_nm
    18500000
    >>> badly_shared(1_500_000, 1_500_000, 500_000, 17_000_000) is None
    True
    """
    if least_cut_nm <= 0:
        raise StockError("The least cut must be more than nothing: type one such as 0.5 mm.", "least_cut")
    if finished_nm <= 0:
        raise StockError("The finished thickness must be more than nothing: see the drawing.", "finished")
    in_all = stock_first_nm + stock_last_nm
    best = in_all // 2 if last_best_nm is None else last_best_nm
    small, large = sorted((stock_first_nm, stock_last_nm))
    as_planned = last_best_nm is not None and stock_last_nm >= last_best_nm
    if small >= least_cut_nm and (as_planned or large <= 2 * small):
        return None
    to = finished_nm + best
    shown = to if now_nm is None or now_nm > to else None
    poorest = min(best, in_all - best)
    return BadShare(stock_first_nm, stock_last_nm, poorest, least_cut_nm, shown, front_first)


def signed(nm: int, unit: Unit) -> str:
    """A length in both systems, a minus before each figure where it is below nothing.

    >>> signed(-1_000_000, Unit.MM)
    '-1.000 mm (-0.0394 in)'
    """
    return show_offset(nm, unit) if nm < 0 else show(nm, unit)
