"""What is found of a joint, in words: of the fit as read, of what holds it, and of both together."""

from collections.abc import Iterator, Mapping

from domain.answer import Answer, worst
from domain.joints.bond import GapFit
from domain.joints.crankpin import PinFinding
from domain.joints.demand import DERIVED, SeatDemand, Turned
from domain.joints.fit import Fit, Margin, stood_nm
from domain.joints.held import Bonded, Forced, careful_factor
from domain.joints.judge import Carried, Finding, larger_only
from domain.joints.kinds import FitKind, Kind
from domain.joints.margin import Aim, Short, TooNarrow
from domain.joints.terms import Joint, floor2, gap_range, heating_table
from domain.lengths import Unit, show, show_in, show_small, shown_small
from domain.lengths.loads import both_loads, show_force, show_torque

_STRANGE_NM = 1_000_000  # 1 mm between bore and seat is a slip, not a fit
_ADVICE = "The program advises: the builder, local codes and a competent person decide."
_GUARD = "Press brittle iron behind a guard: a boss can burst without warning."
_HOT = "A heated wheel does not look hot: gloves, tongs, a clear way to the axle, nothing near that burns."
_VENTILATE = "Ventilate when using the compound, and the more when warming a bond: it fumes."
_KIND_CAUTIONS = {
    FitKind.PRESS: (_GUARD,),
    FitKind.SHRINK: (
        _HOT,
        "Iron can crack as it grips: stand clear until it is cold. Let a warmed wheel cool before measuring.",
    ),
    FitKind.BOND: (_VENTILATE, "Let a warmed wheel cool before measuring."),
}
_EXACT = "so this answer takes {} as exact."
CANNOT = "cannot tell with this instrument"


def cut_off(nm: int, first: Unit) -> str:
    """A length in both systems, each cut off: a limit rounded up in either and worked to would be passed.

    nm: 0 or more.

    >>> cut_off(22_529, Unit.MM)
    '0.022 mm (0.0008 in)'
    """
    microns, tenths = nm // 1_000 * 1_000, nm // 2_540 * 2_540
    imperial = show_in(tenths, Unit.INCH) if first is Unit.MM else shown_small(tenths, Unit.INCH)
    return both_loads(show_in(microns, Unit.MM), imperial, first)


def small(text: str) -> str:
    """A sentence set inside another."""
    return text[:1].lower() + text[1:]


# --- the fit as read ---


def fit_headline(fit: Fit, unit: Unit) -> str:
    """The size in both systems and what it does, in one line without a full stop."""
    words, gap = fit.joint.kind.words, fit.clearance_nm
    size = f"{'Clearance' if gap > 0 else 'Interference'} {show_small(abs(gap), unit)}"
    if gap == 0:
        size = "Bore and seat are the same size"
    tails = {
        Kind.GOOD: f"in limits for the {words}",
        Kind.WIPED: f"no good, {'too little' if gap > 0 else 'no room'} for the bond, the compound is wiped out",
        Kind.WIDE: "take care, wide for the bond, check the compound's data sheet",
        Kind.TOO_WIDE: "no good, too wide for the bond",
        Kind.CRACKS: "no good, too tight, the boss may crack",
    }
    return _sized(size, fit.kind, words, tails)


def _sized(size: str, kind: Kind, fit: str, tails: Mapping[Kind, str]) -> str:
    """A size and what it does, in the words that the fit as read and what holds it have in common."""
    if kind is Kind.NO_GRIP:
        return f"{size}: no good where a {fit} was wanted"
    common = {
        Kind.STRAINED: f"take care, the {fit} has little in hand against cracking",
        Kind.TIGHT: f"take care, tighter than the {fit} wants",
        Kind.LOOSE: f"no good, too little, the {fit} will not hold",
    }
    return f"{size}: {common.get(kind) or tails[kind]}"


def fit_reason(fit: Fit, unit: Unit, least_nm: int = 0) -> str:
    """Why, with the range wanted, and how hard the boss is strained where it is.

    least_nm: what is wanted at least of this wheel, where that is more than the drawing's least.
    """
    joint, gap = fit.joint, gap_range(fit.joint)
    what = "a gap" if fit.is_bond else "an interference"
    least = max(least_nm, joint.least_nm)
    wanted = f"{what} of {show_small(least, unit)} to {show_small(joint.most_nm, unit)} is wanted"
    filled = f"{show_small(gap.limit_nm, unit)} is the most it can fill ({gap.source})"
    words = {
        Kind.GOOD: f"It is as it should be: {wanted}."
        if fit.is_bond or -fit.clearance_nm >= least
        else f"It is less than what it must carry asks for: {wanted}.",
        Kind.WIPED: f"The compound needs room to stay in: {wanted}.",
        Kind.WIDE: f"It is more than is best: {wanted}, and {filled}.",
        Kind.TOO_WIDE: f"The compound will not fill it: {wanted}, and {filled}.",
        Kind.NO_GRIP: f"Nothing grips: {wanted}.",
        Kind.LOOSE: f"The wheel could work loose on its axle: {wanted}.",
        Kind.CRACKS: f"A fit below the factor wanted is never called safe, even where {wanted}.",
        Kind.TIGHT: f"It is more than it should be, though the iron can take it: {wanted}.",
        Kind.STRAINED: f"It is as it should be, {wanted}, but a flaw in the iron would leave little.",
    }[fit.kind]
    return f"{words} {_strain_words(fit.forced, 'The boss is')}" if fit.forced else words


