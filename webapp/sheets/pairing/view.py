"""The sheet of fits and pairing: every seat with its wheel of today and the one proposed. Nothing here asks the database."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from domain.answer import Answer, worst
from domain.lengths import Unit
from domain.route.stages import Stage
from domain.working import Working
from webapp.facts.facts import facts_of
from webapp.facts.measured_views import MeasuredView, measured_view
from webapp.facts.pairing import PairingProposal, bore_size, pairs_by, propose
from webapp.facts.places import Place, move_words, place_of, place_words, rearranged
from webapp.facts.unfit import unfit, why_unfit
from webapp.records.views import SIDES, AxleView, BuildView, CastingView
from webapp.sheets.pairing.view_applied import Applied, undo_objection
from webapp.sheets.pairing.view_counts import Counts, counts_of, gain_of
from webapp.sheets.pairing.view_seated import SeatedWheel, seated


@dataclass(frozen=True, slots=True)
class SeatRow:
    """One seat: its size, today's wheel, and the wheel proposed."""

    axle: AxleView
    side: str
    seat_nm: int
    seat: MeasuredView | None
    today: SeatedWheel | None
    proposed: SeatedWheel | None
    moves: bool
    why: str

    @property
    def key(self) -> str:
        """The row's name within the page."""
        return f"{self.axle.number}-{self.side}"


@dataclass(frozen=True, slots=True)
class SpareRow:
    """A spare with a bore, or a casting that takes a spare's part in the proposal."""

    casting: CastingView
    bore_nm: int
    words: str


@dataclass(frozen=True, slots=True)
class GroupRow:
    """How well today's places do, and how well the proposed ones."""

    words: str
    today: Counts
    best: Counts
    gain: str
    working: Working

    @property
    def look(self) -> str:
        """How its line is drawn: by today's places, and with care where other places do better."""
        if self.today != self.best:
            return Answer.CAUTION.look
        return self.today.worst.look if self.today.worst else "open"


@dataclass(frozen=True, slots=True)
class DoubtRow:
    """Why readings cannot be trusted and what would settle it, and whose they are."""

    words: str
    of: tuple[DoubtOf, ...]


@dataclass(frozen=True, slots=True)
class DoubtOf:
    """A casting whose readings are in doubt, and where it is or would be."""

    casting: CastingView
    where: str


@dataclass(frozen=True, slots=True)
class FitsSheet:
    """All of it."""

    rows: tuple[SeatRow, ...]
    spares: tuple[SpareRow, ...]
    groups: tuple[GroupRow, ...]
    proposal: PairingProposal
    without_bore: tuple[CastingView, ...]
    doubts: tuple[DoubtRow, ...]
    drawn_seats: tuple[SeatRow, ...]
    cautions: tuple[str, ...]
    nothing: tuple[str, ...]
    applied: Applied | None
    applied_words: tuple[str, ...]
    no_undo: str
    # What the moves proposed would make of the throws, where that is worse than today.
    throws: str

    @property
    def untrusted(self) -> int:
        """How many castings and seats are not known well enough to pair by."""
        return len({one.casting.id for doubt in self.doubts for one in doubt.of}) + len(self.drawn_seats)


def fits_sheet(build: BuildView, applied: Applied | None) -> FitsSheet:
    """Everything the sheet shows; `applied` is the pairing that may be undone."""
    proposal = propose(build)
    after = rearranged(build, proposal.moves)
    live = [casting for casting in build.castings if casting.state != "scrapped"]
    views = {casting.id: seated(build, casting) for casting in live}
    rows = tuple(_rows(build, after, proposal, views))
    return FitsSheet(
        rows=rows,
        spares=tuple(_spares(build, proposal)),
        groups=tuple(_groups(proposal, build.unit)),
        proposal=proposal,
        without_bore=tuple(casting for casting in live if bore_size(casting) is None),
        doubts=_doubts(build, views.values(), rows),
        drawn_seats=tuple(row for row in rows if row.seat is None),
        cautions=_cautions(rows),
        nothing=_nothing(rows),
        applied=applied,
        applied_words=tuple(move_words(build, move) for move in applied.moves) if applied else (),
        no_undo=undo_objection(build, applied) if applied else "",
        throws=_throws_then(build, after),
    )


def _throws_then(build: BuildView, after: BuildView) -> str:
    """That the moves would make the throws worse, for a wheel that changes sides meets other throws there."""
    today, then = facts_of(build).throws, facts_of(after).throws
    if worst(today.finding.answer, then.finding.answer) is today.finding.answer:
        return ""
    return f"As proposed the throws would be worse than today. {then.words}"


