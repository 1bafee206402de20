"""Rounds by eye, in a set-up with or without a dial; and how practised a builder is has two answers.

Revision ID: 0008
Revises: 0007
"""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

_TABLES = ("truing", "truing_round", "dial_reading")
# The columns are the same, in the same order.
_COPIES = (
    "INSERT INTO truing SELECT * FROM old_truing",
    "INSERT INTO truing_round SELECT * FROM old_truing_round",
    "INSERT INTO dial_reading SELECT * FROM old_dial_reading",
)


def upgrade() -> None:
    """Make the three tables anew under their names, and copy every row; many wheels made and a few are both practised."""
    op.drop_index("ix_truing_casting_id", table_name="truing")
    op.drop_index("ix_truing_round_truing_id", table_name="truing_round")
    for table in _TABLES:
        op.rename_table(table, f"old_{table}")
    _create()
    for copy in _COPIES:
        op.execute(copy)
    for table in reversed(_TABLES):
        op.drop_table(f"old_{table}")
    op.execute("UPDATE work_figure SET text = 'some' WHERE key = 'experience' AND text = 'many'")


def _create() -> None:
    op.create_table(
        "truing",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=False),
        sa.Column("outward", sa.String(), nullable=False),
        sa.Column("surface", sa.String(), nullable=False),
        sa.Column("grip", sa.String(), nullable=False),
        sa.Column("dial_unit", sa.String(), nullable=True),
        sa.Column("division_nm", sa.Integer(), nullable=True),
        sa.Column("tolerance_nm", sa.Integer(), nullable=True),
        sa.Column("screw_nm", sa.Integer(), nullable=True),
        sa.Column("counts_up", sa.Boolean(), nullable=False),
        sa.Column("done", sa.Boolean(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.CheckConstraint("grip IN ('on_outside', 'on_inside')", name=op.f("ck_truing_grip")),
        sa.CheckConstraint("outward IN ('back', 'front')", name=op.f("ck_truing_outward")),
        sa.CheckConstraint("surface IN ('inside', 'outside')", name=op.f("ck_truing_surface")),
        sa.CheckConstraint(
            "(dial_unit IS NULL) = (division_nm IS NULL) AND (dial_unit IS NULL) = (tolerance_nm IS NULL)",
            name=op.f("ck_truing_dial"),
        ),
        sa.ForeignKeyConstraint(
            ["casting_id"], ["casting.id"], name=op.f("fk_truing_casting_id_casting"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_truing")),
    )
    op.create_index(op.f("ix_truing_casting_id"), "truing", ["casting_id"], unique=False)
    op.create_table(
        "truing_round",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("truing_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("radius_nm", sa.Integer(), nullable=True),
        sa.Column("struck_out", sa.Boolean(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.CheckConstraint("kind IN ('radial', 'face', 'eye')", name=op.f("ck_truing_round_kind")),
        sa.ForeignKeyConstraint(
            ["truing_id"], ["truing.id"], name=op.f("fk_truing_round_truing_id_truing"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_truing_round")),
    )
    op.create_index(op.f("ix_truing_round_truing_id"), "truing_round", ["truing_id"], unique=False)
    op.create_table(
        "dial_reading",
        sa.Column("round_id", sa.Integer(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("angle_udeg", sa.Integer(), nullable=False),
        sa.Column("nm", sa.Integer(), nullable=True),
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
