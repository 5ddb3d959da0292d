"""Long works that may be cut off in the middle, each as a process of its own."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from multiprocessing.connection import Connection as Pipe
from pathlib import Path

from alembic import command
from alembic.config import Config

from parts.records.book import Book
from parts.services import books, copies
from parts.store import forms
from parts.store.books import write_rows
from parts.store.database import Database
from parts.store.schema import APPLICATION_ID
from parts.store.sqlite import open_unchecked
from tests.services.storeroom import KEEPER, ROWS, opening


def book_of(rows: int, folder: Path) -> Path:
    """A site book with so many positions on one crane."""
    folder.mkdir()
    (folder / "cranes.csv").write_text("crane,down_cost_per_day\nK,1\n")
    lines = "".join(f"K,p{number},COIL\n" for number in range(rows))
    (folder / "positions.csv").write_text("crane,position,part\n" + lines)
    (folder / "parts.csv").write_text("part,default_lead_days\nCOIL,9\n")
    return folder


def make_form_1(at: Path, movements: int) -> None:
    """A database as the program made it before it had a ledger beside its site book."""
    with closing(sqlite3.connect(at)) as new:
        new.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    config = Config()
    config.set_main_option("script_location", str(Path(forms.__file__).parent / "migrations"))
    opened = open_unchecked(str(at))
    with closing(opened), opened.writing() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0001")
        for name in Book().rows:
            if name != "movements":
                write_rows(connection, name, ROWS.get(name, []))
        many = [opening("COIL", 1, key=f"m{number}") for number in range(movements)]
        write_rows(connection, "movements", [*ROWS["movements"], *many])
        connection.exec_driver_sql("PRAGMA user_version = 1")


def load(at: str, book: str, tells: Pipe) -> None:
    tells.send("begun")
    books.load_book(Path(book), at, hand=KEEPER)
    tells.send("done")


def renew(at: str, _: str, tells: Pipe) -> None:
    tells.send("begun")
    Database.open(at).close()
    tells.send("done")


def back_up(at: str, target: str, tells: Pipe) -> None:
    tells.send("begun")
    copies.backup(at, Path(target))
    tells.send("done")


def put_back(at: str, copy: str, tells: Pipe) -> None:
    tells.send("begun")
    copies.restore(copy, at)
    tells.send("done")
