"""The data file made, migrated, refused; what a migration must never do to the rows that are there."""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlmodel import SQLModel

from webapp import upgrade
from webapp.copies import folder_of
from webapp.datafile import APPLICATION_ID, FileKind, look
from webapp.settings import MIGRATIONS, StartError

# The parent of everything is copied and dropped, as for any change that SQLite cannot make in place.
RECREATE = """
import sqlalchemy as sa
from alembic import op
revision, down_revision = "9001", {head!r}
def upgrade():
    with op.batch_alter_table("build", recreate="always") as batch:
        batch.alter_column("name", existing_type=sa.String(), server_default="unnamed")
{more}
"""
FAILS = "    op.execute('INSERT INTO no_such_table VALUES (1)')"
ORPHANS = "    op.execute('DELETE FROM build')"
ROWS = """
INSERT INTO build (id, name, standard, unit, quarter_angle_udeg, lead, fit, route, iron, invented, version,
    created_at)
    VALUES (1, 'Goods engine', 'own', 'mm', 90000000, 'right', 'bond', 'fitted_first', 'EN-GJL-200', 0, 1,
            '2026-01-01 10:00:00.000000');
INSERT INTO pattern VALUES (1, 1, 'Driving wheels', 'driving');
INSERT INTO dimension VALUES (1, 1, 1, 'bore', 15000000, '15');
INSERT INTO axle (id, build_id, pattern_id, number, version) VALUES (1, 1, 1, 1, 1);
INSERT INTO casting (id, build_id, pattern_id, mark, state, axle_id, side, scrap_reason, version)
    VALUES (1, 1, 1, 'A', 'in_work', 1, 'left', '', 1);
INSERT INTO tick (casting_id, key, at, who) VALUES (1, 'received', '2026-01-01 10:00:00.000000', 'AB');
INSERT INTO journal_line (build_id, casting_id, kind, sentence, at, who, device, page, version)
    VALUES (1, 1, 'tick', 'A received', '2026-01-01 10:00:00.000000', 'AB', 'd', '/', 1);
"""
# The same as a file had it before there were patterns of wheel.
ROWS_BEFORE_PATTERNS = (
    ROWS.replace("INSERT INTO pattern VALUES (1, 1, 'Driving wheels', 'driving');\n", "")
    .replace("dimension VALUES (1, 1, 1, ", "dimension VALUES (1, ")
    .replace(
        "axle (id, build_id, pattern_id, number, version) VALUES",
        "axle (id, build_id, coupled, number, version) VALUES",
    )
    .replace("casting (id, build_id, pattern_id, mark", "casting (id, build_id, mark")
    .replace("VALUES (1, 1, 1, 'A'", "VALUES (1, 1, 'A'")
)
CHILDREN = ("pattern", "dimension", "axle", "casting", "tick", "journal_line")


@pytest.fixture
def filled(tmp_path: Path, empty_file: Path) -> Path:
    """A person's file at today's tables, with one row in each of several."""
    path = tmp_path / "spokeshed.db"
    shutil.copy(empty_file, path)
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(ROWS)
    return path