def _rows(
    build: BuildView, after: BuildView, proposal: PairingProposal, views: Mapping[int, SeatedWheel]
) -> Iterator[SeatRow]:
    start = {move.casting.id: move.start for move in proposal.moves}
    for axle, axle_after in zip(build.axles, after.axles, strict=True):
        for side in SIDES:
            now, then = axle.at(side), axle_after.at(side)
            moves = (now and now.id) != (then and then.id)
            today = views[now.id] if now else None
            proposed = seated(after, then) if then and moves else today if then else None
            yield SeatRow(
                axle=axle,
                side=side,
                seat_nm=build.of(axle).seat_nm(axle, side),
                seat=measured_view(build.of(axle), axle.seats[side]) if side in axle.seats else None,
                today=today,
                proposed=proposed,
                moves=moves,
                why=f"from {place_words(build, start[then.id])}"
                if then and moves
                else _why_stays(build, then),
            )


def _why_stays(build: BuildView, casting: CastingView | None) -> str:
    if casting is None:
        return "no measured casting is left for it"
    if casting.has(Stage.PRESSED):
        return "stays: it is on its axle"
    if unfit(build, casting):
        return f"{why_unfit(casting)}: give its place to another"
    return "stays" if bore_size(casting) is not None else "stays: no bore to pair it by"


def _spares(build: BuildView, proposal: PairingProposal) -> Iterator[SpareRow]:
    ends: dict[int, Place] = {move.casting.id: move.end for move in proposal.moves}
    for casting in build.castings:
        bore = pairs_by(build, casting)
        leaves = place_of(casting) is not None and casting.id in ends and ends[casting.id] is None
        if bore is None or not (casting.state == "spare" or leaves):
            continue
        if leaves:
            words = f"leaves {place_words(build, place_of(casting))}, for the spares"
        elif casting.id in ends:
            words = f"goes to {place_words(build, ends[casting.id])}"
        else:
            words = "stays a spare"
        yield SpareRow(casting, bore, words)


def _groups(proposal: PairingProposal, unit: Unit) -> Iterator[GroupRow]:
    alone = len(proposal.groups) == 1
    for group in proposal.groups:
        words = "" if alone else group.pattern.name
        found = group.pairing
        yield GroupRow(
            words, counts_of(group.today), counts_of(group.best), gain_of(group, unit), found.working
        )


def _doubts(build: BuildView, views: Iterable[SeatedWheel], rows: Iterable[SeatRow]) -> tuple[DoubtRow, ...]:
    """What cannot be trusted, today and on the proposed seats, said once for all the castings it is said of."""
    found: defaultdict[str, list[DoubtOf]] = defaultdict(list)
    for view in views:
        for words in view.doubts:
            found[words].append(DoubtOf(view.casting, build.where(view.casting)))
    for row in rows:
        if row.moves and row.proposed is not None:
            for words in row.proposed.doubts:
                # Told already when it is of the bore alone, or just the same on the seat of today.
                if not any(one.casting.id == row.proposed.casting.id for one in found[words]):
                    found[words].append(
                        DoubtOf(row.proposed.casting, f"proposed for axle {row.axle.number}, {row.side}")
                    )
    return tuple(DoubtRow(words, tuple(of)) for words, of in found.items())


def _cautions(rows: Iterable[SeatRow]) -> tuple[str, ...]:
    """Every caution of every joint shown, each once, in the order they come, with the wheels it is said of."""
    said: defaultdict[str, dict[str, None]] = defaultdict(dict)
    for view in (view for row in rows for view in (row.today, row.proposed) if view is not None):
        for source in (view.joint, view.joint.holding) if view.joint else ():
            for caution in source.cautions:
                said[caution][view.casting.mark] = None
    return tuple(f"{', '.join(marks)}: {caution}" for caution, marks in said.items())


def _nothing(rows: Sequence[SeatRow]) -> tuple[str, ...]:
    """The wheels whose joints hold nothing, today and where they would be; empty when there are none."""
    today = [row.today.casting.mark for row in rows if row.today and row.today.nothing]
    then = [row.proposed.casting.mark for row in rows if row.proposed and row.proposed.nothing]
    moves = any(row.moves for row in rows)
    said = (
        [f"Today nothing can be counted on from the joint of {', '.join(today)}: factor 0.00."]
        if today
        else []
    )
    if then and moves:
        said.append(
            f"As proposed, nothing could be counted on from the joint of {', '.join(then)}: factor 0.00."
        )
    return tuple(said)
