"""A note kept, with its photo, and one taken away: the journal tells what it said."""

from __future__ import annotations

from domain.route.guards import present_stage
from domain.route.stages import Stage
from webapp.records.change import AxleChange, CastingChange, Change, change_axle, change_casting
from webapp.records.measured import Whose
from webapp.records.notes import note_of, photo_bytes, put_note, take_away
from webapp.records.outcome import NotThere, Refused
from webapp.records.views import BuildView, CastingView
from webapp.typed.notes import PHOTO, NewNote

# As text in the build's document they are a third longer, and an import takes no more.
MOST_PHOTO_BYTES = 40_000_000


@change_casting("note", scrapped=True)
def note_casting(it: CastingChange, note: NewNote) -> None:
    """Keep a note on a casting."""
    _keep(it, Whose(casting_id=it.casting.id), _stage(it.build, it.casting), note)


@change_axle("note")
def note_axle(it: AxleChange, note: NewNote) -> None:
    """Keep a note on an axle, at the stage that all its wheels have come to."""
    last = min(it.axle.wheels, key=it.build.reached, default=None)
    stage = None if last is None else _stage(it.build, last)
    _keep(it, Whose(axle_id=it.axle.id), stage, note)


@change_casting("taking away {}", scrapped=True)
def clear_casting(it: CastingChange, permanent_id: str) -> None:
    """Take a note away from a casting."""
    _clear(it, Whose(casting_id=it.casting.id), permanent_id)


@change_axle("taking away {}")
def clear_axle(it: AxleChange, permanent_id: str) -> None:
    """Take a note away from an axle."""
    _clear(it, Whose(axle_id=it.axle.id), permanent_id)


def _stage(build: BuildView, casting: CastingView) -> Stage | None:
    return present_stage(casting.ticked, build.order_of(casting))


def _keep(it: Change, whose: Whose, stage: Stage | None, note: NewNote) -> None:
    if note.photo is not None:
        size = len(note.photo.jpeg) + photo_bytes(it.session, it.build.id)
        if size > MOST_PHOTO_BYTES:
            most = MOST_PHOTO_BYTES // 1_000_000
            raise Refused(
                f"The photos of this build have {most} MB, and no more can be kept: take one away.", PHOTO
            )
    put_note(it.session, it.build.id, whose, stage, note.words, note.photo, it.actor.who)
    it.tell("note", f"Kept a {_named(note.words, has_photo=note.photo is not None)}.")


def _clear(it: Change, whose: Whose, permanent_id: str) -> None:
    note = note_of(it.session, whose, permanent_id)
    if note is None:
        raise NotThere("note")
    take_away(it.session, note.id)
    it.tell("note", f"Took away {note.who}'s {_named(note.words, has_photo=note.has_photo)}.")


def _named(words: str, *, has_photo: bool) -> str:
    what = "photo" if has_photo else "note"
    return f"{what} “{words}”" if words else what