def gap_words(fit: Fit, unit: Unit) -> str:
    """The gap that the compound wants, and who says so."""
    gap = gap_range(fit.joint)
    return f"{show_small(gap.least_nm, unit)} to {show_small(gap.most_nm, unit)} ({gap.source})"


def fit_cautions(fit: Fit, unit: Unit, spread_nm: int, cuts: bool) -> Iterator[str]:
    """What to watch for, one sentence or two each; the last says who decides.

    spread_nm: most less least of the bore's readings, nm, 0 or more. cuts: whether a way out takes metal off.
    """
    joint = fit.joint
    if spread_nm > joint.most_nm - joint.least_nm:
        yield (
            f"The readings of the bore differ by {show_small(spread_nm, unit)}, more than the range wanted is wide:"
            " it is tapered or out of round, and the answer depends on where you measure."
        )
    if abs(fit.clearance_nm) > _STRANGE_NM:
        yield (
            f"Bore and seat differ by {show_small(abs(fit.clearance_nm), unit)}: check the reading, its unit, and"
            " that the seat belongs to this wheel."
        )
    if not fit.is_bond:
        most = stood_nm(joint, fit.seat_nm)
        if most < joint.least_nm:
            yield (
                f"No interference in the wanted range is safe in this boss: it takes at most {show_small(most, unit)} at a"
                f" factor of {joint.factor_wanted:g}. Think of a bond, or of a larger boss."
            )
    yield from _KIND_CAUTIONS[joint.kind]
    if cuts:
        yield "Before cutting: chuck key out, and turn the work by hand clear of the bed before the power."
    yield _ADVICE


def kind_cautions(kind: FitKind) -> tuple[str, ...]:
    """What to mind as a wheel is fixed so, a sentence or two each; the first is said where the work is."""
    return _KIND_CAUTIONS[kind]


def headline(found: Finding) -> str:
    """The fit as read, in one line without a full stop; of a bore known by plugs, for all they leave open."""
    unit, fit = found.case.unit, found.fit
    if found.case.bore.plugs is None:
        said = fit_headline(fit, unit)
        return f"At the {found.at_end}: {small(said)}" if found.at_end else said
    if len(found.fits) == 1:
        said = f"The bore is {'larger' if larger_only(found.case, found.fits) else 'smaller'} than {show(fit.bore_nm, unit)}"
        if found.by_size is Kind.OPEN_ENDED:
            return f"{said}, and no more is known"
        return f"{said}; there already {small(fit_headline(fit, unit))}"
    if found.by_size is Kind.GOOD:
        return f"{_sizes_between(found.fits, unit)}: in limits at both ends of what the plugs leave open"
    name = "smallest" if fit is found.fits[0] else "largest"
    return f"At its {name}, {show(fit.bore_nm, unit)}: {small(fit_headline(fit, unit))}"


def reason(found: Finding) -> str:
    """Why the fit as read is what it is."""
    unit = found.case.unit
    why = fit_reason(found.fit, unit, found.least_asked_nm)
    if found.case.bore.plugs is None:
        return f"{why}{_by_mean(found)}"
    if len(found.fits) == 1:
        if found.by_size is Kind.OPEN_ENDED:
            return "One plug alone leaves the size open at one end: whether it is good cannot be told."
        return f"{why} Further that way it is no better."
    low, high = (show(one.bore_nm, unit) for one in found.fits)
    between = f"by the plugs the bore lies between {low} and {high}"
    if found.by_size is Kind.GOOD:
        return f"It is as it should be wherever {between}."
    return f"Judged at both ends, for {between}. {why}"


def _by_mean(found: Finding) -> str:
    """What the mean comes to, where a reading decides; a sentence with a blank before."""
    if not found.at_end:
        return ""
    mean = found.at_mean.clearance_nm
    name = "a clearance" if mean > 0 else "an interference"
    return f" By the mean of the readings it is {name} of {show_small(abs(mean), found.case.unit)}."


def _sizes_between(fits: tuple[Fit, ...], unit: Unit) -> str:
    least, most = sorted((one.clearance_nm for one in fits), key=abs)
    name = "Clearance" if most >= 0 else "Interference"
    return f"{name} {show_small(abs(least), unit)} to {show_small(abs(most), unit)}"


