"""A long list a page at a time, the newest first: what a page loads does not grow with what was ever done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

Line = TypeVar("Line")
Other = TypeVar("Other")
# So many lines at once: more than are read at the bench, and no wait.
MOST = 40
# Before this id comes everything: SQLite's integers end here.
LAST_ID = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Paged(Generic[Line]):
    """Some lines, latest first; `older` is the id that older ones come before, None where there are none."""

    lines: tuple[Line, ...] = ()
    older: int | None = None
    # Whether newer ones were passed over.
    newer: bool = False

    def told(self, lines: Sequence[Other]) -> Paged[Other]:
        """The same page with its lines as a sheet shows them."""
        return Paged(tuple(lines), self.older, self.newer)


def paged(found: Sequence[tuple[int, Line]], before: int | None, most: int = MOST) -> Paged[Line]:
    """A page of what was found, by id and latest first, with one more than a page shows where there are more."""
    shown = found[:most]
    older = shown[-1][0] if len(found) > most else None
    return Paged(tuple([line for _, line in shown]), older, before is not None)
