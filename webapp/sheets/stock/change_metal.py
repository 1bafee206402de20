"""Writing down the sizes measured after a cut. A size is never overwritten; a misread one has another stand in for it."""

from __future__ import annotations

from collections.abc import Mapping

from domain.lengths import Length
from domain.route.guards import Strength
from domain.stock import words as say
from domain.stock.guard import objection_to_size
from webapp.acts.size_log import SizeForm, log_casting_sizes
from webapp.db import Db
from webapp.facts.metal_sizes import lost_sizes, receipt_nm, terms_of
from webapp.records.change import Asked
from webapp.records.outcome import Refused, Unconfirmed
from webapp.records.views import BuildView, CastingView
from webapp.typed.size_log import SizesLogged

_NAMES = {
    "rim_height": "rim",
    "boss_height": "boss",
    "over_flange": "diameter over the flange",
    "tread": "tread",
}


def log_sizes(db: Db, casting_id: int, asked: Asked, logged: SizesLogged) -> None:
    """Store the sizes and the journal's line."""
    log_casting_sizes(db, casting_id, asked, _FORM, logged)


def _weigh(build: BuildView, casting: CastingView, logged: SizesLogged) -> Mapping[str, int]:
    """Raise what stands against a size; gives the sizes before, by key, of those that have grown."""
    came, drawn = receipt_nm(casting.receipt), terms_of(build).finished
    outside = came.get("rim_most")
    limits = {
        "rim_height": (came.get("rim_height"), drawn.rim_width_nm),
        "boss_height": (came.get("boss_height"), drawn.boss_length_nm),
        "over_flange": (outside, drawn.over_flange_nm),
        "tread": (outside, drawn.tread_diameter_nm),
    }
    grown, doubts = {}, []
    for key, (most, least) in limits.items():
        if key not in logged.sizes:
            continue
        before = casting.sizes.get(key)
        objection = objection_to_size(
            _NAMES[key],
            logged.sizes[key].nm,
            before_nm=before.nm if before else None,
            came_nm=most,
            finished_nm=least,
            unit=build.unit,
        )
        if objection is None:
            continue
        if objection.strength is Strength.REFUSE:
            raise Refused(objection.words, key)
        assert before is not None  # only a size before can be outgrown
        grown[key] = before.id
        doubts.append(objection.words)
    if doubts and not logged.grown:
        raise Unconfirmed(" ".join(doubts))
    return grown


def _lost_words(build: BuildView, casting: CastingView, _: Mapping[str, Length]) -> str:
    """What the journal says of a casting cut too far."""
    lost = lost_sizes(build, casting)
    return f" Under size: {say.lost(lost, build.unit)}." if lost else ""


_FORM = SizeForm("metal", "", _weigh, _lost_words)
