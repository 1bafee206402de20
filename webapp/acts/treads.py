"""Writing down the sizes of a tyre and the back to back of an axle. Nothing is overwritten."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from domain.lengths import Length, show
from domain.route.guards import present_stage
from domain.route.stages import Stage
from domain.treads.flange import FlangePlace
from domain.treads.words import lack_words
from webapp.acts.asking import InOneGo, ReadHere, may_have_been
from webapp.acts.size_log import Bounds, SizeForm, log_casting_sizes, outgrown
from webapp.acts.sizes import ask_about_sizes, sizes_words, store_sizes, without_zero_offset
from webapp.db import Db
from webapp.facts.axle_gauges import not_pressed
from webapp.facts.expected import of_size
from webapp.facts.facts import facts_of
from webapp.facts.metal_sizes import of_tread, receipt_nm
from webapp.facts.treads import KEYS
from webapp.records.builds import find_axle
from webapp.records.change import Asked, AxleChange, change_axle
from webapp.records.outcome import WHOLE, Refused
from webapp.records.views import BuildView, CastingView
from webapp.typed.size_log import SizesLogged

_NAMES = {key: figure.value for figure, key in KEYS.items()}
# Metal cannot grow; a flange may get thicker and higher as the tread beside it is turned down, and a root rounder.
_ONLY_LESS = ("rim_height", "tread")
# The tyre's width comes with facing; the others only with the tread, which every route turns after boring.
_OF_TREAD = tuple(key for key in KEYS.values() if key != "rim_height")


def log_tread(db: Db, casting_id: int, asked: Asked, logged: SizesLogged) -> None:
    """Store the sizes and the journal's line, which says what is no good."""
    log_casting_sizes(db, casting_id, asked, TREAD_FORM, logged)


@change_axle("gauges")
def log_back_to_back(it: AxleChange, logged: SizesLogged) -> None:
    """Store the back to back and the journal's line, which says what is no good."""
    build, axle = it.build, it.axle
    off = not_pressed(axle)
    if off:
        raise Refused(f"Both wheels must be on the axle first: {off} not ticked as on it.", WHOLE)
    told_at_once = InOneGo()
    sizes = without_zero_offset(build, logged.sizes, logged.instrument_id, told_at_once)
    told_at_once.tell()
    _check_back(build, sizes["back_to_back"].nm)
    meant = ask_about_sizes(build, logged.sizes, logged.meant)
    store_sizes(it.session, build, sizes, it.actor, axle_id=axle.id, instrument_id=logged.instrument_id)
    it.session.flush()
    told = f"Axle {axle.number} measured: {sizes_words(build, sizes)}.{meant}"
    after, own = find_axle(it.session, axle.id)
    wrong = facts_of(after).gauges(own).out
    if wrong:
        told += f" No good: {', '.join(wrong)}."
    it.tell("size", told)


def _weigh(build: BuildView, casting: CastingView, logged: SizesLogged, told: InOneGo) -> Mapping[str, int]:
    """Put down what stands against each size; gives the sizes before, by key, of those that have grown."""
    with told.weighing():
        _check_not_too_early(build, casting, logged.sizes)
    with told.weighing():
        _check_flange_at(build, logged.sizes)
    return outgrown(logged, _bounds(build, casting, logged.sizes, told), build.unit, told)


def _bounds(
    build: BuildView, casting: CastingView, sizes: Mapping[str, Length], told: InOneGo
) -> Iterator[Bounds]:
    came = of_tread(build, casting, receipt_nm(casting.receipt))
    most = {"rim_height": came.get("rim_height"), "tread": came.get("rim_most")}
    for key in KEYS.values():
        if key not in sizes:
            continue
        if key not in _ONLY_LESS and sizes[key].nm > build.of(casting).nm("tyre_width"):
            wide = show(build.of(casting).nm("tyre_width"), build.unit)
            read = ReadHere(key, sizes[key].nm, sizes[key].text, of_size(build.of(casting), key))
            other = may_have_been([read], build.unit)
            told.refuse(key, f"That is more than the whole tyre is wide, {wide}: is the unit right?{other}")
            continue
        before = casting.sizes.get(key) if key in _ONLY_LESS else None
        yield Bounds(key, _NAMES[key], before, most.get(key))


def _check_not_too_early(build: BuildView, casting: CastingView, sizes: Mapping[str, Length]) -> None:
    early = next((key for key in _OF_TREAD if key in sizes), None)
    if early is None or casting.has(Stage.BORED):
        return
    stage = present_stage(casting.ticked, build.order_of(casting))
    now = f"only {stage.words}" if stage else "not ticked as received"
    raise Refused(
        f"{casting.mark} is {now}: its tread cannot be turned yet. If it is further on, tick that on its own sheet first.",
        early,
    )


def _check_flange_at(build: BuildView, sizes: Mapping[str, Length]) -> None:
    """A flange measured on its root or on its tip tells nothing of the flange."""
    if "flange_at" not in sizes:
        return
    place = FlangePlace(facts_of(build).treads.flange, sizes["flange_at"].nm)
    if place.drawn is not None and place.lack:
        raise Refused(lack_words(place, build.unit), "flange_at")


def _check_back(build: BuildView, nm: int) -> None:
    gauge = build.nm("gauge")
    if nm >= gauge:
        raise Refused(
            f"That is no less than the track's gauge, {show(gauge, build.unit)}: measure between the backs of the tyres, "
            "and look at the unit.",
            "back_to_back",
        )


def _wrong_words(build: BuildView, casting: CastingView, sizes: Mapping[str, Length]) -> str:
    """What the journal says of sizes that are no good."""
    figures = facts_of(build.of(casting)).treads.of(casting).figures
    wrong = [one.name for one in figures if one.key in sizes and one.look == "not"]
    return f" No good: {', '.join(wrong)}." if wrong else ""


TREAD_FORM = SizeForm("tread", "Tyre measured", _weigh, _wrong_words)
