"""Processes of their own that take steps with the stock until somebody ends them.

They are forked from a server that has loaded the libraries and opened nothing, so that a round of
killing costs no second of starting. Each tells every key over a pipe once its step is acknowledged.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from multiprocessing.connection import Connection as Pipe
from multiprocessing.context import ForkServerProcess
from typing import Any

from parts.errors import DatabaseBusy, ShortStock
from parts.records.stock_steps import Step
from parts.services import stock
from parts.store.database import Database
from tests.services.storeroom import KEEPER, TODAY, step

_SERVER = multiprocessing.get_context("forkserver")
_SERVER.set_forkserver_preload([__name__])


@dataclass
class Writer:
    """One process, and the end of the pipe that it tells over."""

    process: ForkServerProcess
    told: Pipe

    def next_key(self) -> str:
        key: str = self.told.recv()
        return key

    def keys_so_far(self) -> list[str]:
        found = []
        while self.told.poll():
            found.append(self.next_key())
        return found

    def kill(self) -> list[str]:
        """SIGKILL; the keys that were acknowledged and not read yet."""
        self.process.kill()
        self.process.join()
        return list(self.rest())

    def rest(self) -> Iterator[str]:
        try:
            while True:
                yield self.told.recv()
        except EOFError:
            self.told.close()


@contextmanager
def started(does: Any, *arguments: Any) -> Iterator[Writer]:
    told, tells = _SERVER.Pipe(duplex=False)
    process = _SERVER.Process(target=does, args=(*arguments, tells), daemon=True)
    process.start()
    tells.close()
    try:
        yield Writer(process, told)
    finally:
        process.kill()
        process.join()


def write_on(at: str, name: str, tells: Pipe) -> None:
    """Receive and move in turn, for ever; busy is asked again with the same key."""
    with closing(Database.open(at)) as opened:
        for number in range(1_000_000):
            key = f"{name}-{number}"
            taken = step("transfer", "COIL", key=key, store="main", to_store="crib")
            if number % 2 == 0:
                taken = step("receive", "COIL", key=key, store="main", certificate="C")
            while not _is_taken(opened, taken):
                pass
            tells.send(key)


def _is_taken(opened: Database, taken: Step) -> bool:
    try:
        opened.work(lambda connection: stock.enter(connection, taken, KEEPER.stamp(), TODAY))
    except DatabaseBusy:
        return False
    return True


def issue_until_refused(at: str, name: str, tells: Pipe) -> None:
    """Issue one coil after the other by the service, until there is none; tell the refusal."""
    for number in range(1_000_000):
        key = f"{name}-{number}"
        while True:
            try:
                stock.post(at, step("issue", "COIL", key=key, store="main"), KEEPER, TODAY)
            except DatabaseBusy:
                continue
            except ShortStock as refused:
                tells.send(str(refused))
                return
            break
        tells.send(key)
