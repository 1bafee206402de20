"""From the sizes a builder measures to the positions of the faces along the axle."""

from __future__ import annotations

from domain.lengths import Unit, show
from domain.stock.types import FinishedFaces, RoughFaces, StockError


def rough_faces(
    rim_height_nm: int,
    boss_height_nm: int | None = None,
    boss_proud_back_nm: int | None = None,
    unit: Unit = Unit.MM,
) -> RoughFaces:
    """Where a casting's faces lie, from its heights.

    Formula: rim back 0, rim front = rim height, boss back = -proud, boss front = boss height - proud
    Parameters: `rim_height_nm`, thickness of the rim back to front, above 0; `boss_height_nm`, thickness of
    the boss, above 0; `boss_proud_back_nm`, how much the boss stands behind the rim at the back, negative
    where it is sunk. Without both of the last two the boss is left out. `unit`, for the sentences.
    Returns: positions, nm.
    Raises: StockError for a size that cannot be, or a boss that is nowhere inside the rim.
    Source: geometry.

    >>> rough_faces(20_000_000, 24_000_000, 1_000_000)
    RoughFaces(rim_back_nm=0, rim_front_nm=20000000, boss_back_nm=-1000000, boss_front_nm=23000000)
    """
    names = ("rim_height", "boss_height")
    return RoughFaces(*_faces(rim_height_nm, boss_height_nm, boss_proud_back_nm, names, unit))


def finished_faces(
    rim_width_nm: int,
    boss_length_nm: int | None = None,
    boss_proud_back_nm: int = 0,
    unit: Unit = Unit.MM,
) -> FinishedFaces:
    """Where the finished wheel's faces lie, from the drawing.

    Formula: rim back 0, rim front = rim width, boss back = -proud, boss front = boss length - proud
    Parameters: `rim_width_nm`, width of the tyre, above 0; `boss_length_nm`, above 0, None leaves the boss
    out; `boss_proud_back_nm`, how much the boss stands behind the rim, negative where sunk, usually 0.
    Returns: positions, nm.
    Raises: StockError for a size that cannot be, or a boss that is nowhere inside the rim.
    Source: geometry.

    >>> finished_faces(17_000_000, 21_000_000).boss_front_nm
    21000000
    """
    names = ("rim_width", "boss_length")
    return FinishedFaces(*_faces(rim_width_nm, boss_length_nm, boss_proud_back_nm, names, unit))


def _faces(
    rim: int, boss: int | None, proud: int | None, names: tuple[str, str], unit: Unit
) -> tuple[int, int, int | None, int | None]:
    for name, nm in zip(names, (rim, boss), strict=True):
        if nm is not None and nm <= 0:
            raise StockError(
                name, f"The {name.replace('_', ' ')} must be more than nothing: measure it again."
            )
    if boss is None or proud is None:
        return 0, rim, None, None
    if boss <= proud:
        raise StockError(
            names[1],
            f"A boss of {show(boss, unit)} cannot stand {show(proud, unit)} proud of the rim at the back:"
            " it would be shorter than what stands out, so measure both again.",
        )
    if -proud >= rim:
        raise StockError(
            "boss_proud_back",
            f"A boss cannot be sunk {show(-proud, unit)} into a rim of {show(rim, unit)}: measure both again.",
        )
    return 0, rim, -proud, boss - proud
