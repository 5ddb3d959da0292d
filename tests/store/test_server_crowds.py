"""Several people at one server: nobody's work is lost, nobody waits for one who only looks.

Isolation and locks: PostgreSQL's manual, chapter 13.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing
from dataclasses import replace
from threading import Barrier, Thread

import postgres as throwaway
import pytest

from parts import errors
from parts.records.stock import Movement
from parts.store import postgres
from parts.store.books import change_row, read_rows, write_rows
from parts.store.database import Connection, Database
from tests.servers import WITHOUT, connection_to
from tests.store.conftest import fill
from tests.store.site_rows import DAY

SESSIONS = "SELECT count(*) FROM pg_stat_activity WHERE application_name = 'longpole'"
OURS = "AND datname = current_database()"


@pytest.fixture
def shared(on_server: str) -> Iterator[Database]:
    with closing(Database.open(on_server)) as database:
        yield database


def at_once(*doers: Callable[[], None]) -> list[BaseException]:
    """Run all of them at the same time; what they raised."""
    raised: list[BaseException] = []

    def run(doer: Callable[[], None]) -> None:
        try:
            doer()
        except Exception as failure:
            raised.append(failure)

    threads = [Thread(target=run, args=(doer,)) for doer in doers]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return raised


def moved(key: str, qty: int) -> Movement:
    kind = "issue" if qty < 0 else "opening"
    return Movement(date=DAY, part="P2", qty=qty, kind=kind, store="A", key=key)


def test_of_eight_who_issue_at_once_nobody_gets_what_is_not_there(shared: Database) -> None:
    on_hand, writers, times = 20, 8, 5
    with shared.writing() as connection:
        write_rows(connection, "movements", [moved("there", on_hand)])

    def issue(writer: int) -> Callable[[], None]:
        def each() -> None:
            for number in range(times):
                try:
                    with shared.writing() as connection:
                        write_rows(connection, "movements", [moved(f"{writer}-{number}", -1)])
                except errors.RowRefused as refused:
                    refusals.append(str(refused))

        return each

    refusals: list[str] = []
    raised = at_once(*(issue(writer) for writer in range(writers)))
    with shared.reading() as connection:
        rows = [row for row in read_rows(connection, "movements") if row.part == "P2"]

    assert raised == []
    assert len(rows) == 1 + on_hand
    assert sum(row.qty for row in rows) == 0
    assert len(refusals) == writers * times - on_hand
    assert all("less than nothing in store" in refusal for refusal in refusals)


def test_two_who_want_each_others_rows_both_get_them(shared: Database) -> None:
    rounds = 25
    both = Barrier(2)

    def add(first: str, second: str) -> Callable[[], None]:
        def each() -> None:
            for _ in range(rounds):
                both.wait()
                shared.work(Crossing(first, second, both))

        return each

    raised = at_once(add("P1", "P2"), add("P2", "P1"))
    with shared.reading() as connection:
        parts = {part.part: part.min_stock for part in read_rows(connection, "parts")}

    assert raised == []
    assert parts == {"P1": 2 * rounds, "P2": 2 * rounds}


class Crossing:
    """Changes two rows; the first time it waits between them until each of two holds one."""

    def __init__(self, first: str, second: str, both: Barrier) -> None:
        self._rows = (first, second)
        self._both = both
        self._again = False

    def __call__(self, connection: Connection) -> None:
        first, second = self._rows
        raise_minimum(connection, first)
        if not self._again:
            self._again = True
            self._both.wait()
        raise_minimum(connection, second)


def raise_minimum(connection: Connection, part: str) -> None:
    """In one statement, so that it takes the row as it is by then."""
    connection.exec_driver_sql(
        "UPDATE parts SET min_stock = coalesce(min_stock, 0) + 1 WHERE part = %s", (part,)
    )


def test_work_that_is_overtaken_every_time_ends_in_words(shared: Database) -> None:
    tried: list[int] = []

    def hopeless(connection: Connection) -> None:
        tried.append(1)
        connection.exec_driver_sql("DO $$ BEGIN RAISE serialization_failure; END $$")

    with pytest.raises(errors.DatabaseBusy, match="in use by another program"):
        shared.work(hopeless)
    assert len(tried) == 5


def test_who_works_alone_waits_for_others_and_others_for_them(
    on_server: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    impatient = [setting for setting in postgres._SETTINGS if "lock_timeout" not in setting]
    monkeypatch.setattr(postgres, "_SETTINGS", (*impatient, "lock_timeout=10ms"))
    with closing(Database.open(on_server)) as database:
        with database.writing(), database.writing(), database.reading():
            assert is_busy(database.writing(alone=True))
        with database.writing(alone=True), database.reading():
            assert is_busy(database.writing())
        assert not is_busy(database.writing(alone=True))


def is_busy(working: AbstractContextManager[Connection]) -> bool:
    try:
        with working:
            return False
    except errors.DatabaseBusy:
        return True


def test_a_row_that_somebody_holds_is_busy(shared: Database) -> None:
    with shared.writing() as holding:
        raise_minimum(holding, "P1")
        with pytest.raises(errors.DatabaseBusy):
            shared.work(_raise_impatiently)


def _raise_impatiently(connection: Connection) -> None:
    connection.exec_driver_sql("SET LOCAL lock_timeout = '10ms'")
    raise_minimum(connection, "P1")


def test_what_takes_too_long_is_given_up(shared: Database) -> None:
    with pytest.raises(errors.DatabaseBusy), shared.reading() as connection:
        connection.exec_driver_sql("SET LOCAL statement_timeout = '10ms'; SELECT pg_sleep(60)")


def test_nobody_stays_connected_while_nothing_is_asked(shared: Database) -> None:
    with shared.writing() as connection:
        part = read_rows(connection, "parts")[0]
        change_row(connection, "parts", part, replace(part, unit_cost=7.0))
        inside = connection.exec_driver_sql(f"{SESSIONS} {OURS}").scalar_one()
    with connection_to(shared.where) as watcher:
        # a session that has ended is still listed for a moment
        watcher.execute(f"DO $$ BEGIN WHILE ({SESSIONS} {OURS}) > 0 LOOP "
                        "PERFORM pg_stat_clear_snapshot(); END LOOP; END $$")  # fmt: skip
        after = watcher.execute(f"{SESSIONS} {OURS}").fetchall()

    assert inside == 1
    assert after == [(0,)]


def test_a_session_that_the_server_ends_is_a_lost_connection(shared: Database) -> None:
    def end_itself(connection: Connection) -> None:
        connection.exec_driver_sql("SELECT pg_terminate_backend(pg_backend_pid())")

    with pytest.raises(errors.ConnectionLost, match="what you typed is kept"):
        shared.work(end_itself)


def test_a_server_that_dies_and_returns_has_what_was_acknowledged_and_takes_the_rest() -> None:
    with throwaway.running_server() as server:
        if server is None:
            pytest.skip(WITHOUT)
        fill(server.address)
        with closing(Database.open(server.address)) as database:
            with database.writing() as connection:
                write_rows(connection, "movements", [moved("kept", 5)])
            with pytest.raises(errors.ConnectionLost):
                _enter_while_it_dies(database, server)
            with pytest.raises(errors.NoConnection):
                Database.open(server.address)
            server.start()
            with database.writing() as connection:  # the same key as before
                write_rows(connection, "movements", [moved("interrupted", -1)])
            with database.reading() as connection:
                rows = [row for row in read_rows(connection, "movements") if row.part == "P2"]

    assert rows == [moved("kept", 5), moved("interrupted", -1)]


def _enter_while_it_dies(database: Database, server: throwaway.Server) -> None:
    with database.writing() as connection:
        write_rows(connection, "movements", [moved("interrupted", -1)])
        server.stop()
