"""What stands is found at once, however often it was measured before.

Revision ID: 0010
Revises: 0009
"""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

_STANDS = "struck_out_at IS NULL AND superseded = 0"
# After whatever happens to a correction, what it corrects is superseded while a correction of it stands.
_KEEP = (
    "UPDATE measurement SET superseded = EXISTS (SELECT 1 FROM measurement AS later"
    " WHERE later.supersedes_id = measurement.id AND later.struck_out_at IS NULL)"
)
_JOURNALS = (
    ("casting", "casting_id", None),
    ("axle", "axle_id", sa.text("casting_id IS NULL")),
    ("build", "build_id", sa.text("casting_id IS NULL OR axle_id IS NULL")),
)
_TRIGGERS = (
    ("written", "INSERT", "NEW"),
    ("struck_out", "UPDATE OF struck_out_at", "NEW"),
    ("gone", "DELETE", "OLD"),
)


def upgrade() -> None:
    """Add the mark of what a correction stands in for, the triggers that keep it, and the indexes by it."""
    op.add_column("measurement", sa.Column("superseded", sa.Boolean(), nullable=False, server_default="0"))
    op.execute(_KEEP)
    for name, event, row in _TRIGGERS:
        op.execute(
            f"CREATE TRIGGER measurement_{name} AFTER {event} ON measurement "
            f"WHEN {row}.supersedes_id IS NOT NULL "
            f"BEGIN {_KEEP} WHERE id = {row}.supersedes_id; END"
        )
    op.create_index(
        "ix_measurement_stands",
        "measurement",
        ["build_id", "left_casting_id", "casting_id", "receipt_id", "axle_id", "side", "kind"],
        sqlite_where=sa.text(_STANDS),
    )
    op.create_index(
        "ix_measurement_reamed",
        "measurement",
        ["reamer_id", "value", "instrument_id"],
        sqlite_where=sa.text(f"reamer_id IS NOT NULL AND {_STANDS}"),
    )
    op.create_index("ix_measurement_axle_id", "measurement", ["axle_id"])
    op.drop_index("ix_journal_line_axle_id", "journal_line")
    for what, column, where in _JOURNALS:
        op.create_index(f"ix_journal_line_of_{what}", "journal_line", [column], sqlite_where=where)


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
