"""What the sheets of treads say: profile, figures of a tyre, groups, gauges, and what puts each right."""

from collections.abc import Iterable, Mapping

from domain.lengths import Unit, show, show_in, show_small
from domain.lengths.fine import fine
from domain.lengths.showing import small_parts
from domain.measuring.decision import Conformity
from domain.treads.flange import FlangePlace
from domain.treads.gauges import (
    Clash,
    Contradiction,
    Cuts,
    GaugeRemedy,
    GaugeVerdict,
    WheelGauges,
    drawn_apart,
)
from domain.treads.group import ForcedSlip, Group, OddOnes, RemainingCut, Spread
from domain.treads.judging import Limits, TreadAnswer, TreadFigure, TreadVerdict, TyreFinding
from domain.treads.profile import DIAMETER_PLACE, Dimension
from domain.treads.table import FormAngles
from domain.treads.wheel_standard import Figure, TrackFigures, WheelStandard, as_drawn, drawn_outside
from domain.working import Working

Marks = tuple[str, str]
# What a group of treads was to come to: as drawn, or less where its rough castings or its service had no more to give.
THE_DRAWING, WAS_TO_BE = "the drawing", "what they were to be"
GAUGE_ANSWERS = {
    Conformity.INSIDE: "good",
    Conformity.OUTSIDE: "no good",
    Conformity.CANNOT_TELL: "cannot tell",
}
# What a turner can do about a figure that is (too small, too large): common practice, no source.
_REMEDIES = {
    TreadFigure.FLANGE_WIDTH: (
        "Metal cannot be put back: ask the track's owner, or make this wheel again.",
        "Take the flange face down with the form tool, and try the root again.",
    ),
    TreadFigure.FLANGE_DEPTH: (
        "A smaller tread diameter makes the flange higher, but then the whole group must follow.",
        "Turn the flange's top down and round it again.",
    ),
    TreadFigure.TYRE_WIDTH: (
        "Metal cannot be put back: ask the track's owner, or make this wheel again.",
        "Face the front of the tyre down and break its edge again.",
    ),
    TreadFigure.ROOT_RADIUS: (
        "Form the root again with a rounder tool, while flange and tread still have metal for it.",
        "Form the root again with a tool of less radius, while flange and tread still have metal for it.",
    ),
    TreadFigure.TREAD_DIAMETER: (
        "Metal cannot be put back: work out the group's diameter again with this wheel's own.",
        "Take another cut on the tread, then measure again.",
    ),
}


def dimension_words(one: Dimension, unit: Unit) -> str:
    """A size of the profile, with the place where it is measured."""
    place = f", {DIAMETER_PLACE}" if one.name == "tread diameter" else ""
    return f"{one.name} {show(one.nm, unit)}{place}"


def angles_words(angles: FormAngles) -> str:
    """What to set the top slide and the form tool to."""
    cone, half, lean = angles.cone, angles.top_slide_deg, angles.flange_face_deg
    tread = (
        "The tread is straight: leave the top slide along the bed."
        if cone is None
        else f"Tread 1 in {cone:.4g}: swing the top slide {half:.2f} degrees from the bed (the whole cone is "
        f"{angles.included_deg:.2f} degrees), smaller towards the front face."
    )
    face = (
        "The flange face is square to the axle."
        if lean == 0
        else f"Flange face: {lean:g} degrees from square, which is {90 - lean:g} degrees "
        "from the bed, its top towards the back."
    )
    return f"{tread} {face}"


def figure_words(found: TreadVerdict, unit: Unit) -> str:
    """What one figure of a tyre is worth."""
    name, limits = found.figure.value, found.limits
    if found.measured is not None and found.place is not None and found.place.lack and limits is not None:
        return f"The {name} is {show(found.measured.nm, unit)} as measured. {lack_words(found.place, unit)}"
    if found.measured is None:
        wanted = f": the limits are {_span(limits, unit)}" if limits else ""
        return f"The {name} is not logged yet{wanted}."
    if limits is None or found.decision is None:
        size = show(found.measured.nm, unit)
        return f"The {name} is {size}; nothing limits it here, so go by the drawing."
    return f"{found.decision.words} The limits{_above(found.place, unit)} are {_span(limits, unit)}, by {limits.source}."


