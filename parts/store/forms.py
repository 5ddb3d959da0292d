"""The form of a database: which migration it is at, and how it gets to the newest.

The migrations' own library keeps the number in a table; a SQLite file has it in its header too
(`user_version`), where it is read without a look inside. Both are written in the transaction that
changes the tables. Knows no data. Invariant: an older file is changed only after a checked copy of
it lies beside it; whoever keeps a server keeps its copies.
"""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection

from parts.store.schema import APPLICATION_ID, FORM

_MIGRATIONS = Path(__file__).parent / "migrations"
FORM_TABLE = "longpole_form"  # on a server its name says whose the database is
_READ_FORM = f"SELECT version_num FROM {FORM_TABLE}"  # noqa: S608 - our own table


def form_of_file(connection: Connection) -> int:
    return int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())


def form_on_server(connection: Connection) -> int | None:
    """None where there is no database of ours."""
    if connection.exec_driver_sql(f"SELECT to_regclass('{FORM_TABLE}')").scalar_one() is None:
        return None
    return int(connection.exec_driver_sql(_READ_FORM).scalar_one())


def renew(connection: Connection) -> None:
    """Run the migrations that are missing, all of them in a new database, in this transaction."""
    from alembic import command  # here, because it loads slowly and is seldom needed
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(_MIGRATIONS).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
    if connection.dialect.name == "sqlite":
        _mark_file(connection)


def _mark_file(connection: Connection) -> None:
    connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.exec_driver_sql(f"PRAGMA user_version = {FORM}")
