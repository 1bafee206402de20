"""Heights of crankpins in vee blocks, and the figures of the rods.

Revision ID: 0004
Revises: 0003
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Create the tables."""
    op.create_table(
        "rod_figure",
        sa.Column("axle_id", sa.Integer(), nullable=False),
        sa.Column("side", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("nm", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.CheckConstraint("side IN ('left', 'right')", name=op.f("ck_rod_figure_side")),
        sa.ForeignKeyConstraint(
            ["axle_id"], ["axle.id"], name=op.f("fk_rod_figure_axle_id_axle"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_rod_figure_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("axle_id", "side", "key", name=op.f("pk_rod_figure")),
    )
    with op.batch_alter_table("rod_figure", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_rod_figure_build_id"), ["build_id"], unique=False)

    op.create_table(
        "quarter_heights",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("axle_id", sa.Integer(), nullable=False),
        sa.Column("left_casting_id", sa.Integer(), nullable=False),
        sa.Column("right_casting_id", sa.Integer(), nullable=False),
        sa.Column("centre_nm", sa.Integer(), nullable=False),
        sa.Column("centre_text", sa.String(), nullable=False),
        sa.Column("left_nm", sa.Integer(), nullable=False),
        sa.Column("left_text", sa.String(), nullable=False),
        sa.Column("left_branch", sa.String(), nullable=False),
        sa.Column("right_nm", sa.Integer(), nullable=False),
        sa.Column("right_text", sa.String(), nullable=False),
        sa.Column("right_branch", sa.String(), nullable=False),
        sa.Column("inside_nm", sa.Integer(), nullable=True),
        sa.Column("inside_text", sa.String(), nullable=False),
        sa.Column("inside_branch", sa.String(), nullable=True),
        sa.Column("inside_throw_nm", sa.Integer(), nullable=True),
        sa.Column("inside_throw_text", sa.String(), nullable=False),
        sa.Column("expanded_nm", sa.Integer(), nullable=True),
        sa.Column("instrument_id", sa.Integer(), nullable=True),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.CheckConstraint(
            "inside_branch IN ('front', 'rear')", name=op.f("ck_quarter_heights_inside_branch")
        ),
        sa.CheckConstraint("left_branch IN ('front', 'rear')", name=op.f("ck_quarter_heights_left_branch")),
        sa.CheckConstraint("right_branch IN ('front', 'rear')", name=op.f("ck_quarter_heights_right_branch")),
        sa.ForeignKeyConstraint(
            ["axle_id"], ["axle.id"], name=op.f("fk_quarter_heights_axle_id_axle"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_quarter_heights_build_id_build"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["instrument_id"], ["instrument.id"], name=op.f("fk_quarter_heights_instrument_id_instrument")
        ),
        sa.ForeignKeyConstraint(
            ["left_casting_id"],
            ["casting.id"],
            name=op.f("fk_quarter_heights_left_casting_id_casting"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["right_casting_id"],
            ["casting.id"],
            name=op.f("fk_quarter_heights_right_casting_id_casting"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quarter_heights")),
    )
    with op.batch_alter_table("quarter_heights", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_quarter_heights_build_id"), ["build_id"], unique=False)


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
