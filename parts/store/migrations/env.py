"""Runs the migrations on the connection handed over, inside the transaction it is in.

SQLite changes a table by rebuilding it. A migration that does so makes the table's triggers anew,
and needs foreign keys off, which `forms.renew` must then see to before its transaction begins.
"""

from __future__ import annotations

from alembic import context

from parts.store.forms import FORM_TABLE
from parts.store.schema import METADATA

connection = context.config.attributes["connection"]
numbers = "alembic_version" if connection.dialect.name == "sqlite" else FORM_TABLE
# the tables are there for the naming of constraints alone
context.configure(connection=connection, target_metadata=METADATA, version_table=numbers)
context.run_migrations()
