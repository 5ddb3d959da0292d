"""On a server the storeroom's own role is enough for every step, and for undoing it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from parts import errors
from parts.records.stock import Reservation
from parts.services import reservations, stock
from parts.store import ledger
from parts.store.database import Database
from tests.servers import Server, people_at
from tests.services.sheets import entered, filled, printed
from tests.services.storeroom import KEEPER, LAST_MONTH, TODAY, everything, fill, held, take, undo


@pytest.fixture
def people(server: Server, nothing_on_server: str) -> Iterator[dict[str, str]]:
    """The address of one storeroom for the person in each role."""
    with people_at(server, fill(nothing_on_server)) as people:
        yield people


def test_a_storekeeper_takes_every_step_and_undoes_it(
    people: dict[str, str], tmp_path: Path
) -> None:
    where = people["storeroom"]
    before = everything(where)[0]
    take(where, "issue", "COIL", crane="C1", position="brake/coil", failed_on=LAST_MONTH, key="a")
    take(where, "issue", "LINING", for_="overhaul", key="b")
    take(where, "receive", "COIL", 3, order="4711", certificate="C-1", key="c")
    take(where, "transfer", "SEAL", 3, to_store="crib", key="d")
    take(where, "scrap", "DRIVE", serial="A7", note="cracked", key="e")
    report = entered(where, filled(printed(where, tmp_path)[1], COIL=9))
    undo(where, report.lines[0].movement or "", "u")
    for key in "edcba":
        assert undo(where, key, f"u{key}").notes == ()

    after = everything(where)[0]
    changed = {name for name, found in after.items() if found != before[name]}

    assert changed == {"movements"}
    assert held(where, "COIL") == {"main": (4, 4)}


def test_a_promise_is_the_storerooms_to_give(people: dict[str, str]) -> None:
    promise = Reservation(part="COIL", qty=2, for_="job")
    where = people["storeroom"]
    reservations.reserve(where, promise, KEEPER, TODAY)

    assert reservations.release(where, "COIL", "job", KEEPER, TODAY) == 2


def test_a_purchaser_looks_and_takes_nothing(people: dict[str, str]) -> None:
    where = people["purchasing"]

    assert stock.on_hand(where, "COIL", TODAY)[0].book == 4
    with pytest.raises(errors.LongpoleError, match="may not"):
        take(where, "issue", "COIL")
    assert held(where, "COIL") == {"main": (4, 4)}


def test_who_took_it_is_who_logged_in_whatever_the_machine_says(people: dict[str, str]) -> None:
    where = people["storeroom"]
    take(where, "issue", "COIL")
    with closing(Database.open(where)) as opened, opened.reading() as connection:
        last = list(ledger.postings(connection, ["COIL"]))[-1]

    assert last.stamp.who.endswith("_storeroom")
    assert last.stamp.who != KEEPER.who