# --- what the measurements show ---


def shown(found: Finding) -> str:
    """What the measurements show of the fit, in a sentence or two."""
    return " ".join(_shown(found))


def _shown(found: Finding) -> tuple[str, ...]:
    bore, seat = found.case.bore, found.case.seat
    if found.decision is not None:
        exact = bore.plugs is not None and seat.budget is None
        return (*found.decision.said, *(("The seat's reading is taken as exact.",) if exact else ()))
    if not seat.measured:
        return (f"The seat is the drawing's, not a measured one, {_EXACT.format('the drawing')}",)
    if bore.budget is None and seat.budget is None:
        return (f"It is not known how sure the bore and the seat are, {_EXACT.format('their readings')}",)
    which = "bore" if bore.budget is None else "seat"
    return (f"It is not known how sure the {which} is, {_EXACT.format('its readings')}",)


# --- what holds it ---


def set_words(answers: Mapping[str, Answer]) -> str:
    """Whether the joints of these wheels hold, in one line.

    >>> set_words({"W1": Answer.NOT, "W2": Answer.SERVES, "W3": Answer.NOT})
    'No good: W1, W3 do not hold'
    >>> set_words({"W1": Answer.CAUTION, "W2": Answer.SERVES})
    'Take care: 1 joint of 2'
    """
    if not answers:
        return "No joint to judge yet: no bore is logged"
    found = worst(*answers.values())
    marks = [mark for mark, answer in answers.items() if answer is found]
    if found is Answer.SERVES:
        return "Good: every joint measured holds"
    if found is Answer.NOT:
        return f"No good: {', '.join(marks)} {'does' if len(marks) == 1 else 'do'} not hold"
    return f"{found.words.capitalize()}: {len(marks)} joint{'' if len(marks) == 1 else 's'} of {len(answers)}"


def held_size(held: Forced | Bonded, unit: Unit) -> str:
    """The gap or the interference as measured."""
    if isinstance(held, Bonded):
        name, nm = ("Gap" if held.gap_nm >= 0 else "Interference"), held.gap_nm
    else:
        name, nm = ("Clearance" if held.interference_nm < 0 else "Interference"), held.interference_nm
    return f"{name} {show_small(abs(nm), unit)}"


def sizes_words(found: Finding, held: Forced | Bonded) -> str:
    """The gap or the interference by the mean, and at the reading where it is worst."""
    return f"{held_size(held, found.case.unit)}{at_worst(found)}"


def at_worst(found: Finding) -> str:
    """The size at the reading that decides, where it is not the mean, after a comma."""
    worst_nm = abs(found.fit.clearance_nm)
    return f", {show_small(worst_nm, found.case.unit)} at the {found.at_end}" if found.at_end else ""


def held_headline(held: Forced | Bonded, unit: Unit) -> str:
    """The size and what it does at the worst of what is not known, in one line without a full stop."""
    size = held_size(held, unit)
    if isinstance(held, Bonded):
        return f"{size}: {CANNOT if held.kind is Kind.GAP_NOT_TOLD else held.kind.answer.words}"
    fit = held.joint.kind.words
    tails = {
        Kind.GOOD: f"good for the {fit}",
        Kind.WEAK_PRESS: "take care, the press may not be strong enough",
        Kind.CRACKS: "no good, too tight to be called safe, the boss may crack",
        Kind.GRIP_NOT_TOLD: f"{CANNOT} whether the {fit} grips",
        Kind.MAY_NOT_GRIP: f"no good, too little to be sure that the {fit} grips at all",
    }
    return _sized(size, held.kind, fit, tails)


def held_reason(held: Forced | Bonded, unit: Unit) -> str:
    """Why: of a forced fit how hard the boss is strained at worst and what would be safe; of a bond its gap."""
    if isinstance(held, Bonded):
        first, *rest = bond_reasons(held, unit)
        return f"{first} {rest[0]}" if held.kind is Kind.GAP_NOT_TOLD else first
    return _forced_reason(held, unit)


def _forced_reason(held: Forced, unit: Unit) -> str:
    joint, kind, strained = held.joint, held.kind, held.most_strained
    safe = _safe_words(held, unit)
    if kind is Kind.NO_GRIP:
        return f"Nothing grips: the seat must be larger than the bore. {safe}"
    sentences = [_strain_words(held, "At worst the boss is"), safe]
    if kind is Kind.MAY_NOT_GRIP:
        sentences.insert(0, "Smoothing is as large as the interference: nothing may be left to grip.")
    if kind is Kind.GRIP_NOT_TOLD:
        size, off = (shown_small(nm, unit) for nm in (held.interference_nm, held.uncertainty_nm))
        sentences.insert(
            0,
            f"Cannot tell with this instrument: at worst the interference is {size} less {off}, which after"
            " smoothing leaves nothing to grip, so nothing is claimed there.",
        )
    if kind in (Kind.LOOSE, Kind.TIGHT) and joint.wanted_nm:
        least, most = (show_small(end, unit) for end in joint.wanted_nm)
        sentences.insert(0, f"An interference of {least} to {most} is wanted.")
    if kind is Kind.WEAK_PRESS and joint.press_capacity_n is not None:
        sentences.insert(
            0,
            f"Pressing it on may take {show_force(strained.axial_n, unit)} and the press gives"
            f" {show_force(joint.press_capacity_n, unit)}.",
        )
    return " ".join(sentences)


