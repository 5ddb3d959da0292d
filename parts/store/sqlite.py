"""A database in one SQLite file.

Knows files, connections and forms; knows no table. Invariants: opening never makes a file; a new
database appears complete under its name or not at all; there is one writer at a time; a file that
anybody else has written to since it was found sound is looked through again when it is opened.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError

from parts import errors
from parts.store import files, forms, sqlite_copies
from parts.store.database import Database
from parts.store.schema import APPLICATION_ID, FORM
from parts.store.sqlite_connections import TO_READ, TO_WRITE, engine_of
from parts.store.sqlite_trouble import in_our_words

_found_sound: dict[Path, tuple[int, ...]] = {}  # how each file was then


class SqliteDatabase(Database):
    """A file that is there."""

    def __init__(self, path: Path, where: str) -> None:
        self.path = path
        self.where = where
        self._engine = engine_of(path)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        with self._transaction(TO_READ) as connection:
            yield connection

    @contextmanager
    def writing(self, *, alone: bool = False) -> Iterator[Connection]:
        with self._transaction(TO_WRITE) as connection:
            was_sound = _is_as_found_sound(self.path)
            yield connection
        if was_sound:  # and what we wrote ourselves does not damage it
            _found_sound[self.path] = files.state_of(self.path)

    def close(self) -> None:
        """Nothing is held between two transactions."""

    @contextmanager
    def _transaction(self, opening: tuple[str, ...]) -> Iterator[Connection]:
        with in_our_words(self.path, self.where), self._engine.begin() as connection:
            for statement in opening:
                connection.exec_driver_sql(statement)
            yield connection

    def copy_to(self, target: Path) -> None:
        with in_our_words(self.path, self.where):
            sqlite_copies.copy_to(self.path, target, self.where)

    @property
    def beside(self) -> Path:
        return self.path

    def sound_form(self) -> int:
        """Its form, once nothing in it is found damaged."""
        try:
            with self.reading() as connection:
                form = forms.form_of_file(connection)
                whose = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
                found = connection.exec_driver_sql("PRAGMA quick_check(1)").scalar_one()
        except DBAPIError as reported:  # a rule that names no function, a table no column
            raise errors.DamagedDatabase(self.where, str(reported.orig)) from reported
        if whose != APPLICATION_ID:
            raise errors.NotOurDatabase(self.where, "another program made it")
        if found != "ok":
            raise errors.DamagedDatabase(self.where, found)
        return form

    def renew(self, form: int) -> None:
        """Bring it to the newest form, beside a copy of it as it is."""
        with in_our_words(self.path, self.where):
            sqlite_copies.keep_beside(self.path, self.where, f"form-{form}")
        with self.writing() as connection:
            if forms.form_of_file(connection) < FORM:  # another process may have been first
                forms.renew(connection)


def open_database(where: str) -> SqliteDatabase:
    """The file at a path or SQLite URL, in its newest form."""
    path = files.path_of(where)
    files.look_at(path, where)
    database = SqliteDatabase(path, where)
    if _is_as_found_sound(path):
        return database
    state = files.state_of(path)
    form = database.sound_form()
    if form > FORM:
        raise errors.NewerDatabase(where, form, FORM)
    if form < FORM:
        database.renew(form)
    else:
        _found_sound[path] = state
    return database


def _is_as_found_sound(path: Path) -> bool:
    return _found_sound.get(path) == files.state_of(path)


def open_unchecked(where: str) -> SqliteDatabase:
    """The file whatever state it is in, for looking at its damage."""
    path = files.path_of(where)
    files.look_at(path, where)
    return SqliteDatabase(path, where)


def restore(copy: str, where: str) -> str | None:
    """Give a file the contents of a copy; returns where what it held is kept, if it held anything.

    Others may have the file open: they see the one state or the other.
    """
    source, path = files.path_of(copy), files.path_of(where)
    if source == path:
        raise errors.UnusableCopy(copy, "it is the database itself")
    if not path.exists():
        _refuse_taken(path, where)
        sqlite_copies.put_new(source, path, where)
        return None
    files.look_at(path, where)
    try:
        with in_our_words(path, where):
            kept = sqlite_copies.keep_beside(path, where, "before-restore")
            sqlite_copies.put_back(source, path, where)
    except errors.DamagedDatabase:
        kept = sqlite_copies.set_aside(path, where)
        sqlite_copies.put_new(source, path, where)
    return str(kept)


@contextmanager
def new_database(where: str) -> Iterator[SqliteDatabase]:
    """A file to fill, which gets its name when the block ends well and vanishes otherwise."""
    path = files.path_of(where)
    try:
        _refuse_taken(path, where)
        files.sweep(path)
        unfinished = files.begin_file(path)
    except OSError as refused:
        raise errors.DatabaseUnwritable(where, refused.strerror or "no access") from refused
    try:
        database = SqliteDatabase(unfinished, where)
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
    if path.is_symlink():  # the links that lead somewhere are followed by now
        raise errors.DatabaseUnwritable(where, "its links run in a circle")
    if leftover := files.leftover_of(path):
        raise errors.DatabaseUnwritable(where, f"{leftover} of an older one is there; move it away")


def _finish(unfinished: Path, path: Path, where: str) -> None:
    try:
        files.finish_file(unfinished, path)
    except OSError as refused:
        raise errors.DatabaseUnwritable(where, refused.strerror or "no access") from refused
