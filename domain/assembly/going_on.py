"""What goes on an axle before its second wheel: the kinds there are, what is proposed, and what is still to go on."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from enum import StrEnum


class ThingKind(StrEnum):
    """What a thing on an axle is; it is drawn by that, whatever it is called."""

    AXLEBOX = "axlebox"
    ECCENTRIC = "eccentric"
    GEAR = "gear"
    PUMP_DRIVE = "pump_drive"
    SPACER = "spacer"
    OTHER = "other"


class Along(StrEnum):
    """Along along the axle it sits."""

    LEFT = "left"
    MIDDLE = "middle"
    RIGHT = "right"


@dataclass(frozen=True)
class Starter:
    """A thing to begin a list with."""

    kind: ThingKind
    name: str
    along: Along


# What a model's axle mostly carries between its wheels: common practice, no source.
STARTERS: tuple[Starter, ...] = (
    Starter(ThingKind.AXLEBOX, "Left axlebox", Along.LEFT),
    Starter(ThingKind.AXLEBOX, "Right axlebox", Along.RIGHT),
    *(Starter(ThingKind.ECCENTRIC, f"Eccentric {number}", Along.MIDDLE) for number in range(1, 5)),
    Starter(ThingKind.GEAR, "Gear", Along.MIDDLE),
    Starter(ThingKind.PUMP_DRIVE, "Pump drive", Along.MIDDLE),
    Starter(ThingKind.SPACER, "Left spacer", Along.LEFT),
    Starter(ThingKind.SPACER, "Right spacer", Along.RIGHT),
)


def same_name(one: str, other: str) -> bool:
    """Whether two names would be taken for one thing: capitals and blanks tell nothing apart.

    >>> same_name("Left  axlebox", "left Axlebox"), same_name("Gear", "Gear 2")
    (True, False)
    """
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()


def proposed(names: Collection[str]) -> tuple[Starter, ...]:
    """Of each kind the first starter that is not on the list yet.

    >>> [one.name for one in proposed(["left axlebox", "Eccentric 1", "Gear"])]
    ['Right axlebox', 'Eccentric 2', 'Pump drive', 'Left spacer']
    """
    found: dict[ThingKind, Starter] = {}
    for one in STARTERS:
        if not any(same_name(one.name, name) for name in names):
            found.setdefault(one.kind, one)
    return tuple(found.values())


def too_wide_by(widths_nm: Iterable[int], room_nm: int) -> int:
    """How much wider all together are than the room between the shoulders, nm; 0 where they go between.

    >>> too_wide_by([20_000_000, 20_000_000], 35_000_000), too_wide_by([20_000_000], 35_000_000)
    (5000000, 0)
    """
    return max(0, sum(widths_nm) - room_nm)
