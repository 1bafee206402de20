"""A copy of the data while the program runs, and a copy put back while it does not."""

import os
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

from webapp.datafile import (
    ADVANCE_MARK,
    FileKind,
    beside,
    expect_own_log,
    held,
    is_ruin,
    log_belongs,
    look,
    make_room,
    settle,
    settle_names,
    unique_name,
)
from webapp.faults import line
from webapp.settings import StartError
from webapp.upgrade import admit, connect, copy_whole, expect_sound, has_mark, known_revision

# What SQLite leaves beside a file, and reads again when it opens the file.
_LOGS = ("-wal", "-journal")


def back_up(data: Path, copy: Path, *, demo: bool = False) -> None:
    """Make a sound copy under a name that is still free."""
    if os.path.lexists(copy):
        raise StartError(f"{copy} is there already: it was left alone; give the copy a name that is free.")
    if not copy.parent.is_dir():
        raise StartError(f"There is no folder {copy.parent}: make it first, or put the copy elsewhere.")
    if not data.exists() or admit(data, demo=demo) is FileKind.NEW:
        raise StartError(f"There is nothing to back up at {data}.")
    try:
        with held(data):
            expect_own_log(data)
            with closing(connect(data)) as connection:
                copy_whole(connection, data, copy, own_mark=True)
    except (OSError, sqlite3.Error) as error:
        raise StartError(f"No copy of {data} could be made at {copy}: {line(error)}.") from error


def restore(data: Path, copy: Path, *, demo: bool = False) -> Path | None:
    """Put a sound copy in the data file's place; where what was there is kept, if anything was.

    A crash leaves the old file or the new one at the place: the new one is whole, under another name, before
    a single step renames it, and by then nothing lies beside the place that SQLite would read into it.
    """
    expect_copy(data, copy, demo)
    _expect_replaceable(data, demo)
    try:
        with held(data, alone=True):
            return _replace(data, copy)
    except (OSError, sqlite3.Error) as error:
        raise StartError(f"{copy} could not be restored to {data}: {line(error)}.") from error


def expect_copy(data: Path, copy: Path, demo: bool) -> None:
    """StartError for what is no copy, or none of this kind of data."""
    kind = look(copy, "give a copy that spokeshed backup made")
    if kind is FileKind.NEW:
        raise StartError(f"There is no copy at {copy}." if not copy.exists() else f"{copy} is empty.")
    if data.exists() and copy.samefile(data):
        raise StartError(f"{copy} is the data file itself: give the name of a copy.")
    if demo and kind is FileKind.OWN:
        raise StartError(f"{copy} is not a copy of a demo: leave --demo away.")
    if not demo and kind is FileKind.DEMO:
        raise StartError(f"{copy} is a copy of the demo: give --demo to restore it there.")


def _expect_replaceable(data: Path, demo: bool) -> None:
    """StartError for a file that is no spokeshed's, or not this run's; a ruin of our own may be replaced."""
    if is_ruin(data):
        make_room(data)
    else:
        admit(data, demo=demo)


def _replace(data: Path, copy: Path) -> Path | None:
    fresh = beside(data, ".restoring")
    try:
        bring(copy, fresh)
        if data.exists():
            fresh.chmod(data.stat().st_mode & 0o777)
        aside = _put_aside(data)
        fresh.replace(data.resolve())
        settle_names(fresh.parent)
    finally:
        for ending in ("", "-shm", *_LOGS):
            beside(fresh, ending).unlink(missing_ok=True)
    return aside


def bring(copy: Path, fresh: Path) -> None:
    """The copy and what lies beside it, folded together and checked under another name; itself untouched."""
    expect_own_log(copy)
    for ending in ("", "-shm", *_LOGS):
        beside(fresh, ending).unlink(missing_ok=True)
        if ending != "-shm" and beside(copy, ending).is_file():
            shutil.copyfile(beside(copy, ending), beside(fresh, ending))
    try:
        with closing(connect(fresh)) as connection:
            known_revision(connection, copy)
            expect_sound(connection, copy)
            # A mark of its own: no log of another time can be taken for this file's.
            if has_mark(connection):
                connection.execute(ADVANCE_MARK)
            connection.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.Error as error:
        raise StartError(f"{copy} cannot be used: {line(error)}.") from error
    settle(fresh)


def _put_aside(data: Path) -> Path | None:
    """Copy what is there to a dated name, and leave nothing beside its place that SQLite would read."""
    _fold(data)
    kept = [ending for ending in ("", *_LOGS) if beside(data, ending).exists()]
    aside = unique_name(data.resolve(), "replaced")
    for ending in kept:
        half = beside(aside, ending + ".half")
        shutil.copy2(beside(data, ending), half)
        settle(half)
        half.replace(beside(aside, ending))
    settle_names(aside.parent)
    # Only a log that could not be folded is left here: another file's, or that of a file past reading.
    for ending in ("-shm", *_LOGS):
        beside(data, ending).unlink(missing_ok=True)
    settle_names(aside.parent)
    return aside if kept else None


def _fold(data: Path) -> None:
    """Fold the log into the file, unless one of the two cannot be read or they do not belong together."""
    # SQLite would throw away the log of an empty file, and fold one into a file without its head.
    if not data.exists() or is_ruin(data) or not log_belongs(data):
        return
    try:
        with closing(connect(data)) as connection:
            connection.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.OperationalError as error:
        if "locked" in str(error):
            raise StartError(
                f"Another program has {data} open: close it first; it was left alone."
            ) from error
        raise
    except sqlite3.DatabaseError:
        return  # damaged: kept as it is, with its log
