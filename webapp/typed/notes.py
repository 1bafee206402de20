"""A note as it is typed and its photo as it is sent."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.typed.photos import NoPhoto, Photo, taken
from webapp.typed.texts import Errors, Typed, read_line

LONGEST_NOTE = 500
WORDS, PHOTO = "words", "photo"


@dataclass(frozen=True, slots=True)
class NewNote:
    """What is to be kept: words, a photo, or both."""

    words: str
    photo: Photo | None


def read_note(typed: Typed, file: bytes | None) -> tuple[NewNote | None, Errors]:
    """The note with the file that came with it, if one was chosen."""
    errors, words, photo = Errors(), "", None
    if file is not None:
        try:
            photo = taken(file)
        except NoPhoto as error:
            errors[PHOTO] = error.sentence
    if typed.get(WORDS).strip():
        words = read_line(typed, WORDS, "The note", LONGEST_NOTE, errors) or ""
    elif file is None:
        errors[WORDS] = "Write a note, or take a photo."
    return (None if errors else NewNote(words, photo)), errors
