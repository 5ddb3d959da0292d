"""Processes that write are killed at random moments: what they were told is kept, is kept.

Every second round has two writers: one is killed, the other must go on, and is killed then. After
each round the file is opened as usual. Shows nothing about a power cut: what was handed to the
system is written all the same.

Usage: kills.py [KILLS] [SEED]
"""

from __future__ import annotations

import random
import sys
import time
from collections import Counter
from contextlib import ExitStack
from pathlib import Path

from parts.services import copies
from tests.faults.day import keys_in
from tests.faults.scratch import scratch
from tests.faults.writers import Writer, started, write_on
from tests.services.storeroom import fill

LONGEST = 0.15  # seconds of writing before a kill: some ten steps


def main(arguments: list[str]) -> int:
    number = int(arguments[0]) if arguments else 500
    told = killed(number, int(arguments[1]) if len(arguments) > 1 else 1)
    print(", ".join(f"{count:,} {what}" for what, count in told.items()))
    return 1 if told["acknowledged lost"] + told["damaged"] + told["stored twice"] else 0


def killed(number: int, seed: int = 1) -> Counter[str]:
    """Kill so often; what came of it, counted."""
    rng = random.Random(seed)  # noqa: S311 - to be repeated, not to be secret
    told = Counter({"kills": 0, "acknowledged": 0, "acknowledged lost": 0, "damaged": 0,
                    "stored and not acknowledged": 0, "stored twice": 0})  # fmt: skip
    with scratch() as folder:
        good = Path(fill(str(folder / "good.db"))).read_bytes()
        at = folder / "site.db"
        before = keys_in(str(folder / "good.db"))
        while told["kills"] < number:
            at.write_bytes(good)
            acknowledged = _round(str(at), 1 + told["kills"] % 3 % 2, rng, told)
            after = {key for key in keys_in(str(at)) - before if "/" not in key}
            told["acknowledged"] += len(acknowledged)
            told["acknowledged lost"] += len(set(acknowledged) - after)
            told["stored and not acknowledged"] += len(after - set(acknowledged))
            told["stored twice"] += len(acknowledged) - len(set(acknowledged))
            told["damaged"] += not copies.verify(str(at)).sound
            at.with_name("site.db-journal").unlink(missing_ok=True)  # of the round
    return told


def _round(at: str, writers: int, rng: random.Random, told: Counter[str]) -> list[str]:
    with ExitStack() as kept:
        running = [kept.enter_context(started(write_on, at, f"w{n}")) for n in range(writers)]
        acknowledged = [writer.next_key() for writer in running]
        for writer in running:
            time.sleep(rng.uniform(0.0, LONGEST))
            acknowledged += writer.kill()
            told["kills"] += 1
            acknowledged += _goes_on(running[1:]) if writer is running[0] else []
    return acknowledged


def _goes_on(others: list[Writer]) -> list[str]:
    """What the others have told so far and two steps more: the second was begun after the kill."""
    found = [key for writer in others for key in writer.keys_so_far()]
    return found + [writer.next_key() for writer in others for _ in range(2)]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
