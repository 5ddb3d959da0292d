"""The roles of the records as rights on a PostgreSQL server.

Knows the language of grants. A role is the server's, shared by all of its databases; its rights are
each database's own. Invariant: granting is done anew from nothing each time, so a right that the
records no longer name is gone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sqlalchemy import Connection, Table, text

from parts import errors
from parts.records.book import FILES_BY_NAME
from parts.records.roles import ROLES, Role
from parts.store.database import Database
from parts.store.forms import FORM_TABLE
from parts.store.postgres import PostgresDatabase
from parts.store.schema import METADATA

_KNOWN = text("SELECT count(*) FROM pg_roles WHERE rolname = :name")


def set_up_roles(database: Database) -> None:
    """Make the roles that the server lacks, and give all of them their rights here."""
    if not isinstance(database, PostgresDatabase):
        raise errors.NoRoles(database.where)
    with database.writing() as connection:
        for role in ROLES:
            if not is_there(connection, role):
                connection.exec_driver_sql(f"CREATE ROLE {role.name} NOLOGIN")
        grant_rights(connection, ROLES)


def is_there(connection: Connection, role: Role) -> bool:
    return bool(connection.execute(_KNOWN, {"name": role.name}).scalar_one())


def grant_rights(connection: Connection, roles: Iterable[Role]) -> None:
    """Take every right here from the roles and give them those of the records."""
    # on older servers everybody may make tables beside ours
    connection.exec_driver_sql("REVOKE CREATE ON SCHEMA public FROM PUBLIC")
    for role in roles:
        for statement in _grants(connection, role):
            connection.exec_driver_sql(statement)


def _grants(connection: Connection, role: Role) -> Iterator[str]:
    tables = ", ".join([*METADATA.tables, FORM_TABLE])
    numbers = ", ".join(
        _numbers(table) for table in METADATA.tables.values() if _is_numbered(table)
    )
    yield f"REVOKE ALL ON {tables} FROM {role.name}"
    yield f"REVOKE ALL ON SEQUENCE {numbers} FROM {role.name}"
    yield f"GRANT SELECT ON {tables} TO {role.name}"
    quote = connection.dialect.identifier_preparer.quote
    for right in role.rights:
        table = METADATA.tables[right.table]
        if right.adds:
            columns = ", ".join(map(quote, _entered(table)))
            yield f"GRANT INSERT ({columns}) ON {table.name} TO {role.name}"
            if _is_numbered(table):
                yield f"GRANT USAGE ON SEQUENCE {_numbers(table)} TO {role.name}"
        if right.changes:
            columns = ", ".join(map(quote, right.changes))
            yield f"GRANT UPDATE ({columns}) ON {table.name} TO {role.name}"
        if right.takes_out:
            yield f"GRANT DELETE ON {table.name} TO {role.name}"


def _entered(table: Table) -> Iterable[str]:
    """What a person enters; a row's number is the server's to give."""
    if table.name in FILES_BY_NAME:
        return FILES_BY_NAME[table.name].header
    return (column.name for column in table.columns if column.name != "id")


def _is_numbered(table: Table) -> bool:
    return "id" in table.columns


def _numbers(table: Table) -> str:
    return f"{table.name}_id_seq"
