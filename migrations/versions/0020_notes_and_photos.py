"""Notes on castings and axles, with photos.

Revision ID: 0020
Revises: 0019
"""

import sqlalchemy as sa
from alembic import op

revision = "0020"
down_revision = "0019"
branch_labels = None
depends_on = None

_GIVE = "UPDATE note SET permanent_id = lower(hex(randomblob(16)))"


def upgrade() -> None:
    """Two tables, empty; a note gets its permanent id as castings do."""
    op.create_table(
        "note",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("casting_id", sa.Integer(), nullable=True),
        sa.Column("axle_id", sa.Integer(), nullable=True),
        sa.Column("stage", sa.String(), nullable=True),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("permanent_id", sa.String(), nullable=False, server_default=""),
        sa.CheckConstraint("(casting_id IS NULL) <> (axle_id IS NULL)", name=op.f("ck_note_of_one_thing")),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_note_build_id_build"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["casting_id"], ["casting.id"], name=op.f("fk_note_casting_id_casting"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["axle_id"], ["axle.id"], name=op.f("fk_note_axle_id_axle"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_note")),
    )
    for column in ("build_id", "casting_id", "axle_id"):
        op.create_index(op.f(f"ix_note_{column}"), "note", [column])
    op.create_index(op.f("ix_note_permanent_id"), "note", ["permanent_id"], unique=True)
    op.execute(
        "CREATE TRIGGER note_permanent_id_given AFTER INSERT ON note WHEN NEW.permanent_id = '' "
        f"BEGIN {_GIVE} WHERE id = NEW.id; END"
    )
    op.execute(
        "CREATE TRIGGER note_permanent_id_kept BEFORE UPDATE OF permanent_id ON note "
        "WHEN OLD.permanent_id <> '' AND NEW.permanent_id <> OLD.permanent_id "
        "BEGIN SELECT RAISE(ABORT, 'a permanent id is never changed'); END"
    )
    op.create_table(
        "photo",
        sa.Column("note_id", sa.Integer(), nullable=False),
        sa.Column("small", sa.LargeBinary(), nullable=False),
        sa.Column("jpeg", sa.LargeBinary(), nullable=False),
        sa.CheckConstraint("length(jpeg) <= 1000000", name=op.f("ck_photo_size")),
        sa.ForeignKeyConstraint(
            ["note_id"], ["note.id"], name=op.f("fk_photo_note_id_note"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("note_id", name=op.f("pk_photo")),
    )


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
