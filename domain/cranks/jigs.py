"""Whether a drilling jig fits a pattern of wheel: its plug the bores, its throw the drawing's, its bush the hole."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from domain.answer import Answer, worst
from domain.cranks.crankpins import LEAST_CLEARANCE_NM, CrankpinError
from domain.cranks.throws import FAR_NM, NEAR_NM, UNLIKE_NM
from domain.errors import TradeError
from domain.lengths import NM_PER_MM, Unit, such

# A drill or reamer turns in its bush by about this much slack: common practice, no source.
BUSH_SLACK_NM = NM_PER_MM // 20


@dataclass(frozen=True)
class Jig:
    """A drilling jig of the workshop: its throw, the plug that goes in the bore, and the bush that guides the drill, nm."""

    name: str
    throw_nm: int
    plug_nm: int
    bush_nm: int


class JigPart(StrEnum):
    """What is judged of a jig."""

    PLUG = "plug"
    THROW = "throw"
    BUSH = "bush"


@dataclass(frozen=True)
class JigFit:
    """A jig judged for a pattern of wheel; `off_nm` is each part's departure.

    Of the plug the least clearance in a bore, below 0 where it does not enter; of the throw and the bush what they have more
    than the drawing. shake_nm: in the largest bore, on the diameter. measured: whether the bores are, and not only drawn.
    """

    jig: Jig
    parts: Mapping[JigPart, Answer]
    off_nm: Mapping[JigPart, int]
    shake_nm: int
    measured: bool

    @property
    def answer(self) -> Answer:
        """The worst of the three."""
        return worst(*self.parts.values())


def check_jig(jig: Jig, unit: Unit = Unit.MM) -> None:
    """Refuse a jig that cannot be: a size of nothing, or a bush that would run into the plug.

    Raises: TradeError with the field's name.

    >>> check_jig(Jig("A", 0, 19_000_000, 8_000_000))
    Traceback (most recent call last):
    domain.errors.TradeError: A throw is more than nothing: type it from plug centre to bush centre, such as 28.5 mm.
    """
    if jig.throw_nm <= 0:
        raise TradeError(
            "A throw is more than nothing: type it from plug centre to bush centre, such as"
            f" {such(unit, '28.5 mm', '1.125 in')}.",
            "throw",
        )
    for size, field in ((jig.plug_nm, "plug"), (jig.bush_nm, "bush")):
        if size <= 0:
            raise TradeError(
                f"The {field} has a diameter: measure it and type it, such as {such(unit, '9.5 mm', '3/8 in')}.",
                field,
            )
    if 2 * jig.throw_nm <= jig.plug_nm + jig.bush_nm:
        raise TradeError("With this throw the bush would run into the plug: check all three sizes.", "throw")


def judge_jig(jig: Jig, throw_nm: int, hole_nm: int, bores_nm: Sequence[int], *, measured: bool) -> JigFit:
    """Say whether a jig fits the wheels of a pattern.

    Formula: clearance = bore - plug, at least 0.005 mm in the smallest, the shake in the largest no more than throws may be
    unlike; throw and bush less the drawing's: a throw is judged as a wheel's own, no bush is larger than the hole by more
    than a drill's slack, and a smaller one guides a pilot.
    bores_nm: as measured, or the drawing's alone; one or more, nm.
    Raises: CrankpinError without a bore.
    Source: geometry; the limits are common practice, no source.

    >>> judge_jig(Jig("A", 28_000_000, 19_040_000, 8_000_000), 28_000_000, 8_000_000, [19_050_000], measured=True).answer
    <Answer.SERVES: 'serves'>
    """
    if not bores_nm:
        raise CrankpinError("There is no bore to fit the plug to yet: log at least one, such as 19.05 mm.")
    tight, shake = min(bores_nm) - jig.plug_nm, max(bores_nm) - jig.plug_nm
    throw, bush = jig.throw_nm - throw_nm, jig.bush_nm - hole_nm
    plug_answer = Answer.SERVES
    if tight < 0:
        plug_answer = Answer.NOT if measured else Answer.CANNOT_TELL
    elif tight < LEAST_CLEARANCE_NM or shake > UNLIKE_NM:
        plug_answer = Answer.CAUTION
    far = abs(throw)
    throw_answer = Answer.SERVES if far <= NEAR_NM else Answer.CAUTION if far <= FAR_NM else Answer.NOT
    bush_answer = Answer.SERVES if abs(bush) <= BUSH_SLACK_NM else Answer.NOT if bush > 0 else Answer.CAUTION
    return JigFit(
        jig,
        {
            JigPart.PLUG: plug_answer,
            JigPart.THROW: throw_answer,
            JigPart.BUSH: bush_answer,
        },
        {JigPart.PLUG: tight, JigPart.THROW: throw, JigPart.BUSH: bush},
        shake,
        measured,
    )
