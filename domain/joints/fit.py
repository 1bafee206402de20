"""A bore on a seat at the sizes as they were read, nothing in doubt; and the sizes that would serve."""

from dataclasses import dataclass, replace

from domain.joints import bond
from domain.joints.friction import friction
from domain.joints.held import GAP_KINDS, Forced, JointState, careful_factor, force, stood_interference_nm
from domain.joints.kinds import FitError, FitKind, Kind
from domain.joints.materials import MILD_STEEL, Iron
from domain.joints.terms import (
    ForcedJoint,
    Joint,
    check_axle_bore,
    check_fit,
    default_range,
    gap_range,
    known_iron,
)
from domain.lengths import Unit

# The last figure shown: a micrometre, or a tenth of a thou. Windows close in to it: any size shown serves.
_GRID_NM = {Unit.MM: 1_000, Unit.INCH: 2_540}


@dataclass(frozen=True)
class Fit:
    """One bore on one seat, nm, and what it comes to; `forced` where bore and seat are pressed together."""

    joint: Joint
    bore_nm: int
    seat_nm: int
    kind: Kind
    forced: Forced | None

    @property
    def clearance_nm(self) -> int:
        """Bore less seat, nm; below zero for an interference."""
        return self.bore_nm - self.seat_nm

    @property
    def is_bond(self) -> bool:
        """Whether a compound holds it."""
        return self.joint.kind is FitKind.BOND

    @property
    def iron(self) -> Iron:
        """The iron of the boss."""
        return known_iron(self.joint.iron_key)

    @property
    def factor(self) -> float | None:
        """Least strength over the hoop stress of the stiffest the iron may be; None where nothing is strained."""
        return self.forced.factor if self.forced else None

    @property
    def grip(self) -> JointState | None:
        """What a forced fit holds with the softest iron; None where nothing is forced, and for a bond."""
        return self.forced.least_grip if self.forced and not self.is_bond else None

    @property
    def too_large(self) -> bool:
        """Whether a fit that fails does so because the bore is too large."""
        if self.factor is not None and self.factor < self.joint.factor_wanted:
            return False  # it would crack the boss, so the bore is too small
        return self.clearance_nm > self.joint.middle_nm

    def on(self, seat_nm: int) -> "Fit":
        """The same bore on another seat, nm."""
        return fit_of(self.joint, self.bore_nm, seat_nm)


def fit_of(joint: Joint, bore_nm: int, seat_nm: int) -> Fit:
    """What a bore makes of a seat as both were read.

    Formula: clearance = bore - seat. A bond serves from least to most, with care up to the compound's limit.
    A press or shrink fit serves from least to most of interference while factor = strength / hoop stress
    (Lame) is 3 or more; with care down to the factor wanted, and above most; never below that factor. A size
    on a limit is inside it.
    bore_nm, seat_nm: measured (or drawn) diameters, nm, above 0 and below the boss's diameter.
    Returns: stress in MPa for the stiffest the iron may be, against the least strength it may have; force in N and
    torque in N m for the softest.
    Raises: FitError when a size is not above zero or not below the boss, the range is out of order, or the
    iron is unknown.
    Source: Lame, Shigley 9th ed., eqs 7-39 to 7-47; factor 2 is a classroom figure, not a standard; gaps from
    memory, verify.

    >>> seat, boss, length = 19_050_000, 32_000_000, 14_000_000
    >>> joint = Joint(FitKind.BOND, seat, seat, boss, length, 20_000, 50_000, "en-gjl-250")
    >>> fit_of(joint, 19_080_000, seat).kind
    <Kind.GOOD: 'good'>
    """
    check_fit(joint, (("bore", bore_nm), ("seat", seat_nm)))
    one, clearance = known_iron(joint.iron_key), bore_nm - seat_nm
    forced = None
    if clearance < 0:
        forced = force(_exact(joint, seat_nm, one), -clearance)
    if joint.kind is FitKind.BOND:
        return Fit(joint, bore_nm, seat_nm, GAP_KINDS[bond.judge_gap(clearance, gap_range(joint))], forced)
    return Fit(joint, bore_nm, seat_nm, forced.kind if forced else Kind.NO_GRIP, forced)


