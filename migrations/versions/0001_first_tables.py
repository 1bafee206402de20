"""The first tables: a build, its axles, castings, ticks, measurements and journal.

Revision ID: 0001
Revises:
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Create every table, then the triggers that keep the journal append-only."""
    op.create_table(
        "build",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("standard", sa.String(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("quarter_angle_udeg", sa.Integer(), nullable=False),
        sa.Column("lead", sa.String(), nullable=False),
        sa.Column("fit", sa.String(), nullable=False),
        sa.Column("route", sa.String(), nullable=False),
        sa.Column("iron", sa.String(), nullable=False),
        sa.Column("invented", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.CheckConstraint("fit IN ('press', 'shrink', 'bond')", name=op.f("ck_build_fit")),
        sa.CheckConstraint("lead IN ('left', 'right')", name=op.f("ck_build_lead")),
        sa.CheckConstraint("route IN ('fitted_first', 'mandrel_first')", name=op.f("ck_build_route")),
        sa.CheckConstraint("unit IN ('mm', 'in')", name=op.f("ck_build_unit")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_build")),
    )
    op.create_table(
        "submission",
        sa.Column("token", sa.String(), nullable=False),
        sa.Column("answer", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("token", name=op.f("pk_submission")),
    )
    op.create_table(
        "axle",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("coupled", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_axle_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_axle")),
        sa.UniqueConstraint("build_id", "number", name=op.f("uq_axle_build_id_number")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_axle_build_id"), "axle", ["build_id"], unique=False)
    op.create_table(
        "dimension",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("nm", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_dimension_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("build_id", "key", name=op.f("pk_dimension")),
    )
    op.create_table(
        "casting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("mark", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("axle_id", sa.Integer(), nullable=True),
        sa.Column("side", sa.String(), nullable=True),
        sa.Column("scrap_reason", sa.String(), nullable=False),
        sa.Column("scrapped_from_axle_id", sa.Integer(), nullable=True),
        sa.Column("scrapped_from_side", sa.String(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint("(state = 'in_work') = (axle_id IS NOT NULL)", name=op.f("ck_casting_place")),
        sa.CheckConstraint("side IN ('left', 'right')", name=op.f("ck_casting_side")),
        sa.CheckConstraint("state IN ('in_work', 'spare', 'scrapped')", name=op.f("ck_casting_state")),
        sa.CheckConstraint("(axle_id IS NULL) = (side IS NULL)", name=op.f("ck_casting_whole_place")),
        sa.ForeignKeyConstraint(["axle_id"], ["axle.id"], name=op.f("fk_casting_axle_id_axle")),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_casting_build_id_build"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["scrapped_from_axle_id"],
            ["axle.id"],
            name=op.f("fk_casting_scrapped_from_axle_id_axle"),
            ondelete="SET NULL",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_casting")),
        sa.UniqueConstraint("axle_id", "side", name=op.f("uq_casting_axle_id_side")),
        sa.UniqueConstraint("build_id", "mark", name=op.f("uq_casting_build_id_mark")),
    )
    op.create_index(op.f("ix_casting_build_id"), "casting", ["build_id"], unique=False)
    op.create_table(
        "journal_line",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=True),
        sa.Column("axle_id", sa.Integer(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("sentence", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("page", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_journal_line_build_id_build")),
        sa.ForeignKeyConstraint(
            ["casting_id"], ["casting.id"], name=op.f("fk_journal_line_casting_id_casting")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_journal_line")),
    )
    op.create_index(op.f("ix_journal_line_axle_id"), "journal_line", ["axle_id"], unique=False)
    op.create_index(op.f("ix_journal_line_build_id"), "journal_line", ["build_id"], unique=False)
    op.create_index(
        "ix_journal_line_casting_id_version", "journal_line", ["casting_id", "version"], unique=False
    )
    op.create_table(
        "measurement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=True),
        sa.Column("axle_id", sa.Integer(), nullable=True),
        sa.Column("side", sa.String(), nullable=True),
        sa.Column("mean_nm", sa.Integer(), nullable=False),
        sa.Column("instrument", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("supersedes_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "(kind = 'seat') = (axle_id IS NOT NULL)", name=op.f("ck_measurement_seat_of_axle")
        ),
        sa.CheckConstraint("(kind = 'seat') = (casting_id IS NULL)", name=op.f("ck_measurement_of_casting")),
        sa.CheckConstraint("kind IN ('bore', 'throw', 'seat')", name=op.f("ck_measurement_kind")),
        sa.ForeignKeyConstraint(
            ["axle_id"], ["axle.id"], name=op.f("fk_measurement_axle_id_axle"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_measurement_build_id_build"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["casting_id"], ["casting.id"], name=op.f("fk_measurement_casting_id_casting"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["supersedes_id"], ["measurement.id"], name=op.f("fk_measurement_supersedes_id_measurement")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measurement")),
        sa.UniqueConstraint("supersedes_id", name=op.f("uq_measurement_supersedes_id")),
    )
    op.create_index(op.f("ix_measurement_build_id"), "measurement", ["build_id"], unique=False)
    op.create_index(op.f("ix_measurement_casting_id"), "measurement", ["casting_id"], unique=False)
    op.create_table(
        "quartering",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("axle_id", sa.Integer(), nullable=False),
        sa.Column("left_casting_id", sa.Integer(), nullable=False),
        sa.Column("right_casting_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["axle_id"], ["axle.id"], name=op.f("fk_quartering_axle_id_axle"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["left_casting_id"],
            ["casting.id"],
            name=op.f("fk_quartering_left_casting_id_casting"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["right_casting_id"],
            ["casting.id"],
            name=op.f("fk_quartering_right_casting_id_casting"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quartering")),
        sa.UniqueConstraint(
            "axle_id",
            "left_casting_id",
            "right_casting_id",
            name=op.f("uq_quartering_axle_id_left_casting_id_right_casting_id"),
        ),
    )
    op.create_table(
        "tick",
        sa.Column("casting_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["casting_id"], ["casting.id"], name=op.f("fk_tick_casting_id_casting"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("casting_id", "key", name=op.f("pk_tick")),
    )
    op.create_table(
        "reading",
        sa.Column("measurement_id", sa.Integer(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("nm", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["measurement_id"],
            ["measurement.id"],
            name=op.f("fk_reading_measurement_id_measurement"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("measurement_id", "ordinal", name=op.f("pk_reading")),
    )
    for what in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER journal_line_no_{what.lower()} BEFORE {what} ON journal_line "
            "BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END"
        )


def downgrade() -> None:
    """There is nothing before the first tables to go back to."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
