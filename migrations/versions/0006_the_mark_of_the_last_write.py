"""The mark of the last write, by which a log is known to belong to its file.

Revision ID: 0006
Revises: 0005
"""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Create the table and its only row; zeros stand for the time before there were marks."""
    op.create_table(
        "write_mark",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("earlier", sa.LargeBinary(), nullable=False),
        sa.Column("latest", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_write_mark")),
    )
    op.execute("INSERT INTO write_mark (id, earlier, latest) VALUES (1, zeroblob(8), zeroblob(8))")


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
