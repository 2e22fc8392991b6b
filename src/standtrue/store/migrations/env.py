"""What Alembic runs to migrate: within the transaction of whoever opened the store."""

from __future__ import annotations

from alembic import context

from standtrue.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    version_table="schema_version",
    render_as_batch=True,
)
context.run_migrations()