def _strain_words(held: Forced, who: str) -> str:
    """How hard the boss may be strained, against the least its iron is sure of, in one sentence."""
    if held.factor is None:
        return "The boss is not strained at all."
    return (
        f"{who} strained to {held.most_strained.hoop_mpa:.0f} MPa and the iron is sure of"
        f" {held.joint.iron.tensile_low_mpa:.0f} MPa, a factor of {floor2(held.factor)},"
        f" where {_factors_wanted(held)}."
    )


def _factors_wanted(held: Forced) -> str:
    """The factor wanted against cracking; between that and what wants no care, both."""
    wanted, careful = held.joint.factor_wanted, careful_factor()
    if held.factor is not None and wanted <= held.factor < careful:
        return f"{wanted:g} is the least and {careful:g} is good"
    return f"{wanted:g} is wanted"


def _safe_words(held: Forced, unit: Unit) -> str:
    """What interference would be safe, in one sentence."""
    safe, factor = held.safe_interference_nm, held.joint.factor_wanted
    if safe is None:
        return (
            f"No interference can be called safe at a factor of {factor:g}: the uncertainty of the"
            " readings alone is more than this boss takes. Measure more closely, or think of a bond."
        )
    if safe < 2_540:
        return (
            f"This boss takes less than {show_small(2_540, unit)} at a factor of {factor:g}: think of a bond."
        )
    return f"Up to {cut_off(safe, unit)} as measured keeps a factor of {factor:g}."


def held_cautions(held: Forced | Bonded, unit: Unit) -> tuple[str, ...]:
    """What to watch for with what holds it, one sentence or two each."""
    if isinstance(held, Bonded):
        return tuple(bond_reasons(held, unit))[2 if held.kind is Kind.GAP_NOT_TOLD else 1 :]
    return tuple(_forced_cautions(held, unit))


def _forced_cautions(held: Forced, unit: Unit) -> Iterator[str]:
    joint, heat_c, force = held.joint, held.heat_to_c, held.most_strained.axial_n
    if not joint.roughness.known:
        yield "No roughness is given, so nothing is taken off the grip for smoothing: real surfaces hold less."
    if joint.kind is FitKind.PRESS:
        yield _GUARD
        if held.press_is_enough is None and force > 0:
            yield (
                f"Pressing may take {show_force(force, unit)}:"
                " see that the press or vice gives it before you begin, for a wheel stuck half way is lost."
            )
    if heat_c is not None:
        yield _HOT
        yield (
            "Heat the whole wheel evenly, and see that a plug no smaller than the seat drops through before you try"
            " the axle: once it grabs half way it cannot be moved."
        )
        yield "Iron can crack as it grips: stand clear until it is cold. Let it cool before measuring."
        rule = heating_table()
        if heat_c > rule["caution_above_c"]:
            yield (
                f"{heat_c:.0f} C is very hot: any bond in this wheel lets go by {rule['caution_above_c']:g} C"
                f" ({rule['source']}), and it fumes. Cool the axle, or ask for less room, to need less heat."
            )
    yield _ADVICE


def making(held: Forced | Bonded, unit: Unit) -> tuple[str, ...]:
    """What making the joint takes: the press, the heat, and what would be safe."""
    if isinstance(held, Bonded):
        return ()
    said = []
    if held.pressing_force_n is not None:
        press = held.joint.press_capacity_n
        gives = (
            "what the press gives is not said"
            if press is None
            else f"the press gives {show_force(press, unit)}"
        )
        enough = {True: ", enough", False: ", not enough", None: ""}[held.press_is_enough]
        said.append(f"Pressing takes up to {show_force(held.pressing_force_n, unit)}; {gives}{enough}.")
    if held.heat_to_c is not None:
        said.append(f"Heat the wheel to {held.heat_to_c:.0f} C.")
    safe = held.safe_interference_nm
    known = (
        "No interference can be called safe."
        if safe is None
        else f"Safe up to {cut_off(safe, unit)} as measured{_without_care(held, unit)}."
    )
    return (*said, known)


