"""What the findings about a casting's metal say."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from fractions import Fraction

from domain.lengths import Unit, show, show_small
from domain.stock.cuts import CutPurpose, StopKind
from domain.stock.guard import SideStarved, UnderSize
from domain.stock.metal_left import CutAnswer, MetalLeft
from domain.stock.ranking import SparesProposal
from domain.stock.receiving import DRAWN_WANTED, ROUGH_WANTED, Against, Flaw, Received, Rescue
from domain.stock.sharing import BadShare, CleanUp, RadialShare, Shares, signed
from domain.stock.sizes import Face
from domain.working import Working

# A verdict as a headline.
HEADLINES = {
    CleanUp.CLEANS_UP: "good",
    CleanUp.JUST: "take care",
    CleanUp.DOES_NOT: "no good",
    CleanUp.CANNOT_TELL: "cannot tell",
}
FLAW_NAMES = {
    Flaw.BLOWHOLE: "blowhole",
    Flaw.CHILL: "chilled skin",
    Flaw.SHIFT: "mould shift",
    Flaw.CRACK: "crack",
}
_FLAWS = {
    Flaw.BLOWHOLE: "Blowhole: it may run deeper than it looks, so cut it open early, and scrap the wheel if it"
    " reaches the tread, the flange, the bore or the crankpin hole.",
    Flaw.CHILL: "Chilled skin: too hard for a fine cut, so go slowly and get under the skin with the first cut.",
    Flaw.SHIFT: "Mould shift: front and back halves do not line up, so set true to the inside edge and see how"
    " uneven the rim and the bosses come out before the first cut.",
}
_CRACKED = (
    "A crack was seen: it runs further than it shows, and further still as the wheel works. Scrap it, unless a competent"
    " person who has seen it finds that it is none."
)
_LOST = (
    " It may be scrap, so ask someone who knows before it is thrown away; the finished size of the whole set may be"
    " changed to suit it where the drawing and the wheel standard allow, and then every fellow is made alike."
)


def join(words: Sequence[str]) -> str:
    """Words in a row, with an "and" before the last.

    >>> join(["rim back", "boss back", "rim front"])
    'rim back, boss back and rim front'
    """
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


# ---- As it came -----------------------------------------------------------------------------------


def received(one: Received, unit: Unit) -> str:
    """The verdict on a casting, the face that decides, and by how much."""
    if one.cracked:
        return _CRACKED
    missing = join([{**ROUGH_WANTED, **DRAWN_WANTED}[name] for name in one.missing])
    if one.where is None or one.spare_nm is None:
        return f"Cannot tell: measure {missing}."
    face, by = one.where.words, show_small(abs(one.spare_nm), unit)
    if one.verdict is CleanUp.DOES_NOT:
        return f"It does not clean up: {face} is {by} short of what is needed.{_rescue(one, unit)}"
    if one.verdict is CleanUp.CANNOT_TELL:
        return f"Cannot tell, measure {missing}; so far {face} decides, with {by} to spare."
    head = "It just cleans up" if one.verdict is CleanUp.JUST else "It cleans up"
    return f"{head}: {face} decides, with {by} more than is needed."


def _rescue(one: Received, unit: Unit) -> str:
    if one.rescue is Rescue.TRUE_OUTSIDE:
        return " Set true to the outside it would clean up, at the cost of an uneven rim."
    if one.rescue is Rescue.LESS_WOBBLE:
        wobble = show_small(one.wobble_nm or 0, unit)
        return f" Without its wobble of {wobble} it would clean up: set it true front to back again."
    return ""


def sharing(shares: Shares | None, unit: Unit) -> str:
    """What to take off back and front; the boss is named where it is known."""
    if shares is None:
        return ""
    stock = {one.face: show(max(0, one.stock_nm), unit) for one in shares.faces}
    share = f"take {stock[Face.RIM_BACK]} off the back of the rim and {stock[Face.RIM_FRONT]} off its front"
    if Face.BOSS_BACK in stock:
        share += (
            f"; off the boss {stock[Face.BOSS_BACK]} at the back and {stock[Face.BOSS_FRONT]} at the front"
        )
    if shares.verdict is CleanUp.DOES_NOT:
        return f"The best that can be done is to {share}; some of the skin will stay."
    return f"{share.capitalize()}."


def outside(share: RadialShare | None, unit: Unit) -> str:
    """What setting true to either edge of the rim costs at the other."""
    if share is None:
        return ""
    return (
        f"Set true to the inside edge the rim comes out even, and the cut outside runs from"
        f" {signed(share.cut_thin_nm, unit)} to {signed(share.cut_thick_nm, unit)}. Set true to the outside the rim"
        f" comes out {show_small(share.uneven_nm, unit)} thicker on one side than on the other."
    )


def cautions(one: Received) -> tuple[str, ...]:
    """What the sizes do not show: what was seen, what it weighs, and what was not read."""
    found = [_FLAWS[flaw] for flaw in one.flaws if flaw in _FLAWS]
    if one.weight is not None and one.weight.notable:
        found.append(_weighs(one.weight))
    readings = (("how far the inside edge is out", one.eccentricity_nm), ("the wobble", one.wobble_nm))
    unread = [name for name, nm in readings if nm is None]
    # It can only cost more metal: where there is too little already nobody need look.
    if unread and one.verdict is not CleanUp.DOES_NOT:
        found.append(
            f"Not read yet: {join(unread)}. Until then it counts as nothing here, and it will cost metal:"
            " put the dial on."
        )
    return tuple(found)


def _weighs(weight: Against) -> str:
    if weight.off < 0:
        return (
            f"It weighs {_percent(weight)} less than its fellows: there may be a hidden hole, or a face is short of"
            " metal."
        )
    return (
        f"It weighs {_percent(weight)} more than its fellows: there may be a mould shift, or it is cast thick,"
        " so measure it in several places."
    )


def _percent(weight: Against) -> str:
    return f"{float(abs(weight.off)) * 100:.1f} %"


def beside(weight: Against) -> str:
    """A weight beside the middle one."""
    percent = _percent(weight)
    if percent == "0.0 %":
        return "as the middle one"
    return f"{percent} {'less' if weight.off < 0 else 'more'} than the middle one"


def noted(flaws: Collection[Flaw]) -> str:
    """The flaws that were seen, in a word or two; empty where none was.

    >>> noted([Flaw.SHIFT, Flaw.BLOWHOLE]), noted([])
    ('blowhole and mould shift noted', '')
    """
    return f"{join([FLAW_NAMES[one] for one in Flaw if one in flaws])} noted" if flaws else ""


def weight_working(weight: Against) -> Working:
    """How a weight compares with the middle one."""
    middle = grams(weight.middle_mg)
    return Working(
        "weight against its fellows",
        "(weight - middle weight) / middle weight",
        f"({grams(weight.weight_mg)} - {middle}) / {middle}, of {weight.weighed} weighed",
        beside(weight),
        "by definition",
    )


def grams(mg: int | Fraction) -> str:
    """A weight in grams, as short as a tenth of a gram.

    >>> grams(410_000), grams(410_520), grams(20)
    ('410 g', '410.5 g', '0.02 g')
    """
    tenths = round(float(mg) / 100) / 10
    return f"{tenths or float(mg) / 1000:.10g} g"


def ranked(one: Received, unit: Unit, *, any_dialled: bool = False) -> str:
    """Why a casting stands where it does in its order; any_dialled: whether the dial was put on any of them."""
    words = received(one, unit)
    if one.faults and one.verdict is not CleanUp.DOES_NOT:
        words += f" It stands lower for {'a flaw' if one.faults == 1 else f'{one.faults} flaws'}."
    if any_dialled and not one.dialled and one.verdict not in (CleanUp.DOES_NOT, CleanUp.CANNOT_TELL):
        words += " It stands as if it ran true: the dial was not put on it."
    return words


def unfit(*, cracked: bool) -> str:
    """Why a casting is not to be put in work, as it follows its mark.

    >>> unfit(cracked=True), unfit(cracked=False)
    ('is cracked', 'does not clean up')
    """
    return "is cracked" if cracked else "does not clean up"


def spares(
    proposal: SparesProposal, *, unjudged: bool = False, cracked: Collection[str] = frozenset()
) -> str:
    """Which castings are proposed as spares, which are too small, and how many must be found.

    unjudged: whether there are castings of which nothing can be said yet; of them none is called the poorest. cracked:
    the marks of those that a crack was seen on.
    """
    said, poor, short = [], proposal.spares, proposal.short
    small = [mark for mark in proposal.unfit if mark not in cracked]
    broken = [mark for mark in proposal.unfit if mark in cracked]
    if poor:
        verb, s = ("is", "") if len(poor) == 1 else ("are", "s")
        said.append(
            f"{join(poor)} {verb} proposed as spare{s}: the poorest{' of those measured' if unjudged else ''}."
        )
    if small:
        verb = "does" if len(small) == 1 else "do"
        said.append(f"{join(small)} {verb} not clean up and should not be put in work.")
    if broken:
        said.append(
            f"{join(broken)} {'is' if len(broken) == 1 else 'are'} cracked and should not be put in work."
        )
    if short:
        said.append(f"{short} more casting{'s' if short > 1 else ''} must be found: order in time.")
    if not said and unjudged:
        return "No spare is proposed yet."
    return " ".join(said) or "Every casting is wanted: there is no spare."


# ---- At the lathe ---------------------------------------------------------------------------------


def left(one: MetalLeft, unit: Unit) -> str:
    """How much is left on a face, in how many cuts, and the stop sign."""
    if not one.cuts:
        return stop(one, unit)
    roughing = sum(cut.kind is CutPurpose.ROUGHING for cut in one.cuts)
    many = f"{roughing} roughing cut{'' if roughing == 1 else 's'} and one for finish"
    if not roughing:
        many = "one last cut takes it all"
    on = " on the radius" if one.face.on_diameter else ""
    words = f"{show(one.stock_nm, unit)}{on} is left on the {one.face.words}: {many}."
    if roughing:
        words += " Measure before the last cut."
    if one.stop is None:
        return words
    sign = one.stop
    if sign.kind not in (StopKind.WOULD_GO_UNDER, StopKind.PAST_SHARE):
        return f"{words} {stop(one, unit)}"
    # Nothing is wrong: the metal is only less than a full cut.
    cut, under = show(sign.cut_nm, unit), show(sign.under_nm, unit)
    on = " on the diameter" if one.face.on_diameter else ""
    past = "past this face's share" if sign.kind is StopKind.PAST_SHARE else f"under size{on}"
    return f"{words} A full roughing cut of {cut} would go {under} {past}."


def cuts_left(mark: str, one: MetalLeft, unit: Unit) -> str:
    """What a tick that calls a face done is asked about, where the size logged last leaves cuts on it."""
    return f"By the size of {mark} logged last, {left(one, unit)}"


def not_after(mark: str, measured: Iterable[str]) -> str:
    """What was not measured since the work that a tick ends; empty where all of it was.

    >>> not_after("W1", ["rim", "boss"])
    'Not measured after this cut: the rim and the boss of W1.'
    """
    names = " and ".join(dict.fromkeys(f"the {one}" for one in measured))
    return f"Not measured after this cut: {names} of {mark}." if names else ""


def stop(one: MetalLeft, unit: Unit) -> str:
    """The stop sign on a face; nothing where the next cut may be taken."""
    sign, face, on_diameter = one.stop, one.face.words, one.face.on_diameter
    if sign is None:
        return ""
    cut, under, depth = (show(nm, unit) for nm in (sign.cut_nm, sign.under_nm, sign.left_nm))
    match sign.kind:
        case StopKind.UNDER_SIZE if one.off_nm and sign.under_nm <= 2 * one.off_nm:
            # Nothing is lost yet: set true to the outside it might do.
            return (
                f"Stop: set true to its inside edge, the {face} does not clean up: {under} short on the"
                " diameter where it is thinnest. Look at receiving before any cut, and ask someone who knows."
            )
        case StopKind.UNDER_SIZE:
            return f"The {face} is under size by {under}: do not cut.{_LOST}"
        case StopKind.AT_SIZE if one.first and one.size_nm > one.least_size_nm:
            rest, last = show(one.size_nm - one.least_size_nm, unit), "front" if one.face.is_back else "back"
            return f"Stop: the {face} is faced far enough; what is left, {rest}, belongs to the {last}."
        case StopKind.AT_SIZE:
            return f"Stop: the {face} is at size: do not cut."
        case StopKind.LAST_CUT:
            twice = f", which is {show(2 * sign.left_nm, unit)} off the diameter" if on_diameter else ""
            return f"Stop and think: this is the last cut: take {depth} only{twice}."
        case StopKind.WOULD_GO_UNDER:
            on, of = (" on the diameter", "of depth ") if on_diameter else ("", "")
            return f"Stop: a cut of {cut} would go {under} under size{on}; {depth} {of}is left."
        case StopKind.PAST_SHARE:
            return (
                f"Stop: a cut of {cut} would go {under} past this face's share, and the"
                f" other side would be short of it; {depth} is left here."
            )
        case StopKind.TOO_DEEP:
            return (
                f"Stop: too deep for one pass: at most {depth} at a time, so {cut} in {sign.in_cuts} cuts,"
                " and measure before the last."
            )


def bad_share(share: BadShare, unit: Unit) -> str:
    """Which figure to face the first side to, where back and front share the metal badly."""
    to = None if share.face_to_nm is None else show(share.face_to_nm, unit)
    first, last = ("front", "back") if share.front_first else ("back", "front")
    if share.poorest_nm < share.least_cut_nm:
        figure = "" if to is None else f" Face the {first} to {to} at the most."
        return (
            f"Even shared as well as can be, one side has only {show(max(0, share.poorest_nm), unit)}, less than a"
            f" least cut of {show(share.least_cut_nm, unit)}: take no more than cleans up, and measure after every"
            f" cut.{figure}"
        )
    head = (
        f"Badly shared: {show(max(0, share.first_nm), unit)} off the {first} would leave"
        f" {show(max(0, share.last_nm), unit)} for the {last}."
    )
    if to is None:
        return f"{head} The {first} is already past its share: cut it no more, turn the wheel round, and face the {last}."
    return f"{head} Face the {first} to {to}, so that both have enough."


def cut_answer(answer: CutAnswer, unit: Unit) -> str:
    """Go or stop for one cut: the size after it, and what is left then."""
    one = answer.left
    if answer.after_nm is None:
        return stop(one, unit)
    brought = (
        f"A cut of {show(answer.cut_nm, unit)} brings the {one.face.measured} from {show(one.size_nm, unit)}"
        f" to {show(answer.after_nm, unit)}."
    )
    return brought + _rest(answer, unit)


def _rest(answer: CutAnswer, unit: Unit) -> str:
    one, rest, finishing = answer.left, answer.rest_nm, answer.finishing_cut_nm
    on = "of depth " if one.face.on_diameter else ""
    if rest < 0:
        return f" That is {show(-rest, unit)} {on}past the size, within what may be under: take no more."
    if rest == 0:
        return " It is the last cut: then the face is at size."
    if rest >= finishing:
        return f" {show(rest, unit)} {on}is left then."
    words = f" That leaves {show(rest, unit)}, less than a finishing cut"
    if len(one.cuts) == 1:
        # Where not even a finishing cut was left before, there is nothing better to say.
        whole = f": {show(one.stock_nm, unit)} deep instead takes it all at once"
        return f"{words}{whole if one.stock_nm > finishing else ''}."
    return f"{words}: {show(one.cuts[0].depth_nm, unit)} deep instead leaves enough for the last."


def size_troubles(
    mark: str, troubles: Sequence[UnderSize | SideStarved], unit: Unit
) -> tuple[tuple[str, str], ...]:
    """What a tick that says a size is reached is asked about: the tick's key, each once, and the sentences."""
    found: dict[str, list[str]] = {}
    for one in troubles:
        for key in one.keys:
            found.setdefault(key, []).append(_size_trouble(mark, one, unit))
    return tuple((key, " ".join(words)) for key, words in found.items())


