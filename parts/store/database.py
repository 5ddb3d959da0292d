"""One database: opened, made new, read from and written to in whole transactions.

Knows files, connections and forms; knows no table. Invariants: opening never makes a file; a new
database appears complete under its name or not at all; what fails leaves nothing changed.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, Engine

from parts import errors
from parts.store import files, forms
from parts.store.connections import engine_of, reader, writer
from parts.store.schema import FORM
from parts.store.trouble import in_our_words

__all__ = ["Connection", "Database", "new_database"]  # a Connection is what one works on


class Database:
    """A database that may be read and written; `where` is what people call it."""

    def __init__(self, path: Path, where: str) -> None:
        self.path = path
        self.where = where
        self._engine = engine_of(path)

    @classmethod
    def open(cls, where: str) -> Database:
        """The database at a path or SQLite URL, in its newest form."""
        path = files.path_of(where)
        files.look_at(path, where)
        database = cls(path, where)
        form = database._sound_form()
        if form > FORM:
            raise errors.NewerDatabase(where, form, FORM)
        if form < FORM:
            database._renew(form)
        return database

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A view of the data that does not move; writing through it is refused."""
        with self._transaction(reader(self._engine)) as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """The only writer until the end; kept when all went well, else undone."""
        with self._transaction(writer(self._engine)) as connection:
            yield connection

    def close(self) -> None:
        self._engine.dispose()

    @contextmanager
    def _transaction(self, engine: Engine) -> Iterator[Connection]:
        with in_our_words(self.path, self.where), engine.begin() as connection:
            yield connection

    def _sound_form(self) -> int:
        with self.reading() as connection:
            form = forms.form_of(connection)
            found = connection.exec_driver_sql("PRAGMA quick_check(1)").scalar_one()
        if found != "ok":
            raise errors.DamagedDatabase(self.where, found)
        return form

    def _renew(self, form: int) -> None:
        with in_our_words(self.path, self.where):
            forms.keep_copy(self.path, self.where, form)
        with self.writing() as connection:
            if forms.form_of(connection) < FORM:  # another process may have been first
                forms.renew(connection)


@contextmanager
def new_database(where: str) -> Iterator[Database]:
    """A database to fill, which gets its name when the block ends well and vanishes otherwise."""
    path = files.path_of(where)
    try:
        _refuse_taken(path, where)
        files.sweep(path)
        unfinished = files.begin_file(path)
    except OSError as refused:
        raise errors.DatabaseUnwritable(where, refused.strerror or "no access") from refused
    try:
        database = Database(unfinished, where)
        with database.writing() as connection:
            forms.renew(connection)
        yield database
        database.close()
        _refuse_taken(path, where)
        _finish(unfinished, path, where)
    finally:
        files.drop_file(unfinished)


def _refuse_taken(path: Path, where: str) -> None:
    if path.exists():
        raise errors.DatabaseExists(where)
    if leftover := files.leftover_of(path):
        raise errors.DatabaseUnwritable(where, f"{leftover} of an older one is there; move it away")


def _finish(unfinished: Path, path: Path, where: str) -> None:
    try:
        files.finish_file(unfinished, path)
    except OSError as refused:
        raise errors.DatabaseUnwritable(where, refused.strerror or "no access") from refused
