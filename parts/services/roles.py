"""The roles of a server's database, set up by its owner."""

from __future__ import annotations

from contextlib import closing

from parts.records.roles import ROLES, Role


def set_up_roles(database: str) -> tuple[Role, ...]:
    """Set the roles up, as often as wanted, and tell what each may do."""
    from parts.store.database import Database
    from parts.store.postgres_roles import set_up_roles as set_up

    with closing(Database.open(database)) as opened:
        set_up(opened)
    return ROLES
