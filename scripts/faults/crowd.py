"""Eight processes issue one part until it is refused; two people want each other's parts at once.

On a file and, where PostgreSQL is installed, on a server of its own. Of STOCK units exactly so many
are issued, and the others are told that there is none. Crossing: two people, each with two parts in
one transaction, in opposite orders; no deadlock reaches either of them.

Usage: crowd.py [STOCK] [CROSSINGS]
"""

from __future__ import annotations

import sys
from contextlib import ExitStack, closing
from functools import partial
from pathlib import Path
from threading import Thread

from parts.services import copies, stock
from parts.store.database import Connection, Database
from tests.faults.day import keys_in
from tests.faults.scratch import scratch
from tests.faults.writers import issue_until_refused, started
from tests.services.storeroom import KEEPER, ROWS, TODAY, fill, held, opening, step

WRITERS = 8
NONE_LEFT = "on hand 0, asked 1, short 1"


def main(arguments: list[str]) -> int:
    units = int(arguments[0]) if arguments else 200
    times = int(arguments[1]) if len(arguments) > 1 else 1_000
    sys.path.append(str(Path(__file__).resolve().parents[1]))
    from postgres import running_server

    with scratch() as folder:
        print(f"file: {issued(str(folder / 'site.db'), units)}")
    with running_server() as server:
        if server is None:
            print("no PostgreSQL on this machine")
            return 1
        print(f"server: {issued(server.address, units)}")
        print(f"crossing {times:,} times: {crossed(server.address, times)}")
    return 0


def issued(at: str, units: int) -> str:
    """Fill a database with so many units and let the crowd in; raises where a unit is wrong."""
    others = [row for row in ROWS["movements"] if row.part != "COIL"]
    fill(at, ROWS | {"movements": [opening("COIL", units), *others]})
    with ExitStack() as kept:
        crowd = [
            kept.enter_context(started(issue_until_refused, at, f"w{number}"))
            for number in range(WRITERS)
        ]
        told = [list(writer.rest()) for writer in crowd]
    refusals = [each[-1] for each in told]
    keys = {key for each in told for key in each[:-1]}
    if not all(NONE_LEFT in refusal for refusal in refusals):
        raise AssertionError(refusals)
    if len(keys) != units or not keys <= keys_in(at) or held(at, "COIL") or _damage(at):
        raise AssertionError(f"{len(keys)} of {units} issued, {held(at, 'COIL')} left")
    return f"{len(keys)} of {units} issued by {WRITERS} at once, {len(refusals)} told '{NONE_LEFT}'"


def crossed(at: str, times: int) -> str:
    """Two people at a filled database; raises the first thing that reaches either of them."""
    people = [Person(at, "a", ("COIL", "DUMMY")), Person(at, "b", ("DUMMY", "COIL"))]
    threads = [Thread(target=person.cross, args=(times // 2,)) for person in people]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for person in people:
        if person.reached is not None:
            raise person.reached
    tried = sum(person.tried for person in people)
    wanted = {f"{person.name}-{n}-{p}" for person in people for n in range(times // 2)
              for p in person.parts}  # fmt: skip
    if not wanted <= keys_in(at) or _damage(at):
        raise AssertionError("steps are missing")
    return f"each taken, {tried - times // 2 * 2} begun anew behind the scenes, no error to anybody"


class Person:
    """Takes steps with two parts in one transaction, always in the same order."""

    def __init__(self, at: str, name: str, parts: tuple[str, str]) -> None:
        self.name, self.parts, self.tried = name, parts, 0
        self.reached: Exception | None = None
        self._at = at

    def cross(self, times: int) -> None:
        try:
            with closing(Database.open(self._at)) as opened:
                for number in range(times):
                    opened.work(partial(self._both, number))
        except Exception as reached:
            self.reached = reached

    def _both(self, number: int, connection: Connection) -> None:
        self.tried += 1
        for part in self.parts:
            key = f"{self.name}-{number}-{part}"
            wanted = step("receive", part, key=key, store="main", certificate="C")
            stock.enter(connection, wanted, KEEPER.stamp(), TODAY)


def _damage(at: str) -> bool:
    return not copies.verify(at).sound


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
