"""Runs the migrations on the connection handed over, inside the transaction it is in.

SQLite changes a table by rebuilding it. A migration that does so makes the table's triggers anew,
and needs foreign keys off, which `forms.renew` must then see to before its transaction begins.
"""

from __future__ import annotations

from alembic import context

from parts.store.schema import METADATA

# the tables are there for the naming of constraints alone
context.configure(connection=context.config.attributes["connection"], target_metadata=METADATA)
context.run_migrations()
