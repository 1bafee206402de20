"""Receiving a casting: does it clean up, where and by how much, what was seen on it, and what it weighs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from statistics import median

from domain.lengths import Unit
from domain.stock.sharing import (
    CleanUp,
    FaceStock,
    RadialShare,
    RadialStock,
    Shares,
    check_largest,
    clean_up_of,
    radial_share,
    radial_stock,
    share_metal,
)
from domain.stock.sizes import (
    LEAST_CUT_NM,
    Face,
    Faces,
    FinishedSizes,
    RoughSizes,
    StockError,
    finished_faces,
    rough_faces,
)
from domain.working import Working

# The sizes wanted for a verdict, of the casting and of the drawing, as they are asked for.
ROUGH_WANTED = {
    "least_diameter": "the smallest rough diameter",
    "rim_height": "the rim height",
    "boss_height": "the boss height",
    "boss_proud_back": "how much the boss stands proud at the back",
}
DRAWN_WANTED = {
    "tread_diameter": "the drawing's tread diameter",
    "flange_depth": "the drawing's flange depth",
    "rim_width": "the drawing's rim width",
    "boss_length": "the drawing's boss length",
}
# More than this from the middle weight is worth a look: common practice, no source.
_WEIGHT_LIMIT = Fraction(5, 100)
_FEWEST_WEIGHTS = 3
# Where a flaw was seen the casting stands one step lower; one known to be too small is always last.
_STEPS = {CleanUp.CLEANS_UP: 4, CleanUp.JUST: 3, CleanUp.CANNOT_TELL: 2, CleanUp.DOES_NOT: 0}


class Flaw(StrEnum):
    """What may be seen when a casting is looked over."""

    BLOWHOLE = "blowhole"
    CHILL = "chill"
    SHIFT = "shift"
    CRACK = "crack"


class Rescue(StrEnum):
    """What could still save a casting that is short."""

    TRUE_OUTSIDE = "true_outside"
    LESS_WOBBLE = "less_wobble"


@dataclass(frozen=True)
class Against:
    """A weight beside the middle one of all that were weighed, mg."""

    weight_mg: int
    middle_mg: Fraction
    weighed: int

    @property
    def off(self) -> Fraction:
        """How far it is from the middle one, in parts of it; below 0 it is lighter."""
        return (self.weight_mg - self.middle_mg) / self.middle_mg

    @property
    def notable(self) -> bool:
        """Whether it is far enough from the middle one to be worth a look."""
        return abs(self.off) > _WEIGHT_LIMIT


@dataclass(frozen=True)
class Received:
    """What receiving says of one casting.

    where is the face or diameter that decides, None where nothing can be judged; spare_nm is what it has beyond
    what is needed, below 0 where it is short; missing are the fields still wanted. eccentricity_nm and wobble_nm are
    None where not read; rough and finished are known with shares.
    """

    verdict: CleanUp
    where: Face | None
    spare_nm: int | None
    missing: tuple[str, ...]
    rough: Faces | None
    finished: Faces | None
    shares: Shares | None
    radial: Mapping[Face, RadialStock]
    outside: RadialShare | None
    eccentricity_nm: int | None
    wobble_nm: int | None
    flaws: tuple[Flaw, ...]
    weight: Against | None

    @property
    def faces(self) -> tuple[FaceStock, ...]:
        """The metal on every face known."""
        along = self.shares.faces if self.shares else ()
        return along + tuple(
            FaceStock(face, one.stock_nm, max(0, -one.spare_nm)) for face, one in self.radial.items()
        )

    @property
    def cracked(self) -> bool:
        """Whether a crack was seen: then it is no good, whatever metal there is."""
        return Flaw.CRACK in self.flaws

    @property
    def rescue(self) -> Rescue | None:
        """What could still save a casting that is short: setting it truer, or nothing."""
        if self.where is None or self.cracked:
            return None
        if self.where.on_diameter:
            one = self.radial[self.where]
            return Rescue.TRUE_OUTSIDE if one.stock_true_nm >= one.stock_nm - one.spare_nm else None
        if self.shares and self.wobble_nm and self.shares.spare_nm + self.wobble_nm >= 0:
            return Rescue.LESS_WOBBLE
        return None

    @property
    def faults(self) -> int:
        """How many flaws count against it; light among its fellows is one."""
        light = self.weight is not None and self.weight.notable and self.weight.off < 0
        return len(self.flaws) + light

    @property
    def dialled(self) -> bool:
        """Whether it was read how far it is out and how far it leans, which can only cost it metal."""
        return self.eccentricity_nm is not None and self.wobble_nm is not None

    @property
    def score(self) -> tuple[int, int, int]:
        """The larger, the better the casting; to be compared, not shown."""
        step = _STEPS[self.verdict]
        return (max(1, step - self.faults) if step else 0, -self.faults, self.spare_nm or 0)

    @property
    def workings(self) -> tuple[Working, ...]:
        """How the metal on each face was worked out."""
        along = self.shares.workings if self.shares else ()
        return along + tuple(one.working for one in self.radial.values())


def receive(
    rough: RoughSizes,
    finished: FinishedSizes,
    least_cut_nm: int = LEAST_CUT_NM,
    *,
    eccentricity_nm: int | None = None,
    wobble_nm: int | None = None,
    flaws: Iterable[Flaw] = (),
    weight_mg: int | None = None,
    weights_mg: Sequence[int] = (),
    unit: Unit = Unit.MM,
) -> Received:
    """Whether a casting cleans up, the face that decides, and how to share the metal.

    A face known to be short decides even where other sizes are missing.

    Formula: along the axle share_metal, on the outside radial_stock; the least of (metal - needed) over the faces
    decides; not known to be short and something missing: cannot tell; one that is cracked is no good
    Parameters: `least_cut_nm`, above 0; `eccentricity_nm`, between the inside edge that is set true and the outside,
    and `wobble_nm`, amplitude, 0 or more, None where not read yet (then taken as nothing); `weight_mg` and
    `weights_mg`, see against_fellows.
    Raises: StockError, with its field, for sizes that no casting can have.
    Source: geometry; least cut and the limit of just: common practice, no source.

    >>> came = RoughSizes(104_000_000, 105_000_000, 20_000_000, 24_000_000, 500_000)
    >>> got = receive(came, FinishedSizes(96_000_000, 2_000_000, 17_000_000, 21_000_000))
    >>> got.verdict.value, got.where.words, got.spare_nm
    ('cleans_up', 'rim back', 750000)
    """
    if least_cut_nm <= 0:
        raise StockError("The least cut must be more than nothing: type one such as 0.5 mm.", "least_cut")
    _check(rough, finished)
    came, drawn, shares = _along(rough, finished, least_cut_nm, wobble_nm or 0, unit)
    radial = _radial(rough, finished, least_cut_nm, eccentricity_nm or 0, unit)
    spares = [(one.spare_nm, face) for face, one in radial.items()]
    if shares is not None:
        # The odd nanometre is left on the front, so the back is never the richer of the two that decide.
        spares.insert(0, (shares.spare_nm, shares.back))
    spares += _boss_alone(shares, rough, finished, least_cut_nm + (wobble_nm or 0))
    spare, where = min(spares, key=lambda pair: pair[0]) if spares else (None, None)
    missing = _missing(rough, finished)
    verdict = CleanUp.CANNOT_TELL if spare is None else clean_up_of(spare, least_cut_nm)
    if missing and verdict is not CleanUp.DOES_NOT:
        verdict = CleanUp.CANNOT_TELL
    seen = set(flaws)
    if Flaw.CRACK in seen:
        verdict = CleanUp.DOES_NOT
    return Received(
        verdict,
        where,
        spare,
        missing,
        rough=came,
        finished=drawn,
        shares=shares,
        radial=radial,
        outside=_outside(rough, finished, eccentricity_nm, unit),
        eccentricity_nm=eccentricity_nm,
        wobble_nm=wobble_nm,
        flaws=tuple(one for one in Flaw if one in seen),
        weight=None if weight_mg is None else against_fellows(weight_mg, weights_mg),
    )


def _missing(rough: RoughSizes, finished: FinishedSizes) -> tuple[str, ...]:
    wanted = ((rough, ROUGH_WANTED), (finished, DRAWN_WANTED))
    return tuple(name for sizes, names in wanted for name in names if getattr(sizes, f"{name}_nm") is None)


def _along(
    rough: RoughSizes, finished: FinishedSizes, least_cut_nm: int, wobble_nm: int, unit: Unit
) -> tuple[Faces | None, Faces | None, Shares | None]:
    if rough.rim_height_nm is None or finished.rim_width_nm is None:
        return None, None, None
    came = rough_faces(rough.rim_height_nm, rough.boss_height_nm, rough.boss_proud_back_nm, unit)
    drawn = finished_faces(finished.rim_width_nm, finished.boss_length_nm, finished.boss_proud_back_nm, unit)
    return came, drawn, share_metal(came, drawn, least_cut_nm, wobble_nm, unit)


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
    least, at_tread = rough.least_diameter_nm, rough.tread_least_diameter_nm
    if least is None:
        return {}
    return {
        face: radial_stock(
            face,
            at_tread if face is Face.TREAD and at_tread is not None else least,
            drawn,
            eccentricity_nm=eccentricity_nm,
            least_cut_nm=least_cut_nm,
            unit=unit,
        )
        for face, drawn in finished.outsides.items()
        if drawn is not None
    }


def _outside(
    rough: RoughSizes, finished: FinishedSizes, eccentricity_nm: int | None, unit: Unit
) -> RadialShare | None:
    least, outside = rough.least_diameter_nm, finished.outside_nm
    if least is None or outside is None or eccentricity_nm is None:
        return None
    most = least if rough.most_diameter_nm is None else rough.most_diameter_nm
    return radial_share(least, most, outside, eccentricity_nm, unit)


def _check(rough: RoughSizes, finished: FinishedSizes) -> None:
    for sizes, names in ((rough, ROUGH_WANTED), (finished, DRAWN_WANTED)):
        for name, words in names.items():
            nm = getattr(sizes, f"{name}_nm")
            if nm is None or name == "boss_proud_back":
                continue
            if nm < 0 or (nm == 0 and name != "flange_depth"):
                raise StockError(f"A size must be more than nothing: measure {words} again.", name)
    least, most, tread = (
        rough.least_diameter_nm,
        rough.most_diameter_nm,
        rough.tread_least_diameter_nm,
    )
    if most is not None and most <= 0:
        raise StockError(
            "The largest rough diameter must be more than nothing: measure it again.", "most_diameter"
        )
    if least is not None and most is not None:
        check_largest(least, most)
    if tread is not None and tread <= 0:
        raise StockError(
            "The rough diameter at the tread must be more than nothing: measure it again.",
            "tread_least_diameter",
        )


def against_fellows(weight_mg: int, weights_mg: Sequence[int]) -> Against | None:
    """How a weight compares with the middle one of all castings weighed, or None where fewer than three were.

    Formula: (weight - median) / median, notable beyond 5 in 100
    Parameters: `weights_mg`, of all castings of the pattern that were weighed, this one among them.
    Raises: StockError for a weight that is not above 0.
    Source: by definition; the limit is common practice, no source.

    >>> float(against_fellows(900_000, [900_000, 1_000_000, 1_010_000]).off)
    -0.1
    """
    if weight_mg <= 0 or any(mg <= 0 for mg in weights_mg):
        raise StockError("A casting must weigh more than nothing: weigh it again.", "weight")
    if len(weights_mg) < _FEWEST_WEIGHTS:
        return None
    return Against(weight_mg, Fraction(median(sorted(weights_mg))), len(weights_mg))