def follow_words(follow_nm: int, unit: Unit, whose: str = THE_DRAWING) -> str:
    """That a tread takes its whole group down before another is turned to it; empty where it does not."""
    if not follow_nm:
        return ""
    return (
        f"The tread is {show(follow_nm, unit)} under {whose} and no other of its group is turned to it yet: it is good"
        " only if they all follow. Measure it again before they do."
    )


def sets_words(mark: str, tread_nm: int, below_nm: int, unit: Unit, whose: str = THE_DRAWING) -> str:
    """Which tread sets the diameter of its whole group, and how far under what that was to be.

    >>> sets_words("W2", 128_270_000, 1_905_000, Unit.INCH)
    'W2 sets 5.0500 in for all: 75.0 thou under the drawing'
    """
    below = " ".join(small_parts(below_nm, unit))
    return f"{mark} sets {show_in(tread_nm, unit)} for all: {below} under {whose}"


def _above(place: FlangePlace | None, unit: Unit) -> str:
    return f", {show(place.above_nm, unit)} above the tread," if place is not None and place.above_nm else ""


def lack_words(place: FlangePlace, unit: Unit) -> str:
    """Why a flange's thickness tells nothing, and where to measure it."""
    drawn = place.drawn
    if drawn is None:
        return "The drawing's profile cannot be turned, so nobody can say what the flange must be: see the sheet of treads."
    usual = show(drawn.usual_nm(unit), unit)
    if place.above_nm is None:
        return (
            "Nobody said how far above the tread, and at the tread's level the root makes it thick: measure it "
            f"again, {usual} above the tread."
        )
    part = "root radius" if place.above_nm < drawn.low_nm else "rounded tip"
    return (
        f"{show(place.above_nm, unit)} above the tread is on the {part} of the drawn flange: measure it {usual} above "
        f"the tread; its face is straight from {show(drawn.low_nm, unit)} to {show(drawn.high_nm, unit)}."
    )


def flange_working(found: TreadVerdict, unit: Unit) -> Working | None:
    """How much thinner the drawn flange is where it was measured; None where that is not known."""
    place = found.place
    if found.measured is None or place is None or place.drawn is None or place.above_nm is None or place.lack:
        return None
    above, lean = show(place.above_nm, unit), place.drawn.lean_deg
    return Working(
        "how much less the flange must be there than at the tread's level",
        "height above the tread x tan(lean of the flange face)",
        f"{above} x tan({lean:g} degrees)",
        fine(place.less_nm, unit),
        "geometry of the drawn profile",
    )


def out_words(found: TyreFinding, unit: Unit) -> str:
    """A sentence of what is no good of one tyre and what cannot be told, with sizes and limits; empty where nothing is."""
    said = [
        f"{one.figure.value} {one.answer.value} ({_size_and_limits(one, unit)})"
        for one in found.of(TreadAnswer.NO_GOOD, TreadAnswer.CANNOT_TELL)
    ]
    whole = ", ".join(said)
    return f"{whole[0].upper()}{whole[1:]}." if whole else ""


def _size_and_limits(found: TreadVerdict, unit: Unit) -> str:
    size = show(found.measured.nm, unit) if found.measured else ""
    limits = _span(found.limits, unit) if found.limits and not (found.place and found.place.lack) else ""
    allowed = f"; the limits are {limits}" if limits else "; measure it again above the root"
    return f"{size}{_above(found.place, unit).rstrip(',')}{allowed}"


def figure_remedy(found: TreadVerdict) -> str:
    """What to do about a figure that is shown to be wrong; empty where it is not."""
    if found.answer is not TreadAnswer.NO_GOOD:
        return ""
    small, large = _REMEDIES[found.figure]
    return small if found.too_small else large


def _span(limits: Limits, unit: Unit) -> str:
    low, high = limits.low_nm, limits.high_nm
    if low is not None and high is not None:
        return f"{show(low, unit)} to {show(high, unit)}"
    if low is not None:
        return f"at least {show(low, unit)}"
    return f"at most {show(high or 0, unit)}"


