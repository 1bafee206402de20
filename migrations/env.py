"""Runs the migrations on the connection that webapp.upgrade opened; its transaction holds them all."""

from alembic import context
from sqlmodel import SQLModel

import webapp.models  # noqa: F401  (fills SQLModel.metadata)

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=SQLModel.metadata,
    # SQLite cannot alter most things in place: Alembic copies the table instead.
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
