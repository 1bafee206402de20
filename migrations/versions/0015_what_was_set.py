"""What was set for an operation is kept with its casting.

Revision ID: 0015
Revises: 0014
"""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table; nothing was kept before."""
    op.create_table(
        "setting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=False),
        sa.Column("operation", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("value", sa.Integer(), nullable=True),
        sa.Column("unit", sa.String(), nullable=True),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.CheckConstraint("unit IN ('nm', 'milli_per_min')", name=op.f("ck_setting_unit")),
        sa.CheckConstraint("(value IS NULL) = (unit IS NULL)", name=op.f("ck_setting_value_with_unit")),
        sa.ForeignKeyConstraint(
            ["casting_id"],
            ["casting.id"],
            name=op.f("fk_setting_casting_id_casting"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_setting")),
    )
    op.create_index("ix_setting_stands", "setting", ["casting_id", "operation", "key", "id"])


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
