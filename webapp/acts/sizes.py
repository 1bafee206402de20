"""Writing sizes down. A size is never overwritten: a later one stands beside it, and so does a correction."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from sqlmodel import Session

from domain.drawing import LARGEST_NM
from domain.lengths import Length, show, show_typed
from domain.measuring.instruments import InstrumentError, corrected
from domain.measuring.uncertainty import UncertaintyError, budget_of_mean
from webapp.acts.asking import InOneGo, ReadHere, ask_about, question_on
from webapp.facts.correcting import ROOM_U_K, alpha_of
from webapp.facts.expected import of_casting, of_size
from webapp.models import Measurement
from webapp.records.measured import write_measured
from webapp.records.outcome import Actor, Refused
from webapp.records.views import BuildView, CastingView
from webapp.typed.sizes import BY_KEY, NOWHERE


def store_sizes(
    session: Session,
    build: BuildView,
    sizes: Mapping[str, Length],
    actor: Actor,
    *,
    casting_id: int | None = None,
    axle_id: int | None = None,
    side: str | None = None,
    receipt_id: int | None = None,
    instrument_id: int | None = None,
    corrects: Mapping[str, int] | None = None,
) -> None:
    """Add the rows; the journal's line, the version check and the token are the caller's.

    `corrects` names, by key, the size that was misread and that the new one stands in for.
    """
    for key, size in sizes.items():
        # What was set was not read with the instrument.
        tool = None if BY_KEY[key].is_set else instrument_id
        row = Measurement(
            build_id=build.id,
            kind=key,
            casting_id=casting_id,
            axle_id=axle_id,
            side=side,
            receipt_id=receipt_id,
            value=size.nm,
            expanded=expanded_of(build, size, tool),
            instrument_id=tool,
            who=actor.who,
            supersedes_id=(corrects or {}).get(key),
        )
        write_measured(session, row, [(size.text, None, NOWHERE)])


def ask_about_sizes(
    build: BuildView, sizes: Mapping[str, Length], meant: Collection[int], casting: CastingView | None = None
) -> str:
    """Ask about sizes that can hardly be meant; what was meant all the same, for the journal."""
    expected = {
        key: of_casting(build, casting, key) if casting is not None else of_size(build, key) for key in sizes
    }
    read = (ReadHere(key, size.nm, size.text, expected[key]) for key, size in sizes.items())
    return ask_about(read, meant, build.unit)


def refuse_too_long(build: BuildView, sizes: Mapping[str, Length], told: InOneGo) -> None:
    """Refuse each that no part of an engine is as long as, with what it may have been: a point is soon forgotten."""
    for key, size in sizes.items():
        if abs(size.nm) <= LARGEST_NM:
            continue
        asked = question_on(ReadHere(key, size.nm, size.text, of_size(build, key)), build.unit)
        told.refuse(key, asked or f"That is more than {show(LARGEST_NM, build.unit)}: is the unit right?")


def without_zero_offset(
    build: BuildView, sizes: Mapping[str, Length], instrument_id: int | None, told: InOneGo
) -> dict[str, Length]:
    """The sizes without the zero offset of what they were read with, those refused left out; the text stays as typed."""
    refuse_too_long(build, sizes, told)
    sizes = {key: size for key, size in sizes.items() if key not in told.fields}
    tool = build.instruments.get(instrument_id) if instrument_id is not None else None
    if tool is None:
        return dict(sizes)
    found = {}
    for key, size in sizes.items():
        if BY_KEY[key].is_set or BY_KEY[key].swing:
            found[key] = size
            continue
        try:
            nm = corrected(size.nm, tool)
        except InstrumentError as error:
            raise Refused(str(error), "instrument_id") from error
        if nm <= 0 and not BY_KEY[key].signed:
            told.refuse(key, "With the instrument's zero offset taken off nothing is left: read it again.")
            continue
        found[key] = Length(nm, size.text)
    return found


def expanded_of(build: BuildView, size: Length, instrument_id: int | None) -> int | None:
    """How sure one reading with this instrument is; not known without one."""
    if instrument_id is None:
        return None
    tool = build.instruments.get(instrument_id)
    if tool is None or instrument_id in build.retired:
        raise Refused(
            "That instrument is not in the workshop's list any more: choose another.", "instrument_id"
        )
    try:
        # A dial set to nought reads nothing, and that is a reading; only the warmth's part hangs on how long it is.
        return budget_of_mean([max(abs(size.nm), 1)], tool, alpha_of(build, "bore"), ROOM_U_K).expanded_nm
    except (InstrumentError, UncertaintyError) as error:
        raise Refused(str(error), "instrument_id") from error


def sizes_words(build: BuildView, sizes: Mapping[str, Length]) -> str:
    """The sizes for the journal, in both systems; as typed too where that is another figure."""
    return "; ".join(
        f"{BY_KEY[key].words[:1].lower()}{BY_KEY[key].words[1:]} {show_typed(size, build.unit)}"
        for key, size in sizes.items()
    )
