"""The four answers that judging can give, the same for every question of the trade."""

from enum import StrEnum


class Answer(StrEnum):
    """What came of judging, from the best to the worst."""

    SERVES = "serves"
    CAUTION = "caution"
    CANNOT_TELL = "cannot tell"
    NOT = "not"

    @property
    def words(self) -> str:
        """The answer as a page says it.

        >>> Answer.CANNOT_TELL.words
        'cannot tell'
        """
        return {
            "serves": "good",
            "caution": "take care",
            "cannot tell": "cannot tell",
            "not": "no good",
        }[self.value]

    @property
    def look(self) -> str:
        """How a page shows it: what cannot be told is looked at with care."""
        return "caution" if self is Answer.CANNOT_TELL else self.value

    @property
    def with_care(self) -> bool:
        """Whether it is neither good nor bad: to be used with care, or not known yet."""
        return self in (Answer.CAUTION, Answer.CANNOT_TELL)


def worst(*answers: Answer) -> Answer:
    """The worst of several answers.

    >>> worst(Answer.CAUTION, Answer.CANNOT_TELL, Answer.SERVES)
    <Answer.CANNOT_TELL: 'cannot tell'>
    """
    return max(answers, key=tuple(Answer).index)
