"""Will it swing: a set-up put to a lathe and a chuck of the workshop, and what is still to be measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.cutting.operations import PresentSize, rim_now
from domain.cutting.speeds import CuttingError
from domain.cutting.swing import Swing, SwingAnswer, will_it_swing
from domain.cutting.words import swing_words
from domain.lengths import Unit, plain
from domain.repeating.settings import Setting
from webapp.facts.as_set import SetBox, set_box
from webapp.records.machines import ChuckView, MachineView
from webapp.records.views import BuildView, CastingView
from webapp.sheets.cutting.drawing_swing import SwingPicture, swing_picture
from webapp.sheets.cutting.form_swing import SwingAsked
from webapp.sheets.cutting.view_speeds import drawn_wheel, measured_wheel
from webapp.typed.texts import Typed

_OF_LATHE = {"centre_height", "gap_radius", "gap_width"}
_OF_CHUCK = {"body", "depth", "jaw_length", "jaw_reach"}
_HEADLINES = {
    SwingAnswer.YES: "it swings",
    SwingAnswer.ONLY_IN_GAP: "only in the gap",
    SwingAnswer.NO: "it does not swing",
}
_VERDICTS = {"serves": "Good", "caution": "Take care", "not": "No good"}
_TOO_FAR = (
    "A jaw would stand more than one third of its length out of the chuck's body: do not turn with it so. Turn the"
    " jaws round, grip elsewhere, or take a larger chuck."
)
_LENGTH_NOT_KNOWN = (
    "How long a jaw is, is not on the workshop's list, so whether it stands too far out of the body is not judged:"
    " look yourself, no more than one third of it may."
)


@dataclass(frozen=True, slots=True)
class Missing:
    """A figure that is not known: the sentence and where it is entered."""

    words: str
    address: str
    link: str


@dataclass(frozen=True, slots=True)
class SwingAnswered:
    """The answer: how the page marks it, its stop beside it, the set-up in words and the picture.

    `field` and `words`, the reason, alone where the set-up itself cannot be.
    """

    swing: Swing | None = None
    headline: str = ""
    answer: str = ""
    set_up_words: str = ""
    too_far: str = ""
    not_judged: str = ""
    picture: SwingPicture | None = None
    jaws_words: str = ""
    missing: Missing | None = None
    field: str = ""
    words: str = ""


def starting(
    build: BuildView, casting: CastingView, lathes: Sequence[MachineView], chucks: Sequence[ChuckView]
) -> tuple[Typed, PresentSize]:
    """The form filled in with this casting's figures, and where its diameter comes from."""
    size = rim_now(drawn_wheel(build), measured_wheel(casting))
    # A starting figure: to the nearest hundredth of a millimetre or thousandth of an inch, as it would be read.
    step = 10_000 if build.unit is Unit.MM else 25_400
    text = plain(round(size.nm / step) * step, build.unit)
    texts = {"jaws": "reversed", "grips": "outside", "held": text, "work": text}
    if lathes:
        texts["lathe"] = str(lathes[0].id)
    if chucks:
        texts["chuck"] = str(chucks[0].id)
    return Typed({name: [value] for name, value in texts.items()}), size


def swing_answer(
    asked: SwingAsked, lathes: Sequence[MachineView], chucks: Sequence[ChuckView], unit: Unit
) -> SwingAnswered:
    """Whether it swings, or which figure is missing first."""
    machine = next(one for one in lathes if one.id == asked.lathe_id)
    held = next(one for one in chucks if one.id == asked.chuck_id)
    if machine.lathe is None:
        words = f"The centre height of {machine.name} is not known: measure from its axis down to the bed, and type it."
        return SwingAnswered(missing=_lathe_missing(words, machine, "centre_height"))
    try:
        swing = will_it_swing(machine.lathe, held.chuck, asked.set_up, unit)
    except CuttingError as error:
        return _refused(error, asked, machine, held)
    return SwingAnswered(
        swing,
        words=swing_words(swing, unit),
        headline=f"{_VERDICTS[_mark(swing)]}: {_HEADLINES[swing.answer]}",
        answer=_mark(swing),
        set_up_words=_set_up_words(asked, machine, held),
        too_far=_TOO_FAR if swing.jaws_too_far_out else "",
        not_judged=_LENGTH_NOT_KNOWN if swing.jaws_too_far_out is None else "",
        jaws_words=_jaws_words(asked, held),
        picture=swing_picture(machine.lathe, held.chuck, asked.set_up, swing, unit),
    )


def _mark(swing: Swing) -> str:
    """How the page marks the answer: a jaw too far out never stands under a tick."""
    if swing.answer is SwingAnswer.NO:
        return "not"
    sure = swing.answer is SwingAnswer.YES and not swing.barely and not swing.jaws_too_far_out
    return "serves" if sure else "caution"


def swing_box(build: BuildView, casting: CastingView, found: SwingAnswered) -> SetBox:
    """How it is held, to be kept with the wheel where it swings."""
    order = build.order_of(casting)
    first, second = ("hold_front", "hold_back") if order.front_first else ("hold_back", "hold_front")
    holds = found.swing is not None and found.swing.answer is not SwingAnswer.NO
    texts = {Setting.JAWS: found.jaws_words} if holds else {}
    return set_box(build, casting, second if casting.has(order.first_cut) else first, "swing", texts)


def _jaws_words(asked: SwingAsked, held: ChuckView) -> str:
    return f"{held.name}, {asked.set_up.jaws.value}, gripping the {asked.set_up.grips.value}"


def _set_up_words(asked: SwingAsked, machine: MachineView, held: ChuckView) -> str:
    return (
        f"For {held.name} in {machine.name}, jaws {asked.set_up.jaws.value}, gripping the"
        f" {asked.set_up.grips.value}."
    )


def _refused(error: CuttingError, asked: SwingAsked, machine: MachineView, held: ChuckView) -> SwingAnswered:
    if error.field in _OF_LATHE:
        return SwingAnswered(missing=_lathe_missing(str(error), machine, error.field))
    if error.field in _OF_CHUCK:
        field = error.field
        if field == "jaw_reach":
            field = f"{asked.set_up.jaws.value}_{asked.set_up.grips.value}"
        address = f"/workshop/chucks/{held.id}#{field}"
        return SwingAnswered(missing=Missing(str(error), address, f"Type it for {held.name}"))
    return SwingAnswered(field=error.field, words=str(error))


def _lathe_missing(words: str, machine: MachineView, field: str) -> Missing:
    return Missing(words, f"/workshop/machines/{machine.id}#{field}", f"Type it for {machine.name}")
