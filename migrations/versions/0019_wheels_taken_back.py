"""Finished wheels taken back after service, with the ticks they lost.

Revision ID: 0019
Revises: 0018
"""

import sqlalchemy as sa
from alembic import op

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """None was taken back before."""
    op.create_table(
        "taken_back",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("out_on", sa.String(), nullable=False),
        sa.Column("service", sa.String(), nullable=False),
        sa.Column("nm", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("measured_to_id", sa.Integer(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_taken_back_build_id_build"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["measured_to_id"], ["measurement.id"], name=op.f("fk_taken_back_measured_to_id_measurement")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_taken_back")),
    )
    op.create_index(op.f("ix_taken_back_build_id"), "taken_back", ["build_id"])
    op.create_table(
        "taken_back_tick",
        sa.Column("taken_back_id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("let_pass", sa.String(), server_default="", nullable=False),
        sa.Column("reason", sa.String(), server_default="", nullable=False),
        sa.Column("device_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(
            ["taken_back_id"],
            ["taken_back.id"],
            name=op.f("fk_taken_back_tick_taken_back_id_taken_back"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["casting_id"],
            ["casting.id"],
            name=op.f("fk_taken_back_tick_casting_id_casting"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("taken_back_id", "casting_id", "key", name=op.f("pk_taken_back_tick")),
    )


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
