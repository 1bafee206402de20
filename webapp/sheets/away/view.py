"""What goes when a build is deleted."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import func, select
from sqlmodel import Session, col

from webapp.models import Casting, JournalLine, Measurement
from webapp.records.views import BuildView


@dataclass(frozen=True, slots=True)
class AllThatGoes:
    """How much goes, and the last line of the journal that this was counted with."""

    build: BuildView
    castings: int
    measurements: int
    lines: int
    last_line: int

    @property
    def said(self) -> tuple[str, ...]:
        """What goes, one by one."""
        return (
            f"{_counted(self.castings, 'casting')} with all ticks and what was set",
            _counted(self.measurements, "measurement"),
            f"{_counted(self.lines, 'line')} of the journal",
            "what was learnt from it of reamers and of your own hand",
        )

    @property
    def question(self) -> str:
        """What is asked once more."""
        return f"{self.build.name} goes for good, and only the export that is kept first has it then:"


def going(session: Session, build: BuildView) -> AllThatGoes:
    """What goes of a build as it is now."""

    def count(of: object, model: type[Casting | Measurement | JournalLine]) -> int:
        wanted = select(of).where(col(model.build_id) == build.id)  # type: ignore[call-overload]
        found: int = session.connection().execute(wanted).scalar_one()
        return found

    rows = func.count()
    return AllThatGoes(
        build,
        count(rows, Casting),
        count(rows, Measurement),
        count(rows, JournalLine),
        count(func.coalesce(func.max(col(JournalLine.id)), 0), JournalLine),
    )


def _counted(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
