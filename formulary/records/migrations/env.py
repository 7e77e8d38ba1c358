"""Runs the steps on the connection that :mod:`formulary.records.upgrading` has opened."""

from __future__ import annotations

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    # SQLite rolls tables back, too, once its driver leaves transactions alone.
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
