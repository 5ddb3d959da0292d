"""Stock counted by a sheet: printed blind, filled in at the shelves, booked as a whole."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

from parts.calc.stockroom.count_walks import Place, is_on_walk, latest_bins, walked
from parts.calc.stockroom.counting import booked_late, booked_since, is_within, priced, totals
from parts.errors import StepRefused, UnknownName
from parts.exchange.count_pages import page_of
from parts.exchange.count_sheets import UnusableSheet, read_count_sheet, write_count_sheet
from parts.records.catalogue import Part
from parts.records.count_answers import (
    BelowMinimum,
    CountedLine,
    CountReport,
    CountSheet,
    SheetLine,
    Tolerance,
)
from parts.records.ledger import NO_STORE, Counted, Stamp
from parts.records.shown import shown
from parts.records.stock import Movement
from parts.records.stock_steps import Step
from parts.services.hands import Hand, new_key
from parts.services.step_facts import facts_for
from parts.services.stock import enter, stores_of
from parts.store import ledger
from parts.store.books import read_rows
from parts.store.database import Connection, Database

__all__ = ["enter_sheet", "page_of", "sheet", "write_sheet"]

write_sheet = write_count_sheet


def sheet(
    database: str,
    today: datetime.date,
    *,
    store: str | None = None,
    bin_from: str | None = None,
    bin_to: str | None = None,
    name: str | None = None,
) -> CountSheet:
    """What is to be counted: what the book holds, and what it should hold and does not.

    `store` None = all stores; the bins are those from one to another. Raises UnknownName for a
    store that no movement names.
    """
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        balances = ledger.balances(connection)
        stores = {balance.store for balance in balances}
        if store is not None and store not in stores:
            raise UnknownName("store", store, tuple(sorted(filter(None, stores)))[:3])
        parts = _parts(connection)
        bins = latest_bins(read_rows(connection, "movements"))
    after = {
        (balance.part, balance.store): balance.movements
        for balance in balances
        if store in (None, balance.store) and (balance.qty > 0 or parts[balance.part].min_stock)
    }
    walk = walked([(bins.get(account), account[1], account[0]) for account in after])
    on_walk = [place for place in walk if is_on_walk(place[0], bin_from, bin_to)]
    title = name or f"{today.isoformat()}-{new_key()[:8]}"
    return CountSheet(
        sheet=title,
        printed_on=today,
        store=store,
        lines=tuple(
            _sheet_line(title, place, parts[place[2]], after[place[2], place[1]])
            for place in on_walk
        ),
        left_out=sum(place[0] is None for place in walk) if len(on_walk) < len(walk) else 0,
    )


def _sheet_line(title: str, place: Place, part: Part, after: int) -> SheetLine:
    shelf, store, name = place
    return SheetLine(
        sheet=title,
        part=name,
        store=store or None,
        after=after,
        description=part.description,
        bin=shelf,
        unit_cost=part.unit_cost,
    )


def enter_sheet(
    database: str,
    source: Path,
    hand: Hand,
    today: datetime.date,
    *,
    counted_on: datetime.date,
    by: str | None = None,
) -> CountReport:
    """Book all that a sheet found, or nothing of it; asked twice it books once.

    What was left blank may be counted later and entered by the same sheet. Raises UnusableSheet
    for cells and lines that cannot be booked, and for a line that was booked with another figure.
    """
    rows = read_count_sheet(source)
    lines = [(row, line) for row, line in rows if line.counted is not None]
    name = rows[0][1].sheet

    def work(connection: Connection) -> CountReport:
        ledger.lock(connection, {line.part for _, line in lines})
        before = ledger.counted(connection, name)
        booking = _Booking(connection, hand.stamp(), today, counted_on, by)
        booking.book(lines, before, shown(source.name))
        after = ledger.counted(connection, name)
        return _report(booking, name, rows, after, already=len(after) == len(before))

    with closing(Database.open(database)) as opened:
        return opened.work(work)


@dataclass
class _Booking:
    """The lines of a sheet being booked inside one transaction."""

    connection: Connection
    stamp: Stamp
    today: datetime.date
    counted_on: datetime.date
    by: str | None
    since: list[Movement] = field(default_factory=list)
    late: list[Movement] = field(default_factory=list)

    def book(
        self, lines: Sequence[tuple[int, SheetLine]], before: Sequence[Counted], where: str
    ) -> None:
        """Book the lines that are not booked yet; what any of them is refused for ends it all."""
        there = {(line.part, line.store): line.counted for line in before}
        faults = []
        for row, line in lines:
            kept = there.get((line.part, line.store or NO_STORE))
            try:
                if kept is None:
                    self._enter(line)
                elif kept != line.counted:
                    why = f"{line.part} is booked from this sheet as {kept}; count it by a new one"
                    raise StepRefused("counted", why)
            except (StepRefused, UnknownName) as refused:
                faults.append(f"{where} row {row}: {refused}")
        if faults:
            raise UnusableSheet(where, faults)

    def _enter(self, line: SheetLine) -> None:
        step = Step(
            key=_key(line),
            kind="count",
            date=self.counted_on,
            part=line.part,
            qty=line.counted or 0,
            store=line.store,
            bin=line.bin,
            sheet=line.sheet,
            after=line.after,
            by=self.by,
            note=line.note,
        )
        facts = facts_for(self.connection, step, self.today)
        self.since += booked_since(step, facts, line.store)
        self.late += booked_late(step, facts, line.store)
        enter(self.connection, step, self.stamp, self.today)


def _report(
    booking: _Booking,
    name: str,
    rows: Sequence[tuple[int, SheetLine]],
    found: Sequence[Counted],
    *,
    already: bool,
) -> CountReport:
    entered = {(line.part, line.store or NO_STORE): line for _, line in rows}
    parts = _parts(booking.connection, {each.part for each in found})
    lines = tuple(
        _counted_line(each, entered.get((each.part, each.store)), parts[each.part])
        for each in found
    )
    return CountReport(
        sheet=name,
        counted_on=booking.counted_on,
        already=already,
        lines=lines,
        not_counted=tuple(line.part for _, line in rows if line.counted is None),
        totals=totals(lines),
        since=tuple(booking.since),
        late=tuple(booking.late),
        below=tuple(_below(booking, lines, parts)),
        seal=ledger.seal_of_all(booking.connection),
    )


def _counted_line(found: Counted, entered: SheetLine | None, part: Part) -> CountedLine:
    difference = found.counted - found.book
    tolerance = entered.tolerance if entered else Tolerance()
    cost = entered.unit_cost if entered and entered.unit_cost is not None else part.unit_cost
    line = CountedLine(
        part=found.part,
        store=found.store or None,
        book=found.book,
        counted=found.counted,
        difference=difference,
        within=is_within(difference, found.book, tolerance),
        description=part.description,
        movement=found.movement,
    )
    return priced(line, cost)


def _below(
    booking: _Booking, lines: Sequence[CountedLine], parts: Mapping[str, Part]
) -> Iterator[BelowMinimum]:
    """Parts of which less was found than the book said, and less than their minimum is left."""
    for name in sorted({line.part for line in lines if line.difference < 0}):
        least = parts[name].min_stock
        stores = stores_of(booking.connection, name, booking.today)
        left = sum(each.usable for each in stores)
        if least is not None and left < least:
            yield BelowMinimum(name, left, least)


def _key(line: SheetLine) -> str:
    """The key of a line's movement: the same for the same line of the same sheet."""
    account = f"{len(line.part)}:{line.part}{line.store or NO_STORE}"
    return f"{line.sheet}-{hashlib.sha256(account.encode()).hexdigest()[:16]}"


def _parts(connection: Connection, names: Iterable[str] | None = None) -> dict[str, Part]:
    asked = None if names is None else {"part": tuple(sorted(names))}
    return {row.part: row for row in read_rows(connection, "parts", asked)}
