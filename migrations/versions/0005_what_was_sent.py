"""What was sent, beside the token it was sent with.

Revision ID: 0005
Revises: 0004
"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forms taken before have no content: what they said is not known."""
    with op.batch_alter_table("submission", schema=None) as batch_op:
        batch_op.add_column(sa.Column("content", sa.String(), server_default="", nullable=False))


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
