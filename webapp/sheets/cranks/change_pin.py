"""Writing down what was measured of a wheel's crankpin. Nothing is overwritten."""

from __future__ import annotations

from collections.abc import Mapping

from domain.joints.kinds import FitError
from domain.lengths import Length, show
from webapp.acts.asking import InOneGo
from webapp.acts.size_log import SizeForm, log_casting_sizes
from webapp.db import Db
from webapp.facts.crankpins import pin_of
from webapp.facts.joint_terms import figures_of
from webapp.records.change import Asked
from webapp.records.outcome import WHOLE, Refused
from webapp.records.views import BuildView, CastingView
from webapp.typed.size_log import SizesLogged

# A pin this part of its hole larger goes in by no press and no shrinking; our own choice, no published source.
_LARGER_SHARE = 50


def log_pin(db: Db, casting_id: int, asked: Asked, logged: SizesLogged) -> None:
    """Store the sizes and the journal's line, which says what they come to."""
    log_casting_sizes(db, casting_id, asked, PIN_FORM, logged)


def _weigh(build: BuildView, casting: CastingView, logged: SizesLogged, told: InOneGo) -> Mapping[str, int]:
    """Put down what no crankpin can be; a size may change either way, so none is held against the one before."""
    own, now = build.of(casting), {key: size.nm for key, size in casting.sizes.items()}
    if own.pattern is None or not own.pattern.cranked:
        raise Refused(f"{casting.mark} has no crankpin: its pattern of wheel is not coupled.", WHOLE)
    now |= {key: size.nm for key, size in logged.sizes.items()}
    hole, seat = now.get("pin_hole", own.nm("crankpin_hole")), now.get("pin_seat")
    if seat is not None and (seat - hole) * _LARGER_SHARE > hole:
        told.refuse(
            "pin_seat" if "pin_seat" in logged.sizes else "pin_hole",
            f"A pin of {show(seat, build.unit)} is larger than its hole of {show(hole, build.unit)} by more than can be"
            " pressed in: measure both again.",
        )
    _check_length(own, logged.sizes, told)
    return {}


def _check_length(own: BuildView, sizes: Mapping[str, Length], told: InOneGo) -> None:
    """A pin fills its hole and its rods' bushes, as far out as the middle of the connecting rod's and half that again."""
    try:
        figures = figures_of(own)
    except FitError:
        return  # figures that agree with no drawing bound nothing; the sheet of joints says so
    # Where nobody typed how far out the rod runs, only the wheel itself bounds the pin.
    typed = "pin_overhang" in own.joint_texts
    out = 2 * figures.nm("pin_overhang") if typed else own.nm("tread_diameter") // 2
    held = figures.nm("pin_length")
    for key, most, what in (
        ("pin_whole", held + out, "its hole and its rods"),
        ("pin_over", out, "what stands out of the wheel"),
    ):
        if key in sizes and sizes[key].nm > most:
            told.refuse(
                key,
                f"That is longer than {what}, {show(most, own.unit)}: measure again, or look at the pin's figures on the"
                " sheet of joints.",
            )


def _found(build: BuildView, casting: CastingView, _: Mapping[str, Length]) -> str:
    return f" Crankpin of {pin_of(build, casting).words}."


PIN_FORM = SizeForm("crankpin", "Crankpin measured", _weigh, _found)