def _exact(joint: Joint, seat_nm: int, one: Iron) -> ForcedJoint:
    """As the drawing has it; a bond that is no clearance is strained as a press fit is."""
    kind = FitKind.PRESS if joint.kind is FitKind.BOND else joint.kind
    return ForcedJoint(
        kind,
        seat_nm,
        joint.boss_diameter_nm,
        joint.boss_length_nm,
        one,
        joint.friction or friction(kind, "oiled"),
        factor_wanted=joint.factor_wanted,
        factor_source=joint.factor_source,
        wanted_nm=(joint.least_nm, joint.most_nm),
        axle_bore_nm=joint.axle_bore_nm,
    )


# --- the sizes that would serve ---


@dataclass(frozen=True)
class Ends:
    """How far the smallest and the largest reading of a bore that is there lie from its mean, nm, 0 or more.

    unsure_nm: the expanded uncertainty of one of them less the seat.
    """

    under_nm: int
    over_nm: int
    unsure_nm: int = 0

    @property
    def wide_nm(self) -> int:
        """From the one to the other."""
        return self.under_nm + self.over_nm


@dataclass(frozen=True)
class Margin:
    """What a size that is advised keeps clear of, nm, so that the judge does not call it unsafe afterwards.

    unsure_nm: the expanded uncertainty of bore less seat once both are measured: a size is advised only where both ends of
    that serve. grip_nm: the least interference that holds what it must; 0 where nothing is asked of it.
    spread: the readings of a bore that is there, at whose ends a seat for it is judged too; None where there are none.
    factor: against cracking, where more is asked than the joint's own. with_care: whether more than is wanted is taken, up
    to what the boss stands or the compound fills.
    """

    unsure_nm: int = 0
    grip_nm: int = 0
    spread: Ends | None = None
    factor: float = 0.0
    with_care: bool = False


NO_MARGIN = Margin()


def wanted_clearances(fit: Fit, margin: Margin, *seats_nm: int) -> tuple[int, int]:
    """Least and most clearance that serve on every seat given; the first is the greater when none does.

    A fit that serves with care is eased until no care is needed; one that does not serve, until it is safe.
    Returns: least and most, nm on the diameter, below zero for an interference.
    """
    careful = careful_factor() if fit.kind.answer.with_care else 0.0
    return _clearances(fit.joint, margin, max(fit.joint.factor_wanted, careful), seats_nm)


def _clearances(joint: Joint, margin: Margin, factor: float, seats_nm: tuple[int, ...]) -> tuple[int, int]:
    """Least and most clearance that serve whatever the uncertainty hides, on every seat given, nm.

    Of a bore that is there it is the clearance of its mean, at which its smallest and its largest reading serve as well.
    A bond too narrow for its instrument or for its bore's readings is aimed at all the same, at the whole range: nothing
    cracks by it, and the judge says what cannot be told.
    """
    if joint.kind is FitKind.BOND:
        wanted = joint.least_nm, gap_range(joint).limit_nm if margin.with_care else joint.most_nm
        inside = _inside(wanted, wanted, margin)
        return inside if inside[0] <= inside[1] else (joint.least_nm, joint.most_nm)
    # The safe interference depends a little on the seat: over a range of seats it is least at one end.
    safe = min(stood_nm(joint, seat, max(factor, margin.factor)) for seat in seats_nm)
    most = safe if margin.with_care else min(joint.most_nm, safe)
    # The ends of the readings are asked for no grip: a joint holds by its mean interference.
    return _inside((-most, -max(joint.least_nm, margin.grip_nm)), (-most, -joint.least_nm), margin)


def _inside(mean: tuple[int, int], ends: tuple[int, int], margin: Margin) -> tuple[int, int]:
    """The clearances of the mean that lie inside by what is unsure, and at which both ends of the readings do."""
    low, high = mean[0] + margin.unsure_nm, mean[1] - margin.unsure_nm
    if margin.spread is None:
        return low, high
    spread = margin.spread
    tight, slack = ends[0] + spread.unsure_nm + spread.under_nm, ends[1] - spread.unsure_nm - spread.over_nm
    return max(low, tight), min(high, slack)


