"""Will it swing? The work, the jaws and the chuck against the centre height and the gap of a lathe."""

from collections.abc import Iterator

from domain.cutting.swing_checks import check_chuck, check_lathe, check_set_up
from domain.cutting.swing_types import (
    Grips,
    JawReach,
    Jaws,
    Swing,
    SwingAnswer,
    SwingChuck,
    SwingError,
    SwingLathe,
    SwingSetUp,
)
from domain.cutting.swing_workings import swing_workings
from domain.lengths import Unit, show

__all__ = [
    "BARELY_NM",
    "CAUTIONS",
    "Grips",
    "JawReach",
    "Jaws",
    "Swing",
    "SwingAnswer",
    "SwingChuck",
    "SwingError",
    "SwingLathe",
    "SwingSetUp",
    "will_it_swing",
]

BARELY_NM = 2_000_000  # clear by less than 2 mm: turn it by hand first (common practice, no source)
CAUTIONS = (
    "Chuck key out before anything turns.",
    "Turn it by hand through one whole turn before power, with the saddle where the cut will be.",
    "Over the cross-slide there is less room than over the bed: see that the saddle and the tool clear the work.",
    "No jaw may stand further out of the chuck's body than its maker allows: as a rule no more than one third of"
    " its length.",
    "An answer here goes by what was typed: measure, look, and decide yourself.",
)


def will_it_swing(lathe: SwingLathe, chuck: SwingChuck, set_up: SwingSetUp, unit: Unit) -> Swing:
    """Whether a chuck with its jaws and the work in it turns clear of a lathe's bed, or of its gap.

    Formula: jaws' radius = held / 2 + reach; largest = the greatest of work / 2, jaws' radius, body / 2;
    clearance = centre height (or gap's radius) - largest; over the gap only where depth + along <= gap's width.
    A half nanometre goes to the larger radius. What just touches does not clear.
    Parameters: lengths in nm, above 0 (a reach 0 or more); `unit`, the system of the words.
    Returns: the answer, with clearance and radius in nm.
    Raises: SwingError, whose `field` is "centre_height", "gap_radius", "gap_width", "body", "depth", "jaw_length",
    "jaw_reach", "held", "work" or "along".
    Source: geometry; the 2 mm and the one third are common practice, no source.

    >>> lathe = SwingLathe(89_000_000)
    >>> chuck = SwingChuck(125_000_000, 60_000_000, JawReach(50_000_000), JawReach(12_000_000))
    >>> held = SwingSetUp(Jaws.NORMAL, Grips.OUTSIDE, 90_000_000, 96_000_000)
    >>> will_it_swing(lathe, chuck, held, Unit.MM).words.partition(":")[0]
    'No, it does not swing'
    >>> turned = SwingSetUp(Jaws.REVERSED, Grips.OUTSIDE, 90_000_000, 96_000_000)
    >>> will_it_swing(lathe, chuck, turned, Unit.MM).clearance_nm
    26500000
    """
    check_lathe(lathe)
    check_chuck(chuck)
    reach_nm = _reach(chuck, set_up)
    check_set_up(set_up, unit)
    radii = _radii(chuck, set_up, reach_nm)
    what = max(radii, key=lambda name: radii[name])
    largest = radii[what]
    answer, clearance, why = _judge(lathe, chuck, set_up, radii, unit)
    barely = answer is not SwingAnswer.NO and clearance < BARELY_NM
    too_far = _too_far_out(chuck, radii["the jaws"])
    words = _words(answer, what, show(largest, unit), why, barely)
    cautions = (*_first_cautions(barely, too_far), *CAUTIONS)
    workings = tuple(swing_workings(lathe, chuck, set_up, reach_nm, radii, largest, unit))
    return Swing(answer, clearance, largest, what, barely, too_far, words, cautions, workings)


