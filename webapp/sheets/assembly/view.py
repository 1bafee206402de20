"""The card of one axle: what its sizes are worth, its list, and its picture. Nothing here asks the database."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from domain.assembly.going_on import Along, Starter, ThingKind, proposed, same_name
from domain.assembly.words import run_out_words, shoulders_remedy, shoulders_words, wanted_words
from domain.lengths import show
from domain.measuring.decision_types import Conformity, Decision
from domain.route.stages import Route, Stage
from domain.working import Working
from webapp.facts.assembly import Assembly, journal_kind, list_line, still_to_go_on
from webapp.facts.facts import facts_of
from webapp.facts.metal_sizes import terms_of
from webapp.records.views import SIDES, AxleView, BuildView, ItemView, Measured
from webapp.sheets.assembly.drawing import AxlePicture, EndDrawn, ThingDrawn, WheelDrawn, axle_picture
from webapp.sheets.assembly.form import LIES

_CENTRED = {None: "not looked at", True: "in both ends", False: "not in both ends"}


@dataclass(frozen=True, slots=True)
class SizeRow:
    """One line of the sizes: of the whole axle, or its left and its right end."""

    name: str
    texts: tuple[str, ...]
    look: str = "open"
    words: str = ""


@dataclass(frozen=True, slots=True)
class AssemblySheet:
    """Everything on the card."""

    axle: AxleView
    headline: str
    look: str
    # Of the size that the answer is about.
    decision: Decision | None
    remedy: str
    picture: AxlePicture
    items: tuple[ItemView, ...]
    on: int
    # What is still to go on, in a line; what can go on no more.
    count_words: str
    too_late: tuple[str, ...]
    starters: tuple[Starter, ...]
    # An axle with a list that has something this one has not.
    like: AxleView | None
    rows: tuple[SizeRow, ...]
    notes: tuple[str, ...]
    workings: tuple[Working, ...]

    @property
    def known(self) -> int:
        """How many lines of the sizes say something."""
        return sum(any(row.texts) for row in self.rows)


def answer_words(build: BuildView, axle: AxleView) -> str:
    """The answer on an axle's own sizes in a line: on the run-out where that is the worse, else on the shoulders."""
    return _headline(build, facts_of(build).assembly(axle))[0]


def _headline(build: BuildView, found: Assembly) -> tuple[str, str, Decision | None]:
    run_out, own = found.run_out, found.shoulders.answer
    looks = ("serves", "caution", "not")
    look = own.judged.look if own else "open"
    if run_out is not None and run_out.decision.answer is not Conformity.INSIDE:
        other = run_out.decision.answer.judged.look
        if own is None or looks.index(other) > looks.index(look):
            return run_out_words(run_out, build.unit), other, run_out.decision
    return shoulders_words(found.shoulders, build.unit), look, found.shoulders.decision


def room_nm(build: BuildView, axle: AxleView) -> int:
    """The room between the shoulders: as measured, else as it is wanted."""
    found = facts_of(build).assembly(axle)
    if found.shoulders.over is not None:
        return found.shoulders.over.nm
    aim = found.shoulders.aim_nm
    return aim if aim is not None else build.nm("back_to_back") - sum(one.nm for one in found.prouds)


def assembly_sheet(build: BuildView, axle: AxleView) -> AssemblySheet:
    """The whole card of an axle."""
    found = facts_of(build).assembly(axle)
    headline, look, decision = _headline(build, found)
    return AssemblySheet(
        axle=axle,
        headline=headline,
        look=look,
        decision=decision,
        remedy=shoulders_remedy(found.shoulders, build.unit),
        picture=_picture(build, axle, found),
        items=axle.items,
        on=sum(item.on is not None for item in axle.items),
        count_words=list_line(axle),
        too_late=_too_late(axle),
        starters=proposed([item.name for item in axle.items]),
        like=_like(build, axle),
        rows=tuple(_rows(build, axle, found)),
        notes=_notes(build, axle, found),
        workings=(
            *found.shoulders.workings,
            *((found.run_out.decision.working,) if found.run_out else ()),
        ),
    )


def _too_late(axle: AxleView) -> tuple[str, ...]:
    """What is not on an axle that both wheels are on."""
    on = len(axle.wheels) == len(SIDES) and all(wheel.has(Stage.PRESSED) for wheel in axle.wheels)
    return tuple(item.name for item in still_to_go_on(axle)) if on else ()


def things_missing(here: Iterable[ItemView], there: Iterable[ItemView]) -> list[ItemView]:
    """What is on another list and not on this one."""
    names = [one.name for one in here]
    return [one for one in there if not any(same_name(one.name, name) for name in names)]


