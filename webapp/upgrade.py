"""Brings the data file to the tables that this program expects: made, migrated or refused, always checked.

`python -m webapp.upgrade "what changes"` writes a migration from what the models have and the tables lack.
"""

import logging
import os
import sqlite3
import sys
from collections.abc import Callable, Iterable
from contextlib import closing
from functools import cache
from pathlib import Path
from tempfile import mkstemp
from typing import TYPE_CHECKING, Any

from webapp.datafile import (
    ADVANCE_MARK,
    APPLICATION_ID,
    DEMO_MARK,
    FileKind,
    address,
    beside,
    expect_own_log,
    look,
    make_room,
    settle,
    settle_names,
)
from webapp.faults import DAMAGED, fault_of, line
from webapp.settings import MIGRATIONS, StartError

if TYPE_CHECKING:
    from alembic.config import Config
    from sqlalchemy import Connection, Engine

# So much of a copy is made between two looks at whether it is still wanted.
_PAGES_AT_ONCE, _STEPS_AT_ONCE = 500, 100_000
log = logging.getLogger("spokeshed")


@cache
def revisions() -> tuple[str, ...]:
    """Every revision, oldest first, by the numbers that the migrations' file names begin with."""
    return tuple(sorted(file.name.split("_")[0] for file in (MIGRATIONS / "versions").glob("[0-9]*_*.py")))


def admit(path: Path, *, demo: bool = False) -> FileKind:
    """Say what lies there; StartError, with nothing touched, when it is not for this program or this run."""
    kind = look(path)
    if demo and kind is FileKind.OWN:
        raise StartError(f"{path} is not a demo file: it was left alone; give --demo a --data of its own.")
    make_room(path)
    return kind


def prepare(path: Path, *, demo: bool = False) -> None:
    """Leave the file at the newest tables and sound, or raise StartError with the file as it was."""
    kind = admit(path, demo=demo)
    try:
        _create(path, demo) if kind is FileKind.NEW else _bring_up(path)
    except sqlite3.Error as error:
        if fault_of(error) is DAMAGED:
            raise StartError(f"{path} is damaged: {_remedy(path)}.") from error
        raise StartError(f"The data file {path} cannot be used: {line(error)}.") from error


def _create(path: Path, demo: bool) -> None:
    # Under another name until it is whole: a file half made would be taken for a person's, and refused.
    making = beside(path, ".making")
    try:
        for ending in ("", "-journal"):
            beside(making, ending).unlink(missing_ok=True)
        _migrate(making, [f"application_id = {APPLICATION_ID}", f"user_version = {DEMO_MARK if demo else 0}"])
        making.replace(path.resolve())
        settle_names(making.parent)
    except Exception as error:
        making.unlink(missing_ok=True)
        raise StartError(f"The data file {path} could not be made: {line(error)}.") from error


def _bring_up(path: Path) -> None:
    expect_own_log(path)
    with closing(connect(path)) as connection:
        revision = known_revision(connection, path)
        if revision == revisions()[-1]:
            _check(connection, path)
            return
        copy = _back_up(connection, path, revision)
    bring_up(path, f"it is as it was, and a copy is at {copy}")
    log.info("Tables brought from %s to %s; the copy before it is %s.", revision, revisions()[-1], copy.name)


def bring_up(path: Path, otherwise: str) -> None:
    """The newest tables in a sound file; StartError, and `otherwise`, with the file as it was."""
    with closing(connect(path)) as connection:
        if known_revision(connection, path) == revisions()[-1]:
            _check(connection, path)
            return
    try:
        _migrate(path)
    except Exception as error:
        raise StartError(f"{path} could not be brought up to date ({line(error)}): {otherwise}.") from error


def connect(path: Path) -> sqlite3.Connection:
    """The file, which must be there, as a database."""
    return sqlite3.connect(address(path, "mode=rw"), uri=True, isolation_level=None)


def known_revision(connection: sqlite3.Connection, path: Path) -> str:
    """Which tables the file has; StartError when it does not say, or when they are newer than this program."""
    try:
        (revision,) = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    except (sqlite3.OperationalError, TypeError) as error:
        if fault_of(error) is not None:
            raise  # locked or not to be read just now, which says nothing of its tables
        raise StartError(f"{path} does not say which tables it has: {_remedy(path)}.") from error
    if revision not in revisions():
        raise StartError(
            f"{path} was last used by a newer spokeshed (tables {revision}, here {revisions()[-1]}): "
            "start it with the newer program; the file was left alone."
        )
    return str(revision)


def expect_sound(connection: sqlite3.Connection, path: Path) -> None:
    """StartError when the file is damaged."""
    # quick_check would not compare the indexes with their tables, and it is there that a mixture shows.
    (found,) = connection.execute("PRAGMA integrity_check(1)").fetchone()
    if found != "ok":
        raise StartError(f"{path} is damaged ({' '.join(found.split())}): {_remedy(path)}.")
    if orphan := connection.execute("PRAGMA foreign_key_check").fetchone():
        raise StartError(
            f"{path} is damaged (a row of {orphan[0]} has lost its {orphan[2]}): {_remedy(path)}."
        )


def _remedy(path: Path) -> str:
    from webapp.copies import copies_of  # it builds on this module

    newest = next(iter(copies_of(path)), None)
    return "restore a sound copy" + (f": spokeshed restore {newest.path} --data {path}" if newest else "")


