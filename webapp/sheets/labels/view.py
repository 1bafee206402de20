"""The labels of a build's castings, sheet of paper by sheet of paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from webapp.records.views import BuildView
from webapp.sheets.labels.drawing import QrCode, qr_code
from webapp.typed.labels import label_text

# Three beside one another and five below, which A4 and Letter both have room for.
ON_A_SHEET = 15
# Longer marks are set smaller.
_LONG_MARK = 6


@dataclass(frozen=True, slots=True)
class CastingLabel:
    """A label: the mark, where the casting stands, and the code that leads to its sheet."""

    mark: str
    where: str
    long: bool
    code: QrCode


def labels(
    build: BuildView, named: str, permanent_ids: Mapping[int, str]
) -> tuple[tuple[CastingLabel, ...], ...]:
    """A label for each casting that was not scrapped, by the sheet of paper they are printed on."""
    each = [
        CastingLabel(
            one.mark,
            build.where(one).capitalize(),
            len(one.mark) > _LONG_MARK,
            qr_code(label_text(named, permanent_ids[one.id])),
        )
        for one in build.whole.castings
        if one.state != "scrapped"
    ]
    return tuple(tuple(each[at : at + ON_A_SHEET]) for at in range(0, len(each), ON_A_SHEET))