def _like(build: BuildView, axle: AxleView) -> AxleView | None:
    others = (one for one in build.axles if one.id != axle.id)
    return next((one for one in others if things_missing(axle.items, one.items)), None)


def _rows(build: BuildView, axle: AxleView, found: Assembly) -> list[SizeRow]:
    unit, shoulders, run_out = build.unit, found.shoulders, found.run_out

    def sizes(sized: list[Measured | None]) -> tuple[str, ...]:
        return tuple(show(one.nm, unit) if one is not None else "" for one in sized)

    kinds = [journal_kind(axle, side) for side in SIDES]
    lies = next((words for key, words in LIES if key in kinds), "")
    wanted = wanted_words(shoulders, unit)
    centres = "caution" if axle.centred is False and build.route_now is Route.BETWEEN_CENTRES else "open"
    return [
        SizeRow(
            "Over the shoulders",
            sizes([axle.sizes.get("over_shoulders")]),
            shoulders.answer.judged.look if shoulders.answer else "open",
            f"{wanted} is wanted" if wanted else "",
        ),
        SizeRow("Seats", sizes([axle.seats.get(side) for side in SIDES])),
        SizeRow("Their length", sizes([axle.ends.get(side, {}).get("seat_length") for side in SIDES])),
        SizeRow(
            f"Journals{f', {lies}' if lies else ''}",
            sizes([axle.ends.get(side, {}).get(key) for side, key in zip(SIDES, kinds, strict=True)]),
        ),
        SizeRow(
            "Run-out between centres",
            sizes([axle.sizes.get("axle_run_out")]),
            run_out.decision.answer.judged.look if run_out else "open",
            run_out_words(run_out, unit) if run_out else "",
        ),
        SizeRow(
            "Centres",
            (_CENTRED[axle.centred] if axle.centred is not None else "",),
            centres,
            "This route turns the treads between them." if centres == "caution" else "",
        ),
    ]


def _notes(build: BuildView, axle: AxleView, found: Assembly) -> tuple[str, ...]:
    drawn = [wheel.mark for wheel in axle.wheels if wheel not in found.proud_of]
    said = []
    if drawn and found.shoulders.over is not None:
        proud = show(terms_of(build.of(axle)).finished.boss_proud_back_nm or 0, build.unit)
        said.append(
            f"Of {' and '.join(drawn)} the drawing's figure is taken for how far the boss stands proud at the back: {proud}."
        )
    bare = [
        name
        for name, key in (("the shoulders", "over_shoulders"), ("the run-out", "axle_run_out"))
        if (size := axle.sizes.get(key)) is not None and size.expanded_nm is None
    ]
    if bare:
        said.append(
            f"Logged without an instrument of the workshop's list, so taken as exact: {', '.join(bare)}."
        )
    return tuple(said)


def _picture(build: BuildView, axle: AxleView, found: Assembly) -> AxlePicture:
    own, unit = build.of(axle), build.unit
    left, right = (_end(own, axle, side, one.nm) for side, one in zip(SIDES, found.prouds, strict=True))
    over, back = found.shoulders.over, found.shoulders.back
    words = (
        f"back to back {show(back.nm, unit)}" if back else "back to back",
        f"over the shoulders {show(over.nm, unit)}" if over else "over the shoulders, not measured",
    )
    return axle_picture(
        room_nm(build, axle),
        over is not None,
        (left, right),
        WheelDrawn(
            tread_nm=own.nm("tread_diameter"),
            flange_depth_nm=own.nm("flange_depth"),
            flange_width_nm=own.nm("flange_width"),
            tyre_width_nm=own.nm("tyre_width"),
            boss_nm=own.nm("boss_diameter"),
            boss_length_nm=own.nm("boss_length"),
        ),
        [
            ThingDrawn(
                number,
                ThingKind(item.kind),
                Along(item.along),
                item.width.nm if item.width else None,
                item.split,
                item.on is not None,
            )
            for number, item in enumerate(axle.items, start=1)
        ],
        words,
    )


def _end(build: BuildView, axle: AxleView, side: str, proud_nm: int) -> EndDrawn:
    sizes, kind, wheel = axle.ends.get(side, {}), journal_kind(axle, side), axle.at(side)
    length = sizes.get("seat_length")
    return EndDrawn(
        seat_nm=build.seat_nm(axle, side),
        seat_known=side in axle.seats,
        seat_length_nm=length.nm if length else build.of(axle).nm("boss_length"),
        proud_nm=proud_nm,
        journal_nm=sizes["journal"].nm if kind == "journal" else None,
        outer_nm=sizes["outer_journal"].nm if kind == "outer_journal" else None,
        mark=wheel.mark if wheel else "",
        fixed=wheel is not None and wheel.has(Stage.PRESSED),
    )
