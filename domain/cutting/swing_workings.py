"""The sums behind whether it swings."""

from collections.abc import Iterator

from domain.cutting.swing_types import SwingChuck, SwingLathe, SwingSetUp
from domain.lengths import Unit, show
from domain.working import Working

_SOURCE = "geometry; distances measured from the lathe's axis"
_OVERHANG = "common practice, no source; the chuck's maker may allow less"


def swing_workings(
    lathe: SwingLathe,
    chuck: SwingChuck,
    set_up: SwingSetUp,
    reach_nm: int,
    radii: dict[str, int],
    largest_nm: int,
    unit: Unit,
) -> Iterator[Working]:
    """Each figure with its formula, numbers and source."""

    def text(nm: int) -> str:
        return show(nm, unit)

    jaws = f"{text(set_up.held_nm)} / 2 + {text(reach_nm)}"
    yield Working(
        "jaws' radius", "held diameter / 2 + reach of a jaw", jaws, text(radii["the jaws"]), _SOURCE
    )
    three = f"{text(set_up.work_nm)} / 2, {text(radii['the jaws'])}, {text(chuck.body_nm)} / 2"
    largest = "greatest of work / 2, jaws' radius, chuck's body / 2"
    yield Working("largest radius", largest, three, text(largest_nm), _SOURCE)
    yield _room("clear of the bed", "centre height", lathe.centre_height_nm, largest_nm, unit)
    if lathe.gap_radius_nm is not None and lathe.gap_width_nm is not None:
        yield _room("clear of the gap's floor", "gap's radius", lathe.gap_radius_nm, largest_nm, unit)
        if set_up.along_nm is not None:
            spare = lathe.gap_width_nm - chuck.depth_nm - set_up.along_nm
            numbers = f"{text(lathe.gap_width_nm)} - {text(chuck.depth_nm)} - {text(set_up.along_nm)}"
            formula = "gap's width - chuck's depth - length along the bed"
            yield Working("gap to spare along the bed", formula, numbers, text(spare), _SOURCE)
    if chuck.jaw_length_nm is not None:
        out = max(0, radii["the jaws"] - chuck.body_nm // 2)
        numbers = f"{text(radii['the jaws'])} - {text(chuck.body_nm)} / 2"
        formula = "jaws' radius - chuck's body / 2, and no more than jaw's length / 3"
        result = f"{text(out)}, of a jaw {text(chuck.jaw_length_nm)} long"
        yield Working("jaw out of the body", formula, numbers, result, _OVERHANG)


def _room(name: str, limit: str, limit_nm: int, largest_nm: int, unit: Unit) -> Working:
    numbers = f"{show(limit_nm, unit)} - {show(largest_nm, unit)}"
    return Working(name, f"{limit} - largest radius", numbers, show(limit_nm - largest_nm, unit), _SOURCE)
