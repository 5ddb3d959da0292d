"""The roles as lines of text and as a document."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from parts.records.book import BOOK_FILES, FILES_BY_NAME
from parts.records.roles import Right, Role

_LOGINS = (
    "Everybody with a role reads everything. To let a person in, say to the server (in psql):",
    '  CREATE ROLE "person" LOGIN; GRANT longpole_storeroom TO "person";',
    '  \\password "person"   -- or let the server trust the operating system\'s login',
)


def document(roles: Sequence[Role]) -> dict[str, Any]:
    return {"roles": [asdict(role) for role in roles]}


def lines(roles: Sequence[Role]) -> list[str]:
    return [line for role in roles for line in (*_role(role), "")] + list(_LOGINS)


def _role(role: Role) -> Iterator[str]:
    yield f"{role.name}: {role.says}"
    for does, tables in (
        ("adds to", [right.table for right in role.rights if right.adds]),
        ("changes", [_changed(right) for right in role.rights if right.changes]),
        ("takes from", [right.table for right in role.rights if right.takes_out]),
    ):
        if tables:
            yield f"  {does}: {', '.join(_in_short(tables))}"


def _in_short(tables: list[str]) -> list[str]:
    """One word for all files of the site book that can be changed."""
    every = [file.name for file in BOOK_FILES if file.name != "movements"]
    if not set(every) <= set(tables):
        return tables
    return ["every other file of the site book", *(name for name in tables if name not in every)]


def _changed(right: Right) -> str:
    """The table, with its columns where not all of them may be changed."""
    file = FILES_BY_NAME[right.table]
    if len(right.changes) == len(file.header) - len(file.key):
        return right.table
    return f"{right.table} ({', '.join(right.changes)})"
