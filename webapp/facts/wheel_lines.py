"""A wheel's verdict in one line, and the band of its joint: asked of the judges, the worst of what is known first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from domain.joints.kinds import FitKind
from domain.joints.terms import uncertainty_nm
from domain.joints.words import line, size_in_short, small
from domain.lengths import show_in
from domain.lengths.showing import figure_in
from domain.route.stages import Stage
from domain.treads.judging import TreadAnswer
from webapp.drawing.band import Band, band_of
from webapp.facts.facts import facts_of
from webapp.facts.metal import metal_words
from webapp.facts.quartering import quarter_said
from webapp.facts.received import received_brief
from webapp.facts.unfit import unfit
from webapp.facts.ways_out import ways_out
from webapp.records.heights import HeightsView
from webapp.records.views import AxleView, BuildView, CastingView


@dataclass(frozen=True, slots=True)
class HeadLine:
    """What is to be said of a wheel in one line, how it looks, and the slip or the sheet that tells the rest."""

    look: str
    words: str
    slip: str = ""
    sheet: str = ""


# What nobody can go on from comes before what wants care, and that before what is good.
_WORST_FIRST = ("not", "caution", "serves", "open")


def wheel_line(build: BuildView, casting: CastingView) -> HeadLine:
    """The worst of what is known of a wheel; of equals the latest work."""
    if casting.state == "scrapped":
        return HeadLine("not", f"Scrapped: {casting.scrap_reason}", sheet=f"/castings/{casting.id}")
    return min(_known(build, casting), key=lambda one: _WORST_FIRST.index(one.look))


def _known(build: BuildView, casting: CastingView) -> Iterator[HeadLine]:
    """From the latest work back to the first."""
    tread = tread_line(build, casting)
    # On the way to its size it is not the news; one that is measured and no good is, ticked or not.
    lost = facts_of(build.of(casting)).treads.of(casting).tread.answer is TreadAnswer.NO_GOOD
    if tread is not None and (lost or casting.has(Stage.TREAD_TURNED)):
        yield tread
    tyre = tyre_line(build, casting)
    if tyre is not None and tyre.look != "serves":
        yield tyre
    throw = throw_line(build, casting)
    if throw is not None and throw.look != "serves":
        yield throw
    # Before the metal of a face: of a casting that does not clean up it says that another must take its place.
    if unfit(build, casting) or (
        casting.receipt is not None and not casting.has(build.order_of(casting).first_cut)
    ):
        brief = received_brief(build, casting)
        if brief.answer != "serves":
            words = f"As it came: {brief.headline.lower()}"
            yield HeadLine(brief.answer, words, sheet=f"/castings/{casting.id}/receiving")
    metal = metal_words(build, casting)
    if metal is not None and metal.loud:
        yield HeadLine(
            "not" if metal.stop else "caution", f"{metal.head}. {metal.words}", sheet=metal.address
        )
    joint = joint_line(build, casting)
    if joint is not None:
        yield joint
    yield HeadLine("open", _to_do(build, casting), slip="bore")


def joint_line(build: BuildView, casting: CastingView) -> HeadLine | None:
    """What its bore makes of its seat, in one line; None without a bore."""
    joint = facts_of(build.of(casting)).joints.of(casting)
    if joint is None:
        return None
    return HeadLine(joint.answer.look, f"{line(joint.finding)}{_ways(build, casting)}", slip="bore")


def throw_line(build: BuildView, casting: CastingView) -> HeadLine | None:
    """What its throw is worth, in one line; None without one."""
    throw = facts_of(build).throws.of(casting)
    return HeadLine(throw.answer.look, throw.headline, slip="throw") if throw else None


def tread_line(build: BuildView, casting: CastingView) -> HeadLine | None:
    """What its tyre is worth, in one line; None while nothing of it is logged."""
    tyre = facts_of(build.of(casting)).treads.of(casting)
    if tyre.answer is TreadAnswer.NOT_LOGGED:
        return None
    return HeadLine(tyre.look, tyre.line, sheet=tyre.address)


def tyre_line(build: BuildView, casting: CastingView) -> HeadLine | None:
    """What its steel tyre makes of its centre, in one line; None without a tyre, or while it is not measured."""
    tyres = facts_of(build.of(casting)).tyres
    state = tyres.of(casting) if tyres.there else None
    if state is None or state.finding is None:
        return None
    return HeadLine(state.look, f"Tyre {small(state.words)}", sheet=state.address)


def heights_line(build: BuildView, axle: AxleView, heights: HeightsView | None) -> HeadLine | None:
    """What heights of crankpins say of the quartering, in one line; None without any."""
    if heights is None:
        return None
    found = facts_of(build).quartering.judged(axle, heights)
    at = f"/axles/{axle.id}/quartering"
    if found.sheet is None:
        return HeadLine("not", str(found.error), sheet=at)
    said = [
        HeadLine(one.look, f"{one.word.capitalize()}: {one.words}", sheet=at)
        for one in quarter_said(found.sheet)
    ]
    return min(said, key=lambda one: _WORST_FIRST.index(one.look))


def _ways(build: BuildView, casting: CastingView) -> str:
    if casting.has(Stage.PRESSED):
        return ""
    ways = len(ways_out(build, casting))
    return f"; {ways} ways out" if ways > 1 else "; 1 way out" if ways else ""


def _to_do(build: BuildView, casting: CastingView) -> str:
    """What is to come of a wheel that nothing is known of yet."""
    if casting.has(Stage.BORED):
        return "No bore logged yet"
    window = bore_to(build, casting)
    if window is None:
        return "Not bored yet"
    return f"Bore to {figure_in(window[0], build.unit)} to {show_in(window[1], build.unit)}"


def bore_to(build: BuildView, casting: CastingView) -> tuple[int, int] | None:
    """The least and the most to bore a casting to for its seat, nm; None where there is no such size."""
    return facts_of(build.of(casting)).joints.bore_sizes(casting)


def joint_band(build: BuildView, casting: CastingView) -> Band:
    """The gap or the interference that is wanted; and the one there is, once a bore is logged."""
    joints, unit = facts_of(build.of(casting)).joints, build.unit
    wanted = joints.wanted
    what = "gap" if wanted.kind is FitKind.BOND else "interference"
    joint = joints.of(casting)
    # What it must carry may ask for more than the drawing's least: then that is the least wanted of this wheel.
    asked = joint.finding.least_asked_nm if joint is not None else joints.margin(casting).grip_nm
    least = min(max(wanted.least_nm, asked), wanted.most_nm)
    if joint is None:
        return band_of(least, wanted.most_nm, unit, f"The {what} wanted; none measured yet")
    found = joint.finding
    nm = found.fit.clearance_nm if found.fit.is_bond else -found.fit.clearance_nm
    sure = uncertainty_nm(found.case.bore, found.case.seat)
    said = f"The {what} wanted, and {size_in_short(found)}: {joint.answer.words}"
    return band_of(least, wanted.most_nm, unit, said, (nm, sure), joint.answer.look)
