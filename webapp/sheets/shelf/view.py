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
    from webapp.records.diary import DiaryEntry

# Each takes as long as a sheet of its own, and no more are held between two changes than these.
SHOWN = 8
_BEFORE: Any = bindparam("before")
_BUILDS = select(col(Build.id)).where(col(Build.id) < _BEFORE).order_by(col(Build.id).desc()).limit(SHOWN + 1)


@dataclass(frozen=True, slots=True)
class BuildLine:
    """A build in the list: how far it is, what was done last, and what is next."""

    id: int
    name: str
    done: int
    total: int
    last: DiaryEntry | None
    next: str


def list_builds(session: Session, before: int | None = None) -> Paged[BuildLine]:
    """A page of the builds, newest first, of those before an id where one is given."""
    rows: Sequence[Any] = session.connection().execute(_BUILDS, {"before": before or LAST_ID}).all()
    page = paged([(own, own) for (own,) in rows], before, SHOWN)
    return page.told([_told(session, own) for own in page.lines])


def _told(session: Session, build_id: int) -> BuildLine:
    # On a new file there is none to tell of, and the first page need not wait for the facts of the trade.
    from webapp.facts.batches import running_batch
    from webapp.facts.castings import progress_of
    from webapp.facts.next_work import next_work
    from webapp.records.builds import find_build
    from webapp.records.diary import last_done

    build = find_build(session, build_id)
    progress = progress_of(build, build.axles)
    first = next_work(build, running_batch(session, build)).first_thing
    last = last_done(session, build_id)
    return BuildLine(build_id, build.name, progress.done, progress.total, last, first.headline)
