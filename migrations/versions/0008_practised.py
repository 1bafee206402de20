"""How practised a builder is has two answers, a first attempt or practised.

Revision ID: 0008
Revises: 0007
"""

from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Many wheels made and a few are both practised."""
    op.execute("UPDATE work_figure SET text = 'some' WHERE key = 'experience' AND text = 'many'")


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
