"""The report on a forced joint in words: its headline, its reason, and what to watch for."""

from collections.abc import Iterator

from domain.joints.fit_types import FitKind
from domain.joints.fit_words import floor2
from domain.joints.forced_checks import heating_table
from domain.joints.forced_types import ForcedFinding, ForcedJoint, State
from domain.lengths import Unit, show, show_in


def headline(joint: ForcedJoint, finding: ForcedFinding, interference_nm: int, unit: Unit) -> str:
    """The interference in both systems and what it does, in one line without a full stop."""
    fit = joint.kind.words
    name = "Clearance" if interference_nm < 0 else "Interference"
    size = f"{name} {show(abs(interference_nm), unit)}"
    return {
        ForcedFinding.GOOD: f"{size}: serves the {fit}",
        ForcedFinding.STRAINED: f"{size}: serves the {fit} with little in hand, take care",
        ForcedFinding.TIGHT: f"{size}: tighter than the {fit} wants, take care",
        ForcedFinding.WEAK_PRESS: f"{size}: serves the {fit}, but the press may not be strong enough",
        ForcedFinding.NO_GRIP: f"{size} where a {fit} was wanted",
        ForcedFinding.CRACKS: f"{size}: too tight to be called safe, the boss may crack",
        ForcedFinding.CANNOT_TELL: f"{size}: cannot be told with this instrument whether the {fit} grips",
        ForcedFinding.UNSURE_GRIP: f"{size}: too little to be sure that the {fit} grips at all",
        ForcedFinding.LOOSE: f"{size}: too little, the {fit} will not hold",
    }[finding]


def reason(
    joint: ForcedJoint,
    finding: ForcedFinding,
    strained: State,
    safe_nm: int | None,
    unit: Unit,
    measured_nm: tuple[int, int],
) -> str:
    """Why: how hard the boss is strained at worst, and what interference would be safe.

    measured_nm: the interference and its expanded (k = 2) uncertainty, nm.
    """
    if finding is ForcedFinding.NO_GRIP:
        return f"Nothing grips: the seat must be larger than the bore. {safe_words(joint, safe_nm, unit)}"
    sentences = [strain_words(joint, strained), safe_words(joint, safe_nm, unit)]
    if finding is ForcedFinding.UNSURE_GRIP:
        sentences.insert(0, "Smoothing is as large as the interference: nothing may be left to grip.")
    if finding is ForcedFinding.CANNOT_TELL:
        size, off = (show_in(nm, unit) for nm in measured_nm)
        sentences.insert(
            0,
            f"Cannot be told with this instrument: at worst the interference is {size} less {off}, which after"
            " smoothing leaves nothing to grip, so nothing is claimed there.",
        )
    if finding in (ForcedFinding.LOOSE, ForcedFinding.TIGHT) and joint.wanted_nm:
        least, most = (show(end, unit) for end in joint.wanted_nm)
        sentences.insert(0, f"An interference of {least} to {most} is wanted.")
    if finding is ForcedFinding.WEAK_PRESS and joint.press_capacity_n is not None:
        sentences.insert(
            0,
            f"Pressing it on may take {strained.axial_n:.0f} N and the press gives {joint.press_capacity_n:g} N.",
        )
    return " ".join(sentences)


def strain_words(joint: ForcedJoint, strained: State) -> str:
    """How hard the boss may be strained, against the least its iron is sure of, in one sentence."""
    if strained.factor_low is None:
        return "The boss is not strained at all."
    return (
        f"At worst the boss is strained to {strained.hoop_mpa:.0f} MPa and the iron is sure of"
        f" {joint.iron.tensile_low_mpa:.0f} MPa, a factor of {floor2(strained.factor_low)},"
        f" where {joint.factor_wanted:g} is wanted."
    )


def safe_words(joint: ForcedJoint, safe_nm: int | None, unit: Unit) -> str:
    """What interference would be safe, in one sentence."""
    if safe_nm is None:
        return (
            f"No interference can be called safe at a factor of {joint.factor_wanted:g}: the uncertainty of the"
            " readings alone is more than this boss takes. Measure more closely, or think of a bond."
        )
    if safe_nm < 2_540:
        return (
            f"This boss takes less than 0.0001 in (0.0025 mm) at a factor of {joint.factor_wanted:g}:"
            " think of a bond."
        )
    return f"Up to {cut_off(safe_nm, unit)} as measured keeps a factor of {joint.factor_wanted:g}."


def cut_off(nm: int, first: Unit) -> str:
    """A length in both systems, each cut off: a limit rounded up in either and worked to would be passed.

    nm: 0 or more.

    >>> cut_off(22_529, Unit.MM)
    '0.022 mm (0.0008 in)'
    """
    metric, inch = show_in(nm // 1_000 * 1_000, Unit.MM), show_in(nm // 2_540 * 2_540, Unit.INCH)
    return f"{metric} ({inch})" if first is Unit.MM else f"{inch} ({metric})"


def cautions(joint: ForcedJoint, strained: State, heat_c: float | None, enough: bool | None) -> Iterator[str]:
    """What to watch for, one sentence or two each; the last says who decides."""
    if not joint.roughness.known:
        yield "No roughness is given, so nothing is taken off the grip for smoothing: real surfaces hold less."
    if joint.kind is FitKind.PRESS:
        yield "Press brittle iron behind a guard: a boss can burst without warning."
        if enough is None and strained.axial_n > 0:
            yield (
                f"Pressing may take {strained.axial_n:.0f} N ({strained.axial_n / 9.80665:.0f} kgf):"
                " see that the press or vice gives it before you begin, for a wheel stuck half way is lost."
            )
    if heat_c is not None:
        yield "A heated wheel does not look hot: gloves, tongs, a clear way to the axle, nothing near that burns."
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
    yield "The program advises: the builder, local codes and a competent person decide."
