"""Loading, renewing, copying and putting back, each killed at random moments: all of it or nothing.

A book of ROWS rows is loaded where nothing is and over a storeroom; a database of the first form is
brought to the newest; a copy is made; a copy is put back. After each kill the database is what it
was or what it should become, sound either way; the same work done again succeeds and sweeps up.

Usage: interrupted.py [KILLS OF EACH] [ROWS] [SEED]
"""

from __future__ import annotations

import random
import shutil
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from parts.services import books, copies
from tests.faults import works
from tests.faults.raw import Tables, tables_in
from tests.faults.scratch import scratch
from tests.faults.writers import started
from tests.services.storeroom import KEEPER, ROWS, fill

MOVEMENTS = 3_000


@dataclass
class Work:
    """One kind of work: how its folder looks before, what runs, what the database holds then."""

    prepare: Callable[[Path], None]
    does: Any
    argument: str
    watched: str = "store.db"


def main(arguments: list[str]) -> int:
    numbers = [*map(int, arguments), *(40, 100_000, 1)[len(arguments) :]]
    told = interrupted(*numbers)
    print(", ".join(f"{count:,} {what}" for what, count in told.items()))
    return 1 if told["neither before nor after"] + told["damaged"] + told["not swept"] else 0


def interrupted(kills: int, rows: int, seed: int = 1) -> Counter[str]:
    """Kill each kind of work so often; what came of it, counted."""
    rng = random.Random(seed)  # noqa: S311 - to be repeated, not to be secret
    told = Counter({"kills": 0, "cut off": 0, "neither before nor after": 0, "damaged": 0,
                    "not swept": 0})  # fmt: skip
    with scratch() as folder:
        for name, work in _works(folder, rows).items():
            _kill_often(folder / name, work, kills, rng, told)
    return told


def _works(folder: Path, rows: int) -> dict[str, Work]:
    book = works.book_of(rows, folder / "book")
    filled, older, copy = (folder / name for name in ("filled.db", "older.db", "copy.db"))
    fill(str(filled))
    works.make_form_1(older, MOVEMENTS)
    fill(str(copy), ROWS | {"reservations": []})
    books.load_book(book, str(copy), hand=KEEPER)

    def nothing(place: Path) -> None:
        place.mkdir()

    def file(source: Path) -> Callable[[Path], None]:
        def prepare(place: Path) -> None:
            place.mkdir()
            shutil.copyfile(source, place / "store.db")

        return prepare

    return {
        "load new": Work(nothing, works.load, str(book)),
        "load over": Work(file(filled), works.load, str(book)),
        "renew": Work(file(older), works.renew, ""),
        "back up": Work(file(copy), works.back_up, "PLACE/store-copy.db", "store-copy.db"),
        "put back": Work(file(filled), works.put_back, str(copy)),
    }


def _kill_often(
    place: Path, work: Work, kills: int, rng: random.Random, told: Counter[str]
) -> None:
    before = after = None
    longest = 0.0
    for number in range(-1, kills):
        shutil.rmtree(place, ignore_errors=True)
        work.prepare(place)
        at, argument = str(place / "store.db"), work.argument.replace("PLACE", str(place))
        if number < 0:  # once undisturbed: how long it takes and what it ends in
            before = _state(place / work.watched)
            _, longest = _run(work, at, argument, None)
            after = _state(place / work.watched)
            continue
        done, _ = _run(work, at, argument, rng.uniform(0.0, longest))
        told["kills"] += 1
        told["cut off"] += not done
        found = _state(place / work.watched)
        told["neither before nor after"] += found not in (before, after)
        if work.watched != "store.db":
            (place / work.watched).unlink(missing_ok=True)  # a copy's name has to be free
        _run(work, at, argument, None)
        told["neither before nor after"] += _state(place / work.watched) != after
        told["damaged"] += not copies.verify(str(place / work.watched)).sound
        told["not swept"] += len(list(place.glob(".*.new*")))


def _run(work: Work, at: str, argument: str, kill_after: float | None) -> tuple[bool, float]:
    """Run the work, or kill it after so many seconds: whether it got to its end, and how long."""
    with started(work.does, at, argument) as running:
        running.next_key()
        began = time.monotonic()
        if kill_after is None:
            told = list(running.rest())
        else:
            time.sleep(kill_after)
            told = running.kill()
        return "done" in told, time.monotonic() - began


def _state(at: Path) -> Tables | None:
    return tables_in(at) if at.exists() else None


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