def most_interference_nm(
    seat_nm: int, boss_nm: int, iron_key: str, factor: float, axle_bore_nm: int = 0
) -> int:
    """The most interference at which the boss keeps a factor against cracking.

    Formula: Lame turned round for the interference at which hoop stress = least tensile strength / factor, with
    the stiffest the iron may be.
    Returns: nm on the diameter, 0 or more, rounded down.
    Raises: FitError for an unknown iron or a seat not smaller than the boss.
    Source: Shigley's Mechanical Engineering Design, 9th ed., eqs 7-39 to 7-47.

    >>> most_interference_nm(15_000_000, 32_000_000, "en-gjl-150", 2.0)
    15136
    """
    if not 0 < seat_nm < boss_nm:
        raise FitError("The seat must be above zero and smaller than the boss, such as 19.05 mm in 38.1 mm.")
    check_axle_bore(axle_bore_nm, seat_nm)
    stood = stood_interference_nm(seat_nm, boss_nm, known_iron(iron_key), MILD_STEEL, factor, axle_bore_nm)
    return max(0, stood)


def stood_nm(joint: Joint, seat_nm: int, factor: float | None = None) -> int:
    """The most interference that the joint's boss stands on a seat: at the factor wanted, or at another; nm, 0 or more."""
    factor = joint.factor_wanted if factor is None else factor
    if seat_nm <= joint.axle_bore_nm:
        return 0  # a bore smaller than the hole through the axle: no seat there
    return most_interference_nm(seat_nm, joint.boss_diameter_nm, joint.iron_key, factor, joint.axle_bore_nm)


