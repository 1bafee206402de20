"""Writing down the sizes measured after a cut. A size is never overwritten; a misread one has another stand in for it."""

from __future__ import annotations

from collections.abc import Mapping

from domain.lengths import Length
from domain.stock import words as say
from webapp.acts.asking import InOneGo
from webapp.acts.size_log import Bounds, SizeForm, log_casting_sizes, outgrown
from webapp.db import Db
from webapp.facts.lost import lost_sizes
from webapp.facts.metal_sizes import of_tread, receipt_nm
from webapp.records.change import Asked
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
    log_casting_sizes(db, casting_id, asked, CUT_FORM, logged)


def _weigh(build: BuildView, casting: CastingView, logged: SizesLogged, told: InOneGo) -> Mapping[str, int]:
    """Put down what stands against each size; gives the sizes before, by key, of those that have grown."""
    came = of_tread(build, casting, receipt_nm(casting.receipt))
    outside = came.get("rim_most")
    limits = {
        "rim_height": came.get("rim_height"),
        "boss_height": came.get("boss_height"),
        "over_flange": outside,
        "tread": outside,
    }
    bounds = (
        Bounds(key, _NAMES[key], casting.sizes.get(key), most)
        for key, most in limits.items()
        if key in logged.sizes
    )
    return outgrown(logged, bounds, build.unit, told)


def _lost_words(build: BuildView, casting: CastingView, _: Mapping[str, Length]) -> str:
    """What the journal says of a casting cut too far."""
    lost = lost_sizes(build, casting)
    return f" Under size: {say.lost(lost, build.unit)}." if lost else ""


CUT_FORM = SizeForm("metal", "Measured", _weigh, _lost_words)
