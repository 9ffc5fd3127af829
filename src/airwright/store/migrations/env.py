"""Runs the migrations on the connection that `airwright.store.database` hands over."""

from __future__ import annotations

from alembic import context

from airwright.store.tables import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
)
# The connection is in a transaction already: the whole upgrade happens, or none of it.
context.run_migrations()
