"""What the balance sheet says: what each wheel needs, whether it matters, and what to drill or fill."""

from __future__ import annotations

from domain.balance.axle import Balance, BalanceCase, Matters, WheelBalance
from domain.balance.figures import figure, mass, percent, speed
from domain.balance.weight import MOST_DRILLED, PITCH, Adjustment, Verdict
from domain.lengths import Unit, show
from domain.lengths.loads import N_PER_LBF, both_loads

LEAD_CAUTION = (
    "Lead is poisonous. Melt and cast it only with proper control: fumes drawn off, nothing damp near the metal, no"
    " food or smoke in the shop, hands and bench washed, children away (HSE L132, Control of lead at work). A"
    " lead-free fill spares you all of it. Local rules and a competent person come before this sheet."
)
RAILWAY_CAUTION = (
    "Where passengers are carried, the railway's own rules and its inspector decide about load and speed; this sheet"
    " only works the figures out."
)
DRILLING_CAUTION = (
    "Clamp the wheel before a weight is drilled, count the holes as you go and stop one short: iron taken out does"
    " not come back. Keep clear of spokes, rim and tread."
)
ADDED_CAUTION = (
    "A weight that is added must not come off at speed: fasten it with screws or rivets and not by a compound alone,"
    " and turn the wheel once round by hand to see that it clears rods, brakes and track."
)


def wheel_words(wheel: WheelBalance, radius_nm: int, unit: Unit) -> str:
    """What weight a wheel needs with its middle at this radius, and where, in one sentence."""
    whose = f"{wheel.side.capitalize()} wheel"
    if wheel.mass_g < 1e-6:
        return f"{whose}: it needs no weight."
    words = f"{whose}: {mass(wheel.mass_g, unit)} with its middle {show(radius_nm, unit)} from the axle"
    off = wheel.from_opposite_deg
    if off is None:
        return f"{words}."
    if abs(off) < 0.05:
        return f"{words}, straight opposite its crankpin."
    which = "ahead of" if off > 0 else "behind"
    return f"{words}, {abs(off):.1f} degrees {which} straight opposite its crankpin (running forwards)."


def _force(newtons: float, digits: int, unit: Unit) -> str:
    return both_loads(f"{figure(newtons, digits)} N", f"{figure(newtons / N_PER_LBF, digits)} lbf", unit)


def verdict_words(case: BalanceCase, done: Balance, unit: Unit) -> str:
    """Whether the balance matters at this speed, plainly.

    Source: the share let pass is common practice, no source.
    """
    matters, lifting = done.matters, done.lifting_m_s
    hammer = max(done.left.hammer_n, done.right.hammer_n)
    bare = max(done.left.bare_n, done.right.bare_n)
    if matters is Matters.CANNOT_TELL or case.wheel_load_n is None:
        return (
            f"At {speed(case.speed_m_s)} the hammer blow is {_force(hammer, 3, unit)} and a wheel without any weight"
            f" pulls with {_force(bare, 3, unit)}: type the load on one wheel to see whether that matters."
        )
    load = case.wheel_load_n
    if matters is Matters.LIFTS:
        at = f" from {speed(lifting)} on" if lifting is not None else ""
        return (
            f"At {speed(case.speed_m_s)} the hammer blow is {_force(hammer, 3, unit)}, more than the"
            f" {_force(load, 4, unit)} that stand on the wheel: it leaves the rail once a turn{at}."
            " Balance less of the reciprocating masses or go slower."
        )
    shares = (
        f"the hammer blow is {percent(hammer / load)} of the {_force(load, 4, unit)} that stand on a wheel,"
        f" and a wheel without any weight pulls with {percent(bare / load)} of it"
    )
    if matters is Matters.NO:
        return (
            f"At model speeds this does not matter: at {speed(case.speed_m_s)} {shares};"
            f" up to {percent(case.matters_from)} is let pass. Leave the weights as they are cast."
        )
    return f"At {speed(case.speed_m_s)} it matters: {shares}; up to {percent(case.matters_from)} is let pass."


