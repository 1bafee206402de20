"""Trial bores of a reamer as typed."""

from __future__ import annotations

from domain.lengths import LengthError, Unit, parse_length, show
from webapp.typed.texts import Errors, Typed

MOST_TRIALS = 3
# A reamer that cuts a twentieth over its size is no reamer any more: such a figure is misread (our own rule).
_FAR_PART = 20


def read_trial(typed: Typed, nominal_nm: int, unit: Unit) -> tuple[tuple[int, ...], Errors]:
    """Bores cut with a reamer in scrap; boxes left empty are passed over, but one there must be."""
    errors = Errors()
    found: list[int] = []
    if len(typed.all("trial")) > MOST_TRIALS:
        errors["trial0"] = f"That is more than {MOST_TRIALS} trial bores: type the last {MOST_TRIALS}."
        return (), errors
    for number, text in enumerate(typed.all("trial")):
        if not text.strip():
            continue
        try:
            bore = parse_length(text, unit)
        except LengthError as error:
            errors[f"trial{number}"] = str(error)
            continue
        if abs(bore.nm - nominal_nm) * _FAR_PART > nominal_nm:
            size = show(nominal_nm, unit)
            errors[f"trial{number}"] = (
                f"“{bore.text}” is far from the reamer's marked size, {size}: check figure and unit."
            )
        found.append(bore.nm)
    if not found and not errors:
        errors["trial0"] = "Type what the trial bore measured, such as 19.06 mm or 0.7505 in."
    return (() if errors else tuple(found)), errors