def _without_care(held: Forced, unit: Unit) -> str:
    """From where on what is safe is so with care only, and why."""
    good = held.good_interference_nm
    if good is None or good < 2_540:
        return f", a factor of {held.joint.factor_wanted:g} against cracking"
    return (
        f", a factor of {held.joint.factor_wanted:g} against cracking; good up to {cut_off(good, unit)}, a factor of"
        f" {careful_factor():g}"
    )


# --- a bond ---

_GAP_WORDS = {
    GapFit.TOO_SMALL: "too small: the compound is wiped out",
    GapFit.BEST: "as it should be",
    GapFit.WIDE: "wider than is best",
    GapFit.TOO_WIDE: "more than the compound fills",
}


def bond_reasons(held: Bonded, unit: Unit) -> Iterator[str]:
    """Why the bond is good or not, and what to watch for, one sentence each."""
    joint, sheet, gap = held.joint, held.joint.sheet, held.joint.sheet.gap
    wanted = f"{show_small(gap.least_nm, unit)} to {show_small(gap.most_nm, unit)} is wanted ({gap.source})"
    nm = held.gap_nm
    name = f"A gap of {show_small(nm, unit)}" if nm >= 0 else f"An interference of {show_small(-nm, unit)}"
    yield f"{name} is {_GAP_WORDS[held.fits[0]]}; {wanted}."
    unclaimed = worst_gap_words(held, unit)
    doubtful = next((one for one in held.fits[1:] if one is not held.fits[0]), None)
    if unclaimed:
        yield f"Cannot tell with this instrument: {unclaimed}."
    elif doubtful:
        yield (
            f"With an uncertainty of {show_small(held.uncertainty_nm, unit)} the gap may also be {_GAP_WORDS[doubtful]}:"
            " measure more closely to settle it."
        )
    if joint.hottest_c > sheet.service_limit_c:
        yield (
            f"Running at {joint.hottest_c:g} C is hotter than the compound stands, {sheet.service_limit_c:g} C:"
            " the bond lets go."
        )
    placeholders = [one.key for one in sheet.reductions if one.placeholder]
    if placeholders:
        yield (
            f"Placeholders, not your compound's figures: {', '.join(placeholders)}. Type those of its data sheet"
            " before you rely on the strength."
        )
    yield "The data sheet's strength is that of a pin in a collar; it does not predict service."
    yield _VENTILATE


def worst_gap_words(held: Bonded, unit: Unit) -> str:
    """How the uncertainty takes a gap that is good to where nothing is claimed; empty where it does not."""
    gap, none = held.joint.sheet.gap, (GapFit.TOO_SMALL, GapFit.TOO_WIDE)
    if held.fits[0] in none:
        return ""
    nm, off = held.gap_nm, held.uncertainty_nm
    said = []
    for fit, sign, worst_nm, limit_nm, past in (
        (held.fits[1], "-", nm - off, gap.least_nm, "under"),
        (held.fits[2], "+", nm + off, gap.limit_nm, "over"),
    ):
        if fit in none:
            size, doubt, limit = (shown_small(one, unit) for one in (nm, off, limit_nm))
            said.append(
                f"at worst the gap is {size} {sign} {doubt} = {signed(worst_nm, unit)}, {past} {limit}"
            )
    return f"{' and '.join(said)}, so nothing is claimed there" if said else ""


def signed(nm: int, unit: Unit) -> str:
    """A gap in one system, with a minus sign where it is none."""
    return f"{'-' if nm < 0 else ''}{shown_small(abs(nm), unit)}"


# --- what it holds against what it must ---


def carried_headline(one: Carried, unit: Unit) -> str:
    """The joint and its load in one line: whichever is more to worry about."""
    if one.slips_by_doubt and one.held.kind.answer is not Answer.NOT:
        return "Cannot tell with this instrument whether it holds what is asked of it"
    invented = bool(one.load.invented)
    if not one.weak:
        # What the sizes are worth is said as the fit is; here, what they hold.
        holds = isinstance(one.held, Forced) and one.held.kind is Kind.GOOD
        return f"{held_size(one.held, unit)} holds what is asked" if holds else held_headline(one.held, unit)
    by = ", by placeholder figures" if invented else ""
    if one.at_worst.answer is Answer.NOT:
        return f"{'Would not hold' if invented else 'Does not hold'} what is asked of it{by}"
    return f"Holds what is asked, but with less in hand against slipping than is wanted{by}"


def carried_reason(one: Carried, unit: Unit) -> str:
    """Why, with what less than the factor wanted comes to."""
    slips = "" if one.at_worst.answer is Answer.SERVES else _slip_words(one)
    if one.weak:
        good = isinstance(one.held, Forced) and one.held.kind is Kind.GOOD
        return f"{slips} {held_size(one.held, unit) if good else held_headline(one.held, unit)}."
    return f"{held_reason(one.held, unit)} {slips}".strip()