def _check(connection: sqlite3.Connection, path: Path) -> None:
    """Refuse a damaged file, and one whose tables are not those of the models."""
    expect_sound(connection, path)
    for table, columns in _expected():
        present = {row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')}
        if present != columns:
            odd = ", ".join(sorted(present ^ columns))
            raise StartError(f"{path} has other tables than this program expects ({table}: {odd}).")


def _expected() -> Iterable[tuple[str, set[str]]]:
    from sqlmodel import SQLModel

    import webapp.models  # noqa: F401  (fills SQLModel.metadata)

    for table in SQLModel.metadata.tables.values():
        yield table.name, {column.name for column in table.columns}


def _back_up(connection: sqlite3.Connection, path: Path, revision: str) -> Path:
    from webapp.copies import keep  # it builds on this module

    try:
        # A start that fails again and again finds the copy of the first.
        return keep(connection, path, f"before-{revision}").path
    except (OSError, sqlite3.Error) as error:
        raise StartError(f"No copy of {path} could be made before its upgrade: {line(error)}.") from error


def copy_whole(
    connection: sqlite3.Connection,
    path: Path,
    copy: Path,
    *,
    own_mark: bool = False,
    stopped: Callable[[], bool] = lambda: False,
) -> None:
    """A copy made by SQLite itself so that the log is in it, checked and on the disk before it has its name.

    With a mark of its own no log of the file, of whatever time, can be taken for the copy's. Nothing is left of
    one that is stopped, which is an sqlite3.OperationalError.
    """
    descriptor, name = mkstemp(prefix=f".{copy.name}.", dir=copy.parent)
    os.close(descriptor)
    half = Path(name)

    def go_on(status: int, _left: int, _pages: int) -> None:
        if stopped():
            raise sqlite3.OperationalError("stopped")

    try:
        with closing(sqlite3.connect(half, isolation_level=None)) as target:
            connection.execute("BEGIN")  # one state throughout: else a write in between begins it all again
            try:
                connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
                connection.backup(target, pages=_PAGES_AT_ONCE, progress=go_on)
            finally:
                connection.execute("ROLLBACK")
            target.set_progress_handler(stopped, _STEPS_AT_ONCE)
            target.execute("PRAGMA journal_mode = DELETE")  # one file, with nothing beside it
            if own_mark and has_mark(target):
                target.execute(ADVANCE_MARK)
            expect_sound(target, path)
        half.chmod(path.stat().st_mode & 0o777)
        settle(half)
        half.rename(copy)
        settle_names(copy.parent)
    finally:
        half.unlink(missing_ok=True)


def has_mark(connection: sqlite3.Connection) -> bool:
    """Whether the file is of the program's tables that have the mark of the last write."""
    found = connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'write_mark'").fetchone()
    return found is not None


def _migrate(path: Path, pragmas: Iterable[str] = (), *, checked: bool = True) -> None:
    """Run every due migration and the check in one transaction: all of it holds, or none.

    Unchecked only for writing a migration, when the models are ahead of the tables.
    """
    from alembic import command

    engine = _engine(path)
    try:
        with engine.begin() as connection:
            for pragma in pragmas:
                connection.exec_driver_sql(f"PRAGMA {pragma}")
            command.upgrade(_config(connection), "head")
            # A first write of marks comes after none, as the log of a file without them is judged.
            if checked:
                connection.exec_driver_sql(ADVANCE_MARK)
            raw = connection.connection.driver_connection
            assert isinstance(raw, sqlite3.Connection)
            if checked:
                _check(raw, path)
    finally:
        engine.dispose()


def _engine(path: Path) -> "Engine":
    from sqlalchemy import URL, NullPool, create_engine, event

    engine = create_engine(
        URL.create("sqlite", database=str(path)), poolclass=NullPool, connect_args={"isolation_level": None}
    )

    def connected(connection: Any, _record: object) -> None:
        # Alembic changes a table by copying it and dropping the old one: with foreign keys on, the drop would
        # delete the children. SQLite ignores this switch inside a transaction, so it is thrown before.
        connection.execute("PRAGMA foreign_keys = OFF")
        # Nor may a trigger that names the dropped table, as the journal's names `build`, stop the new one from being
        # given its name.
        connection.execute("PRAGMA legacy_alter_table = ON")

    event.listen(engine, "connect", connected)
    event.listen(engine, "begin", lambda connection: connection.exec_driver_sql("BEGIN IMMEDIATE"))
    return engine


def _config(connection: "Connection | None" = None) -> "Config":
    from alembic.config import Config

    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return config


def new_migration(message: str, scratch: Path) -> None:
    """Write the next migration: what the models have and the tables, built up in a scratch file, lack."""
    from alembic import command

    _migrate(scratch, checked=False) if revisions() else scratch.touch()
    engine = _engine(scratch)
    with engine.begin() as connection:
        number = f"{int(revisions()[-1]) + 1:04}" if revisions() else "0001"
        command.revision(_config(connection), message, autogenerate=True, rev_id=number)
    engine.dispose()


if __name__ == "__main__":
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as folder:
        new_migration(" ".join(sys.argv[1:]) or "change", Path(folder) / "scratch.db")
