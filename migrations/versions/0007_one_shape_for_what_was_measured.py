"""One shape for what was measured: sizes, heights of crankpins and weights become measurements with readings.

Revision ID: 0007
Revises: 0006
"""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

# `after` is where the ids of the rows copied before end: within a kind the order in which they were written stays.
_SIZES = (
    """INSERT INTO measurement (id, build_id, kind, casting_id, axle_id, receipt_id, unit, value, expanded,
        instrument, instrument_id, who, at, supersedes_id)
    SELECT id + :after, build_id, key, casting_id, axle_id, receipt_id, 'nm', nm, expanded_nm,
        '', instrument_id, who, at, supersedes_id + :after
    FROM size""",
    # What was read, before the instrument's zero offset was taken off, was kept as text only.
    "INSERT INTO reading (measurement_id, ordinal, text) SELECT id + :after, 1, text FROM size",
)
_HEIGHTS = (
    """INSERT INTO measurement (id, build_id, kind, axle_id, left_casting_id, right_casting_id, unit, expanded,
        instrument, instrument_id, who, at)
    SELECT id + :after, build_id, 'pin_heights', axle_id, left_casting_id, right_casting_id, 'nm', expanded_nm,
        '', instrument_id, who, at
    FROM quarter_heights""",
    """INSERT INTO reading (measurement_id, ordinal, value, text, place, direction)
    SELECT id + :after, 1, centre_nm, centre_text, 'centre', NULL FROM quarter_heights
    UNION ALL SELECT id + :after, 2, left_nm, left_text, 'left', left_branch FROM quarter_heights
    UNION ALL SELECT id + :after, 3, right_nm, right_text, 'right', right_branch FROM quarter_heights
    UNION ALL SELECT id + :after, 4, inside_nm, inside_text, 'inside', inside_branch FROM quarter_heights
        WHERE inside_nm IS NOT NULL
    UNION ALL SELECT id + :after, 5, inside_throw_nm, inside_throw_text, 'inside_throw', NULL FROM quarter_heights
        WHERE inside_throw_nm IS NOT NULL""",
)
_WEIGHTS = (
    """INSERT INTO measurement (id, build_id, kind, casting_id, receipt_id, unit, value, instrument, who, at)
    SELECT id + :after, build_id, 'weight', casting_id, id, 'mg', weight_mg, '', who, at
    FROM receipt WHERE weight_mg IS NOT NULL OR weight_text <> ''""",
    """INSERT INTO reading (measurement_id, ordinal, text)
    SELECT id + :after, 1, weight_text FROM receipt WHERE weight_mg IS NOT NULL OR weight_text <> ''""",
)


def upgrade() -> None:
    """Make the tables anew under their names, copy every row, and drop the tables it came from."""
    for index in ("ix_measurement_build_id", "ix_measurement_casting_id"):
        op.drop_index(index, table_name="measurement")
    for table in ("reading", "measurement"):
        op.rename_table(table, f"old_{table}")
    _create()
    # A bore tried with plugs had the middle of its interval beside the two ends.
    op.execute(
        """INSERT INTO measurement (id, build_id, kind, casting_id, axle_id, side, unit, value, low, high, expanded,
            instrument, instrument_id, reamer_id, work_dc, gauge_dc, plug_one_nm, plug_two_nm, who, at, supersedes_id)
        SELECT id, build_id, kind, casting_id, axle_id, side, 'nm',
            CASE WHEN coalesce(low_nm, high_nm) IS NULL THEN mean_nm END, low_nm, high_nm, expanded_nm,
            instrument, instrument_id, reamer_id, work_dc, gauge_dc, plug_one_nm, plug_two_nm, who, at, supersedes_id
        FROM old_measurement"""
    )
    op.execute(
        """INSERT INTO reading (measurement_id, ordinal, value, text, place, direction)
        SELECT measurement_id, ordinal, nm, text, place, direction FROM old_reading"""
    )
    bind = op.get_bind()
    for copies in (_SIZES, _HEIGHTS, _WEIGHTS):
        after = bind.scalar(sa.text("SELECT coalesce(max(id), 0) FROM measurement"))
        for copy in copies:
            bind.execute(sa.text(copy), {"after": after})
    for table in ("old_reading", "old_measurement", "size", "quarter_heights"):
        op.drop_table(table)
    with op.batch_alter_table("receipt", schema=None) as batch_op:
        batch_op.drop_column("weight_text")
        batch_op.drop_column("weight_mg")


