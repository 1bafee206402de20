"""What to do with a wheel whose fit does not serve: the domain's remedies, with exchanges among the build's own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from domain.answer import Answer
from domain.cutting.reaming import ream_again, reaming_speed
from domain.cutting.words import ream_again_words
from domain.joints.fit import bore_window
from domain.joints.remedies import (
    OtherSeat,
    Remedy,
    against_slipping,
    leads_to_slip,
    remedies_between,
    remedies_for,
)
from domain.pairing.remedies_plan import Swap, swaps
from domain.pairing.types import Grade, PairCasting, PairSeat
from domain.route.stages import Stage
from webapp.facts.facts import facts_of
from webapp.facts.joints import seat_words
from webapp.facts.unfit import unfit
from webapp.facts.wheel_joint import WheelJoint
from webapp.records.views import SIDES, BuildView, CastingView

_MOST_SWAPS = 3  # more to choose from is no help at the bench


# The sheets where a way out goes on; the others are done at the lathe, and told of in words alone.
_LOOSER = {"turn_seat", "suit_seat", "bore_out"}
_FITS, _REAMING = "/builds/{build}/fits?pattern={pattern}", "/builds/{build}/reaming?pattern={pattern}"
_LOG = "/castings/{casting}/bore?open=log#log-bore-{casting}"
_SEAT = "/axles/{axle}/seats/{side}?open=log#log-seat-{side}"
_SHEETS = {
    "measure": _LOG,
    "ream_again": _REAMING,
    "swap": _FITS,
    "other_seat": _FITS,
    "turn_seat": _SEAT,
    "suit_seat": _SEAT,
    "loads": "/builds/{build}/joints?open=figures&pattern={pattern}",
    "more_grip": _FITS,
    "throw_again": "/castings/{casting}/throw?open=log#log-throw-{casting}",
    "spare": _FITS,
    "bore_out": _LOG,
    "bore_for_bond": _LOG,
    "scrap": "/castings/{casting}/scrap?from=bore",
}


@dataclass(frozen=True, slots=True)
class WayOut:
    """One way out: what it is, what it says, and where it goes on; no address where it has no sheet."""

    key: str
    words: str
    address: str


class SizeOf(int):
    """A size that remembers whose it is: equal sizes, differently measured, are not equally good."""

    key: str

    @classmethod
    def of(cls, size_nm: int, key: str) -> SizeOf:
        """This size of that casting or seat."""
        size = cls(size_nm)
        size.key = key
        return size


def grade_by(answer: Callable[[str, str], Answer]) -> Grade:
    """Judges a bore on a seat by whose they are: by the keys of casting and seat."""

    def grade(bore: int, seat: int) -> Answer:
        assert isinstance(bore, SizeOf) and isinstance(seat, SizeOf)  # as they were given
        return answer(bore.key, seat.key)

    return grade


def way(casting: CastingView, key: str, words: str) -> WayOut:
    """A way out with the address where it goes on, if the wheel has what that sheet is about."""
    address = _SHEETS.get(key, "")
    if casting.state == "scrapped" or ("{side}" in address and not casting.side):
        address = ""
    there = {"build": casting.build_id, "casting": casting.id, "pattern": casting.pattern_id}
    return WayOut(key, words, address.format(**there, axle=casting.axle_id, side=casting.side))


def ways_out(build: BuildView, casting: CastingView) -> tuple[WayOut, ...]:
    """What to do, least work first: ream again, exchange wheels, which cuts no metal, and so on; scrap comes last."""
    joint = facts_of(build.of(casting)).joints.of(casting)
    if joint is None or (joint.finding.by_size.answer is Answer.SERVES and not joint.finding.slips):
        return ()
    found = _swaps(build, casting)
    named = {swap.there.label for swap in found if swap.there is not None}
    # An exchange names the seat and what becomes of the other wheel, so trying that seat need not be said twice.
    remedies = [
        way(casting, remedy.key, remedy.words)
        for remedy in _remedies(build, casting)
        if not (remedy.key == "other_seat" and any(label in remedy.words for label in named))
    ]
    exchanges = (way(casting, "swap", swap.words) for swap in found)
    again = () if joint.finding.slips else _ream_again(build, casting, joint)
    return (*again, *exchanges, *remedies)


def _ream_again(build: BuildView, casting: CastingView, joint: WheelJoint) -> tuple[WayOut, ...]:
    """The first thing to try with a hole that came out a little tight, while the wheel is not on its axle."""
    fit, bore = joint.finding.at_mean, casting.bore
    tools = facts_of(build.of(casting)).reaming.tools
    # A wrench has no faster and slower.
    if bore is None or bore.by_plug or tools.hand_reamers or casting.has(Stage.PRESSED):
        return ()
    window = bore_window(fit.joint, fit.seat_nm, build.unit)
    cut_by = next((view.reamer for view in build.reamers if view.id == bore.reamer_id), None)
    found = ream_again(fit.bore_nm, window[0], cut_by, build.unit) if window else None
    if found is None:
        return ()
    size = cut_by.nominal_nm if cut_by else fit.bore_nm
    most_rpm = reaming_speed(size, build.iron, build.unit, tools.reamer).most_rpm
    return (way(casting, "ream_again", ream_again_words(found, build.unit, most_rpm)),)


def _remedies(build: BuildView, casting: CastingView) -> list[Remedy]:
    joints = facts_of(build.of(casting)).joints
    joint, others = joints.of(casting), tuple(_other_seats(build, casting))
    assert joint is not None  # there is a fit to put right
    found, unit, margin = joint.finding, build.unit, joints.margin(casting)
    if found.case.bore.plugs is not None:
        return remedies_between(found.fits, unit, others, margin)
    turned = joint.seat_measured
    seat_margin = joints.seat_margin(casting)
    remedies = list(
        remedies_for(found.at_mean, unit, others, margin, seat_turned=turned, seat_margin=seat_margin)
    )
    if found.carried is None:
        return remedies
    if not found.slips:
        return [one for one in remedies if not leads_to_slip(one, found.at_mean, found.carried)]
    # What slips is held by more interference and never by less, tight as it may be.
    more = list(against_slipping(found.at_mean, found.carried, unit, margin, seat_turned=turned))
    named = {one.key for one in more} | _LOOSER
    return [*more, *(one for one in remedies if one.key not in named)]


def _other_seats(build: BuildView, casting: CastingView) -> Iterator[OtherSeat]:
    """The measured seats on which this wheel would serve instead, and whose own wheel is not on yet."""
    joints = facts_of(build.of(casting)).joints
    for axle in build.of(casting).axles:
        for side, measured in axle.seats.items():
            holder = axle.at(side)
            if holder is not None and (holder.id == casting.id or holder.has(Stage.PRESSED)):
                continue
            there = joints.on(casting, (axle.id, side))
            if there is not None and there.answer is Answer.SERVES:
                note = "the place is empty" if holder is None else f"{holder.mark} is meant for it now"
                yield OtherSeat(seat_words(axle, side), measured.mean_nm, note)


def _swaps(build: BuildView, casting: CastingView) -> tuple[Swap, ...]:
    """The best exchanges for a wheel that has a measured bore and seat and is not on its axle yet."""
    own = build.axle(casting.axle_id)
    if own is None or casting.side not in own.seats or not _measured(casting) or casting.has(Stage.PRESSED):
        return ()
    seats: list[PairSeat] = []
    today: dict[str, str] = {}
    pressed: dict[str, str] = {}
    places = {}
    for axle in build.of(casting).axles:
        for side in SIDES:
            key, wheel = f"{axle.id} {side}", axle.at(side)
            places[key] = axle.id, side
            if wheel is not None:
                (pressed if wheel.has(Stage.PRESSED) else today)[key] = str(wheel.id)
            if side in axle.seats:
                seats.append(PairSeat(key, seat_words(axle, side), SizeOf.of(axle.seats[side].mean_nm, key)))
    wheels = {str(c.id): c for c in build.of(casting).castings}
    castings = [
        PairCasting(str(c.id), c.mark, SizeOf.of(c.bore.mean_nm, str(c.id)))
        for c in build.of(casting).castings
        if c.bore is not None
        and _measured(c)
        and c.state != "scrapped"
        and (c.id == casting.id or not unfit(build, c))
    ]
    joints = facts_of(build.of(casting)).joints

    def answer(wheel: str, seat: str) -> Answer:
        there = joints.on(wheels[wheel], places[seat])
        assert there is not None  # it has a bore
        return there.answer

    middle, grade = joints.wanted.middle_nm, grade_by(answer)
    return swaps(
        str(casting.id), castings, seats, today, middle, grade, build.unit, pressed, most=_MOST_SWAPS
    )


def _measured(casting: CastingView) -> bool:
    """Whether the bore is known as one size: plugs give none to pair by."""
    return casting.bore is not None and not casting.bore.by_plug