def _half(diameter_nm: int) -> int:
    return -(-diameter_nm // 2)


def _reach(chuck: SwingChuck, set_up: SwingSetUp) -> int:
    way = chuck.normal if set_up.jaws is Jaws.NORMAL else chuck.reversed
    reach_nm = way.outside_nm if set_up.grips is Grips.OUTSIDE else way.inside_nm
    if reach_nm is None:
        raise SwingError(
            "jaw_reach",
            f"How far the {set_up.jaws} jaws reach when they grip the {set_up.grips} is not known: lay a rule along"
            " a jaw, from the face that grips outward to the jaw's outer end, and type that.",
        )
    if reach_nm < 0:
        raise SwingError(
            "jaw_reach",
            "The reach of a jaw cannot be below nothing: type 0 where no part of it stands further out than the"
            " face that grips.",
        )
    return reach_nm


def _radii(chuck: SwingChuck, set_up: SwingSetUp, reach_nm: int) -> dict[str, int]:
    return {
        "the work": _half(set_up.work_nm),
        "the jaws": _half(set_up.held_nm) + reach_nm,
        "the chuck": _half(chuck.body_nm),
    }


def _judge(
    lathe: SwingLathe, chuck: SwingChuck, set_up: SwingSetUp, radii: dict[str, int], unit: Unit
) -> tuple[SwingAnswer, int, str]:
    """The answer, the clearance that decides it, and the end of the sentence that says so."""
    largest_nm = max(radii.values())
    beyond_chuck_nm = max(radii["the work"], radii["the jaws"])
    over_bed = lathe.centre_height_nm - largest_nm
    if over_bed > 0:
        return SwingAnswer.YES, over_bed, f"{show(over_bed, unit)} clear of the bed"
    fouls = f"{show(-over_bed, unit)} too far for the bed" if over_bed else "where the bed begins: it touches"
    if lathe.gap_radius_nm is None or lathe.gap_width_nm is None:
        return SwingAnswer.NO, over_bed, fouls
    in_gap = lathe.gap_radius_nm - largest_nm
    if in_gap <= 0:
        floor = (
            f"{show(-in_gap, unit)} too far for the gap too"
            if in_gap
            else "where the gap's floor begins: it touches"
        )
        return SwingAnswer.NO, in_gap, floor
    before_chuck = lathe.gap_width_nm - chuck.depth_nm
    if before_chuck < 0 or (before_chuck == 0 and beyond_chuck_nm >= lathe.centre_height_nm):
        # However thin the work is, it stands beyond the gap's end.
        return SwingAnswer.NO, over_bed, f"{fouls}, and the gap ends before the chuck's face"
    spare = before_chuck - _along(set_up, beyond_chuck_nm >= lathe.centre_height_nm)
    if spare < 0:
        return SwingAnswer.NO, over_bed, f"{fouls}, and the gap is {show(-spare, unit)} too short for it"
    return SwingAnswer.ONLY_IN_GAP, in_gap, f"{fouls}, but {show(in_gap, unit)} clear of the gap's floor"


def _along(set_up: SwingSetUp, work_or_jaws_foul: bool) -> int:
    """How far the gap must reach beyond the chuck's face: not at all where only the chuck is too large for the bed."""
    if not work_or_jaws_foul:
        return 0
    if not set_up.along_nm:
        raise SwingError(
            "along",
            "It swings only in the gap, if at all: measure from the chuck's face to the far side of what is too large"
            " for the bed, and type that.",
        )
    return set_up.along_nm


def _too_far_out(chuck: SwingChuck, jaws_radius_nm: int) -> bool | None:
    if chuck.jaw_length_nm is None:
        return None
    # Doubled and trebled, so that no part of a nanometre decides.
    return 3 * (2 * jaws_radius_nm - chuck.body_nm) > 2 * chuck.jaw_length_nm


def _words(answer: SwingAnswer, what: str, radius: str, why: str, barely: bool) -> str:
    start = {
        SwingAnswer.YES: "Yes, it swings",
        SwingAnswer.NO: "No, it does not swing",
        SwingAnswer.ONLY_IN_GAP: "It swings only in the gap",
    }[answer]
    stands = "stand" if what == "the jaws" else "stands"
    tail = {
        SwingAnswer.YES: "",
        SwingAnswer.NO: " Do not mount it: turn the jaws round, grip elsewhere, or take another chuck or lathe.",
        SwingAnswer.ONLY_IN_GAP: " Take the gap piece out first.",
    }[answer]
    hand = " Barely: turn it by hand first." if barely else ""
    return f"{start}: {what} {stands} out furthest, {radius} from the axis, {why}.{tail}{hand}"


def _first_cautions(barely: bool, too_far: bool | None) -> Iterator[str]:
    if barely:
        yield "It clears by less than 2 mm: a jaw moved to set the work true can take that up. Turn it by hand again then."
    if too_far:
        yield "More than one third of a jaw stands out of the chuck's body: turn the jaws round or take a larger chuck."
