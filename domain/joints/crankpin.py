"""The one judge of a crankpin in its wheel: turning, pulling out, and the thrust across it in bending."""

from dataclasses import dataclass

from domain.answer import Answer, worst
from domain.joints.demand import CrankpinSizes, PinDemand, pin_demand
from domain.joints.held import Bonded, Forced, hold
from domain.joints.safety import SafetyFactor, factor_of_safety, stress_reserve
from domain.joints.terms import HeldBy
from domain.lengths import Unit


@dataclass(frozen=True)
class PinCase:
    """A crankpin to be judged.

    hole_nm: nm. pin: its sizes. holding: what holds it. thrust_n: of one piston, N. bush_friction: of the rod's bush.
    yield_mpa: what its steel stands in bending, MPa. wanted: the reserve; bending_wanted: that in bending, where a bond
    takes none off. uncertainty_nm: of hole and pin together (k = 2). invented: which of the figures are placeholders. The
    sources are named in the workings.
    """

    hole_nm: int
    pin: CrankpinSizes
    holding: HeldBy
    thrust_n: float
    bush_friction: float
    yield_mpa: float
    wanted: float
    bending_wanted: float
    uncertainty_nm: int = 0
    invented: tuple[str, ...] = ()
    friction_source: str = ""
    wanted_source: str = ""
    yield_source: str = ""
    unit: Unit = Unit.MM


@dataclass(frozen=True)
class PinFinding:
    """What is found of a crankpin.

    turning, pulling: what its fit holds round and along it. root, inside: its own bending, at the journal's root and in the
    hole. grip_mpa: the least pressure of a forced fit; None of a bond, whose data sheet has no figure for this.
    """

    case: PinCase
    held: Forced | Bonded
    demand: PinDemand
    turning: SafetyFactor
    pulling: SafetyFactor
    root: SafetyFactor
    inside: SafetyFactor
    grip_mpa: float | None

    @property
    def factors(self) -> tuple[SafetyFactor, ...]:
        """Each reserve, in the order they are worked."""
        return self.turning, self.pulling, self.root, self.inside

    @property
    def works(self) -> bool:
        """Whether the thrust may open the fit at the mouth of its hole, so that the pin works there."""
        return self.grip_mpa is not None and self.demand.side_mpa > self.grip_mpa

    @property
    def answer(self) -> Answer:
        """The worst of all; a fit that opens at its mouth still holds, and no invented figure condemns a pin."""
        found = worst(self.held.kind.answer, *(one.answer for one in self.factors))
        if found is Answer.NOT and self.case.invented:
            return Answer.CANNOT_TELL
        return Answer.CAUTION if found is Answer.SERVES and self.works else found


def judge_pin(case: PinCase) -> PinFinding:
    """Say whether a crankpin and its fit carry the piston's thrust.

    Formula: as pin_demand, hold, factor_of_safety and stress_reserve; the fit stays closed while its least pressure is not
    below the side pressure at the mouth.
    Returns: the finding.
    Raises: ValueError on a figure outside its limits.
    Source: the parts name their own; that the fit stays closed is derived here, no published source.
    """
    demand = pin_demand(case.thrust_n, case.pin, case.bush_friction, friction_source=case.friction_source)
    held = hold(case.holding, case.hole_nm, case.pin.seat_nm, case.uncertainty_nm)
    by_whom = case.wanted_source
    return PinFinding(
        case,
        held,
        demand,
        factor_of_safety(
            held.counted_nm, demand.torque_nm, case.wanted, wanted_source=by_whom, first=case.unit
        ),
        factor_of_safety(held.counted_n, demand.axial_n, case.wanted, "N", by_whom, case.unit),
        stress_reserve(
            "The crankpin at its root",
            case.yield_mpa,
            demand.root_mpa,
            case.bending_wanted,
            case.yield_source,
        ),
        stress_reserve(
            "The crankpin in its hole",
            case.yield_mpa,
            demand.seat_mpa,
            case.bending_wanted,
            case.yield_source,
        ),
        held.counted.pressure_mpa if isinstance(held, Forced) else None,
    )
