"""When a device says that a thing was done, where it could be sent only later.

Revision ID: 0012
Revises: 0011
"""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the device's time beside the time of arrival; everything there is came at once."""
    for table in ("tick", "journal_line"):
        op.add_column(table, sa.Column("device_at", sa.DateTime(), nullable=True))


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