def narrow_words(planes_nm: int, faces_nm: int, unit: Unit) -> str:
    """What cylinders are taken for that stand nearer together than the outer faces of the wheels."""
    return (
        f"Inside cylinders? They are {show(planes_nm, unit)} apart, nearer together than the outer faces of the wheels,"
        f" {show(faces_nm, unit)}. They are taken as typed, with all that goes round in their planes, and that turns the"
        " weights to the other side of straight opposite when they stand nearer than the weights themselves. For"
        " outside cylinders measure again, from the middle of one to the middle of the other."
    )


def adjustment_words(found: Adjustment, unit: Unit) -> str:
    """Over or under, and what to drill or fill; or plainly that holes will not do."""
    if not found.possible:
        return _no_holes(found, unit)
    hole = found.hole
    rest = f"{figure(found.left_gmm, 3)} g mm is left."
    if found.across_gmm > found.left_gmm / 2:
        rest += (
            f" Of that, {figure(found.across_gmm, 3)} g mm points across, because the weight is not in the wanted"
            " direction: holes on its middle line do not cure it."
        )
    if found.verdict is Verdict.RIGHT:
        return f"The weight is right to within half a hole: {rest}"
    holes = found.wanted
    many = (
        f"{holes} hole{'s' if holes > 1 else ''} of {show(hole.diameter_nm, unit)},"
        f" {show(hole.depth_nm, unit)} deep, at that distance"
    )
    spread = ", spread evenly to both sides of its middle line" if holes > 1 else ""
    if holes > found.in_row:
        rows = show(round(PITCH * hole.diameter_nm), unit)
        spread += f", in rows {rows} apart with as many holes beyond that distance as short of it"
    filled = "" if found.fill is None else f", and fill with {found.fill.name}"
    return f"The weight is {found.verdict} by {_by(found, unit)}: drill {many}{spread}{filled}. Then {rest}"


def _by(found: Adjustment, unit: Unit, which: str = "") -> str:
    at = f"{show(found.hole.distance_nm, unit)} from the axle"
    return f"{figure(abs(found.over_gmm), 4)} g mm{which}, which is {mass(abs(found.over_g), unit)} at {at}"


def _no_holes(found: Adjustment, unit: Unit) -> str:
    """Plainly that holes will not do, and no number of them that could be taken for advice."""
    under = found.verdict is Verdict.UNDER
    how, short = ("drilling and filling", " short") if under else ("drilling", " over")
    words = f"This weight cannot be made right by {how}: it is {_by(found, unit, short)}."
    if found.room is None:
        words += f" The holes would take out more than {100 * MOST_DRILLED:g} % of its {mass(found.weight_g, unit)}."
    elif found.room == 0:
        words += " There is no room for such a hole with half a diameter of iron around it."
    else:
        gain = figure(found.room * found.one_hole_gmm, 4)
        words += f" There is room for only {found.room} such hole{'s' if found.room > 1 else ''}, worth {gain} g mm."
    if under:
        words += " Add a plate to it outside, or have a larger weight."
    else:
        words += " Take the weight itself down: face it thinner, or move its straight edge out."
    if found.across_gmm > found.left_gmm / 2:
        words += f" Besides, {figure(found.across_gmm, 3)} g mm points across the wanted direction."
    return words


def adjustment_cautions(found: Adjustment) -> tuple[str, ...]:
    """What to mind at that work."""
    if found.verdict is Verdict.RIGHT:
        return ()
    if not found.possible:
        return (ADDED_CAUTION,) if found.verdict is Verdict.UNDER else ()
    lead = found.fill is not None and found.fill.is_lead
    return (DRILLING_CAUTION, LEAD_CAUTION) if lead else (DRILLING_CAUTION,)
