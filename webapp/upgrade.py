"""Brings the data file to the tables that this program expects: made, migrated or refused, always checked.

`python -m webapp.upgrade "what changes"` writes a migration from what the models have and the tables lack.
"""

import sqlite3
import sys
from collections.abc import Iterable
from contextlib import closing
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from webapp.datafile import APPLICATION_ID, DEMO_MARK, Kind, look, make_room, reason
from webapp.settings import MIGRATIONS, StartError

if TYPE_CHECKING:
    from alembic.config import Config
    from sqlalchemy import Connection, Engine


@cache
def revisions() -> tuple[str, ...]:
    """Every revision, oldest first, by the numbers that the migrations' file names begin with."""
    return tuple(sorted(file.name.split("_")[0] for file in (MIGRATIONS / "versions").glob("[0-9]*_*.py")))


def prepare(path: Path, *, demo: bool = False) -> None:
    """Leave the file at the newest tables and sound, or raise StartError with the file as it was."""
    kind = look(path)
    if demo and kind is Kind.OWN:
        raise StartError(f"{path} is not a demo file: it was left alone; give --demo a --data of its own.")
    make_room(path)
    try:
        _create(path, demo) if kind is Kind.NEW else _bring_up(path)
    except sqlite3.Error as error:
        raise StartError(f"The data file {path} cannot be used: {_line(error)}.") from error


def _create(path: Path, demo: bool) -> None:
    there_before = path.exists()
    try:
        _migrate(path, [f"application_id = {APPLICATION_ID}", f"user_version = {DEMO_MARK if demo else 0}"])
    except Exception as error:
        if not there_before:
            path.unlink(missing_ok=True)
        raise StartError(f"The data file {path} could not be made: {_line(error)}.") from error


def _bring_up(path: Path) -> None:
    with closing(_connect(path)) as connection:
        revision = _revision(connection, path)
        if revision == revisions()[-1]:
            _check(connection, path)
            return
        if revision not in revisions():
            raise StartError(
                f"{path} was last used by a newer spokeshed (tables {revision}, here {revisions()[-1]}): "
                "start it with the newer program; the file was left alone."
            )
        copy = _back_up(connection, path, revision)
    try:
        _migrate(path)
    except Exception as error:
        raise StartError(
            f"{path} could not be brought up to date ({_line(error)}): "
            f"it is as it was, and a copy is at {copy}."
        ) from error


def _connect(path: Path) -> sqlite3.Connection:
    # mode=rw: a file that has gone meanwhile is an error, not a new empty file.
    return sqlite3.connect(f"{path.resolve().as_uri()}?mode=rw", uri=True, isolation_level=None)


def _revision(connection: sqlite3.Connection, path: Path) -> str:
    try:
        (revision,) = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    except (sqlite3.OperationalError, TypeError) as error:
        raise StartError(f"{path} does not say which tables it has: restore a copy of it.") from error
    return str(revision)


def _check(connection: sqlite3.Connection, path: Path) -> None:
    """Refuse a damaged file, and one whose tables are not those of the models."""
    (found,) = connection.execute("PRAGMA quick_check(1)").fetchone()
    if found != "ok":
        raise StartError(f"{path} is damaged ({found}): restore a copy of it.")
    if orphan := connection.execute("PRAGMA foreign_key_check").fetchone():
        raise StartError(
            f"{path} is damaged (a row of {orphan[0]} has lost its {orphan[2]}): restore a copy of it."
        )
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
    """A copy beside the file, made by SQLite itself so that its log is in it."""
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%S_%fZ")
    copy = path.with_name(f"{path.stem}.before-{revision}-{stamp}{path.suffix or '.db'}")
    try:
        with closing(sqlite3.connect(copy)) as target:
            connection.backup(target)
        copy.chmod(path.stat().st_mode & 0o777)
    except (OSError, sqlite3.Error) as error:
        copy.unlink(missing_ok=True)
        raise StartError(f"No copy of {path} could be made before its upgrade: {_line(error)}.") from error
    return copy


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

    event.listen(engine, "connect", connected)
    event.listen(engine, "begin", lambda connection: connection.exec_driver_sql("BEGIN IMMEDIATE"))
    return engine


def _config(connection: "Connection | None" = None) -> "Config":
    from alembic.config import Config

    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return config


def _line(error: BaseException) -> str:
    text = reason(error) if isinstance(error, OSError) else str(error)
    return " ".join(text.split()).rstrip(".") or type(error).__name__


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
