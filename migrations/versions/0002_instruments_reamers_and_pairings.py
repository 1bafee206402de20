"""Instruments, reamers and drills; how a bore was measured; the joint's own figures; pairings.

Revision ID: 0002
Revises: 0001
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Create the new tables, and widen measurements and readings."""
    op.create_table(
        "drill",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("nominal_nm", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_drill")),
        sa.UniqueConstraint("name", name=op.f("uq_drill_name")),
    )
    op.create_table(
        "instrument",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("reach", sa.String(), nullable=False),
        sa.Column("resolution_nm", sa.Integer(), nullable=False),
        sa.Column("expanded_nm", sa.Integer(), nullable=False),
        sa.Column("zero_offset_nm", sa.Integer(), nullable=False),
        sa.Column("go_nm", sa.Integer(), nullable=True),
        sa.Column("not_go_nm", sa.Integer(), nullable=True),
        sa.Column("alpha_ppb", sa.Integer(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("checked_on", sa.String(), nullable=False),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('value', 'plug')", name=op.f("ck_instrument_kind")),
        sa.CheckConstraint("reach IN ('inside', 'outside', 'both')", name=op.f("ck_instrument_reach")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_instrument")),
        sa.UniqueConstraint("name", name=op.f("uq_instrument_name")),
    )
    op.create_table(
        "reamer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("nominal_nm", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reamer")),
        sa.UniqueConstraint("name", name=op.f("uq_reamer_name")),
    )
    op.create_table(
        "joint_figure",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_joint_figure_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("build_id", "key", name=op.f("pk_joint_figure")),
    )
    op.create_table(
        "pairing",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("undone_by", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_pairing_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pairing")),
    )
    with op.batch_alter_table("pairing", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_pairing_build_id"), ["build_id"], unique=False)

    op.create_table(
        "pairing_move",
        sa.Column("pairing_id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=False),
        sa.Column("from_axle_id", sa.Integer(), nullable=True),
        sa.Column("from_side", sa.String(), nullable=True),
        sa.Column("to_axle_id", sa.Integer(), nullable=True),
        sa.Column("to_side", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["casting_id"],
            ["casting.id"],
            name=op.f("fk_pairing_move_casting_id_casting"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["pairing_id"],
            ["pairing.id"],
            name=op.f("fk_pairing_move_pairing_id_pairing"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("pairing_id", "casting_id", name=op.f("pk_pairing_move")),
    )
    with op.batch_alter_table("measurement", schema=None) as batch_op:
        batch_op.add_column(sa.Column("instrument_id", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("reamer_id", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("work_dc", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("gauge_dc", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("expanded_nm", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("by_plug", sa.Boolean(), server_default=sa.text("0"), nullable=False))
        batch_op.add_column(sa.Column("low_nm", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("high_nm", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("plug_one_nm", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("plug_two_nm", sa.Integer(), nullable=True))
        batch_op.create_foreign_key(
            batch_op.f("fk_measurement_instrument_id_instrument"), "instrument", ["instrument_id"], ["id"]
        )
        batch_op.create_foreign_key(
            batch_op.f("fk_measurement_reamer_id_reamer"), "reamer", ["reamer_id"], ["id"]
        )

    with op.batch_alter_table("reading", schema=None) as batch_op:
        batch_op.add_column(sa.Column("place", sa.String(), nullable=True))
        batch_op.add_column(sa.Column("direction", sa.String(), nullable=True))


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