def _create() -> None:
    op.create_table(
        "measurement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=True),
        sa.Column("axle_id", sa.Integer(), nullable=True),
        sa.Column("side", sa.String(), nullable=True),
        sa.Column("left_casting_id", sa.Integer(), nullable=True),
        sa.Column("right_casting_id", sa.Integer(), nullable=True),
        sa.Column("receipt_id", sa.Integer(), nullable=True),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("value", sa.Integer(), nullable=True),
        sa.Column("low", sa.Integer(), nullable=True),
        sa.Column("high", sa.Integer(), nullable=True),
        sa.Column("expanded", sa.Integer(), nullable=True),
        sa.Column("instrument", sa.String(), nullable=False),
        sa.Column("instrument_id", sa.Integer(), nullable=True),
        sa.Column("reamer_id", sa.Integer(), nullable=True),
        sa.Column("work_dc", sa.Integer(), nullable=True),
        sa.Column("gauge_dc", sa.Integer(), nullable=True),
        sa.Column("plug_one_nm", sa.Integer(), nullable=True),
        sa.Column("plug_two_nm", sa.Integer(), nullable=True),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("supersedes_id", sa.Integer(), nullable=True),
        sa.Column("struck_out_why", sa.String(), nullable=True),
        sa.Column("struck_out_by", sa.String(), nullable=True),
        sa.Column("struck_out_at", sa.DateTime(), nullable=True),
        sa.CheckConstraint(
            "(casting_id IS NULL) <> (axle_id IS NULL)", name=op.f("ck_measurement_of_one_thing")
        ),
        sa.CheckConstraint(
            "kind NOT IN ('bore', 'throw') OR casting_id IS NOT NULL", name=op.f("ck_measurement_of_casting")
        ),
        sa.CheckConstraint("kind <> 'seat' OR side IS NOT NULL", name=op.f("ck_measurement_seat_of_end")),
        sa.CheckConstraint(
            "side IS NULL OR (axle_id IS NOT NULL AND side IN ('left', 'right'))",
            name=op.f("ck_measurement_side"),
        ),
        sa.CheckConstraint(
            "(left_casting_id IS NULL) = (right_casting_id IS NULL)"
            " AND (left_casting_id IS NULL OR axle_id IS NOT NULL)",
            name=op.f("ck_measurement_pair"),
        ),
        sa.CheckConstraint(
            "unit = CASE WHEN kind GLOB '*weight' THEN 'mg' WHEN kind GLOB '*angle' THEN 'udeg' ELSE 'nm' END",
            name=op.f("ck_measurement_unit"),
        ),
        sa.CheckConstraint(
            "value IS NULL OR (low IS NULL AND high IS NULL)", name=op.f("ck_measurement_value_or_interval")
        ),
        sa.CheckConstraint(
            "(struck_out_at IS NULL) = (struck_out_by IS NULL)"
            " AND (struck_out_at IS NULL) = (struck_out_why IS NULL)",
            name=op.f("ck_measurement_struck_out"),
        ),
        *_keys(),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measurement")),
    )
    op.create_index(op.f("ix_measurement_build_id"), "measurement", ["build_id"], unique=False)
    op.create_index(op.f("ix_measurement_casting_id"), "measurement", ["casting_id"], unique=False)
    op.create_index(
        "uq_measurement_supersedes_id",
        "measurement",
        ["supersedes_id"],
        unique=True,
        sqlite_where=sa.text("struck_out_at IS NULL"),
    )
    op.create_table(
        "reading",
        sa.Column("measurement_id", sa.Integer(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("value", sa.Integer(), nullable=True),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=True),
        sa.Column("direction", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["measurement_id"],
            ["measurement.id"],
            name=op.f("fk_reading_measurement_id_measurement"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("measurement_id", "ordinal", name=op.f("pk_reading")),
    )


def _keys() -> list[sa.ForeignKeyConstraint]:
    """The row goes with what it was measured of; a tool, and a row that was misread, are never deleted."""
    goes_with = {
        "build_id": "build",
        "casting_id": "casting",
        "axle_id": "axle",
        "left_casting_id": "casting",
        "right_casting_id": "casting",
        "receipt_id": "receipt",
    }
    names = {"instrument_id": "instrument", "reamer_id": "reamer", "supersedes_id": "measurement"}
    return [
        sa.ForeignKeyConstraint(
            [column],
            [f"{table}.id"],
            name=op.f(f"fk_measurement_{column}_{table}"),
            ondelete="CASCADE" if column in goes_with else None,
        )
        for column, table in (goes_with | names).items()
    ]


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
