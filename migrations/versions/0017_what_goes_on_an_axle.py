"""What goes on an axle before its second wheel, and whether it has its centres.

Revision ID: 0017
Revises: 0016
"""

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """A list for each axle, empty for those there are; of their centres nothing is said."""
    op.create_table(
        "axle_item",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("axle_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("along", sa.String(), nullable=False),
        sa.Column("split", sa.Boolean(), nullable=False),
        sa.Column("width_nm", sa.Integer(), nullable=True),
        sa.Column("width_text", sa.String(), nullable=True),
        sa.Column("on_who", sa.String(), nullable=True),
        sa.Column("on_at", sa.DateTime(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('axlebox', 'eccentric', 'gear', 'pump_drive', 'spacer', 'other')",
            name=op.f("ck_axle_item_kind"),
        ),
        sa.CheckConstraint("along IN ('left', 'middle', 'right')", name=op.f("ck_axle_item_along")),
        sa.CheckConstraint("(width_nm IS NULL) = (width_text IS NULL)", name=op.f("ck_axle_item_width")),
        sa.CheckConstraint("(on_who IS NULL) = (on_at IS NULL)", name=op.f("ck_axle_item_put_on")),
        sa.ForeignKeyConstraint(
            ["axle_id"], ["axle.id"], name=op.f("fk_axle_item_axle_id_axle"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_axle_item")),
        sa.UniqueConstraint("axle_id", "name", name=op.f("uq_axle_item_axle_id_name")),
    )
    op.create_index(op.f("ix_axle_item_axle_id"), "axle_item", ["axle_id"])
    op.add_column("axle", sa.Column("centred", sa.Boolean(), nullable=True))


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