def group_words(group: Group, unit: Unit) -> str:
    """What a group is turned to, and who decides."""
    if not group.decided_by or group.next_nm is None:
        return f"Turn all treads to the drawing's {show(group.diameter_nm, unit)}: every wheel can reach it."
    words = (
        f"Turn all treads to {show(group.diameter_nm, unit)}, {show_small(group.below_drawing_nm, unit)} below the drawing: "
        f"{' and '.join(group.decided_by)} can reach no more. Made again, the group would reach "
        f"{show(group.next_nm, unit)}."
    )
    if group.below_drawing_nm <= group.tolerance_nm:
        words += (
            " That is no more than the treads may differ, so the others may also stay at the drawing;"
            " alike is better."
        )
    return words


def cut_words(cut: RemainingCut, unit: Unit) -> str:
    """What is still to come off one wheel."""
    if not cut.radial_nm:
        return f"{cut.mark}: at the group's diameter already, take nothing off."
    radius, diameter = show_small(cut.radial_nm, unit), show_small(2 * cut.radial_nm, unit)
    return f"{cut.mark}: {radius} still to come off the radius, {diameter} off the diameter."


def spread_words(found: Spread, unit: Unit) -> str:
    """How alike the treads of a group are."""
    allowed = f"{show_small(found.tolerance_nm, unit)} is allowed"
    if show(found.spread_nm, unit) == show(0, unit):
        return f"The treads measure alike; {allowed}. {found.decision.words}"
    return (
        f"The treads are {show_small(found.spread_nm, unit)} apart on diameter: {found.largest} is the largest, "
        f"{found.smallest} the smallest, and {allowed}. {found.first} and {found.second} decide. {found.decision.words}"
    )


def slip_words(slip: ForcedSlip, unit: Unit) -> str:
    """What a difference of two treads costs."""
    if not slip.apart_nm:
        return "Wheels of one diameter force no slip."
    turn = f"makes one of the two wheels slip {show_small(slip.per_turn_nm, unit)} at every turn"
    lap = (
        f", about {show_small(slip.per_lap_most_nm, unit)} in a lap"
        if slip.per_lap_most_nm is not None
        else ""
    )
    return f"A difference of {show_small(slip.apart_nm, unit)} {turn}{lap}."


def odd_ones_words(odd: OddOnes, unit: Unit) -> str:
    """Which wheels fall short of what most of a group is turned to already."""
    single, short = len(odd.marks) == 1, odd.diameter_nm - odd.down_to_nm
    return (
        f"{' and '.join(odd.marks)} {'is the odd one' if single else 'are the odd ones'}: {show(odd.down_to_nm, unit)}"
        f"{'' if single else ' or a little more'}, {show_small(short, unit)} less than the {show(odd.diameter_nm, unit)} "
        f"the other {odd.others} come to. The others are judged without {'it' if single else 'them'}."
    )


def odd_ways(odd: OddOnes, unit: Unit) -> tuple[str, str]:
    """Both ways out, the one that touches fewer wheels first."""
    short = odd.diameter_nm - odd.down_to_nm
    other = "another casting" if len(odd.marks) == 1 else "other castings"
    again = (
        f"Make {' and '.join(odd.marks)} again, or use {other}: then the group stays at "
        f"{show(odd.diameter_nm, unit)}."
    )
    down = (
        f"Turn {', '.join(odd.to_turn)} down to {show(odd.down_to_nm, unit)}: {len(odd.to_turn)} "
        f"wheel{'' if len(odd.to_turn) == 1 else 's'} to set up again, and each flange turned already then stands up to "
        f"{show_small((short + 1) // 2, unit)} higher."
    )
    return (again, down) if odd.again_first else (down, again)


