"""What is typed on the sheet of a setting: when the compound went on, and the way that is chosen."""

from __future__ import annotations

import re
from datetime import datetime

from domain.cranks.setting import SettingWay
from domain.joints.open_time import OpenTimeError, went_on
from webapp.typed.texts import Errors, Typed, read_choice, read_short

_TIME = re.compile(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])")
_LONGEST = 12


def read_went_on(typed: Typed, now: datetime) -> tuple[datetime | None, Errors]:
    """When the compound went on; `now` by the clock on the wall. None, with no error, for the moment of the tap."""
    errors = Errors()
    text = read_short(typed, "on_at", "The time", _LONGEST, errors)
    if not text:
        return None, errors
    found = _TIME.fullmatch(text)
    if found is None:
        errors["on_at"] = "Type the time of day as the clock shows it, such as 20:14."
        return None, errors
    try:
        return went_on(int(found[1]), int(found[2]), now), errors
    except OpenTimeError as error:
        errors["on_at"] = str(error)
        return None, errors


def read_way(typed: Typed) -> tuple[str | None, Errors]:
    """The way that is chosen."""
    errors = Errors()
    return read_choice(typed, "way", "a way", [way.value for way in SettingWay], errors), errors