@pytest.fixture
def migrations(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The migrations of some later program: ours and whatever a test adds."""
    folder = tmp_path / "later"
    shutil.copytree(MIGRATIONS, folder, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(upgrade, "MIGRATIONS", folder)
    upgrade.revisions.cache_clear()
    yield folder
    upgrade.revisions.cache_clear()


def _add(migrations: Path, more: str = "") -> None:
    head = upgrade.revisions()[-1]
    (migrations / "versions" / "9001_later.py").write_text(RECREATE.format(head=head, more=more))
    upgrade.revisions.cache_clear()


def _dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        return list(connection.iterdump())


# A copy has a mark of its own, and is else the same.
_MARK = 'INSERT INTO "write_mark"'


def _without_mark(path: Path) -> list[str]:
    found = _dump(path)
    kept = [line for line in found if _MARK not in line]
    assert len(kept) == len(found) - 1
    return kept


def _value(path: Path, sql: str) -> object:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(sql).fetchone()[0]


def _copies(path: Path) -> list[Path]:
    return sorted(folder_of(path).glob(f"{path.stem}-*-before-*"))


def test_the_file_names_tell_what_alembic_knows() -> None:
    script = ScriptDirectory.from_config(upgrade._config())
    known = [revision.revision for revision in script.walk_revisions()]
    assert list(upgrade.revisions()) == known[::-1]
    assert script.get_heads() == [upgrade.revisions()[-1]]


def test_a_new_file_is_ours_and_has_the_newest_tables(tmp_path: Path) -> None:
    path = tmp_path / "a folder" / "of its own" / "spokeshed.db"
    upgrade.prepare(path)
    assert look(path) is FileKind.OWN
    assert _value(path, "PRAGMA application_id") == APPLICATION_ID
    assert _value(path, "SELECT version_num FROM alembic_version") == upgrade.revisions()[-1]
    assert _copies(path) == []


def test_a_new_demo_file_says_so(tmp_path: Path) -> None:
    path = tmp_path / "demo.db"
    upgrade.prepare(path, demo=True)
    assert look(path) is FileKind.DEMO
    upgrade.prepare(path, demo=True)


def test_models_match_the_tables(tmp_path: Path) -> None:
    path = tmp_path / "spokeshed.db"
    upgrade.prepare(path)
    engine = upgrade._engine(path)
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, SQLModel.metadata) == []
    engine.dispose()


def test_a_file_that_is_up_to_date_is_left_alone(filled: Path) -> None:
    before = sha256(filled.read_bytes()).digest()
    upgrade.prepare(filled)
    assert sha256(filled.read_bytes()).digest() == before
    assert _copies(filled) == []


def test_an_older_file_is_copied_and_brought_up_and_the_children_survive(
    filled: Path, migrations: Path
) -> None:
    before, old_head = _dump(filled), upgrade.revisions()[-1]
    _add(migrations)
    upgrade.prepare(filled)
    assert _value(filled, "SELECT version_num FROM alembic_version") == "9001"
    for table in CHILDREN:
        assert _value(filled, f"SELECT count(*) FROM {table}") == 1, table
    assert _value(filled, "SELECT name FROM build") == "Goods engine"
    assert look(filled) is FileKind.OWN
    (copy,) = _copies(filled)
    assert copy.name.endswith(f"-before-{old_head}.db")
    assert _without_mark(copy) == [line for line in before if _MARK not in line]
    assert look(copy) is FileKind.OWN


def test_the_copy_holds_what_is_still_in_the_log(filled: Path, migrations: Path) -> None:
    """A file whose program was killed has its last rows in the -wal file only."""
    with closing(sqlite3.connect(filled)) as open_elsewhere:
        open_elsewhere.execute("PRAGMA journal_mode = WAL")
        open_elsewhere.execute("UPDATE build SET name = 'In the log'")
        open_elsewhere.commit()
        _add(migrations)
        upgrade.prepare(filled)
        (copy,) = _copies(filled)
        assert _value(copy, "SELECT name FROM build") == "In the log"


def test_with_foreign_keys_on_the_same_migration_would_lose_the_children(
    filled: Path, migrations: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Why the switch is there: without it the check (or the rows) would tell."""
    _add(migrations)
    real = upgrade._engine

    def with_keys(path: Path) -> object:
        from sqlalchemy import event

        engine = real(path)
        event.listen(engine, "connect", lambda c, _: c.execute("PRAGMA foreign_keys = ON"))
        return engine

    monkeypatch.setattr(upgrade, "_engine", with_keys)
    try:
        upgrade.prepare(filled)
    except StartError:
        return
    assert _value(filled, "SELECT count(*) FROM dimension") == 0


@pytest.mark.parametrize("more", [FAILS, ORPHANS], ids=["fails", "leaves orphans"])
def test_a_migration_that_goes_wrong_leaves_the_file_as_it_was(
    filled: Path, migrations: Path, more: str
) -> None:
    before = _dump(filled)
    digest = sha256(filled.read_bytes()).digest()
    _add(migrations, more)
    with pytest.raises(StartError, match="it is as it was, and a copy is at"):
        upgrade.prepare(filled)
    assert _dump(filled) == before
    assert sha256(filled.read_bytes()).digest() == digest
    (copy,) = _copies(filled)
    assert _without_mark(copy) == [line for line in before if _MARK not in line]


def test_a_first_migration_that_goes_wrong_leaves_no_file(tmp_path: Path, migrations: Path) -> None:
    _add(migrations, FAILS)
    path = tmp_path / "new.db"
    with pytest.raises(StartError, match="could not be made"):
        upgrade.prepare(path)
    assert not path.exists()


def test_a_newer_file_is_refused_and_left_alone(filled: Path) -> None:
    with closing(sqlite3.connect(filled)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    digest = sha256(filled.read_bytes()).digest()
    with pytest.raises(StartError, match="newer spokeshed"):
        upgrade.prepare(filled)
    assert sha256(filled.read_bytes()).digest() == digest
    assert _copies(filled) == []


@pytest.mark.parametrize(
    ("damage", "sentence"),
    [
        ("DROP TABLE tick", "tick"),
        ("ALTER TABLE build ADD COLUMN colour TEXT", "build: colour"),
        ("DROP TABLE alembic_version", "which tables it has"),
        ("PRAGMA foreign_keys = OFF; DELETE FROM axle", "has lost its axle"),
    ],
)
def test_tables_that_are_not_what_the_program_expects(filled: Path, damage: str, sentence: str) -> None:
    with closing(sqlite3.connect(filled)) as connection:
        connection.executescript(damage)
    with pytest.raises(StartError, match=sentence):
        upgrade.prepare(filled)


def test_a_torn_file_is_refused(filled: Path) -> None:
    whole = filled.read_bytes()
    filled.write_bytes(whole[:4096] + b"\x5a" * (len(whole) - 4096))
    with pytest.raises(StartError, match=r"damaged|cannot be used|which tables"):
        upgrade.prepare(filled)


def test_a_new_migration_is_numbered_after_the_last(tmp_path: Path, migrations: Path) -> None:
    expected = f"{int(upgrade.revisions()[-1]) + 1:04}"
    upgrade.new_migration("colour of the paint", tmp_path / "scratch.db")
    (written,) = (migrations / "versions").glob(f"{expected}_*.py")
    text = written.read_text()
    assert f"revision = '{expected}'" in text.replace('"', "'")
    assert "def upgrade() -> None:" in text
    compile(text, written.name, "exec")