def _slip_words(one: Carried) -> str:
    said = one.at_worst.words
    if one.at_worst.answer is Answer.CAUTION:
        return f"{said} Less is in hand than is wanted: it may slip."
    if one.slips_by_doubt:
        return f"{said} That is at worst; as measured: {small(one.as_measured.words)}"
    return said


def held_word(found: Finding) -> str:
    """What is wrong where it does not hold, in a few words."""
    one = found.carried
    if one is None:
        return "what it holds cannot be worked out"
    if one.held.kind.answer is not Answer.NOT:
        return "holds too little"
    if isinstance(one.held, Bonded):
        return "the bond does not hold"
    return "the boss may crack" if one.held.kind is Kind.CRACKS else "it may not grip"


def open_words(found: Finding) -> str:
    """That one plug alone gives no size to work out what it holds from."""
    plugs, unit = found.case.bore.plugs, found.case.unit
    low, high = (plugs.low_nm, plugs.high_nm) if plugs else (None, None)
    known = high if low is None else low
    size = "open at both ends"
    if known is not None:
        size = f"only known to be {'smaller' if low is None else 'larger'} than {show(known, unit)}"
    return f"The bore is {size}, so what it holds cannot be worked out"


def never_holds(
    kind: FitKind, most_nm: int, by_boss: bool, torques_nm: tuple[float, float], invented: bool, unit: Unit
) -> str:
    """That no interference both holds and leaves the boss whole, in a sentence, and what to do instead.

    most_nm: the most interference, that the boss stands (by_boss) or that is wanted, nm. torques_nm: what it holds there,
    and what it must, N m. invented: whether the loads are placeholders.
    """
    first = f"No {kind.words} in this iron both holds and stays whole here"
    if invented:
        first = f"With the placeholder loads, {small(first)}"
    limit = "the boss stands" if by_boss else "is wanted"
    ways = "Bond it, shrink it" if kind is FitKind.PRESS else "Bond it"
    return (
        f"{first}: at the most {limit} ({cut_off(most_nm, unit)}) it holds {show_torque(torques_nm[0], unit)} of"
        f" the {show_torque(torques_nm[1], unit)} it must. {ways} or change the boss."
    )


def asked(demand: SeatDemand, unit: Unit) -> str:
    """What a seat must carry and both bounds behind it, in a line without a full stop."""
    most, shared = show_torque(demand.piston_nm, unit), show_torque(demand.shared_nm, unit)
    said = {
        Turned.DRIVEN: f"all of the pistons' torque, as a driven axle; shared with the rails it would be {shared}",
        Turned.COUPLED: f"as a coupled axle: the smaller of the pistons' {most} and, shared with the rails, {shared}",
        Turned.CARRYING: "where its own wheel slips, as a carrying axle",
    }[demand.turned]
    return f"{show_torque(demand.torque_nm, unit)}, {said} ({DERIVED})"


NO_BOUND = "Water trapped in a cylinder, a locked wheel or rods that bind can ask more than any figure here."


def room_words(margin: Margin, unit: Unit) -> str:
    """How much doubt a size that is advised leaves room for; empty where none is known."""
    return (
        f" That leaves room for {show_small(margin.unsure_nm, unit)} of doubt in the readings."
        if margin.unsure_nm
        else ""
    )


def aim_sizes(what: str, window: tuple[int, int], unit: Unit) -> str:
    """To what to cut, without a full stop: "Bore to between 19.070 mm (0.7508 in) and 19.100 mm (0.7520 in)"."""
    low, high = (show(nm, unit) for nm in window)
    return f"{what} {low} and no other" if low == high else f"{what} between {low} and {high}"


def aim_words(aim: Aim, joint: Joint, unit: Unit) -> str:
    """What the sizes to aim for keep clear of, and what even they fall short of; each a sentence with a blank before."""
    return f"{_slips_under(aim, joint, unit)}{_short_words(aim, joint, unit)}{room_words(aim.margin, unit)}"


def _slips_under(aim: Aim, joint: Joint, unit: Unit) -> str:
    """Why less than the drawing's least is not enough here."""
    grip = aim.margin.grip_nm
    if joint.kind is FitKind.BOND or grip <= joint.least_nm:
        return ""
    what = "slips" if aim.short is Short.RESERVE else "has too little in hand against slipping"
    return f" With less than {show_small(grip, unit)} of interference it {what}."