def contradiction_words(found: Contradiction, unit: Unit) -> str:
    """Where a standard's printed figures contradict one another."""
    nm = [show(one, unit) for one in found.nm]
    limits = found.figure.words(unit) if found.figure else ""
    if found.clash is Clash.LIMITS_TURNED:
        words = (
            f"The standard's {found.name} has its least above its most: {limits}. Ask the track's owner which"
        )
    elif found.clash is Clash.CHECK_GAUGE:
        words = (
            f"The standard contradicts itself by {show_small(found.nm[0], unit)}: "
            f"back to back and its widest flange together come to {nm[1]}, its check "
            f"gauge is {limits}. Ask the track's owner which figure"
        )
    elif found.clash is Clash.WHEEL_GAUGE:
        words = (
            f"The standard contradicts itself by {show_small(found.nm[0], unit)}: "
            f"back to back and two flanges come to {nm[1]}, its wheel gauge "
            f"is at most {nm[2]}. Ask the track's owner which"
        )
    else:
        said = {
            Clash.NO_ROOM: "wheel gauge of {} leaves no room between rails of {}",
            Clash.BACKS_TOO_WIDE: "back to back of {} does not go between rails of {}",
            Clash.CHECK_GAUGE_PLACE: "check gauge of {} should lie between its back to back of {} and its track gauge of {}",
            Clash.FLANGE_AS_WIDE: "flange of {} is as wide as its tyre of {}",
            Clash.ROOT_TOO_LARGE: "least root radius of {} is more than its flange is deep, {}",
        }[found.clash]
        words = f"The standard's {said.format(*nm)}. Ask the track's owner which"
    return f"{words} rules."


def outside_words(name: str, nm: int, limits: Figure, unit: Unit) -> str:
    """A figure of the drawing that the standard does not allow: by what the wheels are then judged."""
    return (
        f"The drawing's {name} of {show(nm, unit)} is outside the standard, {limits.words(unit)}: wheels are judged by "
        "the drawing's. Ask the track's owner first."
    )


def drawing_words(
    printed: WheelStandard, drawn: Mapping[str, int], names: Mapping[str, str], unit: Unit
) -> dict[str, str]:
    """Where a drawing is outside the standard that its wheels are made to: a sentence for each figure at fault.

    Parameters: `printed`, the published row; `drawn`, the drawing's figures by key, nm; `names`, what each is called.
    Returns: empty where there is nothing to say; asked as a drawing is saved, and on the sheets of treads.
    """
    outside = drawn_outside(printed, drawn)
    said = {key: outside_words(names[key], nm, one, unit) for key, nm, one in outside}
    if (
        not {"back_to_back", "flange_width"} & said.keys()
        and {"back_to_back", "flange_width"} <= drawn.keys()
    ):
        own = as_drawn(printed, drawn)
        for one in drawn_apart(own, drawn["back_to_back"], drawn["flange_width"])[:1]:
            said["flange_width"] = apart_words(*one, unit)
    return said


def other_track_words(nm: int, standard: WheelStandard, unit: Unit) -> str:
    """A track gauge that is not the one of the standard chosen: what is then judged by it."""
    return (
        f"The track gauge of {show(nm, unit)} is not that of {standard.name}, {show(standard.gauge_nm, unit)}: only the "
        "standard's tolerances would hold."
    )


def apart_words(name: str, nm: int, limits: Figure, flange: tuple[int | None, int | None], unit: Unit) -> str:
    """That wheels made just as drawn are outside a gauge, and what flange would put it right."""
    least, most = flange
    fits = least is None or most is None or least <= most
    way = (
        f"a flange of {_wanted(least, most, unit)} fits"
        if fits
        else "no flange fits: change the back to back"
    )
    return (
        f"As drawn the {name} comes to {show(nm, unit)}, and the standard asks for {limits.words(unit)}: with this back to "
        f"back {way}."
    )


def wanted_words(limits: Limits | None, unit: Unit) -> str:
    """What a figure that is not measured yet is to be; empty where nothing limits it.

    >>> wanted_words(Limits(None, 3_556_000, ""), Unit.INCH)
    'To be at most 0.1400 in (3.556 mm).'
    """
    return f"To be {_span(limits, unit)}." if limits is not None else ""


