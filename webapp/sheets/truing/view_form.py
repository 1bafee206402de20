"""The form for the next round of dial readings."""

from __future__ import annotations

from dataclasses import dataclass

from domain.lengths import NM_PER_INCH, NM_PER_MM, Unit, plain, show_small
from domain.truing.by_eye import SPOTS as SEEN_SPOTS
from domain.truing.words import POINT, spot_between
from webapp.records.views import BuildView, CastingView
from webapp.sheets.truing.form_rounds import JAWS_ONLY, SPOTS, UNIT_WORDS
from webapp.sheets.truing.view_stored import TruingView


@dataclass(frozen=True, slots=True)
class SpotRow:
    """One spot of a form with angles of its own."""

    number: int
    angle: str


@dataclass(frozen=True, slots=True)
class RoundForm:
    """The form for the next round: which surface, how many spots, and what a number alone means."""

    kind: str
    read: str
    number: int
    rows: tuple[SpotRow, ...]
    whole_words: str
    pointed_words: str
    radius: str
    radius_drawn: bool


@dataclass(frozen=True, slots=True)
class LookForm:
    """The form for the next look by eye: how the point is held, and the spots to choose from."""

    number: int
    how: str
    spots: tuple[tuple[str, str], ...]
    kind: str = "eye"
    read: str = JAWS_ONLY


def outward_choices(build: BuildView, casting: CastingView) -> tuple[tuple[str, str, str], ...]:
    """The side that faces out, in the order of the casting's route: value, words, and when."""
    if build.order_of(casting).front_first:
        return (
            ("front", "Front outwards", "first: bore and front"),
            (
                "back",
                "Back outwards",
                "after the front is faced: the back, where it is not faced on the mandrel",
            ),
        )
    return (
        ("back", "Back outwards", "first: the back is faced"),
        ("front", "Front outwards", "after the back is faced: bore and front"),
    )


def reading_form(build: BuildView, truing: TruingView, kind: str, read: str) -> RoundForm | LookForm:
    """The form for the next round, with even angles and a radius to start from."""
    if truing.held.by_dial is None or kind == "eye" or (not kind and truing.latest == "eye"):
        surface, number = POINT[truing.held.surface], len(truing.live("eye")) + 1
        return LookForm(
            number, surface, tuple((f"{one:g}", spot_between(one).capitalize()) for one in SEEN_SPOTS)
        )
    kind = "face" if kind == "face" else "radial"
    count = SPOTS.get(read, 0)
    dial = truing.held.dial
    faces = truing.live("face")
    last = faces[-1].radius_nm if faces else None
    example = 12 * dial.division_nm
    per = NM_PER_MM if dial.unit is Unit.MM else NM_PER_INCH
    return RoundForm(
        kind=kind,
        read=read if count else JAWS_ONLY,
        number=len(truing.live(kind)) + 1,
        rows=tuple(SpotRow(place + 1, f"{360 * place // count}") for place in range(count)),
        whole_words=f"12 is twelve divisions, {show_small(example, dial.unit)}",
        pointed_words=f"{example / per:.8g} is {UNIT_WORDS[dial.unit]}",
        radius=plain(build.nm("tread_diameter") // 2 if last is None else last, dial.unit),
        radius_drawn=last is None,
    )
