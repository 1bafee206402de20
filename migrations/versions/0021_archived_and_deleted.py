"""Builds can be archived, and deleted with their journal; no number of a build or a casting is given twice.

Revision ID: 0021
Revises: 0020
"""

import sqlalchemy as sa
from alembic import op

revision = "0021"
down_revision = "0020"
branch_labels = None
depends_on = None

_TRIGGERS = sa.text("SELECT sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = :table")


def upgrade() -> None:
    """Nothing is archived. A line of the journal goes only after its build is gone, so never by itself."""
    for table in ("build", "casting"):
        # A page of what was deleted must find nobody else under its number.
        triggers = op.get_bind().execute(_TRIGGERS, {"table": table}).scalars().all()
        with op.batch_alter_table(
            table, recreate="always", table_kwargs={"sqlite_autoincrement": True}
        ) as batch_op:
            if table == "build":
                batch_op.add_column(sa.Column("archived", sa.Boolean(), nullable=False, server_default="0"))
        for trigger in triggers:
            op.execute(trigger)
    op.execute("DROP TRIGGER journal_line_no_delete")
    # It names `build`: a later migration that copies that table puts this trigger aside first.
    op.execute(
        "CREATE TRIGGER journal_line_no_delete BEFORE DELETE ON journal_line "
        "WHEN EXISTS (SELECT 1 FROM build WHERE id = OLD.build_id) "
        "BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END"
    )


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
