"""Patterns of wheel, each with its drawing's figures, its axles and its castings.

Revision ID: 0014
Revises: 0013
"""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

_KINDS = "kind IN ('driving', 'coupled', 'carrying', 'bogie', 'tender')"
_TRACK = "('gauge', 'back_to_back')"
_CRANK = "('throw', 'crankpin_hole')"
# A casting without an axle, and without one that it was scrapped from, may be for any: as so far it is taken for a
# driving wheel where the build has such.
_OF_AXLE = "SELECT pattern_id FROM axle WHERE axle.id = casting.axle_id"
_SCRAPPED_FROM = "SELECT pattern_id FROM axle WHERE axle.id = casting.scrapped_from_axle_id"
_FIRST = "SELECT min(pattern.id) FROM pattern WHERE pattern.build_id = casting.build_id"


def upgrade() -> None:
    """Each build gets a pattern of driving wheels, one of carrying wheels, or both, as its axles are."""
    op.create_table(
        "pattern",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.CheckConstraint(_KINDS, name=op.f("ck_pattern_kind")),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_pattern_build_id_build"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pattern")),
        sa.UniqueConstraint("build_id", "name", name=op.f("uq_pattern_build_id_name")),
    )
    op.create_index(op.f("ix_pattern_build_id"), "pattern", ["build_id"])
    _add_patterns()
    _give_dimensions()
    _give_axles()
    _give_castings()


def _add_patterns() -> None:
    carrying = "EXISTS (SELECT 1 FROM axle WHERE axle.build_id = build.id AND NOT coupled)"
    coupled = "EXISTS (SELECT 1 FROM axle WHERE axle.build_id = build.id AND coupled)"
    op.execute(
        "INSERT INTO pattern (build_id, name, kind) "  # noqa: S608
        f"SELECT id, 'Driving wheels', 'driving' FROM build WHERE {coupled} OR NOT {carrying}"
    )
    op.execute(
        "INSERT INTO pattern (build_id, name, kind) "  # noqa: S608
        f"SELECT id, 'Carrying wheels', 'carrying' FROM build WHERE {carrying}"
    )


def _give_dimensions() -> None:
    """Each pattern gets all the figures there are, but for those of the crank where another pattern has them."""
    op.rename_table("dimension", "dimension_before")
    op.create_table(
        "dimension",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("pattern_id", sa.Integer(), nullable=True),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("nm", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_dimension_build_id_build"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["pattern_id"], ["pattern.id"], name=op.f("fk_dimension_pattern_id_pattern"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_dimension")),
    )
    op.create_index(op.f("ix_dimension_build_id"), "dimension", ["build_id"])
    op.create_index("uq_dimension_of_pattern", "dimension", ["pattern_id", "key"], unique=True)
    op.create_index(
        "uq_dimension_of_track",
        "dimension",
        ["build_id", "key"],
        unique=True,
        sqlite_where=sa.text("pattern_id IS NULL"),
    )
    op.execute(
        "INSERT INTO dimension (build_id, key, nm, text) SELECT build_id, key, nm, text FROM dimension_before "  # noqa: S608
        f"WHERE key IN {_TRACK} ORDER BY build_id, key"
    )
    op.execute(
        "INSERT INTO dimension (build_id, pattern_id, key, nm, text) "  # noqa: S608
        "SELECT pattern.build_id, pattern.id, key, nm, text FROM pattern JOIN dimension_before USING (build_id) "
        f"WHERE key NOT IN {_TRACK} AND (key NOT IN {_CRANK} OR kind = 'driving' OR NOT EXISTS (SELECT 1 FROM pattern "
        "AS other WHERE other.build_id = pattern.build_id AND other.kind = 'driving')) ORDER BY pattern.id, key"
    )
    op.drop_table("dimension_before")


def _triggers(table: str) -> list[str]:
    found = sa.text("SELECT sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = :table")
    return list(op.get_bind().execute(found, {"table": table}).scalars())


def _give_axles() -> None:
    """An axle says its pattern, and so whether it is coupled; its number in the file is never given again."""
    triggers, bind = _triggers("axle"), op.get_bind()
    sequence = bind.execute(sa.text("SELECT seq FROM sqlite_sequence WHERE name = 'axle'")).scalar()
    op.add_column("axle", sa.Column("pattern_id", sa.Integer(), nullable=True))
    op.execute(
        "UPDATE axle SET pattern_id = (SELECT pattern.id FROM pattern WHERE pattern.build_id = axle.build_id "
        "AND pattern.kind = CASE WHEN axle.coupled THEN 'driving' ELSE 'carrying' END)"
    )
    with op.batch_alter_table(
        "axle", recreate="always", table_kwargs={"sqlite_autoincrement": True}
    ) as batch_op:
        batch_op.alter_column("pattern_id", existing_type=sa.Integer(), nullable=False)
        batch_op.create_foreign_key(
            batch_op.f("fk_axle_pattern_id_pattern"), "pattern", ["pattern_id"], ["id"]
        )
        batch_op.drop_column("coupled")
    if sequence is not None:
        bind.execute(sa.text("UPDATE sqlite_sequence SET seq = :seq WHERE name = 'axle'"), {"seq": sequence})
        bind.execute(
            sa.text(
                "INSERT INTO sqlite_sequence (name, seq) SELECT 'axle', :seq "
                "WHERE NOT EXISTS (SELECT 1 FROM sqlite_sequence WHERE name = 'axle')"
            ),
            {"seq": sequence},
        )
    for trigger in triggers:
        op.execute(trigger)


def _give_castings() -> None:
    triggers = _triggers("casting")
    op.add_column("casting", sa.Column("pattern_id", sa.Integer(), nullable=True))
    op.execute(f"UPDATE casting SET pattern_id = coalesce(({_OF_AXLE}), ({_SCRAPPED_FROM}), ({_FIRST}))")  # noqa: S608
    with op.batch_alter_table("casting", recreate="always") as batch_op:
        batch_op.alter_column("pattern_id", existing_type=sa.Integer(), nullable=False)
        batch_op.create_foreign_key(
            batch_op.f("fk_casting_pattern_id_pattern"), "pattern", ["pattern_id"], ["id"]
        )
    for trigger in triggers:
        op.execute(trigger)


def downgrade() -> None:
    """The way back is the copy that was made before the upgrade."""
    raise NotImplementedError("restore the backup that was made before the upgrade instead")
