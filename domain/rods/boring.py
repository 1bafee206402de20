"""What rods are bored to: the axle centres as measured, and bushes that just let them go round."""

from dataclasses import dataclass, replace

from domain.cranks.cylinders import Side
from domain.lengths import NM_PER_MM, Unit
from domain.rods.engine import SIDES, RodEngine, RodSide, RodSpan, check_engine
from domain.rods.lack import judge_lack


@dataclass(frozen=True)
class RodBoring:
    """One rod, of two axles by their numbers: centres and the least bore of each bush, nm.

    clearance_nm: what each bush is larger than its pin.
    """

    first: int
    second: int
    side: Side
    centre_nm: int
    clearance_nm: int
    front_nm: int
    rear_nm: int


def bore_rods(engine: RodEngine, pins_nm: tuple[int, ...], unit: Unit) -> tuple[RodBoring, ...]:
    """Say what each rod of an engine is bored to, so that it goes round with these throws and quarter angles.

    Formula: bush centres = axle centres; each bush = its pin + the play that both rods of the two axles then need either
    way, with how much more that may be in one of twenty.
    Parameters: `pins_nm`, where the bushes run, for each axle from the front; `unit` is the one shown first.
    Raises: RodsError on what no engine can have.
    Source: derived here from the geometry of two cranks and a rod; no published source.

    >>> from domain.rods.engine import RodAxle
    >>> side = RodSide(150_000_000, 150_080_000)
    >>> axle = RodAxle(25_400_000, 25_400_000, 90.0)
    >>> engine = RodEngine((axle, replace(axle, quarter_deg=90.3)), (RodSpan(side, side),))
    >>> one = bore_rods(engine, (9_525_000, 9_525_000), Unit.MM)[0]
    >>> one.centre_nm, round(one.clearance_nm / 1000)
    (150000000, 47)
    """
    to_bore = replace(
        engine, spans=tuple(RodSpan(_to_centres(span.left), _to_centres(span.right)) for span in engine.spans)
    )
    check_engine(to_bore, unit)
    found = []
    for place, span in enumerate(to_bore.spans):
        lack = judge_lack(to_bore, place)
        # The bushes of a rod share its play alike; never less than the exact play by a nanometre's rounding.
        clearance_nm = round(max(lack.mm, lack.high_mm) * NM_PER_MM)
        found += [
            RodBoring(
                first=engine.number(place + 1),
                second=engine.number(place + 2),
                side=side,
                centre_nm=span.at(side).centre_nm,
                clearance_nm=clearance_nm,
                front_nm=pins_nm[place] + clearance_nm,
                rear_nm=pins_nm[place + 1] + clearance_nm,
            )
            for side in SIDES
        ]
    return tuple(found)


def _to_centres(rod: RodSide) -> RodSide:
    """The rod as it is to be bored: as long as its axle centres, its bushes not yet decided."""
    return replace(rod, rod_nm=rod.centre_nm, clearance_nm=None, clearance_u_nm=0)
