"""The stubs that wheels are turned on, and each wheel's time on one.

Revision ID: 0016
Revises: 0015
"""

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Two new tables; no wheel that there is has been on a stub."""
    op.create_table(
        "stub",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("pattern_id", sa.Integer(), nullable=False),
        sa.Column("hold", sa.String(), nullable=False),
        sa.Column("nm", sa.Integer(), nullable=True),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("swing_nm", sa.Integer(), nullable=True),
        sa.Column("swing_text", sa.String(), nullable=False),
        sa.Column("put_back", sa.Boolean(), nullable=False),
        sa.Column("dial_text", sa.String(), nullable=False),
        sa.Column("ended", sa.Boolean(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.CheckConstraint("(hold = 'centres') = (nm IS NULL)", name=op.f("ck_stub_size")),
        sa.CheckConstraint(
            "hold IN ('bond', 'push', 'expanding', 'collet', 'centres', 'spigot')", name=op.f("ck_stub_hold")
        ),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_stub_build_id_build"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["pattern_id"], ["pattern.id"], name=op.f("fk_stub_pattern_id_pattern")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stub")),
    )
    op.create_index(op.f("ix_stub_build_id"), "stub", ["build_id"])
    op.create_table(
        "stub_turn",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("stub_id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=False),
        sa.Column("on_at", sa.DateTime(), nullable=False),
        sa.Column("on_by", sa.String(), nullable=False),
        sa.Column("untimed", sa.Boolean(), nullable=False),
        sa.Column("centred_at", sa.DateTime(), nullable=True),
        sa.Column("off_at", sa.DateTime(), nullable=True),
        sa.Column("off_by", sa.String(), nullable=False),
        sa.Column("cleaned_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(
            ["casting_id"],
            ["casting.id"],
            name=op.f("fk_stub_turn_casting_id_casting"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["stub_id"], ["stub.id"], name=op.f("fk_stub_turn_stub_id_stub"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stub_turn")),
    )
    op.create_index(op.f("ix_stub_turn_casting_id"), "stub_turn", ["casting_id"])
    op.create_index(op.f("ix_stub_turn_stub_id"), "stub_turn", ["stub_id"])


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
