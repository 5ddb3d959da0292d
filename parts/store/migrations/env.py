"""Runs the migrations on the connection handed over, inside the transaction it is in."""

from __future__ import annotations

from alembic import context

from parts.store.schema import METADATA

# the tables are there for the naming of constraints alone
context.configure(connection=context.config.attributes["connection"], target_metadata=METADATA)
context.run_migrations()
