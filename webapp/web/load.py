"""What an address names, loaded with its build; what is not there is a page that says so."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from fastapi import Request
from sqlmodel import Session

from webapp.db import Db
from webapp.errors import NotFound
from webapp.records.builds import find_axle, find_build, find_casting
from webapp.records.outcome import NotThere
from webapp.records.paged import LAST_ID
from webapp.records.views import AxleView, BuildView, CastingView

Found = TypeVar("Found")


def _get(db: Db, find: Callable[[Session, int], Found], row_id: int) -> Found:
    try:
        with db.read() as session:
            return find(session, row_id)
    except NotThere as missing:
        raise NotFound(missing.sentence) from None


def older_than(request: Request) -> int | None:
    """The id that the address asks for older lines than; None for the newest, or where it asks for none that can be."""
    asked = request.query_params.get("before", "")
    if not (asked.isascii() and asked.isdecimal() and len(asked) <= len(str(LAST_ID))):
        return None
    return min(int(asked), LAST_ID)


def get_build(db: Db, build_id: int) -> BuildView:
    """The build, or not found."""
    return _get(db, find_build, build_id)


def get_pattern(request: Request, db: Db, build_id: int, *, cranked: bool = False) -> BuildView:
    """The build as the pattern sees it that the address asks for, else the first; not found where it is none of them.

    With `cranked` it is one whose wheels have crankpins, where the build has such.
    """
    build = get_build(db, build_id)
    may_be = [one for one in build.patterns if one.cranked or not cranked] or build.patterns
    asked = request.query_params.get("pattern", str(may_be[0].id))
    found = next((one for one in may_be if str(one.id) == asked), None)
    if found is None:
        raise NotFound("There is no such pattern of wheel in this build.")
    return build.of(found)


def get_axle(db: Db, axle_id: int) -> tuple[BuildView, AxleView]:
    """The axle and its build, or not found."""
    return _get(db, find_axle, axle_id)


def get_casting(db: Db, casting_id: int) -> tuple[BuildView, CastingView]:
    """The casting and its build, or not found."""
    return _get(db, find_casting, casting_id)
