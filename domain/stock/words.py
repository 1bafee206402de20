"""Sharing the metal, in words and workings."""

from __future__ import annotations

from domain.lengths import Unit, show, show_offset
from domain.stock.types import JUST_SOURCE, Face, FaceStock, Verdict
from domain.working import Working

DERIVED = "derived here; no published source"


def join(words: list[str]) -> str:
    """Words in a row, with an "and" before the last.

    >>> join(["rim back", "boss back", "rim front"])
    'rim back, boss back and rim front'
    """
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def share_words(faces: tuple[FaceStock, ...], unit: Unit) -> str:
    """What to take off back and front, without a full stop; the boss is named where it differs."""
    stock = {one.face: max(0, one.stock_nm) for one in faces}
    words = f"take {show(stock[Face.RIM_BACK], unit)} off the back of the rim and " + (
        f"{show(stock[Face.RIM_FRONT], unit)} off its front"
    )
    if Face.BOSS_BACK in stock:
        words += (
            f"; off the boss {show(stock[Face.BOSS_BACK], unit)} at the back"
            f" and {show(stock[Face.BOSS_FRONT], unit)} at the front"
        )
    return words


def shares_words(
    verdict: Verdict, faces: tuple[FaceStock, ...], decide: tuple[Face, Face], short_nm: int, unit: Unit
) -> str:
    """The verdict with the best share, or which faces fail and by how much."""
    if verdict is not Verdict.DOES_NOT:
        head = "It just cleans up" if verdict is Verdict.JUST else "It cleans up"
        return f"{head}: {share_words(faces, unit)}."
    failing = [f"{one.face.words} by {show(one.short_nm, unit)}" for one in faces if one.short_nm]
    return (
        f"It does not clean up: shared as well as can be, these are short: {join(failing)}."
        f" Between {decide[0].words} and {decide[1].words} the casting wants {show(short_nm, unit)} more metal."
    )


def shares_workings(
    edges: tuple[int, int], need_nm: int, best_nm: int, faces: tuple[FaceStock, ...], unit: Unit
) -> tuple[Working, ...]:
    """The interval, the best place in it, and the metal on each face there."""
    low, high = edges[0] + need_nm, edges[1] - need_nm
    inside = f"{signed(low, unit)} to {signed(high, unit)}" if low <= high else "none"
    interval = Working(
        "where the finished wheel may lie",
        "back faces: x at least rough - finished + need; front faces: x at most rough - finished - need",
        f"back {signed(edges[0], unit)}, front {signed(edges[1], unit)}, need {show(need_nm, unit)}",
        inside,
        DERIVED,
    )
    best = Working(
        "best place",
        "x = (most back + least front) / 2, the poorest face as rich as can be",
        f"({signed(edges[0], unit)} + {signed(edges[1], unit)}) / 2",
        signed(best_nm, unit),
        DERIVED,
    )
    rows = tuple(
        Working(
            f"metal on the {one.face.words}",
            "x - (rough - finished)" if one.face.is_back else "(rough - finished) - x",
            _metal_numbers(one, best_nm, unit),
            signed(one.stock_nm, unit),
            f"geometry; {JUST_SOURCE}",
        )
        for one in faces
    )
    return (interval, best, *rows)


def _metal_numbers(one: FaceStock, best_nm: int, unit: Unit) -> str:
    """The finished wheel's place and the place where this face would have no metal at all."""
    x = signed(best_nm, unit)
    if one.face.is_back:
        return f"{x} - ({signed(best_nm - one.stock_nm, unit)})"
    return f"({signed(best_nm + one.stock_nm, unit)}) - {x}"


def signed(nm: int, unit: Unit) -> str:
    """A length in both systems, a minus before each figure where it is below nothing.

    >>> signed(-1_000_000, Unit.MM)
    '-1.000 mm (-0.0394 in)'
    """
    return show_offset(nm, unit) if nm < 0 else show(nm, unit)
