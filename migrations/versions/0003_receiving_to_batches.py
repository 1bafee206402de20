"""Receiving, sizes, setting true, machines, strokes and batches.

Revision ID: 0003
Revises: 0002
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Create the tables."""
    op.create_table(
        "chuck",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("body_nm", sa.Integer(), nullable=False),
        sa.Column("depth_nm", sa.Integer(), nullable=False),
        sa.Column("jaw_length_nm", sa.Integer(), nullable=True),
        sa.Column("normal_outside_nm", sa.Integer(), nullable=True),
        sa.Column("normal_inside_nm", sa.Integer(), nullable=True),
        sa.Column("reversed_outside_nm", sa.Integer(), nullable=True),
        sa.Column("reversed_inside_nm", sa.Integer(), nullable=True),
        sa.Column("screw_nm", sa.Integer(), nullable=True),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_chuck")),
        sa.UniqueConstraint("name", name=op.f("uq_chuck_name")),
    )
    op.create_table(
        "machine",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("speeds", sa.String(), nullable=False),
        sa.Column("motor_w", sa.Integer(), nullable=True),
        sa.Column("least_feed_nm", sa.Integer(), nullable=True),
        sa.Column("centre_height_nm", sa.Integer(), nullable=True),
        sa.Column("gap_radius_nm", sa.Integer(), nullable=True),
        sa.Column("gap_width_nm", sa.Integer(), nullable=True),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('lathe', 'drill')", name=op.f("ck_machine_kind")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_machine")),
        sa.UniqueConstraint("name", name=op.f("uq_machine_name")),
    )
    op.create_table(
        "work_batch",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("ended", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_work_batch_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_work_batch")),
    )
    with op.batch_alter_table("work_batch", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_work_batch_build_id"), ["build_id"], unique=False)

    op.create_table(
        "work_figure",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_work_figure_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("build_id", "key", name=op.f("pk_work_figure")),
    )
    op.create_table(
        "receipt",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=False),
        sa.Column("weight_mg", sa.Integer(), nullable=True),
        sa.Column("weight_text", sa.String(), nullable=False),
        sa.Column("blowhole", sa.Boolean(), nullable=False),
        sa.Column("chill", sa.Boolean(), nullable=False),
        sa.Column("shift", sa.Boolean(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_receipt_build_id_build"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["casting_id"], ["casting.id"], name=op.f("fk_receipt_casting_id_casting"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_receipt")),
    )
    with op.batch_alter_table("receipt", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_receipt_build_id"), ["build_id"], unique=False)

    op.create_table(
        "stroke_count",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=False),
        sa.Column("wanted", sa.Integer(), nullable=False),
        sa.Column("done", sa.Integer(), nullable=False),
        sa.Column("width_text", sa.String(), nullable=False),
        sa.Column("feed_text", sa.String(), nullable=False),
        sa.Column("depth_text", sa.String(), nullable=False),
        sa.Column("cut_text", sa.String(), nullable=False),
        sa.Column("closed", sa.Boolean(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["casting_id"],
            ["casting.id"],
            name=op.f("fk_stroke_count_casting_id_casting"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stroke_count")),
    )
    with op.batch_alter_table("stroke_count", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_stroke_count_casting_id"), ["casting_id"], unique=False)

    op.create_table(
        "truing",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=False),
        sa.Column("outward", sa.String(), nullable=False),
        sa.Column("surface", sa.String(), nullable=False),
        sa.Column("grip", sa.String(), nullable=False),
        sa.Column("dial_unit", sa.String(), nullable=False),
        sa.Column("division_nm", sa.Integer(), nullable=False),
        sa.Column("tolerance_nm", sa.Integer(), nullable=False),
        sa.Column("screw_nm", sa.Integer(), nullable=True),
        sa.Column("counts_up", sa.Boolean(), nullable=False),
        sa.Column("done", sa.Boolean(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.CheckConstraint("grip IN ('on_outside', 'on_inside')", name=op.f("ck_truing_grip")),
        sa.CheckConstraint("outward IN ('back', 'front')", name=op.f("ck_truing_outward")),
        sa.CheckConstraint("surface IN ('inside', 'outside')", name=op.f("ck_truing_surface")),
        sa.ForeignKeyConstraint(
            ["casting_id"], ["casting.id"], name=op.f("fk_truing_casting_id_casting"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_truing")),
    )
    with op.batch_alter_table("truing", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_truing_casting_id"), ["casting_id"], unique=False)

    op.create_table(
        "work_batch_wheel",
        sa.Column("batch_id", sa.Integer(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=False),
        sa.Column("passed", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["batch_id"],
            ["work_batch.id"],
            name=op.f("fk_work_batch_wheel_batch_id_work_batch"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["casting_id"],
            ["casting.id"],
            name=op.f("fk_work_batch_wheel_casting_id_casting"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("batch_id", "ordinal", name=op.f("pk_work_batch_wheel")),
    )
    op.create_table(
        "size",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=True),
        sa.Column("axle_id", sa.Integer(), nullable=True),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("nm", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("receipt_id", sa.Integer(), nullable=True),
        sa.Column("instrument_id", sa.Integer(), nullable=True),
        sa.Column("expanded_nm", sa.Integer(), nullable=True),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("supersedes_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("(casting_id IS NULL) <> (axle_id IS NULL)", name=op.f("ck_size_of_one_thing")),
        sa.ForeignKeyConstraint(
            ["axle_id"], ["axle.id"], name=op.f("fk_size_axle_id_axle"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_size_build_id_build"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["casting_id"], ["casting.id"], name=op.f("fk_size_casting_id_casting"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["instrument_id"], ["instrument.id"], name=op.f("fk_size_instrument_id_instrument")
        ),
        sa.ForeignKeyConstraint(
            ["receipt_id"], ["receipt.id"], name=op.f("fk_size_receipt_id_receipt"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["supersedes_id"], ["size.id"], name=op.f("fk_size_supersedes_id_size")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_size")),
        sa.UniqueConstraint("supersedes_id", name=op.f("uq_size_supersedes_id")),
    )
    with op.batch_alter_table("size", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_size_build_id"), ["build_id"], unique=False)

    op.create_table(
        "truing_round",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("truing_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("radius_nm", sa.Integer(), nullable=True),
        sa.Column("struck_out", sa.Boolean(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.CheckConstraint("kind IN ('radial', 'face')", name=op.f("ck_truing_round_kind")),
        sa.ForeignKeyConstraint(
            ["truing_id"], ["truing.id"], name=op.f("fk_truing_round_truing_id_truing"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_truing_round")),
    )
    with op.batch_alter_table("truing_round", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_truing_round_truing_id"), ["truing_id"], unique=False)

    op.create_table(
        "dial_reading",
        sa.Column("round_id", sa.Integer(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("angle_udeg", sa.Integer(), nullable=False),
        sa.Column("nm", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["round_id"],
            ["truing_round.id"],
            name=op.f("fk_dial_reading_round_id_truing_round"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("round_id", "ordinal", name=op.f("pk_dial_reading")),
    )


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
