"""What a casting is scrapped for, where the sheet that led here has judged it."""

from __future__ import annotations

from dataclasses import dataclass

from domain.answer import Answer
from domain.stock import words as say
from webapp.facts.facts import facts_of
from webapp.facts.lost import lost_sizes
from webapp.facts.measured_views import measured_view
from webapp.facts.received import received_brief
from webapp.facts.unfit import unfit
from webapp.records.views import BuildView, CastingView
from webapp.sheets.wheel.form_castings import CRACKED, DOES_NOT_CLEAN_UP, TOO_LARGE, UNDER_SIZE

# The sheets that judge, the latest work first.
_JUDGES = ("metal", "bore", "receiving")


@dataclass(frozen=True, slots=True)
class ScrapReason:
    """The sheet that it was judged on, the reason to choose from the form's own, and the figure it was judged by."""

    origin: str
    reason: str
    words: str


def known_reason(build: BuildView, casting: CastingView, origin: str) -> ScrapReason | None:
    """The reason as a judge finds it now, that of the sheet that led here before the others; None where none finds any.

    An address names the sheet only: it can choose nothing that the figures do not say.
    """
    found = (_of_sheet(build, casting, one) for one in (origin, *_JUDGES))
    return next((one for one in found if one is not None), None)


def _of_sheet(build: BuildView, casting: CastingView, origin: str) -> ScrapReason | None:
    if origin == "bore":
        joint = facts_of(build.of(casting)).joints.of(casting)
        if casting.bore and joint and joint.answer is Answer.NOT and joint.finding.fit.too_large:
            bore = measured_view(build, casting.bore).size_words
            return ScrapReason(origin, TOO_LARGE, f"Bore {bore}. {joint.headline}.")
    if origin == "receiving" and unfit(build, casting):
        cracked = casting.receipt is not None and casting.receipt.crack
        reason = CRACKED if cracked else DOES_NOT_CLEAN_UP
        return ScrapReason(origin, reason, received_brief(build, casting).words)
    if origin == "metal":
        lost = lost_sizes(build, casting)
        if lost:
            return ScrapReason(origin, UNDER_SIZE, f"Under size: {say.lost(lost, build.unit)}.")
    return None
