"""Steps with the stock: taken whole or not at all, and once however often they are asked for."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from contextlib import closing

from parts.calc.stockroom.facts import Facts
from parts.calc.stockroom.lots import store_of
from parts.calc.stockroom.repeated import is_same
from parts.calc.stockroom.steps import booking_of
from parts.calc.stockroom.undoing import reversals, step_of
from parts.errors import KeyTaken, UnknownName, UnreadableValue
from parts.records.book import FILES_BY_NAME
from parts.records.cells import record_of
from parts.records.ledger import NO_STORE, Change, Counted, Stamp
from parts.records.stock import Movement
from parts.records.stock_steps import Booking, Edit, OnHand, Posted, Step
from parts.services.hands import Hand
from parts.services.step_facts import facts_for, known_part, place_named
from parts.store import journal, ledger
from parts.store.books import read_row, read_rows
from parts.store.database import Connection, Database

_ALREADY = "booked already; nothing was added"


def post(database: str, step: Step, hand: Hand, today: datetime.date) -> Posted:
    """Take one step; asked for again with the same key it changes nothing and says so.

    Raises StepRefused (ShortStock, KeyTaken) where it cannot be taken, UnknownName for a part,
    crane or position that is not there.
    """
    with closing(Database.open(database)) as opened:
        return opened.work(lambda connection: enter(connection, step, hand.stamp(), today))


def enter(connection: Connection, step: Step, stamp: Stamp, today: datetime.date) -> Posted:
    """Take one step inside a transaction that others may share."""
    ledger.lock(connection, [step.part])
    booked = ledger.movement(connection, step.key)
    facts = facts_for(connection, step, today)
    if booked is not None:
        return _again(connection, step, facts)
    if kept := ledger.counted(connection, step.key):
        return _counted_again(step, facts, kept)
    if step.kind == "count":
        return _count(connection, step, facts, stamp)
    booking = booking_of(step, facts)
    ledger.append(connection, booking.movements, stamp)
    why = f"{step.kind} of {step.qty} {step.part}"
    for edit in booking.edits:
        journal.put(connection, edit, stamp, why=why, movement=step.key)
    return _posted(step, facts, booking, booking.movements[0].store, already=False)


def _again(connection: Connection, step: Step, facts: Facts) -> Posted:
    booked = step_of(step.key, facts.movements)
    edits = [_edit(change) for change in journal.changes(connection, movement=step.key)]
    if not booked or not is_same(step, booked, edits, facts.failures):
        raise KeyTaken(step.key)
    undone = {row.reverses for row in facts.movements if row.reverses} & {row.key for row in booked}
    notes = (_ALREADY, "it was undone since")[: 1 + bool(undone)]
    booking = Booking(movements=tuple(booked), notes=notes)
    return _posted(step, facts, booking, booked[0].store, already=True)


def _counted_again(step: Step, facts: Facts, kept: Sequence[Counted]) -> Posted:
    """A count that found no difference entered no movement, and its key is taken all the same."""
    same = {(line.part, line.counted, line.counted_on): line.store for line in kept}
    store = same.get((step.part, step.qty, step.date))
    if step.kind != "count" or store is None or (step.store or store) != store:
        raise KeyTaken(step.key)
    booking = Booking(notes=(_ALREADY,))
    return _posted(step, facts, booking, store or None, already=True)


def _count(connection: Connection, step: Step, facts: Facts, stamp: Stamp) -> Posted:
    """Keep what was found, and book what differs; also a count that found no difference is kept."""
    store = store_of(step, facts)
    sheet = step.sheet or step.key
    if ledger.is_counted(connection, sheet, step.part, store or NO_STORE, step.qty):
        return _posted(step, facts, Booking(notes=(_ALREADY,)), store, already=True)
    booking = booking_of(step, facts)
    ledger.append(connection, booking.movements, stamp)
    line = Counted(
        sheet=sheet,
        part=step.part,
        store=store or NO_STORE,
        counted_on=step.date,
        counted=step.qty,
        book=step.qty - sum(row.qty for row in booking.movements),
        movement=booking.movements[0].key if booking.movements else None,
    )
    ledger.write_counts(connection, [line], stamp)
    return _posted(step, facts, booking, store, already=False)


def _posted(
    step: Step, facts: Facts, booking: Booking, store: str | None, *, already: bool
) -> Posted:
    before = facts.book(store)
    change = 0 if already else sum(row.qty for row in booking.movements if row.store == store)
    return Posted(
        key=step.key,
        kind=step.kind,
        part=step.part,
        already=already,
        movements=booking.movements,
        before=before,
        after=before + change,
        store=store,
        notes=booking.notes,
    )


def undo(
    database: str,
    key: str,
    hand: Hand,
    today: datetime.date,
    *,
    new_key: str,
    by: str | None = None,
    note: str | None = None,
) -> Posted:
    """Undo a step by opposite movements, and put back the records that it changed.

    A record that somebody edited since stays as it is, and the answer says so. Raises UnknownName
    where no movement has the key, StepRefused for what cannot be undone.
    """

    def work(connection: Connection) -> Posted:
        row = ledger.movement(connection, key)
        if row is None:
            raise UnknownName("movement", key)
        ledger.lock(connection, [row.part])
        movements = read_rows(connection, "movements", {"part": (row.part,)})
        first = _first_of_step(key, movements)
        repeated = next((other for other in movements if other.key == new_key), None)
        if repeated is not None and repeated.reverses == first:
            return _undone(repeated, [repeated], movements, ("undone already",), already=True)
        if ledger.movement(connection, new_key) is not None:
            raise KeyTaken(new_key)
        rows = reversals(first, movements, new_key=new_key, date=today, by=by, note=note)
        stamp = hand.stamp()
        ledger.append(connection, rows, stamp)
        notes = [
            told
            for change in reversed(journal.changes(connection, movement=first))
            if (told := _put_back(connection, change, stamp, new_key))
        ]
        return _undone(rows[0], rows, movements, tuple(notes), already=False)

    with closing(Database.open(database)) as opened:
        return opened.work(work)


def _first_of_step(key: str, movements: Sequence[Movement]) -> str:
    """The key of the step that a movement belongs to."""
    keys = {row.key for row in movements}
    while "/" in key and (shorter := key.rpartition("/")[0]) in keys:
        key = shorter
    return key


def _put_back(connection: Connection, change: Change, stamp: Stamp, new_key: str) -> str | None:
    """Undo one edit of a step; what to tell where somebody has edited the record since."""
    made = _edit(change)
    there = read_row(connection, made.file, made.after or made.before, hold=made.after is not None)
    if there != made.after:
        return f"{made.file} {' '.join(change.key)} was edited since and stays as it is"
    back = Edit(made.file, made.after, made.before)
    journal.put(connection, back, stamp, why="undone", movement=new_key)
    return None


def _edit(change: Change) -> Edit:
    record = FILES_BY_NAME[change.file].record
    texts = change.before, change.after
    try:
        before, after = (None if each is None else record_of(record, each) for each in texts)
    except (TypeError, ValueError):
        raise UnreadableValue("changes") from None
    return Edit(change.file, before, after)


def _undone(
    first: Movement,
    rows: Sequence[Movement],
    movements: Sequence[Movement],
    notes: tuple[str, ...],
    *,
    already: bool,
) -> Posted:
    before = sum(row.qty for row in movements if row.store == first.store)
    change = 0 if already else sum(row.qty for row in rows if row.store == first.store)
    return Posted(
        key=first.key,
        kind="undo",
        part=first.part,
        already=already,
        movements=tuple(rows),
        before=before,
        after=before + change,
        store=first.store,
        notes=notes,
    )


def place(database: str, text: str) -> tuple[str, str | None]:
    """Crane and position of a text CRANE/POSITION, or a crane alone; UnknownName for no crane."""
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        return place_named(connection, text)


def on_hand(database: str, part: str, today: datetime.date) -> tuple[OnHand, ...]:
    """Book, usable and last counted of a part in each store; UnknownName where there is none."""
    with closing(Database.open(database)) as opened, opened.reading() as connection:
        return stores_of(connection, part, today)


def stores_of(connection: Connection, part: str, today: datetime.date) -> tuple[OnHand, ...]:
    """The same inside a transaction."""
    facts = Facts(
        part=known_part(connection, part),
        today=today,
        movements=read_rows(connection, "movements", {"part": (part,)}),
    )
    counted = ledger.last_counted(connection, until=today, part=part)
    return tuple(
        OnHand(
            part=part,
            store=store,
            book=facts.book(store),
            usable=sum(qty for _, qty in facts.usable_lots(store)),
            expired=facts.expired_in(store),
            quarantine=facts.in_state(store, "quarantine"),
            in_repair=facts.in_state(store, "in_repair"),
            last_counted=counted.get((part, store or NO_STORE)),
        )
        for store in facts.stores
    )
