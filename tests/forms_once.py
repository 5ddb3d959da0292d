"""The form of a new database: made by the migrations once in a run, and said again after that.

The migrations' library takes longer to put the statements together than most tests last. What it
said to the first empty database of a kind is noted and said to the next; whatever is not empty
goes through the migrations.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from alembic.config import Config
from sqlalchemy import Connection, event

from parts.store import forms


class Once:
    """Stands for the migrations' library when it brings a database to a form."""

    def __init__(self, upgrade: Callable[[Config, str], None]) -> None:
        self._upgrade = upgrade
        self._said: dict[tuple[str, str], list[tuple[str, Any]]] = {}

    def __call__(self, config: Config, form: str) -> None:
        connection: Connection = config.attributes["connection"]
        wanted = connection.dialect.name, form
        if not _is_empty(connection):
            self._upgrade(config, form)
        elif wanted in self._said:
            cursor = connection.connection.cursor()
            for statement, values in self._said[wanted]:
                cursor.execute(statement, values)
        else:
            self._said[wanted] = self._noted(connection, config, form)

    def _noted(self, connection: Connection, config: Config, form: str) -> list[tuple[str, Any]]:
        said = []

        def note(_: Any, __: Any, statement: str, values: Any, *___: Any) -> None:
            said.append((statement, values))

        event.listen(connection, "before_cursor_execute", note)
        self._upgrade(config, form)
        event.remove(connection, "before_cursor_execute", note)
        return said


def _is_empty(connection: Connection) -> bool:
    if connection.dialect.name != "sqlite":
        return forms.form_on_server(connection) is None
    ours = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
    return not ours and not connection.exec_driver_sql("PRAGMA schema_version").scalar_one()
