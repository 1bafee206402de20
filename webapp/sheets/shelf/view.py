"""Reading the list of builds. The first page waits for this, so what is known of a build is loaded only with one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import bindparam, select
from sqlmodel import Session, col

from webapp.models import Build
from webapp.records.paged import LAST_ID, Paged, paged

if TYPE_CHECKING:
    from webapp.records.several import BuildCard

# What a thumb scrolls through at once.
SHOWN = 8
# More than these are on nobody's bench at once.
AT_WORK = 3
_BEFORE: Any = bindparam("before")
_BUILDS = (
    select(col(Build.id))
    .where(col(Build.archived) == bindparam("archived"), col(Build.id) < _BEFORE)
    .order_by(col(Build.id).desc())
    .limit(SHOWN + 1)
)
_AN_ARCHIVED = select(col(Build.id)).where(col(Build.archived)).limit(1)


@dataclass(frozen=True, slots=True)
class BuildLine:
    """A build in the list, and what is next on it where it is one of those worked on last."""

    card: BuildCard
    next: str


def list_builds(session: Session, before: int | None = None, *, archived: bool = False) -> Paged[BuildLine]:
    """A page of the builds, or of those that were archived, newest first, of those before an id where one is given."""
    asked = {"before": before or LAST_ID, "archived": archived}
    rows: Sequence[Any] = session.connection().execute(_BUILDS, asked).all()
    page = paged([(own, own) for (own,) in rows], before, SHOWN)
    return page.told(_told(session, page.lines, archived) if page.lines else ())


def any_archived(session: Session) -> bool:
    """Whether a build was ever put away and is so still."""
    return session.connection().execute(_AN_ARCHIVED).first() is not None


def _told(session: Session, ids: Sequence[int], archived: bool) -> list[BuildLine]:
    # On a new file there is none to tell of, and the first page need not wait for the facts of the trade.
    from webapp.records.several import cards

    found = cards(session, ids)
    # What is next is asked of the judges, who take as long as for a sheet: of the few that are at work.
    latest = sorted(found, key=lambda one: one.last_id, reverse=True)[:AT_WORK]
    at_work = set() if archived else {one.id for one in latest}
    return [BuildLine(one, _next(session, one.id) if one.id in at_work else "") for one in found]


def _next(session: Session, build_id: int) -> str:
    from webapp.facts.batches import running_batch
    from webapp.facts.next_work import next_work
    from webapp.records.builds import find_build

    build = find_build(session, build_id)
    return next_work(build, running_batch(session, build)).first_thing.headline
