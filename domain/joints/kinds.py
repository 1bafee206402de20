"""How a wheel is held on its axle, and everything that judging a joint can find."""

from enum import StrEnum

from domain.answer import Answer


class FitError(ValueError):
    """The sizes cannot be a wheel on an axle; the message is one sentence for the person at the bench."""


class FitKind(StrEnum):
    """How the wheel is held on its axle."""

    PRESS = "press"
    SHRINK = "shrink"
    BOND = "bond"

    @property
    def words(self) -> str:
        return {"press": "press fit", "shrink": "shrink fit", "bond": "bond"}[self.value]


class Kind(StrEnum):
    """What is found of a joint: nothing wrong, or what is wrong with it or not known of it."""

    GOOD = "good"
    # With care.
    WIDE = "wide"
    TIGHT = "tight"
    STRAINED = "strained"
    WEAK_PRESS = "weak press"
    LITTLE_IN_HAND = "little in hand"
    # Not known yet.
    SIZE_NOT_TOLD = "size not told"
    OPEN_ENDED = "open ended"
    GAP_NOT_TOLD = "gap not told"
    GRIP_NOT_TOLD = "grip not told"
    HOLD_NOT_TOLD = "hold not told"
    HOLDS_BY_GUESS = "too little by placeholder loads"
    # No good.
    WIPED = "wiped"
    TOO_WIDE = "too wide"
    TOO_HOT = "too hot"
    NO_GRIP = "no grip"
    MAY_NOT_GRIP = "may not grip"
    LOOSE = "loose"
    CRACKS = "cracks"
    HOLDS_TOO_LITTLE = "holds too little"
    NOT_WORKED_OUT = "not worked out"

    @property
    def answer(self) -> Answer:
        """What that comes to.

        >>> Kind.GRIP_NOT_TOLD.answer, Kind.CRACKS.answer
        (<Answer.CANNOT_TELL: 'cannot tell'>, <Answer.NOT: 'not'>)
        """
        return _ANSWERS.get(self, Answer.NOT)


_ANSWERS = {
    Kind.GOOD: Answer.SERVES,
    Kind.WIDE: Answer.CAUTION,
    Kind.TIGHT: Answer.CAUTION,
    Kind.STRAINED: Answer.CAUTION,
    Kind.WEAK_PRESS: Answer.CAUTION,
    Kind.LITTLE_IN_HAND: Answer.CAUTION,
    Kind.SIZE_NOT_TOLD: Answer.CANNOT_TELL,
    Kind.OPEN_ENDED: Answer.CANNOT_TELL,
    Kind.GAP_NOT_TOLD: Answer.CANNOT_TELL,
    Kind.GRIP_NOT_TOLD: Answer.CANNOT_TELL,
    Kind.HOLD_NOT_TOLD: Answer.CANNOT_TELL,
    Kind.HOLDS_BY_GUESS: Answer.CANNOT_TELL,
}
