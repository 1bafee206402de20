"""A crack is among what may be seen on a casting as it came.

Revision ID: 0022
Revises: 0021
"""

import sqlalchemy as sa
from alembic import op

revision = "0022"
down_revision = "0021"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """None was noted before. A column with a plain default is added in place, so that nothing is copied."""
    op.add_column("receipt", sa.Column("crack", sa.Boolean(), nullable=False, server_default="0"))


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
