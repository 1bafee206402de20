"""Where the lists of the Workshop sheet lie open."""

from __future__ import annotations


def list_address(what: str, row_id: int | None = None) -> str:
    """The list of these things, open; at one of them where it is named."""
    return f"/workshop?open={what}s#{what}s" if row_id is None else f"/workshop?open={what}s#{what}-{row_id}"
