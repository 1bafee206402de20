"""Will it swing? The work, the jaws and the chuck against the centre height and the gap of a lathe."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from domain.cutting.speeds import CuttingError
from domain.lengths import Unit, show
from domain.working import Working


class Jaws(StrEnum):
    """Which way round the jaws are in the chuck."""

    NORMAL = "normal"
    REVERSED = "reversed"


class Grips(StrEnum):
    """Whether the jaws close on the outside of the work or open against its inside."""

    OUTSIDE = "outside"
    INSIDE = "inside"


class Furthest(StrEnum):
    """What stands out furthest."""

    WORK = "the work"
    JAWS = "the jaws"
    CHUCK = "the chuck"


class SwingLimit(StrEnum):
    """What decides whether it swings."""

    BED = "bed"
    GAP_FLOOR = "gap floor"
    GAP_LENGTH = "gap length"
    GAP_BEFORE_CHUCK = "gap before chuck"


class SwingAnswer(StrEnum):
    """The answer, before anybody lifts the chuck."""

    YES = "yes"
    NO = "no"
    ONLY_IN_GAP = "only in the gap"


@dataclass(frozen=True)
class SwingLathe:
    """A lathe: axis to bed; and, where it has a gap, axis to the gap's floor and spindle nose to its far end; nm."""

    centre_height_nm: int
    gap_radius_nm: int | None = None
    gap_width_nm: int | None = None


@dataclass(frozen=True)
class JawReach:
    """How far a jaw's outer end lies further out than the face that grips, nm, by a rule laid along the jaw.

    Zero where nothing of the jaw stands further out than that face; None where it was not measured. Where more than
    one step may grip, the step nearest to the middle gives the longest reach, which is the safe one.
    """

    outside_nm: int | None = None
    inside_nm: int | None = None


@dataclass(frozen=True)
class SwingChuck:
    """A chuck: diameter of its body, nose of the spindle to its face, its jaws either way, length of a jaw; nm."""

    body_nm: int
    depth_nm: int
    normal: JawReach
    reversed: JawReach
    jaw_length_nm: int | None = None


@dataclass(frozen=True)
class SwingSetUp:
    """How the work is held.

    held_nm: diameter the jaws grip. work_nm: largest diameter of the work, flange and all. along_nm: from the
    chuck's face to the far side of whatever is too large for the bed, the work or the jaws; asked for only where one
    of them must swing in the gap.
    """

    jaws: Jaws
    grips: Grips
    held_nm: int
    work_nm: int
    along_nm: int | None = None


@dataclass(frozen=True)
class Swing:
    """Whether it swings, what decides it, and by how much.

    clearance_nm: room between what stands furthest out and what it passes, nm, negative by how much it fouls; against
    the gap's floor where the gap decides. over_bed_nm: the same against the bed. gap_short_nm: how much longer the gap
    would have to be. barely: it clears by less than 2 mm. jaws_too_far_out: more than one third of a jaw stands out of
    the body (None: length not known).
    """

    answer: SwingAnswer
    decides: SwingLimit
    clearance_nm: int
    over_bed_nm: int
    gap_short_nm: int
    largest_radius_nm: int
    furthest: Furthest
    barely: bool
    jaws_too_far_out: bool | None
    workings: tuple[Working, ...]


_SOURCE = "geometry; distances measured from the lathe's axis"
_OVERHANG = "common practice, no source; the chuck's maker may allow less"
BARELY_NM = 2_000_000  # clear by less than 2 mm: turn it by hand first (common practice, no source)


def will_it_swing(lathe: SwingLathe, chuck: SwingChuck, set_up: SwingSetUp, unit: Unit) -> Swing:
    """Whether a chuck with its jaws and the work in it turns clear of a lathe's bed, or of its gap.

    Formula: jaws' radius = held / 2 + reach; largest = the greatest of work / 2, jaws' radius, body / 2;
    clearance = centre height (or gap's radius) - largest; over the gap only where depth + along <= gap's width.
    A half nanometre goes to the larger radius. What just touches does not clear.
    Parameters: lengths in nm, above 0 (a reach 0 or more).
    Raises: CuttingError, whose `field` is "centre_height", "gap_radius", "gap_width", "body", "depth", "jaw_length",
    "jaw_reach", "held", "work" or "along".
    Source: geometry; the 2 mm and the one third are common practice, no source.

    >>> lathe = SwingLathe(89_000_000)
    >>> chuck = SwingChuck(125_000_000, 60_000_000, JawReach(50_000_000), JawReach(12_000_000))
    >>> held = SwingSetUp(Jaws.NORMAL, Grips.OUTSIDE, 90_000_000, 96_000_000)
    >>> will_it_swing(lathe, chuck, held, Unit.MM).answer.value
    'no'
    >>> turned = SwingSetUp(Jaws.REVERSED, Grips.OUTSIDE, 90_000_000, 96_000_000)
    >>> will_it_swing(lathe, chuck, turned, Unit.MM).clearance_nm
    26500000
    """
    check_lathe(lathe)
    check_chuck(chuck)
    reach_nm = _reach(chuck, set_up)
    _check_set_up(set_up, unit)
    radii = {
        Furthest.WORK: _half(set_up.work_nm),
        Furthest.JAWS: _half(set_up.held_nm) + reach_nm,
        Furthest.CHUCK: _half(chuck.body_nm),
    }
    furthest = max(radii, key=lambda one: radii[one])
    answer, decides, clearance, short = _judge(lathe, chuck, set_up, radii)
    return Swing(
        answer=answer,
        decides=decides,
        clearance_nm=clearance,
        over_bed_nm=lathe.centre_height_nm - radii[furthest],
        gap_short_nm=short,
        largest_radius_nm=radii[furthest],
        furthest=furthest,
        barely=answer is not SwingAnswer.NO and clearance < BARELY_NM,
        jaws_too_far_out=_too_far_out(chuck, radii[Furthest.JAWS]),
        workings=tuple(_workings(lathe, chuck, set_up, radii, unit)),
    )