def flange_aim_words(least: int | None, most: int | None, above_nm: int, unit: Unit, *, by_axle: bool) -> str:
    """What a flange is to be where it is measured, nm; by its axle's back to back, or by the drawing."""
    if least is not None and most is not None and least > most:
        return "With this axle's back to back no flange keeps every gauge."
    by = ", by this axle's back to back" if by_axle else ""
    return f"To be {_wanted(least, most, unit)}, {show(above_nm, unit)} above the tread{by}."


def _wanted(least: int | None, most: int | None, unit: Unit) -> str:
    if least is not None and least == most:
        return show(least, unit)
    return _span(Limits(least, most, ""), unit)


def flange_drawn_words(nm: int, place: FlangePlace, unit: Unit) -> str:
    """How thick the flange that is drawn at the tread's level is where it is measured; empty where that cannot be said."""
    if place.lack or place.above_nm is None:
        return ""
    return f"Measured {show(place.above_nm, unit)} up, the flange is to be {show(nm - place.less_nm, unit)}."


def hub_words(face: str, nm: int, most_nm: int, unit: Unit) -> str:
    """A boss that stands too far out of its tyre."""
    return (
        f"By the drawing the boss stands {show(nm, unit)} out of the tyre at the {face}; the standard allows "
        f"{show(most_nm, unit)}, and does not say at which face."
    )


def track_words(track: TrackFigures, unit: Unit) -> str:
    """What the document prints of the track."""
    named = (
        ("gauge", track.gauge),
        ("check gauge", track.check_gauge),
        ("over the check rails", track.over_check_rails),
        ("flangeway", track.flangeway),
    )
    return "; ".join(f"{name} {figure.words(unit)}" for name, figure in named)


def flange_at_tread_words(mark: str, as_measured_nm: int, place: FlangePlace, unit: Unit) -> str:
    """How a flange that was measured above the tread counts in the gauges."""
    there, above = show(as_measured_nm + place.less_nm, unit), show(place.above_nm or 0, unit)
    return (
        f"{mark}'s flange, {show(as_measured_nm, unit)} thick {above} above the tread, counts as {there} at the "
        "tread's level; what it is to be thinned to is said where it was measured."
    )


def gauge_words(found: GaugeVerdict, unit: Unit) -> str:
    """What one gauge is worth."""
    if found.nm is None:
        return f"Log {found.lacking} first."
    size = f"The {found.name} is {show(found.nm, unit)}"
    if found.limits is None:
        return f"{size}; this standard prints none to compare it with."
    if found.decision is None:
        return f"{size}; the standard prints {found.limits.words(unit)}, without limits."
    return f"{found.decision.words} The standard asks for {found.limits.words(unit)}."


def gauges_out_words(judged: Iterable[tuple[str, GaugeVerdict]], unit: Unit) -> str:
    """The gauges, by name, that are no good or cannot be told, each with its size and its limits."""
    said = [
        f"{name} {GAUGE_ANSWERS[one.answer]} ({show(one.nm, unit)}; the limits are {one.limits.words(unit)})"
        for name, one in judged
        if one.answer in (Conformity.OUTSIDE, Conformity.CANNOT_TELL) and one.nm is not None and one.limits
    ]
    return ", ".join(said)


def room_words(gauges: WheelGauges, unit: Unit) -> str:
    """The sideways room of a wheel set between the rails."""
    room_nm, standard = gauges.clearance_nm, gauges.standard
    if room_nm is None:
        return "Cannot tell the room between the rails: log the back to back and both flanges."
    track = show(standard.gauge_nm, unit)
    if gauges.room_answer is Conformity.OUTSIDE:
        return (
            f"The flanges do not go between the rails: they are {show_small(-room_nm, unit)} wider than the track's "
            f"{track}. Do not put this set on the track."
        )
    if gauges.room_answer is Conformity.CANNOT_TELL:
        return (
            f"The flanges have {show_small(max(room_nm, 0), unit)} between the rails, no more than the measurement "
            "is good for: try the set on a piece of the track by hand."
        )
    words = f"The set has {show_small(room_nm, unit)} of sideways room between rails of {track}."
    wide = standard.wheel_gauge
    if wide is not None and wide.low_nm is not None and wide.high_nm is not None:
        least, most = standard.gauge_nm - wide.high_nm, standard.gauge_nm - wide.low_nm
        words += f" The standard's wheel gauge leaves {show_small(least, unit)} to {show_small(most, unit)}."
    return words


