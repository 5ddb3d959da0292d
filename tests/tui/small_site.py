"""A site small enough to know by heart, for tests that press keys and read the screen.

HM-1 is down for its pinion, which is made in three operations of 20, 30 and 10 days and takes 16
hands-on hours at 16 hours a day: 61 days. Its two brakes bear load and stand in for one another,
its lamp has no part on record, its relay has only the lead time that is usual for its class.
HM-2 has a wheel that comes in 20 days. HM-9 is retired.

In a year the pinion fails 0.1 times, each brake 0.2 times, the wheel 0.5 times; of the relay
nobody knows. No unit is kept, so that each failure waits the whole lead time: 6.1 lost days a year
for the pinion, 0.5 x 20.5 x a half = 5.1 for the wheel, whose last order is possible in 90 days.

The hoist of HM-1 has run 7680 hours x 0.25 = 1920 of the 1600 full-load hours of M5, 120 %, and
HM-2's travel 400 of the 800 of M4; at 100 a year the rest lasts four years, with two shifts two.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any, cast

from textual.pilot import Pilot
from textual.worker import WorkerCancelled, WorkerFailed

from parts.records.book import BOOK_FILES, Book
from parts.records.catalogue import Companion, Part, PartClass
from parts.records.fields import Kind
from parts.records.history import Duty
from parts.records.ledger import Stamp
from parts.records.site import Setting
from parts.records.snapshot import Snapshot, snapshot_of
from parts.records.stock import Movement
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Notice, Offer, Operation, Supplier
from parts.store import ledger
from parts.store.books import write_rows
from parts.store.database import new_database
from tests.tui.quiet import quiet
from tests.tui.screen_text import screen_text
from tui.app import LongpoleApp
from tui.desk import Desk
from tui.screens.form import FormPage
from tui.sentences import CAUTIONS

TODAY = date(2026, 11, 25)
SMALL, LARGE = (80, 24), (140, 45)
Rows = dict[str, list[Any]]


def small_book() -> Book:
    """Return the site as records."""
    book = Book()
    for name, found in (_cranes() | _positions() | _supply() | _use_and_notices()).items():
        book[name].extend(found)
    return book


def _cranes() -> Rows:
    """Return cranes, functions and parts."""
    return {
        "site": [Setting(key="currency", value="EUR")],
        "classes": [PartClass(part_class="relays", lead_days=35.0)],
        "cranes": [
            Crane(crane="HM-1", name="ladle crane", bay="north", down_cost_per_day=9000.0),
            Crane(crane="HM-2", name="yard crane", bay="south"),
            Crane(crane="HM-9", retire_on=date(2020, 1, 1)),
        ],
        "functions": [
            Function(crane="HM-1", function="hoisting", lost_share=1.0),
            Function(crane="HM-1", function="light", lost_share=0.25),
            Function(crane="HM-2", function="travel", lost_share=0.5),
        ],
        "parts": [
            Part(part="PIN-7", description="pinion shaft, 7 teeth"),
            Part(part="BRK-2", description="shoe brake"),
            Part(part="WHL-4", description="drive wheel"),
            Part(part="REL-1", description="time relay", part_class="relays"),
            Part(part="SEAL-3", description="seal kit"),
        ],
    }


def _positions() -> Rows:
    """Return positions and what needs them."""
    return {
        "positions": [
            Position(
                crane="HM-1",
                position="pinion",
                part="PIN-7",
                exchange_hours=16.0,
                failures_per_year=0.1,
            ),
            *(
                Position(
                    crane="HM-1",
                    position=f"brake {n}",
                    part="BRK-2",
                    load_bearing=True,
                    failures_per_year=0.2,
                )
                for n in (1, 2)
            ),
            Position(crane="HM-1", position="lamp"),
            Position(crane="HM-1", position="relay", part="REL-1", exchange_hours=1.0),
            Position(
                crane="HM-2",
                position="wheel",
                part="WHL-4",
                exchange_hours=8.0,
                failures_per_year=0.5,
            ),
        ],
        "needs": [
            Need(crane="HM-1", item="hoisting", needs="pinion"),
            Need(crane="HM-1", item="hoisting", needs="brake 1", group="brakes", at_least=1),
            Need(crane="HM-1", item="hoisting", needs="brake 2", group="brakes", at_least=1),
            Need(crane="HM-1", item="light", needs="lamp"),
            Need(crane="HM-1", item="light", needs="relay"),
            Need(crane="HM-2", item="travel", needs="wheel"),
        ],
    }


def _supply() -> Rows:
    """Return who can deliver what, and how the pinion is made."""
    return {
        "companions": [Companion(part="WHL-4", companion="SEAL-3")],
        "suppliers": [
            Supplier(supplier="gear shop"),
            Supplier(supplier="brake works"),
            Supplier(supplier="closed works", active=False),
        ],
        "offers": [
            Offer(supplier="gear shop", part="PIN-7", kind="made", route="pinion route"),
            Offer(supplier="closed works", part="PIN-7", likely=9.0),
            Offer(supplier="brake works", part="BRK-2", likely=12.0, unit_price=1234.5),
            Offer(supplier="gear shop", part="WHL-4", likely=20.0),
            Offer(supplier="gear shop", part="SEAL-3", likely=2.0),
        ],
        "routes": [
            Operation(route="pinion route", operation="turning", likely=20.0, ahead=True),
            Operation(route="pinion route", operation="cutting", likely=30.0, after="turning"),
            Operation(route="pinion route", operation="keyway", likely=3.0, after="turning"),
            Operation(route="pinion route", operation="grinding", likely=10.0, after="cutting"),
        ],
    }


def _use_and_notices() -> Rows:
    """Return how much of each working period is used, and what suppliers have announced."""
    return {
        "duty": [
            Duty(
                crane="HM-1",
                mechanism="hoist",
                group="M5",
                hours_per_year=400.0,
                km=0.25,
                hours_used=7680.0,
            ),
            Duty(
                crane="HM-2",
                mechanism="travel",
                group="M4",
                hours_per_year=200.0,
                km=0.5,
                hours_used=800.0,
            ),
            Duty(crane="HM-2", mechanism="hoist"),
        ],
        "notices": [
            Notice(
                part="WHL-4",
                kind="discontinuance",
                notice_on=date(2026, 9, 1),
                last_buy_on=date(2027, 2, 23),
            )
        ],
    }


def with_texts(book: Book, change: Callable[[str], str]) -> Book:
    """Return the book with every text that a person may choose changed, references with it."""
    for book_file in BOOK_FILES:
        if book_file.name != "site":
            book.rows[book_file.name] = [
                _changed(row, book_file.columns, change) for row in book[book_file.name]
            ]
    return book


def _changed(row: Any, columns: Any, change: Callable[[str], str]) -> Any:
    free = [c.name for c in columns if c.kind is Kind.TEXT and not c.choices]
    texts = {name: getattr(row, name) for name in free}
    return replace(row, **{name: change(text) for name, text in texts.items() if text})


def small_site() -> Snapshot:
    """Return the site as it is known today."""
    return snapshot_of(small_book(), TODAY)


class DeskWith(Desk):
    """A desk whose site a function gives."""

    def __init__(self, read: Callable[[], Snapshot]) -> None:
        super().__init__("site.db", TODAY)
        self._read = read

    def read(self) -> Snapshot:
        """Return what the function gives."""
        return self._read()

    def last_counted(self) -> dict[tuple[str, str], date]:
        """Return that nothing was ever counted."""
        return {}


def written_desk(path: Path, change: Callable[[str], str] = str) -> Desk:
    """Return a desk at a database that holds the small site with three brakes in a store.

    `change` is done to each text that a person may choose.
    """
    book = small_book()
    day = date(2026, 1, 5)
    brakes = Movement(date=day, part="BRK-2", qty=3, kind="opening", store="main store", key="o1")
    book["movements"].append(brakes)
    book = with_texts(book, change)
    stamp = Stamp("2026-01-05T06:00:00Z", "keeper", "bench")
    with new_database(str(path)) as database, database.writing() as connection:
        for book_file in BOOK_FILES:
            if book_file.name == "movements":
                ledger.append(connection, book["movements"], stamp)
            else:
                write_rows(connection, book_file.name, book[book_file.name])
    return Desk(str(path), TODAY, "night keeper")


class AskedApp(LongpoleApp):
    """A program that looks for changes only when it is asked to."""

    LOOK_EVERY_S = 3600.0


@asynccontextmanager
async def opened(
    read: Callable[[], Snapshot] | Desk = small_site,
    size: tuple[int, int] = SMALL,
    *,
    mistakes: int = 0,
) -> AsyncIterator[Pilot[None]]:
    """Run the program on a site, or at a desk, until its first screen has its figures.

    Who runs it has read the cautions. So many mistakes of the program are to be told, not more.
    """
    desk = read if isinstance(read, Desk) else DeskWith(read)
    desk.note_read(CAUTIONS)
    app = AskedApp(desk)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        yield pilot

        assert len(app.mistakes) == mistakes, app.mistakes


async def settle(pilot: Pilot[None]) -> None:
    """Wait until nothing is asked or shown any more."""
    await quiet()
    while any(not worker.is_finished for worker in pilot.app.workers):
        with suppress(WorkerFailed, WorkerCancelled):  # an answer may lead to a question
            await pilot.app.workers.wait_for_complete()
        await quiet()


async def until(is_so: Callable[[], bool]) -> None:
    """Wait for what comes by itself after a while."""
    for _ in range(6_000):
        await asyncio.sleep(0.01)
        if is_so():
            return
    raise AssertionError("it never came to that")


async def looked(pilot: Pilot[None]) -> None:
    """Look for changes as the program does every few seconds."""
    await settle(pilot)
    cast(LongpoleApp, pilot.app).look_for_changes()
    for _ in range(3):
        await settle(pilot)


async def press(pilot: Pilot[None], *keys: str) -> None:
    """Press keys, each once the one before has done its work."""
    for key in keys:
        await pilot.press(key)
        await settle(pilot)


def form_of(pilot: Pilot[None]) -> FormPage:
    """Return the form on the screen."""
    page = pilot.app.screen
    assert isinstance(page, FormPage)
    return page


def words(pilot: Pilot[None]) -> str:
    """Return the screen as one line of words, for sentences that a narrow screen wraps."""
    return " ".join(screen_text(pilot.app).split())
