"""Two more orders of work, and castings that are painted before they are machined.

Revision ID: 0013
Revises: 0012
"""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

_OWN_TRIGGERS = sa.text("SELECT sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'build'")


def upgrade() -> None:
    """Let a build say the new routes; its copied table gets its triggers again. What there is, is painted last."""
    triggers = op.get_bind().execute(_OWN_TRIGGERS).scalars().all()
    with op.batch_alter_table("build", recreate="always") as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_build_route"), type_="check")
        batch_op.create_check_constraint(
            batch_op.f("ck_build_route"),
            "route IN ('fitted_first', 'mandrel_first', 'front_first', 'between_centres')",
        )
        batch_op.add_column(sa.Column("paint_first", sa.Boolean(), nullable=False, server_default="0"))
    for trigger in triggers:
        op.execute(trigger)


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
