"""The workshop's drilling jigs.

Revision ID: 0018
Revises: 0017
"""

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """A list that is empty to begin with."""
    op.create_table(
        "jig",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("throw_nm", sa.Integer(), nullable=False),
        sa.Column("plug_nm", sa.Integer(), nullable=False),
        sa.Column("bush_nm", sa.Integer(), nullable=False),
        sa.Column("checked_on", sa.String(), nullable=False),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jig")),
        sa.UniqueConstraint("name", name=op.f("uq_jig_name")),
    )


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