def usual_range(kind: FitKind, nominal_nm: int, boss_nm: int, iron_key: str) -> tuple[int, int]:
    """The gap or interference to want when the drawing does not say, never more than the boss stands without care.

    The axle is taken as solid, of which a boss stands the least interference.

    Formula: the rule of thumb of the fit, its most cut down to the interference that leaves a factor of 3; where
    that is below the rule's least, half of it to all of it.
    Parameters: `kind`; `nominal_nm`, `boss_nm`, diameters, nm, 0 < nominal < boss; `iron_key`.
    Returns: least and most, nm on the diameter: a gap for a bond, an interference for press and shrink.
    Raises: FitError for sizes out of order, an unknown iron, or a boss that stands no press fit at all.
    Source: Applied Science for Metal Workers, sections 453-454, and Lame as in Shigley 9th ed.; the half is
    common practice, no source.

    >>> usual_range(FitKind.BOND, 19_050_000, 38_100_000, "en-gjl-200")
    (20000, 50000)
    >>> least, most = usual_range(FitKind.PRESS, 19_050_000, 38_100_000, "en-gjl-200")
    >>> 0 < least < most < 19_050
    True
    """
    least, most = default_range(kind, nominal_nm)
    if kind is FitKind.BOND:
        return least, most
    safe = most_interference_nm(nominal_nm, boss_nm, iron_key, careful_factor())
    if safe >= 2 * least:
        return least, min(most, safe)
    if safe < 2:
        raise FitError("This boss stands no press or shrink fit: bond it, or choose a larger boss.")
    return min(least, safe // 2), min(most, safe)


def safe_window(joint: Joint, seat_nm: int, margin: Margin = NO_MARGIN) -> tuple[int, int]:
    """Least and most interference of a press or shrink fit that holds and is safe on a seat, nothing in doubt.

    Formula: the greater of what is wanted at least and what must grip, to the lesser of what is wanted at most and what
    the boss stands at the factor wanted. What is in doubt is left out: it is what the width is compared with.
    Returns: nm; the first is the greater where none is.
    Raises: FitError for sizes out of order or an unknown iron.

    >>> joint = Joint(FitKind.PRESS, 15_000_000, 15_000_000, 32_000_000, 14_000_000, 8_000, 30_000, "en-gjl-250")
    >>> safe_window(joint, 15_000_000)
    (8000, 22529)
    """
    low, high = _clearances(joint, Margin(0, margin.grip_nm), joint.factor_wanted, (seat_nm,))
    return -high, -low


def bore_window(joint: Joint, seat_nm: int, unit: Unit, margin: Margin = NO_MARGIN) -> tuple[int, int] | None:
    """The sizes to bore to for a seat, closed in to figures that can be shown.

    Formula: seat + least to seat + most for a bond; seat - most to seat - least for press and shrink, the most
    cut down to what leaves the factor wanted; both ends moved in by what is unsure.
    Returns: least and most, nm; None when no size that can be shown would serve.
    Raises: FitError for sizes out of order or an unknown iron.

    >>> joint = Joint(FitKind.BOND, 19_050_000, 19_050_000, 38_100_000, 14_000_000, 20_000, 50_000, "en-gjl-200")
    >>> bore_window(joint, 19_050_000, Unit.MM), bore_window(joint, 19_050_000, Unit.MM, Margin(5_000))
    ((19070000, 19100000), (19075000, 19095000))
    """
    margin = replace(margin, spread=None)  # of the hole that is there: it is cut away
    least, most = _clearances(joint, margin, joint.factor_wanted, (seat_nm,))
    low, high = inward(unit, seat_nm + least, seat_nm + most)
    return (low, high) if 0 < low <= high else None


def seat_window(joint: Joint, bore_nm: int, unit: Unit, margin: Margin = NO_MARGIN) -> tuple[int, int] | None:
    """The sizes to turn a seat to for a bore that is there already, closed in to figures that can be shown.

    Formula: bore - most to bore - least for a bond; bore + least to bore + most for press and shrink, the most cut
    down to what leaves the factor wanted at the smallest and the largest seat; both ends moved in by what is unsure, and
    further where the bore's smallest or largest reading asks for it.
    Returns: least and most, nm; None when no size that can be shown would serve.
    Raises: FitError for sizes out of order or an unknown iron.

    >>> joint = Joint(FitKind.BOND, 19_050_000, 19_050_000, 38_100_000, 14_000_000, 20_000, 50_000, "en-gjl-200")
    >>> seat_window(joint, 19_090_000, Unit.MM), seat_window(joint, 19_090_000, Unit.MM, Margin(0, 0, Ends(4_000, 6_000)))
    ((19040000, 19070000), (19046000, 19066000))
    """
    furthest = joint.most_nm
    if margin.with_care and joint.kind is not FitKind.BOND:
        furthest = max(furthest, stood_nm(joint, bore_nm))
    ends = (bore_nm, min(bore_nm + furthest, joint.boss_diameter_nm - 1))
    least, most = _clearances(joint, margin, joint.factor_wanted, ends)
    low, high = inward(unit, bore_nm - most, bore_nm - least)
    return (low, high) if 0 < low <= high else None


# Further from the drawing's than this it would be another axle: our own rule, no source.
_SUITS_WITHIN = 50


def suiting_seat(
    joint: Joint, bore_nm: int, unit: Unit, margin: Margin = NO_MARGIN
) -> tuple[int, int] | None:
    """The sizes to turn a seat that is not turned yet to, so that it suits a bore: near the drawing's, or none.

    Formula: seat_window, where its middle is within a fiftieth of the drawing's seat.
    Returns: least and most, nm; None when none would serve or none is near the drawing's.
    Raises: FitError for sizes out of order or an unknown iron.
    Source: seat_window; the fiftieth is our own rule, no source.

    >>> joint = Joint(FitKind.BOND, 19_050_000, 19_050_000, 38_100_000, 14_000_000, 20_000, 50_000, "en-gjl-200")
    >>> suiting_seat(joint, 19_058_000, Unit.MM), suiting_seat(joint, 20_000_000, Unit.MM)
    ((19008000, 19038000), None)
    """
    drawn = joint.nominal_seat_nm
    if not 0 < bore_nm < joint.boss_diameter_nm:
        return None
    window = seat_window(joint, bore_nm, unit, margin)
    if window is None or abs(sum(window) // 2 - drawn) * _SUITS_WITHIN > drawn:
        return None
    return window


def inward(unit: Unit, low: int, high: int) -> tuple[int, int]:
    """The window with its ends moved in to figures that can be shown; low is above high when none fits.

    low, high: nm; returns nm.

    >>> inward(Unit.MM, 19_070_300, 19_100_700)
    (19071000, 19100000)
    """
    grid = _GRID_NM[unit]
    return -(-low // grid) * grid, high // grid * grid


def at_least(unit: Unit, least: int, most: int) -> int:
    """The least to take off, rounded up to a figure that can be shown unless that would be too much.

    least, most: nm; returns nm.

    >>> at_least(Unit.MM, 20_300, 50_000), at_least(Unit.MM, 20_300, 20_900)
    (21000, 20300)
    """
    grid = _GRID_NM[unit]
    shown = -(-least // grid) * grid
    return shown if shown <= most else least