def _size_trouble(mark: str, one: UnderSize | SideStarved, unit: Unit) -> str:
    if isinstance(one, UnderSize):
        return (
            f"{mark}'s {one.name} is {show(one.under_nm, unit)} under size: it was logged as"
            f" {show(one.size_nm, unit)}. Do not cut it further, and measure it again before you tick."
        )
    return (
        f"{mark}'s {one.name} is logged as {show(one.size_nm, unit)}, which leaves {show(one.leaves_nm, unit)} for"
        f" the {one.starved}, less than the least cut of {show(one.least_cut_nm, unit)} that cleans up a rough face:"
        " measure it again before you tick."
    )


def too_deep(one: SideStarved, unit: Unit) -> str:
    """What a side that was cut too deep leaves for the other, in a sentence."""
    return (
        f"{one.name.capitalize()}: {show(one.leaves_nm, unit)} is left for the {one.starved}, less than the least cut of"
        f" {show(one.least_cut_nm, unit)} that cleans up a rough face."
    )


def too_deep_brief(one: SideStarved, unit: Unit) -> str:
    """The same in a line, where the rest is a tap away."""
    return f"{one.name.capitalize()}: {show(one.leaves_nm, unit)} left for the {one.starved}."


def lost(sizes: Sequence[UnderSize], unit: Unit) -> str:
    """The sizes that are lost, and by how much."""
    return " and ".join(f"the {one.name} by {show(one.under_nm, unit)}" for one in sizes)
