"""A permanent id for what must be told apart for good, in whatever file it lies.

Revision ID: 0011
Revises: 0010
"""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

_TABLES = ("build", "axle", "casting", "instrument", "reamer")
_NEW = "lower(hex(randomblob(16)))"


def upgrade() -> None:
    """Give each row there is an id, and let the database give one to each new row and keep it."""
    for table in _TABLES:
        # SQLite adds no column whose default is worked out, so a trigger fills it in.
        op.add_column(table, sa.Column("permanent_id", sa.String(), nullable=False, server_default=""))
        give = f"UPDATE {table} SET permanent_id = {_NEW}"  # noqa: S608  (the names above)
        op.execute(give)
        op.create_index(op.f(f"ix_{table}_permanent_id"), table, ["permanent_id"], unique=True)
        op.execute(
            f"CREATE TRIGGER {table}_permanent_id_given AFTER INSERT ON {table} WHEN NEW.permanent_id = '' "
            f"BEGIN {give} WHERE id = NEW.id; END"
        )
        op.execute(
            f"CREATE TRIGGER {table}_permanent_id_kept BEFORE UPDATE OF permanent_id ON {table} "
            "WHEN OLD.permanent_id <> '' AND NEW.permanent_id <> OLD.permanent_id "
            "BEGIN SELECT RAISE(ABORT, 'a permanent id is never changed'); END"
        )


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