def _short_words(aim: Aim, joint: Joint, unit: Unit) -> str:
    range_ = f"{show_small(joint.least_nm, unit)} to {show_small(joint.most_nm, unit)}"
    what = "gap" if joint.kind is FitKind.BOND else "interference"
    spread = aim.margin.spread
    if aim.short is Short.RANGE and spread is not None:
        return (
            f" With care: the bore's readings differ by {show_small(spread.wide_nm, unit)}, so nothing keeps the {range_} of"
            f" {what} that is wanted all along it: the smaller the seat, the better."
        )
    return {
        Short.NOTHING: "",
        Short.STRAINED: f" With care: not all of these leave a factor of {careful_factor():g} against cracking.",
        Short.RESERVE: " With care: less is in hand against slipping than is wanted.",
        Short.RANGE: f" With care: it is more than the {range_} of {what} that is wanted, though the iron can take it.",
    }[aim.short]


def slips_by_guess(grip_nm: int, unit: Unit) -> str:
    """What slips by placeholder loads, a sentence with a blank before; grip_nm: the least interference that holds them."""
    return f" By the placeholder loads less than {show_small(grip_nm, unit)} of interference slips: type your engine's own."


def no_fit_to_aim_for(found: TooNarrow, unit: Unit) -> str:
    """That a safe window is too narrow to be worked to, with what to do instead, in two sentences."""
    why = []
    if found.bores_nm is not None:
        why.append(f"your bores spread {show_small(found.bores_nm, unit)}")
    if found.unsure_nm is not None:
        why.append(f"bore and seat together are known to {show_small(found.unsure_nm, unit)} either way")
    return (
        f"No {found.kind.words} to aim for: only {show_small(found.width_nm, unit)} of interference is safe between too"
        f" little and too much, and {' and '.join(why)}. Bond it."
    )


# --- a crankpin ---

PIN_NOT_JUDGED = (
    "Not judged of the crankpin: fatigue, the torque of a return crank, a seized bush. A fit is not judged by its turning"
    " alone: the thrust bends the pin too."
)


def pin_side(found: PinFinding) -> str:
    """What the thrust does to the pin's fit at the mouth of its hole, in a sentence or two."""
    side = f"The thrust presses the pin on the side of its hole with up to {found.demand.side_mpa:.0f} MPa"
    if found.grip_mpa is None:
        return f"{side}. A data sheet gives no figure for that: a close fit carries it, not the compound's shear."
    grip = f"the fit presses with {found.grip_mpa:.0f} MPa at least ({DERIVED})"
    if found.works:
        return f"{side} and {grip}: it may open at its mouth and work there. A longer hole or a larger pin helps."
    return f"{side} and {grip}: it stays closed."


# --- all in all ---


def word(found: Finding) -> str:
    """The one answer in a word or two, for a line."""
    if found.answer is Answer.NOT and found.by_size.answer is not Answer.NOT:
        return f"{found.answer.words}, {held_word(found)}"
    return found.answer.words


def amiss(found: Finding, mark: str, where: str) -> str:
    """That a wheel is no good on its seat, in a line without a full stop: how far beside what is wanted, or why.

    where: its axle, such as "on axle 2".
    """
    fit, joint, unit = found.fit, found.fit.joint, found.case.unit
    bond = joint.kind is FitKind.BOND
    low, high = (joint.least_nm, joint.most_nm) if bond else (-joint.most_nm, -joint.least_nm)
    if found.case.bore.plugs is None and found.by_size.answer is Answer.NOT:
        if fit.clearance_nm > high:
            return f"{mark} is {shown_small(fit.clearance_nm - high, unit)} too slack {where}"
        if fit.clearance_nm < low:
            return f"{mark} is {shown_small(low - fit.clearance_nm, unit)} too tight {where}"
    return f"{mark} {where}: {word(found)}"


def opening(found: Finding) -> str:
    """What is said before the fit's own words; empty where those say it all."""
    if found.kind is found.by_size and found.kind is not Kind.OPEN_ENDED:
        return ""
    if found.answer is Answer.NOT:
        return f"No good: {held_word(found)}"
    return found.answer.words.capitalize()


def why(found: Finding) -> str:
    """The reason of the one answer, in a sentence or two."""
    if found.kind is Kind.SIZE_NOT_TOLD:
        return f"{shown(found)} {found.settling}".strip()
    if found.kind is found.by_size and found.kind is not Kind.OPEN_ENDED:
        return f"{headline(found)}."
    if found.answer is Answer.CAUTION:
        return f"{holding_headline(found)}."
    return holding_reason(found)


def holding_headline(found: Finding) -> str:
    """What it holds, in one line without a full stop."""
    if found.carried is not None:
        return carried_headline(found.carried, found.case.unit)
    if found.case.bore.open_ended:
        return open_words(found)
    return "Cannot be worked out: the figures of the joints do not hold together"


def holding_reason(found: Finding) -> str:
    """Why it holds that, or why it cannot be worked out."""
    if found.carried is not None:
        return f"{carried_reason(found.carried, found.case.unit)}{_tight_too(found)}"
    if found.case.bore.open_ended:
        return f"{open_words(found)}. Measure it, or try the other plug."
    return str(found.case.holding)


