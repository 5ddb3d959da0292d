"""Every write to the disk, every sync and every truncation of a day's work refused, each in turn.

Once, and from then on for ever. After each the database is opened as usual: nothing that was
acknowledged may be missing, nothing damaged, and the same day's work asked for again with the same
keys has to end as a day without faults ends. NUMBER = how many places, at random; none = all.

Usage: failing_disk.py [NUMBER] [SEED]
"""

from __future__ import annotations

import random
import shutil
import sys
from collections import Counter
from pathlib import Path

from parts.errors import LongpoleError
from parts.services import copies
from tests.faults.day import keys_in, stock_in, work
from tests.faults.disk import Operation, disk, refusal
from tests.faults.scratch import scratch
from tests.services.storeroom import fill


class Refusing:
    """Refuses one operation by its number, or that one and all after it."""

    def __init__(self, place: int, *, for_ever: bool) -> None:
        self.asked = 0
        self._place, self._for_ever = place, for_ever

    def __call__(self, operation: Operation) -> None:
        self.asked += 1
        if self.asked == self._place or (self._for_ever and self.asked > self._place):
            raise refusal(operation)


def main(arguments: list[str]) -> int:
    number = int(arguments[0]) if arguments else None
    seed = int(arguments[1]) if len(arguments) > 1 else 1
    told = tried(number, seed)
    print(", ".join(f"{count:,} {what}" for what, count in told.items()))
    return 1 if told["acknowledged lost"] + told["damaged"] + told["ended otherwise"] else 0


def tried(number: int | None = None, seed: int = 1) -> Counter[str]:
    """What came of it, counted."""
    told = Counter({"faults": 0, "acknowledged": 0, "acknowledged lost": 0, "damaged": 0,
                    "ended otherwise": 0, "refused": 0, "stored though refused": 0})  # fmt: skip
    with scratch() as folder:
        good = fill(str(folder / "good.db"))
        whole = _copy(good, folder)
        counting = Refusing(0, for_ever=False)
        with disk(counting):
            work(whole, _nobody)
        end = stock_in(whole)
        places = [(at, ever) for at in range(1, counting.asked + 1) for ever in (False, True)]
        if number is not None:
            places = random.Random(seed).sample(places, min(number, len(places)))  # noqa: S311
        for at, ever in places:
            _try(_copy(good, folder), Refusing(at, for_ever=ever), end, told)
    return told


def _try(at: str, refusing: Refusing, end: tuple[object, ...], told: Counter[str]) -> None:
    acknowledged: set[str] = set()
    with disk(refusing):
        refused = work(at, acknowledged.add)
    there = keys_in(at)
    told["faults"] += 1
    told["acknowledged"] += len(acknowledged)
    told["acknowledged lost"] += len(acknowledged - there)
    told["refused"] += len(refused)
    told["stored though refused"] += len(there & {"in", "fitted", "moved", "counted", "undone"}
                                         - acknowledged)  # fmt: skip
    told["damaged"] += not copies.verify(at).sound
    again: list[LongpoleError] = work(at, _nobody)
    told["ended otherwise"] += bool(again) or stock_in(at) != end


def _copy(good: str, folder: Path) -> str:
    copy = folder / "tried.db"
    for old in folder.glob("tried.db*"):
        old.unlink()
    shutil.copyfile(good, copy)
    return str(copy)


def _nobody(_: str) -> None:
    """Tell nobody."""


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