def remedy_words(remedy: GaugeRemedy, marks: Marks, unit: Unit) -> str:
    """What to do about a gauge that is shown to be wrong; `marks` are what the two wheels are called."""
    if any(remedy.first_nm):
        return _thick_words(remedy, marks, unit)
    can, need = remedy.can_move_nm, remedy.need_nm
    word = "closer together" if remedy.closer else "farther apart"
    ways = [f"thin {_thinned(remedy, remedy.cuts_nm, marks, unit)}"] if any(remedy.cuts_nm) else []
    if can is None or can >= need:
        ways.append(f"bring the wheels {word} on the axle by {show_small(need, unit)}")
    said = [f"To put it right, {', or '.join(ways)}: no other gauge then leaves its limits."] if ways else []
    if can is not None and can < need:
        moved = f"can come no more than {show_small(can, unit)}" if can > 0 else "cannot come"
        said.append(f"The wheels {moved} {word}: beyond that another gauge is over or under.")
    if not ways:
        said.append(
            "With these flanges it cannot be put right: ask the track's owner, or make a wheel again."
        )
    return " ".join(said)


def _thick_words(remedy: GaugeRemedy, marks: Marks, unit: Unit) -> str:
    """What to do where a flange is over its own limit: moving the wheels alone would leave it so."""
    named = [f"{marks[side]}'s flange" for side in remedy.over_own]
    over = f"{' and '.join(named)} {'is' if len(named) == 1 else 'are'} over the flange's own limit"
    why = f"{over}, so thin {'that' if len(named) == 1 else 'those'} first."
    first = _thinned(remedy, remedy.first_nm, marks, unit)
    ways = [f"thin {_thinned(remedy, remedy.cuts_nm, marks, unit)}"] if any(remedy.cuts_nm) else []
    if remedy.rest_nm:
        closer = f"bring the wheels closer together on the axle by {show_small(remedy.rest_nm, unit)}"
        ways.append(f"thin {first}, and {closer}")
    if ways:
        return f"To put it right, {', or '.join(ways)}: no other gauge then leaves its limits. {why}"
    return f"{why} Thin {first}; log it again, and look here for the rest."


def _thinned(remedy: GaugeRemedy, cuts: Cuts, marks: Marks, unit: Unit) -> str:
    parts = remedy.left(cuts)
    if len(parts) == 2 and parts[0][2] == parts[1][2]:
        each = ", ".join(f"{marks[side]}'s by {show_small(cut, unit)}" for side, cut, _ in parts)
        return f"both flanges to {show(parts[0][2], unit)} ({each})"
    return " and ".join(
        f"{marks[side]}'s flange to {show(nm, unit)}, by {show_small(cut, unit)}" for side, cut, nm in parts
    )


def remedy_workings(remedy: GaugeRemedy, marks: Marks, unit: Unit) -> tuple[Working, ...]:
    """How far a gauge must come, and what is left of each flange that is thinned for it."""
    guard = remedy.need_nm - remedy.over_nm
    found = [
        Working(
            f"what puts the {remedy.name} right",
            "beyond its limit + 0.825 U",
            f"{fine(remedy.over_nm, unit)}{f' + {fine(guard, unit)}' if guard else ''}",
            fine(remedy.need_nm, unit),
            "ISO 14253-1:2017",
        )
    ]
    parts = remedy.left(remedy.cuts_nm)
    if parts:
        thinned = Working(
            f"what is left of each flange thinned for the {remedy.name}",
            "an excess over its own limit first, then the thicker flange, then both alike",
            "; ".join(
                f"{marks[side]}: {fine(nm + cut, unit)} - {fine(cut, unit)}" for side, cut, nm in parts
            ),
            "; ".join(f"{marks[side]}: {fine(nm, unit)}" for side, _, nm in parts),
            "geometry; which first is common practice, no source",
        )
        found.append(thinned)
    return tuple(found)