def _half(diameter_nm: int) -> int:
    return -(-diameter_nm // 2)


def _reach(chuck: SwingChuck, set_up: SwingSetUp) -> int:
    way = chuck.normal if set_up.jaws is Jaws.NORMAL else chuck.reversed
    reach_nm = way.outside_nm if set_up.grips is Grips.OUTSIDE else way.inside_nm
    if reach_nm is None:
        raise CuttingError(
            f"How far the {set_up.jaws} jaws reach when they grip the {set_up.grips} is not known: lay a rule along"
            " a jaw, from the face that grips outward to the jaw's outer end, and type that.",
            "jaw_reach",
        )
    if reach_nm < 0:
        raise CuttingError(
            "The reach of a jaw cannot be below nothing: type 0 where no part of it stands further out than the"
            " face that grips.",
            "jaw_reach",
        )
    return reach_nm


def _judge(
    lathe: SwingLathe, chuck: SwingChuck, set_up: SwingSetUp, radii: Mapping[Furthest, int]
) -> tuple[SwingAnswer, SwingLimit, int, int]:
    """The answer, what decides it, by how much it clears, and how much the gap is too short."""
    largest_nm = max(radii.values())
    over_bed = lathe.centre_height_nm - largest_nm
    if over_bed > 0 or lathe.gap_radius_nm is None or lathe.gap_width_nm is None:
        return (SwingAnswer.YES if over_bed > 0 else SwingAnswer.NO), SwingLimit.BED, over_bed, 0
    in_gap = lathe.gap_radius_nm - largest_nm
    if in_gap <= 0:
        return SwingAnswer.NO, SwingLimit.GAP_FLOOR, in_gap, 0
    before_chuck = lathe.gap_width_nm - chuck.depth_nm
    work_or_jaws_foul = max(radii[Furthest.WORK], radii[Furthest.JAWS]) >= lathe.centre_height_nm
    if before_chuck < 0 or (before_chuck == 0 and work_or_jaws_foul):
        # However thin the work is, it stands beyond the gap's end.
        return SwingAnswer.NO, SwingLimit.GAP_BEFORE_CHUCK, over_bed, 0
    spare = before_chuck - _along(set_up, work_or_jaws_foul)
    if spare < 0:
        return SwingAnswer.NO, SwingLimit.GAP_LENGTH, over_bed, -spare
    return SwingAnswer.ONLY_IN_GAP, SwingLimit.GAP_FLOOR, in_gap, 0


def _along(set_up: SwingSetUp, work_or_jaws_foul: bool) -> int:
    """How far the gap must reach beyond the chuck's face: not at all where only the chuck is too large for the bed."""
    if not work_or_jaws_foul:
        return 0
    if not set_up.along_nm:
        raise CuttingError(
            "It swings only in the gap, if at all: measure from the chuck's face to the far side of what is too large"
            " for the bed, and type that.",
            "along",
        )
    return set_up.along_nm


def _too_far_out(chuck: SwingChuck, jaws_radius_nm: int) -> bool | None:
    if chuck.jaw_length_nm is None:
        return None
    # Doubled and trebled, so that no part of a nanometre decides.
    return 3 * (2 * jaws_radius_nm - chuck.body_nm) > 2 * chuck.jaw_length_nm


def check_lathe(lathe: SwingLathe) -> None:
    """Refuse a lathe that cannot be.

    Formula: centre height > 0; a gap has both its sizes, its radius above the centre height.
    Raises: CuttingError, field "centre_height", "gap_radius" or "gap_width".
    Source: geometry.

    >>> check_lathe(SwingLathe(89_000_000, 130_000_000, 80_000_000))
    """
    if lathe.centre_height_nm <= 0:
        raise CuttingError(
            "The lathe has no centre height: measure from its axis down to the bed.", "centre_height"
        )
    if lathe.gap_radius_nm is None and lathe.gap_width_nm is None:
        return
    if lathe.gap_radius_nm is None or lathe.gap_radius_nm <= lathe.centre_height_nm:
        raise CuttingError(
            "The gap must be deeper than the bed: measure from the lathe's axis down to its floor.",
            "gap_radius",
        )
    if lathe.gap_width_nm is None or lathe.gap_width_nm <= 0:
        raise CuttingError(
            "The gap has no length: measure along the bed from the spindle's nose to its far end.",
            "gap_width",
        )


def check_chuck(chuck: SwingChuck) -> None:
    """Refuse a chuck that cannot be.

    Formula: body, depth and, where known, the length of a jaw > 0.
    Raises: CuttingError, field "body", "depth" or "jaw_length".
    Source: geometry.

    >>> check_chuck(SwingChuck(125_000_000, 60_000_000, JawReach(), JawReach()))
    """
    if chuck.body_nm <= 0:
        raise CuttingError("The chuck has no size: measure the diameter of its body.", "body")
    if chuck.depth_nm <= 0:
        raise CuttingError(
            "The chuck has no depth: measure from the spindle's nose to the chuck's face.", "depth"
        )
    if chuck.jaw_length_nm is not None and chuck.jaw_length_nm <= 0:
        raise CuttingError(
            "The jaw has no length: measure it from end to end, or leave it empty.", "jaw_length"
        )


def _check_set_up(set_up: SwingSetUp, unit: Unit) -> None:
    """Refuse work that cannot be held so: larger than an inside, and no smaller than an outside, the jaws grip."""
    if set_up.held_nm <= 0:
        raise CuttingError(
            "The diameter the jaws grip cannot be nothing: measure it where they grip.", "held"
        )
    if set_up.work_nm <= 0:
        raise CuttingError("The work has no size: measure its largest diameter, flange and all.", "work")
    if set_up.along_nm is not None and set_up.along_nm < 0:
        raise CuttingError(
            "The length along the bed cannot be below nothing: measure it from the chuck's face.", "along"
        )
    if set_up.grips is Grips.OUTSIDE and set_up.work_nm < set_up.held_nm:
        raise CuttingError(
            f"The work's largest diameter, {show(set_up.work_nm, unit)}, cannot be less than the outside the jaws"
            f" grip, {show(set_up.held_nm, unit)}: measure both again.",
            "work",
        )
    if set_up.grips is Grips.INSIDE and set_up.work_nm <= set_up.held_nm:
        raise CuttingError(
            f"The work's largest diameter, {show(set_up.work_nm, unit)}, must be more than the inside the jaws"
            f" grip, {show(set_up.held_nm, unit)}: measure both again.",
            "work",
        )


def _workings(
    lathe: SwingLathe, chuck: SwingChuck, set_up: SwingSetUp, radii: Mapping[Furthest, int], unit: Unit
) -> Iterator[Working]:
    def text(nm: int) -> str:
        return show(nm, unit)

    jaws_nm, largest_nm = radii[Furthest.JAWS], max(radii.values())
    jaws = f"{text(set_up.held_nm)} / 2 + {text(_reach(chuck, set_up))}"
    yield Working("jaws' radius", "held diameter / 2 + reach of a jaw", jaws, text(jaws_nm), _SOURCE)
    three = f"{text(set_up.work_nm)} / 2, {text(jaws_nm)}, {text(chuck.body_nm)} / 2"
    largest = "greatest of work / 2, jaws' radius, chuck's body / 2"
    yield Working("largest radius", largest, three, text(largest_nm), _SOURCE)
    yield _room("clear of the bed", "centre height", lathe.centre_height_nm, largest_nm, unit)
    if lathe.gap_radius_nm is not None and lathe.gap_width_nm is not None:
        yield _room("clear of the gap's floor", "gap's radius", lathe.gap_radius_nm, largest_nm, unit)
        if set_up.along_nm is not None:
            spare = lathe.gap_width_nm - chuck.depth_nm - set_up.along_nm
            numbers = f"{text(lathe.gap_width_nm)} - {text(chuck.depth_nm)} - {text(set_up.along_nm)}"
            formula = "gap's width - chuck's depth - length along the bed"
            yield Working("gap to spare along the bed", formula, numbers, text(spare), _SOURCE)
    if chuck.jaw_length_nm is not None:
        out = max(0, jaws_nm - chuck.body_nm // 2)
        numbers = f"{text(jaws_nm)} - {text(chuck.body_nm)} / 2"
        formula = "jaws' radius - chuck's body / 2, and no more than jaw's length / 3"
        result = f"{text(out)}, of a jaw {text(chuck.jaw_length_nm)} long"
        yield Working("jaw out of the body", formula, numbers, result, _OVERHANG)


def _room(name: str, limit: str, limit_nm: int, largest_nm: int, unit: Unit) -> Working:
    numbers = f"{show(limit_nm, unit)} - {show(largest_nm, unit)}"
    return Working(name, f"{limit} - largest radius", numbers, show(limit_nm - largest_nm, unit), _SOURCE)
