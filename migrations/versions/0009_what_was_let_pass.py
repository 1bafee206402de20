"""What was asked before a tick and let pass, and why.

Revision ID: 0009
Revises: 0008
"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns; of a tick confirmed before there were any, the journal's line is all that is known."""
    for table in ("tick", "quartering"):
        for name in ("let_pass", "reason"):
            op.add_column(table, sa.Column(name, sa.String(), nullable=False, server_default=""))


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
