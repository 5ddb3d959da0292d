"""The whole demo as a book, and its files."""

from __future__ import annotations

import csv
import datetime
import io
from pathlib import Path
from typing import Any

from demo import classes, condition, cranes, history, parts, positions, routes, stories, supply
from demo.ledger import Store, numbered
from parts.records.book import BOOK_FILES, Book, BookFile
from parts.records.catalogue import Part, PartClass
from parts.records.structure import Position
from parts.records.supply import Offer


def book() -> Book:
    """Every row of the demo site."""
    places = positions.positions()
    every = parts.parts(place.part for place in places if place.part)
    offers = supply.offers(every, places)
    defaults = classes.classes()
    tables: dict[str, list[Any]] = {
        "site": cranes.settings(),
        "classes": defaults,
        "scores": cranes.scores(),
        "holidays": cranes.holidays(),
        "cranes": cranes.cranes(),
        "functions": cranes.functions(),
        "parts": every,
        "part_numbers": parts.numbers(every),
        "positions": places,
        "needs": cranes.needs(),
        "companions": parts.companions(every),
        "substitutes": parts.substitutes(),
        "suppliers": supply.suppliers(),
        "offers": offers,
        "routes": routes.routes(every),
        "reservations": stories.reservations(),
        "currencies": cranes.currencies(),
        "notices": supply.notices(),
        "duty": condition.duty(),
        "observations": condition.observations(),
        "upgrades": condition.upgrades(),
        "upgrade_effects": condition.effects(),
    }
    return Book(tables | _ten_years(places, every, offers, defaults))


def _ten_years(
    places: list[Position], every: list[Part], offers: list[Offer], defaults: list[PartClass]
) -> dict[str, list[Any]]:
    """What happened to the cranes and in the store."""
    usual = history.usual_offers(every, offers)
    store = Store({part.part: part for part in every}, usual, history.FORGOTTEN)
    stories.open_store(store, every)
    stories.tell(store)
    stories.care(store, every, defaults)
    failures = history.live(store, places)
    movements, orders = numbered(store)
    return {"failures": failures, "movements": movements, "orders": orders}


def files(site: Book) -> dict[str, str]:
    """The text of each file of the book, by the file's name."""
    return {f"{file.name}.csv": text_of(file, site[file.name]) for file in BOOK_FILES}


def text_of(file: BookFile, rows: list[Any]) -> str:
    """One file: its rows in key order, numbers in their shortest form, LF."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(file.header)
    for row in sorted(rows, key=lambda one: _sortable(file.key_of(one))):
        writer.writerow([_cell(getattr(row, column.name)) for column in file.columns])
    return out.getvalue()


def write(folder: Path) -> None:
    """Write the site book into a folder, and the class defaults beside it."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files(book()).items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")


def _sortable(key: tuple[Any, ...]) -> tuple[str, ...]:
    return tuple(_cell(value) for value in key)


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10f}".rstrip("0").rstrip(".")
    if isinstance(value, datetime.date):
        return value.isoformat()
    return str(value)