def _tight_too(found: Finding) -> str:
    """That a joint slips though it is tight, so that nobody eases it."""
    if not found.slips or found.by_size not in (Kind.TIGHT, Kind.STRAINED):
        return ""
    return " It is tight and slips all the same: less interference would hold less still."


def doubt(found: Finding) -> str:
    """Why pressing it on now wants a second thought, in the words the guard puts behind the wheel's mark."""
    if found.by_size.answer is Answer.NOT:
        strained = f" {_strain_words(found.fit.forced, 'The boss is')}" if found.fit.forced else ""
        return f"is no good. {headline(found)}.{strained}"
    if found.answer is Answer.NOT:
        return f"is no good: {held_word(found)}. {holding_reason(found)}"
    if found.undecided:
        return f"is in doubt. {_shown(found)[0]} {found.settling}".strip()
    if found.answer is Answer.CANNOT_TELL:
        return f"is in doubt. {holding_headline(found)}. {holding_reason(found)}"
    return ""


# --- the whole answer in one line ---


def line(found: Finding) -> str:
    """The one answer, what is wrong and by how much, in one line without a full stop."""
    return f"{found.answer.words.capitalize()}: {in_short(found)}"


def in_short(found: Finding) -> str:
    """What is wrong and by how much, in a few words; of what is good its size."""
    size = size_in_short(found)
    if found.kind is Kind.GOOD:
        return size
    if found.kind is found.by_size and (off := _off_by(found.fit, found.case.unit)):
        return f"{off}{_where(found)}"
    if found.answer is Answer.NOT and found.kind is not found.by_size:
        return held_word(found)
    return f"{_IN_SHORT[found.kind]}, {size}"


_IN_SHORT = {
    Kind.WIPED: "less than the compound needs",
    Kind.WIDE: "more than the compound fills best",
    Kind.TOO_WIDE: "more than the compound fills",
    Kind.NO_GRIP: "nothing grips",
    Kind.LOOSE: "too little to hold",
    Kind.TIGHT: "tighter than is wanted",
    Kind.CRACKS: "the boss may crack",
    Kind.STRAINED: "little in hand against cracking",
    Kind.OPEN_ENDED: "one plug alone leaves the size open",
    Kind.SIZE_NOT_TOLD: "not measured surely enough",
    Kind.GAP_NOT_TOLD: "not measured surely enough",
    Kind.GRIP_NOT_TOLD: "whether it grips",
    Kind.HOLD_NOT_TOLD: "whether it holds what is asked",
    Kind.HOLDS_BY_GUESS: "by placeholder loads it holds too little",
    Kind.WEAK_PRESS: "the press may not be strong enough",
    Kind.LITTLE_IN_HAND: "less in hand against slipping than is wanted",
}


def size_in_short(found: Finding) -> str:
    """The gap or the interference as read, in the build's own system; of plugs, what they leave open.

    >>> from domain.joints.judge import Case, judge
    >>> from domain.joints.terms import Joint, Size
    >>> joint = Joint(FitKind.BOND, 19_050_000, 19_050_000, 32_000_000, 14_000_000, 20_000, 50_000, "en-gjl-250")
    >>> seat = Size(19_050_000, measured=False)
    >>> size_in_short(judge(Case(joint, Size(19_080_000), seat, "", None, Unit.INCH)))
    'gap 1.2 thou'
    """
    unit, nm = found.case.unit, [one.clearance_nm for one in found.fits]
    least, most = min(nm), max(nm)
    if found.case.bore.plugs is None or len(nm) == 1:
        least = most = found.fit.clearance_nm
    name = ("gap" if found.fit.is_bond else "slack") if most > 0 else "interference"
    if least == most:
        return f"{name} {shown_small(abs(most), unit)}{_where(found)}"
    ends = sorted((abs(least), abs(most)))
    return f"{name} {shown_small(ends[0], unit)} to {shown_small(ends[1], unit)}"


def _where(found: Finding) -> str:
    """At which reading, where not the mean is the worst."""
    return f" at the {found.at_end}" if found.at_end else ""


def _off_by(fit: Fit, unit: Unit) -> str:
    """Too slack or too tight, and by how much beyond what is wanted; empty within it, and where the boss is the matter."""
    joint, gap = fit.joint, fit.clearance_nm
    low, high = (joint.least_nm, joint.most_nm) if fit.is_bond else (-joint.most_nm, -joint.least_nm)
    if gap > high:
        return _beyond("too slack", gap - high, unit)
    if gap < low and fit.kind is not Kind.CRACKS:
        return _beyond("too tight", low - gap, unit)
    return ""


def _beyond(words: str, nm: int, unit: Unit) -> str:
    """With how far, where that is anything as it is shown."""
    by = shown_small(nm, unit)
    return f"just {words}" if by == shown_small(0, unit) else f"{words} by {by}"
